"""What is asked of the system: what stands at a path, files that are no links, locks."""

import errno
import hashlib
import os
import shutil
import stat
import sys
from pathlib import Path

from cutfiles.disk.refusals import State

NO_LINK = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL | NO_LINK
"""How a file of our own is opened: it must not be there."""
_LOCKED: set[int] = set()
"""Files this process holds locked: a forked child lets go of them, for it may outlive us."""


def sum_of(data: bytes) -> str:
    """Return the checksum of bytes."""
    return hashlib.sha256(data).hexdigest()


def state(path: str | os.PathLike[str]) -> State:
    """Return what stands at a path; a link is not followed."""
    try:
        mode = os.lstat(path).st_mode
        if stat.S_ISLNK(mode):
            return State("link", to=os.readlink(path))
        if not stat.S_ISREG(mode):
            return State("folder" if stat.S_ISDIR(mode) else "device")
        with open(path, "rb") as file:
            return State("file", hashlib.file_digest(file, "sha256").hexdigest())
    except FileNotFoundError:
        return State("nothing")


def open_plain(path: Path, how: int) -> int:
    """Open a file that is no link of any kind and nothing else than a file."""
    if path.is_symlink():
        raise OSError(errno.ELOOP, "a link", str(path))
    file = os.open(path, how | NO_LINK, 0o666)
    info = os.fstat(file)
    if not stat.S_ISREG(info.st_mode) or info.st_nlink > 1:
        os.close(file)
        raise OSError(errno.ELOOP, "a link, or no file", str(path))
    return file


def write_bytes(file: int, data: bytes, path: Path) -> None:
    """Write all bytes; a fault names the path they are meant for."""
    rest = memoryview(data)
    try:
        while rest:
            rest = rest[os.write(file, rest) :]
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from None


def keep(path: Path, to: Path) -> None:
    """Keep what stands at a path under a second name, on disks without such by a copy."""
    if path.is_symlink():
        os.symlink(os.readlink(path), to)
        return
    try:
        os.link(path, to)
    except OSError:
        shutil.copy2(path, to)


def lock(file: int) -> bool:
    """Lock a file for as long as it is open; return whether no one else has it.

    Where a disk knows no locks it counts as locked: two runs are then told apart by what each finds
    when it has put its files in place.
    """
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(file, 1 << 30, os.SEEK_SET)  # far off: a locked byte cannot be read
            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
            os.lseek(file, 0, os.SEEK_SET)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EWOULDBLOCK, errno.EACCES, errno.EDEADLK):
            return False
    _LOCKED.add(file)
    return True


def let_go(file: int) -> None:
    """Close a locked file."""
    _LOCKED.discard(file)
    os.close(file)


def _forked() -> None:
    for file in _LOCKED:
        os.close(file)
    _LOCKED.clear()


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_forked)
