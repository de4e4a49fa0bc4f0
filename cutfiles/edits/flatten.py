"""Curves of any format as Bézier pieces, flattened to chords no further off than is told."""

import math
from dataclasses import field
from itertools import pairwise
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.edits.limits import Budget, check_places

Place = tuple[float, float]
_MOST = 400
"""Chords of one piece."""


@dataclass(slots=True)
class Bends:
    """One subpath: where it begins, then lines (1 place), quadratics (2) and cubics (3).

    Attributes:
        start: where it begins.
        curves: control points and end of each piece.
        closed: whether the file closes it.

    """

    start: Place = (0.0, 0.0)
    curves: list[tuple[Place, ...]] = field(default_factory=list)
    closed: bool = False

    def curve(self, *places: Place) -> None:
        """Add a piece."""
        self.curves.append(places)

    def moved(self, matrix: Any) -> "Bends":
        """Return it moved by a matrix with a, b, c, d, e, f."""
        a, b, c, d, e, f = (float(getattr(matrix, name)) for name in "abcdef")

        def at(place: Place) -> Place:
            x, y = place
            return (a * x + c * y + e, b * x + d * y + f)

        curves = [tuple(at(place) for place in one) for one in self.curves]
        return Bends(at(self.start), curves, self.closed)


def flattened(bends: Bends, within: float, budget: Budget) -> list[Place]:
    """Return places along a subpath, chords no further off than `within` (mm).

    Raises:
        FileError: a place lies nowhere, or there are too many.

    """
    points = [bends.start]
    for one in bends.curves:
        ends = (points[-1], *one)
        check_places(ends)
        count = 1 if len(one) == 1 else _chords(ends, within)
        budget.more_points(count)
        points += [_at(ends, i / count) for i in range(1, count)]
        points.append(one[-1])
    return points


def _chords(ends: tuple[Place, ...], within: float) -> int:
    """Return how many equal steps keep chords this near to a curve: by its second difference."""
    degree = len(ends) - 1
    bent = max(
        math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1])
        for a, b, c in zip(ends, ends[1:], ends[2:], strict=False)
    )
    return max(2, min(_MOST, math.ceil(math.sqrt(degree * (degree - 1) * bent / (8 * within)))))


def _at(ends: tuple[Place, ...], share: float) -> Place:
    """Return the place at a share of a Bézier piece, by de Casteljau's steps."""
    while len(ends) > 1:
        ends = tuple(
            (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share) for a, b in pairwise(ends)
        )
    return ends[0]
