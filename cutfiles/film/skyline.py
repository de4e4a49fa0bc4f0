"""Fills a rectangle with pieces along its skyline: the upper edge of what lies there already.

The next piece goes into the lowest, leftmost dip of the skyline; which one is chosen by how well it
fits (as wide as the dip, as high as a wall of it), then by its place in the order given. A search
varies the order. Whole numbers throughout, so that exact fits are exact on every machine.

Source: Burke, Kendall, Whitwell, Operations Research 52(4), 2004 (best fit along the skyline); Wei,
Oon, Zhu, Lim, European Journal of Operational Research 215(2), 2011 (search over the order, waste
as its measure); both from memory.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from cutfiles.dataclass import dataclass

Variants = tuple[tuple[int, int], ...]
"""The ways a piece may lie: width and height, turned or not."""
Placed = tuple[int, int, int, int, int]
"""Which piece, left, bottom, width, height."""
Lies = tuple[Placed, ...]
"""What lies on one sheet."""
Way = tuple[int, int, int]
"""Which piece, width, height."""
NOTHING: Way = (-1, 0, 0)
PLACE = 14
"""What a place costs beside looking at pieces."""
ENDLESS = 1 << 60
"""How high a strip is while no height is asked for."""
_GONE = 1 << 60


def area_of(pieces: Sequence[Variants], which: Iterable[int]) -> int:
    """Return the area of some of the pieces."""
    return sum(w * h for (w, h), *_ in (pieces[k] for k in which))


def top_of(placed: Iterable[Placed]) -> int:
    """Return the upper edge of what lies on a sheet."""
    return max(y + h for _, _, y, _, h in placed)


class Filled(NamedTuple):
    """A rectangle filled.

    Attributes:
        placed: the pieces that found a place.
        left_over: those that did not, in order.
        top: upper edge of the highest piece.
        waste: area below the rectangle's top that holds no piece.
        work: how many places and pieces were looked at.

    """

    placed: list[Placed]
    left_over: list[int]
    top: int
    waste: int
    work: int


@dataclass(slots=True)
class Budget:
    """Work that may still be done."""

    left: int

    def spend(self, work: int) -> None:
        """Take work off."""
        self.left -= work


class Sides(NamedTuple):
    """Pieces found by their sides: an exact fit is looked up, not searched for among all.

    Attributes:
        ways: how each piece may lie.
        by_width: which are so wide: piece and height.
        by_height: which are so high: piece and width.
        across: all ways, the narrowest first: width, piece, height.

    """

    ways: Sequence[Variants]
    by_width: dict[int, list[tuple[int, int]]]
    by_height: dict[int, list[tuple[int, int]]]
    across: list[tuple[int, int, int]]


def sides_of(pieces: Sequence[Variants], which: Iterable[int]) -> Sides:
    """Return some of the pieces by their sides."""
    found = Sides(pieces, {}, {}, [])
    for k in which:
        for w, h in pieces[k]:
            found.by_width.setdefault(w, []).append((k, h))
            found.by_height.setdefault(h, []).append((k, w))
            found.across.append((w, k, h))
    found.across.sort()
    return found


def fill(
    sides: Sides,
    order: Sequence[int],
    width: int,
    height: int,
    most_waste: int | None = None,
    policy: int = 0,
) -> Filled:
    """Fill a rectangle with pieces.

    The sides of the rectangle stand in the skyline as walls as high as it is.

    Args:
        sides: the pieces, how each may lie.
        order: which pieces, the first preferred among equals.
        width: of the rectangle.
        height: of the rectangle.
        most_waste: give up where more than this is wasted; what is placed then means nothing.
        policy: 0 prefers exact fits by width and wall, 1 by width alone, 2 the widest that fits.

    """
    rest = _Rest(sides, order)
    choose = (rest.best_fit, rest.first_fit, rest.widest)[policy]
    xs, ys, ws = between_walls(width, height)
    placed: list[Placed] = []
    top = waste = work = 0
    limit = width * height if most_waste is None else most_waste
    while rest.order:
        y = min(ys)
        if y >= height:
            break
        i = ys.index(y)
        gap, left, right = ws[i], ys[i - 1] - y, ys[i + 1] - y
        work += PLACE
        k, w, h = choose(gap, height - y, left, right) if gap >= rest.narrowest else NOTHING
        if k < 0:  # nothing fits: the dip is filled up to its lower wall
            waste += gap * min(left, right)
            if waste > limit:
                break
            raise_dip(xs, ys, ws, i)
            continue
        rest.take(k)
        placed.append((k, put(xs, ys, ws, i, w, h), y, w, h))
        if y + h > top:
            top = y + h
    waste += sum(w * (height - y) for y, w in zip(ys, ws, strict=True) if y < height)
    return Filled(placed, rest.order, top, waste, work + rest.work // 2)


class _Rest:
    """Pieces that lie nowhere yet: which of them lies best in a dip."""

    __slots__ = ("_at", "_rank", "_sides", "narrowest", "order", "work")

    def __init__(self, sides: Sides, order: Sequence[int]) -> None:
        self.order = list(order)
        self._sides = sides
        self._rank = [_GONE] * len(sides.ways)
        for rank, k in enumerate(order):
            self._rank[k] = rank
        self._at = -1
        self.work = 0
        self._find_narrowest()

    def take(self, k: int) -> None:
        """Take a piece away."""
        self.order.remove(k)
        self._rank[k] = _GONE
        if self._sides.across[self._at][1] == k:
            self._find_narrowest()

    def _find_narrowest(self) -> None:
        across, rank = self._sides.across, self._rank
        at = self._at + 1
        while at < len(across) and rank[across[at][1]] == _GONE:
            at += 1
        self._at = at if at < len(across) else -1
        self.narrowest = across[at][0] if at < len(across) else _GONE

    def best_fit(self, gap: int, room: int, left: int, right: int) -> Way:
        """Return a piece as wide as a dip, best as high as its walls; else as high as one."""
        sides, rank = self._sides, self._rank
        if gap in sides.by_width:
            exact = self._exact(gap, room, left, right)
            if exact[0] >= 0:
                return exact
        best, least = NOTHING, _GONE
        for wall in (left, right):
            if wall in sides.by_height and wall <= room:
                for k, w in sides.by_height[wall]:
                    if rank[k] < least and w < gap:
                        best, least = (k, w, wall), rank[k]
        return best if least < _GONE else self._first(gap, room)

    def first_fit(self, gap: int, room: int, left: int, right: int) -> Way:
        """Return the first piece as wide as a dip, else the first that fits."""
        exact = self._exact(gap, room, 0, 0)
        return exact if exact[0] >= 0 else self._first(gap, room)

    def widest(self, gap: int, room: int, left: int, right: int) -> Way:
        """Return a piece as wide as a dip, best as high as its walls; else the widest that fits."""
        exact = self._exact(gap, room, left, right)
        if exact[0] >= 0:
            return exact
        across, rank = self._sides.across, self._rank
        best, least = NOTHING, _GONE
        for at in range(bisect_left(across, (gap,)) - 1, -1, -1):
            w, k, h = across[at]
            if w < best[1]:
                break
            self.work += 1
            if rank[k] < least and h <= room:
                best, least = (k, w, h), rank[k]
        return best

    def _exact(self, gap: int, room: int, left: int, right: int) -> Way:
        best, most, least = NOTHING, 0, _GONE
        rank = self._rank
        for k, h in self._sides.by_width.get(gap, ()):
            if rank[k] < _GONE and h <= room:
                fit = 1 + (h == left) + (h == right)
                if fit > most or (fit == most and rank[k] < least):
                    best, most, least = (k, gap, h), fit, rank[k]
        return best

    def _first(self, gap: int, room: int) -> Way:
        ways = self._sides.ways
        for place, k in enumerate(self.order):
            for w, h in ways[k]:
                if w <= gap and h <= room:
                    self.work += place
                    return k, w, h
        self.work += len(self.order)
        return NOTHING


def between_walls(width: int, height: int) -> tuple[list[int], list[int], list[int]]:
    """Return the skyline of an empty rectangle: left ends, heights and widths of its segments."""
    return [0, 0, width], [height, 0, height], [0, width, 0]


def raise_dip(xs: list[int], ys: list[int], ws: list[int], i: int) -> None:
    """Raise a segment between walls to the lower of them."""
    left, right = ys[i - 1], ys[i + 1]
    if left <= right:
        ws[i - 1] += ws[i]
        if left == right:
            ws[i - 1] += ws[i + 1]
            del xs[i : i + 2], ys[i : i + 2], ws[i : i + 2]
            return
    else:
        xs[i + 1] = xs[i]
        ws[i + 1] += ws[i]
    del xs[i], ys[i], ws[i]


def put(xs: list[int], ys: list[int], ws: list[int], i: int, w: int, h: int) -> int:
    """Put a piece on a segment between walls and return its left end.

    It stands at the wall it is as high as, else at the higher one, else at the left one.
    """
    x, top = xs[i], ys[i] + h
    left, right = ys[i - 1], ys[i + 1]
    if w == ws[i]:
        ys[i] = top
        if ys[i + 1] == top:
            ws[i] += ws[i + 1]
            del xs[i + 1], ys[i + 1], ws[i + 1]
        if ys[i - 1] == top:
            ws[i - 1] += ws[i]
            del xs[i], ys[i], ws[i]
        return x
    ws[i] -= w
    if top == right != left or (right > left and top != left):
        x += ws[i]
        i += 1
        if right == top:
            xs[i] = x
            ws[i] += w
            return x
    else:
        xs[i] += w
        if left == top:
            ws[i - 1] += w
            return x
    xs.insert(i, x)
    ys.insert(i, top)
    ws.insert(i, w)
    return x
