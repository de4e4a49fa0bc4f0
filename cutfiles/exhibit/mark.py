"""Marks what hands have done to an exhibit: sheets cut, supports folded, installed, withdrawn."""

import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path

from cutfiles.dataclass import dataclass
from cutfiles.disk.files import update, write_new
from cutfiles.disk.refusals import told
from cutfiles.disk.sets import held
from cutfiles.errors import FileError, Place, shown
from cutfiles.exhibit.changes import Before
from cutfiles.exhibit.entries import JOURNAL, RECORD
from cutfiles.exhibit.pieces import owner_of, owners
from cutfiles.exhibit.sheets import sheet_name
from cutfiles.exhibit.stages import (
    STAGES_FILE,
    Mark,
    Marked,
    Stages,
    read_stages,
    require_known,
    stages_text,
)
from cutfiles.exhibit.state import load
from cutfiles.support.states import State


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedSo:
    """What was marked.

    Attributes:
        marks: those that are new.
        frozen: sheets that are frozen now, and whose supports lie on each.
        freed: sheets that no longer are.
        unproved: supports installed that no trial proved when the exhibit was last made.

    """

    marks: tuple[Mark, ...]
    frozen: Mapping[str, tuple[str, ...]]
    freed: tuple[str, ...]
    unproved: tuple[str, ...]


def mark(
    folder: str | os.PathLike[str],
    stage: Marked,
    names: Sequence[str],
    *,
    date: str,
    initials: str,
    note: str = "",
) -> MarkedSo:
    """Mark how far sheets or supports of an exhibit are, in its folder.

    A sheet is cut as a whole: whoever marks a support as cut marks the sheets it lies on, and so
    does who marks it folded or installed, where they are not marked yet. A sheet that is cut stays
    as it is in every later run; marked planned, it no longer does. What was never cut is neither
    folded nor installed, and what does not carry its book is never installed.

    Args:
        folder: of the exhibit.
        stage: how far they are.
        names: numbers of sheets or supports.
        date: year, month and day, as 2026-03-02; a time may follow.
        initials: of who did it.
        note: what was seen.

    Raises:
        FileError: there is no exhibit, it knows no such number, its last run was cut off, or a
            support cannot be so far, or must not be; or the date is none.
        StagesError: the marks there are have faults.

    """
    to = Path(folder)
    require_exhibit(to)
    _require_date(date)
    with held(to, "exhibit"), told(to):
        if os.path.lexists(to / JOURNAL):
            raise FileError(
                "an exhibit whose last run was cut off",
                "what is cut is marked when all sheets are as the record says",
                "run the exhibit again, then mark",
                os.fspath(folder),
            )
        before, stages = load(to).before, read_stages(to)
        require_known(stages, (sheet_name(one.number) for one in before.sheets), to)
        new = [
            one._replace(date=date, initials=initials, note=note)
            for one in _marks(before, stages, stage, names, to)
        ]
        data = stages_text([*stages.marks, *new])
        if stages.checksum:
            update(to / STAGES_FILE, data, stages.checksum)
        else:
            write_new(to / STAGES_FILE, data, "the marks of an exhibit")
    lie, was, now = lie_on(before), stages.cut, Stages((*stages.marks, *new)).cut
    return MarkedSo(
        marks=tuple(new),
        frozen={sheet: lie[sheet] for sheet in now if sheet not in was},
        freed=tuple(sheet for sheet in was if sheet not in now),
        unproved=tuple(
            one.number
            for one in new
            if one.stage == "installed" and before.facts[one.number].state != "proved"
        ),
    )


def mark_sheet(sheets: Path, number: str, date: str, initials: str) -> Path | None:
    """Mark a sheet as cut where its plan lies among the sheets of an exhibit; return which."""
    folder = _exhibit_of(sheets)
    if folder is not None:
        mark(folder, "cut", [number], date=date, initials=initials)
    return folder


def require_uncut(sheets: Path, number: str) -> None:
    """Refuse a sheet of an exhibit that is marked as cut: its film is not cut twice.

    Args:
        sheets: the folder that its files lie in, of an exhibit or not.
        number: of the sheet.

    Raises:
        FileError: it is marked so, or the marks cannot be read.
        StagesError: the marks have faults.

    """
    folder = _exhibit_of(sheets)
    found = None if folder is None else read_stages(folder).cut.get(number)
    if found is not None:
        raise FileError(
            f"a sheet that is marked as cut, on {found.date} by {found.initials}",
            "a sheet is cut once",
            "if its film was spoilt, take the mark back first",
            number,
            "marked-cut",
        )


def _exhibit_of(sheets: Path) -> Path | None:
    """Return the exhibit that a folder holds the sheets of, if it does."""
    folder = sheets.resolve()
    own = folder.name == "sheets" and (folder.parent / RECORD).is_file()
    return folder.parent if own else None


def require_exhibit(folder: Path) -> None:
    """Refuse a folder that no exhibit was made into.

    Raises:
        FileError: it has no record of one.

    """
    if not (folder / RECORD).is_file():
        raise FileError(
            f"no {RECORD}",
            "the folder of an exhibit is needed",
            "name the folder that the exhibit was made into",
            str(folder),
        )


def _require_date(date: str) -> None:
    """Refuse a text that is no day, for tables and pages sort by it.

    Raises:
        FileError: it is none.

    """
    try:
        datetime.fromisoformat(date)
        written = re.match(r"\d{4}-\d\d-\d\d(T|$)", date)
    except ValueError:
        written = None
    if not written:
        needed = "a date is year, month and day, as 2026-03-02"
        raise FileError(shown(date), needed, "write the day so", Place(field="date"))


def lie_on(before: Before) -> dict[str, tuple[str, ...]]:
    """Return whose pieces lie on each sheet."""
    return {sheet_name(sheet.number): owners(sheet.laid.pieces) for sheet in before.sheets}


def _marks(
    before: Before, stages: Stages, stage: Marked, names: Iterable[str], folder: Path
) -> Iterator[Mark]:
    """Yield the marks that are asked for, those of sheets that follow from them first."""
    lie, lies = lie_on(before), sheets_of(before)
    cut = {*stages.cut}
    for name in dict.fromkeys(names):
        facts = before.facts.get(name)
        if name in lie:
            if stage not in ("cut", "planned"):
                raise _refused(name, stage, f"a sheet is cut, or planned; {stage} is a support")
            if (name in cut) != (stage == "cut"):
                yield Mark(name, "", stage)
            cut.add(name)
        elif facts is not None:
            own = lies[name]
            _require_safe(name, stage, facts.state, own)
            if stage in ("cut", "folded", "installed"):
                yield from (Mark(one, "", "cut") for one in own if one not in cut)
                cut |= {*own}
            if stage != "cut":
                yield Mark("", name, stage, piece=facts.piece)
        else:
            known = ", ".join([*lie, *before.facts][:12])
            raise FileError(
                shown(name),
                f"a sheet or a support of this exhibit is marked: {known}, …",
                "correct the number, or run the exhibit again first",
                str(folder),
            )


def _require_safe(name: str, stage: Marked, state: State, sheets: Sequence[str]) -> None:
    """Refuse to mark what was never cut as made, and what does not carry its book as installed.

    Raises:
        FileError: says why.

    """
    unsafe = state == "another support"
    if stage == "installed" and unsafe:
        raise FileError(
            f"{shown(name)} {stage}",
            'its verdict is "another support": its film does not carry the book, so it is not to '
            "be used",
            "take it out and leave the book to the mountmaker, or measure it anew and run the "
            "exhibit again",
            name,
        )
    if stage in ("cut", "folded", "installed") and not sheets:
        why = ': its verdict is "another support", and such a one is not cut' if unsafe else ""
        raise FileError(
            f"{shown(name)} {stage}",
            f"it lies on no sheet, and what is {stage} was cut from one{why}",
            "leave the book to the mountmaker, or lay it out for a trial first"
            if unsafe
            else "run the exhibit again with film at hand for it, and cut its sheet first",
            name,
            key="lay-anyway" if unsafe else "",
        )


def sheets_of(before: Before) -> dict[str, tuple[str, ...]]:
    """Return on which sheets the pieces of each support lie, as it is made now."""
    shapes = {
        number: {facts.shape, *(post[-1] for post in facts.posts)}
        for number, facts in before.facts.items()
    }
    lies: dict[str, list[str]] = {number: [] for number in shapes}
    for sheet in before.sheets:
        for lying in sheet.laid.pieces:
            number, _ = owner_of(lying.name)
            if lying.shape in shapes.get(number, ()):
                lies[number].append(sheet_name(sheet.number))
    return {number: tuple(dict.fromkeys(own)) for number, own in lies.items()}


def _refused(name: str, stage: str, why: str) -> FileError:
    return FileError(f"{shown(name)} {stage}", why, "mark its support, or its sheet, instead", name)
