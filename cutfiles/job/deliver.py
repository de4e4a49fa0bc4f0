"""Puts the files of a support on disk: all of them or none, and never over someone else's work.

Beside them goes ``NUMBER.json``, the record of what was made with its checksums. By it a second run
knows its own files: it replaces them, removes those that hold old measures, and refuses to touch a
file that was changed since.
"""

import os
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.disk.files import folder_at
from cutfiles.disk.refusals import told
from cutfiles.disk.sets import Sums, held
from cutfiles.disk.system import state
from cutfiles.draft import drawing_sha256
from cutfiles.errors import FileError
from cutfiles.files.formats import FORMATS
from cutfiles.files.made import Made
from cutfiles.files.record import OF_PLAN, RECORD, filled_in, record_bytes, record_sums, values_of
from cutfiles.job.names import ending, plan_endings, require_apart
from cutfiles.machine.endings import PASS, PLAN
from cutfiles.report.text.made import made_data


@dataclass(frozen=True, slots=True)
class Delivered:
    """What is on disk after a delivery.

    Attributes:
        files: the files of the support, in the order they were made, the record last.
        removed: files of an earlier run that held old measures and were removed.
        left: files of an earlier run that hold old measures but were changed since, and stay.

    """

    files: tuple[Path, ...]
    removed: tuple[Path, ...]
    left: tuple[Path, ...]


def deliver(
    made: Made,
    folder: str | os.PathLike[str] = ".",
    *,
    replace: bool = False,
    alone: bool = False,
    note: Callable[[Mapping[str, str]], None] | None = None,
) -> Delivered:
    """Write all files of a made support into a folder, or none.

    A drawing that was accepted, and is held whole by the edits it is made with, is replaced.

    Args:
        made: what to write.
        folder: where; it is made if it does not exist.
        replace: also replace files of these names that others made or changed.
        alone: the caller has compared its number with all others in the folder.
        note: called with names and checksums just before anything is put in place.

    Raises:
        FileError: the folder cannot be written, or holds a file that must not be replaced.

    """
    to, name = folder_at(folder), made.name + RECORD
    if not alone:
        require_apart(to, made.name, made.draft.slip.book.number)
    with told(to), held(to, made.name) as one:
        known = _recorded(to / name, made, replace)
        same = known.get("pattern_sha256") == pattern_sha256(made)
        if not same and not _has_cut_files(made) and (cut := _cut_files(known, to)):
            raise FileError(
                f"cut files made from other measures ({', '.join(cut)})",
                "what is printed shows the pattern that is cut",
                "make the cut files again first, or print into another folder",
                name,
                "make-first",
            )
        left = [] if not same else _others(known, made, to)
        old = known if not same else _old_passes(known, made)
        files = {file.name: file.data for file in made.files}
        sums = {file.name: file.sha256 for file in made.files}
        theirs = filled_in(to, known, sums, replace=replace)
        left += [entry for entry in known.get("files", ()) if entry["path"] in theirs.old]
        files[name] = _record(made, left, known)
        ours: Sums = record_sums(known) | {name: (state(to / name).digest,)}
        if made.replaces is not None:
            ours = {**ours, **_accepted(to, files, made.replaces, ours)}
        stay = theirs.same | theirs.old
        written = {n: data for n, data in files.items() if n not in stay}
        gone = {n: was for n, was in record_sums(old).items() if n not in stay}
        done = one.put(written, ours, replace=replace, gone=gone, note=note)
    return Delivered(
        tuple(to / name for name in files),
        tuple(to / name for name in done.removed),
        tuple(to / name for name in (*done.left, *sorted(theirs.old))),
    )


def _accepted(to: Path, names: Iterable[str], replaces: Callable[[str], bool], ours: Sums) -> Sums:
    """Return checksums of files that are drawings accepted whole, besides those that are ours."""
    now = {name: state(to / name) for name in names}
    return {
        name: (*ours.get(name, ()), one.digest)
        for name, one in now.items()
        if one.kind == "file" and replaces(one.digest)
    }


def pattern_sha256(made: Made) -> str:
    """Return the checksum of the pattern a support was made from."""
    return drawing_sha256(made.draft.drawing)


def _recorded(record: Path, made: Made, replace: bool) -> dict[str, Any]:
    """Return the record of an earlier run, empty where there is none."""
    if state(record).kind in ("nothing", "folder"):
        return {}
    known = values_of(record)
    number = known.get("number")
    if number != made.draft.slip.book.number and not replace:
        owner = f'the support "{number}"' if number else "something else"
        raise FileError(
            f"a file that belongs to {owner}",
            f"it must be the record of the support {made.draft.slip.book.number}",
            "use another number or folder, or ask for it to be replaced",
            record.name,
            "replace-record",
        )
    return known


def _others(known: dict[str, Any], made: Made, to: Path) -> list[dict[str, Any]]:
    """Return the record's entries of files that are not made anew but still right."""
    names = {file.name for file in made.files}
    return [
        f
        for f in known.get("files", [])
        if f["path"] not in names and (to / f["path"]).exists() and not _is_replaced(f, made)
    ]


def _has_cut_files(made: Made) -> bool:
    return any(file.format in FORMATS for file in made.files)


def _cut_files(known: dict[str, Any], to: Path) -> list[str]:
    """Return names of the cut files of an earlier run: printing never removes them."""
    return [
        f["path"]
        for f in known.get("files", [])
        if f.get("format") in FORMATS and os.path.lexists(to / f["path"])
    ]


def _is_replaced(entry: dict[str, Any], made: Made) -> bool:
    """Whether a file of an earlier run is of a plan, and there is a new one."""
    rest = ending(entry["path"], made.name)
    plans = [file.sha256 for file in made.files if file.name.endswith(PLAN)]
    if entry.get(OF_PLAN) in plans:
        return False  # a pass that was aligned: its plan is still the same
    return made.plan is not None and (PASS in rest or rest.endswith(plan_endings()))


def _old_passes(known: dict[str, Any], made: Made) -> dict[str, Any]:
    """Return the record's entries of passes that a new plan has replaced."""
    return {"files": [f for f in known.get("files", []) if _is_replaced(f, made)]}


def _record(made: Made, kept: list[dict[str, Any]], known: dict[str, Any]) -> bytes:
    data = made_data(made)
    if made.plan is None and kept and "plan" in known:
        data["plan"] = known["plan"]  # its pass files are among those kept
    names = {entry["path"] for entry in kept}
    data["files"] = [*(e for e in data["files"] if e["path"] not in names), *kept]
    data["pattern_sha256"] = pattern_sha256(made)
    return record_bytes(data)
