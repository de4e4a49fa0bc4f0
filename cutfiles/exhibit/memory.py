"""The supports a workshop has made, kept in a file of its own: which of them a book fits.

JSON, one entry a support that was folded: of which exhibit, how far it is, and as it stands. A run
of an exhibit brings its own entries up to date, and touches no other's.
"""

import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict
from typing import Any

from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.disk.files import update, write_new
from cutfiles.disk.system import sum_of
from cutfiles.errors import FileError, Place
from cutfiles.exhibit.results import ExhibitResult, SupportResult
from cutfiles.exhibit.stages import Stage
from cutfiles.support.reuse import Fit, Stood, fit_of, shared, stood_from
from cutfiles.tables.load import Wanted, read_summed

MADE: tuple[Stage, ...] = ("folded", "proved", "installed", "withdrawn")
"""How far a support is that lies or stands somewhere."""
MEMORY_FILE = Wanted(
    "a memory of supports",
    "the memory of the supports made",
    "check its name and folder, or name a new file",
    "name the file that the program wrote",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One support that was made.

    Attributes:
        piece: checksum of what was cut for it.
        title: of the book it was made for.
        stage: how far it is.
        date: of that, as written.
        film: it is made of.
        stood: as it stands.

    """

    piece: str
    title: str
    stage: str
    date: str
    film: str
    stood: Stood

    @property
    def key(self) -> tuple[str, str, str]:
        """What makes two entries one and the same support."""
        return self.stood.exhibit, self.stood.number, self.piece


@dataclass(frozen=True, slots=True)
class Memory:
    """All supports kept in mind, and the checksum of their file; empty where there is none."""

    kept: tuple[Kept, ...] = ()
    checksum: str = ""


def read_memory(path: str | os.PathLike[str]) -> Memory:
    """Return the supports kept in a file; none where there is no such file.

    Raises:
        FileError: it cannot be read, or is not one we wrote.

    """
    if not os.path.lexists(path):
        return Memory()
    place = Place(file=os.path.basename(os.fspath(path)))
    text, checksum = read_summed(path, place, MEMORY_FILE)
    try:
        return Memory(tuple(_kept(one) for one in json.loads(text)["supports"]), checksum)
    except (ValueError, KeyError, TypeError, RecursionError):
        raise FileError(
            "a file that is no memory of supports",
            "it must be one we wrote",
            "name another file, or move it away",
            place,
        ) from None


def _kept(data: Mapping[str, Any]) -> Kept:
    return Kept(**{**data, "stood": stood_from(data["stood"])})


def memory_bytes(kept: Iterable[Kept]) -> bytes:
    """Return the file: an entry a line, in order of exhibit and number."""
    entries = sorted(kept, key=lambda one: one.key)
    lines = ",\n".join(f"  {json.dumps(asdict(one), ensure_ascii=False)}" for one in entries)
    return f'{{"supports": [\n{lines}\n]}}\n'.encode()


def remember(path: str | os.PathLike[str], before: Memory, done: ExhibitResult) -> None:
    """Bring an exhibit's own supports up to date in the file; nothing is written where none is new.

    Raises:
        FileError: the file was changed since it was read, or cannot be written.

    """
    own = [*_made(done)]
    keys = {one.key for one in own}
    data = memory_bytes([*(one for one in before.kept if one.key not in keys), *own])
    if not own or sum_of(data) == before.checksum:
        return
    if before.checksum:
        update(path, data, before.checksum)
    else:
        write_new(path, data, "the memory of the supports made")


def _made(done: ExhibitResult) -> Iterator[Kept]:
    for support in done.supports:
        facts, stage = support.facts, support.stage
        if facts is not None and stage.stage in MADE:
            yield Kept(
                piece=facts.piece,
                title=support.values.get("title", ""),
                stage=stage.stage,
                date=stage.date,
                film=facts.way[0],
                stood=facts.stood_in(done.booked),
            )


# -- what it tells ---------------------------------------------------------------------------------


def fitting(memory: Memory, slip: Slip, but: str = "") -> Iterator[tuple[Kept, Fit]]:
    """Yield the supports kept that a book fits, the harmless ones first.

    Args:
        memory: what is kept.
        slip: of the book.
        but: the exhibit whose supports do not count: the book's own.

    """
    found = [(one, fit_of(one.stood, slip)) for one in memory.kept if one.stood.exhibit != but]
    usable = [(one, fit) for one, fit in found if fit.judgement != "not to be used"]
    return iter(sorted(usable, key=lambda pair: (pair[1].judgement != "harmless", pair[0].key)))


def fit_line(kept: Kept, fit: Fit) -> str:
    """Return one sentence on a support that a book fits."""
    when = f", {kept.stage} {kept.date}".rstrip()
    where = f"support no. {kept.stood.number} of {kept.stood.exhibit}{when}"
    if fit.judgement == "harmless":
        return f"fits {where}"
    return f"may fit {where}: {'; '.join(fit.reasons)}"


def memory_lines(
    memory: Memory, supports: Sequence[SupportResult], slips: Mapping[int, Slip], booked: str
) -> Iterator[str]:
    """Yield which books fit a support kept in mind, and which can share one of the exhibit's own.

    Args:
        memory: the supports kept.
        supports: of the exhibit.
        slips: of its rows.
        booked: the exhibit's name there.

    """
    for support in supports:
        slip = slips.get(support.row)
        if slip is not None and (best := next(fitting(memory, slip, booked), None)):
            yield f"{support.number} {fit_line(*best)}"
    yield from shared_lines(supports, slips)


def shared_lines(supports: Sequence[SupportResult], slips: Mapping[int, Slip]) -> Iterator[str]:
    """Yield which openings of one book, or copies of one title, one support would serve."""
    groups: dict[str, list[SupportResult]] = {}
    for support in supports:
        title = support.values.get("title", "").casefold()
        if title and support.facts and support.row in slips:
            groups.setdefault(title, []).append(support)
    for group in groups.values():
        if len(group) < 2:
            continue
        stood = [one.facts.stood_in("") for one in group if one.facts]
        found = shared(stood, [slips[one.row] for one in group])
        for i, books in found.items():
            others = [group[j].number for j in books if j != i]
            if others:
                yield f"the support of {group[i].number} fits {', '.join(others)} too"
