"""A strip of one layer as the constructions need it: panels, folds between them, breadth."""

import itertools
import math
from collections.abc import Iterator
from dataclasses import field
from typing import Literal, NamedTuple

from cutfiles.dataclass import dataclass

Part = Literal[
    "riser tab", "riser", "ramp", "tab", "low tab", "run on", "base", "leg", "board", "spine"
]
"""What a panel is: ``run on`` a base that goes on under the spine panel (crossed); ``low tab`` the
tab of a riser's low side, which lies under the base and no hem."""
NARROW_PARTS: frozenset[Part] = frozenset(("riser tab", "riser", "ramp", "tab", "run on"))
"""Parts that lie between hems or under them."""

NOTCH = 1.5
"""g, from a crease to the end of a flange on each side, mm."""
RELIEF = 0.5
"""r₀, by which a bare edge lies behind the fold lines, and the radius of inner corners, mm."""
DEPTH = 8.0
"""c, depth of hems and lips, mm."""
FREE = 2.0
"""ρ, radius of a flange's free corners, mm."""
CLEAR = 2.0
"""Narrow parts end this far inside the hems over them, mm."""
END_RADIUS = 3.0
"""Radius at the ends of the strip and at steps, mm."""
STEP_IN = 5.0
"""A base is narrow over its last millimetres before the joint (or toe)."""


class Panel(NamedTuple):
    """One flat piece of the strip: its name, which part it is, its length along the strip, mm."""

    name: str
    part: Part
    length: float


class Crease(NamedTuple):
    """A line between two panels: their indices, its place along the strip, how it folds."""

    before: int
    after: int
    x: float
    fold: float


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip laid flat, book face up, from its left end at x = 0; y = 0 in its middle, head up.

    Attributes:
        panels: from left to right.
        folds: between them, radians, valley positive; None where a panel goes on without a crease.
        breadth: finished, head to tail, mm.
        ends: where each panel ends, mm from the left end.
        starts: where each begins, mm from the left end.
        length: sum of the panels, mm. All three follow from the panels, and are kept: a strip is
            judged in every construction.

    """

    panels: tuple[Panel, ...]
    folds: tuple[float | None, ...]
    breadth: float
    ends: tuple[float, ...] = field(init=False, repr=False, compare=False)
    starts: tuple[float, ...] = field(init=False, repr=False, compare=False)
    length: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if len(self.folds) != len(self.panels) - 1:
            raise ValueError(f"{len(self.panels)} panels need {len(self.panels) - 1} folds")
        ends = tuple(itertools.accumulate(panel.length for panel in self.panels))
        object.__setattr__(self, "ends", ends)
        object.__setattr__(self, "starts", (0.0, *ends[:-1]))
        object.__setattr__(self, "length", math.fsum(panel.length for panel in self.panels))

    def fold_before(self, index: int) -> float | None:
        """Return the fold at a panel's left end; None for none, or the strip's end."""
        return self.folds[index - 1] if index > 0 else None

    def fold_after(self, index: int) -> float | None:
        """Return the fold at a panel's right end; None for none, or the strip's end."""
        return self.folds[index] if index < len(self.folds) else None

    def creases(self) -> Iterator[Crease]:
        """Yield the creases from left to right."""
        for i, (x, fold) in enumerate(zip(self.ends, self.folds, strict=False)):
            if fold is not None:
                yield Crease(i, i + 1, x, fold)

    def runs(self) -> Iterator[tuple[int, int]]:
        """Yield the first and last panel of each flat run between creases."""
        first = 0
        for i in range(len(self.panels)):
            if self.fold_after(i) is not None or i == len(self.folds):
                yield (first, i)
                first = i + 1

    def legs(self) -> Iterator[int]:
        """Yield the indices of the legs."""
        return (i for i, panel in enumerate(self.panels) if panel.part == "leg")

    def apex_on_right(self, leg: int) -> bool:
        """Return whether a leg's board is its right neighbour."""
        return leg < len(self.panels) - 1 and self.panels[leg + 1].part == "board"

    def slope_at(self, leg: int) -> float:
        """Return the slope of the board above a leg: the apex folds by −(90° + a)."""
        apex = self.fold_after(leg) if self.apex_on_right(leg) else self.fold_before(leg)
        return abs(apex or 0.0) - math.pi / 2
