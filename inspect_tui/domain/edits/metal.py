"""What is gauged beside plate: members written down and taken away, squares of a plate field drawn."""

from __future__ import annotations

from inspect_tui.domain.book import Book, Edit, Put
from inspect_tui.domain.measuring.metal_records import Member, SamplingPlan
from inspect_tui.domain.measuring.sampling import plan_of, planned, read_of
from inspect_tui.errors import NotAllowed


def keep_member(member: Member) -> Edit:
    """Raises
    ------
    NotAllowed : it has no name.
    """
    if not member.name.strip():
        raise NotAllowed("A member needs a name, such as 'floor at frame 12'.")
    return Edit(f"Wrote down the {member.title}", (Put("members", member.id, member),))


def drop_member(book: Book, member: Member) -> Edit:
    """Take a member out; only one that no reading names.

    Raises
    ------
    NotAllowed : one does.
    """
    if any(row.member == member.id for row in book.readings.values()):
        raise NotAllowed(f"{member.name} has readings: it cannot be removed.")
    return Edit(f"Removed the {member.title}", (Put("members", member.id, None),))


def draw_squares(book: Book, plan: SamplingPlan) -> Edit:
    """Squares of a plate field drawn by chance, before anybody reads them.

    Raises
    ------
    NotAllowed : its field cannot be cut into that many squares, or those drawn in this round are not read yet.
    """
    before = plan_of(book, plan.plate_field)
    this_round = before is not None and before.when >= book.round.opened
    if before is not None and this_round and len(read := read_of(book, before)) < before.wanted:
        raise NotAllowed(
            f"{before.wanted} squares of it are drawn already, {len(read)} of them read: read those first. A draw "
            "made by mistake is taken back with z, before anything is read."
        )
    drawn = planned(book, plan)
    name = book.plate_fields[plan.plate_field].name
    return Edit(f"Drew {plan.wanted} squares of {name}", (Put("plans", drawn.id, drawn),))
