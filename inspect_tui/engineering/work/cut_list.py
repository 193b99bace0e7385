"""The cheapest cut list: which damaged spots of a plate share an insert, so that no cut is made that need not be.

Covering spots with rectangles at least cost is NP-hard (Culberson and Reckhow 1994, as quoted). Up to `EXACT_MOST`
spots the list is proven cheapest, by branch and bound over the rectangles whose four sides each touch a grown spot;
beyond, spots are joined while the cost falls, and the list is then mended spot by spot: good, and not proven.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations

from inspect_tui.errors import CannotCalculate

EXACT_MOST = 12
# Costs nearer than this are one cost: sums of floats differ by the order they are summed in.
SAME = 1e-9
# Up to so many inserts, the spots of every two are tried along every line between them.
FEW = 12


@dataclass(frozen=True)
class Rect:
    """A rectangle on the developed shell [mm]: x aft along the boat, y out along the plate."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def area_m2(self) -> float:
        return (self.x1 - self.x0) * (self.y1 - self.y0) * 1e-6

    def grown(self, by_mm: float) -> Rect:
        return Rect(self.x0 - by_mm, self.y0 - by_mm, self.x1 + by_mm, self.y1 + by_mm)

    def around(self, other: Rect) -> Rect:
        return Rect(min(self.x0, other.x0), min(self.y0, other.y0), max(self.x1, other.x1), max(self.y1, other.y1))

    def holds(self, other: Rect) -> bool:
        return self.x0 <= other.x0 and self.y0 <= other.y0 and self.x1 >= other.x1 and self.y1 >= other.y1

    def apart_mm(self, other: Rect) -> float:
        """Width of the strip between two rectangles [mm]; negative where they overlap.

        >>> Rect(0, 0, 100, 100).apart_mm(Rect(250, 50, 300, 90)), Rect(0, 0, 100, 100).apart_mm(Rect(90, 0, 120, 40))
        (150, -10)
        """
        return max(max(self.x0, other.x0) - min(self.x1, other.x1), max(self.y0, other.y0) - min(self.y1, other.y1))


@dataclass(frozen=True)
class Cutting:
    """What a cut costs, and where none may lie.

    `fixed`, `per_m2`, `per_weld_m`, `per_frame`: in one currency, or as plain weights. `margin_mm`: from a spot to
    the cut, each side. `least_mm`: the shortest side of an insert. `strip_mm`: the narrowest strip of old plate that
    may stay between two inserts. `radius_mm`: of the corners. `frames_mm`, `seams_mm`: the welds there are, x of
    frames and y of seams; `clear_mm`: how far a cut keeps from them. `most`: inserts at the most. `overlap`:
    rectangles may lie on each other and `strip_mm` is not kept; for checking against published covers only.
    """

    fixed: float = 0.0
    per_m2: float = 1.0
    per_weld_m: float = 0.0
    per_frame: float = 0.0
    margin_mm: float = 0.0
    least_mm: float = 0.0
    strip_mm: float = 0.0
    radius_mm: float = 0.0
    frames_mm: tuple[float, ...] = ()
    seams_mm: tuple[float, ...] = ()
    clear_mm: float = 0.0
    most: int | None = None
    overlap: bool = False

    def cut_round(self, grown: Rect) -> Rect:
        """The cut line round what is to come out: no side under the least, and no weld nearer than `clear_mm` to one
        that is there, for which a side goes outward past it.

        >>> Cutting(least_mm=300, frames_mm=(500,), clear_mm=75).cut_round(Rect(250, 0, 480, 300))
        Rect(x0=215.0, y0=0, x1=575, y1=300)
        """
        x0, x1 = _at_least(grown.x0, grown.x1, self.least_mm)
        y0, y1 = _at_least(grown.y0, grown.y1, self.least_mm)
        if self.clear_mm:
            x0, x1 = _clear_of(x0, x1, self.frames_mm, self.clear_mm)
            y0, y1 = _clear_of(y0, y1, self.seams_mm, self.clear_mm)
        return Rect(x0, y0, x1, y1)

    def weld_m(self, cut: Rect) -> float:
        """Weld round a cut with round corners [m]."""
        return (2 * (cut.x1 - cut.x0 + cut.y1 - cut.y0) - (8 - 2 * math.pi) * self.radius_mm) / 1000

    def crossed(self, cut: Rect) -> tuple[float, ...]:
        """The frames that a cut comes over [mm]."""
        return tuple(one for one in self.frames_mm if cut.x0 < one < cut.x1)

    def cost(self, cut: Rect) -> float:
        told = self.fixed + self.per_m2 * cut.area_m2
        if self.per_weld_m:
            told += self.per_weld_m * self.weld_m(cut)
        return told + self.per_frame * len(self.crossed(cut)) if self.per_frame else told


@dataclass(frozen=True)
class Insert:
    """One cut: the rectangle, and which of the spots it takes out, by their places in what was given."""

    cut: Rect
    spots: tuple[int, ...]
    cost: float


@dataclass(frozen=True)
class CutList:
    """The inserts, bow to stern. `proven`: no cheaper list keeps the rules."""

    inserts: tuple[Insert, ...]
    proven: bool

    @property
    def cost(self) -> float:
        return math.fsum(one.cost for one in self.inserts)


@dataclass(frozen=True)
class _Group:
    """Spots that are cut out together."""

    spots: frozenset[int]
    grown: Rect
    cutting: Cutting = field(repr=False, compare=False)

    @cached_property
    def cut(self) -> Rect:
        return self.cutting.cut_round(self.grown)

    @cached_property
    def cost(self) -> float:
        return self.cutting.cost(self.cut)

    def with_(self, other: _Group) -> _Group:
        return _Group(self.spots | other.spots, self.grown.around(other.grown), self.cutting)

    def clash(self, other: _Group) -> bool:
        """Whether they may not both be cut: they overlap, or too narrow a strip would stay between them."""
        return not self.cutting.overlap and self.cut.apart_mm(other.cut) < max(self.cutting.strip_mm, 0) - SAME


def cheapest_cuts(spots: Sequence[Rect], cutting: Cutting, *, exact_most: int = EXACT_MOST) -> CutList:
    """The cheapest inserts that take out every spot with its margin, each spot in one insert.

    Raises
    ------
    CannotCalculate : more inserts are needed than `most` allows, which is only where `most` is below 1.

    Examples
    --------
    Two spots 200 mm apart are one insert, where a strip of under 300 mm may not stay; far apart they are two:

    >>> rules = Cutting(per_weld_m=1, margin_mm=50, least_mm=300, strip_mm=300, radius_mm=100)
    >>> near = cheapest_cuts([Rect(0, 0, 60, 60), Rect(260, 0, 320, 60)], rules)
    >>> [(one.spots, one.cut) for one in near.inserts]
    [((0, 1), Rect(x0=-50, y0=-120.0, x1=370, y1=180.0))]
    >>> len(cheapest_cuts([Rect(0, 0, 60, 60), Rect(1260, 0, 1320, 60)], rules).inserts)
    2
    """
    if not spots:
        return CutList((), proven=True)
    if cutting.most is not None and cutting.most < 1:
        raise CannotCalculate("At least one insert is needed.")
    single = [_Group(frozenset([at]), one.grown(cutting.margin_mm), cutting) for at, one in enumerate(spots)]
    groups = _mended(_joined(single, cutting), single, cutting)
    proven = len(spots) <= exact_most
    if proven:
        groups = _exact(single, cutting, groups)
    inserts = (Insert(one.cut, tuple(sorted(one.spots)), one.cost) for one in groups)
    return CutList(tuple(sorted(inserts, key=lambda one: (one.cut.x0, one.cut.y0, one.spots))), proven)


def _at_least(low: float, high: float, least: float) -> tuple[float, float]:
    short = (least - (high - low)) / 2
    return (low - short, high + short) if short > 0 else (low, high)


def _clear_of(low: float, high: float, welds: Iterable[float], clear: float) -> tuple[float, float]:
    """Both ends moved outward until none lies within `clear` of a weld."""
    for one in sorted(welds, reverse=True):
        if abs(low - one) < clear:
            low = one - clear
    for one in sorted(welds):
        if abs(high - one) < clear:
            high = one + clear
    return low, high


def _joined(single: Sequence[_Group], cutting: Cutting) -> list[_Group]:
    """From one cut a spot: the pair is joined that saves most, while one saves or clashes, or there are too many."""
    groups: dict[int, _Group] = dict(enumerate(single))
    heap: list[tuple[bool, float, int, int]] = []

    def offer(one: int, other: int) -> None:
        first, second = groups[one], groups[other]
        must = first.clash(second)
        saved = first.cost + second.cost - cutting.cost(cutting.cut_round(first.grown.around(second.grown)))
        if must or saved > SAME or cutting.most is not None:
            heapq.heappush(heap, (not must, -saved, one, other))

    for one, other in combinations(groups, 2):
        offer(one, other)
    following = len(groups)
    while heap:
        may, lost, one, other = heapq.heappop(heap)
        if one not in groups or other not in groups:
            continue
        if may and lost >= -SAME and (cutting.most is None or len(groups) <= cutting.most):
            break
        both = groups.pop(one).with_(groups.pop(other))
        groups[following] = both
        for third in list(groups):
            if third != following:
                offer(third, following)
        following += 1
    return list(groups.values())


def _mended(groups: list[_Group], single: Sequence[_Group], cutting: Cutting) -> list[_Group]:
    """Spots moved from one insert to another, inserts split along and across, and joined, while the cost falls."""
    better = True
    while better:
        better = False
        for change in _changes(groups, single, cutting):
            groups, better = change, True
            break
    return groups


def _changes(groups: list[_Group], single: Sequence[_Group], cutting: Cutting) -> Iterable[list[_Group]]:
    """Lists of inserts that are cheaper than this one by one step, and keep the rules."""
    for one in groups:
        rest = [other for other in groups if other is not one]
        for parts in _parts(one, single):
            for settled in _settled(rest, parts, cutting):
                if _cheaper(settled, groups, cutting):
                    yield settled
    few = len(groups) <= FEW
    for one, other in combinations(groups, 2):
        both = one.with_(other)
        rest = [third for third in groups if third is not one and third is not other]
        anew = [[both]] if both.cost < one.cost + other.cost - SAME else []
        for parts in (*anew, *(_parts(both, single) if few else ())):
            for settled in _settled(rest, parts, cutting):
                if _cheaper(settled, groups, cutting):
                    yield settled


def _parts(one: _Group, single: Sequence[_Group]) -> Iterable[list[_Group]]:
    """An insert in two: cut across or along between any of its spots."""
    for axis in ("x0", "y0", "x1", "y1"):
        ranked = sorted(one.spots, key=lambda at: (getattr(single[at].grown, axis), at))
        first: list[_Group] = []
        group = single[ranked[0]]
        for at in ranked[1:]:
            first.append(group)
            group = group.with_(single[at])
        group = single[ranked[-1]]
        for at in range(len(ranked) - 2, -1, -1):
            yield [first[at], group]
            group = group.with_(single[ranked[at]])


def _settled(rest: list[_Group], parts: list[_Group], cutting: Cutting) -> Iterable[list[_Group]]:
    """The parts among the rest, with what clashes joined; and with each part in turn joined to each of the rest."""
    yield _without_clashes([*rest, *parts])
    if len(parts) == 2:
        for part, kept in (parts, parts[::-1]):
            for other in rest:
                joined = other.with_(part)
                if joined.cost < other.cost + part.cost or cutting.most is not None:
                    yield _without_clashes([*(one for one in rest if one is not other), joined, kept])


def _without_clashes(groups: list[_Group]) -> list[_Group]:
    done: list[_Group] = []
    waiting = list(groups)
    while waiting:
        one = waiting.pop()
        against = next((other for other in done if one.clash(other)), None)
        if against is None:
            done.append(one)
        else:
            done.remove(against)
            waiting.append(one.with_(against))
    return done


def _cheaper(new: list[_Group], old: list[_Group], cutting: Cutting) -> bool:
    if cutting.most is not None and len(new) > cutting.most:
        return False
    return math.fsum(one.cost for one in new) < math.fsum(one.cost for one in old) - SAME


def _exact(single: Sequence[_Group], cutting: Cutting, known: list[_Group]) -> list[_Group]:
    """The cheapest list of all: branch and bound over the rectangles that a set of spots asks for."""
    count = len(single)
    sides = [sorted({getattr(one.grown, axis) for one in single}) for axis in ("x0", "y0", "x1", "y1")]
    seen: dict[frozenset[int], _Group] = {}
    for x0 in sides[0]:
        for x1 in (one for one in sides[2] if one > x0):
            across = [at for at, one in enumerate(single) if x0 <= one.grown.x0 and one.grown.x1 <= x1]
            for y0 in sides[1]:
                for y1 in (one for one in sides[3] if one > y0):
                    inside = [at for at in across if y0 <= single[at].grown.y0 and single[at].grown.y1 <= y1]
                    if inside and frozenset(inside) not in seen:
                        group = single[inside[0]]
                        for at in inside[1:]:
                            group = group.with_(single[at])
                        seen[group.spots] = group
    candidates = sorted(seen.values(), key=lambda one: one.cost / len(one.spots))
    holding = [[one for one in candidates if at in one.spots] for at in range(count)]
    least_share = [min(one.cost / len(one.spots) for one in holding[at]) for at in range(count)]
    best, best_cost = known, math.fsum(one.cost for one in known)

    def search(open_: frozenset[int], chosen: list[_Group], cost: float) -> None:
        nonlocal best, best_cost
        if not open_:
            if cost < best_cost - SAME:
                best, best_cost = list(chosen), cost
            return
        if cutting.most is not None and len(chosen) >= cutting.most:
            return
        if cost + math.fsum(least_share[at] for at in open_) >= best_cost - SAME:
            return
        first = min(open_, key=lambda at: len(holding[at]))
        for one in holding[first]:
            # Whatever a rectangle holds is cut out with it; where they may overlap, it may hold what is out already.
            if cutting.overlap or (one.spots <= open_ and not any(one.clash(other) for other in chosen)):
                chosen.append(one)
                search(open_ - one.spots, chosen, cost + one.cost)
                chosen.pop()

    search(frozenset(range(count)), [], 0.0)
    return best
