"""Parts of paths: what lies between two places along them, headings, crossings. mm, radians."""

import math
from collections.abc import Sequence

from cutfiles.plane.measure import (
    arc_centre,
    arc_radius,
    path_length,
    point_along,
    segment_length,
    sweep,
)
from cutfiles.plane.shapes import Path, Segment

_NOTHING = 1e-9


def heading_at_start(segment: Segment) -> float:
    """Return the heading with which a segment sets out, radians."""
    (ax, ay), (bx, by), _ = segment
    return math.atan2(by - ay, bx - ax) - sweep(segment) / 2


def heading_at_end(segment: Segment) -> float:
    """Return the heading with which a segment arrives, radians."""
    (ax, ay), (bx, by), _ = segment
    return math.atan2(by - ay, bx - ax) + sweep(segment) / 2


def turned(before: float, after: float) -> float:
    """Return the turn from one heading to another, −π to π, left positive."""
    return math.pi - (math.pi - (after - before)) % math.tau


def part_of_segment(segment: Segment, start: float, end: float) -> Segment:
    """Return what lies between two shares (0 to 1) of a segment's length."""
    bulge = math.tan(sweep(segment) * (end - start) / 4) if segment.bulge else 0.0
    first = segment.start if start <= 0 else point_along(segment, start)
    last = segment.end if end >= 1 else point_along(segment, end)
    return Segment(first, last, bulge)


def part_of(path: Path, start: float, end: float) -> Path:
    """Return what lies between two distances along a path, open; a closed one may be run on.

    Args:
        path: of which.
        start: distance from its first vertex, mm, 0 up to its length.
        end: a larger distance; beyond the length of a closed path it goes on from its start.

    >>> from cutfiles.plane.shapes import Point
    >>> part_of(Path((Point(0, 0), Point(9, 0)), (0.0,), closed=False), 2, 5).points
    (Point(x=2.0, y=0.0), Point(x=5.0, y=0.0))

    """
    segments = list(path.segments())
    if path.closed:
        rounds = max(1, math.ceil(end / path_length(path)))
        segments = segments * rounds
    pieces: list[Segment] = []
    at = 0.0
    for segment in segments:
        length = segment_length(segment)
        low, high = max(start - at, 0.0), min(end - at, length)
        if high - low > _NOTHING:
            pieces.append(part_of_segment(segment, low / length, high / length))
        at += length
    return joined(pieces)


def joined(segments: list[Segment]) -> Path:
    """Return segments end to end as one open path."""
    points = (segments[0].start, *(segment.end for segment in segments))
    return Path(tuple(points), tuple(segment.bulge for segment in segments), closed=False)


def crossings(line: Segment, other: Segment, reach: float = 1e-6) -> list[float]:
    """Return where a straight segment meets another line or arc: distances along it, mm.

    Args:
        line: straight.
        other: line or arc.
        reach: how near an end counts as meeting, mm.

    >>> from cutfiles.plane.shapes import Point
    >>> crossings(Segment(Point(0, 0), Point(9, 0), 0.0), Segment(Point(4, -1), Point(4, 1), 0.0))
    [4.0]

    """
    (ax, ay), (bx, by), _ = line
    length = math.hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / length, (by - ay) / length
    if other.bulge == 0:
        found = _cross_line(ax, ay, ux, uy, other, reach)
    else:
        found = _cross_arc(ax, ay, ux, uy, other, reach)
    return [t for t in found if -reach <= t <= length + reach]


def _cross_line(
    ax: float, ay: float, ux: float, uy: float, other: Segment, reach: float
) -> list[float]:
    (cx, cy), (dx, dy), _ = other
    span = math.hypot(dx - cx, dy - cy)
    vx, vy = (dx - cx) / span, (dy - cy) / span
    across = ux * vy - uy * vx
    if abs(across) < 1e-9:
        return []
    t = ((cx - ax) * vy - (cy - ay) * vx) / across
    s = ((cx - ax) * uy - (cy - ay) * ux) / across
    return [t] if -reach <= s <= span + reach else []


def _cross_arc(
    ax: float, ay: float, ux: float, uy: float, other: Segment, reach: float
) -> list[float]:
    cx, cy = arc_centre(other)
    radius = arc_radius(other)
    middle = (cx - ax) * ux + (cy - ay) * uy
    off = (cx - ax) * uy - (cy - ay) * ux
    if abs(off) > radius:
        return []
    half = math.sqrt(max(0.0, radius * radius - off * off))
    begin = math.atan2(other.start.y - cy, other.start.x - cx)
    turn = sweep(other)
    found = []
    for t in dict.fromkeys((middle - half, middle + half)):
        place = math.atan2(ay + uy * t - cy, ax + ux * t - cx)
        along = (place - begin) % math.tau if turn > 0 else (begin - place) % math.tau
        slack = reach / radius
        if along <= abs(turn) + slack or along >= math.tau - slack:
            found.append(t)
    return found


def inside(point: tuple[float, float], corners: Sequence[tuple[float, float]]) -> bool:
    """Return whether a place lies in a polygon, by the crossings of a ray to the right."""
    x, y = point
    odd = False
    ax, ay = corners[-1] if corners else point
    for bx, by in corners:
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            odd = not odd
        ax, ay = bx, by
    return odd
