"""The table of the statements about metal nobody looked at: what it must hold, and that it is what is simulated."""

from __future__ import annotations

import pytest

from tests.outside.coverage import written
from tests.outside.statements import HOW, MARKS, POPULATIONS, READ, Told, tried, withdrawn


def rows() -> list[Told]:
    """The table in DEVELOPERS.md, read back."""
    told = []
    for line in written(MARKS).splitlines():
        cells = [cell.strip().removesuffix(" %") for cell in line.strip("|").split("|")]
        if len(cells) == 8 and cells[2].isdigit():
            told.append(Told(cells[0], cells[1], int(cells[2]), *(float(cell) for cell in cells[3:])))
    return told


def test_every_population_stands_in_the_table() -> None:
    assert [(row.name, row.read) for row in rows()] == [(name, read) for name, *_ in POPULATIONS for read in READ]


def test_what_needs_no_law_holds_for_every_law() -> None:
    # Four thousand plates: a share of 95 % has a standard error of 0.34 %.
    assert min(row.free for row in rows()) >= 95 - 2 * 0.34


def test_where_the_law_is_true_its_bound_holds_and_is_not_much_too_deep() -> None:
    lawful = [row for row in rows() if row.name == "Gumbel" or row.name.startswith("exponential")]
    assert len(lawful) == 14
    for row in lawful:
        assert 93 <= row.law <= 97, row
        assert row.withdrawn <= 5
        assert row.ratio <= 1.5, row


def test_where_it_is_not_it_is_printed_how_often_it_is_wrong() -> None:
    others = [row for row in rows() if not (row.name == "Gumbel" or row.name.startswith("exponential"))]
    assert len(others) == 10
    for row in others:
        assert row.wrong == pytest.approx(100 - row.law - row.withdrawn, abs=0.11)
    assert max(row.wrong for row in others) > 40, "it says the worst of itself"


@pytest.mark.parametrize("read", READ)
@pytest.mark.parametrize("how", HOW)
def test_chosen_squares_and_squares_in_one_block_are_known_from_the_record(how: str, read: int) -> None:
    assert withdrawn(how, read, books=6) == (0 if how == "drawn by a plan" else 100)


@pytest.mark.parametrize("population", [POPULATIONS[0], POPULATIONS[1], POPULATIONS[4], POPULATIONS[-1]])
def test_the_table_is_what_is_simulated(population: tuple[str, str, object]) -> None:
    again = tried(*population, 10, plates=300)  # type: ignore[arg-type]
    stands = next(row for row in rows() if row.name == population[0] and row.read == 10)
    # Three standard errors of 300 plates.
    assert again.law == pytest.approx(stands.law, abs=9)
    assert again.free == pytest.approx(stands.free, abs=4)
    assert again.ratio == pytest.approx(stands.ratio, rel=0.2)
