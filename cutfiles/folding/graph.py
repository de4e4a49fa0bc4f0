"""Faces and creases of a drawing: the planar graph that outline, holes and scores make.

Scores are drawn to stop short of the long folds; for the graph each is led on to the line it stops
short of. The letters of edges are those of the FOLD format 1.2: B border, M mountain, V valley,
C slit.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

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

    """

    vertices: tuple[Point, ...]
    edges: tuple[Edge, ...]
    faces: tuple[tuple[int, ...], ...]
    loose: tuple[tuple[Point, float], ...]
    holes: tuple[tuple[Point, ...], ...]

    def polygon(self, face: int) -> tuple[Point, ...]:
        """Return a face's corners, mm, counter-clockwise."""
        return tuple(self.vertices[i] for i in self.faces[face])

    def face_at(self, place: tuple[float, float]) -> int | None:
        """Return the face a place lies in, or None."""
        return next((i for i in range(len(self.faces)) if inside(place, self.polygon(i))), None)


def build_graph(lines: Sequence[FoldLine]) -> Graph:
    """Return the planar graph of a drawing.

    Raises:
        ValueError: no closed outline bounds a face.

    """
    outlines = [line for line in lines if line.kind == "B" and not line.hole]
    holes = [Polygon(line.points) for line in lines if line.hole and line.closed]
    shapes = [LineString(line.points) for line in lines]
    tree = shapely.STRtree(shapes)
    led = [
        (line, shape if line.kind in "BC" else _led_on(shape, tree))
        for line, shape in zip(lines, shapes, strict=True)
    ]
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


def _led_on(shape: LineString, tree: shapely.STRtree) -> LineString:
    """Return a score with both ends led on, or back, to the nearest line they stop short of."""
    points = [Point(*p) for p in shape.coords]
    first = _led_end(points[1], points[0], shape, tree)
    last = _led_end(points[-2], points[-1], shape, tree)
    return LineString([first, *points[1:-1], last])


def _led_end(before: Point, end: Point, own: LineString, tree: shapely.STRtree) -> Point:
    length = distance(before, end)
    dx, dy = (end.x - before.x) / length, (end.y - before.y) / length
    ahead = LineString(
        [(end.x - dx * TOUCH, end.y - dy * TOUCH), (end.x + dx * REACH, end.y + dy * REACH)]
    )
    ways = [
        (met.x - end.x) * dx + (met.y - end.y) * dy
        for i in tree.query(ahead, predicate="intersects")
        if tree.geometries[i] is not own
        for met in shapely.get_parts(ahead.intersection(tree.geometries[i]))
        if isinstance(met, shapely.Point)  # a line along this one is none it stops short of
    ]
    on = min(ways, default=0.0)
    return Point(end.x + dx * on, end.y + dy * on)


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
    tree = shapely.STRtree([shape for _, shape in led])
    edges = []
    for (a, b), left in sides.items():
        other = sides.get((b, a))
        if other is not None and (b, a) < (a, b):
            continue
        kind = _kind_at(vertices[a], vertices[b], led, tree) if other is not None else "B"
        edges.append(Edge(a, b, kind, left, other))
    edges = _with_slits(vertices, edges)
    rings = tuple(tuple(Point(*p) for p in hole.exterior.coords[:-1]) for hole in holes)
    return Graph(tuple(vertices), tuple(edges), tuple(faces), loose, rings)


def _kind_at(
    a: Point, b: Point, led: list[tuple[FoldLine, LineString]], tree: shapely.STRtree
) -> Kind:
    """Return what is drawn midway between two vertices."""
    middle = shapely.Point((a.x + b.x) / 2, (a.y + b.y) / 2)
    return led[int(tree.nearest(middle))][0].kind


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
