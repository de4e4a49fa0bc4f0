"""Several PDFs as one, page after page, without a word more."""

import io
from collections.abc import Iterable


def joined(files: Iterable[bytes], title: str) -> bytes:
    """Return one PDF with the pages of all; the same files give the same bytes."""
    from pypdf import PdfReader, PdfWriter

    writer = PdfWriter()
    for data in files:
        for page in PdfReader(io.BytesIO(data)).pages:
            writer.add_page(page)
    writer.add_metadata({"/Title": title})
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
