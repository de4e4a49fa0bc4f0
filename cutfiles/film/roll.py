"""Nests pieces on sheets cut off a roll, each as long as it needs: the least film in all.

Begun with the fewest sheets of the longest length, and with shorter ones; then sheets are taken
together, one is filled to some length and the next with what is left, and this is kept where
less film goes: every cut costs its margins, so few long sheets and many short ones weigh against
each other. Last, each is laid as short as found. Stops by work done, throws the same dice always.
"""

from collections.abc import Sequence
from typing import NamedTuple

from cutfiles.dice import Dice
from cutfiles.film.nest import fewest_sheets, order_for, orders, shortest_strip
from cutfiles.film.skyline import Budget, Placed, Sides, Variants, fill, sides_of, top_of

SHARES = (1.0, 0.8, 0.65, 0.5)
"""Of the longest sheet: lengths to begin with."""
MOST_TOGETHER = 3
"""Sheets that are laid anew together."""


class Lengths(NamedTuple):
    """What sheets are cut off: the roll's width, the longest sheet, and what each costs beside."""

    width: int
    longest: int
    margins: int


class _Sheet(NamedTuple):
    """What lies on a sheet, and how long that makes it."""

    placed: tuple[Placed, ...]
    top: int


def least_film(
    pieces: Sequence[Variants], which: Sequence[int], lengths: Lengths, budget: Budget
) -> tuple[tuple[Placed, ...], ...]:
    """Return sheets off a roll that hold all pieces, and take as little of it as found.

    Args:
        pieces: how each may lie; every one fits the longest sheet.
        which: pieces to lay.
        lengths: of the sheets.
        budget: work that may be done; some of it is left where no more can be gained.

    """
    if not which:
        return ()
    width, longest, margins = lengths
    for_fewest, for_together, for_last = (Budget(budget.left // share) for share in (6, 6, 2))
    first = fewest_sheets(pieces, which, width, longest, for_fewest)
    best = [_Sheet(placed, top_of(placed)) for placed in first]
    sides = sides_of(pieces, which)
    for begun in _beginnings(sides, which, lengths, for_together):
        if _taken(begun, margins) < _taken(best, margins):
            best = begun
    dice, idle = Dice(len(which)), 0
    while for_together.left > 0 and idle < 200 + 40 * len(best) and len(best) > 1:
        idle = 0 if _together(sides, best, lengths, for_together, dice) else idle + 1
    return _shortened(pieces, best, lengths, for_last)


def _taken(sheets: Sequence[_Sheet], margins: int) -> int:
    """Return how much of the roll sheets take."""
    return sum(sheet.top + margins for sheet in sheets)


def _beginnings(
    sides: Sides, which: Sequence[int], lengths: Lengths, budget: Budget
) -> list[list[_Sheet]]:
    """Return layouts by the usual orders, on sheets of several lengths."""
    tallest = max(min(h for _, h in sides.ways[k]) for k in which)
    found: list[list[_Sheet]] = []
    for share in SHARES:
        height = max(tallest, int(lengths.longest * share))
        for order in orders(sides.ways, which):
            for policy in (0, 2):
                if budget.left <= 0:
                    return found
                begun = _one_after_another(sides, order, [height], lengths, policy, budget)
                if begun is not None:
                    found.append(begun)
    return found


def _one_after_another(
    sides: Sides,
    order: Sequence[int],
    heights: Sequence[int],
    lengths: Lengths,
    policy: int,
    budget: Budget,
) -> list[_Sheet] | None:
    """Return sheets filled up to these heights, the last again and again."""
    sheets: list[_Sheet] = []
    rest = list(order)
    while rest:
        height = heights[min(len(sheets), len(heights) - 1)]
        done = fill(sides, rest, lengths.width, height, None, policy)
        budget.spend(done.work)
        if not done.placed:
            return None
        sheets.append(_Sheet(tuple(done.placed), done.top))
        rest = done.left_over
    return sheets


def _together(
    sides: Sides, sheets: list[_Sheet], lengths: Lengths, budget: Budget, dice: Dice
) -> bool:
    """Lay some sheets anew, to other lengths; whether that took less film."""
    count = 2 + dice.below(MOST_TOGETHER - 1)
    chosen = sorted({dice.below(len(sheets)) for _ in range(count)})
    old = [sheets[i] for i in chosen]
    loose = [one[0] for sheet in old for one in sheet.placed]
    tallest = max(min(h for _, h in sides.ways[k]) for k in loose)
    first = tallest + dice.below(lengths.longest - tallest + 1)
    heights = [first if dice.below(2) else lengths.longest, lengths.longest]
    order = order_for(sides.ways, loose, dice)
    new = _one_after_another(sides, order, heights, lengths, dice.below(3), budget)
    if new is None:
        return False
    less = _taken(old, lengths.margins) - _taken(new, lengths.margins)
    if less < 0:
        return False
    for i in reversed(chosen):
        del sheets[i]
    sheets.extend(new)
    return less > 0


def _shortened(
    pieces: Sequence[Variants], sheets: Sequence[_Sheet], lengths: Lengths, budget: Budget
) -> tuple[tuple[Placed, ...], ...]:
    share, each = Budget(0), budget.left // len(sheets)
    best = []
    for sheet in sheets:
        share.left += each
        shorter = shortest_strip(pieces, [one[0] for one in sheet.placed], lengths.width, share)
        best.append(shorter if top_of(shorter) <= sheet.top else sheet.placed)
    return tuple(best)
