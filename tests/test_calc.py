"""`inspect-tui calc`: each topic's own example runs, keys carry units, bad input gets one sentence."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from inspect_tui.calc.topics import TOPICS as SPECS
from inspect_tui.cli import main

TOPICS = sorted(topic.name for topic in SPECS)
# Words at the end of a key that say what its number is in, or that it is no number.
UNITS = (
    "_mm",
    "_m",
    "_m2",
    "_m_s",
    "_l_min",
    "_l",
    "_min",
    "_kg",
    "_kn",
    "_deg",
    "_kpa",
    "_mpa",
    "_cm3",
    "_percent",
    "_per_m2",
    "_years",
    "years",
    "_per_year",
    "probability",
    "probability_cautious",
    "_class",
    "_shape",
    "_p_value",
    "patches",
    "_factor",
    "_mv",
    "_g",
    "_a",
    "_ohm_m",
    "_s_m",
    "_ratio",
    "_ma",
)
PLAIN = {
    "web_ratio",
    "web_ratio_at_most",
    "web_passes",
    "count",
    "method",
    "advice",
    "warnings",
    "edition",
    "enough_by_pressure",
    "enough_by_minimum",
    "enough",
    "loss_measurable",
    # of electricity: states, numbers of anodes and patches, chances
    "state",
    "to_do",
    "eaten",
    "verdict",
    "number",
    "governed_by",
    "by_mass",
    "by_current_at_first",
    "by_current_at_the_end",
    "by_reach",
    "spread",
    "chance_one_more_is_bad",
    "bad_among_the_rest_low",
    "bad_among_the_rest_high",
    "chance_any_is_bad",
    # of meters: states and what to say
    "isolation",
    "say",
    "asked",
    *(f"{what}_{word}" for what in ("ph", "copper", "chlorine", "oxygen", "vapour") for word in ("passes", "say")),
}


def run(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(main, ["calc", *words])
    return done.exit_code, done.output


def example(topic: str) -> list[str]:
    code, told = run(topic, "--help")
    assert code == 0
    text = re.search(r"Example:\s+inspect-tui calc (.+?)(?:\n\n|Options:)", told, re.DOTALL)
    assert text, told
    return shlex.split(text[1].replace("\\\n", " ").replace("\n", " "))


def test_the_readme_names_every_topic() -> None:
    readme = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
    assert not [topic for topic in TOPICS if f"`{topic}`" not in readme]


@pytest.mark.parametrize("topic", TOPICS)
def test_the_example_in_the_help_works(topic: str) -> None:
    code, told = run(*example(topic))
    assert code == 0, told
    assert "working" in told
    assert "source: " in told


@pytest.mark.parametrize("topic", TOPICS)
def test_json_has_its_parts_and_units_in_its_keys(topic: str) -> None:
    code, told = run(*example(topic), "--json")
    assert code == 0, told
    parsed = json.loads(told)
    assert set(parsed) == {"inputs", "result", "working", "sources", "not_covered"}
    assert parsed["working"]
    assert parsed["sources"]
    for key in parsed["result"]:
        assert key in PLAIN or key.endswith(UNITS), key


def test_the_deepest_pit_by_all_its_options() -> None:
    depths = ["1.2", "0,8", "2.4", "1.9", "3.1", "1.1", "0.9", "1.6"]
    area = ["--patch-area", "0.09", "--total-area", "4.6", "--plate", "6"]
    _, told = run("deepest-pit", *depths, *area, "--not-found", "3", "--holed", "1", "--method", "auto", "--json")
    result = json.loads(told)["result"]
    assert result["method"] == "ml"
    assert result["patches"] == 12
    assert 0 < result["hole_probability"] < 1
    assert result["deepest_bound_mm"] > result["deepest_likely_mm"]
    for method in ("mvlue", "ml", "moments"):
        _, told = run("deepest-pit", *depths, *area, "--method", method, "--json")
        assert json.loads(told)["result"]["method"] == method


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["deepest-pit", "1", "2", "--patch-area", "0.09", "--total-area", "4"], "cannot speak for the rest"),
        (["deepest-pit", *["1.5"] * 9, "--patch-area", "0.09", "--total-area", "4"], "All depths are equal"),
        (["loss", "-5", "--built", "6"], "not a thickness"),
        (["loss", "60", "--built", "6"], "cannot be a plate"),
        (["pits", "7", "--plate", "6"], "is a hole"),
        (["growth", "--built", "6", "--now", "5", "--years", "0"], "more than 0"),
        (["growth", "--built", "6", "--now", "5", "--years", "9", "--pit", "9"], "is a hole"),
        (["growth", "--built", "6", "--now", "5", "--years", "9", "--pit", "2", "--ahead", "-50"], "look ahead"),
        (["deepest-pit", *"123456", "--patch-area", "0.09", "--total-area", "4", "--holed", "1"], "give that too"),
        (["loss", "5", "--built", "6", "--paint", "-1"], "cannot be thinner than 0 mm"),
        (["plate", "--region", "bottom"], "Not given: --metal"),
        (["stiffener", "--web-height", "80", "--web", "8", "--plate", "5", "--spacing", "400", "--metal", "steel",
          "--loss", "8"], "nothing is left"),
        (["electrode", "-900"], "Against which electrode"),
        (["electrode", "-90000", "--against", "cse"], "Are these volts"),
        (["protection", "-900", "--hull", "aluminium"], "Against which electrode"),
        (["couple", "aluminium", "wood"], "is not in the series"),
        (["couple", "copper", "copper"], "one metal, not two"),
        (["faraday", "zinc", "--current", "-1", "--hours", "3"], "less than 0"),
        (["resistivity", "--salinity", "0.5", "--temperature", "15"], "from 2 to 42"),
        (["anodes", "--hull", "aluminium", "--area", "38", "--years", "2", "--anode", "magnesium", "--mass", "3",
          "--size", "0.3", "0.1", "0.03"], "No magnesium"),
        (["patches", "4", "3", "2"], "no more can be bad than were opened"),
        (["isolation", "--positive", "-1"], "between 0 and 1000 MΩ"),
        (["joint", "-0.2", "--across", "bond"], "between 0 and 1000 MΩ"),
        (["tank"], "Give at least one"),
        (["tank", "--chlorine", "50"], "needs both"),
        (["air", "120", "0"], "between 0 and 100"),
    ],
)  # fmt: skip
def test_bad_input_gets_one_sentence(words: list[str], sentence: str) -> None:
    code, told = run(*words)
    assert code == 1
    assert sentence in told
    assert "Traceback" not in told


def test_text_for_a_number_is_wrong_usage() -> None:
    code, told = run("pits", "deep")
    assert code == 2
    assert '"deep" is not a number' in told


def test_pits_by_all_their_measures() -> None:
    words = [
        "3.1",
        "2.4",
        "--area",
        "0.0025",
        "--mean-loss",
        "0.6",
        "--plate",
        "6",
        "--patches",
        "12",
        "--pitted",
        "9",
    ]
    _, told = run("pits", *words, "--opening", "8", "--opening", "14,5", "--json")
    result = json.loads(told)["result"]
    assert result["pitted_area_percent"] == pytest.approx(0.9)
    assert (result["depth_class"], result["opening_class"]) == ("C-4", "B-4")
    assert result["pitting_probability_percent"] == 75
    assert result["pitting_factor"] == pytest.approx(3.7 / 0.6)
    assert "needs both" in run("pits", "3.1", "--patches", "12")[1]
    assert "--area too" in run("pits", "3.1", "--opening", "8")[1]


def test_a_plate_from_a_file(tmp_path: Path) -> None:
    file = tmp_path / "panel.toml"
    file.write_text(
        'region = "bottom"\nmetal = "aluminium"\nsail = true\ncategory = "A"\nwaterline_length_m = 10\n'
        "displacement_kg = 8000\nshort_mm = 300\nlong_mm = 900\nproof_mpa = 125\nultimate_mpa = 275\n",
        encoding="utf-8",
    )
    code, told = run("plate", "--file", str(file), "--actual-mm", "4", "--json")
    assert code == 0, told
    assert json.loads(told)["result"]["required_mm"] == pytest.approx(4.393, abs=0.001)
    file.write_text("lenght = 3\n", encoding="utf-8")
    code, told = run("plate", "--file", str(file))
    assert code == 1
    assert "lenght: this key is not known" in told
    file.write_text('short_mm = "wide"\n', encoding="utf-8")
    assert 'short_mm: "wide" is not a number' in run("plate", "--file", str(file))[1]
