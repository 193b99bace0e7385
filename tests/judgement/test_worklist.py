"""The list of actions: complete, in order, acyclic, and moving on when something is done."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import (
    FloatState,
    Likelihood,
    Said,
    Severity,
    Status,
    Step,
    Tier,
    Treatment,
    UnseenReason,
    Who,
)
from inspect_tui.errors import NotAllowed
from inspect_tui.judgement.work import order
from inspect_tui.judgement.work.action import HULL, Task, key_of
from inspect_tui.judgement.work.completion import asks_for_treatment, complete
from inspect_tui.judgement.work.rank_working import rank_working
from inspect_tui.judgement.work.worklist import Worklist
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import load_checklists, shipped
from tests.conftest import START, SteppingClock, new_book_edit, prompt_called, reading_edit, with_finding, worklist

CAUSE = key_of(Task.FIND_CAUSE, HULL)
HAUL = key_of(Task.HAUL, HULL)
LAUNCH = key_of(Task.LAUNCH, HULL)

STAMP = Stamp(START, "Mattis")
CHECKLISTS = load_checklists()
NOTHING = edits.Repair()
KEYS = ["stem/stem-weld", "sump/pump-foot", "sump/pump-wiring", "deck/daylight", "galley/salt-tap", "head/tray-edge"]


def demo() -> Book:
    return open_book(shipped("demo") / "sandmartin.hullbook", lambda: START, "", write=False).book


def action_of(listed: Worklist, chalk: int) -> object:
    return next(action for action in listed.actions if action.chalk == chalk)


def in_order(listed: Worklist) -> None:
    """What every worklist promises."""
    rank = {action.key: at for at, action in enumerate(listed.actions)}
    for apart in (listed.looks, [one for one in listed.actions if not one.is_look]):
        assert [one.rank for one in apart] == list(range(1, len(apart) + 1)), "counted apart"
    assert [job.number for job in listed.jobs] == list(range(1, len(listed.jobs) + 1))
    tiers = [action.tier.rank for action in listed.actions]
    assert tiers == sorted(tiers), "tiers stand in one piece"
    for action in listed.actions:
        for first in action.after:
            assert rank[first] < rank[action.key], "what must come first comes first"
            assert listed.by_key[first].stage < action.stage, "every edge leads up the order of work"
        assert action.why.endswith(".")
        assert action.what
        assert action.where


def test_the_demo_list_keeps_every_promise() -> None:
    book = demo()
    listed = worklist(book, CHECKLISTS)
    in_order(listed)
    open_findings = {one.chalk for one in book.findings.values() if one.status is not Status.VERIFIED}
    assert {action.chalk for action in listed.actions if action.chalk} == open_findings
    assert {one for job in listed.jobs for one in job.numbers} == open_findings
    assert sum(job.places for job in listed.jobs) + len(listed.looks) == len(listed.actions)
    assert worklist(book, CHECKLISTS).actions == listed.actions


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(KEYS),
            st.sampled_from(sorted(CHECKLISTS.kinds)),
            st.sampled_from(list(Severity)),
            st.sampled_from(list(Likelihood)),
            st.sampled_from([None, Status.CLEANED, Status.MEASURED, Status.DECIDED, Status.REPAIRED]),
            st.sampled_from(list(Treatment)),
        ),
        max_size=12,
    ),
    st.booleans(),
)
def test_any_book_gives_a_list_in_order_without_cycles(findings: list[tuple[object, ...]], afloat: bool) -> None:
    state = FloatState.AFLOAT if afloat else FloatState.HAULED_OUT
    book, _ = after(Book.empty(), new_book_edit(CHECKLISTS, STAMP, float_state=state), STAMP)
    for key, kind, severity, likelihood, status, treatment in findings:
        assert isinstance(key, str)
        book = with_finding(book, CHECKLISTS, STAMP, key, kind=kind, severity=severity, likelihood=likelihood)
        if isinstance(status, Status) and isinstance(treatment, Treatment):
            newest = book.findings[max(book.findings, key=int)]
            book, _ = after(book, edits.move_finding(book, STAMP, newest, status, "a word", treatment), STAMP)
    listed = worklist(book, CHECKLISTS)
    in_order(listed)
    at_once = [action for action in listed.actions if action.task is Task.AT_ONCE]
    assert len([action for action in listed.actions if action.chalk]) == len(findings) + len(at_once)


def test_unseen_places_are_actions(book: Book, checklists: Checklists) -> None:
    place, prompt = prompt_called(checklists, book, "hollow-keel/through-tapped")
    _, other = prompt_called(checklists, book, "hollow-keel/keel-root")
    book, _ = after(book, edits.say(book, STAMP, place, other, Said.SOUND), STAMP)
    book, _ = after(book, edits.say(book, STAMP, place, prompt, Said.UNSEEN, reason=UnseenReason.BALLAST), STAMP)
    listed = worklist(book, checklists)
    opening = next(action for action in listed.actions if action.key == f"open/{place.id}")
    assert opening.tier is Tier.BEFORE_AFLOAT
    assert "ballast" in opening.what
    assert any(action.key == f"walk/{place.id}" for action in listed.actions), "and the rest is still to be asked"
    with pytest.raises(NotAllowed, match="answer"):
        complete(book, STAMP, opening, NOTHING)
    book, _ = after(book, edits.say(book, STAMP, place, prompt, Said.SOUND), STAMP)
    assert f"open/{place.id}" not in worklist(book, checklists).by_key, "looking at it is what ends it"


def test_places_not_begun_are_one_line_a_tier(book: Book, checklists: Checklists) -> None:
    listed = worklist(book, checklists)
    walks = [action for action in listed.actions if action.key.startswith("walk/")]
    assert len(walks) <= len(Tier)
    named = ", ".join(action.where for action in walks)
    assert all(place.name in named for place in book.compartments.values())


def test_a_finding_goes_from_cleaning_to_verified_and_keeps_who_and_when(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    stamp = Stamp(clock(), "Mattis")
    book = with_finding(book, checklists, stamp, "sump/pump-foot", severity=Severity.CRITICAL)
    seen: list[tuple[Step, Who]] = []
    for _ in range(8):
        listed = worklist(book, checklists)
        action = next((one for one in listed.actions if one.chalk == 1), None)
        if action is None:
            break
        seen.append((action.step, action.who))
        stamp = Stamp(clock(), "Mattis")
        if action.step in (Step.MEASURE, Step.TIGHTNESS):
            if action.step is Step.TIGHTNESS:
                with pytest.raises(NotAllowed, match="again"):
                    complete(book, stamp, action, NOTHING)
            place = book.compartments[book.findings["1"].compartment]
            reading = reading_edit(book, stamp, place, "pits", [1.9], finding=book.findings["1"])
            book, _ = after(book, reading, stamp)
            if action.step is Step.MEASURE:
                continue
        treatment = Treatment.WELD_UP if asks_for_treatment(action) else None
        book, _ = after(book, complete(book, stamp, action, NOTHING, treatment), stamp)
    assert seen == [
        (Step.RECORD, Who.OWNER),
        (Step.CLEAN, Who.OWNER),
        (Step.MEASURE, Who.OWNER),
        (Step.DECIDE, Who.SURVEYOR),
        (Step.HOT_WORK, Who.WELDER),
        (Step.TIGHTNESS, Who.SURVEYOR),
    ]
    assert book.findings["1"].status is Status.VERIFIED
    assert all(done.by == "Mattis" for done in book.done.values())


def test_a_current_is_cured_before_eaten_metal_is_repaired(book: Book, checklists: Checklists) -> None:
    book = with_finding(book, checklists, STAMP, "sump/pump-wiring", kind="leakage")
    book = with_finding(book, checklists, STAMP, "stem/stem-weld", kind="pitting")
    decided = edits.move_finding(book, STAMP, book.findings["2"], Status.DECIDED, treatment=Treatment.WELD_UP)
    book, _ = after(book, decided, STAMP)
    listed = worklist(book, checklists)
    weld = next(action for action in listed.actions if action.chalk == 2)
    assert {listed.by_key[key].chalk for key in weld.after} >= {1}
    assert CAUSE in weld.after


def test_what_others_wait_for_moves_up_and_says_so(book: Book, checklists: Checklists) -> None:
    book = with_finding(
        book, checklists, STAMP, "sump/pump-foot", severity=Severity.CATASTROPHIC, likelihood=Likelihood.A
    )
    decided = edits.move_finding(book, STAMP, book.findings["1"], Status.DECIDED, treatment=Treatment.INSERT_PLATE)
    book, _ = after(book, decided, STAMP)
    cause = worklist(book, checklists).by_key[CAUSE]
    assert cause.tier is Tier.BEFORE_AFLOAT
    assert "As urgent as finding 1" in cause.why


def test_the_cause_once_found_is_asked_again_after_a_new_finding(
    book: Book, checklists: Checklists, clock: SteppingClock
) -> None:
    book = with_finding(book, checklists, Stamp(clock(), "M"), "stem/stem-weld")
    stamp = Stamp(clock(), "M")
    cause = worklist(book, checklists).by_key[CAUSE]
    book, _ = after(book, complete(book, stamp, cause, edits.Repair("copper from the aerial")), stamp)
    assert CAUSE not in worklist(book, checklists).by_key
    book = with_finding(book, checklists, Stamp(clock(), "M"), "sump/pump-foot")
    assert CAUSE in worklist(book, checklists).by_key


def test_afloat_the_lift_comes_first_and_a_hole_is_now(checklists: Checklists) -> None:
    book, _ = after(Book.empty(), new_book_edit(checklists, STAMP, float_state=FloatState.AFLOAT), STAMP)
    book = with_finding(book, checklists, STAMP, "sump/keel-seam", kind="hole")
    book = with_finding(book, checklists, STAMP, "sump/pump-foot", kind="pitting", likelihood=Likelihood.D)
    listed = worklist(book, checklists)
    hole = next(action for action in listed.actions if action.chalk == 1)
    assert hole.tier is Tier.NOW
    assert "Leave it untouched" in hole.what
    pit = next(action for action in listed.actions if action.chalk == 2)
    assert pit.needs_haul
    assert HAUL not in (*hole.after, *pit.after), "what bridges the time until the lift waits for nothing"
    assert listed.by_key[HAUL].tier is Tier.NOW


def test_launching_stands_behind_everything_that_bars_it() -> None:
    listed = worklist(demo(), CHECKLISTS)
    barring = {action.key for action in listed.actions if action.tier.rank <= Tier.BEFORE_AFLOAT.rank} - {LAUNCH}
    assert set(listed.by_key[LAUNCH].after) == barring


def test_an_accepted_finding_is_watched_with_its_reason() -> None:
    listed = worklist(demo(), CHECKLISTS)
    accepted = next(action for action in listed.actions if action.chalk == 14)
    assert accepted.tier is Tier.WATCH
    assert "hosed for ten minutes" in accepted.why


def test_every_rank_opens_its_working_with_rule_and_source() -> None:
    listed = worklist(demo(), CHECKLISTS)
    for action in listed.actions:
        working = dict(rank_working(action, listed))
        assert action.severity.value in working["severity"]
        assert action.risk.value in working["risk"]
        assert "MIL-STD-882E" in working["matrix"]
        assert "common practice" in working["tiers"]


def test_a_kind_nobody_knows_is_still_listed(book: Book, checklists: Checklists) -> None:
    book = with_finding(book, checklists, STAMP, "stem/dents", kind="from-another-program")
    in_order(worklist(book, checklists))


def test_the_worklist_reads_the_shipped_demo(tmp_path: Path) -> None:
    assert len(worklist(demo(), CHECKLISTS).actions) > 40


def test_a_rule_that_leads_backwards_makes_no_edge(
    book: Book, checklists: Checklists, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever edits the rules cannot make a cycle."""
    everything = order._Rule(lambda _: True, lambda _: True, order.Reach.HULL)
    monkeypatch.setattr(order, "_RULES", (everything,))
    book = with_finding(book, checklists, STAMP, "sump/pump-foot", kind="pitting")
    book = with_finding(book, checklists, STAMP, "sump/pump-wiring", kind="leakage")
    listed = worklist(book, checklists)
    in_order(listed)
    assert {1, 2} <= {action.chalk for action in listed.actions}
