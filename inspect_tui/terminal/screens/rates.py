"""Rates: the owner's own prices, from which the job sheets estimate."""

from __future__ import annotations

from inspect_tui.domain import edits
from inspect_tui.domain.records import Rates
from inspect_tui.terminal.screens.form import FormScreen
from inspect_tui.terminal.widgets.field import Row, field_row


class RatesScreen(FormScreen):
    CSS_PATH = "rates.tcss"
    TITLE_WORDS = "rates for estimates"
    HELP_TEXT = """
What an hour of a welder, a kilogram of plate and of filler metal cost you, in the money you pay in. With them the
job sheets show an estimate and how far it may be off; without them no money is shown. All may stay empty.
"""

    def draft_name(self) -> str:
        return "rates"

    def rows(self) -> list[Row]:
        rates = self.book.rates
        return [
            field_row("Money", "currency", rates.currency if rates else "", "EUR, NOK, ..."),
            field_row("Hour", "hour", rates.hour if rates else None, "of a welder, yard included"),
            field_row("Plate", "plate_kg", rates.plate_kg if rates else None, "for a kilogram"),
            field_row("Filler", "filler_kg", rates.filler_kg if rates else None, "for a kilogram"),
        ]

    def keep(self) -> bool:
        hour, plate, filler = (
            self.number(id, name, "", 0.001, 1e6)
            for id, name in (("hour", "hour"), ("plate_kg", "plate"), ("filler_kg", "filler"))
        )
        rates = Rates(currency=self.text_of("currency").strip(), hour=hour, plate_kg=plate, filler_kg=filler)
        return self.desk.record(lambda: edits.set_rates(rates))
