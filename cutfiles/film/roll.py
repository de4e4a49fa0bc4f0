"""Nests pieces on sheets cut off a roll, each as long as it needs: the least film in all.

Begun with the fewest sheets of the longest length, and with shorter ones; then sheets are taken
together, one is filled to some length and the next with what is left, and this is kept where
less film goes: every cut costs its margins, so few long sheets and many short ones weigh against
each other. Last, each is laid as short as found. Stops by work done, throws the same dice always.
"""

from collections.abc import Sequence
from typing import NamedTuple

from cutfiles.dice import Dice
from cutfiles.film.nest import fewest_sheets, one_after_another, order_for, orders, shortest_strip
from cutfiles.film.skyline import Budget, Lies, Sides, Variants, sides_of, top_of

SHARES = (1.0, 0.8, 0.65, 0.5)
"""Of the longest sheet: lengths to begin with."""
MOST_TOGETHER = 3
"""Sheets that are laid anew together."""


class Lengths(NamedTuple):
    """What sheets are cut off: the roll's width, the longest sheet, and what each costs beside."""

    width: int
    longest: int
    margins: int


def least_film(
    pieces: Sequence[Variants], which: Sequence[int], lengths: Lengths, budget: Budget
) -> tuple[Lies, ...]:
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
    best = list(fewest_sheets(pieces, which, width, longest, for_fewest))
    sides = sides_of(pieces, which)
    for begun in _beginnings(sides, which, lengths, for_together):
        if _taken(begun, margins) < _taken(best, margins):
            best = begun
    dice, idle = Dice(len(which)), 0
    while for_together.left > 0 and idle < 200 + 40 * len(best) and len(best) > 1:
        idle = 0 if _together(sides, best, lengths, for_together, dice) else idle + 1
    return _shortened(pieces, best, lengths, for_last)


def _taken(sheets: Sequence[Lies], margins: int) -> int:
    """Return how much of the roll sheets take."""
    return sum(top_of(sheet) + margins for sheet in sheets)


def _beginnings(
    sides: Sides, which: Sequence[int], lengths: Lengths, budget: Budget
) -> list[list[Lies]]:
    """Return layouts by the usual orders, on sheets of several lengths."""
    tallest = max(min(h for _, h in sides.ways[k]) for k in which)
    found: list[list[Lies]] = []
    for share in SHARES:
        height = max(tallest, int(lengths.longest * share))
        for order in orders(sides.ways, which):
            for policy in (0, 2):
                if budget.left <= 0:
                    return found
                begun = one_after_another(sides, order, lengths.width, [height], policy, budget)
                if begun is not None:
                    found.append([tuple(sheet.placed) for sheet in begun])
    return found


def _together(
    sides: Sides, sheets: list[Lies], lengths: Lengths, budget: Budget, dice: Dice
) -> bool:
    """Lay some sheets anew, to other lengths; whether that took less film."""
    count = 2 + dice.below(MOST_TOGETHER - 1)
    chosen = sorted({dice.below(len(sheets)) for _ in range(count)})
    old = [sheets[i] for i in chosen]
    loose = [one[0] for sheet in old for one in sheet]
    tallest = max(min(h for _, h in sides.ways[k]) for k in loose)
    first = tallest + dice.below(lengths.longest - tallest + 1)
    heights = [first if dice.below(2) else lengths.longest, lengths.longest]
    order = order_for(sides.ways, loose, dice)
    filled = one_after_another(sides, order, lengths.width, heights, dice.below(3), budget)
    if filled is None:
        return False
    new = [tuple(sheet.placed) for sheet in filled]
    less = _taken(old, lengths.margins) - _taken(new, lengths.margins)
    if less < 0:
        return False
    for i in reversed(chosen):
        del sheets[i]
    sheets.extend(new)
    return less > 0


def _shortened(
    pieces: Sequence[Variants], sheets: Sequence[Lies], lengths: Lengths, budget: Budget
) -> tuple[Lies, ...]:
    share, each = Budget(0), budget.left // len(sheets)
    best = []
    for sheet in sheets:
        share.left += each
        shorter = shortest_strip(pieces, [one[0] for one in sheet], lengths.width, share)
        best.append(shorter if top_of(shorter) <= top_of(sheet) else sheet)
    return tuple(best)
