"""Changes to the boat herself: her book begun, her compartments and plate fields, her particulars."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from inspect_tui.domain.boat_words import BoatType, Feature
from inspect_tui.domain.book import ONLY, Book, Edit, Put, Stamp
from inspect_tui.domain.identity import Identity, Key
from inspect_tui.domain.knowledge.areas import Area
from inspect_tui.domain.quantities import QUANTITIES
from inspect_tui.domain.records import Boat, Compartment, FloatEvent, PartOut, PlateField, Round
from inspect_tui.domain.words import FloatState, HullMetal, Rig
from inspect_tui.errors import NotAllowed

ORDER_STEP = 100


@dataclass(frozen=True)
class NewBoat:
    """What must be known of her to begin a book."""

    name: str
    rig: Rig
    hull_metal: HullMetal
    hull_length_m: float
    float_state: FloatState
    built_as: BoatType | None = None
    features: Mapping[Feature, bool] = field(default_factory=dict)


def start_book(stamp: Stamp, identity: Identity, new: NewBoat, areas: Sequence[Area], purpose: str = "") -> Edit:
    """The first line of a book: who it is, the boat, her compartments from bow to stern, round 1."""
    name = new.name.strip()
    if not name:
        raise NotAllowed("She needs a name, or a number if she has none.")
    QUANTITIES["hull_length_m"].checked(new.hull_length_m, f"{new.hull_length_m:g} m")
    boat = Boat(
        name=name,
        rig=new.rig,
        hull_metal=new.hull_metal,
        hull_length_m=new.hull_length_m,
        built_as=new.built_as,
        features=dict(new.features),
        float_history=(FloatEvent(day=stamp.when.date(), state=new.float_state),),
    )
    copy = identity.copy_name
    places = [
        _new_compartment(str(Key(number, copy, "c")), number, area, area.name) for number, area in enumerate(areas, 1)
    ]
    first = Round(id=str(Key(1, copy)), number=1, opened=stamp.when, by=stamp.by, purpose=purpose)
    return Edit(
        f"Started the book of {name}",
        (
            Put("identity", ONLY, identity),
            Put("boat", ONLY, boat),
            *(Put("compartments", place.id, place) for place in places),
            Put("rounds", first.id, first),
        ),
    )


def _new_compartment(key: str, number: int, area: Area, name: str) -> Compartment:
    return Compartment(id=key, area=area.id, name=name, order=(area.beside or area.number) * ORDER_STEP + number)


def add_compartment(book: Book, area: Area, name: str) -> Edit:
    key = book.new_key("compartments")
    alike = sum(place.area == area.id for place in book.compartments.values())
    called = name.strip() or (f"{area.name} {alike + 1}" if alike else area.name)
    place = _new_compartment(key, Key.of(key).number, area, called)
    return Edit(f"Added the compartment {place.name}", (Put("compartments", place.id, place),))


def change_compartment(compartment: Compartment) -> Edit:
    if not compartment.name.strip():
        raise NotAllowed("A compartment needs a name.")
    return Edit(f"Changed the compartment {compartment.name}", (Put("compartments", compartment.id, compartment),))


def drop_compartment(book: Book, compartment: Compartment) -> Edit:
    """Take a compartment off the boat; only one with nothing written under it."""
    tables = (book.findings, book.answers, book.readings, book.visits, book.parts, book.members)
    written = [row for table in tables for row in table.values()]
    if any(row.compartment == compartment.id for row in written):
        raise NotAllowed(f"{compartment.name} has something written in it: it cannot be removed.")
    return Edit(f"Removed the compartment {compartment.name}", (Put("compartments", compartment.id, None),))


def change_boat(boat: Boat) -> Edit:
    if not boat.name.strip():
        raise NotAllowed("She needs a name, or a number if she has none.")
    return Edit("Changed the boat's particulars", (Put("boat", ONLY, boat),))


def keep_plate_field(field: PlateField) -> Edit:
    """A plate field, new or changed."""
    if not field.name.strip():
        raise NotAllowed("A plate field needs a name, such as 'bottom amidships'.")
    return Edit(f"Plate field {field.name}", (Put("plate_fields", field.id, field),))


def drop_plate_field(book: Book, field: PlateField) -> Edit:
    """Take a plate field out; only one that no reading or compartment names."""
    if any(row.plate_field == field.id for row in book.readings.values()):
        raise NotAllowed(f"{field.name} has readings: it cannot be removed.")
    if any(plan.plate_field == field.id for plan in book.plans.values()):
        raise NotAllowed(f"{field.name} has squares drawn on it: it cannot be removed.")
    if any(field.id in place.plate_fields for place in book.compartments.values()):
        raise NotAllowed(f"A compartment lies on {field.name}: untick the field in that compartment first.")
    return Edit(f"Removed the plate field {field.name}", (Put("plate_fields", field.id, None),))


def float_or_haul(book: Book, state: FloatState, day: date, when: datetime | None = None) -> Edit:
    """From this day on she is afloat, or out of the water; `when`: the moment, where it is today."""
    history = book.boat.float_history
    if history and day < history[-1].day:
        raise NotAllowed(f"The last entry is dated {history[-1].day}: a new one cannot be earlier.")
    boat = book.boat.model_copy(update={"float_history": (*history, FloatEvent(day=day, state=state, when=when))})
    return Edit(f"She has been {state.value} since {day}", (Put("boat", ONLY, boat),))


def take_out_part(part: PartOut) -> Edit:
    """Something was taken out of her, or what was written of it has changed."""
    if not part.words.strip():
        raise NotAllowed("Write what it is: whoever puts it back will ask.")
    if not part.lies.strip():
        raise NotAllowed("Write where it lies now: somebody will have to find it.")
    return Edit(f"Taken out: {part.words}", (Put("parts", part.id, part),))


def drop_part(part: PartOut) -> Edit:
    """It was never out, or was written down twice."""
    return Edit(f"Not taken out after all: {part.words}", (Put("parts", part.id, None),))


def tie_negative(book: Book, tied: bool) -> Edit:
    """Whether a pole of the battery is tied to the hull on purpose: then ohms between the two tell nothing."""
    words = f"Battery negative {'is' if tied else 'is not'} tied to the hull on purpose"
    return Edit(words, (Put("boat", ONLY, book.boat.model_copy(update={"negative_tied": tied})),))


def with_circuits(book: Book, circuits: Collection[str]) -> Edit:
    """The boat's list of circuits, kept for the next hunt."""
    named = tuple(dict.fromkeys(one.strip() for one in circuits if one.strip()))
    return Edit(
        "Changed the list of circuits", (Put("boat", ONLY, book.boat.model_copy(update={"circuits": named})),)
    )
