"""How far a spreadsheet's worksheets reach, counted before anything opens them.

A reader of spreadsheets lays out all cells from the first to the last, so that one cell in the last
corner of a worksheet takes 500 GB; here only tags are counted.
"""

import io
import re
import zipfile
from collections.abc import Iterator

from cutfiles.errors import FileError
from cutfiles.lists.limits import LARGEST_UNPACKED, MOST_CELLS, MOST_ROWS

_CELL = re.compile(rb'<(?:\w+:)?c(?:\s[^>]*?\br="([A-Z]{1,3})(\d{1,7})")?[^>]*(?<!/)>')
_ROW = re.compile(rb'<(?:\w+:)?row\s[^>]*?\br="(\d{1,7})"')
_ODS = re.compile(rb"<table:(table|table-row|table-cell|covered-table-cell)(?![-\w])([^>]*)>")
_ROWS = re.compile(rb'table:number-rows-repeated="(\d{1,9})"')
_COLUMNS = re.compile(rb'table:number-columns-repeated="(\d{1,9})"')


def check_extent(data: bytes, name: str) -> None:
    """Refuse a spreadsheet of which a cell stands too far out, or that unpacks without end.

    Raises:
        FileError: names the cell.

    """
    for row, column in _reaches(data, name):
        if row > MOST_ROWS or row * column > MOST_CELLS:
            raise FileError(
                f"a cell at {column_letters(column)}{row}",
                f"a list has at most {MOST_ROWS} rows, and nothing stands far beside or below it",
                "delete what stands there, or copy the list into a new file",
                name,
            )


def column_letters(column: int) -> str:
    """Return a column's name in a spreadsheet; the first is 1.

    >>> column_letters(1), column_letters(28), column_letters(16384)
    ('A', 'AB', 'XFD')
    """
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _reaches(data: bytes, name: str) -> Iterator[tuple[int, int]]:
    """Yield the last row and the last column of each worksheet, from 1."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            size = sum(one.file_size for one in packed.infolist())
            if size > LARGEST_UNPACKED:
                raise FileError(
                    f"a file that unpacks to {size} bytes",
                    f"a list unpacks to at most {LARGEST_UNPACKED}",
                    "copy the list into a new file",
                    name,
                )
            for inner in packed.namelist():
                if inner == "content.xml":
                    yield from _of_opendocument(packed.read(inner))
                elif "worksheets/" in inner and inner.endswith(".xml"):
                    yield _of_worksheet(packed.read(inner))
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, RuntimeError):
        return  # what opens it next says what is wrong


def _of_worksheet(text: bytes) -> tuple[int, int]:
    row = column = 0
    unplaced = False
    for match in _CELL.finditer(text):
        if match[1] is None:
            unplaced = True
            continue
        row, column = max(row, int(match[2])), max(column, _number(match[1]))
    if unplaced:
        row = max([row, *(int(match[1]) for match in _ROW.finditer(text))])
    return row, column


def _number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = 26 * number + letter - ord("A") + 1
    return number


def _of_opendocument(text: bytes) -> Iterator[tuple[int, int]]:
    last = (0, 0)
    row = times = column = 0
    for match in _ODS.finditer(text):
        kind, rest = match[1], match[2]
        if kind == b"table":
            yield last
            last, row, times, column = (0, 0), 0, 0, 0
        elif kind == b"table-row":
            row, times, column = row + times, _repeated(_ROWS, rest), 0
        else:
            column += _repeated(_COLUMNS, rest)
            if b"value-type" in rest or not rest.endswith(b"/"):
                last = (max(last[0], row + times), max(last[1], column))
    yield last


def _repeated(pattern: re.Pattern[bytes], text: bytes) -> int:
    match = pattern.search(text)
    return int(match[1]) if match else 1
