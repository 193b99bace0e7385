"""The guided walk on the demo boat: one short sentence after the other, each until it was done. It can be left, and
taken up again where it was left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from textual.widgets import Static

from inspect_tui.domain.book import Book
from inspect_tui.terminal.keys import KeyMap


@dataclass(frozen=True)
class Step:
    """What to do, with the verbs' keys in braces; and whether it was done, by the book when the step began, the book
    now, and the name of the screen on top."""

    say: str
    done: Callable[[Book, Book, str], bool]


STEPS = (
    Step(
        "This is the boat, half inspected. The arrows choose a compartment; {on} goes in, here to where her "
        "owner stopped.",
        lambda _then, _now, screen: screen == "walk",
    ),
    Step(
        "One question at a time, with why, where to look and how bad is bad. Answer this one: {unseen}, as "
        "nobody can look here yet.",
        lambda then, now, _screen: len(now.answers) > len(then.answers),
    ),
    Step("{undo} takes the last change back, whatever it was. Try it.", lambda then, now, _: _undone(then, now)),
    Step(
        "Go back to the boat with {back}, choose the Sump with the arrows, and press {finding}: a finding "
        "not tied to a question.",
        lambda _then, _now, screen: screen == "finding",
    ),
    Step(
        "Type what is wrong in a few words, and save with {save}. The finding's number is chalked on the metal.",
        lambda then, now, _screen: len(now.findings) > len(then.findings),
    ),
    Step(
        "{worklist} on the boat screen lists what to do, most pressing first; yours is in it. Go there.",
        lambda _then, _now, screen: screen == "worklist",
    ),
    Step(
        "{working} tells why a line stands where it does. Then {back}, and {metal} on the boat screen: what is left "
        "of the plate.",
        lambda _then, _now, screen: screen == "metal",
    ),
    Step(
        "Each line is a plate field; {measure} types readings, and the verdict answers while you type. Now "
        "{back}, and {papers}.",
        lambda _then, _now, screen: screen == "papers",
    ),
    Step(
        "{save} would write the papers for a buyer, a surveyor or a welder. That is all: {help} explains any "
        "screen, {more} lists its keys. What you do to this boat is not kept.",
        lambda _then, _now, _screen: False,
    ),
)


def _undone(then: Book, now: Book) -> bool:
    new = list(now.trail.values())[len(then.trail) :]
    return any(change.undoes is not None for change in new)


class Tour:
    """Where somebody stands in the guided walk; `remember` keeps that for the next start."""

    def __init__(self, at: int, remember: Callable[[str, str], None]) -> None:
        self.at = min(at, len(STEPS) - 1)
        self.left = False
        self._remember = remember
        self._began: Book | None = None

    def look(self, book: Book, screen: str) -> None:
        """What was done meanwhile: the next step, if this one was."""
        if self._began is None:
            self._began = book
        while not self.left and STEPS[self.at].done(self._began, book, screen):
            self.at += 1
            self._began = book
            self._remember("guided-walk", str(self.at))

    def words(self, keys: KeyMap, *, typing: bool) -> str:
        told = keys.fill(STEPS[self.at].say, typing=typing)
        leave = keys.fill("{more}, Guided walk, leaves it.") if not self.at else ""
        return f"Guided walk {self.at + 1} of {len(STEPS)}: {told} {leave}".strip()


class TourLine(Static):
    """The step that is to be done now, over the keys."""

    DEFAULT_CSS = """
    TourLine { height: auto; max-height: 3; padding: 0 1; background: $primary; color: $background; display: none; }
    """

    def tell(self, tour: Tour | None, keys: KeyMap, *, typing: bool) -> None:
        self.display = tour is not None and not tour.left
        if tour is not None:
            self.update(tour.words(keys, typing=typing))
