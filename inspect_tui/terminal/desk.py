"""What screens know of the program: the open book, the one way to change it, and going to another screen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from inspect_tui.domain.book import Edit, Put
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.trail import Argument, Form
from inspect_tui.domain.words import Need
from inspect_tui.store.book_file import BookFile, Clock
from inspect_tui.terminal.keys import KeyMap
from inspect_tui.terminal.names import ScreenName
from inspect_tui.terminal.widgets.tour import Tour

if TYPE_CHECKING:
    from inspect_tui.judgement.judged import Judged
    from inspect_tui.judgement.work.plan import Means

# So long somebody may look at another place without having left the one they work in.
GLANCE = timedelta(minutes=5)


@dataclass(frozen=True)
class Line:
    """One line that is asked for over a screen. `check` says what is wrong with what was typed; empty if nothing."""

    question: str
    value: str = ""
    needed: str = ""
    check: Callable[[str], str] = lambda _text: ""


@dataclass
class Sitting:
    """What was seen to in the place where somebody works now; void when the place is left or the program ends. Who is
    back within a few minutes only looked elsewhere. `met`: each need, and when; `since`: when it was entered."""

    compartment: str = ""
    since: datetime | None = None
    met: dict[Need, datetime] = field(default_factory=dict)
    _left: tuple[str, datetime | None, dict[Need, datetime], datetime] | None = None

    def enter(self, compartment: str, when: datetime) -> None:
        if compartment == self.compartment:
            return
        before = self._left
        self._left = (self.compartment, self.since, self.met, when)
        self.compartment, self.since, self.met = compartment, when, {}
        if before is not None and before[0] == compartment and when - before[3] < GLANCE:
            self.since, self.met = before[1], before[2]


class Desk(Protocol):
    checklists: Checklists
    clock: Clock
    by: str
    # Where somebody stands in the guided walk; None on a boat of their own.
    tour: Tour | None
    # Which keys each verb has.
    keys: KeyMap
    photos_from: Path
    papers_beside: Path | None
    # What the plan is made with; None until somebody says.
    means: Means | None
    sitting: Sitting
    # Keep a small thing on this computer for the next start, by its name.
    remember: Callable[[str, str], None]

    @property
    def open_file(self) -> BookFile:
        """The book file that lies open."""

    @property
    def judged(self) -> Judged:
        """What follows from the book as it stands; worked out once for each state of it."""

    def record(self, edit: Edit | Callable[[], Edit], *more: Put) -> bool:
        """Make one change, save it, redraw. A refusal is told in one sentence and changes nothing."""

    def lay(self, put: Put) -> None:
        """Keep something that is no part of the trail: where the walk stands, a draft."""

    def keep_draft(self, form: Form, fields: dict[str, str], chalk: int | None = None) -> None:
        """Keep what is being typed in a form."""

    def redraw(self) -> None:
        """Draw the screen on top anew."""

    def drop_draft(self, form: Form) -> None:
        """Forget it again."""

    def ask_line(self, form: Form, line: Line, then: Callable[[str], object]) -> None:
        """Ask for one line, and keep what is being typed; `then` gives False if the line was refused."""

    def go(self, name: ScreenName, **arguments: Argument | None) -> None:
        """Show a screen over the open book."""

    def show_text(self, title: str, text: str | list[tuple[str, str]]) -> None:
        """Show a text to read, or headed lines."""

    def banner_words(self) -> str:
        """What must stay in sight: not saved, read only, restored."""

    def restored_was_read(self) -> bool:
        """Take the note about a restored book off the screen; False if there was none."""

    def undo_last(self) -> None:
        """Take back the last change."""

    def begin(self, book_file: BookFile) -> None:
        """Show the boat of a book that was just started, and begin the walk."""

    def write_as(self, name: str) -> None:
        """From now on this person holds the pen."""

    def remember_photos_from(self, folder: Path) -> None:
        """Pictures are looked for there from now on."""
