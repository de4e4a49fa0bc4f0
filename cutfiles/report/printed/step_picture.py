"""One step of the folding as lines, and how they are placed on a printed page."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from cutfiles.plane.shapes import Box, Path, Point, closed_path, open_path
from cutfiles.report.pictures.spread import cleared, spread
from cutfiles.report.printed.oblique import Face
from cutfiles.report.printed.paper import DOTTED, PALE, WHITE, Paper
from cutfiles.report.printed.script import width_of

_RING = 1.9
_TEXT, _LETTER = 2.1, 2.9
_CLEAR = 1.7
"""What a letter keeps off from its middle, mm: rings, edges of film, arrows."""


@dataclass(frozen=True, slots=True)
class Picture:
    """One step as lines; mm of the support, placed on the page by `draw`.

    Attributes:
        faces: the film, the farthest first.
        active: names of the creases folded in this step.
        before: the film's front edge as it was, where it moved.
        arrows: on the film's way.
        rings: numbers of creases and where they stand.
        words: short texts and where their middle stands.
        bars: thick lines: tape.
        lines: thin lines.

    """

    faces: tuple[Face, ...] = ()
    active: frozenset[str] = frozenset()
    before: tuple[tuple[Point, ...], ...] = ()
    arrows: tuple[tuple[Point, ...], ...] = ()
    rings: tuple[tuple[str, Point], ...] = ()
    words: tuple[tuple[str, Point], ...] = ()
    bars: tuple[tuple[Point, Point], ...] = ()
    lines: tuple[tuple[Point, ...], ...] = field(default=())

    def points(self) -> Iterable[Point]:
        """Yield all places, for the picture's extent."""
        for face in self.faces:
            yield from face.corners
        for group in (self.before, self.arrows, self.bars, self.lines):
            for points in group:
                yield from points
        for named in (self.rings, self.words):
            for _, place in named:
                yield place


def draw(paper: Paper, picture: Picture, box: Box) -> None:
    """Draw a picture as large as a box allows, in its middle."""
    pad = _RING + 0.4
    xs = [p.x for p in picture.points()]
    ys = [p.y for p in picture.points()]
    wide, tall = max(xs) - min(xs), max(ys) - min(ys)
    scale = min((box.width - 2 * pad) / wide, (box.height - 2 * pad) / max(tall, 1e-6))
    dx = box.centre.x - scale * (max(xs) + min(xs)) / 2
    dy = box.centre.y - scale * (max(ys) + min(ys)) / 2

    def at(points: Iterable[Point]) -> list[tuple[float, float]]:
        return [(dx + scale * x, dy + scale * y) for x, y in points]

    for face in picture.faces:
        paper.line(
            at(face.corners), width=0.16, closed=True, fill=WHITE if face.book_face else PALE
        )
        a, b, c, d = at(face.corners)
        for crease, ends in zip(face.creases, ((a, d), (b, c)), strict=True):
            if crease in picture.active:
                paper.line(ends, width=0.55)
        paper.line([a, b], width=0.4)
    for points in picture.lines:
        paper.line(at(points), width=0.3)
    for points in picture.before:
        paper.line(at(points), width=0.22, dashes=DOTTED)
    for bar in picture.bars:
        paper.line(at(bar), width=1.1)
    for points in picture.arrows:
        paper.arrow(at(points), width=0.3, head=1.7)
    drawn = _rings(paper, [(text, at([place])[0]) for text, place in picture.rings], box)
    words = [(text, at([place])[0]) for text, place in picture.words]
    lines = _words(paper, [named for named in words if len(named[0]) > 1], box)
    lines += [closed_path(*at(face.corners)) for face in picture.faces]
    open_lines = (*picture.lines, *picture.before, *picture.arrows, *picture.bars)
    lines += [open_path(*at(points)) for points in open_lines]
    rings = [(place, _RING) for place in drawn]
    for text, place in words:
        if len(text) == 1:
            x, y = cleared(place, _CLEAR, box, lines, rings)
            rings.append(((x, y), _LETTER / 2))
            paper.text((x, y - _LETTER * 0.36), text, _LETTER, bold=True, anchor="middle")


_Named = tuple[str, tuple[float, float]]


def _rings(paper: Paper, rings: list[_Named], box: Box) -> list[tuple[float, float]]:
    """Draw numbers side by side, in two rows if need be, letters one above the other."""
    drawn = []
    level = [named for named in rings if named[0].isdigit()]
    low, high = box.left + _RING, box.right - _RING
    room = (high - low) / max(1, len(level) - 1)
    apart = spread([x for _, (x, _) in level], min(2.1 * _RING, room), low, high)
    rows = 1 if room >= 2.1 * _RING else 2
    for i, ((text, (_, y)), x) in enumerate(zip(level, apart, strict=True)):
        drawn.append((x, y - i % rows * 2.0 * _RING))
        paper.ring(drawn[-1], _RING, text)
    upright = [named for named in rings if not named[0].isdigit()]
    heights = spread([y for _, (_, y) in upright], 2.1 * _RING, box.bottom + _RING, box.top - _RING)
    for (text, (x, _)), y in zip(upright, heights, strict=True):
        paper.ring((x, y), _RING, text)
        drawn.append((x, y))
    return drawn


def _words(paper: Paper, words: list[_Named], box: Box) -> list[Path]:
    """Write words side by side; return the line that each stands on, through its middle."""
    gap = max((width_of(text, _TEXT) for text, _ in words), default=0.0) + 1.5
    level, stand = len({round(y, 1) for _, (_, y) in words}) == 1, []
    places = [x for _, (x, _) in words]
    if level:
        places = spread(places, gap, box.left + gap / 2, box.right - gap / 2)
    for (text, (_, y)), x in zip(words, places, strict=True):
        paper.text((x, y - _TEXT * 0.36), text, _TEXT, anchor="middle")
        half = width_of(text, _TEXT) / 2
        stand.append(open_path((x - half, y), (x + half, y)))
    return stand
