"""Books whose slips are not saved, kept on the disk all the same: none is lost with its desk.

Each has a file of its own in a hidden folder of the desk's, as long as it says what no slip on a
disk says. The next desk of that folder offers them.
"""

import json
import os
import re
from collections.abc import Collection, Mapping
from contextlib import suppress
from dataclasses import field
from pathlib import Path
from typing import NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.desk.books import MOST_FIELDS, Book, Values
from cutfiles.desk.folder import file_in
from cutfiles.disk.files import folder_at, remove, write_new
from cutfiles.disk.system import sum_of
from cutfiles.errors import CutfilesError, FileError

FOLDER = ".desk"
_LARGEST = 4_000_000
_MOST = 200
"""So many are offered."""
_NAME = re.compile(r"([\w-]{8})\.json", re.ASCII)


class Offered(NamedTuple):
    """A book that is not open, and not saved."""

    name: str
    number: str
    title: str


@dataclass(slots=True)
class Unsaved:
    """The books of a desk that are not saved, as they lie in its folder.

    Attributes:
        folder: the desk's.
        sums: book to the checksum of its file, as this desk wrote or read it.
        refused: why none can be kept there; empty where they are.

    """

    folder: Path
    sums: dict[str, str] = field(default_factory=dict)
    refused: str = ""

    def keep(self, books: Mapping[str, bytes | None]) -> None:
        """Keep books, by their names, as they are now; those that are saved (None) go.

        What the disk refuses is told by `refused`.
        """
        self.refused = ""
        for name, data in books.items():
            try:
                if data is None:
                    self.forget(name)
                elif self.sums.get(name) != sum_of(data) or not self._place(name).exists():
                    self._write(name, data)
            except CutfilesError as error:
                self.refused = error.fault.found

    def _write(self, name: str, data: bytes) -> None:
        if not self.folder.is_dir():  # one that is gone is named, not made anew
            raise FileError(str(self.folder), "the desk's folder is there", "check the folder")
        folder_at(self.folder, FOLDER)
        write_new(self._place(name), data, "what is not saved is kept", replace=True)
        self.sums[name] = sum_of(data)

    def forget(self, name: str) -> None:
        """Take a book's file away, if it is still as this desk knows it."""
        if name in self.sums:
            remove(self._place(name), [self.sums.pop(name)])

    def _place(self, name: str) -> Path:
        return self.folder / FOLDER / f"{name}.json"

    def offered(self, open_ones: Collection[str]) -> list[Offered]:
        """Return the books that lie there and are not open; what is none is passed over."""
        found = []
        for name in self._names():
            with suppress(FileError):
                values = {} if name in open_ones else self._read(name).values
                if values:
                    found.append(Offered(name, values.get("number", ""), values.get("title", "")))
        return found

    def _names(self) -> list[str]:
        place = self.folder / FOLDER
        try:
            names = [] if place.is_symlink() else sorted(os.listdir(place))
        except OSError:
            return []
        return [found[1] for name in names if (found := _NAME.fullmatch(name))][:_MOST]

    def book(self, name: str) -> Book:
        """Return a book that lies there, to be gone on with.

        Raises:
            FileError: there is none of that name.

        """
        if name not in self._names():
            raise _no_book()
        return self._read(name)

    def _read(self, name: str) -> Book:
        data = file_in(str(self.folder / FOLDER), f"{name}.json", _LARGEST)
        try:
            book = _book(name, json.loads(data))
        except (ValueError, KeyError, TypeError, RecursionError):
            raise _no_book() from None
        self.sums[name] = sum_of(data)
        return book


def _no_book() -> FileError:
    return FileError(
        "no book of that name", "one that was open, and was not saved", "choose one of them"
    )


def book_data(book: Book) -> bytes | None:
    """Return what is kept of a book that is not saved; None for one that is."""
    if book.is_kept:
        return None
    said = {
        "version": book.version,
        "slip": dict(book.values),
        "taking": dict(book.taking),
        "saved": book.saved,
    }
    return json.dumps(said, ensure_ascii=False, indent=1).encode("utf-8", "replace")


def _book(name: str, said: dict[str, object]) -> Book:
    """Return a book as it was kept.

    Raises:
        ValueError, KeyError, TypeError: it is none.

    """
    match said["version"], said["saved"]:
        case int(version), None:
            saved = None
        case int(version), [str(file), str(digest)]:
            saved = file, digest
        case _:
            raise ValueError
    return Book(
        name=name,
        version=version + 1,  # a page that still shows the older one asks before it goes on
        steps=[_texts(said["slip"])],
        taking=_texts(said["taking"]),
        saved=saved,
    )


def _texts(said: object) -> Values:
    if not isinstance(said, dict) or len(said) > MOST_FIELDS:
        raise ValueError
    texts = {path: text for path, text in said.items() if isinstance(text, str)}
    if len(texts) < len(said):
        raise ValueError
    return texts
