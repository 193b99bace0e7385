"""The bench of what is promised of the disk: `python -m tests.faults.run --kills 500 --omitted 3`.

Kills of the program at work, power cuts at every moment, and every pair of damages on a book and its copies; prints
the table that stands in README. The exit code is 1 if anything was lost.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from itertools import chain, repeat

from inspect_tui.domain.plain import counted
from inspect_tui.handover.papers import FORMATS
from inspect_tui.store.checklist_files import load_checklists
from tests.faults.cuts import run as cut
from tests.faults.cuts import scenes
from tests.faults.kills import MOST_TYPING_LOST_S, WORKS, Count, kill_many

Row = tuple[str, str, str]
HEAD: Row = ("What is done to it", "How often", "What was lost")


def kills(times: int, seed: int, processes: int, told: Callable[[str], object]) -> list[Row]:
    """`times` kills in all, shared out over the kinds of work."""
    share = [times // len(WORKS) + (number < times % len(WORKS)) for number in range(len(WORKS))]
    jobs = list(chain.from_iterable(repeat(at, number) for at, number in enumerate(share)))
    counts = [Count() for _ in WORKS]
    with ProcessPoolExecutor(processes) as pool:
        for at, one in zip(jobs, pool.map(_one_kill, jobs, range(seed, seed + len(jobs))), strict=True):
            counts[at].add(one)
            for words in one.wrong:
                told(words)
    return [_row(work.name, count) for work, count in zip(WORKS, counts, strict=True)]


def _one_kill(at: int, seed: int) -> Count:
    return kill_many(WORKS[at], 1, seed)


def _row(name: str, count: Count) -> Row:
    lost = f"{counted(len(count.wrong), 'fault')}" if count.wrong else "nothing"
    if count.typing_lost_s:
        lost += f" saved; of the typing at most the last {count.typing_lost_s:.2f} s"
        if count.typing_lost_s > MOST_TYPING_LOST_S:
            lost += " (too much)"
    told = f", {counted(count.acknowledged, 'record')} reported saved" if count.acknowledged else ""
    return f"killed while {name}", f"{counted(count.kills, 'kill')}{told}", lost


def cuts(omitted: int, told: Callable[[str], object]) -> list[Row]:
    rows: list[Row] = []
    for scene in scenes(load_checklists(None), FORMATS):
        states, wrong = cut(scene, omitted)
        for words in wrong:
            told(words)
        lost = counted(len(wrong), "fault") if wrong else "nothing"
        rows.append((f"power cut, {scene.name}", f"{counted(states, 'different state')}", lost))
    return rows


def damages() -> list[Row]:
    test = "tests/store/test_copies.py::test_every_pair_of_damages_brings_back_the_newest_whole_copy_of_this_book"
    from tests.store.test_copies import DAMAGES

    done = subprocess.run([sys.executable, "-m", "pytest", "-q", test], check=False, stdout=subprocess.DEVNULL)
    pairs = len(DAMAGES) ** 2
    return [
        ("any two of book, last save and backup damaged", f"{pairs} trials for each two", _failed(done.returncode))
    ]


def _failed(code: int) -> str:
    return "faults" if code else "nothing"


def as_table(rows: list[Row]) -> str:
    """For README: a table in Markdown."""
    lines = [HEAD, ("---", "---", "---"), *rows]
    return "".join(f"| {' | '.join(row)} |\n" for row in lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=60)
    parser.add_argument("--omitted", type=int, default=2, help="operations that a power cut may leave out")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    told: Callable[[str], object] = lambda words: print(words, file=sys.stderr, flush=True)  # noqa: E731
    rows = [*kills(asked.kills, asked.seed, asked.processes, told), *cuts(asked.omitted, told), *damages()]
    print(as_table(rows))
    sys.exit(any("fault" in row[2] or "too much" in row[2] for row in rows))


if __name__ == "__main__":
    main()
