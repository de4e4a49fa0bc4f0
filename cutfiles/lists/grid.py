"""Reads a list's cells as text, from CSV (any delimiter, any usual encoding), XLSX or ODS.

Nothing is interpreted here but what a file's own form asks for: a cell never runs, a formula in a
CSV file is text, and what a spreadsheet holds as a number or a date is marked as such.
"""

import csv
import datetime
import io
import os
from typing import Literal

from cutfiles.dataclass import dataclass
from cutfiles.disk.refusals import refuse_device
from cutfiles.errors import FileError, reason
from cutfiles.lists.extent import check_extent
from cutfiles.lists.limits import LARGEST_LIST, MOST_COLUMNS, MOST_ROWS
from cutfiles.tables.load import SPREADSHEETS

Kind = Literal["text", "number", "date"]
UNSAFE = ".xlsb"
"""Its extent cannot be counted before it is opened."""
DELIMITERS = ";,\t|"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell as it stands.

    Attributes:
        text: what it says; of a date, as 2026-03-04.
        kind: what the file holds it as; in a CSV file all is text.
        merged: whether it takes its text from a cell merged over it from above.
        across: the text of a cell merged over it from the left, as headers have it.

    """

    text: str
    kind: Kind = "text"
    merged: bool = False
    across: str = ""


@dataclass(frozen=True, slots=True)
class Grid:
    """All cells of a list.

    Attributes:
        name: of the file, without its folder; with the worksheet's name where it has several.
        worksheet: its title, empty in a CSV file.
        rows: the first is row 1; rows may differ in length.
        notes: how the file was read, where that is not as it stood.

    """

    name: str
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    worksheet: str = ""


EMPTY = Cell("")


def read_grids(path: str | os.PathLike[str]) -> tuple[Grid, ...]:
    """Return the readings a list's file admits: a sheet each, or a delimiter each.

    Which of them holds the list is for the finder of the header to say.

    Raises:
        FileError: the file cannot be read, or is no list.

    """
    name = os.path.basename(os.fspath(path))
    data = _load(path, name)
    if name.lower().endswith(SPREADSHEETS) or data[:4] in (b"PK\x03\x04", b"\xd0\xcf\x11\xe0"):
        return _spreadsheet(data, name)
    return _text(data, name)


def _load(path: str | os.PathLike[str], name: str) -> bytes:
    try:
        refuse_device(path, "a list is a file", name)
        if (size := os.path.getsize(path)) > LARGEST_LIST:
            raise FileError(
                f"{size} bytes",
                f"a list has at most {LARGEST_LIST} bytes",
                "name a list of books",
                name,
            )
        with open(path, "rb") as file:
            return file.read()
    except OSError as error:
        raise FileError(
            reason(error), "a list is a file that can be read", "check its name and folder", name
        ) from None


# -- CSV ------------------------------------------------------------------------------------------


def _text(data: bytes, name: str) -> tuple[Grid, ...]:
    text, notes = _decoded(data)
    grids = []
    for delimiter in [one for one in DELIMITERS if one in text] or [","]:
        rows = _split(text, delimiter, name)
        if _swallowed(rows, delimiter):
            rows = _line_by_line(text, delimiter, name)
            note = "read line by line: a quotation mark is opened and not closed"
            grids.append(Grid(name, rows, (*notes, note)))
        else:
            grids.append(Grid(name, rows, notes))
    return tuple(grids)


def _swallowed(rows: tuple[tuple[Cell, ...], ...], delimiter: str) -> bool:
    """Whether a quotation mark left open, as a sign of inches or ditto, has swallowed cells."""
    return any(_is_delimiter(cell, delimiter) for row in rows for cell in row) or any(
        line.count(delimiter) >= 2
        for row in rows
        for cell in row
        if "\n" in cell.text or "\r" in cell.text
        for line in cell.text.splitlines()[1:]
    )


def _is_delimiter(cell: Cell, delimiter: str) -> bool:
    return delimiter in cell.text and not cell.text.strip(delimiter + " ")


def _line_by_line(text: str, delimiter: str, name: str) -> tuple[tuple[Cell, ...], ...]:
    rows: list[tuple[Cell, ...]] = []
    for line in text.splitlines():
        fields = line.split(delimiter)
        _check_rows(len(rows), name)
        whole = _split(line, delimiter, name) if line.count('"') % 2 == 0 else ()
        if len(whole) == 1 and not any(_is_delimiter(cell, delimiter) for cell in whole[0]):
            rows.append(whole[0])
        else:
            rows.append(tuple(Cell(field) for field in fields[:MOST_COLUMNS]))
    return tuple(rows)


def _decoded(data: bytes) -> tuple[str, tuple[str, ...]]:
    """Return the text of a file; UTF-8, UTF-16 with its mark, else Windows-1252."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace").removeprefix("\ufeff"), ()
    try:
        return data.decode("utf-8-sig"), ()
    except UnicodeDecodeError as error:
        note = f"read as Windows-1252: byte {error.start} is no UTF-8"
        return data.decode("cp1252", errors="replace"), (note,)


def _split(text: str, delimiter: str, name: str) -> tuple[tuple[Cell, ...], ...]:
    """Return rows of cells; a quotation mark that is a sign of inches stays one."""
    rows: list[tuple[Cell, ...]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        for record in reader:
            rows.append(tuple(Cell(cell) for cell in record[:MOST_COLUMNS]))
            _check_rows(len(rows), name)
    except csv.Error as error:
        raise FileError(
            f"text that is no CSV ({error})",
            "a list is a table, a row a line",
            "save it again from the spreadsheet as CSV UTF-8",
            f"{name}, line {reader.line_num}",
        ) from None
    return tuple(rows)


def _check_rows(count: int, name: str) -> None:
    if count > MOST_ROWS:
        raise FileError(
            f"more than {MOST_ROWS} rows", f"a list has at most {MOST_ROWS}", "split it", name
        )


# -- spreadsheets ---------------------------------------------------------------------------------


def _spreadsheet(data: bytes, name: str) -> tuple[Grid, ...]:
    try:
        import python_calamine
    except ImportError:
        raise FileError(
            "a spreadsheet",
            "spreadsheets need the extra spreadsheet",
            "install it with: pip install 'cutfiles[spreadsheet]', or save the list as CSV",
            name,
        ) from None
    if name.lower().endswith(UNSAFE):
        raise FileError(
            "a binary workbook", "a list is CSV, XLSX or ODS", "save it again as XLSX", name
        )
    check_extent(data, name)
    try:
        book = python_calamine.load_workbook(io.BytesIO(data))
        shown = [
            one.name
            for one in book.sheets_metadata
            if one.visible == python_calamine.SheetVisibleEnum.Visible
        ]
        titles = [title for title in book.sheet_names if title in shown] or book.sheet_names
        return tuple(
            _worksheet(book.get_sheet_by_name(title), name, title, len(titles) > 1)
            for title in titles
        )
    except FileError:
        raise
    except Exception as error:  # its faults have no common class
        raise FileError(
            f"a spreadsheet that cannot be read ({' '.join(str(error).split())[:120]})",
            "a list is CSV, XLSX or ODS without a password",
            "save it again, or as CSV",
            name,
        ) from None


def _worksheet(sheet: object, name: str, title: str, several: bool) -> Grid:
    values = sheet.to_python(skip_empty_area=False)  # type: ignore[attr-defined]
    _check_rows(len(values), name)
    rows = [[_cell(value) for value in row[:MOST_COLUMNS]] for row in values]
    for (top, left), (bottom, right) in sheet.merged_cell_ranges or []:  # type: ignore[attr-defined]
        if top >= len(rows) or left >= len(rows[top]):
            continue
        first = rows[top][left]
        for row in rows[top : bottom + 1]:
            for column in range(left, min(right + 1, len(row))):
                if row[column].text:
                    continue
                if column == left:
                    row[column] = Cell(first.text, first.kind, merged=True)
                else:
                    row[column] = Cell("", across=first.text)
    whole = f"{name}, worksheet {title}" if several else name
    return Grid(whole, tuple(tuple(row) for row in rows), worksheet=title)


def _cell(value: object) -> Cell:
    match value:
        case None | "":
            return EMPTY
        case bool():
            return Cell(str(value).upper())
        case int() | float():
            return Cell(f"{value:.10g}" if abs(value) < 1e10 else f"{value:.15g}", "number")
        case datetime.datetime() if value.time() == datetime.time():
            return Cell(value.date().isoformat(), "date")
        case datetime.date() | datetime.time() | datetime.timedelta():
            return Cell(str(value), "date")
        case _:
            return Cell(str(value))
