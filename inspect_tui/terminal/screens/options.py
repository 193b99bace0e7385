"""Options that several screens offer."""

from __future__ import annotations

from inspect_tui.domain.words import TREATMENT_WORDS, Treatment
from inspect_tui.terminal.widgets.choice import Option


def treatment_options() -> list[Option]:
    return [
        Option(one.value, str(number), one.value, TREATMENT_WORDS[one]) for number, one in enumerate(Treatment, 1)
    ]
