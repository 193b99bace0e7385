"""Finding: the form for something wrong or worth watching, and its history."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.book import Edit
from inspect_tui.domain.knowledge.areas import Prompt
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.measuring.measured import read_words
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.records import Finding
from inspect_tui.domain.words import (
    CLOSED,
    LIKELIHOOD_WORDS,
    SEVERITY_WORDS,
    SIDE_WORDS,
    Face,
    Follows,
    Likelihood,
    Severity,
    Side,
    Status,
    Treatment,
)
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.form_fields import Choose, FormField, Number, Words
from inspect_tui.terminal.forms import FormScreen, in_form
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.options import FOLLOWED, NOT_SAID, first_letter, treatment_options
from inspect_tui.terminal.widgets.choice import Option

SEVERITIES = [Option(one.value, str(one.rank + 1), one.value, SEVERITY_WORDS[one]) for one in Severity]
LIKELIHOODS = [
    Option(one.value, one.value.lower(), LIKELIHOOD_WORDS[one][0], LIKELIHOOD_WORDS[one][1]) for one in Likelihood
]
SIDES = (*(Option(side.value, side.value.lower(), SIDE_WORDS[side]) for side in Side), NOT_SAID)
FACES = (*first_letter(Face), NOT_SAID)
STATUS_KEYS = dict(zip(Status, "fcmdrvaw", strict=True))
MERGE = "the same as another"
STATUS_MEANING = {
    Status.FOUND: "open again: start over",
    Status.CLEANED: "bright metal; measure next",
    Status.MEASURED: "readings are written down",
    Status.DECIDED: "what is to be done is settled",
    Status.REPAIRED: "done; to be measured and verified",
    Status.VERIFIED: "looked at after the repair: closed",
    Status.ACCEPTED: "left as it is, with the reason: closed, watched",
    Status.WITHDRAWN: "it was a mistake, with the reason: closed, nothing more is asked of it",
}


class FindingScreen(FormScreen):
    TITLE_WORDS = "a finding"
    FIRST = "words"
    BINDINGS: ClassVar[list[Any]] = [
        in_form("measure"),
        in_form("photos"),
        in_form("status"),
        in_form("decide", "override", show=False),
        in_form("causes", "cause", "Cause", does="why the metal is eaten away here", show=False),
    ]
    HELP_TEXT = """
A finding gets a number that is never used again. Chalk it on the metal, ring the place, photograph both.

{on} goes from field to field. Kind, severity and likelihood are filled in from the question: check them. A key
picks another; {choose} on the kind opens the list.

Severity   1 catastrophic: could sink her or kill someone
           2 critical: could flood her, bring down the rig, or injure someone badly
           3 marginal: will cost metal or money, or spoil a voyage
           4 negligible: upkeep
Likelihood a it is happening now … f it cannot happen any more

Position   frame and offset along the boat, side, girth (the distance from the centreline along the plate), face.

Your own decision on what to do, with the reason, stands in the papers as yours. {back} goes back; what you typed is
kept as a draft and comes back with the form.
"""

    def __init__(self, compartment: str = "", prompt: str | None = None, chalk: int | None = None) -> None:
        super().__init__()
        self._compartment = compartment
        self._prompt_key = prompt
        self._chalk = chalk

    @property
    def finding(self) -> Finding | None:
        return self.book.findings.get(str(self._chalk)) if self._chalk else None

    @property
    def prompt(self) -> Prompt | None:
        """The question it comes from, while it is not kept yet."""
        return self.checklists.prompts.get(self._prompt_key or "")

    @property
    def compartment(self) -> str:
        return self.finding.compartment if self.finding else self._compartment

    def draft_chalk(self) -> int | None:
        return None if self._chalk else self._number

    @property
    def _number(self) -> int:
        """The number to chalk: the finding's own, the one its draft was shown with, or the next free one."""
        if self._chalk:
            return self._chalk
        draft = self.book.drafts.get(self.form.key)
        if draft and draft.chalk and str(draft.chalk) not in self.book.findings:
            return draft.chalk
        return self.book.next_number("findings")

    def subject_gone(self) -> bool:
        if self._chalk:
            return self.finding is None
        return self._compartment not in self.book.compartments

    def record(self) -> Finding | edits.NewFinding:
        prompt = self.prompt
        return self.finding or edits.NewFinding(
            kind=prompt.kind if prompt and prompt.kind else Kinds.UNCLEAR,
            words="",
            severity=prompt.severity if prompt else Severity.MARGINAL,
            likelihood=Likelihood.C,
        )

    def is_kept(self) -> bool:
        return self.finding is not None

    def form_fields(self) -> list[FormField]:
        kinds = [Option(kind.id, kind.letter, kind.label, kind.do) for kind in self.checklists.kinds.values()]
        return [
            Words("words", "Words"),
            Choose("kind", "Kind", options=kinds, long=True),
            Choose("severity", "Severity", options=SEVERITIES),
            Choose("likelihood", "Likelihood", options=LIKELIHOODS),
            Number("position.frame", "Frame", "nearest frame's number"),
            Number("position.offset_mm", "Offset", "mm aft of it; minus is forward"),
            Choose("position.side", "Side", options=SIDES),
            Number("position.girth_mm", "Girth", "mm from centreline along the plate"),
            Choose("position.face", "Face", options=FACES),
            Words("position.words", "Spot", "in words: under the pump"),
            Number("extent_length_mm", "Extent long", "mm along the boat"),
            Number("extent_width_mm", "Extent wide", "mm across"),
            Choose("follows", "It runs along", options=FOLLOWED, long=True, into=Follows),
        ]

    def edit(self, record: Finding | edits.NewFinding) -> Edit:
        if isinstance(record, Finding):
            return edits.change_finding(record)
        place, stamp = self.book.compartments[self._compartment], self.book_file.stamp()
        return edits.write_finding(self.book, stamp, place, record, prompt=self.prompt, chalk=self._number)

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)

    def below(self) -> ComposeResult:
        yield Static(id="meaning", markup=False)
        yield Static(id="history", markup=False)

    def on_mount(self) -> None:
        self.show()

    def changed(self) -> None:
        self._show_head()
        self._show_meaning()

    def show(self) -> None:
        if not self.query("#kind"):
            return
        self.changed()
        self._show_history()

    def _show_head(self) -> None:
        text = Text.assemble((f"Finding {self._number}", "bold"))
        text.append(f"   {self.place_name(self.compartment)}")
        if self.finding:
            text.append(f"   {self.finding.status.value}", "bold")
        else:
            kind = self.checklists.kinds.get(self.text_of("kind"))
            on_tag = f"write {self._number} on a tag there"
            text.append(f"   {on_tag if kind and kind.tag else f'chalk {self._number} on the metal, ring it'}")
            if self.prompt:
                text.append(f"\n{self.prompt.ask}")
        self.query_one("#head", Static).update(text)

    def _show_meaning(self) -> None:
        severity, likelihood = Severity(self.text_of("severity")), Likelihood(self.text_of("likelihood"))
        self.query_one("#meaning", Static).update(
            f"{severity.value}: {SEVERITY_WORDS[severity]}. {LIKELIHOOD_WORDS[likelihood][0]}: "
            f"{LIKELIHOOD_WORDS[likelihood][1]}."
        )

    def _show_history(self) -> None:
        finding = self.finding
        history = self.query_one("#history", Static)
        history.display = finding is not None
        if finding is None:
            return
        lines = []
        if finding.override:
            own = finding.override
            lines.append(f"own decision: {own.treatment.value}, because {one_line(own.reason)}")
        elif finding.treatment:
            lines.append(f"decided: {finding.treatment.value}")
        verdict = self.desk.judged.verdicts.of(finding)
        if verdict and (grown := verdict.facts.growth):
            lines.append(f"GROWN: {self.book.boat.told(grown.words(verdict.facts.least_left_for(grown)))}")
        readings = [one for one in self.book.readings.values() if one.finding == finding.chalk]
        lines += [f"{one.when:%Y-%m-%d %H:%M}  {read_words(self.book.boat, one)}" for one in readings[-3:]]
        events = [
            f"{event.status.value} {event.when:%Y-%m-%d}{' (' + one_line(event.note) + ')' if event.note else ''}"
            for event in finding.history
        ]
        lines.append(" → ".join(events))
        if finding.photos:
            lines.append(f"{counted(len(finding.photos), 'photo')} ({self.key('photos')})")
        history.update("\n".join(lines))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A finding not kept yet cannot be moved or decided; who wants to measure it is told to save it first."""
        if action in ("status", "override", "cause"):
            return self.finding is not None
        return super().check_action(action, parameters)

    def _there(self) -> Finding | None:
        """The finding, if it is in the book already."""
        if self.finding is None:
            self.notify(f"Save the finding first: {self.key('save')}.")
        return self.finding

    def _kept(self) -> Finding | None:
        """The same, if it may be changed."""
        finding = self._there()
        return finding if finding and self.may_write() else None

    def action_measure(self) -> None:
        if finding := self._kept():
            self.desk.go("measure", compartment=finding.compartment, prompt=finding.prompt, chalk=finding.chalk)

    def action_photos(self) -> None:
        # Photos are looked at in a book that cannot be written, too.
        if finding := self._there():
            self.desk.go("photos", chalk=finding.chalk)

    def action_cause(self) -> None:
        if self.finding is not None:
            self.desk.go("cause", chalk=self.finding.chalk)

    def action_status(self) -> None:
        finding = self._kept()
        if finding is None:
            return
        options = [
            Option(status.value, STATUS_KEYS[status], status.value, STATUS_MEANING[status])
            for status in Status
            if status is not finding.status
        ]
        options.append(Option(MERGE, "s", MERGE, "its readings and photos go to that one"))
        order = list(Status)
        usual = order[min(order.index(finding.status) + 1, order.index(Status.VERIFIED))]

        def picked(value: str | None) -> None:
            if value == Status.DECIDED.value:
                self._ask_treatment(lambda treatment: self.ask_note(value, treatment))
            elif value == MERGE:
                self.ask_merge()
            elif value is not None:
                self.ask_note(value)

        self.app.push_screen(PickOne(f"Finding {finding.chalk} is now …", options, usual.value), picked)

    def _ask_treatment(self, then: Callable[[str], None]) -> None:
        def picked(value: str | None) -> None:
            if value is not None:
                then(value)

        self.app.push_screen(PickOne("What is to be done?", treatment_options(), None), picked)

    def ask_note(self, status: str, treatment: str = "") -> None:
        """A word about a finding that goes on to another status."""

        def typed(note: str) -> bool:
            finding = self.finding
            if finding is None:
                return False
            kind = self.checklists.kinds.get(finding.kind)
            return self.desk.record(
                lambda: edits.move_finding(
                    self.book,
                    self.book_file.stamp(),
                    finding,
                    Status(status),
                    note.strip(),
                    Treatment(treatment) if treatment else None,
                    bright_metal=bool(kind and kind.bright_metal),
                )
            )

        accepted = status == Status.ACCEPTED.value
        needed = "To accept it as it is, write why: a surveyor will ask." if accepted else ""
        if status == Status.WITHDRAWN.value:
            needed = "Write why it is withdrawn: the number is still on the metal."
        form = self.form.line("note", status=status, **({"treatment": treatment} if treatment else {}))
        word = "why" if needed else "a word about it (may be left empty)"
        self.desk.ask_line(form, Line(f"{status}: {word}", needed=needed), typed)

    def ask_merge(self) -> None:
        """Of which finding this is the same."""

        def typed(number: str) -> bool:
            finding = self.finding
            if finding is None or not number.strip().isdigit():
                self.notify("Type the other finding's chalk number.")
                return False
            return self.desk.record(
                lambda: edits.merge_finding(self.book, self.book_file.stamp(), finding, int(number.strip()))
            )

        self.desk.ask_line(self.form.line("merge"), Line("The same as which finding? Its chalk number"), typed)

    def action_override(self) -> None:
        finding = self._kept()
        if finding is not None and finding.status in CLOSED:
            self.notify(f"This finding is closed. {self.key('status')}, then f, opens it again.")
        elif finding is not None:
            self._ask_treatment(self.ask_reason)

    def ask_reason(self, treatment: str) -> None:
        """Why the owner decides otherwise."""

        def typed(reason: str) -> None:
            if finding := self.finding:
                stamp, own = self.book_file.stamp(), Treatment(treatment)
                self.desk.record(edits.override_finding(finding, stamp, own, reason.strip()))

        line = Line(f"Your own decision: {treatment}. Why?", needed="The papers print your reason: write it.")
        self.desk.ask_line(self.form.line("reason", treatment=treatment), line, typed)
