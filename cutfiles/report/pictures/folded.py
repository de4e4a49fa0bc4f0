"""A still picture of the folded support with the book on it, seen from above at an angle."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from cutfiles.files.fold_check import FoldedFile
from cutfiles.folding.space import Spot, cross, dot, length
from cutfiles.report.pictures.canvas import HEIGHT, SOFT, WIDTH, Canvas, Place, fitted, fitting
from cutfiles.report.pictures.scene import scene_of, standing_faces, standing_posts
from cutfiles.words.verdict import short_sentence

_ROOM = (20.0, 42.0, WIDTH - 20.0, HEIGHT - 30.0)
_EPS = 0.02
VIEW = (math.radians(-45.0), math.atan(math.sqrt(0.5)))
"""Isometric: turned about the upright, then seen from that far above, radians; tail in front."""


@dataclass(frozen=True, slots=True)
class Sheet3D:
    """One polygon to paint.

    Attributes:
        corners: in space.
        kind: ``film`` or ``book``.

    """

    corners: tuple[Spot, ...]
    kind: str


FILLS = {"film": "#D2E2EE", "book": "#F4F0E6"}


def solid_picture(checked: FoldedFile) -> bytes:
    """Return the folded support, the book on it, as SVG on an A4 page in landscape.

    Raises:
        ValueError: nothing folds.

    """
    draft = checked.draft
    book = draft.slip.book
    heading = draft.drawing.title
    page = Canvas(f"{heading}, folded", "the support standing, the book on it, seen from the tail")
    page.text((15, 17), fitted(heading, 250, 6), size=6, bold=True)
    second = ", ".join(p for p in (book.shelf_mark, draft.slip.opening.label) if p)
    page.text((15, 24), fitted(second, 260, 3.5), size=3.5)
    page.text(
        (15, 31),
        f"as its cut file {checked.name} folds · isometric, the tail in front",
        size=3.0,
        colour=SOFT,
    )
    sheets = sheets_of(checked)
    right, up, eye = view_axes(*VIEW)
    flat = [[(dot(right, c), -dot(up, c)) for c in sheet.corners] for sheet in sheets]
    to_page = _fit([place for corners in flat for place in corners])
    for i in painted([sheet.corners for sheet in sheets], flat, eye):
        sheet = sheets[i]
        film = sheet.kind != "book"
        page.line(
            [to_page(place) for place in flat[i]],
            fill=FILLS[sheet.kind],
            closed=True,
            colour="#000000" if film else SOFT,
            width=0.35 if film else 0.25,
        )
    said = short_sentence(draft.verdict, draft.slip)
    page.text((15, 195), said, size=fitting(said, 265, 3.0))
    page.text((15, 200), _foot(checked), size=3.0)
    page.text((15, 205), "blue: film · cream: the book", size=3.0, colour=SOFT)
    return page.svg()


def _foot(checked: FoldedFile) -> str:
    heights = [
        f"{m.place} {m.found:.1f}" for m in checked.check.measures if m.rule in ("height", "width")
    ]
    said = "folds as designed" if checked.check.folds else "does not fold as designed"
    return f"{said}: " + ", ".join(heights) + " mm"


def sheets_of(checked: FoldedFile) -> list[Sheet3D]:
    """Return all that is painted: panels, then the sides of the book's halves."""
    # flaps lie on their panels, out of sight
    sheets = [Sheet3D(c, "film") for layer, c in standing_faces(checked) if layer == 0]
    sheets += [Sheet3D(corners, "film") for corners in standing_posts(checked)]
    blocks = scene_of(checked).blocks
    return sheets + [Sheet3D(corners, "book") for b in blocks for corners in b.faces()]


def view_axes(turn: float, above: float) -> tuple[Spot, Spot, Spot]:
    """Return the directions of a view: to its right, upwards, and towards the eye.

    >>> [round(part, 6) for part in view_axes(0.0, 0.0)[2]]
    [0.0, -1.0, 0.0]
    """
    cos, sin = math.cos(turn), math.sin(turn)
    right = Spot(cos, sin, 0.0)
    eye = Spot(sin * math.cos(above), -cos * math.cos(above), math.sin(above))
    return right, cross(eye, right), eye


def painted(
    polygons: Sequence[Sequence[Spot]], flat: Sequence[Sequence[Place]], eye: Spot
) -> list[int]:
    """Return the order in which to paint polygons, the hindmost first.

    Of two that overlap in the view and that a plane parts, the one on the eye's side comes later
    (Newell, Newell and Sancha, 1972); where neither plane parts them, the one whose middle is
    nearer does.

    Args:
        polygons: corners in space.
        flat: the same in the view.
        eye: direction towards the eye.

    """
    depth = [sum(dot(eye, c) for c in corners) / len(corners) for corners in polygons]
    before: list[set[int]] = [set() for _ in polygons]
    boxes = [_box(corners) for corners in flat]
    for i in range(len(polygons)):
        for j in range(i):
            if _boxes_apart(boxes[i], boxes[j]):
                continue
            if _apart(flat[i], flat[j]) or _apart(flat[j], flat[i]):
                continue
            first = _first(polygons[i], polygons[j], eye)
            if first:
                behind, front = (i, j) if first > 0 else (j, i)
                before[front].add(behind)
    left = sorted(range(len(polygons)), key=lambda i: depth[i])
    order: list[int] = []
    while left:
        done = set(order)
        ready = next((i for i in left if before[i] <= done), left[0])
        left.remove(ready)
        order.append(ready)
    return order


def _box(places: Sequence[Place]) -> tuple[float, float, float, float]:
    xs, ys = zip(*places, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _boxes_apart(
    a: tuple[float, float, float, float], b: tuple[float, float, float, float]
) -> bool:
    return a[0] >= b[2] - _EPS or b[0] >= a[2] - _EPS or a[1] >= b[3] - _EPS or b[1] >= a[3] - _EPS


def _apart(one: Sequence[Place], other: Sequence[Place]) -> bool:
    """Whether a line along one of a polygon's sides has all of the other beyond it."""
    for (ax, ay), (bx, by) in zip(one, [*one[1:], one[0]], strict=True):
        dx, dy = bx - ax, by - ay
        own = [dx * (y - ay) - dy * (x - ax) for x, y in one]
        its = [dx * (y - ay) - dy * (x - ax) for x, y in other]
        slack = _EPS * (abs(dx) + abs(dy))
        if max(own) <= min(its) + slack or max(its) <= min(own) + slack:
            return True
    return False


def _first(a: Sequence[Spot], b: Sequence[Spot], eye: Spot) -> int:
    """Return 1 where a is painted before b, -1 after it, 0 where it does not matter."""
    for one, other, sign in ((a, b, 1), (b, a, -1)):
        normal = _normal(one)
        if length(normal) == 0:
            continue
        facing = dot(normal, eye)
        if abs(facing) < 1e-9 * length(normal):
            continue
        turn = math.copysign(1.0, facing) / length(normal)
        sides = [turn * dot(normal, corner - one[0]) for corner in other]
        if max(sides) <= _EPS and min(sides) < -_EPS:
            return -sign
        if min(sides) >= -_EPS and max(sides) > _EPS:
            return sign
    return 0


def _normal(corners: Sequence[Spot]) -> Spot:
    """Return a polygon's normal (Newell's sum)."""
    x = y = z = 0.0
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        x += (a.y - b.y) * (a.z + b.z)
        y += (a.z - b.z) * (a.x + b.x)
        z += (a.x - b.x) * (a.y + b.y)
    return Spot(x, y, z)


def _fit(places: list[Place]) -> "_Fit":
    xs, ys = [x for x, _ in places], [y for _, y in places]
    left, top, right, bottom = _ROOM
    scale = min((right - left) / (max(xs) - min(xs)), (bottom - top) / (max(ys) - min(ys)))
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    return _Fit(scale, middle, ((left + right) / 2, (top + bottom) / 2))


@dataclass(frozen=True, slots=True)
class _Fit:
    """From the view to the page."""

    scale: float
    middle: Place
    centre: Place

    def __call__(self, place: Place) -> Place:
        return (
            self.centre[0] + (place[0] - self.middle[0]) * self.scale,
            self.centre[1] + (place[1] - self.middle[1]) * self.scale,
        )
