"""Photos made fit for the papers: turned upright, made smaller, and stripped of what the camera wrote beside them.

The originals are only read. Pillow is imported when a photo is looked at.
"""

from __future__ import annotations

import base64
import contextlib
import hashlib
import importlib
import io
import sys
import warnings
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO

from inspect_tui.digests import MOST_PHOTO_BYTES, open_regular
from inspect_tui.errors import BadPicture

# Printed 76 mm wide: 200 pixels an inch.
LONGEST_PX = 600
QUALITY = 60
ENDINGS = frozenset({".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".heic", ".heif"})
# What a camera or a phone writes. Others that the library reads start programs, or are no pictures.
_FORMATS = ("JPEG", "PNG", "WEBP", "TIFF")
_ENDINGS_BY_FORMAT = {
    "JPEG": ".jpg", "MPO": ".jpg", "PNG": ".png", "WEBP": ".webp", "TIFF": ".tif", "HEIF": ".heic"
}  # fmt: skip
MOST_PIXELS = 50_000_000
HEIC = frozenset({".heic", ".heif"})
HEIC_WORDS = (
    "HEIC pictures need an optional reader: pip install 'inspect-tui[heic]', or have the phone save JPEG "
    "(its camera settings call it most compatible)."
)
# What the library finds odd in a picture must not come over the screen.
warnings.filterwarnings("ignore", category=UserWarning, module=r"PIL\.")
_TAKEN, _OFFSET, _CHANGED, _EXIF, _GPS = 0x9003, 0x9011, 0x0132, 0x8769, 0x8825


@dataclass(frozen=True)
class Shrunk:
    """A photo for the papers: JPEG bytes, and its size in pixels. `place` is where it was taken, if asked for."""

    jpeg: bytes
    wide: int
    high: int
    place: str = ""

    def laid(self, path: Path) -> Laid:
        """Written to a file: hundreds of photos are too many to hold."""
        path.write_bytes(self.jpeg)
        return Laid(path, self.wide, self.high, self.place)


@dataclass(frozen=True)
class Laid:
    """The same in a file."""

    path: Path
    wide: int
    high: int
    place: str = ""

    def base64(self) -> str:
        return base64.b64encode(self.path.read_bytes()).decode()


@dataclass(frozen=True)
class Camera:
    """What the camera wrote: local time (with its zone where it gave one), and whether a place stands beside it."""

    taken: datetime | None
    located: bool


def _open(path: Path, data: BinaryIO) -> Any:
    from PIL import Image, UnidentifiedImageError

    with contextlib.suppress(ImportError):
        if path.suffix.lower() in HEIC:
            importlib.import_module("pillow_heif").register_heif_opener()
    try:
        image = Image.open(data, formats=[*_FORMATS, *(["HEIF"] if "HEIF" in Image.OPEN else [])])
        # What has to be decoded whole takes up memory by its size, whatever the file's own.
        whole = image.format not in ("JPEG", "MPO") or image.info.get("progressive")
        if whole and image.width * image.height > MOST_PIXELS:
            image.close()
            raise BadPicture(f"{path.name} has {image.width} × {image.height} pixels: too large to be shown here.")
        return image
    except UnidentifiedImageError:
        if path.suffix.lower() in HEIC and "pillow_heif" not in sys.modules:
            raise BadPicture(f"{path.name}: {HEIC_WORDS}") from None
        raise BadPicture(f"{path.name} cannot be read as a picture.") from None
    except (OSError, ValueError, Image.DecompressionBombError) as error:
        raise BadPicture(f"{path.name} cannot be read as a picture ({_short(error)}).") from None


def _stream_of(path: Path) -> BinaryIO:
    try:
        return open_regular(path, most_bytes=MOST_PHOTO_BYTES)
    except FileNotFoundError:
        raise BadPicture(f"{path.name} is missing.") from None
    except (OSError, ValueError) as error:
        raise BadPicture(f"{path.name} cannot be read: {_short(error)}.") from None


def _bytes_of(path: Path, sha256: str | None) -> bytes:
    with _stream_of(path) as stream:
        data = stream.read()
    if sha256 is not None and hashlib.sha256(data).hexdigest() != sha256:
        raise BadPicture(f"{path.name} is not the picture that was added to the finding: it has been changed since.")
    return data


def fit_to_show(path: Path, sha256: str, folder: Path) -> Path:
    """A copy of a checked picture under a name of ours, for another program to show: what a stranger's file is called
    must not choose that program.

    Raises
    ------
    BadPicture : no picture of a kind that is read here, or not the one whose SHA-256 the book holds.
    OSError : the copy cannot be written.
    """
    data = _bytes_of(path, sha256)
    with _open(path, io.BytesIO(data)) as image:
        ending = _ENDINGS_BY_FORMAT[image.format]
    folder.mkdir(parents=True, exist_ok=True)
    copy = folder / f"photo-{sha256[:16]}{ending}"
    copy.write_bytes(data)
    return copy


def _short(error: Exception) -> str:
    told = getattr(error, "strerror", None) or str(error)
    return (told.splitlines() or [type(error).__name__])[0][:100]


def camera_of(path: Path) -> Camera:
    """What the camera wrote beside the picture.

    Raises
    ------
    BadPicture : it is no picture, or one that no reader here can open.
    """
    with _stream_of(path) as stream, _open(path, stream) as image:
        try:
            exif = image.getexif()
            told = exif.get_ifd(_EXIF)
            words = str(told.get(_TAKEN) or exif.get(_CHANGED) or "").strip("\0 ")
            offset = str(told.get(_OFFSET) or "").strip("\0 ")
            located = bool(exif.get_ifd(_GPS))
        except Exception:
            # Whatever a camera or a program broke in there, the picture itself may still be good.
            return Camera(None, located=False)
    return Camera(_moment(words, offset), located)


def _moment(words: str, offset: str) -> datetime | None:
    try:
        taken = datetime.strptime(words, "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007 - cameras write local time
    except ValueError:
        return None
    try:
        return datetime.fromisoformat(taken.isoformat() + offset) if offset else taken
    except ValueError:
        return taken


def shrunk(path: Path, sha256: str | None = None, *, located: bool = False) -> Shrunk:
    """A photo for the papers, upright, no longer than LONGEST_PX, without what the camera wrote; its place in words
    if `located`.

    Raises
    ------
    BadPicture : missing, unreadable, or not the file whose SHA-256 the book holds.
    """
    from PIL import Image, ImageOps

    data = _bytes_of(path, sha256)
    with _open(path, io.BytesIO(data)) as image:
        try:
            place = _place(image) if located else ""
            # JPEG is decoded at a fraction of its size where that is enough.
            image.draft("RGB", (LONGEST_PX, LONGEST_PX))
            upright = ImageOps.exif_transpose(image)
            upright.thumbnail((LONGEST_PX, LONGEST_PX), Image.Resampling.BICUBIC)
            if upright.mode in ("RGBA", "LA", "P"):
                backing = Image.new("RGB", upright.size, "white")
                layer = upright.convert("RGBA")
                backing.paste(layer, mask=layer)
                upright = backing
            out = io.BytesIO()
            upright.convert("RGB").save(out, "JPEG", quality=QUALITY, comment=b"")
        except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
            raise BadPicture(f"{path.name} cannot be read as a picture ({_short(error)}).") from None
    return Shrunk(out.getvalue(), upright.width, upright.height, place)


def _place(image: Any) -> str:
    """Latitude and longitude in degrees, or nothing."""
    try:
        gps = image.getexif().get_ifd(_GPS)
        told = []
        for side, value in ((1, 2), (3, 4)):
            degrees, minutes, seconds = (float(part) for part in gps[value])
            told.append(f"{degrees + minutes / 60 + seconds / 3600:.5f}° {gps[side]}")
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return ""
    return " ".join(told)
