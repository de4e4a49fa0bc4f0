"""The files of a pass, held once more against plan and record before a machine gets them."""

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from cutfiles.disk.refusals import read
from cutfiles.disk.system import sum_of
from cutfiles.errors import DifferenceError, FileError, LineError
from cutfiles.files.formats import FORMATS
from cutfiles.files.passes import pass_file_name, verify_pass
from cutfiles.files.record import OF_PLAN, Recorded, recorded
from cutfiles.job.aligned import AlignedPass, align_passes, deliver_aligned
from cutfiles.job.cut_record import CutRecord
from cutfiles.line.check import Job, check_job
from cutfiles.machine.cutter import Cutter, profile_sha256
from cutfiles.machine.endings import ALIGNED, MARKS
from cutfiles.machine.marks import Measured, filled_table, read_marks
from cutfiles.machine.passes import Pass


class PassFile(NamedTuple):
    """One file of a pass, as it was checked.

    Attributes:
        path: where it lies.
        sha256: of its bytes.

    """

    path: Path
    sha256: str

    @property
    def named(self) -> tuple[str, str]:
        """Its name and checksum, for the log."""
        return (self.path.name, self.sha256)


def names_of(record: CutRecord, one: Pass, *, aligned: bool, sent: bool = False) -> tuple[str, ...]:
    """Return what the files of a pass are called, one a format of its cutter.

    Args:
        record: of the sheet.
        one: the pass.
        aligned: those corrected for how the sheet lies.
        sent: only that which goes down a line, where there is one.

    """
    cutter, mark = record.plan.cutter, ALIGNED if aligned else ""
    forms = [FORMATS[key] for key in cutter.formats]
    if sent:
        forms = [form for form in forms if form.wire is not None][:1]
    return tuple(pass_file_name(record.stem, one, form, cutter, mark) for form in forms)


def checked_files(
    record: CutRecord, one: Pass, cutter: Cutter | None = None, *, aligned: bool = False
) -> tuple[PassFile, ...]:
    """Return the files of a pass, each as its record knows it and as the plan has it.

    Args:
        record: of the sheet.
        one: the pass.
        cutter: the profile as it is now; without one it is not asked.
        aligned: those corrected for how the sheet lies.

    Raises:
        FileError: the plan, the profile or a file was changed since it was made, or is not there.
        DifferenceError: a file holds something else than the plan.

    """
    known = _known_plan(record, cutter)
    entries = {entry["path"]: entry for entry in known.values["files"]}
    found = []
    for name in names_of(record, one, aligned=aligned):
        path = record.folder / name
        data = read(path, "a pass file that can be read")
        entry = entries.get(name, {})
        if not entry or (aligned and entry.get(OF_PLAN) != record.plan_sha256):
            raise _stale("a file that the record of this plan does not know", name)
        if entry["sha256"] != sum_of(data):
            raise _stale("a file that was changed since it was made", name)
        if differences := verify_pass(record.plan, name, data, record.stem):
            raise DifferenceError(
                f"{len(differences)} differences, the first: {differences[0]}",
                "a pass file holds what its plan says",
                "do not cut it; make it again for this cutter",
                name,
                "make-passes",
            )
        found.append(PassFile(path, entry["sha256"]))
    return tuple(found)


def _known_plan(record: CutRecord, cutter: Cutter | None) -> Recorded:
    """Return the record that knows the plan, which is still the one that was read."""
    name = record.plan_path.name
    if sum_of(read(record.plan_path, "a plan that can be read")) != record.plan_sha256:
        raise _stale("a plan that was made anew meanwhile", name)
    known = recorded(record.plan_path)
    if known is None:
        raise _stale("a plan without a record", name)
    if known.entry.get("sha256") != record.plan_sha256:
        raise _stale("a plan that was changed since it was made", name)
    if cutter is not None and profile_sha256(cutter) != profile_sha256(record.plan.cutter):
        said = record.plan.cutter.name
        same = f'the profile "{said}", changed since this plan was made'
        other = f'a plan for "{said}"; the cutter here is "{cutter.name}"'
        raise _stale(same if cutter.name == said else other, name)
    return known


def _stale(found: str, name: str) -> FileError:
    return FileError(
        found,
        "what is cut was made, read back and compared with this very plan",
        "make it again for this cutter, and begin with new film",
        name,
        "make-passes",
    )


def marks_for(
    record: CutRecord,
    one: Pass,
    table: str = "",
    typed: Mapping[str, tuple[str, str]] | None = None,
) -> Measured:
    """Return the marks that were measured for a pass.

    Args:
        record: of the sheet.
        one: the pass.
        table: a file; without one the table that was made with the plan.
        typed: instead of a table, mark to where the machine shows it, x and y as written.

    Raises:
        FileError: the table cannot be read, holds no marks of this pass, or is of another plan.

    """
    path = Path(table) if table else record.folder / (record.stem + MARKS)
    if typed is None:
        name = path.name
        text = read(path, "a table of measured marks").decode("utf-8", errors="replace")
    else:
        name, text = "what was typed", filled_table(one, typed)
    marks = read_marks(text, record.plan, name)
    if one.name not in marks:
        raise FileError(
            f"no places for {one.name}",
            "what was measured stands in the columns x and y, three marks or more",
            "write it there and save the table, then answer again",
            name,
        )
    return marks[one.name]


def align_by(record: CutRecord, one: Pass, marks: Measured) -> AlignedPass:
    """Correct a pass by the marks measured for it, and put its files beside the plan; return it.

    Raises:
        AlignError: the marks do not fit; says what explains them.
        FormatError: the pass no longer lies within the tool's reach.

    """
    (done,) = align_passes(record.plan, {one.name: marks}, record.stem)
    deliver_aligned(record.plan_path, record.plan, done.files)
    return done


def job_for(record: CutRecord, files: tuple[PassFile, ...]) -> Job:
    """Return the file of a pass that goes down a line.

    Raises:
        LineError: the cutter takes no format that a line can carry.
        FileError, FormatError: see `check_job`.

    """
    wired = [
        file
        for key, file in zip(record.plan.cutter.formats, files, strict=True)
        if FORMATS[key].wire is not None
    ]
    if not wired:
        raise LineError(
            f"passes in {', '.join(FORMATS[k].title for k in record.plan.cutter.formats)}",
            "a line carries HP-GL or G-code, which a machine reads by itself",
            "leave the line out and open the files in the machine's own program, or add such a "
            "format to the profile and make them again",
            record.plan.cutter.source,
        )
    return check_job(wired[0].path, record.plan.cutter)


_SHOWN = ("passes", "flat", "coupon-card")
"""Formats of what a person at the machine looks at, as records name them, the best first."""


def pictures_of(record: CutRecord) -> tuple[str, ...]:
    """Return the names of the pictures and cards that belong to a plan and lie beside it."""
    known = recorded(record.plan_path)
    entries = [] if known is None else known.values["files"]
    there = [
        (_SHOWN.index(entry["format"]), len(entry["path"]), entry["path"])
        for entry in entries
        if entry.get("format") in _SHOWN
        and entry["path"].startswith(f"{record.stem}.")  # straps have a card of their own
        and (record.folder / entry["path"]).exists()
    ]
    return tuple(path for *_, path in sorted(there)[:1])
