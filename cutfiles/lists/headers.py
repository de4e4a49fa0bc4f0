"""Finds the header of a list and what each of its columns holds, by name and synonym.

A header may stand in one row, or in two: names under a word that spans them, units under names.
"""

from collections.abc import Iterator, Mapping
from dataclasses import field, replace

from cutfiles.bench.fields import FIELDS
from cutfiles.dataclass import dataclass
from cutfiles.errors import FileError
from cutfiles.lists.grid import Cell, Grid
from cutfiles.lists.limits import HEADER_WITHIN, LEAST_KNOWN, LONGEST_HEADER
from cutfiles.lists.names import (
    ACCESSION,
    DESCRIPTION,
    OBJECT,
    field_named,
    nearest,
    unit_alone,
    unit_behind,
    words_of,
)
from cutfiles.lists.wording.clauses import clauses_of
from cutfiles.lists.wording.senses import AXES, Axis
from cutfiles.lists.wording.tokens import tokens_of
from cutfiles.units import ANGLE, LENGTH, WEIGHT, Units

EXTRA = ("case", "place", "copies", "size", "lux", "exhibit")
"""What a list holds beside the fields of a slip."""


CellAt = tuple[str, int, str]
"""One cell of a list: the name of its grid, its row there, and the field its column holds."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a list.

    Attributes:
        header: as it stands in the list.
        field: what it holds: a field's path, one of `EXTRA`, or empty where it is not used.
        unit: what its bare numbers count in, empty where nothing says so.
        order: which way each number of a size measures, where the header says it as "H x W x D".

    """

    header: str
    field: str
    unit: str = ""
    order: tuple[Axis, ...] = ()

    @property
    def like(self) -> str:
        """The field whose name is nearest, where it holds nothing we know; to be suggested."""
        return "" if self.field else nearest(" ".join(unit_behind(words_of(self.header))[0]))


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """What is known beforehand of a list's columns.

    Attributes:
        columns: headers to fields; an empty field leaves a column out.
        units: headers to the units of their bare numbers.
        header_row: the row the header stands in, 0 to look for it.
        bare: what bare numbers count in where a column says nothing.
        repeated: what each "ditto" repeated when the mapping was saved, by number and field.
        orders: headers of sizes to which way each number measures.
        cells: what was answered of single cells: they are read as if it stood there.

    """

    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    header_row: int = 0
    bare: Units | None = None
    repeated: Mapping[str, str] = field(default_factory=dict)
    orders: Mapping[str, tuple[Axis, ...]] = field(default_factory=dict)
    cells: Mapping[CellAt, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Header:
    """The header of a list.

    Attributes:
        row: which row it is, from 1; the last of them where it stands in two.
        columns: one a column of the list, in order.
        rows: how many rows it takes.

    """

    row: int
    columns: tuple[Column, ...]
    rows: int = 1

    @property
    def known(self) -> int:
        """How many fields its columns hold."""
        return len({column.field for column in self.columns} - {""})


def nameless(grid: Grid, header: Header) -> Iterator[tuple[str, str]]:
    """Yield each column without a name that holds something: its letter, and what stands first."""
    for index, column in enumerate(header.columns):
        below = (row[index].text for row in grid.rows[header.row :] if index < len(row))
        if not column.header and (first := next(filter(str.strip, below), "")):
            over, under = divmod(index, 26)
            yield f"column {chr(64 + over) if over else ''}{chr(65 + under)}", first


def known_fields() -> tuple[str, ...]:
    """Return what a column may hold."""
    return (*(one.path for one in FIELDS), *EXTRA)


def find_headers(grids: tuple[Grid, ...], known: ColumnMapping) -> tuple[tuple[Grid, Header], ...]:
    """Return every worksheet that holds a list, with its header; of a text file its best reading.

    Raises:
        FileError: no row looks like a header; says what a header needs.

    """
    found = [(grid, header) for grid in grids if (header := best_header(grid, known))]
    lists = [pair for pair in found if pair[1].known >= LEAST_KNOWN]
    if not lists and known.header_row:
        lists = sorted(found, key=lambda pair: -pair[1].known)[:1]
    if not lists:
        raise FileError(
            "no row with the names of columns",
            f"a list has a header with at least {LEAST_KNOWN} names we know, such as "
            "No., Title, Height, Width, Spine, Opens to",
            "name the columns, or say what they hold in a mapping",
            grids[0].name,
            "columns",
        )
    if all(grid.worksheet for grid, _ in lists):
        return tuple(lists)
    return (max(lists, key=lambda pair: pair[1].known),)


def best_header(grid: Grid, known: ColumnMapping) -> Header | None:
    """Return the likeliest header of a grid: the most known names, then the most units."""
    best: tuple[tuple[int, int, int], Header] | None = None
    for row in _rows_to_search(grid, known):
        for header in _headers(grid, row, known):
            units = sum(bool(column.unit) for column in header.columns)
            score = (header.known, units, -row)
            if header.known and (best is None or score > best[0]):
                best = (score, header)
    return best[1] if best else None


def fullest_row(grid: Grid) -> Header:
    """Return the row with the most texts as a header of which nothing is known, to be edited."""
    rows = range(1, min(HEADER_WITHIN, len(grid.rows)) + 1)
    row = max(rows, key=lambda r: (sum(_is_name(c) for c in grid.rows[r - 1]), -r), default=1)
    cells = grid.rows[row - 1] if grid.rows else ()
    return Header(row, tuple(column_of(" ".join(cell.text.split())) for cell in cells))


def _is_name(cell: Cell) -> bool:
    return cell.kind == "text" and any(c.isalpha() for c in cell.text)


def _rows_to_search(grid: Grid, known: ColumnMapping) -> range:
    if known.header_row:
        return range(known.header_row, min(known.header_row, len(grid.rows)) + 1)
    return range(1, min(HEADER_WITHIN, len(grid.rows)) + 1)


def _headers(grid: Grid, row: int, known: ColumnMapping) -> Iterator[Header]:
    """Yield the header that a row is, and the one it makes with the row above it."""
    width = max(len(cells) for cells in grid.rows)
    texts = _texts(grid, row, width)
    yield Header(row, _columns(texts, known))
    if row > 1 and (joined := _joined(grid, row, width)):
        yield Header(row, _columns(joined, known), 2)


def _texts(grid: Grid, row: int, width: int) -> list[str]:
    texts = [" ".join(cell.text.split()) for cell in grid.rows[row - 1]]
    return texts + [""] * (width - len(texts))


def _joined(grid: Grid, row: int, width: int) -> list[str]:
    """Return names of two rows as one, or nothing where the lower row is no part of a header."""
    below, above = _texts(grid, row, width), _texts(grid, row - 1, width)
    spans = [cell.across for cell in grid.rows[row - 2]] + [""] * width
    over = ""
    names: list[str] = []
    for index, (upper, lower) in enumerate(zip(above, below, strict=True)):
        over = upper or " ".join(spans[index].split()) or (over if lower else "")
        both = f"{over} {lower}" if over and lower and over != lower else over or lower
        if lower and lower != over and not _is_below(lower, both):
            return []
        names.append(both)
    changed = any(name != upper for name, upper in zip(names, above, strict=True))
    return names if changed and any(above) else []


def _is_below(lower: str, both: str) -> bool:
    """Whether a text may stand in the second row of a header: a unit, or a name."""
    return bool(unit_alone(lower) or column_of(lower).field or column_of(both).field)


def _columns(texts: list[str], known: ColumnMapping) -> tuple[Column, ...]:
    said = {known.columns[text] for text in texts if text in known.columns}
    found = [column_of(text, known) for text in texts]
    held = {column.field for column in found}
    meant = {
        ACCESSION: "shelf_mark" if "number" in held else "number",
        DESCRIPTION: "" if "title" in held else "title",
        OBJECT: _object(held),
    }
    columns: list[Column] = []
    taken: set[str] = set()
    for text, column in zip(texts, found, strict=True):
        column = replace(column, field=meant.get(column.field, column.field))
        again = column.field in taken or (column.field in said and text not in known.columns)
        if again:  # the first of two counts, and what a mapping says before either
            column = Column(column.header, "")
        taken.add(column.field)
        columns.append(column)
    return tuple(columns)


def _object(held: set[str]) -> str:
    """Return what a column of objects holds beside columns of these fields."""
    if not held & {"title", DESCRIPTION}:
        return "title"
    return "" if held & {"number", ACCESSION} else "number"


def column_of(header: str, known: ColumnMapping | None = None) -> Column:
    """Return what a column of this header holds.

    >>> column_of("Height (in)"), column_of("est_weight_g")
    (Column(header='Height (in)', field='height', unit='in', order=()), \
Column(header='est_weight_g', field='weight', unit='g', order=()))
    >>> column_of("Opening (°)").field, column_of("B x H x T").order, column_of("Heigth").like
    ('opening_angle', ('width', 'height', 'thickness'), 'height')
    """
    known = known or ColumnMapping()
    if len(header) > LONGEST_HEADER and header not in known.columns:
        return Column(header, "")
    order = order_in(header)
    name, unit = _name_and_unit(words_of(header))
    field_ = "size" if order else field_named(name)
    if field_ == "opening" and unit == "°":
        field_ = "opening_angle"
    if unit and units_of(field_) and unit not in units_of(field_):
        field_ = ""  # "Weight cm" is no weight
    if header in known.columns:
        field_ = known.columns[header]
    unit = known.units.get(header, unit)
    unit = unit if unit in units_of(field_) else ""
    order = known.orders.get(header, order)
    return Column(header, field_, unit, order if field_ == "size" else ())


def _name_and_unit(words: list[str]) -> tuple[str, str]:
    """Return a column's name and unit; of a label under a size, "Dimensions (cm) H", the label."""
    over, unit = unit_behind(words[:-1])
    if len(words) > 1 and field_named(words[-1]) in AXES and field_named(" ".join(over)) == "size":
        return words[-1], unit
    name, unit = unit_behind(words)
    return " ".join(name), unit


def order_in(header: str) -> tuple[Axis, ...]:
    """Return which way each number of a size measures where a header says it.

    >>> order_in("Höhe x Breite x Tiefe (mm)"), order_in("Size")
    (('height', 'width', 'thickness'), ())
    """
    orders = [clause.order for clause in clauses_of(tokens_of(header)) if clause.order]
    said = tuple(axis for way in (orders or [[]])[0] for axis in AXES if axis == way)
    return said if len(orders) == 1 and len(said) == len(set(said)) == len(orders[0]) else ()


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
