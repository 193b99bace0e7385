"""Reading the trade knowledge from TOML: ours, with an owner's folder laid over it.

In the owner's folder a file has the same shape as ours. An entry with a known id is laid over ours, key by key, and
need hold only what differs; one with a new id is added.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

import tomli
from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from inspect_tui.digests import digest_of_texts, read_regular
from inspect_tui.domain.knowledge import named
from inspect_tui.domain.knowledge.areas import Area, Caution, Everywhere, Prompt
from inspect_tui.domain.knowledge.causes import Cause, Causes, CauseTest, Sign
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.kinds import Kind, Work
from inspect_tui.domain.knowledge.launch import LaunchLine
from inspect_tui.domain.knowledge.metals import Alloy, Galvanic, Limits, Metals
from inspect_tui.domain.knowledge.shots import Shot
from inspect_tui.domain.words import HullMetal, Treatment
from inspect_tui.errors import BadChecklist
from inspect_tui.files import is_folder

M = TypeVar("M", bound=BaseModel)
Raw = dict[str, Any]


def shipped(name: str) -> Path:
    """A folder that travels with the program: in the wheel, or beside the package in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "shipped" / name
    return inside if inside.is_dir() else package.parent / name


def load_checklists(owner: Path | None = None) -> Checklists:
    """Read and check everything.

    Raises
    ------
    BadChecklist : file, place and one sentence.
    """
    folders = [shipped("checklists")]
    if owner is not None and is_folder(owner):
        folders.append(owner)
    files: list[Path] = []
    areas: dict[str, tuple[Path, Raw]] = {}
    limits: dict[str, tuple[Path, Raw]] = {}
    single: dict[str, tuple[Path, Raw]] = {}
    for folder in folders:
        for path in sorted((folder / "areas").glob("*.toml")):
            raw = _read(path, files)
            key = str(raw.get("id", path.stem))
            areas[key] = (path, _laid_over(areas[key][1], raw) if key in areas else raw)
        for path in sorted((folder / "limits").glob("*.toml")):
            raw = _read(path, files)
            key = str(raw.get("id", path.stem))
            limits[key] = (path, _laid_over(limits[key][1], raw) if key in limits else raw)
        for name in ("everywhere", "cautions", "kinds", "launch", "shots", "metals", "causes"):
            path = folder / f"{name}.toml"
            if path.is_file():
                raw = _read(path, files)
                single[name] = (path, _laid_over(single[name][1], raw) if name in single else raw)
    cautions = _by_id(Caution, *single["cautions"], "caution")
    kinds = _by_id(Kind, *single["kinds"], "kind")
    works = _by_id(Work, *single["kinds"], "work")
    launch = _by_id(LaunchLine, *single["launch"], "line")
    shots = _by_id(Shot, *single["shots"], "shot")
    everywhere_path, everywhere_raw = single["everywhere"]
    everywhere = _checked(Everywhere, _named(everywhere_raw, "everywhere", ("before", "after")), everywhere_path)
    checked: dict[str, Area] = {}
    for key, (path, raw) in areas.items():
        checked[key] = _checked(Area, _named(raw, key, ("prompt",)), path)
    ordered = {area.id: area for area in sorted(checked.values(), key=lambda area: (area.number, area.id))}
    metals = Metals(
        alloys=_by_id(Alloy, *single["metals"], "alloy"),
        galvanic=_by_id(Galvanic, *single["metals"], "galvanic"),
        limits=_limits(limits, "any"),
        inland=_limits(limits, "inland"),
    )
    causes = Causes(
        signs=_by_id(Sign, *single["causes"], "sign"),
        causes=_by_id(Cause, *single["causes"], "cause"),
        tests=_by_id(CauseTest, *single["causes"], "test"),
    )
    loaded = Checklists(
        ordered, everywhere, cautions, kinds, works, launch, shots, metals, causes, partial(digest_of_texts, files)
    )
    _check_prompts(everywhere_path, "prompt", (*everywhere.before, *everywhere.after), loaded)
    for area in ordered.values():
        _check_prompts(areas[area.id][0], "prompt", area.prompt, loaded)
    _check_causes(single["causes"][0], loaded)
    _check_kinds(single["kinds"][0], loaded)
    _check_named(folders[0], loaded)
    return loaded


def _check_causes(path: Path, loaded: Checklists) -> None:
    signs = loaded.causes.signs
    for cause in loaded.causes.causes.values():
        _all_known(f'{path}: cause "{cause.id}" → tells', "sign", cause.tells, signs)
    for test in loaded.causes.tests.values():
        _all_known(f'{path}: test "{test.id}" → sign', "sign", [test.sign], signs)
        _all_known(f'{path}: test "{test.id}" → cautions', "caution", test.cautions, loaded.cautions)


def _check_kinds(path: Path, loaded: Checklists) -> None:
    letters: dict[str, str] = {}
    for kind in loaded.kinds.values():
        where = f'{path}: kind "{kind.id}"'
        if kind.letter in letters:
            raise BadChecklist(
                f'{where} → letter: "{kind.letter}" is already the letter of "{letters[kind.letter]}".'
            )
        letters[kind.letter] = kind.id
        _all_known(f"{where} → signs", "sign", kind.signs, loaded.causes.signs)
        if kind.at_once is not None:
            _all_known(f"{where} → at_once → cautions", "caution", kind.at_once.cautions, loaded.cautions)
            signs = [kind.at_once.sign] if kind.at_once.sign else []
            _all_known(f"{where} → at_once → sign", "sign", signs, loaded.causes.signs)
        if kind.within is not None:
            _all_known(f"{where} → within → areas", "area", kind.within.areas, loaded.areas)
            _all_known(f"{where} → within → cautions", "caution", kind.within.cautions, loaded.cautions)
    for what, table in (("kind", loaded.kinds), ("work", loaded.works)):
        for id, doing in table.items():
            _all_known(f'{path}: {what} "{id}" → cautions', "caution", doing.cautions, loaded.cautions)


def _check_named(folder: Path, loaded: Checklists) -> None:
    """What the program itself names is there."""
    for file, what, names, known in (
        ("areas", "area", named.Areas, loaded.areas),
        ("areas", "prompt", named.Prompts, loaded.prompts),
        ("kinds.toml", "kind", named.Kinds, loaded.kinds),
        ("kinds.toml", "work", (*named.Works, *Treatment), loaded.works),
        ("causes.toml", "sign", named.Signs, loaded.causes.signs),
        ("cautions.toml", "caution", named.Cautions, loaded.cautions),
        ("metals.toml", "galvanic", HullMetal, loaded.metals.galvanic),
        ("limits", "metal", HullMetal, loaded.metals.limits),
    ):
        _all_known(f"{folder / file}: {what}, which the program itself needs", what, names, known)


def _all_known(where: str, what: str, names: Iterable[str], known: Collection[str]) -> None:
    if unknown := sorted(set(names) - set(known)):
        raise BadChecklist(f'{where}: there is no {what} "{unknown[0]}"; check its spelling.')


def _limits(files: Mapping[str, tuple[Path, Raw]], waters: str) -> dict[HullMetal, Limits]:
    """One set for each metal: the last read, so that a set of the owner's with an id of its own replaces ours."""
    chosen: dict[HullMetal, Limits] = {}
    for path, own in files.values():
        if own.get("waters", "any") != waters:
            continue
        raw = _on_base(own, files, path)
        told = json.dumps(raw, sort_keys=True, ensure_ascii=False, default=str)
        digest = hashlib.sha256(told.encode()).hexdigest()
        checked = _checked(Limits, {**raw, "file": path.name, "digest": digest}, path)
        chosen[checked.metal] = checked
    return chosen


def _on_base(own: Raw, files: Mapping[str, tuple[Path, Raw]], path: Path) -> Raw:
    """Limits with the rules of those they build on after their own."""
    if "base" not in own:
        return own
    if own["base"] not in files or own["base"] == own.get("id"):
        raise BadChecklist(f'{path}: base: there are no limits "{own["base"]}" to build on.')
    below = files[str(own["base"])][1]
    rules = [one for one in own.get("rule", ()) if isinstance(one, dict)]
    named = {one.get("id") for one in rules}
    rest = [one for one in below.get("rule", ()) if not (isinstance(one, dict) and one.get("id") in named)]
    return {**below, **own, "rule": [*rules, *rest]}


def _read(path: Path, files: list[Path]) -> Raw:
    files.append(path)
    try:
        return tomli.loads(read_regular(path.resolve()).decode())
    except tomli.TOMLDecodeError as error:
        raise BadChecklist(f"{path}: not valid TOML: {error}.") from None
    except (OSError, UnicodeDecodeError) as error:
        raise BadChecklist(f"{path}: cannot be read: {error}.") from None


def _laid_over(ours: Raw, theirs: Raw) -> Raw:
    laid = dict(ours)
    for key, value in theirs.items():
        ours_too = laid.get(key, [])
        # Rows without ids, and what is no row, stand for ours as a whole.
        if (
            isinstance(value, list)
            and isinstance(ours_too, list)
            and all(isinstance(one, dict) and "id" in one for one in (*value, *ours_too))
        ):
            rows = {str(one.get("id")): one for one in ours_too}
            for one in value:
                rows[str(one.get("id"))] = {**rows.get(str(one.get("id")), {}), **one}
            laid[key] = list(rows.values())
        else:
            laid[key] = value
    return laid


def _named(raw: Raw, area: str, lists: Iterable[str]) -> Raw:
    """Tell each prompt which area it belongs to."""
    named = dict(raw)
    for name in lists:
        rows = named.get(name, [])
        if isinstance(rows, list):
            named[name] = [{**one, "area": area} if isinstance(one, dict) else one for one in rows]
    return named


def _checked(model: type[M], raw: Raw, path: Path) -> M:
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        first = error.errors()[0]
        raise BadChecklist(f"{path}: {_place(first, raw)}: {_sentence(first)}") from None


def _place(error: ErrorDetails, raw: Raw) -> str:
    """Where in the file: keys, and for a list the entry's own id rather than its index alone."""
    parts: list[str] = []
    at: Any = raw
    for step in error["loc"]:
        if isinstance(step, int):
            at = at[step] if isinstance(at, (list, tuple)) and step < len(at) else None
            name = f'"{at["id"]}"' if isinstance(at, dict) and "id" in at else f"no. {step + 1}"
            parts.append(name)
        else:
            at = at.get(step) if isinstance(at, dict) else None
            parts.append(str(step))
    return " → ".join(parts) or "the file"


def _sentence(error: ErrorDetails) -> str:
    match error["type"]:
        case "missing":
            return "this key is missing."
        case "extra_forbidden":
            return "this key is not known; check its spelling."
        case "enum" | "literal_error":
            return f"{error['input']!r} is not one of {error.get('ctx', {}).get('expected', 'the known words')}."
        case "string_too_short":
            return "this text is empty."
        case "value_error":
            return f"{str(error['msg']).removeprefix('Value error, ')}."
        case _:
            return f"{error['msg']}."


def _by_id(model: type[M], path: Path, raw: Raw, name: str) -> dict[str, M]:
    rows = raw.get(name)
    if not isinstance(rows, list):
        raise BadChecklist(f"{path}: [[{name}]] is missing.")
    entries: dict[str, M] = {}
    for number, row in enumerate(rows, 1):
        if not isinstance(row, dict):
            raise BadChecklist(f"{path}: {name} no. {number}: this is not a table.")
        key = str(row.get("id", f"no. {number}"))
        if key in entries:
            raise BadChecklist(f'{path}: {name} "{key}": this id occurs twice.')
        try:
            entries[key] = model.model_validate(row)
        except ValidationError as error:
            first = error.errors()[0]
            raise BadChecklist(f'{path}: {name} "{key}" → {_place(first, row)}: {_sentence(first)}') from None
    return entries


def _check_prompts(path: Path, place: str, prompts: Sequence[Prompt], loaded: Checklists) -> None:
    seen: set[str] = set()
    known = [one.id for one in prompts]
    for prompt in prompts:
        where = f'{path}: {place} "{prompt.id}"'
        if prompt.id in seen:
            raise BadChecklist(f"{where}: this id occurs twice.")
        seen.add(prompt.id)
        _all_known(f"{where} → cautions", "caution", prompt.cautions, loaded.cautions)
        for name, other in (("hangs_on", prompt.hangs_on), ("unless", prompt.unless)):
            _all_known(f"{where} → {name}", "prompt", [other] if other else [], known)
        _all_known(f"{where} → kind", "kind", [prompt.kind] if prompt.kind else [], loaded.kinds)
        _all_known(f"{where} → signs", "sign", prompt.signs, loaded.causes.signs)
