"""Nothing that is said opens, forces, bares or heats a hull that floats: every prompt, kind, cause, test and step of
the work, afloat and ashore, above and under water. The words are read here as a person reads them, by lists of this
file."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from functools import cache
from itertools import product
from pathlib import Path
from typing import TypeVar

import pytest

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Compartment, Finding, Position, StatusEvent
from inspect_tui.domain.trail import Done
from inspect_tui.domain.words import (
    Face,
    FloatState,
    HullMetal,
    Likelihood,
    Need,
    Rig,
    Severity,
    Side,
    Status,
    Tier,
    Treatment,
    Zone,
)
from inspect_tui.domain.zones import zone_of_finding, zone_of_prompt
from inspect_tui.judgement.causes.patches import tally
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.finding_actions import finding_actions
from inspect_tui.judgement.work.launching import launch_list
from inspect_tui.store.checklist_files import load_checklists, shipped
from tests.conftest import START, new_book_edit

T = TypeVar("T")
STAMP = Stamp(START, "Mattis")
# Words that open, force, bare or heat a hull, wherever they are told to somebody.
OPENS = (
    r"cut (back|a window|out|or lift)|let in|lift (it|one|each|the|them|what)|"
    r"take (it|one|paint|filler|the (?!copper|heat|load|shore|lead)\w+) |"
    r"\b(draw|unscrew|undo|open|drill|core|peel|part)\b (it|one|the|five|each|up|out|its)|"
    r"\b(hose|lid|plug|paint|filler|liner)s? (off|out)\b|"
    r"sample hole|pump off|shaft out|coupling parted"
)
FORCES = (
    r"overhaul|\bturn (it|the valve|valves|only|gently)|squeeze|\brock\b|\bshake|\bpry|\bprise|\bspike|"
    r"probe its|knife|\btap\b|hammer|mallet|feeler|\brod\b (it|them)"
)
BARES = (
    r"clean\w*( it)? to bright|on bright metal|\bscrape\b|\bburr|\bchip\b|\bflake\b|"
    r"wire (clean|off|brush)|stainless brush|\bbrush\b|\bblast|(^|[.;,:] )strip\b|grind|\bfile mark|prick|"
    r"clean each|clean it|clean, (fill|coat)"
)
HEATS = r"\bweld (up|it|shut)|welding|\bwelder\b cuts|build up|insert plate|replate|hot work|\bflame\b on"
TOUCHES = re.compile("|".join((OPENS, FORCES, BARES, HEATS)), re.IGNORECASE)
# What comes behind such words is for later, or is forbidden, and not told to be done now.
LATER = re.compile(
    r"[^.;:,]*\b(when|until|once|till) (she|it) is (out|hauled|ashore|sure)[^.;]*|[^.;]*\bwaits?\b[^.;]*|"
    r"only then:.*|[^.;,]*\b(no|nothing|nobody|never|without|leave|not)\b[^.;]*",
    re.IGNORECASE,
)
# With these words a hand may come near, whatever the list above makes of them; each with its reason.
HARMLESS = {
    "chain-locker/spurling-pipe": "a torch is a lamp",
    "forward-cabin/limbers": "a rod through a limber inside the bilge touches no plate that keeps the sea out",
    "cabin-bilge/limber-lips": "the same",
    "sump/last-litre": "a hand pump",
    "electrics/box": "batteries, not the hull",
    "electrics/bond-straps": "a strap's lug above the water",
    "mast-step/lightning": "the same",
    "galley/gas-locker-drain": "bottles, not the hull",
    "chain-locker/cabin-face": "a lining in the cabin",
    "hull-sides/window-runs": "a lining in the cabin",
    "transom/behind-pads": "a lining in the cabin",
    "wheelhouse/cladding": "cladding inside a house on deck",
    "wheelhouse/mast-feet": "on the roof of a house",
    "machinery-spaces/generator-tray": "a tray, not the hull",
    "electrics/aerials": "plugs of aerials",
    "water-tank/lid-screws": "the lid of a tank",
    "water-tank/tank-anode": "an anode inside a tank",
    "water-tank/tank-top": "sole boards",
    "sump/alarm": "a float that is lifted",
    "cabin-bilge/cables": "cables that are lifted",
    "sump/pump-leak": "a pump switched off for a reading, behind a caution",
    "ballast/ballast-parted": "a chip of the ballast",
    "centreboard/lifting-gear": "the load taken off a board",
    "deck/stain-map": "stains that are drawn",
    "stern-gear/shaft-bond": "the shaft turned by hand as ever",
}
VERBS = frozenset(
    {
        "add", "ask", "bail", "build", "call", "change", "check", "clean", "close", "coat", "count", "cure",
        "cut", "decide", "do", "drain", "dry", "fill", "find", "fit", "gauge", "get", "give", "go", "hang",
        "have", "insulate", "keep", "lay", "leave", "let", "lift", "look", "make", "mark", "measure", "open",
        "overhaul", "photograph", "prove", "pull", "pump", "put", "read", "record", "renew", "repair",
        "replate", "run", "see", "settle", "sight", "sign", "stand", "stay", "stop", "strip", "switch", "take",
        "tell", "tie", "touch", "treat", "turn", "walk", "wash", "watch", "weigh", "wipe", "work", "write",
    }
)  # fmt: skip
DANGER_TO_PEOPLE = ("air", "asbestos", "mercury", "live-hull", "hydrogen", "solvent")
# What a caution at a question forbids to do about a finding that came from it.
FORBIDDEN = {
    "asbestos": r"\b(clean|brush|vacuum|scrape|wipe|wash)\b",
    "mercury": r"\b(clean|brush|vacuum|scrape|wipe|wash)\b",
    "air-pressure": r"\bpressure-test\b|\bblow it up\b",
}
ZONES: tuple[bool | None, ...] = (True, False, None)
POSITIONS = (
    Position(),
    Position(face=Face.OUTSIDE),
    Position(frame=9, side=Side.PORT, girth_mm=260, face=Face.INSIDE),
    Position(frame=9, side=Side.PORT, girth_mm=2600, face=Face.INSIDE),
)


@cache
def told_now(words: str) -> str:
    """What of a text is to be done now: without what is forbidden in it or put off."""
    return LATER.sub("", words)


@cache
def touching(words: str) -> str:
    found = TOUCHES.search(told_now(words))
    return found[0] if found else ""


def once(made: Callable[..., T]) -> Callable[..., T]:
    """Made once for each set of knowledge, which cannot be hashed."""
    kept: dict[tuple[int, tuple[object, ...]], tuple[Checklists, T]] = {}

    def get(knowledge: Checklists, **settings: object) -> T:
        key = (id(knowledge), tuple(sorted(settings.items(), key=str)))
        if key not in kept:
            kept[key] = (knowledge, made(knowledge, **settings))
        return kept[key][1]

    return get


@once
def boat(knowledge: Checklists, *, afloat: bool, rig: Rig, metal: HullMetal) -> Book:
    edit = new_book_edit(
        knowledge, STAMP, areas=list(knowledge.areas.values()), rig=rig, hull_metal=metal,
        float_state=FloatState.AFLOAT if afloat else FloatState.HAULED_OUT,
    )  # fmt: skip
    return after(Book.empty(), edit, STAMP)[0]


def with_rows(book: Book, **tables: dict[str, object]) -> Book:
    return Book({**book.tables, **{name: {**book.tables[name], **rows} for name, rows in tables.items()}})  # type: ignore[dict-item]


def prompts(knowledge: Checklists) -> Iterator[Prompt]:
    yield from knowledge.prompts.values()


def places_for(knowledge: Checklists, prompt: Prompt) -> Iterator[Compartment]:
    """A compartment that asks it, under water, above, and as its area is."""
    area = prompt.area if prompt.area in knowledge.areas else "cabin-bilge"
    for number, below in enumerate(ZONES):
        yield Compartment(
            id=f"{area}-{number}", area=area, name=f"{area} {number}", order=number, below_waterline=below
        )


# --- the walk ------------------------------------------------------------------------------------------------------


def faults_of_the_walk(knowledge: Checklists) -> list[str]:
    told = []
    her = boat(knowledge, afloat=True, rig=Rig.SAIL, metal=HullMetal.ALUMINIUM).boat
    for prompt in prompts(knowledge):
        for place in places_for(knowledge, prompt):
            if not zone_of_prompt(knowledge, place, prompt).wet:
                continue
            how = walk.how_to(knowledge, her, place, prompt)
            if bool(how) is (Need.HAULED_OUT in prompt.needs):
                told.append(f"{prompt.key}: shown although it must wait, or hidden")
            words = f"{prompt.look} {how}" if how else ""
            if prompt.key not in HARMLESS and (word := touching(words)):
                told.append(f"{prompt.key}: {word}: {words}")
    return told


def test_no_question_opens_forces_bares_or_heats_a_hull_that_floats(checklists: Checklists) -> None:
    assert not faults_of_the_walk(checklists)


def test_what_is_named_harmless_would_be_found(checklists: Checklists) -> None:
    known = checklists.prompts
    assert set(HARMLESS) <= set(known)


# --- the list ------------------------------------------------------------------------------------------------------

STATES: tuple[tuple[Status, Treatment | None], ...] = (
    (Status.FOUND, None),
    (Status.CLEANED, None),
    (Status.MEASURED, None),
    *((Status.DECIDED, treatment) for treatment in Treatment),
    (Status.REPAIRED, Treatment.WELD_UP),
    (Status.ACCEPTED, None),
)


def findings(knowledge: Checklists, *, thin: bool) -> Iterator[tuple[Compartment, Finding]]:
    """Every prompt with its kind, in each zone, at each position, with each severity and state; and every kind in
    every area. `thin`: what is enough to see one broken line."""
    chalk = 0

    def finding(
        place: Compartment, kind: str, prompt: str | None, *, severity: Severity, at: Position, state: int
    ) -> Finding:
        nonlocal chalk
        chalk += 1
        status, treatment = STATES[state]
        event = StatusEvent(status=Status.FOUND, when=START, by="x", round="1")
        history = (
            (event,) if status is Status.FOUND else (event, event.model_copy(update={"status": status, "note": "so"}))
        )
        return Finding(
            chalk=chalk, compartment=place.id, kind=kind, words="here", severity=severity, likelihood=Likelihood.B,
            history=history, prompt=prompt, position=at, treatment=treatment,
        )  # fmt: skip

    for prompt in prompts(knowledge):
        if prompt.kind is None or (thin and prompt.area not in ("exhaust", "cabin-bilge")):
            continue
        for place in places_for(knowledge, prompt):
            for severity in Severity:
                yield place, finding(place, prompt.kind, prompt.key, severity=severity, at=Position(), state=0)
            for at in POSITIONS:
                yield place, finding(place, prompt.kind, prompt.key, severity=prompt.severity, at=at, state=0)
            for state in range(1, len(STATES)):
                yield (
                    place,
                    finding(place, prompt.kind, prompt.key, severity=prompt.severity, at=Position(), state=state),
                )
    areas = [knowledge.areas["cabin-bilge"]] if thin else list(knowledge.areas.values())
    # Where a kind says of which places it speaks, all of them; elsewhere the place changes no word by the state.
    spoken = {id for kind in knowledge.kinds.values() if kind.within for id in kind.within.areas} | {"cabin-bilge"}
    for area, kind in product(areas, knowledge.kinds):
        for place in places_for(knowledge, area.prompt[0]):
            for state in range(len(STATES) if area.id in spoken else 1):
                yield place, finding(place, kind, None, severity=Severity.CRITICAL, at=Position(), state=state)


@once
def listed(knowledge: Checklists, *, afloat: bool, recorded: bool, thin: bool) -> tuple[Book, list[Action]]:
    """All those findings on one boat, and what the list says of them."""
    told = list(findings(knowledge, thin=thin))
    rows: dict[str, dict[str, object]] = {
        "findings": {str(one.chalk): one for _, one in told},
        "compartments": {place.id: place for place, _ in told},
    }
    if recorded:
        keys = (f"record/{one.chalk}/" for _, one in told)
        rows["done"] = {key: Done(action=key, what="", when=START, by="x") for key in keys}
    her = boat(knowledge, afloat=afloat, rig=Rig.SAIL, metal=HullMetal.ALUMINIUM)
    book = with_rows(her, **rows)
    return book, finding_actions(book, knowledge, Verdicts(book, knowledge), tally(book))


def own_words(action: Action) -> str:
    """What the list says, without the words of the finding."""
    return action.what.partition(" — ")[0]


def faults_of_the_list(knowledge: Checklists, *, thin: bool = True) -> list[str]:
    told = []
    for recorded in (False, True):
        book, actions = listed(knowledge, afloat=True, recorded=recorded, thin=thin)
        for action in actions:
            finding = book.findings[str(action.chalk)]
            if zone_of_finding(book, knowledge, finding) is Zone.ABOVE:
                continue
            if action.does or (word := touching(own_words(action))):
                told.append(f"{finding.prompt or finding.kind}: {action.does} {word}: {own_words(action)}")
            harmless = finding.treatment is Treatment.LEAVE_BARE or finding.status in (
                Status.ACCEPTED,
                Status.REPAIRED,
            )
            bright = knowledge.kinds[finding.kind].bright_metal and not harmless
            if bright and not action.needs_haul and action.task is not Task.RECORD:
                told.append(f"{finding.kind}: nothing says that she must be out: {own_words(action)}")
    return told


def faults_of_words(knowledge: Checklists, *, thin: bool = True) -> list[str]:
    """What is not begun with a verb, what is not Now, what a caution forbids."""
    told = []
    for afloat, recorded in product((True, False), repeat=2):
        book, actions = listed(knowledge, afloat=afloat, recorded=recorded, thin=thin)
        prompts_by_key = knowledge.prompts
        for action in actions:
            finding = book.findings[str(action.chalk)]
            if action.what.split()[0].lower().strip(",.;:") not in VERBS:
                told.append(f"no verb first: {action.what}")
            if finding.kind in DANGER_TO_PEOPLE and finding.status is Status.FOUND and action.tier is not Tier.NOW:
                told.append(f"{finding.kind}: {action.tier.value}")
            prompt = prompts_by_key.get(finding.prompt or "")
            for caution in prompt.cautions if prompt else ():
                if caution in FORBIDDEN and re.search(FORBIDDEN[caution], told_now(own_words(action)), re.IGNORECASE):
                    told.append(f"{prompt.key if prompt else ''}: {caution}: {own_words(action)}")
            if (
                action.doing
                and action.doing.heats
                and not action.needs_haul
                and Need.GAS_FREE not in action.doing.needs
            ):
                told.append(f"heat without a test of the air: {own_words(action)}")
    return told


@pytest.mark.slow
def test_no_action_opens_forces_bares_or_heats_a_hull_that_floats_and_each_begins_with_a_verb(
    checklists: Checklists,
) -> None:
    """And danger to people is Now. One test: the list is long, and made once."""
    assert not faults_of_the_list(checklists, thin=False)[:8]
    assert not faults_of_words(checklists, thin=False)[:8]


def test_in_one_place_each_kind_and_state_is_right(checklists: Checklists) -> None:
    """The same over a tenth of it, with the quick tests."""
    assert not faults_of_the_list(checklists)
    assert not faults_of_words(checklists)


# --- causes --------------------------------------------------------------------------------------------------------


def faults_of_causes(knowledge: Checklists) -> list[str]:
    told = []
    for cause in knowledge.causes.causes.values():
        said = cause.afloat or cause.remedy
        if word := touching(said):
            told.append(f"{cause.id}: {word}: {said}")
        told += [
            f"{cause.id}: no verb first"
            for one in (cause.remedy, said)
            if one.split()[0].lower().strip(",.") not in VERBS
        ]
    for test in knowledge.causes.tests.values():
        if test.can_be_made(afloat=True, below=True) and (word := touching(test.how)):
            told.append(f"{test.id}: {word}: {test.how}")
    return told


def test_no_cure_and_no_test_does_either(checklists: Checklists) -> None:
    assert not faults_of_causes(checklists)


# --- and each of these would be seen --------------------------------------------------------------------------------

BROKEN: list[tuple[str, str, str, Callable[[Checklists], list[str]]]] = [
    ("everywhere.toml", 'does = ["bares"]\nafloat = "Count', 'does = []\nafloat = "Count', faults_of_the_walk),
    (
        "areas/20-skin-fittings.toml",
        'does = ["forces"]\nafloat = "Look at',
        'does = []\nafloat = "Look at',
        faults_of_the_walk,
    ),
    ("everywhere.toml", 'how = "Eyes first', 'how = "Burr it, eyes first', faults_of_the_walk),
    (
        "kinds.toml",
        'does = ["opens", "forces"]\nafloat = "Leave it alone',
        'does = []\nafloat = "Overhaul it',
        faults_of_the_list,
    ),
    ("kinds.toml", 'does = ["bares"]\nhours = [0.5, 3]', "does = []\nhours = [0.5, 3]", faults_of_the_list),
    ("kinds.toml", 'afloat = "Leave it alone: a plug', 'afloat = "Overhaul it: a plug', faults_of_the_list),
    ("kinds.toml", 'do = "Repair or renew it', 'do = "The repair of it', faults_of_words),
    ("kinds.toml", 'launch = "always"\ndanger = "always"', 'launch = "never"\ndanger = "never"', faults_of_words),
    ("kinds.toml", 'do = "Keep away from it and leave it', 'do = "Wash it off. Then leave it', faults_of_words),
    ("kinds.toml", 'needs = ["gas-free", "power isolated"]', 'needs = ["power isolated"]', faults_of_words),
    ("causes.toml", 'afloat = "Leave the patch on', 'afloat = "Take it off', faults_of_causes),
    ("causes.toml", '["sinking"]\ndoes = ["forces"]', '["sinking"]\ndoes = []', faults_of_causes),
]


@pytest.mark.parametrize(("file", "line", "instead", "check"), BROKEN)
def test_one_broken_line_of_data_is_seen(
    tmp_path: Path, file: str, line: str, instead: str, check: Callable[[Checklists], list[str]]
) -> None:
    folder = tmp_path / "checklists"
    shutil.copytree(shipped("checklists"), folder)
    text = (folder / file).read_text(encoding="utf-8")
    assert line in text, "the line to be broken is not there"
    text = text.replace(line, instead, 1)
    (folder / file).write_text(text, encoding="utf-8")
    assert check(load_checklists(folder)), "nobody saw it"


@pytest.mark.parametrize("afloat", [True, False])
@pytest.mark.parametrize("metal", list(HullMetal))
def test_a_whole_list_and_the_launch_list_begin_with_verbs(
    checklists: Checklists, afloat: bool, metal: HullMetal
) -> None:
    book = boat(checklists, afloat=afloat, rig=Rig.MOTOR, metal=metal)
    actions = Judged(book, checklists).worklist.actions
    said = [action.what for action in actions] + [line.say for line in checklists.launch.values()]
    assert not [words for words in said if words.split()[0].lower().strip(",.:") not in VERBS]
    assert bool(launch_list(book, checklists, START)) is not afloat, "a boat that is all sound has her launch list"
