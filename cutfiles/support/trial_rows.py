"""Trials as rows of a table: text in, text out. One row a test; nothing here touches a file."""

import csv
import io
from collections.abc import Iterable

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
            "how the leg carries",
            "posts",
            choices=("plain", "lips", "posts"),
            needed=True,
        ),
        Field("leg", "length", "height of the leg", "65.2", 1, 500, needed=True),
        Field("breadth", "length", "breadth of the leg", "201", 1, 1000, needed=True),
        Field("face", "length", "depth of a lip, face of a post", "12", 1, 100),
        Field("posts", "whole", "posts under the load", "2", 1, 20),
        Field("load_n", "number", "on this leg, N", "2.4", 1e-4, 1000, needed=True),
        Field("minutes", "number", "how long it lay there", "1440", 0, 1e8, needed=True),
        Field(
            "result",
            "choice",
            "what happened",
            "stood",
            choices=("stood", "collapsed"),
            needed=True,
        ),
        Field("note", "text", "what was seen", "", most=500),
    ),
    correct="look at the test's own notes and correct it",
)
"""The columns of trials.csv, lengths in mm."""
COLUMNS = tuple(field.name for field in TRIAL.fields)
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
    for trial in trials:
        values = list(trial)
        if trial.construction != "posts":
            values[COLUMNS.index("posts")] = ""
        if trial.construction == "plain":
            values[COLUMNS.index("face")] = ""
        rows.writerow(_cell(value) for value in values)
    return text.getvalue()


def _cell(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.6g}" if value < 1e5 else f"{value:.0f}"
    text = " ".join(str(value).split())
    return f"'{text}" if text.startswith(_FORMULA) else text


def read_trials(text: str, source: str = "trials.csv") -> tuple[Trial, ...]:
    """Return the trials of a table as `write_trials` writes it; empty lines are passed over.

    Raises:
        TrialsError: all faults together, each with row and column.

    >>> row = "2026-03-02,A1,,0.127,1,posts,65,201,12,2,2.4,1440,stood,"
    >>> read_trials(",".join(COLUMNS) + chr(10) + row)[0].load
    2.4

    """
    rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"))))
    header = tuple(cell.strip() for cell in rows[0]) if rows else ()
    faults: list[Fault] = []
    if header != COLUMNS:
        place = Place(file=source, row=1)
        needed = f"the columns are {', '.join(COLUMNS)}"
        raise TrialsError((Fault(place, shown(",".join(header)), needed, "put this header back"),))
    found = []
    for number, cells in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in cells):
            continue
        place = Place(file=source, row=number)
        if len(cells) != len(COLUMNS):
            needed = f"a trial has {len(COLUMNS)}"
            faults.append(Fault(place, f"{len(cells)} cells", needed, "correct the commas"))
            continue
        named = {name: _said(cell) for name, cell in zip(COLUMNS, cells, strict=True)}
        record = read_record(TRIAL, named, place, "mm")
        wrong = [*record.faults, *_missing(record)]
        faults += wrong
        if not wrong:
            found.append(_trial(record))
    if faults:
        raise TrialsError(tuple(faults))
    return tuple(found)


def _said(cell: str) -> str:
    text = cell.strip()
    return text[1:] if text.startswith("'") else text


def _missing(record: Record) -> Iterable[Fault]:
    """Yield what a construction needs that a plain leg has not."""
    construction = record.values.get("construction")
    needed = {"lips": ("face",), "posts": ("face", "posts")}.get(str(construction), ())
    for name in needed:
        if name not in record.values and name not in record.bad:
            said = f"a leg with {construction} needs it"
            yield Fault(record.place.at(name), "nothing", said, "write it", "fill-in")


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
        load=values["load_n"],
        minutes=values["minutes"],
        result=values["result"],
        note=values.get("note", ""),
    )
