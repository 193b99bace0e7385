"""Photos beside the book: originals copied into a folder of their own, known by their digest, never changed."""

from __future__ import annotations

import contextlib
import hashlib
import re
from pathlib import Path

from inspect_tui.digests import MOST_PHOTO_BYTES, digest_of_file, read_regular
from inspect_tui.domain.records import Photo
from inspect_tui.files import is_there, make_folder, replace_file


def photo_folder(book: Path) -> Path:
    """The folder of a book's photos: `sandmartin-photos` beside `sandmartin.hullbook`."""
    return book.with_name(f"{book.stem}-photos")


def copy_in(book: Path, source: Path, chalk: int) -> tuple[str, str]:
    """Copy a picture into the photo folder, as it is; give its name there and its SHA-256.

    The same picture again keeps the name it has. Nothing that lies there is ever written over.

    Raises
    ------
    OSError : it cannot be read, or the folder not written.
    """
    data = read_regular(source.resolve(), most_bytes=MOST_PHOTO_BYTES)
    digest = hashlib.sha256(data).hexdigest()
    folder = photo_folder(book)
    make_folder(folder)
    stem = re.sub(r"[^\w-]+", "-", source.stem).strip("-")[:60] or "photo"
    ending = source.suffix.lower()
    number = 1
    while True:
        name = f"{chalk:03d}-{stem}{'' if number == 1 else f'-{number}'}{ending}"
        target = folder / name
        if not is_there(target):
            replace_file(target, data, like=book)
            return name, digest
        if _is_the_same(target, digest):
            return name, digest
        number += 1


def _is_the_same(target: Path, digest: str) -> bool:
    with contextlib.suppress(OSError):
        return digest_of_file(target) == digest
    return False


def photo_path(book: Path, photo: Photo) -> Path:
    """Where a photo's file lies. The name is taken alone: a book from elsewhere cannot point outside its folder."""
    return photo_folder(book) / Path(photo.file).name


def photo_troubles(book: Path, photos: list[Photo]) -> list[str]:
    """One sentence for each photo whose file is missing or is not the one that was put to the book."""
    told = []
    for photo in photos:
        path = photo_path(book, photo)
        try:
            if digest_of_file(path) != photo.sha256:
                told.append(f"The photo {photo.file} has been changed since it was added to the book.")
        except ValueError:
            told.append(f"The photo {photo.file} has a name that no file can have.")
        except FileNotFoundError:
            told.append(f"The photo {photo.file} is missing.")
        except OSError as error:
            told.append(f"The photo {photo.file} cannot be read: {error.strerror or error}.")
    return told
