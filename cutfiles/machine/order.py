"""Puts the strokes of a pass in the order of the work, with the least travel the rules allow.

The rules: marks and labels, scores, holes, outlines; an outline inside another before it; tools
change as rarely as that allows. Within a group open paths may be run either way, and closed ones
begin at any of their vertices.
"""

from collections.abc import Mapping, Sequence

from cutfiles.machine.passes import WORK
from cutfiles.machine.tour import best_way
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of, distance
from cutfiles.plane.moves import reverse, start_at
from cutfiles.plane.shapes import Point

_RANKS = {"mark": 0, "score": 1}
"""Of what is done before all cuts."""
Ordered = tuple[Stroke, ...]


def in_order(
    strokes: Sequence[Stroke], pens: Mapping[str, int], home: tuple[float, float]
) -> Ordered:
    """Return the strokes in the order of the work, each once, as they are to be run.

    Args:
        strokes: what is worked in one pass; no guides.
        pens: role to tool, each role worked: what needs the same tool is done together.
        home: where the tool comes from and goes back to, mm.

    """
    groups: dict[tuple[int, ...], list[Stroke]] = {}
    depths = _depths([s for s in strokes if s.role is Role.OUTLINE])
    for stroke in strokes:
        groups.setdefault(_group(stroke, pens, depths), []).append(stroke)
    ordered: list[Stroke] = []
    at, keys = Point(*home), sorted(groups)
    for i, key in enumerate(keys):
        following = groups[keys[i + 1]] if i + 1 < len(keys) else []
        target = _nearest(following, at) if following else Point(*home)
        ordered += _least_travel(groups[key], at, target)
        at = end_of(ordered[-1])
    return tuple(ordered)


def travel_of(strokes: Sequence[Stroke], home: tuple[float, float]) -> float:
    """Return the way with the tool up, mm: from home through all strokes and back."""
    total, at = 0.0, Point(*home)
    for stroke in strokes:
        total += distance(at, stroke.path.points[0])
        at = end_of(stroke)
    return total + distance(at, home)


def end_of(stroke: Stroke) -> Point:
    """Return where the tool is when a stroke is done."""
    return stroke.path.points[0 if stroke.path.closed else -1]


def _group(stroke: Stroke, pens: Mapping[str, int], depths: Mapping[int, int]) -> tuple[int, ...]:
    """Return what decides: kind of work, tool, holes before outlines, inner before outer."""
    kind = _RANKS.get(WORK[stroke.role])
    if kind is not None:
        return (kind, pens[stroke.role])
    if stroke.role is Role.HOLES:
        return (2,)
    return (3, -depths[id(stroke)], pens[stroke.role])


def _depths(outlines: Sequence[Stroke]) -> dict[int, int]:
    """Return how many outlines' boxes surround each outline."""
    boxes = [box_of([stroke.path]) for stroke in outlines]
    return {
        id(stroke): sum(
            a.left > b.left and a.right < b.right and a.bottom > b.bottom and a.top < b.top
            for b in boxes
        )
        for stroke, a in zip(outlines, boxes, strict=True)
    }


def _nearest(strokes: Sequence[Stroke], at: Point) -> Point:
    places = [
        point
        for stroke in strokes
        for point in (
            stroke.path.points
            if stroke.path.closed
            else (stroke.path.points[0], stroke.path.points[-1])
        )
    ]
    return min(places, key=lambda place: distance(place, at))


def _least_travel(strokes: list[Stroke], at: Point, target: Point) -> list[Stroke]:
    """Order one group; closed paths are begun where the way comes by, then ordered once more."""
    start, goal = complex(*at), complex(*target)
    laid = strokes
    rounds = 2 if any(stroke.path.closed for stroke in strokes) else 1
    for _ in range(rounds):
        ends = [(complex(*s.path.points[0]), complex(*end_of(s))) for s in laid]
        laid = [_run(laid[end >> 1], end % 2 == 1) for end in best_way(ends, start, goal)]
        laid = _starts(laid, at, target)
    return laid


def _run(stroke: Stroke, backwards: bool) -> Stroke:
    if not backwards or stroke.path.closed:
        return stroke
    return stroke.along(reverse(stroke.path))


def _starts(strokes: list[Stroke], at: Point, target: Point) -> list[Stroke]:
    """Begin each closed path at the vertex that makes the way between its neighbours least."""
    laid: list[Stroke] = []
    for i, stroke in enumerate(strokes):
        before = end_of(laid[-1]) if laid else at
        if stroke.path.closed:
            after = strokes[i + 1].path.points[0] if i + 1 < len(strokes) else target
            costs = [distance(before, p) + distance(p, after) for p in stroke.path.points]
            best = min(range(len(costs)), key=costs.__getitem__)
            stroke = stroke.along(start_at(stroke.path, best))
        laid.append(stroke)
    return laid
