"""Decides whether a file may be sent: unchanged since it was made and compared, and on the bed."""

from pathlib import Path
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.disk.refusals import refuse_device
from cutfiles.disk.system import sum_of
from cutfiles.errors import FileError, FormatError, reason
from cutfiles.files.readers.reading import Reading
from cutfiles.files.record import recorded
from cutfiles.machine.cutter import Cutter, profile_sha256
from cutfiles.machine.endings import ALIGNED, PASS
from cutfiles.machine.formats import FORMATS, Wire
from cutfiles.machine.place import machine_corners
from cutfiles.version import VERSION


@dataclass(frozen=True, slots=True)
class Job:
    """A file that may be sent.

    Attributes:
        name: of the file.
        wire: how its format is sent.
        data: its bytes.
        reading: what it states.
        before: names of the passes that its sheet must have had before it, in their order.

    """

    name: str
    wire: Wire
    data: bytes
    reading: Reading
    before: tuple[str, ...] = ()


def check_job(path: str | Path, cutter: Cutter) -> Job:
    """Return a file that may be sent to a cutter.

    Raises:
        FileError: it has no record, was changed since it was made, was not compared, was made by
            another version or for another cutter, or is no file a machine reads.
        FormatError: it does not fit the bed.

    """
    file = Path(path)
    try:
        refuse_device(file, "a pass file is a file", file.name)
        data = file.read_bytes()
    except OSError as error:
        raise _stale(reason(error), "a file that can be read", file.name) from None
    found = recorded(file)
    if found is None:
        raise _stale("a file without a record", "the record NUMBER.json lies beside it", file.name)
    _, entry, record = found
    if sum_of(data) != entry.get("sha256"):
        raise _stale(
            "a file that was changed since it was made",
            "its checksum is the one in its record",
            file.name,
        )
    if entry.get("verified") is not True:
        raise _stale(
            "a file that was never compared", "what is sent was read back and compared", file.name
        )
    form = FORMATS.get(str(entry.get("format")))
    if form is None or form.wire is None:
        titles = " or ".join(row.title for row in FORMATS.values() if row.wire)
        raise FileError(
            f"the format {entry.get('format')}",
            f"a machine reads {titles}",
            "open this file in the machine's own program",
            file.name,
        )
    reading: Reading = form.read(data)
    _check_origin(file.name, reading, record, cutter)
    _check_bed(file.name, reading, max(form.step, form.curve), cutter)
    return Job(file.name, form.wire, data, reading, _before(file.name, entry, record))


def _before(name: str, entry: dict[str, Any], record: dict[str, Any]) -> tuple[str, ...]:
    """Return the files of the passes that come before this one in its plan."""
    stem = name[: name.rindex(PASS)] if PASS in name else name
    paths = [one["path"] for one in record["files"] if one.get("format") == entry["format"]]
    passes = [f"{stem}.{one['name']}." for one in record.get("plan", {}).get("passes", ())]
    mine = next((i for i, start in enumerate(passes) if name.startswith(start)), 0)
    return tuple(
        path
        for start in passes[:mine]
        for path in paths
        if path.startswith(start) and ALIGNED not in path
    )


def _check_origin(name: str, reading: Reading, record: dict[str, Any], cutter: Cutter) -> None:
    made_by = reading.facts.get("made by", "")
    if made_by != f"cutfiles {VERSION}":
        raise _stale(f'a file made by "{made_by}"', f"this is cutfiles {VERSION}", name)
    made_for = reading.facts.get("cutter")
    if made_for is None:
        raise _stale("a file made for no cutter", "pass files are sent, made for a cutter", name)
    profile = record.get("plan", {}).get("profile_sha256")
    if made_for != cutter.name or profile != profile_sha256(cutter):
        changed = "the profile was changed since" if made_for == cutter.name else "not for this one"
        raise _stale(
            f'a file made for "{made_for}", {changed}',
            f'what is sent is made for "{cutter.name}", as its profile is now',
            name,
        )


def _check_bed(name: str, reading: Reading, slack: float, cutter: Cutter) -> None:
    corners = machine_corners(cutter.bed)
    low = (min(x for x, _ in corners), min(y for _, y in corners))
    high = (max(x for x, _ in corners), max(y for _, y in corners))
    places = [place for path in reading.paths for place in path.points]
    for axis, letter in enumerate("xy"):
        least, most = min(p[axis] for p in places), max(p[axis] for p in places)
        if least < low[axis] - slack or most > high[axis] + slack:
            raise FormatError(
                f"{letter} from {least:.1f} to {most:.1f} mm",
                f"the tool reaches {low[axis]:.1f} to {high[axis]:.1f} mm",
                "make it again for this cutter",
                name,
            )


def _stale(found: str, needed: str, name: str) -> FileError:
    return FileError(found, needed, "make it again for this cutter", name, "make-passes")
