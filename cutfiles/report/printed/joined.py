"""Several of our PDFs as one, page after page, without a word more.

The objects of each file are taken as they stand, with new numbers, and handed on before the next
file is read: however many there are, one is in memory, and of each object before it a checksum.
What several files bring alike, a font with all that it refers to, is kept once.

Source: ISO 32000-1 §7.3.10 (indirect objects), §7.5 (file structure), §12.2 (viewer preferences).
"""

import hashlib
import re
from array import array
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from cutfiles.errors import Defect

_END = re.compile(rb"startxref\s+(\d{1,10})\s+%%EOF\s*\Z")
_TABLE = re.compile(rb"xref\s+0 (\d{1,7})\s+0000000000 65535 f \n")
_ROW = re.compile(rb"(\d{10}) 00000 n \n")
_HEAD = re.compile(rb"(\d{1,7}) 0 obj\s+(.*?>>)\s*(stream\r?\n|endobj\s*\Z)", re.DOTALL)
_REF = re.compile(rb"\b(\d{1,7}) 0 R\b")
_ROOT = re.compile(rb"/Root (\d{1,7}) 0 R\b")
_PAGES = re.compile(rb"/Pages (\d{1,7}) 0 R\b")
_KIDS = re.compile(rb"/Kids \[([ \d\sR]*)\]")
_PARENT = re.compile(rb"/Parent \d{1,7} 0 R\b")
_TREE, _CATALOG, _INFO = 1, 2, 3
"""Numbers of what all files share; it is written last, when it is known."""
_OPEN = 0
"""Number of an object while what it refers to is taken."""


class _Object(NamedTuple):
    """An object of a file: its dictionary, and its stream with the words around it, or nothing."""

    head: bytes
    stream: bytes


def joined(files: Iterable[bytes], title: str) -> Iterator[bytes]:
    """Yield one PDF with the pages of all, part by part; the same files give the same bytes.

    Raises:
        Defect: one of the files is not as we write them.

    """
    one = _Joined()
    yield one.placed(b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
    for data in files:
        yield from one.add(data)
    yield from one.end(title)


class _Joined:
    """One file as it grows: how long it is, where its objects begin, which of them are pages."""

    def __init__(self) -> None:
        self.length = 0
        self.begins = array("Q", [0] * _INFO)
        self.pages = array("Q")
        self.known: dict[bytes, int] = {}

    def placed(self, data: bytes) -> bytes:
        """Return a part as it is, its length counted."""
        self.length += len(data)
        return data

    def object(self, number: int, data: bytes) -> bytes:
        """Return an object as a part, its place kept."""
        self.begins[number - 1] = self.length
        return self.placed(b"%d 0 obj\n%s\nendobj\n" % (number, data))

    def add(self, data: bytes) -> Iterator[bytes]:
        """Yield the pages of a file, and all that they refer to, with new numbers."""
        objects, pages = _opened(data)
        new = {0: _TREE}  # where `_PARENT` points to
        for page in pages:
            yield from self._taken(page, objects, new)
            self.pages.append(new[page])

    def _taken(self, old: int, objects: dict[int, _Object], new: dict[int, int]) -> Iterator[bytes]:
        """Yield an object after all that it refers to; what is there already is not said again."""
        one = objects[old]
        new[old] = _OPEN
        head = _PARENT.sub(b"/Parent 0 0 R", one.head)
        if b"(" in head:  # a text, which might hold what only looks like a reference
            raise _foreign()
        for ref in map(int, _REF.findall(head)):
            if ref not in new:
                yield from self._taken(ref, objects, new)
            elif new[ref] == _OPEN:  # it refers to itself
                raise _foreign()
        head = _REF.sub(lambda ref: b"%d 0 R" % new[int(ref[1])], head)
        known = hashlib.sha256(head + one.stream).digest()
        if known in self.known and b"/Parent" not in head:  # each page is one of its own
            new[old] = self.known[known]
            return
        self.begins.append(0)
        new[old] = self.known[known] = len(self.begins)
        yield self.object(new[old], head + one.stream)

    def end(self, title: str) -> Iterator[bytes]:
        """Yield what all files share, and where everything is."""
        kids = b" ".join(b"%d 0 R" % page for page in self.pages)
        told = b"<feff" + title.encode("utf-16-be").hex().encode() + b">"
        tree = b"<< /Type /Pages /Count %d /Kids [ %s ] >>" % (len(self.pages), kids)
        yield self.object(_TREE, tree)
        yield self.object(
            _CATALOG,
            b"<< /Type /Catalog /Pages %d 0 R /ViewerPreferences << /PrintScaling /None >> >>"
            % _TREE,
        )
        yield self.object(_INFO, b"<< /Title %s >>" % told)
        table, size = self.length, len(self.begins) + 1
        rows = b"".join(b"%010d 00000 n \n" % begin for begin in self.begins)
        yield b"xref\n0 %d\n0000000000 65535 f \n%s" % (size, rows)
        yield b"trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R >>\n" % (size, _CATALOG, _INFO)
        yield b"startxref\n%d\n%%%%EOF\n" % table


def _opened(data: bytes) -> tuple[dict[int, _Object], list[int]]:
    """Return the objects of a file by their numbers, and which of them are its pages, in order."""
    end = _found(_END.search(data, max(0, len(data) - 64)))
    table = _found(_TABLE.match(data, int(end[1])))
    count, at = int(table[1]), table.end()
    begins = []
    for _ in range(1, count):
        row = _found(_ROW.match(data, at))
        begins.append(int(row[1]))
        at = row.end()
    # an object ends where the next one in the file begins
    after = dict(zip(sorted(begins), [*sorted(begins)[1:], int(end[1])], strict=True))
    objects = {
        number: _object(data[begin : after[begin]], number)
        for number, begin in enumerate(begins, start=1)
    }
    catalog = objects[int(_found(_ROOT.search(data, at))[1])]
    tree = objects[int(_found(_PAGES.search(catalog.head))[1])]
    kids = _found(_KIDS.search(tree.head))[1]
    return objects, [int(kid[1]) for kid in _REF.finditer(kids)]


def _object(data: bytes, number: int) -> _Object:
    found = _found(_HEAD.match(data))
    if int(found[1]) != number:
        raise _foreign()
    if found[3].startswith(b"endobj"):
        return _Object(found[2], b"")
    stream = data[found.start(3) : data.rindex(b"endstream") + len(b"endstream")]
    return _Object(found[2], b"\n" + stream)


def _found(found: re.Match[bytes] | None) -> re.Match[bytes]:
    if found is None:
        raise _foreign()
    return found


def _foreign() -> Defect:
    return Defect(
        "a PDF that is not as we write them",
        "cards are joined as they were printed",
        "nothing was written; please report this list",
        "joined",
    )
