"""Puts an aligned pass beside its plan, into the record of its support: it can be sent."""

import json
import os
from collections.abc import Sequence
from pathlib import Path

from cutfiles.disk.files import put_recorded
from cutfiles.disk.refusals import told
from cutfiles.disk.sets import Put, held
from cutfiles.disk.system import sum_of
from cutfiles.errors import FileError
from cutfiles.files.made import File
from cutfiles.files.record import RECORD, recorded
from cutfiles.job.deliver import OF_PLAN


def deliver_aligned(
    plan_path: str | os.PathLike[str], files: Sequence[File], *, replace: bool = False
) -> Put:
    """Put the files of an aligned pass beside their plan, and say so in the record there.

    The next run for this support removes them where its plan is another one. Where no record
    beside the plan knows it they get a record of their own.

    Args:
        plan_path: the plan it was aligned from.
        files: of the pass, read back and compared.
        replace: also replace files of these names that others made or changed.

    Raises:
        FileError: the plan is not the one that its record knows, or a file must not be replaced.

    """
    plan = Path(plan_path)
    folder, made = plan.parent, {file.name: file.data for file in files}
    found = recorded(plan)
    if found is None or not found.entry.get("sha256"):
        return put_recorded(folder, Path(files[0].name).stem, made, replace=replace)
    path = found.path
    with told(path), held(folder, path.name.removesuffix(RECORD)) as one:
        data = path.read_bytes()
        values = json.loads(data)
        entries = {entry["path"]: entry for entry in values["files"]}
        of_plan = sum_of(plan.read_bytes())
        if entries.get(plan.name, {}).get("sha256") != of_plan:
            raise _stale("a plan that is not the one in its record", path.name)
        for file in files:
            entries[file.name] = {
                "path": file.name,
                "format": file.format,
                "sha256": file.sha256,
                "verified": file.verified,
                OF_PLAN: of_plan,
            }
        known = {entry["path"]: (entry["sha256"],) for entry in values["files"]}
        values["files"] = list(entries.values())
        written = (json.dumps(values, ensure_ascii=False, indent=2) + "\n").encode()
        return one.put(
            made | {path.name: written}, known | {path.name: (sum_of(data),)}, replace=replace
        )


def _stale(found: str, name: str) -> FileError:
    return FileError(
        found,
        "an aligned pass belongs to the plan that the record beside it knows",
        "make the passes again for this cutter, and align anew",
        name,
        "make-passes",
    )
