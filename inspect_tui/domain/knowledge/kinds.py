"""What is done about a finding, as data: kinds of finding, and the steps of the work on eaten metal."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints, model_validator

from inspect_tui.domain.knowledge.entry import Entry, Id, Opening, Text, Touch
from inspect_tui.domain.words import Face, Need, Step, Tier, Who

Hours = Annotated[float, Field(gt=0, allow_inf_nan=False)]


class Doing(Entry):
    """Something to be done: verb first, and all that somebody needs to know before beginning.

    `does`: what it does to the metal and fittings that keep the water out; under or near water it then waits until
    she is hauled out, and `afloat` is done meanwhile, by `afloat_who`. `second_pump`: while she floats another pump
    is proved first. `needs`: what must be true before it begins. `hours`: from, to, for one place [h]; `hours_from`
    says how they are known. `alike`: several of its kind are one job."""

    do: Text
    step: Step
    who: Who
    does: tuple[Touch, ...] = ()
    afloat: Text | None = None
    afloat_who: Who | None = None
    second_pump: bool = False
    needs: tuple[Need, ...] = ()
    leaves_open: tuple[Opening, ...] = ()
    hours: tuple[Hours, Hours]
    hours_from: Text
    tools: tuple[Text, ...] = ()
    supplies: tuple[Text, ...] = ()
    dry: bool = False
    alike: bool = False
    cautions: tuple[Id, ...] = ()

    @property
    def heats(self) -> bool:
        return Touch.HEATS in self.does

    @model_validator(mode="after")
    def _whole(self) -> Doing:
        if self.hours[0] > self.hours[1]:
            raise ValueError("hours run from less to more")
        if self.step is Step.HOT_WORK and not self.heats:
            raise ValueError('hot work heats the hull: say does = ["heats"]')
        return self


class Work(Doing):
    """One step of the work on eaten metal; which ids there are the program knows."""

    id: Text


class AtOnce(Doing):
    """What is done before all else. `sign`: only where that was ticked or came with the question, or where nobody can
    know. `switches_off`: it stops a circuit, and what hangs on that."""

    tier: Literal[Tier.NOW, Tier.TODAY]
    sign: Id | None = None
    switches_off: bool = False


class Within(Doing):
    """What is done about it in place of the rest where it lies within her: on an inside face, or, where nobody wrote
    the face, in one of these areas."""

    areas: tuple[Id, ...]

    def holds(self, face: Face | None, area: str) -> bool:
        return area in self.areas if face is None else face is Face.INSIDE


class Kind(Doing):
    """A kind of finding: what is usually done about it, and what it means for floating her.

    `record`: what cleaning would lose. `signs`: any of these ticked makes any finding one of this kind. `grave_who`:
    who does it where it is critical or worse. `water`: it lets water in, or keeps it from being got out.
    `tag`: not the metal is wrong, and its number goes on a tag. `precedence`: of dangers to people, which is met
    first."""

    id: Id
    label: Text
    letter: Annotated[str, StringConstraints(pattern=r"^[a-z0-9]$")]
    at_once: AtOnce | None = None
    within: Within | None = None
    record: Text | None = None
    signs: tuple[Id, ...] = ()
    grave_who: Who | None = None
    bright_metal: bool = False
    corrosion: bool = False
    cause: bool = False
    water: bool = False
    launch: Literal["always", "shell", "below", "never"] = "never"
    danger: Literal["always", "afloat", "never"] = "never"
    gauged: bool = True
    tag: bool = False
    precedence: int = 9

    @model_validator(mode="after")
    def _afloat_said(self) -> Kind:
        for one in (self, self.at_once, self.within):
            if one is not None and one.does and not one.afloat:
                raise ValueError("what touches the metal that keeps the water out must say what is done afloat")
        return self
