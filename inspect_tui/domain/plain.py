"""Owner's text made fit to print: nothing in it is left out, and nothing in it acts."""

from __future__ import annotations

import re

_PICTURES = {code: 0x2400 + code for code in range(0x20)} | {0x7F: 0x2421}
# The second set of control characters, line ends of other kinds, what turns the order of writing, half signs.
_PICTURES |= dict.fromkeys(
    (*range(0x80, 0xA0), 0x2028, 0x2029, *range(0x202A, 0x202F), *range(0x2066, 0x206A)), 0xFFFD
)
_PICTURES |= dict.fromkeys(range(0xD800, 0xE000), 0xFFFD)
del _PICTURES[0x0A], _PICTURES[0x09]


def visible(text: str) -> str:
    """Control characters as their pictures; they can neither vanish nor drive a terminal.

    >>> visible("a\\x00b\\x1b[31m")
    'a␀b␛[31m'
    """
    return text.translate(_PICTURES)


def one_line(text: str) -> str:
    """The same, with line ends and tabs as spaces."""
    return visible(text.replace("\r\n", " ").translate({0x0A: " ", 0x0D: " ", 0x09: " "}))


def shortened(text: str, most: int) -> str:
    """At most so many characters, with an ellipsis where some were cut.

    >>> shortened("chain locker", 6)
    'chain…'
    """
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def counted(number: int, word: str) -> str:
    """A number with its word, in the plural where it must be.

    >>> counted(1, "finding"), counted(0, "finding")
    ('1 finding', '0 findings')
    """
    return f"{number} {word}{'' if number == 1 else 's'}"


_MM = re.compile(r"\d+(?:\.\d+)?(?: (?:±|of|to|and) \d+(?:\.\d+)?)* mm\b")


def with_inches(text: str) -> str:
    """The same, with what is told in mm in inches behind it.

    >>> with_inches("2.7 ± 0.1 mm left of 6 mm, 12 m²")
    '2.7 ± 0.1 mm (0.106 ± 0.004 in) left of 6 mm (0.236 in), 12 m²'
    """

    def inches(found: re.Match[str]) -> str:
        told = re.sub(r"\d+(?:\.\d+)?", lambda number: f"{float(number[0]) / 25.4:.3f}", found[0])
        return f"{found[0]} ({told.removesuffix('mm')}in)"

    return _MM.sub(inches, text)


def spreadsheet_cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula, nor a part of it where semicolons or tabs stand between cells.

    >>> spreadsheet_cell("=1+1"), spreadsheet_cell("x; =1+1"), spreadsheet_cell("5; -3 mV")
    ("'=1+1", "x; '=1+1", '5; -3 mV')
    """
    text = re.sub(r"([;\t]\s*)(?=[=@]|[+-](?!\s*[\d.,]+\s*[\w°%/]*\s*(?:[;.]|$)))", r"\1'", text)
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
