"""The pack that is handed over: complete, readable by others' programs, literal, and whole or not there."""

from __future__ import annotations

import base64
import hashlib
import html
import io
import json
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pandas
import pypdf
import pytest

from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.plain import visible
from inspect_tui.domain.records import Override
from inspect_tui.domain.words import Treatment
from inspect_tui.errors import CannotSet, Stopped
from inspect_tui.handover.model import Column, Facts, Figure, Line, Part, Report, Sheet, Table, Words
from inspect_tui.handover.papers import FORMATS, Format, Pack, write_papers
from inspect_tui.handover.parts.metal.metal import field_points, pits_part
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.report import READS, Contents, PartName, Reader, make_report
from inspect_tui.handover.writers.html import html_pieces
from inspect_tui.handover.writers.pdf import pages, write_pdf
from inspect_tui.handover.writers.text import write_text
from inspect_tui.judgement.judged import Judged
from inspect_tui.store.book_file import open_book
from inspect_tui.store.checklist_files import shipped
from inspect_tui.store.photo_files import photo_folder
from tests.conftest import START, new_book_edit, reading_edit

DEMO = shipped("demo") / "sandmartin.hullbook"
TEMPLATES = Path(str(files("inspect_tui.handover") / "templates"))
STAMP = Stamp(START, "Mattis")


@pytest.fixture(scope="module")
def demo() -> Book:
    return open_book(DEMO, lambda: START, "", write=False).book


@pytest.fixture(scope="module")
def pack(demo: Book, checklists: Checklists, tmp_path_factory: pytest.TempPathFactory) -> Pack:
    return write_papers(Judged(demo, checklists), tmp_path_factory.mktemp("papers"), photos=photo_folder(DEMO))


def file_of(pack: Pack, ending: str) -> Path:
    return next(path for path in pack.files if path.name.endswith(ending))


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(scope="module")
def pdf_text(pack: Pack) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(file_of(pack, ".pdf")).pages)


def test_the_pdf_gives_its_text_back(pdf_text: str, demo: Book) -> None:
    bare = re.sub(r"\s+", "", pdf_text)
    for finding in demo.findings.values():
        assert re.sub(r"\s+", "", finding.words) in bare
    for place in demo.compartments.values():
        assert re.sub(r"\s+", "", place.name) in bare
    assert "6840mmaftofframe0" in bare


def test_the_pdf_is_tagged_for_screen_readers(pack: Pack) -> None:
    reader = pypdf.PdfReader(file_of(pack, ".pdf"))
    catalog: Any = reader.trailer["/Root"].get_object()
    assert catalog["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in catalog
    assert str(catalog["/Lang"]).startswith("en")
    data = file_of(pack, ".pdf").read_bytes()
    assert b"pdfuaid:part>1<" in data, "PDF/UA-1 is claimed in its metadata"
    kinds: set[str] = set()
    alternatives = 0
    stack = [catalog["/StructTreeRoot"]]
    while stack:
        node = stack.pop()
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            stack += node
        elif isinstance(node, dict):
            kinds.add(str(node.get("/S")))
            alternatives += "/Alt" in node
            if "/K" in node:
                stack.append(node["/K"])
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/Figure", "/L"} <= kinds
    assert alternatives >= 10


def test_every_photo_of_the_demo_is_in_pdf_and_html(pack: Pack, demo: Book) -> None:
    assert pack.troubles == ()
    page = file_of(pack, ".html").read_text(encoding="utf-8")
    assert page.count('<img src="data:image/jpeg;base64,') >= len(demo.photos) == 7
    images = sum(len(page.images) for page in pypdf.PdfReader(file_of(pack, ".pdf")).pages)
    assert images >= 7


def test_a_photo_stands_in_the_pdf_as_it_was_shrunk(pack: Pack) -> None:
    """Passed on, neither decoded nor coded anew: what stands in the PDF is what the page shows."""
    page = file_of(pack, ".html").read_text(encoding="utf-8")
    in_html = {base64.b64decode(one) for one in re.findall(r"data:image/jpeg;base64,([^\"]+)", page)}
    in_pdf = {image.data for sheet in pypdf.PdfReader(file_of(pack, ".pdf")).pages for image in sheet.images}
    assert in_pdf == in_html
    assert ".jpg" not in (TEMPLATES / "papers.typ").read_text(encoding="utf-8"), "Typst would hold it decoded"


def test_a_typesetter_that_dies_is_told_of_in_a_sentence(
    demo: Book, checklists: Checklists, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = tmp_path / "broken.py"
    monkeypatch.setattr("inspect_tui.handover.writers.pdf._TYPESETTER", str(broken))
    for words, told in (("import sys; sys.exit('no fonts')", "no fonts"), ("import os; os._exit(3)", "ended with 3")):
        broken.write_text(words)
        with pytest.raises(CannotSet, match=f"could not be made: .*{told}"):
            pages(Judged(demo, checklists), Contents())


def test_where_a_photo_was_taken_is_printed_only_if_asked_for(
    demo: Book, checklists: Checklists, tmp_path: Path
) -> None:
    """One photo of the demo says that it was taken at 65° N 3° E."""
    for located in (False, True):
        folder = tmp_path / str(located)
        contents = Contents(located=located)
        made = write_papers(Judged(demo, checklists), folder, ("html", "text"), contents, photos=photo_folder(DEMO))
        told = made.files[1].read_text(encoding="utf-8")
        assert ("65.00000° N" in told) is located


@pytest.mark.parametrize("table", ["findings", "readings", "plate-fields", "actions", "unseen"])
def test_a_reference_reader_loads_each_table(pack: Pack, demo: Book, table: str) -> None:
    data = file_of(pack, f"-{table}.csv").read_bytes()
    assert data.count(b"\r\n") == data.count(b"\n"), "RFC 4180: lines end in CR LF"
    frame = pandas.read_csv(io.BytesIO(data), encoding="utf-8")
    rows = {"findings": len(demo.findings), "readings": len(demo.readings), "plate-fields": len(demo.plate_fields)}
    assert len(frame) == rows.get(table, len(frame)) > 0
    assert not any(str(name).startswith("Unnamed") for name in frame.columns)


def test_the_numbers_of_a_table_are_numbers(pack: Pack) -> None:
    findings = pandas.read_csv(file_of(pack, "-findings.csv")).set_index("chalk")
    assert findings.loc[29, "from_bow_mm"] == 14 * 480 + 120
    plates = pandas.read_csv(file_of(pack, "-plate-fields.csv"))
    # loss % by its definition
    known = plates.dropna(subset=["loss_mm"])
    assert (abs(known.loss_percent - 100 * known.loss_mm / known.as_built_mm) < 1e-6).all()


def test_the_export_fits_its_schema_and_the_schema_refuses_another(pack: Pack, demo: Book) -> None:
    schema = json.loads(file_of(pack, ".schema.json").read_bytes())
    told = json.loads(file_of(pack, "-book.json").read_bytes())
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(told, schema)
    assert len(told["book"]["findings"]) == len(demo.findings)
    told["book"]["findings"]["1"]["severity"] = "dreadful"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(told, schema)


@pytest.fixture(scope="module")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The accessibility checker axe-core, from the npm registry; skipped where there is none."""
    if not (shutil.which("npm") and chromium()):
        pytest.skip("needs npm and Chromium")
    folder = tmp_path_factory.mktemp("axe")
    try:
        done = subprocess.run(["npm", "pack", "axe-core"], cwd=folder, capture_output=True, timeout=60)
    except subprocess.TimeoutExpired:
        pytest.skip("the npm registry does not answer")
    packed = next(folder.glob("*.tgz"), None)
    if done.returncode or packed is None:
        pytest.skip("the npm registry cannot be reached")
    shutil.unpack_archive(packed, folder, filter="data")
    return (folder / "package/axe.min.js").read_text(encoding="utf-8")


def chromium() -> str | None:
    return next(
        (path for name in ("chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), None
    )


def test_axe_finds_no_violation_in_the_page(pack: Pack, axe: str, tmp_path: Path) -> None:
    run = (
        'axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})'
        '.then(told => { const out = document.createElement("pre"); out.id = "axe-told";'
        "out.textContent = JSON.stringify({violations: told.violations.map(one => [one.id, one.nodes[0].html]),"
        " passes: told.passes.length}); document.body.appendChild(out); })"
    )
    page = file_of(pack, ".html").read_text(encoding="utf-8")
    probe = tmp_path / "probe.html"
    probe.write_text(
        page.replace("</body>", f"<script>{axe}</script><script>{run}</script></body>"), encoding="utf-8"
    )
    done = subprocess.run(
        [str(chromium()), "--headless", "--no-sandbox", "--disable-gpu", "--virtual-time-budget=60000",
         f"--user-data-dir={tmp_path / 'profile'}", "--dump-dom", probe.as_uri()],
        capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    told = re.search(r'<pre id="axe-told">(.*?)</pre>', done.stdout, re.DOTALL)
    assert told is not None, done.stderr[-500:]
    found = json.loads(html.unescape(told[1]))
    assert found["violations"] == [], found["violations"]
    assert found["passes"] > 20


@pytest.mark.parametrize("reader", list(Reader))
def test_each_reader_gets_the_parts_that_concern_them(demo: Book, checklists: Checklists, reader: Reader) -> None:
    report = make_report(Judged(demo, checklists), Contents.for_readers(reader))
    ids = [part.id for part in report.parts]
    assert ids[0] == ("jobs" if reader is Reader.WELDER else "front")
    assert ids[-1] == "limits"
    assert len(ids) == len(READS[reader]) + 1
    assert ("jobs" in ids) is (reader is Reader.WELDER)


def test_page_one_says_what_a_buyer_asks(demo: Book, checklists: Checklists) -> None:
    text = flat(write_text(make_report(Judged(demo, checklists), Contents(frozenset({PartName.FRONT})))))
    for words in (
        "before anybody may ask to float her",
        "of 32 compartments",
        "nothing was seen there:",
        "not found yet",
        "Not a survey.",
        "No published limit for wasted aluminium plate was found",
        "4.6 required",
    ):
        assert words in text
    report = make_report(Judged(demo, checklists))
    assert {block.name for block in report.part("front").flat() if isinstance(block, Figure)} == {"seen", "worst"}


def jobs_of(report: Report) -> dict[int | None, str]:
    return {
        sheet.chalk: flat(write_text(Report("", "", (type(report.parts[0])("x", "x", (sheet,)),), report.proof)))
        for sheet in report.part("jobs").blocks
        if isinstance(sheet, Sheet)
    }


def test_each_plate_field_has_its_verdict_and_says_on_what_the_rest_of_it_rests(
    demo: Book, checklists: Checklists
) -> None:
    subject = Subject(Judged(demo, checklists), photos=True)
    for field in subject.judged.verdicts.fields.values():
        told = " ".join(field_points(subject, field))
        assert field.verdict is not None
        assert field.verdict.numbers in told
        if field.estimate is not None:
            assert "if the rest is like" in told
            assert "% sure" not in told


def cut_out(book: Book, chalk: int, treatment: Treatment = Treatment.INSERT_PLATE) -> Book:
    """The owner has decided for an insert plate, or something else."""
    own = Override(treatment=treatment, reason="the yard says so", when=START, by="Mattis")
    finding = book.findings[str(chalk)].model_copy(update={"override": own})
    return after(book, edits.change_finding(finding), STAMP)[0]


def test_a_job_sheet_has_what_is_quoted_from(demo: Book, checklists: Checklists) -> None:
    jobs = jobs_of(make_report(Judged(cut_out(demo, 23), checklists)))
    told = jobs[23]
    # Marked 600 × 300 mm, 50 mm beyond it on each side; weld 2 (700 + 400) − (8 − 2π) 100 mm.
    assert "Plate: 700 × 400 × 6 mm" in told
    assert "Butt: 2.03 m" in told
    assert "frame 12 + 230 mm" in told
    assert "Price" in told


def test_the_jobs_say_who_prices_them_and_how_long_an_insert_takes(demo: Book, checklists: Checklists) -> None:
    def jobs(book: Book) -> str:
        return flat(write_text(make_report(Judged(book, checklists), Contents.for_readers(Reader.WELDER))))

    time = "one to two days' work for a welder, with cutting, fitting, back-gouging and testing (common practice)"
    assert "the welder prices from them" in jobs(demo)
    assert time in jobs(demo)
    for chalk in (16, 29, 30, 45):
        demo = cut_out(demo, chalk, Treatment.WELD_UP)
    assert "the welder prices from them" in jobs(demo)
    assert "one to two days" not in jobs(demo), "no plate is let in"


def test_an_override_stands_beside_the_verdict_in_all_texts(demo: Book, checklists: Checklists) -> None:
    own = Override(treatment=Treatment.FILL, reason="sold next week", when=START, by="Mattis")
    finding = demo.findings["23"].model_copy(update={"override": own})
    book, _ = after(demo, edits.change_finding(finding), STAMP)
    told = flat(write_text(make_report(Judged(book, checklists))))
    assert "Owner: own decision" in told
    assert "sold next week" in told
    assert "weld up: deepest pit" in told


HARD = {
    "script": "<script>alert(1)</script>",
    "typst": '#panic("x") *b* _i_ $x$ @ref <label> \\',
    "formula": "=1+1",
    "markup": "[/] [bold]x[/bold]",
    "right to left": "שלום עולם",
    "long": "x" * 10_000,
    "emoji": "rust 😀 🦀",
    "han": "漢字",
    "control": "a\x00b\x1b[31m",
    "template": "{{ 7*7 }} {% raw %}",
}


@pytest.mark.parametrize("text", HARD.values(), ids=HARD.keys())
def test_text_that_tries_to_break_out_stands_there_literally(
    make_file: Callable[..., object], tmp_path: Path, checklists: Checklists, text: str
) -> None:
    from tests.terminal.test_hard_text import hard_book

    book = hard_book(tmp_path / "hard.hullbook", checklists, text).book
    made = write_papers(Judged(book, checklists), tmp_path / "papers")
    page = file_of(made, ".html").read_text(encoding="utf-8")
    assert html.escape(visible(text)).replace("&#x27;", "&#39;").replace("&quot;", "&#34;") in page
    assert "<script" not in page
    told = "".join(one.extract_text() for one in pypdf.PdfReader(file_of(made, ".pdf")).pages)
    bare = re.sub(r"\s+", "", told)
    wanted = re.sub(r"\s+", "", visible(text))
    if text == HARD["right to left"]:
        assert "שלום" in bare or "םולש" in bare
    elif text in (HARD["emoji"], HARD["han"], HARD["control"]):
        # What no font here can show is named by its number.
        named = "".join(sign if sign in bare else f"⟨U+{ord(sign):04X}⟩" for sign in wanted)
        assert named in bare
    else:
        assert wanted in bare
    for path in made.files:
        if path.suffix == ".csv":
            frame = pandas.read_csv(path, dtype=str, keep_default_na=False)
            cells = [cell for column in frame.columns for cell in frame[column]]
            assert not any(cell.startswith(("=", "+", "@")) for cell in cells)
    assert json.loads(file_of(made, "-book.json").read_bytes())["book"]["findings"]["1"]["words"] == text


def test_the_page_count_told_before_is_that_of_the_paper(demo: Book, checklists: Checklists, pack: Pack) -> None:
    assert pages(Judged(demo, checklists), Contents()) == len(pypdf.PdfReader(file_of(pack, ".pdf")).pages)


def test_the_same_report_gives_the_same_pdf(demo: Book, checklists: Checklists, tmp_path: Path) -> None:
    report = make_report(Judged(demo, checklists))
    for name in ("a", "b"):
        write_pdf(report, {}, tmp_path / name, tmp_path / f"{name}.pdf")
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


def test_a_missing_photo_is_told_and_the_rest_is_written(demo: Book, checklists: Checklists, tmp_path: Path) -> None:
    shutil.copytree(photo_folder(DEMO), tmp_path / "photos")
    (tmp_path / "photos/045-patch-a.jpg").unlink()
    made = write_papers(Judged(demo, checklists), tmp_path / "papers", ("html", "text"), photos=tmp_path / "photos")
    assert made.troubles == ("The photo 045-patch-a.jpg is missing.",)
    for path in made.files[:2]:
        assert "045-patch-a.jpg is missing" in path.read_text(encoding="utf-8")


def stops() -> Iterator[int]:
    """Stop at each step that asks."""
    yield from range(1, 30)


def test_stopped_at_any_step_nothing_half_written_is_left(demo: Book, checklists: Checklists, tmp_path: Path) -> None:
    folder = tmp_path / "papers"
    folder.mkdir()
    (folder / "Sandmartin-papers.txt").write_text("of last week")
    finished = 0
    for last in stops():
        asked = 0

        def stop(last: int = last) -> bool:
            nonlocal asked
            asked += 1
            return asked > last

        try:
            write_papers(Judged(demo, checklists), folder, ("text", "csv"), stop=stop)
        except Stopped:
            assert [path.name for path in folder.iterdir()] == ["Sandmartin-papers.txt"]
            assert (folder / "Sandmartin-papers.txt").read_text() == "of last week"
        else:
            finished += 1
            break
    assert finished == 1
    assert not any(path.name.startswith(".") for path in folder.iterdir())


def test_progress_goes_one_way_and_to_the_end(demo: Book, checklists: Checklists, tmp_path: Path) -> None:
    told: list[float] = []
    write_papers(
        Judged(demo, checklists),
        tmp_path,
        photos=photo_folder(DEMO),
        progress=lambda share, _words: told.append(share),
    )
    assert told == sorted(told)
    assert told[-1] == 1.0
    assert len(told) > len(demo.photos)


def test_the_proof_names_each_file_by_its_digest(pack: Pack) -> None:
    proof = json.loads(file_of(pack, "-proof.json").read_bytes())
    for path in pack.files[:-1]:
        assert proof["files"][path.name] == hashlib.sha256(path.read_bytes()).hexdigest()


def test_only_one_format_leaves_the_others_alone(demo: Book, checklists: Checklists, tmp_path: Path) -> None:
    wanted: tuple[Format, ...] = ("text",)
    write_papers(Judged(demo, checklists), tmp_path, FORMATS, Contents(photos=False))
    before = (tmp_path / "Sandmartin-papers.pdf").read_bytes()
    write_papers(Judged(demo, checklists), tmp_path, wanted, Contents(frozenset({PartName.JOBS})))
    assert (tmp_path / "Sandmartin-papers.pdf").read_bytes() == before
    proof = json.loads((tmp_path / "Sandmartin-proof.json").read_bytes())
    assert proof["files"]["Sandmartin-papers.pdf"] == hashlib.sha256(before).hexdigest()


def test_no_photos_asked_for_none_shown(demo: Book, checklists: Checklists) -> None:
    assert "<img" not in "".join(html_pieces(make_report(Judged(demo, checklists), Contents(photos=False)), {}))


@pytest.mark.parametrize(
    ("reader", "most"), [(Reader.BUYER, 8), (Reader.SURVEYOR, 24), (Reader.INSURER, 24), (Reader.WELDER, None)]
)
def test_papers_are_no_longer_than_their_reader_reads(
    demo: Book, checklists: Checklists, reader: Reader, most: int | None
) -> None:
    """Of the demo; a welder gets a sheet for all jobs and at most two for each."""
    judged = Judged(demo, checklists)
    assert pages(judged, Contents.for_readers(reader)) <= (most or 1 + 2 * len(judged.scope))


def test_numbers_on_paper_lead_to_their_findings(pack: Pack, demo: Book) -> None:
    reader = pypdf.PdfReader(file_of(pack, ".pdf"))
    links = [
        note.get_object()
        for page in reader.pages
        for note in page.get("/Annots") or ()
        if note.get_object().get("/Subtype") == "/Link"
    ]
    assert len(links) > len(demo.findings), "each finding is led to from more than one place"
    assert all("/Dest" in one or "/A" in one for one in links)

    def entries(outline: list[Any]) -> int:
        return sum(entries(one) if isinstance(one, list) else 1 for one in outline)

    assert entries(reader.outline) > len(demo.findings)


def below_the_text(pdf: Path) -> list[str]:
    """What stands in the lower margin of any page and is no foot of it."""
    found: list[str] = []
    for page in pypdf.PdfReader(pdf).pages:
        flipped = float(page.mediabox.width) > float(page.mediabox.height)
        margin_pt = (13 if flipped else 17) * 72 / 25.4

        def seen(text: str, user: list[float], at: list[float], *_: object, least: float = margin_pt) -> None:
            # The page's own matrix may turn y over; what is drawn is what both say together.
            y = user[1] * at[4] + user[3] * at[5] + user[5]
            if text.strip() and 0 < y < least - 6:
                found.append(text.strip())

        page.extract_text(visitor_text=seen)
    feet = ("A record of what", "Not a survey", ": it never says", "book ", "changes")
    return [text for text in found if not any(foot in text or text in foot for foot in feet)]


def test_nothing_runs_out_of_its_page(pack: Pack) -> None:
    assert below_the_text(file_of(pack, ".pdf")) == []


@pytest.mark.parametrize("lines", [1, 25, 35, 45])
def test_sheets_in_columns_stay_on_their_page_wherever_they_begin(
    lines: int, demo: Book, checklists: Checklists, tmp_path: Path
) -> None:
    """Each must stay whole, and is higher than what is left of the page below so many lines."""
    plain = make_report(Judged(demo, checklists))
    words = Words("Pits along the toe of the weld, white powder in them, the plate dull between. " * 14)
    sheets = tuple(Sheet(f"s{one}", f"finding {one}", (words,), whole=True) for one in range(5))
    before = Part("before", "Before", (Facts(tuple(Line(f"line {one}", "x") for one in range(lines))),))
    report = replace(
        plain, parts=(before, Part("two", "In columns", (Words("A word."), *sheets), two=True)), rings={}
    )
    out = tmp_path / "x.pdf"
    write_pdf(report, {}, tmp_path / "work", out)
    assert below_the_text(out) == []
    told = "\n".join(page.extract_text() for page in pypdf.PdfReader(out).pages)
    assert all(f"finding {one}" in told for one in range(5))


def test_a_table_leaves_out_what_no_row_says_and_names_it() -> None:
    columns = (Column("place"), Column("bright"), Column("date"))
    table = Table("Pits", columns, (("bow", "", "May"), ("stern", "", "")), note="In mm.")
    told = table.filled(named=True)
    assert [column.name for column in told.columns] == ["place", "date"]
    assert told.rows == (("bow", "May"), ("stern", ""))
    assert told.note == "In mm. Written down for none of these readings: bright."
    assert table.filled().note == "In mm."
    whole = Table("Pits", columns[:1], (("bow",),))
    assert whole.filled(named=True) == whole


def test_squares_that_differ_in_their_depths_alone_stand_in_one_row(checklists: Checklists) -> None:
    book = after(Book.empty(), new_book_edit(checklists, STAMP), STAMP)[0]
    place = next(iter(book.compartments.values()))
    for depths, wide in (([1.2, 0.4], 300.0), ([2.5], 300.0), ([0.9], 200.0)):
        edit = reading_edit(book, STAMP, place, "pits", depths, patch_length_mm=300.0, patch_width_mm=wide)
        book = after(book, edit, STAMP)[0]
    part = pits_part(Subject(Judged(book, checklists)))
    table = next(one for one in part.blocks if isinstance(one, Table))
    depths_at, deepest_at = (
        next(at for at, column in enumerate(table.columns) if column.name == name)
        for name in ("Depths mm", "Deepest")
    )
    assert [(row[depths_at], row[deepest_at]) for row in table.rows] == [("1.2  0.4 | 2.5", "2.5"), ("0.9", "0.9")]
