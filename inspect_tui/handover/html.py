"""The summary as one HTML file: no network, no script, readable by a screen reader, fit for printing."""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from inspect_tui.domain.plain import visible
from inspect_tui.handover.report import Report


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
    return environment.get_template("summary.html")


def write_html(report: Report) -> str:
    return _template().render(report=report)
