"""What an exhibit remembers from run to run: what it made, from what, with which checksums.

``exhibit.json`` is written last, when all else is on disk. Until then each finished support and
sheet is noted in a journal, a line each, so that a run killed at any point is taken up by the next.
"""

import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import asdict, field, fields, replace
from itertools import count
from pathlib import Path
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.disk.files import add_line, lines, remove
from cutfiles.disk.names import folded
from cutfiles.disk.sets import Sums
from cutfiles.disk.system import state
from cutfiles.errors import FileError
from cutfiles.exhibit.changes import Before
from cutfiles.exhibit.plan import ExhibitPlan
from cutfiles.exhibit.results import SupportFacts
from cutfiles.exhibit.sheets import sheets_data, sheets_from
from cutfiles.exhibit.work import Done
from cutfiles.files.record import OWN_RECORD, Long, record_parts, record_sums, values_of
from cutfiles.report.printed.labels import Label
from cutfiles.support.reuse import stood_from

RECORD = "exhibit.json"
JOURNAL = ".exhibit.journal"
BOOKED = "booked"
Kind = str
"""``supports``, ``sheets`` or ``lists``: the folder's files by what they are."""
FOLDERS = {"supports": "supports", "sheets": "sheets", "lists": ""}


@dataclass(slots=True)
class Known:
    """What earlier runs made: by kind and name the key, the files, and what tables need.

    Attributes:
        entries: of what was finished, the newest of each name.
        sums: every checksum by which a file is ours.
        before: what the last finished run left; one that was cut off changes nothing of it.
        booked: the name the exhibit's film is booked by, empty before it is.

    """

    entries: dict[Kind, dict[str, dict[str, Any]]] = field(
        default_factory=lambda: {kind: {} for kind in FOLDERS}
    )

    sums: dict[Kind, dict[str, dict[str, set[str]]]] = field(
        default_factory=lambda: {kind: {} for kind in FOLDERS}
    )
    before: Before = field(default_factory=Before)
    booked: str = ""

    def add(self, kind: Kind, name: str, entry: Mapping[str, Any]) -> None:
        """Take in what was made, or was about to be put in place: both are ours."""
        if "key" in entry and _is_sound(entry):
            self.entries[kind][name] = dict(entry)
        known = self.sums[kind].setdefault(name, {})
        for file, checksum in entry["files"].items():
            known.setdefault(os.path.basename(file), set()).add(checksum)

    def files(self, kind: Kind, name: str) -> Sums:
        """Return names and checksums of the files of one support, sheet or list."""
        return self.sums[kind].get(name, {})

    def unchanged(self, kind: Kind, name: str, key: str, folder: Path) -> Done | None:
        """Return what was made before, if it was made from the same and is on disk as made."""
        entry = self.entries[kind].get(name)
        if entry is None or entry.get("key") != key:
            return None
        for file, checksum in entry["files"].items():
            try:
                if not state(folder / file).holds(checksum):
                    return None
            except OSError:
                return None
        return _done(name, entry)

    def cut_sheet(self, name: str, folder: Path) -> Done:
        """Return a sheet that is cut as it was made; what became of its files since is told.

        What was aligned since belongs to it, and stays too.
        """
        done = _done(name, self.entries["sheets"][name])
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
    known = Known()
    record = folder / RECORD
    if os.path.lexists(record):
        try:
            if record.is_symlink():
                raise ValueError
            data = json.loads(record.read_text(encoding="utf-8"))
            for kind in FOLDERS:
                for name, entry in data["made"][kind].items():
                    known.add(kind, name, entry)
            known.before = _before(data, known)
            known.booked = known.before.name
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError, OSError):
            raise FileError(
                "a file that is not the record of an exhibit",
                "it must be one we wrote",
                "name another folder, or move it away",
                RECORD,
            ) from None
    for kind, name, entry in _journal(folder):
        if kind == BOOKED:
            known.booked = name
        else:
            known.add(kind, name, entry)
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


def _before(data: Mapping[str, Any], known: Known) -> Before:
    """Return what the last finished run left; of an older program's, no more than its name."""
    if "sheets" not in data:
        return Before(name=str(data["exhibit"]), last=len(data["made"]["sheets"]))
    return Before(
        facts={n: one["facts"] for n, one in known.entries["supports"].items() if one["facts"]},
        sheets=sheets_from(data["sheets"]),
        said=tuple(map(str, data["changes"])),
        rules=str(data["rules"]),
        name=str(data["booked"]),
        last=int(data["last"]),
        waste=frozenset((int(n), str(name), str(shape)) for n, name, shape in data["waste"]),
    )


def _journal(folder: Path) -> Iterator[tuple[Kind, str, dict[str, Any]]]:
    """Yield what a run that was cut off had finished; its last line may be cut off too."""
    for line in lines(folder / JOURNAL):
        try:
            kind, name, entry = json.loads(line)
            if kind in (*FOLDERS, BOOKED) and isinstance(entry["files"], dict):
                yield kind, name, entry
        except (ValueError, KeyError, TypeError, RecursionError):
            continue


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


def note(journal: Path, kind: Kind, done: Done) -> None:
    """Note a finished support or sheet."""
    add_line(journal, json.dumps([kind, done.name, entry_of(done)], ensure_ascii=False))


def entry_of(done: Done) -> dict[str, Any]:
    """Return what is kept of a finished task."""
    facts = None if done.facts is None else asdict(done.facts)
    if facts is not None:
        del facts["files"]
    return {
        "key": done.key,
        "files": dict(done.files),
        "findings": list(done.findings),
        "facts": facts,
        "seconds": done.seconds,
    }


def _is_sound(entry: Mapping[str, Any]) -> bool:
    """Whether an entry holds what tables need; one that was edited, or of another version, not."""
    try:
        facts = _done("", entry).facts
    except (TypeError, KeyError, AttributeError, ValueError):
        return False
    plain: dict[object, tuple[type, ...]] = {float: (int, float), int: (int,), str: (str,)}
    return facts is None or all(
        isinstance(getattr(facts, one.name), plain[one.type])
        for one in fields(SupportFacts)
        if one.type in plain
    )


def _done(name: str, entry: Mapping[str, Any]) -> Done:
    facts = entry.get("facts")
    if facts is not None:
        facts = SupportFacts(
            **{
                **facts,
                "findings": tuple(facts["findings"]),
                "straps": tuple((*strap,) for strap in facts["straps"]),
                "posts": tuple((*post,) for post in facts["posts"]),
                "way": (*facts["way"],),
                "stood": stood_from(facts["stood"]),
                "labels": tuple(Label(*label) for label in facts["labels"]),
                "view": tuple(
                    (kind, tuple((x, y) for x, y in line)) for kind, line in facts["view"]
                ),
                "files": entry["files"],
            }
        )
    return Done(
        name=name,
        key=entry["key"],
        facts=facts,
        files=entry["files"],
        findings=tuple(entry.get("findings", ())),
        seconds=float(entry.get("seconds", 0.0)),
    )


Made = Mapping[Kind, Mapping[str, Done]]
"""What was made, by kind and name."""


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
    }
    kinds = {kind: Long(done, entry_of) for kind, done in made.items()}
    return record_parts(data | {"made": Long(kinds)})


def clear_stale(known: Known, current: Made, folder: Path) -> tuple[list[str], list[str]]:
    """Remove our files that hold what is no longer so; leave those that were changed since.

    Returns:
        Paths below the folder of the files removed and of those left.

    """
    removed: list[str] = []
    left: list[str] = []
    for kind, where in FOLDERS.items():
        place = folder / where
        kept = {file for done in current[kind].values() for file in done.files}
        same = {folded(file): file for file in kept}
        for file, sums in (one for name in known.sums[kind].values() for one in name.items()):
            twin = same.get(folded(file))
            if file in kept or state(place / file).kind in ("nothing", "folder"):
                continue
            if twin and os.path.exists(place / twin) and (place / file).samefile(place / twin):
                continue  # one file under two spellings
            told = removed if remove(place / file, sums) else left
            told.append(str(Path(where) / file))
    return sorted(removed), sorted(left)
