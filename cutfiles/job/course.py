"""What follows from an answer while a sheet is cut: kept beside its plan, and told.

Whoever asks (`asked`), a terminal or a page, goes on by these; only sending a pass down a line is
the terminal's own.
"""

from dataclasses import replace
from typing import NamedTuple, assert_never

from cutfiles.job.aligned import AlignedPass, misfits
from cutfiles.job.asked import Setup
from cutfiles.job.cut_record import CutRecord, Row, keep, open_record
from cutfiles.job.cutting import Cutting, Taken
from cutfiles.job.pass_files import (
    PassFile,
    align_by,
    checked_files,
    marks_for,
    names_of,
    pictures_of,
)
from cutfiles.machine.cutter import Cutter
from cutfiles.machine.endings import MARKS
from cutfiles.report.text.plan import lying_text


class Gone(NamedTuple):
    """How far a sheet has come after an answer.

    Attributes:
        record: what lies beside its plan now.
        said: what is told of it, if anything.
        files: of the pass that is handed over.
        aligned: the pass that was corrected.

    """

    record: CutRecord
    said: str = ""
    files: tuple[PassFile, ...] = ()
    aligned: AlignedPass | None = None


def take_up(plan_path: str) -> CutRecord:
    """Return what lies beside a plan, to go on with: a pass under way came to no end.

    Raises:
        FileError: the plan cannot be read or is none, or what should say where its sheet stands
            does not.

    """
    record = open_record(plan_path)
    cutting = record.cutting
    if cutting.step.key == "ended" and not cutting.broken:
        said = "the run that started this pass did not come to its end"
        return replace(record, cutting=replace(cutting, broken=said))
    return record


def go_on(record: CutRecord, taken: Taken, date: str, cutter: Cutter | None = None) -> Gone:
    """Do what an answer asks for; a pass that is started is handed over.

    Args:
        record: what lies beside the plan.
        taken: the answer.
        date: when, as it stands in the log.
        cutter: the profile as it is now, if it is held against the plan.

    Raises:
        AlignError: measured marks do not fit.
        CutfilesError: a file is not what its record says, another run is at work, or the disk
            refuses.

    """
    one = record.cutting.one
    name = "" if one is None else one.name
    match taken.doing:
        case "ask" | "stop":
            return Gone(replace(record, cutting=taken.cutting), taken.said)
        case "begin":
            row = None if record.cutting.over else Row("given up")
            return Gone(keep(record, taken.cutting, date, row))
        case "keep":
            return Gone(keep(record, taken.cutting, date, _row(taken.cutting, name)))
        case "align":
            return _aligned(record, taken, date)
        case "work":
            assert one is not None
            files = checked_files(record, one, cutter, aligned=record.cutting.is_aligned)
            row = Row("handed over", name, tuple(file.named for file in files))
            return Gone(keep(record, taken.cutting, date, row), files=files)
        case "spoilt":
            said = "kept in the log as spoilt; begin again with new film"
            return Gone(keep(record, taken.cutting, date, Row("spoilt", name)), said)
        case "done":
            said = f"{record.plan.number} is cut; the log is {record.log}"
            return Gone(keep(record, taken.cutting, date, Row("inspected, good")), said)
        case _:
            assert_never(taken.doing)


def _row(cutting: Cutting, name: str) -> Row | None:
    """Return the row of the log that an answer is worth."""
    key = cutting.answers[-1].step.key
    if key == "lot":
        return Row("begun")
    return Row("ended", name) if key == "ended" else None


def _aligned(record: CutRecord, taken: Taken, date: str) -> Gone:
    """Correct the pass by the marks that were measured."""
    one = record.cutting.one
    assert one is not None
    typed = None if record.cutting.typed is None else dict(taken.places)
    done = align_by(record, one, marks_for(record, one, taken.said, typed))
    said = lying_text(done.found)
    named = tuple((file.name, file.sha256) for file in done.files if file.verified)
    row = Row("aligned", one.name, named, said)
    return Gone(keep(record, taken.cutting, date, row), f"{one.name}, {said}", aligned=done)


def misfit(record: CutRecord, taken: Taken) -> AlignedPass | None:
    """Return how badly the marks of a refused answer fit; None where they do, or are too few."""
    one = record.cutting.one
    assert one is not None
    typed = None if record.cutting.typed is None else dict(taken.places)
    measured = marks_for(record, one, taken.said, typed)
    return next(misfits(record.plan, {one.name: measured}, record.stem), None)


def setup_of(record: CutRecord, to: str = "") -> Setup:
    """Return what the questions tell beside the plan; `to` is the line, if there is one."""
    one, aligned = record.cutting.one, record.cutting.is_aligned
    files = () if one is None else names_of(record, one, aligned=aligned, sent=bool(to))
    return Setup(shows=pictures_of(record), to=to, table=record.stem + MARKS, files=files)
