"""The measuring round of a list: slips to print case by case, the list to fill in, film assumed."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from cutfiles.bench.at_hand import FilmAtHand
from cutfiles.bench.films import kinds_on
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.disk.names import safe_name
from cutfiles.errors import CutfilesError, Fault
from cutfiles.exhibit.buying import film_rows, needs_of
from cutfiles.exhibit.films import choose_films
from cutfiles.exhibit.outcome import NOT_LAID
from cutfiles.exhibit.pieces import post_piece
from cutfiles.exhibit.tables import csv_bytes
from cutfiles.exhibit.work import posts_of, sure_state
from cutfiles.film.compare import film_missing
from cutfiles.film.layout import Piece, lay_out
from cutfiles.film.rules import Rules
from cutfiles.job.make import require_carried
from cutfiles.job.order import Order, drafted
from cutfiles.lists.ledger import BookList, ListRow
from cutfiles.lists.rounds import (
    AssumedSlip,
    Measured,
    assumed_slips,
    round_csv,
    round_spreadsheet,
    to_measure,
)
from cutfiles.report.printed.measuring_round import round_cards, round_pages
from cutfiles.report.printed.paper import PaperName
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


class AssumedBook(NamedTuple):
    """What a book of the round takes, as far as can be told.

    Attributes:
        row: of the list.
        number: of the support.
        assumed: what was assumed, in words; empty where nothing was.
        film: it would be made of; empty where none is ordered for it.
        why_not: why it would not be made, or not be cut; empty where that cannot be told yet.

    """

    row: int
    number: str
    assumed: str
    film: str = ""
    why_not: str = ""

    @property
    def called(self) -> str:
        """Its number; of a row without one, which row it is."""
        return self.number or f"row {self.row}"


@dataclass(frozen=True, slots=True, kw_only=True)
class AssumedFilm:
    """What film a list will take, as far as can be told before its books are measured.

    Attributes:
        books: those that are shown open, in the order of the list.
        tables: file names to contents, marked as assumed.

    """

    books: tuple[AssumedBook, ...]
    tables: Mapping[str, bytes]

    @property
    def refused(self) -> tuple[AssumedBook, ...]:
        """The books that no film is ordered for, since they would not be made, or not be cut."""
        return tuple(book for book in self.books if book.why_not)

    @property
    def unknown(self) -> tuple[str, ...]:
        """What books are called of which nothing can be said: not even their size is known."""
        return tuple(book.called for book in self.books if not book.film and not book.why_not)


def assumed_film(books: BookList, at_hand: FilmAtHand, rules: Rules) -> AssumedFilm:
    """Return what film to order, from usual openings by binding where none is known.

    Film is ordered for books that an exhibit would make and cut, as far as is known by now; nothing
    else is made of such a slip: it stands in no exhibit, and has no files.
    """
    found = [*assumed_slips(books, at_hand.kinds or kinds_on(at_hand.shelf))]
    known = {row.row: one for row, one in found if isinstance(one, AssumedSlip)}
    chosen = choose_films({row: one.slip for row, one in known.items()})
    pieces: list[Piece] = []
    told: list[AssumedBook] = []
    for row, one in found:
        if not isinstance(one, AssumedSlip):
            assumed = "" if one else "size not known"
            told.append(AssumedBook(row.row, row.number, assumed, why_not=_reason(one)))
            continue
        slip = chosen.slips[row.row]
        own, why_not = _pieces(row, slip)
        pieces += own
        film = slip.film.made_text if own else ""
        told.append(AssumedBook(row.row, row.number, one.assumed, film, why_not))
    shelf = at_hand.for_exhibit("")
    laid = lay_out(pieces, shelf, rules)
    needs = [*needs_of(shelf, laid.sheets, film_missing(laid.unplaced, shelf, rules))]
    head, *rows = film_rows(needs)
    return AssumedFilm(
        books=tuple(told),
        tables={
            "film-assumed.csv": csv_bytes(
                [(*head, "basis"), *((*row, NOTHING_CUT) for row in rows)]
            ),
            "books-assumed.csv": csv_bytes(
                [
                    (*AssumedBook._fields, "basis"),
                    *((*book, NOTHING_CUT if book.assumed else "measured") for book in told),
                ]
            ),
        },
    )


def _reason(faults: Iterable[Fault]) -> str:
    return " / ".join(f"{fault.found}; {fault.needed}" for fault in faults)


def _pieces(row: ListRow, slip: Slip) -> tuple[list[Piece], str]:
    """Return the pieces of a book, or why it has none: what an exhibit refuses, or does not cut."""
    try:
        made = drafted(slip, Order())
        require_carried(made)
    except CutfilesError as error:
        return [], _reason(error.faults)
    if sure_state(made.verdict) == "another support":
        return [], NOT_LAID
    pattern = made.pattern
    own = Piece(
        name=f"row {row.row}",
        width=round(pattern.box.width, 2),
        height=round(pattern.box.height, 2),
        gauge=round(slip.film.gauge, 4),
        count=row.copies,
    )
    posts = (
        replace(
            own,
            name=post_piece(own.name, post),
            width=width,
            height=height,
            count=count * row.copies,
        )
        for post, width, height, count, _ in posts_of(pattern, slip.film)
    )
    return [own, *posts], ""
