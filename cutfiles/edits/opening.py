"""Opens a drawing that somebody saved: SVG, DXF or PDF, told by its bytes."""

import gzip
import io

from cutfiles.edits.limits import refusal, too_much
from cutfiles.edits.line import Opened
from cutfiles.files.readers.limits import MOST_BYTES


def open_drawing(data: bytes, times: float = 1.0) -> Opened:
    """Return what a drawing holds, whatever saved it.

    Args:
        data: bytes of the file, packed or not.
        times: how many times as large it is to be taken as it states: curves are flattened to
            tolerances in mm, so a drawing of another scale is opened at its own.

    Raises:
        FileError: it is no drawing of a kind we open, is damaged, or holds more than is read.

    """
    if data[:2] == b"\x1f\x8b":
        data = _unpacked(data)
    if len(data) > MOST_BYTES:
        raise too_much("bytes", MOST_BYTES)
    head = data[:4096].removeprefix(b"\xef\xbb\xbf").lstrip()
    if b"%PDF-" in head[:1024]:
        from cutfiles.edits.pdf import open_pdf

        return open_pdf(data, times)
    if b"<svg" in head or head.startswith(b"<?xml") or b":svg" in head:
        from cutfiles.edits.svg import open_svg

        return open_svg(data, times)
    if head.startswith((b"0", b"999", b"AutoCAD Binary")) and b"SECTION" in data[:200_000]:
        from cutfiles.edits.dxf import open_dxf

        return open_dxf(data, times)
    raise refusal(
        "a file that is no drawing", "an SVG, DXF or PDF is needed", "name the edited drawing"
    )


def _unpacked(data: bytes) -> bytes:
    try:
        with gzip.open(io.BytesIO(data)) as packed:
            return packed.read(MOST_BYTES + 1)
    except (OSError, EOFError, ValueError):
        raise refusal("a packed file that is damaged", "a whole file is needed") from None
