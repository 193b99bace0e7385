"""The owner's own numbers: rates, quotes, what was paid, what she may cost. They lie in a file of their own beside
the book, never in it: the book goes to the buyer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from pydantic import Field

from inspect_tui.domain.bounds import NotNegative, Positive
from inspect_tui.domain.records import Record
from inspect_tui.domain.words import Who
from inspect_tui.errors import NotUnderstood

MOST_MONEY = 1e9


class Rate(Record):
    """What a trade asks: an hour of it, and the least for one job; in the owner's currency."""

    an_hour: NotNegative | None = None
    least: NotNegative | None = None


class Quote(Record):
    """What somebody asks for one job, by the key of its first action; `taken`: it was accepted."""

    action: str
    amount: NotNegative
    day: date
    taken: bool = False


class Paid(Record):
    """What was paid, and for what; `action`: for which job, where it was for one."""

    what: str
    amount: NotNegative
    day: date
    action: str | None = None


class Money(Record):
    """`may_cost`: where the owner stops; amounts in `currency`."""

    currency: str = ""
    may_cost: Positive | None = None
    rates: Mapping[Who, Rate] = Field(default_factory=dict)
    quotes: tuple[Quote, ...] = ()
    paid: tuple[Paid, ...] = ()

    def rate(self, who: Who) -> Rate:
        return self.rates.get(who, Rate())

    def with_rate(self, who: Who, **changed: float | None) -> Money:
        rates = {**self.rates, who: self.rate(who).model_copy(update=changed)}
        return self.model_copy(update={"rates": rates})

    def with_quote(self, quote: Quote | None, action: str) -> Money:
        """With this quote for a job, in the place of another; None takes it out."""
        others = tuple(one for one in self.quotes if one.action != action)
        return self.model_copy(update={"quotes": (*others, *((quote,) if quote else ()))})

    def with_paid(self, paid: Paid) -> Money:
        return self.model_copy(update={"paid": (*self.paid, paid)})


@dataclass(frozen=True)
class Span:
    """From, to, in the owner's currency."""

    low: float
    high: float

    def __add__(self, other: Span) -> Span:
        return Span(self.low + other.low, self.high + other.high)

    def times(self, share: float) -> Span:
        return Span(self.low * share, self.high * share)

    def words(self, currency: str = "") -> str:
        """Whole units, one number where both ends are the same.

        >>> Span(1200, 3400.4).words("EUR"), Span(80, 80).words()
        ('1200–3400 EUR', '80')
        """
        low, high = f"{self.low:.0f}", f"{self.high:.0f}"
        return f"{low if low == high else f'{low}–{high}'} {currency}".rstrip()


NOTHING = Span(0.0, 0.0)


def amount_of(text: str) -> float | None:
    """An amount as it is typed; None for an empty line.

    >>> amount_of("1 250,50"), amount_of(" "), amount_of("90")
    (1250.5, None, 90.0)

    Raises
    ------
    NotUnderstood : it is no amount.
    """
    plain = "".join(text.split()).replace(",", ".")
    if not plain:
        return None
    try:
        amount = float(plain)
    except ValueError:
        amount = -1.0
    if not 0 <= amount <= MOST_MONEY:
        raise NotUnderstood(f"{text.strip()!r} is not an amount: write a number, 0 or more, without the currency.")
    return amount
