"""A mapping of columns: kept in a file, read and written.

A mapping saved by an earlier run, or written by hand, goes before the usual names.
"""

import itertools
import os
from collections.abc import Mapping

from cutfiles.bench.blank import quoted, quoted_key
from cutfiles.errors import Place, SlipError
from cutfiles.lists.headers import EXTRA, Column, ColumnMapping, Header, known_fields
from cutfiles.lists.limits import LONGEST_CELL
from cutfiles.lists.wording.senses import AXES, Axis
from cutfiles.tables.field import ANY, Field, Table
from cutfiles.tables.load import Wanted, load_toml
from cutfiles.tables.record import read_record
from cutfiles.units import ANGLE, LENGTH, UNITS, WEIGHT, Units

_FACES: tuple[Axis, ...] = ("height", "width")
ORDERS: dict[str, tuple[Axis, ...]] = {
    " x ".join(axis[0].upper() for axis in order): order
    for axes in (_FACES, AXES)
    for order in itertools.permutations(axes)
}
"""How a mapping writes the order of sizes: by the first letters of height, width, thickness."""
MAPPING_FILE = Wanted(
    "a mapping",
    "a mapping",
    "check its name and folder, or save one from a list",
    "put every name of a column and every field in quotation marks",
    "mapping",
)
MAPPING = Table(
    "a mapping",
    (
        Field("header_row", "whole", "the row the header stands in", "1", least=0, most=100_000),
        Field("units", "choice", "what bare numbers count in", choices=UNITS),
        Field(
            ANY,
            "choice",
            f"a field of a slip, or {', '.join(EXTRA)}; an empty text leaves the column out",
            choices=("", *known_fields()),
            table="columns",
        ),
        Field(
            ANY,
            "choice",
            "a unit such as mm or in",
            choices=(*LENGTH.names, *WEIGHT.names, *ANGLE.names),
            table="column_units",
        ),
        Field(
            ANY,
            "choice",
            "the order of the numbers of a size",
            choices=tuple(ORDERS),
            table="column_orders",
        ),
        Field(
            ANY,
            "text",
            "what a ditto repeats; remove it where the list is right now",
            "2 1/4 in",
            most=LONGEST_CELL,
            table="repeated",
        ),
    ),
    correct="count the rows from the top",
    see="a mapping has header_row, units, [columns], [column_units], [column_orders], [repeated]; "
    "remove it",
    noun="mapping",
)


def read_mapping(path: str | os.PathLike[str]) -> ColumnMapping:
    """Return a saved mapping.

    Raises:
        FileError: it cannot be read.
        SlipError: all that is wrong in it.

    """
    place = Place(file=os.path.basename(os.fspath(path)))
    record = read_record(MAPPING, load_toml(path, place, MAPPING_FILE), place)
    if record.faults:
        raise SlipError(record.faults)
    return ColumnMapping(
        record.of("columns"),
        record.of("column_units"),
        record.values.get("header_row", 0),
        record.values.get("units"),
        record.of("repeated"),
        {header: ORDERS[order] for header, order in record.of("column_orders").items()},
    )


def mapping_text(
    header: Header, bare: Units | None, repeated: Mapping[str, str] | None = None
) -> str:
    """Return a mapping as TOML that reads this list's columns the same way again.

    A column that nobody knows stands there with an empty field, and a near name as a comment.
    """
    named = list({column.header: column for column in header.columns if column.header}.values())
    lines = [
        "# What the columns of a list hold, and what their bare numbers count in.",
        f"header_row = {header.row}",
        *([f"units = {quoted(bare)}"] if bare else []),
        "",
        "[columns]",
        *(f"{quoted_key(c.header)} = {quoted(c.field)}{_hint(c)}" for c in named),
        "",
        "[column_units]",
        *(f"{quoted_key(c.header)} = {quoted(c.unit)}" for c in named if c.unit),
    ]
    orders = [
        f"{quoted_key(c.header)} = {quoted(text)}"
        for c in named
        for text, order in ORDERS.items()
        if c.order == order
    ]
    if orders:
        lines += ["", "[column_orders]", *orders]
    if repeated:
        lines += ["", "# What each ditto stands for: another one is asked about.", "[repeated]"]
        lines += [f"{quoted_key(key)} = {quoted(text)}" for key, text in repeated.items()]
    return "\n".join(lines) + "\n"


def _hint(column: Column) -> str:
    return f'  # perhaps "{column.like}"' if column.like else ""
