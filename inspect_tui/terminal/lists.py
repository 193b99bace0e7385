"""Lists: rows, a line for each, a detail of the chosen one, keys. `/` finds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.console import RenderableType
from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option as ListOption

from inspect_tui.domain.plain import shortened
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.screens.base import WIDE_COLUMNS, BookScreen
from inspect_tui.terminal.screens.modals import headed
from inspect_tui.terminal.widgets.field import Field


@dataclass(frozen=True)
class ListRow:
    """One line, with the key of what it is about; a heading has none. `also`: what it is found by beside its line."""

    key: str
    line: Text
    also: str = ""


# Where the detail stands beside the list: columns that the list has at least, and that the detail asks for.
LIST_COLUMNS, DETAIL_COLUMNS = 58, 48
# The last of the keys of every list.
FIND = use("find")


def enter(words: str) -> Binding:
    """What Enter does with the chosen row, in a word for the footer."""
    return use("on", "enter", words, priority=True)


class FindField(Field):
    """What is looked for in a list."""

    BINDINGS = [use("back", "screen.find_no_more", "Whole list")]


class Rows(OptionList):
    """The rows of a list; where a longer detail leaves fewer of them, the chosen one stays in sight."""

    def on_resize(self) -> None:
        self.scroll_to_highlight()


class ListScreen(BookScreen):
    """A list. Finding narrows it to the lines that hold all the words typed; Escape shows the whole again."""

    # Said in place of the list while it is empty.
    EMPTY = ""
    # How many rows stood above the chosen one before the list changed.
    was_at = 0

    def list_rows(self) -> Sequence[ListRow]:
        """What is listed now."""
        raise NotImplementedError

    def head(self) -> RenderableType | None:
        """Above the list; None if nothing stands there."""
        return None

    def columns(self) -> str:
        """What the columns of a row are, over them; drawn where there is room for it."""
        return ""

    def detail(self) -> RenderableType | None:
        """Of the chosen row, below the list; None if nothing stands there."""
        return None

    def working(self) -> list[tuple[str, str]]:
        """The working of what is said of the chosen row: it stands under the detail where there is room."""
        return []

    def working_beside(self) -> list[tuple[str, str]]:
        """The same, without what the detail above it says already."""
        return self.working()

    def same_row(self, key: str, keys: Sequence[str]) -> str | None:
        """Which row stands for one that was chosen before the list changed."""
        return key if key in keys else None

    def open_row(self, key: str) -> None:
        """Enter, or a click; the key is empty where nothing is listed."""

    @property
    def list_key(self) -> str:
        """The key of the chosen row; empty if there is none."""
        rows = self.query_one("#list", OptionList)
        if rows.highlighted is None or rows.highlighted >= rows.option_count:
            return ""
        return rows.get_option_at_index(rows.highlighted).id or ""

    @property
    def list_at(self) -> int:
        """How many rows that can be chosen stand above the chosen one."""
        rows = self.query_one("#list", OptionList)
        above = range(min(rows.highlighted or 0, rows.option_count))
        return sum(bool(rows.get_option_at_index(at).id) for at in above)

    def choose(self, key: str) -> None:
        rows = self.query_one("#list", OptionList)
        rows.highlighted = next((at for at, one in enumerate(rows.options) if one.id == key), rows.highlighted)

    def body(self) -> ComposeResult:
        yield Static(id="head", markup=False)
        with Horizontal(id="panes"):
            with Vertical(id="left"):
                yield Static(id="columns", classes="muted", markup=False)
                yield Rows(id="list", compact=True)
                yield FindField(id="find", placeholder="find: lines with all these words; empty shows the whole list")
            with VerticalScroll(id="right", can_focus=False):
                yield Static(id="detail", markup=False)
                yield Static(id="working", markup=False)

    @property
    def list_width(self) -> int:
        """Columns that a line of the list has."""
        whole = self.size.width
        left = max(LIST_COLUMNS, min(whole * 3 // 5, whole - DETAIL_COLUMNS))
        return max((left if self.beside else whole) - 3, 20)

    @property
    def beside(self) -> bool:
        """Whether the detail stands beside the list."""
        return self.size.width >= WIDE_COLUMNS

    def on_mount(self) -> None:
        self.query_one("#find").display = False
        self.query_one("#list", OptionList).focus()

    def show(self) -> None:
        self.set_class(self.beside, "beside")
        self.query_one("#left").styles.width = self.list_width + 3 if self.beside else "100%"
        self._show_head()
        over, named = self.query_one("#columns", Static), self.columns() if self.beside else ""
        over.display = bool(named)
        over.update(shortened(named, self.list_width))
        rows = self.query_one("#list", OptionList)
        at, chosen = rows.highlighted or 0, self.list_key
        self.was_at = self.list_at
        listed = self._matching(self.list_rows())
        rows.clear_options()
        for row in listed:
            row.line.truncate(self.list_width, overflow="ellipsis")
        if listed:
            rows.add_options([ListOption(row.line, id=row.key or None, disabled=not row.key) for row in listed])
        else:
            wanted = self.query_one("#find", Field).value
            none = f"Nothing here has {wanted!r}: {self.key('back')} shows the whole list."
            words = none if wanted else self.desk.keys.fill(self.EMPTY)
            rows.add_options([ListOption(Text(words), disabled=True)] if words else [])
        keys = [row.key for row in listed]
        same = self.same_row(chosen, [key for key in keys if key]) if chosen else None
        if same:
            rows.highlighted = keys.index(same)
        elif any(keys):
            behind = (index for index in range(min(at, len(keys) - 1), len(keys)) if keys[index])
            rows.highlighted = next(behind, keys.index(next(key for key in keys if key)))
        self._show_detail()

    def _show_head(self) -> None:
        head, told = self.query_one("#head", Static), self.head()
        head.display = told is not None
        head.update(told or "")

    @on(OptionList.OptionHighlighted)
    def _show_detail(self) -> None:
        detail, told = self.query_one("#detail", Static), self.detail()
        self.query_one("#right").display = told is not None
        detail.update(told or "")
        beside = self.query_one("#working", Static)
        lines = self.working_beside() if self.beside else []
        beside.display = bool(lines)
        beside.update(headed(lines) if lines else "")

    @on(OptionList.OptionSelected)
    def _selected(self, event: OptionList.OptionSelected) -> None:
        if event.option.id:
            self.open_row(event.option.id)

    def _matching(self, listed: Sequence[ListRow]) -> list[ListRow]:
        """Rows that hold all the words looked for; a heading stays while something stands under it."""
        words = self.query_one("#find", Field).value.lower().split()
        found: list[ListRow] = []
        for row in listed:
            if not row.key and found and not found[-1].key:
                found.pop()
            if not row.key or all(word in f"{row.line.plain} {row.also}".lower() for word in words):
                found.append(row)
        if found and not found[-1].key:
            found.pop()
        return found

    def action_find(self) -> None:
        find = self.query_one("#find", Field)
        find.display = True
        find.value = ""
        find.focus()

    def action_enter(self) -> None:
        """Open the chosen row; from what is being looked for, go to the list first."""
        if self.focused is self.query_one("#find"):
            self.query_one("#list", OptionList).focus()
        else:
            self.open_row(self.list_key)

    def action_find_no_more(self) -> None:
        find = self.query_one("#find", Field)
        find.display = False
        find.value = ""
        self.query_one("#list", OptionList).focus()

    @on(Input.Changed, "#find")
    def _typed(self) -> None:
        self.show()

    @on(Input.Submitted, "#find")
    def _to_the_list(self) -> None:
        self.query_one("#list", OptionList).focus()

    def action_back(self) -> None:
        if self.query_one("#find").display:
            self.action_find_no_more()
        else:
            super().action_back()

    def on_key(self, event: events.Key) -> None:
        """Digits typed one after the other go to the row that has that number for its key."""
        if not (event.character and event.character.isdigit()) or isinstance(self.focused, Input):
            return
        keys = [one.id for one in self.query_one("#list", OptionList).options if one.id]
        for wanted in (self._digits + event.character, event.character):
            begins = [key for key in keys if key.partition("-")[0].startswith(wanted)]
            if begins:
                self._digits = wanted
                event.stop()
                self.choose(next((key for key in begins if key.partition("-")[0] == wanted), self.list_key))
                return
        self._digits = ""

    _digits = ""
