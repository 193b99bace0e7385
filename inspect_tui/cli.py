"""The shell commands. Each is thin; errors are one sentence on stderr, exit code 1 (2 for wrong usage)."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from inspect_tui.clock import now
from inspect_tui.commands import fail, say, warn
from inspect_tui.domain.plain import counted
from inspect_tui.errors import StoreError

if TYPE_CHECKING:
    from inspect_tui.domain.knowledge.checklists import Checklists
    from inspect_tui.store.book_file import BookFile


class BookOrCommand(click.Group):
    """`inspect-tui BOOK` opens a book: a first word that is no command is taken for one."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in self.commands and not args[0].startswith("-"):
            return "open", self.commands["open"], args
        return super().resolve_command(ctx, args)


class BookPath(click.Path):
    """The file of a book; its ending may be left out."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        from inspect_tui.launch import book_named

        return book_named(Path(os.fsdecode(super().convert(value, param, ctx))))


BOOK = BookPath(path_type=Path)


@click.group(cls=BookOrCommand, invoke_without_command=True, subcommand_metavar="[BOOK] | COMMAND ...")
@click.version_option(package_name="inspect-tui")
@click.pass_context
def main(context: click.Context) -> None:
    """Walk a metal boat compartment by compartment and end with the list of what to do first.

    With BOOK, open that book (or start it, if there is no such file). Without, open the one that was open
    last, or start a new one.
    """
    if context.invoked_subcommand is None:
        from inspect_tui.launch import open_last

        open_last()


@main.command("open", hidden=True)
@click.argument("book", type=BOOK)
def open_(book: Path) -> None:
    """Open a book, or start one under that name."""
    from inspect_tui.launch import open_or_start

    open_or_start(book)


@main.command()
def demo() -> None:
    """Open a throw-away copy of the demo boat: try anything, nothing is kept."""
    from inspect_tui.launch import open_demo

    open_demo()


@main.command("worklist", no_args_is_help=True)
@click.argument("book", type=BOOK)
@click.option("--json", "form", flag_value="json", help="A list of objects, for programs.")
@click.option("--csv", "form", flag_value="csv", help="A table, for a spreadsheet.")
@click.option("--text", "form", flag_value="text", default=True, hidden=True)
def worklist_(book: Path, form: str) -> None:
    """Print the prioritised list of BOOK: what, where, why, who, and what comes first."""
    from inspect_tui.handover.writers import lists
    from inspect_tui.judgement.judged import Judged

    with _reading(book) as (opened, checklists):
        listed = Judged(opened.book, checklists).worklist
        title = opened.book.boat.name
    match form:
        case "json":
            say(lists.as_json(listed))
        case "csv":
            say(lists.as_csv(listed))
        case _:
            say(lists.as_text(listed, title))


@main.command("plan", no_args_is_help=True)
@click.argument("book", type=BOOK)
@click.option(
    "--hours",
    type=click.FloatRange(0.5, 24),
    default=6.0,
    show_default=True,
    help="Hours a day that the owner and any helpers work.",
)
@click.option("--no-heat", is_flag=True, help="No welding, grinding or burning is allowed where she lies.")
@click.option("--wet", is_flag=True, help="The weather is wet: what needs dry weather waits.")
@click.option(
    "--degrees",
    type=click.FloatRange(-60, 60),
    help="Temperature of the metal in °C: what is too cold to coat waits.",
)
@click.option("--json", "form", flag_value="json", help="A list of objects, for programs.")
@click.option("--csv", "form", flag_value="csv", help="A table, for a spreadsheet.")
@click.option("--text", "form", flag_value="text", default=True, hidden=True)
def plan_(book: Path, hours: float, no_heat: bool, wet: bool, degrees: float | None, form: str) -> None:
    """Print the worklist of BOOK as days: who does what, what waits and why, whom to call, what to buy."""
    from inspect_tui.handover.writers import plans
    from inspect_tui.judgement.judged import Judged
    from inspect_tui.judgement.work.plan import Means, pace_of, plan_of

    with _reading(book) as (opened, checklists):
        means = Means(hours, heat=not no_heat, dry=not wet, degrees=degrees, pace=pace_of(opened.book))
        told = plan_of(Judged(opened.book, checklists).worklist, means, afloat=opened.book.boat.afloat)
        title = opened.book.boat.name
    match form:
        case "json":
            say(plans.as_json(told))
        case "csv":
            say(plans.as_csv(told))
        case _:
            say(plans.as_text(told, title))


READERS = ("buyer", "surveyor", "welder", "owner", "insurer")


@main.command("papers", no_args_is_help=True)
@click.argument("book", type=BOOK)
@click.option(
    "-o",
    "--output",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    help="Folder to write into; made if it is not there.",
)
@click.option("--only", type=click.Choice(["pdf", "html", "text", "csv", "json"]), help="Write only this format.")
@click.option(
    "--for",
    "readers",
    type=click.Choice(READERS),
    multiple=True,
    help="The parts this reader wants; may be given more than once. Without it: all parts.",
)
@click.option("--part", "parts", multiple=True, help="Only this part; may be given more than once.")
@click.option("--no-photos", is_flag=True, help="Leave the photos out.")
@click.option("--photo-places", is_flag=True, help="Print where photos were taken.")  # fmt: skip
def papers_(
    book: Path, folder: Path, only: str | None, readers: tuple[str, ...], parts: tuple[str, ...], no_photos: bool,
    photo_places: bool,
) -> None:  # fmt: skip
    """Write the papers of BOOK to hand over: PDF, HTML, plain text, tables, and the whole book as JSON."""
    from inspect_tui.domain.book import Edit
    from inspect_tui.errors import CannotSet
    from inspect_tui.handover.moving import UNDER_WAY
    from inspect_tui.handover.papers import FOR_ONE, FOR_SURVEYOR, FORMATS, write_papers
    from inspect_tui.handover.report import Contents, PartName, Reader
    from inspect_tui.judgement.judged import Judged
    from inspect_tui.launch import remember, settle_papers
    from inspect_tui.store.money_file import load_money, money_path
    from inspect_tui.store.photo_files import photo_folder

    usual = FORMATS if not readers else FOR_SURVEYOR if {"surveyor", "insurer"} & set(readers) else FOR_ONE
    formats = tuple(one for one in FORMATS if only == one or (only is None and one in usual))
    contents = Contents(photos=not no_photos, located=photo_places)
    if readers:
        chosen = [Reader[one.upper()] for one in readers]
        contents = Contents.for_readers(*chosen, photos=not no_photos, located=photo_places)
    if parts:
        if strange := [one for one in parts if one not in list(PartName)]:
            fail(f"There is no part {strange[0]}. The parts are: {', '.join(PartName)}.")
        wanted = frozenset(PartName(one) for one in parts)
        contents = replace(contents, parts=wanted, money=PartName.MONEY in wanted)
    settle_papers()
    with _reading(book) as (opened, checklists):
        remember(UNDER_WAY, str(folder.absolute()))
        try:
            money = load_money(money_path(opened.path)) if contents.money else None
            judged, photos = Judged(opened.book, checklists), photo_folder(opened.path)
            pack = write_papers(judged, folder, formats, contents, photos=photos, money=money)
        except CannotSet as error:
            fail(str(error))
        remember(UNDER_WAY, "")
    for trouble in pack.troubles:
        warn(trouble)
    with _opened(book, write=True) as (opened, _):
        if not opened.read_only:
            opened.record(Edit("", (pack.made(opened.stamp()),)))
        if why := opened.read_only or (opened.trouble and opened.trouble.words):
            warn(f"It could not be noted in the book that papers were made. {why}")
    say("".join(f"{path}\n" for path in pack.files))


@main.command("shots", no_args_is_help=True)
@click.argument("book", type=BOOK)
def shots_(book: Path) -> None:
    """Print the list of pictures to ask a distant seller for, for the boat in BOOK."""
    from inspect_tui.handover.writers.shots import shots_text

    with _reading(book) as (opened, checklists):
        say(shots_text(opened.book.boat, checklists.shots))


@main.command("sheets", no_args_is_help=True)
@click.argument("book", type=BOOK)
@click.option(
    "-o",
    "--output",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    help="Folder to write into; made if it is not there.",
)
@click.option(
    "--place", "places", multiple=True, help="A compartment by its name; without it: all that are not done."
)
@click.option("--numbers", type=click.IntRange(0, 50), default=6, show_default=True,
              help="How many chalk numbers to reserve for each sheet.")  # fmt: skip
def sheets_(book: Path, folder: Path, places: tuple[str, ...], numbers: int) -> None:
    """Write field sheets of BOOK to fill in by hand, and the table to type them into.

    The chalk numbers printed on them are kept in the book: nobody else is given them.
    """
    from inspect_tui.domain.book import Stamp
    from inspect_tui.domain.edits.sheets import kept_for, reserve_chalks
    from inspect_tui.errors import DomainError
    from inspect_tui.handover.sheets.field_sheets import places_to_do, write_sheets

    with _opened(book, write=True) as (opened, checklists):
        if opened.read_only:
            fail(opened.read_only)
        try:
            chosen = places_to_do(opened.book, checklists, places)
            opened.record(reserve_chalks(opened.book, Stamp(now(), opened.by), chosen, numbers))
        except DomainError as error:
            fail(str(error))
        if opened.trouble:
            fail(opened.trouble.words)
        written = write_sheets(opened.book, checklists, chosen, folder)
        kept = {place.name: kept_for(opened.book, place.id) for place in chosen}
    say("".join(f"{path}\n" for path in written))
    say("".join(f"{name}: chalk numbers {', '.join(map(str, told))}\n" for name, told in kept.items() if told))


@main.command("writeup", no_args_is_help=True)
@click.argument("book", type=BOOK)
@click.argument("table", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--yes", is_flag=True, help="Write the good lines into the book; without it they are only shown.")
def writeup_(book: Path, table: Path, yes: bool) -> None:
    """Read a filled-in field sheet (CSV) into BOOK: each line shown, each bad line explained.

    Nothing is written unless --yes is given; then all good lines become one change, taken back by one undo.
    Exit code 1 if a line could not be understood.
    """
    from inspect_tui.digests import read_regular
    from inspect_tui.domain.book import Stamp
    from inspect_tui.errors import BadTable
    from inspect_tui.handover.sheets.field_import import read_table

    with _opened(book, write=yes) as (opened, checklists):
        stamp = Stamp(now(), opened.by)
        try:
            preview = read_table(opened.book, checklists, stamp, read_regular(table.resolve()), table.name)
        except BadTable as error:
            fail(str(error))
        say(preview.text())
        if yes and preview.good:
            if opened.read_only:
                fail(opened.read_only)
            opened.record(preview.edit(opened.book))
            if opened.trouble:
                fail(opened.trouble.words)
            say(f"Written: {counted(len(preview.good), 'line')}.\n")
    if preview.bad:
        sys.exit(1)


class Topics(click.Group):
    """The topics of `calc`, read in when one is wanted."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        from inspect_tui.calc.topics import TOPICS

        return sorted(topic.name for topic in TOPICS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        from inspect_tui.calc.topics import TOPICS

        return next((topic.command() for topic in TOPICS if topic.name == cmd_name), None)


@main.group("calc", cls=Topics, no_args_is_help=True)
def calc() -> None:
    """One calculation with its working: formula in symbols and numbers, source, what it does not cover.

    Numbers are typed as they come: 4,7 or 4.7 mm, 3/16", 2 ft 3 in, -0.92 V. --json gives inputs, result, working and
    sources; every key carries its unit.
    """


@main.command("verify", no_args_is_help=True)
@click.argument("book", type=BOOK)
@click.option("--papers", type=click.Path(path_type=Path), help="One of the book's papers, or their folder.")
@click.option("--head", help="A head of the trail, as it was sent to somebody.")
def verify_(book: Path, papers: Path | None, head: str | None) -> None:
    """Tell whether the file of BOOK is whole, fits its own trail and has its photos. Changes nothing.

    With --papers, make the papers anew from the book as it stood at their head, and compare: what differs is named.
    With --head, tell when that head stood, and that everything before it is unchanged. Exit code 0 if all is so, 1 if
    something differs, 2 if it cannot be told: the papers were made by another program, trade knowledge or library.
    """
    from inspect_tui.errors import NoProof
    from inspect_tui.handover.parts.closing import NO_FILE_PROVES
    from inspect_tui.handover.verifying import SAME, compare, find_head
    from inspect_tui.judgement.judged import Judged
    from inspect_tui.store.book_file import check_book
    from inspect_tui.store.money_file import load_money, money_path
    from inspect_tui.store.photo_files import photo_folder

    try:
        whole, words = check_book(book, now())
    except FileNotFoundError:
        fail(f"There is no book {book}.")
    except (StoreError, OSError) as error:
        fail(str(error))
    say(f"{words}\n")
    code = SAME if whole else 1
    with _reading(book) as (opened, checklists):
        if papers is not None or head is not None:
            try:
                asked = [find_head(opened.book, head)] if head is not None else []
                if papers is not None:
                    money, photos = load_money(money_path(opened.path)), photo_folder(opened.path)
                    asked.append(compare(Judged(opened.book, checklists), papers, photos, money))
            except FileNotFoundError:
                fail(f"There is no {papers}.")
            except NoProof as error:
                fail(str(error))
            for told in asked:
                say("\n".join((*told.words, "")))
                code = code if code == 1 else told.code or code
        say(f"The head of its trail is {opened.book.said_until}\n{NO_FILE_PROVES}\n")
    sys.exit(code)


# --- how the commands work ------------------------------------------------------------------------


def _told(error: OSError) -> str:
    reason = error.strerror or str(error)
    return f"{error.filename}: {reason}." if error.filename else f"{reason}."


@contextlib.contextmanager
def _reading(path: Path) -> Iterator[tuple[BookFile, Checklists]]:
    """A book opened for reading: somebody else may be writing in it meanwhile."""
    with _opened(path, write=False) as both:
        yield both


@contextlib.contextmanager
def _opened(path: Path, *, write: bool) -> Iterator[tuple[BookFile, Checklists]]:
    """A book, open; a failure on the way ends in one sentence."""
    from inspect_tui.launch import checklists_or_fail, writer
    from inspect_tui.store.book_file import open_book

    try:
        opened = open_book(path, now, writer() if write else "", write=write)
    except FileNotFoundError:
        fail(f"There is no book {path}.")
    except OSError as error:
        fail(f"{path} cannot be read: {error.strerror or error}.")
    except StoreError as error:
        fail(str(error))
    if opened.restored:
        warn(f"{opened.restored.words(now())} Open it once in the app to repair it.")
    try:
        yield opened, checklists_or_fail()
    except OSError as error:
        fail(_told(error))
    finally:
        opened.close()
