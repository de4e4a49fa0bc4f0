"""The dummy that proves a support, bag by bag: as many on either board, laid by turns."""

import math
from typing import NamedTuple

from cutfiles.bench.book import SIDES, SideName
from cutfiles.bench.slip import Slip
from cutfiles.support.loads import GRAVITY
from cutfiles.support.lone import loads

DUMMY = 1.5
"""A dummy weighs so many times its book (common practice, no source)."""
HEAVIEST_BAG = 250.0
"""A bag is no heavier where few are enough, g: it is laid down with one hand, slowly."""
MOST_BAGS = 6


class Bags(NamedTuple):
    """What is laid on one board: so many bags of one weight (g)."""

    side: SideName
    many: int
    grams: int

    @property
    def total(self) -> int:
        """All of them, g."""
        return self.many * self.grams


def bags_for(slip: Slip, weight: float) -> tuple[Bags, Bags]:
    """Return the bags that make the dummy of a book of this weight (g), left board first.

    The dummy is shared between the boards as the book is. Bags are filled up to a whole gram, so
    that the dummy is never lighter than 1.5 times the book.

    >>> from cutfiles.bench.slip import slip_from
    >>> slip = slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                   "spine_width": 34, "opening_angle": 120})
    >>> [tuple(bags) for bags in bags_for(slip, 641.0)]
    [('left', 2, 241), ('right', 2, 241)]

    """
    shares = [share / GRAVITY * 1000 for share in loads(slip, DUMMY * weight)]
    count = max(1, min(MOST_BAGS, math.ceil(max(shares) / HEAVIEST_BAG)))
    left, right = (
        Bags(side, count, math.ceil(share / count - 1e-9))
        for side, share in zip(SIDES, shares, strict=True)
    )
    return left, right
