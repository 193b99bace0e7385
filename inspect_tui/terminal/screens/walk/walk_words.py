"""What the walk says of a place, a question, and the answer to it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from textwrap import wrap

from rich.text import Text
from textual.geometry import Size

from inspect_tui.domain import walk
from inspect_tui.domain.book import Book
from inspect_tui.domain.knowledge.areas import By, Prompt
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.domain.measuring.measured import read_words
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.records import Answer, Compartment, Finding
from inspect_tui.domain.words import Need, Said
from inspect_tui.domain.zones import zone_of_prompt
from inspect_tui.terminal.widgets.answers import Answerable

# What is said to the one look: yes to all of it, or no.
LOOKED = {Said.SOUND: "Yes, all of it", Said.FINDING: "No: ask each", Said.UNSEEN: "Unseen"}
# And to how much was seen.
SHARED = {Said.SOUND: "All of it", Said.UNSEEN: "None of it"}
SAID_WORDS = {
    Said.SOUND: "Sound", Said.FINDING: "Finding", Said.UNSEEN: "Unseen", Said.NOT_FITTED: "Not fitted",
}  # fmt: skip
# The verb that says it; and its sign in the list of questions.
SAID_VERBS = {
    Said.SOUND: "sound", Said.FINDING: "finding", Said.UNSEEN: "unseen", Said.NOT_FITTED: "not_fitted",
}  # fmt: skip
LIST_SIGNS = {Said.SOUND: "=", Said.FINDING: "!", Said.UNSEEN: "u", Said.NOT_FITTED: "n"}
LIST_LEGEND = "= sound  ! finding  u unseen  n not fitted\n/ part seen  ? ask again  ~ to gauge"


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

    def of_place(self, place: Compartment, prompts: Sequence[Prompt], index: int, width: int, more: str = "") -> Text:
        """Where the walk stands among these questions, in one line of so many cells if it can be; `more`: at its
        end."""
        done, prompt = walk.progress(self._book, self._checklists, place), prompts[index]
        asked = [one for one in prompts if one.by is not By.GAUGE]
        left = sum(walk.answer_of(self._book, place.id, one.key) is None for one in asked)
        area = walk.area_of(self._checklists, place)
        has_zone = area is None or area.space or area.outside or prompt.zone is not None
        parts = [
            "to gauge" if prompt.by is By.GAUGE else f"{index + 1} of {len(asked)}",
            walk.frames_words(place),
            zone_of_prompt(self._checklists, place, prompt).value if has_zone else "",
            "" if done.seen_percent is None else f"metal seen {done.seen_percent:g} %",
            f"{left} open" if left else "all answered",
            f"{len(done.to_gauge)} to gauge" if done.complete and done.to_gauge and not more else "",
            more,
        ]
        name, told = one_line(place.name), [part for part in parts if part]
        gap = next((gap for gap in ("   ", "  ") if len(gap.join((name, *told))) <= width), " · ")
        return Text.assemble((name, "bold"), gap, gap.join(told))

    def before(self, prompt: Prompt, place: Compartment) -> str:
        """What was said, found and measured here before."""
        lines = []
        earlier = walk.earlier_answer(self._book, place.id, prompt.key)
        if earlier:
            number = self._book.round_number(earlier.round)
            why = f" ({earlier.reason.value})" if earlier.reason else ""
            note = f": {one_line(earlier.note)}" if earlier.note else ""
            lines.append(f"round {number}, {earlier.when:%Y-%m-%d}: {earlier.said.value}{why}{note}")
        lines += self._of_other_words(prompt, place)
        for finding in self.findings(prompt, place):
            words = f": {one_line(finding.words)}" if finding.words else ""
            lines.append(f"finding {finding.chalk}, {finding.severity.value}, {finding.status.value}{words}")
        for reading in self._book.readings.values():
            if reading.prompt == prompt.key and reading.compartment == place.id and reading.finding is None:
                lines.append(f"measured {reading.when:%Y-%m-%d}: {read_words(self._book.boat, reading)}")
        return "\n".join(lines)

    def _of_other_words(self, prompt: Prompt, place: Compartment) -> list[str]:
        """What was said to the questions that this one replaces, here, or where they belonged: it is asked anew, and
        says so."""
        told = [
            one
            for one in self._book.answers.values()
            if one.prompt in prompt.instead_of
            and (one.compartment == place.id or not one.prompt.startswith(f"{prompt.area}/"))
        ]
        return [
            f"asked anew because the question changed; answer to the old one {one.when:%Y-%m-%d}: {one.said.value}"
            for one in sorted(told, key=lambda one: one.when)[-1:]
        ]

    def answers(
        self, prompt: Prompt, place: Compartment, bar: walk.Bar | None, key: Callable[[str], str]
    ) -> list[Answerable]:
        """The answers that are taken now, the one that was given marked; `key`: how a verb's key is printed."""
        answer = walk.answer_of(self._book, place.id, prompt.key)
        to_gauge = prompt.by is By.GAUGE and walk.is_open(self._book, place, prompt)
        offered = [Answerable(key("measure"), "type what you read", "measure")] if to_gauge and bar is None else []
        for said in Said:
            # What is seen to by saying so is asked for when the key is pressed.
            waits = bar is not None and bar.need is Need.HAULED_OUT
            barred = waits and (said is Said.SOUND or (said is Said.FINDING and not (bar and bar.finding)))
            if (barred or (to_gauge and said is Said.SOUND)) and (answer is None or answer.said is not said):
                continue
            chosen = answer is not None and answer.said is said and not (prompt.share and said is Said.UNSEEN)
            word = (LOOKED if prompt.glance else SHARED if prompt.share else SAID_WORDS).get(said, "")
            if prompt.must and said is Said.NOT_FITTED:
                continue
            if word:
                verb = SAID_VERBS[said]
                offered.append(Answerable(key(verb), word, f"say_{verb}", chosen))
        if prompt.share:
            offered.append(Answerable("0–9", "tens of % seen", "nothing"))
        return offered

    def of_answer(self, prompt: Prompt, place: Compartment, waiting: str) -> str:
        """What was answered, when and by whom; `waiting`: a remark that goes with the answer."""
        answer = walk.answer_of(self._book, place.id, prompt.key)
        if answer:
            told = _answer_told(answer, prompt)
            visit = walk.visit_of(self._book, place.id)
            if prompt.share and visit:
                why = ", ".join(reason.value for reason in visit.reasons)
                told += f": {visit.seen_percent:g} % seen{'; the rest: ' + why if why else ''}"
            return told
        if prompt.by is By.GAUGE and not walk.is_open(self._book, place, prompt):
            return "answered by what was read"
        if waiting:
            return f"not answered yet; this note will be saved with the answer: {one_line(waiting)}"
        return "not answered yet"

    def signed(
        self, prompts: Sequence[Prompt], place: Compartment, again: Collection[str] = ()
    ) -> Iterator[tuple[str, Prompt]]:
        """Each question of a place with the sign of what was said; `again`: keys of those whose answer is too old."""
        for prompt in prompts:
            answer = walk.answer_of(self._book, place.id, prompt.key)
            if answer is None:
                sign = "~" if prompt.by is By.GAUGE else " "
            elif prompt.key in again:
                sign = "?"
            else:
                sign = "/" if prompt.share and answer.said is Said.UNSEEN else LIST_SIGNS[answer.said]
            yield sign, prompt

    def asked_here(
        self, prompts: Sequence[Prompt], place: Compartment, at: int, again: Collection[str], size: Size
    ) -> tuple[Text, int]:
        """The questions of a place, each with what was said, the chosen one marked; whole where all fit into so many
        cells and lines, else one a line. And the line on which the chosen one stands."""
        wide = max(size.width - 3, 10)
        rows = [(sign, wrap(prompt.ask, wide)) for sign, prompt in self.signed(prompts, place, again)]
        if sum(len(lines) for _, lines in rows) > size.height:
            rows = [(sign, [shortened(one.ask, wide)]) for sign, one in self.signed(prompts, place, again)]
        text, stands = Text(no_wrap=True, overflow="ellipsis"), 0
        for index, (sign, lines) in enumerate(rows):
            stands = text.plain.count("\n") if index == at else stands
            said = "\n   ".join(line.ljust(wide) for line in lines)
            text.append(f"{'>' if index == at else ' '}{sign} {said}", "bold reverse" if index == at else "")
            text.append("\n")
        text.rstrip()
        return text, stands


def _answer_told(answer: Answer, prompt: Prompt) -> str:
    why = f" ({answer.reason.value})" if answer.reason and not prompt.share else ""
    note = f"   “{one_line(answer.note)}”" if answer.note else ""
    said = "answered" if prompt.share else answer.said.value
    if prompt.glance and answer.said is Said.FINDING:
        said = "no: everything is asked"
    if answer.by_look:
        said += ", by one look"
    return f"{said}{why}, {answer.when:%Y-%m-%d %H:%M} by {one_line(answer.by)}{note}"
