"""Perforation as real cuts: whole dashes, a solid land at each end and at every crossing."""

import itertools
from collections.abc import Mapping, Sequence

from cutfiles.errors import FormatError
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import chords, distance, path_length, point_along
from cutfiles.plane.parts import crossings, inside, part_of
from cutfiles.plane.shapes import Path, Point, Segment

_SCORES = (Role.VALLEY, Role.MOUNTAIN)


def perforate(
    strokes: Sequence[Stroke], dash: float, land: float, lands: Mapping[str, float] | None = None
) -> tuple[Stroke, ...]:
    """Return the strokes with every score cut into dashes.

    Args:
        strokes: all that is worked on the sheet: scores may not be parted where they cross.
        dash: length of a cut, mm.
        land: least film left between two cuts, at the ends and at crossings, mm.
        lands: name of a score to a land of its own, mm.

    Raises:
        FormatError: a score is too short for a single dash.

    """
    laid: list[Stroke] = []
    for stroke in strokes:
        if stroke.role not in _SCORES:
            laid.append(stroke)
            continue
        own = (lands or {}).get(stroke.name, land)
        pieces = dashes(stroke.path, stops_on(stroke, strokes), dash, own)
        if not pieces:
            raise FormatError(
                f"{stroke.name}, a score of {path_length(stroke.path):.1f} mm",
                f"a dash of {dash:g} mm with lands of {land:g} mm at both ends",
                "write a shorter dash and land in the profile",
                stroke.role.value,
            )
        laid += [stroke.along(piece) for piece in pieces]
    return tuple(laid)


def dashes(path: Path, stops: Sequence[tuple[float, bool]], dash: float, land: float) -> list[Path]:
    """Return the dashes of one straight score.

    Between two stops as many whole dashes as fit are spread evenly, so that the film between them,
    and between them and the stops, is equal and at least the land.

    Args:
        path: open, straight.
        stops: distances along it where it meets something, mm, and whether what follows is a hole.
        dash: length of a cut, mm.
        land: least film between two cuts, mm.

    """
    pieces = []
    for (low, hole), (high, _) in itertools.pairwise(stops):
        room = high - low
        count = 0 if hole else int((room - land + 1e-9) // (dash + land))
        if count < 1:
            continue
        gap = (room - count * dash) / (count + 1)
        for i in range(count):
            start = low + gap + i * (dash + gap)
            pieces.append(part_of(path, start, start + dash))
    return pieces


def stops_on(stroke: Stroke, strokes: Sequence[Stroke]) -> list[tuple[float, bool]]:
    """Return where a score begins, meets other work, and ends, and whether a hole follows."""
    (line,) = stroke.path.segments()
    length = distance(line.start, line.end)
    places = {0.0, length}
    holes = []
    for other in strokes:
        if other is stroke or other.role not in (*_SCORES, Role.HOLES, Role.OUTLINE):
            continue
        if other.role is Role.HOLES and other.path.closed:
            holes.append(chords(other.path, 0.05))
        for segment in other.path.segments():
            places.update(min(max(t, 0.0), length) for t in crossings(line, segment, 0.05))
    ordered = sorted(places)
    kept = [ordered[0]]
    for place in ordered[1:]:
        if place - kept[-1] > 1e-6:
            kept.append(place)
    return [
        (low, _in_hole(line, (low + high) / 2 / length, holes))
        for low, high in zip(kept, [*kept[1:], kept[-1]], strict=True)
    ]


def _in_hole(line: Segment, share: float, holes: list[tuple[Point, ...]]) -> bool:
    place = point_along(line, min(share, 1.0))
    return any(inside(place, hole) for hole in holes)
