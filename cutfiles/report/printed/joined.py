"""Several of our PDFs as one, page after page, without a word more.

Pages are taken as they stand and handed on before the next file is read: however many there are,
one is in memory. Their fonts are made anew, once, of all letters that are on them.
"""

from collections.abc import Iterable, Iterator

from cutfiles.report.printed.document import document, pages_of


def joined(files: Iterable[bytes], title: str) -> Iterator[bytes]:
    """Yield one PDF with the pages of all, part by part; the same files give the same bytes.

    Raises:
        Defect: one of the files is not as we write them.

    """
    return document(map(pages_of, files), title)
