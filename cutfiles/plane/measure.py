"""Measures of shapes: lengths, boxes, areas, places along an arc. mm and radians."""

import math
from collections.abc import Callable, Iterable, Iterator
from itertools import chain

from cutfiles.plane.shapes import Box, Path, Point, Segment


def distance(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Return the distance of two points, in mm."""
    return math.hypot(a[0] - b[0], a[1] - b[1])


def sweep(segment: Segment) -> float:
    """Return the angle an arc turns through, counter-clockwise positive; 0 for a line."""
    return 4 * math.atan(segment.bulge)


def arc_centre(segment: Segment) -> Point:
    """Return the centre of an arc.

    Raises:
        ZeroDivisionError: the segment is a line.

    >>> arc_centre(Segment(Point(1, 0), Point(-1, 0), 1.0))
    Point(x=0.0, y=0.0)

    """
    (ax, ay), (bx, by), bulge = segment
    reach = (1 / bulge - bulge) / 4
    return Point((ax + bx) / 2 - reach * (by - ay), (ay + by) / 2 + reach * (bx - ax))


def arc_radius(segment: Segment) -> float:
    """Return the radius of an arc, in mm."""
    chord = distance(segment.start, segment.end)
    return chord * (1 + segment.bulge**2) / (4 * abs(segment.bulge))


def point_along(segment: Segment, share: float) -> Point:
    """Return the place at a share (0 to 1) of a segment's length.

    >>> point_along(Segment(Point(0, 0), Point(4, 0), 0.0), 0.25)
    Point(x=1.0, y=0.0)
    """
    (ax, ay), (bx, by), bulge = segment
    if bulge == 0:
        return Point(ax + (bx - ax) * share, ay + (by - ay) * share)
    cx, cy = arc_centre(segment)
    turn = sweep(segment) * share
    cos, sin = math.cos(turn), math.sin(turn)
    dx, dy = ax - cx, ay - cy
    return Point(cx + dx * cos - dy * sin, cy + dx * sin + dy * cos)


def midway(segment: Segment) -> Point:
    """Return the middle of a line or arc: off that of its chord by half its bulge times the chord.

    >>> midway(Segment(Point(1, 0), Point(-1, 0), 1.0))
    Point(x=0.0, y=1.0)
    """
    (ax, ay), (bx, by), bulge = segment
    return Point((ax + bx + bulge * (by - ay)) / 2, (ay + by - bulge * (bx - ax)) / 2)


def segment_length(segment: Segment) -> float:
    """Return the length of a line or arc, in mm."""
    if segment.bulge == 0:
        return distance(segment.start, segment.end)
    return arc_radius(segment) * abs(sweep(segment))


def path_length(path: Path) -> float:
    """Return the length of a path, in mm."""
    return math.fsum(segment_length(segment) for segment in path.segments())


def chords(path: Path, tolerance: float) -> tuple[Point, ...]:
    """Return the path's vertices with arcs broken into chords no further off than `tolerance`.

    The first vertex of a closed path is not repeated.
    """
    points: list[Point] = []
    for segment in path.segments():
        points.append(segment.start)
        if segment.bulge:
            step = 2 * math.acos(max(0.0, 1 - tolerance / arc_radius(segment)))
            count = max(1, math.ceil(abs(sweep(segment)) / step))
            points.extend(point_along(segment, i / count) for i in range(1, count))
    if not path.closed:
        points.append(path.points[-1])
    return tuple(points)


def path_area(path: Path) -> float:
    """Return the area a closed path surrounds, in mm², positive counter-clockwise."""
    total = 0.0
    for segment in path.segments():
        (ax, ay), (bx, by), bulge = segment
        total += (ax * by - bx * ay) / 2
        if bulge:
            turn = sweep(segment)
            total += arc_radius(segment) ** 2 * (turn - math.sin(turn)) / 2
    return total


def box_of(paths: Iterable[Path]) -> Box:
    """Return the box that holds all paths.

    Raises:
        ValueError: there is no path.

    """
    paths = tuple(paths)
    xs, ys = zip(*chain.from_iterable(path.points for path in paths), strict=True)
    box = Box(min(xs), min(ys), max(xs), max(ys))
    bent = (path for path in paths if not path.is_straight)
    beyond = [point for path in bent for arc in _leaving(path, box) for point in _extremes(arc)]
    return _spanned(box, beyond) if beyond else box


def _spanned(box: Box, points: Iterable[Point]) -> Box:
    """Return the box that holds a box and some points."""
    xs, ys = zip(*points, strict=True)
    return Box(min(box.left, *xs), min(box.bottom, *ys), max(box.right, *xs), max(box.top, *ys))


def _leaving(path: Path, box: Box) -> Iterator[Segment]:
    """Yield the arcs of a path within a box that may leave it: none goes further than its height.

    Few do, and where an arc is widest takes twice as long to tell: a twentieth of a draft with
    ticks, at each of which the support is checked.
    """
    left, bottom, right, top = box
    for arc in path.segments():
        if arc.bulge:
            (ax, ay), (bx, by), _ = arc
            high = bulging(*arc)
            across = min(ax, bx) - high < left or max(ax, bx) + high > right
            if across or min(ay, by) - high < bottom or max(ay, by) + high > top:
                yield arc


def _extremes(segment: Segment) -> list[Point]:
    """Return the arc's own leftmost, rightmost, lowest and highest points, if it has them."""
    cx, cy = arc_centre(segment)
    radius, turn = arc_radius(segment), sweep(segment)
    begin = math.atan2(segment.start.y - cy, segment.start.x - cx)
    low, high = min(begin, begin + turn), max(begin, begin + turn)
    first = math.ceil(low / (math.pi / 2))
    last = math.floor(high / (math.pi / 2))
    ways = ((radius, 0.0), (0.0, radius), (-radius, 0.0), (0.0, -radius))
    turned = [ways[k % 4] for k in range(first, last + 1)]
    return [Point(cx + dx, cy + dy) for dx, dy in turned]


def bulging(start: Point, end: Point, bulge: float) -> float:
    """Return how far an arc goes beyond the box of its ends at most, mm; 0.000001 for a line.

        |b| · max(|dx|, |dy|)

    No arc goes further than its height, half its bulge b times its chord, and no chord is twice as
    long as the longer of its ways, dx and dy.

    >>> bulging(Point(1, 0), Point(-1, 0), 1.0) > 1
    True
    """
    return abs(bulge) * max(abs(end[0] - start[0]), abs(end[1] - start[1])) + 1e-6


def may_reach(segment: Segment, box: Box, far: float) -> bool:
    """Whether a line or arc may come this near to what a box holds, mm; told by its ends alone."""
    (ax, ay), (bx, by), _ = segment
    far += bulging(*segment)
    across = max(ax, bx) + far >= box.left and min(ax, bx) - far <= box.right
    return across and max(ay, by) + far >= box.bottom and min(ay, by) - far <= box.top


def distance_to_path(point: tuple[float, float], path: Path) -> float:
    """Return how far a point lies from a path, in mm."""
    return min(distance_to_segment(point, segment) for segment in path.segments())


def is_near(points: Iterable[tuple[float, float]], path: Path, within: float) -> bool:
    """Whether all points lie no further than `within` (mm) from a path.

    >>> from cutfiles.plane.shapes import circle
    >>> is_near([(2.0, 0.0), (0.0, -2.0)], circle((0, 0), 2), 1e-9)
    True
    """
    segments = list(map(_distance_to, path.segments()))
    last = 0
    for x, y in points:
        # neighbours among the points lie along the same segment, or the next
        for i in chain(range(last, len(segments)), range(last)):
            if segments[i](x, y) <= within:
                last = i
                break
        else:
            return False
    return True


def distance_to_segment(point: tuple[float, float], segment: Segment) -> float:
    """Return how far a point lies from a line or arc, in mm."""
    return _distance_to(segment)(*point)


def _distance_to(segment: Segment) -> Callable[[float, float], float]:
    """Return a function from x and y to how far they lie from a line or arc, in mm.

    What follows from the segment alone is computed once, however many points are asked for.
    """
    (ax, ay), (bx, by), bulge = segment
    if bulge == 0:
        dx, dy = bx - ax, by - ay
        span = dx * dx + dy * dy

        def from_line(x: float, y: float) -> float:
            share = min(1.0, max(0.0, ((x - ax) * dx + (y - ay) * dy) / span)) if span else 0.0
            return math.hypot(x - ax - share * dx, y - ay - share * dy)

        return from_line
    cx, cy = arc_centre(segment)
    radius, turn = arc_radius(segment), sweep(segment)
    begin = math.atan2(ay - cy, ax - cx)

    def from_arc(x: float, y: float) -> float:
        along = math.atan2(y - cy, x - cx) - begin
        along = along % math.tau if turn > 0 else -((-along) % math.tau)
        if abs(along) <= abs(turn):
            return abs(math.hypot(x - cx, y - cy) - radius)
        return min(math.hypot(x - ax, y - ay), math.hypot(x - bx, y - by))

    return from_arc
