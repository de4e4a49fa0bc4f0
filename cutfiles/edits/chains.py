"""Loose lines joined end to end: an outline that an editor took apart is one ring again."""

import math
from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

from cutfiles.plane.measure import box_of, distance
from cutfiles.plane.moves import reverse
from cutfiles.plane.shapes import Path, Point

JOIN = 0.06
"""Ends nearer than this are one, mm."""
OPEN = 1.5
"""An outline open by less than this is taken for closed, and the opening told, mm."""


class Ring(NamedTuple):
    """A closed path, how many lines it was joined from, and how wide its widest opening was, mm."""

    path: Path
    pieces: int
    opening: float


def rings_of(paths: Sequence[Path]) -> tuple[list[Ring], list[Path]]:
    """Return the rings that paths make, and the paths that are left open."""
    rings = [Ring(path, 1, 0.0) for path in paths if path.closed]
    loose = [path for path in paths if not path.closed]
    for within in (JOIN, OPEN):
        joined, loose = _joined(loose, within)
        rings += joined
    return rings, loose


class _Ends:
    """The ends of paths that wait to be joined, by square cells."""

    def __init__(self, paths: Sequence[Path], within: float) -> None:
        self.paths, self.within = paths, within
        self.waiting = set(range(len(paths)))
        self.cells: dict[tuple[int, int], list[tuple[int, bool]]] = defaultdict(list)
        for i, path in enumerate(paths):
            for last in (False, True):
                self.cells[self._cell(path.points[-1 if last else 0])].append((i, last))

    def _cell(self, place: Point) -> tuple[int, int]:
        return (math.floor(place.x / self.within), math.floor(place.y / self.within))

    def nearest(self, end: Point) -> tuple[int, bool, float] | None:
        """Return the waiting path with an end nearest to a place, which end, and the gap."""
        x, y = self._cell(end)
        near = (
            (distance(end, self.paths[i].points[-1 if last else 0]), i, last)
            for cx in (x - 1, x, x + 1)
            for cy in (y - 1, y, y + 1)
            for i, last in self.cells.get((cx, cy), ())
            if i in self.waiting
        )
        gap, i, last = min(near, default=(math.inf, -1, False))
        return None if gap > self.within else (i, last, gap)


def _joined(loose: list[Path], within: float) -> tuple[list[Ring], list[Path]]:
    """Return the rings that loose paths make when ends so near are joined, and what is left."""
    rings, left = [], []
    ends = _Ends(loose, within)
    while ends.waiting:
        first = min(ends.waiting)
        ends.waiting.discard(first)
        chain, parts, widest = loose[first], 1, 0.0
        while not _is_round(chain):
            found = ends.nearest(chain.points[-1])
            if found is None:
                break
            at, last, gap = found
            ends.waiting.discard(at)
            path = reverse(loose[at]) if last else loose[at]
            chain, parts, widest = _linked(chain, path, gap), parts + 1, max(widest, gap)
        gap = distance(chain.points[0], chain.points[-1])
        box = box_of([chain])
        if gap <= within and len(chain.points) > 2 and box.width + box.height > 4 * gap:
            rings.append(Ring(_closed(chain, gap), parts, max(widest, gap)))
        else:
            left.append(chain)
    return rings, left


def _is_round(chain: Path) -> bool:
    """Whether a chain comes back to where it began."""
    return len(chain.points) > 2 and distance(chain.points[0], chain.points[-1]) <= JOIN


def _linked(chain: Path, path: Path, gap: float) -> Path:
    if gap <= JOIN:
        points = (*chain.points, *path.points[1:])
        return Path(points, (*chain.bulges, *path.bulges), False)
    return Path((*chain.points, *path.points), (*chain.bulges, 0.0, *path.bulges), False)


def _closed(chain: Path, gap: float) -> Path:
    if gap <= JOIN:
        return Path(chain.points[:-1], chain.bulges, True)
    return Path(chain.points, (*chain.bulges, 0.0), True)
