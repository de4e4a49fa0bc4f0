"""A cover that lies alone, or nearly: it weighs little, and holds nothing but itself."""

import re

from cutfiles.bench.book import SideName
from cutfiles.bench.guess import COVER_THICKNESS
from cutfiles.bench.questions import book_thickness
from cutfiles.bench.slip import Slip
from cutfiles.support.loads import side_weights

LONE = 0.2
"""A lone cover, or nearly, has less of the book's thickness (common practice) ..."""
LONE_MOST = 5.0
"""... and is no thicker, mm: a board and few leaves (our own step). Leaves lie on a thicker one."""
_WORDS = re.compile(r"pastedown|title page|frontispiece|f\. ?1r\b", re.IGNORECASE)


def lone_side(slip: Slip) -> SideName | None:
    """Return the side whose cover lies alone: by the two thicknesses, else by what is shown.

    A side is thin beside the other one: both sides of a pamphlet have leaves, thin as they are. Of
    one side that was measured the other is the rest of the book.

    >>> from cutfiles.bench.slip import slip_from
    >>> book = {"number": "A1", "units": "mm", "height": 203, "width": 133, "opening_angle": 120}
    >>> [lone_side(slip_from({**book, "spine_width": a + b, "left_side": a, "right_side": b}))
    ...  for a, b in ((3, 22), (3, 3), (8, 60))]
    ['left', None, None]

    """
    left, right = slip.opening.left.side, slip.opening.right.side
    if left is None and right is None:
        return "left" if _WORDS.search(slip.opening.label) else None
    whole = book_thickness(slip) if left is None or right is None else left + right
    left = max(0.0, whole - (right or 0.0)) if left is None else left
    right = max(0.0, whole - left) if right is None else right
    thin, other = min(left, right), max(left, right)
    if thin > LONE_MOST or thin >= LONE * (thin + other):
        return None
    return "left" if left < right else "right"


def loads(slip: Slip, weight: float) -> tuple[float, float]:
    """Return what each side of a book of this weight (g) weighs, N.

    Half each, or by the two thicknesses; a lone cover whose side was not measured weighs by the
    thickness of a cover.
    """
    left, right = slip.opening.left.side, slip.opening.right.side
    lone = lone_side(slip)
    if not (left and right) and lone is not None:
        cover = (left if lone == "left" else right) or COVER_THICKNESS[slip.book.cover]
        rest = max(cover, book_thickness(slip) - cover)
        left, right = (cover, rest) if lone == "left" else (rest, cover)
    return side_weights(weight, left, right)
