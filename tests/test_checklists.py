"""Every prompt is read here; and a bad file is answered with its name, the place, and one sentence."""

from __future__ import annotations

import json
import os
import re
import shutil
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.knowledge.named import Areas, Cautions, Kinds, Prompts, Signs
from inspect_tui.domain.measuring.readings import KINDS
from inspect_tui.domain.words import HullMetal, Lane, Need
from inspect_tui.errors import BadChecklist
from inspect_tui.store.checklist_files import load_checklists, shipped
from tests.conftest import SteppingClock, new_book_edit, place_called

AREAS = 47
PROMPTS = 410
ASKS = Path(__file__).parent / "asks.tsv"
NAMES = {"name", "ask", "why", "look", "how", "bad"}


def all_prompts(checklists: Checklists) -> list[Prompt]:
    return list(checklists.prompts.values())


def test_all_areas_and_prompts_are_there(checklists: Checklists) -> None:
    assert len(checklists.areas) == AREAS
    assert [area.number for area in checklists.areas.values()] == list(range(AREAS))
    assert len(all_prompts(checklists)) >= PROMPTS


def test_every_prompt_can_be_asked_and_answered(checklists: Checklists) -> None:
    for prompt in all_prompts(checklists):
        assert prompt.ask.endswith("?"), prompt.key
        assert len(prompt.ask) <= 160, f"{prompt.key}: too long to read in a bilge"
        for text in (prompt.why, prompt.look, prompt.how, prompt.bad):
            assert text.endswith((".", "?")), f"{prompt.key}: {text}"
            assert len(text) <= 330, f"{prompt.key}: {text}"
        assert set(prompt.measure) <= set(KINDS), prompt.key
        assert set(prompt.cautions) <= set(checklists.cautions), prompt.key
        assert len(set(prompt.cautions)) == len(prompt.cautions), prompt.key
        assert prompt.share or prompt.kind in checklists.kinds, f"{prompt.key}: a finding needs its kind"


def test_no_two_prompts_ask_the_same(checklists: Checklists) -> None:
    asked = [prompt.ask for prompt in all_prompts(checklists)]
    assert len(asked) == len(set(asked))


def test_an_answer_that_a_book_holds_is_to_the_words_that_stand(checklists: Checklists) -> None:
    """The words of every question by its name, as books were answered. Where new words ask for more, an old "sound"
    would answer what nobody asked: the question takes a new id and names the old in `instead_of`. Only where every
    old yes answers the new words, or the question is new: `ASKS_MAY_CHANGE=1 pytest tests/test_checklists.py`."""
    asks = {prompt.key: prompt.ask for prompt in all_prompts(checklists)}
    if os.environ.get("ASKS_MAY_CHANGE"):
        ASKS.write_text("".join(f"{key}\t{asks[key]}\n" for key in sorted(asks)), encoding="utf-8")
    known = dict(line.split("\t") for line in ASKS.read_text(encoding="utf-8").splitlines())
    assert {key: ask for key, ask in asks.items() if known.get(key) != ask} == {}, "reworded: a new id, or read above"
    gone = set(known) - set(asks)
    assert gone <= {old for prompt in all_prompts(checklists) for old in prompt.instead_of}, (
        "gone, and replaced by none"
    )


def test_one_prompt_asks_for_the_share_seen_and_it_is_asked_everywhere(checklists: Checklists) -> None:
    assert [prompt.key for prompt in all_prompts(checklists) if prompt.share] == ["everywhere/share"]


def test_the_heart_is_deepest(checklists: Checklists) -> None:
    """Water traps, old patches, bonding and tank interiors are where boats are lost."""
    counts = {area.id: len(area.prompt) for area in checklists.areas.values()}
    for heart in ("cabin-bilge", "electrics", "water-tank", "fuel-tank", "old-patches"):
        assert counts[heart] >= 12, heart


def test_every_caution_and_kind_is_used_or_general(checklists: Checklists) -> None:
    used = {caution for prompt in all_prompts(checklists) for caution in prompt.cautions}
    for doing in (*checklists.kinds.values(), *checklists.works.values()):
        used |= set(doing.cautions)
    assert set(checklists.cautions) - used <= {"acid", "blasting"}
    for caution in checklists.cautions.values():
        assert any(word in caution.source for word in ("common practice", "read", "seen", "from memory")), caution.id


def test_letters_of_the_kinds_are_unique(checklists: Checklists) -> None:
    letters = [kind.letter for kind in checklists.kinds.values()]
    assert len(letters) == len(set(letters))


def test_lifting_a_patch_below_the_waterline_waits_for_the_haul_out(checklists: Checklists) -> None:
    prompts = checklists.prompts
    for key in (
        "old-patches/epoxy-lifted",
        "hollow-keel/drain-plug",
        "skin-fittings/cut-edge",
        "skin-fittings/sea-chest",
    ):
        assert Need.HAULED_OUT in prompts[key].needs, key
    assert {area.lane for area in checklists.areas.values()} == set(Lane)


def test_nothing_is_called_safe() -> None:
    for path in shipped("checklists").rglob("*.toml"):
        text = path.read_text(encoding="utf-8").lower()
        assert " safe " not in text, path
        assert " safe." not in text, path


@pytest.fixture
def owner(tmp_path: Path) -> Path:
    (tmp_path / "areas").mkdir()
    return tmp_path


PROMPT = """
[[prompt]]
id = "{id}"
ask = "Mine?"
why = "Because."
look = "There."
how = "So."
bad = "Bad."
severity = "{severity}"
"""


def test_an_owners_folder_is_laid_over_ours(owner: Path, checklists: Checklists) -> None:
    (owner / "areas" / "stem.toml").write_text(
        'id = "stem"\nname = "My stem"\n' + PROMPT.format(id="dents", severity="critical")
        + PROMPT.format(id="mine", severity="marginal"),
        encoding="utf-8",
    )  # fmt: skip
    laid = load_checklists(owner)
    stem = laid.areas["stem"]
    assert stem.name == "My stem"
    assert [prompt.id for prompt in stem.prompt] == [*(one.id for one in checklists.areas["stem"].prompt), "mine"]
    assert laid.prompts["stem/dents"].ask == "Mine?"
    assert laid.areas["deck"] == checklists.areas["deck"]


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("areas/x.toml", "id = ", "x.toml: not valid TOML"),
        ("areas/x.toml", 'id = "new"\n', "x.toml: number: this key is missing"),
        (
            "areas/stem.toml",
            'id = "stem"\n' + PROMPT.format(id="mine", severity="awful"),
            "\"mine\" → severity: 'awful'",
        ),
        ("areas/stem.toml", 'id = "stem"\nlane = "middle"\n', "lane: 'middle' is not one of"),
        ("areas/stem.toml", 'id = "stem"\ncolour = "red"\n', "colour: this key is not known"),
        (
            "areas/stem.toml",
            'id = "stem"\n' + PROMPT.format(id="mine", severity="marginal") + 'cautions = ["dragons"]\n',
            'no caution "dragons"',
        ),
        (
            "areas/stem.toml",
            'id = "stem"\n' + PROMPT.format(id="mine", severity="marginal") + 'kind = "rot"\n',
            'no kind "rot"',
        ),
        (
            "areas/stem.toml",
            'id = "stem"\n' + PROMPT.format(id="mine", severity="marginal").replace("Because.", " "),
            "this text is empty",
        ),
        (
            "areas/stem.toml",
            'id = "stem"\n' + PROMPT.format(id="mine", severity="marginal") + 'measure = ["smell"]\n',
            "'smell' is not one of",
        ),
        ("cautions.toml", '[[caution]]\nid = "new"\ntitle = "x"\n', 'caution "new" → say: this key is missing'),
    ],
)
def test_a_bad_file_gives_file_place_and_one_sentence(owner: Path, name: str, text: str, said: str) -> None:
    (owner / name).write_text(text, encoding="utf-8")
    with pytest.raises(BadChecklist) as refused:
        load_checklists(owner)
    assert said in str(refused.value)
    assert name in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_file_that_is_not_text_is_refused(owner: Path) -> None:
    (owner / "areas" / "x.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(BadChecklist, match="cannot be read"):
        load_checklists(owner)
    shutil.rmtree(owner / "areas")
    assert load_checklists(owner).areas


def test_the_air_is_asked_about_before_anything_else(checklists: Checklists) -> None:
    clock = SteppingClock()
    stamp = Stamp(clock(), "x")
    areas = list(checklists.areas.values())
    book, _ = after(Book.empty(), new_book_edit(checklists, stamp, areas=areas), stamp)
    first = {place.area: walk.prompts_of(checklists, book, place)[0] for place in book.bow_to_stern()}
    for area in ("chain-locker", "hollow-keel", "water-tank", "fuel-tank"):
        assert "air" in first[area].ask, area
        assert first[area].severity.rank == 0
    asked = walk.prompts_of(checklists, book, place_called(book, "water-tank"))
    assert len({prompt.key for prompt in asked}) == len(asked), "and not twice"


def _references() -> Iterator[tuple[Path, int, int, str]]:
    """Every id that the data names, and where those are defined that the program names: file, line, column, id."""
    own: dict[str, set[str]] = {
        "[[sign]]": set(Signs), "[[caution]]": set(Cautions), "[[kind]]": set(Kinds), "[[galvanic]]": set(HullMetal),
        "": set(Areas), "[[prompt]]": {one.partition("/")[2] for one in Prompts},
    }  # fmt: skip
    root = shipped("checklists")
    for path in sorted(root.rglob("*.toml")):
        table = ""
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines()):
            table = line if line.startswith("[") else table
            key = line.partition(" = ")[0]
            if key == "tells":
                names = [(one.start(1), one[1]) for one in re.finditer(r'"([^"]+)" =', line)]
            elif key in ("signs", "sign", "cautions", "kind"):
                names = [(one.start(1), one[1]) for one in re.finditer(r'"([^"]+)"', line)]
            elif key == "id" and (name := line.split('"')[1]) in own.get(table, set()):
                names = [(line.index(name), name)]
            else:
                names = []
            for column, name in names:
                yield path, number, column, name


def test_one_broken_letter_in_any_id_that_is_named_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copied = tmp_path / "checklists"
    shutil.copytree(shipped("checklists"), copied)
    monkeypatch.setattr("inspect_tui.store.checklist_files.shipped", lambda name: tmp_path / name)
    known = load_checklists()
    references = list(_references())
    assert len(references) > 900
    for path, number, column, name in references[::11]:
        at = column + (len(name) * 7 + number) % len(name)
        file = copied / path.relative_to(shipped("checklists"))
        whole = file.read_text(encoding="utf-8")
        lines = whole.splitlines(keepends=True)
        if lines[number][at] == "-":
            at -= 1
        lines[number] = lines[number][:at] + ("q" if lines[number][at] != "q" else "x") + lines[number][at + 1 :]
        file.write_text("".join(lines), encoding="utf-8")
        with pytest.raises(BadChecklist) as refused:
            load_checklists()
        told = str(refused.value)
        assert "check its spelling" in told, told
        if not lines[number].startswith("id"):
            assert file.name in told, told
            assert " → " in told, told
        file.write_text(whole, encoding="utf-8")
    assert load_checklists().areas == known.areas


@pytest.mark.parametrize(
    ("file", "entry"),
    [("kinds.toml", "[[kind]]"), ("cautions.toml", "[[caution]]"), ("causes.toml", "[[sign]]"),
     ("areas/01-stem.toml", "[[prompt]]"), ("everywhere.toml", "[[after]]")],
)  # fmt: skip
def test_an_id_that_stands_twice_in_one_file_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, file: str, entry: str
) -> None:
    shutil.copytree(shipped("checklists"), tmp_path / "checklists")
    monkeypatch.setattr("inspect_tui.store.checklist_files.shipped", lambda name: tmp_path / name)
    path = tmp_path / "checklists" / file
    text = path.read_text(encoding="utf-8")
    first = entry + text.split(entry)[1]
    path.write_text(f"{text}\n{first}", encoding="utf-8")
    with pytest.raises(BadChecklist, match="this id occurs twice"):
        load_checklists()


TABLE = Path(__file__).parent / "domain" / "data" / "knowledge.txt"


def test_what_the_knowledge_carries_does_not_change_unseen(checklists: Checklists) -> None:
    """Which cautions, needs, signs, readings and touches each entry has, frozen: whoever changes one reads it in the
    diff. `UPDATE_GOLDENS=1` writes it anew."""
    tables: tuple[tuple[str, Iterable[BaseModel]], ...] = (
        ("prompt", checklists.prompts.values()),
        ("kind", checklists.kinds.values()),
        ("work", checklists.works.values()),
        ("launch", checklists.launch.values()),
        ("test", checklists.causes.tests.values()),
        ("cause", checklists.causes.causes.values()),
    )
    words = {
        "ask",
        "why",
        "look",
        "how",
        "bad",
        "do",
        "afloat",
        "record",
        "say",
        "what",
        "remedy",
        "name",
        "label",
        "source",
    }
    rows = []
    for what, entries in tables:
        for entry in entries:
            fields = entry.model_dump(mode="json", exclude_defaults=True, exclude=words)
            told = json.dumps(fields, ensure_ascii=False, sort_keys=True)
            rows.append(f"{what} {getattr(entry, 'key', fields['id'])} {told}")
    text = "\n".join(rows) + "\n"
    if os.environ.get("UPDATE_GOLDENS"):
        TABLE.write_text(text, encoding="utf-8")
    assert text.splitlines() == TABLE.read_text(encoding="utf-8").splitlines()
