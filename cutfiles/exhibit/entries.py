"""The entries of an exhibit's supports: on disk, read one at a time, for they are long.

While a run is under way an entry stands in the journal, on a line of its own; once it has ended, in
the record, ``exhibit.json``. In memory stays where each begins, and what is asked of it often.
"""

import json
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, fields, replace
from pathlib import Path
from sys import intern
from typing import Any, cast

from cutfiles.dataclass import dataclass
from cutfiles.disk.files import add_line, line_at, lines
from cutfiles.errors import ChangedError, shown
from cutfiles.exhibit.results import SupportFacts, Teller, Told
from cutfiles.report.printed.labels import Label
from cutfiles.support.reuse import stood_from
from cutfiles.support.states import STATES

RECORD = "exhibit.json"
JOURNAL = ".exhibit.journal"
SUPPORTS = "supports"
_LONG = frozenset(one.name for one in fields(Told))
_NAMES = (
    *("width", "height", "gauge", "layers", "opening_angle", "left_slope", "right_slope"),
    *("left_rise", "right_rise", "cut", "score", "creases", "tape", "strap", "straps", "findings"),
    *("picture", "view", "labels", "dummy", "stood", "state", "way", "shape", "verdict", "posts"),
    "fell",
)
"""What an entry tells of a support, in this order."""
_PLAIN: dict[object, tuple[type, ...]] = {float: (int, float), int: (int,), str: (str,)}
"""As what a value of each kind is kept."""
_STRAP, _POST = (str, str, float, float, float), (str, float, float, int, str)
_WAY = (str, str, str, int)
"""Kinds of the values of a row, as `SupportFacts` tells them."""


def support_entry(facts: SupportFacts) -> dict[str, Any]:
    """Return what is kept of a support."""
    told = facts.told
    said = {name: getattr(told if name in _LONG else facts, name) for name in _NAMES}
    return {
        "key": facts.key,
        "files": dict(told.files),
        "findings": [],
        "facts": said | {"stood": asdict(told.stood)},
        "seconds": 0.0,
    }


def facts_from(entry: Mapping[str, Any], teller: Teller | None = None) -> SupportFacts:
    """Return what an entry tells of a support.

    Args:
        entry: of it.
        teller: of what is told at length; without one it is kept as the entry tells it.

    Raises:
        TypeError, KeyError, AttributeError, ValueError: it was edited, or is of another version.

    """
    told = told_from(entry)
    said = {name: one for name, one in entry["facts"].items() if name not in _LONG}
    facts = SupportFacts(
        **{
            **said,
            "straps": tuple(_row(strap, _STRAP) for strap in said["straps"]),
            "posts": tuple(_row(post, _POST) for post in said["posts"]),
            "way": _row(said["way"], _WAY),
        },
        key=entry["key"],
        teller=told,
    )
    for one in fields(SupportFacts):
        if one.type in _PLAIN and not isinstance(getattr(facts, one.name), _PLAIN[one.type]):
            raise TypeError(one.name)
    if facts.state not in STATES:
        raise ValueError(facts.state)
    return light(facts, teller or told)


def _row(row: Sequence[Any], kinds: Sequence[type]) -> tuple[Any, ...]:
    """Return a row of values of these kinds.

    Raises:
        TypeError: it has others, more or fewer.

    """
    kept = (*row,)
    if len(kept) != len(kinds):
        raise TypeError(row)
    for value, kind in zip(kept, kinds, strict=True):
        if not isinstance(value, _PLAIN[kind]):
            raise TypeError(row)
    return kept


def told_from(entry: Mapping[str, Any]) -> Told:
    """Return what an entry tells of a support at length."""
    facts = entry["facts"]
    if not isinstance(facts["picture"], str):
        raise TypeError("picture")
    return Told(
        findings=tuple(facts["findings"]),
        picture=facts["picture"],
        view=tuple((kind, tuple((x, y) for x, y in line)) for kind, line in facts["view"]),
        labels=tuple(Label(*label) for label in facts["labels"]),
        stood=stood_from(facts["stood"]),
        files=entry["files"],
    )


def light(facts: SupportFacts, teller: Teller) -> SupportFacts:
    """Return facts of which what is told at length stands elsewhere, and words but once."""
    film, construction, edges, posts = facts.way
    return replace(
        facts,
        straps=tuple((intern(one[0]), intern(one[1]), *one[2:]) for one in facts.straps),
        way=(intern(film), intern(construction), intern(edges), posts),
        verdict=intern(facts.verdict),
        teller=teller,
    )


@dataclass(frozen=True, slots=True)
class Stored:
    """Tells what the entry of a support tells, from disk.

    Attributes:
        entries: among which it stands.
        name: number of the support.
        key: checksum of all that its files depend on.

    """

    entries: "Entries"
    name: str
    key: str

    def told(self) -> Told:
        """Return what is told at length.

        Raises:
            FileError: the folder no longer holds it.

        """
        return told_from(self.entries.read(self.name, self.key))


class Entries:
    """Where on disk the entry of each support begins: in the journal, else in the record.

    Attributes:
        record: the file that a finished run leaves.
        journal: the file that is written while a run is under way.
        noted: by the name of a support, where its entry begins in the journal.
        recorded: the same in the record.
        seen: what the record was like (time, size, number of the file) when these were found;
            empty before it is read.

    """

    def __init__(self, folder: Path) -> None:
        whole = folder.absolute()  # it is read later too, whatever the working folder is then
        self.record, self.journal = whole / RECORD, whole / JOURNAL
        self.noted: dict[str, int] = {}
        self.recorded: dict[str, int] = {}
        self.seen: tuple[int, ...] = ()

    def note(self, name: str, facts: SupportFacts) -> SupportFacts:
        """Note a support in the journal; return it as it is told from there."""
        line = json.dumps([SUPPORTS, name, support_entry(facts)], ensure_ascii=False)
        self.noted[name] = add_line(self.journal, line)
        return light(facts, Stored(self, name, facts.key))

    def take(self, begins: dict[str, int]) -> None:
        """Take where entries begin in the record, as it was just read."""
        self.recorded, self.seen = begins, self._now()

    def before(self, end: int) -> Iterator[tuple[str, dict[str, Any]]]:
        """Yield names and entries of what earlier runs made, or were about to put in place.

        Args:
            end: of what they wrote in the journal.

        """
        if self.seen:
            yield from ((name, entry) for _, name, entry in entries_in(self.record))
        for begin, kind, name, entry in noted_in(self.journal):
            if begin >= end:
                return
            if kind == SUPPORTS:
                yield name, entry

    def end(self) -> None:
        """Look for nothing in the journal any more: all that it told stands in the record."""
        self.noted.clear()

    def read(self, name: str, key: str) -> dict[str, Any]:
        """Return the entry of a support.

        Raises:
            FileError: it does not stand there any more.

        """
        try:
            if name in self.noted:
                _, found, entry = json.loads(line_at(self.journal, self.noted[name]))
            else:
                self._look()
                _, found, entry = next(entries_in(self.record, self.recorded[name]))
            if (found, entry["key"]) == (name, key):
                return cast("dict[str, Any]", entry)
        except (OSError, ValueError, KeyError, TypeError, StopIteration):
            pass
        raise ChangedError(
            f"no entry of {shown(name)} as it was made",
            "what is told of a support at length is read from its exhibit's folder",
            "take what the last run gave, or run the exhibit again",
            os.fspath(self.record),
        )

    def _look(self) -> None:
        """Find where entries begin in the record, where it is another one than it was."""
        if self.seen != self._now():
            self.take({name: begin for begin, name, _ in entries_in(self.record)})

    def _now(self) -> tuple[int, ...]:
        info = os.stat(self.record)
        return info.st_mtime_ns, info.st_size, info.st_ino


# -- the journal, and the record entry by entry ----------------------------------------------------


def noted_in(journal: Path) -> Iterator[tuple[int, str, str, dict[str, Any]]]:
    """Yield what a run noted: where, kind, name, entry; a line that was cut off is left out."""
    for begin, line in lines(journal):
        try:
            kind, name, entry = json.loads(line)
            if isinstance(kind, str) and isinstance(name, str) and isinstance(entry["files"], dict):
                yield begin, kind, name, entry
        except (ValueError, KeyError, TypeError, RecursionError):
            continue


def own_files(entry: Mapping[str, Any]) -> dict[str, str]:
    """Return the files of an entry: names in their folder, and checksums."""
    return {os.path.basename(file): checksum for file, checksum in entry["files"].items()}


_OPEN, _ENTRY, _MORE = b'  "supports":{\n', b'   "', (b"    ", b"   }")
"""How lines begin that open the supports of a record, begin an entry, go on with it."""
_DECODER = json.JSONDecoder()


def entries_in(
    record: Path, begin: int = 0, rest: bytearray | None = None
) -> Iterator[tuple[int, str, dict[str, Any]]]:
    """Yield where in a record the entry of each support begins, its name, and it.

    Args:
        record: as we write it (`files.record`), an entry on lines of its own; of one that is laid
            out otherwise nothing is yielded.
        begin: where the first entry begins that is wanted; 0 for all.
        rest: takes the record without them: 0 stands for each.

    Raises:
        ValueError: an entry is no JSON.

    """
    for at, text, is_entry in _blocks(record, begin):
        left = text
        if is_entry:
            line = text.decode()
            name, end = _DECODER.raw_decode(line, len(_ENTRY) - 1)
            entry, end = _DECODER.raw_decode(line, end + 1)
            yield at, name, entry
            left = f"{json.dumps(name)}:0{line[end:]}".encode()
        if rest is not None:
            rest += left


def _blocks(record: Path, begin: int) -> Iterator[tuple[int, bytes, bool]]:
    """Yield the lines of a record, those of an entry as one, and whether they are one."""
    at, inside, own = begin, begin > 0, b""
    with record.open("rb") as file:
        file.seek(begin)
        for line in file:
            if own and line.startswith(_MORE):
                own += line
                continue
            if own:
                yield at, own, True
                at, own = at + len(own), b""
            if inside := line == _OPEN or (inside and line.startswith(_ENTRY)):
                own = line if line != _OPEN else b""
            if not own:
                yield at, line, False
                at += len(line)
        if own:
            yield at, own, True
