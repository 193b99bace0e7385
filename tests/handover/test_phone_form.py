"""The form for a telephone: it holds every open question, nothing in it acts, and what was filled in survives."""

from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from inspect_tui.clock import now
from inspect_tui.domain import edits
from inspect_tui.domain.book import Book, Stamp, after
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.records import Compartment
from inspect_tui.handover.sheets.field_import import read_table
from inspect_tui.handover.sheets.field_sheets import COLUMNS, open_prompts
from inspect_tui.handover.sheets.phone_form import phone_form
from tests.conftest import START, place_called

STAMP = Stamp(START, "Ida")

# Ten answers, twenty readings, a share; then the page is loaded anew and gives its table.
DRIVE = """
<script>
const set = (field, told) => {
  field.value = told;
  field.dispatchEvent(new Event(field.tagName === "SELECT" ? "change" : "input", { bubbles: true }));
};
const named = (inside, words) => {
  const label = [...inside.querySelectorAll("label")].find((one) => one.textContent.startsWith(words));
  return label.querySelector("input, select");
};
if (!sessionStorage.getItem("filled")) {
  document.querySelectorAll("details").forEach((one) => { one.open = true; });
  set(document.getElementById("by"), "Ida");
  set(named(document, "Metal seen"), "80"); set(named(document, "What hid the rest"), "dirty");
  [...document.querySelectorAll(".said")].slice(0, 10).forEach((group, number) => {
    const button = group.querySelectorAll("input")[[0, 2, 3][number % 3]];
    button.checked = true; button.dispatchEvent(new Event("change", { bubbles: true }));
    if (number % 3 === 1) set(named(group.parentNode, "Why not"), "dirty");
  });
  const add = [...document.querySelectorAll("button")].find((one) => one.textContent === "One more reading");
  for (let number = 0; number < 20; number += 1) {
    add.click();
    const reading = add.previousSibling.lastChild;
    set(named(reading, "Measured"), "thickness"); set(named(reading, "Values"), (5 + number / 10).toFixed(1));
    set(named(reading, "Frame"), String(number)); set(named(reading, "Side"), "P");
  }
  sessionStorage.setItem("filled", "yes");
  location.reload();
} else {
  const wide = document.documentElement.scrollWidth <= document.documentElement.clientWidth;
  document.body.append(make("pre", { id: "told", textContent: JSON.stringify({ table: table(), wide: wide }) }));
}
</script></body>"""


def form(book: Book, checklists: Checklists, *places: Compartment) -> str:
    return phone_form(
        book, checklists, [(one, open_prompts(book, checklists, one)) for one in places], tuple(COLUMNS)
    )


def data_of(page: str) -> dict[str, object]:
    found = re.search(r'<script type="application/json" id="data">(.*?)</script>', page, re.DOTALL)
    assert found is not None
    told: dict[str, object] = json.loads(found[1])
    return told


def test_it_holds_every_open_question_and_asks_nothing_of_the_network(book: Book, checklists: Checklists) -> None:
    places = book.bow_to_stern()
    page = form(book, checklists, *places)
    told = data_of(page)
    for place, one in zip(places, told["places"], strict=True):  # type: ignore[call-overload]
        assert [prompt["key"] for prompt in one["prompts"]] == [
            prompt.key for prompt in open_prompts(book, checklists, place)
        ]
    assert told["columns"] == list(COLUMNS)
    assert not re.search(r"https?://|src=|@import", page)


@pytest.mark.parametrize("words", ["</script><script>alert(1)</script>", '"; alert(1); "', "{{ 7*7 }}", "<b>x</b>"])
def test_no_name_breaks_out(book: Book, checklists: Checklists, words: str) -> None:
    place = book.bow_to_stern()[0].model_copy(update={"name": words})
    book = after(book, edits.change_compartment(place), STAMP)[0]
    page = form(book, checklists, place)
    assert page.count("<script") == 2
    assert data_of(page)["places"][0]["name"] == words  # type: ignore[index]
    assert words not in page or "<" not in words


def chromium() -> str | None:
    return next(
        (path for name in ("chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), None
    )


@pytest.mark.skipif(chromium() is None, reason="needs Chromium")
def test_what_was_filled_in_survives_a_reload_and_reads_back(
    book: Book, checklists: Checklists, tmp_path: Path
) -> None:
    place = place_called(book, "galley")
    page = tmp_path / "form.html"
    page.write_text(form(book, checklists, place).replace("</body>", DRIVE), encoding="utf-8")
    done = subprocess.run(
        [str(chromium()), "--headless", "--no-sandbox", "--disable-gpu", "--host-resolver-rules=MAP * ~NOTFOUND",
         "--window-size=375,800", "--virtual-time-budget=20000", f"--user-data-dir={tmp_path / 'profile'}",
         "--dump-dom", page.as_uri()],
        capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    found = re.search(r'<pre id="told">(.*?)</pre>', done.stdout, re.DOTALL)
    assert found is not None, done.stderr[-500:]
    told = json.loads(html.unescape(found[1]))
    assert told["wide"], "nothing runs out of the screen sideways"
    preview = read_table(book, checklists, Stamp(now(), "Ida"), told["table"].encode(), "form.csv")
    assert preview.bad == ()
    assert len(preview.good) == 31
    read = after(book, preview.edit(book), STAMP)[0]
    assert len(read.readings) - len(book.readings) == 20
    assert {one.position.frame for one in read.readings.values()} == set(map(float, range(20)))
    assert {one.by for one in read.readings.values()} == {"Ida"}
