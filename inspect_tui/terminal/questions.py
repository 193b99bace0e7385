"""Questions about the boat as a whole, asked over whatever screen is open."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from textual.app import App

from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.launch import Phase
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.trail import Form
from inspect_tui.domain.undoing import standing
from inspect_tui.domain.words import FloatState, Tier
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne, TypeLine
from inspect_tui.terminal.widgets.choice import Option

ROUND = Line(
    "Close this round and open the next: all questions are asked anew, findings stay. What is the new round for?",
    needed="Write a word or two (spring look, before buying): next year you will want to know.",
)


def ask_float_or_haul(screen: BookScreen) -> None:
    """Whether she was floated or hauled out today."""
    desk = screen.desk
    state = FloatState.HAULED_OUT if screen.book.boat.afloat else FloatState.AFLOAT
    today = desk.clock().date()

    def answered(yes: str | None) -> None:
        if yes == "y":
            from inspect_tui.domain import edits

            desk.record(lambda: edits.float_or_haul(desk.open_file.book, state, today, desk.clock()))

    options = [Option("y", "y", f"yes, {state.value} as of today, {today}"), Option("n", "n", "no")]
    barring = desk.judged.worklist.barring
    before = ""
    if state is FloatState.AFLOAT and barring:
        from inspect_tui.judgement.work.worklist import count_words

        told = count_words(desk.judged.worklist, Tier.BEFORE_AFLOAT)
        before = f" Still to do first: {told}. The first of them: {one_line(barring[0].headline)}."
    unsigned = sum(one.open and one.line.phase in (Phase.BEFORE, Phase.SLINGS) for one in desk.judged.launch)
    from inspect_tui.judgement.work.action import Task

    opened = [one for one in desk.judged.worklist.actions if one.task in (Task.CLOSE, Task.REFIT)]
    if state is FloatState.AFLOAT and opened:
        things = counted(len(opened), "thing")
        before += (
            f" {things} opened or taken out, not signed as closed or put back. First: {one_line(opened[0].what)}."
        )
    if state is FloatState.AFLOAT and unsigned:
        before += f" {counted(unsigned, 'line')} of the launch list not signed."
    screen.app.push_screen(PickOne(f"Is she {state.value} now?{before}", options, "n" if before else "y"), answered)


def ask_round(screen: BookScreen) -> None:
    """What a new round is for; the answer opens it."""
    desk = screen.desk

    def answered(purpose: str) -> None:
        from inspect_tui.domain import edits

        if desk.record(lambda: edits.open_round(desk.open_file.book, desk.open_file.stamp(), purpose.strip())) and (
            desk.judged.since
        ):
            # What was read before waits first: its mark is still on the metal.
            desk.go("since")

    desk.ask_line(Form("boat").line("round"), ROUND, answered)


def ask_writer(screen: BookScreen) -> None:
    """Who holds the pen from now on."""
    desk = screen.desk

    def typed(name: str | None) -> None:
        if name and name.strip():
            desk.write_as(name.strip())

    screen.app.push_screen(TypeLine("Who is writing from now on?", desk.by, needed="A name, please."), typed)


def ask_undo(app: App[None], book: Book, began: datetime, then: Callable[[], None]) -> None:
    """Take back the last change; one from before the program was started only after asking."""
    last = next((one for one in reversed(standing(book)) if one.undoes is None and not one.of_the_file), None)
    if last is None or last.when >= began:
        then()
        return

    def answered(yes: str | None) -> None:
        if yes == "y":
            then()

    options = [Option("n", "n", "no"), Option("y", "y", "yes; the trail lists all changes")]
    question = f"That was written on {last.when:%Y-%m-%d}, before you began: {one_line(last.words)}. Take it back?"
    app.push_screen(PickOne(question, options), answered)
