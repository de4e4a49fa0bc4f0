"""The bands of a strip, and what is drawn on them: in three layers a flap lies on either side.

Seen from the book face; the flaps are turned under, so their scores are drawn reversed.
"""

import math
from collections.abc import Iterator, Sequence

from cutfiles.pattern.layers import thirds
from cutfiles.pattern.pattern import Band, Crease, Role, Stroke, score_role
from cutfiles.plane.shapes import Box, circle, open_path
from cutfiles.support.constructions.thirds import LEAST_HOLE, relief_hole
from cutfiles.support.profile import Direction


def three_bands(
    length: float, breadth: float, gauge: float, fold_gap: float, edge_gap: float
) -> tuple[Band, Band, Band]:
    """Return the thirds of a strip from tail to head, the inner flap at the tail; lengths in mm."""
    third = thirds(breadth, gauge, fold_gap, edge_gap)
    first, second = third.inner, third.inner + third.middle
    return (
        Band("inner flap", 1, Box(0.0, 0.0, length, first)),
        Band("middle", 0, Box(0.0, first, length, second)),
        Band("outer flap", 2, Box(0.0, second, length, second + third.outer)),
    )


def runs(bands: Sequence[Band], gap: float) -> Iterator[tuple[float, float]]:
    """Yield from where to where scores run on each band, mm: they keep off the long folds."""
    for i, band in enumerate(bands):
        yield (
            band.box.bottom + (gap if i > 0 else 0.0),
            band.box.top - (gap if i < len(bands) - 1 else 0.0),
        )


def crease_score(crease: Crease, band: Band, x: float, run: tuple[float, float]) -> Stroke:
    """Return the score of a crease on a band, at x and from where to where, mm."""
    role = score_role(_opposite(crease.direction) if band.layer else crease.direction)
    path = open_path((x, run[0]), (x, run[1]))
    return Stroke(role, f"{crease.name}, {band.name}", path, "", crease.name, band.name)


def _opposite(direction: Direction) -> Direction:
    return "valley" if direction == "mountain" else "mountain"


def long_folds(bands: Sequence[Band], length: float) -> list[Stroke]:
    """Return the long folds of a strip this long, mm; none of a single band."""
    names = ("inner long fold", "outer long fold")
    return [
        Stroke(Role.MOUNTAIN, name, open_path((0.0, band.box.top), (length, band.box.top)))
        for name, band in zip(names, bands[:-1], strict=False)
    ]


def relief(
    crease: Crease, flap: Band, at: tuple[float, float], gauge: float, least: float = LEAST_HOLE
) -> Stroke:
    """Return the relief hole where a crease crosses the long fold of a flap.

    A hole is as large as the film has length to lose there, none smaller than the least, mm.
    """
    size = relief_hole(gauge, flap.layer, crease.angle, least)
    radius = math.ceil(100 * size - 1e-9) / 200  # to a hundredth, as holes are told
    return Stroke(Role.HOLES, f"relief hole, {crease.name}, {flap.name}", circle(at, radius))
