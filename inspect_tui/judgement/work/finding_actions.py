"""For each open finding what is done about it next, as she lies today; and what is done at once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from inspect_tui.domain import walk
from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.kinds import AtOnce, Doing, Kind, Within
from inspect_tui.domain.knowledge.named import Kinds, Works
from inspect_tui.domain.reading_records import PitReading, Reading
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import (
    BAD_BENEATH,
    CLOSED,
    LIKELIHOOD_WORDS,
    WELDED,
    Likelihood,
    Severity,
    Status,
    Step,
    Tier,
    Treatment,
    Who,
    Zone,
)
from inspect_tui.domain.zones import zone_of_finding, zone_of_reading
from inspect_tui.engineering.metal.spot_growth import SpotGrowth
from inspect_tui.judgement.causes.patches import Pool, Tally, waits_for_lifting
from inspect_tui.judgement.metal.verdict import Verdict, asks_for
from inspect_tui.judgement.metal.verdicts import Verdicts
from inspect_tui.judgement.work.action import Action, FindingRef, Task, done_in_round, done_since, key_of
from inspect_tui.judgement.work.risk import Lies, Placed, place_finding, risk_of, water_words


def finding_actions(book: Book, checklists: Checklists, verdicts: Verdicts, patches: Tally) -> list[Action]:
    """`rest`: what the patches that were lifted say of those that were not."""
    readings: dict[int | None, list[Reading]] = defaultdict(list)
    for reading in book.readings.values():
        readings[reading.finding].append(reading)
    actions: list[Action] = []
    for finding in book.findings.values():
        about = FindingRef(finding.chalk)
        accepted = finding.status is Status.ACCEPTED
        seen_again = accepted and done_in_round(book, key_of(Task.FINDING, about, finding.status.value))
        if finding.status in (Status.VERIFIED, Status.WITHDRAWN) or seen_again:
            continue
        zone = wettest(book, checklists, finding, readings[finding.chalk])
        sisters = patches.sisters_of(finding) if waits_for_lifting(finding) else None
        holed = any(isinstance(one, PitReading) and one.is_through for one in readings[finding.chalk])
        grown = verdicts.gathered.crack(finding) if finding.kind == Kinds.CRACK else None
        crack = grown if grown is not None and grown.significant else None
        case = _Case(book, checklists, finding, verdicts.of(finding), zone, sisters, holed, crack)
        actions += case.actions()
    return actions


def wettest(book: Book, checklists: Checklists, finding: Finding, readings: list[Reading]) -> Zone:
    """Where it lies by the waterline: a finding never lies higher than its own readings."""
    order = list(Zone)
    zones = (
        zone_of_finding(book, checklists, finding),
        *(zone_of_reading(book, checklists, one) for one in readings),
    )
    return min(zones, key=order.index)


def weighed(finding: Finding, verdict: Verdict | None) -> tuple[Severity, Likelihood]:
    """Severity and likelihood: the worse of what was written and what the numbers say."""
    if verdict is None or finding.status in CLOSED:
        return finding.severity, finding.likelihood
    return (
        min(finding.severity, verdict.severity, key=lambda one: one.rank),
        min(finding.likelihood, verdict.likelihood, key=lambda one: one.rank),
    )


def kind_of(checklists: Checklists, finding: Finding) -> Kind | None:
    """Its kind: as written, unless a sign was ticked that makes any finding one of another kind."""
    if not finding.signs_confirmed:
        return checklists.kinds.get(finding.kind)
    ticked = set(finding.signs_confirmed)
    signed = (kind for kind in checklists.kinds.values() if ticked & set(kind.signs))
    return next(signed, checklists.kinds.get(finding.kind))


def decided_treatment(finding: Finding) -> Treatment | None:
    """What is to be done: the owner's override, or what was decided."""
    return finding.override.treatment if finding.override else finding.treatment


@dataclass(frozen=True)
class _Next:
    """The next thing to be done, before it is asked whether it may be done as she lies. `say`: in place of the words
    of the work itself."""

    doing: Doing
    who: Who
    say: str = ""
    task: Task = Task.FINDING
    alike: str = ""


@dataclass(frozen=True)
class _Case:
    """One open finding with all that its actions hang on."""

    book: Book
    checklists: Checklists
    finding: Finding
    verdict: Verdict | None
    zone: Zone
    sisters: Pool | None
    holed: bool
    crack: SpotGrowth | None

    def actions(self) -> Iterator[Action]:
        kind, finding = kind_of(self.checklists, self.finding), self.finding
        severity, likelihood = weighed(finding, self.verdict)
        if self.sisters is not None and self.sisters.likelihood is not None:
            likelihood = min(likelihood, self.sisters.likelihood, key=lambda one: one.rank)
        if self.crack is not None:
            likelihood = min(likelihood, Likelihood.B, key=lambda one: one.rank)
        placed = self._placed(kind, severity, likelihood)
        at_once = kind.at_once if kind else None
        about = FindingRef(finding.chalk)
        if (
            at_once is not None
            and finding.status not in CLOSED | {Status.REPAIRED}
            and self._may_be_signed(at_once)
            and not done_since(self.book, key_of(Task.AT_ONCE, about), [finding.found.when])
        ):
            tier = min(placed.tier, at_once.tier, key=lambda one: one.rank)
            why = f"{at_once.tier.value}: {_AT_ONCE_BECAUSE[at_once.tier]}"
            next_ = _Next(at_once, at_once.who, task=Task.AT_ONCE, alike=f"once/{kind.id}" if kind else "")
            yield self._action(next_, Placed(tier, why), kind, severity, likelihood)
        yield self._action(self._next(kind, severity), placed, kind, severity, likelihood)

    def _may_be_signed(self, at_once: AtOnce) -> bool:
        """Whether what it is for was seen, or nobody can know: it came from no question that would have told."""
        told = {*self.finding.signs, *(self.finding.signs_confirmed or ())} - set(self.finding.signs_absent)
        return at_once.sign is None or at_once.sign in told or self.finding.prompt is None

    def _placed(self, kind: Kind | None, severity: Severity, likelihood: Likelihood) -> Placed:
        finding = self.finding
        if finding.status is Status.ACCEPTED:
            return Placed(Tier.WATCH, f"accepted as it is: {finding.history[-1].note}")
        lies = Lies.at(self.book, self.checklists, finding.compartment, self.zone)
        if self._sound_beneath():
            # The plate is sound: what is left to do is paint.
            upkeep = max(severity, Severity.MARGINAL, key=lambda one: one.rank)
            return place_finding(upkeep, likelihood, self.checklists.kinds[Kinds.COATING], lies)
        holed = self.holed and finding.status is not Status.REPAIRED
        kinds = (kind, self.checklists.kinds[Kinds.HOLE]) if holed else (kind,)
        return min(
            (place_finding(severity, likelihood, one, lies) for one in kinds),
            key=lambda one: one.tier.rank,
        )

    def _action(
        self, next_: _Next, placed: Placed, kind: Kind | None, severity: Severity, likelihood: Likelihood
    ) -> Action:
        finding, doing = self.finding, next_.doing
        place = self.book.compartments.get(finding.compartment)
        held = self.book.boat.afloat and self.zone.wet and bool(doing.does or doing.afloat)
        task = Task.HOLD if held and next_.task is Task.FINDING else next_.task
        said = self._said(kind)
        word, _ = LIKELIHOOD_WORDS[likelihood]
        position = walk.position_words(finding.position)
        grave = "" if next_.task is Task.AT_ONCE else f"{severity.value.capitalize()} and {word}; "
        return Action(
            task=task,
            about=FindingRef(finding.chalk),
            detail="" if task in (Task.AT_ONCE, Task.RECORD) else finding.status.value,
            step=doing.step,
            tier=placed.tier,
            what=f"{self._held(doing, kind) if held else next_.say or doing.do} — {said}",
            headline=said,
            where=f"no. {finding.chalk}: "
            + ", ".join(part for part in (place.name if place else finding.compartment, position) if part),
            why=f"{grave}{placed.because}.{_by_sisters(self.sisters)}{self._by_numbers()}"
            f"{water_words(self.book.boat, finding, kind, wet=self.zone.wet)}",
            who=self._held_by(next_, kind) if held else next_.who,
            risk=risk_of(severity, likelihood),
            severity=severity,
            below=self.zone.wet,
            order=place.order if place else 0,
            compartment=place,
            kind=kind,
            likelihood=likelihood,
            verdict=self.verdict,
            needs_haul=held or self._is_judged_dry(doing, kind),
            doing=doing,
            does=() if held else doing.does,
            held=held,
            like=("hold/" if held else "") + next_.alike if doing.alike and next_.alike else "",
        )

    def _is_judged_dry(self, doing: Doing, kind: Kind | None) -> bool:
        """Whether a decision on wet metal waits until she is out: both faces are looked at for it."""
        wet = self.book.boat.afloat and self.zone.wet
        return wet and doing.step is Step.DECIDE and bool(kind and kind.bright_metal)

    def _held(self, doing: Doing, kind: Kind | None) -> str:
        """What is done while she floats, in place of work that touches what keeps the water out."""
        if doing.afloat is not None:
            said = doing.afloat
        elif self.finding.status is Status.DECIDED or kind is None or kind.afloat is None:
            work = doing.do[0].lower() + doing.do[1:]
            said = f"Leave it as it is until she is hauled out; only then: {work}"
        else:
            said = kind.afloat
        record = kind.record if kind and self.finding.status is Status.FOUND and not self._recorded() else None
        return f"{said}. Meanwhile record it as it is: {record}" if record else said

    def _held_by(self, next_: _Next, kind: Kind | None) -> Who:
        if self.finding.status is Status.DECIDED:
            return next_.who
        return next_.doing.afloat_who or (kind.afloat_who if kind else None) or Who.OWNER

    def _sound_beneath(self) -> bool:
        """Whether it is a patch that was lifted, with sound plate beneath."""
        return self.finding.lifted is not None and self.finding.lifted.beneath not in BAD_BENEATH

    def _recorded(self) -> bool:
        key = key_of(Task.RECORD, FindingRef(self.finding.chalk))
        return done_since(self.book, key, [self.finding.found.when])

    def _next(self, kind: Kind | None, severity: Severity) -> _Next:
        """The one thing to be done next with it."""
        finding, works = self.finding, self.checklists.works
        bright = bool(kind and kind.bright_metal)
        treatment = decided_treatment(finding)
        if finding.status is Status.ACCEPTED:
            return _Next(works[Works.WATCH], works[Works.WATCH].who)
        if finding.status is Status.REPAIRED:
            work = works[Works.VERIFY_METAL if bright else Works.VERIFY]
            return _Next(work, Who.SURVEYOR if treatment in WELDED else work.who, alike=f"verify/{treatment}")
        danger_stays = kind is not None and kind.danger == "always"
        if finding.status is Status.DECIDED and treatment is not None and not danger_stays:
            work = works[treatment.value]
            return _Next(work, work.who, self._with_numbers(self._of_rivets(treatment, work.do)), alike=work.id)
        grave = severity.rank <= Severity.CRITICAL.rank
        unrecorded = kind is not None and bool(kind.record) and not self._recorded() and not self._sound_beneath()
        if finding.status is Status.FOUND and kind is not None and unrecorded:
            work = works[Works.RECORD]
            danger = self.book.boat.afloat and self.zone.wet and (kind.does or kind.bright_metal)
            if not danger:
                return _Next(work, work.who, f"{work.do}: {kind.record}", Task.RECORD, "record")
        if waits_for_lifting(finding):
            return _Next(works[Works.LIFT], works[Works.LIFT].who, alike="lift")
        if kind is None:
            work = works[Treatment.ASK.value]
            return _Next(work, Who.OWNER, "Decide what to do")
        if kind.within is not None and self._within(kind.within):
            return _Next(kind.within, kind.within.who, alike=f"within/{kind.id}")
        if not bright:
            who = kind.grave_who if grave and kind.grave_who else kind.who
            return _Next(kind, who, alike=f"kind/{kind.id}")
        if finding.status is Status.CLEANED:
            return _Next(works[Works.MEASURE], works[Works.MEASURE].who, alike="measure")
        if self._sound_beneath():
            return _Next(works[Works.COAT_SOUND], works[Works.COAT_SOUND].who, alike="coat-sound")
        if finding.status is Status.FOUND:
            return _Next(works[Works.CLEAN], works[Works.CLEAN].who, alike="clean")
        return self._decide(Who.SURVEYOR if grave else Who.OWNER)

    def _within(self, within: Within) -> bool:
        place = self.book.compartments.get(self.finding.compartment)
        return within.holds(self.finding.position.face, place.area if place else "")

    def _decide(self, judge: Who) -> _Next:
        work, verdict = self.checklists.works[Treatment.ASK.value], self.verdict
        if verdict is None:
            return _Next(work, judge, "Decide from the readings what to do")
        proposed = self.checklists.works[verdict.treatment.value].do
        proposed = self._of_rivets(verdict.treatment, proposed[0].lower() + proposed[1:])
        if verdict.treatment is Treatment.MEASURE_AGAIN:
            again = self.checklists.works[Treatment.MEASURE_AGAIN.value]
            return _Next(again, again.who, self._with_numbers(again.do))
        if verdict.treatment is Treatment.ASK:
            return _Next(work, Who.SURVEYOR, self._with_numbers(work.do))
        if judge is Who.SURVEYOR:
            return _Next(work, judge, self._with_numbers(f"Have this confirmed before anything is done: {proposed}"))
        return _Next(work, judge, self._with_numbers(f"Decide; the readings say: {proposed}"))

    def _of_rivets(self, treatment: Treatment, said: str) -> str:
        """Heat near rivets, or on iron, is for people who know both."""
        riveted = treatment in WELDED and self.book.boat.features.get(Feature.RIVETED, False)
        yard = "only by a yard that knows riveted plate, once it is known whether she is iron"
        return f"{said}; she is riveted: {yard}" if riveted else said

    def _with_numbers(self, said: str) -> str:
        return f"{said} ({self.verdict.numbers})" if self.verdict else said

    def _said(self, kind: Kind | None) -> str:
        """The finding in its own words, with what kind it is."""
        label = kind.label if kind else self.finding.kind
        said = ": ".join(part for part in (label, self.finding.words) if part)
        return f"{said}; it is growing: {self.crack.words()}" if self.crack else said

    def _by_numbers(self) -> str:
        """What the readings say, as one more sentence; and where the owner decided otherwise, that too."""
        verdict, finding = self.verdict, self.finding
        if verdict is None or finding.status in CLOSED or finding.status is Status.REPAIRED:
            return ""
        told = f" By the numbers: {verdict.treatment.value}, {verdict.because}."
        decided = decided_treatment(finding)
        if decided and finding.status is Status.DECIDED and asks_for(decided) < asks_for(verdict.treatment):
            told += f" That is more than what was decided, {decided.value}: settle it before work begins."
        if finding.override and finding.override.treatment is not verdict.treatment:
            told += f" The owner decided otherwise: {finding.override.treatment.value}, {finding.override.reason}."
        return told


_AT_ONCE_BECAUSE = {
    Tier.NOW: "a danger to whoever is there",
    Tier.TODAY: "harm that goes on until it is stopped, and is easily stopped",
}


def _by_sisters(pool: Pool | None) -> str:
    """What lay under the other patches of its kind, as one more sentence."""
    return f" Old patches, {pool.name}: {pool.counted}." if pool else ""
