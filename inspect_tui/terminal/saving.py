"""When a save has failed, or a copy is wanted elsewhere: what can be done, as a question."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from textual.app import App

from inspect_tui.files import expanded, is_there
from inspect_tui.store.book_file import BookFile
from inspect_tui.terminal.screens.modals import PickOne, TypeLine
from inspect_tui.terminal.widgets.choice import Option


def ask_about_saving(
    app: App[Any], opened: BookFile, redraw: Callable[[], None], *, leave: Callable[[], object] | None = None
) -> None:
    """What to do about a save that failed, or about a copy elsewhere. `leave`: how to end, if that was asked for."""
    options = [Option("copy", "c", "save a copy elsewhere", "the book as it stands here, under another file name")]
    if opened.trouble:
        options.insert(0, Option("again", "a", "try again", "into the same file"))
    if opened.trouble and opened.trouble.changed_elsewhere:
        other = "what another program wrote goes to the backups" if is_there(opened.path) else "write it there again"
        options.append(Option("over", "o", "keep what is here", other))
    if leave:
        options.append(Option("leave", "l", "leave", "after saving a copy elsewhere"))
    title = opened.trouble.words if opened.trouble else f"Saved at {opened.saved} in {opened.path}"

    def picked(what: str | None) -> None:
        match what:
            case "again":
                opened.save()
            case "over":
                opened.save_over_other()
            case "copy":
                _ask_for_copy(app, opened)
                return
            case "leave" if leave:
                leave()
                return
            case _:
                return
        redraw()
        if leave and not opened.trouble:
            leave()

    app.push_screen(PickOne(title, options), picked)


def _ask_for_copy(app: App[Any], opened: BookFile) -> None:
    suggested = opened.path.with_name(f"{opened.path.stem}-copy{opened.path.suffix}")

    def typed(text: str | None) -> None:
        if not text:
            return
        try:
            path = opened.save_copy(expanded(Path(text)))
        except OSError as error:
            app.notify(str(error), severity="error", markup=False)
        else:
            app.notify(f"A copy is in {path}", markup=False)

    app.push_screen(TypeLine("Save a copy as", str(suggested)), typed)
