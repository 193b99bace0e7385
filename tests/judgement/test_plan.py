"""The plan: every open action in it once, nothing before what must come first, nobody over their hours."""

from __future__ import annotations

import json
import shutil
import tomllib
from collections import defaultdict
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import example, given, settings
from hypothesis import strategies as st

from inspect_tui.cli import main
from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Put, Stamp, after
from inspect_tui.domain.knowledge.entry import Touch
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.trail import Done
from inspect_tui.domain.words import Step, Tier, Who
from inspect_tui.errors import NotUnderstood
from inspect_tui.judgement.judged import Judged
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.plan import TRADE_HOURS, Means, Pace, Plan, hours_of, pace_of, plan_of
from inspect_tui.judgement.work.worklist import Worklist
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import load_checklists, shipped
from tests.conftest import START
from tests.judgement.invented import Invented

STAMP = Stamp(START, "Mattis")
DEMO = shipped("demo") / "sandmartin.hullbook"


@cache
def judged(seed: int) -> Judged:
    return Judged(Invented(seed, load_checklists()).book, load_checklists())


def needed_open(one: Action) -> tuple[str, ...]:
    if one.is_look:
        return one.places
    metal = one.kind is not None and one.kind.gauged and one.task is not Task.WATCH and one.compartment is not None
    return (one.compartment.id,) if metal and one.compartment is not None else ()


def holds(told: Plan, of: Judged) -> None:
    listed, afloat = of.worklist, of.book.boat.afloat
    days: dict[str, list[int]] = defaultdict(list)
    hours: dict[tuple[Who, int], float] = defaultdict(float)
    at: dict[str, tuple[int, int]] = {}
    for number, entry in enumerate(told.entries):
        hours[entry.who, entry.day] += entry.hours
        for one in entry.actions:
            days[one.key].append(entry.day)
            at.setdefault(one.key, (entry.day, number))
            assert one.who is entry.who
    waiting = {one.action.key: one.why for one in told.waits}
    # Every open action once: in days on end, or among what waits.
    assert set(days) | set(waiting) == {one.key for one in listed.actions}
    assert not set(days) & set(waiting)
    for key, on in days.items():
        assert on == list(range(on[0], on[0] + len(on))), key
    # What is longer than a day goes on, and only then; what is done together is of one job.
    for entry in told.entries:
        for one in entry.actions:
            assert entry.goes_on is (entry.day > days[one.key][0])
            assert entry.unfinished is (entry.day < days[one.key][-1])
        assert {listed.job_of.get(one.key) for one in entry.actions} == {entry.job}
        assert entry.job is not None or len(entry.actions) == 1
        whole = one_line(entry.first.what.split(" — ")[0])
        assert entry.say == (whole if len(entry.actions) == 1 else whole.split(": ")[0]), "no place's own words"
    together = [
        (one.day, one.who, one.job, one.goes_on, one.unfinished) for one in told.entries if one.job is not None
    ]
    assert len(together) == len(set(together)), "one line a day for each job"
    # Nothing before what must come first.
    for key in days:
        for first in listed.by_key[key].after:
            assert first not in waiting, "it waits for what waits"
            assert days[first][-1] <= days[key][0]
            if days[first][-1] == days[key][0]:
                assert listed.by_key[first].who is listed.by_key[key].who, "by the same hands, one after the other"
    # No place is closed up, and no part of it put back, over metal that is still to be seen, gauged or worked on.
    awaited = {first for key in days for first in listed.by_key[key].after}
    for key, on in days.items():
        one = listed.by_key[key]
        if one.task not in (Task.CLOSE, Task.REFIT) or one.tier is Tier.NOW or key in awaited or not one.compartment:
            continue
        for other, before in days.items():
            if one.compartment.id in needed_open(listed.by_key[other]):
                assert (before[-1], at[other][1]) < (on[0], at[key][1]), (other, key)
    # Nobody over their hours.
    for (who, day), spent in hours.items():
        assert spent <= (told.means.hours_a_day if who is Who.OWNER else TRADE_HOURS) + 1e-6, (who, day)
    assert sum(hours.values()) == pytest.approx(sum(hours_of(listed.by_key[key]) for key in days))
    # Nobody comes in before what is a danger now is dealt with.
    now = [days[key][-1] for key in days if listed.by_key[key].tier is Tier.NOW]
    for key, on in days.items():
        one = listed.by_key[key]
        if one.tier is not Tier.NOW and one.who is not Who.OWNER and now:
            assert on[0] > max(now)
        if afloat:
            assert not one.needs_haul or one.held
        if one.doing is not None and not one.held and Touch.HEATS in one.doing.does:
            assert told.means.heat
            danger = [k for k in days if (kind := listed.by_key[k].kind) and kind.danger == "always"]
            assert all(days[k][-1] <= on[0] for k in danger if listed.by_key[k].stage < one.stage)
        if one.doing is not None and one.doing.dry:
            assert told.means.dry
        if one.step is Step.COAT:
            assert told.means.degrees is None or told.means.degrees >= 10


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 15), st.floats(0.5, 14), st.booleans(), st.booleans(), st.one_of(st.none(), st.floats(-5, 25)))
@example(seed=0, hours_a_day=1.0, heat=True, dry=False, degrees=None)  # something waits for what was opened
def test_every_plan_of_any_book_keeps_its_promises(
    seed: int, hours_a_day: float, heat: bool, dry: bool, degrees: float | None
) -> None:
    of = judged(seed)
    means = Means(hours_a_day, heat=heat, dry=dry, degrees=degrees)
    told = plan_of(of.worklist, means, afloat=of.book.boat.afloat)
    holds(told, of)
    assert told == plan_of(of.worklist, means, afloat=of.book.boat.afloat), "the same every time"


def test_the_first_three_days_of_the_demo_are_those_that_somebody_wrote_apart(tmp_path: Path) -> None:
    """At least seven of ten; and nothing that was called dangerous then: no heat, no coat, nothing afloat."""
    copy = tmp_path / DEMO.name
    shutil.copy(DEMO, copy)
    of = Judged(open_book(copy, lambda: START, "Mattis").book, load_checklists())
    told = plan_of(of.worklist, Means(6, degrees=4), afloat=False)
    first = [one for one in told.entries if one.day <= 3]
    jobs = tomllib.loads((Path(__file__).parent / "data" / "first_days.toml").read_text(encoding="utf-8"))["job"]
    met = [
        any(
            one.who.value in job["who"] and any(each.chalk in job["numbers"] for each in one.actions) for one in first
        )
        for job in jobs
    ]
    assert len(met) == 10
    assert sum(met) >= 7, met
    assert not any(one.heats or one.first.step is Step.COAT for one in first)


def test_what_waits_says_for_what() -> None:
    of = judged(3)
    told = plan_of(of.worklist, Means(heat=False, dry=False, degrees=2), afloat=of.book.boat.afloat)
    reasons = {one.why for one in told.waits if not one.why.startswith("after ")}
    assert reasons <= {
        "until she is hauled out", "no heat is allowed where she lies", "wants it dry",
        "too cold to coat: 2 °C, wants 10 or what the tin says", "on its date",
    }  # fmt: skip
    assert all(one.action.task is Task.WATCH for one in told.waits if one.why == "on its date")


def test_a_trade_is_called_once_for_what_nobody_waits_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Called for each thing on the first day it could be done, the trades of this book come six times."""
    of = judged(1)

    def visits() -> int:
        told = plan_of(of.worklist, Means(), afloat=of.book.boat.afloat)
        assert told.days == 7
        return sum(len(days) for days in told.visits().values())

    assert visits() == 5
    monkeypatch.setattr("inspect_tui.judgement.work.plan._called_together", lambda _actions, _laid: {})
    assert visits() == 6


@pytest.mark.parametrize("seed", [0, 4, 11, 27])
def test_what_others_wait_for_is_not_kept_for_a_trade_s_one_visit(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    of = judged(seed)

    def begun() -> dict[str, int]:
        told = plan_of(of.worklist, Means(), afloat=of.book.boat.afloat)
        return {one.key: entry.day for entry in told.entries if not entry.goes_on for one in entry.actions}

    together, by_key = begun(), of.worklist.by_key
    monkeypatch.setattr("inspect_tui.judgement.work.plan._called_together", lambda _actions, _laid: {})
    soonest = begun()
    awaited = {key for one in together for key in by_key[one].after if by_key[key].who is not by_key[one].who}
    assert awaited
    for key in awaited & set(together):
        assert together[key] <= soonest[key]


def test_the_card_names_tools_and_what_is_never_done_that_day() -> None:
    of = judged(1)
    told = plan_of(of.worklist, Means(), afloat=of.book.boat.afloat)
    for day in range(1, told.days + 1):
        mine = told.on(day, Who.OWNER)
        assert set(told.in_hand(day)) == {
            thing
            for one in mine
            for each in one.actions
            if each.doing
            for thing in (*each.doing.tools, *each.doing.supplies)
        }
        heats = any(one.heats for one in told.on(day))
        assert any("gas-free test" in one for one in told.never(day)) is heats


@pytest.mark.parametrize("hours", [0.4, 25, float("nan")])
def test_hours_that_no_day_has_are_refused(hours: float) -> None:
    with pytest.raises(NotUnderstood, match=r"0\.5 to 24"):
        Means(hours)


def test_from_the_shell_as_text_json_and_csv() -> None:
    def run(*arguments: str) -> str:
        done = CliRunner().invoke(main, ["plan", str(DEMO), *arguments])
        assert done.exit_code == 0, done.output
        return done.output

    rows = json.loads(run("--json", "--degrees", "4"))
    assert rows[0]["day"] == 1
    assert rows[0]["tier"] == "Now"
    assert any("too cold to coat" in (row["waits_for"] or "") for row in rows)
    assert len(run("--csv", "--degrees", "4").splitlines()) == len(rows) + 1
    text = run()
    for words in ("DAY 1", "in hand:", "never today:", "CALL", "BUY", "OPEN, AND TO BE CLOSED"):
        assert words in text
    assert CliRunner().invoke(main, ["plan", str(DEMO), "--hours", "0"]).exit_code == 2


def test_a_plan_of_nothing_has_no_day() -> None:
    told = plan_of(Worklist((), {}), Means(), afloat=False)
    assert (told.days, told.entries, told.waits, told.visits()) == (0, (), (), {})


def timed(book: Book, *pairs: tuple[float, float]) -> Book:
    """With work done whose hours were written down: used, planned."""
    puts = tuple(
        Put("done", f"x{at}@", Done(action=f"x{at}", what="x", when=START, by="x", hours=used, planned_hours=planned))
        for at, (used, planned) in enumerate(pairs)
    )
    return after(book, Edit("done", puts), STAMP)[0]


def test_hours_used_correct_the_rest_from_three_jobs_on() -> None:
    book = judged(3).book
    assert pace_of(timed(book, (2, 1), (4, 2))) is None, "two are too few"
    # 2 + 4 + 1 hours used of 1 + 2 + 2 planned: 7 / 5.
    told = pace_of(timed(book, (2, 1), (4, 2), (1, 2)))
    assert told is not None
    assert told.share == pytest.approx(1.4)
    assert told.jobs == 3


@pytest.mark.parametrize(("used", "share"), [(500.0, 4.0), (0.01, 0.25)])
def test_a_slip_of_the_pen_moves_the_plan_by_no_more_than_four(used: float, share: float) -> None:
    told = pace_of(timed(judged(3).book, (used, 1), (used, 1), (used, 1)))
    assert told is not None
    assert told.share == share


def test_what_has_no_plan_or_no_hours_counts_for_nothing() -> None:
    book = timed(judged(3).book, (2, 1), (2, 1))
    more = Done(action="y", what="y", when=START, by="y")
    book = after(book, Edit("done", (Put("done", "y@", more),)), STAMP)[0]
    assert pace_of(book) is None


@pytest.mark.parametrize("seed", range(4))
def test_the_pace_stretches_the_owners_hours_and_no_trades(seed: int) -> None:
    of = judged(seed)
    plain, slow = (plan_of(of.worklist, Means(pace=pace), afloat=False) for pace in (None, Pace(1.5, 3)))

    def hours(plan: Plan, mine: bool) -> float:
        return sum(one.hours for one in plan.entries if (one.who is Who.OWNER) is mine)

    assert hours(slow, True) == pytest.approx(1.5 * hours(plain, True))
    assert hours(slow, False) == pytest.approx(hours(plain, False))


def test_a_job_at_several_places_shares_its_hours_in_the_book() -> None:
    of = judged(3)
    action = next(one for one in of.worklist.actions if one.task is Task.RECORD)
    edit = edits.mark_done(STAMP, action.key, "recorded", edits.Repair(hours=1.5, planned_hours=0.35))
    book = after(of.book, edit, STAMP)[0]
    newest = book.last_done[action.key]
    assert (newest.hours, newest.planned_hours) == (1.5, 0.35)
    untold = edits.mark_done(STAMP, action.key, "recorded", edits.Repair(planned_hours=0.35))
    newest = after(of.book, untold, STAMP)[0].last_done[action.key]
    assert (newest.hours, newest.planned_hours) == (None, None)
