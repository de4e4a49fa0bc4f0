"""Corrects a pass by marks measured after the sheet was turned or fed; or says what is wrong.

Wrong turns, exchanged marks and one bad mark are told apart by what would explain the measures.
"""

import csv
import io
import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import get_args

from cutfiles.errors import AlignError, FileError, ReadingError, shown
from cutfiles.machine.fit import Kind, Move, best_fit, fit, residuals
from cutfiles.machine.passes import Mark, Pass
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import Point
from cutfiles.units import read_length

GOOD = 0.1
"""A residual that is good enough for the simplest move, mm (common practice, no source)."""
LIMIT = 0.3
"""A larger residual is refused, mm (common practice, no source)."""
_ALIGNED, _MOVE = "aligned", "alignment"  # what an aligned pass says of itself
MOST_TURN = math.radians(10)
MOST_GROWTH = 0.01


@dataclass(frozen=True, slots=True)
class Alignment:
    """How a sheet was found to lie.

    Attributes:
        move: from where the pass expects the sheet to where it lies.
        residuals: mark to how far it is from where the move brings it, mm.

    """

    move: Move
    residuals: Mapping[str, float]


def read_marks(text: str, source: str = "marks") -> dict[str, Point]:
    """Return mark and place of a CSV with the columns mark, x, y; bare numbers are mm.

    Raises:
        FileError: there are no such columns, or a number cannot be read; row and column are told.

    """
    delimiter = ";" if ";" in text.partition("\n")[0] else ","
    rows = list(csv.reader(io.StringIO(text.lstrip("\ufeff")), delimiter=delimiter))
    head = [cell.strip().lower() for cell in rows[0]] if rows else []
    if not {"mark", "x", "y"} <= set(head):
        raise FileError(
            f'the columns "{", ".join(head)}"',
            "measured marks have mark, x and y",
            "write them in the first row",
            source,
        )
    found: dict[str, Point] = {}
    for number, row in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in row):
            continue
        cells = dict(zip(head, row, strict=False))
        name = cells.get("mark", "").strip()
        if name in found:
            raise FileError(
                f'"{name}" a second time',
                "each mark stands once",
                "take one of the two out",
                f"{source}, row {number}",
            )
        try:
            found[name] = Point(
                read_length(cells.get("x", ""), "mm"), read_length(cells.get("y", ""), "mm")
            )
        except ReadingError as error:
            fault = error.fault
            raise FileError(
                fault.found, fault.needed, fault.remedy, f"{source}, row {number}, mark {name}"
            ) from None
    return found


def align(one: Pass, measured: Mapping[str, Point], limit: float = LIMIT) -> Alignment:
    """Return how a sheet lies, from its marks.

    Args:
        one: the pass to be corrected.
        measured: mark to where it was measured, mm, on the pass's sheet.
        limit: largest residual allowed, mm.

    Raises:
        AlignError: too few marks, or they do not fit; names the wrong turn, the exchanged marks or
            the bad mark, where one of these explains the measures.

    """
    named = {mark.name: mark.at for mark in one.marks}
    strangers = [name for name in measured if name not in named]
    if strangers or len(measured) < 3:
        raise AlignError(
            f'a mark "{strangers[0]}"' if strangers else f"{len(measured)} marks",
            f"at least three of: {', '.join(named)}",
            "measure the pin holes or crosses again and name them so",
            one.name,
        )
    names = [name for name in named if name in measured]
    marks, found = [named[name] for name in names], [measured[name] for name in names]
    move = best_fit(marks, found, GOOD)
    off = residuals(move, marks, found)
    if max(off) > limit or not _is_small(move):
        raise AlignError(
            _what_is_wrong(one, names, marks, found, limit),
            f"every mark within {limit:g} mm of where a turn and a shift bring it",
            "lay the sheet again, or measure again; nothing was written",
            one.name,
        )
    return Alignment(move, dict(zip(names, off, strict=True)))


def aligned(one: Pass, alignment: Alignment) -> Pass:
    """Return the pass corrected for how the sheet lies."""
    move, worst = alignment.move, max(alignment.residuals.values())
    numbers = " ".join(repr(n) for n in (move.a, move.b, move.c, move.d, move.e, move.f))
    return _moved(
        one,
        move,
        {_ALIGNED: f"{move.kind}, worst residual {worst:.3f} mm", _MOVE: f"{move.kind} {numbers}"},
    )


def aligned_again(one: Pass, facts: Mapping[str, str], source: str) -> Pass:
    """Return the pass corrected as the facts of an aligned file say.

    Args:
        one: the pass as it was planned.
        facts: what the file states.
        source: how messages call the file.

    Raises:
        FileError: the file does not say how it was aligned, or says what no sheet lies like.

    """
    kind, *words = facts.get(_MOVE, "").split() or [""]
    try:
        numbers = [float(word) for word in words]
        known = next(k for k in get_args(Kind) if k == kind)
        move = Move(known, *numbers)
    except (ValueError, TypeError, StopIteration):
        move = None
    if move is None or not _is_small(move):
        raise FileError(
            f"an alignment {shown(facts.get(_MOVE, ''))}",
            "an aligned pass says by how much it was turned and shifted",
            "align the pass again",
            source,
        )
    return _moved(one, move, {_ALIGNED: facts.get(_ALIGNED, ""), _MOVE: facts[_MOVE]})


def _is_small(move: Move) -> bool:
    """Whether a sheet can come to lie so by itself: hardly turned, hardly grown, not mirrored."""
    return (
        abs(move.angle) <= MOST_TURN
        and all(abs(s - 1) <= MOST_GROWTH for s in move.scales)
        and move.a * move.d - move.b * move.c > 0
    )


def _moved(one: Pass, move: Move, said: Mapping[str, str]) -> Pass:
    """Return a pass moved, with what its sheet says of it."""
    drawing = one.drawing
    strokes = tuple(replace(s, path=move.path(s.path)) for s in drawing.strokes)
    facts = [fact for fact in drawing.facts if fact[0] not in said]
    facts[-1:-1] = said.items()
    box = box_of(stroke.path for stroke in strokes)
    if box.left < 0 or box.bottom < 0:
        raise AlignError(
            f"a sheet that lies {-min(box.left, box.bottom):.1f} mm beyond the bed's corner",
            "all work lies on the bed",
            "lay the sheet further in, and measure again",
            one.name,
        )
    return replace(
        one,
        drawing=replace(
            drawing,
            strokes=strokes,
            notes=tuple(replace(note, at=move.point(note.at)) for note in drawing.notes),
            width=max(drawing.width, math.ceil(box.right)),
            height=max(drawing.height, math.ceil(box.top)),
            facts=tuple(facts),
        ),
        marks=tuple(Mark(mark.name, move.point(mark.at)) for mark in one.marks),
    )


def _what_is_wrong(
    one: Pass, names: list[str], marks: list[Point], found: list[Point], limit: float
) -> str:
    """Return what explains the measures: a wrong turn, exchanged marks, one bad mark."""

    def fits(of: Sequence[Point], to: Sequence[Point]) -> bool:
        move = fit("rigid", of, to)
        return abs(move.angle) <= MOST_TURN and max(residuals(move, of, to)) <= limit

    w, h = one.drawing.width, one.drawing.height
    turns = {
        "turned over about the other axis, or by half a turn": [
            Point(w - p.x, h - p.y) for p in marks
        ],
        "not turned over, or turned over twice": [Point(w - p.x, p.y) for p in marks],
        "turned over the other way and not laid right": [Point(p.x, h - p.y) for p in marks],
    }
    for said, places in turns.items():
        if fits(places, found):
            return f"marks as on a sheet {said}"
    for i, j in itertools.combinations(range(len(names)), 2):
        order = list(range(len(names)))
        order[i], order[j] = j, i
        if fits(marks, [found[k] for k in order]):
            return f"{names[i]} and {names[j]} exchanged"
    if len(names) > 3:
        alone = []
        for k, name in enumerate(names):
            rest = [i for i in range(len(names)) if i != k]
            few, those = [marks[i] for i in rest], [found[i] for i in rest]
            if fits(few, those):
                off = residuals(fit("rigid", few, those), [marks[k]], [found[k]])[0]
                alone.append(f"one bad mark: {name} is {off:.2f} mm off where the others bring it")
        if len(alone) == 1:
            return alone[0]
    all_off = residuals(fit("rigid", marks, found), marks, found)
    return "residuals of " + ", ".join(
        f"{name} {value:.2f} mm" for name, value in zip(names, all_off, strict=True)
    )
