"""Finds the header of a list and what each of its columns holds, by name and synonym.

A mapping saved by an earlier run, or written by hand, goes before the synonyms.
"""

import os
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field

from cutfiles.bench.blank import quoted
from cutfiles.bench.fields import FIELDS, MEASURES
from cutfiles.errors import FileError, Place, SlipError
from cutfiles.lists.grid import Grid
from cutfiles.tables.field import ANY, Field, Table
from cutfiles.tables.load import Wanted, load_toml
from cutfiles.tables.record import read_record
from cutfiles.units import ANGLE, LENGTH, UNITS, WEIGHT, Units

EXTRA = ("case", "copies", "size", "lux", "exhibit")
"""What a list holds beside the fields of a slip."""
HEADER_WITHIN = 60
"""The header stands in one of the first rows of a list."""
LEAST_KNOWN = 3
"""A header has at least as many columns with names we know."""

_SYNONYMS = {
    "number": "no|nr|num|number|support|support no|support number|support nr|item|item no|cat no|"
    "catalogue no|object no|id|ref|#|exhibit no",
    "title": "title|short title|object|name|work|description|author title",
    "shelf_mark": "shelf mark|shelfmark|call no|call number|signature|accession|accession no|"
    "inventory no|inv no|location",
    "opening": "opening|show|shown|page|pages|folio|folios|display page|open at|opened at|"
    "page opening|display opening|pp|ff",
    "height": "height|h|ht|board height|height of boards",
    "width": "width|w|wd|board width|width of boards|breadth",
    "left_width": "left width|left board|left board width|width left|w left",
    "right_width": "right width|right board|right board width|width right|w right",
    "spine_width": "spine width|spine|spine at opening",
    "thickness": "thickness|t|th|thick|depth|d",
    "left_rise": "left rise|rise left|left fore edge height",
    "right_rise": "right rise|rise right|right fore edge height",
    "left_joint": "left joint|joint left|left joint height",
    "right_joint": "right joint|joint right|right joint height",
    "left_fore_edge": "left fore edge|fore edge left",
    "right_fore_edge": "right fore edge|fore edge right",
    "spine_tilt": "spine tilt|tilt|tilt of spine",
    "span": "span|fore edge to fore edge",
    "left_slope": "left slope|slope left|left angle",
    "right_slope": "right slope|slope right|right angle",
    "opening_angle": "opening angle|opens to|opens|angle|open angle|opening deg|comfortable angle",
    "left_side": "left side|left thickness|left block",
    "right_side": "right side|right thickness|right block",
    "weight": "weight|wt|mass|estimated weight|est weight|approx weight",
    "cover": "cover",
    "binding": "binding|binding type|kind of binding",
    "note": "note|notes|remark|remarks|comment|comments|condition notes",
    "units": "units|unit",
    "case": "case|vitrine|showcase|display case|case no",
    "copies": "copies|qty|quantity|number of copies|supports needed",
    "size": "size|sizes|dimensions|dims|measurements|h x w x t|h x w x d|hxwxt|hxwxd|h w t|h w d",
    "lux": "lux|lux level|light|light level",
    "exhibit": "exhibit|exhibition",
    "support.gauge": "gauge|film|film gauge",
    "support.layers": "layers|film layers",
}
_UNIT_WORDS = {
    "deg": "°",
    "degrees": "°",
    "°": "°",
    "inches": "in",
    "inch": "in",
    "g": "g",
    "grams": "g",
    "kg": "kg",
    "lb": "lb",
    "lbs": "lb",
    "oz": "oz",
    "mm": "mm",
    "cm": "cm",
    "in": "in",
    "m": "m",
}


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a list.

    Attributes:
        header: as it stands in the list.
        field: what it holds: a field's path, one of `EXTRA`, or empty where it is not used.
        unit: what its bare numbers count in, empty where nothing says so.

    """

    header: str
    field: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """What is known beforehand of a list's columns.

    Attributes:
        columns: headers to fields; an empty field leaves a column out.
        units: headers to the units of their bare numbers.
        header_row: the row the header stands in, 0 to look for it.
        bare: what bare numbers count in where a column says nothing.

    """

    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    header_row: int = 0
    bare: Units | None = None


@dataclass(frozen=True, slots=True)
class Header:
    """The header of a list.

    Attributes:
        row: which row it is, from 1.
        columns: one a column of the list, in order.

    """

    row: int
    columns: tuple[Column, ...]


def known_fields() -> tuple[str, ...]:
    """Return what a column may hold."""
    return (*(one.path for one in FIELDS), *EXTRA)


def find_header(grids: tuple[Grid, ...], known: ColumnMapping) -> tuple[Grid, Header]:
    """Return the grid that holds the list, and its header.

    Raises:
        FileError: no row looks like a header; says what a header needs.

    """
    best: tuple[int, int, int] = (0, 0, 0)
    found: tuple[Grid, Header] | None = None
    for place, grid in enumerate(grids):
        for row in _rows_to_search(grid, known):
            header = _header(grid, row, known)
            score = (len({c.field for c in header.columns} - {""}), -place, -row)
            if score > best:
                best, found = score, (grid, header)
    if found is None or (best[0] < LEAST_KNOWN and not known.header_row):
        raise FileError(
            "no row with the names of columns",
            f"a list has a header with at least {LEAST_KNOWN} names we know, such as "
            "No., Title, Height, Width, Spine, Opens to",
            "name the columns, or say what they hold in a mapping",
            grids[0].name,
            "columns",
        )
    return found


def _rows_to_search(grid: Grid, known: ColumnMapping) -> range:
    if known.header_row:
        return range(known.header_row, min(known.header_row, len(grid.rows)) + 1)
    return range(1, min(HEADER_WITHIN, len(grid.rows)) + 1)


def _header(grid: Grid, row: int, known: ColumnMapping) -> Header:
    cells = grid.rows[row - 1]
    width = max(len(r) for r in grid.rows)
    texts = [" ".join(cell.text.split()) for cell in cells] + [""] * (width - len(cells))
    said = {known.columns[text] for text in texts if text in known.columns}
    columns: list[Column] = []
    taken: set[str] = set()
    for text in texts:
        column = column_of(text, known)
        again = column.field in taken or (column.field in said and text not in known.columns)
        if again:  # the first of two counts, and what a mapping says before either
            column = Column(column.header, "")
        taken.add(column.field)
        columns.append(column)
    return Header(row, tuple(columns))


def column_of(header: str, known: ColumnMapping | None = None) -> Column:
    """Return what a column of this header holds.

    >>> column_of("Height (in)"), column_of("est_weight_g")
    (Column(header='Height (in)', field='height', unit='in'), \
Column(header='est_weight_g', field='weight', unit='g'))
    """
    known = known or ColumnMapping()
    words = _words(header)
    unit = ""
    if len(words) > 1 and words[-1] in _UNIT_WORDS:
        unit = _UNIT_WORDS[words.pop()]
    name = " ".join(words)
    field_ = _BY_NAME.get(name, "")
    if header in known.columns:
        field_ = known.columns[header]
    unit = known.units.get(header, unit)
    return Column(header, field_, unit if unit in units_of(field_) else "")


def units_of(path: str) -> tuple[str, ...]:
    """Return the units a column of this field may count in."""
    kinds = {one.path: one.kind for one in FIELDS}
    match "length" if path == "size" else kinds.get(path):
        case "length":
            return tuple(LENGTH.names)
        case "weight":
            return tuple(WEIGHT.names)
        case "angle":
            return tuple(ANGLE.names)
        case _:
            return ()


def _words(header: str) -> list[str]:
    text = unicodedata.normalize("NFKC", header).casefold().replace("×", "x").replace("°", " ° ")
    return re.sub(r"[^\w#°]+|_", " ", text).split()


def _names() -> dict[str, str]:
    names: dict[str, str] = {}
    for path, words in _SYNONYMS.items():
        names.update(dict.fromkeys(words.split("|"), path))
    for one in MEASURES:
        names.setdefault(one.name.replace("_", " "), one.path)
    for one in FIELDS[len(MEASURES) :]:
        names.setdefault(one.name.replace("_", " "), one.path)
    return names


_BY_NAME = _names()


# -- mappings ------------------------------------------------------------------------------------


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
    ),
    correct="count the rows from the top",
    see="a mapping has header_row, units, [columns], [column_units]; remove it",
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
    )


def mapping_text(header: Header, bare: Units | None) -> str:
    """Return a mapping as TOML that reads this list's columns the same way again."""
    named = list({column.header: column for column in header.columns if column.header}.values())
    lines = [
        "# What the columns of a list hold, and what their bare numbers count in.",
        f"header_row = {header.row}",
        *([f"units = {quoted(bare)}"] if bare else []),
        "",
        "[columns]",
        *(f"{quoted_key(c.header)} = {quoted(c.field)}" for c in named),
        "",
        "[column_units]",
        *(f"{quoted_key(c.header)} = {quoted(c.unit)}" for c in named if c.unit),
    ]
    return "\n".join(lines) + "\n"


def quoted_key(text: str) -> str:
    """Return a TOML key that reads back as the text."""
    out = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\U{ord(c):08X}" for c in out) + '"'
