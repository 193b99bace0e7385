"""Small questions over a screen: pick one of a list, type one line, read a text."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.table import Table
from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen, ScreenResultType
from textual.timer import Timer
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain.plain import one_line
from inspect_tui.terminal.keys import KeyMap, shown_key, use
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.field import Field

# Columns that a card takes at most, as in app.tcss.
CARD_COLUMNS = 120

DRAFT_DELAY_S = 0.3


class Card(ModalScreen[ScreenResultType]):
    """A question that is answered once: keys that were pressed faster than it closed change nothing."""

    _answered = False

    def foot(self, *told: tuple[str, str]) -> Static:
        """The line at its foot: verbs, each with what it does here."""
        keys = getattr(self.app, "keys", None) or KeyMap()
        words = " · ".join(f"{keys.shown(verb)} {does}" if verb else does for verb, does in told)
        return Static(words, classes="card-foot", markup=False)

    def dismiss(self, result: ScreenResultType | None = None) -> AwaitComplete:
        if self._answered:
            return AwaitComplete()
        self._answered = True
        return super().dismiss(result)


class PickOne(Card[str | None]):
    """A list in which each row has its key; the key, or Enter on a row, picks it. Escape picks nothing."""

    BINDINGS = [use("back", "dismiss(None)")]

    def __init__(self, question: str, options: list[Option], at: str | None = "") -> None:
        # `at` is the row that Enter would pick; None for a choice that must be made with open eyes.
        super().__init__()
        self._question = question
        self._options = options
        self._at = at
        self._typed = ""

    def compose(self) -> ComposeResult:
        with Vertical(classes="card"):
            yield Static(one_line(self._question), classes="card-title", markup=False)
            rows, wide = [], max((len(option.key) for option in self._options), default=1)
            for option in self._options:
                text = Text(no_wrap=True, overflow="ellipsis")
                text.append(f" {option.key:<{max(wide, 1)}}  {one_line(option.word)}", "bold")
                if option.meaning:
                    text.append(f"  {one_line(option.meaning)}")
                text.truncate(min(int(self.app.size.width * 0.9), CARD_COLUMNS) - 7, overflow="ellipsis")
                rows.append(ListOption(text, id=option.value))
            yield OptionList(*rows, compact=True)
            keyed = any(option.key for option in self._options)
            picks = "a key picks" if self._at is None else "a key or Enter picks"
            how = picks if keyed else "type part of the name · Enter picks"
            yield self.foot(("", how), ("back", "goes back"))

    def on_mount(self) -> None:
        rows = self.query_one(OptionList)
        values = [option.value for option in self._options]
        rows.highlighted = None if self._at is None else values.index(self._at) if self._at in values else 0
        rows.focus()

    def on_key(self, event: events.Key) -> None:
        for option in self._options:
            if option.key and option.key in (event.character, shown_key(event.key)):
                event.stop()
                self.dismiss_with(option.value)
                return
        if any(option.key for option in self._options):
            return
        if event.key == "backspace":
            self._look_up(self._typed[:-1])
        elif event.character and event.character.isprintable() and (event.character != " " or self._typed):
            event.stop()
            self._look_up(self._typed + event.character.lower())

    def dismiss_with(self, value: str) -> None:
        """What follows from the option that was picked."""
        self.dismiss(value)

    def _look_up(self, typed: str) -> None:
        """In a list without keys, what is typed goes to the word that begins with it, or else has it inside; where
        there is none, none is chosen."""
        self._typed = typed
        words = [option.word.lower() for option in self._options]
        fitting = [index for index, word in enumerate(words) if word.startswith(typed)]
        fitting += [index for index, word in enumerate(words) if typed in word]
        exact = [index for index in fitting if words[index] == typed]
        self.query_one(OptionList).highlighted = next(iter(exact or fitting), None)
        told = f"typed: {typed} · {'Enter picks' if fitting else 'nothing matches: delete a letter'}"
        self.query_one(".card-foot", Static).update(told)

    @on(OptionList.OptionSelected)
    def picked(self, event: OptionList.OptionSelected) -> None:
        self.dismiss_with(event.option.id or "")


class PickMany(Card[frozenset[str] | None]):
    """A list to tick: one key ticks a row, another saves the ticked ones. Escape changes nothing."""

    BINDINGS = [use("back", "dismiss(None)"), use("choose", "tick"), use("save", "take", priority=True)]

    def __init__(self, question: str, options: list[Option], ticked: frozenset[str]) -> None:
        super().__init__()
        self._question = question
        self._options = options
        self._ticked = ticked

    def compose(self) -> ComposeResult:
        with Vertical(classes="card"):
            yield Static(one_line(self._question), classes="card-title", markup=False)
            yield OptionList(compact=True)
            yield self.foot(("choose", "ticks"), ("save", "saves the ticked ones"), ("back", "goes back"))

    def on_mount(self) -> None:
        self._draw(0)
        self.query_one(OptionList).focus()

    def _draw(self, at: int) -> None:
        rows = self.query_one(OptionList)
        rows.clear_options()
        for option in self._options:
            mark = "[x]" if option.value in self._ticked else "[ ]"
            rows.add_option(
                ListOption(Text(f" {mark} {one_line(option.word)}  {one_line(option.meaning)}"), id=option.value)
            )
        rows.highlighted = at

    @on(OptionList.OptionSelected)
    def action_tick(self) -> None:
        at = self.query_one(OptionList).highlighted or 0
        self._ticked ^= {self._options[at].value}
        self._draw(at)

    def action_take(self) -> None:
        self.dismiss(self._ticked)


class TypeLine(Card[str | None]):
    """One line to type. Enter keeps it, Escape goes back. `kept` hears what is typed, for the draft; `check` says
    what is wrong with it: then it stays to be put right."""

    BINDINGS = [use("back", "dismiss_kept", typing=True)]

    def __init__(
        self,
        question: str,
        value: str = "",
        *,
        needed: str = "",
        kept: Callable[[str], None] | None = None,
        check: Callable[[str], str] = lambda _text: "",
        hint: str = "",
    ) -> None:
        super().__init__()
        self._question = question
        self._value = value
        self._needed = needed
        self._kept = kept
        self._check = check
        self._hint = hint
        self._timer: Timer | None = None

    def compose(self) -> ComposeResult:
        with Vertical(classes="card"):
            yield Static(one_line(self._question), classes="card-title", markup=False)
            yield Field(self._value)
            yield Static("", classes="row-error", markup=False)
            told = (("", self._hint),) if self._hint else ()
            yield self.foot(*told, ("on", "saves it"), ("back", "goes back"))

    def on_mount(self) -> None:
        self.query_one(".row-error").display = False
        field = self.query_one(Field)
        field.focus()
        field.cursor_position = len(self._value)

    @on(Input.Changed)
    def changed(self, event: Input.Changed) -> None:
        if self._kept and event.value != self._value:
            # Begun with the first key that is not kept, and not again with each: whoever types on is kept too.
            self._timer = self._timer or self.set_timer(DRAFT_DELAY_S, self.keep_drafts)

    def keep_drafts(self) -> None:
        """Bring what is being typed to the disk."""
        if self._timer and self._kept:
            self._timer.stop()
            self._timer = None
            self._kept(self.query_one(Field).value)

    def action_dismiss_kept(self) -> None:
        self.keep_drafts()
        self.dismiss(None)

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        wrong = self._needed if self._needed and not event.value.strip() else self._check(event.value)
        if wrong:
            error = self.query_one(".row-error", Static)
            error.update(wrong)
            error.display = True
            return
        if self._timer:
            self._timer.stop()
        self.dismiss(event.value)


class ReadText(Card[None]):
    """A text to read, or headed lines."""

    BINDINGS = [
        use("back", "dismiss(None)"),
        use("on", "dismiss(None)", "Close", show=False),
        use("help", "dismiss(None)", "Close", show=False),
    ]

    def __init__(self, title: str, text: str | list[tuple[str, str]]) -> None:
        super().__init__()
        self._title = title
        self._text = text

    def compose(self) -> ComposeResult:
        with Vertical(classes="card tall"):
            yield Static(one_line(self._title), classes="card-title", markup=False)
            with VerticalScroll():
                if isinstance(self._text, str):
                    yield Static(self._text, markup=False)
                else:
                    yield Static(headed(self._text), markup=False)
            yield self.foot(("back", "closes"), ("", "arrows scroll"))

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()


def room_to_read(width: int) -> int:
    """Columns of text that a `ReadText` has on a screen this wide."""
    return min(int(width * 0.9), CARD_COLUMNS) - 7


def headed(lines: Sequence[tuple[str, str | Text]], width: int = 12) -> Table:
    """Names in a narrow column, texts wrapped beside them."""
    table = Table.grid(padding=(0, 1))
    table.add_column(width=width)
    table.add_column(ratio=1)
    for name, text in lines:
        table.add_row(Text(name, "bold"), text if isinstance(text, Text) else Text(one_line(text)))
    return table
