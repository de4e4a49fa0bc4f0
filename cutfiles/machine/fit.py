"""The move of the plane that brings marks where they were measured: rigid, similar or affine."""

import math
from collections.abc import Sequence
from typing import Literal, get_args

from cutfiles.dataclass import dataclass
from cutfiles.plane.measure import chords, distance
from cutfiles.plane.shapes import Path, Point, closed_path, open_path

Kind = Literal["rigid", "similarity", "affine"]
KINDS: tuple[Kind, ...] = get_args(Kind)
NEEDED: dict[Kind, int] = {"rigid": 2, "similarity": 3, "affine": 4}
"""Marks from which a fit still shows how well it fits."""
_CHORD = 0.002


@dataclass(frozen=True, slots=True)
class Move:
    """x' = a·x + b·y + e, y' = c·x + d·y + f.

    Attributes:
        kind: which family it is of.
        a: and so on, as in the formula; e and f in mm.

    """

    kind: Kind
    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    def point(self, p: tuple[float, float]) -> Point:
        """Return where a place goes."""
        return Point(self.a * p[0] + self.b * p[1] + self.e, self.c * p[0] + self.d * p[1] + self.f)

    def path(self, path: Path) -> Path:
        """Return where a path goes; arcs become chords where the move does not keep circles."""
        if self.kind != "affine" or path.is_straight:
            points = tuple(self.point(p) for p in path.points)
            return Path(points, path.bulges, path.closed)
        places = [self.point(p) for p in chords(path, _CHORD)]
        return closed_path(*places) if path.closed else open_path(*places)

    @property
    def angle(self) -> float:
        """Turn of the x axis, radians."""
        return math.atan2(self.c, self.a)

    @property
    def scales(self) -> tuple[float, float]:
        """By how much lengths along x and y grow."""
        return (math.hypot(self.a, self.c), math.hypot(self.b, self.d))


def fit(kind: Kind, marks: Sequence[Point], found: Sequence[Point]) -> Move:
    """Return the move of a kind with the least sum of squared residuals.

    Source: least squares in closed form; for the rigid move Kabsch, Acta Crystallographica A32
    (1976), in the plane (from memory).

    >>> fit("rigid", [Point(0, 0), Point(9, 0)], [Point(1, 2), Point(10, 2)]).e
    1.0

    """
    n = len(marks)
    mx, my = sum(p.x for p in marks) / n, sum(p.y for p in marks) / n
    fx, fy = sum(p.x for p in found) / n, sum(p.y for p in found) / n
    z = [complex(p.x - mx, p.y - my) for p in marks]
    w = [complex(p.x - fx, p.y - fy) for p in found]
    if kind == "affine":
        a, b = _solve(z, [u.real for u in w])
        c, d = _solve(z, [u.imag for u in w])
    else:
        turn = sum(v * u.conjugate() for u, v in zip(z, w, strict=True))
        size = abs(turn) if kind == "rigid" else sum(abs(u) ** 2 for u in z)
        turn = turn / size if size else 1 + 0j
        a, b, c, d = turn.real, -turn.imag, turn.imag, turn.real
    return Move(kind, a, b, c, d, fx - a * mx - b * my, fy - c * mx - d * my)


def residuals(move: Move, marks: Sequence[Point], found: Sequence[Point]) -> list[float]:
    """Return how far each mark is from where the move brings it, mm."""
    return [distance(move.point(m), p) for m, p in zip(marks, found, strict=True)]


def best_fit(marks: Sequence[Point], found: Sequence[Point], good: float) -> Move:
    """Return the simplest move whose residuals are good, or of which no other halves them.

    A further freedom always takes something off the residuals, so it must halve them. Noise alone
    seldom does that with six marks (one try in twenty), with four in every third: there what is
    found of scale and shear fits the marks, and says little of the film.

    Args:
        marks: where they should be.
        found: where they were measured.
        good: a residual at which no other move is tried, mm.

    """
    best = fit("rigid", marks, found)
    off = max(residuals(best, marks, found))
    for kind in KINDS[1:]:
        if off <= good or len(marks) < NEEDED[kind]:
            break
        move = fit(kind, marks, found)
        less = max(residuals(move, marks, found))
        if less <= off / 2:
            best, off = move, less
    return best


def _solve(z: Sequence[complex], w: Sequence[float]) -> tuple[float, float]:
    """Return p, q with p·x + q·y nearest to w; places are about their centre."""
    xx, yy = sum(u.real**2 for u in z), sum(u.imag**2 for u in z)
    xy = sum(u.real * u.imag for u in z)
    xw = sum(u.real * v for u, v in zip(z, w, strict=True))
    yw = sum(u.imag * v for u, v in zip(z, w, strict=True))
    bottom = xx * yy - xy * xy
    if bottom < 1e-9 * max(xx, yy, 1e-30) ** 2:
        return (1.0, 0.0) if xx >= yy else (0.0, 1.0)
    return ((xw * yy - yw * xy) / bottom, (yw * xx - xw * xy) / bottom)
