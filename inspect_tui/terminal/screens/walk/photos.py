"""Photos of one finding: put one to it by its path, write words under it, look at it, take it off."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any, ClassVar

from rich.console import Group, RenderableType
from rich.text import Text
from textual.geometry import Size

from inspect_tui.digests import digest_of_file
from inspect_tui.domain.book import Edit
from inspect_tui.domain.edits.photos import attach_photo, caption_photo, take_off_photo
from inspect_tui.domain.plain import counted, one_line
from inspect_tui.domain.records import Finding, Photo
from inspect_tui.errors import BadPicture
from inspect_tui.files import is_folder, is_there
from inspect_tui.handover.writers.pictures import Camera, camera_of, fit_to_show, shrunk
from inspect_tui.store.photo_files import copy_in, photo_path
from inspect_tui.terminal.desk import Line
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.base import BookScreen
from inspect_tui.terminal.screens.walk.see_photo import SeePhoto
from inspect_tui.terminal.widgets.blocks import in_blocks
from inspect_tui.terminal.widgets.paths import TypePath, path_typed


class PhotosScreen(ListScreen):
    TITLE_WORDS = "photos of a finding"
    EMPTY = "No photo yet: {add} adds one, {take_in} goes through a folder of them."
    BINDINGS: ClassVar[list[Any]] = [
        enter("See it"),
        use("add"),
        use("edit", "caption", "Words", does="words under the photo, printed in the papers"),
        use("view", "look", "In a window", does="in this computer's own viewer"),
        use("take_in", "inbox", "Folder", does="go through a folder of pictures"),
        use("remove", "take_off", does="off this finding; its file stays in the folder; asks first"),
        FIND,
    ]
    HELP_TEXT = """
The photos of this finding. Each is copied as it is into the folder beside the book; the papers show smaller
copies, without the position where they were taken unless you ask for it. {on} shows the chosen one here, in blocks;
{view} opens it in a window.

Adding one asks for its path, which Tab completes; a folder that was used once is remembered. {take_in} goes through
a folder of phone pictures: each is offered to the findings written at about its time.
"""

    def __init__(self, chalk: int) -> None:
        super().__init__()
        self._chalk = chalk

    @property
    def finding(self) -> Finding | None:
        return self.book.findings.get(str(self._chalk))

    def subject_gone(self) -> bool:
        return self.finding is None

    def head(self) -> str:
        finding = self.finding
        assert finding is not None
        place = self.place_name(finding.compartment)
        return f"Finding {finding.chalk}   {place}   {counted(len(finding.photos), 'photo')}"

    def _jpeg(self, photo: Photo) -> bytes:
        """
        Raises
        ------
        BadPicture : the file is missing or no picture.
        """
        return shrunk(photo_path(self.book_file.path, photo), photo.sha256).jpeg

    def open_row(self, key: str) -> None:
        """The chosen photo, here."""
        if photo := self.book.photos.get(key):
            try:
                self.app.push_screen(SeePhoto(one_line(photo.caption) or photo.file, self._jpeg(photo)))
            except BadPicture as error:
                self.notify(str(error), severity="warning", markup=False)

    def detail(self) -> RenderableType | None:
        """The chosen photo with its words, beside the list."""
        photo = self._chosen
        if photo is None or not self.beside:
            return None
        words = Text(one_line(photo.caption) or photo.file, "bold")
        room = Size(self.size.width - self.list_width - 6, self.size.height - 8)
        try:
            return Group(words, in_blocks(self._jpeg(photo), room, self.app))
        except BadPicture as error:
            return Group(words, Text(str(error)))

    def list_rows(self) -> list[ListRow]:
        return [ListRow(id, self._line(id)) for id in (self.finding.photos if self.finding else ())]

    def _line(self, id: str) -> Text:
        photo = self.book.photos.get(id)
        if photo is None:
            return Text(f"{id}  not in the book any more")
        taken = f"{photo.taken:%Y-%m-%d %H:%M}" if photo.taken else "time unknown    "
        missing = "" if is_there(photo_path(self.book_file.path, photo)) else "  FILE IS MISSING"
        return Text(f"{taken}  {one_line(photo.file)}  {one_line(photo.caption)}{missing}")

    @property
    def _chosen(self) -> Photo | None:
        return self.book.photos.get(self.list_key)

    def action_add(self, value: str = "") -> None:
        if not self.may_write():
            return
        base = self.desk.photos_from

        def typed(text: str | None) -> None:
            if text is None:
                return
            path = path_typed(text, base)
            if is_folder(path):
                self.desk.remember_photos_from(path)
                self.notify(f"From now on, photos are looked for in {path}. Now type the name of one.", markup=False)
                self.action_add()
            else:
                put_to_finding(self, path, self._chalk, lambda done: self._was_put(path, text, done=done))

        self.app.push_screen(TypePath(f"Path of the photo (from {base})", base, value), typed)

    def _was_put(self, path: Path, typed: str, *, done: bool) -> None:
        if done:
            self.desk.remember_photos_from(path.parent)
        elif self.is_current:
            self.action_add(typed)

    def action_caption(self) -> None:
        if (photo := self._chosen) and self.may_write():
            self.ask_caption(photo.id)

    def ask_caption(self, photo: str) -> None:
        """Words under a photo."""
        shown = self.book.photos.get(photo)
        if shown is None:
            self.notify("That photo is not in the book any more.")
            return

        def typed(words: str) -> bool:
            return self.desk.record(caption_photo(shown, words.strip()))

        self.desk.ask_line(
            self.form.line("caption", photo=photo), Line("Words under the photo", shown.caption), typed
        )

    def action_look(self) -> None:
        if photo := self._chosen:
            show_picture(self, photo_path(self.book_file.path, photo), photo.sha256)

    def action_take_off(self) -> None:
        photo, finding = self._chosen, self.finding
        if photo and finding:
            self.ask_remove(
                f"{photo.file} from finding {finding.chalk}",
                lambda: self.desk.record(lambda: take_off_photo(self.book, finding, photo.id)),
            )

    def action_inbox(self) -> None:
        if self.may_write():
            self.desk.go("inbox")


def put_to_finding(
    screen: BookScreen,
    path: Path,
    chalk: int,
    then: Callable[[bool], object],
    camera: Camera | None = None,
) -> None:
    """Copy a picture beside the book and put it to a finding, off the screen's thread; what goes wrong is told in a
    sentence. `then` is told whether it was done, also where the screen was left meanwhile."""
    app, book_path = screen.app, screen.book_file.path
    screen.notify(f"Reading {path.name} …", markup=False)

    def copied() -> tuple[str, str, Camera] | str:
        try:
            # Read whole once: one that is cut off must not be found out only when the papers are written.
            shrunk(path.resolve())
            told = camera or camera_of(path.resolve())
            return *copy_in(book_path, path, chalk), told
        except BadPicture as error:
            return str(error)
        except OSError as error:
            return f"{path.name} cannot be copied: {error.strerror or error}."

    def put(done: tuple[str, str, Camera] | str) -> None:
        finding = screen.book.findings.get(str(chalk))
        if isinstance(done, str) or finding is None:
            told = done if isinstance(done, str) else f"Finding {chalk} is not in the book any more."
            screen.notify(told, severity="warning", markup=False)
            then(False)
            return
        name, digest, told_by = done

        def edit() -> Edit:
            stamp, taken = screen.book_file.stamp(), told_by.taken
            return attach_photo(
                screen.book, stamp, finding, file=name, sha256=digest, taken=taken, original=path.name
            )

        recorded = screen.desk.record(edit)
        then(recorded)
        taken = told_by.taken
        if recorded and taken and taken.replace(tzinfo=None) > screen.desk.clock().replace(tzinfo=None):
            screen.notify(f"{path.name}: its camera says {taken:%Y-%m-%d}, which has not come yet.", markup=False)

    def read() -> None:
        done = copied()
        if app.is_running:
            app.call_from_thread(put, done)

    app.run_worker(read, thread=True, group="photo", exit_on_error=True)


def _shown_folder() -> Path:
    """Where checked copies of photos lie while another program shows them."""
    from platformdirs import user_cache_path

    return user_cache_path("inspect-tui") / "shown"


def show_picture(screen: BookScreen, path: Path, digest: str | None = None) -> None:
    """A checked copy of a picture, under a name of ours, in what this computer shows pictures with. `digest`: its
    SHA-256 as the book has it."""
    try:
        show_outside(screen, fit_to_show(path, digest or digest_of_file(path), _shown_folder()), named=path)
    except BadPicture as error:
        screen.notify(str(error), severity="warning", markup=False)
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or error
        screen.notify(f"It cannot be shown: {told}.", severity="warning", markup=False)


def show_outside(screen: BookScreen, path: Path, *, named: Path | None = None) -> None:
    """Open a file or folder with what this computer opens such things with; told if there is nothing. `named`: what
    the owner knows it by."""
    known = named or path
    opener = "open" if sys.platform == "darwin" else "explorer" if sys.platform == "win32" else "xdg-open"
    if not is_there(path):
        screen.notify(f"{path} is not there.", severity="warning", markup=False)
        return
    try:
        # Whatever it says must not come over the screen.
        started = subprocess.Popen(
            [opener, str(path)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    except OSError:
        screen.notify(f"Nothing here opens it. It is at {known}", timeout=10, markup=False)
        return

    app = screen.app

    def wait() -> None:
        if started.wait() and app.is_running:
            told = f"Nothing here opens it. It is at {known}"
            app.call_from_thread(app.notify, told, timeout=10, markup=False)

    threading.Thread(target=wait, daemon=True).start()
