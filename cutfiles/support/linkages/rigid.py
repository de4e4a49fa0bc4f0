"""Counts the ways a strip laid out can still move: 0 is wanted.

Each panel is a rigid body of the plane with three velocities, (u, v, ω). A fold between two panels
is a hinge, two equations; a fold left out, and two panels taped over a length, are one body, three
equations; a place where weight keeps a panel down is one equation, across the panel below. What
the equations leave free, less the three motions of the whole, moves.

A matrix of bars from corner to corner says the same of hinges but not of tape: bars along two
panels that lie on one another all point one way, and would leave them free to turn.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from cutfiles.plane.shapes import Point
from cutfiles.support.linkages.linkage import Linkage

SMALL = 1e-9
"""What is left of a row of unit size when it follows from others: rounding only."""

Row = dict[int, float]


def free_movements(strip: Linkage) -> int:
    """Return how many independent movements a strip has as it stands.

    0 for all kinds; what is kept by weight alone counts as kept. 1 for a tilted spine panel that
    no riser carries: base, leg, board panel and spine panel are then a four-bar linkage.
    """
    panels = len(strip.panels)
    size = max(math.hypot(*place) for place in strip.places) or 1.0
    return 3 * panels - 3 - rank(list(_rows(strip, size)), 3 * panels)


def by_tape_alone(strip: Linkage) -> int:
    """Return how many movements are left where nothing is counted as kept down by weight."""
    return free_movements(replace(strip, rests=()))


def rank(rows: Sequence[Row], columns: int) -> int:
    """Return the rank of a matrix given by rows, by elimination with the largest pivot.

    >>> rank([{0: 1.0, 1: 1.0}, {0: 2.0, 1: 2.0}, {2: 5.0}], 3)
    2
    """
    matrix = [[row.get(column, 0.0) for column in range(columns)] for row in rows]
    matrix = [[value / size for value in row] for row in matrix if (size := math.hypot(*row))]
    found = 0
    while matrix:
        best = max(matrix, key=lambda row: max(map(abs, row)))
        pivot = max(range(columns), key=lambda column: abs(best[column]))
        if abs(best[pivot]) < SMALL:
            break
        found += 1
        matrix.remove(best)
        matrix = [
            [a - row[pivot] / best[pivot] * b for a, b in zip(row, best, strict=True)]
            for row in matrix
        ]
    return found


def _rows(strip: Linkage, size: float) -> Iterator[Row]:
    """Yield the equations; turns are scaled by `size`, so that all entries are alike."""
    folded = {fold.after for fold in strip.folds}
    for after in range(1, len(strip.panels)):
        yield from _pinned(after - 1, after, strip.places[after], size)
        if after not in folded:
            yield _turned(after - 1, after)
    for contact in strip.contacts:
        on, onto = strip.index(contact.on), strip.index(contact.onto)
        yield from _pinned(on, onto, strip.places[on], size)
        yield _turned(on, onto)
    for rest in strip.rests:
        yield _across(
            strip.index(rest.panel), strip.index(rest.onto), rest.place, strip.places, size
        )


def _pinned(one: int, other: int, at: Point, size: float) -> Iterator[Row]:
    """Yield the equations of two bodies that keep one place in common."""
    x, y = at.x / size, at.y / size
    yield {3 * one: 1.0, 3 * other: -1.0, 3 * one + 2: -y, 3 * other + 2: y}
    yield {3 * one + 1: 1.0, 3 * other + 1: -1.0, 3 * one + 2: x, 3 * other + 2: -x}


def _turned(one: int, other: int) -> Row:
    return {3 * one + 2: 1.0, 3 * other + 2: -1.0}


def _across(one: int, other: int, at: Point, places: Sequence[Point], size: float) -> Row:
    """Return the equation of a place that may not leave the panel below."""
    start, end = places[other], places[other + 1]
    along = math.atan2(end.y - start.y, end.x - start.x)
    nx, ny = -math.sin(along), math.cos(along)
    turn = (nx * -at.y + ny * at.x) / size
    return {
        3 * one: nx,
        3 * one + 1: ny,
        3 * one + 2: turn,
        3 * other: -nx,
        3 * other + 1: -ny,
        3 * other + 2: -turn,
    }
