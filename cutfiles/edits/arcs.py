"""Flattened curves turned back to few lines and arcs, doubled nodes dropped.

Editors write arcs as Bézier curves, splines or short chords. A run of chords that lies on one
circle becomes an arc again, so that what is accepted is cut as smoothly as it was drawn.
"""

import math
from collections.abc import Sequence
from itertools import pairwise

from cutfiles.plane.measure import arc_centre, arc_radius, distance
from cutfiles.plane.shapes import Path, Point, circle

FLAT = 0.002
"""Curves are flattened to chords no further off, mm."""
DOUBLE = 0.001
"""Nodes nearer than this are one, mm."""
JOINS = 0.02
"""An end that comes back to its beginning as near as this closes, mm: files round to 0.01."""
_OFF = 0.012
"""A chord's ends may lie so far off an arc, mm."""
_BOW = 0.03
"""And its middle, mm: a polygon of long sides is no circle."""
_LEVEL = 0.002
"""A node so near to the line of its neighbours is idle, mm."""
_LARGEST = 3000.0
_LEAST, _MOST_RUN = 4, 260


def smooth(points: Sequence[tuple[float, float]], closed: bool = False) -> Path | None:
    """Return chords as a path of lines and arcs; None where they draw nothing.

    Args:
        points: along the curve, mm.
        closed: whether the file closes it; ends that meet close it too.

    """
    kept: list[Point] = []
    for x, y in points:
        if not kept or distance(kept[-1], (x, y)) > DOUBLE:
            kept.append(Point(x, y))
    if len(kept) > 2 and distance(kept[0], kept[-1]) <= (DOUBLE if closed else JOINS):
        closed = True
        kept.pop()
    if len(kept) < 2 or (closed and len(kept) < 3):
        closed = False
    if len(kept) < 2:
        return None
    if closed:
        kept = _from_corner(kept)
        kept.append(kept[0])
    corners, bulges = [kept[0]], list[float]()
    at, last = 0, len(kept) - 1
    while at < last:
        to, bulge = _run(kept, at)
        corners.append(kept[to])
        bulges.append(bulge)
        at = to
    if closed:
        corners.pop()
    path = Path(tuple(corners), tuple(bulges), closed)
    return _whole_circle(path) or path


def _from_corner(points: list[Point]) -> list[Point]:
    """Return a ring that begins at its sharpest corner, so that no arc runs over its beginning."""
    turns = [
        abs(_turn(points[i - 1], points[i], points[(i + 1) % len(points)]))
        for i in range(len(points))
    ]
    sharpest = max(turns)
    first = next(i for i, turn in enumerate(turns) if turn > sharpest - 1e-6)
    if sharpest < 0.5:  # a smooth ring keeps its beginning
        return points
    return points[first:] + points[:first]


def _turn(a: Point, b: Point, c: Point) -> float:
    """Return by how much the way turns at b, radians."""
    one, two = math.atan2(b.y - a.y, b.x - a.x), math.atan2(c.y - b.y, c.x - b.x)
    return math.remainder(two - one, math.tau)


def _run(points: list[Point], at: int) -> tuple[int, float]:
    """Return where the longest line or arc from a node ends, and its bulge."""
    line = _line_run(points, at)
    if line > at + 1:
        return line, 0.0
    to, bulge = at + 1, 0.0
    last = min(len(points) - 1, at + _MOST_RUN)
    if at + _LEAST - 1 > last or (fit := _arc(points, at, at + _LEAST - 1)) is None:
        return to, bulge
    to, bulge = at + _LEAST - 1, fit
    step = 1
    while to < last:  # twice as far each time, then back to the last that fits
        ahead = min(last, to + step)
        fit = _arc(points, at, ahead)
        if fit is not None:
            to, bulge, step = ahead, fit, step * 2
        elif step == 1:
            break
        else:
            step = max(1, step // 4)
    return to, bulge


def _line_run(points: list[Point], at: int) -> int:
    """Return how far nodes lie on one straight line."""
    to = at + 1
    while to + 1 < len(points) and to - at < _MOST_RUN:
        a, b = points[at], points[to + 1]
        span = distance(a, b)
        ahead = (points[to].x - a.x) * (b.x - a.x) + (points[to].y - a.y) * (b.y - a.y)
        if span <= DOUBLE or not 0 <= ahead <= span * span:
            break
        if any(_off(p, a, b) / span > _LEVEL for p in points[at + 1 : to + 1]):
            break
        to += 1
    return to


def _off(p: Point, a: Point, b: Point) -> float:
    return abs((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x))


def _arc(points: list[Point], at: int, to: int) -> float | None:
    """Return the bulge of the arc that nodes at..to lie on, at most half a turn; else None."""
    a, m, b = points[at], points[(at + to) // 2], points[to]
    found = _circle(a, m, b)
    if found is None:
        return None
    centre, radius = found
    if radius > _LARGEST:
        return None
    swept, one = 0.0, math.atan2(a.y - centre.y, a.x - centre.x)
    for p, q in pairwise(points[at : to + 1]):
        if abs(distance(centre, q) - radius) > _OFF:
            return None
        bow = radius - distance(centre, ((p.x + q.x) / 2, (p.y + q.y) / 2))
        if bow > _BOW:
            return None
        two = math.atan2(q.y - centre.y, q.x - centre.x)
        turn = math.remainder(two - one, math.tau)
        if swept * turn < 0 or abs(turn) > 1.2:
            return None
        swept, one = swept + turn, two
    if not 0.02 < abs(swept) <= math.pi * 0.51:
        return None
    return math.tan(swept / 4)


def _circle(a: Point, b: Point, c: Point) -> tuple[Point, float] | None:
    """Return centre and radius of the circle through three places; None if they lie in line."""
    d = 2 * ((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x))
    if abs(d) < 1e-9:
        return None
    bb = (b.x - a.x) ** 2 + (b.y - a.y) ** 2
    cc = (c.x - a.x) ** 2 + (c.y - a.y) ** 2
    x = ((c.y - a.y) * bb - (b.y - a.y) * cc) / d
    y = ((b.x - a.x) * cc - (c.x - a.x) * bb) / d
    return Point(a.x + x, a.y + y), math.hypot(x, y)


def _whole_circle(path: Path) -> Path | None:
    """Return a closed path of arcs about one centre as the circle it is."""
    if not path.closed or len(path.points) < 2 or not all(path.bulges):
        return None
    parts = list(path.segments())
    centres = [arc_centre(part) for part in parts]
    radii = [arc_radius(part) for part in parts]
    x, y = sum(c.x for c in centres) / len(parts), sum(c.y for c in centres) / len(parts)
    radius = sum(radii) / len(parts)
    near = all(distance(c, (x, y)) < 0.03 for c in centres)
    if not near or max(radii) - min(radii) > 0.03 or len({b > 0 for b in path.bulges}) > 1:
        return None
    return circle((round(x, 4), round(y, 4)), round(radius, 4))
