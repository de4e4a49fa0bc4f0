"""Ticks on the film: where a tab is stuck, and numbered ones where a foot may be creased anew."""

from cutfiles.pattern.lettering import text_strokes, text_width
from cutfiles.pattern.pattern import Band, Role, Stroke
from cutfiles.plane.shapes import Point, open_path
from cutfiles.support.constructions.outline import Piece
from cutfiles.support.landing import landing
from cutfiles.support.spare import ticks_of
from cutfiles.support.standing import Support

OFF, LONG = 1.0, 3.0
"""How far a tick stays off head and tail, and how long it is, mm: the book hides it."""
LETTERS = 1.8
"""Height of the numbers, mm; each stands a line further in than the one before."""


def tick_strokes(support: Support, band: Band) -> list[Stroke]:
    """Return the ticks of every foot, on the band that meets the book, numbered from the lowest."""
    strokes: list[Stroke] = []
    for half in support.halves:
        for number, tick in enumerate(ticks_of(support, half), start=1):
            fold = next(f for f in support.profile.folds if f.name == f"{half.side} foot")
            x = band.box.left + support.profile.position(fold) + half.way * tick.shift
            strokes += _tick(f"tick {half.side} {number}", str(number), x, band)
    return strokes


def stick_strokes(support: Support, piece: Piece, band: Band) -> list[Stroke]:
    """Return a tick at head and tail where a tab ends, for it to be stuck by: folded, it is hidden.

    A tab that ends in its base has them on itself; one with a crease of its own has them on the
    panel it is stuck to, unless it comes to lie at a crease.
    """
    strokes = []
    for tape in support.contacts.tapes:
        found = landing(tape, support)
        if found is None or not found.ticks:
            continue
        x, middle = band.box.left + found.place, band.box.centre.y
        narrow = piece.edge_of(support.profile.index(tape.panel))
        half = min(band.box.height / 2, narrow) - OFF
        name = f"tape tick, {tape.panel}"
        for sign in (-1, 1):
            ends = (middle + sign * half, middle + sign * max(0.0, half - LONG))
            strokes.append(Stroke(Role.LABEL, name, open_path((x, min(ends)), (x, max(ends)))))
    return strokes


def _tick(name: str, number: str, x: float, band: Band) -> list[Stroke]:
    """Return one tick at head and tail, and its number beside the one at the tail."""
    low, high = band.box.bottom + OFF, band.box.top - OFF
    at = Point(
        x - text_width(number, LETTERS) / 2, low + LONG + 0.6 + 1.4 * LETTERS * (int(number) - 1)
    )
    return [
        Stroke(Role.LABEL, name, path)
        for path in (
            open_path((x, low), (x, low + LONG)),
            open_path((x, high - LONG), (x, high)),
            *text_strokes(number, at, LETTERS),
        )
    ]
