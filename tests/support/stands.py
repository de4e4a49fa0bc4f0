"""Invented books laid out in a gauge of film by the published rules, for the construction tests.

Written apart from the package's own kinds of support, so that each can be held against the other.
"""

import math
from dataclasses import dataclass

from cutfiles.support.constructions.strip import Panel, Strip
from cutfiles.support.limits import cover_stiffness, heap_lean, riser_load
from cutfiles.support.loads import side_weights
from cutfiles.support.ways import Leg, Stand

RIGHT = math.pi / 2
TAPE = 0.1


@dataclass(frozen=True, kw_only=True)
class Bound:
    """A book lying open: mm, degrees, g."""

    height: float
    widths: tuple[float, float]
    spine: float
    slopes: tuple[float, float]
    weight: float
    sides: tuple[float, float] | None = None
    cover: str = "boards"
    step: float = 0.0  # left joint higher +
    stiff_board: float = 0.0
    tab: float = 12.0  # the longest


def even(height, width, spine_panel, slope, weight, **more):
    """A book with equal halves, by its spine panel."""
    return Bound(
        height=height,
        widths=(width, width),
        spine=spine_panel - 1.0,
        slopes=(slope, slope),
        weight=weight,
        **more,
    )


def stand_of(book, layers, gauge):
    """Return the book's support in so many layers of a gauge (mm)."""
    if abs(book.step) >= 4.0 and book.spine + 1.0 >= 8.0:
        return riser(book, layers, gauge)
    return level(book, layers, gauge)


def _numbers(book):
    slopes = [math.radians(slope) for slope in book.slopes]
    boards = [width - 3.0 for width in book.widths]
    sides = book.sides or (None, None)
    weights = side_weights(book.weight, *sides)
    thick = [side if side is not None else book.spine / 2 for side in sides]
    covers = [cover_stiffness(book.cover, book.height, t, book.stiff_board) for t in thick]
    return slopes, boards, weights, covers


def _half(name, board, slope, lift, more=0.0):
    return [
        Panel(f"{name} board", "board", board),
        Panel(f"{name} leg", "leg", board * math.sin(slope) + lift + more),
        Panel(f"{name} base", "base", board * math.cos(slope)),
    ]


def level(book, layers, gauge):
    slopes, boards, weights, covers = _numbers(book)
    spine = book.spine + 1.0
    stands = [b * math.sin(a) >= 8.0 for b, a in zip(book.widths, slopes, strict=True)]
    films = layers * gauge
    if not all(stands):
        kind, lift, tab = "one side flat", films + TAPE, 12.0
    elif spine / 2 - 1 >= 9:
        kind, lift, tab = "side by side", films + TAPE, min(book.tab, spine / 2 - 1)
    elif spine - 2 >= 9:
        kind, lift, tab = "lapped", 2 * (films + TAPE), min(12.0, spine - 2)
    else:
        kind, lift, tab = "crossed", 2 * films, 12.0
    crossed = kind == "crossed"
    tail = ([], [])
    for i, name in enumerate("LR"):
        if stands[i]:
            on = [Panel(f"{name} run on", "run on", spine)] if crossed else []
            tail[i].extend([*on, Panel(f"{name} tab", "tab", tab)])
    parts = [
        _half(n, b, a, lift) + t if up else [Panel(f"{n} board", "board", b)]
        for n, b, a, t, up in zip("LR", boards, slopes, tail, stands, strict=True)
    ]
    folds = []
    for i in (0, 1):
        own = [slopes[i] if stands[i] else None]
        if stands[i]:
            own += [-RIGHT - slopes[i], -RIGHT]
            own += [None, -slopes[0] if i else None] if crossed else [None]
        folds.append(own)
    strip = Strip(
        (*reversed(parts[0]), Panel("spine", "spine", spine), *parts[1]),
        (*reversed(folds[0]), *folds[1]),
        book.height - 2.0,
    )
    rooms = [b * math.cos(a) for b, a in zip(boards, slopes, strict=True)]
    if crossed:
        rooms[0] -= 12 * math.cos(slopes[0])
    return _stand(book, kind, strip, boards, slopes, weights, covers, rooms)


def riser(book, layers, gauge):
    """Return the support on a riser, always built with its high side left."""
    if book.step < 0:
        book = mirrored(book)
    (a, b), boards, weights, covers = _numbers(book)
    spine, step = book.spine + 1.0, min(book.step, book.spine + 1.0)
    level_run = abs(spine * math.sin(a) - step) <= 2.0 and spine * math.sin(a) >= 4.0
    if level_run:
        step = spine * math.sin(a)
    tilt = math.asin(min(1.0, step / spine))
    low = book.widths[1] * math.sin(b) >= 8.0
    b = b if low else 0.0
    films, e = layers * gauge, layers * gauge + TAPE
    lift = 3 * films + 2 * TAPE if low else 2 * films + TAPE
    out = max(0.0, step / 2 - spine * math.cos(tilt))
    rho = math.atan2(step, out)
    toe = e * math.tan(tilt / 2)
    base = boards[0] * math.cos(a) + spine * math.cos(tilt) - toe
    tab = min(12.0, boards[0] * math.cos(a) - toe - out - 1)
    left = [
        Panel("L riser tab", "riser tab", tab),
        Panel("L riser", "riser", math.hypot(step, out)),
        Panel("L ramp", "ramp", spine),
        Panel("L base", "base", base),
        Panel("L leg", "leg", boards[0] * math.sin(a) + step + lift),
        Panel("L board", "board", boards[0]),
    ]
    folds = [rho, -rho - tilt, tilt - math.pi, -RIGHT, -RIGHT - a]
    folds += [None if level_run else a - tilt, tilt + b]
    right = [Panel("R board", "board", boards[1])]
    if low:
        right = [*_half("R", boards[1], b, lift), Panel("R tab", "low tab", min(12.0, base - 1))]
        folds += [-RIGHT - b, -RIGHT, None]
    strip = Strip((*left, Panel("spine", "spine", spine), *right), tuple(folds), book.height - 2.0)
    rooms = [boards[0] * math.cos(a) - toe - out - tab, boards[1] * math.cos(b)]
    force = weights[0] * book.widths[0] / (2 * boards[0])
    load = riser_load(weights[0], force, heap_lean(weights[1], b, weights[0], a, tilt), tilt)
    column = (load, math.hypot(step, out))
    return _stand(book, "riser", strip, boards, (a, b), weights, covers, rooms, column)


def mirrored(book):
    return Bound(
        height=book.height,
        widths=book.widths[::-1],
        spine=book.spine,
        slopes=book.slopes[::-1],
        weight=book.weight,
        sides=book.sides[::-1] if book.sides else None,
        cover=book.cover,
        step=-book.step,
        stiff_board=book.stiff_board,
    )


def _stand(book, kind, strip, boards, slopes, weights, covers, rooms, column=None):
    legs = tuple(
        Leg(i, boards[k], book.widths[k], slopes[k], weights[k], covers[k], rooms[k])
        for i in strip.legs()
        for k in [0 if strip.apex_on_right(i) else 1]
    )
    return Stand(
        kind=kind, strip=strip, legs=legs, limp=book.cover == "limp", tape=TAPE, riser=column
    )
