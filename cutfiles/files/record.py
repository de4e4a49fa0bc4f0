"""The record that lies beside files, and what it says of each: one shape for all that is made.

``{"files": [{"path", "format", "sha256", "verified"}], "plan": {...}}``, the plan with a cutter; a
support's record, ``NUMBER.json``, tells the support as well.
"""

import json
from pathlib import Path
from typing import Any, NamedTuple

from cutfiles.disk.names import is_plain
from cutfiles.disk.system import state
from cutfiles.machine.endings import PLAN

RECORD = ".json"
"""What follows the number of a support in the name of its record."""
OWN_RECORD = ".files.json"
"""What follows the name of what is no support: a coupon, a sheet of an exhibit, one pass."""
OF_PLAN = "plan_sha256"
"""Key of the checksum of the plan that an aligned pass was made from."""
MARKS = "marks"
"""The format of tables to fill in: one that people have written into stays theirs."""

_LINE = 480
"""Longest line of a record that is not broken: one file, one way to make a support."""


class Recorded(NamedTuple):
    """A file as a record tells it.

    Attributes:
        path: of the record.
        entry: of the file in it.
        values: all that the record holds.

    """

    path: Path
    entry: dict[str, Any]
    values: dict[str, Any]


def values_of(path: Path) -> dict[str, Any]:
    """Return what a record holds, empty where there is none or it is no record.

    Only entries of files that lie beside it count.
    """
    try:
        if state(path).other:
            return {}
        values = json.loads(path.read_text(encoding="utf-8"))
        entries = values["files"]
        if not all(isinstance(e["path"], str) and isinstance(e["sha256"], str) for e in entries):
            return {}
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return {}
    return {**values, "files": [entry for entry in entries if is_plain(entry["path"])]}


def recorded(file: Path) -> Recorded | None:
    """Return what the records beside a file say of it; None where none knows it."""
    for path in sorted(file.parent.glob(f"*{RECORD}")):
        if path.name.endswith(PLAN):
            continue
        values = values_of(path)
        for entry in values.get("files", ()):
            if entry["path"] == file.name:
                return Recorded(path, entry, values)
    return None


def record_sums(values: dict[str, Any]) -> dict[str, tuple[str, ...]]:
    """Return the checksums by which a record knows its files."""
    return {entry["path"]: (entry["sha256"],) for entry in values.get("files", ())}


def record_bytes(values: Any) -> bytes:
    """Return a record, or any data, as it is written: what fits stands on one line.

    One space a level and one line a number would be a third of the bytes.

    >>> print(record_bytes({"number": "A1", "sizes": [[1.5, 2], []]}).decode(), end="")
    {"number":"A1","sizes":[[1.5,2],[]]}
    """
    return f"{_lines(values, 0)}\n".encode()


def _lines(value: Any, depth: int) -> str:
    """Return data as text, broken where it is longer than a line."""
    short = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    if len(short) + depth <= _LINE or not isinstance(value, dict | list | tuple):
        return short
    if isinstance(value, dict):
        named = ((json.dumps(key, ensure_ascii=False), one) for key, one in value.items())
        parts = [f"{key}:{_lines(one, depth + 1)}" for key, one in named]
    else:
        parts = [_lines(one, depth + 1) for one in value]
    begin, end = "{}" if isinstance(value, dict) else "[]"
    apart = "\n" + " " * (depth + 1)
    return begin + apart + f",{apart}".join(parts) + "\n" + " " * depth + end


class FilledIn(NamedTuple):
    """Tables that people have filled in since they were made: names of those that stay as they are.

    Attributes:
        same: of which the same table would be made again.
        old: of which another would be made: they belong to other measures.

    """

    same: frozenset[str]
    old: frozenset[str]


def filled_in(
    folder: Path, values: dict[str, Any], made: dict[str, str], *, replace: bool = False
) -> FilledIn:
    """Return which tables people have filled in since.

    Args:
        folder: where they lie.
        values: of the record of an earlier run.
        made: name to checksum of the files of this run.
        replace: those of other measures are written anew.

    """
    same, old = set(), set()
    for entry in values.get("files", ()):
        name = entry["path"]
        now = state(folder / name) if entry.get("format") == MARKS else None
        new = made.get(name)
        if now is None or now.kind != "file" or new is None or now.known((entry["sha256"], new)):
            continue
        if new == entry["sha256"]:
            same.add(name)
        elif not replace:
            old.add(name)
    return FilledIn(frozenset(same), frozenset(old))
