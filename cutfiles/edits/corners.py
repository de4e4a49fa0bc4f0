"""Corners of a path: where it turns at once, and arcs that are rounder than they may be."""

import math
from collections.abc import Iterator
from itertools import pairwise

from cutfiles.plane.measure import arc_radius, sweep
from cutfiles.plane.parts import heading_at_end, heading_at_start
from cutfiles.plane.shapes import Path, Point, Segment

SHARP = math.radians(30.0)
"""A corner that turns by more at once is sharp."""
ROUND = 0.5
"""Radius of the roundest corner that still tears or scratches, mm (the design's inner corners)."""


def turns(path: Path) -> Iterator[tuple[Point, float]]:
    """Yield corners where a path turns at once, and by how much, left positive, radians."""
    parts = list(path.segments())
    pairs = list(pairwise(parts))
    if path.closed:
        pairs.append((parts[-1], parts[0]))
    for before, after in pairs:
        turn = math.remainder(heading_at_start(after) - heading_at_end(before), math.tau)
        if abs(turn) > SHARP:
            yield before.end, turn


def tight(path: Path, way: int) -> Iterator[Segment]:
    """Yield arcs that turn this way (1 left, -1 right), rounder than they may, by 30° or more."""
    for part in path.segments():
        if part.bulge * way > 0 and arc_radius(part) < ROUND - 1e-3 and abs(sweep(part)) > SHARP:
            yield part
