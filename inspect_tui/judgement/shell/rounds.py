"""What became of each spot since an earlier round: what grew, what did not, what cannot be told, what waits."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.reading_records import LengthReading, PitReading, Reading, ThicknessReading
from inspect_tui.domain.records import Compartment, Finding
from inspect_tui.domain.walk import position_words
from inspect_tui.domain.words import CLOSED, Status
from inspect_tui.engineering.metal.spot_growth import FEWEST_DAYS, SpotGrowth, SpotReading
from inspect_tui.engineering.working import shown
from inspect_tui.judgement.metal.growing import gone_of, growth_of, spots_of
from inspect_tui.judgement.metal.verdicts import Verdicts

# "As before" is said only where so much more would have shown [mm]: judgement of this program.
WOULD_SHOW_MM = 0.5


class Became(StrEnum):
    """In the order in which they are read."""

    GREW = "grew"
    AGAIN = "measure again"
    CANNOT = "cannot tell"
    LOST = "not found again"
    REPAIRED = "repaired"
    SAME = "as before"
    NEW = "new"

    @property
    def sign(self) -> str:
        """One letter, for a map."""
        signs = {Became.GREW: "G", Became.AGAIN: "a", Became.LOST: "l", Became.SAME: "0"}
        return signs.get(self, self.value[0])


@dataclass(frozen=True)
class Since:
    """One spot over the rounds. `told`: what was gone in each [mm], oldest first, by the number of the round;
    `newest`: its last reading; `left_mm`: what is left there at the least, None if nobody knows; `why`: why nothing
    can be told."""

    key: str
    became: Became
    newest: Reading
    finding: Finding | None
    place: Compartment | None
    told: tuple[tuple[int, SpotReading], ...]
    growth: SpotGrowth | None
    left_mm: float | None
    why: str = ""

    @property
    def name(self) -> str:
        """Its chalk number, else where it is."""
        if self.finding is not None:
            return f"no. {self.finding.chalk}"
        newest = self.newest
        if isinstance(newest, PitReading) and newest.plan is not None:
            return f"square {newest.square}"
        return position_words(newest.position)

    @property
    def deepest_mm(self) -> float:
        """What is eaten there, for an order: a crack counts before all else; of plate alone nobody knows."""
        gone = max(one.gone_mm for _, one in self.told)
        return 1000.0 + gone if self.newest.kind == "length" else gone

    @property
    def what(self) -> str:
        return {"pits": "pit", "thickness": "plate", "length": "crack"}.get(self.newest.kind, self.newest.kind)

    @property
    def words(self) -> str:
        """What became of it, in one phrase."""
        number, last = self.told[-1]
        value = f"{self.what} {shown(abs(last.gone_mm), 2)} mm on {last.day}"
        match self.became:
            case Became.GREW:
                assert self.growth is not None
                return self.growth.words(self.left_mm)
            case Became.SAME:
                assert self.growth is not None
                would = f"{shown(self.growth.tells_mm, 2)} mm would have shown"
                return f"{value}, no more than on {self.growth.since.day}; {would}"
            case Became.NEW:
                return f"{value}, not read before"
            case Became.REPAIRED:
                return f"{value}, {self.why}"
            case _:
                return f"{value} (round {number}){': ' + self.why if self.why else ''}"


def since_rounds(book: Book, verdicts: Verdicts) -> tuple[Since, ...]:
    """Every spot of the metal that was read, held against earlier rounds; nothing while there was only one round.

    What grew comes first, the earliest end before the others; then what waits to be read again, the worst first.
    """
    if book.round.number < 2:
        return ()
    readings = sorted(
        (one for one in book.readings.values() if _of_metal(book, one)),
        key=lambda one: (one.when, one.id),
    )
    numbers = {one.round: book.round_number(one.round) for one in readings}
    spots = verdicts.gathered.read_twice
    told = [
        one
        for those in spots_of(readings).values()
        if (one := _since(book, verdicts, those, numbers, spots)) is not None
    ]
    order = list(Became)
    return tuple(sorted(told, key=lambda one: (order.index(one.became), _end(one), -one.deepest_mm, one.key)))


def _of_metal(book: Book, reading: Reading) -> bool:
    """Pits, thickness, and lengths of cracks, on bright metal or where nobody said."""
    if isinstance(reading, LengthReading):
        finding = book.findings.get(str(reading.finding))
        return finding is not None and finding.kind == Kinds.CRACK
    return isinstance(reading, PitReading | ThicknessReading) and reading.clean_metal is not False


def _end(one: Since) -> str:
    """When nothing is left at the earliest; late where nobody can say."""
    end = one.growth.through(one.left_mm) if one.became is Became.GREW and one.growth and one.left_mm else None
    return str(end) if end else "9999"


def _since(
    book: Book, verdicts: Verdicts, readings: Sequence[Reading], numbers: dict[str, int], spots: int
) -> Since | None:
    newest = readings[-1]
    finding = book.findings.get(str(newest.finding)) if newest.finding is not None else None
    if finding is not None and finding.status is Status.WITHDRAWN:
        return None
    by_round: dict[int, list[Reading]] = defaultdict(list)
    for reading in readings:
        by_round[numbers[reading.round]].append(reading)
    told = [(number, gone) for number, those in sorted(by_round.items()) if (gone := gone_of(those)) is not None]
    if not told:
        return None
    verdict = verdicts.of(finding) if finding is not None else None
    repaired = _repaired(finding)
    after = [one for one in readings if repaired is None or one.when >= repaired]
    growth = growth_of(after, numbers, spots) if after else None
    left = verdict.facts.least_left_for(growth) if verdict is not None and growth is not None else None
    became, why = _became(book, finding, told, growth, repaired_unread=repaired is not None and not after)
    if repaired is not None and after and growth is None and len(told) > 1:
        before = next(one for _, one in reversed(told) if one.day <= repaired.date())
        became, why = Became.REPAIRED, f"{shown(abs(before.gone_mm), 2)} mm before it was repaired"
    place = book.compartments.get(newest.compartment)
    key = readings[0].id if finding is None else f"{finding.chalk}-{readings[0].id}"
    return Since(key, became, newest, finding, place, tuple(told), growth, left, why)


def _repaired(finding: Finding | None) -> datetime | None:
    events = finding.history if finding is not None else ()
    return max((one.when for one in events if one.status is Status.REPAIRED), default=None)


def _became(
    book: Book,
    finding: Finding | None,
    told: Sequence[tuple[int, SpotReading]],
    growth: SpotGrowth | None,
    *,
    repaired_unread: bool,
) -> tuple[Became, str]:
    now = book.round.number
    if repaired_unread:
        return Became.REPAIRED, "repaired since: the new metal was not read"
    if told[-1][0] < now:
        if finding is not None and finding.not_found == book.round.id:
            return Became.LOST, "looked for in this round, and its mark was not found"
        if finding is not None and finding.status in CLOSED:
            return Became.REPAIRED, finding.status.value
        return Became.AGAIN, ""
    if growth is None:
        return (Became.NEW, "") if len(told) == 1 else (Became.CANNOT, "read in two rounds on one day")
    if growth.significant:
        return Became.GREW, ""
    if growth.days < FEWEST_DAYS:
        return Became.CANNOT, f"only {counted(growth.days, 'day')} apart"
    if -growth.grown_mm > growth.tells_mm:
        return Became.CANNOT, f"{shown(-growth.grown_mm, 2)} mm less than before: metal does not grow back"
    if growth.tells_mm > WOULD_SHOW_MM:
        return Became.CANNOT, f"growth under {shown(growth.tells_mm, 2)} mm would not show"
    return Became.SAME, ""


def since_words(told: Sequence[Since]) -> str:
    """The worst of it in one line, and how much waits; empty if there is nothing to say."""
    grew = [one for one in told if one.became is Became.GREW]
    parts = []
    if grew:
        worst = grew[0]
        where = f"{worst.name} in {one_line(worst.place.name)}" if worst.place else worst.name
        more = f" (and {len(grew) - 1} more)" if len(grew) > 1 else ""
        parts.append(f"Grew: {where}, {worst.words}{more}")
    for became, word in ((Became.AGAIN, "to measure again"), (Became.CANNOT, "cannot be judged")):
        count = sum(one.became is became for one in told)
        if count:
            parts.append(f"{counted(count, 'spot')} {word}")
    return " · ".join(parts)
