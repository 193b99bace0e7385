"""The shell commands. Each is thin; errors are one sentence on stderr, exit code 1 (2 for wrong usage)."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator
from pathlib import Path

import click

from inspect_tui import launch
from inspect_tui.calc.topics import calc
from inspect_tui.clock import now
from inspect_tui.domain.checklists import Checklists
from inspect_tui.launch import checklists_or_fail, fail
from inspect_tui.store.book_file import BookFile, check_book, open_book
from inspect_tui.store.errors import StoreError


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
        launch.open_last()


@main.command("open", hidden=True)
@click.argument("book", type=click.Path(path_type=Path))
def open_(book: Path) -> None:
    """Open a book, or start one under that name."""
    launch.open_or_start(book)


@main.command()
def demo() -> None:
    """Open a throw-away copy of the demo boat: try anything, nothing is kept."""
    launch.open_demo()


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


main.add_command(calc)


@main.command("verify")
@click.argument("book", type=click.Path(path_type=Path))
def verify_(book: Path) -> None:
    """Tell whether the file of BOOK is whole, and what would be restored if not. Changes nothing.

    Exit code 0 if it is whole, 1 if it is not.
    """
    try:
        whole, words = check_book(book, now())
    except FileNotFoundError:
        fail(f"There is no book {book}.")
    except (StoreError, OSError) as error:
        fail(str(error))
    click.echo(words)
    if not whole:
        sys.exit(1)


# --- how the commands work ------------------------------------------------------------------------


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
        fail(f"This cannot be written: {error.strerror or error}.")


@contextlib.contextmanager
def _reading(path: Path) -> Iterator[tuple[BookFile, Checklists]]:
    """A book opened for reading: somebody else may be writing in it meanwhile."""
    try:
        opened = open_book(path, now, "", write=False)
    except FileNotFoundError:
        fail(f"There is no book {path}.")
    except OSError as error:
        fail(f"{path} cannot be read: {error.strerror or error}.")
    except StoreError as error:
        fail(str(error))
    if opened.restored:
        click.echo(f"inspect-tui: {opened.restored.words(now())} Open it once in the app to repair it.", err=True)
    try:
        yield opened, checklists_or_fail()
    except OSError as error:
        fail(str(error))
