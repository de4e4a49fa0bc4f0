"""What a drawing should hold: the strokes of its support, each with the piece it belongs to.

All places are those of the drawing, the lower left corner of its sheet at (0, 0); the pattern lies
`film.lay.MARGIN` to the right of it and above.
"""

from cutfiles.dataclass import dataclass
from cutfiles.draft import Draft
from cutfiles.film.lay import MARGIN
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import Path, Point


@dataclass(frozen=True, slots=True)
class Meant:
    """The strokes a drawing should hold.

    Attributes:
        draft: of the support, without edits.
        strip: of the strip itself.
        posts: of its posts.
        sheet: marks and guides in the waste.

    """

    draft: Draft
    strip: tuple[Stroke, ...]
    posts: tuple[Stroke, ...]
    sheet: tuple[Stroke, ...]

    @property
    def all(self) -> tuple[Stroke, ...]:
        """Every stroke."""
        return (*self.strip, *self.posts, *self.sheet)

    @property
    def outline(self) -> Stroke:
        """Of the strip."""
        return next(stroke for stroke in self.strip if stroke.role is Role.OUTLINE)

    def of(self, *roles: Role) -> tuple[Stroke, ...]:
        """Return the strip's strokes of some roles."""
        return tuple(stroke for stroke in self.strip if stroke.role in roles)


def meant_by(draft: Draft) -> Meant:
    """Return what the drawing of a support should hold."""
    strip = tuple(one.along(shift(one.path, MARGIN, MARGIN)) for one in draft.pattern.strokes)
    own = set(strip)
    others = [stroke for stroke in draft.drawing.strokes if stroke not in own]
    names = {stroke.name for post in draft.pattern.posts for stroke in post.strokes}
    top = draft.pattern.box.top + MARGIN
    posts = tuple(
        stroke
        for stroke in others
        if stroke.name in names
        and stroke.use != "mark"
        and min(point.y for point in stroke.path.points) > top
    )
    sheet = tuple(stroke for stroke in others if stroke not in posts)
    return Meant(draft, strip, posts, sheet)


def in_pattern(place: tuple[float, float]) -> Point:
    """Return a place of the drawing as a place of the pattern."""
    return Point(place[0] - MARGIN, place[1] - MARGIN)


def to_pattern(path: Path) -> Path:
    """Return a path of the drawing as one of the pattern."""
    return shift(path, -MARGIN, -MARGIN)
