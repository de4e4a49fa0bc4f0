"""Where a short name stands beside its place, off every line that is drawn."""

import math
from collections.abc import Sequence
from itertools import pairwise

from cutfiles.plane.shapes import Box

_STEP, _FAR, _CLEAR = 1.0, 14, 0.3
"""A name is tried so finely, mm, so many steps to each side, and stays so far off a line, mm."""

Place = tuple[float, float]


def name_box(
    place: Place, wide: float, tall: float, lines: Sequence[Sequence[Place]], room: Box
) -> Box:
    """Return the box of a name near a place: the nearest that no line runs through, in the room.

    Args:
        place: what is named.
        wide: of the name, mm.
        tall: of it, mm.
        lines: all that is drawn, names that stand already among them.
        room: no name leaves it.

    >>> across = [[(-50.0, 0.0), (50.0, 0.0)], [(0.0, -50.0), (0.0, 50.0)]]
    >>> name_box((0.0, 0.0), 6.0, 2.0, across, Box(-20.0, -20.0, 20.0, 20.0))
    Box(left=-7.0, bottom=-3.0, right=-1.0, top=-1.0)

    """
    x, y = place
    tries = [
        Box(left, low, left + wide, low + tall)
        for left in _around(x, wide)
        for low in _around(y, tall)
    ]
    inside = [box for box in tries if _within(box, room)] or tries
    inside.sort(key=lambda box: math.dist(box.centre, place))
    reach = box_around([corner for box in inside for corner in outline_of(box)])
    near = [line for line in lines if _touches(line, reach)]
    return next((b for b in inside if not any(_touches(ln, b) for ln in near)), inside[0])


def kept_box(box: Box, lines: Sequence[Sequence[Place]], room: Box) -> Box:
    """Return the box of a name where it is meant, or the nearest that no line runs through.

    Where there is none, it stays where it is meant.
    """
    if not any(_touches(line, box) for line in lines):
        return box
    found = name_box(box.centre, box.width, box.height, lines, room)
    return box if any(_touches(line, found) for line in lines) else found


def _around(place: float, size: float) -> list[float]:
    """Return where something of a size may begin: beside a place, on both sides of it."""
    return [place + _STEP * i - (size if i < 0 else 0.0) for i in range(-_FAR, _FAR) if i]


def outline_of(box: Box) -> list[Place]:
    """Return the outline of a name that stands, for those still to be placed."""
    left, low, right, top = box
    return [(left, low), (right, low), (right, top), (left, top), (left, low)]


def box_around(places: Sequence[Place]) -> Box:
    """Return the box of an outline: the room of what is named inside of it."""
    xs, ys = zip(*places, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _within(box: Box, room: Box) -> bool:
    across = room.left <= box.left and box.right <= room.right
    return across and room.bottom <= box.bottom and box.top <= room.top


def _touches(line: Sequence[Place], box: Box) -> bool:
    """Tell whether straight lines through points run through a box, by clipping each."""
    return any(_crosses(a, b, box) for a, b in pairwise(line))


def _crosses(a: Place, b: Place, box: Box) -> bool:
    start, end = 0.0, 1.0
    sides = (0, box.left - _CLEAR, box.right + _CLEAR), (1, box.bottom - _CLEAR, box.top + _CLEAR)
    for i, low, high in sides:
        way = b[i] - a[i]
        if way == 0.0:
            if not low <= a[i] <= high:
                return False
            continue
        first, last = sorted(((low - a[i]) / way, (high - a[i]) / way))
        start, end = max(start, first), min(end, last)
    return start <= end
