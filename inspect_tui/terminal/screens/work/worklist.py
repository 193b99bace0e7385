"""Worklist: what to do, in order, and why each stands where it does; beside it what is still to be looked at."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, ClassVar

from rich.console import RenderableType
from rich.text import Text

from inspect_tui.domain import walk
from inspect_tui.domain.knowledge.named import Cautions
from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.domain.words import TIER_WORDS, Step, Tier, Who
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.completion import not_ticked_off
from inspect_tui.judgement.work.plan import hours_of, hours_words
from inspect_tui.judgement.work.rank_working import rank_working
from inspect_tui.judgement.work.worklist import Job, count_words, done_this_round
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.widgets.choice import Option

ALL = "all"
# Cells of a job's line for its places, and for whose it is.
AT_CELLS, AT_CELLS_NARROW, WHO_CELLS = 19, 12, 11
# Cells of a line that has room for whole names of places.
WIDE_LINE = 70
# The order in which the list is narrowed by what has one; so many choices get a digit.
ORDERED = {
    "tier": [one.value for one in Tier],
    "who": [one.value for one in Who],
    "step": [one.value for one in Step],
}
MOST_NUMBERED = 9


class WorklistScreen(ListScreen):
    TITLE_WORDS = "the worklist"
    BINDINGS: ClassVar[list[Any]] = [
        enter("Go there"),
        use("done"),
        use("working", "why"),
        use("plan", "app.go('plan')"),
        use("scope", "app.go('scope')"),
        use("only", does="only one person's, one tier, one step or one place"),
        FIND,
    ]
    HELP_TEXT = """
The jobs, most pressing first; several of a kind are one job with its places. After them, what is still to be looked
at or settled: it can bar floating her just as a job can, and is counted separately.

The order: NOW, TODAY, AFLOAT (before she floats), SAIL (before she sails), THIS HAUL, NEXT HAUL, WATCH. Within
each: what must come first comes first; then by risk, under or near water first, severity, likelihood, the order of
the work, bow to stern.

{on} goes to the finding, to the place in the walk, or to the launch list. When a job is done, its finding moves on
and its next action appears; what keeps the water out is signed with a name. Find looks in places and findings too.
"""

    def __init__(self) -> None:
        super().__init__()
        self._only: dict[str, str] = {}
        self._chosen: Action | None = None

    @property
    def action(self) -> Action | None:
        return self.desk.judged.worklist.by_key.get(self.list_key)

    @property
    def job(self) -> Job | None:
        key = self.list_key
        return next((job for job in self.desk.judged.worklist.jobs if job.first.key == key), None)

    def head(self) -> RenderableType | None:
        listed = self.desk.judged.worklist
        only = " · ".join(f"only {value}" for value in self._only.values())
        told = f"{count_words(listed)} · {done_this_round(self.book)} done this round"
        return Text(f"{told} · {only}" if only else told)

    def list_rows(self) -> list[ListRow]:
        listed, width = self.desk.judged.worklist, self.list_width
        rows = []
        for tier in Tier:
            jobs = [job for job in listed.jobs_in(tier) if self._is_wanted(job.actions)]
            if jobs:
                rows.append(ListRow("", Text.assemble(self.tier_mark(tier), f"  {TIER_WORDS[tier]}")))
                rows += [ListRow(job.first.key, _job_line(job, width), _also(job.actions)) for job in jobs]
        looks = [action for action in listed.looks if self._is_wanted((action,))]
        if looks:
            rows.append(ListRow("", Text("STILL TO BE LOOKED AT  counted separately; until then nobody knows")))
            rows += [ListRow(action.key, _look_line(action), _also((action,))) for action in looks]
        return rows

    def columns(self) -> str:
        return f"no.  {'what':<{_what_cells(self.list_width)}} {'where':<{at_cells(self.list_width)}} who"

    def _is_wanted(self, actions: Iterable[Action]) -> bool:
        return any(all(_said_of(action)[name] == value for name, value in self._only.items()) for action in actions)

    def same_row(self, key: str, keys: Sequence[str]) -> str | None:
        """A finding that moved on has a new key: the same one stays chosen, where its row still stands in reach."""
        if key in keys:
            return key
        before = self._chosen
        if before is None or before.chalk is None:
            return None
        at = self.was_at
        by_key = self.desk.judged.worklist.by_key
        near = keys[max(0, at - 3) : at + 3]
        return next((one for one in near if by_key[one].chalk == before.chalk), None)

    def detail(self) -> RenderableType | None:
        action = self._chosen = self.action
        if action is None:
            found = self.desk.judged.worklist.actions
            return Text("No line matches." if found else "Nothing is written down yet: the walk comes first.")
        job, doing = self.job, action.doing
        several = job is not None and job.places > 1
        text = Text.assemble((f"{one_line(job.say if job else action.what)}\n", "bold"))
        text.append(f"{one_line(job.where if job else action.where)}\n")
        for caution in doing.cautions if doing else ():
            if caution == Cautions.SINKING and not self.book.boat.afloat:
                continue
            one = self.checklists.cautions[caution]
            text.append(f"{one.title}: {one.say}\n", "bold")
        told = [f"who: {action.who.value}"]
        if doing and job is not None and (hours := job.hours()):
            told.append(f"{hours[0]:g}–{hours[1]:g} h ({doing.hours_from})")
        if doing and not action.held:
            told += [", ".join(doing.tools + doing.supplies), "dry weather or a roof" if doing.dry else ""]
        if not several:
            text.append(f"{one_line(action.why)}\n")
        text.append(" · ".join(part for part in told if part))
        if after := self.desk.judged.worklist.after_words(action, most=4):
            text.append(f"\nafter: {one_line(after)}")
        return text

    def open_row(self, key: str) -> None:
        action = self.desk.judged.worklist.by_key.get(key)
        if action is None:
            return
        if action.chalk is not None:
            self.desk.go("finding", chalk=action.chalk)
        elif action.task in (Task.LAUNCH, Task.WATCH):
            self.desk.go("launch")
        elif action.task is Task.REFIT:
            self.desk.go("parts")
        elif action.task is Task.GAUGE:
            self.desk.go("gauging")
        elif action.cures:
            self.desk.go("causes")
        elif action.compartment is not None:
            self.desk.go("walk", compartment=action.compartment.id, prompt=self._first_prompt(action))
        elif action.task is Task.WALK:
            self.desk.go("walk", compartment=action.places[0])
        elif action.task is Task.SETTLE:
            self.desk.go("hunt")
        else:
            self.action_why()

    def _first_prompt(self, action: Action) -> str:
        """The question a place action is about: the first unseen one, or the first not answered."""
        place = action.compartment
        assert place is not None
        prompts = walk.prompts_of(self.checklists, self.book, place)
        if action.task is Task.SETTLE:
            return action.detail
        if action.task is Task.WALK:
            return prompts[walk.first_open(self.book, self.checklists, place) or 0].key
        unseen = {prompt.key for prompt, _ in walk.progress(self.book, self.checklists, place).unseen}
        return next((prompt.key for prompt in prompts if prompt.key in unseen), prompts[0].key)

    def working(self) -> list[tuple[str, str]]:
        return rank_working(self.action, self.desk.judged.worklist) if self.action else []

    def working_beside(self) -> list[tuple[str, str]]:
        return [line for line in self.working() if line[0] not in ("what", "where")]

    def action_why(self) -> None:
        if action := self.action:
            self.desk.show_text(f"Working: {shortened(action.headline, 60)}", self.working())

    def action_only(self) -> None:
        """Show only what has one word of a kind; all again."""
        kinds = [Option(name, name[0], name, self._only.get(name, "")) for name in ("who", "tier", "step", "place")]
        options = [*kinds, *([Option(ALL, "a", "all again")] if self._only else [])]

        def picked(name: str | None) -> None:
            if name == ALL:
                self._only.clear()
                self.show()
            elif name is not None:
                self._pick_only(name)

        self.app.push_screen(PickOne("Show only some of the jobs, by:", options), picked)

    def _pick_only(self, name: str) -> None:
        listed = self.desk.judged.worklist
        said = {_said_of(action)[name] for action in listed.actions}
        values = [value for value in ORDERED.get(name, sorted(said)) if value in said]
        options = [Option(value, _key_of(at, values), value) for at, value in enumerate(values)]

        def picked(value: str | None) -> None:
            if value is not None:
                self._only[name] = value
                self.show()

        self.app.push_screen(PickOne(f"Show only the jobs of one {name}:", options), picked)

    def action_done(self) -> None:
        if self.action is not None:
            ask_done(self, self.action, self.job)


def ask_done(screen: BookScreen, action: Action, job: Job | None) -> None:
    """The form that takes an action off; of a job at several places it is asked first which."""
    if not screen.may_write():
        return

    def picked(value: str | None) -> None:
        if value is not None:
            screen.desk.go("done", action=value or action.key, together="" if value else "yes")

    if refusal := not_ticked_off(action):
        screen.notify(refusal, markup=False)
    elif job is not None and job.places > 1:
        options = [Option("", "a", "all of them", f"{counted(job.places, 'place')}")]
        options += [
            Option(one.key, str(number) if number < 10 else "", one.label, one.where)
            for number, one in enumerate(job.actions, 1)
        ]
        screen.app.push_screen(PickOne("Which of them is done?", options), picked)
    else:
        screen.desk.go("done", action=action.key)


def _said_of(action: Action) -> dict[str, str]:
    """By what the list may be narrowed."""
    return {
        "who": action.who.value,
        "tier": action.tier.value,
        "step": action.step.value,
        "place": one_line(action.compartment.name) if action.compartment else "whole boat",
    }


def _key_of(at: int, values: Sequence[str]) -> str:
    """A key for a choice: its first letter, or its number where two begin alike; none where there are too many, and
    it is typed."""
    if len(values) > MOST_NUMBERED:
        return ""
    letters = {value[0].lower() for value in values}
    return values[at][0].lower() if len(letters) == len(values) else str(at + 1)


def at_words(job: Job) -> str:
    """Where a job is, short: its number and compartment, or how many places."""
    if job.places > 1:
        numbers = ", ".join(str(one) for one in job.numbers)
        return f"{counted(job.places, 'place')} {numbers}"
    first = job.first
    place = one_line(first.compartment.name) if first.compartment else ""
    return " ".join(part for part in ("" if first.chalk is None else str(first.chalk), place) if part)


def in_hand(job: Job) -> str:
    """How long a job takes, by whom, and what to have in hand."""
    doings = [one.doing for one in job.actions if one.doing is not None]
    things = dict.fromkeys(thing for doing in doings for thing in (*doing.tools, *doing.supplies))
    told = f"about {hours_words(sum(map(hours_of, job.actions)))} h, {job.first.who.value}"
    return f"{told}; in hand: {', '.join(things)}" if things else told


def at_cells(width: int) -> int:
    """Of a line of so many cells those that say where."""
    return AT_CELLS if width >= WIDE_LINE else AT_CELLS_NARROW


def _what_cells(width: int) -> int:
    return max(width - 3 - 2 - at_cells(width) - 2 - WHO_CELLS, 20)


def _job_line(job: Job, width: int) -> Text:
    """Its number, what is done, where, whose it is: one line of so many cells, verb first."""
    said = one_line(job.say.split(" — ")[0])
    wide = _what_cells(width)
    text = Text(f"{job.number:>3}  ", no_wrap=True, overflow="ellipsis")
    text.append(f"{shortened(said, wide):<{wide}}", "bold")
    at = at_cells(width)
    return text.append(f" {shortened(at_words(job), at):<{at}} {job.first.who.value}")


def _look_line(action: Action) -> Text:
    text = Text(f"{action.rank:>3}  {action.tier.word:<11}", no_wrap=True, overflow="ellipsis")
    if action.compartment is not None:
        text.append(f"{shortened(one_line(action.compartment.name), 24)}: ", "bold")
    return text.append(one_line(action.headline))


def _also(actions: Iterable[Action]) -> str:
    """What a row may be found by beside its line."""
    return " ".join(
        f"{action.what} {action.where} {action.who.value} {action.step.value} {action.tier.value} {action.tier.word}"
        for action in actions
    )
