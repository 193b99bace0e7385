"""What needs metal or heat, gathered into jobs: which spots share a cut, where it runs, what else could be done."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import count

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.plain import counted
from inspect_tui.domain.records import Compartment, Cut, Finding, PlateField, Position
from inspect_tui.domain.shell import from_bow_mm, on_shell
from inspect_tui.domain.words import Side, Treatment
from inspect_tui.engineering.work.cut_list import EXACT_MOST, Cutting, Insert, Rect, cheapest_cuts
from inspect_tui.engineering.work.repair import INSERT_LEAST_MM, corner_radius_mm
from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.judgement.repair.edges import beyond_field, by_centreline
from inspect_tui.judgement.repair.repair_scope import (
    MARGIN_MM,
    MARGIN_SOURCE,
    NO_SPACE,
    Job,
    Plate,
    marked_mm,
    quantities,
)
from inspect_tui.judgement.repair.ways import INSERTED, Spot, Way, ways

# Old plate between two cuts is no narrower than this, and no narrower than ten times its thickness.
STRIP_MM, STRIP_THICKNESSES = 300.0, 10.0
STRIP_SOURCE = Source(
    "no strip of old plate under 300 mm or ten times its thickness, whichever is more, between two inserts",
    Seen.MEMORY,
)
CLEAR_MM = 76.0
CLEAR_SOURCE = Source(
    "at least 76 mm between welds, and from frames and bulkheads (NAVEDTRA 14119, access cuts in naval ships)",
    Seen.READ,
    "a naval-ship value: few boats were built to it",
)
# So far from the cut foam, lining and what burns are taken away: judgement of this program.
HEAT_MM = 300.0
WEIGHTS = "a metre of weld counts as much as a square metre of plate; no prices are used"


@dataclass(frozen=True)
class ScopedJob:
    """One visit of a welder to one piece of plate.

    `findings`: what it is for; `also`: what lies in the cut and comes out with it. `cut`: on the developed shell [mm
    aft of the bow, mm out from the centreline, port minus]; None where place or size is not written down, and then
    `missing` says what. `frames`: those it comes over. `broken`: rules that are not kept, in words. `ways`: what else
    could be done, what is proposed first.
    """

    letter: str
    jobs: tuple[Job, ...]
    also: tuple[Finding, ...]
    field: PlateField | None
    cut: Rect | None
    missing: str
    plate: Plate | None
    frames: tuple[int, ...]
    notes: tuple[str, ...]
    broken: tuple[str, ...]
    behind: tuple[Compartment, ...]
    ways: tuple[Way, ...]
    working: Working

    @property
    def findings(self) -> tuple[int, ...]:
        return tuple(job.finding.chalk for job in self.jobs)

    @property
    def treatment(self) -> Treatment | None:
        return self.jobs[0].treatment


def scope(book: Book, checklists: Checklists, jobs: Sequence[Job]) -> tuple[ScopedJob, ...]:
    """Every repair in exactly one job: inserts of one plate that are cheapest cut together are one; all else, and
    what has no place or size yet, by itself. In the order of the worklist."""
    return _Scoping(book, checklists, jobs).all()


class _Scoping:
    def __init__(self, book: Book, checklists: Checklists, jobs: Sequence[Job]) -> None:
        self.book, self.checklists, self.jobs = book, checklists, jobs
        self.frames_mm = _frames_mm(book)

    def all(self) -> tuple[ScopedJob, ...]:
        by_field: dict[str, list[Spot]] = defaultdict(list)
        alone: list[tuple[Job, str]] = []
        for job in self.jobs:
            wish = job.finding.cut
            if wish is not None and wish.how == "left out" and job.finding.kind != Kinds.HOLE:
                left = replace(job, plate=None, plate_missing="")
                alone.append((left, f"left out of the jobs by {wish.by}: {wish.reason}"))
                continue
            if job.treatment not in INSERTED:
                alone.append((job, ""))
                continue
            rect, missing = self.spot_of(job.finding, job.place)
            if rect is None or job.field is None or job.field.as_built_mm is None:
                lacking = missing or "the plate as built"
                alone.append((job, f"not drawn, for want of: {lacking}"))
            else:
                by_field[job.field.id].append(Spot(job, rect))
        made = [self._alone(job, missing) for job, missing in alone]
        for spots in by_field.values():
            made += self._of_field(spots)
        order = {job.finding.chalk: at for at, job in enumerate(self.jobs)}
        made.sort(key=lambda one: min(order[chalk] for chalk in one.findings))
        return tuple(replace(one, letter=_letter(at)) for at, one in enumerate(made))

    def spot_of(self, finding: Finding, place: Compartment | None) -> tuple[Rect | None, str]:
        """What is marked, about its position, with what goes on past an old patch; or what is missing for it. A
        hole whose size nobody wrote is a point: its margin is cut all the same."""
        at = on_shell(self.book.boat, finding.position, place)
        marked = marked_mm(self.book, finding) or ((0.0, 0.0) if finding.kind == Kinds.HOLE else None)
        lacking = [name for name, one in (("its place on the shell", at), ("its extent", marked)) if one is None]
        if at is None or marked is None:
            return None, " and ".join(lacking)
        beyond = finding.lifted.beyond_mm or 0.0 if finding.lifted else 0.0
        length, width = (one / 2 + beyond for one in marked)
        return Rect(at.from_bow_mm - length, at.out_mm - width, at.from_bow_mm + length, at.out_mm + width), ""

    def cutting(self, thickness_mm: float) -> Cutting:
        return Cutting(
            per_m2=1, per_weld_m=1, margin_mm=MARGIN_MM, least_mm=INSERT_LEAST_MM,
            strip_mm=max(STRIP_MM, STRIP_THICKNESSES * thickness_mm), radius_mm=corner_radius_mm(thickness_mm),
            frames_mm=tuple(self.frames_mm.values()), clear_mm=CLEAR_MM,
        )  # fmt: skip

    def _of_field(self, spots: list[Spot]) -> list[ScopedJob]:
        field = spots[0].job.field
        assert field is not None
        assert field.as_built_mm is not None
        cutting = self.cutting(field.as_built_mm)
        groups, apart = _wished(spots)
        while True:
            told = cheapest_cuts([_around(group) for group in groups], cutting)
            cuts = [Insert(cutting.cut_round(one.rect.grown(MARGIN_MM)), (), 0.0) for one in apart]
            near = next(
                (
                    at
                    for at, one in enumerate(cuts)
                    if any(other is not one and one.cut.apart_mm(other.cut) <= 0 for other in (*told.inserts, *cuts))
                ),
                None,
            )
            if near is None:
                break
            groups.append([apart.pop(near)])  # two cuts cannot lie on each other, whoever wants it
        made = [
            self._cut(insert, [one for at in insert.spots for one in groups[at]], field, cutting, proven=told.proven)
            for insert in told.inserts
        ]
        return made + [
            self._cut(insert, [one], field, cutting, proven=True) for insert, one in zip(cuts, apart, strict=True)
        ]

    def _cut(
        self, insert: Insert, spots: list[Spot], field: PlateField, cutting: Cutting, *, proven: bool
    ) -> ScopedJob:
        assert field.as_built_mm is not None
        cut, jobs = insert.cut, tuple(one.job for one in spots)
        assumed = any(one.rect.x0 == one.rect.x1 for one in spots)
        plate, working = quantities(
            self.book, cut.x1 - cut.x0, cut.y1 - cut.y0, field.as_built_mm, jobs[0].alloy, assumed_size=assumed
        )
        frames = tuple(number for number, at in self.frames_mm.items() if cut.x0 < at < cut.x1)
        grown = spots[0].rect.grown(MARGIN_MM)
        for one in spots[1:]:
            grown = grown.around(one.rect.grown(MARGIN_MM))
        notes = [*self._moved(grown, cut)]
        if len(spots) > 1 and not any(one.job.finding.cut for one in spots):
            chalks = ", ".join(str(one.job.finding.chalk) for one in spots)
            strip = min(
                one.rect.grown(MARGIN_MM).apart_mm(other.rect.grown(MARGIN_MM))
                for at, one in enumerate(spots)
                for other in spots[at + 1 :]
            )
            why = (
                f"the strip of old plate between them would be {max(strip, 0):.0f} mm, under {cutting.strip_mm:.0f}"
                if strip < cutting.strip_mm
                else "less weld and plate than apart"
            )
            notes.append(f"{chalks} are one insert: {why}")
        if frames:
            notes.append(
                f"over {counted(len(frames), 'frame')} ({', '.join(map(str, frames))}): whoever signs the repair "
                "says whether to scallop there, or to crop and renew"
            )
        notes += by_centreline(cut, CLEAR_MM)
        if assumed:
            notes.append("the size of a hole is not written down: the cut is the smallest there can be, and may grow")
        wishes = [(one.job.finding.chalk, one.job.finding.cut) for one in spots]
        notes += [
            f"no. {chalk}: {wish.by} wants it cut {_wish_words(wish)}: {wish.reason}"
            for chalk, wish in wishes
            if wish
        ]
        broken = tuple(beyond_field(self.book, cut, field))
        steps = (
            Step("cut line", "marked + 50 mm each side, at least 300 mm", f"{len(spots)} marked",
                 f"{plate.length_mm:.0f} × {plate.width_mm:.0f} mm", MARGIN_SOURCE),
            Step("between cuts", "max(300 mm, 10 t)", f"10 · {field.as_built_mm:g} mm",
                 f"{cutting.strip_mm:.0f} mm", STRIP_SOURCE),
            Step("from frames", "weld to weld", "", f"{CLEAR_MM:.0f} mm", CLEAR_SOURCE),
            Step("which together", "least Σ (weld + plate)", WEIGHTS,
                 "proven cheapest" if proven else f"not proven: more than {EXACT_MOST} spots", MARGIN_SOURCE),
        )  # fmt: skip
        return ScopedJob(
            "", jobs, self._also(cut, field, jobs), field, cut, "", plate, frames, tuple(notes), broken,
            self.behind(cut.grown(HEAT_MM), jobs[0].place),
            ways(self.book, self.checklists, spots, cut, plate, cutting),
            replace(working, steps=(*steps, *working.steps)),
        )  # fmt: skip

    def _alone(self, job: Job, missing: str) -> ScopedJob:
        doing = self.checklists.works.get(job.treatment.value if job.treatment else "") or self.checklists.kinds.get(
            job.finding.kind
        )
        ways: tuple[Way, ...] = ()
        if doing is not None:
            name = job.treatment.value if job.treatment else doing.do
            plate = job.plate
            ways = (
                Way(
                    name, int(job.treatment in INSERTED), plate.mass_kg if plate else None,
                    plate.weld_m if plate else None, doing.hours, 0.0, None, "what lies under it and beside it",
                ),
            )  # fmt: skip
        return ScopedJob(
            "", (job,), (), job.field, None, missing or job.plate_missing, job.plate, (), (), (),
            self._about(job), ways, job.working,
        )  # fmt: skip

    def _about(self, job: Job) -> tuple[Compartment, ...]:
        """What lies within reach of the heat about a finding that has a frame, whatever its distance out."""
        finding = job.finding
        along = from_bow_mm(self.book.boat, finding.position)
        if along is None:
            return job.adjacent
        side = finding.position.side or (job.place.side if job.place else None)
        low, high = {Side.PORT: (-1.0, -1.0), Side.STARBOARD: (1.0, 1.0)}.get(side or Side.CENTRE, (-1.0, 1.0))
        return self.behind(Rect(along - HEAT_MM, low, along + HEAT_MM, high), job.place)

    def _moved(self, grown: Rect, cut: Rect) -> Iterable[str]:
        """Which sides were moved past a frame, and by how much."""
        plain = Cutting(least_mm=INSERT_LEAST_MM).cut_round(grown)
        for end, was, now in (("forward", plain.x0, cut.x0), ("aft", plain.x1, cut.x1)):
            if abs(was - now) >= 0.5:
                frame = min(self.frames_mm, key=lambda one: abs(self.frames_mm[one] - now))
                yield (
                    f"{end} edge moved {abs(was - now):.0f} mm, to lie {CLEAR_MM:.0f} mm past frame {frame}: where "
                    "it was, its weld would have come too near the frame's"
                )

    def _also(self, cut: Rect, field: PlateField, jobs: tuple[Job, ...]) -> tuple[Finding, ...]:
        """Other open findings that lie wholly in the cut."""
        told = {job.finding.chalk for job in jobs}
        inside = []
        for job in self.jobs:
            if job.finding.chalk in told or job.field is None or job.field.id != field.id:
                continue
            rect, _ = self.spot_of(job.finding, job.place)
            if rect is not None and cut.holds(rect):
                inside.append(job.finding)
        return tuple(inside)

    def behind(self, cut: Rect, place: Compartment | None) -> tuple[Compartment, ...]:
        """Compartments behind the plate: between the same frames, on a side that the cut touches."""
        sides = {Side.PORT} if cut.y1 < 0 else {Side.STARBOARD} if cut.y0 > 0 else {Side.PORT, Side.STARBOARD}
        found = []
        for one in self.book.bow_to_stern():
            if one.frame_from is None or one.frame_to is None or (place is not None and one.id == place.id):
                continue
            area = self.checklists.areas.get(one.area)
            if (
                one.area in NO_SPACE
                or area is None
                or not area.space
                or area.outside
                or not (one.side in (None, Side.CENTRE) or one.side in sides)
            ):
                continue
            ends = [from_bow_mm(self.book.boat, Position(frame=frame)) for frame in (one.frame_from, one.frame_to)]
            known = sorted(end for end in ends if end is not None)
            if len(known) == 2 and known[0] <= cut.x1 and known[1] >= cut.x0:
                found.append(one)
        return tuple(found)


def _wished(spots: list[Spot]) -> tuple[list[list[Spot]], list[Spot]]:
    """Spots in groups that the owner wants cut together, and those to be cut apart."""
    apart = [one for one in spots if one.job.finding.cut is not None and one.job.finding.cut.how == "apart"]
    groups = [[one] for one in spots if one not in apart]
    for one in spots:
        wish = one.job.finding.cut
        if wish is None or wish.how != "with":
            continue
        own = next(group for group in groups if one in group)
        other = next((group for group in groups if any(each.job.finding.chalk == wish.other for each in group)), own)
        if other is not own:
            own += other
            groups.remove(other)
    return groups, apart


def _around(spots: Sequence[Spot]) -> Rect:
    rect = spots[0].rect
    for one in spots[1:]:
        rect = rect.around(one.rect)
    return rect


def _wish_words(wish: Cut) -> str:
    return wish.how if wish.other is None else f"{wish.how} no. {wish.other}"


def _frames_mm(book: Book) -> dict[int, float]:
    """Her frames by number, and how far aft of the bow each stands [mm]."""
    boat = book.boat
    long_mm = boat.hull_length_m * 1000
    rows = boat.datum.frame_table_mm
    found: dict[int, float] = {}
    for number in range(len(rows)) if rows else count():
        at = from_bow_mm(boat, Position(frame=number))
        if at is None or not 0 <= at <= long_mm:
            if rows:
                continue
            break
        found[number] = at
    return found


def _letter(at: int) -> str:
    """A, B ... Z, AA, AB ...

    >>> [_letter(at) for at in (0, 25, 26, 52)]
    ['A', 'Z', 'AA', 'BA']
    """
    told = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, 26)
        told = chr(65 + rest) + told
    return told


def cut_words(job: ScopedJob) -> str:
    """The cut in mm, or that there is none yet."""
    if job.plate is None:
        return "no size yet" if job.missing else ""
    return f"{job.plate.length_mm:.0f} × {job.plate.width_mm:.0f} mm"
