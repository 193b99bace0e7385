"""Field sheets: print them for compartments, and read the filled-in table back with everything shown first."""

from __future__ import annotations

from pathlib import Path
from typing import Any, ClassVar

from rich.text import Text
from textual import work
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from inspect_tui.digests import read_regular
from inspect_tui.domain import walk
from inspect_tui.domain.book import Book, Stamp
from inspect_tui.domain.edits.sheets import kept_for, reserve_chalks
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.records import Compartment
from inspect_tui.errors import BadTable, CannotSet, DomainError, NotAllowed, Stopped
from inspect_tui.handover.sheets.field_import import Preview, read_table
from inspect_tui.handover.sheets.field_sheets import places_to_do, write_sheets
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.walk.photos import show_outside
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.paths import TypePath, path_typed

CHALKS_EACH = 6
ALL = "all"


class SheetsScreen(BookScreen):
    CSS_PATH = "sheets.tcss"
    TITLE_WORDS = "field sheets"
    BINDINGS: ClassVar[list[Any]] = [
        use("on", "accept", "Accept", does="write all good lines of the table, as one change"),
        use("save", "print", "Write", does="write sheets: a PDF to print, and a table to type them into"),
        use("take_in", "read", "Read in", does="read the filled-in table; it is shown before anything is written"),
        use("view", "open_folder", "Folder", does="open the folder of the sheets"),
    ]
    HELP_TEXT = """
For going in without a screen.

Writing makes a PDF to print, with the questions that are open, boxes, a chalk grid and room for readings; a table
(CSV) with the same columns to type them into; and a list of what each column takes. Six chalk numbers are kept for
each sheet: nobody else is given them.

Reading in shows every line that would be written, and every bad line with what is wrong with it. Bad lines are left
out: put them right in the table and read it again.
"""

    def __init__(self) -> None:
        super().__init__()
        self._preview: Preview | None = None
        self._data = b""
        self._message = ""
        self._folder: Path | None = None
        self._table: Path | None = None
        self._at_work = False
        self._stop = False

    def body(self) -> ComposeResult:
        yield Static(id="head", markup=False)
        with VerticalScroll(id="lines"):
            yield Static(id="told", markup=False)

    def on_mount(self) -> None:
        self.query_one("#lines").focus()

    def show(self) -> None:
        head, told = self.query_one("#head", Static), self.query_one("#told", Static)
        if self._preview is not None:
            good, bad = len(self._preview.good), len(self._preview.bad)
            head.update(
                f"{one_line(self._preview.name)}: {counted(good, 'line')} to write, {bad} not understood, "
                f"{self._preview.empty} left empty. {self.key('on') + ' writes the good ones.' if good else ''}"
            )
            text = Text()
            for one in self._preview.bad:
                text.append(f"line {one.line:>3}  NOT UNDERSTOOD  ", "bold reverse")
                text.append(f"{one_line(one.why)}\n")
            for line in self._preview.good:
                text.append(f"line {line.line:>3}  {one_line(line.words)}\n")
            told.update(text)
            return
        places = [place for place in self.book.bow_to_stern() if self._open(place)]
        head.update(
            f"Field sheets: {counted(len(places), 'compartment')} with open questions. "
            f"{self.key('save')} writes sheets, {self.key('take_in')} reads them in."
        )
        lines = [self._message] if self._message else []
        for place in places:
            numbers = ", ".join(map(str, kept_for(self.book, place.id)))
            done = walk.progress(self.book, self.checklists, place)
            kept = f"\n      chalk numbers kept: {numbers}" if numbers else ""
            lines.append(f"  {one_line(place.name):<34.34} {done.asked - done.answered:>3} open{kept}")
        told.update("\n".join(lines))

    def _open(self, place: Compartment) -> bool:
        return not walk.progress(self.book, self.checklists, place).complete

    def action_print(self) -> None:
        if not self.may_write():
            return
        here = self.book.here.compartment if self.book.here else ""
        options = [Option(ALL, "a", "all with open questions")]
        options += [Option(place.id, "", one_line(place.name)) for place in self.book.bow_to_stern()]
        self.app.push_screen(PickOne("Sheets for which compartment?", options, here or ALL), self._print)

    def _print(self, value: str | None) -> None:
        if value is None:
            return
        names = () if value == ALL else (self.book.compartments[value].name,)
        path = self.book_file.path
        folder = (self.desk.papers_beside or path.parent) / f"{path.stem} field sheets"
        try:
            places = places_to_do(self.book, self.checklists, names)
            edit = reserve_chalks(self.book, self.book_file.stamp(), places, CHALKS_EACH)
        except NotAllowed as error:
            self.notify(str(error), severity="warning", markup=False)
            return
        if edit.puts and not self.desk.record(edit):
            return
        self._busy(f"Writing {counted(len(places), 'sheet')} …   {self.key('back')} stops it\n")
        self._write_off_screen(self.book, places, folder)

    def _busy(self, told: str) -> None:
        self._preview, self._message, self._stop, self._at_work = None, told, False, True
        self.show()

    @work(thread=True, exclusive=True, group="table")
    def _write_off_screen(self, book: Book, places: list[Compartment], folder: Path) -> None:
        """Setting many sheets takes its time: the screen stays alive meanwhile."""
        done: list[Path] | str
        try:
            done = write_sheets(book, self.checklists, places, folder, stop=lambda: self._stop)
        except Stopped:
            done = "Stopped: nothing was written."
        except (OSError, CannotSet) as error:
            done = f"{folder} cannot be written to: {getattr(error, 'strerror', None) or error}."
        self.from_thread(self._were_written, folder, done)

    def _were_written(self, folder: Path, done: list[Path] | str) -> None:
        self._at_work = False
        if isinstance(done, str):
            self._message = f"{done}\n"
        else:
            self._folder = folder
            names = ", ".join(one.name for one in done)
            self._message = f"Written into {folder}: {names}. {self.key('view')} opens the folder.\n"
            self._table = next((one for one in done if one.suffix == ".csv"), None)
        self.show()
        self.query_one("#lines").scroll_home(animate=False)

    def action_read(self) -> None:
        if not self.may_write():
            return
        path = self.book_file.path
        base = self._folder or (self.desk.papers_beside or path.parent)

        def typed(text: str | None) -> None:
            if text is not None:
                self._read(path_typed(text, base))

        value = self._table.name if self._table else ""
        self.app.push_screen(TypePath(f"The filled-in table (from {base})", base, value), typed)

    def _read(self, path: Path) -> None:
        self._busy(f"Reading {one_line(path.name)} …   {self.key('back')} stops it\n")
        self._read_off_screen(path, self.book, self.book_file.stamp())

    @work(thread=True, exclusive=True, group="table")
    def _read_off_screen(self, path: Path, book: Book, stamp: Stamp) -> None:
        """A long table takes its time: the screen stays alive meanwhile."""
        done: tuple[bytes, Preview] | str
        try:
            data = read_regular(path.resolve())
            done = data, read_table(book, self.checklists, stamp, data, path.name, stop=lambda: self._stop)
        except BadTable as error:
            done = str(error)
        except Stopped:
            done = "Stopped: nothing was read."
        except (OSError, ValueError) as error:
            done = f"{path} cannot be read: {getattr(error, 'strerror', None) or error}."
        self.from_thread(self._was_read, path, done)

    def _was_read(self, path: Path, done: tuple[bytes, Preview] | str) -> None:
        self._at_work, self._message = False, ""
        if isinstance(done, str):
            self.notify(done, severity="warning", timeout=10, markup=False)
        else:
            (self._data, self._preview), self._table = done, path
        self.show()

    def action_accept(self) -> None:
        if self._preview is None or not self._preview.good or not self.may_write():
            return
        stamp = self.book_file.stamp()
        try:
            # The book may have moved on since the preview: what is written is what fits it now.
            preview = read_table(self.book, self.checklists, stamp, self._data, self._preview.name)
            edit = preview.edit(self.book)
        except (BadTable, DomainError) as error:
            self.notify(str(error), severity="warning", markup=False)
            return
        self._preview = None
        left = f"{counted(len(preview.bad), 'line')} left out. " if preview.bad else ""
        written = f"Written: {counted(len(preview.good), 'line')} from {one_line(preview.name)}. "
        self._message = f"{written}{left}{self.key('undo')} takes it back.\n"
        if self.desk.record(edit):
            self.notify(self._message.strip(), markup=False)
        self.show()
        self.query_one("#lines").scroll_home(animate=False)

    def action_undo(self) -> None:
        self._message = ""
        super().action_undo()
        self.show()

    def action_back(self) -> None:
        if self._at_work:
            self._stop = True
        elif self._preview is not None:
            self._preview = None
            self.show()
        else:
            super().action_back()

    def action_open_folder(self) -> None:
        if self._folder:
            show_outside(self, self._folder)
