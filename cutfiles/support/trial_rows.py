"""Trials as rows of a table: text in, text out. One row a test; nothing here touches a file."""

import csv
import io
import math
from collections.abc import Iterable, Iterator, Sequence

from cutfiles.errors import Fault, Place, SlipError, shown
from cutfiles.support.trials import Trial
from cutfiles.tables.field import Field, Table
from cutfiles.tables.record import Record, read_record

TRIAL = Table(
    "a trial",
    (
        Field("date", "text", "the day of the test", "2026-03-02", most=40),
        Field("support", "text", "number of the support or coupon", "A1", most=80, needed=True),
        Field("lot", "text", "the film's lot", "7731", most=80),
        Field("gauge", "length", "of one film, measured", "0.127", 0.01, 1.0, needed=True),
        Field("layers", "choice", "films in the leg", "1", choices=("1", "3"), needed=True),
        Field(
            "construction",
            "choice",
            "how the leg carries, or which coupon it was",
            "posts",
            choices=("plain", "lips", "posts", "crease coupon", "post coupon", "corner coupon"),
            needed=True,
        ),
        Field("leg", "length", "height of the leg", "65.2", 1, 500, needed=True),
        Field("breadth", "length", "breadth of the leg", "201", 1, 1000, needed=True),
        Field("face", "length", "depth of a lip, face of a post", "12", 1, 100),
        Field("posts", "whole", "posts under the load", "2", 1, 20),
        Field("load_n", "number", "on this leg, N", "2.4", 1e-5, 1000),
        Field("minutes", "number", "how long it lay there", "1440", 0, 1e8),
        Field(
            "result",
            "choice",
            "what happened",
            "stood",
            choices=("stood", "collapsed", "read"),
            needed=True,
        ),
        Field("note", "text", "what was seen", "", most=500),
        Field("turned", "angle", "of a crease coupon, degrees", "30", 0.1, 180),
        Field("bow", "length", "of a corner coupon's inmost layer", "3.5", 0, 100),
        Field("initials", "text", "of who saw it", "", most=20),
        Field("side", "choice", "which leg it was", "left", choices=("left", "right")),
    ),
    correct="look at the test's own notes and correct it",
)
"""The columns of trials.csv, lengths in mm."""
COLUMNS = tuple(field.name for field in TRIAL.fields)
LATER = ("turned", "bow", "initials", "side")
"""Columns that a table may lack."""
LOADED = ("load_n", "minutes")
NEEDED: dict[str, tuple[str, ...]] = {
    "plain": LOADED,
    "lips": (*LOADED, "face"),
    "posts": (*LOADED, "face", "posts"),
    "post coupon": (*LOADED, "face", "posts"),
    "crease coupon": ("load_n", "turned"),
    "corner coupon": ("bow",),
}
"""What each construction and coupon needs beside what all need; the rest stays empty."""
_WRITTEN = {name: set(needed) for name, needed in NEEDED.items()}
_READ_ONLY = ("crease coupon", "corner coupon")
_FORMULA = ("=", "+", "-", "@", "'")


class TrialsError(SlipError):
    """A table of trials with faults; all of them are told together."""


def write_trials(trials: Iterable[Trial]) -> str:
    """Return a table of trials, its header first, in the order given.

    A text that a spreadsheet would take for a formula has an apostrophe before it.
    """
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(COLUMNS)
    own = {name for needed in NEEDED.values() for name in needed}
    for trial in trials:
        values = dict(zip(COLUMNS, trial, strict=True))
        values["turned"] = round(math.degrees(trial.turned), 6)
        for name in own - _WRITTEN[trial.construction]:
            values[name] = ""
        rows.writerow(_cell(value) for value in values.values())
    return text.getvalue()


def _cell(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.6g}" if value < 1e5 else f"{value:.0f}"
    text = " ".join(str(value).split())
    return f"'{text}" if text.startswith(_FORMULA) else text


def read_trials(text: str, source: str = "trials.csv") -> tuple[Trial, ...]:
    """Return the trials of a table as `write_trials` writes it; empty lines are passed over.

    Columns may stand in any order.

    Raises:
        TrialsError: all faults together, each with row and column.

    >>> row = "2026-03-02,A1,,0.127,1,posts,65,201,12,2,2.4,1440,stood,,,,,"
    >>> read_trials(",".join(COLUMNS) + chr(10) + row)[0].load
    2.4

    """
    rows = _rows(text.removeprefix("\ufeff"), source)
    header = next(rows, (1, []))[1]
    columns = _columns(header, Place(file=source, row=1))
    faults: list[Fault] = []
    found = []
    for number, cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        place = Place(file=source, row=number)
        if len(cells) != len(columns):
            needed = f"a trial has {len(columns)}, as the header has"
            faults.append(Fault(place, f"{len(cells)} cells", needed, "correct the commas"))
            continue
        named = {name: _said(cell) for name, cell in zip(columns, cells, strict=True)}
        record = read_record(TRIAL, named, place, "mm")
        wrong = [*record.faults, *_missing(record)]
        faults += wrong
        if not wrong:
            found.append(_trial(record))
    if faults:
        raise TrialsError(tuple(faults))
    return tuple(found)


def _rows(text: str, source: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the line each row ends in, and its cells.

    Raises:
        TrialsError: a quotation mark that nothing closes, or stands inside a cell.

    """
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            place = Place(file=source, row=max(1, reader.line_num))
            needed = f"cells with commas between them ({error})"
            remedy = "close every quotation mark, and double one inside a text"
            raise TrialsError((Fault(place, "a damaged row", needed, remedy),)) from None
        yield reader.line_num, cells


def _columns(header: Sequence[str], place: Place) -> tuple[str, ...]:
    """Return the columns of a table, as its header names them.

    Raises:
        TrialsError: one is missing, unknown or there twice.

    """
    columns = tuple(cell.strip() for cell in header)
    known = f"the columns are {', '.join(COLUMNS)}"
    faults = [
        Fault(place.at(name), "no such column", "every test has it", "put it into the header")
        for name in COLUMNS
        if name not in columns and name not in LATER
    ]
    if len(columns) == 1 and len(faults) > 1:  # another sign parts the cells, or it is no table
        remedy = "save it as CSV with commas; put this header back"
        lone = Fault(place, shown(columns[0]), f"{known}, commas between them", remedy)
        raise TrialsError((lone,))
    for name in dict.fromkeys(columns):
        if name not in COLUMNS:
            faults.append(Fault(place, f"a column {shown(name)}", known, "rename it"))
        elif columns.count(name) > 1:
            remedy = "leave out one of the two"
            faults.append(Fault(place.at(name), "this column twice", "it stands once", remedy))
    if faults:
        raise TrialsError(tuple(faults))
    return columns


def _said(cell: str) -> str:
    text = cell.strip()
    return text[1:] if text.startswith("'") else text


def _missing(record: Record) -> Iterator[Fault]:
    """Yield what a construction or coupon needs that others have not."""
    construction = str(record.values.get("construction"))
    for name in NEEDED.get(construction, ()):
        if name not in record.values and name not in record.bad:
            what = construction if "coupon" in construction else f"{construction} leg"
            yield Fault(
                record.place.at(name), "nothing", f"a {what} needs it", "write it", "fill-in"
            )
    result = record.values.get("result")
    if construction in NEEDED and result and (result == "read") != (construction in _READ_ONLY):
        needed = "a coupon that carries nothing is read; all else stood or collapsed"
        yield Fault(record.place.at("result"), shown(str(result)), needed, "correct it")


def _trial(record: Record) -> Trial:
    values = record.values
    return Trial(
        date=values.get("date", ""),
        support=values["support"],
        lot=values.get("lot", ""),
        gauge=values["gauge"],
        layers=int(values["layers"]),
        construction=values["construction"],
        leg=values["leg"],
        breadth=values["breadth"],
        face=values.get("face", 0.0),
        posts=values.get("posts", 0),
        load=values.get("load_n", 0.0),
        minutes=values.get("minutes", 0.0),
        result=values["result"],
        note=values.get("note", ""),
        turned=math.radians(values.get("turned", 0.0)),
        bow=values.get("bow", 0.0),
        initials=values.get("initials", ""),
        side=values.get("side", ""),
    )
