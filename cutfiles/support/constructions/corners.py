"""An outline as corners, each with its own radius."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from cutfiles.errors import Defect
from cutfiles.plane.shapes import Path, Point


class Corner(NamedTuple):
    """A corner of an outline before it is rounded, mm."""

    x: float
    y: float
    radius: float


def rounded(corners: Sequence[Corner]) -> Path:
    """Return the closed outline of corners, each rounded by an arc of its radius.

    Raises:
        Defect: two roundings would overlap.

    >>> square = [Corner(0, 0, 1), Corner(4, 0, 0), Corner(4, 4, 0), Corner(0, 4, 0)]
    >>> [(round(x, 3), round(y, 3)) for x, y in rounded(square).points[:2]]
    [(0.0, 1.0), (1.0, 0.0)]

    """
    count = len(corners)
    turns = [_turn(corners[i - 1], corners[i], corners[(i + 1) % count]) for i in range(count)]
    cuts = [one.radius * math.tan(abs(turn) / 2) for one, turn in zip(corners, turns, strict=True)]
    points: list[Point] = []
    bulges: list[float] = []
    for i, corner in enumerate(corners):
        after = corners[(i + 1) % count]
        room = math.dist(corner[:2], after[:2])
        if cuts[i] + cuts[(i + 1) % count] > room + 1e-9:
            raise Defect(
                f"corners at ({corner.x:.3f}, {corner.y:.3f}) and ({after.x:.3f}, {after.y:.3f})",
                f"their roundings need {cuts[i] + cuts[(i + 1) % count]:.3f} mm of {room:.3f} mm",
                "report this slip",
                "outline",
            )
        if cuts[i] > 0:
            points.append(_toward(corner, corners[i - 1], cuts[i]))
            bulges.append(math.tan(turns[i] / 4))
            points.append(_toward(corner, after, cuts[i]))
        else:
            points.append(Point(corner.x, corner.y))
        bulges.append(0.0)
    return Path(tuple(points), tuple(bulges), closed=True)


def _turn(before: Corner, at: Corner, after: Corner) -> float:
    """Return by how much the outline turns at a corner, counter-clockwise positive."""
    start = math.atan2(at.y - before.y, at.x - before.x)
    end = math.atan2(after.y - at.y, after.x - at.x)
    return math.remainder(end - start, math.tau)


def _toward(start: Corner, end: Corner, length: float) -> Point:
    share = length / math.dist(start[:2], end[:2])
    return Point(start.x + (end.x - start.x) * share, start.y + (end.y - start.y) * share)
