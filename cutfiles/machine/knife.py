"""Leads a trailing knife: its pivot runs ahead of the tip, swivels at corners, and overcuts.

The tip trails the pivot by the offset d. Along a line the pivot runs d ahead; along an arc of
radius r it runs on radius √(r² + d²) about the same centre. At a corner it runs d past the vertex,
then turns about it on an arc of radius d, so that the tip stands still and the blade turns.

Source: common practice of drag-knife plotters; the geometry of a trailing wheel.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from cutfiles.pattern.pattern import Stroke
from cutfiles.plane.measure import path_length, sweep
from cutfiles.plane.parts import heading_at_end, heading_at_start, joined, part_of, turned
from cutfiles.plane.shapes import Path, Point, Segment, open_path

LEAST_SWIVEL = math.radians(15)
"""Smaller turns are left to the film, as long as the tip stays within `MOST_OFF` (common
practice, no source)."""
MOST_OFF = 0.02
"""How far off the line the tip may get, mm."""
ALIGNED = "blade aligned"
"""Name of the short cut in the waste that turns the blade before the first stroke."""


def led(
    strokes: Sequence[Stroke], offset: float, overcut: float, start: Point, heading: float = 0.0
) -> list[Stroke]:
    """Return strokes as the pivot runs them, in the order of the work.

    Args:
        strokes: as they are to come out, in order.
        offset: from pivot to tip, mm.
        overcut: how far a closed cut runs on past its start, mm.
        start: in the waste; there a short cut turns the blade before the first stroke.
        heading: of that cut, radians.

    """
    if not strokes:
        return []
    aligned = open_path(start, _ahead(start, heading, 6 * max(offset, 0.5)))
    laid = [replace(strokes[0], name=ALIGNED, path=aligned)]
    for stroke in strokes:
        path, heading = lead(stroke.path, offset, overcut, heading)
        laid.append(stroke.along(path))
    return laid


def lead(path: Path, offset: float, overcut: float, heading: float) -> tuple[Path, float]:
    """Return the pivot's way along a path, open, and the blade's heading at its end.

    Args:
        path: as it is to come out.
        offset: from pivot to tip, mm.
        overcut: how far a closed cut runs on past its start, mm.
        heading: of the blade as it is lowered, radians.

    """
    run = list(path.segments())
    if path.closed and overcut > 0:
        length = path_length(path)
        run += list(part_of(path, 0.0, min(overcut, length / 2)).segments())
    if not offset:
        return joined(run), heading_at_end(run[-1])
    way: list[Segment] = []
    for segment in run:
        out = heading_at_start(segment)
        turn = turned(heading, out)
        if abs(turn) > 1e-9 and (
            not way or abs(turn) >= LEAST_SWIVEL or offset * abs(math.sin(turn)) > MOST_OFF
        ):
            before, after = (
                _ahead(segment.start, heading, offset),
                _ahead(segment.start, out, offset),
            )
            if way:
                before = way[-1].end
            way.append(Segment(before, after, math.tan(turn / 4)))
        way.append(_led(segment, offset, way[-1].end if way else None))
        heading = heading_at_end(segment)
    return joined(way), heading


def _led(segment: Segment, offset: float, start: Point | None) -> Segment:
    """Return the pivot's way along one segment; it sweeps as far as the segment does."""
    first = start or _ahead(segment.start, heading_at_start(segment), offset)
    last = _ahead(segment.end, heading_at_end(segment), offset)
    return Segment(first, last, math.tan(sweep(segment) / 4) if segment.bulge else 0.0)


def _ahead(place: Point, heading: float, offset: float) -> Point:
    return Point(place.x + offset * math.cos(heading), place.y + offset * math.sin(heading))
