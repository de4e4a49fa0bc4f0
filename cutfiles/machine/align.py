"""Corrects a pass by marks measured after the sheet was turned or fed; or says what is wrong."""

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import get_args

from cutfiles.dataclass import dataclass
from cutfiles.errors import AlignError, FileError, shown
from cutfiles.machine.cutter import Shows
from cutfiles.machine.fit import Kind, Move, best_fit, fit, residuals
from cutfiles.machine.lying import NEEDED_MARKS, Measures, is_small, what_is_wrong
from cutfiles.machine.passes import Mark, Pass
from cutfiles.machine.place import SEEN, Axes
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import Point

GOOD = 0.02
"""A residual at which no further move is tried, mm (common practice, no source)."""
LIMIT = 0.3
"""A larger residual is refused, mm (common practice, no source)."""
_ALIGNED, _MOVE = "aligned", "alignment"  # what an aligned pass says of itself


@dataclass(frozen=True, slots=True)
class Alignment:
    """How a sheet was found to lie.

    Attributes:
        move: from where the pass expects the sheet to where it lies.
        residuals: mark to how far it is from where the move brings it, mm.
        measured: mark to where it was measured, mm, on the pass's sheet.

    """

    move: Move
    residuals: Mapping[str, float]
    measured: Mapping[str, Point]


def align(
    one: Pass,
    measured: Mapping[str, Point],
    limit: float = LIMIT,
    axes: Axes = SEEN,
    unit: Shows = "mm",
) -> Alignment:
    """Return how a sheet lies, from its marks.

    Args:
        one: the pass to be corrected.
        measured: mark to where it was measured, mm, on the pass's sheet.
        limit: largest residual allowed, mm.
        axes: by which the machine's places were read, for what is said of wrong ones.
        unit: in which they were read.

    Raises:
        AlignError: too few marks, or they do not fit; names the wrong turn, the exchanged marks or
            the bad mark, where one of these explains the measures.

    """
    named = {mark.name: mark.at for mark in one.marks}
    strangers = [name for name in measured if name not in named]
    if strangers or len(measured) < NEEDED_MARKS:
        raise AlignError(
            f'a mark "{strangers[0]}"' if strangers else f"{len(measured)} marks",
            f"at least three of: {', '.join(named)}",
            "measure the pin holes or crosses again and name them so",
            one.name,
        )
    found = lying(one, measured)
    if max(found.residuals.values()) > limit or not is_small(found.move):
        names = [*found.residuals]
        places = [measured[name] for name in names]
        wrong = Measures(names, [named[name] for name in names], places, limit, axes, unit)
        cause = what_is_wrong(wrong)
        raise AlignError(
            cause.found,
            f"every mark within {limit:g} mm of where a turn and a shift bring it",
            cause.remedy,
            one.name,
        )
    return found


def lying(one: Pass, measured: Mapping[str, Point], *, rigid: bool = False) -> Alignment:
    """Return where the marks that were measured bring a sheet, however badly they fit.

    Args:
        one: the pass.
        measured: mark to where it was measured, mm, on the pass's sheet.
        rigid: by a turn and a shift alone: a bad mark then stands out by itself.

    """
    named = {mark.name: mark.at for mark in one.marks}
    names = [name for name in named if name in measured]
    marks, found = [named[name] for name in names], [measured[name] for name in names]
    move = fit("rigid", marks, found) if rigid else best_fit(marks, found, GOOD)
    off = residuals(move, marks, found)
    return Alignment(move, dict(zip(names, off, strict=True)), dict(measured))


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
    if move is None or not is_small(move):
        raise FileError(
            f"an alignment {shown(facts.get(_MOVE, ''))}",
            "an aligned pass says by how much it was turned and shifted",
            "align the pass again",
            source,
        )
    return _moved(one, move, {_ALIGNED: facts.get(_ALIGNED, ""), _MOVE: facts[_MOVE]})


def _moved(one: Pass, move: Move, said: Mapping[str, str]) -> Pass:
    """Return a pass moved, with what its sheet says of it."""
    drawing = one.drawing
    strokes = tuple(s.along(move.path(s.path)) for s in drawing.strokes)
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
