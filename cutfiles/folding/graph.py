"""Faces and creases of a drawing: the planar graph that outline, holes and scores make.

Scores are drawn to stop short of the long folds; for the graph each is led on to the line it stops
short of. The letters of edges are those of the FOLD format 1.2: B border, M mountain, V valley,
C slit.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import field
from itertools import groupby
from typing import Literal, NamedTuple

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from cutfiles.dataclass import dataclass
from cutfiles.plane.measure import distance
from cutfiles.plane.parts import inside
from cutfiles.plane.shapes import Point

Kind = Literal["B", "M", "V", "C"]

REACH = 3.0
"""A score that stops short of a line by less than this is led on to it, mm."""
TOUCH = 0.05
"""Ends nearer to a line than this touch it, mm: two steps of the coarsest format."""
SLIT = 0.1
"""Creases of two layers that meet a long fold this near to one another meet in one place, as far as
the steps of a file tell, mm: their stretch of the fold does not fold."""
GRID = 1e-6
"""Places nearer than this are one vertex, mm."""


@dataclass(frozen=True, slots=True)
class FoldLine:
    """One line of a drawing, as far as folding goes.

    Attributes:
        kind: B for outline and holes, M or V for scores, C for slits.
        points: along it, mm; the first is repeated at the end where it closes.
        name: what messages call it: its layer, or its name where the file has one.
        hole: whether it bounds a hole.

    """

    kind: Kind
    points: tuple[Point, ...]
    name: str = ""
    hole: bool = False

    @property
    def closed(self) -> bool:
        """Whether it comes back to where it began."""
        return len(self.points) > 2 and distance(self.points[0], self.points[-1]) <= TOUCH


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of the graph.

    Attributes:
        a: vertex it begins at.
        b: vertex it ends at.
        kind: border, mountain, valley or slit.
        left: face on its left, or None.
        right: face on its right, or None.

    """

    a: int
    b: int
    kind: Kind
    left: int | None
    right: int | None


@dataclass(frozen=True, slots=True)
class Graph:
    """Vertices, edges and faces of a drawing.

    Attributes:
        vertices: mm, as drawn.
        edges: each once.
        faces: their vertices, counter-clockwise.
        loose: place and length of each line, or part of one, that bounds no face.
        holes: polygons of the holes, as drawn.
        polygons: each face's corners, mm, counter-clockwise; they follow from vertices and faces.

    """

    vertices: tuple[Point, ...]
    edges: tuple[Edge, ...]
    faces: tuple[tuple[int, ...], ...]
    loose: tuple[tuple[Point, float], ...]
    holes: tuple[tuple[Point, ...], ...]
    polygons: tuple[tuple[Point, ...], ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        corners = (tuple(self.vertices[i] for i in face) for face in self.faces)
        object.__setattr__(self, "polygons", tuple(corners))

    def face_at(self, place: tuple[float, float]) -> int | None:
        """Return the face a place lies in, or None."""
        return next((i for i, face in enumerate(self.polygons) if inside(place, face)), None)


def build_graph(lines: Sequence[FoldLine]) -> Graph:
    """Return the planar graph of a drawing.

    Raises:
        ValueError: no closed outline bounds a face.

    """
    outlines = [line for line in lines if line.kind == "B" and not line.hole]
    holes = [Polygon(line.points) for line in lines if line.hole and line.closed]
    shapes = [LineString(line.points) for line in lines]
    tree = shapely.STRtree(shapes)
    scores = [i for i, one in enumerate(lines) if one.kind not in "BC" and shapes[i].length > 0]
    ons = dict(zip(scores, _led_on(scores, tree), strict=True))
    led = [(line, ons.get(i, shapes[i])) for i, line in enumerate(lines)]
    net = shapely.unary_union([shape for _, shape in led], grid_size=GRID)
    polygons, cuts, dangles, invalid = shapely.polygonize_full([net])
    within = _inside(outlines)
    kept = [
        orient(face)
        for face in polygons.geoms
        if isinstance(face, Polygon) and face.area > GRID and _belongs(face, within, holes)
    ]
    if not kept:
        raise ValueError("the outline does not close")
    kept.sort(key=lambda face: (round(face.centroid.y, 3), round(face.centroid.x, 3)))
    loose = [
        (Point(*part.coords[0]), part.length)
        for group in (dangles, cuts, invalid)
        for part in group.geoms
        if part.length > 3 * TOUCH and not any(hole.buffer(TOUCH).covers(part) for hole in holes)
    ]
    return _graph(kept, led, tuple(loose), holes)


def _inside(outlines: list[FoldLine]) -> BaseGeometry:
    """Return the area the outline surrounds, broken into pieces or not."""
    net = shapely.unary_union([LineString(line.points) for line in outlines], grid_size=GRID)
    polygons = shapely.polygonize([net]).geoms
    return shapely.unary_union(list(polygons)).buffer(TOUCH)


def _belongs(face: Polygon, within: BaseGeometry, holes: list[Polygon]) -> bool:
    place = face.representative_point()
    return within.covers(place) and not any(hole.covers(place) for hole in holes)


class _End(NamedTuple):
    """One end of a score: which line it is of, where it ends, the way on from there."""

    own: int
    at: Point
    dx: float
    dy: float

    def on(self, far: float) -> Point:
        """Return the place so far on, mm."""
        return Point(self.at.x + self.dx * far, self.at.y + self.dy * far)


def _led_on(scores: Sequence[int], tree: shapely.STRtree) -> list[LineString]:
    """Return scores with both ends led on, or back, to the nearest line they stop short of.

    All are asked for at once: one by one they took a fifth of the fold check. A node drawn twice
    over counts once.

    Args:
        scores: which of the lines they are, none of them of one place alone.
        tree: of all lines.

    """
    runs = [[Point(*p) for p, _ in groupby(tree.geometries[i].coords)] for i in scores]
    ends = [
        _end(own, *ends)
        for own, run in zip(scores, runs, strict=True)
        for ends in ((run[1], run[0]), (run[-2], run[-1]))
    ]
    on = iter([end.on(far) for end, far in zip(ends, _ways_on(ends, tree), strict=True)])
    return [
        LineString([first, *run[1:-1], last]) for run, first, last in zip(runs, on, on, strict=True)
    ]


def _end(own: int, before: Point, at: Point) -> _End:
    length = distance(before, at)
    return _End(own, at, (at.x - before.x) / length, (at.y - before.y) / length)


def _ways_on(ends: Sequence[_End], tree: shapely.STRtree) -> list[float]:
    """Return how far on each end meets the nearest other line, mm; 0 where it meets none."""
    ways: list[list[float]] = [[] for _ in ends]
    if ends:
        ahead = shapely.linestrings([[end.on(-TOUCH), end.on(REACH)] for end in ends])
        numbers, others = tree.query(ahead, predicate="intersects")
        met = shapely.intersection(ahead[numbers], tree.geometries[others])
        for part, pair in zip(*shapely.get_parts(met, return_index=True), strict=True):
            end, number = ends[numbers[pair]], numbers[pair]
            # a line along this one is none it stops short of
            if isinstance(part, shapely.Point) and others[pair] != end.own:
                ways[number].append((part.x - end.at.x) * end.dx + (part.y - end.at.y) * end.dy)
    return [min(found, default=0.0) for found in ways]


def _graph(
    kept: list[Polygon],
    led: list[tuple[FoldLine, LineString]],
    loose: tuple[tuple[Point, float], ...],
    holes: list[Polygon],
) -> Graph:
    index: dict[tuple[float, float], int] = {}
    vertices: list[Point] = []
    faces = []
    sides: dict[tuple[int, int], int] = {}
    for number, face in enumerate(kept):
        ring = []
        for x, y in face.exterior.coords[:-1]:
            key = (round(x, 5), round(y, 5))
            if key not in index:
                index[key] = len(vertices)
                vertices.append(Point(x, y))
            ring.append(index[key])
        faces.append(tuple(ring))
        for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
            sides[(a, b)] = number
    joints = [
        (a, b, left, sides.get((b, a)))
        for (a, b), left in sides.items()
        if (b, a) not in sides or (a, b) < (b, a)
    ]
    inner = [(vertices[a], vertices[b]) for a, b, _, right in joints if right is not None]
    kinds = iter(_kinds_at(inner, led))
    edges = [
        Edge(a, b, "B" if right is None else next(kinds), left, right)
        for a, b, left, right in joints
    ]
    edges = _with_slits(vertices, edges)
    rings = tuple(tuple(Point(*p) for p in hole.exterior.coords[:-1]) for hole in holes)
    return Graph(tuple(vertices), tuple(edges), tuple(faces), loose, rings)


def _kinds_at(
    ends: Sequence[tuple[Point, Point]], led: Sequence[tuple[FoldLine, LineString]]
) -> list[Kind]:
    """Return what is drawn midway between each two vertices."""
    if not ends:
        return []
    middles = shapely.points([((a.x + b.x) / 2, (a.y + b.y) / 2) for a, b in ends])
    tree = shapely.STRtree([shape for _, shape in led])
    return [led[int(line)][0].kind for line in tree.nearest(middles)]


def _with_slits(vertices: list[Point], edges: list[Edge]) -> list[Edge]:
    """Return the edges, short stretches of a fold between creases or holes made slits."""
    creases: dict[int, list[Edge]] = {}
    for edge in edges:
        for end in (edge.a, edge.b):
            creases.setdefault(end, []).append(edge)

    def ends(vertex: int, own: Edge) -> bool:
        return any(
            other is not own and (other.kind == "B" or abs(_turn(vertices, own, other)) > 0.5)
            for other in creases[vertex]
        )

    return [
        Edge(e.a, e.b, "C", e.left, e.right)
        if e.kind in "MV"
        and distance(vertices[e.a], vertices[e.b]) < SLIT
        and ends(e.a, e)
        and ends(e.b, e)
        else e
        for e in edges
    ]


def _turn(vertices: list[Point], one: Edge, other: Edge) -> float:
    """Return the sine of the angle between two edges' lines."""
    (ax, ay), (bx, by) = vertices[one.a], vertices[one.b]
    (cx, cy), (dx, dy) = vertices[other.a], vertices[other.b]
    cross = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    return cross / (math.hypot(bx - ax, by - ay) * math.hypot(dx - cx, dy - cy))


Bounds = tuple[float, float, float, float]
"""Left, bottom, right, top, mm."""


def bounds(points: Iterable[Point]) -> Bounds:
    """Return left, bottom, right, top of some places."""
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def touching(one: Bounds, other: Bounds, within: float = 0.0) -> bool:
    """Whether two boxes share a place, or come so near to one another, mm."""
    return all(one[i] <= other[i + 2] + within and other[i] <= one[i + 2] + within for i in (0, 1))
