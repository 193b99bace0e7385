"""The summary and the lists: complete, the same each time, and readable by machines and people."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import shutil
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from inspect_tui.cli import main
from inspect_tui.domain import edits, walk
from inspect_tui.domain.book import Book, Edit, Put, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.measured import READ_ASHORE
from inspect_tui.domain.records import Answer
from inspect_tui.domain.words import FloatState, Said, Treatment
from inspect_tui.handover.model import Figure, Sheet, Table, Words
from inspect_tui.handover.parts.closing import LIMITS
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.parts.work.jobs import jobs_part
from inspect_tui.handover.report import make_report
from inspect_tui.handover.writers.html import html_pieces
from inspect_tui.handover.writers.tables import readings_table
from inspect_tui.handover.writers.text import write_text
from inspect_tui.judgement.electricity.protected import history
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import shipped
from inspect_tui.store.photo_files import photo_folder
from tests.conftest import START, place_called, reading_edit

DEMO = shipped("demo") / "sandmartin.hullbook"
MUST_HAVE = {"rank", "tier", "chalk", "compartment", "what", "where", "why", "who", "after"}


@pytest.fixture(scope="module")
def demo() -> Book:
    return open_book(DEMO, lambda: START, "", write=False).book


def run(*words: str, code: int = 0) -> str:
    result = CliRunner().invoke(main, list(words))
    assert result.exit_code == code, result.output
    return result.stdout if code == 0 else result.stderr


def test_worklist_json_is_a_list_of_objects_each_with_its_finding_and_reason(demo: Book) -> None:
    rows = json.loads(run("worklist", str(DEMO), "--json"))
    assert len(rows) > 40
    for name in ("work", "look"):
        assert [row["rank"] for row in rows if row["list"] == name] == list(
            range(1, sum(row["list"] == name for row in rows) + 1)
        )
    for row in rows:
        assert set(row) >= MUST_HAVE
        assert (row["job"] is None) is (row["list"] == "look")
        assert row["why"]
        assert isinstance(row["after"], list)
        assert row["chalk"] is not None or row["where"]
        if row["chalk"] is not None:
            assert row["where"].startswith(f"no. {row['chalk']}: ")
    open_findings = {finding.chalk for finding in demo.findings.values() if finding.status.value != "verified"}
    assert {row["chalk"] for row in rows if row["chalk"]} == open_findings


def test_worklist_csv_is_read_back_by_a_reference_reader() -> None:
    text = run("worklist", str(DEMO), "--csv")
    rows = list(csv.DictReader(io.StringIO(text)))
    as_json = json.loads(run("worklist", str(DEMO), "--json"))
    assert [(row["rank"], row["what"]) for row in rows] == [(str(one["rank"]), one["what"]) for one in as_json]
    assert set(rows[0]) >= MUST_HAVE


def test_no_cell_of_the_csv_is_a_formula(checklists: Checklists, tmp_path: Path) -> None:
    from tests.terminal.test_hard_text import hard_book

    opened = hard_book(tmp_path / "x.hullbook", checklists, "=HYPERLINK(0)")
    opened.close()
    for row in csv.reader(io.StringIO(run("worklist", str(opened.path), "--csv"))):
        assert not any(cell.startswith(("=", "+", "@", "-")) for cell in row)


def test_worklist_text_names_each_finding_and_its_reason(demo: Book) -> None:
    text = run("worklist", str(DEMO))
    assert (
        text.count("     why:   ") == text.count("     where: ") == len(re.findall(r"^ *\d+\. ", text, re.MULTILINE))
    )
    for tier in ("NOW", "AFLOAT: ", "THIS HAUL: ", "NEXT HAUL: ", "WATCH"):
        assert tier in text


def test_the_same_book_gives_the_same_bytes_in_any_zone_and_locale(tmp_path: Path) -> None:
    outputs = []
    copy = tmp_path / DEMO.name
    shutil.copyfile(DEMO, copy)
    shutil.copytree(photo_folder(DEMO), photo_folder(copy))
    for number, (zone, locale) in enumerate((("UTC", "C"), ("Pacific/Auckland", "C.UTF-8"))):
        environment = {**os.environ, "TZ": zone, "LC_ALL": locale, "PYTHONHASHSEED": str(number)}
        folder = tmp_path / str(number)
        run_one = [sys.executable, "-m", "inspect_tui"]
        subprocess.run([*run_one, "papers", str(copy), "-o", str(folder)], env=environment, check=True, timeout=60)
        out = [
            subprocess.run(
                [*run_one, "worklist", str(copy), *form], env=environment, check=True, capture_output=True
            ).stdout
            for form in ([], ["--json"], ["--csv"])
        ]
        outputs.append([*out, *(path.read_bytes() for path in sorted(folder.iterdir()))])
    assert outputs[0] == outputs[1]
    assert len(outputs[0]) == 3 + 11


def test_the_summary_holds_everything_seen_and_not_seen(demo: Book, checklists: Checklists) -> None:
    report = make_report(Judged(demo, checklists))
    for text in (write_text(report), "".join(html_pieces(report, {}))):
        for finding in demo.findings.values():
            words = finding.words.replace("'", "&#39;") if text.startswith("<") or "<html" in text else finding.words
            assert words in text or " ".join(words.split()) in " ".join(text.split())
        for place in demo.compartments.values():
            assert place.name in text
        for limit in LIMITS:
            assert limit.split(". ")[0][:40] in " ".join(text.split())
        assert report.proof.digest in text
        assert "third-party copy" in " ".join(text.split())
    unseen = sum(answer.said is Said.UNSEEN and "share" not in answer.prompt for answer in demo.answers.values())
    rows = next(block for block in report.part("unseen").blocks if isinstance(block, Table))
    assert sum(int(str(row[2])) for row in rows.rows) == unseen, "each place and reason once, with all its questions"


def test_the_papers_never_call_anything_safe(demo: Book, checklists: Checklists) -> None:
    assert not re.search(r"\bsafe(ly)?\b", write_text(make_report(Judged(demo, checklists))), re.IGNORECASE)


class Outline(HTMLParser):
    """What a screen reader and a strict reader would ask of the page."""

    VOID = {"meta", "link", "br", "hr", "img"}

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.headings: list[int] = []
        self.tags: list[str] = []
        self.addresses: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        self.tags.append(tag)
        if tag not in self.VOID:
            self.open.append(tag)
        if values.get("id"):
            self.ids.append(str(values["id"]))
        if tag == "a":
            self.links.append(str(values.get("href")))
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag == "th":
            assert values.get("scope") in ("col", "row", "rowgroup")
        self.addresses += [str(values[name]) for name in ("src", "href", "action") if values.get(name)]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_is_one_well_formed_accessible_file(demo: Book, checklists: Checklists) -> None:
    page = "".join(html_pieces(make_report(Judged(demo, checklists)), {}))
    outline = Outline()
    outline.feed(page)
    assert outline.open == []
    assert len(outline.ids) == len(set(outline.ids))
    assert all(link.startswith("#") and link[1:] in outline.ids for link in outline.links)
    assert all(address.startswith("#") for address in outline.addresses), "no network"
    assert outline.headings[0] == 1
    assert outline.headings.count(1) == 1
    assert all(after - before <= 1 for before, after in zip(outline.headings, outline.headings[1:], strict=False))
    assert outline.tags.count("table") == outline.tags.count("caption")
    assert '<html lang="en">' in page
    assert "<main" in page
    assert "@media print" in page
    assert "script" not in outline.tags


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["worklist", "/nowhere/x.hullbook"], "There is no book"),
        (["verify", "/nowhere/x.hullbook"], "There is no book"),
        (["papers", str(DEMO), "-o", "/proc/nothing"], "inspect-tui:"),
        (["demo"], "needs a terminal"),
        ([str(DEMO)], "needs a terminal"),
        (["worklist", __file__], "Damaged|damaged|not a book"),
    ],
)
def test_shell_errors_are_one_sentence_and_exit_code_one(words: list[str], said: str) -> None:
    error = run(*words, code=1)
    assert re.search(said, error)
    assert "Traceback" not in error
    assert len(error.strip().splitlines()) == 1


def test_wrong_usage_exits_with_two() -> None:
    run("worklist", code=2)
    run("papers", str(DEMO), code=2)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_a_full_device_and_a_folder_are_answered_in_a_sentence(tmp_path: Path) -> None:
    run_one = f"{sys.executable} -m inspect_tui"
    done = subprocess.run(f"{run_one} worklist {DEMO} > /dev/full", shell=True, capture_output=True, text=True)
    assert done.returncode == 1
    assert "cannot be written" in done.stderr
    assert "Traceback" not in done.stderr
    for words in ("--help", "calc --help", f"verify {DEMO}", "calc loss --help"):
        done = subprocess.run(f"{run_one} {words} > /dev/full", shell=True, capture_output=True, text=True)
        assert done.returncode == 1
        assert "Traceback" not in done.stderr
        assert done.stderr.startswith("inspect-tui: ")
    done = subprocess.run(f"{run_one} worklist {DEMO} | head -1", shell=True, capture_output=True, text=True)
    assert done.stderr == ""
    assert "cannot be read" in run("worklist", str(tmp_path), code=1)


def test_verify_tells_whole_from_damaged(tmp_path: Path) -> None:
    assert run("verify", str(DEMO)).startswith("Whole: ")
    bad = tmp_path / "bad.hullbook"
    bad.write_bytes(DEMO.read_bytes()[:-1])
    result = CliRunner().invoke(main, ["verify", str(bad)])
    assert result.exit_code == 1
    assert "would restore" in result.stdout


@pytest.mark.parametrize("words", [[], ["worklist"], ["papers"], ["verify"], ["demo"]])
def test_every_command_has_help(words: list[str]) -> None:
    assert "Usage:" in run(*words, "--help")


def test_the_papers_say_why_she_corrodes_and_whether_she_is_protected(demo: Book, checklists: Checklists) -> None:
    report = make_report(Judged(demo, checklists))
    part = report.part("causes")
    tables = {block.caption: block for block in part.flat() if isinstance(block, Table)}
    by_place = next(table for caption, table in tables.items() if caption.startswith("Places where metal is eaten"))
    numbers = [int(number) for row in by_place.rows for number in re.findall(r"no\. (\d+)", str(row[0]))]
    assert sorted(numbers) == sorted(one.finding.chalk for one in Judged(demo, checklists).eaten), "each place once"
    assert len({row[1:] for row in by_place.rows}) == len(by_place.rows), "what is said alike is said once"
    assert any("likely" in str(row[1]) for row in by_place.rows)
    unsaid = [row[1] == "not enough to say" for row in by_place.rows]
    assert any(unsaid)
    assert unsaid == sorted(unsaid), "what is known comes first"
    assert all(row[3] for row in by_place.rows), "each place has its next test"
    text = " ".join(write_text(report).split())
    for words in (
        "BARELY PROTECTED",
        "passes 100 mV (regulators), fails 200 mV (small craft)",
        "Circuit hunt of 2025-10-26",
        "bilge pump: +63 mV",
        "isolation lost, which by itself eats nothing",
        "of 3 lifted, 2 were bad; says little of the other 4",
        "weights of causes.toml",
        "no standard was found",
        "silver chloride, bare, in the water",
    ):
        assert words in text, words
    rows = tables["Potentials of the hull at rest"].rows
    assert len(rows) == len(history(demo))
    assert any("free potential" in row for row in rows)
    assert "2025-10-18: -700 mV" in next(block for block in part.flat() if isinstance(block, Figure)).told


def test_a_book_without_eaten_metal_or_meters_has_that_part_too(book: Book, checklists: Checklists) -> None:
    text = write_text(make_report(Judged(book, checklists)))
    assert "No eaten metal is written down" in text
    assert "Potentials of the hull" not in text


def test_a_potential_without_its_electrode_is_listed_and_not_judged(book: Book, checklists: Checklists) -> None:
    stamp = Stamp(START, "Mattis")
    place = place_called(book, "electrics")
    book, _ = after(book, edits.float_or_haul(book, FloatState.AFLOAT, START.date()), stamp)
    book, _ = after(book, reading_edit(book, stamp, place, "potential", [-900]), stamp)
    text = " ".join(write_text(make_report(Judged(book, checklists))).split())
    assert "not judged" in text
    assert "not named" in text


def test_a_potential_read_ashore_is_listed_as_a_note(book: Book, checklists: Checklists) -> None:
    stamp, place = Stamp(START, "Mattis"), place_called(book, "electrics")
    for values, electrode in (([-1250.0], "agcl-sea"), ([-700.0], "agcl-sea")):
        edit = reading_edit(book, stamp, place, "potential", values, electrode=electrode)
        book, _ = after(book, edit, stamp)
    report = make_report(Judged(book, checklists))
    table = list(csv.DictReader(io.StringIO(readings_table(Subject(Judged(book, checklists))))))
    assert {row["read_ashore"] for row in table} == {"yes"}
    text = " ".join(write_text(report).split())
    assert text.count(READ_ASHORE) >= 2, "each of them among the potentials"
    for word in ("OVER-PROTECTED", "over-protected", "not protected", "Take magnesium off"):
        assert word not in text, word
    part = next(part for part in report.parts if part.id == "causes")
    assert not [block for block in part.flat() if isinstance(block, Figure)]


def test_a_job_says_what_is_still_to_be_settled(demo: Book, checklists: Checklists) -> None:
    def settled(book: Book) -> dict[int, str]:
        part = jobs_part(Subject(Judged(book, checklists)))
        sheets = [block for block in part.blocks if isinstance(block, Sheet)]
        told = {}
        for sheet in sheets:
            words = [block.text for block in sheet.blocks if isinstance(block, Words) and block.kind == "caution"]
            for chalk in (sheet.chalk or 0, *sheet.also):
                told[chalk] = "".join(words)
        return told

    before = settled(demo)
    undecided = [chalk for chalk in before if demo.findings[str(chalk)].treatment is None]
    assert undecided
    for chalk in undecided:
        if demo.findings[str(chalk)].override is None:
            assert "nobody has decided it yet" in before[chalk]
    judged = Judged(demo, checklists)
    graver = next(
        job.finding
        for job in judged.jobs
        if job.verdict is not None and job.verdict.treatment is Treatment.INSERT_PLATE and not job.own
    )
    milder = graver.model_copy(update={"treatment": Treatment.WELD_UP})
    told = settled(after(demo, edits.change_finding(milder), Stamp(START, "x"))[0])[graver.chalk]
    assert "by the numbers it asks for more: " in told
    assert "nobody has decided" not in told


def test_the_papers_tell_apart_what_was_answered_one_by_one_by_one_look_and_unseen(
    demo: Book, checklists: Checklists
) -> None:
    place = next(one for one in demo.bow_to_stern() if one.area == "transom")
    prompts = {prompt.key: prompt for prompt in walk.prompts_of(checklists, demo, place)}
    stamp = Stamp(max(line.when for line in demo.trail.values()), "Mattis")
    book, _ = after(demo, edits.seen_share(demo, stamp, place, prompts["everywhere/share"], 100), stamp)
    look = edits.say_by_look(book, stamp, checklists, place, prompts["everywhere/look"], ())
    book, _ = after(book, look, stamp)
    gone = Answer(
        round=book.round.id, compartment=place.id, prompt="transom/asked-once", said=Said.SOUND, when=stamp.when,
        by="Mattis", note="of an older list",
    )  # fmt: skip
    book, _ = after(book, Edit("old", (Put("answers", "old", gone),)), stamp)
    part = make_report(Judged(book, checklists)).part("seen")
    table = next(block for block in part.blocks if isinstance(block, Table))
    heads = [column.name for column in table.columns]
    rows = [dict(zip(heads, row, strict=True)) for row in table.rows]
    answers = [
        one for one in book.answers.values() if one.round == book.round.id and one.prompt in checklists.prompts
    ]
    counted_ones = [one for one in answers if one.prompt not in ("everywhere/share", "everywhere/look")]
    by_look = [one for one in counted_ones if one.by_look]
    unseen = [one for one in counted_ones if one.said is Said.UNSEEN]
    assert len(by_look) > 5
    assert sum(int(str(row["One look"])) for row in rows) == len(by_look)
    assert sum(int(str(row["Unseen"])) for row in rows) == len(unseen)
    assert sum(int(str(row["One by one"])) for row in rows) == len(counted_ones) - len(by_look) - len(unseen)
    hers = next(row for row in rows if row["Compartment"] == place.name)
    assert (hers["One look"], hers["One by one"], hers["Unseen"]) == (str(len(by_look)), "0", "0")
    assert (hers["Stage"], hers["To gauge"]) == ("cleaned", "1")
    text = " ".join(write_text(make_report(Judged(book, checklists))).split())
    assert f"{len(by_look)} by one look over the place" in text
    assert "transom/asked-once: sound: of an older list" in text
    assert "questions that these checklists no longer ask" in text
    assert "ask no more" not in write_text(make_report(Judged(demo, checklists)))
