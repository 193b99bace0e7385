"""Every change an owner can make to a book, as an `Edit`. Each refuses what the rules of the walk forbid."""

from inspect_tui.domain.edits.answers import (
    drop_draft,
    keep_draft,
    mark_done,
    open_round,
    say,
    seen_share,
    stand_here,
)
from inspect_tui.domain.edits.boat import (
    NewBoat,
    add_compartment,
    change_boat,
    change_compartment,
    drop_compartment,
    drop_plate_field,
    float_or_haul,
    keep_plate_field,
    set_rates,
    start_book,
    tie_negative,
    with_circuits,
)
from inspect_tui.domain.edits.causes import lift_patch, name_beside, tick_sign
from inspect_tui.domain.edits.findings import (
    NewFinding,
    change_finding,
    move_finding,
    override_finding,
    write_finding,
)
from inspect_tui.domain.edits.photos import attach_photo, caption_photo, take_off_photo
from inspect_tui.domain.edits.readings import (
    ReadingDetails,
    add_reading,
    finding_of,
    reading_taken,
    take_out_reading,
)
from inspect_tui.domain.edits.sheets import reserve_chalks, together

__all__ = [
    "NewBoat",
    "NewFinding",
    "ReadingDetails",
    "add_compartment",
    "add_reading",
    "attach_photo",
    "caption_photo",
    "change_boat",
    "change_compartment",
    "change_finding",
    "drop_compartment",
    "drop_draft",
    "drop_plate_field",
    "finding_of",
    "float_or_haul",
    "keep_draft",
    "keep_plate_field",
    "lift_patch",
    "mark_done",
    "move_finding",
    "name_beside",
    "open_round",
    "override_finding",
    "reading_taken",
    "reserve_chalks",
    "say",
    "seen_share",
    "set_rates",
    "stand_here",
    "start_book",
    "take_off_photo",
    "take_out_reading",
    "tick_sign",
    "tie_negative",
    "together",
    "with_circuits",
    "write_finding",
]
