"""A list taken round the books to be measured: what is known stands there, the rest is blank.

It is written for this and read back exactly: filled in, it is a list as any other. Where openings
are not known yet, usual ones by binding may be assumed to order film by; nothing is cut from them.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.slip import Slip, slip_from
from cutfiles.errors import Fault, SlipError
from cutfiles.lists.headers import known_fields
from cutfiles.lists.ledger import BookList, ListRow, clean_rows, csv_of
from cutfiles.lists.names import name_of
from cutfiles.lists.rows import SLIP_FIELDS
from cutfiles.lists.spreadsheet import spreadsheet
from cutfiles.tables.record import nested
from cutfiles.units import Units

SIDED = (("left_rise", "right_rise"), ("left_joint", "right_joint"), ("left_side", "right_side"))
TO_MEASURE = (
    "opening",
    "height",
    "left_width",
    "right_width",
    "spine_width",
    *(name for pair in SIDED for name in pair),
    "weight",
)
"""What the bench measures of each book, in the order of the slip."""
WELCOME = ("opening_angle", "page_angle", "cover", "binding", "pages", "note")
"""What it may tell besides."""
_INSTEAD = {
    "left_width": ("width",),
    "right_width": ("width",),
    "left_rise": ("left_fore_edge", "left_slope", "opening_angle"),
    "right_rise": ("right_fore_edge", "right_slope", "opening_angle"),
}
"""What makes it needless to measure something."""
ASSUMED: tuple[tuple[str, tuple[str, ...], float], ...] = (
    ("stab-sewn or oversewn", ("stab", "oversewn", "side-sewn", "whipstitch"), 60.0),
    ("glued paperback", ("paperback", "perfect", "adhesive", "glued"), 60.0),
    ("limp vellum", ("limp", "vellum"), 100.0),
    ("tight back", ("tight",), 90.0),
    ("hollow back", ("hollow",), 110.0),
    ("stapled", ("staple", "wire", "pamphlet"), 140.0),
    ("sewn cloth case", ("cloth", "case", "sewn"), 110.0),
)
"""Bindings, the words they are known by, and the narrowest angle they usually open to, degrees.

The narrowest takes the most film (common practice, no source).
"""
UNKNOWN_BINDING = 90.0
"""What is assumed where nothing tells the binding, degrees (common practice, no source)."""


class Measured(NamedTuple):
    """One book of the round: its row, what is known of it, and what is to be measured."""

    row: ListRow
    known: Mapping[str, str]
    blanks: tuple[str, ...]


def to_measure(books: BookList, units: Units = "mm") -> tuple[Measured, ...]:
    """Return the books that are shown open, with what is known and what is to be measured."""
    return tuple(_measured(row, units) for row in books.rows if not row.closed)


def _measured(row: ListRow, units: Units) -> Measured:
    known = {"units": units, **{name: text for name, text in row.values.items() if text}}
    blanks = tuple(
        name
        for name in TO_MEASURE
        if name not in known and not any(other in known for other in _INSTEAD.get(name, ()))
    )
    return Measured(row, known, blanks)


def round_table(books: BookList, units: Units = "mm") -> list[list[str]]:
    """Return the list to be filled in as rows of texts, its header first.

    Bare numbers written into it count in these units, which stand in a column of their own; a bare
    weight in grams, or in ounces where lengths count in inches.
    """
    fields = [name for name in known_fields() if name in (*TO_MEASURE, *WELCOME, "units")]
    head, *rows = clean_rows(books, fields)
    place, weight = head.index(name_of("units")), head.index(name_of("weight"))
    for row in rows:
        row[place] = row[place] or units
    head[weight] += " (oz)" if units == "in" else " (g)"
    return [head, *rows]


def round_csv(books: BookList, units: Units = "mm") -> bytes:
    """Return the list to be filled in as CSV."""
    return csv_of(round_table(books, units))


def round_spreadsheet(books: BookList, units: Units = "mm") -> bytes:
    """Return the list to be filled in as XLSX, cells to be filled in shaded."""
    table = round_table(books, units)
    blanks = [set(map(name_of, _measured(row, units).blanks)) for row in books.rows]
    heads = [name.partition(" (")[0] for name in table[0]]
    closed = [row.closed for row in books.rows]
    return spreadsheet(
        table,
        [
            [not shut and name in names for name in heads]
            for names, shut in zip(blanks, closed, strict=True)
        ],
    )


# -- assumed, to order film by ---------------------------------------------------------------------


Faults = tuple[Fault, ...]
_OPEN = ("fill-in", "opening")
"""Faults of what is still to be measured: nothing stands there."""


class AssumedSlip(NamedTuple):
    """A slip that orders film and nothing else: what of it was assumed, in words."""

    slip: Slip
    assumed: str


def assumed_slips(
    books: BookList, films: tuple[FilmKind, ...] = ()
) -> Iterator[tuple[ListRow, AssumedSlip | Faults]]:
    """Yield each row with a slip to order film by, or why it has none.

    A row of which a slip could be made is taken as it is, and nothing assumed. No fault is told
    where not even the size is known: it is still to be measured.
    """
    for row in books.rows:
        if row.slip is not None:
            yield row, AssumedSlip(row.slip, "")
        elif not row.closed:
            yield row, _assumed(row, films)


def _assumed(row: ListRow, films: Sequence[FilmKind]) -> AssumedSlip | Faults:
    values = {name: text for name, text in row.values.items() if text}
    assumed = ""
    opens = ("opening_angle", "left_rise", "left_slope", "left_fore_edge")
    if not any(name in values for name in opens):
        angle, binding = usual_opening(f"{values.get('binding', '')} {values.get('note', '')}")
        values["opening_angle"] = f"{angle:g}"
        assumed = f"assumed: opens to {angle:g}° ({binding})"
    if "spine_width" not in values and "thickness" not in values:
        return ()
    plain = {name: text for name, text in values.items() if name in SLIP_FIELDS and name != "units"}
    try:
        slip = slip_from(nested(plain), row.place, tuple(films))
    except SlipError as error:
        return tuple(fault for fault in error.faults if fault.key not in _OPEN)
    return AssumedSlip(replace(slip, findings=()), assumed)


def usual_opening(binding: str) -> tuple[float, str]:
    """Return the narrowest angle a binding usually opens to, degrees, and how it was taken.

    >>> usual_opening("full calf, tight back"), usual_opening("")
    ((90.0, 'tight back'), (90.0, 'binding not known'))
    """
    words = binding.casefold()
    for name, signs, angle in ASSUMED:
        if any(sign in words for sign in signs):
            return angle, name
    return UNKNOWN_BINDING, "binding not known"
