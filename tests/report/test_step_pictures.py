"""The pictures of the fold order: no letter on a ring, on film or on an arrow, rings apart."""

import itertools
import math

import pytest
from cutfiles.report.printed.step_picture import draw
from tilted import BOOKS, slip_of

from cutfiles.draft import draft_of
from cutfiles.plane.measure import distance_to_path
from cutfiles.plane.shapes import Box, closed_path, open_path
from cutfiles.report.printed.fold_pictures import fold_pictures
from cutfiles.report.printed.script import width_of

BOX = Box(0.0, 0.0, 30.0, 27.0)  # a picture of the bench card where six stand in a row


class Drawn:
    """What is drawn on a page: its calls kept."""

    def __init__(self):
        self.rings, self.letters, self.words, self.lines = [], [], [], []

    def ring(self, place, radius, text):
        self.rings.append((text, place, radius))

    def text(self, place, text, size, **_):
        if len(text) == 1:
            self.letters.append((text, (place[0], place[1] + size * 0.36)))
        else:
            self.words.append((text, (place[0], place[1] + size * 0.36)))

    def line(self, points, *, closed=False, **_):
        self.lines.append((closed_path if closed else open_path)(*points))

    def arrow(self, points, **_):
        self.lines.append(open_path(*points))


@pytest.mark.parametrize("number", BOOKS)
def test_letters_and_rings_stand_clear(number):
    made = draft_of(slip_of(number))
    lettered = set()
    for step, picture in fold_pictures(made.support, made.pattern):
        page = Drawn()
        draw(page, picture, BOX)
        for letter, place in page.letters:
            if letter in "LR":
                lettered.add((letter, step.verb))
                for text, middle, radius in page.rings:
                    assert math.dist(place, middle) >= radius + 1.69, (step.verb, letter, text)
                for line in page.lines:
                    assert distance_to_path(place, line) >= 1.69, (step.verb, letter)
                for word, (x, y) in page.words:
                    beside = max(0.0, abs(place[0] - x) - width_of(word, 2.1) / 2)
                    assert math.hypot(beside, place[1] - y) >= 1.69, (step.verb, letter, word)
        for (one, a, radius), (other, b, _) in itertools.combinations(page.rings, 2):
            assert math.dist(a, b) >= 1.9 * radius, (step.verb, one, other)
        assert all(0 <= x <= BOX.right for _, (x, _), _ in page.rings)
    assert ("L", "Lay") in lettered or ("R", "Lay") in lettered
