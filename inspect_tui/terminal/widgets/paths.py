"""Typing the name of a file or folder, completed from what is on the disk."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from pathlib import Path

from textual.suggester import Suggester

from inspect_tui.files import expanded
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.screens.modals import TypeLine
from inspect_tui.terminal.widgets.field import Field

MOST_LOOKED_AT = 3000


class PathSuggester(Suggester):
    """Offers the first file or folder whose name goes on from what is typed; a relative name counts from `base`."""

    def __init__(self, base: Path) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._base = base

    async def get_suggestion(self, value: str) -> str | None:
        return completed(value, self._base)


def completed(typed: str, base: Path, *, whole: bool = True) -> str | None:
    """What is typed, gone on to the first name that fits, or if not `whole` as far as all that fit agree. A folder
    ends in a slash. None if nothing fits.

    Hidden names are offered only where a dot is typed.
    """
    if not typed:
        return None
    folder, _, start = typed.rpartition("/")
    place = base / expanded(Path(folder + "/")) if "/" in typed else base
    names: list[str] = []
    with contextlib.suppress(OSError, ValueError):
        for number, entry in enumerate(place.iterdir()):
            if number > MOST_LOOKED_AT:
                break
            if (
                entry.name.startswith(start)
                and entry.name != start
                and (start.startswith(".") or entry.name[0] != ".")
            ):
                names.append(entry.name + ("/" if entry.is_dir() else ""))
    if not names:
        return None
    found = min(names) if whole else _agreeing(names)
    return typed + found[len(start) :]


def _agreeing(names: list[str]) -> str:
    """The beginning that all names share."""
    first, last = min(names), max(names)
    return next((first[:at] for at, sign in enumerate(first) if at >= len(last) or last[at] != sign), first)


def path_typed(text: str, base: Path) -> Path:
    """The path that was typed; a relative one counts from `base`. Quotes from a dropped file are taken off."""
    bare = text.strip()
    if len(bare) > 1 and bare[0] == bare[-1] and bare[0] in "'\"":
        bare = bare[1:-1]
    return base / expanded(Path(bare.replace("\\ ", " ")))


class TypePath(TypeLine):
    """A line that takes the name of a file or folder: Tab, or the right arrow, completes it."""

    BINDINGS = [use("complete", show=False, priority=True)]

    def __init__(
        self, question: str, base: Path, value: str = "", *, kept: Callable[[str], None] | None = None
    ) -> None:
        super().__init__(
            question,
            value,
            needed="Type a name.",
            kept=kept,
            hint="Tab completes",
        )
        self._base = base

    def on_mount(self) -> None:
        self.query_one(Field).suggester = PathSuggester(self._base)

    def action_complete(self) -> None:
        field = self.query_one(Field)
        if (more := completed(field.value, self._base, whole=False)) is not None:
            field.value = more
            field.cursor_position = len(more)
