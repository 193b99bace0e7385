"""What readings mean: of strength and of tightness apart, by the first rule of the limits that fits."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from inspect_tui.domain.knowledge.areas import Caution
from inspect_tui.domain.knowledge.metals import Limits, Rule
from inspect_tui.domain.knowledge.named import Cautions
from inspect_tui.domain.words import WELDED, Follows, HullMetal, Likelihood, Severity, Treatment
from inspect_tui.engineering.metal.metal_loss import Loss
from inspect_tui.engineering.metal.pits import describe
from inspect_tui.engineering.metal.spot_growth import SpotGrowth
from inspect_tui.engineering.strength.plate_strength import PlateCheck
from inspect_tui.engineering.working import Seen, Source, Working
from inspect_tui.judgement.metal.gathered import Metal

# From least to most; asking stands between what an owner may do and what needs a welder.
_ORDER = (
    Treatment.LEAVE_BARE,
    Treatment.CLEAN_AND_COAT,
    Treatment.FILL,
    Treatment.MEASURE_AGAIN,
    Treatment.ASK,
    Treatment.WELD_UP,
    Treatment.INSERT_PLATE,
    Treatment.REPLATE,
    Treatment.RENEW_MEMBER,
)
FOLLOWS = {
    "at_weld": Follows.WELD,
    "ring": Follows.RING,
    "lap": Follows.LAP,
    "apart": Follows.APART,
    "doubled": Follows.DOUBLED,
}
Asks = Literal["strength", "tightness", "member"]
Stray = Literal["low", "high"]
# So many readings, and so far off as a share of the plate, before one of them is doubted; judgement.
FEWEST_BESIDE, FAR_SHARE = 4, 0.2


def asks_for(treatment: Treatment) -> int:
    """How much a treatment asks: 0 for leaving it bare."""
    return _ORDER.index(treatment)


@dataclass(frozen=True)
class Facts:
    """What is known of one piece of metal, in numbers; None where it is not.

    `plate_mm` as built; `mean_mm`, `thinnest_mm` and `error_mm` of the thickness between the pits; `ground_mm` of the
    plate the pits start from, no more than as built, and `most_ground_mm` what it may be where nobody gauged beside
    them; `deepest_mm` from the surface beside the pit; `left_error_mm` of what is left under it, all instruments
    counted; `later_share`: plate left at the next haul-out / as built. `stray`: one reading far off all others;
    `painted`: all of the thickness was read through paint; `afloat`: water stands behind it. `member`: of a frame or
    another member its own quantities, in place of all others. `inland_mm`: the inland yardstick; `follows`: what
    the attack runs along; `across_panel`: it is a line long enough to weaken the panel, not a spot in it.
    """

    plate_mm: float
    deepest_mm: float | None = None
    holes: int = 0
    soft: bool = False
    mean_mm: float | None = None
    thinnest_mm: float | None = None
    ground_mm: float | None = None
    error_mm: float = 0.1
    pits: int = 0
    spacing_mm: float | None = None
    deep_share: float | None = None
    check: PlateCheck | None = None
    hole_chance: float | None = None
    later_share: float | None = None
    most_ground_mm: float | None = None
    left_error_mm: float = 0.1
    stray: Stray | None = None
    painted: bool = False
    afloat: bool = False
    growth: SpotGrowth | None = None
    member: Mapping[str, float] | None = None
    inland_mm: float | None = None
    follows: Follows | None = None
    across_panel: bool = False

    @property
    def left_mm(self) -> float | None:
        """Under the deepest pit."""
        if self.deepest_mm is None:
            return None
        ground = self.plate_mm if self.ground_mm is None else self.ground_mm
        return max(ground - self.deepest_mm, 0.0)

    def left_for(self, growth: SpotGrowth) -> float | None:
        """What such growth still has to go through: under the pit, or the plate itself."""
        return self.left_mm if growth.what == "deeper" else self.thinnest_mm

    @property
    def holed(self) -> int:
        """Places holed through; a pit as deep as the plate that is left is one."""
        return self.holes or int(bool(self.deepest_mm) and self.left_mm == 0.0)

    @property
    def pit_share(self) -> float | None:
        """Metal gone at the deepest pit; nothing where no pit was found."""
        if self.left_mm is None:
            return None
        return (self.plate_mm - self.left_mm) / self.plate_mm if self.deepest_mm else 0.0

    def quantities(self) -> dict[str, float]:
        """By the names that the limits use; what is not known is left out. Rounded, so that 0.8 of 4 mm and 1.2 of 6
        are the same fifth."""
        if self.member is not None:
            return {name: round(value, 6) for name, value in self.member.items()}
        told: dict[str, float | None] = {
            "holes": float(self.holed),
            "soft": float(self.soft),
            "pit_share": self.pit_share,
            "left_under_pit_mm": self.left_mm if self.deepest_mm else None,
            "pits": float(self.pits),
            "pit_spacing_mm": self.spacing_mm,
            "deep_pitted_share": self.deep_share,
            "hole_chance": self.hole_chance,
            "mean_thickness_mm": self.mean_mm,
            "stray_low": float(self.stray == "low"),
            "stray_high": float(self.stray == "high"),
            "painted": float(self.painted),
            "afloat": float(self.afloat),
            **{name: float(self.follows is what) for name, what in FOLLOWS.items()},
        }
        if self.across_panel and self.left_mm is not None and self.check is not None:
            told["line_of_required"] = (self.left_mm + self.left_error_mm) / self.check.required_mm
        if self.mean_mm is not None:
            told |= self._strength(min(self.mean_mm, self.plate_mm))
        return {name: round(value, 6) for name, value in told.items() if value is not None}

    def _strength(self, mean_mm: float) -> dict[str, float | None]:
        loss = self.plate_mm - mean_mm
        told: dict[str, float | None] = {
            "loss_share": loss / self.plate_mm,
            "loss_over_error": loss / max(self.error_mm, 0.01),
        }
        thinnest = mean_mm if self.thinnest_mm is None else min(self.thinnest_mm, self.plate_mm)
        told["thinnest_share"] = thinnest / self.plate_mm
        if self.inland_mm is not None:
            told["thickness_of_inland"] = (mean_mm - self.error_mm) / self.inland_mm
            told["thinnest_of_inland"] = (thinnest - self.error_mm) / self.inland_mm
        if self.check is not None:
            required = self.check.required_mm
            told["thickness_of_required"] = (mean_mm - self.error_mm) / required
            told["thinnest_of_required"] = (thinnest - self.error_mm) / required
            if self.check.minimum_mm is not None:
                told["thickness_of_minimum"] = (mean_mm - self.error_mm) / self.check.minimum_mm
            if self.plate_mm > required:
                told["margin_used"] = loss / (self.plate_mm - required)
        return told


def facts_of(
    plate_mm: float, metal: Metal, loss: Loss | None, check: PlateCheck | None, *, ground_mm: float, holes: int = 0
) -> Facts:
    """The facts of readings, for a finding and a plate field alike; `ground_mm` is the plate the pits start from. The
    thinnest reading of any round stands: metal does not grow back."""
    depths = metal.depths_mm
    areas = [reading.patch_area_m2 for reading in metal.pits]
    area = sum(one for one in areas if one) if areas and all(areas) else None
    ground = min(ground_mm, plate_mm)
    holes = max(metal.holes, holes)
    return Facts(
        plate_mm,
        max(depths, default=0.0 if metal.pits and not holes and not metal.soft else None),
        holes,
        metal.soft,
        loss.left_mm if loss else None,
        min(loss.thinnest_mm, metal.thinnest_mm) if loss and metal.thinnest_mm else None,
        ground,
        loss.error_mm if loss else metal.thickness_error_mm,
        len(depths),
        describe(depths, area).spacing_mm if area and len(depths) > 1 else None,
        sum(plate_mm - ground + depth > plate_mm / 2 for depth in depths) / len(depths) if depths else None,
        check,
        left_error_mm=math.hypot(metal.pit_error_mm, loss.error_mm if loss else metal.thickness_error_mm),
        stray=stray_of(metal.all_thickness_mm, plate_mm, metal.thickness_error_mm),
        painted=metal.all_painted,
    )


def stray_of(values_mm: Sequence[float], plate_mm: float, error_mm: float) -> Stray | None:
    """Whether just one reading of four or more lies far off all others, which lie together.

    >>> stray_of([5.9, 6.0, 3.1, 5.9, 6.0], 6, 0.1), stray_of([5.0, 4.9, 10.0, 5.0], 5, 0.1)
    ('low', 'high')
    >>> stray_of([3.6, 3.5, 2.9, 3.7], 6, 0.1)
    """
    if len(values_mm) < FEWEST_BESIDE:
        return None
    far = max(FAR_SHARE * plate_mm, 5 * error_mm)
    lowest, *rest = sorted(values_mm)
    *low, highest = sorted(values_mm)
    if rest[0] - lowest > far and rest[-1] - rest[0] <= far:
        return "low"
    return "high" if highest - low[-1] > far and low[-1] - low[0] <= far else None


NO_LIMIT = (
    "No published limit for wasted aluminium plate was found: what decides is borrowed or judgement, and says so."
)


def no_working() -> Working:
    return Working((), ())


@dataclass(frozen=True)
class Verdict:
    """What is to be done with the metal by the limits, how bad and how likely a failure is, and why."""

    facts: Facts
    limits: Limits
    strength: Rule | None
    tightness: Rule | None
    treatment: Treatment
    severity: Severity
    likelihood: Likelihood
    numbers: str
    below: bool = True
    warnings: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    # The working is put together when somebody asks for it.
    work_out: Callable[[], Working] = field(default=no_working, repr=False, compare=False)

    @property
    def working(self) -> Working:
        return self.work_out()

    @property
    def rules(self) -> tuple[Rule, ...]:
        return tuple(rule for rule in (self.tightness, self.strength) if rule is not None)

    @property
    def deciding(self) -> Rule:
        """The rule that asks for the most."""
        return max(self.rules, key=lambda rule: asks_for(rule.treatment))

    @property
    def because(self) -> str:
        """The deciding rule in one sentence, with how well its source is known."""
        rule = self.deciding
        return f"{rule.say} ({in_short(rule)})"

    @property
    def thinned(self) -> bool:
        """Whether the strength of the panel asks for more than paint."""
        mild = (Treatment.LEAVE_BARE, Treatment.CLEAN_AND_COAT)
        return self.strength is not None and self.strength.treatment not in mild

    def rule_lines(self) -> list[tuple[str, str]]:
        told: list[tuple[str, str]] = []
        for rule in self.rules:
            nothing = rule.asks == "strength" and rule.treatment is Treatment.LEAVE_BARE
            asked = "nothing more asked for" if nothing else rule.treatment.value
            words = f"{rule.say}: {asked}. Rule '{rule.id}'. Source: {source_of(rule)}."
            told.append((rule.asks, f"{_conditions(rule, self.facts.quantities())}: {words}"))
        if self.facts.member is not None:
            return told
        if self.strength is None:
            told.append(("strength", "not judged: no thickness was gauged between the pits."))
        if self.tightness is None:
            told.append(("tightness", "not judged: no pit depth was measured."))
        return told

    def lines(self) -> list[tuple[str, str]]:
        """The whole working, headed."""
        working = self.working
        return [
            ("verdict", f"{self.treatment.value}: {self.numbers}"),
            *self.rule_lines(),
            ("by numbers", f"severity {self.severity.value}"),
            ("by numbers", f"likelihood {self.likelihood.value}: {letters_words(self.limits)}"),
            ("limits", f"{self.limits.title} ({self.limits.file}, SHA-256 {self.limits.digest[:12]}…)"),
            *([("limits", NO_LIMIT)] if self.limits.metal is HullMetal.ALUMINIUM else []),
            *working.lines(),
            *(("doubt", warning) for warning in self.warnings if warning not in working.doubts),
            *(("CAUTION", f"{caution.title}. {caution.say}") for caution in self.cautions),
        ]


def gone(verdict: Verdict | None) -> float:
    """Share of the plate that is gone at the worst place [0..1]; 0 where nothing was judged."""
    if verdict is None:
        return 0.0
    quantities = verdict.facts.quantities()
    shares = (quantities.get(name, 0.0) for name in ("pit_share", "loss_share", "member_loss_share"))
    return max(*shares, float(verdict.facts.holed > 0))


def in_short(rule: Rule) -> str:
    """Where a rule comes from, as short as can be; the whole source stands in the working."""
    if rule.borrowed or not rule.source:
        return rule.borrowed or rule.seen
    return f"{rule.source.split(';')[0]}; {rule.seen}"


def letters_words(limits: Limits) -> str:
    """The table from a chance of a hole until the next haul-out to a letter, and who says so."""
    told = ", ".join(f"{row.letter.value} from {100 * row.chance_at_least:g} %" for row in limits.letters)
    return f"by the chance of a hole until the next haul-out {told}; {limits.letters_source}"


def source_of(rule: Rule) -> Source:
    return Source(rule.source, Seen(rule.seen), rule.borrowed)


def _conditions(rule: Rule, quantities: dict[str, float]) -> str:
    told = []
    for sign, conditions in (("≥", rule.at_least), (">", rule.over), ("≤", rule.at_most), ("<", rule.below)):
        told += [
            f"{name.replace('_', ' ')} {quantities[name]:.2f} {sign} {limit:g}" for name, limit in conditions.items()
        ]
    return ", ".join(told)


def first_fit(limits: Limits, asks: Asks, quantities: dict[str, float]) -> Rule | None:
    return next((rule for rule in limits.rule if rule.asks == asks and rule.fits(quantities)), None)


def judge(
    facts: Facts,
    limits: Limits,
    *,
    below: bool,
    afloat: bool,
    numbers: str,
    hazards: Mapping[str, Caution],
    warnings: Sequence[str] = (),
    work_out: Callable[[], Working] = no_working,
) -> Verdict | None:
    """Verdict on one piece of metal; None if nothing that the limits ask for is known."""
    if below and afloat:
        facts = replace(facts, afloat=True)
    quantities = facts.quantities()
    tightness = None if facts.member else first_fit(limits, "tightness", quantities)
    strength = first_fit(limits, "member" if facts.member else "strength", quantities)
    rules = [rule for rule in (tightness, strength) if rule is not None]
    if not rules:
        return None
    treatment = max((rule.treatment for rule in rules), key=asks_for)
    severities = [rule.severity if below or rule.severity_above is None else rule.severity_above for rule in rules]
    letters = [rule.likelihood for rule in rules]
    if facts.hole_chance is not None:
        letters.append(limits.letter(facts.hole_chance))
    if facts.later_share is not None:
        letters += [row.letter for row in limits.later if facts.later_share < row.left_share_below][:1]
    return Verdict(
        facts,
        limits,
        strength,
        tightness,
        treatment,
        min(severities, key=lambda one: one.rank),
        min(letters, key=lambda one: one.rank),
        numbers,
        below,
        tuple(warnings),
        tuple(hazards[id] for id in _cautions(treatment, below=below, afloat=afloat)),
        work_out,
    )


def _cautions(treatment: Treatment, *, below: bool, afloat: bool) -> tuple[str, ...]:
    told: list[str] = []
    if afloat and below:
        told.append(Cautions.SINKING)
    if treatment in WELDED:
        told += [Cautions.HOT_WORK, Cautions.FUEL]
    elif treatment is not Treatment.LEAVE_BARE:
        told.append(Cautions.TOXIC_DUST)
    return tuple(told)


def next_change(facts: Facts, limits: Limits) -> tuple[float, Treatment] | None:
    """The least deeper pit [mm, to 0.1] that would ask for more, and for what; None if none short of a hole would."""
    if facts.deepest_mm is None or facts.holed:
        return None
    now = first_fit(limits, "tightness", facts.quantities())
    depth = round(facts.deepest_mm + 0.05, 1)
    while depth < facts.plate_mm and now is not None:
        rule = first_fit(limits, "tightness", replace(facts, deepest_mm=depth).quantities())
        if rule is not None and asks_for(rule.treatment) > asks_for(now.treatment):
            return depth, rule.treatment
        depth = round(depth + 0.1, 1)
    return None
