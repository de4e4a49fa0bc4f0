"""Hems, lips and end hems laid flat: their fold lines, and the outline that they need."""

import math
from collections.abc import Iterator, Sequence

from cutfiles.pattern.pattern import Band, FlangeFold, Role, Stroke
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import Path, open_path
from cutfiles.support.construct import flange_name
from cutfiles.support.constructions import hems, lips
from cutfiles.support.constructions.corners import Corner, rounded
from cutfiles.support.constructions.outline import Piece, outline, scores
from cutfiles.support.constructions.strip import DEPTH, END_RADIUS

_LONGEST_CUT = 2.5
"""A corner that turns by 135° or less is rounded within this many times its radius."""


def has_flanges(piece: Piece) -> bool:
    """Whether a piece has hems or lips, and an outline of its own."""
    return bool(piece.flanges or piece.end_hems)


def margins(piece: Piece) -> tuple[float, float, float]:
    """Return how far flanges reach beyond the finished strip: left, right, head and tail, mm."""
    outs = {one.out for one in piece.end_hems}
    return (
        DEPTH if -1 in outs else 0.0,
        DEPTH if 1 in outs else 0.0,
        DEPTH if has_flanges(piece) else 0.0,
    )


def flanged_outline(piece: Piece, band: Band, radius: float) -> Path:
    """Return the outline of a piece with flanges where its band lies.

    Ends and steps are rounded by the radius chosen, or by as much of it as there is room for: no
    rounding runs into another one, or past a crease.
    """
    corners = outline(piece)
    creases = [crease.x for crease in piece.strip.creases()]
    fitted = [
        one._replace(radius=min(radius, _room(corners, i), *(abs(x - one.x) for x in creases)))
        if one.radius == END_RADIUS
        else one
        for i, one in enumerate(corners)
    ]
    return shift(rounded(fitted), band.box.left, band.box.centre.y)


def _room(corners: Sequence[Corner], at: int) -> float:
    """Return how far a square corner may be rounded: a neighbour takes its own, or half, mm."""
    own = corners[at]
    found = []
    for other in (corners[at - 1], corners[(at + 1) % len(corners)]):
        length = math.dist(own[:2], other[:2])
        shared = other.radius == END_RADIUS
        found.append(length / 2 if shared else length - _LONGEST_CUT * other.radius)
    return max(0.0, min(found))


def flange_folds(piece: Piece, band: Band) -> tuple[FlangeFold, ...]:
    """Return the fold lines of hems and lips, from left to right, tail before head."""
    return tuple(_folds(piece, band))


def _folds(piece: Piece, band: Band) -> Iterator[FlangeFold]:
    left = band.box.left
    for one in piece.flanges:
        for end, y in (("tail", band.box.bottom), ("head", band.box.top)):
            path = open_path((left + one.start, y), (left + one.end, y))
            name = flange_name(piece, one.first, one.kind, end)
            angle = hems.FOLD if one.kind == "hem" else lips.FOLD
            yield FlangeFold(name, one.kind, piece.strip.panels[one.first].name, angle, path)
    for last in piece.end_hems:
        x, middle = left + last.x, band.box.centre.y
        path = open_path((x, middle - last.half), (x, middle + last.half))
        name = flange_name(piece, last.panel, "hem", "end")
        yield FlangeFold(name, "hem", piece.strip.panels[last.panel].name, hems.FOLD, path)


def crease_ends(piece: Piece, band: Band) -> tuple[tuple[float, float], ...]:
    """Return from where to where each cross crease runs, mm: to the bare edge."""
    middle = band.box.centre.y
    return tuple((middle - one.half, middle + one.half) for one in scores(piece))


def flange_strokes(folds: tuple[FlangeFold, ...]) -> list[Stroke]:
    """Return the fold lines as scores: all are mountains."""
    return [Stroke(Role.MOUNTAIN, one.name, one.path, of=one.name, band="middle") for one in folds]
