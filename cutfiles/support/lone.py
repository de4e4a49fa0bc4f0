"""A cover that lies alone, or nearly: it weighs little, and holds nothing but itself."""

import re

from cutfiles.bench.book import SideName
from cutfiles.bench.guess import COVER_THICKNESS
from cutfiles.bench.questions import book_thickness
from cutfiles.bench.slip import Slip
from cutfiles.support.loads import side_weights

LONE = 0.2
"""A side with less of the book's thickness is a lone cover, or nearly (common practice)."""
_WORDS = re.compile(r"pastedown|title page|frontispiece|f\. ?1r\b", re.IGNORECASE)


def lone_side(slip: Slip) -> SideName | None:
    """Return the side whose cover lies alone: by the two thicknesses, else by what is shown."""
    left, right = slip.opening.left.side, slip.opening.right.side
    if left and right:
        share = left / (left + right)
        return "left" if share < LONE else "right" if share > 1 - LONE else None
    return "left" if _WORDS.search(slip.opening.label) else None


def loads(slip: Slip, weight: float) -> tuple[float, float]:
    """Return what each side of a book of this weight (g) weighs, N.

    Half each, or by the two thicknesses; a lone cover whose side was not measured weighs by the
    thickness of a cover.
    """
    left, right = slip.opening.left.side, slip.opening.right.side
    if not (left and right) and lone_side(slip) == "left":
        cover = left or COVER_THICKNESS[slip.book.cover]
        left, right = cover, max(cover, book_thickness(slip) - cover)
    return side_weights(weight, left, right)
