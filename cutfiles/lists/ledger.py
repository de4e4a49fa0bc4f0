"""Reads a list of books as registrars keep it: a slip a row, a ledger of what was read otherwise.

No row is dropped: each becomes a slip or is refused with its row, column and text; rows that are no
books (blank, totals, a header again) are told in the ledger. No unit is guessed.
"""

import csv
import io
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field, replace
from itertools import count

from cutfiles.bench.alike import Alike
from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.errors import Fault, Place
from cutfiles.lists.answers import answered
from cutfiles.lists.causes import Cause, causes_of
from cutfiles.lists.cells import Change, guarded
from cutfiles.lists.grid import Grid, read_grids
from cutfiles.lists.headers import (
    ColumnMapping,
    Header,
    best_header,
    column_of,
    find_headers,
    fullest_row,
    known_fields,
    nameless,
)
from cutfiles.lists.limits import MOST_NAMED
from cutfiles.lists.names import name_of
from cutfiles.lists.rows import RowReading, is_no_book, repeated_key
from cutfiles.lists.scale import Sized, out_of_scale
from cutfiles.lists.wording.senses import AXES

Kinds = tuple[FilmKind, ...]
_UNNAMED = re.compile(
    r"(?:work)?sheet ?\d*|tabelle ?\d*|feuil(?:le)? ?\d*|hoja ?\d*|foglio ?\d*|planilha ?\d*",
    re.IGNORECASE,
)
"""What spreadsheets call a worksheet that nobody has named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListRow:
    """One row of a list: one book at one opening.

    Attributes:
        row: its number in the list, from 1; of further worksheets as if they stood below.
        values: fields to texts, as read; the number of the support is among them.
        extra: what stands in columns that are not used, by header.
        copies: how many supports are wanted.
        closed: whether the book is shown closed and needs no cradle.
        slip: what was measured, or None where the row is refused.
        faults: why it is refused.
        place: of the row in its file and worksheet.
        repeated: what its dittos repeat, by field.

    """

    row: int
    place: Place
    values: Mapping[str, str]
    extra: Mapping[str, str]
    copies: int = 1
    closed: bool = False
    slip: Slip | None = None
    faults: tuple[Fault, ...] = ()
    repeated: Mapping[str, str] = field(default_factory=dict)

    @property
    def number(self) -> str:
        """Of the support, as far as the row has one."""
        return self.values.get("number", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class BookList:
    """A list of books, read.

    Attributes:
        name: of its file, and of its worksheet where one of several is a list.
        header: where it stands and what the columns hold; of the first worksheet with a list.
        parts: each worksheet with a list, by its whole name, and its header.
        rows: one a book and opening, in the order of the list.
        ledger: each cell read differently from how it stood, and each row that is no book.

    """

    name: str
    header: Header
    rows: tuple[ListRow, ...]
    parts: tuple[tuple[str, Header], ...]
    ledger: tuple[Change, ...] = field(default=())

    @property
    def repeated(self) -> dict[str, str]:
        """What each ditto of the list repeats, by number and field."""
        return {
            repeated_key(row.number, path): text
            for row in self.rows
            for path, text in row.repeated.items()
        }

    @property
    def causes(self) -> tuple[Cause, ...]:
        """Why rows are refused, each cause once."""
        return causes_of(fault for row in self.rows for fault in row.faults)

    @property
    def refused(self) -> tuple[ListRow, ...]:
        """The rows of which no slip could be made."""
        return tuple(row for row in self.rows if row.slip is None)


def read_list(
    path: str | os.PathLike[str],
    known: ColumnMapping | None = None,
    films: tuple[FilmKind, ...] = (),
) -> BookList:
    """Return the books in a CSV, XLSX or ODS file.

    Args:
        path: of the list.
        known: what is known of its columns.
        films: the films at hand, if not the usual gauges.

    Raises:
        FileError: the file cannot be read, or has no header.

    """
    return list_in(read_grids(path), os.path.basename(os.fspath(path)), known, films)


def list_in(
    grids: tuple[Grid, ...],
    name: str,
    known: ColumnMapping | None = None,
    films: tuple[FilmKind, ...] = (),
) -> BookList:
    """Return the books in the grids of a file of this name; see `read_list`.

    Raises:
        FileError: no grid has a header.

    """
    known = known or ColumnMapping()
    found = find_headers(grids, known)
    ledger = _other_worksheets(grids, [grid for grid, _ in found])
    rows: list[ListRow] = []
    sized: list[Sized] = []
    below = 0
    for grid, header in found:
        part = _Part(grid, header, known, films, below, len(found) > 1)
        rows += part.rows
        sized += part.sized
        ledger += sorted(part.ledger, key=lambda change: change.row)
        below += len(grid.rows)
    first, header = found[0]
    name = first.name if len(found) == 1 else name
    for index, fault in out_of_scale(sized):
        rows[index] = _asked(rows[index], fault)
    numbered: list[Change] = []
    rows = _own_numbers(rows, header, numbered)
    if numbered:
        ledger = sorted([*ledger, *numbered], key=lambda change: (change.worksheet, change.row))
    parts = tuple((grid.name, header) for grid, header in found)
    return BookList(name=name, header=header, rows=tuple(rows), parts=parts, ledger=tuple(ledger))


def guessed_header(grids: tuple[Grid, ...], known: ColumnMapping) -> Header:
    """Return the likeliest header of a file in which none is found, to be edited in a mapping."""
    found = [header for grid in grids if (header := best_header(grid, known))]
    best = max(found, key=lambda header: header.known, default=None)
    return best or max(map(fullest_row, grids), key=lambda header: len(header.columns))


def _asked(row: ListRow, fault: Fault) -> ListRow:
    """Return a row whose unit is asked: what else is said of its size follows from that."""
    others = tuple(one for one in row.faults if one.place.path not in (*AXES, "spine_width"))
    return replace(row, slip=None, faults=(*others, fault))


def _other_worksheets(grids: tuple[Grid, ...], lists: list[Grid]) -> list[Change]:
    """Tell the worksheets that hold no list."""
    return [
        Change(0, "", grid.worksheet, "", "worksheet-not-read")
        for grid in grids
        if grid.worksheet and grid not in lists and any(c.text for row in grid.rows for c in row)
    ]


class _Part:
    """One worksheet, or the whole of a text file, read row by row."""

    def __init__(
        self,
        grid: Grid,
        header: Header,
        known: ColumnMapping,
        films: Kinds,
        below: int,
        several: bool,
    ) -> None:
        self.films, self.below, self.alike = films, below, Alike()
        self.worksheet = grid.worksheet if several else ""
        self.rows: list[ListRow] = []
        self.sized: list[Sized] = []
        self.ledger = [Change(0, "", "", note, "file-read-otherwise") for note in grid.notes]
        self.ledger += _about_columns(grid, header, known)
        grid, header, said = answered(grid, header, known.cells)
        self.ledger += said
        above: dict[str, str] = {}
        for number in range(header.row + 1, len(grid.rows) + 1):
            cells = grid.rows[number - 1]
            if why := is_no_book(cells, grid.rows[header.row - 1]):
                self.ledger.append(Change(number, "", _joined(grid, number), "", why))
                continue
            reading = RowReading(grid.name, number, header, cells, above, known)
            if self.worksheet:
                self._case(reading)
            self.rows.append(self._row(reading))
            self.sized.append(Sized(reading.place, reading.values, reading.given, reading.found))
            self.ledger += reading.ledger
            above = reading.above
        _tell_titles(grid, header, self.ledger)
        self.ledger = [one._replace(worksheet=self.worksheet) for one in self.ledger]

    def _case(self, reading: RowReading) -> None:
        """Take the worksheet's name for the case, where the row says none."""
        if not reading.values.get("case") and not _UNNAMED.fullmatch(self.worksheet):
            reading.values["case"] = self.worksheet
            reading.ledger.append(
                Change(reading.row, "case", "", self.worksheet, "case-from-worksheet")
            )

    def _row(self, reading: RowReading) -> ListRow:
        slip = reading.slip(self.films)
        return ListRow(
            row=reading.row + self.below,
            place=reading.place,
            values=reading.values,
            extra=reading.extra,
            copies=reading.copies,
            closed=reading.closed,
            slip=slip and self.alike.slip(slip),
            faults=tuple(reading.faults),
            repeated=reading.repeated,
        )


def _joined(grid: Grid, row: int) -> str:
    return " | ".join(cell.text for cell in grid.rows[row - 1] if cell.text.strip())[:300]


def _about_columns(grid: Grid, header: Header, known: ColumnMapping) -> list[Change]:
    """Tell, once a column, what its bare numbers count in, or that it is not used."""
    row = header.row
    told = [Change(row, at, first, "", "column-nameless") for at, first in nameless(grid, header)]
    for column in header.columns:
        if not column.field and column.header:
            near = f"perhaps {column.like}" if column.like else ""
            told.append(Change(row, column.header, column.header, near, "column-not-used"))
        elif column.unit:
            unit = f"{column.field}, bare numbers in {column.unit}"
            told.append(Change(row, column.header, column.header, unit, "unit-of-column"))
    if known.bare:
        told.append(Change(row, "", "", f"other bare lengths in {known.bare}", "units-given"))
    return told


def _tell_titles(grid: Grid, header: Header, ledger: list[Change]) -> None:
    for number in range(1, header.row - header.rows + 1):
        text = _joined(grid, number)
        ledger.append(Change(number, "", text, "", "title-row" if text else "blank-row"))


def _own_numbers(rows: list[ListRow], header: Header, ledger: list[Change]) -> list[ListRow]:
    """Give each opening of one book a number of its own; refuse books that share a number."""
    column = next((c.header for c in header.columns if c.field == "number"), "number")
    groups: dict[str, list[int]] = {}
    for index, row in enumerate(rows):
        if row.number:
            groups.setdefault(row.number.casefold(), []).append(index)
    out = list(rows)
    taken = set(groups)
    for group in [group for group in groups.values() if len(group) > 1]:
        if _one_book([rows[i] for i in group]):
            counts = count(2)
            for index in group[1:]:
                out[index] = _renumbered(rows[index], counts, taken, column, ledger)
            continue
        first = group[: MOST_NAMED + 1]
        for index in group:
            near = [_told_row(rows[index], rows[i]) for i in first if i != index][:MOST_NAMED]
            more = len(group) - 1 - len(near)
            others = ", ".join(near) + (f" and {more} more" if more else "")
            fault = Fault(
                replace(rows[index].place.at("number"), column=column),
                f'"{rows[index].number}", which stands in row {others} too',
                "each support has a number of its own",
                "give each another number; two openings of one book share title and shelf mark",
            )
            out[index] = replace(rows[index], slip=None, faults=(*rows[index].faults, fault))
    return out


def _told_row(row: ListRow, other: ListRow) -> str:
    """Return another row as a message about a row names it."""
    same = row.place.file == other.place.file
    return str(other.place.row) if same else f"{other.place.row} of {other.place.file}"


def _one_book(rows: list[ListRow]) -> bool:
    """Whether rows of one number are one book at several openings."""
    books = {
        (r.values.get("title"), r.values.get("shelf_mark"), r.values.get("height")) for r in rows
    }
    openings = {row.values.get("opening") for row in rows}
    return len(books) == 1 and any(books.copy().pop()[:2]) and len(openings) == len(rows)


def _renumbered(
    row: ListRow, counts: Iterator[int], taken: set[str], column: str, ledger: list[Change]
) -> ListRow:
    numbers = (f"{row.number}-{nth}" for nth in counts)
    number = next(one for one in numbers if one.casefold() not in taken)
    taken.add(number.casefold())
    ledger.append(Change(row.place.row, column, row.number, number, "another-opening"))
    values = {**row.values, "number": number}
    slip = row.slip and replace(row.slip, book=replace(row.slip.book, number=number))
    return replace(row, values=values, slip=slip)


# -- writing back --------------------------------------------------------------------------------


def write_list(books: BookList) -> bytes:
    """Return the list, cleaned, as CSV: a row a book, each measure with its unit.

    Read again it gives the same slips, and a ledger with nothing in it. A text that a spreadsheet
    would run as a formula has a ' before it.
    """
    return csv_of(clean_rows(books))


def clean_rows(books: BookList, also: Iterable[str] = ()) -> list[list[str]]:
    """Return the list, cleaned, as rows of texts, its header first.

    Args:
        books: the list.
        also: fields that have a column though nothing in the list holds them.

    """
    held = {name for row in books.rows for name, text in row.values.items() if text} | {*also}
    held |= {column.field for _, header in books.parts for column in header.columns} - {"size"}
    used = [name for name in known_fields() if name in held]
    extra = list(dict.fromkeys(name for row in books.rows for name in row.extra))
    rows = [[*map(name_of, used), *map(_unused, extra)]]
    for row in books.rows:
        texts = [row.values.get(name, "") for name in used]
        rows.append([*texts, *(row.extra.get(name, "") for name in extra)])
    return rows


def csv_of(rows: Iterable[Iterable[str]]) -> bytes:
    """Return rows as CSV in which nothing runs."""
    return b"".join(csv_parts(rows))


def csv_parts(rows: Iterable[Iterable[str]]) -> Iterator[bytes]:
    """Yield rows as CSV in which nothing runs, row by row."""
    yield b"\xef\xbb\xbf"
    for row in rows:
        out = io.StringIO(newline="")
        csv.writer(out, lineterminator="\r\n").writerow(map(guarded, row))
        yield out.getvalue().encode()


def _unused(header: str) -> str:
    """Return a header that is not taken for a field when it is read again."""
    return f"{header} (not used)" if column_of(header).field else header


def ledger_table(books: BookList) -> list[tuple[str, ...]]:
    """Return the ledger as rows of texts, its header first."""
    rows = [(str(c.row or ""), c.column, c.found, c.read, c.rule) for c in books.ledger]
    table: list[tuple[str, ...]] = [("row", "column", "found", "read", "rule"), *rows]
    if len(books.parts) < 2:
        return table
    worksheets = ("worksheet", *(c.worksheet for c in books.ledger))
    return [(title, *row) for title, row in zip(worksheets, table, strict=True)]
