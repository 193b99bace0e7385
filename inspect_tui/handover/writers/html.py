"""The papers as one HTML file: no network, no script, readable by a screen reader, fit for printing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType

from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from inspect_tui.domain.plain import visible
from inspect_tui.handover.model import Report
from inspect_tui.handover.writers.pictures import Laid

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
    return environment.get_template("papers.html")


def html_pieces(report: Report, pictures: Mapping[str, Laid] = NO_PICTURES) -> Iterator[str]:
    """The page piece by piece: with many photos it is large."""
    return _template().generate(report=report, pictures=pictures)
