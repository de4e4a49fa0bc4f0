"""How a sheet was found to lie: its marks where they should be and where they were measured."""

import math

from cutfiles.machine.align import Alignment
from cutfiles.machine.passes import Pass
from cutfiles.pattern.pattern import COLOURS, Role
from cutfiles.plane.measure import chords
from cutfiles.plane.shapes import Box, rectangle
from cutfiles.report.pictures.canvas import INK, PALE, SOFT, Canvas, Place, fitted

_ROOM = Box(18.0, 30.0, 205.0, 198.0)
"""Where the sheet is drawn on the page, mm, y down."""
_COLUMN = 218.0
_LONGEST = 9.0
"""How long the largest residual is drawn, mm, where that is larger than it is."""
_FACTORS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


def alignment_picture(one: Pass, found: Alignment, number: str, *, refused: bool = False) -> bytes:
    """Return how a sheet was found to lie, as SVG: turn, shift and size, each mark's residual.

    Grey, where the pass expected it; black, where it lies. Residuals are drawn longer than they
    are, by a factor that stands beside them.

    Args:
        one: the pass as it was planned.
        found: how its sheet lies.
        number: of the support or sheet.
        refused: the marks do not fit, and nothing is corrected by them.

    """
    title = f"{number}, {one.name}: how the sheet lies"
    if refused:
        title = f"{number}, {one.name}: REFUSED, its marks do not fit"
    page = Canvas(title, "marks where they should be, where they were measured, and what is left")
    page.text((15, 17), fitted(title, 265, 6), size=6, bold=True)
    at = _scale(one, found)
    _sheets(page, one, found, at)
    _marks(page, one, found, at)
    _said(page, found, "nothing" if refused else found.move.kind)
    return page.svg()


class _Scale:
    """From the bed, mm with y up, to the page."""

    def __init__(self, box: Box) -> None:
        self.factor = min(_ROOM.width / box.width, _ROOM.height / box.height)
        self.box = box

    def __call__(self, place: tuple[float, float]) -> Place:
        x = _ROOM.left + (place[0] - self.box.left) * self.factor
        return (x, _ROOM.top - (place[1] - self.box.bottom) * self.factor)


def _scale(one: Pass, found: Alignment) -> _Scale:
    corners = rectangle(Box(0.0, 0.0, one.drawing.width, one.drawing.height)).points
    lie = [found.move.point(corner) for corner in corners]
    every = [*corners, *lie, *found.measured.values()]
    xs, ys = [p[0] for p in every], [p[1] for p in every]
    return _Scale(Box(min(xs), min(ys), max(xs), max(ys)))


def _sheets(page: Canvas, one: Pass, found: Alignment, at: _Scale) -> None:
    """Draw the sheet as the pass expects it, and as it lies with its work."""
    corners = rectangle(Box(0.0, 0.0, one.drawing.width, one.drawing.height)).points
    page.line([at(p) for p in corners], colour=SOFT, dashes="2 1.5", width=0.2, closed=True)
    lies = [at(found.move.point(p)) for p in corners]
    page.line(lies, width=0.35, closed=True)
    for stroke in one.drawing.strokes:
        if stroke.role is not Role.LABEL:
            places = [at(found.move.point(p)) for p in chords(stroke.path, 0.1)]
            page.line(places, colour=PALE, width=0.25, closed=stroke.path.closed)


def _marks(page: Canvas, one: Pass, found: Alignment, at: _Scale) -> None:
    factor = shown_larger(found)
    for mark in one.marks:
        x, y = at(mark.at)
        for dx, dy in ((2.0, 0.0), (0.0, 2.0)):
            page.line([(x - dx, y - dy), (x + dx, y + dy)], colour=SOFT, width=0.2)
        if mark.name not in found.measured:
            continue
        lies = found.move.point(mark.at)
        u, v = at(lies)
        dx, dy = (found.measured[mark.name][i] - lies[i] for i in (0, 1))
        tip = (u + dx * factor, v - dy * factor)
        page.line([(u, v), tip], colour=COLOURS[Role.MOUNTAIN], width=0.6)
        page.rings(0.8, [((u, v), "")])
        right = u > _ROOM.centre.x
        beside = (u - 2.5 if right else u + 2.5, v - 1.6)
        page.text(beside, mark.name, size=2.7, anchor="end" if right else "start")


def shown_larger(found: Alignment) -> int:
    """Return by how much residuals are drawn longer than they are."""
    worst = max(found.residuals.values())
    return max((f for f in _FACTORS if f * worst <= _LONGEST), default=1)


def _said(page: Canvas, found: Alignment, corrected: str) -> None:
    move, y = found.move, 40.0
    lines = (
        ("turned", f"{math.degrees(move.angle):.3f}°"),
        ("shifted", f"{move.e:.2f} mm right, {move.f:.2f} mm up"),
        ("size", f"{move.scales[0]:.5f} × {move.scales[1]:.5f}"),
        ("corrected", corrected),
    )
    for name, value in lines:
        page.text((_COLUMN, y), name, size=3.0, colour=SOFT)
        page.text((_COLUMN + 20, y), value, size=3.0)
        y += 5.0
    y += 4.0
    page.text((_COLUMN, y), "left over after it, mm", size=3.0, bold=True)
    for name, off in found.residuals.items():
        y += 4.6
        page.text((_COLUMN, y), fitted(name, 46, 3.0), size=3.0)
        page.text((_COLUMN + 58, y), f"{off:.3f}", size=3.0, anchor="end")
    y += 9.0
    legend = (
        (SOFT, "grey, dashed: as the pass expects it"),
        (INK, "black: as it lies"),
        (COLOURS[Role.MOUNTAIN], f"residuals, drawn {shown_larger(found)} times as long"),
    )
    for colour, text in legend:
        page.line([(_COLUMN, y - 1), (_COLUMN + 7, y - 1)], colour=colour, width=0.5)
        page.text((_COLUMN + 9, y), text, size=2.7)
        y += 5.0
