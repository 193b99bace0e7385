"""Why she corrodes, and whether she is protected, by the keyboard."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from inspect_tui.domain import edits
from inspect_tui.domain.checklists import Checklists
from inspect_tui.domain.words import FloatState, Step, Water
from inspect_tui.judgement.hunted import PROMPT
from inspect_tui.judgement.worklist import worklist
from inspect_tui.store.book_file import BookFile
from tests.conftest import place_called
from tests.terminal.helpers import at_work, demo_file


async def test_signs_are_ticked_and_the_ranking_follows(tmp_path: Path, checklists: Checklists) -> None:
    opened = demo_file(tmp_path)
    async with at_work(checklists, opened) as hands:
        await hands.press("c", "6", "enter", "f9")
        assert "another metal fitted to her" in hands.text
        assert "next test" in hands.text
        before, ranked = opened.book.findings["6"], hands.text.splitlines()[-11:]

        def absent() -> tuple[str, ...]:
            return opened.book.findings["6"].signs_absent

        await hands.press("down", "s")
        assert "powder" in opened.book.findings["6"].signs
        assert hands.text.splitlines()[-11:] != ranked
        await hands.press("n")
        assert absent() == ("pits",)
        await hands.press("up", "x")
        assert not absent()
        await hands.press("t")
        assert "The next test" in hands.text
        await hands.press("escape", "y")
        assert "weights of causes.toml" in hands.flat
        await hands.press("escape", "z", "z", "z")
        assert opened.book.findings["6"].signs == before.signs
        await hands.press("escape")
        assert "Finding 6" in hands.text


async def test_with_nothing_ticked_the_answer_is_that_it_is_not_enough(
    make_file: Callable[..., BookFile], checklists: Checklists
) -> None:
    opened = make_file()
    place = place_called(opened.book, "cabin-bilge")
    prompt = next(one for one in checklists.areas["cabin-bilge"].prompt)
    stamp = opened.stamp()
    edit = edits.write_finding(
        opened.book,
        stamp,
        place,
        kind="unclear",
        words="?",
        severity=prompt.severity,
        likelihood="C",  # type: ignore[arg-type]
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
    opened = make_file()
    opened.record(edits.change_boat(opened.book.boat.model_copy(update={"water": Water.SALT})))
    place = place_called(opened.book, "electrics")
    async with at_work(checklists, opened, size=(100, 30)) as hands:
        hands.app.go("measure", place.id)
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
        assert "Take anodes off" in hands.flat
        hands.app.screen.query_one("#values").focus()
        await hands.press("enter")
        kept = next(iter(opened.book.readings.values()))
        assert kept.model_dump()["electrode"] == "agcl-sea"


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
        assert not any(one.prompt == PROMPT for one in opened.book.readings.values())
        opened.record(edits.float_or_haul(opened.book, FloatState.AFLOAT, opened.clock().date()))
        await hands.press("enter")
        assert "Against which electrode" in hands.flat
        await hands.press("f6", "home", "enter")
        for number in range(1, 13):
            await hands.press("f2")
            await hands.type(f"circuit {number}")
            await hands.press("enter")
        assert len(opened.book.boat.circuits) == 12
        await hands.press("ctrl+u")
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
        assert "circuit 7: +69 mV" in seen
        assert "FAULT" in seen
        await hands.press("f9")
        assert "Written down as finding 49" in hands.flat
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
        assert rank[49] < action.rank
        assert "finding 49" in listed.after_labels(action)


async def test_an_anode_plan_is_followed_line_by_line_and_too_little_current_is_caught(
    tmp_path: Path, checklists: Checklists
) -> None:
    async with at_work(checklists, demo_file(tmp_path)) as hands:
        hands.app.go("anodes")
        await hands.settle()
        assert "Mass decides" in hands.flat or "Current decides" in hands.flat
        await hands.press("f3")
        for words in ("1.7·L·T + ∇/T", "coating gone"):
            assert words in hands.text
        await hands.press("escape")
        # Bare metal, a heavy block in nearly fresh water: metal for years, and little current.
        for id, value in (("mass", "40"), ("resistivity", "9"), ("fitted", "1")):
            hands.app.screen.query_one(f"#{id}").value = value  # type: ignore[attr-defined]
        hands.app.screen.query_one("#paint").pick("bare")  # type: ignore[attr-defined]
        await hands.settle()
        assert "TOO FEW: too little current though there is metal enough" in hands.flat
        hands.app.screen.query_one("#anode").pick("magnesium")  # type: ignore[attr-defined]
        await hands.settle()
        assert "No magnesium on an aluminium hull" in hands.flat
        hands.app.screen.query_one("#mass").value = "heavy"  # type: ignore[attr-defined]
        await hands.settle()
        assert '"heavy" is not a number' in hands.flat
