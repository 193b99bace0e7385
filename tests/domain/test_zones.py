"""Zones: nothing that may be under water is said to be above it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.book import ONLY, Book
from inspect_tui.domain.reading_records import PitReading
from inspect_tui.domain.records import NOWHERE, Boat, Compartment, Datum, Finding, Position, StatusEvent
from inspect_tui.domain.words import Face, HullMetal, Lane, Likelihood, Rig, Severity, Side, Status, Zone
from inspect_tui.domain.zones import zone_of_compartment, zone_of_finding, zone_of_position, zone_of_reading
from inspect_tui.store.checklist_files import load_checklists
from tests.conftest import START

CHECKLISTS = load_checklists()
PROMPTS = CHECKLISTS.prompts
# 3 m of beam and 0.7 m of hull: no more than 2.2 m of plate from the centreline to the waterline.
LONGEST_MM = 2200.0
# Of these the metal is above the waterline of any boat that floats, whatever the girth along a deck.
DRY_AREAS = {"deck", "chainplates", "bonded-timber", "cockpit", "wheelhouse", "work-deck"}


def book(*places: Compartment, **facts: Any) -> Book:
    none = {Feature.BALLAST: False, Feature.CENTREBOARD: False}
    of = {"waterline_beam_m": 3.0, "hull_draught_m": 0.7, "datum": Datum(frame_spacing_mm=500), "features": none}
    of |= facts
    boat = Boat(name="x", rig=Rig.SAIL, hull_metal=HullMetal.STEEL, hull_length_m=10, **of)
    return Book({**Book.empty().tables, "boat": {ONLY: boat}, "compartments": {place.id: place for place in places}})


def place(area: str, number: int = 1, **facts: Any) -> Compartment:
    return Compartment(id=f"c{number}-x", area=area, name=area, order=number, **facts)


def finding(position: Position, prompt: str | None = None, compartment: str = "c1-x") -> Finding:
    return Finding(
        chalk=1, compartment=compartment, kind="pitting", words="", severity=Severity.MARGINAL,
        likelihood=Likelihood.C, prompt=prompt, position=position,
        history=(StatusEvent(status=Status.FOUND, when=START, by="x", round="1-x"),),
    )  # fmt: skip


def zone(book: Book, position: Position = NOWHERE, prompt: str | None = None) -> Zone:
    told = zone_of_finding(book, CHECKLISTS, finding(position, prompt))
    reading = PitReading(
        id="r1-x", round="1-x", compartment="c1-x", when=START, by="x", prompt=prompt, position=position
    )
    assert zone_of_reading(book, CHECKLISTS, reading) is told
    return told


GIRTHS = st.one_of(st.none(), st.floats(0, 6000))
POSITIONS = st.builds(
    Position, frame=st.one_of(st.none(), st.floats(-2, 25)), side=st.sampled_from([*Side, None]),
    girth_mm=GIRTHS, face=st.sampled_from([*Face, None]),
)  # fmt: skip


def may_be_wet(area: str, prompt: str | None, lies_below: bool | None, position: Position, boat: Boat) -> bool:
    """By itself, from what the words mean: everything but what is said, or proved by the girth, to be dry."""
    said = PROMPTS[prompt].zone if prompt else None
    if said is Zone.UNDER or (said is Zone.NEAR and area in DRY_AREAS):
        # Of such a place no girth proves anything: it may run along the deck.
        if area in DRY_AREAS or lies_below is False:
            return True
    elif lies_below is False or (area in DRY_AREAS and not lies_below):
        return False
    proved = (
        position.girth_mm is not None and position.face is Face.INSIDE and boat.waterline_beam_m is not None
        and boat.hull_draught_m is not None
        and position.girth_mm > 1000 * (boat.waterline_beam_m / 2 + boat.hull_draught_m)
        and CHECKLISTS.areas[area].lane is not Lane.KEEL
    )  # fmt: skip
    dry_word = said is Zone.ABOVE and not lies_below and position.girth_mm is None
    return not proved and not dry_word


@pytest.mark.parametrize("area", CHECKLISTS.areas)
@given(position=POSITIONS, lies_below=st.sampled_from([True, False, None]), known=st.booleans(), data=st.data())
def test_what_may_be_under_water_is_never_said_to_be_above(
    area: str, position: Position, lies_below: bool | None, known: bool, data: st.DataObject
) -> None:
    own = [prompt.key for prompt in CHECKLISTS.areas[area].prompt]
    everywhere = [one.key for one in (*CHECKLISTS.everywhere.before, *CHECKLISTS.everywhere.after)]
    prompt = data.draw(st.sampled_from([None, *own, *everywhere]))
    of = book(place(area, below_waterline=lies_below), **({} if known else {"hull_draught_m": None}))
    if may_be_wet(area, prompt, lies_below, position, of.boat):
        assert zone(of, position, prompt) is not Zone.ABOVE


@pytest.mark.parametrize("prompt", PROMPTS)
def test_without_a_position_the_prompt_and_then_the_compartment_decide(prompt: str) -> None:
    areas = [prompt.partition("/")[0]] if not prompt.startswith("everywhere") else list(CHECKLISTS.areas)
    for area in areas:
        usual = Zone.ABOVE if area in DRY_AREAS else Zone.UNDER
        assert zone(book(place(area)), prompt=prompt) is (PROMPTS[prompt].zone or usual)
        assert zone(book(place(area, below_waterline=True)), prompt=prompt) is Zone.UNDER
        assert zone(book(place(area, below_waterline=False)), prompt=prompt) is (PROMPTS[prompt].zone or Zone.ABOVE)


def test_what_is_not_known_counts_as_under_water() -> None:
    dry = finding(NOWHERE, "deck/stain-map")
    assert zone_of_finding(book(), CHECKLISTS, dry) is Zone.UNDER, "a compartment that is gone"
    assert zone(book(place("dungeon"))) is Zone.UNDER, "an area that is not known"
    assert zone(book(place("dungeon")), prompt="dungeon/drains") is Zone.UNDER
    assert zone_of_compartment(CHECKLISTS, None) is Zone.UNDER
    assert zone(book(place("dungeon", below_waterline=False))) is Zone.ABOVE, "but the owner is believed"


def girth(mm: float, **more: Any) -> Position:
    return Position(frame=5, girth_mm=mm, side=Side.PORT, **{"face": Face.INSIDE, **more})


@pytest.mark.parametrize(
    ("position", "told"),
    [
        (girth(LONGEST_MM + 301), Zone.ABOVE),
        (girth(LONGEST_MM + 300), Zone.NEAR),
        (girth(LONGEST_MM + 1), Zone.NEAR),
        (girth(LONGEST_MM), Zone.UNDER),
        (girth(0), Zone.UNDER),
        (girth(LONGEST_MM + 301, face=Face.OUTSIDE), Zone.UNDER),
        (girth(LONGEST_MM + 301, face=None), Zone.UNDER),
    ],
)
def test_the_girth_proves_height_where_it_can(position: Position, told: Zone) -> None:
    assert zone(book(place("forward-cabin")), position) is told


def test_a_keel_or_tank_at_the_frame_takes_the_proof_away() -> None:
    high = girth(LONGEST_MM + 500)
    cabin = place("forward-cabin")
    assert zone(book(cabin, place("hollow-keel", 2, frame_from=10, frame_to=14)), high) is Zone.ABOVE
    assert zone(book(cabin, place("hollow-keel", 2, frame_from=14, frame_to=10)), high) is Zone.ABOVE
    for keel in (
        place("hollow-keel", 2, frame_from=4, frame_to=8),
        place("hollow-keel", 2, frame_from=8, frame_to=4),
        place("ballast", 2, frame_from=6, frame_to=9),
        place("water-tank", 2),
        place("sump", 2, frame_from=10),
        place("dungeon", 2),
    ):
        assert zone(book(cabin, keel), high) is Zone.UNDER, keel
    unknown: tuple[dict[str, Any], ...] = (
        {"waterline_beam_m": None},
        {"hull_draught_m": None},
        {"features": {}},
        {"features": {Feature.BALLAST: False}},
        {"features": {Feature.BALLAST: False, Feature.CENTREBOARD: True}},
    )
    for facts in unknown:
        assert zone(book(cabin, **facts), high) is Zone.UNDER, facts


def test_a_position_goes_before_the_prompt_but_not_on_deck() -> None:
    locker = book(place("chain-locker"))
    assert zone(locker, prompt="chain-locker/windlass") is Zone.ABOVE
    assert zone(locker, girth(200), "chain-locker/windlass") is Zone.UNDER
    assert zone(locker, girth(LONGEST_MM + 400), "chain-locker/mud-line") is Zone.ABOVE
    assert zone(book(place("deck")), girth(200), "deck/stain-map") is Zone.ABOVE
    assert zone(book(place("deck")), girth(LONGEST_MM + 10), "deck/stain-map") is Zone.ABOVE
    for low in ("cockpit/drain-tubes", "chainplates/leak-trace", "bonded-timber/below-waterline"):
        assert zone(book(place(low.partition("/")[0])), girth(LONGEST_MM + 4000), low) is Zone.UNDER
    assert zone(book(place("cockpit")), girth(LONGEST_MM + 4000), "cockpit/scuppers") is Zone.NEAR


def test_a_reading_without_a_girth_lies_where_its_finding_does() -> None:
    of = book(place("forward-cabin"))
    found = finding(girth(LONGEST_MM + 400))
    of = Book({**of.tables, "findings": {"1": found}})
    facts: dict[str, Any] = {"id": "r1-x", "round": "1-x", "compartment": "c1-x", "when": START, "by": "x"}
    assert zone_of_reading(of, CHECKLISTS, PitReading(**facts)) is Zone.UNDER
    assert zone_of_reading(of, CHECKLISTS, PitReading(**facts, finding=1)) is Zone.ABOVE
    assert zone_of_reading(of, CHECKLISTS, PitReading(**facts, finding=1, position=girth(100))) is Zone.UNDER
    assert zone_of_reading(of, CHECKLISTS, PitReading(**facts, finding=9)) is Zone.UNDER
    assert zone_of_position(of, CHECKLISTS, NOWHERE) is None


def test_the_band_is_data_and_says_that_it_is_judgement(tmp_path: Path) -> None:
    assert CHECKLISTS.everywhere.near_water.seen == "judgement of this program"
    (tmp_path / "everywhere.toml").write_text(
        '[near_water]\nhalf_width_mm = 400\nsource = "the owner"\nseen = "judgement of this program"\n'
    )
    wide = load_checklists(tmp_path)
    assert zone_of_position(book(), wide, girth(LONGEST_MM + 800)) is Zone.NEAR
    assert zone_of_position(book(), wide, girth(LONGEST_MM + 801)) is Zone.ABOVE
