"""Splits a pass longer than the bed into frames that join without a step.

A seam lies where only straight scores and cuts run through, clear of creases along it, of holes,
labels and corners. Two crosses by the seam, one on each side and not at one height, are made with
the first frame and found again with the next. Cuts run on past the seam by a little, scores not.
"""

import itertools
from collections.abc import Sequence

from cutfiles.dataclass import dataclass
from cutfiles.errors import FormatError
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of, path_length, point_along, segment_length
from cutfiles.plane.moves import shift
from cutfiles.plane.parts import part_of
from cutfiles.plane.shapes import Path, Point, open_path

CLEAR = 3.0
"""How far a seam keeps off whatever does not run straight through it, mm."""
ROOM = 12.0
"""What two frames have in common on each side of a seam, mm: room for the marks."""
OVERRUN = 0.2
"""How far a cut runs on past the seam, mm: no bridge of film is left there."""
_ARM = 3.0
_LEAST = 40.0


@dataclass(frozen=True, slots=True)
class Frame:
    """What is worked without moving the film.

    Attributes:
        bottom: of the frame on the whole pass, mm.
        top: of the frame, mm.
        strokes: what is worked, on the frame.
        found: crosses of the frame before, on the frame.

    """

    bottom: float
    top: float
    strokes: tuple[Stroke, ...]
    found: tuple[Stroke, ...]


def frames_of(
    strokes: Sequence[Stroke], width: float, height: float, reach: float
) -> tuple[Frame, ...]:
    """Return the frames of a pass, from the front backwards.

    Args:
        strokes: all that is worked in the pass, as it lies.
        width: of the pass's sheet, mm.
        height: of the sheet, mm.
        reach: how long a frame may be, mm.

    Raises:
        FormatError: there is no place for a seam.

    """
    if height <= reach:
        return (Frame(0.0, height, tuple(strokes), ()),)
    seams = _seams(strokes, height, reach)
    edges = [0.0, *seams, height]
    frames = []
    for i, (low, high) in enumerate(itertools.pairwise(edges)):
        bottom = low - (ROOM if i else 0.0)
        top = high + (ROOM if i < len(seams) else 0.0)
        work = [piece for stroke in strokes for piece in _within(stroke, low, high, height)]
        work += _crosses(i + 1, high, width) if i < len(seams) else []
        found = _crosses(i, low, width) if i else []
        frames.append(Frame(bottom, top, _down(work, bottom), _down(found, bottom)))
    return tuple(frames)


def _down(strokes: Sequence[Stroke], bottom: float) -> tuple[Stroke, ...]:
    return tuple(s.along(shift(s.path, 0.0, -bottom)) for s in strokes)


def _seams(strokes: Sequence[Stroke], height: float, reach: float) -> list[float]:
    """Return the heights of the seams, each as far on as the bed and the work allow."""
    closed = _taken(strokes)
    seams: list[float] = []
    start = 0.0
    while height - start > reach:
        place = start + reach - ROOM
        while any(low < place < high for low, high in closed):
            place -= 0.5
        if place < start + _LEAST:
            raise FormatError(
                f"no seam between {start:.0f} and {start + reach:.0f} mm",
                f"a place {2 * CLEAR:g} mm wide without creases along it, holes, labels or corners",
                "use a longer bed, or turn the support's film by a quarter",
                "frames",
            )
        seams.append(place)
        start = place - ROOM
    return seams


def _taken(strokes: Sequence[Stroke]) -> list[tuple[float, float]]:
    """Return the heights a seam keeps off: all of small things, the ends of straight lines."""
    taken = []
    for stroke in strokes:
        if stroke.role in (Role.HOLES, Role.LABEL, Role.REGISTRATION):
            box = box_of([stroke.path])
            taken.append((box.bottom - CLEAR, box.top + CLEAR))
            continue
        for segment in stroke.path.segments():
            low, high = sorted((segment.start.y, segment.end.y))
            level = abs(segment.end.x - segment.start.x) > 0.2 * (high - low)
            if level or segment.bulge:
                box = box_of([open_path(segment.start, segment.end)])
                taken.append((box.bottom - CLEAR, box.top + CLEAR))
            else:
                taken += [(low - CLEAR, low + CLEAR), (high - CLEAR, high + CLEAR)]
    return taken


def _within(stroke: Stroke, low: float, high: float, height: float) -> list[Stroke]:
    """Return the parts of a stroke between two heights; cuts run on past a seam."""
    path = stroke.path
    places = sorted({t for y in (low, high) if 0 < y < height for t in _meets(path, y)})
    middle = box_of([path]).centre.y
    if not places:
        return [stroke] if low <= middle < high else []
    length = path_length(path)
    if path.closed:
        spans = list(zip(places, [*places[1:], places[0] + length], strict=True))
    else:
        spans = list(zip([0.0, *places], [*places, length], strict=True))
    over = OVERRUN if stroke.role is Role.OUTLINE else 0.0
    parts = []
    for start, end in spans:
        if end - start < 1e-9 or not low <= _at(path, (start + end) / 2).y <= high:
            continue
        before = over if start > 0 or path.closed else 0.0
        after = over if end < length or path.closed else 0.0
        if path.closed and start < before:
            start, end = start + length, end + length
        parts.append(stroke.along(part_of(path, start - before, end + after)))
    return parts


def _meets(path: Path, y: float) -> list[float]:
    """Return where a path crosses a height: distances along it, mm."""
    found, at = [], 0.0
    for segment in path.segments():
        a, b = segment.start.y, segment.end.y
        length = segment_length(segment)
        if segment.bulge == 0 and (a - y) * (b - y) < 0:
            found.append(at + length * (y - a) / (b - a))
        at += length
    return found


def _at(path: Path, along: float) -> Point:
    length = path_length(path)
    along = along % length if path.closed else along
    for segment in path.segments():
        span = segment_length(segment)
        if along <= span:
            return point_along(segment, along / span if span else 0.0)
        along -= span
    return path.points[-1]


def _crosses(number: int, seam: float, width: float) -> list[Stroke]:
    """Return two crosses by a seam, one in each margin, not at one height."""
    strokes = []
    for i, (x, y) in enumerate(((5.0, seam - 5.0), (width - 5.0, seam + 4.0)), 1):
        name = f"cross seam {number}.{i}"
        for path in (
            open_path((x - _ARM, y), (x + _ARM, y)),
            open_path((x, y - _ARM), (x, y + _ARM)),
        ):
            strokes.append(Stroke(Role.REGISTRATION, name, path, "mark"))
    return strokes
