"""The worklist as days: who does what, when, with what in hand; what waits, and for what."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from inspect_tui.domain.book import Book
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.words import Severity, Step, Tier, Who
from inspect_tui.errors import NotUnderstood
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.worklist import Worklist

# A trade that is called works through the day.
TRADE_HOURS = 8.0
# For what has no hours of its own, by what it is [h]: judgement of this program.
USUAL_HOURS = {Task.WALK: 1.0, Task.OPEN: 1.0, Task.GAUGE: 1.5, Task.LAUNCH: 1.0, Task.HAUL: 4.0, Task.PUMP: 0.5}
ELSE_HOURS = 0.5
# No coating is laid on colder metal unless its maker's sheet says so [°C]: judgement of this program.
COAT_DEGREES = 10.0
# Hours used correct the plan from so many jobs on, and by no more than this factor: judgement of this program.
FEWEST_TIMED, MOST_PACE = 3, 4.0
END_OF_DAY = (
    "open: ventilation and what must drain; out: lamps, chargers, leads; off: batteries, but not the pump or alarm",
    "nothing left that smoulders; tell whoever waits ashore that you are out",
)
WORDS_OF_HEAT = "gas-free test by a competent person on the same day, before any heat; fire watch after it"


@dataclass(frozen=True)
class Pace:
    """How long work took against what the ranges had for it: `share` of the one to the other, from so many `jobs`
    of which the hours were written down."""

    share: float
    jobs: int


def pace_of(book: Book) -> Pace | None:
    """From all work whose hours were written down; None before there are enough.

    No work is slower or quicker than the ranges by more than a factor of four: that would be a slip of the pen.
    """
    timed = [one for one in book.done.values() if one.hours is not None and one.planned_hours]
    if len(timed) < FEWEST_TIMED:
        return None
    share = sum(one.hours or 0.0 for one in timed) / sum(one.planned_hours or 0.0 for one in timed)
    return Pace(min(max(share, 1 / MOST_PACE), MOST_PACE), len(timed))


@dataclass(frozen=True)
class Means:
    """What there is to plan with: hours a day of the owner, or of those who work with the owner [h]; whether heat is
    allowed where she lies; whether it is dry; the metal's temperature [°C], None if nobody said; `pace` by which the
    owner's own hours are corrected."""

    hours_a_day: float = 6.0
    heat: bool = True
    dry: bool = True
    degrees: float | None = None
    pace: Pace | None = None

    def __post_init__(self) -> None:
        if not 0.5 <= self.hours_a_day <= 24:
            raise NotUnderstood("Hours a day run from 0.5 to 24.")


@dataclass(frozen=True)
class Entry:
    """Actions of one job on one day, by one person. `hours` of that day [h]; `goes_on`: begun the day before;
    `unfinished`: it is not done by the evening."""

    day: int
    who: Who
    actions: tuple[Action, ...]
    job: int | None
    hours: float
    goes_on: bool
    unfinished: bool

    @property
    def first(self) -> Action:
        return self.actions[0]

    @property
    def say(self) -> str:
        """What is done, verb first, without the words of each place where there are several."""
        told = self.first.what
        if len(self.actions) > 1:
            told = told.split(": ")[0].split(" — ")[0]
        return one_line(told.split(" — ")[0])

    @property
    def at(self) -> str:
        """Chalk numbers, else compartments."""
        numbers = sorted(one.chalk for one in self.actions if one.chalk is not None)
        places = dict.fromkeys(one.compartment.name for one in self.actions if one.compartment is not None)
        return ", ".join(map(str, numbers)) if numbers else ", ".join(map(one_line, places)) or "whole boat"

    @property
    def tools(self) -> tuple[str, ...]:
        return _once(tool for one in self.actions if one.doing for tool in one.doing.tools)

    @property
    def supplies(self) -> tuple[str, ...]:
        return _once(supply for one in self.actions if one.doing for supply in one.doing.supplies)

    @property
    def heats(self) -> bool:
        return any(_heats(one) for one in self.actions)


@dataclass(frozen=True)
class Waiting:
    """What is in no day, and what it waits for."""

    action: Action
    why: str


@dataclass(frozen=True)
class Plan:
    """Days from 1 on; a job's actions are in exactly one day each, those longer than a day in days on end."""

    means: Means
    entries: tuple[Entry, ...]
    waits: tuple[Waiting, ...]
    closing: tuple[str, ...] = field(default=())

    @property
    def days(self) -> int:
        return max((one.day for one in self.entries), default=0)

    def on(self, day: int, who: Who | None = None) -> tuple[Entry, ...]:
        return tuple(one for one in self.entries if one.day == day and who in (None, one.who))

    def visits(self) -> dict[Who, tuple[int, ...]]:
        """The days on which each trade is called."""
        days: dict[Who, set[int]] = defaultdict(set)
        for one in self.entries:
            if one.who is not Who.OWNER:
                days[one.who].add(one.day)
        return {who: tuple(sorted(found)) for who, found in days.items()}

    def shopping(self) -> tuple[str, ...]:
        return _once(supply for one in self.entries for supply in one.supplies)

    def in_hand(self, day: int) -> tuple[str, ...]:
        """Tools and supplies of the owner's day."""
        mine = self.on(day, Who.OWNER)
        return _once(thing for one in mine for thing in (*one.tools, *one.supplies))

    def never(self, day: int) -> tuple[str, ...]:
        """What must not be done that day."""
        told = []
        if any(one.first.tier is Tier.NOW for one in self.entries if one.day >= day):
            told.append("nobody enters a place with a NOW job until that job is done")
        if any(one.heats for one in self.on(day)):
            told.append(WORDS_OF_HEAT)
        else:
            told.append("no heat, no grinding sparks")
        return tuple(told)


def plan_of(listed: Worklist, means: Means, *, afloat: bool) -> Plan:
    """The worklist in days. In its order; what must come first is done on an earlier day, or earlier on the same day
    by the same hands; nobody works longer than their hours; each trade is called as seldom as that allows.

    Nothing that heats is planned where heat is not allowed, nothing that wants her out of the water while she floats,
    nothing that wants it dry or warm where it is not: that waits, and all that waits for it.
    """
    waits = dict(_waiting(listed, means, afloat=afloat))
    doable = _closed_last([one for one in listed.actions if one.key not in waits])
    calls: dict[str, int] = {}
    laid = _laid(doable, means, calls)
    entries = first = _entries(listed, doable, laid)
    for _ in range(6):
        wanted = _called_together(doable, laid)
        if wanted == calls:
            break
        calls = wanted
        laid = _laid(doable, means, calls)
        entries = _entries(listed, doable, laid)
    if _visits(entries) >= _visits(first):
        entries = first  # nobody waits for a common visit that spares none
    closing = tuple(one_line(one.what) for one in listed.actions if one.task is Task.CLOSE)
    return Plan(means, entries, tuple(Waiting(listed.by_key[key], why) for key, why in waits.items()), closing)


def _visits(entries: Iterable[Entry]) -> int:
    """How often trades come, each day of each counted."""
    return len({(one.who, one.day) for one in entries if one.who is not Who.OWNER})


def hours_of(action: Action) -> float:
    """The middle of the range that is known of it [h]; else what is usual."""
    if action.doing is not None and not action.held:
        low, high = action.doing.hours
        return (low + high) / 2
    return USUAL_HOURS.get(action.task, ELSE_HOURS)


def hours_words(hours: float) -> str:
    """Hours and minutes, to five minutes.

    >>> hours_words(0.3), hours_words(2.25), hours_words(1)
    ('0:20', '2:15', '1:00')
    """
    minutes = max(round(hours * 12) * 5, 5)
    return f"{minutes // 60}:{minutes % 60:02d}"


def _closed_last(actions: Sequence[Action]) -> list[Action]:
    """The same, but that a place is closed up, and a part of it put back, only after the last that is to be looked at
    or done to the metal there; unless it keeps the water out of her now, or something waits for it."""
    awaited = {key for one in actions for key in one.after}
    last: dict[str, int] = {}
    for at, one in enumerate(actions):
        last.update(dict.fromkeys(_opens_to_eye(one), at))
    behind: dict[int, list[Action]] = defaultdict(list)
    kept = []
    for at, one in enumerate(actions):
        until = max((last.get(place, -1) for place in _closes(one)), default=-1)
        if one.key not in awaited and until > at:
            behind[until].append(one)
        else:
            kept.append((at, one))
    return [each for at, one in kept for each in (one, *behind[at])]


def _opens_to_eye(action: Action) -> tuple[str, ...]:
    """The places that must lie open for it: to be looked at or gauged, or for work on their metal."""
    if action.is_look:
        return action.places
    on_metal = action.kind is not None and action.kind.gauged and action.task is not Task.WATCH
    return (action.compartment.id,) if on_metal and action.compartment is not None else ()


def _closes(action: Action) -> tuple[str, ...]:
    """The place that it closes up, if that can wait."""
    waits = action.task in (Task.CLOSE, Task.REFIT) and action.tier is not Tier.NOW
    return (action.compartment.id,) if waits and action.compartment is not None else ()


def _heats(action: Action) -> bool:
    return bool(action.doing and action.doing.heats and not action.held)


def _waiting(listed: Worklist, means: Means, *, afloat: bool) -> Iterable[tuple[str, str]]:
    """What cannot be planned, and why, in the order of the list; what comes after it waits too."""
    why: dict[str, str] = {}
    for one in listed.actions:
        held_up = next((key for key in one.after if key in why), None)
        if afloat and one.needs_haul and not one.held:
            why[one.key] = "until she is hauled out"
        elif _heats(one) and not means.heat:
            why[one.key] = "no heat is allowed where she lies"
        elif one.doing is not None and one.doing.dry and not means.dry:
            why[one.key] = "wants it dry"
        elif one.step is Step.COAT and means.degrees is not None and means.degrees < COAT_DEGREES:
            why[one.key] = f"too cold to coat: {means.degrees:g} °C, wants {COAT_DEGREES:g} or what the tin says"
        elif one.task is Task.WATCH:
            why[one.key] = "on its date"
        elif held_up is not None:
            why[one.key] = f"after {one_line(listed.by_key[held_up].label)}: {why[held_up]}"
    return why.items()


# Of an action: the days it is done on, with the hours of each.
_Laid = dict[str, list[tuple[int, float]]]


def _laid(actions: Iterable[Action], means: Means, calls: dict[str, int]) -> _Laid:
    """Each action on the first day that has room for it after what must come first. `calls`: the day before which a
    trade is not called for it."""
    left: dict[Who, dict[int, float]] = defaultdict(dict)
    laid: _Laid = {}
    who_of: dict[str, Who] = {}
    opened: dict[str, list[str]] = defaultdict(list)

    def room(who: Who, day: int) -> float:
        return left[who].setdefault(day, means.hours_a_day if who is Who.OWNER else TRADE_HOURS)

    # Nobody goes in beside what is a danger now: others come the day after it is dealt with.
    clear = 1
    for action in actions:
        who, hours = action.who, hours_of(action)
        if means.pace is not None and who is Who.OWNER:
            hours *= means.pace.share
        whole = means.hours_a_day if who is Who.OWNER else TRADE_HOURS
        earliest = max(calls.get(action.key, 1), 1 if who is Who.OWNER or action.tier is Tier.NOW else clear)
        open_for = (key for place in _closes(action) for key in opened[place])
        for key in (*action.after, *open_for):
            if key in laid:
                done = laid[key][-1][0]
                earliest = max(earliest, done if who_of[key] is who else done + 1)
        day = earliest
        if hours <= whole:
            while room(who, day) < hours - 1e-9:
                day += 1
            days = [(day, hours)]
        else:
            # On end, from a day that is free.
            count = math.ceil(hours / whole - 1e-9)
            while any(room(who, day + one) < whole for one in range(count)):
                day += 1
            days = [(day + one, min(whole, hours - one * whole)) for one in range(count)]
        for at, spent in days:
            left[who][at] = room(who, at) - spent
        laid[action.key], who_of[action.key] = days, who
        for place in _opens_to_eye(action):
            opened[place].append(action.key)
        if action.tier is Tier.NOW:
            clear = max(clear, day + len(days))
    return laid


def _called_together(actions: Sequence[Action], laid: _Laid) -> dict[str, int]:
    """The day before which a trade is not called for something. What presses, could sink or kill, or is waited for by
    somebody else is not kept waiting; the rest of a trade is done on such a visit if it is ready by then, else on the
    day on which the last of it is ready."""
    who_of = {one.key: one.who for one in actions}
    awaited = {key for one in actions for key in one.after if key in who_of and who_of[key] is not one.who}
    visits: dict[Who, set[int]] = defaultdict(set)
    rest: dict[Who, list[str]] = defaultdict(list)
    for one in actions:
        if one.who is Who.OWNER:
            continue
        grave = one.tier in (Tier.NOW, Tier.TODAY) or one.severity is Severity.CATASTROPHIC
        if grave or one.key in awaited:
            visits[one.who].update(day for day, _ in laid[one.key])
        else:
            rest[one.who].append(one.key)
    calls: dict[str, int] = {}
    for who, keys in rest.items():
        last = max(laid[key][0][0] for key in keys)
        for key in keys:
            ready = laid[key][0][0]
            calls[key] = min((visit for visit in visits[who] if visit >= ready), default=last)
    return calls


def _entries(listed: Worklist, actions: Sequence[Action], laid: _Laid) -> tuple[Entry, ...]:
    """Actions of one job on one day are one entry."""
    order = {one.key: at for at, one in enumerate(actions)}
    found: dict[tuple[int, Who, object, bool, bool], list[tuple[Action, float]]] = defaultdict(list)
    for one in actions:
        days = laid[one.key]
        for at, (day, hours) in enumerate(days):
            job = listed.job_of.get(one.key)
            key = (day, one.who, job if job is not None else one.key, at > 0, at < len(days) - 1)
            found[key].append((one, hours))
    made = [
        Entry(
            day, who, tuple(one for one, _ in parts), listed.job_of.get(parts[0][0].key),
            sum(hours for _, hours in parts), goes_on, unfinished,
        )
        for (day, who, _, goes_on, unfinished), parts in found.items()
    ]  # fmt: skip
    place: Callable[[Entry], tuple[int, int, int]] = lambda one: (  # noqa: E731
        one.day, list(Who).index(one.who), order[one.first.key],
    )  # fmt: skip
    return tuple(sorted(made, key=place))


def _once(things: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(things))
