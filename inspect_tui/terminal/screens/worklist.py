"""Worklist: what to do, in order, and why each stands where it does."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain import walk
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.words import TIER_WORDS, Tier, Treatment
from inspect_tui.judgement.action import CAUSE, Action
from inspect_tui.judgement.completion import asks_for_treatment, complete, not_ticked_off
from inspect_tui.judgement.working import rank_working
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.options import treatment_options


class WorklistScreen(BookScreen):
    CSS_PATH = "worklist.tcss"
    TITLE_WORDS = "the worklist"
    BINDINGS: ClassVar[list[Any]] = [
        Binding("enter", "go", "Go there", key_display="Enter", priority=True),
        Binding("d", "done", "Done"),
        Binding("y", "why", "Why"),
        Binding("z", "undo", "Undo"),
    ]
    HELP_TEXT = """
One line for each open finding, for each place not seen, and for what the boat as a whole needs.

The order: Now, Before afloat, This haul-out, Next haul-out, Watch. Within each: what must come first comes
first; then by risk, below the waterline first, severity, likelihood, the order of the work, bow to stern.

The third column is the step of the work: gut (take out what hides the metal), clean, measure, cause, decide,
hot work, tightness, coat, electrics, anodes, launch, watch; open and walk are places to be looked at.

Enter   goes to the finding, or to the place in the walk
d       this is done: who and when are kept, the finding moves on and its next action appears
y       the working: severity, likelihood, risk, rule and source
z       take back the last change
"""

    def body(self) -> ComposeResult:
        yield OptionList(id="list", compact=True)
        yield Static(id="detail", markup=False)

    def on_mount(self) -> None:
        self.query_one("#list", OptionList).focus()

    @property
    def action(self) -> Action | None:
        rows = self.query_one("#list", OptionList)
        if rows.highlighted is None:
            return None
        return self.desk.listed().by_key.get(rows.get_option_at_index(rows.highlighted).id or "")

    def show(self) -> None:
        rows = self.query_one("#list", OptionList)
        at = rows.highlighted or 0
        chosen = (rows.get_option_at_index(at).id or "") if rows.highlighted is not None else ""
        listed = self.desk.listed()
        options: list[ListOption] = []
        for tier in Tier:
            actions = listed.in_tier(tier)
            if not actions:
                continue
            options.append(ListOption(Text(f"{tier.value.upper()}  {TIER_WORDS[tier]}"), disabled=True))
            options += [ListOption(_line(action, self.size.width), id=action.key) for action in actions]
        rows.clear_options()
        rows.add_options(options)
        keys = [option.id for option in options]
        # A finding that moved on has a new key: the same one stays chosen.
        stem = chosen.rsplit("/", 1)[0] + "/" if chosen.startswith("finding/") else chosen
        same = next((key for key in keys if key and key.startswith(stem)), None) if chosen else None
        if same:
            rows.highlighted = keys.index(same)
        elif options:
            rows.highlighted = next((i for i in range(min(at, len(options) - 1), len(options)) if keys[i]), 1)
        self._show_detail()

    @on(OptionList.OptionHighlighted)
    def _highlighted(self) -> None:
        self._show_detail()

    def _show_detail(self) -> None:
        action = self.action
        detail = self.query_one("#detail", Static)
        if action is None:
            detail.update("Nothing is written down yet. Esc, then Enter: the walk.")
            return
        after = self.desk.listed().after_words(action, most=4)
        text = Text.assemble((f"{action.rank}. {one_line(action.what)}\n", "bold"))
        text.append(f"{one_line(action.where)}\n")
        text.append(f"{one_line(action.why)}\n")
        text.append(f"who: {action.who.value}")
        if after:
            text.append(f"   after: {one_line(after)}")
        detail.update(text)

    def action_go(self) -> None:
        action = self.action
        if action is None:
            return
        if action.chalk is not None:
            self.desk.go("finding", chalk=action.chalk)
        elif action.cures:
            self.desk.go("causes")
        elif action.compartment is not None:
            self.desk.go("walk", action.compartment.id, self._first_prompt(action))
        elif action.key.startswith("walk/"):
            first = action.key.removeprefix("walk/").split("+")[0]
            self.desk.go("walk", first, 0)
        else:
            self.action_why()

    def _first_prompt(self, action: Action) -> int:
        """The question a place action is about: the first unseen one, or the first not answered."""
        place = action.compartment
        assert place is not None
        prompts = walk.prompts_of(self.checklists, self.book.boat, place)
        if action.key.startswith("walk/"):
            return walk.first_open(self.book, self.checklists, place) or 0
        unseen = {prompt.key for prompt, _ in walk.progress(self.book, self.checklists, place).unseen}
        return next((index for index, prompt in enumerate(prompts) if prompt.key in unseen), 0)

    def action_why(self) -> None:
        if action := self.action:
            self.desk.show_text(f"Why no. {action.rank}", rank_working(action, self.desk.listed()))

    def action_done(self) -> None:
        action = self.action
        if action is None:
            return
        if self.book_file.read_only:
            self.notify(self.book_file.read_only, severity="warning", markup=False)
        elif refusal := not_ticked_off(self.book, action):
            self.notify(refusal, markup=False)
        elif asks_for_treatment(action):
            self.app.push_screen(
                PickOne("What was decided?", treatment_options(), None),
                lambda value: self._ask_note(action, Treatment(value)) if value else None,
            )
        else:
            self._ask_note(action, None)

    def _ask_note(self, action: Action, treatment: Treatment | None) -> None:
        def typed(note: str) -> bool:
            stamp = self.book_file.stamp()
            return self.desk.record(lambda: complete(self.book, stamp, action, note.strip(), treatment))

        after = self.desk.listed().after_words(action, most=3)
        still = f" Still open before it: {after}." if after else ""

        self.desk.ask_line(
            f"done/{action.key}",
            f"Done: {shortened(one_line(action.about), 70)}. {still} A word about it (may stay empty)",
            typed,
            needed="Write what the cause was: the repair hangs on it." if action.key == CAUSE else "",
        )


def _line(action: Action, width: int) -> Text:
    """Rank, chalk number, step of the work, place, finding: one line as wide as the screen."""
    chalk = f"{action.chalk:>3}" if action.chalk is not None else "  ·"
    step = action.key.split("/")[0] if action.key.startswith(("open/", "walk/")) else action.step.value
    text = Text(f"{action.rank:>3}  {action.tier.letter}  {chalk}  {step:<11}", no_wrap=True, overflow="ellipsis")
    if action.compartment is not None:
        text.append(f"{shortened(one_line(action.compartment.name), 24)}: ", "bold")
    text.append(one_line(action.about))
    text.truncate(max(width - 3, 20), overflow="ellipsis")
    return text
