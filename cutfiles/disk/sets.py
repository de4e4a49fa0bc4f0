"""A set of files is put into a folder whole or not at all, whatever happens in between.

A set is written into a folder of its own beside its place, ``.NAME.part``, with a log of what is to
be put where; then each file is renamed into place, what is out of date is removed, and the folder
with the log goes last. A run that is killed leaves the log, and the next run ends by it what was
begun; killed before the log was whole, nothing had been touched. A run that fails goes back.

What we may write over is told by checksums, which the caller keeps in a record. A link is never
followed: unasked it is refused, asked (`replace`) it is itself replaced. Two runs on one set are
kept apart by a lock on the log, which the system lets go of when a process ends.
"""

import errno
import hashlib
import json
import os
import stat
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.disk.names import plain
from cutfiles.disk.refusals import State, busy, not_ours, told
from cutfiles.disk.system import NEW, keep, let_go, lock, open_plain, state, write_bytes
from cutfiles.errors import Defect, FileError

Sums = Mapping[str, Collection[str]]
"""File names to the checksums by which they are known as ours."""
Content = bytes | Iterable[bytes]
"""Of a file: its bytes, or its parts one after another, none of which is kept."""
_LOG = "log"
_TRIES = 5


class _Step(NamedTuple):
    """One file of a set: what stands there, and the checksum of what is to stand there.

    Of a file that is removed the new checksum is empty.
    """

    name: str
    old: State
    new: str


@dataclass(frozen=True, slots=True)
class Put:
    """What was put in place, and what became of files that are out of date.

    Attributes:
        removed: names of those removed.
        left: names of those that were changed since, and stay.

    """

    removed: tuple[str, ...] = ()
    left: tuple[str, ...] = ()


@dataclass(slots=True)
class Held:
    """A set of files of one folder, which no other run works on meanwhile."""

    folder: Path
    place: Path
    log: int
    astray: bool = False

    def put(
        self,
        files: Mapping[str, Content],
        known: Sums | None = None,
        *,
        replace: bool = False,
        gone: Sums | None = None,
        note: Callable[[Mapping[str, str]], None] | None = None,
    ) -> Put:
        """Put files in place and remove those out of date: all, or none.

        Args:
            files: names and contents.
            known: what is ours; everything else of these names is refused.
            replace: also replace what others made or changed.
            gone: what is ours and out of date; removed unless it was changed since.
            note: called with names and checksums just before anything is put in place.

        Raises:
            FileError: a file must not be replaced, or the disk refuses; nothing was changed.
            KeyboardInterrupt: before anything was put in place, or after all was.

        """
        sizes = (len(data) for data in files.values() if isinstance(data, bytes))
        with told(self.folder, sum(sizes)):
            news = {
                name: self._write(number, plain(name), data)
                for number, (name, data) in enumerate(files.items())
            }
            steps = _wanted(self.folder, news, known or {}, replace)
            stale, left = _stale(self.folder, news, gone or {})
            steps += stale
            for number, step in enumerate(steps):
                if step.old.kind != "nothing":
                    keep(self.folder / step.name, self.place / f"{number}.old")
            if note:
                note({step.name: step.new for step in steps if step.new})
            write_bytes(self.log, json.dumps(steps).encode(), self.place)
            self._take_all(steps)
        return Put(tuple(step.name for step in stale), left)

    def _write(self, number: int, name: str, data: Content) -> str:
        """Write one file beside its place, and read it back; return its checksum."""
        part, new = self.place / str(number), hashlib.sha256()
        file = os.open(part, NEW, 0o666)
        try:
            for piece in (data,) if isinstance(data, bytes) else data:
                new.update(piece)
                write_bytes(file, piece, self.folder / name)
        finally:
            os.close(file)
        if not state(part).holds(new.hexdigest()):
            raise Defect(
                "other bytes on the disk than were written",
                "a disk keeps what it is given",
                "check the disk; nothing was delivered",
                name,
            )
        return new.hexdigest()

    def _take_all(self, steps: Sequence[_Step]) -> None:
        """Take all steps; where one fails go back, where another run was at work say so."""
        try:
            self._take_from(steps, 0)
        except KeyboardInterrupt:
            raise
        except BaseException as error:
            self.astray = True  # the log stays until we are back
            for number, step in enumerate(steps):
                with suppress(FileNotFoundError):
                    self._back(number, step)
            self.astray = False
            if isinstance(error, FileNotFoundError):
                raise busy(self.folder) from None
            raise
        if not all(state(self.folder / step.name).holds(step.new) for step in steps):
            raise busy(self.folder)

    def _take_from(self, steps: Sequence[_Step], first: int) -> None:
        """Take all steps even when interrupted in between, then let the interruption through."""
        for number in range(first, len(steps)):
            try:
                self.take(number, steps[number])
            except KeyboardInterrupt:
                self._take_from(steps, number)
                raise

    def take(self, number: int, step: _Step) -> None:
        """Put one file in place, or remove it; a step that was taken already stays so."""
        part, path = self.place / str(number), self.folder / step.name
        if not step.new:
            path.unlink(missing_ok=True)
        elif os.path.lexists(part):
            os.replace(part, path)

    def _back(self, number: int, step: _Step) -> None:
        """Put back what stood there; our own goes back beside it, that the log stays true."""
        path, part = self.folder / step.name, self.place / str(number)
        if step.new and not os.path.lexists(part):
            os.replace(path, part)
        if step.old.kind != "nothing" and not os.path.lexists(path):
            os.replace(self.place / f"{number}.old", path)


def _wanted(folder: Path, news: Mapping[str, str], known: Sums, replace: bool) -> list[_Step]:
    """Return a step for each file and its checksum; refuse one that must not be replaced."""
    steps = []
    for name, new in news.items():
        now = state(folder / name)
        own = now.kind == "nothing" or now.known((new, *known.get(name, ())))
        if now.kind == "folder" or not (own or replace):
            raise not_ours(folder / name, now, name in known)
        steps.append(_Step(name, now, new))
    return steps


def _stale(
    folder: Path, files: Mapping[str, str], gone: Sums
) -> tuple[list[_Step], tuple[str, ...]]:
    """Return a step for each file that is out of date, and those that were changed since."""
    steps, left = [], []
    for name, sums in gone.items():
        now = state(folder / plain(name))
        if name in files or now.kind in ("nothing", "folder"):
            continue
        if now.known(sums):
            steps.append(_Step(name, now, ""))
        else:
            left.append(name)
    return steps, tuple(left)


@contextmanager
def held(folder: str | os.PathLike[str], name: str) -> Iterator[Held]:
    """Hold a set of files of a folder; end what a killed run had begun with it.

    Args:
        folder: where; it exists.
        name: of the set, one and the same in every run.

    Raises:
        FileError: another run works on it, or the disk refuses.

    """
    to = Path(folder)
    place = to / f".{plain(name)}.part"
    with told(to):
        log = _begin(place)
    one = Held(to, place, log)
    try:
        yield one
    finally:
        if one.astray:
            let_go(log)
        else:
            with told(to):
                _end(place, log)


def _begin(place: Path) -> int:
    """Make the folder a set is written in, and lock its log; end what a killed run left."""
    for _ in range(_TRIES):
        try:
            os.mkdir(place)
        except FileExistsError:
            _take_up(place)
            continue
        try:
            log = os.open(place / _LOG, NEW, 0o666)
        except (FileNotFoundError, FileExistsError):  # taken away, and perhaps made by another run
            continue
        if lock(log):
            if _same(log, place / _LOG):
                return log
            let_go(log)  # another run took it for a killed one's, and cleared it away
        else:
            os.close(log)
    raise busy(place.parent)


def _take_up(place: Path) -> None:
    """End by its log what a killed run had begun; what was changed since stays as it is."""
    try:
        info = os.lstat(place)
    except FileNotFoundError:  # that run has ended by now
        return
    if not stat.S_ISDIR(info.st_mode) or (hasattr(os, "getuid") and info.st_uid != os.getuid()):
        raise FileError(
            "a file, a link or another user's folder of that name",
            "files being written are kept there",
            "let that user run again, or remove it",
            str(place),
        )
    try:
        log = open_plain(place / _LOG, os.O_RDWR)
    except FileNotFoundError:
        _clear(place, ended=False)
        return
    if not lock(log):
        os.close(log)
        raise busy(place.parent)
    try:
        if not _same(log, place / _LOG):
            let_go(log)
            return
        one = Held(place.parent, place, log)
        with open(log, "rb", closefd=False) as file:
            steps = _logged(file.read())
        for number, step in enumerate(steps):
            made = not step.new or state(place / str(number)).holds(step.new)
            if made and step.old == state(one.folder / step.name):
                one.take(number, step)
    except BaseException:
        let_go(log)
        raise
    _end(place, log)


def _same(file: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(file), os.lstat(path))
    except FileNotFoundError:
        return False


def _logged(data: bytes) -> list[_Step]:
    """Return the steps a log holds; none where it was not written to its end."""
    try:
        entries = json.loads(data)
        steps = [_Step(str(name), State(*old), str(new)) for name, old, new in entries]
        for step in steps:
            plain(step.name)
    except (ValueError, TypeError, RecursionError, Defect):
        return []
    return steps


def _end(place: Path, log: int) -> None:
    """Empty the log, for nothing is left to be done, and remove the folder."""
    try:
        os.ftruncate(log, 0)
        if os.name == "nt":  # there an open file cannot be removed
            let_go(log)
        _clear(place, ended=True)
    finally:
        if os.name != "nt":
            let_go(log)


def _clear(place: Path, *, ended: bool) -> None:
    """Remove the folder a set was written in, its log last, where another run has not done so.

    A run may begin in it meanwhile: what was not there at first stays, and so does a log unless
    we hold it (`ended`).
    """
    with suppress(FileNotFoundError):
        names = os.listdir(place)
        if _LOG in names and not ended:
            return
        for name in sorted(names, key=lambda name: name == _LOG):
            (place / name).unlink(missing_ok=True)
        try:
            os.rmdir(place)
        except OSError as error:
            if error.errno not in (errno.ENOTEMPTY, errno.EEXIST):
                raise
