"""Half-written forms: finding one again, or throwing it away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from inspect_tui.domain import walk
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.trail import Draft
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.compartment import CompartmentScreen
from inspect_tui.terminal.screens.finding import FindingScreen
from inspect_tui.terminal.screens.measure import MeasureScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.particulars import ParticularsScreen
from inspect_tui.terminal.screens.walk import WalkScreen
from inspect_tui.terminal.widgets.choice import Option

if TYPE_CHECKING:
    from inspect_tui.terminal.app import InspectApp

LONGEST_SHOWN = 200


def offer_half_written(app: InspectApp) -> None:
    """List what is half-written; the one picked is opened or thrown away."""
    drafts = sorted(app.open_file.book.drafts.values(), key=lambda draft: draft.when)
    if not drafts:
        app.notify("Nothing is half-written.")
        return

    def picked(name: str | None) -> None:
        if name is not None:
            draft = app.open_file.book.drafts[name]
            options = [Option("open", "o", "open it"), Option("drop", "t", "throw it away")]
            app.push_screen(PickOne(_words(app, draft), options), lambda what: act(draft, what))

    def act(draft: Draft, what: str | None) -> None:
        if what == "drop":
            app.drop_draft(draft.id)
            app.redraw()
        elif what == "open":
            screen = _screen_of(app, draft.id)
            if screen is not None:
                app.push_screen(screen)
            else:
                app.show_text("Half-written", "\n".join(draft.fields.values()))

    rows = [
        Option(draft.id, str(number) if number < 10 else "", _words(app, draft))
        for number, draft in enumerate(drafts, 1)
    ]
    app.push_screen(PickOne("Half-written", rows), picked)


def _words(app: InspectApp, draft: Draft) -> str:
    kind, *rest = draft.id.split("/")
    places = app.open_file.book.compartments
    place = next((places[part].name for part in rest if part in places), "")
    typed = draft.fields.get("words") or draft.fields.get("values") or ""
    told = "  ".join(part for part in (kind, place, f"{draft.when:%Y-%m-%d %H:%M}", typed) if part)
    return shortened(one_line(told), LONGEST_SHOWN)


def _screen_of(app: InspectApp, name: str) -> BookScreen | None:
    """The form a draft belongs to, if what it is about is still there."""
    book = app.open_file.book
    match name.split("/"):
        case ["finding", "new", place, *prompt] if place in book.compartments:
            return FindingScreen(place, prompt="/".join(prompt) or None)
        case ["finding", chalk] if chalk in book.findings:
            return FindingScreen(chalk=int(chalk))
        case ["measure", place, chalk, *prompt] if place in book.compartments:
            number = int(chalk) if chalk in book.findings else None
            return MeasureScreen(place, prompt="/".join(prompt) or None, chalk=number)
        case ["words", place, *prompt] if place in book.compartments:
            asked = walk.prompts_of(app.checklists, book.boat, book.compartments[place])
            keys = [one.key for one in asked]
            return WalkScreen(place, keys.index("/".join(prompt))) if "/".join(prompt) in keys else None
        case ["note" | "reason", chalk, *_] if chalk in book.findings:
            return FindingScreen(chalk=int(chalk))
        case ["compartment", place] if place in book.compartments:
            return CompartmentScreen(place)
        case ["particulars"]:
            return ParticularsScreen()
        case _:
            return None
