"""The papers as one HTML file: no network, no script, readable by a screen reader, fit for printing."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType

from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from inspect_tui.domain.plain import visible
from inspect_tui.handover.figures.svg import INK, box, line
from inspect_tui.handover.model import Bar, Report
from inspect_tui.handover.writers.pictures import Laid

_LINK = re.compile(r'<a href="#no-(\d+)">(.*?)</a>')
NO_PICTURES: Mapping[str, Laid] = MappingProxyType({})


@cache
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("inspect_tui.handover"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["visible"] = visible
    environment.filters["kind"] = lambda block: type(block).__name__
    environment.filters["bar"] = _bar
    environment.filters["linked"] = _linked
    return environment.get_template("papers.html")


def html_pieces(report: Report, pictures: Mapping[str, Laid] = NO_PICTURES) -> Iterator[str]:
    """The page piece by piece: with many photos it is large."""
    number = itertools.count(1).__next__
    return _template().generate(report=report, pictures=pictures, anchors=report.anchors, number=number)


def _linked(svg: str, anchors: Mapping[int, str]) -> str:
    """A drawing whose numbers lead to what these papers hold; the others are numbers only."""

    def one(found: re.Match[str]) -> str:
        return found[0] if int(found[1]) in anchors else found[2]

    linked = _LINK.sub(one, svg)
    # What has links in it is no one picture to a screen reader.
    return linked.replace('role="img"', 'role="group"', 1) if "<a href" in linked else linked


def _bar(told: Bar) -> str:
    """Plate left against as built and allowed, from the middle outwards."""
    wide, scale = 90.0, 90.0 / told.most_mm

    def at(mm: float) -> float:
        return wide - mm * scale if told.leftward else mm * scale

    left = told.left_mm or 0.0
    below = told.allowed_mm is not None and left < told.allowed_mm
    marks = box(min(at(0), at(left)), 2, left * scale, 6, fill=INK if below else "#ffffff", width=0.8)
    if told.allowed_mm is not None:
        marks += line(at(told.allowed_mm), 0, at(told.allowed_mm), 10, width=1.6)
    marks += line(at(told.built_mm), 2, at(told.built_mm), 8, width=0.6)
    return f'<svg viewBox="0 0 90 10" width="90" height="10" aria-hidden="true">{marks}</svg>'
