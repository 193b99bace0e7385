"""Finding: the form for something wrong or worth watching, and its history."""

from __future__ import annotations

from typing import Any, ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from inspect_tui.domain import edits
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.readings import in_words
from inspect_tui.domain.records import Finding, Override, Position
from inspect_tui.domain.words import (
    CLOSED,
    LIKELIHOOD_WORDS,
    SEVERITY_WORDS,
    SIDE_WORDS,
    Face,
    Likelihood,
    Severity,
    Side,
    Status,
    Treatment,
)
from inspect_tui.terminal.screens.form import FormScreen
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.options import treatment_options
from inspect_tui.terminal.widgets.choice import Choice, Option
from inspect_tui.terminal.widgets.field import Row, field_row

UNSAID = "unsaid"
SEVERITIES = [Option(one.value, str(one.rank + 1), one.value, SEVERITY_WORDS[one]) for one in Severity]
LIKELIHOODS = [
    Option(one.value, one.value.lower(), LIKELIHOOD_WORDS[one][0], LIKELIHOOD_WORDS[one][1]) for one in Likelihood
]
SIDES = [
    *(Option(side.value, side.value.lower(), SIDE_WORDS[side]) for side in Side),
    Option(UNSAID, "x", "not said"),
]
FACES = [*(Option(face.value, face.value[0], face.value) for face in Face), Option(UNSAID, "x", "not said")]
STATUS_KEYS = dict(zip(Status, "fcmdrva", strict=True))
STATUS_MEANING = {
    Status.FOUND: "open again: start over",
    Status.CLEANED: "bright metal; measure next",
    Status.MEASURED: "readings are written down",
    Status.DECIDED: "what is to be done is settled",
    Status.REPAIRED: "done; to be measured and verified",
    Status.VERIFIED: "looked at after the repair: closed",
    Status.ACCEPTED: "left as it is, with the reason: closed, watched",
}


class FindingScreen(FormScreen):
    CSS_PATH = "finding.tcss"
    TITLE_WORDS = "a finding"
    BINDINGS: ClassVar[list[Any]] = [
        Binding("f3", "measure", "Measure", key_display="F3"),
        Binding("f4", "status", "Status", key_display="F4"),
        Binding("f6", "override", "My decision", key_display="F6"),
        Binding("f7", "photos", "Photos", key_display="F7"),
        Binding("f9", "cause", "Cause", key_display="F9"),
    ]
    HELP_TEXT = """
A finding gets a number that is never used again. Chalk it on the metal, ring the place, photograph both.

Enter goes from field to field, F2 keeps the form at once. Kind, severity and likelihood are filled in from the
question: check them. A key picks another; Space on the kind opens the list.

Severity   1 catastrophic: could sink her or kill someone
           2 critical: could flood her, lose the rig, or injure someone badly
           3 marginal: will cost metal or money, or spoil a voyage
           4 negligible: upkeep
Likelihood a it is happening now … f it cannot happen any more

Position   frame and offset along the boat, side, girth from the centreline along the plate, face.

F3 measures it. F4 moves it on: cleaned, measured, decided, repaired, verified, accepted, or open again.
F6 writes down your own decision on what to do, with the reason; the papers show it as yours.
F7 shows its photos, and adds more. F9 asks why it corrodes.
Esc goes back; what you typed is kept as a draft and comes back with the form.
"""

    def __init__(self, compartment: str = "", *, prompt: str | None = None, chalk: int | None = None) -> None:
        super().__init__()
        self._compartment = compartment
        self._prompt_key = prompt
        self._chalk = chalk

    @property
    def finding(self) -> Finding | None:
        return self.book.findings.get(str(self._chalk)) if self._chalk else None

    @property
    def compartment(self) -> str:
        return self.finding.compartment if self.finding else self._compartment

    def draft_name(self) -> str:
        if self._chalk:
            return f"finding/{self._chalk}"
        return f"finding/new/{self._compartment}/{self._prompt_key or ''}"

    def draft_chalk(self) -> int | None:
        return None if self._chalk else self._number

    @property
    def _number(self) -> int:
        """The number to chalk: the finding's own, the one its draft was shown with, or the next free one."""
        if self._chalk:
            return self._chalk
        draft = self.book.drafts.get(self.draft_name())
        if draft and draft.chalk and str(draft.chalk) not in self.book.findings:
            return draft.chalk
        return self.book.next_number("findings")

    def subject_gone(self) -> bool:
        if self._chalk:
            return self.finding is None
        return self._compartment not in self.book.compartments

    def first_field(self) -> str:
        return "words"

    def above(self) -> ComposeResult:
        yield Static(id="head", markup=False)

    def rows(self) -> list[Row]:
        finding = self.finding
        prompt = self.checklists.prompts_by_key().get(self._prompt_key or "")
        kinds = [Option(kind.id, kind.letter, kind.label, kind.remedy) for kind in self.checklists.kinds.values()]
        kind = finding.kind if finding else (prompt.kind if prompt and prompt.kind else "unclear")
        severity = finding.severity if finding else prompt.severity if prompt else Severity.MARGINAL
        likelihood = finding.likelihood if finding else Likelihood.C
        position = finding.position if finding else Position()
        return [
            field_row("Words", "words", finding.words if finding else ""),
            Row("Kind", Choice(kinds, kind, id="kind", long=True)),
            Row("Severity", Choice(SEVERITIES, severity.value, id="severity")),
            Row("Likelihood", Choice(LIKELIHOODS, likelihood.value, id="likelihood")),
            field_row("Frame", "frame", position.frame, "nearest frame's number"),
            field_row("Offset", "offset", position.offset_mm, "mm aft of it; minus is forward"),
            Row("Side", Choice(SIDES, position.side.value if position.side else UNSAID, id="side")),
            field_row("Girth", "girth", position.girth_mm, "mm from centreline along the plate"),
            Row("Face", Choice(FACES, position.face.value if position.face else UNSAID, id="face")),
            field_row("Spot", "spot", position.words, "in words: under the pump"),
            field_row("Extent long", "long", finding.extent_length_mm if finding else None, "mm along the boat"),
            field_row("Extent wide", "wide", finding.extent_width_mm if finding else None, "mm across"),
        ]

    def below(self) -> ComposeResult:
        yield Static(id="meaning", markup=False)
        yield Static(id="history", markup=False)

    def on_mount(self) -> None:
        self.show()

    def changed(self) -> None:
        self._show_meaning()

    def show(self) -> None:
        if not self.query("#kind"):
            return
        place = self.book.compartments.get(self.compartment)
        name = one_line(place.name) if place else self.compartment
        text = Text.assemble((f"Finding {self._number}", "bold"))
        text.append(f"   {name}")
        if self.finding:
            text.append(f"   {self.finding.status.value}", "bold")
        else:
            text.append(f"   chalk {self._number} on the metal, ring it")
            prompt = self.checklists.prompts_by_key().get(self._prompt_key or "")
            if prompt:
                text.append(f"\n{prompt.ask}")
        self.query_one("#head", Static).update(text)
        self._show_meaning()
        self._show_history()

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
        readings = [one for one in self.book.readings.values() if one.finding == finding.chalk]
        lines += [f"{one.when:%Y-%m-%d %H:%M}  {in_words(one)}" for one in readings[-3:]]
        events = [
            f"{event.status.value} {event.when:%Y-%m-%d}{' (' + one_line(event.note) + ')' if event.note else ''}"
            for event in finding.history
        ]
        lines.append(" → ".join(events))
        if finding.photos:
            lines.append(f"{counted(len(finding.photos), 'photo')} (F7)")
        history.update("\n".join(lines))

    def keep(self) -> bool:
        position = Position(
            frame=self.number("frame", "frame", "", -50, 500),
            offset_mm=self.number("offset", "offset", "mm", -5000, 5000),
            side=None if self.text_of("side") == UNSAID else Side(self.text_of("side")),
            girth_mm=self.number("girth", "girth", "mm", 0, 20000),
            face=None if self.text_of("face") == UNSAID else Face(self.text_of("face")),
            words=self.text_of("spot").strip(),
        )
        long = self.number("long", "extent", "mm", 0.1, 60000)
        wide = self.number("wide", "extent", "mm", 0.1, 60000)
        severity, likelihood = Severity(self.text_of("severity")), Likelihood(self.text_of("likelihood"))
        words, kind = self.text_of("words").strip(), self.text_of("kind")
        if self.finding:
            changed = self.finding.model_copy(
                update={
                    "kind": kind,
                    "words": words,
                    "severity": severity,
                    "likelihood": likelihood,
                    "position": position,
                    "extent_length_mm": long,
                    "extent_width_mm": wide,
                }
            )
            if changed == self.finding:
                return True
            return self.desk.record(edits.change_finding(changed))
        prompt = self.checklists.prompts_by_key().get(self._prompt_key or "")
        number = self._number
        return self.desk.record(
            lambda: edits.write_finding(
                self.book,
                self.book_file.stamp(),
                self.book.compartments[self._compartment],
                kind=kind,
                words=words,
                severity=severity,
                likelihood=likelihood,
                prompt=prompt,
                chalk=number,
                position=position,
                extent_length_mm=long,
                extent_width_mm=wide,
            )
        )

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A finding not kept yet cannot be measured, moved or decided."""
        if action in ("measure", "status", "override", "photos", "cause"):
            return self.finding is not None
        return super().check_action(action, parameters)

    def _kept(self) -> Finding | None:
        """The finding, if it is in the book already."""
        if self.finding is None:
            self.notify("Keep the finding first: F2.")
        elif self.book_file.read_only:
            self.notify(self.book_file.read_only, severity="warning", markup=False)
        else:
            return self.finding
        return None

    def action_measure(self) -> None:
        if finding := self._kept():
            self.desk.go("measure", finding.compartment, prompt=finding.prompt, chalk=finding.chalk)

    def action_photos(self) -> None:
        if self.finding is not None:
            self.desk.go("photos", chalk=self.finding.chalk)

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
        order = list(Status)
        usual = order[min(order.index(finding.status) + 1, order.index(Status.VERIFIED))]

        def picked(value: str | None) -> None:
            if value == Status.DECIDED.value:
                self._ask_treatment(lambda treatment: self._ask_note(Status.DECIDED, treatment))
            elif value is not None:
                self._ask_note(Status(value), None)

        self.app.push_screen(PickOne(f"Finding {finding.chalk} is now …", options, usual.value), picked)

    def _ask_treatment(self, then: Any) -> None:
        def picked(value: str | None) -> None:
            if value is not None:
                then(Treatment(value))

        self.app.push_screen(PickOne("What is to be done?", treatment_options(), None), picked)

    def _ask_note(self, status: Status, treatment: Treatment | None) -> None:
        def typed(note: str) -> bool:
            finding = self.finding
            if finding is None:
                return False
            stamp = self.book_file.stamp()
            kind = self.checklists.kinds.get(finding.kind)
            return self.desk.record(
                lambda: edits.move_finding(
                    self.book,
                    stamp,
                    finding,
                    status,
                    note.strip(),
                    treatment,
                    bright_metal=bool(kind and kind.bright_metal),
                )
            )

        needed = "To accept it as it is, write why: a surveyor will ask." if status is Status.ACCEPTED else ""
        self.desk.ask_line(
            f"note/{self._chalk}/{status.value}",
            f"{status.value}: a word about it (may stay empty)",
            typed,
            needed=needed,
        )

    def action_override(self) -> None:
        finding = self._kept()
        if finding is not None and finding.status in CLOSED:
            self.notify("This finding is closed. F4, then f, opens it again.")
        elif finding is not None:
            self._ask_treatment(self._ask_reason)

    def _ask_reason(self, treatment: Treatment) -> None:
        def typed(reason: str) -> None:
            if self.finding is not None:
                stamp = self.book_file.stamp()
                own = Override(treatment=treatment, reason=reason.strip(), when=stamp.when, by=stamp.by)
                self.desk.record(edits.change_finding(self.finding.model_copy(update={"override": own})))

        self.desk.ask_line(
            f"reason/{self._chalk}",
            f"Your own decision: {treatment.value}. Why?",
            typed,
            needed="The papers print your reason: write it.",
        )
