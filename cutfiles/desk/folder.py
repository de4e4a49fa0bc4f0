"""What lies in the desk's folder, to choose from; links are left out."""

import os
from pathlib import Path
from typing import NamedTuple

from cutfiles.disk.names import safe_name
from cutfiles.disk.refusals import told
from cutfiles.errors import FileError
from cutfiles.exhibit.entries import RECORD
from cutfiles.tables.load import SPREADSHEETS


class Names(NamedTuple):
    """Names in a folder: of exhibits, of lists, of tables (TOML)."""

    exhibits: list[str]
    lists: list[str]
    tables: list[str]


def names_in(folder: str, most: int) -> Names:
    """Return what a folder holds, of each kind at most so many.

    Raises:
        FileError: it cannot be read.

    """
    exhibits, lists, tables = [], [], []
    with told(folder), os.scandir(folder) as entries:
        for entry in entries:
            if safe_name(entry.name) != entry.name or entry.is_symlink():
                continue
            ending = os.path.splitext(entry.name)[1].lower()
            if entry.is_dir() and os.path.isfile(os.path.join(entry.path, RECORD)):
                exhibits.append(entry.name)
            elif entry.is_file() and ending in (".csv", ".tsv", ".txt", *SPREADSHEETS):
                lists.append(entry.name)
            elif entry.is_file() and ending == ".toml":
                tables.append(entry.name)
    return Names(*(sorted(names)[:most] for names in (exhibits, lists, tables)))


def file_in(folder: str, name: str, most: int) -> bytes:
    """Return a file of the desk's folder.

    Raises:
        FileError: it is a link or no file, or too large.

    """
    place = Path(folder) / name
    try:
        if place.is_symlink() or not place.is_file() or place.stat().st_size > most:
            raise OSError
        return place.read_bytes()
    except OSError:
        raise FileError(
            "no file of that name in the desk's folder, a link, or one too large",
            f"a file of at most {most >> 20} MB in that folder",
            "choose another",
        ) from None
