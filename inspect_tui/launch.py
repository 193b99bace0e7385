"""Opening a book in the app: what the console script does most often, without the shell commands' machinery."""

from __future__ import annotations

import contextlib
import getpass
import os
import shutil
import sys
import tempfile
from pathlib import Path

import platformdirs

from inspect_tui.clock import now
from inspect_tui.commands import fail
from inspect_tui.domain.knowledge.checklists import Checklists
from inspect_tui.errors import BadChecklist, StoreError
from inspect_tui.files import book_place, is_folder, is_there, make_folders, replace_file, user_home
from inspect_tui.store.backups import copies_lie_beside, copies_of
from inspect_tui.store.book_file import SUFFIX, BookFile, open_book
from inspect_tui.store.checklist_files import load_checklists, shipped
from inspect_tui.store.photo_files import photo_folder

CHECKLISTS_VARIABLE = "INSPECT_TUI_CHECKLISTS"
DEMO_BOOK = "sandmartin" + SUFFIX


def open_last() -> None:
    """Open the book that was open last, or start one."""
    last = _last_book()
    there = last if last and copies_lie_beside(last) else None
    missing = (
        f"The book that was open last is not there: {last}. Moved, deleted, or its drive is out." if last else ""
    )
    _run_app(there, start=None, note="" if there else missing)


def open_or_start(book: Path) -> None:
    """Open a book, or start one under that name."""
    path = book_named(book)
    if is_folder(book) and not _copies_lie_there(path):
        fail(f"{book} is a folder, not a book.")
    if copies_lie_beside(path):
        _run_app(path, start=None)
    else:
        path = _with_ending(book)
        _run_app(
            None,
            start=path,
            note=f"There is no file {path}: mistyped? This starts a new book of that name; quit if you want none.",
        )


def book_named(book: Path) -> Path:
    """The file that is meant: as named, or with a book's ending where only that is there."""
    return _with_ending(book) if not copies_lie_beside(book) and copies_lie_beside(_with_ending(book)) else book


def _with_ending(book: Path) -> Path:
    return book if book.suffix == SUFFIX else book.with_name(book.name + SUFFIX)


def _copies_lie_there(path: Path) -> bool:
    """Whether a copy of a book lies where something else has taken its name."""
    return any(is_there(copy) for copy in copies_of(path))


def open_demo() -> None:
    """Open a throw-away copy of the demo boat."""
    _need_terminal("demo")
    source = shipped("demo") / DEMO_BOOK
    if not source.is_file():
        fail("The demo book is missing from this installation.")
    folder = Path(tempfile.mkdtemp(prefix="inspect-tui-demo-"))
    try:
        copy = folder / DEMO_BOOK
        shutil.copyfile(source, copy)
        shutil.copytree(photo_folder(source), photo_folder(copy))
        _run_app(copy, start=None, throw_away=True)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _need_terminal(command: str) -> None:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        told = "inspect-tui worklist BOOK" if command == "open" else "inspect-tui --help"
        fail(f"This needs a terminal to draw on. Without one, try: {told}")


def owners_checklists() -> Path:
    """The folder that is laid over our checklists; it need not be there."""
    named = os.environ.get(CHECKLISTS_VARIABLE)
    with contextlib.suppress(RuntimeError):
        return Path(named) if named else platformdirs.user_config_path("inspect-tui") / "checklists"
    # A computer that names no home has none of the owner's.
    return Path(os.devnull) / "checklists"


def owners_keys() -> Path:
    """The file of the keys that the owner wants otherwise; it need not be there."""
    with contextlib.suppress(RuntimeError):
        return platformdirs.user_config_path("inspect-tui") / "keys.toml"
    return Path(os.devnull)


def checklists_or_fail() -> Checklists:
    owner = owners_checklists()
    if os.environ.get(CHECKLISTS_VARIABLE) and not owner.is_dir():
        fail(f"{CHECKLISTS_VARIABLE} names {owner}, which is not a folder.")
    try:
        return load_checklists(owner)
    except BadChecklist as error:
        fail(str(error))


def writer() -> str:
    """The name that was last given as the writer's on this computer, or else the login name."""
    if (name := _recalled("written-by")) and name.isprintable():
        return name
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "owner"


def _state_file(name: str) -> Path:
    return platformdirs.user_state_path("inspect-tui") / name


def _last_book() -> Path | None:
    told = _recalled("last-book")
    return Path(told) if told and "\0" not in told else None


def _photos_from() -> Path:
    """Where pictures were last found; else the usual folder for them."""
    if (told := _recalled("photos-from")) and is_folder(Path(told)):
        return Path(told)
    usual = user_home() / "Pictures"
    return usual if is_folder(usual) else user_home()


def remember(name: str, value: str) -> None:
    """Keep a small thing for the next start; that it cannot be kept is no reason to stop."""
    with contextlib.suppress(OSError, RuntimeError):
        if _recalled(name) != value:
            make_folders(_state_file(name).parent)
            # A name on the disk may hold bytes that no text has.
            replace_file(_state_file(name), value.encode("utf-8", "surrogateescape"))


def _recalled(name: str) -> str:
    with contextlib.suppress(OSError, RuntimeError):
        return _state_file(name).read_text(encoding="utf-8", errors="surrogateescape").strip()
    return ""


def settle_papers() -> None:
    """Finish or undo what a killed program began with papers."""
    from inspect_tui.handover.moving import UNDER_WAY, settle

    if folder := _recalled(UNDER_WAY):
        settle(Path(folder))
        remember(UNDER_WAY, "")


def _rescued(opening: Path | None) -> str:
    """Where the newest copy lies that holds what could not be saved, in a sentence; nothing if there is none, or it
    is the one that is being opened: then it is found."""
    copy = _recalled("rescued")
    if opening is not None and copy and book_place(opening) == Path(copy):
        remember("rescued", "")
        return ""
    if not copy or not is_there(Path(copy)):
        return ""
    return f"A copy was written when a book could not be saved: {copy}. It may hold newer answers."


def _run_app(path: Path | None, *, start: Path | None, throw_away: bool = False, note: str = "") -> None:
    _need_terminal("open")
    from inspect_tui.terminal.app import InspectApp
    from inspect_tui.terminal.keys import read_keys
    from inspect_tui.terminal.widgets.tour import Tour

    checklists = checklists_or_fail()
    settle_papers()
    by = writer()
    book_file: BookFile | None = None
    if path is not None:
        try:
            book_file = open_book(path, now, by)
        except FileNotFoundError:
            fail(f"There is no book {path}.")
        except (StoreError, OSError) as error:
            fail(str(error))
    app = InspectApp(
        checklists,
        now,
        by,
        book_file=book_file,
        start_path=start,
        # A throw-away copy's folder goes with it: its papers belong where the program was started.
        photos_from=_photos_from(),
        papers_beside=Path.cwd() if throw_away else None,
        remember=(lambda _name, _value: None) if throw_away else remember,
    )
    app.use_keys(read_keys(owners_keys()))
    if throw_away:
        app.tour = Tour(int(step) if (step := _recalled("guided-walk")).isdecimal() else 0, remember)
    app.note = " ".join(filter(None, (note, "" if throw_away else _rescued(path))))
    app.run()
    if app.return_code:
        sys.exit(app.return_code)
