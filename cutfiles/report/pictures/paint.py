"""In which order to paint polygons of space, so that what is nearer hides what lies behind it."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from cutfiles.folding.space import Spot, dot, length

Place = tuple[float, float]
_EPS = 0.02
"""What lies so near a plane lies in it, mm."""


class _Side(NamedTuple):
    """A side of a polygon in the view: its way, and between which lines along it the polygon lies.

    A place lies beyond it where dx · y − dy · x is no less than `high`, or no more than `low`.
    """

    dx: float
    dy: float
    low: float
    high: float


class Shape:
    """A convex polygon of the page, held against others: boxes tell most of them apart.

    Attributes:
        corners: in order.
        box: left, bottom, right and top.

    """

    __slots__ = ("_middle", "_sides", "box", "corners")

    def __init__(self, corners: Sequence[Place]) -> None:
        self.corners, self.box = corners, _box(corners)
        self._sides: list[_Side] | None = None
        self._middle: Place | None = None

    @property
    def sides(self) -> list[_Side]:
        """Its sides, one of those that run the same way; found once, and seldom asked for."""
        if self._sides is None:
            self._sides = _sides(self.corners)
        return self._sides

    @property
    def middle(self) -> Place:
        """The mean of its corners: within it, for it is convex."""
        if self._middle is None:
            xs, ys = zip(*self.corners, strict=True)
            self._middle = sum(xs) / len(xs), sum(ys) / len(ys)
        return self._middle


class _Plane(NamedTuple):
    """The plane of a polygon: a place in it, its normal, and what makes that a unit to the eye."""

    place: Spot
    normal: Spot
    turn: float


def painted(polygons: Sequence[Sequence[Spot]], shapes: Sequence[Shape], eye: Spot) -> list[int]:
    """Return the order in which to paint polygons, the hindmost first.

    Of two that overlap in the view and that a plane parts, the one on the eye's side comes later
    (Newell, Newell and Sancha, 1972); where neither plane parts them, the one whose middle is
    nearer does.

    Args:
        polygons: corners in space.
        shapes: the same in the view.
        eye: direction towards the eye.

    """
    depth = [sum(dot(eye, c) for c in corners) / len(corners) for corners in polygons]
    before: list[set[int]] = [set() for _ in polygons]
    # what belongs to one polygon alone is worked out once, not for every pair: 5 times as fast
    planes = [_plane(corners, eye) for corners in polygons]
    for i, one in enumerate(shapes):
        for j, other in enumerate(shapes[:i]):
            if apart(one, other):
                continue
            first = _beside(planes[i], polygons[j]) or -_beside(planes[j], polygons[i])
            if first:
                behind, front = (i, j) if first > 0 else (j, i)
                before[front].add(behind)
    left = sorted(range(len(polygons)), key=lambda i: depth[i])
    order: list[int] = []
    while left:
        done = set(order)
        ready = next((i for i in left if before[i] <= done), left[0])
        left.remove(ready)
        order.append(ready)
    return order


def _box(places: Sequence[Place]) -> tuple[float, float, float, float]:
    xs, ys = zip(*places, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def apart(one: Shape, other: Shape) -> bool:
    """Tell whether two convex polygons of the page lie beside one another."""
    left, low, right, top = one.box
    its_left, its_low, its_right, its_top = other.box
    return (
        left >= its_right - _EPS
        or its_left >= right - _EPS
        or low >= its_top - _EPS
        or its_low >= top - _EPS
    ) or (
        # where the middle of one lies in both, no line parts them: 8 ms a folded picture for 11
        not _both(one.middle, one.sides, other.sides)
        and not _both(other.middle, other.sides, one.sides)
        and (_apart(one.sides, other.corners) or _apart(other.sides, one.corners))
    )


def _both(place: Place, own: Sequence[_Side], others: Sequence[_Side]) -> bool:
    """Tell whether a place lies well within two polygons."""
    x, y = place
    for dx, dy, low, high in others:
        if not low < dx * y - dy * x < high:
            return False
    return all(low < dx * y - dy * x < high for dx, dy, low, high in own)


def _sides(corners: Sequence[Place]) -> list[_Side]:
    """Return a polygon's sides, one of those that run the same way."""
    found: list[_Side] = []
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], corners[0]], strict=True):
        dx, dy = bx - ax, by - ay
        size = abs(dx) + abs(dy)
        for ox, oy, _, _ in found:
            if abs(dx * oy - dy * ox) <= 1e-9 * size * (abs(ox) + abs(oy)):
                break
        else:
            own = [dx * y - dy * x for x, y in corners]
            found.append(_Side(dx, dy, min(own) + _EPS * size, max(own) - _EPS * size))
    return found


def _apart(sides: Sequence[_Side], other: Sequence[Place]) -> bool:
    """Whether a line along one of a polygon's sides has all of the other beyond it."""
    for dx, dy, low, high in sides:
        its = [dx * y - dy * x for x, y in other]
        if min(its) >= high or max(its) <= low:
            return True
    return False


def _plane(corners: Sequence[Spot], eye: Spot) -> _Plane | None:
    """Return the plane of a polygon, its normal towards the eye; none seen edge on."""
    normal = normal_of(corners)
    size, facing = length(normal), dot(normal, eye)
    if size == 0 or abs(facing) < 1e-9 * size:
        return None
    turn = math.copysign(1.0, facing) / size
    return _Plane(corners[0], normal, turn)


def _beside(plane: _Plane | None, other: Sequence[Spot]) -> int:
    """Return 1 where all of a polygon lies before a plane, -1 behind it, 0 where neither."""
    if plane is None:
        return 0
    (ox, oy, oz), (nx, ny, nz), turn = plane
    sides = [turn * (nx * (x - ox) + ny * (y - oy) + nz * (z - oz)) for x, y, z in other]
    least, most = min(sides), max(sides)
    if most <= _EPS and least < -_EPS:
        return -1
    return 1 if least >= -_EPS and most > _EPS else 0


def normal_of(corners: Sequence[Spot]) -> Spot:
    """Return a polygon's normal (Newell's sum)."""
    x = y = z = 0.0
    ax, ay, az = corners[-1]
    for bx, by, bz in corners:
        x += (ay - by) * (az + bz)
        y += (az - bz) * (ax + bx)
        z += (ax - bx) * (ay + by)
        ax, ay, az = bx, by, bz
    return Spot(x, y, z)
