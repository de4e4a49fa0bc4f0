"""The book as it lies on its support, seen from the tail: boards, leaves, and the spine between.

Each heap of leaves lies square on its board as far as its fore edge goes; towards the spine its
uppermost leaf bends down into the gutter, which parts the spine between the heaps by their
thickness. How leaves really lie depends on paper and sewing: the boards and joints are as measured,
the bend is drawn. What is not measured (a side's thickness) is taken as half the spine.
"""

import math
from typing import Literal

from cutfiles.bench.book import SideName
from cutfiles.bench.guess import COVER_THICKNESS
from cutfiles.bench.questions import side_thickness
from cutfiles.dataclass import dataclass
from cutfiles.plane.shapes import Point
from cutfiles.support.standing import Half, Support, board_of

_LEAST_LEAVES = 0.5
"""Fewer leaves than this, mm, are not drawn."""
_BEND = 6
"""Pieces in which a bending leaf is drawn."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the book in the end view.

    Attributes:
        kind: board, leaves or spine.
        side: of the book; None for the spine.
        corners: counter-clockwise, mm.

    """

    kind: Literal["board", "leaves", "spine"]
    side: SideName | None
    corners: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class _Heap:
    """One side as it lies: its board's underside from joint to fore edge, its directions."""

    half: Half
    width: float
    thick: float
    out: Point
    up: Point

    def at(self, along: float, above: float) -> Point:
        """Return a place so far from the joint along the board, and above its underside."""
        joint = self.half.book
        return Point(
            joint.x + along * self.out.x + above * self.up.x,
            joint.y + along * self.out.y + above * self.up.y,
        )

    def above(self, place: Point) -> float:
        """Return how far a place lies above the board's underside, mm."""
        joint = self.half.book
        return (place.x - joint.x) * self.up.x + (place.y - joint.y) * self.up.y

    def along(self, place: Point) -> float:
        """Return how far from the joint a place lies, along the board, mm."""
        joint = self.half.book
        return (place.x - joint.x) * self.out.x + (place.y - joint.y) * self.out.y


def book_parts(support: Support) -> tuple[Part, ...]:
    """Return the parts of the book as it lies, from the left board to the right one.

    A side with a cover alone has no leaves; a support for one side shows that side.
    """
    heaps = [_heap(support, half) for half in support.halves]
    cover = _cover(support, heaps)
    if len(heaps) < 2:
        return tuple(part for heap in heaps for part in _alone(heap, cover))
    left, right = heaps
    if left.half.book == right.half.book:
        inner = [_mitre(left, right.up, cover)] * 2
    else:
        inner = [_mitre(heap, _spine_up(left, right), cover) for heap in heaps]
    leaves = [_leaves_of(heap, cover) for heap in heaps]
    gutter = _between(inner[0], inner[1], leaves[0] / (sum(leaves) or 1.0))
    spine = (left.half.book, right.half.book, inner[1], inner[0])
    return (
        _board(left, inner[0], cover),
        *_leaves(left, inner[0], gutter, cover, _upwards(left, right)),
        *([Part("spine", None, spine)] if spine[0] != spine[1] else []),
        *_leaves(right, inner[1], gutter, cover, _upwards(left, right)),
        _board(right, inner[1], cover),
    )


def fore_edge(support: Support, half: Half) -> Point:
    """Return where the fore edge of one board lies, its underside, mm."""
    heap = _heap(support, half)
    return heap.at(heap.width, 0.0)


def underside(support: Support, half: Half) -> tuple[Point, Point, Point]:
    """Return the joint and the fore edge of one board, and the leaves' edge over it, mm."""
    heap = _heap(support, half)
    return heap.at(0.0, 0.0), heap.at(heap.width, 0.0), heap.at(heap.width, heap.thick)


def _heap(support: Support, half: Half) -> _Heap:
    board = board_of(support.slip, half.side)
    thick = side_thickness(support.slip, half.side)
    cos, sin = math.cos(half.slope), math.sin(half.slope)
    out, up = Point(half.way * cos, sin), Point(-half.way * sin, cos)
    return _Heap(half, board.width, thick, out, up)


def _cover(support: Support, heaps: list[_Heap]) -> float:
    """Return how thick boards and spine are drawn, mm: thinner where the book is thin."""
    least = min(heap.thick for heap in heaps)
    return min(
        COVER_THICKNESS[support.slip.book.cover], least, support.slip.opening.spine_width / 4
    )


def _leaves_of(heap: _Heap, cover: float) -> float:
    leaves = heap.thick - cover
    return leaves if leaves > _LEAST_LEAVES else 0.0


def _alone(heap: _Heap, cover: float) -> tuple[Part, ...]:
    """Return one side without the other: a board, its leaves square on it."""
    corners = [heap.at(a, b) for a, b in ((0, cover), (heap.width, cover))]
    corners += [heap.at(a, heap.thick) for a in (heap.width, 0)]
    found = [_board(heap, heap.at(0, cover), cover)]
    if _leaves_of(heap, cover):
        found.append(_part("leaves", heap, corners))
    return tuple(found)


def _part(kind: Literal["board", "leaves"], heap: _Heap, corners: list[Point]) -> Part:
    """Return a part whose corners were named from the joint outwards and back."""
    turned = corners if heap.half.way > 0 else corners[::-1]
    return Part(kind, heap.half.side, tuple(turned))


def _board(heap: _Heap, inner: Point, cover: float) -> Part:
    width = heap.width
    corners = [heap.at(0, 0), heap.at(width, 0), heap.at(width, _edge(heap, cover)), inner]
    return _part("board", heap, corners)


def _edge(heap: _Heap, cover: float) -> float:
    """Return how thick a board is at its fore edge: all that lies there, where it lies alone."""
    return cover if _leaves_of(heap, cover) else heap.thick


def _spine_up(left: _Heap, right: _Heap) -> Point:
    (ax, ay), (bx, by) = left.half.book, right.half.book
    long = math.hypot(bx - ax, by - ay)
    return Point(-(by - ay) / long, (bx - ax) / long)


def _mitre(heap: _Heap, other_up: Point, cover: float) -> Point:
    """Return where the inner sides of a board and of what it joins meet."""
    share = cover / (1 + heap.up.x * other_up.x + heap.up.y * other_up.y)
    joint = heap.half.book
    return Point(
        joint.x + share * (heap.up.x + other_up.x), joint.y + share * (heap.up.y + other_up.y)
    )


def _between(a: Point, b: Point, share: float) -> Point:
    return Point(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y))


def _upwards(left: _Heap, right: _Heap) -> Point:
    """Return the direction out of the gutter, midway between the boards."""
    turn = (
        math.atan2(right.out.y, right.out.x) + math.atan2(left.out.y, left.out.x) % math.tau
    ) / 2
    return Point(math.cos(turn), math.sin(turn))


def _leaves(
    heap: _Heap, inner: Point, gutter: Point, cover: float, upwards: Point
) -> tuple[Part, ...]:
    """Return the leaves of one side: square at the fore edge, bent down into the gutter."""
    if not _leaves_of(heap, cover):
        return ()
    low, over = heap.at(heap.width, cover), heap.at(heap.width, heap.thick)
    rise = upwards.x * heap.up.x + upwards.y * heap.up.y
    lacking = max(0.0, heap.thick - heap.above(gutter)) / rise
    corner = Point(gutter.x + lacking * upwards.x, gutter.y + lacking * upwards.y)
    room = heap.width - heap.along(corner)
    if room <= 0:  # the heaps lean on one another up to their fore edges
        share = (heap.width - heap.along(gutter)) / (heap.along(corner) - heap.along(gutter))
        return (_part("leaves", heap, [inner, low, _between(gutter, corner, share), gutter]),)
    reach = min(0.7 * room, max(heap.thick, 8.0), _past(heap, inner, gutter, corner))
    start = heap.at(heap.along(corner) + reach, heap.thick)
    if not lacking:
        corner = _between(start, gutter, 0.5)
    return (_part("leaves", heap, [inner, low, over, *_bent(start, corner, gutter)]),)


def _past(heap: _Heap, inner: Point, gutter: Point, corner: Point) -> float:
    """Return from how far a leaf may bend without cutting the edge of a spine that stands up."""
    rise = heap.above(inner) - heap.above(gutter)
    if rise <= 0:
        return math.inf
    share = (heap.thick - heap.above(gutter)) / rise
    hit = _between(gutter, inner, share)
    return 0.9 * max(0.0, heap.along(hit) - heap.along(corner))


def _bent(start: Point, corner: Point, end: Point) -> list[Point]:
    """Return a smooth bend from start to end, drawn towards a corner (a parabola)."""
    found = []
    for i in range(_BEND + 1):
        t = i / _BEND
        a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
        found.append(
            Point(a * start.x + b * corner.x + c * end.x, a * start.y + b * corner.y + c * end.y)
        )
    return found
