"""Points, boxes and paths of lines and arcs. Frozen, absolute, in mm, y up.

A path states itself whether it is closed; nothing is ever inferred from its end points.
"""

from collections.abc import Iterator
from typing import Literal, NamedTuple

from cutfiles.dataclass import dataclass


class Point(NamedTuple):
    """A place in the plane, mm, y up."""

    x: float
    y: float


class Segment(NamedTuple):
    """One line or arc of a path.

    Attributes:
        start: where it begins.
        end: where it ends.
        bulge: tan(sweep / 4); 0 is a straight line, positive turns counter-clockwise.

    """

    start: Point
    end: Point
    bulge: float


Anchor = Literal["start", "middle", "end"]
"""Which end of a line of text lies at its place."""


class Box(NamedTuple):
    """The upright rectangle that holds something."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Left to right, mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Bottom to top, mm."""
        return self.top - self.bottom

    @property
    def centre(self) -> Point:
        """The middle."""
        return Point((self.left + self.right) / 2, (self.bottom + self.top) / 2)


@dataclass(frozen=True, slots=True)
class Path:
    """Lines and arcs end to end.

    Attributes:
        points: the vertices; the first one is not repeated in a closed path.
        bulges: one number a segment, as in `Segment`; a closed path has as many as vertices,
            an open one has one fewer.
        closed: whether the last vertex is joined to the first.

    >>> Path((Point(0, 0), Point(3, 4)), (0.0,), closed=False).is_straight
    True

    """

    points: tuple[Point, ...]
    bulges: tuple[float, ...]
    closed: bool

    def __post_init__(self) -> None:
        needed = len(self.points) if self.closed else len(self.points) - 1
        if len(self.points) < 2 or len(self.bulges) != needed:
            raise ValueError(
                f"a path of {len(self.points)} points, closed={self.closed}, "
                f"needs {needed} bulges and at least 2 points, found {len(self.bulges)} bulges"
            )

    @property
    def is_straight(self) -> bool:
        """Whether it has no arc."""
        return not any(self.bulges)

    def segments(self) -> Iterator[Segment]:
        """Yield the lines and arcs in order, the closing one last."""
        ends = self.points[1:] + self.points[:1]
        for start, end, bulge in zip(self.points, ends, self.bulges, strict=False):
            yield Segment(start, end, bulge)


def open_path(*points: tuple[float, float]) -> Path:
    """Return straight lines through the points, open."""
    return Path(tuple(Point(*p) for p in points), (0.0,) * (len(points) - 1), closed=False)


def closed_path(*points: tuple[float, float]) -> Path:
    """Return straight lines through the points and back to the first."""
    return Path(tuple(Point(*p) for p in points), (0.0,) * len(points), closed=True)


def rectangle(box: Box) -> Path:
    """Return the outline of a box, counter-clockwise from its lower left corner."""
    left, bottom, right, top = box
    return closed_path((left, bottom), (right, bottom), (right, top), (left, top))


def circle(centre: tuple[float, float], radius: float) -> Path:
    """Return a circle as four counter-clockwise quarter arcs from its rightmost point."""
    x, y = centre
    points = ((x + radius, y), (x, y + radius), (x - radius, y), (x, y - radius))
    return Path(tuple(Point(*p) for p in points), (QUARTER,) * 4, closed=True)


QUARTER = 0.41421356237309503
"""Bulge of a quarter turn: tan(90° / 4) = √2 − 1."""
REACH = 4 / 3 * QUARTER
"""How far from its ends a quarter of a circle has its control points as a Bézier curve, in radii.

Off the circle by 0.00027 radii at most, for its middle lies on it.
"""
