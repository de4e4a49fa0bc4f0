"""A pass as its sheet lies on the bed: what is worked now, what was, what is still to do."""

from collections.abc import Callable, Iterable

from cutfiles.machine.passes import CutPlan, Pass
from cutfiles.machine.plan import lie_of
from cutfiles.machine.turning import moved, strokes_of_pass
from cutfiles.pattern.pattern import COLOURS, Role, Stroke
from cutfiles.plane.measure import chords
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import Box, rectangle
from cutfiles.report.pictures.canvas import BAND, CAPITAL, INK, LETTER, SOFT, Canvas, Place, fitted
from cutfiles.report.pictures.flat import DASHES
from cutfiles.report.pictures.naming import box_around, name_box, outline_of

_ROOM = Box(24.0, 30.0, 273.0, 178.0)
"""Where the sheet is drawn on the page, mm, y down."""
_NAME = 3.2
"""Size of the letters of a mark's name, mm."""
_WAYS = {"up": (0.0, -1.0), "down": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}
_NAMES = {
    Role.OUTLINE: "cut",
    Role.VALLEY: "score, valley",
    Role.MOUNTAIN: "score, mountain",
    Role.REGISTRATION: "marks",
    Role.LABEL: "labels",
}
Placing = Callable[[tuple[float, float]], Place]
"""From a place of the whole sheet, mm, to one of the page."""


def pass_picture(plan: CutPlan, one: Pass) -> bytes:
    """Return a pass as one sees it standing before the machine, as SVG.

    In colours, what is worked in this pass; grey, what was worked before, also on the face that is
    down now; pale, what is still to do.
    """
    lie = lie_of(plan, one)
    title = f"{plan.number}, {one.name}: {lie.view}"
    page = Canvas(title, "the film as it lies on the bed, seen from above")
    page.text((15, 17), fitted(title, 265, 6), size=6, bold=True)
    width, height = lie.size
    scale = min(_ROOM.width / width, _ROOM.height / height)
    left = _ROOM.centre.x - width * scale / 2
    low = _ROOM.centre.y + height * scale / 2

    def at(place: tuple[float, float]) -> Place:
        return (left + place[0] * scale, low - place[1] * scale)

    corners = [at(p) for p in rectangle(Box(0.0, 0.0, width, height)).points]
    page.line(corners, width=0.35, closed=True)
    whole = moved(plan.drawing.strokes, lie)
    _strokes(page, whole, at, BAND)
    _strokes(page, _before(plan, one), at, SOFT)
    _strokes(page, _lifted(one), at)
    drawn = [[at(p) for p in chords(stroke.path, 0.1)] for stroke in whole]
    _marks(page, one, at, box_around(corners), drawn)
    _head(page, _WAYS[lie.head])
    _key(page, {stroke.role for stroke in one.drawing.strokes})
    return page.svg()


def _lifted(one: Pass) -> list[Stroke]:
    """Return the work of a pass on its whole sheet: a frame lies some way up on it."""
    return [
        stroke.along(shift(stroke.path, one.left, one.bottom)) for stroke in one.drawing.strokes
    ]


def _before(plan: CutPlan, one: Pass) -> list[Stroke]:
    """Return what the passes before have worked, as the sheet lies now."""
    faces = tuple(dict.fromkeys(other.face for other in plan.passes))
    done: list[Stroke] = []
    for face in faces[: faces.index(one.face)]:
        worked = strokes_of_pass(plan.drawing.strokes, plan.cutter, face, faces)
        done += moved(worked, lie_of(plan, one))
    for other in plan.passes[: plan.passes.index(one)]:
        done += _lifted(other) if other.face == one.face else []
    return done


def _strokes(page: Canvas, strokes: Iterable[Stroke], at: Placing, ink: str = "") -> None:
    """Draw strokes in one ink, or in the colours and dashes of their roles."""
    for stroke in strokes:
        if stroke.role is Role.GUIDE or (ink == BAND and stroke.role is Role.LABEL):
            continue
        thin = bool(ink) or stroke.role is Role.LABEL
        page.line(
            [at(p) for p in chords(stroke.path, 0.1)],
            colour=ink or COLOURS[stroke.role],
            width=0.25 if thin else 0.6,
            dashes="" if ink else DASHES.get(stroke.role, ""),
            closed=stroke.path.closed,
        )


def _marks(page: Canvas, one: Pass, at: Placing, sheet: Box, drawn: list[list[Place]]) -> None:
    """Name the marks that can be measured before this pass, off every line of the sheet."""
    drawn.append(outline_of(sheet))
    for mark in one.marks:
        x, y = at((mark.at.x + one.left, mark.at.y + one.bottom))
        page.rings(0.9, [((x, y), "")])
        for dx, dy in ((2.0, 0.0), (0.0, 2.0)):
            page.line([(x - dx, y - dy), (x + dx, y + dy)], width=0.2)
        box = name_box((x, y), LETTER * _NAME * len(mark.name), CAPITAL * _NAME, drawn, sheet)
        drawn.append(outline_of(box))
        page.text((box.left, box.top), mark.name, size=_NAME, bold=True)  # y down: its baseline


def _head(page: Canvas, way: Place) -> None:
    """Draw an arrow towards the head of the sheet."""
    x, y, (dx, dy) = 12.0, _ROOM.centre.y, way
    tip, tail = (x + 6 * dx, y + 6 * dy), (x - 6 * dx, y - 6 * dy)
    page.line([tail, tip], width=0.4)
    for side in (1.6, -1.6):
        page.line([(tip[0] - 3 * dx + side * dy, tip[1] - 3 * dy + side * dx), tip], width=0.4)
    page.text((x, y - 9.0), "head", size=3.5, anchor="middle")
    page.text((_ROOM.centre.x, 185.0), "you stand here", size=3.5, anchor="middle", colour=SOFT)


def _key(page: Canvas, roles: set[Role]) -> None:
    """Say what the lines mean."""
    cuts = {Role.OUTLINE} if Role.HOLES in roles else set()  # both are drawn alike
    shown = [
        (COLOURS[role], DASHES.get(role, ""), said)
        for role, said in _NAMES.items()
        if role in roles | cuts
    ]
    x = 24.0
    for ink, dashes, said in (*shown, (SOFT, "", "done before"), (BAND, "", "still to do")):
        page.line([(x, 195.0), (x + 10, 195.0)], colour=ink, width=0.6, dashes=dashes)
        page.text((x + 12, 196.2), said, size=3.5, colour=INK)
        x += 18.0 + 2.3 * len(said)
