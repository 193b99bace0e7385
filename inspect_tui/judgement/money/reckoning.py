"""What she costs by the owner's own numbers: known, likely, and if the unseen is as bad as what was seen.

Nothing is priced that the owner has no rate or quote for; what that leaves out is said. No advice to buy or not.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import By
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.owner.money import NOTHING, Money, Span
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.records import Compartment
from inspect_tui.domain.walking import turns
from inspect_tui.domain.words import Lane, Said, UnseenReason, Who
from inspect_tui.engineering.working import shown
from inspect_tui.judgement.repair.scope import ScopedJob
from inspect_tui.judgement.work.action import Task
from inspect_tui.judgement.work.worklist import Job, Worklist

# So much of her must be seen before a sum is more than a least: judgement of this program.
ENOUGH_SEEN = 0.8
# The cheapest look past each reason, and how long it takes [h]: judgement of this program.
LOOKS: Mapping[UnseenReason, tuple[str, float]] = {
    UnseenReason.GEAR: ("move the gear, and look with a lamp", 0.5),
    UnseenReason.REACH: ("a mirror or a borescope", 0.5),
    UnseenReason.DIRTY: ("wash it and look", 1.0),
    UnseenReason.NO_TIME: ("go and look", 0.5),
    UnseenReason.NO_TOOL: ("borrow the tool, a morning", 3.0),
    UnseenReason.SEALED: ("two plugs or inspection holes and a borescope", 3.0),
    UnseenReason.FIXED_JOINERY: ("one panel off where it is wettest, and a lamp", 2.0),
    UnseenReason.COATING_LEFT_ON: ("bare two squares, or gauge through sound paint", 2.0),
    UnseenReason.BALLAST: ("gauge from outside along its edges; then one piece lifted", 4.0),
    UnseenReason.TANK_FULL: ("pump it out, air it, a lamp through the lid", 3.0),
    UnseenReason.UNSAFE_AIR: ("air it a day, test, then look", 2.0),
    UnseenReason.NOT_HAULED: ("look when she is lifted", 8.0),
    UnseenReason.POWER_ON: ("power off, and look", 0.5),
    UnseenReason.REFUSED: ("ask again, in writing; else it stays unknown", 1.0),
    UnseenReason.OTHER: ("go and look", 1.0),
}
NOT_WALKED = ("walk it", 1.0)


@dataclass(frozen=True)
class Line:
    """One job with its price. `key`: of its first action, for quotes; `hours`: from, to [h], None where nobody can
    say; `amount`: None where there is no rate; `how`: where it comes from; `places`: where it is, by share."""

    key: str
    title: str
    who: Who
    hours: tuple[float, float] | None
    amount: Span | None
    how: str
    quoted: bool
    taken: bool
    places: Mapping[str, float]


@dataclass(frozen=True)
class Unseen:
    """A place not wholly seen. `moves`: how far the sum goes up if it is as bad as what was seen of its kind,
    None where nothing alike was seen or priced; `look`, `look_hours`: the cheapest look that would tell [h]."""

    place: Compartment
    share: float
    moves: Span | None
    look: str
    look_hours: float


@dataclass(frozen=True)
class Gate:
    """Where the owner decides again. `open`: what is still to be done before it."""

    name: str
    open: str


@dataclass(frozen=True)
class Reckoned:
    """`known`: paid, and what was quoted; `likely`: with all that is written down; `worst`: if the unseen is as bad
    as what was seen, None where that cannot be told. `least`: why they are no more than a least."""

    lines: tuple[Line, ...]
    paid: float
    promised: float
    known: Span
    likely: Span
    worst: Span | None
    least: tuple[str, ...]
    unseen: tuple[Unseen, ...]
    gates: tuple[Gate, ...]

    @property
    def own_hours(self) -> tuple[float, float]:
        """Of the owner's own jobs [h], from, to."""
        mine = [one.hours for one in self.lines if one.who is Who.OWNER and one.hours]
        return sum(low for low, _ in mine), sum(high for _, high in mine)

    @property
    def priced(self) -> bool:
        return bool(self.paid) or any(one.amount is not None for one in self.lines)

    def against(self, may_cost: float) -> str:
        """What is likely against where the owner stops; never what to do about it."""
        if not self.priced:
            return "nothing is priced yet"
        most = self.worst or self.likely
        if self.likely.low > may_cost:
            return f"the likely sum is over it by at least {self.likely.low - may_cost:.0f}"
        if most.high > may_cost:
            return f"it may be exceeded, by up to {most.high - may_cost:.0f}"
        return "within it, as far as is known" + (", and that is a minimum" if self.least else "")


def reckon(
    book: Book, checklists: Checklists, listed: Worklist, scoped: Sequence[ScopedJob], money: Money
) -> Reckoned:
    """All jobs of the list and of the scope by the owner's rates."""
    lines = tuple(_lines(listed, scoped, money))
    open_ = {one.key for one in lines}
    paid = sum(one.amount for one in money.paid)
    paid_for: dict[str, float] = defaultdict(float)
    for one in money.paid:
        if one.action:
            paid_for[one.action] += one.amount
    # What was paid on a job that is still open is part of its price, and is not counted twice.
    rest = {one.key: max(0.0, one.amount.high - paid_for[one.key]) for one in lines if one.amount and one.quoted}
    promised = sum(rest[one.key] for one in lines if one.taken)
    known = Span(paid + sum(rest.values()), paid + sum(rest.values()))
    likely = known
    for line in lines:
        if line.amount is not None and not line.quoted:
            gone = paid_for[line.key] if line.key in open_ else 0.0
            likely += Span(max(0.0, line.amount.low - gone), max(0.0, line.amount.high - gone))
    seen = _shares_seen(book, checklists)
    unseen = tuple(_unseen(book, checklists, lines, seen))
    more = NOTHING
    for place in unseen:
        more += place.moves or NOTHING
    told = bool(lines) and all(one.moves is not None for one in unseen)
    unpriced = sorted({one.who.value for one in lines if one.amount is None and one.who is not Who.OWNER})
    whole = sum(seen.values()) / len(seen) if seen else 0.0
    least = [f"no rate or quote: {', '.join(unpriced)}"] if unpriced else []
    if whole < ENOUGH_SEEN:
        least.append(f"only {100 * whole:.0f} % of her was seen, {100 * ENOUGH_SEEN:.0f} % would be needed")
    return Reckoned(
        lines, paid, promised, known, likely, likely + more if told else None, tuple(least), unseen,
        _gates(book, checklists, scoped),
    )  # fmt: skip


def _lines(listed: Worklist, scoped: Sequence[ScopedJob], money: Money) -> Iterable[Line]:
    welded = {chalk for job in scoped for chalk in job.findings}
    for scoped_job in scoped:
        hours = scoped_job.ways[0].hours if scoped_job.ways else None
        chalks = ", ".join(map(str, scoped_job.findings))
        places: dict[str, float] = defaultdict(float)
        for one in scoped_job.jobs:
            places[one.finding.compartment] += 1 / len(scoped_job.jobs)
        title = f"scope {scoped_job.letter}: no. {chalks}"
        yield _line(f"scope/{min(scoped_job.findings)}", title, Who.WELDER, hours, places, money)
    for job in listed.jobs:
        actions = [one for one in job.actions if one.who is not Who.WELDER or one.chalk not in welded]
        if actions:
            kept = Job(job.number, tuple(actions))
            places = defaultdict(float)
            for action in actions:
                if action.compartment is not None:
                    places[action.compartment.id] += 1 / len(actions)
            title = f"{job.number}: {one_line(kept.say.split(' — ')[0])}"
            key = f"{_about(kept)}/{kept.first.who}" if kept.numbers else kept.first.key
            yield _line(key, title, kept.first.who, kept.hours(), places, money)


def _about(job: Job) -> str:
    """The finding it begins with: a quote stays with that, however far its work has come."""
    return f"no/{job.numbers[0]}{'/at-once' if job.first.task is Task.AT_ONCE else ''}"


def _line(
    key: str, title: str, who: Who, hours: tuple[float, float] | None, places: Mapping[str, float], money: Money
) -> Line:
    rate = money.rate(who)
    quote = next((one for one in money.quotes if one.action == key), None)
    amount, how = None, "your own hours" if who is Who.OWNER else f"no rate for the {who.value}"
    if quote is not None:
        amount, how = Span(quote.amount, quote.amount), f"quote of {quote.day}" + (", taken" if quote.taken else "")
    elif rate.an_hour is not None and hours is not None:
        low, high = (max(rate.least or 0.0, each * rate.an_hour) for each in hours)
        amount = Span(low, high)
        how = f"{shown(hours[0], 2)}–{shown(hours[1], 2)} h × {rate.an_hour:.10g}"
        how += f", at least {rate.least:.10g}" if rate.least and low == rate.least else ""
    elif rate.an_hour is not None:
        how = "nobody can say how long: a quote would tell"
    return Line(key, title, who, hours, amount, how, quote is not None, bool(quote and quote.taken), dict(places))


def _shares_seen(book: Book, checklists: Checklists) -> dict[str, float]:
    """How much of each place with plate of its own was seen in this round, 0 to 1."""
    found = {}
    for place in book.bow_to_stern():
        area = walk.area_of(checklists, place)
        if area is not None and area.space:
            visit = walk.visit_of(book, place.id)
            found[place.id] = visit.seen_percent / 100 if visit else 0.0
    return found


def _unseen(book: Book, checklists: Checklists, lines: Sequence[Line], seen: Mapping[str, float]) -> Iterable[Unseen]:
    """Places not wholly seen, those first that move the sum most for an hour of looking."""
    cost: dict[str, Span] = defaultdict(lambda: NOTHING)
    for line in lines:
        for where, part in line.places.items():
            if line.amount is not None:
                cost[where] += line.amount.times(part)
    lanes: dict[Lane, list[str]] = defaultdict(list)
    for id in seen:
        lanes[walk.lane_of(checklists, book.compartments[id])].append(id)
    found = []
    for id, share in seen.items():
        if share >= 1:
            continue
        place = book.compartments[id]
        alike = lanes[walk.lane_of(checklists, place)]
        like = sum(seen[one] for one in alike)
        priced = any(line.amount is not None for line in lines)
        moves = None
        if like > 0 and priced:
            whole = NOTHING
            for one in alike:
                whole += cost[one]
            moves = whole.times((1 - share) / like)
        look, hours = _look(book, place)
        found.append(Unseen(place, 1 - share, moves, look, hours))
    return sorted(found, key=lambda one: (-(one.moves.high / one.look_hours if one.moves else 0.0), -one.share))


def _look(book: Book, place: Compartment) -> tuple[str, float]:
    visit = walk.visit_of(book, place.id)
    reasons = list(visit.reasons) if visit else []
    reasons += [
        one.reason
        for one in book.answers.values()
        if (one.round, one.compartment) == (book.round.id, place.id) and one.said is Said.UNSEEN and one.reason
    ]
    return min((LOOKS[one] for one in reasons), key=lambda one: one[1], default=NOT_WALKED)


def _gates(book: Book, checklists: Checklists, scoped: Sequence[ScopedJob]) -> tuple[Gate, ...]:
    first = sum(walk.is_open(book, *one) for one in turns.first_pass(checklists, book))
    gauge = sum(
        prompt.by is By.GAUGE and walk.is_open(book, place, prompt)
        for place in book.bow_to_stern()
        for prompt in walk.prompts_of(checklists, book, place)
    )
    return (
        Gate("after the first pass", counted(first, "question") + " left" if first else ""),
        Gate("after gauging", counted(gauge, "spot") + " left" if gauge else ""),
        Gate("before heat", f"waiting for a welder: {counted(len(scoped), 'job')}" if scoped else ""),
    )
