"""The command palette, which may be closed while its commands are still being gathered."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from functools import partial
from typing import Any

from textual import work
from textual.app import App, SystemCommand
from textual.command import CommandPalette
from textual.css.query import NoMatches
from textual.screen import Screen

from inspect_tui.terminal.keys import Purpose
from inspect_tui.terminal.names import PALETTE
from inspect_tui.terminal.questions import ask_float_or_haul, ask_round, ask_writer
from inspect_tui.terminal.screens.base import BookScreen


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


def commands(app: App[Any], screen: Screen[Any]) -> Iterable[SystemCommand]:
    """What the palette finds: every screen, what is asked of the whole boat, and what can be done on this screen."""
    if isinstance(screen, BookScreen):
        listed = [
            SystemCommand(title, told, partial(app.run_action, f"app.go({name!r})")) for title, told, name in PALETTE
        ]
        listed += [
            SystemCommand("Carry on with the walk", "Where you stopped", partial(app.run_action, "app.carry_on")),
            SystemCommand("Undo", "Take back the last change", screen.action_undo),
            SystemCommand(
                "Afloat or hauled out", "Say that her state has changed", partial(ask_float_or_haul, screen)
            ),
            SystemCommand("New round", "Ask everything anew; findings stay", partial(ask_round, screen)),
            SystemCommand("Who is writing", "The name beside each change", partial(ask_writer, screen)),
            SystemCommand("Half-written forms", "Open one, or throw it away", partial(app.run_action, "app.drafts")),
            SystemCommand("Saving", "When, where; save a copy elsewhere", partial(app.run_action, "app.saving")),
            SystemCommand("Help", "What this screen is for, and its keys", screen.action_help),
        ]
        titles = {one.title for one in listed}
        yield from listed
        for one in screen.verbs_here():
            if one.label not in titles and one.verb.purpose is not Purpose.MOVE:
                yield SystemCommand(one.label, one.does, partial(app.run_action, one.action, one.of))
    yield SystemCommand("Light or dark", "For sunlight, or for the bilge", partial(app.run_action, "app.other_theme"))
    yield SystemCommand("Quit", "Everything is saved already", partial(app.run_action, "app.quit"))
