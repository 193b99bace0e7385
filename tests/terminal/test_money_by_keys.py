"""Money by keys: rates, a quote, what was paid; none of it in the book or in a paper."""

from __future__ import annotations

from pathlib import Path

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.handover.papers import write_papers
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.money_file import load_money, money_path
from tests.terminal.helpers import Hands, at_work, demo_file

# Numbers that nothing else on her has.
RATE, LEAST, QUOTE, LIMIT, PAID = "73.19", "411.07", "8642.31", "97531", "1357.9"


async def change(hands: Hands, row: str, typed: str) -> None:
    hands.app.screen.choose(row)  # type: ignore[attr-defined]
    await hands.press("enter")
    await hands.type(typed)
    await hands.press("enter")


async def test_rates_quotes_and_payments_by_keys(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    async with at_work(checklists, file, size=(120, 40)) as hands:
        await hands.press("dollar_sign")
        assert "Nothing is priced yet" in hands.flat
        before = file.path.read_bytes()
        await change(hands, "currency", "kr")
        await change(hands, "rate welder an_hour", "a lot")
        assert "is not an amount" in hands.flat, "a sentence, and what was typed stays"
        assert "a lot" in hands.text
        for _ in "a lot":
            await hands.press("backspace")
        await hands.type(RATE)
        await hands.press("enter")
        await change(hands, "rate welder least", LEAST)
        await change(hands, "may", LIMIT)
        assert "at least, for: no rate or quote: " in hands.flat
        key = next(one.key for one in hands.app.screen._reckoned.lines if one.quoted is False)  # type: ignore[attr-defined]
        await change(hands, f"job {key}", QUOTE)
        hands.app.screen.choose(f"job {key}")  # type: ignore[attr-defined]
        await hands.press("enter", "t")
        assert "promised 8642" in hands.flat
        hands.app.screen.choose(f"job {key}")  # type: ignore[attr-defined]
        await hands.press("a")
        await hands.type(PAID)
        await hands.press("enter")
        assert "spent 1358" in hands.flat
        await hands.press("z")
        assert "spent 0" in hands.flat, "taken back"
        await hands.press("a")
        await hands.type(PAID)
        await hands.press("enter", "y")
        assert "Working: money" in hands.text
        await hands.press("escape")
        assert file.path.read_bytes() == before, "the book was not touched"
        await hands.press("escape", "dollar_sign")
        assert "she may cost 97531 kr" in hands.flat, "it is there when one comes back"
    money = load_money(money_path(file.path))
    assert money.may_cost == float(LIMIT)
    assert [one.amount for one in money.paid] == [float(PAID)]
    # The papers hold every part there is, the proof and the tables too.
    write_papers(Judged(file.book, checklists), tmp_path / "papers", ("html", "text", "csv"))
    written = b"".join(
        one.read_bytes() for one in tmp_path.rglob("*") if one.is_file() and one != money_path(file.path)
    )
    for number in (RATE, LEAST, QUOTE, LIMIT, PAID):
        assert number.encode() not in written


async def test_a_file_that_cannot_be_read_is_left_alone(tmp_path: Path, checklists: Checklists) -> None:
    file = demo_file(tmp_path)
    money_path(file.path).write_text("{ broken")
    async with at_work(checklists, file, size=(100, 30)) as hands:
        await hands.press("dollar_sign")
        assert "cannot be read" in hands.flat
        await hands.press("a", "enter", "z", "f8")
    assert money_path(file.path).read_text() == "{ broken"
