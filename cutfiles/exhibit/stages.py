"""How far each support is: planned, cut, folded, proved, installed, withdrawn.

``stages.csv`` in the exhibit's folder keeps what hands have done, a row a mark: a sheet is cut, a
support is folded, installed or withdrawn, with date and initials. That a support is proved is never
marked: it follows from the record of trials alone. A mark holds for the piece it was made of: a
support whose measures change begins anew.
"""

import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Literal, NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.disk.system import state
from cutfiles.errors import Fault, FileError, Place, SlipError, shown
from cutfiles.lists.grid import read_grids
from cutfiles.lists.ledger import csv_of
from cutfiles.support.trials import Trial
from cutfiles.tables.field import Field, Table
from cutfiles.tables.record import read_record

STAGES_FILE = "stages.csv"
Stage = Literal["planned", "cut", "folded", "proved", "installed", "withdrawn"]
Marked = Literal["planned", "cut", "folded", "installed", "withdrawn"]
"""What a hand marks."""
_ROW = Table(
    "a mark",
    (
        Field("sheet", "loose", "the sheet that was cut", "sheet-003", most=40),
        Field("number", "loose", "the support", "A1", most=80),
        Field(
            "stage",
            "choice",
            "how far it is",
            "cut",
            choices=("planned", "cut", "folded", "installed", "withdrawn"),
            needed=True,
        ),
        Field("date", "loose", "the day", "2026-03-02", most=40),
        Field("initials", "loose", "who did it", "AB", most=20),
        Field("note", "loose", "what was seen", "", most=500),
        Field("piece", "loose", "which piece it was: kept by the program", "", most=40),
    ),
    correct="correct it, or mark it again",
)
"""The columns of stages.csv."""
COLUMNS = tuple(field.name for field in _ROW.fields)


class Mark(NamedTuple):
    """One mark: of a sheet (`number` empty) or of a support (`sheet` empty)."""

    sheet: str
    number: str
    stage: Marked
    date: str = ""
    initials: str = ""
    note: str = ""
    piece: str = ""


class Reached(NamedTuple):
    """How far a support is, since when, and whose initials stand behind it."""

    stage: Stage = "planned"
    date: str = ""
    initials: str = ""


PLANNED = Reached()


class StagesError(SlipError):
    """A table of stages with faults; all of them are told together."""


@dataclass(frozen=True, slots=True)
class Stages:
    """All marks of an exhibit, in the order they were made, and the checksum of their file."""

    marks: tuple[Mark, ...] = ()
    checksum: str = ""

    @property
    def cut(self) -> Mapping[str, Mark]:
        """The sheets that are cut, and the mark that says so."""
        last = {mark.sheet: mark for mark in self.marks if mark.sheet}
        return {sheet: mark for sheet, mark in last.items() if mark.stage == "cut"}

    def of(self, number: str, piece: str) -> Mark | None:
        """Return the last mark of a support that holds for this piece of it."""
        own = [mark for mark in self.marks if mark.number == number]
        last = own[-1] if own else None
        holds = last and (last.stage == "withdrawn" or last.piece in ("", piece))
        return last if holds else None


def read_stages(folder: Path) -> Stages:
    """Return the marks kept in an exhibit's folder; none where there is no such file.

    Raises:
        FileError: it cannot be read.
        StagesError: it has faults; all of them are in it.

    """
    path = folder / STAGES_FILE
    now = state(path)
    if now.kind == "nothing":
        return Stages()
    if now.kind != "file":
        raise FileError(now.text, "it must be the exhibit's own file", "move it away", STAGES_FILE)
    grids = [grid for grid in read_grids(path) if grid.rows]
    best = max(grids, key=lambda grid: len(grid.rows[0]), default=None)
    rows = [[cell.text for cell in row] for row in best.rows] if best else []
    return Stages(tuple(_marks(rows)), now.digest)


def _marks(rows: Sequence[Sequence[str]]) -> list[Mark]:
    header = [name.strip() for name in rows[0]] if rows else []
    missing = [name for name in COLUMNS if name not in header]
    if missing:
        fault = Fault(
            Place(file=STAGES_FILE, row=1),
            f"no column {', '.join(missing)}",
            f"its columns are {', '.join(COLUMNS)}",
            "put this header back",
        )
        raise StagesError((fault,))
    marks, faults = [], []
    for number, cells in enumerate(rows[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        place = Place(file=STAGES_FILE, row=number)
        named = {
            name: cell.strip().removeprefix("'")
            for name, cell in zip(header, cells, strict=False)
            if cell.strip() and name in COLUMNS
        }
        record = read_record(_ROW, named, place)
        get = record.values.get
        if bool(get("sheet")) == bool(get("number")) and not record.faults:
            needed = "a mark is of one sheet, or of one support"
            faults.append(Fault(place, "both or neither", needed, "correct the row"))
        faults += record.faults
        if not faults:
            marks.append(Mark(**{name: get(name, "") for name in COLUMNS}))
    if faults:
        raise StagesError(tuple(faults))
    return marks


def stages_text(marks: Iterable[Mark]) -> bytes:
    """Return the file of marks: CSV in UTF-8, in which nothing runs."""
    rows = ([" ".join(cell.split()) for cell in mark] for mark in marks)
    return csv_of([COLUMNS, *rows])


def reached(
    marked: Mark | None, sheets: Sequence[Mark], trial: Trial | None, *, all_cut: bool
) -> Reached:
    """Return how far a support is.

    Args:
        marked: the last mark that holds for its piece.
        sheets: the marks of the cut sheets it lies on.
        trial: the last test that its piece stood, where it is proved by it.
        all_cut: whether every piece of it lies on a sheet that is cut.

    """
    if marked and marked.stage in ("withdrawn", "installed"):
        return Reached(marked.stage, marked.date, marked.initials)
    if trial is not None:
        return Reached("proved", trial.date, trial.initials)
    if marked and marked.stage == "folded":
        return Reached("folded", marked.date, marked.initials)
    if all_cut and sheets:
        return Reached("cut", sheets[-1].date, sheets[-1].initials)
    return PLANNED


def require_known(stages: Stages, sheets: Iterable[str], folder: str | os.PathLike[str]) -> None:
    """Refuse marks of sheets that the exhibit's record does not know: what is cut may be lost.

    Raises:
        FileError: names them.

    """
    known = {*sheets}
    lost = [sheet for sheet in stages.cut if sheet not in known]
    if lost:
        raise FileError(
            f"{', '.join(map(shown, lost))} cut, which the exhibit's record does not know",
            "what lies on a sheet that is cut is known from the record of its run",
            f"put the exhibit's own record back, or mark them planned in {STAGES_FILE}",
            os.fspath(folder),
        )
