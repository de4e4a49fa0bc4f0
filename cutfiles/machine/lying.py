"""What explains marks that do not fit: a sheet laid wrong, axes or a unit read wrong, a bad mark.

Each is tried: if the marks fit once it is undone, it is what happened.
"""

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple, get_args

from cutfiles.machine.cutter import Shows
from cutfiles.machine.fit import Kind, Move, fit, residuals
from cutfiles.machine.place import Axes
from cutfiles.plane.shapes import Point

MOST_TURN = math.radians(10)
MOST_GROWTH = 0.011
"""A sheet grows by 1 % at most; the rest is for marks that are measured."""
NEEDED_MARKS = 3
"""Marks from which a wrong turn shows."""
STEPS: dict[Shows, float] = {"mm": 1.0, "cm": 10.0, "in": 25.4, "0.025 mm": 0.025}
"""What a machine shows its places in, mm."""
_WAYS = (
    (2, False, "turned over about the other axis, or by half a turn"),
    (2, True, "not turned over, or turned over twice"),
    (0, True, "turned over the other way and not laid right"),
    (3, False, "turned a quarter to the left"),
    (1, False, "turned a quarter to the right"),
    (1, True, "not turned over and turned a quarter, or with x and y exchanged"),
    (3, True, "not turned over and turned a quarter, or with x and y exchanged"),
)
"""Quarters to the left and mirroring about x that bring measured marks back, and what it was."""


class Cause(NamedTuple):
    """What explains the measures, and what to do."""

    found: str
    remedy: str


class Measures(NamedTuple):
    """Marks that do not fit.

    Attributes:
        names: of them.
        marks: where they should be, mm on the pass's sheet.
        found: where they were measured.
        limit: largest residual allowed, mm.
        axes: by which the machine's places were read.
        unit: in which they were read.

    """

    names: Sequence[str]
    marks: Sequence[Point]
    found: Sequence[Point]
    limit: float
    axes: Axes
    unit: Shows


def is_small(move: Move) -> bool:
    """Whether a sheet can come to lie so by itself: hardly turned, hardly grown, not mirrored."""
    return (
        abs(move.angle) <= MOST_TURN
        and all(abs(s - 1) <= MOST_GROWTH for s in move.scales)
        and move.a * move.d - move.b * move.c > 0
    )


def what_is_wrong(of: Measures) -> Cause:
    """Return what explains the measures: unit, axes, exchanged marks, one bad mark; else how far.

    Where a sheet was laid wrong and where axes were told wrong look alike: both are told.
    """
    return next(
        itertools.chain(_read_wrong(of), _exchanged(of), _one_bad(of), _too_far(of), _all_off(of))
    )


def _fits(of: Measures, found: Sequence[Point], leave: int | None = None) -> Move | None:
    """Return the move by which marks fit where they would have been found, one perhaps left out."""
    kept = [i for i in range(len(of.names)) if i != leave]
    marks, places = [of.marks[i] for i in kept], [found[i] for i in kept]
    kinds: tuple[Kind, ...] = ("rigid",) if len(kept) < 3 + (leave is not None) else _LIKE
    moves = (fit(kind, marks, places) for kind in kinds)
    return next((m for m in moves if is_small(m) and _worst(m, marks, places) <= of.limit), None)


def _worst(move: Move, marks: Sequence[Point], places: Sequence[Point]) -> float:
    return max(residuals(move, marks, places))


_LIKE: tuple[Kind, ...] = ("rigid", "similarity")


def _read_wrong(of: Measures) -> Iterator[Cause]:
    """Yield wrong units, wrong turns, and both at once."""
    others = [unit for unit in get_args(Shows) if unit != of.unit]
    ways = [(0, False, ""), *_WAYS]
    for unit in (of.unit, *others):
        size = STEPS[unit] / STEPS[of.unit]
        for quarters, mirrored, said in ways:
            if unit == of.unit and not said:
                continue
            turn = size * 1j**quarters
            back = [turn * complex(x, -y if mirrored else y) for x, y in of.found]
            if _fits(of, [Point(z.real, z.imag) for z in back]):
                axes = of.axes.moved(quarters, mirrored=mirrored)
                yield _cause(of, unit, said, axes)


def _cause(of: Measures, unit: Shows, said: str, axes: Axes) -> Cause:
    units = f'marks in "{unit}", read as "{of.unit}"'
    write = f'write "{unit}" beside them as their unit, or into the profile as what it shows'
    if not said:
        return Cause(units, write)
    found = f"marks as on a sheet {said}; or as read on the axes {of.axes.text}, being {axes.text}"
    remedy = (
        "lay the sheet as its pass is drawn, and measure again; where it lies so, write the axes "
        f"{axes.text} beside the marks, or in the profile"
    )
    return Cause(found, remedy) if unit == of.unit else Cause(f"{units}; {found}", write)


def _exchanged(of: Measures) -> Iterator[Cause]:
    for i, j in itertools.combinations(range(len(of.names)), 2):
        order = list(of.found)
        order[i], order[j] = order[j], order[i]
        if _fits(of, order):
            yield Cause(
                f"{of.names[i]} and {of.names[j]} exchanged",
                "write each place beside the mark it belongs to; nothing was written",
            )


def _one_bad(of: Measures) -> Iterator[Cause]:
    """Yield the one mark without which the others fit; of two such nobody can say which."""
    if len(of.names) < 4:
        return
    moves = {k: _fits(of, of.found, leave=k) for k in range(len(of.names))}
    bad = [(k, move) for k, move in moves.items() if move is not None]
    if len(bad) == 1:
        [(k, move)] = bad
        off = residuals(move, [of.marks[k]], [of.found[k]])[0]
        yield Cause(
            f"one bad mark: {of.names[k]} is {off:.2f} mm off where the others bring it",
            "measure that mark again, or leave it out; nothing was written",
        )


def _too_far(of: Measures) -> Iterator[Cause]:
    """Yield by how much a sheet is turned or grown, where its marks fit so and it is too much."""
    for kind in _LIKE:
        move = fit(kind, of.marks, of.found)
        if is_small(move) or _worst(move, of.marks, of.found) > of.limit:
            continue
        if abs(move.angle) > MOST_TURN:
            yield Cause(
                f"a sheet turned by {math.degrees(move.angle):.1f}°",
                f"lay it within {math.degrees(MOST_TURN):g}° of how its pass is drawn, and measure "
                "again; nothing was written",
            )
        yield Cause(
            f"marks {move.scales[0]:.4f} times as far apart as planned",
            "a film grows or shrinks by 1 % at most: see that this is the plan's sheet, and "
            "measure again; nothing was written",
        )


def _all_off(of: Measures) -> Iterator[Cause]:
    off = residuals(fit("rigid", of.marks, of.found), of.marks, of.found)
    yield Cause(
        "residuals of "
        + ", ".join(f"{name} {value:.2f} mm" for name, value in zip(of.names, off, strict=True)),
        "lay the sheet again, or measure again; nothing was written",
    )
