"""Which lines run over which: what of a line is not covered by others, areas and their widths.

The one module of this room that knows shapely.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

import shapely
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from cutfiles.edits.edit import SAME
from cutfiles.plane.measure import chords
from cutfiles.plane.shapes import Box, Path, Point, open_path

FINE = 0.004
"""Arcs are broken to chords no further off, mm."""
_KEPT = 2048
"""Shapes that are kept: each line is asked about role by role, an outline for all its stretches."""
_ALIKE = 0.9
"""Lines whose places differ by less than this share of a width lie in the band around each other,
which is drawn with twelve corners about an end."""
LEAST = 0.15
"""What is left of a line and shorter than this is no difference, mm."""


@lru_cache(maxsize=_KEPT)
def drawn(path: Path) -> LineString:
    """Return a path as a string of lines, back to its beginning where it closes."""
    points = chords(path, FINE)
    return LineString([*points, points[0]] if path.closed else points)


def path_of(line: LineString) -> Path:
    """Return a string of lines as a path."""
    return open_path(*line.coords)


class Cover:
    """Lines that may cover others."""

    def __init__(self, paths: Iterable[Path]) -> None:
        self.tree = shapely.STRtree([drawn(path) for path in paths])

    def rest(self, path: Path, within: float = SAME) -> list[LineString]:
        """Return what of a path lies further than `within` (mm) from all of these lines."""
        line = drawn(path)
        near = self.tree.geometries[self.tree.query(line, "dwithin", within)]
        if not len(near):
            return [line]
        if shapely.equals_exact(line, near, _ALIKE * within).any():  # a seventh of the time below
            return []
        return _long(line.difference(shapely.union_all(shapely.buffer(near, within, quad_segs=3))))

    def covers(self, path: Path, within: float = SAME) -> bool:
        """Whether nothing of a path is left."""
        return not self.rest(path, within)

    def share(self, path: Path, within: float = SAME) -> float:
        """Return the share of a path's length that lies on these lines."""
        whole = drawn(path).length
        return 1.0 - sum(one.length for one in self.rest(path, within)) / whole if whole else 0.0


class Near:
    """Lines, each straight piece by itself, that may lie near a place.

    A file may hold a hundred thousand pieces, and all but one of them in a corner: a tree finds the
    nearest whatever they are.
    """

    def __init__(self, paths: Iterable[Path], fine: float = FINE) -> None:
        pieces: list[tuple[Point, Point]] = []
        for path in paths:
            points = chords(path, fine)
            pieces += pairwise((*points, points[0]) if path.closed else points)
        self.tree = shapely.STRtree(shapely.linestrings(pieces))

    def which(self, places: Sequence[Point], within: float) -> list[int]:
        """Return which of the places, by their order, have a line no further off (mm)."""
        asked = shapely.points(places)
        found = self.tree.query_nearest(asked, max_distance=within, all_matches=False)
        return [int(i) for i in found[0]]


def hull(paths: Iterable[Path]) -> list[Point]:
    """Return the vertices of paths that lie furthest out in some direction."""
    places = [point for path in paths for point in path.points]
    return [Point(x, y) for x, y in shapely.get_coordinates(shapely.MultiPoint(places).convex_hull)]


def _long(shape: BaseGeometry) -> list[LineString]:
    """Return the strings of a shape that are worth telling, joined where they meet."""
    if shape.is_empty:
        return []
    merged = shapely.line_merge(shape) if isinstance(shape, MultiLineString) else shape
    parts = [one for one in shapely.get_parts(merged) if isinstance(one, LineString)]
    return [one for one in parts if one.length > LEAST]


@lru_cache(maxsize=_KEPT)
def area_of(path: Path) -> BaseGeometry:
    """Return the area a closed path surrounds; where it crosses itself, all that falls out."""
    points = chords(path, FINE)
    shape = Polygon(points) if len(points) > 2 else Polygon()
    if shape.is_valid:
        return shape
    lines = shapely.node(LineString([*points, points[0]]))
    return shapely.union_all(shapely.polygonize(shapely.get_parts(lines)))


def crosses_itself(path: Path) -> bool:
    """Whether a line meets itself elsewhere than where it closes."""
    return not drawn(path).is_simple


def inside(ring: Path, other: Path) -> bool:
    """Whether a ring lies within another, touching or not."""
    return bool(area_of(other).buffer(SAME).covers(area_of(ring)))


def touches(ring: Path, other: Path) -> bool:
    """Whether two areas share more than an edge."""
    return bool(area_of(ring).intersection(area_of(other)).area > 0.01)


def apart(path: Path, other: Path) -> float:
    """Return how far two lines lie from one another, mm."""
    return float(drawn(path).distance(drawn(other)))


def crosses(path: Path, other: Path) -> bool:
    """Whether two lines meet, or an area of the one holds some of the other."""
    shape: BaseGeometry = area_of(path) if path.closed else drawn(path)
    return bool(shape.intersects(drawn(other)))


def film_of(outline: Path, holes: Sequence[Path]) -> BaseGeometry:
    """Return the film that is there: the outline's area without its holes."""
    film: BaseGeometry = area_of(outline)
    gone = [area_of(hole) for hole in holes if hole.closed]
    return film.difference(shapely.union_all(gone)) if gone else film


def changed(before: BaseGeometry, after: BaseGeometry) -> tuple[float, float]:
    """Return how much film is gone, and how much is new, mm²."""
    return float(before.difference(after).area), float(after.difference(before).area)


def within_box(film: BaseGeometry, box: Box) -> float:
    """Return the area of film in a box, mm²."""
    return float(film.intersection(shapely.box(*box)).area)


def least_width(film: BaseGeometry, meant: BaseGeometry, box: Box, at: Sequence[float]) -> float:
    """Return the least share of the designed width that is left in a box, over upright sections.

    Args:
        film: that is there.
        meant: that should be.
        box: a panel with its edges.
        at: further places to look at, mm.

    """
    count = 24
    step = box.width / count
    places = [box.left + step * (i + 0.5) for i in range(count)]
    places += [x for x in at if box.left < x < box.right]
    least = 1.0
    for x in places:
        section = LineString([(x, box.bottom - 1), (x, box.top + 1)])
        whole = meant.intersection(section).length
        if whole > 0:
            least = min(least, film.intersection(section).length / whole)
    return least
