"""Moves labels apart that would lie on one another, or on what is drawn."""

import math
from collections.abc import Sequence

from cutfiles.plane.measure import distance, distance_to_path
from cutfiles.plane.shapes import Box, Path, Point

_WAYS, _REACH = 16, 8
"""Directions, and steps of half a label, in which a free place is looked for."""


def spread(places: list[float], gap: float, low: float, high: float) -> list[float]:
    """Return ascending places moved apart as little as needed to keep `gap` between them.

    >>> spread([1.0, 1.0, 9.0], 2.0, 0.0, 10.0)
    [0.0, 2.0, 9.0]
    """
    groups: list[list[float]] = []
    for place in places:
        groups.append([place])
        while len(groups) > 1 and _first(groups[-1], gap, low, high) < (
            _first(groups[-2], gap, low, high) + gap * len(groups[-2])
        ):
            last = groups.pop()
            groups[-1] += last
    return [_first(group, gap, low, high) + gap * i for group in groups for i in range(len(group))]


def _first(group: list[float], gap: float, low: float, high: float) -> float:
    """Return where a group of neighbours begins, centred on its members and kept in range."""
    span = gap * (len(group) - 1)
    return max(low, min(high - span, sum(group) / len(group) - span / 2))


def cleared(
    place: tuple[float, float],
    reach: float,
    box: Box,
    lines: Sequence[Path] = (),
    rings: Sequence[tuple[tuple[float, float], float]] = (),
) -> Point:
    """Return the nearest place where a round label lies clear; the best one where none is free.

    Args:
        place: where its middle would stand.
        reach: its half size, mm.
        box: in which it stays.
        lines: that it must not touch.
        rings: the same, each a middle and a radius.

    >>> cleared((0.0, 0.0), 1.0, Box(-9, -9, 9, 9), rings=[((0.0, -0.5), 1.0)])
    Point(x=0.0, y=1.5)

    """

    def free(at: Point) -> float:
        found = [reach, *(distance_to_path(at, line) for line in lines)]
        found += [distance(at, middle) - radius for middle, radius in rings]
        found += [at.x - box.left, box.right - at.x, at.y - box.bottom, box.top - at.y]
        return round(min(found), 6)

    tries = [Point(*place)]
    for i in range(1, _REACH + 1):
        for k in range(_WAYS):  # upwards first
            turn = math.tau * (k / _WAYS + 0.25)
            off = i * reach / 2
            tries.append(
                Point(
                    round(place[0] + off * math.cos(turn), 6),
                    round(place[1] + off * math.sin(turn), 6),
                )
            )
    return next((at for at in tries if free(at) >= reach), max(tries, key=free))
