"""Photos: putting one to a finding, and which finding a picture of a certain time may belong to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from inspect_tui.domain.book import Book, Edit, Put, Stamp
from inspect_tui.domain.records import Finding, Photo
from inspect_tui.errors import NotAllowed

# A picture is offered to findings that were written at within this time of it.
ABOUT_THEN = timedelta(hours=3)


def attach_photo(
    book: Book,
    stamp: Stamp,
    finding: Finding,
    *,
    file: str,
    sha256: str,
    taken: datetime | None = None,
    original: str = "",
    caption: str = "",
) -> Edit:
    """Put a picture that lies in the photo folder to a finding; one that the book knows already is not kept twice."""
    known = next((photo for photo in book.photos.values() if photo.sha256 == sha256), None)
    if known is not None and known.id in finding.photos:
        raise NotAllowed(f"Finding {finding.chalk} has that picture already.")
    photo = known or Photo(
        id=book.new_key("photos"),
        file=file,
        sha256=sha256,
        when=stamp.when,
        by=stamp.by,
        taken=taken,
        original=original,
        caption=caption,
    )
    with_it = finding.model_copy(update={"photos": (*finding.photos, photo.id)})
    return Edit(
        f"Photo of finding {finding.chalk}",
        (Put("photos", photo.id, photo), Put("findings", str(finding.chalk), with_it)),
    )


def caption_photo(photo: Photo, caption: str) -> Edit:
    return Edit("Words under a photo", (Put("photos", photo.id, photo.model_copy(update={"caption": caption})),))


def take_off_photo(book: Book, finding: Finding, photo: str) -> Edit:
    """Take a picture off a finding. The file stays in the folder; its record goes with the last finding it had."""
    without = finding.model_copy(update={"photos": tuple(one for one in finding.photos if one != photo)})
    puts = [Put("findings", str(finding.chalk), without)]
    if not any(photo in one.photos for one in book.findings.values() if one.chalk != finding.chalk):
        puts.append(Put("photos", photo, None))
    return Edit(f"Removed a photo from finding {finding.chalk}", tuple(puts))


@dataclass(frozen=True)
class Offer:
    """A finding a picture may belong to, and how far apart in time the two are."""

    finding: Finding
    apart: timedelta


def _moments(book: Book, finding: Finding) -> Iterator[datetime]:
    yield from (event.when for event in finding.history)
    yield from (reading.when for reading in book.readings.values() if reading.finding == finding.chalk)


def offers(book: Book, taken: datetime | None) -> list[Offer]:
    """Findings that something was written about at about that time, nearest first; then by chalk number.

    A camera's time without a zone is taken for the local time of the book.
    """
    if taken is None:
        return []
    told = []
    for finding in book.findings.values():
        apart = min(
            abs((when if taken.tzinfo else when.replace(tzinfo=None)) - taken) for when in _moments(book, finding)
        )
        if apart <= ABOUT_THEN:
            told.append(Offer(finding, apart))
    return sorted(told, key=lambda offer: (offer.apart, offer.finding.chalk))
