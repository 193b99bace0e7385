"""The shipped strengths and filler metals of alloys, against the tables they are taken from."""

from __future__ import annotations

import pytest

from inspect_tui.engineering.strength.plate_strength import design_stress_mpa
from inspect_tui.store.checklist_files import load_checklists

ALLOYS = load_checklists().metals.alloys
# Proof and ultimate stress in MPa, as rolled (False) or welded (True), by source: EN 485-2 as mills print it; LR
# Rules for Materials ch. 13 (welded: table 13.8.1); ABS part 2, app. 5-A1 table 2 and 5-5 table 1B; EN 1999-1-1
# table 3.2b; ISO 12215-5:2008 annex F through independent open code (second-hand).
STRENGTH = [
    ("5083", "O/H111", False, 125, 275, "EN 485-2"),
    ("5083", "H116/H321", False, 215, 305, "EN 485-2"),
    ("5083", "any", True, 125, 275, "LR Materials table 13.8.1"),
    ("5083", "H32", True, 125, 270, "ISO 12215-5:2008"),
    ("5083", "O/H111", True, 145, 269, "ABS part 2"),
    ("5083", "H116/H321", True, 165, 276, "ABS part 2"),
    ("5083", "extrusion", True, 110, 270, "EN 1999-1-1"),
    ("5086", "O/H111", False, 100, 240, "EN 485-2"),
    ("5086", "H116/H32/H34", False, 195, 275, "EN 485-2"),
    ("5086", "any", True, 95, 240, "LR Materials table 13.8.1"),
    ("5086", "H34", True, 100, 185, "ISO 12215-5:2008"),
    ("5086", "any", True, 131, 241, "ABS part 2"),
    ("5052", "H32", False, 130, 210, "EN 485-2"),
    ("5454", "any", True, 110, 214, "ABS part 2"),
    ("5754", "O", False, 80, 190, "EN 485-2"),
    ("5754", "any", True, 80, 190, "LR Materials table 13.8.1"),
    ("5059", "H116/H321", False, 270, 370, "ABS part 2"),
    ("5383", "H34/H116", False, 220, 305, "ISO 12215-5:2008"),
    ("5383", "any", True, 145, 290, "ISO 12215-5:2008"),
    ("5383", "any", True, 165, 290, "ABS part 2"),
    ("5456", "any", True, 179, 290, "ABS part 2"),
    ("6061", "T6", False, 240, 290, "LR Materials"),
    ("6061", "any", True, 125, 160, "LR Materials table 13.8.1"),
    ("6061", "any", True, 115, 175, "EN 1999-1-1"),
    ("6061", "any", True, 115, 165, "ISO 12215-5:2008"),
    ("6061", "any", True, 138, 165, "ABS part 2"),
    ("6082", "T6", False, 240, 280, "LR Materials"),
    ("6082", "any", True, 125, 190, "LR Materials table 13.8.1"),
    ("6082", "any", True, 115, 170, "ISO 12215-5:2008"),
    ("6063", "any", True, 65, 110, "EN 1999-1-1"),
    ("steel-a", "any", True, 235, 400, "ISO 12215-5:2008"),
    ("steel-ah32", "any", True, 315, 470, "ISO 12215-5:2008"),
    ("steel-ah36", "any", True, 355, 490, "ISO 12215-5:2008"),
]


@pytest.mark.parametrize(("alloy", "temper", "welded", "proof", "ultimate", "source"), STRENGTH)
def test_strength(alloy: str, temper: str, welded: bool, proof: float, ultimate: float, source: str) -> None:
    rows = [
        (row.proof_mpa, row.ultimate_mpa)
        for row in ALLOYS[alloy].strength
        if row.temper == temper and row.welded == welded and row.source.startswith(source)
    ]
    assert rows == [(proof, ultimate)]


@pytest.mark.parametrize(
    ("alloy", "temper", "welded", "stress"),
    # The lesser of 0.6 ultimate and 0.9 proof by ISO 12215-5: 5083, steel A and AH36 by KS V ISO 12215-5 and the
    # Korean Register; the others computed from the strengths above (5052 welded: those of O, a judgement).
    [
        ("5083", "H116", True, 112.5),
        ("steel-a", "", True, 211.5),
        ("steel-ah36", "", True, 294),
        ("5083", "H116", False, 183),
        ("5086", "H116", True, 85.5),
        ("5052", "H32", True, 58.5),
    ],
)
def test_design_stress(alloy: str, temper: str, welded: bool, stress: float) -> None:
    row = ALLOYS[alloy].design_strength(temper, welded=welded)
    assert row is not None
    assert design_stress_mpa(row.ultimate_mpa, row.proof_mpa) == pytest.approx(stress)


@pytest.mark.parametrize(
    ("alloy", "fillers"),
    # Mathers, The Welding of Aluminium and its Alloys, table 3.3: strength, ductility, salt water, least cracking.
    [
        ("5052", ("5356", "5356", "5554", "5356")),
        ("5083", ("5183", "5356", "5183", "5356")),
        ("5086", ("5356", "5356", "5183", "5356")),
        ("5454", ("5356", "5554", "5554", "5356")),
        ("5456", ("5556", "5356", "5556", "5356")),
        ("6061", ("5356", "5356", "4043", "4043")),
        ("6082", ("", "", "", "4043")),
    ],
)
def test_filler_metals(alloy: str, fillers: tuple[str, ...]) -> None:
    told = ALLOYS[alloy].filler
    assert told is not None
    assert (told.strength, told.ductility, told.salt_water, told.least_cracking) == fillers


@pytest.mark.parametrize("alloy", ["5052", "5083", "5086", "5454", "5456"])
def test_no_silicon_on_plate_rich_in_magnesium(alloy: str) -> None:
    # Mathers: none on parent metal above about 2 % magnesium; another guide 2.5 %.
    assert "4043 and 4047" in ALLOYS[alloy].avoid


@pytest.mark.parametrize(
    ("alloy", "kg_m3"),
    [("5083", 2660), ("5086", 2660), ("5052", 2680), ("6061", 2700), ("6082", 2700), ("steel-a", 7850)],
)
def test_density(alloy: str, kg_m3: float) -> None:
    # Common values; no one document was noted for them.
    assert ALLOYS[alloy].density_kg_m3 == kg_m3
