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
from operator import itemgetter

from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Contacts
from cutfiles.support.kinds.laid import Laid
from cutfiles.support.profile import Profile
from cutfiles.support.standing import Support

SMALL = 1e-9
"""What is left of a row of unit size when it follows from others: rounding only."""

Row = dict[int, float]


Strip = Laid | Support


def free_movements(strip: Strip) -> int:
    """Return how many independent movements a strip has as it stands.

    0 for all kinds; what is kept by weight alone counts as kept. 1 for a tilted spine panel that
    no riser carries: base, leg, board panel and spine panel are then a four-bar linkage.
    """
    profile, places, contacts = strip.profile, strip.places, strip.contacts
    size = max(math.hypot(*place) for place in places) or 1.0
    body = _bodies(profile, contacts)
    rows = list(_rows(profile, places, contacts, body, size))
    return 3 * len(set(body)) - 3 - rank(rows, 3 * len(body))


def rank(rows: Sequence[Row], columns: int) -> int:
    """Return the rank of a matrix given by rows, by elimination with the largest pivot.

    >>> rank([{0: 1.0, 1: 1.0}, {0: 2.0, 1: 2.0}, {2: 5.0}], 3)
    2
    """
    matrix = [[row.get(column, 0.0) for column in range(columns)] for row in rows]
    left = [_sized([value / size for value in row]) for row in matrix if (size := math.hypot(*row))]
    found = 0
    while left:
        largest, best = max(left, key=itemgetter(0))
        if largest < SMALL:
            break
        found += 1
        pivot = next(column for column, value in enumerate(best) if abs(value) == largest)
        left.remove((largest, best))
        left = [_eliminated(one, best, pivot) for one in left]
    return found


_Sized = tuple[float, list[float]]
"""A row and its largest entry, the sign left out."""


def _sized(row: list[float]) -> _Sized:
    return max(map(abs, row)), row


def _eliminated(one: _Sized, best: list[float], pivot: int) -> _Sized:
    """Return a row less what it has of another one, so that its entry at the pivot is 0."""
    row = one[1]
    if row[pivot] == 0.0:
        return one  # most have none: a body touches few others
    share = row[pivot] / best[pivot]
    return _sized([a - share * b for a, b in zip(row, best, strict=True)])


def _bodies(profile: Profile, contacts: Contacts) -> list[int]:
    """Return for each panel the body it is part of: no fold and tape both hold in three ways."""
    body = list(range(len(profile.panels)))
    folded = {fold.after for fold in profile.folds}
    pairs = [(i - 1, i) for i in range(1, len(body)) if i not in folded]
    pairs += [(profile.index(tape.panel), profile.index(tape.to)) for tape in contacts.tapes]
    for one, other in pairs:
        kept, gone = body[one], body[other]
        body = [kept if b == gone else b for b in body]
    return body


def _rows(
    profile: Profile, places: Sequence[Point], contacts: Contacts, body: Sequence[int], size: float
) -> Iterator[Row]:
    """Yield the equations; turns are scaled by `size`, so that all entries are alike."""
    for fold in profile.folds:
        one, other = body[fold.after - 1], body[fold.after]
        if one != other:
            yield from _pinned(one, other, places[fold.after], size)
    for rest in contacts.rests:
        panel, onto = profile.index(rest.panel), profile.index(rest.onto)
        ends = places[onto], places[onto + 1]
        if body[panel] != body[onto]:
            yield _across(body[panel], body[onto], rest.place, ends, size)


def _pinned(one: int, other: int, at: Point, size: float) -> Iterator[Row]:
    """Yield the equations of two bodies that keep one place in common."""
    x, y = at.x / size, at.y / size
    yield {3 * one: 1.0, 3 * other: -1.0, 3 * one + 2: -y, 3 * other + 2: y}
    yield {3 * one + 1: 1.0, 3 * other + 1: -1.0, 3 * one + 2: x, 3 * other + 2: -x}


def _across(one: int, other: int, at: Point, ends: tuple[Point, Point], size: float) -> Row:
    """Return the equation of a place that may not leave the panel below."""
    start, end = ends
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
