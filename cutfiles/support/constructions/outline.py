"""The true outline of a strip in one layer, with its creases, fold lines, posts and tape.

One rule: flanges fold at y = ±b/2; on a piece that has any, every bare edge is set back to
±(b/2 − 0.5), so that the smooth fold lines stand proud; on a hemmed piece tab, run on, ramp, riser
and riser tab, and a base's last 5 mm before them, end at ±(b/2 − 10), clear of the hems over them.
"""

import math
from collections.abc import Iterator
from typing import NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.plane.shapes import Box, Path
from cutfiles.support.constructions.corners import Corner, rounded
from cutfiles.support.constructions.hems import LEAST_BREADTH, EndHem, Flange, end_hems, hems
from cutfiles.support.constructions.lips import lips
from cutfiles.support.constructions.plate import Construction, Edge
from cutfiles.support.constructions.posts import CREASES, FACE, PostBlank
from cutfiles.support.constructions.strip import (
    CLEAR,
    DEPTH,
    END_RADIUS,
    FREE,
    NARROW_PARTS,
    NOTCH,
    RELIEF,
    STEP_IN,
    Crease,
    Part,
    Strip,
)

TAPE_INSET = 3.0
"""Tape ends this far inside every edge, mm."""
WIDEST_TAPE = 12.0
"""Of the double-sided tape at hand, mm (common practice, no source)."""


class Standing(NamedTuple):
    """One post in its place.

    Attributes:
        leg: index of the leg it stands behind.
        y: its middle across the strip, mm.
        blank: the piece.

    """

    leg: int
    y: float
    blank: PostBlank


class Score(NamedTuple):
    """A crease with half its length: it runs to the bare (or narrow) edge."""

    crease: Crease
    half: float


class Tape(NamedTuple):
    """Tape on the table face of a panel (index): its place, mm."""

    panel: int
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A strip and how its edges and legs are made.

    Attributes:
        strip: panels and folds.
        gauge: of the film, mm.
        flanges: hems and lips, by their place along the strip.
        end_hems: on free ends.
        hemmed: whether its edges are hemmed at all.
        posts: behind the legs.

    """

    strip: Strip
    gauge: float
    flanges: tuple[Flange, ...] = ()
    end_hems: tuple[EndHem, ...] = ()
    hemmed: bool = False
    posts: tuple[Standing, ...] = ()

    @property
    def bare(self) -> float:
        """Half the breadth where an edge is bare, mm."""
        half = self.strip.breadth / 2
        return half - RELIEF if self.flanges or self.end_hems else half

    @property
    def narrow(self) -> float:
        """Half the breadth of parts under hems or between them, mm."""
        return self.strip.breadth / 2 - DEPTH - CLEAR if self.hemmed else self.bare

    def half_of(self, part: Part) -> float:
        """Return half the breadth of a part, mm."""
        return self.narrow if part in NARROW_PARTS else self.bare

    def edge_of(self, panel: int) -> float:
        """Return how far from its middle a panel's head edge lies, hems turned under, mm."""
        hemmed = any(f.kind == "hem" and f.first <= panel <= f.last for f in self.flanges)
        return self.strip.breadth / 2 if hemmed else self.half_of(self.strip.panels[panel].part)

    def tape_room(self, panel: int) -> float:
        """Return half the breadth over which tape may lie on a panel, mm: never on a hem."""
        part = self.strip.panels[panel].part
        return self.narrow if part == "spine" else self.half_of(part)


def lay_out(
    strip: Strip,
    gauge: float,
    construction: Construction,
    edge: Edge,
    posts: tuple[Standing, ...] = (),
) -> Piece:
    """Return a strip in one layer made in a construction.

    A strip too narrow for hems has none; thirds have no flanges at all: `left_out` refuses them
    lips and posts.
    """
    hemmed = edge == "hemmed" and strip.breadth >= LEAST_BREADTH
    flanges = hems(strip) if hemmed else ()
    if construction == "lips":
        flanges = (*flanges, *lips(strip, gauge))
        flanges = tuple(sorted(flanges, key=lambda one: one.start))
    return Piece(
        strip=strip,
        gauge=gauge,
        flanges=flanges,
        end_hems=tuple(end_hems(strip)) if hemmed else (),
        hemmed=hemmed,
        posts=posts,
    )


def scores(piece: Piece) -> tuple[Score, ...]:
    """Return the cross creases, each as long as the narrower of the panels it joins."""
    parts = [panel.part for panel in piece.strip.panels]
    return tuple(
        Score(one, min(piece.half_of(parts[one.before]), piece.half_of(parts[one.after])))
        for one in piece.strip.creases()
    )


def outline(piece: Piece) -> tuple[Corner, ...]:
    """Return the corners of the outline, counter-clockwise from the left end's tail corner."""
    tail = list(_tail(piece))
    head = [Corner(x, -y, radius) for x, y, radius in reversed(tail)]
    return (*tail, *head)


def outline_path(piece: Piece) -> Path:
    """Return the outline with its corners rounded.

    Raises:
        Defect: two roundings would overlap.

    """
    return rounded(outline(piece))


def _tail(piece: Piece) -> Iterator[Corner]:
    """Yield the corners of the tail side, left to right."""
    strip = piece.strip
    ends = {one.out: one for one in piece.end_hems}
    stretches = list(_stretches(piece))
    if -1 in ends:
        yield from _end_corners(piece, ends[-1])
    else:
        yield Corner(0.0, -stretches[0][1], END_RADIUS)
    parts: list[tuple[float, list[Corner]]] = [
        (x, [Corner(x, -stretches[i][1], END_RADIUS), Corner(x, -stretches[i + 1][1], END_RADIUS)])
        for i, (x, _) in enumerate(stretches[:-1])
    ]
    parts += [(one.start, _flange_corners(piece, one, ends)) for one in piece.flanges]
    for _, corners in sorted(parts, key=lambda part: part[0]):
        yield from corners
    if 1 in ends:
        yield from _end_corners(piece, ends[1])
    else:
        yield Corner(strip.length, -stretches[-1][1], END_RADIUS)


def _flange_corners(piece: Piece, one: Flange, ends: dict[int, EndHem]) -> list[Corner]:
    """Return the corners of one flange at the tail; none where an end hem joins it."""
    bare, free = piece.bare, piece.strip.breadth / 2 + DEPTH
    tan_start, tan_end = math.tan(one.lean_start), math.tan(one.lean_end)
    corners: list[Corner] = []
    if not (-1 in ends and one.first == 0):
        corners += [
            Corner(one.start - RELIEF * tan_start, -bare, RELIEF),
            Corner(one.start + DEPTH * tan_start, -free, FREE),
        ]
    if not (1 in ends and one.last == len(piece.strip.panels) - 1):
        corners += [
            Corner(one.end - DEPTH * tan_end, -free, FREE),
            Corner(one.end + RELIEF * tan_end, -bare, RELIEF),
        ]
    return corners


def _end_corners(piece: Piece, one: EndHem) -> list[Corner]:
    """Return the two corners at a free end, cut straight across at 45°, tail side."""
    half = piece.strip.breadth / 2
    inner = Corner(one.x - one.out * (NOTCH + DEPTH), -(half + DEPTH), FREE)
    outer = Corner(one.x + one.out * DEPTH, -(half - NOTCH - DEPTH), FREE)
    return [inner, outer] if one.out > 0 else [outer, inner]


def _stretches(piece: Piece) -> Iterator[tuple[float, float]]:
    """Yield where each stretch of one breadth ends, and half that breadth, left to right."""
    found: list[tuple[float, float]] = []
    strip = piece.strip
    for i, panel in enumerate(strip.panels):
        pieces = [(strip.ends[i], piece.half_of(panel.part))]
        if panel.part == "base" and piece.narrow < piece.bare:
            step = min(STEP_IN, panel.length / 2)
            if i < len(strip.panels) - 1 and strip.panels[i + 1].part in NARROW_PARTS:
                pieces = [(strip.ends[i] - step, piece.bare), (strip.ends[i], piece.narrow)]
            if i > 0 and strip.panels[i - 1].part in NARROW_PARTS:
                pieces = [(strip.starts[i] + step, piece.narrow), *pieces]
        for end, half in pieces:
            if found and found[-1][1] == half:
                found.pop()
            found.append((end, half))
    yield from found


def tapes(piece: Piece) -> tuple[Tape, ...]:
    """Return the tape on tabs, and on a spine panel that lies on a ramp, on their table faces."""
    strip = piece.strip
    parts = [panel.part for panel in strip.panels]
    spine = parts.index("spine") if "ramp" in parts else None
    found = []
    for i, part in enumerate(parts):
        if i != spine and part not in ("tab", "low tab", "riser tab"):
            continue
        half = piece.tape_room(i) - TAPE_INSET
        width = min(WIDEST_TAPE, strip.panels[i].length - 2 * TAPE_INSET)
        if i == spine:
            left = (strip.starts[i] + strip.ends[i] - width) / 2
        else:
            left = TAPE_INSET if i == 0 else strip.length - TAPE_INSET - width
        found.append(Tape(i, Box(left, -half, left + width, half)))
    return tuple(found)


def count_folds(piece: Piece) -> int:
    """Return how many folds are made by hand: creases, flanges at head and tail, three a post."""
    across = sum(fold is not None for fold in piece.strip.folds)
    return across + _flange_count(piece) + 3 * len(piece.posts)


def _flange_count(piece: Piece) -> int:
    return 2 * len(piece.flanges) + len(piece.end_hems)


def sheet_area(piece: Piece) -> float:
    """Return the rectangle of film a piece is cut from, with those of its posts, mm².

    The sheet is b + 2c broad where there are flanges, b otherwise; end hems reach c further.
    """
    folded = bool(piece.flanges or piece.end_hems)
    breadth = piece.strip.breadth + (2 * DEPTH if folded else 0.0)
    length = piece.strip.length + DEPTH * len(piece.end_hems)
    posts = math.fsum((CREASES[2] + FACE - 2.0) * post.blank.height for post in piece.posts)
    return length * breadth + posts
