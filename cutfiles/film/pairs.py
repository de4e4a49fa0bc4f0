"""Fills a strip so that two pieces beside one another fill its dips: for large pieces.

Into the lowest, leftmost dip of the skyline goes the piece that, with one other beside it, leaves
the least of the dip open; a place later in the order counts as so much left open (`lean`). Pieces
of any width seldom fit a dip exactly, and one that fits best alone often leaves a rest that nothing
fits: with two this is rare, and with many pieces to choose from rarer. The piece is put down alone:
the other, or a better one, follows when the rest of the dip is filled.
"""

from bisect import bisect_left, insort
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from cutfiles.dice import Dice
from cutfiles.film.skyline import Budget, Filled, Placed, Variants, put, raise_dip

WINDOW = 1000
"""So many pieces, the first of the order, are looked at for one place."""
TAIL = 100
"""So many pieces, the last that were laid, are laid anew again and again."""
POOL = 3
"""So many ways of laying are bettered side by side."""
MOST_EXCHANGES = 6
"""Of pieces of an order, at one time."""
WALL = 1 << 60
"""How high the edges of the strip are."""
MIL = 1000
"""What a later place in an order counts as is told in thousandths of the mean width."""


class Ground(NamedTuple):
    """What lies on a strip already, and its upper edge: left ends, heights, widths."""

    laid: Sequence[Placed]
    skyline: tuple[list[int], list[int], list[int]]


def fill_by_pairs(
    pieces: Sequence[Variants],
    order: Sequence[int],
    width: int,
    lean: float,
    start: Ground | None = None,
) -> Filled:
    """Lay all pieces on a strip.

    Args:
        pieces: how each may lie; every one fits the strip.
        order: which pieces, the first preferred among equals.
        width: of the strip.
        lean: what a later place in the order counts as, left open.
        start: what lies there already.

    """
    if start is None:
        start = ground((), width)
    xs, ys, ws = (list(side) for side in start.skyline)
    placed, top = list(start.laid), max(ys)
    xs, ys, ws = [0, *xs, width], [WALL, *ys, WALL], [0, *ws, 0]
    seen = min(WINDOW, len(order))
    ways = sorted(
        (w, h, rank) for rank in range(seen) for w, h in pieces[order[rank]] if w <= width
    )
    work = 0
    while ways:
        y = min(ys)
        i = ys.index(y)
        gap, left, right = ws[i], ys[i - 1] - y, ys[i + 1] - y
        found = _closest(ways, gap, lean)
        work += 30 + len(ways) // 2  # what a place costs, beside looking at pieces
        if found is None:
            raise_dip(xs, ys, ws, i)
            continue
        w, h, rank = found
        x = xs[i]
        if w < gap and (h == right != left or (h not in (left, right) and right > left)):
            x += gap - w
        placed.append((order[rank], x, y, w, h))
        top = max(top, y + h)
        put(xs, ys, ws, i, x, w, h)
        ways = [way for way in ways if way[2] != rank]
        if seen < len(order):
            for w, h in pieces[order[seen]]:
                if w <= width:
                    insort(ways, (w, h, seen))
            seen += 1
    waste = sum(w * (top - y) for y, w in zip(ys, ws, strict=True) if y < WALL)
    return Filled(placed, [], top, waste, work)


def _closest(
    ways: list[tuple[int, int, int]], gap: int, lean: float
) -> tuple[int, int, int] | None:
    """Return the way that leaves least open with another beside it, None where none fits."""
    best, least = None, float("inf")
    beside = len(ways) - 1
    for way in ways:
        w, _, rank = way
        rest = gap - w
        if rest < 0:
            break
        while beside >= 0 and ways[beside][0] > rest:
            beside -= 1
        other = beside
        while other >= 0 and ways[other][2] == rank:
            other -= 1
        open_ = rest - (ways[other][0] if other >= 0 else 0) + lean * rank
        if open_ < least:
            best, least = way, open_
    return best


def ground(laid: Sequence[Placed], width: int) -> Ground:
    """Return what lies on a strip, with its upper edge."""
    cuts = sorted({0, width, *(x for _, x, *_ in laid), *(x + w for _, x, _, w, _ in laid)})
    tops = dict.fromkeys(cuts[:-1], 0)
    for _, left, bottom, w, h in laid:
        for x in cuts[bisect_left(cuts, left) : bisect_left(cuts, left + w)]:
            tops[x] = max(tops[x], bottom + h)
    xs = [x for i, x in enumerate(cuts[:-1]) if i == 0 or tops[x] != tops[cuts[i - 1]]]
    widths = [b - a for a, b in zip(xs, [*xs[1:], width], strict=True)]
    return Ground(laid, (xs, [tops[x] for x in xs], widths))


@dataclass(frozen=True, slots=True)
class _End:
    """The end of a strip that is laid anew: on what it lies, its order, how it was laid last."""

    ground: Ground
    order: list[int]
    lean: float
    now: Filled


def _short_side(flat: tuple[int, int]) -> tuple[int, ...]:
    return -min(flat), -max(flat)


def _area(flat: tuple[int, int]) -> tuple[int, ...]:
    return (-flat[0] * flat[1],)


def _long_side(flat: tuple[int, int]) -> tuple[int, ...]:
    return -max(flat), -min(flat)


def _girth(flat: tuple[int, int]) -> tuple[int, ...]:
    return (-sum(flat),)


_BEGINNINGS: tuple[tuple[Callable[[tuple[int, int]], tuple[int, ...]], float], ...] = (
    (_short_side, 3.0),
    (_area, 0.03),
    (_long_side, 0.3),
    (_area, 0.3),
    (_short_side, 30.0),
    (_girth, 0.3),
    (_girth, 0.03),
    (_area, 30.0),
    (_short_side, 100.0),
    (_long_side, 1.0),
)
"""Orders and leans to begin with, largest first: those that do best with most mixes of sizes."""


def shortest_by_pairs(
    pieces: Sequence[Variants], which: Sequence[int], width: int, budget: Budget
) -> Filled:
    """Return all pieces on a strip, as short as found.

    Args:
        pieces: how each may lie.
        which: pieces to lay, at least one.
        width: of the strip.
        budget: work that may be done; one way is laid in any case.

    """
    mean = sum(min(pieces[k])[0] for k in which) / len(which) / MIL
    ends: list[_End] = []
    half = budget.left // 2
    for key, lean in _BEGINNINGS:
        if ends and budget.left <= half:
            break
        order = sorted(which, key=lambda k: (key(max(pieces[k])), k))
        done = fill_by_pairs(pieces, order, width, lean * mean)
        budget.spend(done.work)
        ends.append(_end_of(done, order, width, lean * mean))
    ends = sorted(ends, key=lambda end: end.now.top)[:POOL]
    dice = Dice(len(which))
    while budget.left > 0 and len(which) > 1:
        chosen = dice.below(len(ends))
        end = ends[chosen]
        order = end.order[:]
        for _ in range(1 + dice.below(1 + dice.below(MOST_EXCHANGES))):
            i, j = dice.below(len(order)), dice.below(len(order))
            order[i], order[j] = order[j], order[i]
        lean = end.lean * (1, 1, 0.5, 2)[dice.below(4)]
        trial = fill_by_pairs(pieces, order, width, lean, end.ground)
        budget.spend(trial.work)
        if trial.top <= end.now.top:
            ends[chosen] = replace(end, order=order, lean=lean, now=trial)
    return min((end.now for end in ends), key=lambda now: now.top)


def _end_of(done: Filled, order: list[int], width: int, lean: float) -> _End:
    keep = max(0, len(order) - TAIL)
    tail = [one[0] for one in done.placed[keep:]] if keep else order
    return _End(ground(done.placed[:keep], width), tail, lean, done)
