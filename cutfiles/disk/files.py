"""Files put on a disk, each in the way it is known as ours: sets, single files, a journal."""

import os
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from cutfiles.disk.refusals import told
from cutfiles.disk.sets import Content, Put, Sums, held
from cutfiles.disk.system import open_plain, state, write_bytes
from cutfiles.errors import ChangedError, FileError


def put(
    folder: str | os.PathLike[str],
    name: str,
    files: Mapping[str, Content],
    known: Sums | None = None,
    *,
    replace: bool = False,
    note: Callable[[Mapping[str, str]], None] | None = None,
) -> Put:
    """Put a set of files into a folder, which is made if it is not there; see `Held.put`."""
    with held(folder_at(folder), name) as one:
        return one.put(files, known, replace=replace, note=note)


def write_new(
    path: str | os.PathLike[str], data: bytes, needed: str, *, replace: bool = False
) -> None:
    """Write a file that does not exist yet.

    Args:
        path: of the file; its folder exists.
        data: its bytes.
        needed: what is written so, for the message.
        replace: also replace a file that exists.

    Raises:
        ChangedError: a file exists there, if only another run's of the very same bytes.
        FileError: something else does, or it cannot be written.

    """
    check_new(path, needed, replace=replace)
    to = Path(path)
    with held(to.parent, to.name) as one:
        check_new(path, needed, replace=replace)  # another run may have made it until we held it
        one.put({to.name: data}, replace=replace)


@contextmanager
def lent(name: str, data: bytes) -> Iterator[Path]:
    """Lend a file of this content to a reader that asks for a path; it is gone afterwards."""
    with TemporaryDirectory(prefix="cutfiles-") as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        yield path


def let_run(path: str | os.PathLike[str]) -> None:
    """Let a file of ours be run, as a double click runs it.

    Raises:
        FileError: the disk refuses.

    """
    with told(path):
        os.chmod(path, 0o755)


def check_new(path: str | os.PathLike[str], needed: str, *, replace: bool = False) -> None:
    """Refuse a path where something is that must not be replaced, or whose folder is not there."""
    with told(path):
        now = state(path)
        if now.kind == "folder" or (now.kind != "nothing" and not replace):
            lasting = now.kind in ("folder", "device")
            raise (FileError if lasting else ChangedError)(
                now.text if lasting else "a file that exists",
                needed,
                "choose another name or folder",
                os.fspath(path),
            )
        os.stat(Path(path).parent)


def update(path: str | os.PathLike[str], data: bytes, before: str) -> None:
    """Write a file of the user's own anew.

    Args:
        path: of the file.
        data: its bytes.
        before: its checksum when it was read.

    Raises:
        ChangedError: it was changed since it was read, if only to the very same bytes.
        FileError: it is a link, or cannot be written.

    """
    check_as_read(path, before)
    to = Path(path)
    with held(to.parent, to.name) as one:
        check_as_read(path, before)  # another run may have changed it until we held it
        one.put({to.name: data}, {to.name: (before,)})


def check_as_read(path: str | os.PathLike[str], before: str) -> None:
    """Refuse a path where no longer the file stands that was read, or only a link to it."""
    with told(path):
        now = state(path)
    if now.kind != "file" or now.digest != before:
        raise (ChangedError if now.kind == "file" else FileError)(
            now.text if now.other else "a file that was changed since it was read",
            "the file itself, as it was read, is written anew",
            "name the file itself, and run again",
            os.fspath(path),
        )


def remove(path: Path, sums: Collection[str]) -> bool:
    """Remove a file of ours that is out of date; return whether it was still as we made it."""
    with told(path.parent):
        if not state(path).known(sums):
            return False
        os.unlink(path)
        return True


def folder_at(path: str | os.PathLike[str], inner: str = "") -> Path:
    """Return a folder, made where it is not there.

    Args:
        path: of the folder; a link to one is followed, for the user named it.
        inner: a folder of ours in it, which must not lead elsewhere.

    Raises:
        FileError: it cannot be made.

    """
    to = Path(path)
    with told(to):
        (to / inner).mkdir(parents=True, exist_ok=True)
        if inner and not os.path.samefile(Path(os.path.realpath(to / inner)).parent, to):
            raise FileError(
                "a link", "a folder of ours stands there", "remove the link", str(to / inner)
            )
    return to / inner


def add_line(journal: str | os.PathLike[str], line: str) -> int:
    """Add a line to a journal, from any process; return where in it the line begins.

    Raises:
        FileError: it is a link or no file, or the disk refuses.

    """
    data = f"{line}\n".encode()
    with told(journal, len(data)):
        file = open_plain(Path(journal), os.O_WRONLY | os.O_CREAT | os.O_APPEND)
        try:
            write_bytes(file, data, Path(journal))
            return os.lseek(file, 0, os.SEEK_CUR) - len(data)
        finally:
            os.close(file)


def end_journal(journal: str | os.PathLike[str]) -> None:
    """Remove a journal: all that it told is told elsewhere now.

    Raises:
        FileError: the disk refuses.

    """
    with told(journal):
        Path(journal).unlink(missing_ok=True)


def lines(journal: str | os.PathLike[str]) -> Iterator[tuple[int, str]]:
    """Yield where each line of a journal begins, and it: the last one may be cut off.

    Raises:
        FileError: it is a link or no file, or the disk refuses.

    """
    begin = 0
    with told(journal):
        try:
            with open(open_plain(Path(journal), os.O_RDONLY), "rb") as file:
                for line in file:
                    yield begin, line.decode("utf-8", "replace")
                    begin += len(line)
        except FileNotFoundError:
            return


def line_at(journal: str | os.PathLike[str], begin: int) -> str:
    """Return the line of a journal that begins at a place.

    Raises:
        FileError: it is a link or no file, or the disk refuses.

    """
    with told(journal), open(open_plain(Path(journal), os.O_RDONLY), "rb") as file:
        file.seek(begin)
        return file.readline().decode("utf-8", "replace")
