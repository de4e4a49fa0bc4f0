"""A still picture of the folded support with the book on it, seen from above at an angle."""

from cutfiles.dataclass import dataclass
from cutfiles.files.fold_check import FoldedFile
from cutfiles.report.pictures.canvas import INK, SOFT, WIDTH, Canvas, Place
from cutfiles.report.pictures.paint import Shape, painted
from cutfiles.report.pictures.scene import standing_faces, standing_posts
from cutfiles.report.pictures.strip import Polygon, book_polygons, in_sight
from cutfiles.report.pictures.view import view_of
from cutfiles.words.bench import where_text
from cutfiles.words.verdict import short_sentence

_ROOM = (20.0, 42.0, WIDTH - 20.0)
"""Left, top and right of where the support is drawn on the page, mm, y down."""
_CLEAR = 0.45
"""Film is clear: what lies behind it is seen, and where films lie on one another it is darker."""
_FILLS = {"film": "#D2E2EE", "book": "#F4F0E6"}


def solid_picture(checked: FoldedFile) -> bytes:
    """Return the folded support, the book on it, as SVG on an A4 page in landscape.

    Raises:
        ValueError: nothing folds.

    """
    draft = checked.draft
    heading = draft.drawing.title
    page = Canvas(f"{heading}, folded", "the support standing, the book on it, seen from the tail")
    page.head(heading, where_text(draft.slip), draft.verdict.state)
    page.text(
        (15, 31),
        f"as its cut file {checked.name} folds · the end view in front, going back to the head",
        size=3.0,
        colour=SOFT,
    )
    view = view_of(draft.support)
    polygons = in_sight(_polygons(checked), view.eye)
    flat = [[_down(place) for place in view.places(polygon.corners)] for polygon in polygons]
    said = short_sentence(draft.verdict, draft.slip)
    above = page.sentence((15, 195), said, 265, 3.0, bold=False)
    to_page = _fit([place for corners in flat for place in corners], above - 11.0)
    for i in painted([polygon.corners for polygon in polygons], [*map(Shape, flat)], view.eye):
        kind = polygons[i].kind
        film = kind == "film"
        page.line(
            [to_page(place) for place in flat[i]],
            fill=_FILLS[kind],
            closed=True,
            colour=INK if film else SOFT,
            width=0.35 if film else 0.25,
            clear=_CLEAR if film else 0.0,
        )
    page.text((15, 200), _foot(checked), size=3.0)
    page.text((15, 205), "blue: film · cream: the book", size=3.0, colour=SOFT)
    return page.svg()


def _foot(checked: FoldedFile) -> str:
    heights = [
        f"{m.place} {m.found:.1f}" for m in checked.check.measures if m.rule in ("height", "width")
    ]
    said = "folds as designed" if checked.check.folds else "does not fold as designed"
    return f"{said}: " + ", ".join(heights) + " mm"


def _polygons(checked: FoldedFile) -> list[Polygon]:
    """Return all that is painted: panels, posts, then the sides of the book's halves."""
    # flaps lie on their panels, out of sight
    found = [Polygon(corners) for layer, corners in standing_faces(checked) if layer == 0]
    found += [Polygon(corners) for corners in standing_posts(checked)]
    return [*found, *book_polygons(checked.draft.support)]


def _down(place: Place) -> Place:
    return place[0], -place[1]


def _fit(places: list[Place], bottom: float) -> "_Fit":
    xs, ys = [x for x, _ in places], [y for _, y in places]
    left, top, right = _ROOM
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
