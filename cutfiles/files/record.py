"""The record that lies beside files, and what it says of each: one shape for all that is made.

``{"files": [{"path", "format", "sha256", "verified"}], "plan": {...}}``, the plan with a cutter; a
support's record, ``NUMBER.json``, tells the support as well.
"""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
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


class Long(NamedTuple):
    """Many entries that are written one by one.

    Attributes:
        entries: by name, or in order; they may be long themselves.
        said: returns an entry as plain data when its turn comes.

    """

    entries: Mapping[str, Any] | Sequence[Any]
    said: Callable[[Any], Any] = lambda one: one

    @property
    def told(self) -> Iterator[tuple[str, Any]]:
        """Each entry as it is written, after its name as that is written."""
        if isinstance(self.entries, Mapping):
            for name, one in self.entries.items():
                yield json.dumps(name, ensure_ascii=False) + ":", self.said(one)
        else:
            yield from (("", self.said(one)) for one in self.entries)

    @property
    def signs(self) -> tuple[str, str]:
        """What it begins and ends with."""
        return ("{", "}") if isinstance(self.entries, Mapping) else ("[", "]")


def record_parts(values: Mapping[str, Any] | Long) -> Iterator[bytes]:
    """Yield what `record_bytes` gives, part by part: no more than one entry is in memory as text.

    >>> b"".join(record_parts({"made": Long({"A1": 1.5, "A2": 2.5}, round), "left": Long([])}))
    b'{"made":{"A1":2,"A2":2},"left":[]}\\n'
    """
    for text in _parts(values if isinstance(values, Long) else Long(values), 0):
        yield text.encode()
    yield b"\n"


def _parts(value: Any, depth: int) -> Iterator[str]:
    if not isinstance(value, Long):
        yield _lines(value, depth)
    elif (short := _short(value, _LINE - depth)) is not None:
        yield short
    else:
        yield from _broken(value, depth)


def _broken(value: Long, depth: int) -> Iterator[str]:
    """Yield entries as text, each on lines of its own."""
    (before, last), apart = value.signs, "\n" + " " * (depth + 1)
    for name, one in value.told:
        yield before + apart + name
        yield from _parts(one, depth + 1)
        before = ","
    yield "\n" + " " * depth + last


def _short(value: Any, room: int) -> str | None:
    """Return a value as text on one line; None where it is longer than there is room."""
    if isinstance(value, Long):
        parts: list[str] = []
        for name, one in value.told:
            text = _short(one, room - sum(map(len, parts)))
            if text is None:
                return None
            parts.append(name + text)
        first, last = value.signs
        short = f"{first}{','.join(parts)}{last}"
    else:
        short = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return short if len(short) <= room else None


def _lines(value: Any, depth: int) -> str:
    """Return data as text, broken where it is longer than a line."""
    short = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    if len(short) + depth <= _LINE or not isinstance(value, dict | list | tuple):
        return short
    return "".join(_broken(Long(value), depth))


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
