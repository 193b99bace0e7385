"""Why she corrodes, and whether she is protected, by the keyboard."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.edits import with_circuits
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Position
from inspect_tui.domain.words import Face, FloatState, PatchType, Step, UnseenReason, Water
from inspect_tui.judgement.causes.patches import tally
from inspect_tui.judgement.electricity.hunted import newest_hunt
from inspect_tui.judgement.electricity.protected import at_rest
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import BookFile, open_book
from tests.conftest import finding_edit, place_called, prompt_called, worklist
from tests.terminal.helpers import at_work, demo_file


async def test_signs_are_ticked_and_the_ranking_follows(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        await hands.press("number_sign", "6", "enter", "f9", "c")
        assert "another metal fitted to her" in hands.text
        assert "next test" in hands.text
        assert opened.book.findings["6"].signs_confirmed is None
        assert "+ question Does the attack hug a part made" in hands.text
        await hands.press("plus")
        assert "+ ticked   Does the attack hug a part made" in hands.text, (
            "confirming what the question brought shows"
        )
        before, ranked = opened.book.findings["6"], hands.text.splitlines()[-11:]

        def absent() -> tuple[str, ...]:
            return opened.book.findings["6"].signs_absent

        await hands.press("down", "plus")
        assert "powder" in opened.book.findings["6"].signs
        assert hands.text.splitlines()[-11:] != ranked
        await hands.press("minus")
        assert absent() == ("pits",)
        await hands.press("up", "backspace")
        assert not absent()
        await hands.press("t")
        assert "The next test" in hands.text
        await hands.press("escape", "y", "end")
        assert "weights of causes.toml" in hands.flat
        await hands.press("escape", "z", "z", "z")
        assert opened.book.findings["6"].signs == before.signs
        await hands.press("escape")
        assert "Finding 6" in hands.text


async def test_a_sign_of_the_whole_boat_is_ticked_once_for_all_places(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    place = place_called(opened.book, "cabin-bilge")
    outside = Position(face=Face.OUTSIDE)
    for _ in range(2):
        opened.record(finding_edit(opened.book, opened.stamp(), place, kind="pitting", position=outside))
    async with at_work(checklists, opened, size=(100, 40)) as hands:
        for chalk, key, mark in ((1, "plus", "+"), (2, "minus", "-")):
            hands.app.go("cause", chalk=chalk)
            await hands.settle()
            hands.app.screen.choose("welding-done")  # type: ignore[attr-defined]
            await hands.settle()
            await hands.press(key)
            ticks = [one.signs_confirmed or one.signs_absent for one in opened.book.findings.values()]
            assert sum("welding-done" in signs for signs in ticks) == 1, "an older word is taken back"
            hands.app.go("cause", chalk=3 - chalk)
            await hands.settle()
            hands.app.screen.choose("welding-done")  # type: ignore[attr-defined]
            await hands.settle()
            assert f"{mark} boat     Was there welding on board" in hands.text
            assert f"ticked at no. {chalk}, for the whole boat" in hands.flat
        hands.app.screen.choose("scored")  # type: ignore[attr-defined]
        await hands.press("plus")
        assert opened.book.findings["1"].signs_confirmed == ("scored",)
        assert opened.book.findings["2"].signs_absent == ("welding-done",), "a sign of one place leaves the others"


async def test_the_metal_beside_it_is_named_and_counts(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        await hands.press("number_sign", "6", "enter", "f9", "c", "e")
        await hands.type("st")
        await hands.press("enter")
        assert opened.book.findings["6"].beside == "304-active"
        assert "+ read     Is there a part there whose metal is nobler" in hands.text
        await hands.press("down")
        assert "mV against the hull" in hands.flat
        await hands.press("e", "home", "enter")
        assert opened.book.findings["6"].beside == "none"
        assert "- read     Is there a part" in hands.text


async def test_a_long_list_is_searched_and_nothing_is_taken_that_does_not_fit(
    tmp_path: Path, checklists: Checklists
) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        await hands.press("number_sign", "6", "enter", "f9", "c", "e")
        await hands.press(*"bronzx")
        assert "nothing matches" in hands.text
        await hands.press("enter")
        assert opened.book.findings["6"].beside is None
        await hands.press("backspace", "enter")
        assert "bronze" in checklists.metals.galvanic[opened.book.findings["6"].beside or ""].name


async def test_bad_air_stands_over_every_question_of_its_place_and_sound_is_asked_twice(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    place = place_called(opened.book, "chain-locker")
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        hands.app.go("walk", compartment=place.id)
        await hands.settle()
        assert "air" in hands.text, "it is the first question"
        await hands.press("m")
        await hands.type("17,5")
        await hands.press("enter")
        assert "It is saved, and it fails" in hands.flat
        await hands.press("n")
        assert "KEEP OUT The air here failed: oxygen 17.5 % O₂" in hands.flat
        await hands.press("s")
        assert "What was read here fails" in hands.flat
        await hands.press("n")
        reasons = {answer.reason for answer in opened.book.answers.values()}
        assert reasons == {UnseenReason.UNSAFE_AIR}, "what lies inside is unseen; the air itself is not answered"
        assert len(opened.book.answers) > 10
        await hands.press("right")
        assert "KEEP OUT" in hands.flat


async def test_all_places_by_cause_the_best_known_first(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        await hands.press("c")
        assert "LEAK MEASURED: " in hands.text
        assert "likely" in hands.text
        places = Judged(opened.book, checklists).eaten
        assert (
            f"{len(places)} places, a likely cause at {sum(bool(one.found.likely) for one in places)}" in hands.text
        )
        await hands.press("home", "down", "down", "down", "enter")
        best = max(places, key=lambda one: one.found.ranked[0].chance)
        assert f"Finding {best.finding.chalk} " in hands.text
        assert best.found.ranked[0].cause.name in hands.text
        await hands.press("escape", "f")
        assert f"Finding {best.finding.chalk} " in hands.text


async def test_a_lifted_patch_in_four_keys_and_a_number(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        await hands.press("c", "home", "enter")
        assert "3 lifted, 4 not lifted" in hands.text
        await hands.press("home", "down", "d", "p", "y", "l", "f", "l")
        await hands.type("far")
        await hands.press("enter")
        assert '"far" is not a number' in hands.flat
        assert not [one for one in tally(opened.book).lifted if one.chalk == 44]
        await hands.press("ctrl+u")
        await hands.type("30")
        await hands.press("enter")
        lifted = opened.book.findings["44"].lifted
        assert lifted is not None
        assert (lifted.beneath.value, lifted.product, lifted.beyond_mm) == ("pits", True, 30.0)
        assert {"pits", "grey-paste", "hollow"} <= set(opened.book.findings["44"].signs)
        assert (opened.book.findings["44"].patch, lifted.drawn) == (PatchType.FILLER, True)
        assert "filler or epoxy: of 1 lifted, 1 was bad" in hands.flat
        assert "kind not said, may be mixed: of 3 lifted, 2 were bad; says little of the other 3" in hands.flat
        assert "Lift them all" in hands.flat
        await hands.press("y")
        assert "by lot" in hands.flat
        await hands.press("escape", "home", "e", "f")
        assert "drawn by lot: of the other 1, 0 to 1 are bad, at 90 %" in hands.flat
        await hands.press("y")
        assert "exact limits of a hypergeometric draw" in hands.flat
        await hands.press("escape", "e", "x")
        assert next(one for one in tally(opened.book).waiting).patch is None
        await hands.press("a", "enter")
        await hands.type("new filler")
        await hands.press("enter")
        assert opened.book.findings["54"].kind == "old-patch"
        opened.record(edits.float_or_haul(opened.book, FloatState.AFLOAT, opened.clock().date()))
        await hands.press("end", "d")
        assert "She is afloat" in hands.flat


async def test_potentials_among_their_bands_and_over_the_rounds(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    opened.record(edits.float_or_haul(opened.book, FloatState.AFLOAT, opened.clock().date()))
    async with at_work(checklists, opened) as hands:
        await hands.press("c", "home", "down", "enter")
        assert "BARELY PROTECTED: -886" in hands.text
        assert "passes 100 mV" in hands.flat
        assert "fails 200 mV" in hands.flat
        assert "free potential" in hands.text
        assert "-848 mV  148 not protected" in hands.text
        await hands.type("-1200")
        assert "OVER-PROTECTED" in hands.text
        assert "Take magnesium off" in hands.flat
        await hands.press("enter")
        assert "Saved. Type the next" in hands.flat
        newest = at_rest(opened.book)[-1]
        assert (newest.potential_mv, newest.electrode, newest.water_salinity_g_kg) == ((-1200.0,), "agcl-sea", 6.0)
        await hands.press("f3", "pagedown")
        assert "59.2" in hands.flat
        await hands.press("escape", "f8", "y")
        assert "BARELY PROTECTED" in hands.text
        hands.app.screen.query_one("#electrode").pick("unsaid")  # type: ignore[attr-defined]
        await hands.settle()
        await hands.type("-900")
        assert "Against which electrode?" in hands.flat
        before = len(opened.book.readings)
        hands.app.screen.query_one("#values").focus()
        await hands.press("enter")
        assert len(opened.book.readings) == before


async def test_the_wiring_is_tried_against_the_hull(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        hands.app.go("hunt")
        await hands.settle()
        assert "90 Ω" in hands.flat
        assert "isolation lost, which by itself eats nothing" in hands.flat
        await hands.press("f9", "t", "o")
        await hands.type("20000 15000")
        await hands.press("enter")
        assert "isolated from the hull" in hands.flat
        assert "Volvo Penta" in hands.flat
        await hands.press("escape", "f9", "t", "o")
        await hands.type("plenty")
        await hands.press("enter")
        assert "is not a number" in hands.flat, "the box stays open with its complaint"
        await hands.press("ctrl+u")
        await hands.type("OL")
        await hands.press("enter")
        assert "OL means off the scale" in hands.flat
        await hands.press("escape", "f9", "t", "l", "f")
        assert "lamp faint" in hands.flat
        assert "a small leak" in hands.flat
        await hands.press("escape", "f9", "t", "x")
        assert "positive 20000 and negative 15000 Ω" in hands.flat, "the newest test is taken out"
        await hands.press("f9", "t", "t")
        assert "tell you nothing" in hands.flat
        assert opened.book.boat.negative_tied
        await hands.press("f9", "t", "f")
        assert opened.book.boat.negative_tied is False


async def test_before_the_first_test_of_the_wiring_it_is_asked_whether_a_pole_is_tied(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    async with at_work(checklists, opened, size=(100, 40)) as hands:
        hands.app.go("hunt")
        await hands.settle()
        await hands.press("f9", "t")
        assert "joined to the hull on purpose?" in hands.flat
        await hands.press("u", "o")
        await hands.type("24000 90")
        await hands.press("enter")
        assert "if so, this tells nothing" in " ".join(hands.flat.replace("┃", "").split())
        assert "a heavy leak" not in hands.flat
        await hands.press("escape")
        assert "a pole touches the hull" in hands.flat
        await hands.press("f9", "t", "n", "escape")
        assert opened.book.boat.negative_tied is False
        assert "isolation lost, which by itself eats nothing" in hands.flat
        await hands.press("f9", "t")
        assert "Isolation test: how?" in hands.flat


async def test_what_a_meter_says_is_judged_as_it_is_typed(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    place = place_called(opened.book, "electrics")
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        hands.app.go("measure", compartment=place.id)
        await hands.settle()

        async def measured(kind: str, typed: str, across: str = "unsaid") -> str:
            hands.app.screen.query_one("#kind").pick(kind)  # type: ignore[attr-defined]
            await hands.settle()
            hands.app.screen.query_one("#across").pick(across)  # type: ignore[attr-defined]
            hands.app.screen.query_one("#values").value = typed  # type: ignore[attr-defined]
            await hands.settle()
            return hands.flat

        assert "FAILS" in await measured("oxygen", "20.9 19.2")
        assert "toxic gas" in await measured("oxygen", "20.9")
        assert "FAILS" in await measured("vapour", "10")
        assert "Too alkaline" in await measured("acidity", "9,1")
        assert "TOO MUCH" in await measured("resistance", "0.4", "an anode and the hull")
        assert "NEITHER" in await measured("resistance", "80", "a part and the hull")
        assert "sources disagree" in await measured("resistance", "0.3", "the ends of a bond")
        assert "leak" not in (await measured("resistance", "90", "the wiring and the hull")).lower()
        assert "ask whether a pole is tied to the hull on purpose" in hands.flat
        assert "A HEAVY LEAK" in await measured("resistance", "90 24000", "the wiring and the hull")
        hands.app.screen.query_one("#values").focus()
        await hands.press("enter")
        kept = next(iter(opened.book.readings.values()))
        assert kept.model_dump()["across"] == "the wiring and the hull"


async def test_tank_water_and_air(tmp_path: Path, checklists: Checklists) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        hands.app.go("tank")
        await hands.settle()
        for id, value, words in (
            ("oxygen_percent", "19.1", "FAILS Keep out"),
            ("vapour_percent_lel", "3", "Not to be trusted"),
            ("oxygen_percent", "20.9", "Toxic gas is tested next"),
            ("oxygen_percent", "19.8", "find what uses it up"),
            ("ph", "7,4", "oxide film holds"),
            ("copper_ppb", "30", "Enough to pit"),
            ("chlorine_mg_l", "100", "For how many hours?"),
            ("chlorine_hours", "4", "400 mg·h/L"),
            ("overflow_m", "1.8", "17.7 kPa at rest"),
            ("ph", "acid", '"acid" is not a number'),
        ):
            hands.app.screen.query_one(f"#{id}").value = value  # type: ignore[attr-defined]
            await hands.settle()
            assert words in hands.flat
        await hands.press("f3")
        assert "29 CFR 1915.12" in hands.flat


async def test_with_nothing_ticked_the_answer_is_that_it_is_not_enough(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    place = place_called(opened.book, "cabin-bilge")
    prompt = next(one for one in checklists.areas["cabin-bilge"].prompt)
    stamp = opened.stamp()
    edit = finding_edit(
        opened.book,
        stamp,
        place,
        kind="unclear",
        words="?",
        severity=prompt.severity,
        likelihood="C",
    )
    opened.record(edit)
    async with at_work(checklists, opened) as hands:
        hands.app.go("cause", chalk=1)
        await hands.settle()
        assert "Not enough to say" in hands.text
        assert "next test" in hands.text


async def test_a_potential_is_refused_without_its_electrode_and_judged_with_it(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file(float_state=FloatState.AFLOAT)
    opened.record(edits.change_boat(opened.book.boat.model_copy(update={"water": Water.SALT})))
    place = place_called(opened.book, "electrics")
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        hands.app.go("measure", compartment=place.id)
        await hands.settle()
        hands.app.screen.query_one("#kind").pick("potential")  # type: ignore[attr-defined]
        await hands.settle()
        await hands.type("-1250")
        assert "Against which electrode?" in hands.flat
        await hands.press("enter")
        assert not opened.book.readings
        hands.app.screen.query_one("#electrode").pick("agcl-sea")  # type: ignore[attr-defined]
        await hands.settle()
        assert "OVER-PROTECTED" in hands.text
        assert "Take magnesium off" in hands.flat
        hands.app.screen.query_one("#values").focus()
        await hands.press("enter")
        kept = next(iter(opened.book.readings.values()))
        assert kept.model_dump()["electrode"] == "agcl-sea"


async def test_a_potential_typed_ashore_is_kept_as_a_note_and_judged_nowhere(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    place = place_called(opened.book, "electrics")
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        hands.app.go("measure", compartment=place.id)
        await hands.settle()
        hands.app.screen.query_one("#kind").pick("potential")  # type: ignore[attr-defined]
        hands.app.screen.query_one("#electrode").pick("agcl-sea")  # type: ignore[attr-defined]
        await hands.settle()
        await hands.type("-1250")
        assert "a potential read now is kept as a note, and counts for nothing" in hands.flat
        assert "OVER" not in hands.text
        assert "magnesium" not in hands.flat
        await hands.press("enter")
        assert len(opened.book.readings) == 1
        assert "read ashore" in hands.flat
        hands.app.go("protection")
        await hands.settle()
        assert "OVER-PROTECTED:" not in hands.text
        assert "read ashore: only a note" in hands.flat
    assert "hull/potential" not in worklist(opened.book, checklists).by_key


async def test_ashore_a_potential_is_taken_only_with_a_day_on_which_she_floated(
    tmp_path: Path, checklists: Checklists
) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        await hands.press("c", "home", "down", "enter")
        before = len(opened.book.readings)
        await hands.type("-1200")
        assert "out of the water a potential says nothing" in hands.flat
        for day, told in (
            ("yesterday", "is not a time"), ("2031-01-01", "not come yet"), ("2025-11-12", "out of the water then")
        ):  # fmt: skip
            hands.app.screen.query_one("#read_on").value = day  # type: ignore[attr-defined]
            await hands.settle()
            assert told in hands.flat
            hands.app.screen.query_one("#values").focus()
            await hands.press("enter")
            assert len(opened.book.readings) == before
        hands.app.screen.query_one("#read_on").value = "2025-10-27 09:30"  # type: ignore[attr-defined]
        await hands.settle()
        assert "OVER-PROTECTED:" in hands.text
        await hands.press("enter")
        assert f"{at_rest(opened.book)[-1].when:%Y-%m-%d %H:%M}" == "2025-10-27 09:30"
    opened.record(edits.float_or_haul(opened.book, FloatState.AFLOAT, opened.clock().date()))
    async with at_work(checklists, opened) as hands:
        await hands.press("c", "home", "down", "enter")
        assert "Read on" not in hands.text


async def test_a_hunt_over_twelve_circuits_finds_the_one_and_puts_it_before_the_repairs(
    tmp_path: Path, checklists: Checklists
) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        hands.app.go("hunt")
        await hands.settle()
        await hands.type("-900")
        await hands.press("enter")
        assert "She is hauled out" in hands.flat
        assert len(newest_hunt(opened.book)) == 12, "the one from before she was hauled out, and nothing more"
        assert "bilge pump" in hands.text
        assert "FAULT" in hands.text
        opened.record(edits.float_or_haul(opened.book, FloatState.AFLOAT, opened.clock().date()))
        opened.record(with_circuits(opened.book, ()))
        for number in range(1, 13):
            await hands.press("f9", "a")
            await hands.type(f"circuit {number}")
            await hands.press("enter")
        assert len(opened.book.boat.circuits) == 12
        await hands.press("ctrl+u", "down", "down")
        await hands.type("-900")
        await hands.press("enter")
        assert "Begin with the baseline" in hands.flat
        await hands.press("ctrl+u", "up", "up")
        for value in (
            -900,
            -899,
            -900,
            *(-815 if number == 7 else -900 + 2 * number for number in range(1, 13)),
            -874,
        ):
            await hands.type(str(value))
            await hands.press("enter")
        seen = hands.flat
        assert "The baseline repeats within 26 mV" in seen
        assert "circuit 7: +71 mV" in seen
        assert "FAULT" in seen
        await hands.press("f9", "f")
        assert len(newest_hunt(opened.book)) == 16
        assert "Written down as finding 54" in hands.flat
        await hands.press("f3")
        assert "greatest - least" in hands.flat
    listed = worklist(opened.book, checklists)
    rank = {action.chalk: action.rank for action in listed.actions}
    repairs = [
        action
        for action in listed.actions
        if action.kind and action.kind.corrosion and action.step in (Step.DECIDE, Step.HOT_WORK)
    ]
    assert repairs
    for action in repairs:
        assert rank[54] < action.rank
        assert "finding 54" in listed.after_labels(action)


@pytest.mark.parametrize(
    ("key", "title"),
    [("circuit-hunt", "Circuit hunt"), ("pole-ohms", "Circuit hunt"), ("rest-potential", "Protection"),
     ("bond-straps", "Measure")],
)  # fmt: skip
async def test_a_question_opens_the_screen_on_which_it_is_answered(
    tmp_path: Path, checklists: Checklists, key: str, title: str
) -> None:
    opened = demo_file(tmp_path)
    place = place_called(opened.book, "electrics")
    async with at_work(checklists, opened) as hands:
        hands.app.go("walk", compartment=place.id, prompt=f"electrics/{key}")
        await hands.settle()
        await hands.press("m")
        assert title in hands.text
        await hands.press("escape")
        assert prompt_called(checklists, opened.book, f"electrics/{key}")[1].ask[:20] in hands.text


async def test_a_hunt_is_not_begun_without_naming_the_electrode(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file(float_state=FloatState.AFLOAT)
    async with at_work(checklists, opened) as hands:
        hands.app.go("hunt")
        await hands.settle()
        await hands.type("-900")
        await hands.press("enter")
        assert "Against which electrode" in hands.flat
        assert not opened.book.readings
        await hands.press("f9", "e", "home", "enter", "enter")
        assert len(newest_hunt(opened.book)) == 1


async def test_an_anode_plan_is_followed_line_by_line_and_too_little_current_is_caught(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        hands.app.go("anodes")
        await hands.settle()
        assert "4 to reach all of her. Reach decides." in hands.flat
        await hands.press("f3")
        for words in ("1.7·L·T + ∇/T", "coating gone"):
            assert words in hands.text
        await hands.press("escape")
        # Bare metal, a heavy block in nearly fresh water: metal for years, and little current.
        for id, value in (("anode_kg", "40"), ("resistivity_ohm_m", "9"), ("anodes_fitted", "1")):
            hands.app.screen.query_one(f"#{id}").value = value  # type: ignore[attr-defined]
        hands.app.screen.query_one("#paint").pick("bare")  # type: ignore[attr-defined]
        await hands.settle()
        assert "TOO FEW, too little current, though there is enough metal" in hands.flat
        hands.app.screen.query_one("#anode").pick("magnesium")  # type: ignore[attr-defined]
        await hands.settle()
        assert "No magnesium on an aluminium hull" in hands.flat
        hands.app.screen.query_one("#anode_kg").value = "heavy"  # type: ignore[attr-defined]
        await hands.settle()
        assert '"heavy" is not a number' in hands.flat


async def test_two_circuits_of_which_one_name_begins_the_other_both_become_findings(
    tmp_path: Path, checklists: Checklists
) -> None:
    opened = demo_file(tmp_path)
    opened.record(edits.float_or_haul(opened.book, FloatState.AFLOAT, opened.clock().date()))
    opened.record(with_circuits(opened.book, ("Pump", "Pump aft")))
    async with at_work(checklists, opened) as hands:
        hands.app.go("hunt")
        await hands.settle()
        for mv in (-900, -900, -900, -820, -830, -900):
            await hands.type(str(mv))
            await hands.press("enter")
        await hands.press("f9", "f")
        assert "Written down as finding 54" in hands.flat
        assert opened.book.findings["54"].circuit == "Pump"
        await hands.press("escape", "number_sign", "5", "4", "enter", "ctrl+u")
        await hands.type("the pump moves her hull by a lot")
        await hands.press("f2")
        assert opened.book.findings["54"].words == "the pump moves her hull by a lot"
        await hands.press("escape")
        hands.app.go("hunt")
        await hands.settle()
        await hands.press("f9", "f")
        assert "Written down as finding 55" in hands.flat
        assert opened.book.findings["55"].circuit == "Pump aft"
        await hands.press("f9", "f")
        assert "56" not in opened.book.findings, "both stand in the book"
    assert opened.book.findings["54"].circuit == "Pump", "rewording it changed nothing"


async def test_a_reading_from_a_half_written_measure_keeps_its_prompt_and_its_plate(
    tmp_path: Path, checklists: Checklists
) -> None:
    opened = demo_file(tmp_path)
    place, prompt = prompt_called(checklists, opened.book, "cabin-bilge/pit-grid")
    async with at_work(checklists, opened, size=(100, 40)) as hands:
        hands.app.go("measure", compartment=place.id, prompt=prompt.key, plate="p2")
        await hands.settle()
        await hands.type("1,4 0.9")
        await hands.press("escape")
    opened.close()
    again = open_book(opened.path, opened.clock, "Mattis")
    async with at_work(checklists, again, size=(100, 40)) as hands:
        await hands.press("f9", "2", "1", "o")
        assert "1,4 0.9" in hands.text
        await hands.press("f2")
    newest = max(again.book.readings.values(), key=lambda one: one.when)
    assert (newest.compartment, newest.prompt, newest.plate_field) == (place.id, prompt.key, "p2")
    assert newest.typed == "1,4 0.9"
    assert not again.book.drafts
