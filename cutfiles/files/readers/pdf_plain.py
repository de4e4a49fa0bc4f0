"""Opens PDF files of the plainest kind, strictly: one table of objects, nothing packed but streams.

Our own files are of this kind, and read so in a fraction of the time that a general library takes
to be loaded (`tests/bench/startup.py`). Whatever departs from it, by a byte, is not opened here but
left to the library: files that others saved, and damaged ones.

Source: ISO 32000-1 §7.2 to §7.5 (syntax, objects, filters, file structure).
"""

import re
import zlib
from typing import Any

from cutfiles.dataclass import dataclass

_END = re.compile(rb"startxref\n(\d{1,10})\n%%EOF\s*\Z")
_TABLE = re.compile(rb"xref\n0 (\d{1,5})\n0000000000 65535 f \n")
_ROW = re.compile(rb"(\d{10}) 00000 n \n")
_OBJECT = re.compile(rb"(\d{1,5}) 0 obj\n")
_STREAM = re.compile(rb"\nstream\n")
_AFTER_STREAM = re.compile(rb"\nendstream\nendobj\n")
_AFTER = re.compile(rb"\nendobj\n")
_TOKEN = re.compile(
    rb"\s*(?:(?P<open><<|\[)|(?P<close>>>|\])|(?P<name>/[A-Za-z0-9_.+-]+)|(?P<hex><(?:[0-9A-F]{2})*>)"
    rb"|(?P<text>\([^()\\\x80-\xff]*\))|(?P<ref>\d{1,5} 0 R\b)|(?P<number>[-+]?\d+(?:\.\d+)?)"
    rb"|(?P<word>true|false|null)\b)"
)


@dataclass(frozen=True, slots=True)
class Ref:
    """A reference to an object."""

    number: int


@dataclass(frozen=True, slots=True)
class Stream:
    """A stream: its dictionary and its bytes, unpacked."""

    entries: dict[str, Any]
    data: bytes


class NotPlain(Exception):
    """The file is not of the plainest kind."""


@dataclass(frozen=True, slots=True)
class PlainFile:
    """The objects of a file: dictionaries and arrays, names with their slash, texts, numbers."""

    objects: dict[int, Any]
    trailer: dict[str, Any]

    def resolve(self, value: Any) -> Any:
        """Return what a reference means, and anything else as it is."""
        return self.objects[value.number] if isinstance(value, Ref) else value


def open_plain(data: bytes) -> PlainFile:
    """Return the objects of a file of the plainest kind.

    Raises:
        NotPlain: it is of another kind, or damaged.

    """
    end = _END.search(data, max(0, len(data) - 64))
    if not data.startswith(b"%PDF-1.") or end is None:
        raise NotPlain
    table = _expect(_TABLE, data, int(end[1]))
    at, places = table.end(), []
    for _ in range(1, int(table[1])):
        row = _expect(_ROW, data, at)
        places.append(int(row[1]))
        at = row.end()
    if data[at : at + 8] != b"trailer\n":
        raise NotPlain
    trailer, at = _value(data, at + 8)
    if not isinstance(trailer, dict) or set(trailer) != {"/Size", "/Root", "/Info", "/ID"}:
        raise NotPlain  # changed later, encrypted, or packed otherwise
    if data[at:] != b"\n" + end[0]:
        raise NotPlain
    objects = {i: _object(data, place, i) for i, place in enumerate(places, start=1)}
    return PlainFile(objects, trailer)


def _expect(pattern: re.Pattern[bytes], data: bytes, at: int) -> re.Match[bytes]:
    found = pattern.match(data, at)
    if found is None:
        raise NotPlain
    return found


def _object(data: bytes, place: int, number: int) -> Any:
    """Return the object that stands at a place, which must be the one of this number."""
    head = _expect(_OBJECT, data, place)
    if int(head[1]) != number:
        raise NotPlain
    value, at = _value(data, head.end())
    begun = _STREAM.match(data, at)
    if begun is None:
        _expect(_AFTER, data, at)
        return value
    if not isinstance(value, dict) or set(value) - {"/Length", "/Filter"}:
        raise NotPlain
    size = value.get("/Length")
    if not isinstance(size, int):
        raise NotPlain
    _expect(_AFTER_STREAM, data, begun.end() + size)
    return Stream(value, _unpacked(data[begun.end() : begun.end() + size], value.get("/Filter")))


def _unpacked(data: bytes, packing: Any) -> bytes:
    if packing is None:
        return data
    if packing != "/FlateDecode":
        raise NotPlain
    try:
        return zlib.decompress(data)
    except zlib.error:
        raise NotPlain from None


def _value(data: bytes, at: int) -> tuple[Any, int]:
    """Return the value that stands at a place, and where it ends."""
    return _meant(data, _expect(_TOKEN, data, at))


def _meant(data: bytes, found: re.Match[bytes]) -> tuple[Any, int]:
    """Return the value that begins with a token, and where it ends."""
    kind, word = found.lastgroup or "", found[0].lstrip()
    at = found.end()
    match kind:
        case "open":
            return _many(data, at, word)
        case "name":
            return word.decode("ascii"), at
        case "ref":
            return Ref(int(word.split(b" ")[0])), at
        case "number":
            return (float(word) if b"." in word else int(word)), at
        case "text":
            return word[1:-1].decode("ascii"), at
        case "hex":
            return _text(bytes.fromhex(word[1:-1].decode("ascii"))), at
        case "word":
            return {b"true": True, b"false": False, b"null": None}[word], at
        case _:
            raise NotPlain


def _many(data: bytes, at: int, opened: bytes) -> tuple[Any, int]:
    """Return the array or dictionary whose inside begins at a place, and where it ends."""
    values: list[Any] = []
    while True:
        found = _expect(_TOKEN, data, at)
        if found.lastgroup == "close":
            break
        value, at = _meant(data, found)
        values.append(value)
    if found["close"] != {b"<<": b">>", b"[": b"]"}[opened]:
        raise NotPlain
    if opened == b"[":
        return values, found.end()
    names = values[::2]
    named = all(isinstance(name, str) and name.startswith("/") for name in names)
    if len(values) % 2 or not named or len(set(names)) < len(names):
        raise NotPlain
    return dict(zip(names, values[1::2], strict=True)), found.end()


def _text(coded: bytes) -> str:
    """Return a text of two bytes a sign; others, as the ID's, by their bytes."""
    if coded.startswith(b"\xfe\xff"):
        try:
            return coded[2:].decode("utf-16-be")
        except UnicodeDecodeError:
            raise NotPlain from None
    return coded.decode("latin-1")
