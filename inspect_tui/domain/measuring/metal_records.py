"""Records of what is gauged beside the plate: members, and the squares of a plate field that chance has drawn."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import AwareDatetime, Field

from inspect_tui.domain.bounds import Positive
from inspect_tui.domain.records import Record
from inspect_tui.domain.words import ThicknessSource

# What a reading names that is of a member which stands in no list: of no plate, and of no member either.
OTHER_MEMBER = "other"
MOST_SQUARES = 5000


class MemberKind(StrEnum):
    """What stiffens or holds a hull beside its plate."""

    FLOOR = "floor"
    GIRDER = "girder"
    WEB = "web frame"
    FRAME = "frame"
    STRINGER = "stringer"
    BEAM = "deck beam"
    BOLT = "keel bolt"


# Of ships' members these are renewed at a quarter gone, the others at 30 %.
PRIMARY = frozenset({MemberKind.FLOOR, MemberKind.GIRDER, MemberKind.WEB})


class Member(Record):
    """A frame, floor, stringer, beam or bolt: never averaged with plate. Sizes are those as built.

    Of a flat bar `web_height_mm` and `web_mm`; of an angle or tee its flange too; of a bolt `web_mm` is its diameter.
    `plate_mm`: of the plate it stands on; `spacing_mm`: to the next one; `span_mm`: between its supports.
    """

    id: str
    name: str
    kind: MemberKind
    compartment: str
    web_mm: Positive
    as_built_from: ThicknessSource | None = None
    web_height_mm: Positive | None = None
    flange_width_mm: Positive | None = None
    flange_mm: Positive | None = None
    plate_mm: Positive | None = None
    spacing_mm: Positive | None = None
    span_mm: Positive | None = None
    alloy: str = ""
    temper: str = ""

    @property
    def title(self) -> str:
        """What it is and where, once."""
        named = self.name.lower().startswith(self.kind.value)
        return self.name if named else f"{self.kind.value} {self.name}"


class SamplingPlan(Record):
    """Squares of one plate field, drawn by chance before anybody read them.

    The field is taken as a sheet `length_mm` along the hull and `girth_mm` across, cut into squares of
    `square_length_mm` × `square_girth_mm`, numbered from its forward lower corner row by row. `drawn`: their numbers
    in the order drawn, of which the first `wanted` are read and the others stand in for those that cannot be reached.
    `seed`: the link of the trail that the draw began from, which nobody chose.
    """

    id: str
    plate_field: str
    length_mm: Positive
    girth_mm: Positive
    square_length_mm: Positive
    square_girth_mm: Positive
    wanted: Annotated[int, Field(ge=1, le=MOST_SQUARES)]
    seed: str
    drawn: tuple[Annotated[int, Field(ge=1, le=MOST_SQUARES)], ...]
    when: AwareDatetime
    by: str
