"""Puts files that are of no support on disk: a coupon, a sheet of an exhibit, an aligned pass.

Beside them goes ``NAME.files.json``, a record in the shape of a support's: by it the next run knows
its own files, and a pass of theirs can be verified and sent.
"""

import os
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.disk.files import folder_at
from cutfiles.disk.sets import Put, Sums, held
from cutfiles.disk.system import state, sum_of
from cutfiles.files.made import File
from cutfiles.files.record import (
    OF_PLAN,
    OWN_RECORD,
    filled_in,
    record_bytes,
    record_sums,
    values_of,
)
from cutfiles.machine.endings import PLAN
from cutfiles.machine.passes import CutPlan
from cutfiles.report.text.plan import plan_data


@dataclass(frozen=True, slots=True)
class FilesPut:
    """What is on disk after files of no support were put there.

    Attributes:
        put: what was removed, and what was left.
        sums: name to checksum of all that the record knows, and of the record.

    """

    put: Put
    sums: Mapping[str, str]


def deliver_files(
    folder: str | os.PathLike[str],
    name: str,
    files: Sequence[File],
    plan: CutPlan | None = None,
    *,
    of_plan: str = "",
    known: Sums | None = None,
    replace: bool = False,
    note: Callable[[Mapping[str, str]], None] | None = None,
) -> FilesPut:
    """Put files and their record into a folder, all or none.

    Passes that were aligned stay while their plan is the same, and so do tables of its marks that
    were filled in; files that an earlier run made under this name, and this one does not, go.

    Args:
        folder: where; it is made if it does not exist.
        name: of the set; its record is named after it.
        files: read back and compared.
        plan: what one cutter does with them, where they are made for one.
        of_plan: checksum of the plan they were aligned from.
        known: what is ours besides what the record knows.
        replace: also replace files of these names that others made or changed.
        note: called with names and checksums just before anything is put in place.

    Raises:
        FileError: the folder cannot be written, or holds a file that must not be replaced.

    """
    to, record = folder_at(folder), name + OWN_RECORD
    with held(to, name) as one:
        before = values_of(to / record)
        made = {file.name: file.sha256 for file in files}
        plans = {file.sha256 for file in files if file.name.endswith(PLAN)}
        kept = [
            entry
            for entry in before.get("files", ())
            if entry["path"] not in made
            and entry.get(OF_PLAN) in plans
            and os.path.lexists(to / entry["path"])
        ]
        theirs = filled_in(to, before, made, replace=replace)
        kept += [entry for entry in before.get("files", ()) if entry["path"] in theirs.old]
        entries = [
            file.entry | ({OF_PLAN: of_plan} if of_plan else {})
            for file in files
            if file.name not in theirs.old
        ]
        values: dict[str, Any] = {"files": [*entries, *kept]}
        if plan is not None:
            values["plan"] = plan_data(plan)
        ours = {n: {*sums} for n, sums in (known or {}).items()}
        for n, sums in record_sums(before).items():
            ours.setdefault(n, set()).update(sums)
        if before:
            ours.setdefault(record, set()).add(state(to / record).digest)
        stay = {*(entry["path"] for entry in kept), *theirs.same}
        written = {file.name: file.data for file in files if file.name not in stay}
        written[record] = record_bytes(values)
        gone = {n: sums for n, sums in record_sums(before).items() if n not in stay}
        done = one.put(written, ours, replace=replace, gone=gone, note=note)
    told = {str(entry["path"]): str(entry["sha256"]) for entry in values["files"]}
    done = Put(done.removed, (*done.left, *sorted(theirs.old)))
    return FilesPut(done, told | {record: sum_of(written[record])})
