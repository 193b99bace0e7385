"""What readings mean: of strength and of tightness apart, by the first rule of the limits that fits."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from inspect_tui.domain.knowledge.areas import Caution
from inspect_tui.domain.knowledge.metals import Limits, Rule
from inspect_tui.domain.knowledge.named import Cautions
from inspect_tui.domain.words import WELDED, HullMetal, Likelihood, Severity, Treatment
from inspect_tui.engineering.working import Seen, Source, Working, shown
from inspect_tui.judgement.metal.facts import Facts

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
Asks = Literal["strength", "tightness", "member"]


def asks_for(treatment: Treatment) -> int:
    """How much a treatment asks: 0 for leaving it bare."""
    return _ORDER.index(treatment)


NO_LIMIT = (
    "No published limit for wasted aluminium plate was found: each rule that decides here is borrowed or is "
    "judgement, and says which."
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

    def conditions(self, rule: Rule) -> str:
        """The numbers by which a rule fits, as it was chosen."""
        return _conditions(rule, self._quantities_of(rule))

    def rule_lines(self) -> list[tuple[str, str]]:
        told: list[tuple[str, str]] = []
        for rule in self.rules:
            nothing = rule.asks == "strength" and rule.treatment is Treatment.LEAVE_BARE
            asked = "nothing more asked for" if nothing else rule.treatment.value
            words = f"{asked}: {rule.say}. Rule '{rule.id}'. Source: {source_of(rule)}."
            told.append((rule.asks, f"{self.conditions(rule)}: {words}"))
        if self.facts.member is not None:
            return told
        if self.strength is None:
            told.append(("strength", "not judged: no thickness was gauged between the pits."))
        if self.tightness is None:
            told.append(("tightness", "not judged: no pit depth was measured."))
        return told

    def _quantities_of(self, rule: Rule) -> dict[str, float]:
        """The numbers by which a rule was chosen: of all readings, or of those beside the one that may be wrong."""
        own, others = self.facts.quantities(), self.facts.of_the_others
        return own if others is None or rule.fits(own) else others.quantities()

    def _letter_words(self) -> str:
        """Of a member no chance of a hole is told."""
        return "" if self.facts.member is not None else f": {letters_words(self.limits)}"

    def lines(self) -> list[tuple[str, str]]:
        """The whole working, headed."""
        working = self.working
        return [
            ("verdict", f"{self.treatment.value}: {self.numbers}"),
            *self.rule_lines(),
            ("by numbers", f"severity {self.severity.value}"),
            ("by numbers", f"likelihood {self.likelihood.value}{self._letter_words()}"),
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
    return f"by the chance of a hole before the next haul-out: {told}; {limits.letters_source}"


def source_of(rule: Rule) -> Source:
    return Source(rule.source, Seen(rule.seen), rule.borrowed)


def _conditions(rule: Rule, quantities: dict[str, float]) -> str:
    told = []
    for sign, conditions in (("≥", rule.at_least), (">", rule.over), ("≤", rule.at_most), ("<", rule.below)):
        told += [
            f"{name.replace('_of_', ' ÷ ').replace('_', ' ')} {shown(quantities[name])} {sign} {limit:g}"
            for name, limit in conditions.items()
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
    asked = [first_fit(limits, "member" if facts.member else "strength", quantities)]
    if (others := facts.of_the_others) is not None:
        # One reading that may be wrong never makes milder what all others say, and weighs as what it reads.
        asked.append(first_fit(limits, "strength", others.quantities()))
    strength = max((one for one in asked if one), key=lambda rule: asks_for(rule.treatment), default=None)
    rules = [rule for rule in (tightness, *asked) if rule is not None]
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
