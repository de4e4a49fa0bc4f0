"""The pictures of the fold order: no letter on a ring, and rings apart."""

import itertools
import math

import pytest
from tilted import BOOKS, slip_of

from cutfiles.draft import draft_of
from cutfiles.plane.shapes import Box
from cutfiles.report.pictures.view import view_of
from cutfiles.report.printed.draw_picture import draw_picture
from cutfiles.report.printed.fold_pictures import fold_pictures
from cutfiles.report.printed.script import width_of

BOX = Box(0.0, 0.0, 58.0, 34.0)  # about a picture of the bench card


class Drawn:
    """What is written on a page: rings, and words with half their size."""

    def __init__(self):
        self.rings, self.words = [], []

    def ring(self, place, radius, text):
        self.rings.append((text, place, radius))

    def text(self, place, text, size, *, bold=False, **_):
        middle = (place[0], place[1] + size * 0.36)
        self.words.append((text, middle, width_of(text, size, bold=bold) / 2, size * 0.36))

    def line(self, *_, **__):
        pass

    arrow = line


@pytest.mark.parametrize("number", BOOKS)
def test_letters_and_rings_stand_clear(number):
    made = draft_of(slip_of(number))
    view, ringed = view_of(made.support), 0
    for step, picture in fold_pictures(made.support, made.pattern):
        page = Drawn()
        draw_picture(page, picture, view, BOX)
        ringed += len(page.rings)
        for text, (x, y), half, tall in page.words:
            for other, middle, radius in page.rings:
                off = max(0.0, abs(middle[0] - x) - half), max(0.0, abs(middle[1] - y) - tall)
                assert math.hypot(*off) >= radius, (step.verb, text, other)
        for (one, a, radius), (other, b, _) in itertools.combinations(page.rings, 2):
            assert math.dist(a, b) >= 1.9 * radius, (step.verb, one, other)
    assert ringed
