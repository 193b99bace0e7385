"""Photos for the papers: upright, small, and without the place where they were taken."""

from __future__ import annotations

import io
import sys
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from PIL import Image
from pydantic import ValidationError

from inspect_tui.digests import digest_of_file
from inspect_tui.domain.records import Photo
from inspect_tui.errors import BadPicture
from inspect_tui.handover.writers.pictures import LONGEST_PX, camera_of, shrunk
from inspect_tui.store.photo_files import copy_in, photo_path, photo_troubles
from tests.conftest import START


def camera_picture(
    path: Path, *, size: tuple[int, int] = (1600, 1200), turned: int = 1, zone: str = "+01:00"
) -> Path:
    """A picture as a phone writes it: left half white, right half black; time, place and how it was held."""
    image = Image.new("RGB", size, "black")
    image.paste("white", (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[0x0112] = turned
    details = exif.get_ifd(0x8769)
    details[0x9003] = "2025:11:15 10:50:00"
    if zone:
        details[0x9011] = zone
    exif.get_ifd(0x8825).update({1: "N", 2: (65.0, 30.0, 0.0), 3: "E", 4: (3.0, 0.0, 36.0)})
    image.save(path, exif=exif)
    return path


def test_the_cameras_time_is_read_with_its_zone_and_without(tmp_path: Path) -> None:
    with_zone = camera_of(camera_picture(tmp_path / "a.jpg"))
    assert with_zone.taken == datetime(2025, 11, 15, 10, 50, tzinfo=timezone(timedelta(hours=1)))
    assert with_zone.located
    bare = camera_of(camera_picture(tmp_path / "b.jpg", zone="")).taken
    assert bare == datetime(2025, 11, 15, 10, 50)  # noqa: DTZ001 - the camera gave no zone
    Image.new("RGB", (9, 9)).save(tmp_path / "c.png")
    assert camera_of(tmp_path / "c.png").taken is None


def test_a_picture_for_the_papers_is_upright_small_and_says_nothing_of_its_place(tmp_path: Path) -> None:
    path = camera_picture(tmp_path / "a.jpg", turned=6)
    before = path.read_bytes()
    made = shrunk(path, digest_of_file(path))
    assert (made.wide, made.high) == (LONGEST_PX * 3 // 4, LONGEST_PX)
    image = Image.open(io.BytesIO(made.jpeg))
    assert not dict(image.getexif())
    assert made.place == ""
    # Held upright, what was left is on top.
    assert image.convert("L").getpixel((made.wide // 2, 20)) > 200  # type: ignore[operator]
    assert image.convert("L").getpixel((made.wide // 2, made.high - 20)) < 50  # type: ignore[operator]
    assert path.read_bytes() == before
    assert shrunk(path, located=True).place == "65.50000° N 3.01000° E"


@pytest.mark.parametrize(
    ("name", "data", "told"),
    [
        ("a.jpg", b"", "cannot be read as a picture"),
        ("a.jpg", b"not a picture", "cannot be read as a picture"),
        ("a.jpg", None, "missing"),
        ("a.heic", b"not a picture", "cannot be read|optional reader"),
    ],
)
def test_what_is_no_picture_is_told_in_a_sentence(tmp_path: Path, name: str, data: bytes | None, told: str) -> None:
    if data is not None:
        (tmp_path / name).write_bytes(data)
    with pytest.raises(BadPicture, match=told):
        shrunk(tmp_path / name)


class NoHeif:
    """As if the optional reader were not installed."""

    def find_spec(self, name: str, *_: object) -> None:
        if name.startswith("pillow_heif"):
            raise ImportError(name)


def test_heic_without_its_reader_says_how_to_get_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "pillow_heif", raising=False)
    monkeypatch.setattr(sys, "meta_path", [NoHeif(), *sys.meta_path])
    (tmp_path / "a.heic").write_bytes(b"x")
    with pytest.raises(BadPicture, match=r"pip install 'inspect-tui\[heic\]'"):
        camera_of(tmp_path / "a.heic")


def test_a_cut_off_picture_and_a_changed_one_are_told(tmp_path: Path) -> None:
    path = camera_picture(tmp_path / "a.jpg")
    digest = digest_of_file(path)
    path.write_bytes(path.read_bytes()[:4000])
    with pytest.raises(BadPicture, match="changed since"):
        shrunk(path, digest)
    with pytest.raises(BadPicture, match="cannot be read as a picture"):
        shrunk(path)


def test_originals_are_copied_once_as_they_are_and_never_written_over(tmp_path: Path) -> None:
    book = tmp_path / "tern.hullbook"
    source = camera_picture(tmp_path / "IMG 1.JPG")
    name, digest = copy_in(book, source, 7)
    assert name == "007-IMG-1.jpg"
    photo = Photo(id="i1-demo", file=name, sha256=digest, when=START, by="Mattis")
    assert photo_path(book, photo).read_bytes() == source.read_bytes()
    assert copy_in(book, source, 7) == (name, digest)
    other = tmp_path / "more"
    other.mkdir()
    Image.new("RGB", (30, 30), "red").save(other / "IMG 1.JPG")
    assert copy_in(book, other / "IMG 1.JPG", 7)[0] == "007-IMG-1-2.jpg"
    assert photo_troubles(book, [photo]) == []
    data = bytearray(photo_path(book, photo).read_bytes())
    data[-20] ^= 1
    photo_path(book, photo).write_bytes(bytes(data))
    assert "has been changed" in photo_troubles(book, [photo])[0]
    photo_path(book, photo).unlink()
    assert "is missing" in photo_troubles(book, [photo])[0]


def test_a_photo_name_cannot_lead_out_of_its_folder(tmp_path: Path) -> None:
    photo = Photo(id="i1-demo", file="../../etc/passwd", sha256="0" * 64, when=START, by="x")
    assert photo_path(tmp_path / "tern.hullbook", photo) == tmp_path / "tern-photos" / "passwd"
    for id in ("../i1", "i1/..", 'i"1', "i&1", "i1\n", ""):
        with pytest.raises(ValidationError, match="pattern"):
            Photo(id=id, file="1.jpg", sha256="0" * 64, when=START, by="x")


def test_a_comment_in_the_picture_stays_out_of_the_papers(tmp_path: Path) -> None:
    path = tmp_path / "said.jpg"
    Image.new("RGB", (30, 30), "red").save(path, comment=b"the berth at home")
    assert b"the berth at home" in path.read_bytes()
    assert b"the berth at home" not in shrunk(path).jpeg
