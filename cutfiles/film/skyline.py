"""Fills a rectangle with pieces along its skyline: the upper edge of what lies there already.

The next piece goes into the lowest, leftmost dip of the skyline; which one is chosen by how well it
fits (as wide as the dip, as high as a wall of it), then by its place in the order given. A search
varies the order. Whole numbers throughout, so that exact fits are exact on every machine.

Source: Burke, Kendall, Whitwell, Operations Research 52(4), 2004 (best fit along the skyline); Wei,
Oon, Zhu, Lim, European Journal of Operational Research 215(2), 2011 (search over the order, waste
as its measure); both from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

Variants = tuple[tuple[int, int], ...]
"""The ways a piece may lie: width and height, turned or not."""
Placed = tuple[int, int, int, int, int]
"""Which piece, left, bottom, width, height."""


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


def fill(
    pieces: Sequence[Variants],
    order: Sequence[int],
    width: int,
    height: int,
    most_waste: int | None = None,
    policy: int = 0,
) -> Filled:
    """Fill a rectangle with pieces.

    Args:
        pieces: how each may lie.
        order: which pieces, the first preferred among equals.
        width: of the rectangle.
        height: of the rectangle.
        most_waste: give up where more than this is wasted; what is placed then means nothing.
        policy: 0 prefers exact fits by width and wall, 1 by width alone, 2 the widest that fits.

    """
    rest = list(order)
    xs, ys, ws = [0], [0], [width]
    placed: list[Placed] = []
    top = waste = work = 0
    narrowest = _narrowest(pieces, rest)
    limit = width * height if most_waste is None else most_waste
    while True:
        y = min(ys)
        if y >= height or not rest:
            break
        i = ys.index(y)
        gap, room, last = ws[i], height - y, len(ys) - 1
        left = ys[i - 1] - y if i else room
        right = ys[i + 1] - y if i < last else room
        at = -1
        if gap >= narrowest:
            at, w, h = _choose(pieces, rest, gap, room, left, right, policy)
            work += len(rest)
        work += 8  # what a place costs beside looking at pieces
        if at < 0:  # nothing fits: the dip is filled up to its lower wall
            up = min(left, right)
            waste += gap * up
            if waste > limit:
                break
            raise_dip(xs, ys, ws, i, up)
            continue
        chosen = rest.pop(at)
        x = xs[i]
        if w < gap:
            to_right = right > left if h not in (left, right) else h == right != left
            if to_right:
                x += gap - w
        placed.append((chosen, x, y, w, h))
        if y + h > top:
            top = y + h
        put(xs, ys, ws, i, x, w, h)
        if w == narrowest or h == narrowest:
            narrowest = _narrowest(pieces, rest)
    waste += sum(w * (height - y) for y, w in zip(ys, ws, strict=True) if y < height)
    return Filled(placed, rest, top, waste, work)


def _narrowest(pieces: Sequence[Variants], rest: list[int]) -> int:
    return min((w for k in rest for w, _ in pieces[k]), default=0)


def _choose(
    pieces: Sequence[Variants],
    rest: list[int],
    gap: int,
    room: int,
    left: int,
    right: int,
    policy: int,
) -> tuple[int, int, int]:
    """Return which of the rest lies best in a dip, and how; -1 where none fits."""
    best, at, bw, bh = -1, -1, 0, 0
    for place, k in enumerate(rest):
        for w, h in pieces[k]:
            if w > gap or h > room:
                continue
            if w == gap:
                fit = 4 if policy == 1 else 4 + (h == left) + (h == right)
            elif policy == 2:
                fit = 0
                if w > bw and best <= 0:
                    best, at, bw, bh = 0, place, w, h
                continue
            else:
                fit = 0 if policy == 1 else int(h in (left, right))
            if fit > best:
                best, at, bw, bh = fit, place, w, h
                if fit == 6:
                    return at, bw, bh
    return at, bw, bh


def raise_dip(xs: list[int], ys: list[int], ws: list[int], i: int, up: int) -> None:
    """Raise a segment and join it with neighbours of its new height."""
    ys[i] += up
    _join(xs, ys, ws, i)


def put(xs: list[int], ys: list[int], ws: list[int], i: int, x: int, w: int, h: int) -> None:
    """Put a piece on segment i, at its left or right end."""
    y, gap = ys[i], ws[i]
    if w == gap:
        ys[i] = y + h
        _join(xs, ys, ws, i)
    elif x == xs[i]:
        xs.insert(i, x)
        ys.insert(i, y + h)
        ws.insert(i, w)
        xs[i + 1] = x + w
        ws[i + 1] = gap - w
        _join(xs, ys, ws, i)
    else:
        ws[i] = gap - w
        xs.insert(i + 1, x)
        ys.insert(i + 1, y + h)
        ws.insert(i + 1, w)
        _join(xs, ys, ws, i + 1)


def _join(xs: list[int], ys: list[int], ws: list[int], i: int) -> None:
    if i + 1 < len(ys) and ys[i + 1] == ys[i]:
        ws[i] += ws.pop(i + 1)
        del xs[i + 1], ys[i + 1]
    if i and ys[i - 1] == ys[i]:
        ws[i - 1] += ws.pop(i)
        del xs[i], ys[i]
