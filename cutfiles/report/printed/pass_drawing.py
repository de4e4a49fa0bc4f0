"""The drawings of the pass card: a pass as it lies on the bed, where on the bed, how turned."""

import math
from collections.abc import Callable

from cutfiles.machine.cutter import Bed, Toward
from cutfiles.machine.passes import CutPlan, Pass, scale_check
from cutfiles.machine.place import origin_of, seen_point
from cutfiles.machine.plan import lie_of
from cutfiles.machine.turning import Lie, moved
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import chords
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import Box
from cutfiles.report.pictures.canvas import CAPITAL, DESCENT
from cutfiles.report.pictures.naming import name_box, outline_of
from cutfiles.report.printed.bench_drawings import DASHES
from cutfiles.report.printed.paper import DASHED, PALE, SOFT, Paper
from cutfiles.report.script import width_of

At = Callable[[tuple[float, float]], tuple[float, float]]
"""From a place of the pass's sheet to a place on the page."""
Places = list[tuple[float, float]]
_WIDTHS = {Role.LABEL: 0.1, Role.REGISTRATION: 0.2}
_NAME = 2.5
_BESIDE = 4.0
"""So far beside the sheet a name may stand, mm."""
_LETTER = 2.6


def pass_drawing(page: Paper, plan: CutPlan, one: Pass, box: Box) -> None:
    """Draw a pass as it lies on the bed: its work dark, the rest of the sheet pale; marks named.

    Between the two marks that lie furthest apart stands their distance.
    """
    lie = lie_of(plan, one)
    sheet, scale = _within(box, *lie.size)

    def at(place: tuple[float, float]) -> tuple[float, float]:
        return (sheet.left + scale * place[0], sheet.bottom + scale * (place[1] + one.bottom))

    page.box_line(sheet, width=0.35)
    drawn: list[Places] = []
    for stroke in moved(plan.drawing.strokes, lie):
        if stroke.role is not Role.GUIDE:
            places = [at(p) for p in chords(shift(stroke.path, 0.0, -one.bottom), 0.1)]
            drawn.append(_whole(places, stroke))
            if stroke.role is not Role.LABEL:
                _line(page, places, stroke, pale=True)
    for stroke in one.drawing.strokes:
        places = [at(p) for p in chords(stroke.path, 0.1)]
        drawn.append(_whole(places, stroke))
        _line(page, places, stroke, pale=False)
    drawn += [outline_of(sheet), *_head(page, lie, sheet)]
    if one.frames > 1:
        drawn += _frame(page, one, at, sheet)
    _marks(page, one, at, sheet, drawn)


def _within(box: Box, width: float, height: float) -> tuple[Box, float]:
    """Return the largest box of this shape in the middle of another, and its scale."""
    scale = min(box.width / width, box.height / height)
    left = box.left + (box.width - width * scale) / 2
    low = box.bottom + (box.height - height * scale) / 2
    return Box(left, low, left + width * scale, low + height * scale), scale


def _whole(places: Places, stroke: Stroke) -> Places:
    """Return all that is drawn of a stroke, its closing side too."""
    return [*places, places[0]] if stroke.path.closed else places


def _line(page: Paper, places: list[tuple[float, float]], stroke: Stroke, *, pale: bool) -> None:
    page.line(
        places,
        width=0.2 if pale else _WIDTHS.get(stroke.role, 0.35),
        dashes=() if pale else DASHES.get(stroke.role, ()),
        closed=stroke.path.closed,
        grey=PALE if pale else 0.0,
    )


def _frame(page: Paper, one: Pass, at: At, sheet: Box) -> list[Places]:
    """Draw the part of the sheet worked without moving the film, its number beside the sheet.

    Return what is drawn there.
    """
    low, high = at((0.0, 0.0)), at((one.drawing.width, one.drawing.height))
    page.box_line(Box(*low, *high), width=0.5, dashes=DASHED)
    across = abs(high[0] - low[0]) < sheet.width - 0.1  # frames lie side by side
    beside = (sheet.right + _NAME + 0.8, (low[1] + high[1]) / 2)
    over = ((low[0] + high[0]) / 2, sheet.top + 0.8)
    place, said = over if across else beside, f"frame {one.frame}"
    page.text(place, said, _NAME, bold=True, anchor="middle", upright=not across)
    word = _word_box(place, said, upright=not across)
    return [outline_of(Box(*low, *high)), outline_of(word)]


def _word_box(at: tuple[float, float], said: str, *, upright: bool) -> Box:
    """Return the room of a word whose middle stands at a place."""
    half, (x, y) = width_of(said, _NAME, bold=True) / 2, at
    if upright:  # it is read from the right
        return Box(x - _NAME, y - half, x + DESCENT * _NAME, y + half)
    return Box(x - half, y - DESCENT * _NAME, x + half, y + _NAME)


def _marks(page: Paper, one: Pass, at: At, sheet: Box, drawn: list[Places]) -> None:
    """Draw the marks with their names off every line, and the distance to measure.

    A name stands beside the sheet where that is nearer to its mark.
    """
    apart = scale_check(one)
    if apart is not None:
        ends = [mark.at for mark in one.marks if mark.name in (apart.first, apart.second)]
        a, b = (at(end) for end in ends[:2])
        page.line([a, b], width=0.15, dashes=(1.2, 1.2), grey=SOFT)
        drawn.append([a, b])
    for mark in one.marks:
        x, y = at(mark.at)
        for dx, dy in ((1.8, 0.0), (0.0, 1.8)):
            arm = [(x - dx, y - dy), (x + dx, y + dy)]
            page.line(arm, width=0.3)
            drawn.append(arm)
        page.ring((x, y), 0.9, "")
    for mark in one.marks:
        _name(page, mark.name, _NAME, at(mark.at), drawn, sheet)


def _name(
    page: Paper, said: str, size: float, place: tuple[float, float], drawn: list[Places], box: Box
) -> None:
    """Write a name off every line, in a box or close beside it; from then on it is drawn too."""
    left, low, right, top = box
    room = Box(left - _BESIDE, low - _BESIDE, right + _BESIDE, top + _BESIDE)
    wide, tall = width_of(said, size, bold=True), (CAPITAL + DESCENT) * size
    found = name_box(place, wide, tall, drawn, room)
    drawn.append(outline_of(found))
    page.text((found.left, found.bottom + DESCENT * size), said, size, bold=True)


_TOLD: dict[Toward, str] = {
    "up": "away from you",
    "down": "towards you",
    "left": "to your left",
    "right": "to your right",
}


def head_told(lie: Lie) -> str:
    """Return where the head of the sheet lies, as one stands before the machine."""
    return _TOLD[lie.head]


def _head(page: Paper, lie: Lie, box: Box) -> list[Places]:
    """Draw an arrow outside of the sheet towards its head; return what is drawn there."""
    x, y = box.left - 3.5, box.bottom - 3.5
    middle = box.centre
    ends = {
        "up": ((x, middle.y - 7.0), (x, middle.y + 7.0)),
        "down": ((x, middle.y + 7.0), (x, middle.y - 7.0)),
        "left": ((middle.x + 7.0, y), (middle.x - 7.0, y)),
        "right": ((middle.x - 7.0, y), (middle.x + 7.0, y)),
    }[lie.head]
    page.arrow(ends)
    upright = not lie.quarter
    at = (x - 1.2, middle.y) if upright else (middle.x, y - 3.4)
    page.text(at, "head", _NAME, anchor="middle", upright=upright)
    return [list(ends), outline_of(_word_box(at, "head", upright=upright))]


def bed_drawing(page: Paper, plan: CutPlan, one: Pass, box: Box) -> None:
    """Draw the bed from above: what the tool reaches, the sheet on it, origin and axes."""
    bed = plan.cutter.bed
    whole, scale = _within(box, bed.width, bed.length)

    def at(place: tuple[float, float]) -> tuple[float, float]:
        x, y = (part + bed.margin for part in place)
        return (whole.left + scale * x, whole.bottom + scale * y)

    page.box_line(whole, width=0.3)
    sheet = one.drawing
    reach, laid = (
        Box(*at((0.0, 0.0)), *at(far)) for far in (bed.reach, (sheet.width, sheet.height))
    )
    page.box_line(reach, width=0.15, dashes=DASHED)
    page.box_line(laid, fill=PALE)
    drawn = [outline_of(box) for box in (whole, reach, laid)]
    _axes(page, bed, at, drawn, whole)


def _axes(page: Paper, bed: Bed, at: At, drawn: list[Places], box: Box) -> None:
    """Draw the machine's origin and axes, their letters off every line."""
    origin, size = origin_of(bed), max(bed.width, bed.length)
    page.ring(at(origin), 0.9, "")
    named = [("0", at(origin))]
    for i, letter in enumerate("xy"):
        step = (size * 0.3, 0.0) if i == 0 else (0.0, size * 0.3)
        tip = seen_point(step, bed)
        a, b = at(origin), at(tip)
        span = math.hypot(b[0] - a[0], b[1] - a[1])
        ux, uy = (b[0] - a[0]) / span, (b[1] - a[1]) / span
        start = (a[0] + 0.9 * ux, a[1] + 0.9 * uy)
        end = (a[0] + 9.0 * ux, a[1] + 9.0 * uy)
        page.arrow([start, end], width=0.3)
        drawn.append([a, end])
        named.append((letter, end))
    for letter, place in named:
        _name(page, letter, _LETTER, place, drawn, box)


def turn_drawing(page: Paper, lie: Lie, box: Box) -> None:
    """Draw how the sheet is turned over: its axis dashed, an arrow over it, the head before."""
    w, h = lie.size
    scale = min((box.width - 8.0) / w, (box.height - 12.0) / h)
    cx, cy = box.centre
    half_w, half_h = w * scale / 2, h * scale / 2
    page.box_line(Box(cx - half_w, cy - half_h, cx + half_w, cy + half_h), fill=PALE, width=0.3)
    standing = (lie.turn == "left to right") != lie.quarter  # the axis it is turned about
    if standing:
        page.line([(cx, cy - half_h - 3.0), (cx, cy + half_h + 3.0)], dashes=DASHED)
    else:
        page.line([(cx - half_w - 3.0, cy), (cx + half_w + 3.0, cy)], dashes=DASHED)
    rise = min(7.0, 0.35 * min(box.width, box.height))
    span = max(6.0, 0.6 * (half_w if standing else half_h))
    arc = [math.pi * (1 - i / 12) for i in range(13)]
    if standing:
        bow = [(cx + span * math.cos(t), cy + rise * math.sin(t)) for t in arc]
    else:
        bow = [(cx + rise * math.sin(t), cy - span * math.cos(t)) for t in arc]
    page.arrow(bow, width=0.6, head=2.4)
