"""Passes corrected by the marks measured for them: their files, pictures, and place in the record.

They stand beside their plan, in its record: they can be verified and sent, and go when the plan is
another one.
"""

import os
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from cutfiles.dataclass import dataclass
from cutfiles.disk.refusals import told
from cutfiles.disk.sets import Put, held
from cutfiles.disk.system import sum_of
from cutfiles.errors import AlignError, FileError
from cutfiles.files.made import File
from cutfiles.files.passes import write_aligned
from cutfiles.files.record import OF_PLAN, OWN_RECORD, RECORD, record_bytes, record_sums, recorded
from cutfiles.job.deliver_files import deliver_files
from cutfiles.job.names import ALIGNMENT, MISFIT
from cutfiles.machine.align import LIMIT, Alignment, align, aligned, lying
from cutfiles.machine.lying import NEEDED_MARKS
from cutfiles.machine.marks import Measured, measured_of
from cutfiles.machine.passes import CutPlan, Pass
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.alignment import alignment_picture


@dataclass(frozen=True, slots=True, kw_only=True)
class AlignedPass:
    """A pass corrected for how its sheet lies.

    Attributes:
        one: the pass as it was planned.
        found: how its sheet lies.
        files: of the corrected pass, read back and compared, and the picture of how it lies, last.

    """

    one: Pass
    found: Alignment
    files: tuple[File, ...]


def align_passes(
    plan: CutPlan, measured: Mapping[str, Measured], stem: str, limit: float = LIMIT
) -> tuple[AlignedPass, ...]:
    """Return the passes that were measured, corrected, in the order of the work.

    Args:
        plan: they belong to.
        measured: name of a pass to the marks measured for it, see `read_marks`.
        stem: what the names of the plan's files begin with.
        limit: largest residual allowed, mm.

    Raises:
        AlignError: the marks of a pass do not fit; says what explains them.
        FormatError: a pass no longer lies within the tool's reach.

    """
    done = []
    for one, marks in measured_of(measured, plan):
        found = align(one, marks.places, limit, marks.axes, marks.unit)
        files = write_aligned(plan, aligned(one, found), stem)
        picture = alignment_picture(one, found, plan.number)
        name = f"{stem}.{one.name}{ALIGNMENT}"
        shown = File(name, "alignment", picture, None)
        done.append(AlignedPass(one=one, found=found, files=(*files, shown)))
    return tuple(done)


def misfits(
    plan: CutPlan, measured: Mapping[str, Measured], stem: str, limit: float = LIMIT
) -> Iterator[AlignedPass]:
    """Yield passes whose marks do not fit, with the picture of it alone; none that has too few.

    For the arguments see `align_passes`, which refuses these passes.
    """
    for one, marks in measured_of(measured, plan):
        try:
            align(one, marks.places, limit, marks.axes, marks.unit)
        except AlignError:
            if (shown := _misfit(plan, one, marks.places, stem)) is not None:
                yield shown


def _misfit(plan: CutPlan, one: Pass, places: Mapping[str, Point], stem: str) -> AlignedPass | None:
    if len(places) < NEEDED_MARKS or not {mark.name for mark in one.marks}.issuperset(places):
        return None
    found = lying(one, places, rigid=True)
    picture = alignment_picture(one, found, plan.number, refused=True)
    shown = File(f"{stem}.{one.name}{MISFIT}", "alignment", picture, None)
    return AlignedPass(one=one, found=found, files=(shown,))


def deliver_aligned(
    plan_path: str | os.PathLike[str],
    plan: CutPlan,
    files: Sequence[File],
    *,
    replace: bool = False,
) -> Put:
    """Put the files of aligned passes beside their plan, and say so in the record there.

    The next run removes them where its plan is another one, and the picture of marks that did not
    fit goes once they do. Where no record beside the plan knows it they get a record of their own.

    Args:
        plan_path: the plan they were aligned from.
        plan: what it holds.
        files: of the passes, read back and compared.
        replace: also replace files of these names that others made or changed.

    Raises:
        FileError: the plan is not the one that its record knows, or a file must not be replaced.

    """
    path = Path(plan_path)
    of_plan = sum_of(path.read_bytes())
    found = recorded(path)
    if found is None:
        name = Path(files[0].name).stem
        return deliver_files(path.parent, name, files, plan, of_plan=of_plan, replace=replace).put
    record = found.path
    suffix = OWN_RECORD if record.name.endswith(OWN_RECORD) else RECORD
    with told(record), held(path.parent, record.name.removesuffix(suffix)) as one:
        data = record.read_bytes()
        again = recorded(path)
        if again is None or again.path != record or again.entry["sha256"] != of_plan:
            raise _stale("a plan that is not the one in its record", record.name)
        values = again.values
        fitting = [file.name for file in files if file.name.endswith(ALIGNMENT)]
        over = {f"{name.removesuffix(ALIGNMENT)}{MISFIT}" for name in fitting}
        before = values["files"]
        entries = {entry["path"]: entry for entry in before if entry["path"] not in over}
        entries |= {file.name: file.entry | {OF_PLAN: of_plan} for file in files}
        known = record_sums(values) | {record.name: (sum_of(data),)}
        written = {file.name: file.data for file in files}
        written[record.name] = record_bytes({**values, "files": list(entries.values())})
        gone = {name: known[name] for name in over & known.keys()}
        return one.put(written, known, replace=replace, gone=gone)


def _stale(found: str, name: str) -> FileError:
    return FileError(
        found,
        "an aligned pass belongs to the plan that the record beside it knows",
        "make the passes again for this cutter, and align anew",
        name,
        "make-passes",
    )
