"""A step's picture on the page: polygons in order, letters, arrows, tape, the turn-over sign."""

import math
from collections.abc import Iterable

from cutfiles.folding.space import Spot, dot
from cutfiles.plane.shapes import Box
from cutfiles.report.pictures.paint import normal_of, painted
from cutfiles.report.pictures.spread import spread
from cutfiles.report.pictures.strip import Polygon
from cutfiles.report.pictures.view import View
from cutfiles.report.printed.paper import DOTTED, INK, SOFT, WHITE, Paper
from cutfiles.report.printed.picture import Picture
from cutfiles.report.printed.script import width_of

TABLE_FACE = 0.78
_FILLS = {"book": 0.94, "strap": 0.35}
"""Greys of the table face, of book and straps."""
_RING, _TEXT, _LETTER = 2.0, 2.5, 3.0
_TURN = 7.0
"""Room of the turn-over sign, mm."""
At = tuple[float, float]


def draw_picture(paper: Paper, picture: Picture, view: View, box: Box) -> None:
    """Draw a picture as large as a box allows, in its middle."""
    _Drawn(paper, picture, view, box).draw()


class _Drawn:
    def __init__(self, paper: Paper, picture: Picture, view: View, box: Box) -> None:
        self.paper, self.picture, self.view, self.box = paper, picture, view, box
        places = [view.place(spot) for spot in picture.spots()]
        xs, ys = zip(*places, strict=True)
        sign = _TURN if picture.turned else 0.0
        pad = 2 * _RING + 0.8 if picture.rings else 2.0
        wide, tall = max(xs) - min(xs), max(ys) - min(ys)
        room = (box.width - sign - 5.0, box.height - 2 * pad)
        self.scale = min(room[0] / wide, room[1] / max(tall, 1e-6))
        self.shift = (
            box.centre.x - sign / 2 - self.scale * (max(xs) + min(xs)) / 2,
            box.centre.y - self.scale * (max(ys) + min(ys)) / 2,
        )

    def at(self, spots: Iterable[Spot]) -> list[At]:
        """Return places on the page."""
        dx, dy = self.shift
        flat = (self.view.place(spot) for spot in spots)
        return [(dx + self.scale * x, dy + self.scale * y) for x, y in flat]

    def draw(self) -> None:
        picture, paper = self.picture, self.paper
        flat = [self.at(polygon.corners) for polygon in picture.polygons]
        eye = self.view.eye
        for i in painted([polygon.corners for polygon in picture.polygons], flat, eye):
            self._polygon(picture.polygons[i], flat[i])
        for line in picture.lines:
            paper.line(self.at(line), width=0.3)
        for line in picture.before:
            paper.line(self.at(line), width=0.25, dashes=DOTTED)
        for tape in picture.tapes:
            paper.line(self.at(tape), closed=True, fill=INK, width=0.2)
        for bar in picture.bars:
            paper.line(self.at(bar), width=1.2)
        for arrow in picture.arrows:
            paper.arrow(self.at(arrow), width=0.35, head=2.0)
        if picture.turned:
            self._turn()
        self._words(self._rings())

    def _polygon(self, polygon: Polygon, flat: list[At]) -> None:
        film = polygon.kind == "film"
        shows_book_face = dot(normal_of(polygon.corners), self.view.eye) > 0
        fill = (WHITE if shows_book_face else TABLE_FACE) if film else _FILLS[polygon.kind]
        self.paper.line(flat, width=0.2, closed=True, fill=fill, grey=INK if film else SOFT)
        if not any(polygon.creases):
            return
        a, b, c, d = flat
        for crease, ends in zip(polygon.creases, ((a, d), (b, c)), strict=True):
            if crease in self.picture.active:
                self.paper.line(ends, width=0.6)
        self.paper.line([a, b], width=0.4)

    def _turn(self) -> None:
        """Draw the open sign of paper folding for turning over: an arrow with a loop."""
        x, y, size = self.box.right - 0.5 * _TURN, self.box.centre.y, 2.2
        steps = [-1.45 + 2.9 * i / 24 for i in range(25)]
        loop = [(x + size * (t * t - 1), y + size * t * (t * t - 1)) for t in steps]
        self.paper.arrow(loop, width=0.4, head=2.0)

    def _rings(self) -> list[At]:
        """Draw letters in rings, side by side; return where they stand."""
        drawn: list[At] = []
        for side in (-1, 0, 1):
            named = [
                (text, self.at([spot])[0]) for text, spot, own in self.picture.rings if own == side
            ]
            named.sort(key=lambda one: one[1][side == 0])
            low, high = self.box.left + _RING, self.box.right - _RING
            if side == 0:
                low, high = self.box.bottom + _RING, self.box.top - _RING
            along = [place[side == 0] for _, place in named]
            for (text, (x, y)), moved in zip(
                named, spread(along, 2.1 * _RING, low, high), strict=True
            ):
                place = (x, moved) if side == 0 else (moved, y + side * 1.5 * _RING)
                self.paper.ring(place, _RING, text)
                drawn.append(place)
        return drawn

    def _words(self, rings: list[At]) -> None:
        """Write words, off the rings and off one another."""
        taken = [(x, y, 1.05 * _RING, 1.05 * _RING) for x, y in rings]
        for text, spot in self.picture.words:
            size = _LETTER if len(text) == 1 else _TEXT
            half = width_of(text, size, bold=len(text) == 1) / 2
            x, y = self.at([spot])[0]
            x = min(max(x, self.box.left + half), self.box.right - half)
            off = 1.15 * size
            tries = [(x, y)]
            for far in (1, 2, 3, 4):
                tries += [(x, y + far * off), (x, y - far * off)]
                tries += [(x - far * off, y), (x + far * off, y)]
            place = next((p for p in tries if _free(p, half, size, taken, self.box)), (x, y))
            taken.append((*place, half, size / 2))
            self.paper.text(
                (place[0], place[1] - 0.36 * size), text, size, bold=len(text) == 1, anchor="middle"
            )


def _free(
    place: At, half: float, size: float, taken: list[tuple[float, float, float, float]], box: Box
) -> bool:
    x, y = place
    inside = box.left + half <= x <= box.right - half and abs(y - box.centre.y) < box.height / 2
    apart = all(
        math.fabs(x - tx) > half + wide + 0.3 or math.fabs(y - ty) > size / 2 + tall + 0.3
        for tx, ty, wide, tall in taken
    )
    return inside and apart
