"""How often each statement about the metal nobody looked at holds, on invented plates of which everything is known.

`python -m tests.outside.statements` simulates and writes the table into DEVELOPERS.md between its two marks. Each
plate has 100 squares that nobody looked at; 10 or 20 are read. What withdraws a statement is tried on whole books.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass

from inspect_tui.domain.measuring.metal_records import SamplingPlan
from inspect_tui.domain.measuring.sampling import draw
from inspect_tui.domain.reading_records import PitReading
from inspect_tui.domain.records import Compartment, Datum, PlateField, Position
from inspect_tui.domain.words import PlateRegion, Side, ThicknessSource
from inspect_tui.engineering.metal.deepest_pit import DeepestPit, deepest_pit
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.store.checklist_files import load_checklists
from tests.judgement.metal_books import START, metals, with_rows
from tests.outside.coverage import write

PLATES, UNSEEN, READ = 4000, 100, (10, 20)
SMALLEST_MM = 0.1
MARKS = ("<!-- statements -->", "<!-- end of statements -->")
Square = list[float]
Law = Callable[[random.Random], Square]


def _number(chance: random.Random, mean: float) -> int:
    """Poisson."""
    limit, count, product = math.exp(-mean), 0, chance.random()
    while product > limit:
        count, product = count + 1, product * chance.random()
    return count


def exponential(pits: float, swarm: float | None = None) -> Law:
    """So many pits a square on average, each of mean depth 1 mm; in swarms where a square's own mean varies too."""

    def law(chance: random.Random) -> Square:
        mean = pits if swarm is None else chance.gammavariate(swarm, pits / swarm)
        return [chance.expovariate(1.0) for _ in range(_number(chance, mean))]

    return law


def deepest(depth: Callable[[random.Random], float]) -> Law:
    """Squares of which the deepest pit alone is known."""
    return lambda chance: [max(depth(chance), SMALLEST_MM)]


def _gumbel(chance: random.Random) -> float:
    return 1.5 - 0.35 * math.log(-math.log(chance.random()))


def _mixed(share: float, more: Callable[[float], float]) -> Law:
    return deepest(lambda chance: more(_gumbel(chance)) if chance.random() < share else _gumbel(chance))


# Name, what was typed of each square, and the law.
POPULATIONS: tuple[tuple[str, str, Law], ...] = (
    ("Gumbel", "deepest", deepest(_gumbel)),
    *((f"exponential, {pits} a square", "every pit", exponential(pits)) for pits in (1, 2, 4, 10, 30)),
    ("exponential, 3 a square in swarms", "every pit", exponential(3, 0.5)),
    ("lognormal, σ 0.6", "deepest", deepest(lambda chance: chance.lognormvariate(0.2, 0.6))),
    ("lognormal, σ 0.8", "deepest", deepest(lambda chance: chance.lognormvariate(0.2, 0.8))),
    ("one in five 0.8 mm deeper", "deepest", _mixed(0.2, lambda depth: depth + 0.8)),
    ("one in ten twice as deep", "deepest", _mixed(0.1, lambda depth: 2 * depth)),
    ("one in twenty 2.5 times as deep", "deepest", _mixed(0.05, lambda depth: 2.5 * depth)),
)


@dataclass(frozen=True)
class Told:
    """Shares in percent of the plates of which the law could be told; `ratio`: median bound over the depth that the
    true deepest does not pass in 95 of 100 plates."""

    name: str
    typed: str
    read: int
    free: float
    law: float
    withdrawn: float
    wrong: float
    ratio: float


def found_in(squares: list[Square], typed: str) -> DeepestPit:
    deepest_of = [max((one for one in square if one >= SMALLEST_MM), default=0.0) for square in squares]
    return deepest_pit(
        [one for one in deepest_of if one > 0],
        0.09,
        0.09 * (UNSEEN + len(squares)),
        none_began=sum(one <= 0 for one in deepest_of),
        squares=squares if typed == "every pit" else (),
    )


def tried(name: str, typed: str, law: Law, read: int, plates: int = PLATES) -> Told:
    chance = random.Random(f"{name} {read}")
    free = held = 0
    bounds: list[float] = []
    truths: list[float] = []
    while len(bounds) < plates:
        squares = [law(chance) for _ in range(read)]
        rest = [max(law(chance), default=0.0) for _ in range(UNSEEN)]
        seen = max((max(square, default=0.0) for square in squares), default=0.0)
        if sum(max(square, default=0.0) >= SMALLEST_MM for square in squares) < 3:
            continue
        found = found_in(squares, typed)
        free += sum(one > seen for one in rest) <= found.most_deeper
        held += max(rest) <= found.deepest_bound_mm
        bounds.append(found.deepest_bound_mm)
        truths.append(max(rest))
    middle, true = sorted(bounds)[plates // 2], sorted(truths)[int(0.95 * plates)]
    law_held = 100 * held / plates
    # Squares drawn by chance: nothing in the record speaks against them.
    return Told(name, typed, read, 100 * free / plates, law_held, 0.0, 100 - law_held, middle / true)


def withdrawn(how: str, read: int, books: int = 40) -> float:
    """Share of books [%] in which nothing is named for the rest, of squares chosen in this way."""
    checklists, count = load_checklists(), 0
    for seed in range(books):
        chance = random.Random(f"{how} {read} {seed}")
        book = metals(0).book
        tables = {**book.tables, "readings": {}, "findings": {}, "plans": {}, "plate_fields": {}}
        book = type(book)({**tables, "compartments": {}})
        field = PlateField(
            id="p1", name="bottom", region=PlateRegion.BOTTOM, as_built_mm=8.0,
            as_built_from=ThicknessSource.DRAWING, area_m2=0.09 * (UNSEEN + read),
        )  # fmt: skip
        boat = book.boat.model_copy(update={"datum": Datum(frame_spacing_mm=500.0)})
        plan = SamplingPlan(
            id="q1", plate_field="p1", length_mm=9000, girth_mm=1200, square_length_mm=300, square_girth_mm=300,
            wanted=read, seed=str(seed), drawn=draw(str(seed), 120, read), when=START, by="x",
        )  # fmt: skip
        place = Compartment(id="c1", area="cabin-bilge", name="bilge", order=1, plate_fields=("p1",))
        for table, record in (("plate_fields", field), ("boat", boat), ("plans", plan), ("compartments", place)):
            book = with_rows(book, table, record)
        for at in range(read):
            said: dict[str, object] = {"plan": "q1", "square": plan.drawn[at]}
            if how != "drawn by a plan":
                beside = Position(frame=5 + 0.6 * (at % 4), side=Side.PORT, girth_mm=300.0 * (at // 4))
                said = {"worst_chosen": {"chosen by looks": True, "nobody said how": None}.get(how, False)}
                said["position"] = beside if how == "in one block" else Position()
            reading = PitReading.model_validate({
                "id": f"r{at}", "round": "1", "compartment": "c1", "when": START, "by": "x", "clean_metal": True,
                "plate_field": "p1", "patch_length_mm": 300.0, "patch_width_mm": 300.0,
                "depths_mm": (round(_gumbel(chance), 1),), **said,
            })  # fmt: skip
            book = with_rows(book, "readings", reading)
        found = Verdicts(book, checklists).fields["p1"].estimate
        assert found is not None
        count += bool(found.withdrawn)
    return 100 * count / books


HOW = ("drawn by a plan", "chosen by looks", "nobody said how", "nobody said where", "in one block")


def simulate() -> list[Told]:
    return [tried(*population, read) for population in POPULATIONS for read in READ]


def table(rows: list[Told]) -> str:
    lines = [
        "| the truth | typed | squares read | whatever the law: holds | the law's bound: holds | withdrawn | "
        "said and wrong | bound / true 95 % depth |",
        "|---|---|--:|--:|--:|--:|--:|--:|",
    ]
    lines += [
        f"| {r.name} | {r.typed} | {r.read} | {r.free:.1f} % | {r.law:.1f} % | {r.withdrawn:.0f} % | "
        f"{r.wrong:.1f} % | {r.ratio:.2f} |"
        for r in rows
    ]
    lines += ["", "| squares | 10 read: withdrawn | 20 read: withdrawn |", "|---|--:|--:|"]
    lines += [f"| {how} | {withdrawn(how, 10):.0f} % | {withdrawn(how, 20):.0f} % |" for how in HOW]
    return "\n".join(lines)


if __name__ == "__main__":
    write(table(simulate()), MARKS)
