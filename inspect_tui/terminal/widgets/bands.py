"""The bands of potential as a scale in characters, with a needle on it."""

from __future__ import annotations

from rich.text import Text

from inspect_tui.engineering.electricity.protection import Bands, State

NEEDLE = "▲"
MARGIN_MV = 200.0
SHORT = {
    State.CORRODING: "not",
    State.MARGINAL: "barely",
    State.GOOD: "PROTECTED",
    State.WATCH: "close",
    State.OVER: "OVER",
}


def band_scale(bands: Bands, width: int, needle_mv: float | None = None, free_mv: float | None = None) -> Text:
    """Four lines: millivolts, the bands by their words, the needle, and what it stands at. Less negative is left;
    what lies off the scale stands at its end."""
    first, last = bands.marginal + MARGIN_MV, bands.over - MARGIN_MV / 2
    width = max(width, 40)

    def column(mv: float) -> int:
        return max(0, min(width - 1, round((first - mv) / (first - last) * (width - 1))))

    ticks = [" "] * width
    for edge in (bands.marginal, bands.good, bands.watch, bands.over):
        _put(ticks, _free(ticks, column(edge), len(f"{edge:g}")), f"{edge:g}")
    edges = [0, *(column(edge) for edge in (bands.marginal, bands.good, bands.watch, bands.over)), width]
    drawn = Text()
    for state, begin, end in zip(State, edges, edges[1:], strict=False):
        word = f"{'' if begin == 0 else '│'}{SHORT[state].center(end - begin - (begin > 0), '─')}"
        drawn.append(word[: end - begin], "bold" if state is State.GOOD else "")
    needles, told = [" "] * width, ""
    marks = ((free_mv, "△", "free"), (needle_mv, NEEDLE, "now"))
    # The less negative is left; two that stand close are told side by side, in the order of their needles.
    for value, sign, name in sorted((one for one in marks if one[0] is not None), key=lambda one: -(one[0] or 0)):
        at, words = column(value or 0), f"{name} {value:.0f} mV"
        needles[at] = sign
        told = told.ljust(max(at - len(words) // 2, len(told) + 2 if told else 0)) + words
    over = len(told) - width
    told = told[over:] if over > 0 and not told[:over].strip() else told
    lines = ("".join(ticks).rstrip(), drawn, "".join(needles).rstrip(), told.rstrip())
    return Text("\n").join(Text(line) if isinstance(line, str) else line for line in lines)


def _free(row: list[str], at: int, wide: int) -> int:
    """The column nearest to `at` about which so many signs and a blank on each side have room."""

    def room(middle: int) -> bool:
        begin = max(0, min(middle - wide // 2, len(row) - wide))
        return not "".join(row[max(0, begin - 1) : begin + wide + 1]).strip()

    tried = sorted(range(len(row)), key=lambda middle: abs(middle - at))
    return next((middle for middle in tried if room(middle)), at)


def _put(row: list[str], at: int, words: str) -> None:
    """Words with their middle at a column, kept on the row, over what stands there."""
    begin = max(0, min(at - len(words) // 2, len(row) - len(words)))
    for offset, sign in enumerate(words):
        row[begin + offset] = sign
