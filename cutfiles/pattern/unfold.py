"""Lays a support flat: outline, holes, scores, long folds, labels and guides."""

import itertools

from cutfiles.pattern.bands import crease_score, long_folds, relief, runs, three_bands
from cutfiles.pattern.facts import facts_of
from cutfiles.pattern.flanges import (
    crease_ends,
    flange_folds,
    flange_strokes,
    flanged_outline,
    has_flanges,
    margins,
)
from cutfiles.pattern.guides import NOTE_ROOM, panel_notes, tape_guide
from cutfiles.pattern.labels import label
from cutfiles.pattern.layers import Moves, layer_moves
from cutfiles.pattern.pattern import Band, Crease, Pattern, Role, Stroke, by_role
from cutfiles.pattern.posts import post_patterns, post_ticks
from cutfiles.pattern.slots import slots
from cutfiles.pattern.ticks import stick_strokes, tick_strokes
from cutfiles.plane.moves import round_corners
from cutfiles.plane.shapes import Box, closed_path
from cutfiles.support.construct import piece_of
from cutfiles.support.constructions.outline import Piece
from cutfiles.support.standing import Support

SMALLEST_STEP = 0.01
"""The ends of the flaps are drawn in only where that is more than this, mm."""


def unfold(support: Support) -> Pattern:
    """Return the pattern of a support, book face up, head up, its lower left corner at (0, 0)."""
    profile, number, piece = support.profile, support.slip.book.number, piece_of(support)
    bands, facts = _bands(support, piece), facts_of(support)
    step = support.film.gauge * support.choices.nesting
    moves = layer_moves(profile, step)
    left, right, _ = margins(piece)
    creases = tuple(
        Crease(i, fold, left + profile.position(fold))
        for i, fold in enumerate(profile.folds, start=1)
    )
    middle = next(band for band in bands if band.layer == 0)
    spans = tuple(itertools.pairwise(left + end for end in profile.ends()))
    flanges = flange_folds(piece, middle)
    strokes = [
        *_tape(support, piece, bands, moves),
        *_labels(support, piece, spans, middle),
        *tick_strokes(support, middle),
        *stick_strokes(support, piece, middle),
        *_scores(support, piece, bands, creases, moves),
        *flange_strokes(flanges),
        *long_folds(bands, profile.length),
        *_holes(support, bands, creases, moves),
        *slots(support, bands),
        *post_ticks(piece, middle.box.left, middle.box.centre.y),
        _outline(support, piece, bands, moves),
    ]
    return Pattern(
        number=number,
        box=Box(0.0, 0.0, bands[-1].box.right + right, bands[-1].box.top + bands[0].box.bottom),
        panels=profile.panels,
        root=profile.root,
        bands=bands,
        creases=creases,
        long_folds=tuple(band.box.top for band in bands[:-1]),
        strokes=by_role(strokes),
        notes=panel_notes(profile.panels, spans, bands[0]),
        facts=facts,
        flanges=flanges,
        posts=post_patterns(number, piece, facts),
    )


def _bands(support: Support, piece: Piece) -> tuple[Band, ...]:
    """Return the bands from tail to head; the inner flap lies at the tail."""
    length, choices = support.profile.length, support.choices
    if support.film.layers == 1:
        left, _, out = margins(piece)
        return (Band("middle", 0, Box(left, out, left + length, out + support.breadth)),)
    return three_bands(
        length, support.breadth, support.film.gauge, choices.fold_gap, choices.edge_gap
    )


def _scores(
    support: Support,
    piece: Piece,
    bands: tuple[Band, ...],
    creases: tuple[Crease, ...],
    moves: Moves,
) -> list[Stroke]:
    """Return cross creases, reversed and moved on the flaps, kept off the long folds.

    In one layer they run to the bare edge.
    """
    flanged = crease_ends(piece, bands[0]) if has_flanges(piece) else ()
    strokes = []
    for crease, move in zip(creases, moves.creases, strict=True):
        for band, run in zip(bands, runs(bands, support.choices.score_gap), strict=True):
            x = crease.position + band.layer * move
            own = flanged[crease.number - 1] if flanged else run
            strokes.append(crease_score(crease, band, x, own))
    return strokes


def _holes(
    support: Support, bands: tuple[Band, ...], creases: tuple[Crease, ...], moves: Moves
) -> list[Stroke]:
    """Return a relief hole at each crossing, midway between the creases that meet there."""
    least, gauge = support.choices.relief_diameter, support.film.gauge
    if least == 0:
        return []
    strokes = []
    for lower, upper in itertools.pairwise(bands):
        flap = max(lower, upper, key=lambda band: band.layer)
        for crease, move in zip(creases, moves.creases, strict=True):
            centre = (crease.position + flap.layer * move / 2, lower.box.top)
            strokes.append(relief(crease, flap, centre, gauge, least))
    return strokes


def band_ends(band: Band, moves: Moves) -> tuple[float, float]:
    """Return the left and right end of a band, mm: a flap's ends go in to stay flush."""
    left, right = band.layer * moves.left_end, band.layer * moves.right_end
    return (
        band.box.left + (left if abs(left) > SMALLEST_STEP else 0.0),
        band.box.right + (right if abs(right) > SMALLEST_STEP else 0.0),
    )


def _outline(support: Support, piece: Piece, bands: tuple[Band, ...], moves: Moves) -> Stroke:
    """Return the outline, counter-clockwise; only its four outermost corners are free."""
    if has_flanges(piece):
        path = flanged_outline(piece, bands[0], support.choices.corner_radius)
        return Stroke(Role.OUTLINE, "outline", path)
    right: list[tuple[float, float]] = []
    left: list[tuple[float, float]] = []
    for band in bands:
        start, end = band_ends(band, moves)
        right += [(end, band.box.bottom), (end, band.box.top)]
        left += [(start, band.box.bottom), (start, band.box.top)]
    corners = _without_idle(right) + _without_idle(left)[::-1]
    count = len(_without_idle(right))
    free = frozenset({0, count - 1, count, len(corners) - 1})
    path = round_corners(closed_path(*corners), free, support.choices.corner_radius)
    return Stroke(Role.OUTLINE, "outline", path)


def _without_idle(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Leave out the points of an upright edge where it does not step aside."""
    kept = points[:1]
    for before, point, after in zip(points, points[1:], points[2:], strict=False):
        if not before[0] == point[0] == after[0]:
            kept.append(point)
    return [*kept, points[-1]]


def _tape(support: Support, piece: Piece, bands: tuple[Band, ...], moves: Moves) -> list[Stroke]:
    """Return the tape guides, on the band that lies lowest when folded: it meets other film."""
    lowest = max(bands, key=lambda band: band.layer)
    ends = [lowest.box.left + end for end in support.profile.ends()]
    ends[0], ends[-1] = band_ends(lowest, moves)
    guides = []
    for tape in support.contacts.tapes:
        i = support.profile.index(tape.panel)
        edge = lowest.box.height / 2 - piece.tape_room(i) if has_flanges(piece) else 0.0
        guides.append(tape_guide(support, tape, lowest, (ends[i], ends[i + 1]), edge))
    return guides


def _labels(
    support: Support, piece: Piece, spans: tuple[tuple[float, float], ...], middle: Band
) -> list[Stroke]:
    """Return a label a base panel, as broad as the strip is at its narrowest."""
    strokes: list[Stroke] = []
    in_by = middle.box.height / 2 - piece.narrow if has_flanges(piece) else 0.0
    top = middle.box.top - max(in_by, NOTE_ROOM if support.film.layers == 1 else 0.0)
    for panel, (left, right) in zip(support.profile.panels, spans, strict=True):
        if panel.part == "base" and panel.side:
            room = 1.5 * support.choices.adjust  # ticks stand there, if there are any
            box = Box(left + room, middle.box.bottom + in_by, right - room, top)
            strokes += label(support.slip.book.number, panel.side, box)
    return strokes
