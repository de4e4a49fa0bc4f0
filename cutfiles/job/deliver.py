"""Puts the files of a support on disk: all of them or none, and never over someone else's work.

Beside them goes ``NUMBER.json``, the record of what was made with its checksums. By it a second run
knows its own files: it replaces them, removes those that hold old measures, and refuses to touch a
file that was changed since.
"""

import hashlib
import json
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutfiles.draft import drawing_sha256
from cutfiles.errors import Defect, FileError
from cutfiles.files.made import Made
from cutfiles.files.passes import PASS
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
    made: Made, folder: str | os.PathLike[str] = ".", *, replace: bool = False
) -> Delivered:
    """Write all files of a made support into a folder, or none.

    Args:
        made: what to write.
        folder: where; it is made if it does not exist.
        replace: also replace files of these names that others made or changed.

    Raises:
        FileError: the folder cannot be written, or holds a file that must not be replaced.

    """
    to = Path(folder)
    record = to / f"{made.name}.json"
    try:
        to.mkdir(parents=True, exist_ok=True)
        files = {to / file.name: file.data for file in made.files}
        _check_places([*files, record])
        known = _recorded(record, made, replace)
        if not replace:
            for path, data in files.items():
                _check_own(path, data, known)
        same = known.get("pattern_sha256") == pattern_sha256(made)
        kept = [] if not same else _others(known, made, to)
        old = known if not same else _old_passes(known, made)
        files[record] = _record(made, kept, known)
        write_all(files)
        removed, left = _clear(old, made, to)
    except OSError as error:
        raise FileError(
            f"{(error.strerror or 'an error of the disk').lower()} ({error.filename})",
            "the folder must be one we can write to",
            "check the folder and the room on the disk, or give another with --to",
            str(to),
        ) from None
    return Delivered(tuple(files), tuple(removed), tuple(left))


def pattern_sha256(made: Made) -> str:
    """Return the checksum of the pattern a support was made from."""
    return drawing_sha256(made.draft.sheet)


def _recorded(record: Path, made: Made, replace: bool) -> dict[str, Any]:
    """Return the record of an earlier run, empty where there is none."""
    if not record.exists():
        return {}
    try:
        known = json.loads(record.read_text(encoding="utf-8"))
        number, files = known["number"], known["files"]
        if not all(isinstance(f["path"], str) and isinstance(f["sha256"], str) for f in files):
            raise TypeError
    except (ValueError, KeyError, TypeError, RecursionError):
        known, number = {}, None
    if number != made.draft.slip.book.number and not replace:
        owner = f'the support "{number}"' if number else "something else"
        raise FileError(
            f"a file that belongs to {owner}",
            f"it must be the record of the support {made.draft.slip.book.number}",
            "use another number or folder, or give --replace",
            record.name,
        )
    return dict(known)


def _check_places(paths: list[Path]) -> None:
    """Refuse a folder where a file should be: the renames after it would leave half a set."""
    for path in paths:
        if path.is_dir():
            raise FileError(
                "a folder of that name",
                "a file is to be written there",
                "rename it or move it away, or use another folder",
                path.name,
            )


def _check_own(path: Path, data: bytes, known: dict[str, Any]) -> None:
    """Refuse to write over a file that we did not make, or that was changed since."""
    if not path.exists():
        return
    now = _sha256(path)
    own = {f["path"]: f["sha256"] for f in known.get("files", [])}
    if now not in (own.get(path.name), hashlib.sha256(data).hexdigest()):
        changed = "was changed since it was made" if path.name in own else "is not ours"
        raise FileError(
            f"a file that {changed}",
            "we write only over files we made",
            "rename it or move it away, or give --replace",
            path.name,
        )


def _others(known: dict[str, Any], made: Made, to: Path) -> list[dict[str, Any]]:
    """Return the record's entries of files that are not made anew but still right."""
    names = {file.name for file in made.files}
    return [
        f
        for f in known.get("files", [])
        if f["path"] not in names and (to / f["path"]).exists() and not (made.plan and _is_pass(f))
    ]


def _is_pass(entry: dict[str, Any]) -> bool:
    return PASS in entry["path"] or entry["path"].endswith(".plan.json")


def _old_passes(known: dict[str, Any], made: Made) -> dict[str, Any]:
    """Return the record's entries of passes that a new plan has replaced."""
    return {"files": [f for f in known.get("files", []) if made.plan and _is_pass(f)]}


def _clear(known: dict[str, Any], made: Made, to: Path) -> tuple[list[Path], list[Path]]:
    """Remove our files that hold old measures; leave those that were changed since."""
    names = {file.name for file in made.files}
    removed, left = [], []
    for entry in known.get("files", []):
        path = to / Path(entry["path"]).name
        if path.name in names or not path.is_file():
            continue
        if _sha256(path) == entry["sha256"]:
            path.unlink()
            removed.append(path)
        else:
            left.append(path)
    return removed, left


def _record(made: Made, kept: list[dict[str, Any]], known: dict[str, Any]) -> bytes:
    data = made_data(made)
    if made.plan is None and kept and "plan" in known:
        data["plan"] = known["plan"]  # its pass files are among those kept
    data["files"] = [*data["files"], *kept]
    data["pattern_sha256"] = pattern_sha256(made)
    return (json.dumps(data, ensure_ascii=False, indent=2) + "\n").encode()


def write_all(files: dict[Path, bytes]) -> None:
    """Write under temporary names, read back, then rename: an interruption leaves all or none."""
    parts = {path.with_name(f".{path.name}.part"): path for path in files}
    try:
        for part, path in parts.items():
            part.write_bytes(files[path])
            if part.read_bytes() != files[path]:
                raise Defect(
                    "other bytes on the disk than were written",
                    "a disk keeps what it is given",
                    "check the disk; nothing was delivered",
                    path.name,
                )
        _put_in_place(parts, files)
    finally:
        for part in parts:
            part.unlink(missing_ok=True)


def _put_in_place(parts: dict[Path, Path], files: dict[Path, bytes]) -> None:
    """Rename all; where another run renamed ours away, or its own over ours, say so."""
    try:
        _finish(
            [
                lambda part=part, path=path: os.replace(part, path)  # type: ignore[misc]
                for part, path in parts.items()
            ]
        )
        whole = all(path.read_bytes() == data for path, data in files.items())
    except FileNotFoundError:
        whole = False
    if not whole:
        raise FileError(
            "files that another run writes at the same time",
            "one run at a time works on a support",
            "wait until it has ended, then run again",
            next(iter(files)).parent.name,
        )


def _finish(steps: list[Callable[[], None]]) -> None:
    """Take all steps even when interrupted in between, then let the interruption through."""
    for i, step in enumerate(steps):
        try:
            step()
        except KeyboardInterrupt:
            _finish(steps[i:])
            raise


def _sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
