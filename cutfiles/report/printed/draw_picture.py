"""A step's picture on the page: polygons in order, letters, arrows, tape, the turn-over sign."""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from cutfiles.folding.space import Spot, dot
from cutfiles.plane.parts import inside
from cutfiles.plane.shapes import Box
from cutfiles.report.pictures.paint import Shape, apart, normal_of, painted
from cutfiles.report.pictures.spread import spread
from cutfiles.report.pictures.strip import Polygon, in_sight
from cutfiles.report.pictures.view import ABOVE, View
from cutfiles.report.printed.paper import DOTTED, INK, SOFT, WHITE, Paper
from cutfiles.report.printed.picture import Picture, along
from cutfiles.report.script import width_of

TABLE_FACE = 0.78
_FILLS = {"book": 0.94, "strap": 0.35}
"""Greys of the table face, of book and straps."""
_RING, _TEXT, _LETTER, _OFF = 2.0, 2.5, 3.0, 0.35
"""Radius of a ring, sizes of words and of panels' letters, how far these keep off lines, mm."""
_TURN = 7.0
"""Room of the turn-over sign, mm."""
_SHARES = sorted(
    ((i / 20, j / 20) for i in range(2, 19) for j in range(2, 19)),
    key=lambda uv: (uv[0] - 0.5) ** 2 + (uv[1] - 0.5) ** 2,
)
"""Places on a panel as shares of its sides, the middle first."""
At = tuple[float, float]


class Seen:
    """A picture in its view: how large it is, and what it needs around it on the page, mm."""

    def __init__(self, picture: Picture, view: View) -> None:
        self.picture, self.view = picture, ABOVE if picture.above else view
        xs, ys = zip(*self.view.places(picture.spots()), strict=True)
        self.low, self.left = float(min(ys)), float(min(xs))
        self.wide, self.tall = float(max(xs)) - self.left, max(float(max(ys)) - self.low, 1e-6)
        self.sign = _TURN if picture.turned else 0.0
        self.beside = self.sign + 5.0
        sides = {side for _, _, side in picture.rings}
        self.below, self.above = (2 * _RING + 0.8 if side in sides else 1.5 for side in (-1, 1))

    def height(self, width: float) -> float:
        """Return how high it is where it takes a whole width, mm."""
        return self.tall * (width - self.beside) / self.wide + self.below + self.above


def draw_picture(paper: Paper, seen: Seen, box: Box) -> None:
    """Draw a picture as large as a box allows, in its middle."""
    _Drawn(paper, seen, box).draw()


class _Drawn:
    def __init__(self, paper: Paper, room: Seen, box: Box) -> None:
        self.paper, self.picture, self.box = paper, room.picture, box
        self.view = room.view
        high = box.height - room.below - room.above
        self.scale = min((box.width - room.beside) / room.wide, high / room.tall)
        self.shift = (
            box.centre.x - room.sign / 2 - self.scale * (room.left + room.wide / 2),
            box.bottom + room.below + high / 2 - self.scale * (room.low + room.tall / 2),
        )

    def at(self, spots: Iterable[Spot]) -> list[At]:
        """Return places on the page."""
        dx, dy = self.shift
        return [(dx + self.scale * x, dy + self.scale * y) for x, y in self.view.places(spots)]

    def draw(self) -> None:
        picture, paper, eye = self.picture, self.paper, self.view.eye
        polygons = in_sight(picture.polygons, eye)
        flat = [self.at(polygon.corners) for polygon in polygons]
        shapes = [*map(Shape, flat)]
        order = painted([polygon.corners for polygon in polygons], shapes, eye)
        for i in order:
            self._polygon(polygons[i], flat[i])
        if picture.above:  # panels side by side: their front edges are one line
            edges = [flat[i][:2] for i in order if any(polygons[i].creases)]
            for front in _chained(edges):
                paper.line(front, width=0.4)
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
        for bow in picture.bows:
            paper.bow(self.at(bow), width=0.35, head=2.0)
        if picture.turned:
            self._turn()
        if picture.head:
            self._head()
        rings = self._rings()
        letters = [polygons[i].letter for i in order]
        if any(letters):
            self._letters(letters, [shapes[i] for i in order], rings)
        self._words(rings)

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
        if not self.picture.above:
            self.paper.line([a, b], width=0.4)

    def _turn(self) -> None:
        """Draw the open sign of paper folding for turning over: an arrow with a loop."""
        x, y, size, t = self.box.right - 0.5 * _TURN, self.box.centre.y, 2.2, 1.45
        # x = t² - 1, y = t³ - t from -t to t is one cubic curve: its places are polar forms
        out, low, high = t * t - 1, t**3 - t, t**3 + t / 3
        within = -t * t / 3 - 1
        places = [(out, -low), (within, high), (within, -high), (out, low)]
        self.paper.bow([(x + size * u, y + size * v) for u, v in places], width=0.4, head=2.0)

    def _head(self) -> None:
        """Draw the arrow to the head, its word along it."""
        ends = self.at(self.picture.head)
        self.paper.arrow(ends, width=0.35, head=2.0)
        x, y = ends[0][0] - 0.9, (ends[0][1] + ends[-1][1]) / 2
        self.paper.text((x, y), "head", _TEXT, anchor="middle", upright=True)

    def _letters(self, letters: list[str], shapes: list[Shape], rings: list[At]) -> None:
        """Write the letters of panels, the hindmost first, where seen: off every line and ring."""
        picture = self.picture
        drawn_as = (*picture.before, *picture.arrows, *map(along, picture.bows), *picture.lines)
        lines = [self.at(line) for line in drawn_as]
        drawn = [Shape(part) for line in lines for part in pairwise(line)]
        drawn += [Shape(_square(ring, 1.05 * _RING, 1.05 * _RING)) for ring in rings]
        for i, letter in enumerate(letters):
            if not letter:
                continue
            over = shapes[i + 1 :] + drawn
            own = shapes[i].corners
            found = next((p for p in _spots(own) if _clear(p, own, over)), None)
            found = found or self._pointed(shapes, i, drawn)
            if found:
                at = (found[0], found[1] - 0.36 * _LETTER)
                self.paper.text(at, letter, _LETTER, bold=True, anchor="middle")
                drawn.append(Shape(_square(found, 0.5 * _LETTER, 0.5 * _LETTER)))

    def _pointed(self, shapes: list[Shape], i: int, drawn: list[Shape]) -> At | None:
        """Draw a line out of a panel too thin for its letter; return where that stands beside."""
        over = [one.corners for one in shapes[i + 1 :]]
        spots = _spots(shapes[i].corners)
        spot = next((p for p in spots if not any(inside(p, one) for one in over)), None)
        if spot is None:
            return None
        turns = [(math.cos(t), math.sin(t)) for t in (math.pi * j / 8 for j in range(16))]
        for far in range(4, 16):
            for dx, dy in turns:
                place = spot[0] + far * dx, spot[1] + far * dy
                letter = _square(place, 0.5 * _LETTER, 0.5 * _LETTER)
                room = all(self.box.left <= x <= self.box.right for x, _ in letter) and all(
                    self.box.bottom <= y <= self.box.top for _, y in letter
                )
                own = Shape(letter)
                if room and all(apart(own, other) for other in (*shapes, *drawn)):
                    end = place[0] - 0.8 * _LETTER * dx, place[1] - 0.8 * _LETTER * dy
                    self.paper.line([spot, end], width=0.2)
                    return place
        return None

    def _rings(self) -> list[At]:
        """Draw letters in rings, side by side; return where they stand."""
        told: list[tuple[At, str]] = []
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
                told.append((place, text))
        self.paper.rings(_RING, told)
        return [place for place, _ in told]

    def _words(self, rings: list[At]) -> None:
        """Write words, off the rings and off one another."""
        taken = [(x, y, 1.05 * _RING, 1.05 * _RING) for x, y in rings]
        for text, spot in self.picture.words:
            half = width_of(text, _TEXT) / 2
            x, y = self.at([spot])[0]
            x = min(max(x, self.box.left + half), self.box.right - half)
            off = 1.15 * _TEXT
            tries = [(x, y)]
            for far in (1, 2, 3, 4):
                tries += [(x, y + far * off), (x, y - far * off)]
                tries += [(x - far * off, y), (x + far * off, y)]
            place = next((p for p in tries if _free(p, half, _TEXT, taken, self.box)), (x, y))
            taken.append((*place, half, _TEXT / 2))
            at = (place[0], place[1] - 0.36 * _TEXT)
            self.paper.text(at, text, _TEXT, anchor="middle")


def _chained(lines: Iterable[list[At]]) -> list[list[At]]:
    """Return lines from left to right, as one where the next begins at the end of the one before.

    >>> _chained([[(2, 0), (3, 0)], [(0, 0), (2, 0)], [(4, 0), (5, 0)]])
    [[(0, 0), (2, 0), (3, 0)], [(4, 0), (5, 0)]]
    """
    found: list[list[At]] = []
    for line in sorted(lines):
        if found and found[-1][-1] == line[0]:
            found[-1] += line[1:]
        else:
            found.append([*line])
    return found


def _spots(panel: Sequence[At]) -> Iterator[At]:
    """Yield places on a panel for its letter, the middle first: mostly one of the first will do."""
    (ax, ay), (bx, by), _, (dx, dy) = panel
    for u, v in _SHARES:
        yield ax + u * (bx - ax) + v * (dx - ax), ay + u * (by - ay) + v * (dy - ay)


def _clear(place: At, own: Sequence[At], over: list[Shape]) -> bool:
    """Tell whether a letter stands wholly on its own panel, and on nothing else."""
    letter = _square(place, 0.38 * _LETTER + _OFF, 0.365 * _LETTER + _OFF)
    if not all(inside(corner, own) for corner in letter):
        return False
    shape = Shape(letter)
    return all(apart(shape, other) for other in over)


def _square(centre: At, wide: float, tall: float) -> list[At]:
    x, y = centre
    return [(x - wide, y - tall), (x + wide, y - tall), (x + wide, y + tall), (x - wide, y + tall)]


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
