"""Faults of a disk as refusals: with path, and with room where that is the trouble."""

import errno
import os
import shutil
import stat
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal, NamedTuple

from cutfiles.errors import ChangedError, FileError, Place, reason

LARGEST = 64_000_000
"""No file that is read whole has more bytes; one that is written part by part may have."""
StateKind = Literal["nothing", "file", "folder", "link", "device"]


class State(NamedTuple):
    """What stands at a path.

    Attributes:
        kind: what it is.
        digest: checksum of a file's bytes, else empty.
        to: where a link leads, else empty.

    """

    kind: StateKind
    digest: str = ""
    to: str = ""

    @property
    def other(self) -> bool:
        """Whether it is there and no file."""
        return self.kind not in ("nothing", "file")

    @property
    def text(self) -> str:
        """What it is, for people."""
        if self.kind == "nothing":
            return "nothing"
        return f"a {self.kind}" + (f' to "{self.to}"' if self.kind == "link" else "")

    def known(self, sums: Collection[str]) -> bool:
        """Whether it is a file of one of these checksums."""
        return self.kind == "file" and self.digest in sums

    def holds(self, digest: str) -> bool:
        """Whether it is a file of this checksum; of an empty one, whether nothing is there."""
        return self.kind == ("file" if digest else "nothing") and self.digest == digest


@contextmanager
def told(folder: str | os.PathLike[str], size: int = 0) -> Iterator[None]:
    """Tell a fault of the disk as a refusal that names path, and room where that is the trouble.

    Args:
        folder: where is written.
        size: bytes to be written.

    Raises:
        FileError: instead of an `OSError`.

    """
    try:
        yield
    except OSError as error:
        found = f"{(error.strerror or 'an error of the disk').lower()} ({error.filename})"
        needed = "the folder must be one we can write to"
        remedy = "check the folder and the room on the disk, or name another folder"
        if error.errno in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)):
            needed = f"room for {size:,} bytes is needed, {_free(folder)} are free"
        elif error.errno == errno.ENAMETOOLONG:
            remedy = "use a shorter number, or a folder nearer to the root"
        raise FileError(found, needed, remedy, os.fspath(folder)) from None


def _free(folder: str | os.PathLike[str]) -> str:
    try:
        return f"{shutil.disk_usage(folder).free:,}"
    except OSError:
        return "too few"


def busy(folder: Path) -> FileError:
    """Return the refusal to work where another run is at work."""
    return ChangedError(
        "files that another run writes at the same time",
        "one run at a time works on a support",
        "wait until it has ended, then run again",
        str(folder),
    )


def not_ours(path: Path, now: State, known: bool) -> FileError:
    """Return the refusal to write over what stands at a path (`state`)."""
    if now.kind == "folder":
        return FileError(
            "a folder of that name",
            "a file is to be written there",
            "rename it or move it away, or use another folder",
            path.name,
        )
    was = "was changed since it was made" if known else "is not ours"
    return (ChangedError if known and now.kind == "file" else FileError)(
        now.text if now.kind == "link" else f"a file that {was}",
        "we write only over files we made",
        "rename it or move it away, or ask for it to be replaced",
        path.name,
        "replace",
    )


def refuse_device(path: str | os.PathLike[str], needed: str, place: Place | str) -> None:
    """Refuse a pipe or a device before it is opened: where nobody writes it would hold us for ever.

    Raises:
        FileError: it is one.
        OSError: nothing is there.

    """
    mode = os.stat(path).st_mode
    if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
        raise FileError("a pipe or a device", needed, "name a file", place)


def read(path: str | os.PathLike[str], needed: str, largest: int = LARGEST) -> bytes:
    """Return a file's bytes.

    Args:
        path: of the file.
        needed: what it should be, for the message.
        largest: more bytes are not read.

    Raises:
        FileError: it cannot be read, is no file, or is larger.

    """
    place = os.fspath(path)
    try:
        refuse_device(path, f"it must be {needed}", place)
        with open(path, "rb") as file:
            data = file.read(largest + 1)
        if len(data) > largest:
            raise FileError(
                f"more than {largest:,} bytes",
                f"it must be {needed}",
                "leave out what does not belong there, or make it again",
                place,
            )
        return data
    except OSError as error:
        raise FileError(
            reason(error), f"it must be {needed}", "check its name and folder", place
        ) from None
