"""From where a support is seen: one oblique projection, chosen so that no panel is seen edge on.

The end view stands in true shape in front; a place at depth y is drawn moved by y · depth in the
direction `angle`. A panel that runs in the direction θ of the end view is drawn with

    depth · |sin(angle − θ)|

of its true area; looked at along the same line of sight, not obliquely, it has that over
√(1 + depth²). The view in which the worst panel has most is taken, out of a few.
"""

import math
from collections.abc import Iterable

from cutfiles.dataclass import dataclass
from cutfiles.folding.space import Spot, length
from cutfiles.support.profile import walk
from cutfiles.support.standing import Support

LEAST = 0.15
"""No panel is drawn with less of its true area."""
_ENOUGH = 0.22
"""With so much of every panel nothing is gained by another view."""
_DEPTHS = (0.5, 0.6, 0.75, 0.9)
_ANGLES = (
    45,
    50,
    40,
    55,
    35,
    60,
    65,
    70,
    30,
    25,
    20,
    15,
    *range(135, 164, 5),
    *range(130, 104, -5),
)
"""Degrees, the preferred first: receding to the right, then to the left."""


@dataclass(frozen=True, slots=True)
class View:
    """An oblique projection.

    Attributes:
        depth: how long a millimetre of depth is drawn.
        angle: in which direction it goes, radians.

    """

    depth: float
    angle: float

    @property
    def back(self) -> tuple[float, float]:
        """Where one millimetre of depth goes on the page."""
        return self.depth * math.cos(self.angle), self.depth * math.sin(self.angle)

    @property
    def eye(self) -> Spot:
        """The direction towards the eye."""
        x, z = self.back
        way = Spot(x, -1.0, z)
        size = length(way)
        return Spot(way.x / size, way.y / size, way.z / size)

    def places(self, spots: Iterable[tuple[float, float, float]]) -> list[tuple[float, float]]:
        """Return where places of space are drawn, y up.

        >>> View(0.5, 0.0).places([(1.0, 2.0, 3.0)])
        [(2.0, 3.0)]
        """
        dx, dz = self.back
        return [(x + dx * y, z + dz * y) for x, y, z in spots]

    def share(self, heading: float) -> float:
        """Return which share of its true area a panel of this heading has, seen along the eye."""
        return self.depth * abs(math.sin(self.angle - heading)) / math.hypot(1.0, self.depth)


USUAL = View(0.5, math.radians(45))
"""Of what has no panel yet."""
ABOVE = View(1.0, math.radians(90))
"""Of what lies on the table: in true shape; what stands up is drawn up the page."""


def view_of(support: Support) -> View:
    """Return the view of a support: steps, pictures and pages share it.

    >>> from cutfiles.bench.slip import slip_from
    >>> from cutfiles.support.design import design
    >>> made = design(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                          "spine_width": 34, "left_slope": 40, "right_slope": 40}))
    >>> round(math.degrees(view_of(made).angle)), round(worst(view_of(made), headings(made)), 2)
    (65, 0.25)
    """
    every = tuple(headings(support))
    best = USUAL
    found = -1.0
    for depth in _DEPTHS:
        for degrees in _ANGLES:
            view = View(depth, math.radians(degrees))
            least = min(worst(view, every), _ENOUGH)
            if least > found + 1e-9:
                best, found = view, least
            if found >= _ENOUGH:
                return best  # no other is counted for more
    return best


def headings(support: Support) -> Iterable[float]:
    """Return the direction of every panel as it stands, radians."""
    return walk(support.profile).headings


def worst(view: View, every: Iterable[float]) -> float:
    """Return the least share of its true area that any of these panels has."""
    return min(view.share(heading) for heading in every)
