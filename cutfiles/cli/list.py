"""`cutfiles list`: how a list of books is read, before anything is made."""

import sys
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import click

from cutfiles.cli.common import REFUSED, films_at, known_columns, refuse
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.cli.remedies import worded
from cutfiles.errors import CutfilesError, FileError

if TYPE_CHECKING:
    from cutfiles.lists.cells import Change
    from cutfiles.lists.headers import Column
    from cutfiles.lists.ledger import BookList


NEEDED = "this is written to a new file"


@click.command("list", cls=GroupedCommand, no_args_is_help=True)
@click.argument("path", metavar="LIST", type=click.Path())
@option("--units")
@option("--films")
@option("--mapping", help="what the columns hold, as --save-mapping writes it")
@click.option(
    "--save-mapping",
    type=click.Path(),
    metavar="FILE",
    help="write how the columns were read to a new file",
)
@click.option(
    "--clean",
    type=click.Path(),
    metavar="FILE",
    help="write the list back, cleaned, to a new CSV file",
)
def command(
    path: str,
    units: str | None,
    films_path: str | None,
    mapping: str | None,
    save_mapping: str | None,
    clean: str | None,
) -> None:
    """Show how a list of books (CSV, XLSX or ODS) is read; nothing is made.

    It tells what each column holds, each cell read differently from how it stands, with the rule,
    and each row refused, with what is needed. Names of columns it knows are those of a slip and
    the usual ones: No., Shelf mark, Title, Show, H, W, Th., Spine, Opens to, Weight, Case, Copies,
    Notes; a unit may follow: "Height (in)". For other names, save the mapping and edit it.

    \b
    cutfiles list objects.xlsx
    cutfiles list objects.csv --units in --save-mapping columns.toml
    cutfiles list objects.csv --mapping columns.toml --clean cleaned.csv
    """
    from cutfiles.disk.files import write_new
    from cutfiles.lists.grid import read_grids
    from cutfiles.lists.ledger import guessed_header, read_list, write_list
    from cutfiles.lists.mapping import mapping_text

    try:
        known = known_columns(mapping, units)
        try:
            books = read_list(path, known, films_at(films_path))
        except FileError as error:
            if save_mapping and error.fault.key == "columns":
                header = guessed_header(read_grids(path), known)
                _save_mapping(save_mapping, mapping_text(header, known.bare))
            raise
        click.echo(list_table(books))
        if save_mapping:
            _save_mapping(save_mapping, mapping_text(books.header, known.bare, books.repeated))
        if clean:
            write_new(clean, write_list(books), NEEDED)
            click.echo(f"cleaned list written to {clean}")
    except CutfilesError as error:
        refuse(error)
    if books.refused:
        sys.exit(REFUSED)


def _save_mapping(path: str, text: str) -> None:
    from cutfiles.disk.files import write_new

    write_new(path, text.encode(), NEEDED)
    click.echo(f"mapping written to {path}")


def list_table(books: "BookList") -> str:
    """Return columns, ledger, refusals and counts as text."""
    from cutfiles.lists.causes import cause_lines

    lines: list[str] = []
    for name, header in books.parts:
        lines += [f"{name}, header in row {header.row}", "", "columns"]
        lines += [_column_line(column) for column in header.columns if column.header]
        lines += [""] if name != books.parts[-1][0] else []
    if changes := list(_change_lines(books.ledger)):
        lines += ["", "read differently from how it stood", *changes]
    if books.refused:
        lines += ["", "refused"]
    for cause in books.causes:
        lines += [f"  {line}" for line in cause_lines(cause, worded)]
    total, refused = len(books.rows), len(books.refused)
    lines += ["", f"{total} books: {total - refused} can be made, {refused} refused"]
    if any(cause.fault.found == "nothing" for cause in books.causes):
        lines.append(
            "to measure what is missing: cutfiles round LIST --to DIR prints slips, and writes the "
            "list to fill in"
        )
    return "\n".join(lines)


def _change_lines(changes: "Sequence[Change]") -> Iterator[str]:
    """Yield what was read otherwise, a line a change; of many rows alike, once with the rows."""
    from cutfiles.lists.causes import changes_told, rows_told

    for change, rows in changes_told(changes):
        word = "rows" if len(rows) > 1 else "row"
        where = f"{word} {rows_told(rows)}" if rows[0] else "file"
        where = f"{change.worksheet}, {where}" if change.worksheet else where
        place = f"{where}, {change.column}" if change.column else where
        read = f'"{change.found}" as "{change.read}"' if change.read else f'"{change.found}"'
        yield f"  {place:<22} {change.rule}: {read}"


def _column_line(column: "Column") -> str:
    unit = f", bare numbers in {column.unit}" if column.unit else ""
    order = f", in the order {' x '.join(column.order)}" if column.order else ""
    like = f"; perhaps {column.like}" if column.like else ""
    return f"  {column.header:<20} {column.field or '(not used)'}{unit}{order}{like}"
