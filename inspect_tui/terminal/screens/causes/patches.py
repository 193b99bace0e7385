"""Old patches: the short path for what a lifted one shows, and what the lifted ones say of the rest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from rich.console import RenderableType
from rich.text import Text

from inspect_tui.domain import edits
from inspect_tui.domain.book import Edit
from inspect_tui.domain.knowledge.named import Areas, Kinds
from inspect_tui.domain.plain import one_line, shortened
from inspect_tui.domain.quantities import QUANTITIES
from inspect_tui.domain.records import Finding, Lifted
from inspect_tui.domain.words import Beneath, Likelihood, PatchEdge, PatchType, Severity
from inspect_tui.domain.zones import zone_of_finding
from inspect_tui.judgement.causes.patches import signs_shown, tally_lines
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.form_fields import UNSAID, complaint_of
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.modals import PickOne, TypeLine, headed
from inspect_tui.terminal.widgets.choice import Option

NOT_LOOKED = Option(UNSAID, "x", "nobody looked")
CAUTION = (
    "CAUTION  Nothing below the waterline is lifted while she floats. Old paint and filler: mask, gloves, no heat."
)
BENEATH = [
    Option(Beneath.SOUND, "s", Beneath.SOUND.value, "bright or primed, nothing to feel"),
    Option(Beneath.STAINED, "t", Beneath.STAINED.value, "dull, spotted or white, and smooth when wiped"),
    Option(Beneath.PITS, "p", Beneath.PITS.value, "a fingernail feels them"),
    Option(Beneath.THROUGH, "e", Beneath.THROUGH.value, "a hole, or metal that gives under the knife"),
]
BETWEEN = [
    Option("yes", "y", "yes", "paste, powder or lumps, wet or dry"),
    Option("no", "n", "no", "it came off clean"),
    NOT_LOOKED,
]
TYPES = [
    Option(PatchType.FILLER, "f", PatchType.FILLER.value),
    Option(PatchType.PLATE, "p", PatchType.PLATE.value, "welded, riveted or glued on"),
    Option(PatchType.WELD, "w", PatchType.WELD.value, "weld metal laid into the plate"),
    Option(PatchType.PAINT, "a", PatchType.PAINT.value, "thick or new paint over the spot"),
    Option(UNSAID, "x", "nobody knows"),
]
DRAWN = [
    Option("chosen", "c", "chosen", "for its looks, or because it was at hand"),
    Option("lot", "l", "drawn by lot", "numbers in a hat, before anybody looked"),
    Option(UNSAID, "x", "not said"),
]
EDGES = [
    Option(PatchEdge.TIGHT, "t", PatchEdge.TIGHT.value),
    Option(PatchEdge.LIFTING, "l", PatchEdge.LIFTING.value, "a blade went under it"),
    Option(PatchEdge.BULGED, "b", PatchEdge.BULGED.value),
    NOT_LOOKED,
]


@dataclass(frozen=True)
class _Seen:
    """What a lifted patch showed, while it is asked for bit by bit."""

    beneath: Beneath
    product: bool | None
    edge: PatchEdge | None
    type: PatchType | None = None
    drawn: bool | None = None


def _type(value: str) -> PatchType | None:
    return None if value == UNSAID else PatchType(value)


class PatchesScreen(ListScreen):
    TITLE_WORDS = "old patches"
    BINDINGS: ClassVar[list[Any]] = [
        enter("Finding"),
        use("done", "lift", "Lifted", does="what lay beneath and between, how its edge held, extent of the attack"),
        use("add", does="a patch that has no chalk number yet"),
        use("edit", "kind", "Kind", does="what it is made of: filler, plate, weld, paint"),
        use("working", "why"),
        FIND,
    ]
    HELP_TEXT = """
Old patches, doublers and filled places. Those lifted speak for the rest of their own kind, and for no other.
Where one is lifted, measure the metal beneath, at its finding, and photograph both faces of what came off.

Lift one of each kind first, the worst-looking. Below the waterline, only when hauled out. Those picked by eye
tell little of the rest, so no number is given. Only if they were drawn by lot can a limit be given for how many of
the others are bad. What a lifted patch shows is ticked among the signs of its cause; all signs from one patch count
as one.
"""

    @property
    def patch(self) -> Finding | None:
        return self.book.findings.get(self.list_key)

    def head(self) -> Text:
        told = self.desk.judged.patches
        return self.badged(f"Old patches   {len(told.lifted)} lifted, {len(told.waiting)} not lifted\n{CAUTION}")

    def columns(self) -> str:
        return f" no.  {'place':<18}  what lay beneath, and what it is"

    def list_rows(self) -> list[ListRow]:
        told = self.desk.judged.patches
        return [ListRow(str(patch.chalk), self._line(patch)) for patch in (*told.waiting, *told.lifted)]

    def detail(self) -> RenderableType:
        told = self.desk.judged.patches
        lines = [] if self.patch is None else [(f"no. {self.patch.chalk}", self._line(self.patch).plain[6:])]
        lines += tally_lines(told)
        if (patch := self.patch) is not None and patch.patch is None:
            lines.append(
                (self.key("edit"), "says what the chosen one is made of, so that it is counted with its own kind")
            )
        if not told.waiting and not told.lifted:
            lines.append((self.key("add"), "adds the first: chalk its number on the metal beside it"))
        return headed(lines)

    def _line(self, patch: Finding) -> Text:
        name = shortened(self.place_name(patch.compartment), 18)
        text = Text(f"{patch.chalk:>4}  {name:<18}  ", no_wrap=True)
        if patch.lifted is None:
            text.append("not lifted  ", "bold")
        else:
            one = patch.lifted
            paste = {True: "paste between", False: "clean between", None: ""}[one.product]
            beyond = f"goes on {one.beyond_mm:g} mm outside" if one.beyond_mm else ""
            parts = [one.beneath.value.upper(), paste, one.edge.value if one.edge else "", beyond]
            text.append(", ".join(part for part in parts if part) + "  ", "bold")
        return text.append(one_line(patch.words))

    def open_row(self, key: str) -> None:
        if key:
            self.desk.go("finding", chalk=int(key))

    def working(self) -> list[tuple[str, str]]:
        lines = [
            line
            for pool in self.desk.judged.patches.pools
            if (among := pool.among) is not None
            for line in [("patches", pool.name), *among.working.lines()]
        ]
        none = [("limits", "none: worked out only where patches of one kind were drawn by lot to be lifted")]
        return lines or none

    def action_why(self) -> None:
        self.desk.show_text("Old patches: the working", self.working())

    def action_kind(self) -> None:
        patch = self.patch
        if patch is None:
            self.notify(f"No patch is written down yet: {self.key('add')} adds one.")
        elif self.may_write():
            self._ask(
                f"Patch {patch.chalk}: what is it made of?",
                TYPES,
                lambda value: self._name_patch(patch, _type(value)),
            )

    def _name_patch(self, patch: Finding, type: PatchType | None) -> None:
        self.desk.record(edits.name_patch(self.book.findings[str(patch.chalk)], type))

    def action_add(self) -> None:
        if not self.may_write():
            return
        options = [Option(place.id, "", one_line(place.name)) for place in self.book.bow_to_stern()]
        usual = next((place.id for place in self.book.bow_to_stern() if place.area == Areas.OLD_PATCHES), "")
        self.app.push_screen(
            PickOne("In which compartment is it?", options, usual),
            lambda key: self.ask_patch(key) if key is not None else None,
        )

    def ask_patch(self, compartment: str) -> None:
        """A few words about a patch that gets its chalk number with them."""
        if compartment not in self.book.compartments:
            self.notify("The compartment of that patch was removed: choose another.")
            return
        line = Line(
            f"Chalk {self.book.next_number('findings')} beside it. What kind of patch, and where?",
            needed="A few words, so that it can be found again: grey filler, frame 12, port.",
        )

        def typed(words: str) -> bool:
            new = edits.NewFinding(Kinds.OLD_PATCH, words.strip(), Severity.MARGINAL, Likelihood.C)
            stamp = self.book_file.stamp()
            return self.desk.record(
                lambda: edits.write_finding(self.book, stamp, self.book.compartments[compartment], new)
            )

        self.desk.ask_line(self.form.line("patch", compartment=compartment), line, typed)

    def action_lift(self) -> None:
        patch = self.patch
        if patch is None:
            self.notify(f"No patch is written down yet: {self.key('add')} adds one.")
        elif self.may_write() and self._may_lift(patch):
            again = f" It was lifted on {patch.lifted.when:%Y-%m-%d}; this replaces that." if patch.lifted else ""
            self._ask(
                f"Patch {patch.chalk}: what lay beneath?{again}",
                BENEATH,
                lambda beneath: self._ask_between(patch, Beneath(beneath)),
            )

    def _may_lift(self, patch: Finding) -> bool:
        if self._below(patch) and self.book.boat.afloat:
            self.notify("She is afloat: nothing below the waterline is lifted before she is hauled out.")
            return False
        return True

    def _below(self, patch: Finding) -> bool:
        return zone_of_finding(self.book, self.checklists, patch).wet

    def _ask(self, question: str, options: list[Option], then: Callable[[str], None]) -> None:
        self.app.push_screen(
            PickOne(question, options, None), lambda value: then(value) if value is not None else None
        )

    def _ask_between(self, patch: Finding, beneath: Beneath) -> None:
        def answered(between: str) -> None:
            product = {"yes": True, "no": False}.get(between)
            self._ask(
                f"Patch {patch.chalk}: how did its edge hold?",
                EDGES,
                lambda edge: self._ask_type(
                    patch, _Seen(beneath, product, None if edge == UNSAID else PatchEdge(edge))
                ),
            )

        self._ask(f"Patch {patch.chalk}: was there anything between it and the plate?", BETWEEN, answered)

    def _ask_type(self, patch: Finding, seen: _Seen) -> None:
        """What it is made of, if nobody said so yet; then how it was chosen."""

        def answered(value: str) -> None:
            self._ask(
                f"Patch {patch.chalk}: how was it chosen for lifting?",
                DRAWN,
                lambda how: self._ask_beyond(
                    patch, replace(seen, type=_type(value), drawn={"lot": True, "chosen": False}.get(how))
                ),
            )

        if patch.patch is None:
            self._ask(f"Patch {patch.chalk}: what was it made of?", TYPES, answered)
        else:
            answered(patch.patch)

    def _ask_beyond(self, patch: Finding, shown: _Seen) -> None:
        def answered(text: str | None) -> None:
            if text is None:
                return
            stamp, far = self.book_file.stamp(), QUANTITIES["beyond_mm"].read(text)
            lifted = Lifted(
                when=stamp.when, by=stamp.by, beneath=shown.beneath, product=shown.product, edge=shown.edge,
                drawn=shown.drawn, beyond_mm=far,
            )  # fmt: skip
            seen, absent = signs_shown(lifted)

            def edit() -> Edit:
                now = self.book.findings[str(patch.chalk)].model_copy(update={"patch": shown.type})
                return edits.lift_patch(self.book, now, lifted, seen, absent, below=self._below(patch))

            kept = self.desk.record(edit)
            if kept and shown.beneath is Beneath.THROUGH:
                self.notify(
                    f"Finding {patch.chalk} counts as a hole now: check its severity ({self.key('on')}).", timeout=10
                )

        question = f"Patch {patch.chalk}: how far does the attack go beyond its outline, in mm? (may be left empty)"
        self.app.push_screen(TypeLine(question, check=complaint_of(QUANTITIES["beyond_mm"].read)), answered)
