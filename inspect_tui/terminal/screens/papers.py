"""Papers: what is handed over, what is still missing from it, and writing it."""

from __future__ import annotations

from pathlib import Path
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from inspect_tui.domain import walk
from inspect_tui.domain.plain import one_line
from inspect_tui.handover.papers import FORMATS, Format, write_papers
from inspect_tui.terminal.screens.form import FormScreen
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Row, field_row

WHICH: dict[str, tuple[Format, ...]] = {"both": FORMATS, "html": ("html",), "text": ("text",)}


class PapersScreen(FormScreen):
    CSS_PATH = "papers.tcss"
    TITLE_WORDS = "the papers"
    BINDINGS: ClassVar[list[Any]] = [Binding("f2,ctrl+s", "keep", "Write", key_display="F2", priority=True)]
    HELP_TEXT = """
Writes the summary: the boat, what to do first and why, every finding with its place and readings, what was seen
and what was not and why, cautions, and the limits of the inspection.

The HTML file opens in any browser without a network and prints well; the text file opens anywhere.
Writing changes nothing in the book, and can be repeated at any time. F2, or Enter in the last field, writes.
"""

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)

    def rows(self) -> list[Row]:
        path = self.book_file.path
        folder = (self.desk.papers_beside or path.parent) / f"{path.stem} papers"
        options = [Option("both", "b", "both"), Option("html", "h", "html only"), Option("text", "t", "text only")]
        return [
            Row("What", Choice(options, "both", id="which")),
            field_row("Folder", "folder", str(folder)),
        ]

    def below(self) -> ComposeResult:
        yield Static(id="written", markup=False)
        yield Static(id="missing", markup=False)

    def first_field(self) -> str:
        return "folder"

    def show(self) -> None:
        book = self.book
        self.query_one("#head", Static).update("The summary to hand over. F2 writes it.")
        places = [walk.progress(book, self.checklists, place) for place in book.bow_to_stern()]
        unplaced = [str(one.chalk) for one in book.findings.values() if not walk.position_words(one.position)]
        again = [str(one.chalk) for one in walk.waiting_for_measuring(book)]
        own = [str(one.chalk) for one in book.findings.values() if one.override]
        shares = sum(done.seen_percent is None for done in places)
        lines = []
        loose = sum(reading.finding is None for reading in book.readings.values())
        if loose:
            lines.append(f"readings that belong to no finding: {loose}")
        wordless = [str(one.chalk) for one in book.findings.values() if not one.words]
        if wordless:
            lines.append(f"findings without words: no. {', '.join(wordless)}")
        if unplaced:
            lines.append(f"findings without a position: no. {', '.join(unplaced)}")
        if again:
            lines.append(f"findings to be measured again: no. {', '.join(again)}")
        if own:
            lines.append(f"findings with your own decision: no. {', '.join(own)}")
        if shares:
            lines.append(f"compartments where the share of metal seen is not written down: {shares} of {len(places)}")
        open_ = sum(done.asked - done.answered for done in places)
        if open_:
            lines.append(f"questions not answered in this round: {open_}")
        told = "What a reader will miss:\n" + "\n".join(f"  {line}" for line in lines) if lines else ""
        self.query_one("#missing", Static).update(told)

    def action_keep(self) -> None:
        # Writing papers changes nothing in the book: it is allowed read-only too.
        self.keep()

    def keep(self) -> bool:
        text = self.text_of("folder").strip()
        if not text:
            self.complain("folder", "Where to? Give a folder.")
            return False
        folder = Path(text).expanduser()
        try:
            written = write_papers(self.book, self.checklists, folder, WHICH[self.text_of("which")])
        except (OSError, ValueError) as error:
            reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
            self.complain("folder", f"{one_line(text)[:80]} cannot be written: {reason}.")
            return False
        self.row_of("folder").complain("")
        self.query_one("#written", Static).update("Written:\n" + "\n".join(f"  {path}" for path in written))
        return False
