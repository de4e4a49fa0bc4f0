"""Loads a TOML file that people write; what cannot be read is refused with its place."""

import os
import re
import tomllib
from dataclasses import replace
from typing import Any, NamedTuple

from cutfiles.disk.refusals import refuse_device
from cutfiles.disk.system import sum_of
from cutfiles.errors import FileError, Place, reason, shown

LARGEST = 1_000_000
"""A larger file was not written by hand, bytes."""

DEEPEST = 50
"""Parts of a key: no table that people write is deeper."""
_KEY = re.compile(r"""[\s\["'{]*[\w-]+[\s\]"']*(?:=.*)?""")
SPREADSHEETS = (".xlsx", ".xlsm", ".xls", ".ods")
"""How names of spreadsheets end."""
_OF_TABLES = (".csv", ".tsv", *SPREADSHEETS)


class Wanted(NamedTuple):
    """What a file should be, for messages.

    Attributes:
        kind: "a slip".
        name: what to name instead of a file that is too large.
        missing: what to do where there is no file.
        quoting: what to do where it is no TOML.
        key: of the remedy where there is no file, or it is no TOML (`Fault.key`).

    """

    kind: str
    name: str
    missing: str
    quoting: str
    key: str = ""


def load_toml(path: str | os.PathLike[str], place: Place, wanted: Wanted) -> dict[str, Any]:
    """Return what stands in a TOML file.

    Raises:
        FileError: it cannot be read, or is no TOML.

    """
    if os.fspath(path).lower().endswith(_OF_TABLES) and os.path.isfile(path):
        raise FileError(
            "a table, by its name",
            f"{wanted.kind} is a TOML file",
            f"name {wanted.name}" + ("; a list of books is none" if wanted.key == "slip" else ""),
            place,
            "list-file" if wanted.key == "slip" else "",
        )
    return parse_toml(read_text(path, place, wanted), place, wanted)


def read_text(path: str | os.PathLike[str], place: Place, wanted: Wanted) -> str:
    """Return the text of a file.

    Args:
        path: of the file.
        place: how messages call it.
        wanted: what it should be.

    Raises:
        FileError: it cannot be read, is too large, or is no UTF-8 text.

    """
    return read_summed(path, place, wanted)[0]


def read_summed(path: str | os.PathLike[str], place: Place, wanted: Wanted) -> tuple[str, str]:
    """Return the text of a file (`read_text`), and the checksum it had when it was read."""
    kind = wanted.kind
    try:
        refuse_device(path, f"{kind} is a file", place)
        _refuse_large(os.path.getsize(path), place, wanted)
        with open(path, "rb") as file:
            data = file.read()
    except OSError as error:
        raise FileError(
            reason(error), f"{kind} is a file that can be read", wanted.missing, place, wanted.key
        ) from None
    return text_of(data, place, wanted), sum_of(data)


def text_of(data: bytes, place: Place, wanted: Wanted) -> str:
    """Return the text that the bytes of a file are.

    Raises:
        FileError: they are too many, or no UTF-8 text.

    """
    _refuse_large(len(data), place, wanted)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(
            f"a byte that is no UTF-8 text (at byte {error.start})",
            f"{wanted.kind} is UTF-8 text",
            'save it again with the encoding "UTF-8"',
            place,
        ) from None


def _refuse_large(size: int, place: Place, wanted: Wanted) -> None:
    if size > LARGEST:
        raise FileError(
            f"{size} bytes",
            f"{wanted.kind} has at most {LARGEST} bytes",
            f"name {wanted.name}",
            place,
        )


def parse_toml(text: str, place: Place, wanted: Wanted) -> dict[str, Any]:
    """Return what stands in a TOML text.

    Raises:
        FileError: it is no TOML.

    """
    try:
        _refuse_deep_keys(text)
        return tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        raise _toml_error(str(error), text, place, wanted) from None
    except (RecursionError, ValueError):  # what tomllib lets through: depth, and endless digits
        raise FileError(
            "lists nested in lists without end, or a number of thousands of digits",
            f"{wanted.kind} holds fields with one value each",
            wanted.missing,
            place,
            wanted.key,
        ) from None


def _refuse_deep_keys(text: str) -> None:
    """Raise where a key has endless parts: the parser takes quadratic time over them."""
    for line in text.splitlines():
        run = 0
        for part in line.split(".") if line.count(".") > DEEPEST else ():
            run = run + 1 if _KEY.fullmatch(part[-80:]) else 0
            if run > DEEPEST:
                raise RecursionError


def _reads(text: str) -> bool:
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False
    return True


def _toml_error(parser: str, text: str, place: Place, wanted: Wanted) -> FileError:
    lines = text.splitlines()
    match = re.search(r"at line (\d+)", parser)  # it tells the line in its text only
    row = int(match[1]) if match else len(lines)
    line = lines[row - 1].strip() if 0 < row <= len(lines) else "the end of the file"
    if _reads("\n".join(lines[: row - 1])) and _reads(line):  # only together they do not
        return FileError(
            shown(line),
            f"a field stands once in {wanted.kind}",
            "leave out one of the two",
            replace(place, line=row),
        )
    return FileError(
        shown(line),
        f"{wanted.kind} is TOML, and this is not ({parser})",
        wanted.quoting,
        replace(place, line=row),
        f"quote-{wanted.key}" if wanted.key else "",
    )
