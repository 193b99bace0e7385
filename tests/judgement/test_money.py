"""Money by the owner's own numbers: nothing without them, nothing under the least charge, and the sums agree."""

from __future__ import annotations

import itertools
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, after
from inspect_tui.domain.owner.money import Money, Paid, Quote, Rate, Span, amount_of
from inspect_tui.domain.words import UnseenReason, Who
from inspect_tui.errors import Damaged, NotUnderstood
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.money.reckoning import LOOKS, Reckoned, reckon
from inspect_tui.store.checklist_files import load_checklists
from inspect_tui.store.money_file import load_money, money_path, save_money
from tests.judgement.invented import Invented
from tests.judgement.test_scope import STAMP, Damage, book_of

DAY = date(2026, 3, 1)


@cache
def judged(seed: int) -> Judged:
    return Judged(Invented(seed, load_checklists()).book, load_checklists())


def reckoned(of: Judged, money: Money) -> Reckoned:
    return reckon(of.book, of.checklists, of.worklist, of.scope, money)


@given(st.integers(0, 3))
@settings(deadline=None, max_examples=4)
def test_nothing_is_priced_without_the_owners_numbers(seed: int) -> None:
    told = reckoned(judged(seed), Money(may_cost=5000))
    assert not told.priced
    assert all(one.amount is None for one in told.lines)
    assert told.likely == Span(0, 0)
    assert all(one.moves is None for one in told.unseen)
    assert told.against(5000) == "nothing is priced yet"


@given(
    st.integers(0, 5),
    st.dictionaries(st.sampled_from(list(Who)), st.tuples(st.integers(1, 200), st.integers(0, 900)), min_size=1),
    st.lists(st.integers(0, 4000), max_size=3),
    st.lists(st.integers(0, 2000), max_size=3),
)
@settings(deadline=None, max_examples=40)
def test_known_likely_and_worst_agree_with_the_jobs(
    seed: int, rates: dict[Who, tuple[int, int]], quoted: list[int], paid: list[int]
) -> None:
    of = judged(seed)
    keys = [one.key for one in reckoned(of, Money()).lines]
    assert len(keys) == len(set(keys)), "a quote is for one job"
    money = Money(
        rates={who: Rate(an_hour=hour, least=least) for who, (hour, least) in rates.items()},
        quotes=tuple(
            Quote(action=key, amount=amount, day=DAY, taken=amount % 2 == 0)
            for key, amount in zip(keys, quoted, strict=False)
        ),
        paid=tuple(Paid(what="x", amount=amount, day=DAY) for amount in paid),
    )
    told = reckoned(of, money)
    quotes = sum(one.amount for one in money.quotes)
    assert told.known.low == told.known.high == pytest.approx(sum(paid) + quotes)
    rest = [one.amount for one in told.lines if one.amount is not None and not one.quoted]
    assert told.likely.low == pytest.approx(told.known.low + sum(one.low for one in rest))
    assert told.likely.high == pytest.approx(told.known.high + sum(one.high for one in rest))
    assert told.promised == pytest.approx(sum(one.amount for one in money.quotes if one.taken))
    if told.worst is not None:
        more = [one.moves for one in told.unseen if one.moves is not None]
        assert told.worst.high == pytest.approx(told.likely.high + sum(one.high for one in more))
        assert told.worst.low >= told.likely.low
    for line in told.lines:
        if line.amount is not None and not line.quoted:
            assert line.amount.low >= (money.rate(line.who).least or 0)
            assert line.amount.low <= line.amount.high
            assert line.who in rates
        assert sum(line.places.values()) <= 1 + 1e-9
    worth = [one.moves.high / one.look_hours if one.moves else 0.0 for one in told.unseen]
    assert worth == sorted(worth, reverse=True), "the look that moves most for an hour comes first"


def test_every_job_is_priced_once_and_every_welded_finding_by_its_cut() -> None:
    for seed in range(5):
        of = judged(seed)
        told = reckoned(of, Money())
        scoped = {chalk for job in of.scope for chalk in job.findings}
        assert sum(one.key.startswith("scope/") for one in told.lines) == len(of.scope)
        work = [
            one
            for one in of.worklist.jobs
            if any(a.who is not Who.WELDER or a.chalk not in scoped for a in one.actions)
        ]
        assert len(told.lines) == len(of.scope) + len(work)


def test_what_was_paid_for_a_job_is_not_counted_twice() -> None:
    of = judged(3)
    line = next(one for one in reckoned(of, Money()).lines if one.hours)
    quote = Quote(action=line.key, amount=1000, day=DAY, taken=True)
    part = Paid(what="first part", amount=400, day=DAY, action=line.key)
    told = reckoned(of, Money(quotes=(quote,), paid=(part,)))
    assert told.known == Span(1000, 1000)
    assert told.promised == 600
    assert told.paid == 400


def test_against_where_the_owner_stops() -> None:
    of = judged(3)
    rates = {who: Rate(an_hour=50, least=100) for who in Who}
    told = reckoned(of, Money(rates=rates))
    assert "over it by" in told.against(told.likely.low - 1)
    assert "may be exceeded" in told.against(told.likely.low + 1)
    assert told.against(1e9).startswith("within it, as far as is known")
    for words in (told.against(1), told.against(1e9)):
        assert not {"buy", "safe", "worth", "should"} & set(words.split())


def test_every_reason_has_its_cheapest_look() -> None:
    assert set(LOOKS) == set(UnseenReason)
    assert all(hours > 0 and words for words, hours in LOOKS.values())


@pytest.mark.parametrize("text", ["-1", "a lot", "1e12", "12 EUR", "nan", "inf"])
def test_what_is_no_amount_is_told_in_a_sentence(text: str) -> None:
    with pytest.raises(NotUnderstood, match="is not an amount"):
        amount_of(text)


def test_nothing_is_an_amount_too() -> None:
    assert amount_of("0") == 0


def test_the_file_lies_beside_the_book_and_comes_back_as_it_was(tmp_path: Path) -> None:
    path = money_path(tmp_path / "sandmartin.hullbook")
    assert path.name == "sandmartin.money.json"
    assert load_money(path) == Money(), "nothing is written down where there is none"
    money = Money(currency="kr", may_cost=12000, paid=(Paid(what="crane", amount=800, day=DAY),)).with_rate(
        Who.WELDER, an_hour=70.0
    )
    save_money(path, money)
    assert load_money(path) == money
    for bad in ("{", "[]", '{"may_cost": -1}', "x" * 5_000_000):
        path.write_text(bad)
        with pytest.raises(Damaged, match="put it aside"):
            load_money(path)
        assert path.read_text() == bad, "nothing of it is lost"


def test_one_more_quote_or_rate_never_unprices_a_job() -> None:
    of = judged(5)
    rates = {Who.WELDER: Rate(an_hour=60)}
    fewer, more = (reckoned(of, Money(rates=one)) for one in (rates, {**rates, Who.YARD: Rate(an_hour=80)}))
    for one, other in itertools.zip_longest(fewer.lines, more.lines):
        assert one.amount is None or one.amount == other.amount


def seen(book: Book, shares: dict[str, float]) -> Judged:
    """One insert in her bilge; beside it a stem and a deck, of each so much seen [%], 0: nobody entered it."""
    checklists = load_checklists()
    for area in ("stem", "deck"):
        book = after(book, edits.add_compartment(book, checklists.areas[area], area), STAMP)[0]
    for place in list(book.compartments.values()):
        if percent := shares[place.area]:
            reasons = (UnseenReason.SEALED, UnseenReason.GEAR) if percent < 100 else ()
            share = checklists.prompts["everywhere/share"]
            book = after(book, edits.seen_share(book, STAMP, place, share, percent, reasons), STAMP)[0]
    return Judged(book, checklists)


def test_what_the_unseen_may_add_by_hand() -> None:
    """Half of the bilge and all of the stem were seen, both below: an insert for 1.5 places seen. The other half of
    the bilge, as bad, adds a third of it."""
    money = Money(rates={Who.WELDER: Rate(an_hour=100)})
    told = reckoned(seen(book_of(Damage(2250, 300)), {"cabin-bilge": 50, "stem": 100, "deck": 100}), money)
    (line,) = [one for one in told.lines if one.amount is not None]
    assert line.key == "scope/1"
    assert line.hours is not None
    assert line.amount is not None
    assert (line.amount.low, line.amount.high) == pytest.approx((100 * line.hours[0], 100 * line.hours[1]))
    (unseen,) = told.unseen
    assert unseen.place.area == "cabin-bilge"
    assert unseen.share == pytest.approx(0.5)
    assert unseen.moves is not None
    assert unseen.moves.high == pytest.approx(line.amount.high * 0.5 / 1.5)
    assert (unseen.look, unseen.look_hours) == LOOKS[UnseenReason.GEAR], "the cheaper of its two reasons"
    assert told.worst is not None
    assert told.worst.high == pytest.approx(line.amount.high * 4 / 3)
    assert not any("was seen" in one for one in told.least), "five sixths are enough"


def test_what_nothing_alike_was_seen_of_cannot_be_told() -> None:
    """Of what lies above nothing was seen: what it hides has no measure, and neither has the worst."""
    money = Money(rates={Who.WELDER: Rate(an_hour=100)})
    told = reckoned(seen(book_of(Damage(2250, 300)), {"cabin-bilge": 50, "stem": 100, "deck": 0}), money)
    moves = {one.place.area: one.moves for one in told.unseen}
    assert moves["deck"] is None
    assert moves["cabin-bilge"] is not None
    assert told.worst is None
    assert "only 50 % of her was seen, 80 % would be needed" in told.least
    deck = next(one for one in told.unseen if one.place.area == "deck")
    assert (deck.share, deck.look) == (1.0, "walk it")


def test_the_gates_say_what_is_left_before_them() -> None:
    told = reckoned(seen(book_of(Damage(2250, 300)), {"cabin-bilge": 50, "stem": 100, "deck": 100}), Money())
    first, gauging, heat = told.gates
    assert first.open.endswith("left")
    assert gauging.open.endswith("left")
    assert heat.open == "waiting for a welder: 1 job"
