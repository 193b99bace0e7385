"""The rules of the walk: which prompts are asked where, what may be answered, and how far one has come."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from inspect_tui.domain.boat_words import BoatType, Feature, KeelType, keel_of
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import Area, By, Condition, Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Cautions
from inspect_tui.domain.records import Answer, Boat, Compartment, Position, Visit
from inspect_tui.domain.words import (
    SIDE_WORDS,
    UNSEEN_WORDS,
    FloatState,
    HullMetal,
    Lane,
    Need,
    Rig,
    Said,
    Severity,
    Side,
    UnseenReason,
    Water,
)
from inspect_tui.domain.zones import zone_of_prompt

UNKNOWN_AREA_LANE = Lane.BELOW
# One look over a place answers for nothing where less of its metal was seen; judgement of this program [%].
LOOK_SHARE = 90.0
# In place of an area, of the prompts that are asked in all of them.
EVERYWHERE = "everywhere"


def answer_key(round_id: str, compartment: str, prompt: str) -> str:
    return f"{round_id}/{compartment}/{prompt}"


def visit_key(round_id: str, compartment: str) -> str:
    return f"{round_id}/{compartment}"


def applies(conditions: Iterable[Condition], boat: Boat) -> bool:
    """Whether every kind of condition is met; what is not known of the boat counts as met.

    Conditions of one kind (sail, motor) are alternatives; different kinds must all hold.
    """
    wanted = tuple(conditions)
    built_as = boat.built_as or BoatType.YACHT
    has_of = (
        (Rig, boat.rig),
        (HullMetal, boat.hull_metal),
        (Water, boat.water),
        (BoatType, built_as),
        (KeelType, keel_of(boat.keel, boat.features)),
        (FloatState, boat.float_state),
    )
    for one_kind, has in has_of:
        asked = [condition for condition in wanted if isinstance(condition, one_kind)]
        if asked and has is not None and has not in asked:
            return False
    return all(boat.may_have(feature) for feature in wanted if isinstance(feature, Feature))


def asks_nothing(area: Area | None, boat: Boat) -> bool:
    """Whether a place has no question on this boat, for what she has or has not."""

    def fits(one: Area | Prompt) -> bool:
        return not any(boat.features.get(feature) for feature in one.without)

    if area is None or (area.space and fits(area)):
        return False
    return not fits(area) or not any(applies(one.applies, boat) and fits(one) for one in area.prompt)


def area_of(checklists: Checklists, compartment: Compartment) -> Area | None:
    return checklists.areas.get(compartment.area)


def prompts_of(checklists: Checklists, book: Book, compartment: Compartment) -> tuple[Prompt, ...]:
    """The prompts of one compartment in the order they are asked: its air, the share seen, the one look, what is
    asked everywhere, its own, what is asked of all together; then those that readings answer.

    Its own go by the state they ask for (tank full before empty, power on before off, what waits for the haul-out
    last), then what others hang on, then what could kill or sink before the rest. What earlier years left is asked
    about only where they left something, and what belongs to the boat in one compartment only.
    """
    kept = book.asked.get(compartment.id)
    if kept is None or kept[0] is not checklists:
        kept = book.asked[compartment.id] = (checklists, _prompts_of(checklists, book, compartment))
    return kept[1]


def _prompts_of(checklists: Checklists, book: Book, compartment: Compartment) -> tuple[Prompt, ...]:
    area, boat, id = area_of(checklists, compartment), book.boat, compartment.id
    if asks_nothing(area, boat):
        return ()
    visit, known = visit_of(book, id), id in book.known_places
    glance = visit is None or visit.seen_percent >= LOOK_SHARE

    def wanted(prompt: Prompt) -> bool:
        return (
            applies(prompt.applies, boat)
            and not any(boat.features.get(feature) for feature in prompt.without)
            and (known or not prompt.again)
            and (glance or not prompt.glance)
            and not (prompt.within and area is not None and area.outside)
            and not (prompt.dry and area is not None and area.holds)
            and not (prompt.once and not _asks_for_all(book, compartment, prompt))
            and not _is_not_there(checklists, book, id, prompt)
            and not (prompt.unless and _said(book, id, f"{prompt.area}/{prompt.unless}") is Said.SOUND)
        )

    own = [prompt for prompt in area.prompt if wanted(prompt)] if area else []
    before, after = checklists.everywhere.before, checklists.everywhere.after
    if area is not None and not area.space:
        before = after = ()
    gates = {prompt.hangs_on for prompt in own}
    later = [prompt for prompt in own if not prompt.first]
    rest = sorted(later, key=lambda prompt: _turn(boat, prompt, gate=prompt.id in gates))
    asked = (
        *(prompt for prompt in own if prompt.first),
        *filter(wanted, before),
        *rest,
        *filter(wanted, after),
    )
    return tuple(sorted(asked, key=lambda prompt: prompt.by is By.GAUGE))


def _said(book: Book, compartment: str, prompt: str) -> Said | None:
    answer = answer_of(book, compartment, prompt)
    return answer.said if answer else None


def _is_not_there(checklists: Checklists, book: Book, compartment: str, prompt: Prompt) -> bool:
    """Whether what it hangs on was not fitted, or what that hangs on."""
    if prompt.hangs_on is None:
        return False
    on = f"{prompt.area}/{prompt.hangs_on}"
    none = _said(book, compartment, on) is Said.NOT_FITTED
    return none or _is_not_there(checklists, book, compartment, checklists.prompts[on])


def _turn(boat: Boat, prompt: Prompt, *, gate: bool) -> tuple[bool, ...]:
    return (
        Need.TANK_EMPTY in prompt.needs,
        Need.POWER_ISOLATED in prompt.needs,
        boat.afloat and Need.HAULED_OUT in prompt.needs,
        not gate,
        prompt.severity is not Severity.CATASTROPHIC,
    )


def _asks_for_all(book: Book, compartment: Compartment, prompt: Prompt) -> bool:
    """Whether what belongs to the boat is asked here: where it was answered, else in the first of its kind."""
    alike = [place for place in book.bow_to_stern() if place.area == compartment.area]
    answered = (place for place in alike if answer_of(book, place.id, prompt.key))
    return next(answered, alike[0]).id == compartment.id


def lane_of(checklists: Checklists, compartment: Compartment) -> Lane:
    area = area_of(checklists, compartment)
    return area.lane if area else UNKNOWN_AREA_LANE


@dataclass(frozen=True)
class Bar:
    """Why a prompt cannot be answered by doing it now: it takes only 'not fitted', 'unseen' for this reason, and
    where something can be seen without doing it, a finding."""

    need: Need
    reason: UnseenReason
    say: str
    finding: bool = False


_BARS = (
    (
        Need.HAULED_OUT,
        UnseenReason.NOT_HAULED,
        "She is afloat: this must wait until she is hauled out. Only unseen or not fitted will do here.",
    ),
    (
        Need.GAS_FREE,
        UnseenReason.UNSAFE_AIR,
        "The air in here has not been tested, or failed its test, or was tested before you went away: its question "
        "comes first.",
    ),
    (
        Need.TANK_EMPTY,
        UnseenReason.TANK_FULL,
        "The tank must be empty and clean first.",
    ),
    (
        Need.POWER_ISOLATED,
        UnseenReason.POWER_ON,
        "First shore lead out, and inverter, solar panels, wind turbine and batteries off: s asks whether they are.",
    ),
)


def needs_of(checklists: Checklists, compartment: Compartment, prompt: Prompt) -> tuple[Need, ...]:
    """What must be true before a prompt may be answered by doing it: its own needs, in a closed space good air for
    what is asked everywhere, and for what is asked of an outside that she is out of the water."""
    area = area_of(checklists, compartment)
    if area is not None and area.outside and prompt.area == EVERYWHERE:
        return (Need.HAULED_OUT, *prompt.needs)
    closed = area is not None and area.enclosed and not asks_air(checklists, compartment, prompt)
    into = prompt.area == EVERYWHERE or Need.TANK_EMPTY in prompt.needs or Cautions.CONFINED_SPACE in prompt.cautions
    inside = closed and into
    return prompt.needs if not inside or Need.GAS_FREE in prompt.needs else (Need.GAS_FREE, *prompt.needs)


def bar_of(
    checklists: Checklists, boat: Boat, compartment: Compartment, prompt: Prompt, met: Collection[Need] = ()
) -> Bar | None:
    """What bars a prompt today. `met`: needs that were seen to since the place was entered."""
    needs = needs_of(checklists, compartment, prompt)
    bars = [
        Bar(need, reason, say)
        for need, reason, say in _BARS
        if need in needs and (boat.afloat if need is Need.HAULED_OUT else need not in met)
    ]
    if boat.afloat and prompt.does and zone_of_prompt(checklists, compartment, prompt).wet:
        say = "She is afloat: looking alone cannot call it sound. [F]inding, [U]nseen or [N]ot fitted."
        bars.append(Bar(Need.HAULED_OUT, UnseenReason.NOT_HAULED, say, finding=True))
    # Nobody switches the power off for what must wait for the haul-out anyway.
    return min(bars, key=lambda bar: bar.need is Need.POWER_ISOLATED, default=None)


def cautions_of(boat: Boat, prompt: Prompt) -> tuple[str, ...]:
    """The cautions of a prompt that can matter on her as she lies."""
    idle = {Cautions.SINKING} if not boat.afloat else set()
    idle |= set() if boat.may_have(Feature.BOTTLED_GAS) else {Cautions.BOTTLED_GAS}
    return tuple(one for one in prompt.cautions if one not in idle)


def asks_air(checklists: Checklists, compartment: Compartment, prompt: Prompt) -> bool:
    """Whether a prompt is the one about the air of a closed space."""
    area = area_of(checklists, compartment)
    return area is not None and area.enclosed and prompt.first and "oxygen" in prompt.measure


def barred(boat: Boat, prompt: Prompt) -> Bar | None:
    """What bars a prompt by how she lies, whatever else was seen to."""
    if Need.HAULED_OUT in prompt.needs and boat.afloat:
        need, reason, say = _BARS[0]
        return Bar(need, reason, say)
    return None


def how_to(checklists: Checklists, boat: Boat, compartment: Compartment, prompt: Prompt) -> str:
    """How to look, as she lies today: under or near water afloat nothing that opens, forces, bares or heats the hull;
    empty where it must wait."""
    if barred(boat, prompt):
        return ""
    if boat.afloat and prompt.does and zone_of_prompt(checklists, compartment, prompt).wet:
        return prompt.afloat or checklists.everywhere.afloat
    return prompt.how


def answer_of(book: Book, compartment: str, prompt: str) -> Answer | None:
    return book.answers.get(answer_key(book.round.id, compartment, prompt))


def why_unseen(answer: Answer) -> str:
    """The reason in a few words; another one in the owner's."""
    if answer.reason is UnseenReason.OTHER and answer.note:
        return answer.note
    return UNSEEN_WORDS[answer.reason] if answer.reason else "no reason"


def earlier_answer(book: Book, compartment: str, prompt: str) -> Answer | None:
    """What was said to the same prompt in the newest earlier round that has an answer."""
    for round_ in sorted(book.rounds.values(), key=lambda one: -one.number)[1:]:
        said = book.answers.get(answer_key(round_.id, compartment, prompt))
        if said is not None:
            return said
    return None


def visit_of(book: Book, compartment: str) -> Visit | None:
    return book.visits.get(visit_key(book.round.id, compartment))


def is_open(book: Book, compartment: Compartment, prompt: Prompt) -> bool:
    """Whether a prompt waits for somebody: not answered in this round, and of one that is gauged nothing read."""
    if answer_of(book, compartment.id, prompt.key) is not None:
        return False
    return prompt.by is not By.GAUGE or (compartment.id, prompt.key) not in book.read_at


@dataclass(frozen=True)
class Progress:
    """How far one compartment is in this round. `asked` and `answered` count what is asked question by question;
    `to_gauge` waits for readings. What one look answered is told apart from what was looked at one by one."""

    asked: int
    answered: int
    one_by_one: int
    by_look: int
    unseen: tuple[tuple[Prompt, UnseenReason | None], ...]
    to_gauge: tuple[Prompt, ...]
    seen_percent: float | None

    @property
    def untouched(self) -> bool:
        return self.answered == 0

    @property
    def complete(self) -> bool:
        """Nothing is asked any more; there may be metal to gauge."""
        return self.answered >= self.asked

    @property
    def all_unseen(self) -> bool:
        """Nothing of it was seen: every answer given says unseen."""
        return len(self.unseen) > 0 and not (self.one_by_one or self.by_look)


def progress(book: Book, checklists: Checklists, compartment: Compartment) -> Progress:
    prompts = prompts_of(checklists, book, compartment)
    answers = [(prompt, answer_of(book, compartment.id, prompt.key)) for prompt in prompts]
    asked = [answer is not None for prompt, answer in answers if prompt.by is not By.GAUGE]
    looked = [answer for prompt, answer in answers if answer and not (prompt.share or prompt.glance)]
    by_look = sum(bool(answer.by_look) for answer in looked)
    visit = visit_of(book, compartment.id)
    return Progress(
        asked=len(asked),
        answered=sum(asked),
        one_by_one=sum(answer.said is not Said.UNSEEN for answer in looked) - by_look,
        by_look=by_look,
        unseen=tuple(
            (prompt, answer.reason) for prompt, answer in answers if answer is not None and answer.said is Said.UNSEEN
        ),
        to_gauge=tuple(prompt for prompt in prompts if prompt.by is By.GAUGE and is_open(book, compartment, prompt)),
        seen_percent=visit.seen_percent if visit else None,
    )


def first_open(book: Book, checklists: Checklists, compartment: Compartment, start: int = 0) -> int | None:
    """Index of the first prompt that is asked and not answered in this round, at or behind `start`; None if there is
    none. What is answered by readings is no question."""
    prompts = prompts_of(checklists, book, compartment)
    for index in range(start, len(prompts)):
        if prompts[index].by is not By.GAUGE and is_open(book, compartment, prompts[index]):
            return index
    return None


def position_words(position: Position) -> str:
    """A position as it is written on papers and screens.

    >>> from inspect_tui.domain.words import Face, Side
    >>> position_words(Position(frame=14, offset_mm=120, side=Side.PORT, girth_mm=260, face=Face.INSIDE))
    'frame 14 + 120 mm, port, 260 mm from the centreline along the plate, inside'
    """
    parts: list[str] = []
    if position.frame is not None:
        frame = f"frame {position.frame:g}"
        if position.offset_mm:
            frame += f" {'+' if position.offset_mm > 0 else '−'} {abs(position.offset_mm):g} mm"
        parts.append(frame)
    elif position.offset_mm is not None:
        parts.append(f"{position.offset_mm:g} mm from the origin")
    if position.side is not None:
        parts.append(SIDE_WORDS[position.side])
    if position.girth_mm is not None and (position.girth_mm or position.side is not Side.CENTRE):
        parts.append(f"{position.girth_mm:g} mm from the centreline along the plate")
    if position.face is not None:
        parts.append(position.face.value)
    if position.words:
        parts.append(position.words)
    return ", ".join(parts)


def frames_words(compartment: Compartment) -> str:
    """Where a compartment lies, short: `fr 13–16  C`."""
    parts: list[str] = []
    if compartment.frame_from is not None:
        until = "" if compartment.frame_to is None else f"–{compartment.frame_to:g}"
        parts.append(f"fr {compartment.frame_from:g}{until}")
    if compartment.side is not None:
        parts.append(compartment.side.value)
    return "  ".join(parts)
