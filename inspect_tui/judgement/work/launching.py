"""The launch list: what is signed before she moves and in the slings, and what is due, line by line, once she
floats."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.launch import LaunchLine, Phase
from inspect_tui.domain.plain import counted
from inspect_tui.domain.records import FloatEvent
from inspect_tui.domain.words import Severity, Step, Tier, Who
from inspect_tui.judgement.work.action import HULL, Action, Task, key_of, signed_since
from inspect_tui.judgement.work.risk import UNSEEN_LIKELIHOOD, risk_of

SOURCE = "Common practice; no rule was found that gives these intervals."
# Under what name books from before the launch list say that she was looked at after launching, and which line that
# is.
OLD_WATCH, OLD_WATCH_LINE = key_of(Task.WATCH, HULL), "look-day"
_ASHORE = (Phase.BEFORE, Phase.SLINGS)


@dataclass(frozen=True)
class Signing:
    """One line of the launch list as it stands: by whom and when it was signed, when it is due; `missed`: she
    floats, and it can only be done ashore."""

    line: LaunchLine
    key: str
    by: str = ""
    when: datetime | None = None
    due: datetime | None = None
    missed: bool = False

    @property
    def open(self) -> bool:
        return self.when is None and not self.missed

    def overdue(self, now: datetime) -> bool:
        return self.open and self.due is not None and self.due <= now


def began(event: FloatEvent | None, now: datetime) -> datetime:
    """From when on a state of the boat holds: the moment it was written, else the first of its day; the beginning of
    time where nobody wrote it."""
    if event is None:
        return datetime.min.replace(tzinfo=now.tzinfo)
    return event.when or datetime.combine(event.day, time(), now.tzinfo)


def line_key(line: LaunchLine) -> str:
    return key_of(Task.LAUNCH if line.phase in _ASHORE else Task.WATCH, HULL, line.id)


def launch_list(book: Book, checklists: Checklists, now: datetime) -> tuple[Signing, ...]:
    """Every line that holds for her now; none while she floats and was not launched since the book began. Those of
    the shore count from when she was last hauled out, those afloat from when she was floated: what was signed before
    that was of another launch."""
    history = book.boat.float_history
    last = history[-1] if history else None
    before = next((event for event in reversed(history) if last and event.state is not last.state), None)
    if book.boat.afloat and before is None:
        return ()
    since_hauled, since_now = began(before if book.boat.afloat else last, now), began(last, now)
    lines = []
    for line in checklists.launch.values():
        if not walk.applies(line.applies, book.boat):
            continue
        if line.phase is Phase.HAUL and (book.boat.afloat or before is None):
            continue
        dated = line.phase in (Phase.NIGHT, Phase.LATER)
        if dated and not book.boat.afloat:
            lines.append(Signing(line, line_key(line)))
            continue
        since = since_now if dated else since_hauled
        key = line_key(line)
        done = signed_since(book, key, since)
        if done is None and line.id == OLD_WATCH_LINE:
            done = signed_since(book, OLD_WATCH, since)
        due = since + timedelta(hours=line.hours) if dated and line.hours else None
        by, when = (done.signed or done.by, done.when) if done else ("", None)
        lines.append(Signing(line, key, by, when, due, missed=done is None and line.ashore and book.boat.afloat))
    return tuple(lines)


def launch_actions(book: Book, lines: tuple[Signing, ...], now: datetime) -> list[Action]:
    """Of the launch list what belongs into the worklist: signing it, and each dated line by itself once she
    floats."""
    ashore = [one for one in lines if one.line.phase in _ASHORE]
    left = [one for one in ashore if one.open]
    actions = []
    if left:
        missed = sum(one.missed for one in ashore)
        actions.append(_sign_action(book, len(ashore), len(left), missed))
    if book.boat.afloat:
        actions += [_dated_action(one, now) for one in lines if one.due is not None and one.open]
    else:
        actions += [_dated_action(one, now) for one in lines if one.line.phase is Phase.HAUL and one.open]
    return actions


def _sign_action(book: Book, lines: int, left: int, missed: int) -> Action:
    late = book.boat.afloat
    why = f"Of {counted(lines, 'line')}, {left} not signed."
    if late:
        why += f" She is afloat already: these can still be done; {missed} no longer can."
    return Action(
        task=Task.LAUNCH,
        about=HULL,
        step=Step.LAUNCH,
        tier=Tier.TODAY if late else Tier.BEFORE_AFLOAT,
        what="Go through the launch list and sign it line by line",
        headline=f"Sign the launch list: {counted(left, 'line')} of {lines} left",
        where="whole boat",
        why=f"{why} This list cannot say that she may be floated. {SOURCE}",
        who=Who.OWNER,
        risk=risk_of(Severity.CATASTROPHIC, UNSEEN_LIKELIHOOD),
        severity=Severity.CATASTROPHIC,
        below=True,
    )


def _dated_action(one: Signing, now: datetime) -> Action:
    line = one.line
    overdue = one.overdue(now)
    tier = Tier.THIS_HAUL_OUT if line.phase is Phase.HAUL else Tier.TODAY if overdue else Tier.WATCH
    when = f"Due {one.due:%Y-%m-%d %H:%M}" if one.due else "Due while she is out"
    return Action(
        task=Task.WATCH,
        about=HULL,
        detail=line.id,
        step=Step.WATCH,
        tier=tier,
        what=line.say,
        headline=f"{line.say} ({when.lower()})",
        where="whole boat",
        why=f"{when}{', and not signed: it rises to Today' if overdue else ''}. {SOURCE}",
        who=line.who,
        risk=risk_of(Severity.CRITICAL, UNSEEN_LIKELIHOOD),
        severity=Severity.CRITICAL,
        below=True,
        sealing=True,
    )
