"""Free film on a sheet that holds pieces already: the largest free rectangles, places in them.

Whole numbers, as in the search; every piece is as large as itself and the room beside it.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from cutfiles.film.skyline import Variants


class Box(NamedTuple):
    """A rectangle: left, bottom, width, height."""

    left: int
    bottom: int
    width: int
    height: int


def free_boxes(width: int, height: int, taken: Iterable[Box]) -> list[Box]:
    """Return the largest rectangles of a sheet that hold no piece.

    >>> free_boxes(10, 10, [Box(0, 0, 10, 4)])
    [Box(left=0, bottom=4, width=10, height=6)]
    """
    free = [Box(0, 0, width, height)]
    for one in taken:
        free = without(free, one)
    return free


def without(free: Sequence[Box], taken: Box) -> list[Box]:
    """Return what is left of free rectangles around a piece, none inside another.

    >>> without([Box(0, 0, 10, 10)], Box(4, 0, 6, 10))
    [Box(left=0, bottom=0, width=4, height=10)]
    """
    cut: list[Box] = []
    for one in free:
        cut += _around(one, taken)
    kept: list[Box] = []
    for one in sorted(set(cut), key=lambda box: (-box.width * box.height, box)):
        if not any(_inside(one, other) for other in kept):
            kept.append(one)
    return kept


def best_place(free: Iterable[Box], ways: Variants) -> Box | None:
    """Return where a piece lies best, the tightest place first; None where it lies nowhere.

    >>> best_place([Box(0, 0, 90, 90), Box(0, 90, 50, 21)], ((20, 50), (50, 20)))
    Box(left=0, bottom=90, width=50, height=20)
    """
    fits = [
        (min(one.width - w, one.height - h), one.bottom, one.left, w, h)
        for one in free
        for w, h in ways
        if w <= one.width and h <= one.height
    ]
    if not fits:
        return None
    _, bottom, left, w, h = min(fits)
    return Box(left, bottom, w, h)


def _around(one: Box, taken: Box) -> list[Box]:
    """Return the rectangles of one that lie beside, below and above what is taken."""
    right, top = one.left + one.width, one.bottom + one.height
    end, up = taken.left + taken.width, taken.bottom + taken.height
    if taken.left >= right or end <= one.left or taken.bottom >= top or up <= one.bottom:
        return [one]
    beside = [
        Box(one.left, one.bottom, taken.left - one.left, one.height),
        Box(end, one.bottom, right - end, one.height),
        Box(one.left, one.bottom, one.width, taken.bottom - one.bottom),
        Box(one.left, up, one.width, top - up),
    ]
    return [box for box in beside if box.width > 0 and box.height > 0]


def _inside(one: Box, other: Box) -> bool:
    return (
        one.left >= other.left
        and one.bottom >= other.bottom
        and one.left + one.width <= other.left + other.width
        and one.bottom + one.height <= other.bottom + other.height
    )
