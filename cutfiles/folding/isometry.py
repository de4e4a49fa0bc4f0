"""Film keeps its lengths: whether a folded form is the flat one bent and nowhere stretched.

Film bends easily and does not stretch: 1 % would take several newtons a millimetre. So each edge
and each line from a face's first corner to another must be as long folded as flat, and two faces
that no cut parts must have their edge at one place.
"""

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from cutfiles.findings import Finding
from cutfiles.folding.fold import Folded
from cutfiles.folding.graph import Graph
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point

KEPT = 0.01
"""A length is kept within this, mm."""
_STEPS = 4
"""Both ends of two lines are rounded by half a step each; folded over, what they miss doubles."""


class Stretched(NamedTuple):
    """A length that a folded form does not keep.

    Attributes:
        face: index of the face.
        what: ``edge`` or ``diagonal``.
        place: its middle in the drawing, mm.
        flat: how long it is drawn, mm.
        folded: how long it would have to be, mm.

    """

    face: int
    what: str
    place: Point
    flat: float
    folded: float

    @property
    def off(self) -> float:
        """By how much it would have to change, mm."""
        return abs(self.folded - self.flat)


def kept_within(step: float) -> float:
    """Return how far lengths may differ in a file of this step, mm."""
    return KEPT + _STEPS * step


def stretched(
    flat: Sequence[Point],
    folded: Sequence[tuple[float, float, float]],
    faces: Sequence[Sequence[int]],
    limit: float = KEPT,
) -> tuple[Stretched, ...]:
    """Return the lengths that a folded form does not keep, edges first, the worst first.

    Args:
        flat: places of the vertices as drawn, mm.
        folded: the same in space.
        faces: indices of their corners.
        limit: how far a length may be off, mm.

    >>> square = [Point(0, 0), Point(2, 0), Point(2, 2), Point(0, 2)]
    >>> bent = [(0, 0, 0), (2, 0, 0), (2, 2, 0), (0, 2, 1)]
    >>> [(one.place, round(one.folded, 3)) for one in stretched(square, bent, [(0, 1, 2, 3)])]
    [(Point(x=1.0, y=2.0), 2.236), (Point(x=0.0, y=1.0), 2.236)]

    """
    found = []
    for number, face in enumerate(faces):
        sides = [("edge", a, b) for a, b in zip(face, [*face[1:], face[0]], strict=True)]
        sides += [("diagonal", face[0], other) for other in face[2:-1]]
        for what, a, b in sides:
            drawn, stands = distance(flat[a], flat[b]), math.dist(folded[a], folded[b])
            if abs(drawn - stands) > limit:
                place = Point((flat[a].x + flat[b].x) / 2, (flat[a].y + flat[b].y) / 2)
                found.append(Stretched(number, what, place, drawn, stands))
    return tuple(sorted(found, key=lambda one: (one.what != "edge", -one.off, one.face)))


def isometry_findings(folded: Folded, limit: float = KEPT) -> Iterator[Finding]:
    """Yield what film would have to stretch for, one sentence for all of it, the worst told."""
    graph = folded.graph
    worst = stretched(graph.vertices, folded.spots(), _hanging(folded), limit)
    if worst:
        yield stretch_finding(worst, limit)
    gaps = {edge: gap for edge, gap in folded.gaps().items() if gap > limit}
    if gaps and not worst:
        widest = max(gaps, key=lambda edge: gaps[edge])
        place, gap = _middle(graph, widest), gaps[widest]
        said = f"the fold at ({place.x:.1f}, {place.y:.1f}) would gape by {gap:.3f} mm"
        yield Finding("isometry", "fold", f"{said}, and film does not tear", gap, limit, "stop")


def stretch_finding(worst: Sequence[Stretched], limit: float) -> Finding:
    """Return what lengths would change, as one finding that tells the worst."""
    first = worst[0]
    more = f" ({len(worst) - 1} more like it)" if len(worst) > 1 else ""
    article = "an" if first.what == "edge" else "a"
    said = (
        f"{article} {first.what} of {first.flat:.3f} mm would be {first.folded:.3f} mm folded, at "
        f"({first.place.x:.1f}, {first.place.y:.1f}){more}: film does not stretch"
    )
    return Finding("isometry", first.what, said, first.off, limit, "stop")


def _hanging(folded: Folded) -> list[tuple[int, ...]]:
    """Return the faces that hang on the rest; others are told as such."""
    pairs = zip(folded.graph.faces, folded.motions, strict=True)
    return [face for face, motion in pairs if motion is not None]


def _middle(graph: Graph, edge: int) -> Point:
    a, b = graph.vertices[graph.edges[edge].a], graph.vertices[graph.edges[edge].b]
    return Point((a.x + b.x) / 2, (a.y + b.y) / 2)
