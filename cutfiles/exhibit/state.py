"""What an exhibit remembers from run to run: what it made, from what, with which checksums.

``exhibit.json`` is written last, when all else is on disk. Until then each finished support and
sheet is noted in a journal, a line each, so that a run killed at any point is taken up by the next.
"""

import json
import os
from collections.abc import Collection, Iterator, Mapping
from dataclasses import field, replace
from itertools import count
from pathlib import Path
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.disk.files import add_line, remove
from cutfiles.disk.names import folded
from cutfiles.disk.sets import Sums
from cutfiles.disk.system import state
from cutfiles.errors import FileError
from cutfiles.exhibit.changes import Before
from cutfiles.exhibit.compared import Compared, compared_data, compared_from
from cutfiles.exhibit.entries import (
    RECORD,
    SUPPORTS,
    Entries,
    Stored,
    entries_in,
    facts_from,
    noted_in,
    own_files,
    support_entry,
)
from cutfiles.exhibit.plan import ExhibitPlan
from cutfiles.exhibit.results import SupportFacts
from cutfiles.exhibit.sheets import sheets_data, sheets_from
from cutfiles.exhibit.work import Done
from cutfiles.files.record import OWN_RECORD, Long, record_parts, record_sums, values_of

BOOKED = "booked"
Kind = str
"""``supports``, ``sheets`` or ``lists``: the folder's files by what they are."""
LISTS = "lists"
"""Kind of what is made of an exhibit as a whole, and the name of all but its prints."""
FOLDERS = {SUPPORTS: "supports", "sheets": "sheets", LISTS: ""}


class Known:
    """What earlier runs made: by kind and name the key, the files, and what tables need.

    Attributes:
        entries: of supports, on disk.
        supports: that were finished, by number, the newest of each.
        others: sheets and lists that were finished, by kind and name, the newest of each.
        sums: every checksum by which a file is ours; of supports none that can be read again.
        begun: how much of the journal earlier runs wrote.
        before: what the last finished run left; one that was cut off changes nothing of it.
        booked: the name the exhibit's film is booked by, empty before it is.

    """

    def __init__(self, folder: Path) -> None:
        self.entries, self.supports = Entries(folder), dict[str, SupportFacts]()
        self.others: dict[Kind, dict[str, Done]] = {kind: {} for kind in FOLDERS}
        self.sums: dict[Kind, dict[str, dict[str, set[str]]]] = {kind: {} for kind in FOLDERS}
        self.begun, self.before, self.booked = 0, Before(), ""

    def take_record(self) -> None:
        """Take in what the last finished run left; of supports the long part stays where it is.

        Raises:
            ValueError, KeyError, TypeError, AttributeError, RecursionError, OSError: the record is
                none of ours.

        """
        data = self._streamed()
        if data is None:  # not laid out as we write it: it is held whole, until it is written anew
            self.supports.clear()
            data = json.loads(self.entries.record.read_text(encoding="utf-8"))
        for kind in FOLDERS:
            for name, entry in data["made"][kind].items():
                self.add(kind, name, entry)
        self.before = _before(data, self.supports)
        self.booked = self.before.name

    def _streamed(self) -> dict[str, Any] | None:
        """Take in the supports of the record one by one; return the rest of it.

        None where the record is laid out otherwise than we write it.
        """
        found, rest = dict[str, int](), bytearray()
        try:
            for begin, name, entry in entries_in(self.entries.record, rest=rest):
                own_files(entry)
                self._add_support(name, entry, stored=True)
                found[name] = begin
            data: dict[str, Any] = json.loads(rest.decode())
        except ValueError:
            return None
        if data["made"][SUPPORTS] != dict.fromkeys(found, 0):
            return None
        self.entries.take(found)
        return data | {"made": data["made"] | {SUPPORTS: {}}}

    def take_journal(self) -> None:
        """Take in what a run that was cut off had finished; its last line may be cut off too."""
        journal = self.entries.journal
        if not os.path.lexists(journal):
            return
        self.supports = {**self.supports}  # what the last finished run left stays as it was
        for begin, kind, name, entry in noted_in(journal):
            if kind == BOOKED:
                self.booked = name
            elif kind == SUPPORTS:
                if self._add_support(name, entry, stored=True):
                    self.entries.noted[name] = begin
            elif kind in FOLDERS:
                self.add(kind, name, entry)
        self.begun = journal.stat().st_size

    def add(self, kind: Kind, name: str, entry: Mapping[str, Any]) -> None:
        """Take in what was made, or was about to be put in place: both are ours."""
        if kind == SUPPORTS:
            self._add_support(name, entry)
        elif "key" in entry:
            self.others[kind][name] = _done(name, entry)
        known = self.sums[kind].setdefault(name, {})
        for file, checksum in own_files(entry).items():
            known.setdefault(file, set()).add(checksum)

    def _add_support(self, name: str, entry: Mapping[str, Any], *, stored: bool = False) -> bool:
        """Take in a support; return whether it was finished, and its entry holds what is needed."""
        try:
            teller = Stored(self.entries, name, entry["key"]) if stored else None
            self.supports[name] = facts_from(entry, teller)
        except (TypeError, KeyError, AttributeError, ValueError):
            return False
        return True

    def files(self, kind: Kind, name: str) -> Sums:
        """Return names and checksums of the files of one sheet or list."""
        return self.sums[kind].get(name, {})

    def own(self, kind: Kind) -> Sums:
        """Return names and checksums of the files of all sheets, or of all lists."""
        own: dict[str, set[str]] = {}
        for sums in self.sums[kind].values():
            for file, known in sums.items():
                own.setdefault(file, set()).update(known)
        return own

    def every(self) -> Iterator[tuple[Kind, str, Sums]]:
        """Yield kind, name and files of all that is ours; one may come several times."""
        for kind, found in self.sums.items():
            for name, sums in found.items():
                yield kind, name, sums
        for name, entry in self.entries.before(self.begun):
            yield SUPPORTS, name, {file: (one,) for file, one in own_files(entry).items()}

    def unchanged(self, kind: Kind, name: str, key: str, folder: Path) -> Done | None:
        """Return what was made before, if it was made from the same and is on disk as made."""
        if kind == SUPPORTS:
            facts = self.supports.get(name)
            done = None if facts is None else Done(name=name, key=facts.key, facts=facts)
        else:
            facts, done = None, self.others[kind].get(name)
        if done is None or done.key != key:
            return None
        files = done.files if facts is None else facts.files
        try:
            same = all(state(folder / file).holds(checksum) for file, checksum in files.items())
        except OSError:
            return None
        return done if same else None

    def cut_sheet(self, name: str, folder: Path) -> Done:
        """Return a sheet that is cut as it was made; what became of its files since is told.

        What was aligned since belongs to it, and stays too.
        """
        done = self.others["sheets"][name]
        own, record = self.files("sheets", name), name + OWN_RECORD
        now = {file: state(folder / file) for file in {**done.files, **own}}
        gone = tuple(
            f"{file} is no longer as it was cut"
            for file, checksum in done.files.items()
            if file != record and not now[file].holds(checksum)
        )
        since = {file: now[file].digest for file, sums in own.items() if now[file].known(sums)}
        files = {**done.files, **since}
        return replace(done, files=files, findings=(*done.findings, *gone))


def load(folder: Path) -> Known:
    """Return what earlier runs made in a folder.

    Raises:
        FileError: the folder holds an ``exhibit.json`` that is none of ours.

    """
    known = Known(folder)
    record = folder / RECORD
    if os.path.lexists(record):
        try:
            if record.is_symlink():
                raise ValueError
            known.take_record()
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError, OSError):
            raise FileError(
                "a file that is not the record of an exhibit",
                "it must be one we wrote",
                "name another folder, or move it away",
                RECORD,
            ) from None
    known.take_journal()
    for name in known.sums["sheets"]:  # passes aligned since stand in the sheet's own record
        _add_recorded(known, folder / FOLDERS["sheets"], name)
    return known


def _add_recorded(known: Known, folder: Path, name: str) -> None:
    """Take in what the record beside a sheet knows, and the record as it stands now."""
    record = folder / (name + OWN_RECORD)
    values = values_of(record)
    if values:
        sums = {file: one for file, (one,) in record_sums(values).items()}
        known.add("sheets", name, {"files": sums | {record.name: state(record).digest}})


def _before(data: Mapping[str, Any], supports: Mapping[str, SupportFacts]) -> Before:
    """Return what the last finished run left; of an older program's, no more than its name."""
    if "sheets" not in data:
        return Before(name=str(data["exhibit"]), last=len(data["made"]["sheets"]))
    return Before(
        facts=supports,
        sheets=sheets_from(data["sheets"]),
        said=tuple(map(str, data["changes"])),
        rules=str(data["rules"]),
        name=str(data["booked"]),
        last=int(data["last"]),
        waste=frozenset((int(n), str(name), str(shape)) for n, name, shape in data["waste"]),
        saved=compared_from(data["saved"]) if "saved" in data else Compared(),
    )


def booked_name(known: Known, plan: ExhibitPlan) -> str:
    """Return the name an exhibit's film is booked by: of its first run, and of no other exhibit."""
    if known.booked:
        return known.booked
    taken = {one.by for one in plan.at_hand.taken}
    names = (plan.name if n == 1 else f"{plan.name} ({n})" for n in count(1))
    return next(name for name in names if name not in taken)


def note_booked(journal: Path, name: str) -> None:
    """Note the name film is booked by, before it is: a run killed then, the next books it so."""
    add_line(journal, json.dumps([BOOKED, name, {"files": {}}], ensure_ascii=False))


def note(known: Known, kind: Kind, done: Done) -> Done:
    """Note a finished support, sheet or list; return it, what is long of a support left on disk."""
    if done.facts is not None:
        return replace(done, facts=known.entries.note(done.name, done.facts), files={})
    line = json.dumps([kind, done.name, entry_of(done)], ensure_ascii=False)
    add_line(known.entries.journal, line)
    return done


def entry_of(done: Done) -> dict[str, Any]:
    """Return what is kept of a finished sheet or list."""
    return {
        "key": done.key,
        "files": dict(done.files),
        "findings": list(done.findings),
        "facts": None,
        "seconds": done.seconds,
    }


def _done(name: str, entry: Mapping[str, Any]) -> Done:
    return Done(
        name=name,
        key=entry["key"],
        files=entry["files"],
        findings=tuple(entry.get("findings", ())),
        seconds=float(entry.get("seconds", 0.0)),
    )


@dataclass(frozen=True, slots=True)
class Made:
    """What a run made, or found as it was: by the numbers of supports, by kind and name."""

    supports: dict[str, SupportFacts] = field(default_factory=dict)
    sheets: dict[str, Done] = field(default_factory=dict)
    lists: dict[str, Done] = field(default_factory=dict)


def record_of(name: str, made: Made, left: Before) -> Iterator[bytes]:
    """Return the record of a finished run, part by part.

    Args:
        name: of the exhibit.
        made: what was made.
        left: what the run leaves to the next; facts stand in the entries.

    """
    data = {
        "exhibit": name,
        "booked": left.name,
        "last": left.last,
        "rules": left.rules,
        "changes": left.said,
        "waste": sorted(left.waste),
        "sheets": sheets_data(left.sheets),
        "saved": compared_data(left.saved),
    }
    kinds = {
        SUPPORTS: Long(made.supports, support_entry),
        "sheets": Long(made.sheets, entry_of),
        LISTS: Long(made.lists, entry_of),
    }
    return record_parts(data | {"made": Long(kinds)})


def clear_stale(known: Known, current: Made, folder: Path) -> tuple[list[str], list[str]]:
    """Remove our files that hold what is no longer so; leave those that were changed since.

    Returns:
        Paths below the folder of the files removed and of those left.

    """
    removed: list[str] = []
    left: list[str] = []
    for kind, stale in _outdated(known, current).items():
        place, kept = folder / FOLDERS[kind], _kept(current, kind, stale)
        same = {folded(file): file for file in kept}
        for file, sums in stale.items():
            twin = same.get(folded(file))
            if file in kept or state(place / file).kind in ("nothing", "folder"):
                continue
            if twin and os.path.exists(place / twin) and (place / file).samefile(place / twin):
                continue  # one file under two spellings
            told = removed if remove(place / file, sums) else left
            told.append(str(Path(FOLDERS[kind]) / file))
    return sorted(removed), sorted(left)


def _outdated(known: Known, current: Made) -> dict[Kind, dict[str, set[str]]]:
    """Return files that were made for what has no such file now, by kind, with their checksums."""
    stale: dict[Kind, dict[str, set[str]]] = {kind: {} for kind in FOLDERS}
    for kind, name, files in known.every():
        own = _files_of(current, kind, name)
        for file in files.keys() - own.keys():
            stale[kind].setdefault(file, set()).update(files[file])
    return stale


def _kept(current: Made, kind: Kind, stale: Collection[str]) -> set[str]:
    """Return the files there are now of names that are spelled as these, one way or another."""
    if not stale:
        return set()
    spelled, names = {*map(folded, stale)}, getattr(current, kind)
    every = (file for name in names for file in _files_of(current, kind, name))
    return {file for file in every if folded(file) in spelled}


def _files_of(current: Made, kind: Kind, name: str) -> Mapping[str, str]:
    """Return the files of one support, sheet or list as it is now, if there is one."""
    one = getattr(current, kind).get(name)
    return one.files if one is not None else {}
