"""Nests pieces on strips and sheets of film: the shortest strip, the fewest sheets.

First pieces that may turn are laid in many ways at once, for a part of the work; then all in the
usual orders, each by each policy of the skyline. If the many ways did better, they go on; if not, a
search follows: exchange two pieces of the order, fill a rectangle as low as the best so far less
one step, keep the order where it wastes no more. It stops by work done, never by the clock, and
draws from a small generator of its own, so that the same pieces give the same layout on every
machine and every version of Python.
"""

import math
from collections.abc import Sequence
from itertools import permutations, product

from cutfiles.dice import Dice
from cutfiles.film.beam import Beam
from cutfiles.film.skyline import (
    ENDLESS,
    Budget,
    Filled,
    Lies,
    Sides,
    Variants,
    area_of,
    fill,
    sides_of,
)

POLICIES = (0, 1, 2)
STARTS = 6
"""Orders a search goes on from."""
FEW = 5
"""So few pieces are tried in every order there is: nothing is left to search for."""
TRIAL = 8
"""This part of the work shows whether many ways at once do better with pieces that may turn."""

Start = tuple[list[int], int]
"""An order of pieces and the policy they are placed by."""


def orders(pieces: Sequence[Variants], which: Sequence[int]) -> list[list[int]]:
    """Return the usual orders: by area, longest side, width, height, girth, largest first."""

    def flat(k: int) -> tuple[int, int]:
        return max(pieces[k])

    keys = (
        lambda k: (-flat(k)[0] * flat(k)[1], k),
        lambda k: (-max(flat(k)), -min(flat(k)), k),
        lambda k: (-flat(k)[0], -flat(k)[1], k),
        lambda k: (-flat(k)[1], -flat(k)[0], k),
        lambda k: (-sum(flat(k)), k),
        lambda k: (-pieces[k][0][0], -pieces[k][0][1], k),
        lambda k: (-pieces[k][0][1], -pieces[k][0][0], k),
    )
    return [sorted(which, key=key) for key in keys]


def shortest_strip(
    pieces: Sequence[Variants], which: Sequence[int], width: int, budget: Budget
) -> Lies:
    """Return a layout of all pieces on a strip of this width, as short as found."""
    if not which:
        return ()
    beam = begun = None
    if len(which) > FEW and any(len(pieces[k]) > 1 for k in which):
        beam = Beam(pieces, which, width)
        part = Budget(budget.left // TRIAL)
        budget.spend(part.left)
        begun = beam.search(part)
        budget.spend(-part.left)
    sides = sides_of(pieces, which)
    tries: list[tuple[int, int, list[int], int, Filled]] = []
    for order in orders(pieces, which):
        for policy in POLICIES:
            if tries and budget.left <= 0:
                break
            done = fill(sides, order, width, ENDLESS, None, policy)
            budget.spend(done.work)
            tries.append((done.top, len(tries), order, policy, done))
    tries.sort(key=lambda one: one[:2])
    best = tries[0][4]
    if beam is not None and begun is not None and begun.top < best.top:
        return tuple(beam.search(budget).placed)
    area = area_of(pieces, which)
    step = math.gcd(*(side for k in which for variant in pieces[k] for side in variant))
    tallest = max(min(h for _, h in pieces[k]) for k in which)
    least = max(-(-area // width), tallest)
    least = -(-least // step) * step
    starts: list[Start] = [(one[2], one[3]) for one in tries[:STARTS]]
    dice = Dice(len(which))
    while best.top > least and budget.left > 0:
        found = None
        if len(which) <= FEW:
            found = _in_any_order(sides, which, width, best.top - step, budget)
        while found is None and budget.left > 0 and len(which) > FEW:
            found, starts = _search(sides, starts, width, best.top - step, area, budget, dice)
        if found is None:
            break
        best = found
    return tuple(best.placed)


def _in_any_order(
    sides: Sides, which: Sequence[int], width: int, height: int, budget: Budget
) -> Filled | None:
    """Return a layout of all pieces within a height, if any order and policy gives one."""
    spare = width * height - area_of(sides.ways, which)
    for order, policy in product(permutations(which), POLICIES):
        done = fill(sides, order, width, height, spare, policy)
        budget.spend(done.work)
        if not done.left_over:
            return done
    return None


def _search(
    sides: Sides,
    starts: list[Start],
    width: int,
    height: int,
    area: int,
    budget: Budget,
    dice: Dice,
) -> tuple[Filled | None, list[Start]]:
    """Look for a layout of all pieces within a height; also return orders to go on from."""
    if width * height < area:
        return None, starts
    ends: list[tuple[int, int, Start]] = []
    for order, policy in starts:
        found, waste, order = _improve(sides, order, policy, width, height, budget, dice)
        if not found.left_over:
            return found, [(order, policy), *starts[: STARTS - 1]]
        ends.append((waste, len(ends), (order, policy)))
    ends.sort(key=lambda end: end[:2])
    again: list[Start] = []
    for rank, (_, _, (order, policy)) in enumerate(ends):
        if rank < 2:  # the best go on, a little disturbed; the others begin anew
            again.append((_disturbed(order, dice), policy))
        else:
            again.append(
                (
                    _disturbed(ends[rank - 2][2][0], dice) if rank < 4 else dice.shuffled(order),
                    dice.below(len(POLICIES)),
                )
            )
    return None, again


def _improve(
    sides: Sides, order: list[int], policy: int, width: int, height: int, budget: Budget, dice: Dice
) -> tuple[Filled, int, list[int]]:
    """Exchange pieces of an order as long as that helps; return layout, waste and order."""
    order, count = list(order), len(order)
    now = fill(sides, order, width, height, None, policy)
    budget.spend(now.work)
    idle = 0
    while now.left_over and idle < 100 + 40 * count and budget.left > 0 and count > 1:
        i, j = dice.below(count), dice.below(count)
        if sides.ways[order[i]] == sides.ways[order[j]]:  # the same layout would come of it
            idle += 1
            continue
        order[i], order[j] = order[j], order[i]
        trial = fill(sides, order, width, height, now.waste, policy)
        budget.spend(trial.work)
        if trial.waste <= now.waste:
            idle = 0 if trial.waste < now.waste else idle + 1
            now = trial
        else:
            order[i], order[j] = order[j], order[i]
            idle += 1
    return now, now.waste, order


def _disturbed(order: list[int], dice: Dice) -> list[int]:
    out = list(order)
    for _ in range(3):
        i, j = dice.below(len(out)), dice.below(len(out))
        out[i], out[j] = out[j], out[i]
    return out


# -- sheets ---------------------------------------------------------------------------------------


def fewest_sheets(
    pieces: Sequence[Variants], which: Sequence[int], width: int, height: int, budget: Budget
) -> tuple[Lies, ...]:
    """Return a layout of all pieces on sheets of one size, as few sheets as found.

    Every piece must fit the sheet. After the first packing two or three sheets at a time are
    emptied and filled anew, towards fuller full ones and an emptier last one.
    """
    if not which:
        return ()
    area = area_of(pieces, which)
    least = -(-area // (width * height))
    sides = sides_of(pieces, which)
    best: list[Filled] = []
    for order in orders(pieces, which):
        for policy in POLICIES:
            if best and budget.left <= 0:
                break
            sheets = one_after_another(sides, order, width, [height], policy, budget)
            if sheets is None:
                raise ValueError(f"pieces do not all fit a sheet of {width} × {height}")
            if not best or _rank(sheets) < _rank(best):
                best = sheets
    dice = Dice(len(which))
    idle = 0
    while len(best) > max(least, 1) and budget.left > 0 and idle < 200 + 40 * len(best):
        idle = 0 if _refill(sides, best, width, height, budget, dice) else idle + 1
    best.sort(key=lambda sheet: (sheet.waste, sheet.placed))
    return tuple(tuple(sheet.placed) for sheet in best)


def one_after_another(
    sides: Sides,
    order: Sequence[int],
    width: int,
    heights: Sequence[int],
    policy: int,
    budget: Budget,
) -> list[Filled] | None:
    """Return sheets of these heights, the last again and again; None where a piece fits none."""
    sheets: list[Filled] = []
    rest = list(order)
    while rest:
        height = heights[min(len(sheets), len(heights) - 1)]
        done = fill(sides, rest, width, height, None, policy)
        budget.spend(done.work)
        if not done.placed:
            return None
        sheets.append(done)
        rest = done.left_over
    return sheets


def _rank(sheets: list[Filled]) -> tuple[int, int]:
    """Return how good a packing is: few sheets, then a last one with much waste."""
    return len(sheets), -max(sheet.waste for sheet in sheets)


def _refill(
    sides: Sides, sheets: list[Filled], width: int, height: int, budget: Budget, dice: Dice
) -> bool:
    """Empty some sheets and fill them anew; whether that was better."""
    emptiest = max(range(len(sheets)), key=lambda i: (sheets[i].waste, i))
    chosen = {emptiest} if dice.below(4) else {dice.below(len(sheets))}
    for _ in range(1 + dice.below(3)):
        chosen.add(dice.below(len(sheets)))
    old = [sheets[i] for i in sorted(chosen)]
    loose = [placed[0] for sheet in old for placed in sheet.placed]
    new = []
    rest = order_for(sides.ways, loose, dice)
    policy = dice.below(2)
    while rest:
        done = fill(sides, rest, width, height, None, policy)
        budget.spend(done.work)
        new.append(done)
        rest = done.left_over
        if len(new) > len(old):
            return False
    worth = [sum(sheet.waste**2 for sheet in some) for some in (old, new)]
    fewer = len(new) < len(old)
    if not fewer and worth[1] < worth[0]:
        return False
    for i in sorted(chosen, reverse=True):
        del sheets[i]
    sheets.extend(new)
    return fewer or worth[1] > worth[0]


def order_for(pieces: Sequence[Variants], which: list[int], dice: Dice) -> list[int]:
    """Return the pieces shuffled, or by size with some disorder."""
    kind = dice.below(4)
    if kind == 0:
        return dice.shuffled(which)
    order = orders(pieces, which)[dice.below(5)]
    for _ in range(dice.below(2 + len(order) // 3)):
        i, j = dice.below(len(order)), dice.below(len(order))
        order[i], order[j] = order[j], order[i]
    return order
