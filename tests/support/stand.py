"""A piece folded up in space, each part where it stands; rigid, films of no thickness but hems."""

import math
from collections.abc import Iterator
from typing import NamedTuple

from cutfiles.support.constructions.hems import EndHem, Flange
from cutfiles.support.constructions.outline import Piece, Standing
from cutfiles.support.constructions.posts import FACE
from cutfiles.support.constructions.strip import DEPTH, Strip

Place = tuple[float, float, float]


class Frame(NamedTuple):
    """Where a panel lies in the end view, seen from the tail.

    Attributes:
        x: of its left end (in the flat strip).
        z: of the same.
        heading: the way it runs, radians.

    """

    x: float
    z: float
    heading: float

    def at(self, along: float, below: float = 0.0) -> tuple[float, float]:
        """Return the point this far along the panel and off its table face, mm."""
        cos, sin = math.cos(self.heading), math.sin(self.heading)
        return self.x + along * cos + below * sin, self.z + along * sin - below * cos


def frames(strip: Strip) -> tuple[Frame, ...]:
    """Return where each panel stands.

    x from the middle of the spine panel (or the joint where there is none), z up from the base that
    stands first from the high side, the left one in a level support.
    """
    turned = [0.0]
    for fold in strip.folds:
        turned.append(turned[-1] + (fold or 0.0))
    high = _base(strip)
    start = math.pi - turned[high]
    found: list[Frame] = []
    x = z = 0.0
    for panel, turn in zip(strip.panels, turned, strict=True):
        found.append(Frame(x, z, start + turn))
        x, z = found[-1].at(panel.length)
    middle = _middle(strip, found)
    return tuple(Frame(one.x - middle, one.z - found[high].z, one.heading) for one in found)


def _base(strip: Strip) -> int:
    """Return the index of the base that z is counted from: the riser's, or the first."""
    bases = [i for i, panel in enumerate(strip.panels) if panel.part == "base"]
    ramps = [i for i, panel in enumerate(strip.panels) if panel.part == "ramp"]
    return next((i for i in bases if any(abs(i - ramp) == 1 for ramp in ramps)), bases[0])


def _middle(strip: Strip, found: list[Frame]) -> float:
    for i, panel in enumerate(strip.panels):
        if panel.part == "spine":
            return found[i].at(panel.length / 2)[0]
    boards = [i for i, panel in enumerate(strip.panels) if panel.part == "board"]
    return found[boards[1]].x if len(boards) > 1 else found[boards[0]].x


def profile(strip: Strip) -> tuple[tuple[float, float], ...]:
    """Return x, z of both ends of every panel, from the strip's left end to its right, mm."""
    found = frames(strip)
    return (*((one.x, one.z) for one in found), found[-1].at(strip.panels[-1].length))


def flange_places(piece: Piece, one: Flange, side: int) -> tuple[Place, ...]:
    """Return the four corners of a hem or lip: its fold line, then its free edge back, mm.

    A hem lies one film under its panel; a lip stands square.

    Args:
        piece: it belongs to.
        one: the flange.
        side: +1 at the head, −1 at the tail.

    """
    strip = piece.strip
    frame, origin = frames(strip)[one.first], strip.starts[one.first]
    start, end = one.start - origin, one.end - origin
    free_start = start + DEPTH * math.tan(one.lean_start)
    free_end = end - DEPTH * math.tan(one.lean_end)
    y = side * strip.breadth / 2
    deep = side * DEPTH
    if one.kind == "hem":
        under = piece.gauge
        corners = [(start, y, under), (end, y, under)]
        corners += [(free_end, y - deep, under), (free_start, y - deep, under)]
    else:
        corners = [(start, y, 0.0), (end, y, 0.0), (free_end, y, DEPTH), (free_start, y, DEPTH)]
    return tuple(_place(frame, along, y, below) for along, y, below in corners)


def end_hem_places(piece: Piece, one: EndHem) -> tuple[Place, ...]:
    """Return the four corners of an end hem: its fold line, then its free edge back, mm."""
    strip = piece.strip
    frame, along = frames(strip)[one.panel], one.x - strip.starts[one.panel]
    free, half = along - one.out * DEPTH, one.half - DEPTH
    corners = [(along, -one.half), (along, one.half), (free, half), (free, -half)]
    return tuple(_place(frame, x, y, piece.gauge) for x, y in corners)


def post_top(piece: Piece, post: Standing) -> tuple[Place, Place]:
    """Return the ends of face A's top edge, mm."""
    strip = piece.strip
    right = strip.apex_on_right(post.leg)
    frame = frames(strip)[post.leg]
    length = strip.panels[post.leg].length
    along = post.blank.height + piece.gauge / 2
    x, z = frame.at(along if right else length - along, post.blank.offset)
    low, high = post.y - FACE / 2, post.y + FACE / 2
    ends = ((x, low, z), (x, high, z))
    return ends if right else (ends[1], ends[0])


def panel_places(piece: Piece) -> Iterator[tuple[str, tuple[Place, ...]]]:
    """Yield the name and four corners of each panel, at its own breadth, mm."""
    for frame, panel in zip(frames(piece.strip), piece.strip.panels, strict=True):
        half = piece.half_of(panel.part)
        yield (
            panel.name,
            tuple(
                _place(frame, x, y, 0.0)
                for x, y in ((0.0, -half), (panel.length, -half), (panel.length, half), (0.0, half))
            ),
        )


def _place(frame: Frame, along: float, y: float, below: float) -> Place:
    x, z = frame.at(along, below)
    return (x, y, z)
