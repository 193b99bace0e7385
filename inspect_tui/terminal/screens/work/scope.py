"""Scope: what needs metal or heat, as a welder's jobs: each with its cut, its quantities and the other ways."""

from __future__ import annotations

from typing import Any, ClassVar, Literal

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from inspect_tui.domain import edits
from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.domain.records import Cut, Finding
from inspect_tui.domain.words import TREATMENT_WORDS
from inspect_tui.judgement.repair.scope import WEIGHTS, ScopedJob, cut_words
from inspect_tui.judgement.repair.ways import ways_table
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.modals import PickOne, headed
from inspect_tui.terminal.screens.work.worklist import WIDE_LINE
from inspect_tui.terminal.widgets.choice import Option


class ScopeScreen(ListScreen):
    TITLE_WORDS = "the scope"
    EMPTY = "Nothing written down asks for new metal or for heat yet."
    BINDINGS: ClassVar[list[Any]] = [
        enter("Finding"),
        use("edit", "wish", "Cut how", does="with another, apart, left out, or as worked out; with your reason"),
        use("working", "why"),
        use("worklist", "app.go('worklist')", show=False),
        FIND,
    ]
    HELP_TEXT = """
What needs new metal or heat, as jobs for a welder. Findings on one plate that are cheapest cut out together are one
job; no strip of old plate narrower than 300 mm or ten times its thickness, whichever is more, is left between two
cuts. A cut that would come too near a frame's weld goes past the frame, and the quantities include that.

Under each job stand the other ways to do it, with metal, weld, hours, mass, and what stays unknown after each.
You and whoever signs the repair decide which it is to be. {on} opens the first finding of a job. {edit}
joins a finding to another's cut, gives it a cut of its own or leaves it out, with your reason, which is kept;
holes are never left out, and two cuts never overlap.
"""

    @property
    def _jobs(self) -> dict[str, ScopedJob]:
        return {job.letter: job for job in self.desk.judged.scope}

    def head(self) -> Text:
        jobs = self._jobs.values()
        cut = [job for job in jobs if job.plate is not None]
        told = f"Scope   {counted(len(jobs), 'job')}"
        if cut:
            weld = sum(job.plate.weld_m for job in cut if job.plate)
            mass = sum(job.plate.mass_kg for job in cut if job.plate)
            told += f": weld {weld:.1f} m, plate {mass:.1f} kg in the {len(cut)} that can be measured"
        return Text(f"{told}\ncheapest: {WEIGHTS}")

    def columns(self) -> str:
        measured = "to weld, new plate" if self._measured else ""
        return f"job  {'the cut, and what is done':<{self._room}}  {'findings':<13}  {measured}"

    @property
    def _measured(self) -> bool:
        """Whether a line has room for weld and plate."""
        return self.list_width >= WIDE_LINE

    @property
    def _room(self) -> int:
        return self.list_width - (45 if self._measured else 20)

    def list_rows(self) -> list[ListRow]:
        rows, room = [], self._room
        for letter, job in self._jobs.items():
            text = Text(f"{letter:>3}  ", "bold", no_wrap=True)
            what = TREATMENT_WORDS[job.treatment] if job.treatment else job.jobs[0].action.what
            text.append(f"{shortened(f'{cut_words(job)}  {what}', room):<{room}}")
            chalks = ", ".join(map(str, job.findings))
            text.append(f"  no. {shortened(chalks, 9):<9}")
            if job.plate is not None and self._measured:
                text.append(f"  weld {job.plate.weld_m:4.1f} m  {job.plate.mass_kg:4.1f} kg")
            rows.append(ListRow(letter, text))
        return rows

    def detail(self) -> RenderableType | None:
        job = self._jobs.get(self.list_key)
        if job is None:
            return None
        places = {self.place_name(one.finding.compartment): None for one in job.jobs}
        lines = [("where", ", ".join(places))]
        if job.field is not None:
            lines.append(("plate", f"{one_line(job.field.name)}, as built {job.field.as_built_mm or 0:g} mm"))
        lines += [("missing", job.missing)] if job.missing else []
        lines += [("also out", ", ".join(f"no. {one.chalk}" for one in job.also))] if job.also else []
        lines += [("rule broken", one) for one in job.broken]
        lines += [("note", one) for one in job.notes]
        if job.behind:
            lines.append(("behind", ", ".join(one_line(one.name) for one in job.behind)))
        table = Table.grid(padding=(0, 2))
        for at, row in enumerate(ways_table(job.ways)):
            table.add_row(*(Text(cell, "bold" if at == 0 else "") for cell in row))
        unknown = [(one.name, f"{one.barred}; " * bool(one.barred) + f"unknown: {one.unknown}") for one in job.ways]
        return Group(table, Text(""), headed(lines), Text(""), headed(unknown, 24))

    def working(self) -> list[tuple[str, str]]:
        job = self._jobs.get(self.list_key)
        return job.working.lines() if job else []

    def open_row(self, key: str) -> None:
        if job := self._jobs.get(key):
            self.desk.go("finding", chalk=job.findings[0])

    def action_wish(self) -> None:
        """How a finding of the chosen job is to be cut, in place of what is worked out."""
        job = self._jobs.get(self.list_key)
        if job is None or not self.may_write():
            return

        def picked(chalk: str | None) -> None:
            if chalk is not None:
                self._ask_how(job, self.book.findings[chalk])

        if len(job.findings) == 1:
            picked(str(job.findings[0]))
            return
        options = [
            Option(str(one), str(at) if at < 10 else "", f"no. {one}", one_line(self.book.findings[str(one)].words))
            for at, one in enumerate(job.findings, 1)
        ]
        self.app.push_screen(PickOne("Which of them?", options), picked)

    def _ask_how(self, job: ScopedJob, finding: Finding) -> None:
        others = [
            one
            for other in self._jobs.values()
            for one in other.findings
            if other.field == job.field and job.field is not None and one != finding.chalk
        ]
        options = [Option(str(one), "", f"with no. {one}") for one in others]
        options += [
            Option("apart", "a", "apart from all others"),
            Option("left out", "l", "left out of the jobs"),
            Option("", "w", "as worked out"),
        ]

        def picked(how: str | None) -> None:
            if how == "":
                self.desk.record(lambda: edits.cut_as(finding, None))
            elif how is not None:
                self.ask_reason(finding.chalk, how)

        self.app.push_screen(PickOne(f"How is no. {finding.chalk} to be cut?", options), picked)

    def ask_reason(self, chalk: int, how: str) -> None:
        """Why it is to be cut like that; the answer stays with the finding."""
        finding = self.book.findings[str(chalk)]

        def typed(reason: str) -> bool:
            joined = int(how) if how.isdigit() else None
            word: Literal["with", "apart", "left out"] = (
                "with" if joined else "apart" if how == "apart" else "left out"
            )
            cut = Cut(how=word, other=joined, reason=reason.strip(), by=self.desk.by)
            return self.desk.record(lambda: edits.cut_as(finding, cut))

        line = Line("Why? The welder and the next owner will ask.", needed="Write why.")
        self.desk.ask_line(self.form.line("reason", chalk=chalk, how=how), line, typed)

    def action_why(self) -> None:
        job = self._jobs.get(self.list_key)
        if job is not None:
            told = self.working() or [("working", job.missing or "nothing is worked out for it")]
            self.desk.show_text(f"Working: job {job.letter}", told)
