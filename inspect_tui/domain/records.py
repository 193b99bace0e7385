"""The records of a book. Each is frozen: a change replaces a record, it never edits one.

Lengths of readings are in millimetres, of the boat in metres; masses in kilograms; potentials in
millivolts; resistances in ohms. The unit stands in the field's name wherever there is one.
Fields that this version does not know are kept as they came (`extra="allow"`).
"""

from __future__ import annotations

from datetime import date, datetime
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field

from inspect_tui.domain.boat_words import TOLD_ONLY, BoatType, Feature, KeelType
from inspect_tui.domain.bounds import (
    AlongHullMm,
    ExtentMm,
    FrameNumber,
    FrameSpacing,
    HullMetres,
    NotNegative,
    Percent,
    Positive,
    Whole,
)
from inspect_tui.domain.plain import with_inches
from inspect_tui.domain.words import (
    Beneath,
    DesignCategory,
    Face,
    FloatState,
    Follows,
    FrameDirection,
    HullMetal,
    Likelihood,
    PatchEdge,
    PatchType,
    PlateRegion,
    Rig,
    Said,
    Severity,
    Side,
    Status,
    ThicknessSource,
    Treatment,
    UnseenReason,
    Water,
)

NO_OTHER_METAL = "none"


class Record(BaseModel):
    # Validators are built when first needed: half of them are not when a book is opened.
    model_config = ConfigDict(frozen=True, extra="allow", allow_inf_nan=False, defer_build=True)


class FloatEvent(Record):
    """From this day on she was afloat, or out of the water; `when`: the moment it was written down."""

    day: date
    state: FloatState
    when: AwareDatetime | None = None


class Datum(Record):
    """How positions are measured on this boat."""

    origin: str = ""
    direction: FrameDirection = FrameDirection.AFT
    frame_spacing_mm: FrameSpacing | None = None
    frame_table_mm: tuple[AlongHullMm, ...] = ()


class Boat(Record):
    """`negative_tied`: a pole of the battery is tied to the hull on purpose; `inland`: she keeps to inland
    waters; `inches`: lengths are told in inches too. `hull_number`: the builder's or the registration's, as it
    stands on her; `last_hauled`, `coatings`: in the owner's words, what is known from before the book."""

    name: str
    rig: Rig
    hull_metal: HullMetal
    hull_length_m: HullMetres
    float_history: tuple[FloatEvent, ...] = ()
    year_built: Whole | None = None
    waterline_length_m: HullMetres | None = None
    waterline_beam_m: HullMetres | None = None
    hull_draught_m: HullMetres | None = None
    displacement_kg: Positive | None = None
    design_category: DesignCategory | None = None
    speed_kn: Positive | None = None
    deadrise_deg: NotNegative | None = None
    righting_lever_m: Positive | None = None
    water: Water | None = None
    inland: bool | None = None
    inches: bool | None = None
    datum: Datum = Datum()
    circuits: tuple[str, ...] = ()
    negative_tied: bool | None = None
    features: dict[Feature, bool] = Field(default_factory=dict)
    built_as: BoatType | None = None
    keel: KeelType | None = None
    builder: str | None = None
    hull_number: str | None = None
    last_hauled: str | None = None
    coatings: str | None = None

    def may_have(self, feature: Feature) -> bool:
        """What was said of it, else what her keel says; unknown counts as 'may have', but for what few boats have."""
        by_keel = {Feature.CENTREBOARD: KeelType.LIFTING, Feature.TWIN_KEELS: KeelType.TWIN}
        if feature in self.features or self.keel is None or feature not in by_keel:
            return self.features.get(feature, feature not in TOLD_ONLY)
        return self.keel is by_keel[feature]

    def told(self, text: str) -> str:
        return with_inches(text) if self.inches else text

    @property
    def metal_words(self) -> str:
        return self.hull_metal.told if self.features.get(Feature.RIVETED) else self.hull_metal.value

    @property
    def float_state(self) -> FloatState | None:
        return self.float_history[-1].state if self.float_history else None

    @property
    def afloat(self) -> bool:
        return self.float_state is FloatState.AFLOAT

    def afloat_at(self, when: datetime) -> bool | None:
        """Whether she floated at a moment; None before the first entry. On the day of an entry whose moment nobody
        wrote she may have been either, and counts as afloat; but the first entry is how the book found her."""
        state = None
        for event in self.float_history:
            if event.when is not None:
                begun = event.when <= when
            elif event.state is FloatState.AFLOAT or event is self.float_history[0]:
                begun = event.day <= when.date()
            else:
                begun = event.day < when.date()
            if begun:
                state = event.state
        return None if state is None else state is FloatState.AFLOAT


class PlateField(Record):
    """A part of the shell with one alloy and one as-built thickness.

    `from_aft_percent`: its panel's middle along the waterline, from aft. `up_side_percent`: of a side, from the
    waterline (0) to the deck edge (100). `head_m`: of water on a bulkhead; of a tank from the panel's middle to
    the tank's top, and `overflow_m` from there to its overflow. `shell`: what part of the shell a tank's plate is;
    `attacked_since`: the year in which its pits began, where somebody knows.
    """

    id: str
    name: str
    region: PlateRegion
    alloy: str = ""
    temper: str = ""
    as_built_mm: Positive | None = None
    as_built_from: ThicknessSource | None = None
    panel_width_mm: Positive | None = None
    panel_length_mm: Positive | None = None
    curvature_mm: NotNegative | None = None
    welded: bool | None = None
    extent: str = ""
    area_m2: Positive | None = None
    from_aft_percent: Percent | None = None
    up_side_percent: Percent | None = None
    head_m: NotNegative | None = None
    overflow_m: NotNegative | None = None
    attacked_since: Whole | None = None
    shell: PlateRegion | None = None


class Compartment(Record):
    """This boat's own instance of an area. `girth_from_mm`, `girth_to_mm`: where it lies across the boat, from the
    centreline along the plate; what has none is drawn on no map."""

    id: str
    area: str
    name: str
    order: Whole
    frame_from: FrameNumber | None = None
    frame_to: FrameNumber | None = None
    side: Side | None = None
    below_waterline: bool | None = None
    girth_from_mm: Annotated[float, Field(ge=0, le=500_000)] | None = None
    girth_to_mm: Annotated[float, Field(ge=0, le=500_000)] | None = None
    plate_fields: tuple[str, ...] = ()


class Round(Record):
    id: str
    number: Whole
    opened: AwareDatetime
    by: str
    purpose: str = ""
    closed: AwareDatetime | None = None


class Visit(Record):
    """How much of one compartment's metal was seen in one round."""

    round: str
    compartment: str
    seen_percent: Percent
    reasons: tuple[UnseenReason, ...] = ()
    note: str = ""


class Answer(Record):
    """What was said to a prompt. `by_look`: one look over the place answered it, with others; nobody looked at it
    one by one."""

    round: str
    compartment: str
    prompt: str
    said: Said
    when: AwareDatetime
    by: str
    reason: UnseenReason | None = None
    note: str = ""
    by_look: bool | None = None


class Position(Record):
    """One place on the shell: nearest frame and offset, side, girth from the centreline along the plate."""

    frame: FrameNumber | None = None
    offset_mm: AlongHullMm | None = None
    side: Side | None = None
    girth_mm: Annotated[float, Field(ge=0, le=500_000)] | None = None
    face: Face | None = None
    words: str = ""


NOWHERE = Position()


class StatusEvent(Record):
    status: Status
    when: AwareDatetime
    by: str
    round: str
    note: str = ""


class Override(Record):
    """The owner's own verdict, and why."""

    treatment: Treatment
    reason: str
    when: AwareDatetime
    by: str


class Lifted(Record):
    """What an old patch showed when it was lifted. `beyond_mm`: how far the attack goes on outside its outline;
    `drawn`: it was drawn by lot (True) or chosen (False); None if nobody wrote it."""

    when: AwareDatetime
    by: str
    beneath: Beneath
    product: bool | None = None
    edge: PatchEdge | None = None
    beyond_mm: NotNegative | None = None
    drawn: bool | None = None
    note: str = ""


class Cut(Record):
    """How the owner wants it cut out, in place of what is worked out: with another finding, by its number; apart; or
    left out of the jobs."""

    how: Literal["with", "apart", "left out"]
    other: int | None = Field(default=None, gt=0, le=10**9)
    reason: str
    by: str


class Finding(Record):
    """Something wrong, or worth watching. It belongs to the boat, not to a round.

    `signs` come with the question; those in `signs_confirmed` somebody ticked. `beside`: the metal of a part that
    touches the hull there, by its id in the galvanic series, or `NO_OTHER_METAL`; None if nobody looked. `follows`:
    what the attack runs along. `patch`: of an old patch, what it is made of. `circuit`:
    of a leak that a hunt found, the circuit as it was named there. `merged_into`: of one that was withdrawn because
    it is another one's, the number of that. `not_found`: the round in which its mark was looked for in vain."""

    chalk: int = Field(gt=0, le=10**9)
    compartment: str
    kind: str
    words: str
    severity: Severity
    likelihood: Likelihood
    history: tuple[StatusEvent, ...] = Field(min_length=1)
    prompt: str | None = None
    signs: tuple[str, ...] = ()
    signs_absent: tuple[str, ...] = ()
    signs_confirmed: tuple[str, ...] | None = None
    beside: str | None = None
    lifted: Lifted | None = None
    patch: PatchType | None = None
    position: Position = Position()
    extent_length_mm: ExtentMm | None = None
    extent_width_mm: ExtentMm | None = None
    follows: Follows | None = None
    photos: tuple[str, ...] = ()
    treatment: Treatment | None = None
    override: Override | None = None
    circuit: str | None = None
    merged_into: int | None = Field(default=None, gt=0, le=10**9)
    not_found: str | None = None
    cut: Cut | None = None

    @property
    def status(self) -> Status:
        return self.history[-1].status

    @property
    def found(self) -> StatusEvent:
        return self.history[0]


class Photo(Record):
    """A picture in the folder beside the book, as the camera wrote it. `taken` is the camera's own time, without a
    zone where it gave none."""

    # The papers name files by it.
    id: Annotated[str, Field(pattern=r"^i[0-9]+(-[a-z0-9]{4})?$")]
    file: str
    sha256: str
    when: AwareDatetime
    by: str
    taken: datetime | None = None
    original: str = ""
    caption: str = ""


class PartKind(StrEnum):
    """What is taken out of a boat, to go back."""

    SOLE = "sole board"
    LOCKER = "locker or berth front"
    LINING = "lining or insulation"
    FITTING = "fitting through hull or deck"
    SCREWS = "screws and small parts"
    WIRING = "wiring"
    GEAR = "tank, engine part or gear"


class GoesBack(StrEnum):
    """When a part goes back, beside the paint."""

    AFTER = "after coating"
    BEFORE = "before coating"


class PartOut(Record):
    """Something taken out of her, so that it goes back: where it came from, where it lies, the number of its bag."""

    id: str
    what: PartKind
    words: str
    compartment: str
    lies: str
    bag: str = ""
    back: GoesBack = GoesBack.AFTER
    when: AwareDatetime
    by: str


class FieldSheet(Record):
    """Chalk numbers given to a sheet that was printed to be filled in by hand."""

    id: str
    compartment: str
    chalks: tuple[Whole, ...]
    when: AwareDatetime
    by: str


class Rates(Record):
    """What work and metal cost the owner, as an older book may hold it; nothing is worked out from it."""

    currency: str
    hour: Positive | None = None
    plate_kg: Positive | None = None
    filler_kg: Positive | None = None


def strange_fields(record: Record) -> set[str]:
    """Names of fields that a newer program wrote: in the record, and in the records within it."""
    inside = [value for name in type(record).model_fields if (value := getattr(record, name)) is not None]
    held = [one for value in inside for one in (value if isinstance(value, tuple) else (value,))]
    strange = set(record.model_extra or ())
    return strange.union(*(strange_fields(one) for one in held if isinstance(one, Record)))
