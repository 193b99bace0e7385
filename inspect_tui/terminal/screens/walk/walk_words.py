"""What the walk says of a place, a question, and the answer to it."""

from __future__ import annotations

from rich.text import Text

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.measured import read_words
from inspect_tui.domain.plain import one_line
from inspect_tui.domain.records import Answer, Compartment, Finding
from inspect_tui.domain.words import Said
from inspect_tui.domain.zones import zone_of_prompt


class WalkWords:
    """Words over one state of the book."""

    def __init__(self, book: Book, checklists: Checklists) -> None:
        self._book = book
        self._checklists = checklists

    def findings(self, prompt: Prompt, place: Compartment) -> list[Finding]:
        """Those that came from this question in this place."""
        return [
            one for one in self._book.findings.values() if (one.prompt, one.compartment) == (prompt.key, place.id)
        ]

    def of_place(self, place: Compartment, prompt: Prompt, index: int) -> Text:
        """Where the walk stands."""
        done = walk.progress(self._book, self._checklists, place)
        parts = [
            f"{index + 1} of {done.asked}",
            walk.frames_words(place),
            zone_of_prompt(self._checklists, place, prompt).value,
            "" if done.seen_percent is None else f"metal seen {done.seen_percent:g} %",
            f"{done.asked - done.answered} open" if not done.complete else "all answered",
        ]
        text = Text.assemble((one_line(place.name), "bold"))
        text.append("   " + "   ".join(part for part in parts if part))
        return text

    def before(self, prompt: Prompt, place: Compartment) -> str:
        """What was said, found and measured here before."""
        lines = []
        earlier = walk.earlier_answer(self._book, place.id, prompt.key)
        if earlier:
            number = self._book.round_number(earlier.round)
            why = f" ({earlier.reason.value})" if earlier.reason else ""
            note = f": {one_line(earlier.note)}" if earlier.note else ""
            lines.append(f"round {number}, {earlier.when:%Y-%m-%d}: {earlier.said.value}{why}{note}")
        for finding in self.findings(prompt, place):
            words = f": {one_line(finding.words)}" if finding.words else ""
            lines.append(f"finding {finding.chalk}, {finding.severity.value}, {finding.status.value}{words}")
        for reading in self._book.readings.values():
            if reading.prompt == prompt.key and reading.compartment == place.id and reading.finding is None:
                lines.append(f"measured {reading.when:%Y-%m-%d}: {read_words(self._book.boat, reading)}")
        return "\n".join(lines)

    def of_answer(self, prompt: Prompt, place: Compartment, waiting: str, bar: walk.Bar | None) -> Text:
        """The answers that are taken now, the one that was given marked; `waiting`: words that go with the answer."""
        answer = walk.answer_of(self._book, place.id, prompt.key)
        text = Text()
        for said in Said:
            shut = bar is not None and (said is Said.SOUND or (said is Said.FINDING and not bar.finding))
            if shut and (answer is None or answer.said is not said):
                continue
            chosen = answer is not None and answer.said is said and not (prompt.share and said is Said.UNSEEN)
            word = f"[{said.value[0].upper()}]{said.value[1:]}"
            text.append(f" {word} ", "bold reverse" if chosen else "bold")
            text.append("  ")
        if prompt.share:
            text.append(" 0–9: share seen in tens of % ", "bold")
        if answer:
            text.append(f"\n{_answer_told(answer, prompt)}")
            visit = walk.visit_of(self._book, place.id)
            if prompt.share and visit:
                why = ", ".join(reason.value for reason in visit.reasons)
                text.append(f": {visit.seen_percent:g} % seen{'; the rest: ' + why if why else ''}")
        else:
            text.append(
                f"\nnot answered yet; with the answer goes: {one_line(waiting)}" if waiting else "\nnot answered yet"
            )
        return text


def _answer_told(answer: Answer, prompt: Prompt) -> str:
    why = f" ({answer.reason.value})" if answer.reason and not prompt.share else ""
    note = f"   “{one_line(answer.note)}”" if answer.note else ""
    said = "answered" if prompt.share else answer.said.value
    return f"{said}{why}, {answer.when:%Y-%m-%d %H:%M} by {one_line(answer.by)}{note}"
