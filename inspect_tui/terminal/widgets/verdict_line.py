"""The verdict in one line that stands out, and what follows from it beside its words."""

from __future__ import annotations

from textual.widgets import Static


class VerdictLine(Static):
    """Not shown while there is none."""

    DEFAULT_CSS = "VerdictLine { text-style: bold reverse; display: none; width: 100%; height: auto; }"

    def __init__(self) -> None:
        super().__init__("", id="verdict", markup=False)

    def tell(self, lines: list[tuple[str, str]]) -> list[tuple[str, str]]:
        """Show the verdict that is among headed lines; the others, and what it goes by, are given back."""
        told = next((one for one in lines if one[0] == "verdict" and not one[1].startswith("none")), None)
        self.display = told is not None
        if told is None:
            return lines
        verdict, _, why = told[1].partition(": ")
        self.update(f" {verdict} ")
        return [("by", why) if one is told and why else one for one in lines if one is not told or why]
