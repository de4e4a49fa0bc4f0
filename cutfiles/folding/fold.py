"""Folds a graph face by face about its creases, from one face that stays."""

import math
from collections.abc import Mapping

from cutfiles.dataclass import dataclass
from cutfiles.folding.graph import Edge, Graph
from cutfiles.folding.space import STILL, Motion, Spot, hinge, length

FLAT = math.pi - 1e-6
"""A crease folded further than this is folded flat, radians."""


@dataclass(frozen=True, slots=True)
class Hinge:
    """How a face hangs on another.

    Attributes:
        face: the one that moves.
        parent: the one it hangs on.
        edge: index of the edge between them.
        angle: radians, valley positive.

    """

    face: int
    parent: int
    edge: int
    angle: float


@dataclass(frozen=True, slots=True)
class Folded:
    """A graph folded.

    Attributes:
        graph: what was folded.
        angles: of each edge, radians, valley positive; 0 where it does not fold.
        root: the face that stays.
        motions: of each face; None for one that no crease joins to the rest.
        hinges: in the order of folding, each face but the root once.

    """

    graph: Graph
    angles: tuple[float, ...]
    root: int
    motions: tuple[Motion | None, ...]
    hinges: tuple[Hinge, ...]

    def motion(self, face: int) -> Motion:
        """Return where a face went.

        Raises:
            KeyError: nothing joins it to the rest.

        """
        found = self.motions[face]
        if found is None:
            raise KeyError(face)
        return found

    def corners(self, face: int) -> tuple[Spot, ...]:
        """Return the corners of a face in space."""
        return tuple(self.motion(face).place(p) for p in self.graph.polygons[face])

    def spots(self) -> list[Spot]:
        """Return where each vertex goes, by the first face in the order of folding that has it."""
        spots: dict[int, Spot] = {}
        for face in (self.root, *(one.face for one in self.hinges)):
            for vertex in self.graph.faces[face]:
                spots.setdefault(vertex, self.motion(face).place(self.graph.vertices[vertex]))
        return [spots.get(i, Spot(p.x, p.y, 0.0)) for i, p in enumerate(self.graph.vertices)]

    def gaps(self) -> dict[int, float]:
        """Return how far the two faces at each edge that no cut parts gape there, mm."""
        gaps = {}
        for number, edge in enumerate(self.graph.edges):
            if edge.left is None or edge.right is None:
                continue
            left, right = self.motions[edge.left], self.motions[edge.right]
            if left is not None and right is not None:
                ends = [self.graph.vertices[edge.a], self.graph.vertices[edge.b]]
                gaps[number] = max(length(left.place(p) - right.place(p)) for p in ends)
        return gaps


def fold(graph: Graph, angles: Mapping[int, float], root: int) -> Folded:
    """Return the graph folded.

    Faces are reached from the root over creases that fold partly, then over those that fold flat,
    then over the rest: so each flap hangs on the panel it lies under, and what its own creases
    miss by shows as a gap.

    Args:
        graph: faces and edges.
        angles: radians by edge, valley positive; an edge that is not in it stays flat.
        root: the face that stays where it is drawn, book face up.

    """
    motions: list[Motion | None] = [None] * len(graph.faces)
    motions[root] = STILL
    hinges: list[Hinge] = []
    joints = [(i, e) for i, e in enumerate(graph.edges) if e.kind in "MV" and e.right is not None]
    partly = [j for j in joints if abs(angles.get(j[0], 0.0)) < FLAT]
    flat = [j for j in joints if abs(angles.get(j[0], 0.0)) >= FLAT]
    for stage in (partly, flat, partly + flat):
        queue = [face for face, motion in enumerate(motions) if motion is not None]
        while queue:
            face = queue.pop(0)
            for number, edge in stage:
                other = _across(edge, face)
                if other is None or motions[other] is not None:
                    continue
                angle = angles.get(number, 0.0)
                own = motions[face]
                assert own is not None
                motions[other] = own.after(hinge_of(graph, edge, face, angle))
                hinges.append(Hinge(other, face, number, angle))
                queue.append(other)
    every = tuple(angles.get(i, 0.0) for i in range(len(graph.edges)))
    return Folded(graph, every, root, tuple(motions), tuple(hinges))


def hinge_of(graph: Graph, edge: Edge, face: int, angle: float) -> Motion:
    """Return the turn about an edge of what lies across it from a face."""
    a, b = graph.vertices[edge.a], graph.vertices[edge.b]
    return hinge(a, b, angle) if edge.left == face else hinge(b, a, angle)


def _across(edge: Edge, face: int) -> int | None:
    if edge.left == face:
        return edge.right
    return edge.left if edge.right == face else None
