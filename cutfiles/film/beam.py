"""Fills a strip in many ways at once and goes on with the best of them: for pieces that may turn.

Every layout begun takes one piece more, in its lowest, leftmost dip, in those ways that leave least
of the dip open with one other piece beside it; of all that come of this only the best are kept:
little wasted for what lies, few steps in the upper edge, large pieces first. Which of these counts
most differs from mix to mix, so several tastes take turns, each to get lower than the best so far;
then twice as many layouts are kept. Of many pieces all but the last are laid one after another:
with so many to choose from hardly anything stays open, and it is the end of a strip that wants a
search.

Source: beam search over partial layouts, as of Ow and Morton, International Journal of Production
Research 26(1), 1988; from memory.
"""

import math
from bisect import insort
from collections.abc import Sequence
from typing import NamedTuple

from cutfiles.film.skyline import (
    ENDLESS,
    Budget,
    Filled,
    Placed,
    Variants,
    area_of,
    between_walls,
    put,
    raise_dip,
)

WINDOW = 300
"""So many pieces, the first of the order, are looked at for one place."""
TAIL = 100
"""So many pieces, the last, are laid in many ways."""
KEPT = 40
"""So many layouts are kept at first."""
END = 4
"""With so few pieces left, how high the strip becomes counts, and nothing else."""
LAYOUT, CHILD = 90, 45
"""Work: what a layout costs that goes on, beside ways looked at, and one that comes of it."""


class Taste(NamedTuple):
    """What counts in a layout.

    Attributes:
        ways: so many are tried in a dip.
        large: what a piece's area is worth, of the area it leaves open beside it.
        level: what a step in the upper edge costs, in pieces of mean area.

    """

    ways: int
    large: float
    level: float


TASTES = (
    Taste(3, 0.03, 0.1),
    Taste(6, 0.2, 0.1),
    Taste(3, 0.1, 0.1),
    Taste(3, 0.01, 0.0),
    Taste(4, 0.2, 0.2),
    Taste(3, 0.06, 0.03),
)
"""Those that do well with most mixes of sizes, and well in turns."""

Way = tuple[int, int, int]
"""Width and height of a piece as it may lie, and which it is."""
Chain = tuple["Chain", Placed] | None
"""Pieces placed, the last first: what layouts have in common they share."""


class _Task(NamedTuple):
    """Pieces in their order, the strip's width and height, the pieces' area."""

    pieces: Sequence[Variants]
    order: Sequence[int]
    width: int
    height: int
    area: int

    @property
    def spare(self) -> int:
        """How much may be wasted."""
        return self.width * self.height - self.area


class _Begun(NamedTuple):
    """A layout that is begun: its upper edge, what may follow, its top, what is wasted, laid."""

    xs: list[int]
    ys: list[int]
    ws: list[int]
    ways: list[Way]
    top: int
    waste: int
    area: int
    laid: Chain


class _Next(NamedTuple):
    """A piece more on a layout: how good that is, and what comes of it; the smaller the better."""

    worth: float
    number: int
    way: Way
    dip: int
    before: _Begun


class Beam:
    """The search for the shortest strip: it goes on where it stood whenever there is work left.

    Attributes:
        best: all pieces on a strip, as short as found; None before the first search.

    """

    def __init__(self, pieces: Sequence[Variants], which: Sequence[int], width: int) -> None:
        """Begin a search.

        Args:
            pieces: how each may lie; every one fits the strip.
            which: pieces to lay, at least one.
            width: of the strip.

        """
        self.best: Filled | None = None
        order = sorted(which, key=lambda k: (-min(pieces[k][0]), -max(pieces[k][0]), k))
        self._task = _Task(pieces, order, width, ENDLESS, area_of(pieces, which))
        self._turns = 0

    def search(self, budget: Budget) -> Filled:
        """Return the best after this much work, or one taste's turn where there is none yet."""
        while self.best is None or (budget.left > 0 and self._task.spare >= 0):
            rounds, turn = divmod(self._turns, len(TASTES))
            found = _fill(self._task, TASTES[turn], KEPT << rounds, budget)
            self._turns += 1
            if found is not None:
                self.best = found
                self._task = self._task._replace(height=found.top - 1)
        return self.best


def _fill(task: _Task, taste: Taste, kept: int, budget: Budget) -> Filled | None:
    """Lay all pieces within a height; None where no layout comes of it."""
    pieces, order, width, height, area = task
    count, seen = len(order), min(WINDOW, len(order))
    ways = sorted((w, h, k) for k in order[:seen] for w, h in pieces[k] if w <= width)
    layouts = [_Begun(*between_walls(width, height), ways, 0, 0, 0, None)]
    greedy = taste._replace(ways=1)
    for left in range(count, 0, -1):
        found: list[_Next] = []
        for layout in layouts:
            budget.spend(LAYOUT + len(layout.ways))
            found += _followers(layout, task, greedy if left > TAIL else taste, left)
        budget.spend(CHILD * len(found))
        more = [(w, h, order[seen]) for w, h in pieces[order[seen]]] if seen < count else []
        seen += bool(more)
        layouts = _best(found, 1 if left > TAIL else kept, more)
        if not layouts:
            return None
    best = min(layouts, key=lambda one: one.top)
    placed: list[Placed] = []
    chain = best.laid
    while chain is not None:
        chain, last = chain
        placed.append(last)
    return Filled(placed[::-1], [], best.top, best.top * width - area, 0)


def _followers(layout: _Begun, task: _Task, taste: Taste, left: int) -> list[_Next]:
    """Return what comes of a layout by one piece more, and how good each is."""
    xs, ys, ws = layout.xs[:], layout.ys[:], layout.ws[:]
    spare, waste = task.spare, layout.waste
    while waste <= spare:
        y = min(ys)
        i = ys.index(y)
        gap, low, high = ws[i], *sorted((ys[i - 1] - y, ys[i + 1] - y))
        wall = high if y + high < task.height else low
        found = _closest(layout.ways, (gap, wall, task.height - y), taste)
        if found:
            break
        waste += gap * low
        raise_dip(xs, ys, ws, i)
    else:
        return []
    before = layout._replace(xs=xs, ys=ys, ws=ws, waste=waste)
    step = taste.level * task.area / len(task.order)
    out = []
    for _, open_, way in found:
        w, h, _ = way
        area = layout.area + w * h
        if left <= END:
            worth: float = max(layout.top, y + h, -(-(waste + task.area) // task.width))
        else:
            steps = len(ys) + (w < gap) - (h == low) - (h == high)
            worth = (waste + open_ + step * steps) / (area * math.sqrt(area))
        out.append(_Next(worth, waste + open_, way, i, before))
    return out


def _closest(
    ways: Sequence[Way], dip: tuple[int, int, int], taste: Taste
) -> list[tuple[float, int, Way]]:
    """Return the ways that leave least open in a dip: what each costs, and leaves open.

    Args:
        ways: the narrowest first.
        dip: its width, the height of its wall, the room above it.
        taste: what a large piece is worth, and how many ways are wanted.

    """
    gap, wall, room = dip
    large = taste.large
    beside = len(ways) - 1
    found = []
    for way in ways:
        w, h, k = way
        rest = gap - w
        if rest < 0:
            break
        if h > room:
            continue
        while beside >= 0 and ways[beside][0] > rest:
            beside -= 1
        other = beside
        while other >= 0 and ways[other][2] == k:
            other -= 1
        if other >= 0:
            rest -= ways[other][0]
        open_ = rest * (h if h < wall else wall)
        found.append((open_ - large * w * h, open_, way))
    if taste.ways == 1:
        return [min(found)] if found else []
    found.sort()
    return found[: taste.ways]


def _best(found: list[_Next], kept: int, more: list[Way]) -> list[_Begun]:
    """Return the best of what comes of layouts, like ones once, with more ways to follow."""
    found.sort(key=lambda one: one[:2])
    out: list[_Begun] = []
    seen = set()
    for _, _, way, i, before in found:
        w, h, k = way
        y, area = before.ys[i], before.area + w * h
        like = area, before.waste, y + h
        if like in seen:
            continue
        seen.add(like)
        xs, ys, ws = before.xs[:], before.ys[:], before.ws[:]
        x = put(xs, ys, ws, i, w, h)
        ways = [one for one in before.ways if one[2] != k]
        for one in more:
            insort(ways, one)
        top, laid = max(before.top, y + h), (before.laid, (k, x, y, w, h))
        out.append(_Begun(xs, ys, ws, ways, top, before.waste, area, laid))
        if len(out) == kept:
            break
    return out
