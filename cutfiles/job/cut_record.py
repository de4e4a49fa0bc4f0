"""How far a sheet has come, kept beside its plan; the log of what was done; what may be worked.

``NUMBER.cutting.json`` says where a sheet stands, ``NUMBER.cutting.csv`` what was done with each
sheet, by whom, from which lot, a row each. Both are written together, whole or not at all, before
a machine is started: a run that is killed is found where it was.
"""

import csv
import io
import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple, get_args

from cutfiles.dataclass import dataclass
from cutfiles.disk.refusals import read
from cutfiles.disk.sets import held
from cutfiles.disk.system import state, sum_of
from cutfiles.errors import ChangedError, FileError
from cutfiles.files.record import record_bytes
from cutfiles.job.cutting import Answer, Cutting, Over, Step, steps_of
from cutfiles.job.names import CUT_LOG as LOG
from cutfiles.job.names import CUTTING as STATE
from cutfiles.lists.cells import guarded
from cutfiles.machine.endings import PLAN
from cutfiles.machine.passes import CutPlan
from cutfiles.machine.plan_data import plan_from

FORM = "cutting 1"
COLUMNS = (
    *("date", "number", "cutter", "initials", "film lot"),
    *("pass", "what", "file", "sha256", "note"),
)


class Row(NamedTuple):
    """One row of the log, without what every row says."""

    what: str
    one: str = ""
    files: Sequence[tuple[str, str]] = ()
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRecord:
    """What lies beside a plan.

    Attributes:
        folder: where.
        stem: what the names of the plan's files begin with.
        plan: as it was read.
        plan_sha256: checksum of its file when it was read.
        cutting: how far its sheet has come.
        made_anew: whether a sheet was begun with another plan of this name.
        sums: checksums that the two files had when they were last read or written.

    """

    folder: Path
    stem: str
    plan: CutPlan
    plan_sha256: str
    cutting: Cutting
    made_anew: bool
    sums: tuple[tuple[str, str], ...]

    @property
    def log(self) -> Path:
        """The file of what was done with each sheet."""
        return self.folder / (self.stem + LOG)

    @property
    def plan_path(self) -> Path:
        """The plan's file."""
        return self.folder / (self.stem + PLAN)


def open_record(plan_path: str | Path) -> CutRecord:
    """Return what lies beside a plan: where its sheet stands, or that none was begun.

    Raises:
        FileError: the plan cannot be read or is none, or what should say where its sheet stands
            does not.

    """
    path = Path(plan_path)
    if not path.name.endswith(PLAN):
        raise FileError(
            f'"{path.name}"', f"a plan's name ends in {PLAN}", "name the plan", path.name
        )
    data = read(path, "a plan that can be read")
    plan, stem = plan_from(data, path.name), path.name.removesuffix(PLAN)
    of_plan, begun = sum_of(data), path.parent / (stem + STATE)
    sums = tuple((name, state(path.parent / name).digest) for name in (stem + STATE, stem + LOG))
    cutting, anew = Cutting(plan=plan), False
    if state(begun).kind != "nothing":
        values = _values(begun)
        anew = values["plan_sha256"] != of_plan
        cutting = cutting if anew else _cutting(values, plan, begun.name)
    return CutRecord(
        folder=path.parent,
        stem=stem,
        plan=plan,
        plan_sha256=of_plan,
        cutting=cutting,
        made_anew=anew,
        sums=sums,
    )


def _values(path: Path) -> dict[str, Any]:
    try:
        if state(path).other:
            raise ValueError
        values: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        if values["form"] != FORM or not isinstance(values["plan_sha256"], str):
            raise ValueError
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        raise _no_state(path.name) from None
    return values


def _cutting(values: dict[str, Any], plan: CutPlan, name: str) -> Cutting:
    """Return how far a sheet has come; what does not follow from the plan's steps is refused."""
    try:
        answers = tuple(Answer(Step(key, at), said) for key, at, said in values["answers"])
        over, broken = values["over"], values["broken"]
        same = tuple(answer.step for answer in answers) == steps_of(plan)[: len(answers)]
        texts = all(isinstance(text, str) for text in (broken, *(one.said for one in answers)))
        if not (same and texts and over in get_args(Over)):
            raise ValueError
    except (ValueError, KeyError, TypeError):
        raise _no_state(name) from None
    return Cutting(plan=plan, answers=answers, over=over, broken=broken)


def _no_state(name: str) -> FileError:
    return FileError(
        "a file that does not say where a sheet stands",
        "it is written while a sheet is cut, and not changed",
        "look at the sheet and the log; then move the file away, and begin with new film",
        name,
    )


def keep(record: CutRecord, cutting: Cutting, date: str, row: Row | None = None) -> CutRecord:
    """Write down how far the sheet has come, with a row of the log; return what lies there now.

    Args:
        record: what lay there.
        cutting: how far the sheet has come.
        date: when, as it stands in the log.
        row: what was done, where it is worth a row.

    Raises:
        ChangedError: another run is at work on this sheet.
        FileError: the disk refuses.

    """
    names = record.stem + STATE, record.stem + LOG
    values = {
        "form": FORM,
        "number": record.plan.number,
        "plan_sha256": record.plan_sha256,
        "over": cutting.over,
        "broken": cutting.broken,
        "answers": [[one.step.key, one.step.index, one.said] for one in cutting.answers],
    }
    files = {names[0]: record_bytes(values)}
    sums = dict(record.sums)
    if row is not None:
        log = record.folder / names[1]
        before = b"" if state(log).kind == "nothing" else read(log, "the log of this sheet")
        sums[names[1]] = sum_of(before) if before else ""  # people may write their own notes in it
        files[names[1]] = before + _rows(record.plan, cutting, date, row, head=not before)
    with held(record.folder, names[0]) as one:
        _require_same(record)
        one.put(files, {name: (checksum,) for name, checksum in sums.items() if checksum})
    after = sums | {name: sum_of(data) for name, data in files.items()}
    return replace(record, cutting=cutting, made_anew=False, sums=tuple(after.items()))


def _require_same(record: CutRecord) -> None:
    """Refuse where another run has gone on with this sheet, if only to the very same step."""
    name = record.stem + STATE
    if state(record.folder / name).digest != dict(record.sums)[name]:
        raise ChangedError(
            "a sheet that another run goes on with",
            "one run at a time cuts a sheet",
            "look who is at the machine; then run this again",
            name,
        )


def _rows(plan: CutPlan, cutting: Cutting, date: str, row: Row, head: bool) -> bytes:
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    if head:
        rows.writerow(COLUMNS)
    start = (date, plan.number, plan.cutter.name, cutting.initials, cutting.lot, row.one, row.what)
    for name, checksum in row.files or [("", "")]:
        rows.writerow([guarded(cell) for cell in (*start, name, checksum, row.note)])
    return out.getvalue().encode()
