"""The working behind a rank, in words: inputs, rule, source, and what it does not cover."""

from __future__ import annotations

from inspect_tui.domain.words import LIKELIHOOD_WORDS, SEVERITY_WORDS, TIER_WORDS
from inspect_tui.judgement.work.action import Action
from inspect_tui.judgement.work.risk import MATRIX_SOURCE, TIER_SOURCE, UNSEEN_LIKELIHOOD
from inspect_tui.judgement.work.worklist import Worklist


def rank_working(action: Action, listed: Worklist) -> list[tuple[str, str]]:
    """Why an action ranks where it does: headed lines, for the screen and the papers."""
    likelihood = action.likelihood or UNSEEN_LIKELIHOOD
    word, meaning = LIKELIHOOD_WORDS[likelihood]
    said_by = "as written, or worse if the readings say so" if action.verdict else "as written with the finding"
    if action.likelihood is None:
        said_by = "assumed for any place nobody has seen"
    numbers = action.verdict.lines() if action.verdict else []
    return [
        ("what", action.what),
        ("where", action.where),
        ("severity", f"{action.severity.roman} {action.severity.value}: {SEVERITY_WORDS[action.severity]}"),
        ("likelihood", f"{likelihood.value} {word}: {meaning} ({said_by})"),
        ("risk", f"{action.severity.roman} × {likelihood.value} = {action.risk.value}"),
        ("waterline", "below" if action.below else "above"),
        ("tier", f"{action.tier.value}: {TIER_WORDS[action.tier]}"),
        ("because", action.why),
        ("comes after", listed.after_words(action) or "nothing"),
        ("matrix", MATRIX_SOURCE),
        ("tiers", TIER_SOURCE),
        (
            "not covered",
            "Severity and likelihood are somebody's judgement; a matrix orders them and adds nothing to them.",
        ),
        *numbers,
    ]
