"""Rates: the owner's own prices, from which the job sheets estimate."""

from __future__ import annotations

from inspect_tui.domain import edits
from inspect_tui.domain.book import Edit
from inspect_tui.domain.records import Rates
from inspect_tui.terminal.form_fields import FormField, Number, Words
from inspect_tui.terminal.forms import FormScreen


class RatesScreen(FormScreen):
    TITLE_WORDS = "rates for estimates"
    HELP_TEXT = """
What an hour of a welder, a kilogram of plate and of filler metal cost you, in the money you pay in. With them the
job sheets show an estimate and how far it may be off; without them no money is shown. All may stay empty.
"""

    def record(self) -> Rates:
        return self.book.rates or Rates(currency="")

    def form_fields(self) -> list[FormField]:
        return [
            Words("currency", "Money", "EUR, NOK, ..."),
            Number("hour", "Hour", "of a welder, yard included"),
            Number("plate_kg", "Plate", "for a kilogram"),
            Number("filler_kg", "Filler", "for a kilogram"),
        ]

    def edit(self, record: Rates) -> Edit:
        return edits.set_rates(record)
