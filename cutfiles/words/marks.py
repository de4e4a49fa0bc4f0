"""The verdict as a mark: for each state a shape and its word, told apart in black and white.

proved: a full disc. adequate: a ring. make a trial: an open triangle. another support: a cross.
"""

import math
from typing import NamedTuple

from cutfiles.support.states import State

Place = tuple[float, float]


class Shape(NamedTuple):
    """One area of a mark: black, or white upon black; within a circle of radius 1 about (0, 0).

    Attributes:
        points: its corners; a disc's lie on it, close to one another.
        black: or white.
        disc: radius of a disc, 0 for what has corners.

    """

    points: tuple[Place, ...]
    black: bool
    disc: float = 0.0


class Mark(NamedTuple):
    """The mark of one state.

    Attributes:
        word: of the state, as everywhere.
        shapes: to be painted in this order.
        sign: one character like it, where only text can be shown.
        plain: three characters of ASCII like it, where that cannot be shown either.

    """

    word: State
    shapes: tuple[Shape, ...]
    sign: str
    plain: str


def _regular(corners: int, radius: float, start: float) -> tuple[Place, ...]:
    turns = (start + math.tau * i / corners for i in range(corners))
    return tuple((radius * math.cos(turn), radius * math.sin(turn)) for turn in turns)


def _disc(radius: float, *, black: bool) -> Shape:
    return Shape(_regular(48, radius, 0.0), black, radius)


_DISC, _HOLE = _disc(1.0, black=True), _disc(0.58, black=False)
_UP = math.pi / 2
_ARM = 0.3
_CROSS = tuple(
    (math.sqrt(0.5) * (x - y), math.sqrt(0.5) * (x + y))
    for x, y in (
        (1, _ARM),
        (_ARM, _ARM),
        (_ARM, 1),
        (-_ARM, 1),
        (-_ARM, _ARM),
        (-1, _ARM),
        (-1, -_ARM),
        (-_ARM, -_ARM),
        (-_ARM, -1),
        (_ARM, -1),
        (_ARM, -_ARM),
        (1, -_ARM),
    )
)
_TRIANGLE, _INNER = _regular(3, 1.0, _UP), _regular(3, 0.4, _UP)

MARKS: dict[State, Mark] = {
    mark.word: mark
    for mark in (
        Mark("proved", (_DISC,), "●", "(*)"),
        Mark("adequate", (_DISC, _HOLE), "○", "( )"),
        Mark("make a trial", (Shape(_TRIANGLE, True), Shape(_INNER, False)), "△", "/ \\"),
        Mark("another support", (Shape(_CROSS, True),), "✕", ">X<"),
    )
}
"""Every state's mark."""


def mark_paths(state: State) -> str:
    """Return a mark's shapes as SVG, in a box from -1 to 1."""
    return "".join(map(_drawn, MARKS[state].shapes))


def _drawn(shape: Shape) -> str:
    fill = "currentColor" if shape.black else "var(--page, #fff)"
    if shape.disc:
        return f'<circle r="{shape.disc:g}" fill="{fill}"/>'
    corners = " L".join(f"{x:.3f},{-y:.3f}" for x, y in shape.points)
    return f'<path d="M{corners} Z" fill="{fill}"/>'


def mark_svg(state: State, size: float) -> str:
    """Return a mark as an SVG element for a page, so many em high."""
    return (
        f'<svg class="mark" viewBox="-1 -1 2 2" style="height:{size:g}em" aria-hidden="true">'
        f"{mark_paths(state)}</svg>"
    )
