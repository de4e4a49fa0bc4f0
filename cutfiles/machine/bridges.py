"""Bridges that hold an outline in its sheet, and lead-ins from the waste."""

import math
from collections.abc import Sequence

from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of, distance_to_path, path_area, path_length, segment_length
from cutfiles.plane.parts import heading_at_end, heading_at_start, part_of, turned
from cutfiles.plane.shapes import Path, Point

CLEAR = 3.0
"""A bridge stays this far off corners and creases, mm (common practice, no source)."""
_STEP = 1.0


def with_bridges(
    outline: Stroke, scores: Sequence[Path], count: int, width: float
) -> tuple[Stroke, ...]:
    """Return an outline as open cuts with film left between them.

    Bridges are spread evenly and moved to the nearest place in a straight edge that is clear of
    corners and creases; where there is none, there are fewer.

    Args:
        outline: closed.
        scores: creases, which a bridge must not touch.
        count: how many bridges.
        width: of one, mm.

    """
    places = bridge_places(outline.path, scores, count, width)
    if not places:
        return (outline,)
    length = path_length(outline.path)
    cuts = []
    for here, following in zip(places, [*places[1:], places[0] + length], strict=True):
        path = part_of(outline.path, here + width / 2, following - width / 2)
        cuts.append(outline.along(path))
    return tuple(cuts)


def bridge_places(path: Path, scores: Sequence[Path], count: int, width: float) -> list[float]:
    """Return the middles of the bridges, as distances along a closed path, mm."""
    length = path_length(path)
    edges = _clear_edges(path, width / 2 + CLEAR)
    places: list[float] = []
    for i in range(count):
        wanted = (i + 0.5) * length / count
        candidates = sorted(
            (abs(place - wanted), place)
            for low, high in edges
            for place in _steps(low, high, wanted)
        )
        best = next(
            (
                place
                for _, place in candidates
                if all(abs(place - other) > 2 * (width + CLEAR) for other in places)
                and _off_creases(path, place, scores, width / 2 + CLEAR)
            ),
            None,
        )
        if best is not None:
            places.append(best)
    return sorted(places)


def _clear_edges(path: Path, clear: float) -> list[tuple[float, float]]:
    """Return the straight stretches that stay clear of both their ends."""
    edges, at = [], 0.0
    for segment in path.segments():
        length = segment_length(segment)
        if segment.bulge == 0 and length > 2 * clear:
            edges.append((at + clear, at + length - clear))
        at += length
    return edges


def _steps(low: float, high: float, wanted: float) -> list[float]:
    """Return places of a stretch, the wanted one among them where it lies there."""
    count = int((high - low) / _STEP)
    steps = [low + i * _STEP for i in range(count + 1)]
    return [*steps, wanted] if low <= wanted <= high else steps


def _off_creases(path: Path, place: float, scores: Sequence[Path], clear: float) -> bool:
    point = part_of(path, place, place + 0.01).points[0]
    return all(distance_to_path(point, score) >= clear for score in scores)


def with_lead_in(stroke: Stroke, length: float) -> Stroke:
    """Return a closed cut that goes in from the waste: outside an outline, inside a hole.

    Args:
        stroke: closed, begun where it is to be cut first.
        length: how far off the cut the tool goes in, mm; in a hole at most a third of its size.

    """
    path = stroke.path
    if not length or not path.closed or stroke.role not in (Role.OUTLINE, Role.HOLES):
        return stroke
    hole = stroke.role is Role.HOLES
    segments = list(path.segments())
    into, out = heading_at_end(segments[-1]), heading_at_start(segments[0])
    middle = into + turned(into, out) / 2
    outward = -math.pi / 2 if path_area(path) > 0 else math.pi / 2
    heading = middle + (outward + math.pi if hole else outward)
    if hole:
        box = box_of([path])
        length = min(length, min(box.width, box.height) / 3)
    start = path.points[0]
    place = Point(start.x + length * math.cos(heading), start.y + length * math.sin(heading))
    return stroke.along(Path((place, *path.points, start), (0.0, *path.bulges), closed=False))
