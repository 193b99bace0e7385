"""A folder of phone pictures: each is offered to the finding that was written at about its time."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from rich.text import Text
from textual import work

from inspect_tui.digests import digest_of_file
from inspect_tui.domain.edits.photos import Offer, offers
from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.errors import BadPicture
from inspect_tui.files import is_folder
from inspect_tui.handover.writers.pictures import ENDINGS, Camera, camera_of
from inspect_tui.terminal.keys import use
from inspect_tui.terminal.lists import FIND, ListRow, ListScreen, enter
from inspect_tui.terminal.screens.modals import PickOne
from inspect_tui.terminal.screens.walk.photos import put_to_finding, show_picture
from inspect_tui.terminal.widgets.choice import Option
from inspect_tui.terminal.widgets.paths import TypePath, path_typed

MOST_PICTURES = 5000


@dataclass(frozen=True)
class Found:
    """One picture of the folder; `trouble` says why it cannot be used."""

    path: Path
    camera: Camera
    trouble: str = ""


class InboxScreen(ListScreen):
    TITLE_WORDS = "a folder of photos"
    EMPTY = "Nothing left here. {take_in}: another folder, {back}: back."
    BINDINGS: ClassVar[list[Any]] = [
        enter("Yes"),
        use("edit", "other", "Another", does="put it with another finding: pick one from the list"),
        use("choose", "skip", "Leave out", does="for now; taking in the same folder again brings it back"),
        use("view", "look", does="in this computer's own viewer"),
        use("take_in", "folder", "Folder", does="another folder"),
        FIND,
    ]
    HELP_TEXT = """
Every picture in the folder that the book does not have yet, oldest first, by the camera's own clock. Beside each
the finding written down nearest to its time (within three hours). {on} puts it there and goes on to the next.

Is the camera's clock wrong? Then the times beside the findings look wrong too: pick the finding yourself.
"""

    def __init__(self) -> None:
        super().__init__()
        self._found: list[Found] = []
        self._folder: Path | None = None
        self._told = "Reading the pictures …"
        self._reading = True

    def on_mount(self) -> None:
        if self._folder is None:
            self.call_after_refresh(self.action_folder)

    def action_folder(self) -> None:
        base = self.desk.photos_from

        def typed(text: str | None) -> None:
            if text is None:
                if self._folder is None and self.is_current:
                    self.app.pop_screen()
                return
            folder = path_typed(text, base)
            if not is_folder(folder):
                self.notify(f"{folder} is not a folder.", severity="warning", markup=False)
                self.action_folder()
                return
            self._folder = folder
            self.desk.remember_photos_from(folder)
            self._scan(folder)

        self.app.push_screen(TypePath("Folder of the pictures", base, f"{base}/"), typed)

    @work(thread=True, exclusive=True)
    def _scan(self, folder: Path) -> None:
        """Read the times of all pictures; the screen stays alive meanwhile."""
        known = {photo.sha256 for photo in self.book.photos.values()}
        names = {photo.original for photo in self.book.photos.values()}
        found: list[Found] = []
        try:
            paths = sorted(path for path in folder.iterdir() if path.suffix.lower() in ENDINGS)[:MOST_PICTURES]
            for path in paths:
                try:
                    if path.name in names and digest_of_file(path) in known:
                        continue
                    found.append(Found(path, camera_of(path)))
                except BadPicture as error:
                    found.append(Found(path, Camera(None, located=False), str(error)))
            told = str(folder)
        except OSError as error:
            told = f"{folder} cannot be read: {error.strerror or error}."
        found.sort(key=lambda one: (one.camera.taken is None, str(one.camera.taken or ""), one.path.name))
        self.from_thread(self._scanned, found, told)

    def _scanned(self, found: list[Found], told: str) -> None:
        self._found = found
        self._told = told
        self._reading = False
        self.show()

    @property
    def _left(self) -> dict[str, Found]:
        """Pictures that are not in the book yet, by their path."""
        known = {photo.original for photo in self.book.photos.values()}
        return {str(one.path): one for one in self._found if one.path.name not in known}

    def head(self) -> str:
        known = self._folder and not self._reading
        counts = f": {counted(len(self._left), 'picture')} not in the book yet" if known else ""
        return one_line(f"{self._told}{counts}")

    def list_rows(self) -> list[ListRow]:
        return [ListRow(key, self._line(one)) for key, one in self._left.items()]

    def detail(self) -> str:
        one = self._chosen
        if one is None or one.trouble:
            return one_line(one.trouble) if one else ""
        near = self._offered(one)
        return one_line(f"no. {near[0].finding.chalk}: {near[0].finding.words}") if near else ""

    def _offered(self, one: Found) -> list[Offer]:
        return offers(self.book, one.camera.taken)

    def _line(self, one: Found) -> Text:
        taken = f"{one.camera.taken:%Y-%m-%d %H:%M}" if one.camera.taken else "time unknown    "
        text = Text(f"{taken}  {shortened(one_line(one.path.name), 24):<24}  ", no_wrap=True, overflow="ellipsis")
        if one.trouble:
            text.append(one_line(one.trouble))
        elif told := self._offered(one):
            text.append(f"no. {told[0].finding.chalk}? ", "bold")
            text.append(f"{_apart(told[0])}; {one_line(told[0].finding.words)}")
        else:
            text.append(f"no finding at about that time: {self.key('edit')} picks one")
        return text

    @property
    def _chosen(self) -> Found | None:
        return self._left.get(self.list_key)

    def _put(self, one: Found, chalk: int) -> None:
        def put(done: bool) -> None:
            if done:
                self.notify(f"{one.path.name}: finding {chalk}", markup=False)

        if self.may_write():
            put_to_finding(self, one.path, chalk, put, one.camera)

    def open_row(self, key: str) -> None:
        one = self._left.get(key)
        if one is None or one.trouble:
            return
        told = self._offered(one)
        if told:
            self._put(one, told[0].finding.chalk)
        else:
            self.action_other()

    def action_other(self) -> None:
        one = self._chosen
        if one is None or one.trouble:
            return
        near = {offer.finding.chalk: _apart(offer) for offer in self._offered(one)}
        order = [*near, *sorted(one.chalk for one in self.book.findings.values() if one.chalk not in near)]
        options = [
            Option(
                str(chalk),
                "",
                f"{chalk}",
                " ".join((near.get(chalk, ""), one_line(self.book.findings[str(chalk)].words))),
            )
            for chalk in order
        ]

        def picked(value: str | None) -> None:
            if value is not None:
                self._put(one, int(value))

        if options:
            self.app.push_screen(PickOne(f"{one.path.name}: which finding?", options), picked)
        else:
            self.notify("There is no finding in the book yet.")

    def action_skip(self) -> None:
        one = self._chosen
        if one is not None:
            self._found.remove(one)
            self.show()

    def action_look(self) -> None:
        if one := self._chosen:
            show_picture(self, one.path)


def _apart(offer: Offer) -> str:
    minutes = round(offer.apart.total_seconds() / 60)
    return f"{minutes} min apart"
