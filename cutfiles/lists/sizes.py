"""Sizes of a row that stand in one cell, or in two units, brought to a measure a field."""

import re
from typing import Literal

from cutfiles.dataclass import dataclass
from cutfiles.lists.cells import is_bare
from cutfiles.lists.headers import Column
from cutfiles.lists.wording.checks import ASKS, Ask
from cutfiles.lists.wording.reading import Wording, read_wording
from cutfiles.lists.wording.senses import AXES
from cutfiles.units import Units

SizeRule = Literal["sizes-in-one-cell", "height-only"]
_SEVERAL = re.compile(r"[\d\"'a-z½¼¾]\s*[x×X*]\s*[\dHWDTBhwdtb¼½¾⅛⅜⅝⅞]|[:;|]|\bby\b")
_TWICE = re.compile(r"\d.*\(")
WIDE = Ask(
    "wide",
    "which number is the height: by the convention, height first, this book is wider than tall",
    'write the order into the header, as in "H x W x D", or into the cell: "H 203 x W 270 mm"',
)


@dataclass(frozen=True, slots=True)
class Sizes:
    """What a cell of sizes says.

    Attributes:
        values: fields to measures.
        rule: how it was read.
        about: it says of itself that it is not exact.
        ask: why it cannot be taken as it stands.

    """

    values: dict[str, str]
    rule: SizeRule = "sizes-in-one-cell"
    about: bool = False
    ask: Ask | None = None


def holds_several(text: str) -> bool:
    """Whether a cell of one measure holds several, or says more than a number.

    >>> holds_several("9 x 5 5/8 x 2 in"), holds_several("8 1/2 in"), holds_several("9\\" x5\\"")
    (True, False, True)
    """
    return bool(_SEVERAL.search(text))


def is_twice(text: str) -> bool:
    """Whether a measure has words or another unit in parentheses: "20 cm (7 7/8 in.)"."""
    return bool(_TWICE.search(text))


def sizes_in(text: str, column: Column, bare: Units | None) -> Sizes:
    """Return the measures of a cell of sizes.

    >>> sizes_in("20 x 13 x 3 cm (closed)", Column("Size", "size"), None).values
    {'height': '20 cm', 'width': '13 cm', 'thickness': '3 cm'}
    """
    read = read_wording(text, column.unit or bare or "", column.order)
    values = {name: measure for name, measure in _named(read) if measure}
    if read.ask == ASKS["height"] and read.height:
        return Sizes(values, "height-only", read.about)
    return Sizes(values, about=read.about, ask=read.ask or (WIDE if read.wide else None))


def _named(read: Wording) -> tuple[tuple[str, str], ...]:
    texts = (read.height, read.width, read.thickness)
    return (*zip(AXES, texts, strict=True), ("weight", read.weight))


def one_measure(text: str, column: Column) -> tuple[str, Ask | None]:
    """Return the one measure of a cell that says it in two units, or why it cannot be known.

    >>> one_measure("20 cm (7 7/8 in.)", Column("W", "width"))[0]
    '20 cm'
    """
    read = read_wording(text, column.unit)
    found = [measure for _, measure in _named(read) if measure]
    if len(found) == 1 and read.ask == ASKS["height"] and not is_bare(found[0]):
        return found[0], None
    return text, read.ask or ASKS["several"]
