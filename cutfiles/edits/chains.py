"""Loose lines joined end to end: an outline that an editor took apart is one ring again."""

from collections.abc import Sequence
from typing import NamedTuple

from cutfiles.plane.measure import box_of, distance
from cutfiles.plane.moves import reverse
from cutfiles.plane.shapes import Path

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


def _joined(loose: list[Path], within: float) -> tuple[list[Ring], list[Path]]:
    """Return the rings that loose paths make when ends so near are joined, and what is left."""
    rings, left = [], []
    waiting = list(loose)
    while waiting:
        chain, parts, widest = waiting.pop(0), 1, 0.0
        while True:
            found = _next(chain, waiting, within)
            if found is None:
                break
            at, path, gap = found
            waiting.pop(at)
            chain, parts, widest = _linked(chain, path, gap), parts + 1, max(widest, gap)
        gap = distance(chain.points[0], chain.points[-1])
        box = box_of([chain])
        if gap <= within and len(chain.points) > 2 and box.width + box.height > 4 * gap:
            rings.append(Ring(_closed(chain, gap), parts, max(widest, gap)))
        else:
            left.append(chain)
    return rings, left


def _next(chain: Path, waiting: list[Path], within: float) -> tuple[int, Path, float] | None:
    """Return the path that goes on nearest to a chain's end, turned to run on, and the gap."""
    end = chain.points[-1]
    if distance(chain.points[0], end) <= JOIN and len(chain.points) > 2:
        return None
    best: tuple[int, Path, float] | None = None
    for i, path in enumerate(waiting):
        for way in (path, reverse(path)):
            gap = distance(end, way.points[0])
            if gap <= within and (best is None or gap < best[2]):
                best = (i, way, gap)
    return best


def _linked(chain: Path, path: Path, gap: float) -> Path:
    if gap <= JOIN:
        points = (*chain.points, *path.points[1:])
        return Path(points, (*chain.bulges, *path.bulges), False)
    return Path((*chain.points, *path.points), (*chain.bulges, 0.0, *path.bulges), False)


def _closed(chain: Path, gap: float) -> Path:
    if gap <= JOIN:
        return Path(chain.points[:-1], chain.bulges, True)
    return Path(chain.points, (*chain.bulges, 0.0), True)
