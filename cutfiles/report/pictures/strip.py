"""A support as polygons in space, in any state of its folding: what the step pictures paint.

mm; x to the right, y to the head, z up; the tail edge lies at y = 0. A polygon's corners run
counter-clockwise seen from the side to which its book face looks.
"""

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import Literal

from cutfiles.dataclass import dataclass
from cutfiles.folding.space import Spot, dot
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.paint import normal_of
from cutfiles.report.pictures.scene import book_blocks
from cutfiles.support.construct import piece_of
from cutfiles.support.constructions.outline import Piece
from cutfiles.support.constructions.posts import FACE
from cutfiles.support.constructions.strip import DEPTH
from cutfiles.support.profile import Profile, Walk, joined, walk
from cutfiles.support.standing import Support, initial

_BELOW = 1.0
"""Posts, longer than their room so that they bear, are drawn this much shorter, mm."""


@dataclass(frozen=True, slots=True)
class Polygon:
    """One polygon to paint.

    Attributes:
        corners: in space; of a panel: front start, front end, back end, back start.
        kind: film, book or strap.
        creases: of a panel, the creases at its start and end; "" where there is none.
        letter: written on it, where there is room.

    """

    corners: tuple[Spot, ...]
    kind: Literal["film", "book", "strap"] = "film"
    creases: tuple[str, str] = ("", "")
    letter: str = ""


def panel_polygons(profile: Profile, depth: float, lettered: str = "") -> Iterator[Polygon]:
    """Yield the panels of a strip of this profile, as broad as `depth`.

    Args:
        profile: as it is folded now.
        depth: its breadth, mm.
        lettered: the part whose panels bear the letter of their side.

    """
    now = joined(profile)
    corners = walk(now).corners
    names = {fold.after: fold.name for fold in now.folds}
    for i, (panel, (a, b)) in enumerate(zip(now.panels, pairwise(corners), strict=True)):
        creases = names.get(i, ""), names.get(i + 1, "")
        ring = (_at(a, 0.0), _at(b, 0.0), _at(b, depth), _at(a, depth))
        letter = initial(panel.side) if panel.part == lettered else ""
        yield Polygon(ring, "film", creases, letter)


def flange_polygons(support: Support, profile: Profile) -> Iterator[Polygon]:
    """Yield what hangs on the panels of a strip of this profile: lips, then posts."""
    piece, stood = piece_of(support), walk(profile)
    yield from _lips(piece, stood, support.breadth)
    yield from _posts(piece, stood, support.breadth)


def _lips(piece: Piece, stood: Walk, breadth: float) -> Iterator[Polygon]:
    """Yield lips, square to their legs, at tail and head."""
    for one in piece.flanges:
        if one.kind != "lip":
            continue
        leg, start = _Frame(stood, one.first), piece.strip.starts[one.first]
        near, far = one.start - start, one.end - start
        low, high = near + DEPTH * math.tan(one.lean_start), far - DEPTH * math.tan(one.lean_end)
        ring = ((near, 0.0), (far, 0.0), (high, DEPTH), (low, DEPTH))
        yield Polygon(tuple(leg.at(along, under, 0.0) for along, under in ring[::-1]))
        yield Polygon(tuple(leg.at(along, under, breadth) for along, under in ring))


def _posts(piece: Piece, stood: Walk, breadth: float) -> Iterator[Polygon]:
    """Yield the two free faces of every post, behind its leg."""
    for post in piece.posts:
        leg, blank = _Frame(stood, post.leg), post.blank
        foot, way = 0.0, 1.0
        if not piece.strip.apex_on_right(post.leg):
            foot, way = piece.strip.panels[post.leg].length, -1.0
        y, back = breadth / 2 + post.y, blank.offset + FACE * math.sqrt(3) / 2
        top, low = (foot + way * (blank.height - less) for less in (_BELOW, _BELOW + blank.drop))
        inner = (leg.at(foot, back, y), leg.at(low, back, y))
        for side in (-1.0, 1.0):
            edge = y + side * FACE / 2
            outer = (leg.at(top, blank.offset, edge), leg.at(foot, blank.offset, edge))
            ring = (*inner, *outer)
            yield Polygon(ring if way * side > 0 else ring[::-1])


def book_polygons(support: Support) -> Iterator[Polygon]:
    """Yield the sides of the book as it lies on the support: boards, leaves, spine.

    Where two of its parts meet side to side, neither is seen.
    """
    blocks = book_blocks(support)
    ends = [[(round(x, 6), round(z, 6)) for x, z in block.end] for block in blocks]
    sides = [[frozenset((end[i], end[i - 1])) for i in range(len(end))] for end in ends]
    met = Counter(side for around in sides for side in around)
    for block, around in zip(blocks, sides, strict=True):
        near, far, *faces = block.faces()
        yield Polygon(near, "book")
        yield Polygon(far, "book")
        for corners, side in zip(faces, around, strict=True):
            if met[side] == 1:
                yield Polygon(corners, "book")


def in_sight(polygons: Iterable[Polygon], eye: Spot) -> list[Polygon]:
    """Return the polygons without the book's sides that look away: those before hide them.

    Each polygon left out is one less to be compared with all others, and to be written.
    """
    return [one for one in polygons if one.kind != "book" or dot(normal_of(one.corners), eye) > 0]


def standing_polygons(support: Support, *, book: bool = True) -> tuple[Polygon, ...]:
    """Return the whole support standing, with its book or without."""
    return (
        *panel_polygons(support.profile, support.breadth),
        *flange_polygons(support, support.profile),
        *(book_polygons(support) if book else ()),
    )


class _Frame:
    """A panel as it stands: places along it, under its table face, and from tail to head."""

    def __init__(self, stood: Walk, index: int) -> None:
        self.start, heading = stood.corners[index], stood.headings[index]
        self.cos, self.sin = math.cos(heading), math.sin(heading)

    def at(self, along: float, under: float, y: float) -> Spot:
        x, z = self.start
        return Spot(
            x + along * self.cos + under * self.sin, y, z + along * self.sin - under * self.cos
        )


def _at(place: Point, y: float) -> Spot:
    return Spot(place.x, y, place.y)
