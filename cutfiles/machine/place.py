"""From the operator's view to the machine's own coordinates: origin and axes of the bed."""

from typing import NamedTuple

from cutfiles.machine.cutter import Bed, Toward
from cutfiles.plane.shapes import Path, Point

_ALONG: dict[Toward, tuple[float, float]] = {
    "right": (1.0, 0.0),
    "left": (-1.0, 0.0),
    "up": (0.0, 1.0),
    "down": (0.0, -1.0),
}


class Axes(NamedTuple):
    """Which way a machine counts, as the operator sees it."""

    x: Toward
    y: Toward

    @property
    def text(self) -> str:
        """The axes in words: ``x right, y up``."""
        return f"x {self.x}, y {self.y}"

    def moved(self, quarters: int, *, mirrored: bool) -> "Axes":
        """Return the axes mirrored about the operator's x, then turned by quarters to the left."""
        turn = 1j**quarters
        x, y = (complex(*_ALONG[axis]) for axis in self)
        both = [turn * (v.conjugate() if mirrored else v) for v in (x, y)]
        names = {complex(*way): name for name, way in _ALONG.items()}
        return Axes(*(names[complex(round(v.real), round(v.imag))] for v in both))


SEEN = Axes("right", "up")
"""The axes of the operator's view, which are the usual ones of a machine."""


def machine_point(point: tuple[float, float], bed: Bed) -> Point:
    """Return where the machine counts a place that the operator sees at (x, y) on the reach.

    x and y count from the lower left corner of what the tool reaches, right and up.

    >>> machine_point((10, 20), Bed(width=300, length=200, origin="upper-left", y_axis="down"))
    Point(x=10.0, y=180.0)
    """
    ox, oy = origin_of(bed)
    dx, dy = point[0] - ox, point[1] - oy
    x, y = _ALONG[bed.x_axis], _ALONG[bed.y_axis]
    return Point(dx * x[0] + dy * x[1], dx * y[0] + dy * y[1])


def seen_point(point: tuple[float, float], bed: Bed) -> Point:
    """Return where the operator sees a place that the machine counts as (x, y).

    >>> seen_point((10, 180), Bed(width=300, length=200, origin="upper-left", y_axis="down"))
    Point(x=10.0, y=20.0)
    """
    ox, oy = origin_of(bed)
    x, y = _ALONG[bed.x_axis], _ALONG[bed.y_axis]
    return Point(ox + point[0] * x[0] + point[1] * y[0], oy + point[0] * x[1] + point[1] * y[1])


def origin_of(bed: Bed) -> Point:
    """Return the machine's origin as the operator sees it, mm from the lower left corner."""
    width, length = bed.reach
    if bed.origin == "centre":
        return Point(width / 2, length / 2)
    return Point(
        width if bed.origin.endswith("right") else 0.0,
        length if bed.origin.startswith("upper") else 0.0,
    )


def machine_path(path: Path, bed: Bed) -> Path:
    """Return a path in the machine's own coordinates; arcs turn over where the axes do."""
    points = tuple(machine_point(point, bed) for point in path.points)
    x, y = _ALONG[bed.x_axis], _ALONG[bed.y_axis]
    turned = x[0] * y[1] - x[1] * y[0] < 0
    bulges = tuple(-b if b else 0.0 for b in path.bulges) if turned else path.bulges
    return Path(points, bulges, path.closed)


def machine_corners(bed: Bed) -> tuple[Point, ...]:
    """Return the four corners of the reach in the machine's coordinates."""
    width, length = bed.reach
    places = ((0.0, 0.0), (width, 0.0), (width, length), (0.0, length))
    return tuple(machine_point(place, bed) for place in places)
