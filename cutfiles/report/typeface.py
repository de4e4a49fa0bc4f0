"""A TrueType font as far as pages need it: glyphs, their widths, a font of some glyphs alone.

Source: OpenType specification 1.9, tables cmap (format 12), glyf, head, hhea, hmtx, loca, maxp.
"""

import mmap
import struct
from bisect import bisect_right
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

_WORDS, _SCALE, _MORE, _PAIR, _FOUR, _HINTED = 0x01, 0x08, 0x20, 0x40, 0x80, 0x100
"""Flags of a part of a glyph: wide offsets, one number of scale, more parts, two, four, hints."""


class Extent(NamedTuple):
    """What a page says of a font: its box, how far it reaches up and down, 1/1000 of the size."""

    box: tuple[int, int, int, int]
    ascent: int
    descent: int


class Typeface:
    """One font of a file, read as far as it is asked for.

    Attributes:
        name: of the file, without its ending.
        units: of its em.

    """

    def __init__(self, path: Path) -> None:
        self.name = path.stem
        with path.open("rb") as file:  # mapped: a font of five megabytes is not read for a word
            self._data = mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
        # a collection begins with the places of its fonts; the first is taken
        start = self._long(12) if self._data[:4] == b"ttcf" else 0
        rows = (start + 12 + 16 * i for i in range(self._short(start + 4)))
        self._tables = {
            self._data[row : row + 4].decode("ascii"): (self._long(row + 8), self._long(row + 12))
            for row in rows
        }
        self.units = self._short(self._tables["head"][0] + 18)
        self._widths = self._short(self._tables["hhea"][0] + 34)
        self._first, self._glyphs = self._known()
        self._found: dict[str, int | None] = {}
        self._advances: dict[str, int] = {}

    def glyph(self, char: str) -> int | None:
        """Return the number of a letter's glyph, None where the font has none."""
        if char not in self._found:
            code = ord(char)
            i = bisect_right(self._first, code) - 1
            first, last, number = self._glyphs[i] if i >= 0 else (0, -1, 0)
            self._found[char] = number + code - first if first <= code <= last else None
        return self._found[char]

    def width(self, text: str) -> float:
        """Return the width of letters that the font has, in ems."""
        try:
            return sum(map(self._advances.__getitem__, text)) / self.units
        except KeyError:
            for char in text:
                self._advances[char] = self.advance(self.glyph(char) or 0)
            return self.width(text)

    def advance(self, number: int) -> int:
        """Return how far it is from a glyph to the next, in units."""
        return self._short(self._tables["hmtx"][0] + 4 * min(number, self._widths - 1))

    def thousandths(self, units: float) -> int:
        """Return a length of the font in 1/1000 of its size."""
        return round(units * 1000 / self.units)

    @property
    def extent(self) -> Extent:
        """Return how far its letters reach."""
        head, hhea = self._tables["head"][0], self._tables["hhea"][0]
        left, bottom, right, top = map(self.thousandths, self._signed(head + 36, 4))
        ascent, descent = map(self.thousandths, self._signed(hhea + 4, 2))
        return Extent((left, bottom, right, top), ascent, descent)

    def alone(self, glyphs: Iterable[int]) -> bytes:
        """Return a font of some glyphs, each by its own number, without hints, names and letters.

        Hints and names are more than half of a small font's bytes, and no printer reads them.
        """
        shapes = self._shapes(glyphs)
        count = max(shapes) + 1
        glyf, places, metrics = bytearray(), [0], bytearray()
        for number in range(count):
            glyf += shapes.get(number, b"")
            glyf += bytes(len(glyf) % 2)
            places.append(len(glyf))
            metrics += self._metric(number) if number in shapes else bytes(4)
        short = len(glyf) < 0x20000
        loca = [place // 2 for place in places] if short else places
        head, hhea, maxp = (bytearray(self._table(name)) for name in ("head", "hhea", "maxp"))
        struct.pack_into(">I", head, 8, 0)  # the sum of all, set at the end
        struct.pack_into(">h", head, 50, 0 if short else 1)
        struct.pack_into(">H", hhea, 34, count)
        struct.pack_into(">H", maxp, 4, count)
        return _font_file(
            {
                b"glyf": bytes(glyf),
                b"head": bytes(head),
                b"hhea": bytes(hhea),
                b"hmtx": bytes(metrics),
                b"loca": struct.pack(f">{count + 1}{'H' if short else 'I'}", *loca),
                b"maxp": bytes(maxp),
            }
        )

    def _shapes(self, glyphs: Iterable[int]) -> dict[int, bytes]:
        """Return shapes by their numbers: of these glyphs, of their parts, and of what is none."""
        found: dict[int, bytes] = {}
        left = [0, *glyphs]
        while left:
            number = left.pop()
            if number not in found:
                found[number], parts = _unhinted(self._shape(number))
                left += parts
        return found

    def _shape(self, number: int) -> bytes:
        """Return a glyph as it stands in the file."""
        loca, (glyf, _) = self._tables["loca"][0], self._tables["glyf"]
        long = self._short(self._tables["head"][0] + 50)
        if long:
            start, end = self._long(loca + 4 * number), self._long(loca + 4 * number + 4)
        else:
            start, end = (2 * self._short(loca + 2 * (number + i)) for i in (0, 1))
        return self._data[glyf + start : glyf + end]

    def _metric(self, number: int) -> bytes:
        """Return a glyph's advance, and how far its outline lies from where it begins."""
        start, _ = self._tables["hmtx"]
        beyond = number - self._widths
        if beyond < 0:
            return self._data[start + 4 * number : start + 4 * number + 4]
        at = start + 4 * self._widths + 2 * beyond
        return struct.pack(">H", self.advance(number)) + self._data[at : at + 2]

    def _known(self) -> tuple[list[int], list[tuple[int, int, int]]]:
        """Return ranges of letters, first, last and number of the first's glyph; their firsts."""
        start, _ = self._tables["cmap"]
        for i in range(self._short(start + 2)):
            at = start + self._long(start + 4 + 8 * i + 4)
            if self._short(at) == 12:
                count = self._long(at + 12)
                groups = list(struct.iter_unpack(">3I", self._data[at + 16 : at + 16 + 12 * count]))
                return [first for first, _, _ in groups], groups
        raise ValueError(f"{self.name}: no table of letters in format 12")

    def _table(self, name: str) -> bytes:
        start, size = self._tables[name]
        return self._data[start : start + size]

    def _short(self, at: int) -> int:
        return int.from_bytes(self._data[at : at + 2], "big")

    def _long(self, at: int) -> int:
        return int.from_bytes(self._data[at : at + 4], "big")

    def _signed(self, at: int, count: int) -> tuple[int, ...]:
        return struct.unpack_from(f">{count}h", self._data, at)


def _unhinted(shape: bytes) -> tuple[bytes, list[int]]:
    """Return a glyph without its hints, and the numbers of the glyphs it is made of."""
    if not shape:
        return b"", []
    (contours,) = struct.unpack_from(">h", shape)
    if contours >= 0:
        at = 10 + 2 * contours
        (hints,) = struct.unpack_from(">H", shape, at)
        return shape[:at] + bytes(2) + shape[at + 2 + hints :], []
    bare, parts, at, flags = bytearray(shape), [], 10, _MORE
    while flags & _MORE:
        flags, part = struct.unpack_from(">2H", shape, at)
        struct.pack_into(">H", bare, at, flags & ~_HINTED)
        parts.append(part)
        at += 8 if flags & _WORDS else 6
        at += 2 if flags & _SCALE else 4 if flags & _PAIR else 8 if flags & _FOUR else 0
    return bytes(bare[:at]), parts


def _font_file(tables: dict[bytes, bytes]) -> bytes:
    """Return a font of these tables, in the order of their names."""
    count = len(tables)
    step = count.bit_length() - 1
    head = struct.pack(">IHHHH", 0x10000, count, 16 << step, step, 16 * (count - (1 << step)))
    at, rows, body = 12 + 16 * count, b"", b""
    for name, table in tables.items():
        rows += name + struct.pack(">III", _sum(table), at + len(body), len(table))
        body += table + bytes(-len(table) % 4)
    whole = bytearray(head + rows + body)
    sums = (0xB1B0AFBA - _sum(bytes(whole))) & 0xFFFFFFFF
    struct.pack_into(">I", whole, whole.index(tables[b"head"], at) + 8, sums)
    return bytes(whole)


def _sum(table: bytes) -> int:
    """Return the sum of a table's words, as a font states it."""
    padded = table + bytes(-len(table) % 4)
    words: tuple[int, ...] = struct.unpack(f">{len(padded) // 4}I", padded)
    return sum(words) & 0xFFFFFFFF
