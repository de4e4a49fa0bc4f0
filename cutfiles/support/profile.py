"""The profile: panels end to end with fold angles between them, and the walk along them.

Lengths are measured on the book face, in mm; fold angles are in radians, valley (towards the book)
positive, mountain negative. The walk goes from the left end of the strip to the right one.
"""

import math
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal

from cutfiles.plane.shapes import Point

Direction = Literal["valley", "mountain"]


@dataclass(frozen=True, slots=True)
class Panel:
    """A flat piece of the strip.

    Attributes:
        name: ``left base``, ``spine`` and so on.
        length: along the strip, mm.

    """

    name: str
    length: float


@dataclass(frozen=True, slots=True)
class Fold:
    """A fold between two panels.

    Attributes:
        name: of its crease: ``left foot``, ``right apex`` and so on.
        after: how many panels lie to its left.
        angle: radians, valley positive.

    """

    name: str
    after: int
    angle: float

    @property
    def direction(self) -> Direction:
        """Valley or mountain, as seen from the book face."""
        return "valley" if self.angle > 0 else "mountain"


@dataclass(frozen=True, slots=True)
class Profile:
    """Panels from the left end of the strip to the right one, and the folds between them.

    A tab is the end of its base panel: no fold lies between them.
    """

    panels: tuple[Panel, ...]
    folds: tuple[Fold, ...]

    @property
    def length(self) -> float:
        """Of the whole strip, mm."""
        return math.fsum(panel.length for panel in self.panels)

    def ends(self) -> tuple[float, ...]:
        """Return where panels begin and end, from the left end of the strip, mm."""
        return (0.0, *accumulate(panel.length for panel in self.panels))

    def position(self, fold: Fold) -> float:
        """Return a crease's place from the left end of the strip, on the book face, mm."""
        return self.ends()[fold.after]

    def index(self, name: str) -> int:
        """Return which panel has this name.

        Raises:
            KeyError: none has.

        """
        for i, panel in enumerate(self.panels):
            if panel.name == name:
                return i
        raise KeyError(name)


@dataclass(frozen=True, slots=True)
class Walk:
    """A profile standing: its corners and the heading of each panel.

    Attributes:
        corners: ends of the panels in order, x to the right, y up, mm; x = 0 is the middle of
            the spine panel, y = 0 the table.
        headings: of each panel, radians, 0 to the right, counter-clockwise positive.

    """

    corners: tuple[Point, ...]
    headings: tuple[float, ...]


def walk(profile: Profile, deck_lift: float) -> Walk:
    """Return the profile standing, the spine panel level and `deck_lift` above the table.

    >>> flat = Profile((Panel("left board", 3), Panel("spine", 2)), (Fold("left spine", 1, 0.5),))
    >>> walk(flat, 1.0).corners[-1]
    Point(x=1.0, y=1.0)
    """
    spine = profile.index("spine")
    turns = {fold.after: fold.angle for fold in profile.folds}
    headings = [0.0]
    for after in range(1, len(profile.panels)):
        headings.append(headings[-1] + turns.get(after, 0.0))
    headings = [heading - headings[spine] for heading in headings]
    corners = [Point(0.0, 0.0)]
    for panel, heading in zip(profile.panels, headings, strict=True):
        x, y = corners[-1]
        corners.append(
            Point(x + panel.length * math.cos(heading), y + panel.length * math.sin(heading))
        )
    dx = -(corners[spine].x + corners[spine + 1].x) / 2
    dy = deck_lift - corners[spine].y
    return Walk(tuple(Point(x + dx, y + dy) for x, y in corners), tuple(headings))
