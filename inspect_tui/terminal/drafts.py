"""Half-written forms: finding one again, or throwing it away."""

from __future__ import annotations

from collections.abc import Callable
from inspect import signature
from typing import Any

from textual.app import App

from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.trail import Draft, Form
from inspect_tui.terminal.desk import Desk, Line
from inspect_tui.terminal.names import SUBJECTS
from inspect_tui.terminal.opening import make_screen
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne, TypeLine
from inspect_tui.terminal.widgets.choice import Option

LONGEST_SHOWN = 200


def offer_half_written(screen: BookScreen) -> None:
    """List what is half-written; the one picked is opened or thrown away."""
    drafts = sorted(screen.book.drafts.values(), key=lambda draft: draft.when)
    if not drafts:
        screen.notify("Nothing is half-written.")
        return

    def picked(key: str | None) -> None:
        if key is not None:
            draft = screen.book.drafts[key]
            options = [Option("open", "o", "open it"), Option("drop", "t", "throw it away")]
            screen.app.push_screen(PickOne(_words(screen, draft), options), lambda what: act(draft, what))

    def act(draft: Draft, what: str | None) -> None:
        if what == "drop":
            screen.desk.drop_draft(draft.form)
            screen.refresh_all()
        elif what == "open":
            open_again(screen, draft)

    rows = [
        Option(draft.id, str(number) if number < 10 else "", _words(screen, draft))
        for number, draft in enumerate(drafts, 1)
    ]
    screen.app.push_screen(PickOne("Half-written", rows), picked)


def open_again(screen: BookScreen, draft: Draft) -> None:
    """The form, or the line over its screen, as it was; its words alone where what it is about is gone."""
    opened = _standing(screen, draft) or _made(draft)
    if opened is None:
        screen.desk.show_text("Half-written", "\n".join(draft.fields.values()))
        return
    if not opened.is_attached:
        screen.app.push_screen(opened)
    if draft.asked:
        opened.call_after_refresh(_ask, opened, draft)


def ask_line(app: App[Any], desk: Desk, form: Form, line: Line, then: Callable[[str], object]) -> None:
    """One line to be typed; what is half-written of it is kept, and what is refused too."""
    draft = desk.open_file.book.drafts.get(form.key)

    def typed(text: str | None) -> None:
        if text is not None:
            if then(text) is False:
                desk.keep_draft(form, {"words": text.strip()})
            else:
                desk.drop_draft(form)
            desk.redraw()

    app.push_screen(
        TypeLine(
            line.question,
            draft.fields.get("words", "") if draft else line.value,
            needed=line.needed,
            check=line.check,
            kept=lambda text: desk.keep_draft(form, {"words": text}),
        ),
        typed,
    )


def _ask(screen: BookScreen, draft: Draft) -> None:
    ask = getattr(screen, f"ask_{draft.asked}")
    try:
        signature(ask).bind(**draft.about)
    except TypeError:
        # An older program did not keep all that it was about.
        screen.desk.show_text("Half-written", "\n".join(draft.fields.values()))
        return
    ask(**draft.about)


def _standing(screen: BookScreen, draft: Draft) -> BookScreen | None:
    """The screen of a draft if it is open already; what lies over it is closed."""
    form = Form(draft.screen, draft.arguments)
    stack = [one for one in screen.app.screen_stack if isinstance(one, BookScreen)]
    found = next((one for one in stack if one.form == form), None)
    while found is not None and screen.app.screen is not found:
        if isinstance(screen.app.screen, BookScreen):
            screen.app.screen.keep_drafts()
        screen.app.pop_screen()
    return found


def _made(draft: Draft) -> BookScreen | None:
    name = next((name for name in SUBJECTS if name == draft.screen), None)
    if name is None:
        return None
    try:
        made = make_screen(name, **draft.arguments)
    except TypeError:
        return None
    return None if made.subject_gone() else made


def _words(screen: BookScreen, draft: Draft) -> str:
    place = draft.arguments.get("compartment", "")
    where = screen.place_name(str(place)) if place else ""
    chalk = f"no. {draft.arguments['chalk']}" if "chalk" in draft.arguments else ""
    typed = draft.fields.get("words") or draft.fields.get("values") or ""
    kind = draft.asked or draft.screen
    told = "  ".join(part for part in (kind, where, chalk, f"{draft.when:%Y-%m-%d %H:%M}", typed) if part)
    return shortened(one_line(told), LONGEST_SHOWN)
