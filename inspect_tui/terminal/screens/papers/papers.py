"""Papers: for whom and with what, how many pages, what is missing, writing them, and opening the folder."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from threading import Lock
from typing import Any, ClassVar

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static
from textual.worker import get_current_worker

from inspect_tui.domain.plain import counted, one_line, visible
from inspect_tui.errors import CannotSet, Damaged, HandoverError, Stopped
from inspect_tui.files import expanded
from inspect_tui.handover.moving import UNDER_WAY
from inspect_tui.handover.papers import FOR_ONE, FOR_SURVEYOR, FORMATS, Format, Pack, write_papers
from inspect_tui.handover.readiness import no_more_said, what_is_missing
from inspect_tui.handover.report import Contents, PartName, Reader
from inspect_tui.handover.writers.pdf import pages
from inspect_tui.store.money_file import load_money, money_path
from inspect_tui.store.photo_files import photo_folder
from inspect_tui.terminal.form_fields import Choose, FormField, Words
from inspect_tui.terminal.forms import FormScreen, in_form
from inspect_tui.terminal.screens.modals import PickMany
from inspect_tui.terminal.screens.walk.photos import show_outside
from inspect_tui.terminal.widgets.choice import Choice, Option

READERS: dict[str, tuple[Reader, ...]] = {
    "all": (),
    "buyer": (Reader.BUYER,),
    "surveyor": (Reader.SURVEYOR,),
    "welder": (Reader.WELDER,),
    "owner": (Reader.OWNER,),
    "insurer": (Reader.INSURER,),
}
WHICH: dict[str, tuple[Format, ...]] = {
    "all": FORMATS,
    "pdf": ("pdf",),
    "html": ("html",),
    "text": ("text",),
    "tables": ("csv", "json"),
}
BAR = 24


class PapersScreen(FormScreen):
    CSS_PATH = "papers.tcss"
    TITLE_WORDS = "the papers"
    KEEPS_DRAFTS = False
    BINDINGS: ClassVar[list[Any]] = [
        in_form("save", "keep", "Write", does="write the papers; again after a change", priority=True),
        in_form("view", "open_folder", "Folder", does="open the folder of the papers"),
        in_form("only", "parts", "Parts", does="only some parts, picked one by one", show=False),
        in_form("sheets", show=False),
    ]
    HELP_TEXT = """
Writes what is handed over. Choose for whom:

everything   all parts but the money, for whoever keeps the boat's papers
buyer        page one with the whole picture; the shell, what decides, every finding in a line, what was not seen
surveyor     page one, findings whole, thickness side by side, pits, causes, rules, the working of every number
welder       one sheet per job, each complete, to quote from
owner        page one, the plan with each trade's visits and what to buy, the list of work, and your own numbers
insurer      what the surveyor gets, with corrections and proof

PDF for printing and sending, one HTML file for any browser, plain text; for the surveyor also tables for a
spreadsheet; for 'everything' also the whole book as JSON. A proof file beside them lets anybody check later that they
came from this book: inspect-tui verify.

While they are being written, {back} stops the writing, and nothing is left behind. Single parts are picked under
{more}, and field sheets to fill in by hand are made and read back there. Writing changes nothing that the book says
of the boat; it notes only that papers were made.
"""

    def __init__(self) -> None:
        super().__init__()
        self._writing = False
        self._stop = False
        self._progress = (0.0, "")
        self._written: Path | None = None
        # Parts chosen by hand; None: those of the reader.
        self._parts: frozenset[PartName] | None = None
        self._counted: tuple[str, Contents, frozenset[PartName] | None] | None = None
        self._counting = Lock()

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)

    def form_fields(self) -> list[FormField]:
        readers = [
            Option("all", "e", "everything"),
            Option("buyer", "b", "buyer"),
            Option("surveyor", "s", "surveyor"),
            Option("welder", "w", "welder"),
            Option("owner", "o", "owner"),
            Option("insurer", "i", "insurer"),
        ]
        formats = [
            Option("all", "a", "all"),
            Option("pdf", "p", "PDF"),
            Option("html", "h", "HTML"),
            Option("text", "t", "text"),
            Option("tables", "c", "CSV and JSON"),
        ]
        photos = [
            Option("yes", "y", "yes"),
            Option("no", "n", "no"),
            Option("places", "w", "yes, and the position where each was taken"),
        ]
        return [
            Choose("readers", "For", options=readers),
            Choose("which", "Written as", options=formats),
            Choose("photos", "Photos", options=photos),
            Words("folder", "Folder"),
        ]

    def first_values(self) -> dict[str, object]:
        path = self.book_file.path
        folder = (self.desk.papers_beside or path.parent) / f"{path.stem} papers"
        return {"readers": "all", "which": "all", "photos": "yes", "folder": str(folder)}

    def below(self) -> ComposeResult:
        yield Static(id="written", markup=False)
        yield Static(id="missing", markup=False)

    def on_mount(self) -> None:
        self.set_interval(0.1, self._show_progress)

    def on_unmount(self) -> None:
        self._stop = True

    def show(self) -> None:
        headed = {
            "Earlier papers say this; the book no longer does. Write new ones for whoever has them:": no_more_said(
                self.desk.judged
            ),
            "Gaps and doubts in these papers:": what_is_missing(self.desk.judged),
        }
        lines: list[RenderableType] = []
        for head, told in headed.items():
            lines += [Text(head, "bold"), *(Padding(visible(one), (0, 0, 0, 2)) for one in told)] if told else []
        self.query_one("#missing", Static).update(Group(*lines))
        self.changed()

    def changed(self) -> None:
        if not self.query("#readers"):
            return
        _, contents, _ = asked = (self.book.said_until, self._contents(), self._parts)
        if self._counted == asked:
            return
        self._counted = asked
        self._head("counting pages …")
        self._count(contents)

    def _head(self, pages_words: str) -> None:
        photos = len({id for finding in self.book.findings.values() for id in finding.photos})
        chosen = f", {counted(len(self._parts), 'part')} chosen" if self._parts else ""
        told = f"The papers: {pages_words}{chosen}, {counted(photos, 'photo')}. {self.key('save')} writes them."
        self.query_one("#head", Static).update(told)

    def _contents(self) -> Contents:
        photos = self.text_of("photos")
        readers = READERS[self.text_of("readers")]
        shown, located = photos != "no", photos == "places"
        usual = Contents.for_readers(*readers) if readers else Contents()
        parts = self._parts or usual.parts
        money = usual.money or PartName.MONEY in parts
        return replace(usual, parts=parts, photos=shown, located=located, money=money)

    def action_parts(self) -> None:
        def picked(chosen: frozenset[str] | None) -> None:
            if chosen == frozenset():
                self.notify("At least one part must stay picked: nothing was changed.")
            elif chosen is not None:
                self._parts = frozenset(PartName(one) for one in chosen)
                self.changed()

        options = [Option(one.value, "", one.value) for one in PartName]
        ticked = frozenset(one.value for one in self._contents().parts)
        self.app.push_screen(PickMany("Which parts? The limits are always in.", options, ticked), picked)

    @on(Choice.Changed, "#readers")
    def _reader_changed(self) -> None:
        self._parts = None

    @work(thread=True, exclusive=True, group="count")
    def _count(self, contents: Contents) -> None:
        worker = get_current_worker()
        # One at a time: each is a process of some hundred megabytes.
        with self._counting:
            if worker.is_cancelled:
                return
            try:
                told = counted(pages(self.desk.judged, contents), "page")
            except (CannotSet, OSError) as error:
                told = f"pages not known ({error})"
        if not worker.is_cancelled:
            self.from_thread(self._head, told)

    def action_keep(self) -> None:
        # Writing papers changes nothing in the book: it is allowed read-only too.
        self.keep()

    def keep(self) -> bool:
        text = self.text_of("folder").strip()
        if not text:
            self.complain("folder", "Where to? Give a folder.")
        elif not self._writing:
            self.row_of("folder").complain("")
            self._writing, self._stop, self._progress = True, False, (0.0, "beginning")
            formats = WHICH[self.text_of("which")]
            if self.text_of("which") == "all":
                proved = {"surveyor": FOR_SURVEYOR, "insurer": FOR_SURVEYOR}
                formats = {"all": FORMATS, **proved}.get(self.text_of("readers"), FOR_ONE)
            folder = expanded(Path(text)).absolute()
            self.desk.remember(UNDER_WAY, str(folder))
            self._write(folder, formats, self._contents())
        return False

    @work(thread=True, exclusive=True, group="write")
    def _write(self, folder: Path, formats: tuple[Format, ...], contents: Contents) -> None:
        def progress(share: float, words: str) -> None:
            self._progress = (share, words)

        done: Pack | Stopped | str
        try:
            done = write_papers(
                self.desk.judged,
                folder,
                formats,
                contents,
                photos=photo_folder(self.book_file.path),
                money=load_money(money_path(self.book_file.path)) if contents.money else None,
                progress=progress,
                stop=lambda: self._stop,
            )
        except Stopped as error:
            done = error
        except Damaged as error:
            done = str(error)
        except (OSError, HandoverError) as error:
            reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
            done = f"{one_line(str(folder))[:80]} cannot be written to: {reason.rstrip('.')}."
        self.from_thread(self._done, folder, done)

    def _done(self, folder: Path, done: Pack | Stopped | str) -> None:
        """What came of the writing; a text says why it could not be."""
        self._writing = False
        self.desk.remember(UNDER_WAY, "")
        written = self.query_one("#written", Static)
        if isinstance(done, Stopped):
            written.update("Stopped: nothing was written.")
            return
        if isinstance(done, str):
            written.update("")
            self.complain("folder", done)
            return
        self._written = folder
        self.desk.lay(done.made(self.book_file.stamp()))
        names = ", ".join(path.name for path in done.files)
        lost = (
            f"\n{counted(len(done.troubles), 'photo')} could not be shown: {done.troubles[0]}"
            if done.troubles
            else ""
        )
        written.update(
            f"Written into {folder}: {names}{lost}\n"
            f"{self.key('view')} opens the folder, {self.key('save')} writes again."
        )

    def _show_progress(self) -> None:
        if self._writing:
            share, words = self._progress
            bar = "█" * round(share * BAR) + "·" * (BAR - round(share * BAR))
            told = "stopping …" if self._stop else f"{words}   {self.key('back')} stops it"
            self.query_one("#written", Static).update(f"{bar} {100 * share:3.0f} %  {told}")

    def action_back(self) -> None:
        if self._writing:
            self._stop = True
        else:
            super().action_back()

    def action_open_folder(self) -> None:
        show_outside(self, self._written or expanded(Path(self.text_of("folder"))))

    def action_sheets(self) -> None:
        self.desk.go("sheets")
