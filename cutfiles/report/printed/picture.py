"""A picture of one step, in space, before any view of it is chosen."""

import math
from collections.abc import Iterable

from cutfiles.dataclass import dataclass
from cutfiles.folding.space import Spot
from cutfiles.report.pictures.strip import Polygon

Line = tuple[Spot, ...]
_SHARES = tuple(
    ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
    for t in (1 / 6, 1 / 3, 1 / 2, 2 / 3, 5 / 6, 1.0)
)
"""Of a cubic curve's four places at six places along it (Bernstein)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One step, in space: mm, x to the right, y to the head, z up.

    Attributes:
        polygons: of film and book.
        active: names of the creases folded in this step.
        before: the film's front edge as it was, where it moved.
        arrows: straight ones.
        bows: curved ones, on the film's way: cubic curves (Bézier), three places after each before.
        rings: letters of creases, the places they stand for, and whether below or above them.
        words: short texts and where their middle stands.
        bars: thick lines: tape seen from its end.
        tapes: tape seen from above.
        lines: thin lines.
        turned: whether the whole piece is turned over.
        above: whether it lies on the table and is seen from above.
        head: a line towards the head, beside the piece.

    """

    polygons: tuple[Polygon, ...] = ()
    active: frozenset[str] = frozenset()
    before: tuple[Line, ...] = ()
    arrows: tuple[Line, ...] = ()
    bows: tuple[Line, ...] = ()
    rings: tuple[tuple[str, Spot, int], ...] = ()
    words: tuple[tuple[str, Spot], ...] = ()
    bars: tuple[Line, ...] = ()
    tapes: tuple[Line, ...] = ()
    lines: tuple[Line, ...] = ()
    turned: bool = False
    above: bool = False
    head: Line = ()

    def spots(self) -> Iterable[Spot]:
        """Yield all places, for the picture's extent."""
        for polygon in self.polygons:
            yield from polygon.corners
        for group in (self.before, self.arrows, self.bars, self.tapes, self.lines, (self.head,)):
            for line in group:
                yield from line
        for bow in self.bows:
            yield from along(bow)
        yield from (place for _, place, _ in self.rings)
        yield from (place for _, place in self.words)


def turning(centre: Spot, out: Spot, side: Spot, turn: tuple[float, float]) -> Line:
    """Return centre + out · cos t + side · sin t as cubic curves: circles, seen from anywhere.

    Each is a quarter turn at most, and lies within 0.03 % of its radius.

    Args:
        centre: of the turn.
        out: the way from there where t = 0.
        side: the way where t = π/2.
        turn: first and last t, radians.

    >>> half = turning(Spot(0, 0, 0), Spot(1, 0, 0), Spot(0, 0, 1), (0.0, math.pi))
    >>> len(half), max(abs(math.hypot(x, z) - 1) for x, _, z in along(half)) < 0.0003
    (7, True)

    """
    start, end = turn
    count = max(1, math.ceil(abs(end - start) / (math.pi / 2) - 1e-9))
    step = (end - start) / count
    reach = 4 / 3 * math.tan(step / 4)

    def at(t: float, further: float) -> Spot:
        cos, sin = math.cos(t) - further * math.sin(t), math.sin(t) + further * math.cos(t)
        return Spot(*(c + cos * o + sin * s for c, o, s in zip(centre, out, side, strict=True)))

    found = [at(start, 0.0)]
    for i in range(count):
        t = start + i * step
        found += [at(t, reach), at(t + step, -reach), at(t + step, 0.0)]
    return tuple(found)


def along(bow: Line) -> Line:
    """Return places on cubic curves, six to each."""
    found = [bow[0]]
    for i in range(0, len(bow) - 1, 3):
        (ax, ay, az), (bx, by, bz), (cx, cy, cz), (dx, dy, dz) = bow[i : i + 4]
        found += [
            Spot(
                a * ax + b * bx + c * cx + d * dx,
                a * ay + b * by + c * cy + d * dy,
                a * az + b * bz + c * cz + d * dz,
            )
            for a, b, c, d in _SHARES
        ]
    return tuple(found)
