"""In which order the boat is walked: bow to stern, what can sink her first while she floats, and the first pass."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Boat, Compartment
from inspect_tui.domain.words import Need


def in_turn(checklists: Checklists, book: Book) -> list[Compartment]:
    """The compartments in the order they are walked: bow to stern; while she floats what can sink her goes before.
    Without those in which nothing is asked on this boat."""
    order = _by_turn(checklists, book) if book.boat.afloat else book.bow_to_stern()
    return [place for place in order if not walk.asks_nothing(walk.area_of(checklists, place), book.boat)]


def _by_turn(checklists: Checklists, book: Book) -> list[Compartment]:
    def turn(place: Compartment) -> int:
        area = walk.area_of(checklists, place)
        return area.early if area and area.early else len(checklists.areas)

    return sorted(book.bow_to_stern(), key=turn)


def early_of(
    checklists: Checklists, boat: Boat, compartment: Compartment, prompts: Iterable[Prompt]
) -> tuple[Prompt, ...]:
    """Of the prompts of a place those of the first pass, and its air before what lies inside. What can only be called
    unseen as she lies is none of it."""
    asked = tuple(prompts)
    bars = {prompt.key: walk.barred(boat, prompt) for prompt in asked if prompt.early}
    early = [prompt for prompt in asked if prompt.early and ((bar := bars[prompt.key]) is None or bar.finding)]
    inside = any(Need.GAS_FREE in walk.needs_of(checklists, compartment, prompt) for prompt in early)
    return tuple(one for one in asked if one in early or (inside and walk.asks_air(checklists, compartment, one)))


def first_pass(checklists: Checklists, book: Book) -> list[tuple[Compartment, Prompt]]:
    """What can sink her or hurt someone, place by place: the questions of the first pass, the most pressing first."""
    return [
        (place, prompt)
        for place in _by_turn(checklists, book)
        for prompt in early_of(checklists, book.boat, place, walk.prompts_of(checklists, book, place))
    ]


@dataclass(frozen=True)
class Place:
    """A spot in the walk: one prompt of one compartment."""

    compartment: str
    index: int


def carry_on(book: Book, checklists: Checklists) -> Place | None:
    """Where Enter goes on: the prompt where the walk stopped, or if it was answered the next one open there; else the
    first that is open, in the order of the walk; where nothing is open any more, where it stopped."""
    order = in_turn(checklists, book)
    here, stopped = book.here, None
    if here and here.round == book.round.id and here.compartment in book.compartments:
        place = book.compartments[here.compartment]
        prompts = walk.prompts_of(checklists, book, place)
        index = next((at for at, prompt in enumerate(prompts) if prompt.key == here.prompt), None)
        if index is not None:
            stopped = Place(place.id, index)
            if walk.is_open(book, place, prompts[index]):
                return stopped
            behind = walk.first_open(book, checklists, place, index)
            before = walk.first_open(book, checklists, place)
            if (next_open := behind if behind is not None else before) is not None:
                return Place(place.id, next_open)
    for compartment in order:
        index_open = walk.first_open(book, checklists, compartment)
        if index_open is not None:
            return Place(compartment.id, index_open)
    return stopped or (Place(order[0].id, 0) if order else None)
