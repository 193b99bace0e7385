"""Half-written forms of schema 2, which wrote screen, place and question into one name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspect_tui.domain.boat_words import Feature
from inspect_tui.domain.book import dump
from inspect_tui.domain.trail import Argument, Draft, Form
from inspect_tui.domain.words import FrameDirection
from inspect_tui.store.envelope import Tables

# Form by form, the fields of today by their names in schema 2; and what was chosen in them, by its old name.
_FIELDS: Mapping[str, Mapping[str, str]] = {
    "finding": {
        "frame": "position__frame", "offset": "position__offset_mm", "side": "position__side",
        "girth": "position__girth_mm", "face": "position__face", "spot": "position__words",
        "long": "extent_length_mm", "wide": "extent_width_mm",
    },
    "compartment": {"from": "frame_from", "to": "frame_to", "lies": "below_waterline"},
    "particulars": {
        "metal": "hull_metal", "category": "design_category", "origin": "datum__origin",
        "direction": "datum__direction", "spacing": "datum__frame_spacing_mm",
        **{feature.value: f"features__{feature.value}" for feature in Feature},
    },
    "measure": {"patch": "square_mm", "paint": "paint_mm"},
    "protection": {"salinity": "water_salinity_g_kg", "chloride": "water_chloride_mg_l"},
    "tank": {
        "oxygen": "oxygen_percent", "vapour": "vapour_percent_lel", "copper": "copper_ppb",
        "chlorine": "chlorine_mg_l", "hours": "chlorine_hours", "overflow": "overflow_m",
    },
    "anodes": {
        "area": "wetted_area_m2", "years": "anode_years", "mass": "anode_kg", "length": "anode_length_mm",
        "width": "anode_width_mm", "thickness": "anode_thickness_mm", "resistivity": "resistivity_ohm_m",
        "propeller": "propeller_m2", "fitted": "anodes_fitted",
    },
}  # fmt: skip
_CHOSEN: Mapping[tuple[str, str], Mapping[str, str]] = {
    ("compartment", "lies"): {"usual": "unsaid", "below": "yes", "above": "no"},
    ("particulars", "direction"): {one.name: one.value for one in FrameDirection},
    ("measure", "plate"): {"none": "unsaid"},
    ("measure", "chosen"): {"evenly": "no", "worst": "yes"},
    ("protection", "anodes"): {"working": "no", "none": "yes"},
}


def _renamed(screen: str, fields: Mapping[str, str]) -> dict[str, str]:
    names = _FIELDS.get(screen, {})
    return {
        names.get(name, name.replace("on-", "on--", 1) if screen == "compartment" else name): _CHOSEN.get(
            (screen, name), {}
        ).get(value, value)
        for name, value in fields.items()
    }


def drafts_of_today(tables: Tables) -> dict[str, Any]:
    """Half-written forms under what they are forms of; one that no screen of today opens keeps its words, and a row
    that is no form stays as it is."""
    kept: dict[str, Any] = {}
    for key, row in tables.get("drafts", {}).items():
        form = _form_named(key, tables)
        try:
            draft = Draft(
                id=form.key,
                when=row["when"],
                fields=_renamed(form.screen, row["fields"]),
                chalk=row.get("chalk"),
                screen=form.screen,
                arguments=dict(form.arguments),
                asked=form.asked,
                about=dict(form.about),
            )
        except (ValueError, TypeError, KeyError, AttributeError):
            kept[key] = row
        else:
            kept[draft.id] = dump(draft)
    return kept


def _form_named(name: str, tables: Tables) -> Form:
    """What schema 2 wrote into one name."""
    kind, *rest = name.split("/")
    match kind, rest:
        case "finding", ["new", place, *prompt]:
            return Form("finding", _said(compartment=place, prompt="/".join(prompt)))
        case "finding", [chalk] if chalk.isdecimal():
            return Form("finding", {"chalk": int(chalk)})
        case "measure", [place, chalk, *prompt]:
            plate = prompt.pop() if prompt and prompt[-1] in tables.get("plate_fields", {}) else ""
            said = _said(compartment=place, prompt="/".join(prompt), plate=plate)
            return Form("measure", said | ({"chalk": int(chalk)} if chalk.isdecimal() else {}))
        case "words", [place, *prompt]:
            return Form("walk", {"compartment": place, "prompt": "/".join(prompt)}, "words")
        case (("note" | "reason"), [chalk, *word]) if chalk.isdecimal():
            about = _said(**{"status" if kind == "note" else "treatment": "/".join(word)})
            return Form("finding", {"chalk": int(chalk)}, kind, about)
        case "photo", [photo]:
            chalk = next(
                (key for key, row in tables.get("findings", {}).items() if photo in row.get("photos", ())), ""
            )
            return Form("photos", {"chalk": int(chalk)} if chalk.isdecimal() else {}, "caption", {"photo": photo})
        case "done", action:
            return Form("worklist", {}, "done", {"action": "/".join(action)})
        case (("compartment" | "plate"), [key]):
            return Form(kind, {"compartment" if kind == "compartment" else "field": key})
        case (("circuit" | "hull-test"), []):
            return Form("hunt", {}, "circuit" if kind == "circuit" else "ohms")
        case "round", []:
            return Form("boat", {}, "round")
        case "patch", [place]:
            return Form("patches", {}, "patch", {"compartment": place})
        case _, []:
            return Form(kind)
        case _:
            return Form(kind, {"was": name})


def _said(**arguments: Argument) -> dict[str, Argument]:
    return {name: value for name, value in arguments.items() if value != ""}
