"""The measuring round of a list: slips to print case by case, the list to fill in, film assumed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from cutfiles.bench.at_hand import FilmAtHand
from cutfiles.bench.films import kinds_on
from cutfiles.bench.slip import Slip
from cutfiles.disk.names import safe_name
from cutfiles.errors import CutfilesError
from cutfiles.exhibit.buying import film_rows, needs_of
from cutfiles.exhibit.films import choose_films
from cutfiles.exhibit.pieces import post_piece
from cutfiles.exhibit.tables import csv_bytes
from cutfiles.exhibit.work import posts_of
from cutfiles.film.compare import film_missing
from cutfiles.film.layout import Piece, lay_out
from cutfiles.film.rules import Rules
from cutfiles.lists.ledger import BookList, ListRow
from cutfiles.lists.rounds import (
    AssumedSlip,
    Measured,
    assumed_slips,
    round_csv,
    round_spreadsheet,
    to_measure,
)
from cutfiles.pattern.unfold import unfold
from cutfiles.report.printed.measuring_round import round_cards, round_pages
from cutfiles.report.printed.paper import PaperName
from cutfiles.support.design import design
from cutfiles.units import Units

LIST = "to-measure"
NOTHING_CUT = "assumed: to order film by; nothing is cut from this"


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPlan:
    """What is wanted of a measuring round.

    Attributes:
        units: what the bench writes bare lengths in.
        six: whether six books share a page, blanks alone, instead of a page a book.
        paper: of what is printed.

    """

    units: Units = "mm"
    six: bool = False
    paper: PaperName = "A4"


def measuring_round(books: BookList, plan: RoundPlan) -> dict[str, bytes]:
    """Return file names to contents: a PDF a case, and the list to be filled in, twice."""
    cases: dict[str, list[Measured]] = {}
    for one in to_measure(books, plan.units):
        cases.setdefault(one.known.get("case", ""), []).append(one)
    files = {}
    for case in sorted(cases):
        own = cases[case]
        known = [one.known for one in own]
        name = f"measuring-{safe_name(case)}.pdf" if case else "measuring.pdf"
        while name in files:  # two cases whose names differ by what no file's name may hold
            name = f"{name.removesuffix('.pdf')}-2.pdf"
        if plan.six:
            files[name] = round_cards(case, known, [one.blanks for one in own], plan.paper)
        else:
            files[name] = round_pages(case, known, plan.paper)
    files[f"{LIST}.csv"] = round_csv(books, plan.units)
    files[f"{LIST}.xlsx"] = round_spreadsheet(books, plan.units)
    return files


# -- film to order, before anything is measured ----------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class AssumedFilm:
    """What film a list will take, as far as can be told before its books are measured.

    Attributes:
        books: row, number, what was assumed and the film it would be made of; empty where not even
            the size is known.
        tables: file names to contents, marked as assumed.
        unknown: numbers of books of which nothing can be said.

    """

    books: tuple[tuple[int, str, str, str], ...]
    tables: Mapping[str, bytes]
    unknown: tuple[str, ...]


def assumed_film(books: BookList, at_hand: FilmAtHand, rules: Rules) -> AssumedFilm:
    """Return what film to order, from usual openings by binding where none is known.

    Nothing else is made of such a slip: it stands in no exhibit, and has no files.
    """
    found = [*assumed_slips(books, at_hand.kinds or kinds_on(at_hand.shelf))]
    known = {row.row: one for row, one in found if one is not None}
    chosen = choose_films({row: one.slip for row, one in known.items()})
    pieces: list[Piece] = []
    told: list[tuple[int, str, str, str]] = []
    for row, one in found:
        film, own = _pieces(row, one, chosen.slips)
        pieces += own
        told.append((row.row, row.number, one.assumed if one else "size not known", film))
    shelf = at_hand.for_exhibit("")
    laid = lay_out(pieces, shelf, rules)
    needs = [*needs_of(shelf, laid.sheets, film_missing(laid.unplaced, shelf, rules))]
    head, *rows = film_rows(needs)
    columns = ("row", "number", "assumed", "film")
    return AssumedFilm(
        books=tuple(told),
        tables={
            "film-assumed.csv": csv_bytes(
                [(*head, "basis"), *((*row, NOTHING_CUT) for row in rows)]
            ),
            "books-assumed.csv": csv_bytes([(*columns, "basis"), *_with_basis(told)]),
        },
        unknown=tuple(number for _, number, _, film in told if not film),
    )


def _with_basis(told: Sequence[tuple[int, str, str, str]]) -> Iterator[tuple[object, ...]]:
    for row, number, assumed, film in told:
        yield row, number, assumed, film, NOTHING_CUT if assumed else "measured"


def _pieces(
    row: ListRow, one: AssumedSlip | None, slips: Mapping[int, Slip]
) -> tuple[str, list[Piece]]:
    """Return the film a book would be made of, and its pieces; nothing where no support follows."""
    if one is None:
        return "", []
    slip = slips[row.row]
    try:
        pattern = unfold(design(slip))
    except CutfilesError:
        return "", []
    own = Piece(
        name=f"row {row.row}",
        width=round(pattern.box.width, 2),
        height=round(pattern.box.height, 2),
        gauge=round(slip.film.gauge, 4),
        count=row.copies,
    )
    posts = [
        replace(
            own,
            name=post_piece(own.name, post),
            width=width,
            height=height,
            count=count * row.copies,
        )
        for post, width, height, count, _ in posts_of(pattern, slip.film)
    ]
    return slip.film.made_text, [own, *posts]
