"""The shell commands. Each is thin; errors are one sentence on stderr, exit code 1 (2 for wrong usage)."""

from __future__ import annotations

import contextlib
import getpass
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn

import click
import platformdirs

from inspect_tui.clock import now
from inspect_tui.domain.checklists import Checklists
from inspect_tui.store.backups import previous_file
from inspect_tui.store.book_file import SUFFIX, BookFile, check_book, open_book
from inspect_tui.store.checklist_files import load_checklists, shipped
from inspect_tui.store.errors import BadChecklist, StoreError

CHECKLISTS_VARIABLE = "INSPECT_TUI_CHECKLISTS"
DEMO_BOOK = "sandmartin" + SUFFIX


class BookOrCommand(click.Group):
    """`inspect-tui BOOK` opens a book: a first word that is no command is taken for one."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in self.commands and not args[0].startswith("-"):
            return "open", self.commands["open"], args
        return super().resolve_command(ctx, args)


@click.group(cls=BookOrCommand, invoke_without_command=True, subcommand_metavar="[BOOK] | COMMAND ...")
@click.version_option(package_name="inspect-tui")
@click.pass_context
def main(context: click.Context) -> None:
    """Walk a metal boat compartment by compartment and end with the list of what to do first.

    With BOOK, open that book (or start it, if there is no such file). Without, open the one that was open
    last, or start a new one.
    """
    if context.invoked_subcommand is None:
        last = _last_book()
        _run_app(last, start=None)


@main.command("open", hidden=True)
@click.argument("book", type=click.Path(path_type=Path))
def open_(book: Path) -> None:
    """Open a book, or start one under that name."""
    if book.is_dir():
        _fail(f"{book} is a folder, not a book.")
    if book.exists() or book.with_name(book.name + ".prev").exists():
        _run_app(book, start=None)
        return
    with_suffix = book.with_name(book.name + SUFFIX)
    if with_suffix.exists():
        _run_app(with_suffix, start=None)
        return
    _run_app(None, start=book if book.suffix == SUFFIX else with_suffix)


@main.command()
def demo() -> None:
    """Open a throw-away copy of the demo boat: try anything, nothing is kept."""
    _need_terminal("demo")
    source = shipped("demo") / DEMO_BOOK
    if not source.is_file():
        _fail("The demo book is missing from this installation.")
    folder = Path(tempfile.mkdtemp(prefix="inspect-tui-demo-"))
    try:
        copy = folder / DEMO_BOOK
        shutil.copyfile(source, copy)
        _run_app(copy, start=None, remember=False)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@main.command("worklist")
@click.argument("book", type=click.Path(path_type=Path))
@click.option("--json", "form", flag_value="json", help="A list of objects, for programs.")
@click.option("--csv", "form", flag_value="csv", help="A table, for a spreadsheet.")
@click.option("--text", "form", flag_value="text", default=True, hidden=True)
def worklist_(book: Path, form: str) -> None:
    """Print the prioritised list of BOOK: what, where, why, who, and what comes first."""
    from inspect_tui.handover import lists
    from inspect_tui.judgement.worklist import worklist

    with _reading(book) as (opened, checklists):
        listed = worklist(opened.book, checklists)
        title = opened.book.boat.name
    match form:
        case "json":
            _print(lists.as_json(listed))
        case "csv":
            _print(lists.as_csv(listed))
        case _:
            _print(lists.as_text(listed, title))


@main.command("papers")
@click.argument("book", type=click.Path(path_type=Path))
@click.option("-o", "--output", "folder", type=click.Path(path_type=Path, file_okay=False), required=True,
              help="Folder to write into; made if it is not there.")  # fmt: skip
@click.option("--only", type=click.Choice(["html", "text"]), help="Write this one alone.")
def papers_(book: Path, folder: Path, only: str | None) -> None:
    """Write the summary of BOOK to hand over, as HTML and plain text."""
    from inspect_tui.handover.papers import FORMATS, write_papers

    formats = tuple(one for one in FORMATS if only in (None, one))
    with _reading(book) as (opened, checklists):
        written = write_papers(opened.book, checklists, folder, formats)
    _print("".join(f"{path}\n" for path in written))


@main.command("verify")
@click.argument("book", type=click.Path(path_type=Path))
def verify_(book: Path) -> None:
    """Tell whether the file of BOOK is whole, and what would be restored if not. Changes nothing.

    Exit code 0 if it is whole, 1 if it is not.
    """
    try:
        whole, words = check_book(book, now())
    except FileNotFoundError:
        _fail(f"There is no book {book}.")
    except (StoreError, OSError) as error:
        _fail(str(error))
    click.echo(words)
    if not whole:
        sys.exit(1)


# --- how the commands work ------------------------------------------------------------------------


def _fail(sentence: str) -> NoReturn:
    click.echo(f"inspect-tui: {sentence}", err=True)
    sys.exit(1)


def _print(text: str) -> None:
    """The same bytes on every system: UTF-8, line ends as they are."""
    sys.stdout.flush()
    stream = getattr(sys.stdout, "buffer", None)
    try:
        if stream is None:
            sys.stdout.write(text)
        else:
            stream.write(text.encode())
            stream.flush()
    except BrokenPipeError:
        # The reader (a pager) went away: nobody is left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        _fail(f"This cannot be written: {error.strerror or error}.")


def _need_terminal(command: str) -> None:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        told = "inspect-tui worklist BOOK" if command == "open" else "inspect-tui --help"
        _fail(f"This needs a terminal to draw on. Without one, try: {told}")


def _checklists() -> Checklists:
    named = os.environ.get(CHECKLISTS_VARIABLE)
    owner = Path(named) if named else platformdirs.user_config_path("inspect-tui") / "checklists"
    if named and not owner.is_dir():
        _fail(f"{CHECKLISTS_VARIABLE} names {owner}, which is not a folder.")
    try:
        return load_checklists(owner)
    except BadChecklist as error:
        _fail(str(error))


@contextlib.contextmanager
def _reading(path: Path) -> Iterator[tuple[BookFile, Checklists]]:
    """A book opened for reading: somebody else may be writing in it meanwhile."""
    try:
        opened = open_book(path, now, "", write=False)
    except FileNotFoundError:
        _fail(f"There is no book {path}.")
    except OSError as error:
        _fail(f"{path} cannot be read: {error.strerror or error}.")
    except StoreError as error:
        _fail(str(error))
    if opened.restored:
        click.echo(f"inspect-tui: {opened.restored.words(now())} Open it once in the app to repair it.", err=True)
    try:
        yield opened, _checklists()
    except OSError as error:
        _fail(str(error))


def _writer() -> str:
    """The name that was last given as the writer's on this computer, or else the login name."""
    with contextlib.suppress(OSError, UnicodeDecodeError):
        if name := _state_file("written-by").read_text(encoding="utf-8").strip():
            return name
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "owner"


def _state_file(name: str) -> Path:
    return platformdirs.user_state_path("inspect-tui") / name


def _last_book() -> Path | None:
    try:
        path = Path(_state_file("last-book").read_text(encoding="utf-8").strip())
    except (OSError, UnicodeDecodeError):
        return None
    return path if path.is_file() or previous_file(path).is_file() else None


def _remember(name: str, value: str) -> None:
    """Keep a small thing for the next start; that it cannot be kept is no reason to stop."""
    with contextlib.suppress(OSError, UnicodeEncodeError):
        _state_file(name).parent.mkdir(parents=True, exist_ok=True)
        _state_file(name).write_text(value, encoding="utf-8")


def _run_app(path: Path | None, *, start: Path | None, remember: bool = True) -> None:
    _need_terminal("open")
    from inspect_tui.terminal.app import InspectApp

    checklists = _checklists()
    by = _writer()
    book_file: BookFile | None = None
    if path is not None:
        try:
            book_file = open_book(path, now, by)
        except FileNotFoundError:
            _fail(f"There is no book {path}.")
        except (StoreError, OSError) as error:
            _fail(str(error))
    app = InspectApp(
        checklists,
        now,
        by,
        book_file=book_file,
        start_path=start,
        remember=_remember if remember else lambda _name, _value: None,
    )
    app.run()
    if app.return_code:
        sys.exit(app.return_code)


if __name__ == "__main__":
    main()
