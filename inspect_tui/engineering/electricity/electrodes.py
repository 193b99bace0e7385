"""Reference electrodes: a potential read against one, told against silver chloride in the water she lies in."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from inspect_tui.engineering.working import Seen, Source, Step, Working
from inspect_tui.errors import CannotCalculate

# Sources disagree by as much; every conversion carries it.
DISAGREE_MV = 20.0
LEAST_MV, MOST_MV = -3000.0, 3000.0
# Below this the salts of a river are its own, and not those of the sea made thin [g/kg].
RIVER_G_KG = 2.0
NERNST_MV = 59.2
SEA_CHLORIDE_MOL_KG = 0.5657
SEA_SALINITY = 35.0
MOLAR_CHLORIDE_MG = 35453.0


@dataclass(frozen=True)
class Electrode:
    """`vs_she_mv`: its potential against the standard hydrogen electrode at 25 °C [mV]. `in_water`: whether its own
    potential moves with the chloride of the water it hangs in."""

    id: str
    name: str
    vs_she_mv: float
    source: Source
    in_water: bool = False
    disagree: str = ""


ELECTRODES: Mapping[str, Electrode] = MappingProxyType(
    {
        one.id: one
        for one in (
            Electrode(
                "agcl-sea", "silver chloride, bare, in the water", 250.0,
                Source("table 2, Int. J. Corrosion 2010, 756950", Seen.READ), True, "Nernst gives 247 mV",
            ),
            Electrode(
                "agcl-kcl", "silver chloride in saturated KCl", 197.0,
                Source("table 2, Int. J. Corrosion 2010, 756950", Seen.READ), disagree="199 mV elsewhere",
            ),
            Electrode(
                "cse", "copper in saturated copper sulphate", 316.0,
                Source("table 2, Int. J. Corrosion 2010, 756950", Seen.READ),
                disagree="318 mV elsewhere; 49 CFR 192 App. D implies 300",
            ),
            Electrode(
                "sce", "calomel in saturated KCl", 241.0,
                Source("table 2, Int. J. Corrosion 2010, 756950", Seen.READ),
                disagree="244 mV elsewhere; 49 CFR 192 App. D implies 230",
            ),
            Electrode("she", "standard hydrogen", 0.0, Source("by definition", Seen.DERIVED)),
            Electrode(
                "zinc", "zinc in sea water", -800.0, Source("", Seen.MEMORY),
                disagree="-780 mV from DNV-RP-B401's zinc; a piece of anode is not an exact electrode",
            ),
        )
    }
)  # fmt: skip


def electrode_named(words: str) -> Electrode:
    """The electrode an owner's words mean.

    Raises
    ------
    CannotCalculate : none is named, or none that is known. A number without its electrode says nothing.

    >>> electrode_named("Ag/AgCl").id, electrode_named("copper sulphate").id, electrode_named("a lump of zinc").id
    ('agcl-sea', 'cse', 'zinc')
    """
    told = words.casefold().strip()
    if not told:
        raise CannotCalculate("Against which electrode? Without its name a potential says nothing.")
    if told in ELECTRODES:
        return ELECTRODES[told]
    said = set(re.findall(r"[a-z0-9]+", told))
    silver = bool(said & {"silver", "agcl"})
    for id, fits in (
        ("agcl-kcl", silver and bool(said & {"kcl", "saturated", "sat", "gel"})),
        ("agcl-sea", silver),
        ("cse", bool(said & {"copper", "cse", "cuso4", "cu"})),
        ("sce", bool(said & {"calomel", "sce"})),
        ("she", bool(said & {"hydrogen", "she"})),
        ("zinc", bool(said & {"zinc", "zn"})),
    ):
        if fits:
            return ELECTRODES[id]
    raise CannotCalculate(f'"{words[:40]}" is not an electrode known here; these are: {", ".join(ELECTRODES)}.')


def chloride_mol_kg(*, salinity_g_kg: float | None = None, chloride_mg_l: float | None = None) -> float:
    """Chloride [mol/kg] from salinity, in the proportions of sea water, or from an analysis.

    >>> round(chloride_mol_kg(salinity_g_kg=35), 4)
    0.5657
    """
    if chloride_mg_l is not None:
        if not 0 < chloride_mg_l <= 200_000:
            raise CannotCalculate("Chloride must be above 0 and at most 200000 mg/L.")
        return chloride_mg_l / MOLAR_CHLORIDE_MG
    if salinity_g_kg is None or not RIVER_G_KG <= salinity_g_kg <= 42:
        raise CannotCalculate("Salinity lies between 2 and 42 g/kg; for fresher water give the chloride in mg/L.")
    return SEA_CHLORIDE_MOL_KG * salinity_g_kg / SEA_SALINITY


def activity(mol_kg: float) -> float:
    """Mean activity of sodium chloride at 25 °C by Pitzer's equation (his coefficients from memory).

    >>> round(activity(0.5657) / 0.5657, 3)
    0.673
    """
    root = math.sqrt(mol_kg)
    debye = -0.392 * (root / (1 + 1.2 * root) + 2 / 1.2 * math.log(1 + 1.2 * root))
    second = 2 * 0.0765 + 2 * 0.2664 / (4 * mol_kg) * (1 - math.exp(-2 * root) * (1 + 2 * root - 2 * mol_kg))
    return mol_kg * math.exp(debye + mol_kg * second + mol_kg**2 * 1.5 * 0.00127)


def chloride_correction_mv(mol_kg: float) -> float:
    """What is added to a reading against bare silver chloride in this water to have it against sea water [mV].

    In fresher water the electrode itself stands higher, so that a hull reads too negative.

    >>> round(chloride_correction_mv(chloride_mol_kg(salinity_g_kg=10)))
    30
    >>> round(chloride_correction_mv(chloride_mol_kg(chloride_mg_l=50)))
    145
    """
    return NERNST_MV * math.log10(activity(SEA_CHLORIDE_MOL_KG) / activity(mol_kg))


@dataclass(frozen=True)
class Potential:
    """A potential against silver chloride in sea water [mV], with what the sources leave open."""

    sea_mv: float
    error_mv: float
    read_mv: float
    electrode: Electrode
    corrected_mv: float


def potential(
    read_mv: float,
    electrode: str,
    *,
    salinity_g_kg: float | None = None,
    chloride_mg_l: float | None = None,
) -> Potential:
    """A reading told against silver chloride in sea water.

    Raises
    ------
    CannotCalculate : no electrode is named, or a number no voltmeter on a boat shows.

    Examples
    --------
    -0.850 V against copper sulphate; 49 CFR 192 App. D prints -0.80, within the 20 mV that sources differ by:

    >>> potential(-850, "cse").sea_mv
    -784.0
    """
    known = electrode_named(electrode)
    if not LEAST_MV <= read_mv <= MOST_MV:
        raise CannotCalculate(
            f"{read_mv:g} mV is not a hull's potential: that lies between -3000 and 3000 mV. Are these volts?"
        )
    correction = 0.0
    if known.in_water and (salinity_g_kg is not None or chloride_mg_l is not None):
        correction = chloride_correction_mv(chloride_mol_kg(salinity_g_kg=salinity_g_kg, chloride_mg_l=chloride_mg_l))
    told = read_mv + known.vs_she_mv - ELECTRODES["agcl-sea"].vs_she_mv + correction
    return Potential(told, DISAGREE_MV, read_mv, known, correction)


def against(sea_mv: float, electrode: str) -> float:
    """A potential known against silver chloride in sea water, as another electrode would read it [mV].

    >>> against(-900, "zinc")
    150.0
    """
    return sea_mv + ELECTRODES["agcl-sea"].vs_she_mv - electrode_named(electrode).vs_she_mv


def _activity_here(told: Potential) -> float:
    """The activity that the correction came from."""
    return activity(SEA_CHLORIDE_MOL_KG) / 10 ** (told.corrected_mv / NERNST_MV)


def potential_working(told: Potential) -> Working:
    one = told.electrode
    shift = one.vs_she_mv - ELECTRODES["agcl-sea"].vs_she_mv
    steps = [
        Step(
            "to sea water", "E + (E of the electrode - 250) mV", f"{told.read_mv:g} + ({one.vs_she_mv:g} - 250) mV",
            f"{told.read_mv + shift:.0f} mV", one.source,
        )
    ]  # fmt: skip
    if told.corrected_mv:
        steps.append(
            Step(
                "chloride", "59.2 · log10(a of sea water / a of this water), a by Pitzer",
                f"59.2 · log10({activity(SEA_CHLORIDE_MOL_KG):.3f} / {_activity_here(told):.4f})",
                f"{told.corrected_mv:+.0f} mV",
                Source("Nernst's law; one trade page has the opposite sign, against it", Seen.DERIVED),
            )
        )  # fmt: skip
    doubts = (f"Sources disagree: {one.disagree}.",) if one.disagree else ()
    not_covered = (
        "Voltage drop in the water while current flows; sunlight on the electrode; a hull that has lain less than "
        "eight hours with the shore lead out.",
    )
    inputs = (("read", f"{told.read_mv:g} mV against {one.name}"),)
    return Working(inputs, tuple(steps), not_covered, doubts)
