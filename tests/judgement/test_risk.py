"""The matrix, cell by cell, and the rules from risk to tier."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Likelihood, Severity, Tier
from inspect_tui.judgement.work.risk import MATRIX_SOURCE, Lies, place_finding, place_unseen, risk_of

# Source: MIL-STD-882E (2012, change 1 of 2023), table III, as transcribed by a third party; the original was
# not seen. Cell III-E is Low in that copy; MIL-STD-882D table A-III gives index 17 there, Medium: Medium is used.
TABLE = {
    "A": "high high serious medium",
    "B": "high high serious medium",
    "C": "high serious medium low",
    "D": "serious medium medium low",
    "E": "medium medium medium low",
    "F": "eliminated eliminated eliminated eliminated",
}


@pytest.mark.parametrize("letter", list(TABLE))
def test_every_cell_of_the_matrix(letter: str) -> None:
    row = [risk_of(severity, Likelihood(letter)).value for severity in Severity]
    assert " ".join(row) == TABLE[letter]


def test_the_source_says_that_it_was_seen_second_hand() -> None:
    assert "third-party copy" in MATRIX_SOURCE
    assert "III-E" in MATRIX_SOURCE


def test_risk_never_grows_when_severity_or_likelihood_falls() -> None:
    for severity in Severity:
        ranks = [risk_of(severity, likelihood).rank for likelihood in Likelihood]
        assert ranks == sorted(ranks)
    for likelihood in Likelihood:
        ranks = [risk_of(severity, likelihood).rank for severity in Severity]
        assert ranks == sorted(ranks)


# Where things lie: under water, above it in the shell, above it on deck, above it in the steering.
UNDER, TOPSIDE = Lies(True, True, False, False), Lies(False, True, False, False)
ON_DECK, STEERING = Lies(False, False, False, False), Lies(False, False, True, False)
ONE, TWO, THREE, FOUR = Severity


@pytest.mark.parametrize(
    ("kind", "severity", "letter", "lies", "afloat", "tier"),
    [
        ("air", FOUR, "F", ON_DECK, False, Tier.NOW),
        ("asbestos", FOUR, "E", ON_DECK, False, Tier.NOW),
        ("hole", THREE, "C", UNDER, True, Tier.NOW),
        ("hole", THREE, "C", UNDER, False, Tier.BEFORE_AFLOAT),
        ("hole", THREE, "C", ON_DECK, False, Tier.BEFORE_AFLOAT),
        ("crack", THREE, "C", TOPSIDE, False, Tier.BEFORE_AFLOAT),
        ("crack", ONE, "C", STEERING, False, Tier.BEFORE_SAILING),
        ("flooding", FOUR, "E", UNDER, True, Tier.NOW),
        ("pitting", ONE, "B", UNDER, True, Tier.NOW),
        ("pitting", TWO, "B", UNDER, True, Tier.BEFORE_AFLOAT),
        ("pitting", TWO, "C", UNDER, True, Tier.BEFORE_AFLOAT),
        ("pitting", TWO, "C", UNDER, False, Tier.BEFORE_AFLOAT),
        ("pitting", TWO, "B", TOPSIDE, True, Tier.BEFORE_SAILING),
        ("pitting", THREE, "B", UNDER, False, Tier.THIS_HAUL_OUT),
        ("pitting", TWO, "C", TOPSIDE, False, Tier.THIS_HAUL_OUT),
        ("pitting", TWO, "D", UNDER, False, Tier.THIS_HAUL_OUT),
        ("pitting", TWO, "D", TOPSIDE, False, Tier.NEXT_HAUL_OUT),
        ("pitting", FOUR, "C", UNDER, False, Tier.WATCH),
        ("fitting", FOUR, "D", UNDER, False, Tier.BEFORE_AFLOAT),
        ("fitting", FOUR, "D", ON_DECK, False, Tier.WATCH),
        ("fitting", TWO, "C", STEERING, False, Tier.BEFORE_SAILING),
        ("leakage", FOUR, "D", ON_DECK, False, Tier.BEFORE_AFLOAT),
        ("wet-cover", TWO, "C", UNDER, False, Tier.THIS_HAUL_OUT),
        ("anode", TWO, "B", UNDER, False, Tier.BEFORE_AFLOAT),
    ],
)
def test_from_risk_to_tier(
    checklists: Checklists, kind: str, severity: Severity, letter: str, lies: Lies, afloat: bool, tier: Tier
) -> None:
    placed = place_finding(severity, Likelihood(letter), checklists.kinds[kind], replace(lies, afloat=afloat))
    assert placed.tier is tier


def test_what_no_kind_is_named_for_may_let_water_in() -> None:
    assert place_finding(TWO, Likelihood.C, None, UNDER).tier is Tier.BEFORE_AFLOAT


def test_a_graver_or_a_likelier_finding_never_ranks_lower(checklists: Checklists) -> None:
    for kind in (*checklists.kinds.values(), None):
        for lies in (UNDER, TOPSIDE, ON_DECK, STEERING):
            for afloat in (True, False):
                here = replace(lies, afloat=afloat)
                for letter in Likelihood:
                    ranks = [place_finding(severity, letter, kind, here).tier.rank for severity in Severity]
                    assert ranks == sorted(ranks), (kind, here, letter)
                for severity in Severity:
                    ranks = [place_finding(severity, letter, kind, here).tier.rank for letter in Likelihood]
                    assert ranks == sorted(ranks), (kind, here, severity)


def test_the_unseen_is_never_now_and_never_forgotten() -> None:
    for severity in Severity:
        for lies in (UNDER, TOPSIDE, ON_DECK, STEERING):
            placed = place_unseen(severity, lies)
            assert placed.tier.rank >= Tier.BEFORE_AFLOAT.rank
            assert "until somebody looks" in placed.because
