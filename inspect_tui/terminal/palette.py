"""The command palette, which may be closed while its commands are still being gathered."""

from __future__ import annotations

import contextlib
from typing import Any

from textual import work
from textual.app import App
from textual.command import CommandPalette
from textual.css.query import NoMatches


class Palette(CommandPalette):
    @work(exclusive=True, group="--textual-command-palette-gather-commands")
    async def _gather_commands(self, search_value: str) -> None:
        # Closed meanwhile, its list is gone: there is nothing to fill, and nothing is wrong.
        gather: Any = CommandPalette._gather_commands
        with contextlib.suppress(NoMatches):
            await gather.__wrapped__(self, search_value)


def open_palette(app: App[Any]) -> None:
    """Unless it is open."""
    if not Palette.is_open(app):
        app.push_screen(Palette(id="--command-palette"))
