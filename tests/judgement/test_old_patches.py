"""Old patches: counted with their like, told in words, and with limits only where a lot chose them."""

from __future__ import annotations

from itertools import product
from math import comb

import pytest

from inspect_tui.domain.edits import lift_patch, name_patch
from inspect_tui.domain.records import Finding, Lifted, StatusEvent
from inspect_tui.domain.words import BAD_BENEATH, Beneath, Likelihood, PatchType, Severity, Status
from inspect_tui.engineering.proportion import among_rest
from inspect_tui.errors import CannotCalculate
from inspect_tui.judgement.causes.patches import Pool, signs_shown, tally, tally_lines
from inspect_tui.judgement.judged import Judged
from tests.conftest import START
from tests.judgement.test_cause_stories import eaten
from tests.judgement.test_evidence import Boat, boat

__all__ = ["boat"]

FILLER, PLATE = PatchType.FILLER, PatchType.PLATE


def patch(chalk: int, beneath: Beneath | None, type: PatchType | None = FILLER, drawn: bool | None = None) -> Finding:
    lifted = None if beneath is None else Lifted(when=START, by="Mattis", beneath=beneath, drawn=drawn)
    stood = StatusEvent(status=Status.FOUND, when=START, by="Mattis", round="r1")
    return Finding(
        chalk=chalk, compartment="k1", kind="old-patch", words="", severity=Severity.MARGINAL,
        likelihood=Likelihood.C, history=(stood,), lifted=lifted, patch=type,
    )  # fmt: skip


def pool(bad: int, sound: int, waiting: int, drawn: bool | None = None, type: PatchType | None = FILLER) -> Pool:
    lifted = [Beneath.PITS] * bad + [Beneath.SOUND] * sound
    return Pool(
        type,
        tuple(patch(number, beneath, type, drawn) for number, beneath in enumerate(lifted, 1)),
        tuple(patch(100 + number, None, type) for number in range(waiting)),
    )


def written(boat: Boat, beneath: Beneath | None, type: PatchType | None, drawn: bool | None = None) -> None:
    eaten(boat, kind="old-patch")
    chalk = max(boat.book.findings, key=int)
    boat.do(name_patch(boat.book.findings[chalk], type))
    if beneath is not None:
        one = Lifted(when=START, by="Mattis", beneath=beneath, drawn=drawn)
        boat.do(lift_patch(boat.book, boat.book.findings[chalk], one, *signs_shown(one), below=True))


def test_unlike_patches_are_not_counted_together(boat: Boat) -> None:
    for beneath, type in ((Beneath.PITS, FILLER), (Beneath.SOUND, PLATE), (None, PLATE), (None, FILLER),
                          (None, PatchType.WELD), (None, None)):  # fmt: skip
        written(boat, beneath, type)
    told = tally(boat.book)
    counts = {one.type: (len(one.lifted), len(one.bad), len(one.waiting)) for one in told.pools}
    assert counts == {FILLER: (1, 1, 1), PLATE: (1, 0, 1), PatchType.WELD: (0, 0, 1), None: (0, 0, 1)}
    assert [one.chalk for one in told.waiting] == [3, 4, 5, 6]
    assert [one.chalk for one in told.lifted] == [1, 2]
    lines = [text for _, text in tally_lines(told)]
    assert any(
        text.startswith("weld repair: none of 1 lifted; what other kinds showed says nothing") for text in lines
    )
    assert any(text.startswith("kind not said, may be mixed") for text in lines)
    chances = {one.chalk: one.likelihood for one in Judged(boat.book, boat.checklists).worklist.actions if one.chalk}
    assert chances[4] is Likelihood.B, "the only filler that was lifted was bad"
    assert chances[3] is Likelihood.C, "what lay under filler says nothing of a doubler"
    assert chances[5] is Likelihood.C
    why = {one.chalk: one.why for one in Judged(boat.book, boat.checklists).worklist.actions}
    assert "Old patches, filler or epoxy: of 1 lifted, 1 was bad" in why[4]
    assert "Old patches" not in why[5]


def test_the_words_for_the_rest() -> None:
    assert pool(3, 2, 7).counted == (
        "of 5 lifted, 3 were bad; says little of the other 7: those that look worst are lifted first"
    )
    assert pool(3, 2, 0).counted == "of 5 lifted, 3 were bad"
    assert pool(1, 1, 2, drawn=False).counted.endswith("those that look worst are lifted first")
    assert pool(1, 1, 2, drawn=True, type=None).counted.endswith("says little of the other 2: their kinds may differ")
    assert pool(0, 5, 5, drawn=True).counted == (
        "of 5 lifted, 0 were bad, drawn by lot: of the other 5, 0 to 3 are bad, at 90 %"
    )
    assert "of the other 1, 1 is bad" in pool(29, 0, 1, drawn=True).counted


def test_limits_only_where_a_lot_chose_every_one_of_them() -> None:
    assert pool(2, 3, 7, drawn=True).among is not None
    for drawn in (False, None):
        assert pool(2, 3, 7, drawn=drawn).among is None
    mixed = pool(2, 3, 7, drawn=True)
    one = patch(50, Beneath.SOUND, FILLER, drawn=None)
    assert Pool(FILLER, (*mixed.lifted, one), mixed.waiting).among is None
    assert pool(2, 3, 7, drawn=True, type=None).among is None, "nobody knows that they are alike"
    assert pool(2, 3, 0, drawn=True).among is None
    assert pool(0, 0, 4).among is None


@pytest.mark.parametrize(("opened", "not_opened"), [(1, 1), (2, 5), (5, 5), (4, 9), (7, 3)])
def test_the_limits_hold_as_often_as_they_say_for_any_number_of_bad_ones(opened: int, not_opened: int) -> None:
    every = opened + not_opened
    for bad_in_all in range(every + 1):
        right = 0
        for bad in range(max(0, bad_in_all - not_opened), min(opened, bad_in_all) + 1):
            told = among_rest(opened, bad, not_opened)
            ways = comb(bad_in_all, bad) * comb(every - bad_in_all, opened - bad)
            right += ways * (told.low <= bad_in_all - bad <= told.high)
        assert right / comb(every, opened) >= 0.9


def test_what_cannot_be_is_refused() -> None:
    for numbers in ((0, 0, 3), (3, 4, 1), (3, -1, 1), (3, 1, -1), (2, 1, 10_000)):
        with pytest.raises(CannotCalculate):
            among_rest(*numbers)


def test_one_more_bad_never_lowers_and_one_more_sound_never_raises_the_letter() -> None:
    for bad, sound in product(range(9), repeat=2):
        now = pool(bad, sound, 3).likelihood
        worse, better = pool(bad + 1, sound, 2).likelihood, pool(bad, sound + 1, 2).likelihood
        assert worse is not None
        assert better is not None
        # Ranks begin with the worst; before one is lifted the finding's own letter stands, which a sound one keeps.
        assert now is None or worse.rank <= now.rank
        assert (Likelihood.C if now is None else now).rank <= better.rank
    letters = [pool(bad, sound, 1).likelihood for bad, sound in ((0, 4), (1, 4), (2, 3), (2, 2), (3, 1))]
    assert letters == [Likelihood.D, Likelihood.C, Likelihood.C, Likelihood.B, Likelihood.B]


@pytest.mark.parametrize("beneath", tuple(Beneath))
def test_in_the_list_too(boat: Boat, beneath: Beneath) -> None:
    def ranks() -> dict[int, int]:
        return {
            one.chalk: one.likelihood.rank
            for one in Judged(boat.book, boat.checklists).worklist.actions
            if one.chalk in {each.chalk for each in tally(boat.book).waiting} and one.likelihood
        }

    for first in (Beneath.SOUND, Beneath.PITS, None, None):
        written(boat, first, FILLER)
    before = ranks()
    written(boat, beneath, FILLER)
    for chalk, rank in ranks().items():
        assert rank <= before[chalk] if beneath in BAD_BENEATH else rank >= before[chalk]


def test_advice_follows_the_letter() -> None:
    assert pool(0, 0, 2).advice.startswith("Once she is hauled out, lift one")
    assert pool(2, 1, 2).advice.startswith("Lift them all")
    assert pool(1, 3, 2).advice.startswith("Lift more")
    assert pool(0, 3, 2).advice.startswith("Look at the rest")
