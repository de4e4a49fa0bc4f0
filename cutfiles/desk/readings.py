"""How a list is read, as plain data for its page: what each column holds, what is asked, by cause.

All of it is done in a process of its own, by the readers that the command line has.
"""

from collections.abc import Iterator, Sequence
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

from cutfiles.bench.at_hand import FilmKind
from cutfiles.desk.limits import ASKED, ASKED_EACH, BOOKS_SHOWN, CHANGES_SHOWN, COLUMNS_ASKED
from cutfiles.disk.files import lent
from cutfiles.disk.names import safe_name
from cutfiles.errors import Fault, FileError
from cutfiles.lists.causes import Cause, changes_told, rows_told
from cutfiles.lists.cells import says_inches, says_metric
from cutfiles.lists.grid import Grid, read_grids
from cutfiles.lists.headers import CellAt, Column, ColumnMapping, Header, known_fields, units_of
from cutfiles.lists.ledger import BookList, ListRow, guessed_header, list_in, write_list
from cutfiles.lists.mapping import ORDERS, mapping_text
from cutfiles.lists.wording.senses import AXES

_LONGEST_STEM, _LONGEST_ENDING = 60, 8
_SHOWN = ("number", "title", *AXES, "spine_width", "opening_angle", "weight")
"""Fields shown of every book, as read."""
_SIZED = ("size", *AXES)


def field_word(path: str) -> str:
    """Return a field as a page calls it.

    >>> field_word("spine_width"), field_word("support.gauge")
    ('spine width', 'support gauge')
    """
    return path.replace("_", " ").replace(".", " ")


class Source(NamedTuple):
    """A list's file, what is known of its columns and cells, and the films at hand."""

    file: str
    data: bytes
    known: ColumnMapping
    films: tuple[FilmKind, ...] = ()


def grids_of(source: Source) -> tuple[Grid, ...]:
    """Return what stands in a file.

    Raises:
        FileError: it is no list.

    """
    with lent(source.file, source.data) as path:
        return read_grids(path)


def file_name(name: str) -> str:
    """Return the name of a file as any disk takes it, its ending kept."""
    path = Path(safe_name(name))
    return path.stem[:_LONGEST_STEM] + path.suffix[:_LONGEST_ENDING]


def books_of(source: Source) -> BookList:
    """Return the books of a list.

    Raises:
        FileError: it is no list, or has no header.

    """
    return list_in(grids_of(source), source.file, source.known, source.films)


def told_of(source: Source) -> dict[str, Any]:
    """Return how a list is read.

    Keys: counts {all, made, refused}, faults (why it is refused as a whole; words), headers (a
    column each: header, field, unit, order, like, units), header_row, parts (names and rows),
    changes (where, rows, rule, found, read), changes_more, causes (see `_cause`), blanks (whether
    something is to be measured), books (texts by field, row, part, refused), books_more.
    """
    grids = grids_of(source)
    try:
        books = list_in(grids, source.file, source.known, source.films)
    except FileError as error:
        if error.fault.key != "columns":
            raise
        header = guessed_header(grids, source.known)
        return _blank([error.fault], [(source.file, header)])
    refused = len(books.refused)
    reading = _Reading(grids, books, source.known)
    changes = list(changes_told(books.ledger))
    return _blank([], books.parts) | {
        "counts": {"all": len(books.rows), "made": len(books.rows) - refused, "refused": refused},
        "changes": [
            {
                "where": change.worksheet,
                "rows": rows_told(rows) if rows[0] else "",
                "column": change.column,
                "rule": change.rule.replace("-", " "),
                "found": change.found,
                "read": change.read,
            }
            for change, rows in changes[:CHANGES_SHOWN]
        ],
        "changes_more": max(0, len(changes) - CHANGES_SHOWN),
        "causes": reading.causes(),
        "blanks": any(cause.fault.found == "nothing" for cause in books.causes),
        "books": [reading.book(row) for row in books.rows[:BOOKS_SHOWN]],
        "books_more": max(0, len(books.rows) - BOOKS_SHOWN),
    }


def _blank(faults: Sequence[Fault], parts: Sequence[tuple[str, Header]]) -> dict[str, Any]:
    columns = {c.header: c for _, header in parts for c in header.columns if c.header}
    return {
        "counts": {"all": 0, "made": 0, "refused": 0},
        "faults": [fault.words for fault in faults],
        "header_row": parts[0][1].row,
        "parts": [(name, header.row) for name, header in parts],
        "headers": [_column(column) for column in islice(columns.values(), COLUMNS_ASKED)],
        "headers_more": max(0, len(columns) - COLUMNS_ASKED),
        "changes": [],
        "changes_more": 0,
        "causes": [],
        "blanks": False,
        "books": [],
        "books_more": 0,
    }


def _column(column: Column) -> dict[str, Any]:
    order = next((text for text, axes in ORDERS.items() if axes == column.order), "")
    return {
        "header": column.header,
        "field": column.field,
        "unit": column.unit,
        "order": order,
        "like": column.like,
        "units": list(units_of(column.field)),
    }


class _Reading:
    """Looks up, while a page's data is put together, what stands in the cells of a list."""

    def __init__(self, grids: tuple[Grid, ...], books: BookList, known: ColumnMapping) -> None:
        self.known, self.books = known, books
        self.grids = {grid.name: grid for grid in grids}
        self.parts = [name for name, _ in books.parts]
        self.places = {
            name: {c.field: i for i, c in enumerate(header.columns) if c.field}
            for name, header in books.parts
        }
        self.columns = {c.header: c for _, header in books.parts for c in header.columns}
        self.numbers = {(row.place.file, row.place.row): row.number for row in books.rows}
        self.left = ASKED

    def text(self, at: CellAt) -> str:
        """Return what a cell holds: as answered, else as it stands."""
        if at in self.known.cells:
            return self.known.cells[at]
        file, row, path = at
        cells, index = self.grids[file].rows[row - 1], self.places[file].get(path, -1)
        return cells[index].text if 0 <= index < len(cells) else ""

    def book(self, row: ListRow) -> dict[str, Any]:
        """Return one book as it was read."""
        texts = {name: row.values.get(name, "") for name in _SHOWN}
        part = self.parts.index(row.place.file)
        return texts | {"row": row.place.row, "part": part, "refused": row.slip is None}

    def causes(self) -> list[dict[str, Any]]:
        """Return what is asked, a cause each."""
        return [self._cause(cause) for cause in self.books.causes]

    def _cause(self, cause: Cause) -> dict[str, Any]:
        """Return one cause: what it is, and the fields by which it is answered.

        Keys: needed, remedy, found, rows, count, columns, worksheet; units and orders (headers
        whose column may be given one), bare (whether all lengths may be), row_unit (cells that
        take a unit behind them), cells (name, label, text), cells_more.
        """
        fault = cause.fault
        at = list(dict.fromkeys(one for f in cause.faults for one in self._at(f)))
        shown = at[: max(0, min(ASKED_EACH, self.left))]
        self.left -= len(shown)
        headers = [self.columns[name] for name in cause.columns if name in self.columns]
        bare = fault.key == "bare-number"
        return {
            "needed": fault.needed,
            "remedy": fault.remedy,
            "found": list(cause.found),
            "rows": rows_told(cause.rows),
            "count": len(cause.rows),
            "columns": list(cause.columns),
            "worksheet": fault.place.file if len(self.parts) > 1 else "",
            "units": [(c.header, list(units_of(c.field))) for c in headers if bare],
            "bare": bare and any("mm" in units_of(c.field) for c in headers),
            "orders": [c.header for c in headers if fault.key in ("size-order", "size-wide")],
            "row_unit": self._unitless(cause) if fault.key == "row-unit" else [],
            "cells": [self.asked(one) for one in shown],
            "cells_more": len(at) - len(shown),
        }

    def _at(self, fault: Fault) -> Iterator[CellAt]:
        file, row, path = fault.place.file, fault.place.row, fault.place.path
        if fault.key == "row-unit":
            yield from ((file, row, one) for one in _SIZED if one in self.places[file])
        elif path in known_fields():
            yield file, row, path

    def _unitless(self, cause: Cause) -> list[tuple[CellAt, str]]:
        cells = [(at, self.text(at)) for fault in cause.faults for at in self._at(fault)]
        return [(at, t) for at, t in cells if t and not says_metric(t) and not says_inches(t)]

    def asked(self, at: CellAt) -> dict[str, str]:
        """Return a cell as a field of a form."""
        file, row, path = at
        number = self.numbers.get((file, row), "")
        label = " · ".join(text for text in (f"row {row}", number, field_word(path)) if text)
        return {"name": cell_name(self.parts.index(file), row, path), "label": label} | {
            "text": self.text(at)
        }


def cell_name(part: int, row: int, path: str) -> str:
    """Return what a form calls a cell."""
    return f"cell.{part}.{row}.{path}"


def row_of(source: Source, part: int, number: int) -> dict[str, Any]:
    """Return all cells of one row, to be edited: cells (name, label, text), row, number, faults.

    Raises:
        FileError: it has no such row, or is no list.

    """
    grids = grids_of(source)
    books = list_in(grids, source.file, source.known, source.films)
    reading = _Reading(grids, books, source.known)
    file = reading.parts[part] if part < len(reading.parts) else ""
    row = next((r for r in books.rows if r.place.row == number and r.place.file == file), None)
    if row is None:
        raise FileError(f"row {number}", "a row of this list with a book", "choose one of them")
    held = [path for path in known_fields() if path in reading.places[file]]
    answered = [path for name, at, path in source.known.cells if (name, at) == (file, number)]
    missing = [f.place.path for f in row.faults if f.place.path in known_fields()]
    paths = dict.fromkeys((*held, *answered, *missing))
    return {
        "row": number,
        "number": row.number,
        "part": part,
        "faults": [fault.words for fault in row.faults],
        "cells": [
            reading.asked((file, number, path)) | {"label": field_word(path)} for path in paths
        ],
        "fields": [(path, field_word(path)) for path in known_fields() if path not in paths],
    }


def kept_of(source: Source) -> tuple[bytes, bytes]:
    """Return what is kept of a list: itself, cleaned, as CSV, and the mapping of its columns.

    Raises:
        FileError: it is no list.

    """
    books = books_of(source)
    mapping = mapping_text(books.header, source.known.bare, books.repeated)
    return write_list(books), mapping.encode()
