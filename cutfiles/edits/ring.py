"""Stretches of a ring: where a place lies on it, what runs between two places, what replaces it."""

import math
from typing import NamedTuple

from cutfiles.plane.measure import (
    arc_centre,
    distance,
    path_area,
    point_along,
    segment_length,
    sweep,
)
from cutfiles.plane.moves import reverse
from cutfiles.plane.parts import joined, part_of_segment
from cutfiles.plane.shapes import Path, Point, Segment


class Spot(NamedTuple):
    """A place on a path: which segment, and the share of its length."""

    segment: int
    share: float


def counter_clockwise(ring: Path) -> Path:
    """Return a closed path that runs counter-clockwise."""
    return ring if path_area(ring) >= 0 else reverse(ring)


def locate(ring: Path, place: tuple[float, float]) -> tuple[Spot, float]:
    """Return the spot on a path nearest to a place, and how far off it lies, mm."""
    best, off = Spot(0, 0.0), math.inf
    for i, part in enumerate(ring.segments()):
        share = _share(part, place)
        apart = distance(point_along(part, share), place)
        if apart < off - 1e-9:
            best, off = Spot(i, share), apart
    return best, off


def _share(part: Segment, place: tuple[float, float]) -> float:
    """Return how far along a segment the spot nearest to a place lies, 0 to 1."""
    (ax, ay), (bx, by), bulge = part
    if bulge == 0:
        dx, dy = bx - ax, by - ay
        span = dx * dx + dy * dy
        along = ((place[0] - ax) * dx + (place[1] - ay) * dy) / span if span else 0.0
        return min(1.0, max(0.0, along))
    centre, turn = arc_centre(part), sweep(part)
    start = math.atan2(ay - centre.y, ax - centre.x)
    along = math.atan2(place[1] - centre.y, place[0] - centre.x) - start
    along = along % math.tau if turn > 0 else -((-along) % math.tau)
    if abs(along) <= abs(turn):
        return along / turn
    return 0.0 if distance(place, (ax, ay)) < distance(place, (bx, by)) else 1.0


def place_of(ring: Path, spot: Spot) -> Point:
    """Return the place of a spot."""
    part = list(ring.segments())[spot.segment]
    return point_along(part, spot.share)


def between(ring: Path, first: Spot, last: Spot) -> Path:
    """Return the stretch of a ring from one spot onwards to another, open."""
    parts = list(ring.segments())
    count = len(parts)
    run: list[Segment] = []
    at, start = first.segment, first.share
    if at == last.segment and start <= last.share:
        run.append(part_of_segment(parts[at], start, last.share))
    else:
        run.append(part_of_segment(parts[at], start, 1.0))
        at = (at + 1) % count
        while at != last.segment:
            run.append(parts[at])
            at = (at + 1) % count
        run.append(part_of_segment(parts[at], 0.0, last.share))
    return joined([part for part in run if segment_length(part) > 1e-6] or [run[0]])


def spliced(ring: Path, stretch: Path) -> Path:
    """Return a ring in which a stretch runs otherwise, between the spots where it meets the ring.

    The ring runs counter-clockwise, and so does the stretch.
    """
    first, _ = locate(ring, stretch.points[0])
    last, _ = locate(ring, stretch.points[-1])
    rest = between(ring, last, first)
    points = (*rest.points, *stretch.points[1:-1])
    return _lean(Path(points, (*rest.bulges, *stretch.bulges), True))


def _lean(ring: Path) -> Path:
    """Return a ring without idle vertices on straight lines, or doubled ones."""
    points, bulges = list(ring.points), list(ring.bulges)
    i = 0
    while i < len(points) and len(points) > 3:
        after = points[(i + 1) % len(points)]
        if distance(points[i], after) < 1e-6:
            del points[(i + 1) % len(points)], bulges[i]
            continue
        before = points[i - 1]
        straight = bulges[i - 1] == 0 and bulges[i] == 0
        span = distance(before, after)
        if straight and span > 0:
            off = abs(
                (after.x - before.x) * (points[i].y - before.y)
                - (after.y - before.y) * (points[i].x - before.x)
            )
            ahead = (points[i].x - before.x) * (after.x - before.x) + (points[i].y - before.y) * (
                after.y - before.y
            )
            if off / span < 1e-6 and 0 < ahead < span * span:
                del points[i], bulges[i]
                continue
        i += 1
    return Path(tuple(points), tuple(bulges), True)
