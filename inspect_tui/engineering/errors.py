"""Why a number cannot be given, in one sentence."""

from __future__ import annotations


class CannotCalculate(ValueError):
    """The input does not carry the result asked for; the text says why, and what would."""
