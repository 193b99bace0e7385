"""What the program itself names of the trade knowledge, each id once.

Loading refuses knowledge in which one of them is missing; what the data names of itself is checked there too.
"""

from __future__ import annotations

from enum import StrEnum


class Areas(StrEnum):
    ELECTRICS = "electrics"
    FUEL_TANK = "fuel-tank"
    WATER_TANK = "water-tank"
    OLD_PATCHES = "old-patches"
    SKIN_FITTINGS = "skin-fittings"
    BALLAST = "ballast"
    BULKHEADS = "bulkheads"
    CHAINPLATES = "chainplates"
    DECK = "deck"


class Prompts(StrEnum):
    CIRCUIT_HUNT = "electrics/circuit-hunt"
    REST_POTENTIAL = "electrics/rest-potential"
    POLE_OHMS = "electrics/pole-ohms"
    PITS = "everywhere/pits"


class Kinds(StrEnum):
    HOLE = "hole"
    PITTING = "pitting"
    OLD_PATCH = "old-patch"
    STRAY_METAL = "stray-metal"
    CREVICE = "crevice"
    LEAKAGE = "leakage"
    WATER_TRAP = "water-trap"
    TWO_METALS = "two-metals"
    WET_COVER = "wet-cover"
    AIR = "air"
    UNCLEAR = "unclear"
    MERCURY = "mercury"
    COATING = "coating"
    CRACK = "crack"
    FITTING = "fitting"
    ANODE = "anode"


class Works(StrEnum):
    """The steps of the work on eaten metal; a treatment's is named by its own value."""

    RECORD = "record"
    LIFT = "lift"
    CLEAN = "clean"
    MEASURE = "measure"
    COAT_SOUND = "coat-sound"
    VERIFY_METAL = "verify-metal"
    VERIFY = "verify"
    WATCH = "watch"


class Signs(StrEnum):
    PITS = "pits"
    OLD_PATCH = "old-patch"
    STRAY_METAL = "stray-metal"
    CREVICE = "crevice"
    HULL_LEAK = "hull-leak"
    STANDING_WATER = "standing-water"
    NOBLE_BESIDE = "noble-beside"
    FUEL_TANK = "fuel-tank"
    JOINED = "joined"
    DOCK_SHIFT = "dock-shift"
    OVER_POTENTIAL = "over-potential"
    UNPROTECTED = "unprotected"
    GREY_PASTE = "grey-paste"
    PRODUCT_LUMP = "product-lump"
    HOLLOW = "hollow"
    ANODE_FAST = "anode-fast"
    ANODE_IDLE = "anode-idle"


class Cautions(StrEnum):
    HOT_WORK = "hot-work"
    CONFINED_SPACE = "confined-space"
    BOTTLED_GAS = "bottled-gas"
    FUEL = "fuel"
    TOXIC_DUST = "toxic-dust"
    FOAM_FUMES = "foam-fumes"
    SINKING = "sinking"
