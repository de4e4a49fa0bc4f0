"""Three layers: how broad the thirds are, and where creases move on the layers underneath.

With t the film's thickness and b the finished breadth:

    middle     = b − (2.5 − 0.75π)·t
    inner flap = b − 2.5·t − fold_gap + πt/4
    outer flap = b − 1.5·t − edge_gap + πt/2

A layer under the book face goes round the outside of a valley and the inside of a mountain:
measured from the panel by which it stands outwards, crease j on layer k moves by

    k · t · (sum of the signed fold angles before it + half its own)

(plane geometry of concentric bends; the sharp form puts 2·tan(θ/2) for θ)
"""

import math
from collections.abc import Callable

from cutfiles.dataclass import dataclass
from cutfiles.support.profile import Profile

Bend = Callable[[float], float]


@dataclass(frozen=True, slots=True)
class Thirds:
    """Breadths of the three thirds, mm."""

    middle: float
    inner: float
    outer: float


def thirds(breadth: float, gauge: float, fold_gap: float, edge_gap: float) -> Thirds:
    """Return the breadths of middle, inner flap and outer flap, all in mm.

    >>> thirds(138.0, 0.127, 1.0, 0.5).middle < 138.0
    True
    """
    return Thirds(
        middle=breadth - (2.5 - 0.75 * math.pi) * gauge,
        inner=breadth - 2.5 * gauge - fold_gap + math.pi * gauge / 4,
        outer=breadth - 1.5 * gauge - edge_gap + math.pi * gauge / 2,
    )


def rounded(angle: float) -> float:
    """Return the length a bend of this angle adds per unit of distance: an arc, its angle."""
    return angle


@dataclass(frozen=True, slots=True)
class Moves:
    """How far things move to the right on layer 1, mm; layer 2 moves twice as far.

    Attributes:
        creases: one number a fold, from left to right.
        left_end: the left end of the strip.
        right_end: the right end of the strip.

    """

    creases: tuple[float, ...]
    left_end: float
    right_end: float


def layer_moves(profile: Profile, step: float, bend: Bend = rounded) -> Moves:
    """Return the moves on the layer that lies `step` (gauge × nesting, mm) below the book face.

    Args:
        profile: panels and folds.
        step: distance from the book face to the layer, mm.
        bend: length of a bend at distance 1; `rounded`, or a sharp corner's 2·tan(angle/2).

    """
    root = profile.standing
    right, right_end = _outwards([f.angle for f in profile.folds if f.after > root], step, bend)
    left, left_end = _outwards(
        [f.angle for f in reversed(profile.folds) if f.after <= root], step, bend
    )
    return Moves(tuple(-move for move in reversed(left)) + tuple(right), -left_end, right_end)


def _outwards(angles: list[float], step: float, bend: Bend) -> tuple[list[float], float]:
    """Return how far each crease, then the end of the strip, moves outwards."""
    moves: list[float] = []
    before = 0.0
    for angle in angles:
        moves.append(step * (before + bend(angle) / 2))
        before += bend(angle)
    return moves, step * before
