"""`cutfiles round`: what is taken round the books of a list to measure them."""

from typing import TYPE_CHECKING

import click

from cutfiles.cli.common import known_columns, refuse
from cutfiles.cli.options import GroupedCommand, option, options
from cutfiles.cli.remedies import worded
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.bench.at_hand import FilmAtHand
    from cutfiles.exhibit.rounds import AssumedFilm
    from cutfiles.lists.ledger import BookList
    from cutfiles.report.printed.paper import PaperName


@click.command("round", cls=GroupedCommand, no_args_is_help=True)
@click.argument("path", metavar="LIST", type=click.Path())
@option("--to", required=True, default=None, help="folder for what is printed and filled in")
@options("--paper", "--replace", "--films", "--mapping")
@option("--units", help="what the bench writes bare lengths in; else mm")
@click.option("--six", is_flag=True, help="six books to a page, blanks alone; else a page a book")
@click.option(
    "--assume",
    is_flag=True,
    help="also tell what film to order, by usual openings of bindings where none is known",
)
def command(
    path: str,
    folder: str,
    paper: "PaperName",
    replace: bool,
    films_path: str | None,
    mapping: str | None,
    units: str | None,
    six: bool,
    assume: bool,
) -> None:
    """Print what to measure of the books of a list, and write the list to fill in.

    In DIR: a PDF for each case, with drawings, what the list says already, lines for the rest and
    a code with the number; to-measure.csv and to-measure.xlsx, the same list with cells to fill in.
    Filled in, either is a list for cutfiles exhibit.

    \b
    cutfiles round objects.xlsx --to round
    cutfiles round objects.xlsx --to round --six --units in --assume
    cutfiles exhibit round/to-measure.xlsx --to out

    With --assume, film-assumed.csv says what film to order. It is marked as assumed everywhere;
    nothing is cut from it, for the book's own opening counts. A conservator decides how far a book
    opens: prop, never force.
    """
    from cutfiles.bench.at_hand import USUAL_SHELF
    from cutfiles.bench.films import read_films
    from cutfiles.exhibit.rounds import RoundPlan, measuring_round
    from cutfiles.files.made import File
    from cutfiles.job.deliver_files import deliver_files
    from cutfiles.lists.ledger import read_list
    from cutfiles.units import UNITS

    unit = next((one for one in UNITS if one == units), UNITS[0])
    try:
        shelf = read_films(films_path) if films_path else USUAL_SHELF
        books = read_list(path, known_columns(mapping, units), shelf.kinds)
        files = dict(measuring_round(books, RoundPlan(units=unit, six=six, paper=paper)))
        film = _assumed(books, shelf) if assume else None
        files |= film.tables if film else {}
        put = [File(name, "round", data, None) for name, data in files.items()]
        deliver_files(folder, "round", put, replace=replace)
    except CutfilesError as error:
        refuse(error)
    for name in files:
        click.echo(f"  {name}" + (" (assumed)" if film and name in film.tables else ""))
    if film:
        _tell(film)
    _ask(books)
    click.echo(f"in {folder}: print, measure, fill in, then: cutfiles exhibit LIST --to out")


def _ask(books: "BookList") -> None:
    """Tell what stands in the list and cannot be taken as it stands: it is no mere blank."""
    from cutfiles.lists.causes import cause_lines, causes_of

    odd = (f for row in books.rows if not row.closed for f in row.faults if f.found != "nothing")
    causes = causes_of(odd)
    if causes:
        click.echo("to be asked, or measured again:")
    for cause in causes:
        click.echo("\n".join(f"  {line}" for line in cause_lines(cause, worded)))


def _assumed(books: "BookList", shelf: "FilmAtHand") -> "AssumedFilm":
    from cutfiles.exhibit.rounds import assumed_film
    from cutfiles.film.rules import EFFORTS, Rules

    return assumed_film(books, shelf, Rules(effort=EFFORTS["quick"]))


def _tell(film: "AssumedFilm") -> None:
    for book in film.books:
        if book.assumed and book.film:
            click.echo(f"  {book.number}: {book.assumed}; {book.film}")
    for book in film.refused:
        click.echo(f"  {book.number}: no film is ordered: {book.why_not}")
    if film.unknown:
        click.echo(f"  no film told for: {', '.join(film.unknown)}")
