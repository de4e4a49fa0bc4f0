"""Where a drawing lies: the best move, turn, mirroring and scale of the whole.

Patterns are drawn of long straight lines, upright and level. So the turn is told by the common
direction of all straight lines; move and scale by how the places of upright and of level lines
match those of the pattern, like two combs; and among turns by quarters and mirrorings that one is
right in which most of the pattern is found.
"""

import math
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from heapq import nlargest
from typing import NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.edits.cover import Near, hull
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of, chords, distance, point_along
from cutfiles.plane.shapes import Box, Path, Point
from cutfiles.words.scales import KNOWN_SCALES

SCALES = (1.0, *KNOWN_SCALES)
"""Scales of the whole that are exact where they are as good as exact."""
NEAR = 0.12
"""A place of the pattern is found where a line lies so near, mm as designed."""
_RIGHT = 0.9
"""So much of the pattern found where it was written: nothing better is looked for."""
_TEETH, _TRIED = 40, 16
_FINENESS = 7200
"""Arcs are broken to chords no further off than the file's size by this."""
_SURE = 0.35
"""Less of the pattern found than this share: it is another drawing."""


@dataclass(frozen=True, slots=True)
class Lie:
    """How a file's drawing lies: design → mirrored → scaled → turned → moved.

    Attributes:
        turn: counter-clockwise, radians.
        mirrored: left to right, before it was turned.
        across: how many times as long as designed, left to right.
        up: the same, tail to head.
        at: where the design's lower left corner came to lie, mm.
        found: share of the pattern that is found so.

    """

    turn: float
    mirrored: bool
    across: float
    up: float
    at: Point
    found: float = 0.0

    @property
    def is_sure(self) -> bool:
        """Whether so much of the pattern is found that it is its drawing."""
        return self.found >= _SURE

    def there(self, place: tuple[float, float]) -> Point:
        """Return where a place of the design lies in the file."""
        x = (-self.across if self.mirrored else self.across) * place[0]
        y = self.up * place[1]
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return Point(self.at.x + cos * x - sin * y, self.at.y + sin * x + cos * y)

    def back(self, place: tuple[float, float]) -> Point:
        """Return which place of the design a place in the file is."""
        dx, dy = place[0] - self.at.x, place[1] - self.at.y
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        x, y = cos * dx + sin * dy, cos * dy - sin * dx
        across = -self.across if self.mirrored else self.across
        return Point(x / across, y / self.up)

    def path_back(self, path: Path) -> Path:
        """Return a path of the file as it lies in the design."""
        if abs(self.across / self.up - 1) > 1e-6 and any(path.bulges):
            points = [self.back(p) for p in chords(path, 0.002)]
            count = len(points) if path.closed else len(points) - 1
            return Path(tuple(points), (0.0,) * count, path.closed)
        sign = -1.0 if self.mirrored else 1.0
        points = [self.back(point) for point in path.points]
        return Path(tuple(points), tuple(sign * b for b in path.bulges), path.closed)


AS_DESIGNED = Lie(0.0, False, 1.0, 1.0, Point(0.0, 0.0), 1.0)


class _Tooth(NamedTuple):
    place: float
    length: float


class _Comb(NamedTuple):
    """A match of two combs: share of the design's teeth found, scale, shift."""

    share: float
    scale: float
    shift: float


class _Segment(NamedTuple):
    a: Point
    b: Point
    length: float


def lie_of(paths: Sequence[Path], strokes: Sequence[Stroke]) -> Lie:
    """Return how a drawing lies.

    Args:
        paths: all lines of the file, mm as it states them.
        strokes: what it should hold.

    """
    if not paths:
        return Lie(0.0, False, 1.0, 1.0, Point(0.0, 0.0), 0.0)
    samples = _samples(strokes)
    near = _near(paths)
    straight = _found_at(near, samples, AS_DESIGNED)
    if straight > _RIGHT:
        return replace(AS_DESIGNED, found=straight)
    segments = _straight(paths)
    meant = _straight([stroke.path for stroke in strokes])
    base = _direction(segments)
    combs = (_teeth(meant, upright=True), _teeth(meant, upright=False))
    size = box_of(stroke.path for stroke in strokes)
    largest = max(paths, key=lambda path: _reach(path) if path.closed else 0.0)
    hulls = (hull(paths), hull([largest]))
    likely: list[tuple[float, Lie]] = []
    for quarter in range(4):
        turn = math.remainder(base + quarter * math.pi / 2, math.tau)
        likely += _lies(hulls, segments, turn, combs, size)
    likely.sort(key=lambda one: -round(one[0], 2))
    best = replace(AS_DESIGNED, found=straight)
    for share, lie in likely[:_TRIED]:
        if share > 0.4 * likely[0][0]:
            found = _found_at(near, samples, lie)
            if found > best.found + 0.004:
                best = replace(lie, found=found)
    return best


def _lies(
    hulls: tuple[Sequence[Point], Sequence[Point]],
    segments: Sequence[_Segment],
    turn: float,
    combs: tuple[list[_Tooth], list[_Tooth]],
    size: Box,
) -> list[tuple[float, Lie]]:
    """Return the likely lies of a file, its turn given, each with how likely.

    `hulls` are those of all its lines, and of its largest ring.
    """
    upright = Lie(turn, False, 1.0, 1.0, Point(0.0, 0.0))
    own = [_Segment(upright.back(s.a), upright.back(s.b), s.length) for s in segments]
    places, around = ([upright.back(p) for p in places] for places in hulls)
    xs, ys = [p.x for p in places], [p.y for p in places]
    ratios = [
        [(max(lows) - min(lows)) / whole, _outline_ratio(around, combs[i], i)]
        for i, (lows, whole) in enumerate(((xs, size.width), (ys, size.height)))
    ]
    across, level = _teeth(own, upright=True), _teeth(own, upright=False)
    up = _matches(combs[1], level, ratios[1])
    lies = []
    for mirrored in (False, True):  # left to right: how high lines lie stays
        upright = replace(upright, mirrored=mirrored)
        teeth = [_Tooth(-place, length) for place, length in across] if mirrored else across
        for x in _matches(combs[0], teeth, ratios[0]):
            for y in up:
                if x.share * y.share < 0.02 or not 0.5 < x.scale / y.scale < 2.0:
                    continue
                at = upright.there((x.shift, y.shift))
                lie = Lie(turn, mirrored, x.scale, y.scale, _snapped(at), 0.0)
                lies.append((x.share * y.share, _snap(lie)))
    return lies


def _reach(path: Path) -> float:
    box = box_of([path])
    return box.width + box.height


def _outline_ratio(around: Sequence[Point], comb: list[_Tooth], axis: int) -> float:
    """Return how many times as large a file's largest ring is as the pattern from edge to edge."""
    places = [point[axis] for point in around]
    teeth = [tooth.place for tooth in comb if tooth.length > 3]
    span = max(teeth) - min(teeth) if teeth else 1.0
    return (max(places) - min(places)) / span if span > 0 else 1.0


def _snap(lie: Lie) -> Lie:
    """Return a lie whose scales and turn are exact where they are as good as exact."""

    def scale(found: float) -> float:
        return next((k for k in SCALES if abs(found / k - 1) < 2e-4), found)

    across, up = scale(lie.across), scale(lie.up)
    if across not in SCALES and abs(across / up - 1) < 2e-4:
        across = up = (across + up) / 2
    quarter = round(lie.turn / (math.pi / 2)) * math.pi / 2
    turn = quarter if abs(lie.turn - quarter) < 3e-4 else lie.turn
    return Lie(turn, lie.mirrored, across, up, lie.at, lie.found)


def _snapped(at: Point) -> Point:
    return Point(*(0.0 if abs(v) < 0.02 else v for v in at))


def _straight(paths: Sequence[Path]) -> list[_Segment]:
    """Return the longest straight segments."""
    found = [
        _Segment(s.start, s.end, distance(s.start, s.end))
        for path in paths
        for s in path.segments()
        if s.bulge == 0
    ]
    found.sort(key=lambda s: -s.length)
    return [s for s in found[:400] if s.length > 0]


def _direction(segments: Sequence[_Segment]) -> float:
    """Return the common direction of lines, to a quarter turn, within ±45°, radians."""
    base, within = 0.0, math.pi
    for _ in range(4):
        cos = sin = 0.0
        for a, b, length in segments:
            off = math.remainder(math.atan2(b.y - a.y, b.x - a.x) - base, math.pi / 2)
            if abs(off) <= within:
                cos += length**2 * math.cos(4 * off)
                sin += length**2 * math.sin(4 * off)
        base += math.atan2(sin, cos) / 4 if cos or sin else 0.0
        within = 0.2 if within > 1 else within / 6
    return base


def _teeth(segments: Sequence[_Segment], *, upright: bool) -> list[_Tooth]:
    """Return where upright lines stand, or how high level ones lie, the longest first."""
    found: list[_Tooth] = []
    for a, b, length in segments:
        dx, dy = abs(b.x - a.x), abs(b.y - a.y)
        if upright and dx < 0.01 * dy:
            found.append(_Tooth((a.x + b.x) / 2, length))
        elif not upright and dy < 0.01 * dx:
            found.append(_Tooth((a.y + b.y) / 2, length))
    return found[:_TEETH]


def _matches(comb: list[_Tooth], own: list[_Tooth], ratios: Sequence[float]) -> list[_Comb]:
    """Return the best matches of a file's comb with the design's, by scale and shift."""
    sizes = [ratio for ratio in ratios if 1e-4 < ratio < 1e4]
    scales = [k for k in SCALES if any(0.6 < ratio / k < 1.6 for ratio in sizes)]
    found = []
    for scale in dict.fromkeys((*scales, *sizes)):
        found += _match(comb, own, scale)
    found.sort(key=lambda one: (-round(one.share, 3), abs(one.scale - 1)))
    return found[:3]


def _match(comb: list[_Tooth], own: list[_Tooth], scale: float) -> list[_Comb]:
    if not own:
        return []
    width = 0.4 * scale
    votes: dict[int, float] = defaultdict(float)
    for place, length in comb:
        meant, reach = scale * place, scale * length
        for other, weight in own:
            bin_ = math.floor((other - meant) / width)
            if weight > reach:
                weight = reach
            votes[bin_] += weight
            votes[bin_ + 1] += weight
    best = nlargest(2, votes, key=votes.__getitem__)
    return [_refined(comb, own, scale, bin_ * width) for bin_ in best]


def _refined(comb: list[_Tooth], own: list[_Tooth], scale: float, shift: float) -> _Comb:
    """Return a match made exact by the line of least squares through the teeth that meet."""
    share = 0.0
    own = sorted(own)
    places = [tooth.place for tooth in own]
    whole = max(1e-9, sum(tooth.length for tooth in comb))
    pairs: list[tuple[_Tooth, _Tooth]] = []
    for within in (1.5, 0.4, 0.15):
        pairs = []
        for tooth in comb:
            meant = scale * tooth.place + shift
            at = bisect_left(places, meant)
            low, high = own[max(0, at - 1)], own[min(at, len(own) - 1)]
            near = low if meant - low.place <= high.place - meant else high
            if abs(near.place - meant) < within * scale:
                pairs.append((tooth, near))
        total = sum(tooth.length for tooth, _ in pairs)
        share = total / whole
        if total <= 0 or len({tooth.place for tooth, _ in pairs}) < 2:
            break
        mx = sum(t.place * t.length for t, _ in pairs) / total
        my = sum(o.place * t.length for t, o in pairs) / total
        var = sum(t.length * (t.place - mx) ** 2 for t, _ in pairs)
        cov = sum(t.length * (t.place - mx) * (o.place - my) for t, o in pairs)
        if var > 1e-6 and 0.8 < cov / var / scale < 1.25:
            scale = cov / var
        shift = my - scale * mx
    known = next((k for k in SCALES if abs(scale / k - 1) < 2e-4), None)
    if known is not None and pairs:
        total = sum(t.length for t, _ in pairs) or 1.0
        shift = sum((o.place - known * t.place) * t.length for t, o in pairs) / total
        scale = known
    return _Comb(share, scale, shift)


# -- how much of the pattern is found -------------------------------------------------------------

_WEIGHTS = {Role.OUTLINE: 60.0, Role.VALLEY: 8.0, Role.MOUNTAIN: 8.0, Role.HOLES: 3.0}


def _samples(strokes: Sequence[Stroke]) -> list[tuple[Point, float]]:
    """Return places along what should be there, with their weights."""
    found = []
    for stroke in strokes:
        parts = list(stroke.path.segments())
        places = [*stroke.path.points, *(point_along(part, 0.5) for part in parts)]
        places = places[:: max(1, len(places) // 120)]
        weight = _WEIGHTS.get(stroke.role, 1.0) / len(places)
        found += [(place, weight) for place in places]
    return found


def _near(paths: Sequence[Path]) -> Near:
    """Return the file's lines, to ask what lies near a place, arcs as fine as its size wants."""
    box = box_of(paths)
    return Near(paths, max(box.width, box.height, 1e-6) / _FINENESS)


def _found_at(near: Near, samples: Sequence[tuple[Point, float]], lie: Lie) -> float:
    """Return the share of the pattern that is found where a lie puts it."""
    there = [lie.there(place) for place, _ in samples]
    total = sum(weight for _, weight in samples)
    hit = sum(samples[i][1] for i in near.which(there, NEAR * max(lie.across, lie.up)))
    return hit / total if total else 0.0
