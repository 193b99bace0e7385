"""All topics of `inspect-tui calc`."""

from __future__ import annotations

from inspect_tui.calc import electricity, metal

TOPICS = (*metal.TOPICS, *electricity.TOPICS)
