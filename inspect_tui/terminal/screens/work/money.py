"""Money: what she costs by the owner's own numbers, where they stop, and which look would tell most."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from rich.console import RenderableType
from rich.text import Text

from inspect_tui.domain.owner.money import Money, Paid, Quote, amount_of
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.words import Who
from inspect_tui.engineering.working import shown
from inspect_tui.errors import NotUnderstood, StoreError
from inspect_tui.judgement.money.reckoning import Line, Reckoned, Unseen, reckon
from inspect_tui.store.money_file import load_money, money_path, save_money
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.modals import PickOne, TypeLine, headed
from inspect_tui.terminal.widgets.choice import Option

# What is asked for of each trade; the owner's own hour has no least.
RATES = tuple((who, name) for who in Who for name in ("an_hour", "least") if (who, name) != (Who.OWNER, "least"))
RATE_WORDS = {"an_hour": "an hour", "least": "minimum for a job"}
AMOUNT_CELLS = 18


class MoneyScreen(ListScreen):
    TITLE_WORDS = "money"
    BINDINGS: ClassVar[list[Any]] = [
        enter("Change"),
        use("add", label="Paid", does="write down what was paid, for the chosen job or for anything else"),
        use("remove", does="remove the quote for the chosen job"),
        use("working", "why"),
        use("undo", "take_back", does="take back what was last changed here"),
        FIND,
    ]
    HELP_TEXT = """
What she costs, by your own numbers alone: what each trade charges by the hour, and its minimum for a job, quotes as
they come in, what was paid, and what she may cost before you stop. The numbers are in a file of their own beside the
book, and go into no papers but the owner's.

  known      paid, and what was quoted
  likely     with all the other jobs of the worklist and the scope, hours times rate
  if the unseen is as bad   the same, with what nobody looked at taken to be as bad as what was seen of its kind

The ranges come from the ranges of hours. LOOK FIRST says which look would move the total most per hour spent on it.
{on} changes a rate, writes down a quote, or goes to the place. Nothing here says whether to buy her.
"""

    _money: Money | None = None

    def __init__(self) -> None:
        super().__init__()
        self._before: list[Money] = []

    def on_mount(self) -> None:
        try:
            self._money = load_money(money_path(self.book_file.path))
        except StoreError as error:
            self.notify(str(error), severity="error", timeout=30, markup=False)
        super().on_mount()

    @property
    def _currency(self) -> str:
        return self._money.currency if self._money else ""

    @property
    def _reckoned(self) -> Reckoned:
        judged = self.desk.judged
        return reckon(self.book, self.checklists, judged.worklist, judged.scope, self._money or Money())

    def head(self) -> RenderableType | None:
        if self._money is None:
            return Text("The file of amounts cannot be read: nothing is changed in it. Mend it or put it aside.")
        told, money = self._reckoned, self._money
        own = f"your own work {told.own_hours[0]:.0f}–{told.own_hours[1]:.0f} h"
        if not told.priced:
            return Text(f"Nothing is priced yet: write down a rate or a quote. {own.capitalize()}.", "bold")
        worst = told.worst.words(money.currency) if told.worst else "unknown"
        least = "at least " if told.least else ""
        text = Text(f"known {told.known.words(money.currency)} · likely {least}", "bold")
        text.append(told.likely.words(money.currency), "bold").append(f" · if the unseen is as bad {least}{worst}")
        if money.may_cost:
            text.append(
                f"\nshe may cost {_shown(money.may_cost, money.currency)}: {told.against(money.may_cost)}", "bold"
            )
            text.append(f" · spent {told.paid:.0f}, promised {told.promised:.0f} {money.currency}".rstrip())
        text.append(f"\n{own}")
        if told.least:
            text.append(f"; at least, for: {'; '.join(told.least)}")
        return text

    def list_rows(self) -> list[ListRow]:
        if self._money is None:
            return []
        told, money = self._reckoned, self._money
        jobs = [_heading("JOBS"), *(self._job_row(one) for one in told.lines)]
        jobs.append(_heading("LOOK FIRST where it is cheap and moves the sum a lot"))
        jobs += [self._look_row(one) for one in told.unseen]
        jobs.append(_heading("DECIDE AGAIN"))
        jobs += [ListRow("", Text(f"  {one.name}: {one.open or 'now'}")) for one in told.gates]
        # Until there is a number, that is what is wanted first.
        numbers = [_heading("YOUR NUMBERS"), *self._number_rows(money)]
        return [*jobs, *numbers] if told.priced else [*numbers, *jobs]

    def _number_rows(self, money: Money) -> list[ListRow]:
        rows = []
        rows.append(ListRow("currency", _number("currency", money.currency or "not said")))
        rows.append(ListRow("may", _number("she may cost", _shown(money.may_cost, money.currency))))
        for who, name in RATES:
            value = getattr(money.rate(who), name)
            rows.append(
                ListRow(
                    f"rate {who} {name}",
                    _number(f"{who.value}, {RATE_WORDS[name]}", _shown(value, money.currency)),
                )
            )
        rows += [
            ListRow("", Text(f"  paid {one.day}: {_shown(one.amount, money.currency)}, {one_line(one.what)}"))
            for one in money.paid
        ]
        return rows

    def _job_row(self, one: Line) -> ListRow:
        amount = one.amount.words(self._currency) if one.amount else "–"
        room = max(self.list_width - AMOUNT_CELLS - 26, 16)
        text = Text(f"{amount:>{AMOUNT_CELLS}}  ", "bold", no_wrap=True, overflow="ellipsis")
        text.append(f"{shortened(one.title, room):<{room}} ", "").append(f"{one.who.value}: {one.how}")
        return ListRow(f"job {one.key}", text)

    def _look_row(self, one: Unseen) -> ListRow:
        moves = f"up to {one.moves.high:.0f} {self._currency}".rstrip() if one.moves else "unknown"
        text = Text(f"{moves:>{AMOUNT_CELLS}}  ", "bold", no_wrap=True, overflow="ellipsis")
        text.append(f"{one_line(one.place.name)}, {100 * one.share:.0f} % unseen: ")
        text.append(f"{one.look}, {one.look_hours:g} h")
        return ListRow(f"look {one.place.id}", text)

    def detail(self) -> RenderableType | None:
        kind, _, key = self.list_key.partition(" ")
        if kind == "job" and (line := self._line(key)):
            hours = (
                "nobody can say" if line.hours is None else " to ".join(shown(one, 2) for one in line.hours) + " h"
            )
            amount = line.amount.words(self._currency) if line.amount else "no rate"
            return headed([("job", line.title), ("who", line.who.value), ("hours", hours), ("price", amount),
                           ("from", line.how)])  # fmt: skip
        if kind == "look" and (seen := next((one for one in self._reckoned.unseen if one.place.id == key), None)):
            moves = "unknown" if seen.moves is None else f"0 to {seen.moves.high:.0f} {self._currency}".rstrip()
            why = "if it is as bad as what was seen in the same part of her"
            return headed([("place", one_line(seen.place.name)), ("moves", f"{moves}, {why}"), ("look", seen.look),
                           ("takes", f"{seen.look_hours:g} h (judgement of this program)")])  # fmt: skip
        return headed([("change", f"{self.key('on')} changes it; an empty line removes it")]) if kind else None

    def _line(self, key: str) -> Line | None:
        return next((one for one in self._reckoned.lines if one.key == key), None)

    def open_row(self, key: str) -> None:
        kind, _, rest = key.partition(" ")
        if kind == "look":
            self.desk.go("walk", compartment=rest)
        elif kind == "job":
            self._ask_quote(rest)
        elif kind == "currency":
            self._ask(
                "Your currency, as you write it", self._money.currency if self._money else None, self._with_currency
            )
        elif kind == "may":
            now = self._money.may_cost if self._money else None
            self._ask("What may she cost before you stop?", now, lambda text: self._update(may_cost=_positive(text)))
        elif kind == "rate":
            who, name = rest.split()
            self._ask_rate(Who(who), name)

    def _ask_rate(self, who: Who, name: str) -> None:
        def typed(text: str) -> Money:
            assert self._money is not None
            return self._money.with_rate(who, **{name: amount_of(text)})

        now = getattr(self._money.rate(who), name) if self._money else None
        self._ask(f"The {who.value} charges, {RATE_WORDS[name]}", now, typed)

    def _ask_quote(self, key: str) -> None:
        line = self._line(key)
        now = next((one for one in self._money.quotes if one.action == key), None) if self._money else None
        if line is None:
            return

        def typed(text: str) -> Money:
            assert self._money is not None
            amount = amount_of(text)
            day = self.desk.clock().date()
            quote = None if amount is None else Quote(action=key, amount=amount, day=day)
            return self._money.with_quote(quote, key)

        def picked(what: str | None) -> None:
            if what == "new":
                self._ask(f"Quoted for {shortened(line.title, 60)}", now.amount if now else None, typed)
            elif what == "take" and now is not None and self._money is not None:
                self._keep(self._money.with_quote(now.model_copy(update={"taken": not now.taken}), key))

        if now is None:
            picked("new")
        else:
            take = "not taken up after all" if now.taken else "accepted: the money is promised"
            options = [Option("take", "t", take), Option("new", "n", "another amount")]
            self.app.push_screen(PickOne("This quote", options), picked)

    def action_add(self) -> None:
        line = self._line(self.list_key.partition(" ")[2])
        what = line.title if line else "something else"

        def typed(text: str) -> Money:
            assert self._money is not None
            amount = amount_of(text)
            if amount is None:
                return self._money
            paid = Paid(what=what, amount=amount, day=self.desk.clock().date(), action=line.key if line else None)
            return self._money.with_paid(paid)

        self._ask(f"Paid for {shortened(what, 60)}", None, typed)

    def action_remove(self) -> None:
        kind, _, key = self.list_key.partition(" ")
        if kind == "job" and self._money is not None and any(one.action == key for one in self._money.quotes):
            money = self._money

            def picked(yes: str | None) -> None:
                if yes == "y":
                    self._keep(money.with_quote(None, key))

            options = [Option("y", "y", "yes, remove it"), Option("n", "n", "no")]
            self.app.push_screen(PickOne("Remove this quote?", options, "n"), picked)
        else:
            self.notify("Only a quote can be removed: choose a job that has one.")

    def action_why(self) -> None:
        told = [(f"{one.amount.words(self._currency) if one.amount else '–'}", f"{one.title}: {one.how}")
                for one in self._reckoned.lines]  # fmt: skip
        self.desk.show_text("Working: money", told)

    def _ask(self, question: str, now: float | str | None, typed: Callable[[str], Money]) -> None:
        """One line; what is typed is kept in no draft, for drafts lie in the book."""
        if self._money is None or not self.may_write():
            return

        def check(text: str) -> str:
            try:
                typed(text)
            except NotUnderstood as error:
                return str(error)
            return ""

        def answered(text: str | None) -> None:
            if text is not None:
                self._keep(typed(text))

        value = "" if now is None else now if isinstance(now, str) else f"{now:.10g}"
        self.app.push_screen(TypeLine(question, value, check=check), answered)

    def _with_currency(self, text: str) -> Money:
        return self._update(currency=one_line(text.strip())[:8])

    def _update(self, **changed: object) -> Money:
        assert self._money is not None
        return self._money.model_copy(update=changed)

    def _keep(self, money: Money) -> None:
        try:
            save_money(money_path(self.book_file.path), money)
        except StoreError as error:
            self.notify(str(error), severity="error", markup=False)
            return
        if self._money is not None:
            self._before.append(self._money)
        self._money = money
        self.show()

    def action_take_back(self) -> None:
        """The book's own undo stays on its own screens."""
        if not self._before:
            self.notify("Nothing has been changed here since you came in.")
            return
        self._keep(self._before.pop())
        self._before.pop()


def _heading(words: str) -> ListRow:
    return ListRow("", Text(words))


def _number(name: str, value: str) -> Text:
    return Text(f"  {name:<34}{value}", no_wrap=True, overflow="ellipsis")


def _shown(value: float | None, currency: str) -> str:
    return "not said" if value is None else f"{value:.10g} {currency}".rstrip()


def _positive(text: str) -> float | None:
    amount = amount_of(text)
    if amount == 0:
        raise NotUnderstood("Type more than 0, or leave the line empty.")
    return amount
