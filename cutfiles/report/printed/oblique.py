"""Oblique drawings of a folded strip: its profile in true shape in front, its breadth going back.

A place at depth d behind the front is drawn moved by d · DEPTH in the direction ANGLE (cabinet
projection). The parts are painted from the farthest to the nearest, so that nearer film hides what
lies behind it.
"""

import math
from dataclasses import dataclass

from cutfiles.plane.shapes import Point
from cutfiles.support.profile import Profile, walk

DEPTH = 0.5
ANGLE = math.radians(38)
BACK = (DEPTH * math.cos(ANGLE), DEPTH * math.sin(ANGLE))
"""Where one millimetre of depth goes on the page."""


@dataclass(frozen=True, slots=True)
class Face:
    """One panel as drawn.

    Attributes:
        name: of the panel.
        corners: on the page, mm: front start, front end, back end, back start.
        book_face: whether we see the face that meets the book.
        creases: names of the creases at its start and end, "" where there is none.

    """

    name: str
    corners: tuple[Point, Point, Point, Point]
    book_face: bool
    creases: tuple[str, str]


def behind(place: tuple[float, float], depth: float) -> Point:
    """Return where a place of the front is drawn when it lies `depth` mm further back."""
    return Point(place[0] + depth * BACK[0], place[1] + depth * BACK[1])


def faces(profile: Profile, depth: float) -> tuple[Face, ...]:
    """Return the faces of a strip of this profile, the farthest first.

    The front stands as `walk` puts it.
    """
    standing = walk(profile)
    folds = {fold.after: fold.name for fold in profile.folds}
    found = []
    for i, (panel, heading) in enumerate(zip(profile.panels, standing.headings, strict=True)):
        a, b = standing.corners[i], standing.corners[i + 1]
        # the book face's outward normal, against the direction in which we look
        towards = -math.sin(heading) * -BACK[0] + math.cos(heading) * -BACK[1]
        found.append(
            Face(
                panel.name,
                (a, b, behind(b, depth), behind(a, depth)),
                towards < 0,
                (folds.get(i, ""), folds.get(i + 1, "")),
            )
        )
    return tuple(_far_to_near(found))


def _far_to_near(found: list[Face]) -> list[Face]:
    """Return the faces so that each comes after all that lie behind it."""
    behind_of = {
        i: {j for j, other in enumerate(found) if j != i and _nearer(face, other) > 0}
        for i, face in enumerate(found)
    }
    order: list[int] = []
    while behind_of:
        ready = [i for i, others in behind_of.items() if not others & behind_of.keys()]
        first = ready[0] if ready else min(behind_of)
        order.append(first)
        del behind_of[first]
    return [found[i] for i in order]


def _nearer(one: Face, two: Face) -> float:
    """Return how much nearer the first face is than the second, mm; 0 where neither hides any.

    We look along -BACK in the plane of the profile; what a line of sight meets first is nearer.
    """
    span = math.hypot(*BACK)
    sight = (-BACK[0] / span, -BACK[1] / span)
    across = (-sight[1], sight[0])

    def places(face: Face) -> list[tuple[float, float]]:
        return sorted(
            (p.x * across[0] + p.y * across[1], p.x * sight[0] + p.y * sight[1])
            for p in face.corners[:2]
        )

    (a0, da0), (a1, da1) = places(one)
    (b0, db0), (b1, db1) = places(two)
    low, high = max(a0, b0), min(a1, b1)
    if high - low < 1e-6:
        return 0.0
    middle = (low + high) / 2

    def depth(low: float, at_low: float, high: float, at_high: float) -> float:
        return at_low + (at_high - at_low) * (middle - low) / (high - low)

    away = depth(b0, db0, b1, db1) - depth(a0, da0, a1, da1)
    return away if abs(away) > 1e-6 else 0.0
