"""Pictures from a stranger: nothing is run, followed, waited for or decoded that is no picture of a known kind."""

from __future__ import annotations

import hashlib
import os
import struct
import sys
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from inspect_tui.errors import BadPicture
from inspect_tui.handover.writers.pictures import camera_of, fit_to_show, shrunk

POSTSCRIPT = (
    b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n%%EndComments\n"
    b"(touched) (w) file closefile\nshowpage\n%%EOF\n"
)


def jpeg(path: Path) -> Path:
    Image.new("RGB", (40, 30), "red").save(path, "JPEG")
    return path


def vast_png(path: Path) -> None:
    """20,000 × 20,000 pixels in a few hundred bytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", 20_000, 20_000, 8, 2, 0, 0, 0)
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0" * 999))
        + chunk(b"IEND", b"")
    )


def large_png(path: Path) -> None:
    """One that the library alone would decode: 169 million pixels."""
    vast_png(path)
    data = bytearray(path.read_bytes())
    data[16:24] = struct.pack(">II", 13_000, 13_000)
    data[29:33] = struct.pack(">I", zlib.crc32(bytes(data[12:29])))
    path.write_bytes(bytes(data))


STRANGE: dict[str, Callable[[Path], object]] = {
    "PostScript": lambda path: path.write_bytes(POSTSCRIPT),
    "a starter": lambda path: path.write_text("[Desktop Entry]\nType=Application\nExec=touch /tmp/x\n"),
    "a pipe": os.mkfifo if hasattr(os, "mkfifo") else lambda path: path.write_bytes(b""),
    "an endless device": lambda path: path.symlink_to("/dev/zero"),
    "a link to a picture": lambda path: path.symlink_to(jpeg(path.with_name("other.jpg"))),
    "a folder": Path.mkdir,
    "nothing in it": lambda path: path.write_bytes(b""),
    "vast": vast_png,
    "large": large_png,
    "cut off": lambda path: path.write_bytes(jpeg(path.with_name("whole.jpg")).read_bytes()[:300]),
}


@pytest.fixture
def stand_ins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Programs that a picture could start, each of which would leave a mark."""
    folder = tmp_path / "bin"
    folder.mkdir()
    for name in ("gs", "xdg-open", "open", "convert"):
        program = folder / name
        program.write_text(f"#!/bin/sh\ntouch {tmp_path}/started\n", encoding="utf-8")
        program.chmod(0o755)
    monkeypatch.setenv("PATH", str(folder))
    return tmp_path / "started"


@pytest.mark.skipif(sys.platform == "win32", reason="pipes and links")
@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
@pytest.mark.parametrize("name", STRANGE)
def test_a_strange_picture_is_refused_in_a_sentence_and_starts_nothing(
    tmp_path: Path, stand_ins: Path, name: str
) -> None:
    path = tmp_path / "pump.jpg"
    STRANGE[name](path)
    digest = hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""
    with pytest.raises(BadPicture) as refused:
        shrunk(path, digest)
    told = str(refused.value)
    assert told.startswith("pump.jpg ")
    assert told.endswith(".")
    if name != "cut off":
        with pytest.raises(BadPicture):
            fit_to_show(path, digest, tmp_path / "shown")
        with pytest.raises(BadPicture):
            camera_of(path)
    assert not stand_ins.exists()


def test_an_empty_digest_is_a_mismatch(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "pump.jpg")
    with pytest.raises(BadPicture, match="changed since"):
        shrunk(path, "")
    assert shrunk(path).wide == 40, "one that is not in the book yet has none"


def test_another_program_is_given_a_checked_copy_under_our_own_name(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "plan.desktop")
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    shown = fit_to_show(path, digest, tmp_path / "shown")
    assert shown.name == f"photo-{digest[:16]}.jpg"
    assert shown.read_bytes() == path.read_bytes()
    with pytest.raises(BadPicture, match="changed since"):
        fit_to_show(path, "0" * 64, tmp_path / "shown")
