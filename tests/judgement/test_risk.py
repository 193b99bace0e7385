"""The matrix, cell by cell, and the rules from risk to tier."""

from __future__ import annotations

import pytest

from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.words import Likelihood, Severity, Tier
from inspect_tui.judgement.work.risk import MATRIX_SOURCE, Risk, place_finding, place_unseen, risk_of

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


@pytest.mark.parametrize(
    ("kind", "risk", "below", "afloat", "tier"),
    [
        ("air", Risk.LOW, False, False, Tier.NOW),
        ("hole", Risk.MEDIUM, True, True, Tier.NOW),
        ("hole", Risk.MEDIUM, True, False, Tier.BEFORE_AFLOAT),
        ("pitting", Risk.HIGH, True, True, Tier.NOW),
        ("pitting", Risk.HIGH, True, False, Tier.BEFORE_AFLOAT),
        ("pitting", Risk.HIGH, False, True, Tier.BEFORE_AFLOAT),
        ("pitting", Risk.SERIOUS, True, False, Tier.BEFORE_AFLOAT),
        ("pitting", Risk.SERIOUS, False, False, Tier.THIS_HAUL_OUT),
        ("pitting", Risk.MEDIUM, True, False, Tier.THIS_HAUL_OUT),
        ("pitting", Risk.MEDIUM, False, False, Tier.NEXT_HAUL_OUT),
        ("pitting", Risk.LOW, True, False, Tier.WATCH),
        ("fitting", Risk.LOW, True, False, Tier.BEFORE_AFLOAT),
        ("fitting", Risk.LOW, False, False, Tier.WATCH),
        ("leakage", Risk.LOW, False, False, Tier.BEFORE_AFLOAT),
    ],
)
def test_from_risk_to_tier(
    checklists: Checklists, kind: str, risk: Risk, below: bool, afloat: bool, tier: Tier
) -> None:
    assert place_finding(risk, checklists.kinds[kind], below=below, afloat=afloat).tier is tier


def test_the_unseen_is_never_now_and_never_forgotten() -> None:
    for severity in Severity:
        for below in (True, False):
            _, placed = place_unseen(severity, below=below)
            assert placed.tier is not Tier.NOW
            assert "until somebody looks" in placed.because
