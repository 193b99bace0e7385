"""The verdict on a frame, floor, stringer, beam or bolt: by itself, never averaged with plate."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.metals import Limits
from inspect_tui.domain.measuring.metal_records import PRIMARY, Member, MemberKind
from inspect_tui.domain.reading_records import ThicknessReading
from inspect_tui.domain.words import HullMetal
from inspect_tui.domain.zones import zone_of_compartment
from inspect_tui.engineering.strength.member_wear import MemberWear, Section, member_wear
from inspect_tui.engineering.working import Working
from inspect_tui.errors import CannotCalculate
from inspect_tui.judgement.metal.facts import Facts
from inspect_tui.judgement.metal.gathered import Gathered, Metal
from inspect_tui.judgement.metal.readings_of_metal import metal_mm
from inspect_tui.judgement.metal.verdict import Verdict, judge

GUESSED = "Its thickness as built is a guess, or not said: measure a sound length with a caliper."
NO_TEMPER = "Welding takes the temper out of the metal beside it: welded values are used."


@dataclass(frozen=True)
class MemberJudged:
    """One member with what follows from its readings; what could not be worked out says why."""

    member: Member
    metal: Metal
    wear: MemberWear | None
    missing: str
    verdict: Verdict | None
    below: bool

    def lines(self) -> list[tuple[str, str]]:
        """The whole working, headed."""
        return self.verdict.lines() if self.verdict else [("verdict", f"none: {self.missing}")]


def judge_members(book: Book, checklists: Checklists, gathered: Gathered) -> dict[str, MemberJudged]:
    return {
        key: judge_member(book, checklists, member, gathered.on_member(key)) for key, member in book.members.items()
    }


def judge_member(book: Book, checklists: Checklists, member: Member, metal: Metal) -> MemberJudged:
    """By the thinnest reading of each part, of all rounds: metal does not grow back."""
    wear, missing = _wear(book, checklists, member, metal)
    below = zone_of_compartment(checklists, book.compartments.get(member.compartment)).wet
    verdict = None
    if wear is not None or metal.holes or metal.soft:
        verdict = judge(
            _facts(member, metal, wear),
            limits_of_member(book, checklists, member),
            below=below,
            afloat=book.boat.afloat,
            hazards=checklists.cautions,
            numbers=f"{member.title}: {book.boat.told(wear.words) if wear else 'holed or soft'}",
            warnings=_warnings(member, metal, wear),
            work_out=(lambda: wear.working) if wear else (lambda: Working((), ())),
        )
    return MemberJudged(member, metal, wear, missing, verdict, below)


def limits_of_member(book: Book, checklists: Checklists, member: Member) -> Limits:
    """By the metal of its alloy, if that is known; else by the hull's."""
    alloy = checklists.metals.alloys.get(member.alloy)
    metal = alloy.metal if alloy else book.boat.hull_metal
    return checklists.metals.limits_for(metal, inland=bool(book.boat.inland))


def _facts(member: Member, metal: Metal, wear: MemberWear | None) -> Facts:
    told: dict[str, float | None] = {
        "member_primary": float(member.kind in PRIMARY),
        "member_bolt": float(member.kind is MemberKind.BOLT),
        "holes": float(metal.holes),
        "soft": float(metal.soft),
    }
    if wear is not None:
        told["member_loss_share"] = wear.loss_share
        told["member_section_share"] = wear.section_share
        told["member_slender"] = wear.slender.ratio / wear.slender.limit if wear.slender else None
        told["member_slender_built"] = (
            wear.slender_built.ratio / wear.slender_built.limit if wear.slender_built else None
        )
    known: Mapping[str, float] = {name: value for name, value in told.items() if value is not None}
    return Facts(member.web_mm, holes=metal.holes, soft=metal.soft, member=known)


def _wear(book: Book, checklists: Checklists, member: Member, metal: Metal) -> tuple[MemberWear | None, str]:
    web, flange = _thinnest(metal.gauged, "web"), _thinnest(metal.gauged, "flange")
    if metal.depths_mm:
        # A pit in it: what is left beneath is its web there.
        pitted = member.web_mm - max(metal.depths_mm)
        web = pitted if web is None else min(web, pitted)
    if web is None and flange is None:
        return None, "nothing was gauged on it"
    alloy = checklists.metals.alloys.get(member.alloy)
    strength = alloy.design_strength(member.temper, welded=True) if alloy else None
    hull = alloy.metal if alloy else book.boat.hull_metal
    built = Section(
        member.web_mm,
        member.web_height_mm,
        member.flange_mm,
        member.flange_width_mm,
        member.plate_mm,
        member.spacing_mm,
    )
    worn = replace(
        built,
        web_mm=member.web_mm if web is None else web,
        flange_mm=member.flange_mm if flange is None else flange,
    )
    try:
        return member_wear(
            built,
            worn,
            "aluminium" if hull is HullMetal.ALUMINIUM else "steel",
            yield_mpa=strength.proof_mpa if strength else None,
            bolt=member.kind is MemberKind.BOLT,
            error_mm=metal.thickness_error_mm,
        ), ""
    except CannotCalculate as error:
        return None, str(error)


def _thinnest(readings: Iterable[ThicknessReading], part: str) -> float | None:
    """Thinnest reading [mm] of a part; what names none was read on the web."""
    return min((value for one in readings if (one.part or "web") == part for value in metal_mm(one)), default=None)


def _warnings(member: Member, metal: Metal, wear: MemberWear | None) -> tuple[str, ...]:
    told = []
    if member.as_built_from is None or member.as_built_from.value == "guess":
        told.append(GUESSED)
    if wear is not None and wear.section_share is None:
        told.append("Its section is not worked out: its height, the plate it stands on and the spacing are needed.")
    if wear is not None and wear.slender is None and member.kind is not MemberKind.BOLT:
        told.append("Whether its web is too slender is not known without its height and alloy.")
    told.append("Plate and members are judged separately: neither is averaged with the other.")
    if metal.unsaid:
        told.append("Not all readings are marked as taken on bright metal.")
    if metal.left_out:
        told.append(f"{metal.left_out} not on bright metal: not judged.")
    if member.alloy and member.temper.upper().startswith("T"):
        told.append(NO_TEMPER)
    return tuple(told)
