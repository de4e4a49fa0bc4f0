"""`cutfiles list`: how a list of books is read, before anything is made."""

import sys
from typing import TYPE_CHECKING

import click

from cutfiles.cli.common import REFUSED, films_at, known_columns, refuse
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.cli.remedies import worded
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
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
    from cutfiles.lists.headers import mapping_text
    from cutfiles.lists.ledger import read_list, write_list

    try:
        known = known_columns(mapping, units)
        books = read_list(path, known, films_at(films_path))
        click.echo(list_table(books))
        if save_mapping:
            data = mapping_text(books.header, known.bare).encode()
            write_new(save_mapping, data, NEEDED)
            click.echo(f"mapping written to {save_mapping}")
        if clean:
            write_new(clean, write_list(books), NEEDED)
            click.echo(f"cleaned list written to {clean}")
    except CutfilesError as error:
        refuse(error)
    if books.refused:
        sys.exit(REFUSED)


def list_table(books: "BookList") -> str:
    """Return columns, ledger, refusals and counts as text."""
    lines = [f"{books.name}, header in row {books.header.row}", "", "columns"]
    for column in books.header.columns:
        if column.header:
            unit = f", bare numbers in {column.unit}" if column.unit else ""
            lines.append(f"  {column.header:<20} {column.field or '(not used)'}{unit}")
    cells = [c for c in books.ledger if c.rule not in ("unit-of-column", "column-not-used")]
    if cells:
        lines += ["", "read differently from how it stood"]
    for change in cells:
        where = f"row {change.row}" if change.row else "file"
        place = f"{where}, {change.column}" if change.column else where
        read = f'"{change.found}" as "{change.read}"' if change.read else f'"{change.found}"'
        lines.append(f"  {place:<22} {change.rule}: {read}")
    if books.refused:
        lines += ["", "refused"]
    for row in books.refused:
        lines += [f"  {worded(fault)}" for fault in row.faults]
    total, refused = len(books.rows), len(books.refused)
    lines += ["", f"{total} books: {total - refused} can be made, {refused} refused"]
    return "\n".join(lines)
