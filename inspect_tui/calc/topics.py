"""All topics of `inspect-tui calc`."""

from __future__ import annotations

from inspect_tui.calc import boat, electricity, metal, ultrasound

TOPICS = (*metal.TOPICS, *ultrasound.TOPICS, *boat.TOPICS, *electricity.TOPICS)
