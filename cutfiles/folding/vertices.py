"""Maekawa's and Kawasaki's theorems at each place where creases meet inside the film.

A relief hole, or a slit, where creases meet stands for the vertex it was cut out of.

Source: Hull, On the mathematics of flat origamis, Congressus Numerantium 100, 1994.
"""

import math
from collections.abc import Mapping

import shapely

from cutfiles.dataclass import dataclass
from cutfiles.folding.fold import FLAT
from cutfiles.folding.graph import Graph
from cutfiles.plane.shapes import Point

ON = 0.02
"""A vertex this near to a hole's rim is on it, mm."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """Creases that meet at one place.

    Attributes:
        place: mm, in the drawing.
        mountains: how many of them.
        valleys: how many of them.
        angles: between neighbours, counter-clockwise, radians.
        flat: whether one of them folds flat.

    """

    place: Point
    mountains: int
    valleys: int
    angles: tuple[float, ...]
    flat: bool

    @property
    def maekawa(self) -> bool:
        """Whether mountains and valleys differ by two."""
        return abs(self.mountains - self.valleys) == 2

    @property
    def kawasaki(self) -> float:
        """How far alternate angles are from adding up to 180°, radians."""
        if len(self.angles) % 2:
            return math.pi
        return abs(math.fsum(self.angles[::2]) - math.pi)


def meetings(graph: Graph, angles: Mapping[int, float]) -> tuple[Meeting, ...]:
    """Return the places inside the film where creases meet.

    Args:
        graph: faces and creases.
        angles: how far each edge folds, radians.

    """
    rings = _rings(graph)
    group = _grouped(graph, rings)
    rim = {v for e in graph.edges if e.kind == "B" for v in (e.a, e.b)}
    rim -= {vertex for ring in rings for vertex in ring}
    rays: dict[int, list[tuple[float, str, float, Point]]] = {}
    for number, edge in enumerate(graph.edges):
        if edge.kind not in "MV" or group[edge.a] == group[edge.b]:
            continue
        for near, far in ((edge.a, edge.b), (edge.b, edge.a)):
            a, b = graph.vertices[near], graph.vertices[far]
            way = math.atan2(b.y - a.y, b.x - a.x)
            size = abs(angles.get(number, 0.0))
            rays.setdefault(group[near], []).append((way, edge.kind, size, a))
    rims = {group[v] for v in rim}
    found = []
    for key, meeting in sorted(rays.items()):
        if key in rims:
            continue
        ways = sorted(ray[0] for ray in meeting)
        between = [
            (after - before) % math.tau
            for before, after in zip(ways, [*ways[1:], ways[0]], strict=True)
        ]
        kinds = [ray[1] for ray in meeting]
        count = len(meeting)
        place = Point(
            sum(ray[3].x for ray in meeting) / count, sum(ray[3].y for ray in meeting) / count
        )
        found.append(
            Meeting(
                place,
                kinds.count("M"),
                kinds.count("V"),
                tuple(between),
                any(ray[2] >= FLAT for ray in meeting),
            )
        )
    return tuple(found)


def _grouped(graph: Graph, rings: list[list[int]]) -> list[int]:
    """Return for each vertex the lowest vertex of its hole or slit, or itself."""
    group = list(range(len(graph.vertices)))

    def root(vertex: int) -> int:
        while group[vertex] != vertex:
            vertex = group[vertex]
        return vertex

    def join(a: int, b: int) -> None:
        low, high = sorted((root(a), root(b)))
        group[high] = low

    for ring in rings:
        for vertex in ring[1:]:
            join(ring[0], vertex)
    for edge in graph.edges:
        if edge.kind == "C":
            join(edge.a, edge.b)
    return [root(vertex) for vertex in range(len(group))]


def _rings(graph: Graph) -> list[list[int]]:
    """Return the vertices on the rim of each hole."""
    places = shapely.points(graph.vertices)
    rings = []
    for hole in graph.holes:
        near = shapely.distance(shapely.LinearRing(hole), places) <= ON
        if near.any():
            rings.append([int(i) for i in near.nonzero()[0]])
    return rings
