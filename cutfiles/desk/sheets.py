"""A sheet at the machine: its plan taken up, its questions answered, kept as `cut` keeps them.

Works in a process of their own. A pass is handed over, never sent: no machine starts from a page.
"""

from dataclasses import field, replace
from pathlib import Path
from typing import Any, NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.desk.books import Values
from cutfiles.desk.remedies import told
from cutfiles.desk.sittings import Sitting
from cutfiles.desk.takes import put_files
from cutfiles.disk.refusals import read
from cutfiles.disk.system import sum_of
from cutfiles.errors import AlignError, CutfilesError, FileError
from cutfiles.exhibit.mark import mark_sheet, require_uncut
from cutfiles.job.aligned import AlignedPass
from cutfiles.job.asked import ask
from cutfiles.job.course import Gone, go_on, misfit, setup_of, take_up
from cutfiles.job.cut_record import CutRecord
from cutfiles.job.cutting import AS_IT_LIES, TYPED, Taken, steps_of, take
from cutfiles.job.order import Order
from cutfiles.job.pass_files import checked_files
from cutfiles.machine.endings import PLAN
from cutfiles.machine.marks import shown_place
from cutfiles.machine.passes import Pass
from cutfiles.machine.profile.read import find_cutter
from cutfiles.report.pictures.passing import pass_picture

Places = dict[str, tuple[str, str]]
"""Mark to where the machine shows it, x and y as written."""
_NEEDED = "two numbers a mark, as the machine shows them"


class Said(NamedTuple):
    """What somebody says on the page.

    Attributes:
        text: to the question that stands there.
        places: of the marks, where they are what is said.

    """

    text: str
    places: Places | None = None


class Heard(NamedTuple):
    """What came of it.

    Attributes:
        record: what lies beside the plan now.
        said: what is told of it.
        lying: how the sheet was found to lie: its picture and its residuals, mark to mm.
        faults: why it was refused, if it was.
        files: of the pass that was handed over: name and checksum.

    """

    record: CutRecord
    said: str = ""
    lying: tuple[bytes, dict[str, float]] | None = None
    faults: tuple[dict[str, str], ...] = ()
    files: tuple[tuple[str, str], ...] = ()


@dataclass(slots=True, kw_only=True)
class Sheet(Sitting):
    """One sheet at the machine.

    Attributes:
        path: of its plan, as from the desk's folder.
        record: what lies beside the plan.
        heard: what came of the last answer.
        places: where the machine shows the marks, as typed last.
        files: of the pass that was handed over: name and checksum.
        told: what a page of it shows.

    """

    path: str
    record: CutRecord
    heard: Heard
    told: dict[str, Any]
    places: Places = field(default_factory=dict)
    files: tuple[tuple[str, str], ...] = ()


def begin(path: str) -> CutRecord:
    """Return what lies beside a plan, to go on with; all its passes are looked at first.

    Raises:
        CutfilesError: the plan or a file of it is not what its record says, or its sheet is marked
            as cut.

    """
    record = take_up(path)
    require_uncut(record.folder, record.plan.number)
    for one in record.plan.passes:
        checked_files(record, one)
    return record


def hear(record: CutRecord, said: Said, date: str) -> Heard:
    """Do what an answer asks for, as the terminal does.

    Marks that do not fit are refused with the picture of what is left over.

    Raises:
        CutfilesError: a file is not what its record says, another run is at work on the sheet, or
            the disk refuses; nothing is kept then.

    """
    taken = _taken(record, said)
    if taken.doing == "ask" and said.places is not None:
        fault = {"place": "", "found": taken.said, "needed": _NEEDED, "remedy": "correct it"}
        return Heard(record, faults=(fault,))
    typing = replace(record, cutting=replace(record.cutting, typed=()))
    asked = typing if said.places is not None else record
    try:
        gone = go_on(asked, taken, date)
    except CutfilesError as error:
        if taken.doing != "align":
            raise
        shown = misfit(asked, taken) if isinstance(error, AlignError) else None
        return Heard(record, lying=_lying(shown), faults=tuple(told(error)))
    marked = _marked(gone.record, date) if taken.doing == "done" else ""
    return Heard(gone.record, gone.said + marked, _lying(gone.aligned), files=_handed(gone))


def _taken(record: CutRecord, said: Said) -> Taken:
    """Read an answer; places of marks as if they were typed one by one."""
    if said.places is None:
        if record.cutting.key == "measure" and said.text not in ("yes", AS_IT_LIES):
            return Taken("ask", record.cutting, "no such answer")  # least of all the name of a file
        return take(record.cutting, said.text)
    one, taken = record.cutting.one, take(record.cutting, TYPED)
    for mark in () if one is None else one.marks:
        x, y = said.places.get(mark.name, ("", ""))
        taken = take(taken.cutting, f"{x}; {y}" if x or y else "")
        if taken.said:
            return Taken("ask", record.cutting, f"{mark.name}: {taken.said}")
    return taken


def _lying(shown: AlignedPass | None) -> tuple[bytes, dict[str, float]] | None:
    return None if shown is None else (shown.files[-1].data, dict(shown.found.residuals))


def _handed(gone: Gone) -> tuple[tuple[str, str], ...]:
    return tuple(file.named for file in gone.files)


def _marked(record: CutRecord, date: str) -> str:
    """Mark a sheet of an exhibit as cut; return what is told of it."""
    folder = mark_sheet(record.folder, record.plan.number, date, record.cutting.initials)
    return "" if folder is None else f"; it is marked as cut in {folder.name}: it stays as it is"


# -- what is shown ---------------------------------------------------------------------------------


def look(record: CutRecord) -> dict[str, Any]:
    """Return what a page shows of a sheet.

    Keys: key, title, lines, asks, answers (of the question, see `Question`), shows (the card or
    picture to look at), passes [{name, view, picture, now, done}], steps [{words, state}], marks
    [{name, x, y}] of this pass as planned, counted (how places are), table, now (name of the pass).
    """
    cutting, plan = record.cutting, record.plan
    question, one = ask(cutting, setup_of(record)), cutting.one
    at = len(cutting.answers)
    measures = question.key == "measure"  # here they stand in fields, not in a table to be named
    return {
        "key": question.key,
        "title": question.title,
        "lines": question.lines[:1] if measures else question.lines,
        "asks": "Where are the marks now?" if measures else question.asks,
        "answers": question.answers,
        "shows": question.shows,
        "now": "" if one is None else one.name,
        "passes": [
            {
                "name": each.name,
                "view": dict(each.drawing.facts)["view"],
                "picture": pass_picture(plan, each),
                "done": all(i < at for i, step in enumerate(steps_of(plan)) if step.index == index),
            }
            for index, each in enumerate(plan.passes)
        ],
        "steps": [
            {"words": _step_words(step.key, step.index, plan.passes), "state": _state(i, at)}
            for i, step in enumerate(steps_of(plan))
        ],
        "marks": [] if one is None else _marks(one, record),
        "shown_in": plan.cutter.bed.shows,
        "table": setup_of(record).table,
    }


def _state(index: int, at: int) -> str:
    return "done" if index < at else "now" if index == at else ""


_STEPS = {
    "lot": "film lot",
    "load": "load",
    "turn": "turn over",
    "feed": "move on",
    "measure": "measure marks",
    "start": "begin",
    "ended": "has it ended",
    "inspect": "look at all",
}


def _step_words(key: str, index: int, passes: tuple[Pass, ...]) -> str:
    words = _STEPS[key]
    return words if index < 0 else f"{passes[index].name}: {words}"


def _marks(one: Pass, record: CutRecord) -> list[dict[str, str]]:
    places = ((mark.name, shown_place(mark, record.plan.cutter.bed)) for mark in one.marks)
    return [{"name": name, "x": x, "y": y} for name, (x, y) in places]


def file_of(record: CutRecord, name: str, sha256: str) -> bytes:
    """Return a pass file, if it is still the one that was handed over.

    Raises:
        FileError: it was changed since, or cannot be read.

    """
    data = read(record.folder / name, "a pass file that can be read")
    if sum_of(data) != sha256:
        raise FileError(
            "a file that was changed since it was handed over",
            "what is cut was made, read back and compared with its plan",
            "do not cut it; make the passes again, and begin with new film",
            name,
        )
    return data


# -- made here -------------------------------------------------------------------------------------


def make_plan(values: Values, beside: str, cutter: str, lot: str, order: Order, to: str) -> str:
    """Make a slip's files for a cutter; return where its plan lies.

    Args:
        values: of the slip.
        beside: the folder its edits are kept in.
        cutter: a profile's path or name; empty for the order's own.
        lot: the film lot, if a coupon was judged for it.
        order: how things are made.
        to: the folder they are put into.

    Raises:
        CutfilesError: whatever making and delivering refuse, or there is no cutter.

    """
    machine = find_cutter(cutter) if cutter else order.cutter
    if machine is None:
        raise FileError("no cutter", "a plan is for one machine", "choose its profile")
    order = replace(order, cutter=machine, lot=lot or order.lot)
    done = put_files(values, order, to, beside)
    return str(Path(to) / f"{done['name']}{PLAN}")
