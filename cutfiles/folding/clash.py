"""Films that would pass through one another: faces that cross, or lie closer than they are thick.

Faces are the middle of the stack of films; where two face one another, their distance must be at
least the stack's thickness.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

import shapely
from shapely.geometry import Polygon

from cutfiles.folding.fold import Folded
from cutfiles.folding.space import Motion, Spot, dot

DEEP = 0.05
"""A face is pierced where an edge goes through it further than this, mm."""
ALONG = 0.996
"""Faces are parallel where the cosine between them is more than this: 5 degrees."""
CUT = 1.0
"""Faces cross where they do so over more than this, mm."""
OVERLAP = 1.0
"""Faces face one another over more than this, mm²."""


def clashes(folded: Folded, faces: Sequence[int], thick: float) -> Iterator[tuple[int, int, float]]:
    """Yield pairs of faces that pass through one another, with their distance, mm; −1 crossing.

    Args:
        folded: the support in space.
        faces: which of its faces, each a stack of films.
        thick: of the stack, mm.

    """
    joined = {frozenset((e.left, e.right)) for e in folded.graph.edges if e.kind in "MV"}
    corners = {face: folded.corners(face) for face in faces}
    boxes = {face: _box(corners[face]) for face in faces}
    for a, b in combinations(faces, 2):
        if frozenset((a, b)) in joined or _far(boxes[a], boxes[b], thick):
            continue
        over = _seen_from(folded.motion(a), corners[b])
        under = _seen_from(folded.motion(b), corners[a])
        if _crosses(folded, a, b, over) or _crosses(folded, b, a, under):
            yield a, b, -1.0
            continue
        gap = _facing_gap(folded, a, b, over)
        if gap is not None and gap < thick - DEEP / 5:
            yield a, b, gap


def _box(corners: Sequence[Spot]) -> tuple[Spot, Spot]:
    """Return the lowest and the highest coordinates of some places."""
    low, high = zip(
        *((min(parts), max(parts)) for parts in zip(*corners, strict=True)), strict=True
    )
    return Spot(*low), Spot(*high)


def _far(a: tuple[Spot, Spot], b: tuple[Spot, Spot], thick: float) -> bool:
    """Whether two boxes lie further from one another than films are thick."""
    return any(a[0][i] > b[1][i] + thick or b[0][i] > a[1][i] + thick for i in range(3))


def _crosses(folded: Folded, a: int, b: int, corners: Sequence[Spot]) -> bool:
    """Whether face b goes through face a: the plane of a cuts b along a line inside a.

    The corners are those of b as seen from a.
    """
    motion = folded.motion(a)
    if max(c.z for c in corners) < DEEP or min(c.z for c in corners) > -DEEP:
        return False
    cut = []  # where b's rim goes through a's plane: at two places or more
    for one, other in zip(corners, [*corners[1:], corners[0]], strict=True):
        if (one.z > 0) != (other.z > 0):
            share = one.z / (one.z - other.z)
            cut.append((one.x + share * (other.x - one.x), one.y + share * (other.y - one.y)))
    line = shapely.LineString([min(cut), max(cut)])
    # so far beside the line, a lies that deep on either side of b, however flat they cross
    slant = math.sqrt(1 - min(dot(motion.normal, folded.motion(b).normal) ** 2, 1 - DEEP**2))
    face = Polygon(folded.graph.polygons[a]).buffer(-DEEP / slant)
    return bool(shapely.length(line.intersection(face)) > CUT)


def _facing_gap(folded: Folded, a: int, b: int, corners: Sequence[Spot]) -> float | None:
    """Return the distance of two parallel faces that lie over one another, mm; else None.

    The corners are those of b as seen from a.
    """
    motion = folded.motion(a)
    if abs(dot(motion.normal, folded.motion(b).normal)) < ALONG:
        return None
    shadow = Polygon([(spot.x, spot.y) for spot in corners]).buffer(0)
    both = Polygon(folded.graph.polygons[a]).intersection(shadow)
    if both.area < OVERLAP:
        return None
    # the height of the other face's plane over each corner of what they share
    normal = _turned_back(motion, folded.motion(b).normal)
    return min(
        abs(
            corners[0].z
            + (normal.x * (corners[0].x - x) + normal.y * (corners[0].y - y)) / normal.z
        )
        for part in shapely.get_parts(both)
        if isinstance(part, Polygon)
        for x, y in part.exterior.coords
    )


def _seen_from(motion: Motion, spots: Sequence[Spot]) -> list[Spot]:
    """Return where places in space lie above the flat drawing of a face that moved so."""
    return [_turned_back(motion, spot - motion.shift) for spot in spots]


def _turned_back(motion: Motion, way: Spot) -> Spot:
    (ax, ay, az), (bx, by, bz), (cx, cy, cz) = motion.rows
    x, y, z = way
    return Spot(ax * x + bx * y + cx * z, ay * x + by * y + cy * z, az * x + bz * y + cz * z)
