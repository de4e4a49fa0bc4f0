"""The lines of a file paired with the strokes it should hold, and what became of those left over.

A stroke is paired with a line of its layer that runs through the same places, however a format
breaks up its arcs. What is left is told: on the wrong layer, closed, off by so much, missing,
doubled.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from typing import NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.files.formats import Format
from cutfiles.files.readers.reading import Place, ReadPath
from cutfiles.pattern.pattern import Stroke
from cutfiles.plane.measure import box_of, distance, distance_to_path, is_near, midway, path_length
from cutfiles.plane.shapes import Box, Path, Segment


@dataclass(frozen=True, slots=True)
class Difference:
    """One way in which a file is not what it should be.

    Attributes:
        layer: as the file calls it, or empty where it concerns the whole file.
        place: which line, or where, mm on the sheet.
        message: what is different, with its size.
        moved: the whole file lies elsewhere, and nothing else is different.

    """

    layer: str
    place: str
    message: str
    moved: bool = False

    def __str__(self) -> str:
        """Return layer, place and what is different."""
        return ": ".join(part for part in (self.layer, self.place, self.message) if part)


class Wanted(NamedTuple):
    """One stroke a file should hold, and the layer it should be on."""

    layer: str
    stroke: Stroke

    @property
    def path(self) -> Path:
        """Its path."""
        return self.stroke.path


Leftover = tuple[list[Wanted], list[ReadPath]]
"""Strokes without a path, and paths without a stroke."""


def tell_lines(wanted: Sequence[Wanted], left: Leftover, form: Format) -> Iterator[Difference]:
    """Yield what became of the strokes and paths that are left over, of all that were wanted."""
    missing, extra = left[0], list(left[1])
    for item in missing:
        yield _explain(item, extra, form)
    for path in extra:
        twin = any(item.layer == path.layer and _same(item.path, path, form) for item in wanted)
        message = "is doubled" if twin else "is not in the pattern"
        yield Difference(
            path.layer,
            place_told(path.points[0]),
            f"a line of {_read_length(path):.2f} mm that begins there {message}",
        )


def in_order(wanted: Sequence[Wanted], paths: Sequence[ReadPath], form: Format) -> bool:
    """Whether the paths are the strokes one by one, as they are in a file that is right.

    What is straight has its places compared all at once, each no further than a step from its own;
    so pairing each stroke by itself, which takes five times as long, would find nothing either.
    """
    meant: list[Place] = []
    found: list[Place] = []
    if len(wanted) != len(paths):
        return False
    for item, read in zip(wanted, paths, strict=True):
        path = item.stroke.path
        if item.layer != read.layer or path.closed != read.closed:
            return False
        if len(path.points) == len(read.points) and not read.bends and path.is_straight:
            meant += path.points
            found += read.points
        elif not _same_places(path, read, form):
            return False
    return max(map(math.dist, meant, found), default=0.0) <= _step(form)


def matched(
    wanted: Sequence[Wanted], paths: Sequence[ReadPath], form: Format
) -> Iterator[int | None]:
    """Yield for each stroke which path it is, by its number in the file; None where none is.

    A path that is a stroke begins at one of its corners, so only paths that begin near one are
    looked at; those first that begin where it does, in their order. So the first path that is left
    is the one wherever it is broken up as the stroke is, and no other is looked at: a file in the
    order of its strokes takes half as long.
    """
    begins: _Begins | None = None
    left, first = set(range(len(paths))), 0
    for item in wanted:
        while first < len(paths) and first not in left:
            first += 1
        hit: int | None = first
        if first == len(paths) or not _is_like(item, paths[first], form):
            begins = begins or _Begins(paths, _step(form))
            near = (left.intersection(begins.near(item.layer, one)) for one in _corners(item.path))
            likely = (i for numbers in near for i in sorted(numbers))
            hit = next((i for i in likely if _same(item.path, paths[i], form)), None)
        if hit is not None:
            left.remove(hit)
        yield hit


def all_paired(wanted: Sequence[Wanted], paths: Sequence[ReadPath], form: Format) -> bool:
    """Whether each stroke has a path of its own, and none is left over.

    The first stroke without one decides: four ways to turn a damaged file are tried, and with most
    of them no stroke has one.
    """
    return len(wanted) == len(paths) and None not in matched(wanted, paths, form)


def _is_like(item: Wanted, path: ReadPath, form: Format) -> bool:
    """Whether a path is on the layer of a stroke, and broken up as it is."""
    return path.layer == item.layer and _broken_alike(item.path, path, form)


def _corners(path: Path) -> Iterator[Sequence[Place]]:
    """Yield where a path begins, then its other corners."""
    yield path.points[:1]
    yield path.points[1:]


class _Begins:
    """Where paths begin, layer by layer, in squares of a few steps."""

    def __init__(self, paths: Sequence[ReadPath], step: float) -> None:
        self.step, self.size = step, max(1.0, 4 * step)
        self.squares: dict[tuple[str, float, float], list[int]] = {}
        for i, path in enumerate(paths):
            x, y = path.points[0]
            at = (path.layer, x // self.size, y // self.size)
            self.squares.setdefault(at, []).append(i)

    def near(self, layer: str, places: Iterable[Place]) -> Iterator[int]:
        """Yield the paths that may begin within a step of one of the places; some repeatedly."""
        step, size, squares = self.step, self.size, self.squares
        for x, y in places:
            left, right = (x - step) // size, (x + step) // size
            below, above = (y - step) // size, (y + step) // size
            yield from squares.get((layer, left, below), ())
            if left != right or below != above:  # seldom: a step is short
                for square in ((left, above), (right, below), (right, above)):
                    yield from squares.get((layer, *square), ())


def unpaired(
    wanted: Sequence[Wanted], paths: Sequence[ReadPath], found: Sequence[int | None]
) -> Leftover:
    """Return what is left over where it is known which path is which stroke.

    Strokes without a path and paths without a stroke, each in its order by layers.
    """
    missing = [item for item, at in zip(wanted, found, strict=True) if at is None]
    taken, layers = set(found), list(dict.fromkeys(path.layer for path in paths))
    extra = [path for i, path in enumerate(paths) if i not in taken]
    return missing, sorted(extra, key=lambda path: layers.index(path.layer))


def _explain(item: Wanted, extra: list[ReadPath], form: Format) -> Difference:
    """Say what became of a stroke; takes the path that explains it out of `extra`."""
    name = item.stroke.name
    for path in extra:
        if path.layer != item.layer and _same(item.path, path, form):
            extra.remove(path)
            return Difference(path.layer, name, f"should be on layer {item.layer}")
    near = [path for path in extra if path.layer == item.layer]
    for path in near:
        if path.closed != item.path.closed and _same_places(item.path, path, form):
            extra.remove(path)
            is_, should = ("closed", "open") if path.closed else ("open", "closed")
            return Difference(item.layer, name, f"is {is_}, should be {should}")
    found, apart = _nearest(item.path, near)
    if found:
        extra.remove(found)
        return Difference(
            item.layer, name, f"is off by {apart:.3f} mm near {place_told(found.points[0])}"
        )
    return Difference(item.layer, f"{name} at {place_told(item.path.points[0])}", "is missing")


def _same(path: Path, read: ReadPath, form: Format) -> bool:
    return path.closed == read.closed and _same_places(path, read, form)


def _same_places(path: Path, read: ReadPath, form: Format) -> bool:
    """Whether two paths run through the same places, however a format breaks up their arcs.

    Each vertex of the one is a vertex of the other or lies on it, each middle lies on it, and both
    are equally long, so that nothing is left out or run over twice.
    """
    step = _step(form)
    curve = step + form.curve
    if not _are_among(read.points[:1], path.points, step):
        return False
    if _broken_alike(path, read, form):
        return True
    if not _are_among(path.points, read.points, step):
        return False
    places = read.points + read.middles
    if not is_near(places, path, curve):
        return False
    slack = 2 * curve * (len(read.points) + 1)
    meant = path_length(path)
    if path.closed != read.closed:
        meant += distance(path.points[0], path.points[-1]) * (1 if read.closed else -1)
    return abs(_read_length(read) - meant) <= slack


def _are_among(points: Sequence[Place], places: Sequence[Place], step: float) -> bool:
    """Whether each point is one of the places, no further than a step (mm) from it."""
    last = 0
    for point in points:
        # the next point is one of the next places
        for i in chain(range(last, len(places)), range(last)):
            if math.dist(point, places[i]) <= step:
                last = i
                break
        else:
            return False
    return True


def _broken_alike(path: Path, read: ReadPath, form: Format) -> bool:
    """Whether a path is broken up as we did: ends meet ends, and an arc is known by its middle."""
    points, step = path.points, _step(form)
    if (len(points), path.closed) != (len(read.points), read.closed):
        return False
    if max(map(math.dist, points, read.points)) > step:
        return False
    if path.is_straight and not read.bends:
        return True  # where the ends are the same, so is what lies midway
    return all(
        math.dist(midway(segment), found) - _bent(segment, form) <= step
        for segment, found in zip(path.segments(), read.middles, strict=True)
    )


def _step(form: Format) -> float:
    """Return how far a place may be off in a format, mm: it was rounded on both axes."""
    return 0.75 * form.step + 1e-9


def _bent(segment: Segment, form: Format) -> float:
    """Return what the middle of an arc may be off beyond a place of its own, mm.

    Both ends are rounded: the chord turns, and the middle with it, the more the rounder the arc.
    """
    return form.curve + 0.75 * form.step * abs(segment.bulge) if segment.bulge else 0.0


def _nearest(path: Path, near: list[ReadPath]) -> tuple[ReadPath | None, float]:
    """Return what lies nearest to a stroke, and how far apart they are, mm.

    It must be nearer than the stroke is long. What cannot be, by the boxes around both, is not
    measured place by place.
    """
    best, apart = None, path_length(path)
    for least, i in sorted((_apart_at_least(path, read), i) for i, read in enumerate(near)):
        if least >= apart:
            break
        here = _apart(path, near[i])
        if here < apart:
            best, apart = near[i], here
    return best, apart


def _apart_at_least(path: Path, read: ReadPath) -> float:
    """Return what `_apart` is at the least, mm: how far either sticks out of the other's box."""
    around, own, other = box_of([path]), _around(path.points), box_read([read])
    return max(
        around.left - other.left,
        around.bottom - other.bottom,
        other.right - around.right,
        other.top - around.top,
        other.left - own.left,
        other.bottom - own.bottom,
        own.right - other.right,
        own.top - other.top,
    )


def _apart(path: Path, read: ReadPath) -> float:
    """Return how far the places of one path lie from the other at the most, mm."""
    return max(
        max(distance_to_path(place, path) for place in (*read.points, *read.middles)),
        max(min(distance(point, place) for place in read.points) for point in path.points),
    )


def _read_length(path: ReadPath) -> float:
    """Return a path's length, its curved segments measured as arcs through their middles."""
    ends = path.points[1:] + path.points[:1] if path.closed else path.points[1:]
    if not path.bends:
        return math.fsum(map(math.dist, path.points, ends))
    return math.fsum(
        _arc_length(start, middle, end)
        for start, middle, end in zip(path.points, path.bends, ends, strict=False)
    )


def _arc_length(start: Place, middle: Place, end: Place) -> float:
    chord = distance(start, end)
    half = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    rise = distance(middle, half)
    if chord == 0 or rise < 1e-6 * chord:
        return chord
    turn = 4 * math.atan(2 * rise / chord)
    return chord * turn / (2 * math.sin(turn / 2))


def place_told(place: Place) -> str:
    """Return a place as messages tell it, mm on the sheet."""
    return f"({place[0]:.2f}, {place[1]:.2f})"


def box_read(paths: Iterable[ReadPath]) -> Box:
    """Return the box around the places of lines that were read, mm."""
    return _around([place for path in paths for place in path.points + path.bends])


def _around(places: Sequence[Place]) -> Box:
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return Box(min(xs), min(ys), max(xs), max(ys))
