"""Places and motions in space. mm, radians; x to the right, y to the head, z up."""

import math
from typing import NamedTuple

from cutfiles.plane.shapes import Point
from cutfiles.support.profile import Root


class Spot(NamedTuple):
    """A place, or a direction, in space."""

    x: float
    y: float
    z: float

    def __sub__(self, other: tuple[float, float, float]) -> "Spot":
        """Return the way from another place to this one."""
        return Spot(self.x - other[0], self.y - other[1], self.z - other[2])


def dot(a: Spot, b: Spot) -> float:
    """Return the scalar product."""
    return a.x * b.x + a.y * b.y + a.z * b.z


def cross(a: Spot, b: Spot) -> Spot:
    """Return the vector product."""
    return Spot(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x)


def length(a: Spot) -> float:
    """Return how long a way is, mm."""
    return math.sqrt(dot(a, a))


class Motion(NamedTuple):
    """A rigid motion: three rows of a rotation, then a shift.

    >>> hinge(Point(0, 0), Point(0, 1), math.pi / 2).place(Point(2, 5))
    Spot(x=0.0, y=5.0, z=2.0)
    """

    rows: tuple[Spot, Spot, Spot]
    shift: Spot

    def apply(self, spot: Spot) -> Spot:
        """Return where a place goes."""
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = self.rows
        (x, y, z), (to_x, to_y, to_z) = spot, self.shift
        return Spot(  # `dot` of each row written out: an eighth of a fold check was spent here
            ax * x + ay * y + az * z + to_x,
            bx * x + by * y + bz * z + to_y,
            cx * x + cy * y + cz * z + to_z,
        )

    def place(self, point: tuple[float, float]) -> Spot:
        """Return where a place of the flat drawing goes."""
        return self.apply(Spot(point[0], point[1], 0.0))

    def turn(self, way: Spot) -> Spot:
        """Return where a direction points."""
        a, b, c = self.rows
        return Spot(dot(a, way), dot(b, way), dot(c, way))

    @property
    def normal(self) -> Spot:
        """Where the book face points."""
        return self.turn(Spot(0.0, 0.0, 1.0))

    def after(self, first: "Motion") -> "Motion":
        """Return the motion that does `first`, then this one."""
        columns = [Spot(*(row[i] for row in first.rows)) for i in range(3)]
        turned = [self.turn(column) for column in columns]
        rows = tuple(Spot(*(column[i] for column in turned)) for i in range(3))
        return Motion((rows[0], rows[1], rows[2]), self.apply(first.shift))


STILL = Motion((Spot(1.0, 0.0, 0.0), Spot(0.0, 1.0, 0.0), Spot(0.0, 0.0, 1.0)), Spot(0.0, 0.0, 0.0))


def shifted(x: float, y: float, z: float) -> Motion:
    """Return a shift."""
    return Motion(STILL.rows, Spot(x, y, z))


def hinge(a: Point, b: Point, angle: float) -> Motion:
    """Return the fold of what lies on the right of the line from a to b; valley positive.

    A valley lifts it towards the book face, which is up in the flat drawing (Rodrigues' formula
    for a turn by −angle about the way from a to b).
    """
    way = Spot(b.x - a.x, b.y - a.y, 0.0)
    size = length(way)
    x, y = way.x / size, way.y / size
    # whole turns and halves exactly, so that layers lie on one another without rounding
    cos, sin = (math.cos(angle), -math.sin(angle))
    if abs(abs(angle) - math.pi) < 1e-12:
        cos, sin = -1.0, 0.0
    elif abs(abs(angle) - math.pi / 2) < 1e-12:
        cos, sin = 0.0, -math.copysign(1.0, angle)
    k = 1.0 - cos
    rows = (
        Spot(cos + x * x * k, x * y * k, y * sin),
        Spot(x * y * k, cos + y * y * k, -x * sin),
        Spot(-y * sin, x * sin, cos),
    )
    pivot = Spot(a.x, a.y, 0.0)
    turned = Motion(rows, Spot(0.0, 0.0, 0.0)).apply(pivot)
    return Motion(rows, pivot - turned)


def standing(root: Root, left: float, bottom: float = 0.0) -> Motion:
    """Return the move from a drawing folded about its root panel, which lies still, to the table.

    Args:
        root: which panel that is, and how it stands.
        left: x of its left end in the drawing, mm.
        bottom: y of the support's tail edge in the drawing, mm.

    >>> standing(Root("base", Point(5.0, 0.0), math.pi), 2.0).place(Point(3.0, 7.0))
    Spot(x=4.0, y=7.0, z=0.0)

    """
    cos, sin = round(math.cos(root.heading), 12), round(math.sin(root.heading), 12)
    rows = (Spot(cos, 0.0, 0.0 - sin), Spot(0.0, 1.0, 0.0), Spot(sin, 0.0, cos))
    x, z = root.at
    return Motion(rows, Spot(x - left * cos, -bottom, z - left * sin))
