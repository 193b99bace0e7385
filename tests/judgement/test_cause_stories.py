"""What somebody finds on board, told through a book, and the cause that it must be called."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book
from inspect_tui.domain.edits import lift_patch, name_beside, with_circuits
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.records import Lifted, Position
from inspect_tui.domain.words import Across, Beneath, Face, HullMetal, PatchEdge
from inspect_tui.judgement.causes.cause import Found
from inspect_tui.judgement.causes.patches import signs_shown
from inspect_tui.judgement.judged import Judged
from tests.conftest import START, finding_edit, place_called
from tests.judgement.test_evidence import Boat, boat, hunt_with

__all__ = ["boat"]

STEEL, ALUMINIUM = HullMetal.STEEL, HullMetal.ALUMINIUM
INSIDE, OUTSIDE = Face.INSIDE, Face.OUTSIDE


def eaten(boat: Boat, face: Face | None = None, area: str = "cabin-bilge", kind: str = "pitting") -> None:
    """Eaten metal that no question brought up."""
    edit = finding_edit(
        boat.book, boat.stamp(), place_called(boat.book, area), kind=kind, position=Position(face=face)
    )
    boat.do(edit)


def ticked(boat: Boat, seen: str, absent: str = "", chalk: int = 1) -> None:
    for sign in seen.split():
        boat.tick(sign, True, chalk)
    for sign in absent.split():
        boat.tick(sign, False, chalk)


def found(boat: Boat, chalk: int = 1) -> Found:
    places = {one.finding.chalk: one for one in Judged(boat.book, boat.checklists).eaten}
    return places[chalk].found


def beside(boat: Boat, metal: str) -> None:
    boat.do(name_beside(boat.book.findings["1"], metal))


def joined(boat: Boat) -> None:
    boat.read("resistance", [0.4], boat.book.findings["1"], across=Across.PART)


def quiet_hunt(boat: Boat) -> None:
    boat.do(with_circuits(boat.book, ("pump",)))
    hunt_with(boat, -899)


def bronze_seacock(boat: Boat) -> None:
    beside(boat, "tin-bronze")
    joined(boat)


def stainless_carrier(boat: Boat) -> None:
    beside(boat, "316-passive")
    joined(boat)


Doing = Callable[[Boat], None]
STORIES: list[tuple[str, HullMetal, Face, str, str, Doing | None, tuple[str, ...]]] = [
    ("copper antifouling on an aluminium hull", ALUMINIUM, OUTSIDE,
     "copper-paint paint-edge powder", "noble-beside", None, ("copper-paint",)),
    ("black slime in a steel bilge", STEEL, INSIDE,
     "black-slime foul-water standing-water", "", None, ("foul-microbes",)),
    ("leafing plate that was never hot", ALUMINIUM, INSIDE, "swollen-edge", "hot-plate", None, ("bad-temper",)),
    ("a welding set used one night, and the hunt finds nothing", ALUMINIUM, OUTSIDE,
     "welding-done sudden bright-crater", "", quiet_hunt, ("outside-current",)),
    ("cement on steel", STEEL, INSIDE, "heavy-cover cover-cracked powder coating-loose", "", None, ("under-cover",)),
    ("a bronze seacock on aluminium", ALUMINIUM, INSIDE, "ring-at-noble powder", "", bronze_seacock, ("galvanic",)),
    ("a nicked pump lead", ALUMINIUM, OUTSIDE,
     "bright-crater sudden", "powder", lambda boat: hunt_with(boat, -815), ("stray-dc",)),
    ("wet plywood on the plate", ALUMINIUM, INSIDE,
     "board-outline poultice-outline grey-paste standing-water", "", None, ("treated-timber", "crevice")),
    ("battery acid", STEEL, INSIDE, "chemicals etched-run sudden", "", None, ("chemicals",)),
    ("a magnesium anode", ALUMINIUM, OUTSIDE, "near-anode alkaline-blister", "",
     lambda boat: boat.read("potential", [-1250], electrode="agcl-sea"), ("over-protection",)),
    ("wet foam along a stringer", ALUMINIUM, INSIDE, "wet-foam stringer-line grey-paste", "", None, ("wet-foam",)),
    ("a dock that she feeds through her shore lead", ALUMINIUM, OUTSIDE, "shore-worse anode-fast", "sudden",
     lambda boat: hunt_with(boat, -899, shore_mv=-1000), ("dock",)),
    ("a stainless carrier", ALUMINIUM, INSIDE, "ring-at-noble", "hull-leak", stainless_carrier, ("galvanic",)),
]  # fmt: skip


@pytest.mark.parametrize(
    ("metal", "face", "seen", "absent", "also", "causes"),
    [story[1:] for story in STORIES],
    ids=[story[0] for story in STORIES],
)
def test_the_story_is_called_by_its_cause(
    boat: Boat, metal: HullMetal, face: Face, seen: str, absent: str, also: Doing | None, causes: tuple[str, ...]
) -> None:
    boat.do(edits.change_boat(boat.book.boat.model_copy(update={"hull_metal": metal})))
    eaten(boat, face)
    ticked(boat, seen, absent)
    if also is not None:
        also(boat)
    told = found(boat)
    assert told.ranked[0].cause.id in causes, [one.cause.id for one in told.ranked[:3]]
    assert told.ranked[0] in told.named


def test_a_hunt_that_found_nothing_does_not_leave_her_own_circuits_to_blame(boat: Boat) -> None:
    eaten(boat, OUTSIDE)
    ticked(boat, "welding-done sudden bright-crater")
    quiet_hunt(boat)
    assert "stray-dc" not in {one.cause.id for one in found(boat).named}


def test_copper_paint_sends_nobody_up_the_stain(boat: Boat) -> None:
    eaten(boat, OUTSIDE)
    ticked(boat, "copper-paint paint-edge powder pits")
    told = {one.cause.id: one for one in found(boat).ranked}
    assert told["copper-deposit"].word == "unproven"
    assert "copper-drip" not in told["copper-paint"].speaks_for


def test_one_act_alone_makes_no_cause_likely_and_a_reading_may(boat: Boat) -> None:
    eaten(boat, kind=Kinds.OLD_PATCH, area="cabin-bilge")
    one = Lifted(when=START, by="Mattis", beneath=Beneath.PITS, product=True, edge=PatchEdge.BULGED)
    boat.do(lift_patch(boat.book, boat.book.findings["1"], one, *signs_shown(one), below=True))
    patched = found(boat)
    assert patched.named
    assert not patched.likely
    assert patched.ranked[0].told == "possible: 4 signs for it, all from one lifted patch"
    ticked(boat, "standing-water")
    assert not found(boat).likely, "what tells nothing of it is no second act"


def test_what_somebody_ticks_against_a_patch_is_no_part_of_it(boat: Boat) -> None:
    eaten(boat, kind=Kinds.OLD_PATCH)
    one = Lifted(when=START, by="Mattis", beneath=Beneath.PITS, product=True)
    boat.do(lift_patch(boat.book, boat.book.findings["1"], one, *signs_shown(one), below=True))
    assert str(boat.evidence()["grey-paste"].act) == "one lifted patch"
    boat.tick("grey-paste", False)
    assert boat.evidence()["grey-paste"].act is None
    assert boat.evidence()["pits"].act is not None


def test_stories_are_read_with_the_shipped_weights(book: Book, checklists: Checklists) -> None:
    assert len(STORIES) == 13
    for _, _, _, seen, absent, _, causes in STORIES:
        assert {*seen.split(), *absent.split()} <= set(checklists.causes.signs)
        assert set(causes) <= set(checklists.causes.causes)
