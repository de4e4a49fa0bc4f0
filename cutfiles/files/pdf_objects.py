"""What every PDF of ours is put together from: texts, streams, the table of objects.

Source: ISO 32000-1 §7.2 to §7.5 (syntax, objects, filters, file structure).
"""

import hashlib
import zlib
from array import array
from collections.abc import Iterable

POINTS_PER_MM = 72 / 25.4


def text_string(text: str) -> str:
    """Return a text as UTF-16 in hexadecimal: nothing in it can end or open anything.

    >>> text_string("A·")
    '<FEFF004100B7>'
    """
    coded = b"\xfe\xff" + text.encode("utf-16-be")
    return f"<{coded.hex().upper()}>"


def stream(data: bytes, entries: str = "") -> bytes:
    """Return bytes as a packed stream.

    Args:
        data: unpacked.
        entries: of its dictionary besides length and filter.

    """
    return packed_stream(zlib.compress(data, 9), entries)


def packed_stream(packed: bytes, entries: str = "") -> bytes:
    """Return bytes that `zlib` has packed as a stream; see `stream`."""
    said = f"<< /Length {len(packed)} /Filter /FlateDecode{entries} >>\nstream\n"
    return said.encode("ascii") + packed + b"\nendstream"


def pdf_file(objects: Iterable[bytes], info: int) -> bytes:
    """Return a whole file; the first object is the catalog.

    Args:
        objects: numbered from one.
        info: number of the one that tells title and maker.

    """
    file = GrowingPdf()
    parts = [file.begun(), *(file.added(body)[1] for body in objects)]
    return b"".join((*parts, file.ended(1, info)))


class GrowingPdf:
    """A file as it grows, part by part: how long it is, and where its objects begin."""

    def __init__(self) -> None:
        self._length = 0
        self._begins = array("Q")
        self._sum = hashlib.md5(usedforsecurity=False)

    def begun(self) -> bytes:
        """Return what every file begins with."""
        return self._grown(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")

    def added(self, body: bytes) -> tuple[int, bytes]:
        """Return the number of one more object, and the object as it stands in the file."""
        number = self.kept(1)
        return number, self.placed(number, body)

    def kept(self, count: int) -> int:
        """Keep numbers for objects that come later; return the first of them."""
        self._begins.extend([0] * count)
        return len(self._begins) - count + 1

    def placed(self, number: int, body: bytes) -> bytes:
        """Return an object whose number was kept, as it stands in the file."""
        self._begins[number - 1] = self._length
        return self._grown(b"%d 0 obj\n%b\nendobj\n" % (number, body))

    def ended(self, root: int, info: int) -> bytes:
        """Return the table of objects and the trailer."""
        start, size = self._length, len(self._begins) + 1
        rows = "".join(f"{begin:010d} 00000 n \n" for begin in self._begins)
        table = self._grown(f"xref\n0 {size}\n0000000000 65535 f \n{rows}".encode("ascii"))
        mark = self._sum.hexdigest().upper()
        trailer = (
            f"trailer\n<< /Size {size} /Root {root} 0 R /Info {info} 0 R "
            f"/ID [<{mark}> <{mark}>] >>\nstartxref\n{start}\n%%EOF\n"
        )
        return table + trailer.encode("ascii")

    def _grown(self, part: bytes) -> bytes:
        self._length += len(part)
        self._sum.update(part)
        return part
