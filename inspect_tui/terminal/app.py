"""The app: holds the open book, is the one way to change it, and ends cleanly however it ends."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import os
import signal
import threading
import traceback
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

import platformdirs
from rich.text import Text
from textual.app import App, SystemCommand
from textual.binding import Binding
from textual.screen import Screen

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Edit, Put, undo
from inspect_tui.domain.checklists import Checklists
from inspect_tui.domain.errors import DomainError
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.words import FloatState, Tier
from inspect_tui.store.book_file import BookFile, Clock
from inspect_tui.store.errors import CannotStore, ReadOnly, StoreError
from inspect_tui.terminal.saving import ask_about_saving
from inspect_tui.terminal.screens import PALETTE, ScreenName, make_screen
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.boat import BoatScreen
from inspect_tui.terminal.screens.modals import PickOne, ReadText, TypeLine
from inspect_tui.terminal.themes import BILGE, SUNLIGHT
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.top_line import TopLine

if TYPE_CHECKING:
    from inspect_tui.judgement.worklist import Worklist

HANG_UP_PATIENCE_S = 3.0
HERE = Path(__file__).parent


class InspectApp(App[None]):
    """The terminal program over one book, or at the start of a new one."""

    TITLE = "inspect-tui"
    # A first screen's stylesheet is read with the app's own: one parsing less before it is seen.
    CSS_PATH: ClassVar[list[Any]] = [HERE / "app.tcss", HERE / "screens/boat.tcss", HERE / "screens/start.tcss"]
    ENABLE_COMMAND_PALETTE = True
    COMMAND_PALETTE_DISPLAY = "^p"
    NOTIFICATION_TIMEOUT = 4
    BINDINGS: ClassVar[list[Any]] = [
        Binding("ctrl+q", "quit", "Quit", show=False, priority=True),
        Binding("f5", "read_anew", "Read anew", show=False),
    ]

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
        self.book_file = book_file
        self.start_path = start_path
        self.papers_beside = papers_beside
        self.photos_from = photos_from or Path.home()
        self._remember = remember
        self._listed: tuple[Book, Worklist] | None = None
        self._restored_told = False
        self.register_theme(BILGE)
        self.register_theme(SUNLIGHT)
        self.theme = BILGE.name

    # --- beginning and end ------------------------------------------------------------------------

    def on_mount(self) -> None:
        self.call_after_refresh(_collect_from_now)
        self._listen_for_hang_up()
        if self.book_file is not None:
            self._greet(self.book_file)

    def get_default_screen(self) -> Screen[Any]:
        if self.book_file is not None:
            return BoatScreen()
        from inspect_tui.terminal.screens.start import StartScreen

        return StartScreen(self.start_path)

    def begin(self, book_file: BookFile) -> None:
        """Show the boat of a book that was just started."""
        self.book_file = book_file
        self.push_screen(BoatScreen())
        self._greet(book_file)

    def _greet(self, book_file: BookFile) -> None:
        self._remember("last-book", str(book_file.path))
        if book_file.book.unreadable:
            self.notify(
                f"{len(book_file.book.unreadable)} records could not be read; they are kept. See the trail (t).",
                severity="warning",
                timeout=15,
                markup=False,
            )

    def _listen_for_hang_up(self) -> None:
        loop = asyncio.get_running_loop()
        for name in ("SIGTERM", "SIGHUP"):
            number = getattr(signal, name, None)
            if number is not None and threading.current_thread() is threading.main_thread():
                with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                    loop.add_signal_handler(number, self.hang_up)

    def hang_up(self) -> None:
        """The line dropped or the system wants us gone: everything to the disk first, then out, whatever hangs."""
        threading.Thread(target=_leave_anyway, daemon=True).start()
        self.put_away()
        self.exit()

    def put_away(self) -> None:
        """Drafts and pending changes to the disk, and the lock let go."""
        with contextlib.suppress(Exception):
            self._keep_drafts()
        if self.book_file is not None:
            self.book_file.close()

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
                ask_about_saving(self, leaving=True)
        else:
            self.exit()

    def _fatal_error(self) -> None:
        """A fault in the program: the story goes to a file, one line to the screen. Saved data is safe already."""
        told = traceback.format_exc()
        with contextlib.suppress(Exception):
            self.put_away()
        line = "inspect-tui hit a fault of its own and stopped. What was answered is saved."
        try:
            folder = platformdirs.user_log_path("inspect-tui", ensure_exists=True)
            crash = folder / f"crash-{self.clock():%Y%m%d-%H%M%S}.txt"
            crash.write_text(told, encoding="utf-8")
            line += f" The details are in {crash}"
        except OSError:
            line += f" {told.strip().splitlines()[-1]}"
        self._exit_renderables.append(Text(line))
        self._close_messages_no_wait()

    # --- the open book ----------------------------------------------------------------------------

    @property
    def open_file(self) -> BookFile:
        assert self.book_file is not None
        return self.book_file

    def record(self, edit: Edit | Callable[[], Edit], *more: Put) -> bool:
        """Make one change, save it, redraw. A refusal is told in one sentence and changes nothing."""
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
        """Keep something on the desk (where the walk stands, a draft): saved, not part of the trail."""
        if not self.open_file.read_only:
            self.open_file.record(Edit("", (put,)))

    def keep_draft(self, form: str, fields: dict[str, str], chalk: int | None = None) -> None:
        stamp = self.open_file.stamp()
        self.lay(edits.keep_draft(stamp, form, fields, chalk).puts[0])
        self._redraw_top()

    def drop_draft(self, form: str) -> None:
        if form in self.open_file.book.drafts:
            self.lay(edits.drop_draft(form))

    def listed(self) -> Worklist:
        """The worklist of the book as it stands; worked out once for each state of the book."""
        book = self.open_file.book
        if self._listed is None or self._listed[0] is not book:
            from inspect_tui.judgement.worklist import worklist

            self._listed = (book, worklist(book, self.checklists))
        return self._listed[1]

    def notify(self, *args: Any, **settings: Any) -> None:
        """One message at a time: they must not pile up over what they are about."""
        self.clear_notifications()
        super().notify(*args, **settings)

    def redraw(self) -> None:
        if isinstance(self.screen, BookScreen):
            self.screen.refresh_all()

    def _redraw_top(self) -> None:
        for top in self.screen.query(TopLine):
            top.tell(self.open_file)

    def banner_words(self) -> str:
        """What must stay in sight: not saved, read only, restored."""
        opened = self.open_file
        if opened.trouble:
            return f"{opened.trouble.words} Ctrl+P, 'Saving': what can be done."
        if opened.read_only:
            return f"READ ONLY: {opened.read_only}"
        if opened.backup_trouble:
            return opened.backup_trouble
        if opened.restored and not self._restored_told:
            return f"{opened.restored.words(self.clock())} (Esc: read)"
        return ""

    def restored_was_read(self) -> bool:
        """Take the note about a restored book off the screen; False if there was none."""
        if self.open_file.restored and not self._restored_told:
            self._restored_told = True
            self.redraw()
            return True
        return False

    # --- actions that every screen offers ---------------------------------------------------------

    def undo_last(self) -> None:
        before = self.open_file.book
        if self.record(lambda: undo(before)):
            newest = max(self.open_file.book.trail.values(), key=lambda change: change.number)
            self.notify(newest.words, markup=False)

    def action_read_anew(self) -> None:
        if self.book_file is None or not self.book_file.read_only:
            return
        try:
            self.book_file.reload()
        except (StoreError, OSError) as error:
            self.notify(str(error), severity="error", markup=False)
        self.redraw()

    def show_text(self, title: str, text: str | list[tuple[str, str]]) -> None:
        self.push_screen(ReadText(title, text))

    def action_other_theme(self) -> None:
        self.theme = SUNLIGHT.name if self.theme == BILGE.name else BILGE.name

    def action_float_or_haul(self) -> None:
        state = FloatState.HAULED_OUT if self.open_file.book.boat.afloat else FloatState.AFLOAT
        today = self.clock().date()

        def answered(yes: str | None) -> None:
            if yes == "y":
                self.record(lambda: edits.float_or_haul(self.open_file.book, state, today))

        options = [Option("y", "y", f"yes, {state.value} since today, {today}"), Option("n", "n", "no")]
        barring = [one for one in self.listed().actions if one.tier in (Tier.NOW, Tier.BEFORE_AFLOAT)]
        before = ""
        if state is FloatState.AFLOAT and barring:
            first = barring[0]
            before = f" {len(barring)} lines of the list stand before it, the first: {one_line(first.about)}."
        self.push_screen(PickOne(f"Is she {state.value} now?{before}", options), answered)

    def action_new_round(self) -> None:
        def answered(purpose: str) -> None:
            self.record(lambda: edits.open_round(self.open_file.book, self.open_file.stamp(), purpose.strip()))

        self.ask_line(
            "round",
            "Close this round and open the next: all questions are asked anew, findings stay. What is it for?",
            answered,
            needed="Write a word or two (spring look, before buying): next year you will want to know.",
        )

    def write_as(self, name: str) -> None:
        """From now on this person holds the pen."""
        self.by = name
        self._remember("written-by", name)
        if self.book_file is not None:
            self.book_file.by = name

    def remember_photos_from(self, folder: Path) -> None:
        """Pictures are looked for there from now on."""
        self.photos_from = folder.resolve()
        self._remember("photos-from", str(self.photos_from))

    def action_writer(self) -> None:
        def typed(name: str | None) -> None:
            if name and name.strip():
                self.write_as(name.strip())

        self.push_screen(TypeLine("Who is writing from now on?", self.open_file.by, needed="A name, please."), typed)

    def action_saving(self) -> None:
        ask_about_saving(self, leaving=False)

    def ask_line(
        self,
        form: str,
        question: str,
        then: Callable[[str], object],
        *,
        value: str = "",
        needed: str = "",
        check: Callable[[str], str] = lambda _text: "",
    ) -> None:
        """Ask for one line. What is being typed is kept as a draft until the line is; Escape keeps the draft."""
        draft = self.open_file.book.drafts.get(form)

        def typed(text: str | None) -> None:
            if text is not None:
                # Refused, what was typed stays as a draft.
                if then(text) is False:
                    self.keep_draft(form, {"words": text.strip()})
                else:
                    self.drop_draft(form)
                self.redraw()

        self.push_screen(
            TypeLine(
                question,
                draft.fields.get("words", "") if draft else value,
                needed=needed,
                check=check,
                kept=lambda text: self.keep_draft(form, {"words": text}),
            ),
            typed,
        )

    def action_drafts(self) -> None:
        from inspect_tui.terminal.half_written import offer_half_written

        offer_half_written(self)

    def go(self, name: ScreenName, *args: Any, **settings: Any) -> None:
        """Show a screen over the open book."""
        self.push_screen(make_screen(name, *args, **settings))

    def action_go(self, name: ScreenName) -> None:
        """The same from the palette; if one of its kind is on top already, nothing happens."""
        screen = make_screen(name)
        if type(self.screen) is not type(screen):
            self.push_screen(screen)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        if self.book_file is not None and isinstance(screen, BookScreen):
            for title, told, name in PALETTE:
                yield SystemCommand(title, told, partial(self.action_go, name))
            yield from (
                SystemCommand("Carry on the walk", "Where you stopped", self.action_carry_on),
                SystemCommand("Take back the last change", "Undo", self.undo_last),
                SystemCommand("Afloat or hauled out", "Say that her state has changed", self.action_float_or_haul),
                SystemCommand("New round", "Ask everything anew; findings stay", self.action_new_round),
                SystemCommand("Who is writing", "The name beside each change", self.action_writer),
                SystemCommand("Half-written forms", "Open one, or throw it away", self.action_drafts),
                SystemCommand("Saving", "When, where; save a copy elsewhere", self.action_saving),
                SystemCommand("Help", "What this screen is for, and its keys", screen.action_help),
            )
        yield SystemCommand("Light or dark", "For sunlight, or for the bilge", self.action_other_theme)
        yield SystemCommand("Quit", "Everything is saved already", self.action_quit)

    def action_worklist(self) -> None:
        self.action_go("worklist")

    def action_carry_on(self) -> None:
        boat = next((screen for screen in self.screen_stack if isinstance(screen, BoatScreen)), None)
        if boat is not None:
            while self.screen is not boat:
                self.pop_screen()
            boat.action_carry_on()


def _collect_from_now() -> None:
    """What was made while collecting was off stays to the end: looking through it would be time lost too."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()


def _leave_anyway() -> None:
    threading.Event().wait(HANG_UP_PATIENCE_S)
    os._exit(1)
