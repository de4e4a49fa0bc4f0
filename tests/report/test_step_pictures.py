"""The pictures of the fold order: no letter on a ring, and rings apart."""

import itertools
import math

import pytest
from conftest import sample
from shapely import LinearRing, LineString, Point, Polygon, box
from tilted import BOOKS, slip_of

from cutfiles.draft import draft_of
from cutfiles.plane.shapes import Box
from cutfiles.report.pictures.view import view_of
from cutfiles.report.printed.draw_picture import Seen, draw_picture
from cutfiles.report.printed.fold_pictures import fold_pictures
from cutfiles.report.script import width_of

BOX = Box(0.0, 0.0, 58.0, 34.0)  # about a picture of the bench card


class Drawn:
    """What is drawn on a page, in order: rings, words with half their size, lines and fillings."""

    def __init__(self):
        self.ringed, self.words, self.lines = [], [], []

    def rings(self, radius, told):
        self.ringed += [(text, place, radius) for place, text in told]

    def text(self, place, text, size, *, bold=False, upright=False, **_):
        half = width_of(text, size, bold=bold) / 2, size * 0.36
        middle = (place[0] - half[1], place[1]) if upright else (place[0], place[1] + half[1])
        self.words.append((text, middle, *(half[::-1] if upright else half)))

    def line(self, points, *, fill=None, closed=False, **_):
        ring = LinearRing(points) if closed else LineString(points)
        self.lines.append((ring, Polygon(points) if fill is not None else None))

    def arrow(self, points, **_):
        self.lines.append((LineString(points), None))

    def bow(self, points, **_):
        self.lines.append((LineString(bezier(points)), None))

    def seen_near(self, place):
        """Return the filling a place is seen on, and the lines seen there."""
        spot = Point(place)
        last = max(i for i, (_, face) in enumerate(self.lines) if face and face.contains(spot))
        return self.lines[last][1], [line for line, _ in self.lines[last:]]


def bezier(points):
    """Places along cubic curves, ten to each (Bernstein's polynomials)."""
    for i in range(0, len(points) - 1, 3):
        for t in (j / 10 for j in range(11)):
            shares = (math.comb(3, k) * t**k * (1 - t) ** (3 - k) for k in range(4))
            own = [
                (share * x, share * y) for share, (x, y) in zip(shares, points[i:], strict=False)
            ]
            yield tuple(map(sum, zip(*own, strict=True)))


@pytest.mark.parametrize("number", BOOKS)
def test_letters_and_rings_stand_clear(number):
    made = draft_of(slip_of(number))
    view, ringed = view_of(made.support), 0
    for step, picture in fold_pictures(made.support, made.pattern):
        page = Drawn()
        draw_picture(page, Seen(picture, view), BOX)
        ringed += len(page.ringed)
        for text, (x, y), half, tall in page.words:
            for other, middle, radius in page.ringed:
                off = max(0.0, abs(middle[0] - x) - half), max(0.0, abs(middle[1] - y) - tall)
                assert math.hypot(*off) >= radius, (step.verb, text, other)
        for (one, a, radius), (other, b, _) in itertools.combinations(page.ringed, 2):
            assert math.dist(a, b) >= 1.9 * radius, (step.verb, one, other)
    assert ringed


@pytest.mark.parametrize("number", BOOKS)
def test_letters_of_sides_stand_on_their_panels_and_on_no_line(number):
    made = draft_of(slip_of(number))
    view, seen = view_of(made.support), set()
    for step, picture in fold_pictures(made.support, made.pattern):
        page = Drawn()
        draw_picture(page, Seen(picture, view), BOX)
        for text, (x, y), half, tall in page.words:
            if text not in ("L", "R"):
                continue
            seen.add((step.verb, text))
            letter = box(x - half, y - tall, x + half, y + tall)
            faces = [face for _, face in page.lines if face]
            if not any(face.contains(Point(x, y)) for face in faces):
                lines = [line for line, _ in page.lines]
                starts = [Point(line.coords[0]) for line in lines if points_at(line, (x, y))]
                assert any(face.contains(start) for face in faces for start in starts)
                assert not [line for line in lines if line.intersects(letter)], (step.verb, text)
                continue
            panel, lines = page.seen_near((x, y))
            assert panel.contains(letter), (step.verb, text)
            assert not [line for line in lines if line.intersects(letter)], (step.verb, text)
    based = {half.side[0].upper() for half in made.support.halves if half.stands}
    assert {("Lay", side) for side in based} <= seen


def points_at(line, place):
    """Whether a line of two ends comes up to a letter that stands beside its panel."""
    return len(line.coords) == 2 and math.dist(line.coords[-1], place) < 3.0


def test_a_panel_too_thin_for_its_letter_is_pointed_at():
    """Raised, the right board of the first sample is seen nearly edge on."""
    for slip in (sample("A1"), sample("A2"), slip_of("LEVEL")):
        made = draft_of(slip)
        view = view_of(made.support)
        for step, picture in fold_pictures(made.support, made.pattern):
            if step.verb == "Raise":
                page = Drawn()
                draw_picture(page, Seen(picture, view), BOX)
                assert {"L", "R"} <= {text for text, *_ in page.words}


def test_what_is_taped_from_above_is_drawn_above():
    """A spine panel comes down on its ramp; tabs come from below."""
    made = draft_of(slip_of("RISER"))
    sticks = [p for s, p in fold_pictures(made.support, made.pattern) if s.verb == "Stick"]
    heights = [picture.bars[0][0].z for picture in sticks]
    assert [height > 0 for height in heights] == [False, True, False]
