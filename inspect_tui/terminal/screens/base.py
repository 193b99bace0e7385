"""What every screen over an open book has: the top line, a banner for trouble, help, and being told of changes."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from rich.text import Text
from textual.app import ComposeResult
from textual.geometry import Size
from textual.screen import Screen
from textual.widgets import Static

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.trail import Form
from inspect_tui.domain.words import Tier
from inspect_tui.store.book_file import BookFile
from inspect_tui.terminal.desk import Desk
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.more_keys import MoreKeys, help_lines
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.key_line import KeyLine, Offered, offered
from inspect_tui.terminal.widgets.top_line import TopLine
from inspect_tui.terminal.widgets.tour import TourLine

WARNINGS = ("CAUTION", "FAILS", "Not to be trusted:", "KEEP OUT", "WAIT", "AFLOAT", "FIRST", "LEAK MEASURED:")


def badged(words: str, style: str = "bold reverse") -> Text:
    """Lines of text; a warning that one begins with stands out, and the rest of it is plain.

    >>> [str(span.style) for span in badged("Head\\nCAUTION  Live metal.").spans]
    ['bold reverse']
    """
    text = Text()
    for line in words.splitlines(keepends=True):
        label = next((one for one in WARNINGS if line.startswith(one)), "")
        if label:
            text.append(f" {label} ", style).append(f" {line.removeprefix(label).lstrip(' ')}")
        else:
            text.append(line)
    return text


# From so many columns on two panes stand side by side.
WIDE_COLUMNS = 110


def plain(text: str, style: str = "") -> Text:
    """Owner's text for a list: nothing in it is taken for markup."""
    return Text(one_line(text), style)


class BookScreen(Screen[None]):
    """A screen over the open book. `show` draws what the book says; it is called whenever the book changed.

    A question that is asked over it, one line to type, is a method `ask_NAME`: a draft of it opens it again.
    """

    TITLE_WORDS = ""
    HELP_TEXT = ""
    BINDINGS = [use("back"), use("help"), use("more"), use("undo", show=False), use("tour", show=False)]
    # Whether letters are text here: then other keys reach what is done.
    TYPING = False

    # Its name and arguments: what opens it again.
    form: Form = Form("")
    # What was drawn last: the same book at the same size is not drawn again.
    _drawn: tuple[Book, Size, str, str] | None = None

    @property
    def desk(self) -> Desk:
        return cast("Desk", self.app)

    @property
    def book_file(self) -> BookFile:
        return self.desk.open_file

    @property
    def book(self) -> Book:
        return self.book_file.book

    @property
    def checklists(self) -> Checklists:
        return self.desk.checklists

    def key(self, verb: str) -> str:
        """A verb's key, as it is printed here."""
        return self.desk.keys.shown(verb, typing=self.TYPING)

    def badged(self, words: str) -> Text:
        """As `badged`, in the colour of a warning where there are colours."""
        theme = self.app.current_theme
        return badged(words, "bold reverse" if self.app.no_color else f"bold {theme.background} on {theme.error}")

    def tier_mark(self, tier: Tier, word: str = "") -> Text:
        """A tier's word as it stands everywhere: danger to life is a block, what grows by the hour is red."""
        red = self.app.theme_variables["error"]
        style = {Tier.NOW: f"bold reverse {red}", Tier.TODAY: f"bold {red}"}.get(tier, "bold")
        return Text(word or tier.word, style)

    def place_name(self, compartment: str) -> str:
        """A compartment's name on one line, or its key if it is gone."""
        place = self.book.compartments.get(compartment)
        return one_line(place.name) if place else compartment

    def may_write(self) -> bool:
        """Whether the book can be changed here; told if not."""
        if self.book_file.read_only:
            self.notify(self.book_file.read_only, severity="warning", markup=False)
        return not self.book_file.read_only

    def compose(self) -> ComposeResult:
        yield TopLine()
        yield Static("", id="banner", markup=False)
        yield from self.body()
        yield TourLine("", markup=False)
        yield KeyLine()

    def body(self) -> ComposeResult:
        """The screen's own widgets."""
        yield from ()

    def show(self) -> None:
        """Draw what the book says now."""

    def subject_gone(self) -> bool:
        """Whether what this screen is about was taken back meanwhile."""
        return False

    def action_undo(self) -> None:
        self.desk.undo_last()

    def on_mount(self) -> None:
        # What is drawn in colours of its own is drawn anew with others.
        self.app.theme_changed_signal.subscribe(self, lambda _: self.draw_anew())
        self.refresh_all()

    def on_screen_resume(self) -> None:
        self.refresh_all()
        self._guide()

    def on_resize(self) -> None:
        self.set_class(self.size.width >= WIDE_COLUMNS, "wide")
        self.refresh_all()

    def refresh_all(self) -> None:
        if not self.is_mounted:
            return
        if self.subject_gone():
            if self.is_current:
                self.app.pop_screen()
            return
        words = self.desk.banner_words()
        drawn = (self.book, self.size, words, self.book_file.saved)
        if self._drawn is not None and drawn[0] is self._drawn[0] and drawn[1:] == self._drawn[1:]:
            return
        self._drawn = drawn
        self._guide()
        self.query_one(TopLine).tell(self.book_file)
        banner = self.query_one("#banner", Static)
        banner.update(one_line(words))
        banner.display = bool(words)
        self.show()

    def _guide(self) -> None:
        """What comes next in the guided walk, if somebody is on it."""
        tour = self.desk.tour
        if tour is not None:
            tour.look(self.book, self.form.screen)
        self.query_one(TourLine).tell(tour, self.desk.keys, typing=self.TYPING)

    def action_tour(self) -> None:
        """Leave the guided walk, or take it up again."""
        if self.desk.tour is not None:
            self.desk.tour.left = not self.desk.tour.left
            self._guide()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        if action == "tour":
            return self.desk.tour is not None
        return super().check_action(action, parameters)

    def draw_anew(self) -> None:
        """The same once more, though nothing of the book changed."""
        self._drawn = None
        self.refresh_all()

    def from_thread(self, then: Callable[..., None], *args: object) -> None:
        """Tell the screen what another thread found, unless it was left meanwhile."""

        def tell() -> None:
            # Off the stack its widgets go one by one; at the app's end they go with the screen still on it.
            if self.is_attached and self in self.app.screen_stack:
                then(*args)

        if self.app.is_running:
            self.app.call_from_thread(tell)

    def keep_drafts(self) -> None:
        """Bring what is being typed to the disk; called before the program ends."""

    def action_back(self) -> None:
        self.keep_drafts()
        if len(self.app.screen_stack) > 1:
            self.app.pop_screen()

    def action_help(self) -> None:
        told = self.desk.keys.fill(self.HELP_TEXT.strip(), typing=self.TYPING)
        self.desk.show_text(f"Help: {self.TITLE_WORDS}", help_lines(told, self.verbs_here()))

    def action_more(self) -> None:
        self.app.push_screen(MoreKeys(self.verbs_here(), self.desk.keys))

    def verbs_here(self) -> list[Offered]:
        """What can be done here now."""
        return offered(self.active_bindings, typing=self.TYPING)

    def ask_remove(self, what: str, then: Callable[[], object]) -> None:
        """Whether it is to go; undo brings it back."""
        if not self.may_write():
            return

        def answered(yes: str | None) -> None:
            if yes == "y":
                then()

        options = [Option("y", "y", "yes, remove it", f"{self.key('undo')} brings it back"), Option("n", "n", "no")]
        self.app.push_screen(PickOne(f"Remove {what}?", options, None), answered)
