"""Moves a cut by half the width a laser burns away: outlines out, holes in, scores not at all."""

import math

from cutfiles.dataclass import dataclass
from cutfiles.errors import FormatError
from cutfiles.machine.cutter import Join
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import (
    arc_centre,
    arc_radius,
    distance,
    distance_to_path,
    path_area,
    point_along,
)
from cutfiles.plane.parts import heading_at_end, heading_at_start, turned
from cutfiles.plane.shapes import Path, Point, Segment

SHARPEST_MITRE = math.radians(120)
"""A corner that turns more is rounded: its mitre would run far out."""
_SAME = 1e-9


def compensate(stroke: Stroke, kerf: float, join: Join = "mitred") -> Stroke:
    """Return a stroke moved so that what is left has the size drawn.

    Args:
        stroke: outlines grow and holes shrink by half the kerf; all others stay.
        kerf: width burnt away, mm.
        join: how it goes round a corner.

    Raises:
        FormatError: a detail is too small for the kerf.

    """
    if not kerf or not stroke.path.closed or stroke.role not in (Role.OUTLINE, Role.HOLES):
        return stroke
    way = kerf / 2 if stroke.role is Role.OUTLINE else -kerf / 2
    try:
        return stroke.along(offset(stroke.path, way, join))
    except ValueError as error:
        raise FormatError(
            f"{stroke.name}: {error}",
            f"every detail is larger than the kerf of {kerf:g} mm",
            "measure the kerf again, or leave the detail out of the support",
            stroke.role.value,
        ) from None


def offset(path: Path, way: float, join: Join = "mitred") -> Path:
    """Return a closed path moved outwards everywhere, inwards if the way is negative.

    Args:
        path: closed; lines and arcs, either way round.
        way: how far, mm.
        join: mitred or rounded, at corners where the moved parts come apart.

    Raises:
        ValueError: a part would vanish or turn round.

    """
    outward = 1.0 if path_area(path) > 0 else -1.0
    shift = way * outward  # to the right of the run
    segments = [s for s in path.segments() if distance(s.start, s.end) > _SAME]
    parts = [_moved(segment, shift) for segment in segments]
    corners = [
        _corner(segments[i - 1], segments[i], parts[i - 1], parts[i], shift, join)
        for i in range(len(parts))
    ]
    points: list[Point] = []
    bulges: list[float] = []
    for i, part in enumerate(parts):
        start, (between, begin) = corners[i][1], corners[(i + 1) % len(parts)]
        end = between[0][0] if between else begin
        points.append(start)
        bulges.append(part.bulge_between(start, end))
        for place, bulge in between:
            points.append(place)
            bulges.append(bulge)
    return _checked(Path(tuple(points), tuple(bulges), closed=True), path, abs(way))


@dataclass(frozen=True, slots=True)
class _Part:
    """A segment moved sideways."""

    start: Point
    end: Point
    heading: float
    centre: Point | None = None
    radius: float = 0.0
    left: bool = True

    def bulge_between(self, start: Point, end: Point) -> float:
        """Return the bulge of what is left of it between two places on it."""
        if self.centre is None:
            along = (end.x - start.x) * math.cos(self.heading)
            along += (end.y - start.y) * math.sin(self.heading)
            if along < -_SAME:
                raise ValueError(f"an edge near ({start.x:.1f}, {start.y:.1f}) is too short")
            return 0.0
        a = math.atan2(start.y - self.centre.y, start.x - self.centre.x)
        b = math.atan2(end.y - self.centre.y, end.x - self.centre.x)
        turn = (b - a) % math.tau if self.left else -((a - b) % math.tau)
        return math.tan(turn / 4)


def _moved(segment: Segment, shift: float) -> _Part:
    """Return a segment moved to the right of its run."""
    if segment.bulge == 0:
        heading = heading_at_start(segment)
        dx, dy = shift * math.sin(heading), -shift * math.cos(heading)
        a, b = segment.start, segment.end
        return _Part(Point(a.x + dx, a.y + dy), Point(b.x + dx, b.y + dy), heading)
    centre, radius = arc_centre(segment), arc_radius(segment)
    left = segment.bulge > 0
    new = radius + (shift if left else -shift)
    if new <= 1e-6:
        raise ValueError(f"an arc of radius {radius:.2f} mm is too small")
    share = new / radius
    ends = [
        Point(centre.x + (p.x - centre.x) * share, centre.y + (p.y - centre.y) * share)
        for p in (segment.start, segment.end)
    ]
    return _Part(ends[0], ends[1], heading_at_start(segment), centre, new, left)


Corner = tuple[list[tuple[Point, float]], Point]
"""Places with the bulge of the way on from each, and where the next part begins."""


def _corner(
    before: Segment, after: Segment, first: _Part, second: _Part, shift: float, join: Join
) -> Corner:
    if distance(first.end, second.start) < _SAME:
        return [], second.start
    out, into = heading_at_end(before), heading_at_start(after)
    turn = turned(out, into)
    if turn * shift > 0:  # the moved parts come apart
        short = min(distance(before.start, before.end), distance(after.start, after.end))
        rounded = join == "rounded" and short > 2 * abs(shift)
        if rounded or abs(turn) > SHARPEST_MITRE:
            return [(first.end, math.tan(turn / 4))], second.start
        reach = shift * math.tan(turn / 2)
        place = Point(first.end.x + reach * math.cos(out), first.end.y + reach * math.sin(out))
        straight = first.centre is None and second.centre is None
        if straight:
            return [], place
        return [(first.end, 0.0), (place, 0.0)], second.start
    places = _meetings(first, second)
    if not places:
        raise ValueError(f"a corner near ({after.start.x:.1f}, {after.start.y:.1f}) is too narrow")
    return [], min(places, key=lambda p: distance(p, after.start))


def _meetings(a: _Part, b: _Part) -> list[Point]:
    """Return where two moved parts, run on, meet."""
    if a.centre is None and b.centre is None:
        ux, uy, vx, vy = (
            math.cos(a.heading),
            math.sin(a.heading),
            math.cos(b.heading),
            math.sin(b.heading),
        )
        across = ux * vy - uy * vx
        if abs(across) < 1e-12:
            return []
        t = ((b.start.x - a.start.x) * vy - (b.start.y - a.start.y) * vx) / across
        return [Point(a.start.x + ux * t, a.start.y + uy * t)]
    if a.centre is not None and b.centre is not None:
        return _circles(a.centre, a.radius, b.centre, b.radius)
    line, arc = (a, b) if a.centre is None else (b, a)
    assert arc.centre is not None
    ux, uy = math.cos(line.heading), math.sin(line.heading)
    cx, cy = arc.centre.x - line.start.x, arc.centre.y - line.start.y
    off = cx * uy - cy * ux
    if abs(off) > arc.radius:
        return []
    half = math.sqrt(arc.radius**2 - off**2)
    return [
        Point(line.start.x + ux * t, line.start.y + uy * t)
        for t in (cx * ux + cy * uy - half, cx * ux + cy * uy + half)
    ]


def _circles(a: Point, ra: float, b: Point, rb: float) -> list[Point]:
    span = distance(a, b)
    if span < _SAME or span > ra + rb or span < abs(ra - rb):
        return []
    along = (ra**2 - rb**2 + span**2) / (2 * span)
    up = math.sqrt(max(0.0, ra**2 - along**2))
    ux, uy = (b.x - a.x) / span, (b.y - a.y) / span
    x, y = a.x + ux * along, a.y + uy * along
    return [Point(x - uy * up, y + ux * up), Point(x + uy * up, y - ux * up)]


def _checked(moved: Path, path: Path, way: float) -> Path:
    """Refuse a path that comes nearer to the drawn one than it was moved."""
    if path_area(moved) * path_area(path) <= 0:
        raise ValueError("the whole of it is too small")
    shares = (0.0, 0.25, 0.5, 0.75)  # a neck is lost between its corners, not at them
    for place in (point_along(s, share) for s in moved.segments() for share in shares):
        if distance_to_path(place, path) < way - 1e-6:
            raise ValueError(f"a detail near ({place.x:.1f}, {place.y:.1f}) is too small")
    return moved
