"""In which order to paint polygons of space, so that what is nearer hides what lies behind it."""

import math
from collections.abc import Sequence

from cutfiles.folding.space import Spot, dot, length

Place = tuple[float, float]
_EPS = 0.02
"""What lies so near a plane lies in it, mm."""


def painted(
    polygons: Sequence[Sequence[Spot]], flat: Sequence[Sequence[Place]], eye: Spot
) -> list[int]:
    """Return the order in which to paint polygons, the hindmost first.

    Of two that overlap in the view and that a plane parts, the one on the eye's side comes later
    (Newell, Newell and Sancha, 1972); where neither plane parts them, the one whose middle is
    nearer does.

    Args:
        polygons: corners in space.
        flat: the same in the view.
        eye: direction towards the eye.

    """
    depth = [sum(dot(eye, c) for c in corners) / len(corners) for corners in polygons]
    before: list[set[int]] = [set() for _ in polygons]
    boxes = [_box(corners) for corners in flat]
    for i in range(len(polygons)):
        for j in range(i):
            if _boxes_apart(boxes[i], boxes[j]):
                continue
            if _apart(flat[i], flat[j]) or _apart(flat[j], flat[i]):
                continue
            first = _first(polygons[i], polygons[j], eye)
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


def _boxes_apart(
    a: tuple[float, float, float, float], b: tuple[float, float, float, float]
) -> bool:
    return a[0] >= b[2] - _EPS or b[0] >= a[2] - _EPS or a[1] >= b[3] - _EPS or b[1] >= a[3] - _EPS


def _apart(one: Sequence[Place], other: Sequence[Place]) -> bool:
    """Whether a line along one of a polygon's sides has all of the other beyond it."""
    for (ax, ay), (bx, by) in zip(one, [*one[1:], one[0]], strict=True):
        dx, dy = bx - ax, by - ay
        own = [dx * (y - ay) - dy * (x - ax) for x, y in one]
        its = [dx * (y - ay) - dy * (x - ax) for x, y in other]
        slack = _EPS * (abs(dx) + abs(dy))
        if max(own) <= min(its) + slack or max(its) <= min(own) + slack:
            return True
    return False


def _first(a: Sequence[Spot], b: Sequence[Spot], eye: Spot) -> int:
    """Return 1 where a is painted before b, -1 after it, 0 where it does not matter."""
    for one, other, sign in ((a, b, 1), (b, a, -1)):
        normal = normal_of(one)
        if length(normal) == 0:
            continue
        facing = dot(normal, eye)
        if abs(facing) < 1e-9 * length(normal):
            continue
        turn = math.copysign(1.0, facing) / length(normal)
        sides = [turn * dot(normal, corner - one[0]) for corner in other]
        if max(sides) <= _EPS and min(sides) < -_EPS:
            return -sign
        if min(sides) >= -_EPS and max(sides) > _EPS:
            return sign
    return 0


def normal_of(corners: Sequence[Spot]) -> Spot:
    """Return a polygon's normal (Newell's sum)."""
    x = y = z = 0.0
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        x += (a.y - b.y) * (a.z + b.z)
        y += (a.z - b.z) * (a.x + b.x)
        z += (a.x - b.x) * (a.y + b.y)
    return Spot(x, y, z)
