"""The app: holds the open book, is the one way to change it, and ends cleanly however it ends."""

from __future__ import annotations

import contextlib
import gc
from collections.abc import Callable, Iterable
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from rich.text import Text
from textual.app import SystemCommand
from textual.screen import Screen

from inspect_tui.domain.book import Edit, Put
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.plain import counted, visible
from inspect_tui.domain.trail import Argument, Form
from inspect_tui.domain.undoing import undo
from inspect_tui.errors import CannotStore, DomainError, ReadOnly, StoreError
from inspect_tui.store.book_file import BookFile, Clock
from inspect_tui.terminal.desk import Line, Sitting
from inspect_tui.terminal.drafts import ask_line, offer_half_written
from inspect_tui.terminal.in_turn import KeysInTurn
from inspect_tui.terminal.keys import KeyMap, use
from inspect_tui.terminal.leaving import keep_crash, leave_anyway_soon, listen_for_hang_up, rescue
from inspect_tui.terminal.names import ScreenName
from inspect_tui.terminal.opening import make_screen
from inspect_tui.terminal.palette import commands, open_palette
from inspect_tui.terminal.questions import ask_undo
from inspect_tui.terminal.saving import ask_about_saving
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.boat.boat import BoatScreen
from inspect_tui.terminal.screens.modals import PickOne, ReadText, TypeLine
from inspect_tui.terminal.themes import BILGE, SUNLIGHT, register_themes, use_what_is_there
from inspect_tui.terminal.widgets.top_line import TopLine
from inspect_tui.terminal.widgets.tour import Tour

if TYPE_CHECKING:
    from inspect_tui.judgement.judged import Judged
    from inspect_tui.judgement.work.plan import Means

HERE = Path(__file__).parent
# What is due is held against the clock again after this long.
STALE_AFTER = timedelta(minutes=10)


class InspectApp(KeysInTurn):
    """The terminal program over one book, or at the start of a new one. To screens it is a `Desk`."""

    TITLE = "inspect-tui"
    # A first screen's stylesheet is read with the app's own: one parsing less before it is seen.
    CSS_PATH: ClassVar[list[Any]] = [
        HERE / "app.tcss",
        HERE / "screens/boat/boat.tcss",
        HERE / "screens/boat/start.tcss",
    ]
    ENABLE_COMMAND_PALETTE = True
    COMMAND_PALETTE_DISPLAY = "^p"
    NOTIFICATION_TIMEOUT = 4
    BINDINGS: ClassVar[list[Any]] = [
        use("quit", typing=True, show=False, priority=True),
        use("read_anew", show=False),
        use("theme", "other_theme", show=False),
        use("palette", "command_palette", show=False, priority=True),
    ]
    action_command_palette = open_palette

    def __init__(
        self,
        checklists: Checklists,
        clock: Clock,
        by: str,
        *,
        book_file: BookFile | None = None,
        start_path: Path | None = None,
        papers_beside: Path | None = None,
        photos_from: Path | None = None,
        remember: Callable[[str, str], None] = lambda _name, _value: None,
    ) -> None:
        super().__init__()
        self.checklists = checklists
        self.clock = clock
        self.by = by
        self.keys = KeyMap()
        self.tour: Tour | None = None
        self.set_keymap(self.keys.textual())
        self.book_file = book_file
        self.start_path = start_path
        self.note = ""
        self.papers_beside = papers_beside
        self.means: Means | None = None
        self.photos_from = photos_from or Path.home()
        self.remember = remember
        self._judged: Judged | None = None
        self.sitting = Sitting()
        self.began = clock()
        self._restored_told = False
        self._put_away = False
        self._unsaved = ""
        register_themes(self)

    def use_keys(self, keys: KeyMap) -> None:
        """The owner's keys in the place of ours."""
        self.keys = keys
        self.set_keymap(keys.textual())

    # --- beginning and end ------------------------------------------------------------------------

    def on_mount(self) -> None:
        use_what_is_there(self)
        self.call_after_refresh(_collect_from_now)
        listen_for_hang_up(self.hang_up)
        if self.book_file is not None:
            self._greet(self.book_file)
        note = self.note if self.book_file is not None else ""
        if told := "\n".join(one for one in (note, *self.keys.troubles) if one):
            self.notify(told, severity="warning", timeout=15, markup=False)

    def get_default_screen(self) -> Screen[Any]:
        if self.book_file is not None:
            return make_screen("boat")
        from inspect_tui.terminal.screens.boat.start import StartScreen

        return StartScreen(self.start_path, self.note)

    def begin(self, book_file: BookFile) -> None:
        self.book_file = book_file
        self.push_screen(make_screen("boat"))
        self._greet(book_file)
        self.action_carry_on()

    def _greet(self, book_file: BookFile) -> None:
        self.remember("last-book", str(book_file.path))
        if unread := len(book_file.book.unreadable):
            self.notify(
                f"{counted(unread, 'record')} could not be read; nothing was thrown away: see the trail "
                f"({self.keys.shown('trail')}).",
                severity="warning",
                timeout=15,
                markup=False,
            )

    def hang_up(self) -> None:
        """The line dropped or the system wants us gone: everything to the disk first, then out, whatever hangs."""
        leave_anyway_soon()
        self.leave()

    def leave(self) -> None:
        """Out, with a word and a code of failure if not everything could be saved."""
        self.put_away()
        self.exit(
            return_code=1 if self._unsaved else 0, message=Text(visible(self._unsaved)) if self._unsaved else None
        )

    def put_away(self) -> None:
        """Drafts and pending changes to the disk, into a copy elsewhere if they must, and the lock let go. Once."""
        if self._put_away:
            return
        self._put_away = True
        with contextlib.suppress(Exception):
            self._keep_drafts()
        if self.book_file is not None:
            self.book_file.close()
            self._unsaved = rescue(self.book_file, self.remember)

    def _keep_drafts(self) -> None:
        for screen in self.screen_stack:
            if isinstance(screen, BookScreen | TypeLine):
                screen.keep_drafts()

    def on_unmount(self) -> None:
        self.put_away()

    async def action_quit(self) -> None:
        """Leave; if the last save failed, ask first."""
        if self.book_file is not None:
            self._keep_drafts()
            self.book_file.save()
        if self.book_file is not None and self.book_file.trouble:
            if not isinstance(self.screen, PickOne):
                ask_about_saving(self, self.book_file, self.redraw, leave=self.leave)
        else:
            self.leave()

    def _fatal_error(self) -> None:
        """A fault in the program: the story goes to a file, one line to the screen. Saved data is safe already."""
        with contextlib.suppress(Exception):
            self.put_away()
        self._exit_renderables.append(Text(visible(keep_crash(self.clock(), self._unsaved))))
        self._return_code = 1
        self._close_messages_no_wait()

    # --- the open book ----------------------------------------------------------------------------

    @property
    def open_file(self) -> BookFile:
        assert self.book_file is not None
        return self.book_file

    @property
    def judged(self) -> Judged:
        book = self.open_file.book
        if self._judged is None or self._judged.book is not book or self.clock() - self._judged.now > STALE_AFTER:
            from inspect_tui.judgement.judged import Judged

            self._judged = Judged(book, self.checklists, self.clock())
        return self._judged

    def record(self, edit: Edit | Callable[[], Edit], *more: Put) -> bool:
        self.clear_notifications()
        try:
            made = edit() if callable(edit) else edit
            self.open_file.record(Edit(made.words, (*made.puts, *more), made.undoes))
        except (DomainError, ReadOnly, CannotStore) as error:
            self.notify(str(error), severity="warning", markup=False)
            return False
        self.redraw()
        return True

    def lay(self, put: Put) -> None:
        if not self.open_file.read_only:
            self.open_file.record(Edit("", (put,)))

    def keep_draft(self, form: Form, fields: dict[str, str], chalk: int | None = None) -> None:
        from inspect_tui.domain import edits

        self.lay(edits.keep_draft(self.open_file.stamp(), form, fields, chalk))
        for top in self.screen.query(TopLine):
            top.tell(self.open_file)

    def drop_draft(self, form: Form) -> None:
        if form.key in self.open_file.book.drafts:
            from inspect_tui.domain import edits

            self.lay(edits.drop_draft(form))

    def notify(self, message: str, **settings: Any) -> None:
        """One message at a time: they must not pile up over what they are about."""
        self.clear_notifications()
        super().notify(visible(message), **settings)

    def redraw(self) -> None:
        if isinstance(screen := self.screen, BookScreen):
            screen.refresh_all()

    def banner_words(self) -> str:
        opened = self.open_file
        if opened.trouble:
            return f"{opened.trouble.words} {self.keys.shown('palette')}, 'Saving': what can be done."
        if opened.read_only:
            return f"READ ONLY: {opened.read_only} {self.keys.shown('read_anew')} reads it again."
        if opened.backup_trouble:
            return opened.backup_trouble
        if opened.restored and not self._restored_told:
            return f"{opened.restored.words(self.clock())} ({self.keys.shown('back')} clears this)"
        return ""

    def restored_was_read(self) -> bool:
        if self.open_file.restored and not self._restored_told:
            self._restored_told = True
            self.redraw()
            return True
        return False

    def undo_last(self) -> None:
        ask_undo(self, self.open_file.book, self.began, self.take_back)

    def take_back(self) -> None:
        before = self.open_file.book
        if self.record(lambda: undo(before)):
            newest = self.open_file.book.trail[self.open_file.book.newest("trail")]
            self.notify(newest.words, markup=False)

    def write_as(self, name: str) -> None:
        self.by = name
        self.remember("written-by", name)
        if self.book_file is not None:
            self.book_file.by = name

    def remember_photos_from(self, folder: Path) -> None:
        self.photos_from = folder.resolve()
        self.remember("photos-from", str(self.photos_from))

    # --- going, showing, asking -------------------------------------------------------------------

    def go(self, name: ScreenName, **arguments: Argument | None) -> None:
        self.push_screen(make_screen(name, **arguments))

    def show_text(self, title: str, text: str | list[tuple[str, str]]) -> None:
        self.push_screen(ReadText(title, text))

    def ask_line(self, form: Form, line: Line, then: Callable[[str], object]) -> None:
        ask_line(self, self, form, line, then)

    # --- actions that every screen offers ---------------------------------------------------------

    def action_go(self, name: ScreenName) -> None:
        """A screen by its name; if it is on top already, nothing happens."""
        if not (isinstance(self.screen, BookScreen) and self.screen.form.screen == name):
            self.go(name)

    def action_read_anew(self) -> None:
        if self.book_file is None or not self.book_file.read_only:
            return
        try:
            self.book_file.reload()
        except (StoreError, OSError) as error:
            self.notify(str(error), severity="error", markup=False)
        self.redraw()

    def action_other_theme(self) -> None:
        self.theme = BILGE.name if self.theme == SUNLIGHT.name else SUNLIGHT.name

    def action_drafts(self) -> None:
        if isinstance(self.screen, BookScreen):
            offer_half_written(self.screen)

    def action_saving(self) -> None:
        ask_about_saving(self, self.open_file, self.redraw)

    def action_carry_on(self) -> None:
        boat = next((screen for screen in self.screen_stack if isinstance(screen, BoatScreen)), None)
        if boat is not None:
            while self.screen is not boat:
                self.pop_screen()
            boat.action_carry_on()

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        return commands(self, screen)


def _collect_from_now() -> None:
    """What was made while collecting was off stays to the end: looking through it would be time lost too."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()
