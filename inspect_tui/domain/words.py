"""The trade's words that a book may hold: every closed list, with its plain meaning."""

from __future__ import annotations

from enum import StrEnum
from functools import cached_property


class HullMetal(StrEnum):
    ALUMINIUM = "aluminium"
    STEEL = "steel"

    @property
    def told(self) -> str:
        return "steel or iron" if self is HullMetal.STEEL else self.value


class Rig(StrEnum):
    SAIL = "sail"
    MOTOR = "motor"


class Water(StrEnum):
    SALT = "salt"
    BRACKISH = "brackish"
    FRESH = "fresh"


class FloatState(StrEnum):
    AFLOAT = "afloat"
    HAULED_OUT = "hauled out"

    @property
    def told(self) -> str:
        return "afloat, or dried out between tides" if self is FloatState.AFLOAT else self.value


class DesignCategory(StrEnum):
    """Design categories of the recreational craft rules, by the conditions the boat is meant for."""

    A = "A"
    B = "B"
    C = "C"
    D = "D"


class Side(StrEnum):
    PORT = "P"
    CENTRE = "C"
    STARBOARD = "S"


SIDE_WORDS = {Side.PORT: "port", Side.CENTRE: "centreline", Side.STARBOARD: "starboard"}


class Face(StrEnum):
    INSIDE = "inside"
    OUTSIDE = "outside"


class Zone(StrEnum):
    """Height by the loaded waterline, from low to high; what may be under water is under water."""

    UNDER = "under water"
    NEAR = "near water"
    ABOVE = "above water"

    @property
    def wet(self) -> bool:
        """Whether water may come in there while she floats."""
        return self is not Zone.ABOVE


class Lane(StrEnum):
    """Where in the boat's height a compartment lies."""

    ABOVE = "above"
    BELOW = "below"
    KEEL = "keel"


LANE_WORDS = {
    Lane.ABOVE: "above waterline",
    Lane.BELOW: "below waterline",
    Lane.KEEL: "keel and tanks",
}


class Said(StrEnum):
    """What was said to a prompt."""

    SOUND = "sound"
    FINDING = "finding"
    UNSEEN = "unseen"
    NOT_FITTED = "not fitted"


class UnseenReason(StrEnum):
    """Why something was not seen: what people say most stands first."""

    GEAR = "gear on it"
    REACH = "out of reach"
    DIRTY = "dirty"
    NO_TIME = "no time"
    NO_TOOL = "no tool"
    SEALED = "sealed"
    FIXED_JOINERY = "fixed joinery"
    COATING_LEFT_ON = "coating left on"
    BALLAST = "ballast"
    TANK_FULL = "tank full"
    UNSAFE_AIR = "unsafe air"
    NOT_HAULED = "not hauled"
    POWER_ON = "power on"
    REFUSED = "refused"
    OTHER = "other"

    @property
    def key(self) -> str:
        """The key that picks it."""
        return "1234t56789ahprx"[list(UnseenReason).index(self)]


UNSEEN_WORDS: dict[UnseenReason, str] = {
    UnseenReason.GEAR: "gear lay on it or in front of it",
    UnseenReason.REACH: "no hand, lamp or mirror reached it",
    UnseenReason.DIRTY: "it was dirty, and was not cleaned",
    UnseenReason.NO_TIME: "there was no time",
    UnseenReason.NO_TOOL: "no gauge, meter or tool for it was at hand",
    UnseenReason.SEALED: "closed up, no way in without cutting",
    UnseenReason.FIXED_JOINERY: "behind joinery that was not taken out",
    UnseenReason.COATING_LEFT_ON: "paint, filler or scale was left on",
    UnseenReason.BALLAST: "under or behind ballast",
    UnseenReason.TANK_FULL: "the tank was not empty",
    UnseenReason.UNSAFE_AIR: "the air was not tested, or failed the test",
    UnseenReason.NOT_HAULED: "she was afloat",
    UnseenReason.POWER_ON: "the power could not be switched off",
    UnseenReason.REFUSED: "the owner or seller did not allow it",
    UnseenReason.OTHER: "for another reason, in words",
}


class Need(StrEnum):
    """What must be true before a prompt may be answered by doing it."""

    HAULED_OUT = "hauled out"
    TANK_EMPTY = "tank empty"
    GAS_FREE = "gas-free"
    POWER_ISOLATED = "power isolated"


class Severity(StrEnum):
    """The four severity words of MIL-STD-882E (table read in a third-party copy)."""

    CATASTROPHIC = "catastrophic"
    CRITICAL = "critical"
    MARGINAL = "marginal"
    NEGLIGIBLE = "negligible"

    @property
    def roman(self) -> str:
        return ("I", "II", "III", "IV")[self.rank]

    @cached_property
    def rank(self) -> int:
        """0 for the worst, 3 for the least."""
        return list(Severity).index(self)


SEVERITY_WORDS: dict[Severity, str] = {
    Severity.CATASTROPHIC: "could sink her or kill someone",
    Severity.CRITICAL: "could flood her, bring down the rig, or injure someone badly",
    Severity.MARGINAL: "will cost metal or money, or spoil a voyage",
    Severity.NEGLIGIBLE: "upkeep",
}


class Likelihood(StrEnum):
    """The six probability letters of MIL-STD-882E, worded here for a boat."""

    A = "A"
    B = "B"
    C = "C"
    D = "D"
    E = "E"
    F = "F"

    @cached_property
    def rank(self) -> int:
        """0 for the most likely, 5 for what cannot happen any more."""
        return list(Likelihood).index(self)


LIKELIHOOD_WORDS: dict[Likelihood, tuple[str, str]] = {
    Likelihood.A: ("frequent", "it is happening now, or happens every time"),
    Likelihood.B: ("probable", "if nothing is done, likely before the next haul-out"),
    Likelihood.C: ("occasional", "may well happen while you own her"),
    Likelihood.D: ("remote", "unlikely, but it has happened to boats like her"),
    Likelihood.E: ("improbable", "so unlikely that you would be surprised"),
    Likelihood.F: ("eliminated", "cannot happen any more: the thing itself is gone"),
}


class Status(StrEnum):
    """Where a finding stands; a status event may also step back (reopened)."""

    FOUND = "found"
    CLEANED = "cleaned"
    MEASURED = "measured"
    DECIDED = "decided"
    REPAIRED = "repaired"
    VERIFIED = "verified"
    ACCEPTED = "accepted"
    WITHDRAWN = "withdrawn"


CLOSED = frozenset({Status.VERIFIED, Status.ACCEPTED, Status.WITHDRAWN})


class Follows(StrEnum):
    """What an attack on metal runs along, where that makes it worse than its depth."""

    WELD = "a weld"
    RING = "round a fitting"
    LAP = "a lap or rivets"
    APART = "parts pushed apart"
    DOUBLED = "doubled plate"


class Treatment(StrEnum):
    """What is to be done with a piece of metal, from least to most."""

    LEAVE_BARE = "leave bare"
    CLEAN_AND_COAT = "clean and coat"
    FILL = "fill"
    WELD_UP = "weld up"
    INSERT_PLATE = "insert plate"
    REPLATE = "replate"
    ASK = "ask"
    MEASURE_AGAIN = "measure again"
    RENEW_MEMBER = "renew member"


TREATMENT_WORDS: dict[Treatment, str] = {
    Treatment.LEAVE_BARE: "leave bare, keep dry, look again",
    Treatment.CLEAN_AND_COAT: "clean to bright metal and coat",
    Treatment.FILL: "clean, fill and coat",
    Treatment.WELD_UP: "build up the pits by welding",
    Treatment.INSERT_PLATE: "cut it out and let in an insert plate with rounded corners",
    Treatment.REPLATE: "replate the bay or strake",
    Treatment.ASK: "ask a surveyor or the yard before anything is cut or coated",
    Treatment.MEASURE_AGAIN: "gauge it again on bright metal before anything is decided",
    Treatment.RENEW_MEMBER: "renew the wasted length of the frame, floor, stringer or bolt",
}

WELDED = frozenset({Treatment.WELD_UP, Treatment.INSERT_PLATE, Treatment.REPLATE, Treatment.RENEW_MEMBER})


class Tier(StrEnum):
    """When something must be done."""

    NOW = "Now"
    TODAY = "Today"
    BEFORE_AFLOAT = "Before she floats"
    BEFORE_SAILING = "Before she sails"
    THIS_HAUL_OUT = "This haul-out"
    NEXT_HAUL_OUT = "Next haul-out"
    WATCH = "Watch"

    @cached_property
    def rank(self) -> int:
        return list(Tier).index(self)

    @property
    def word(self) -> str:
        """As it stands on screens and papers, where it must be short."""
        return ("NOW", "TODAY", "AFLOAT", "SAIL", "THIS HAUL", "NEXT HAUL", "WATCH")[self.rank]


TIER_WORDS: dict[Tier, str] = {
    Tier.NOW: "danger to whoever is there, or she may be taking water",
    Tier.TODAY: "harm that grows by the hour and is easily stopped",
    Tier.BEFORE_AFLOAT: (
        "lets water in, or makes it harder to pump out: must be done before she is floated, "
        "or if she is to stay afloat"
    ),
    Tier.BEFORE_SAILING: "rig, steering, drive, what keeps people aboard: done before she leaves the berth",
    Tier.THIS_HAUL_OUT: "while she is out of the water this time",
    Tier.NEXT_HAUL_OUT: "can wait for the next time she is out",
    Tier.WATCH: "look and measure again, on a date",
}


class Who(StrEnum):
    """Whose hands or judgement an action asks for."""

    OWNER = "owner"
    WELDER = "welder"
    ELECTRICIAN = "electrician"
    SURVEYOR = "surveyor"
    YARD = "yard"
    SPECIALIST = "specialist"


class Step(StrEnum):
    """The order in which a hull is put right. An action of a later step may wait for an earlier one,
    never the other way round."""

    RECORD = "record"
    GUT = "gut"
    FITTINGS_OFF = "fittings off"
    CLEAN = "clean"
    MEASURE = "measure"
    CAUSE = "cause"
    DECIDE = "decide"
    HOT_WORK = "hot work"
    TIGHTNESS = "tightness"
    COAT = "coat"
    REFIT = "refit"
    ELECTRICS = "electrics"
    ANODES = "anodes"
    LAUNCH = "launch"
    WATCH = "watch"

    @cached_property
    def rank(self) -> int:
        return list(Step).index(self)


class FrameDirection(StrEnum):
    AFT = "counted aft from the bow"
    FORWARD = "counted forward from the stern"


class ThicknessSource(StrEnum):
    """How the as-built thickness of a plate is known."""

    DRAWING = "drawing"
    CUT_EDGE = "caliper at a cut edge"
    SOUND_PLATE = "sound reading on the same plate"
    GUESS = "guess"

    @property
    def told(self) -> str:
        """As it is shown; a book keeps the word it always had."""
        return "same plate, at a sound spot" if self is ThicknessSource.SOUND_PLATE else self.value


class PlateRegion(StrEnum):
    BOTTOM = "bottom"
    BILGE = "bilge"
    SIDE = "side"
    KEEL = "keel"
    TRANSOM = "transom"
    DECK = "deck"
    BULKHEAD = "bulkhead"
    TANK = "tank"


class Beneath(StrEnum):
    """What lay under a patch that was lifted, from best to worst."""

    SOUND = "sound plate"
    STAINED = "stained, no pits"
    PITS = "pits"
    THROUGH = "eaten through"


BAD_BENEATH = frozenset({Beneath.PITS, Beneath.THROUGH})


class PatchType(StrEnum):
    """What an old patch is made of: what lay under one kind says nothing of another."""

    FILLER = "filler or epoxy"
    PLATE = "doubler or plate"
    WELD = "weld repair"
    PAINT = "paint only"


class PatchEdge(StrEnum):
    """How the edge of a patch held before it was lifted."""

    TIGHT = "tight all round"
    LIFTING = "lifting somewhere"
    BULGED = "bulged by what grew beneath"


class Across(StrEnum):
    """What a resistance was measured across: what it ought to be depends on it."""

    PART = "a part and the hull"
    PARTED = "the hull and a part that ought to be isolated from it"
    BOND = "the ends of a bond"
    ANODE = "an anode and the hull"
    HULL = "the wiring and the hull"

    @property
    def told(self) -> str:
        """As it is shown; a book keeps the word it always had."""
        return "the hull and a part that ought to be isolated from it" if self is Across.PARTED else self.value
