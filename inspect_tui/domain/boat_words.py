"""What a boat was built as, her keel, and what she may or may not have: closed lists that a book may hold."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum


class BoatType(StrEnum):
    """What she was built as; unknown counts as a yacht."""

    YACHT = "yacht"
    NARROWBOAT = "narrowboat"
    BARGE = "barge"
    WORKBOAT = "workboat"


class KeelType(StrEnum):
    PLATED = "plated on, fin or long"
    BOLTED = "bolted on"
    LIFTING = "lifting keel or centreboard"
    TWIN = "twin keels"
    NONE = "none"


class Feature(StrEnum):
    """What a boat may or may not have; a prompt can depend on it. Unknown counts as 'may have', but for what few
    boats have (`TOLD_ONLY`)."""

    BALLAST = "ballast"
    CENTREBOARD = "centreboard"
    SAILDRIVE = "saildrive"
    BONDED_TIMBER = "bonded-timber"
    BOW_THRUSTER = "bow-thruster"
    STABILISER = "stabiliser"
    FOAM = "foam"
    SHORE_POWER = "shore-power"
    BOTTLED_GAS = "bottled-gas"
    RIVETED = "riveted"
    TWIN_KEELS = "twin-keels"
    LIFT_RAM = "lift-ram"
    WATER_JET = "water-jet"
    OUTDRIVE = "outdrive"
    KEEL_COOLER = "keel-cooler"
    WEED_HATCH = "weed-hatch"
    HEAVY_COVER = "heavy-cover"
    DOUBLED = "doubled-plating"
    BELTING = "belting"
    SPRAYED_METAL = "sprayed-metal"


def keel_of(said: KeelType | None, features: Mapping[Feature, bool]) -> KeelType | None:
    """Her keel as it was said, else as what she has says."""
    if said is None and features.get(Feature.CENTREBOARD):
        return KeelType.LIFTING
    return KeelType.TWIN if said is None and features.get(Feature.TWIN_KEELS) else said


# Asked about only on a boat that is said to have it.
TOLD_ONLY = frozenset(
    {
        Feature.RIVETED,
        Feature.TWIN_KEELS,
        Feature.LIFT_RAM,
        Feature.WATER_JET,
        Feature.OUTDRIVE,
        Feature.KEEL_COOLER,
        Feature.WEED_HATCH,
        Feature.HEAVY_COVER,
        Feature.DOUBLED,
        Feature.BELTING,
        Feature.SPRAYED_METAL,
    }
)
FEATURE_WORDS: dict[Feature, str] = {
    Feature.BALLAST: "ballast inside the plating",
    Feature.CENTREBOARD: "centreboard or lifting keel",
    Feature.SAILDRIVE: "saildrive",
    Feature.BONDED_TIMBER: "timber glued or screwed to the metal",
    Feature.BOW_THRUSTER: "bow thruster",
    Feature.STABILISER: "stabiliser fins",
    Feature.FOAM: "sprayed or glued foam on the plate",
    Feature.SHORE_POWER: "shore power",
    Feature.BOTTLED_GAS: "bottled gas, for cooking or heating",
    Feature.RIVETED: "riveted plates or frames",
    Feature.TWIN_KEELS: "twin keels, or plates to take the ground",
    Feature.LIFT_RAM: "a ram or screw that lifts the keel",
    Feature.WATER_JET: "water jets",
    Feature.OUTDRIVE: "outdrive through the transom",
    Feature.KEEL_COOLER: "engine cooled through the hull: keel cooler or skin tank",
    Feature.WEED_HATCH: "weed hatch over the propeller",
    Feature.HEAVY_COVER: "cement, bitumen or tiles over the plate",
    Feature.DOUBLED: "plating doubled over older plating",
    Feature.BELTING: "rubbing strakes or fenders closed in behind",
    Feature.SPRAYED_METAL: "metal-sprayed steel: zinc or aluminium under the paint",
}
