"""Turns about a crease: signs, lengths, and turns that undo each other."""

import math

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutfiles.folding.space import STILL, Spot, cross, dot, hinge, length
from cutfiles.plane.shapes import Point

numbers = st.floats(-200, 200)
places = st.builds(Point, numbers, numbers)
spots = st.builds(Spot, numbers | st.just(0.0), numbers | st.just(0.0), numbers | st.just(0.0))


def close(a, b, within=1e-9):
    return length(a - b) <= within


@given(spots, spots)
def test_products_of_two_ways_are_numpy_s(a, b):
    assert cross(a, b) == pytest.approx(tuple(numpy.cross(a, b)))
    assert dot(a, b) == pytest.approx(float(numpy.dot(a, b)))


def test_a_valley_lifts_what_lies_on_the_right():
    """The sign that FOLD gives: +60 degrees lifts the end of a 100 mm panel to +86.603 mm."""
    spot = hinge(Point(0, 0), Point(0, 50), math.radians(60)).place(Point(100, 10))
    assert spot.x == pytest.approx(50)
    assert spot.y == pytest.approx(10)
    assert spot.z == pytest.approx(86.60254, abs=1e-5)


@given(places, places, st.floats(-math.pi, math.pi), places, places)
def test_a_hinge_keeps_lengths_and_its_own_line(a, b, angle, p, q):
    if math.dist(a, b) < 0.1:
        return
    motion = hinge(a, b, angle)
    assert length(motion.place(p) - motion.place(q)) == pytest.approx(math.dist(p, q), abs=1e-6)
    for point in (a, b):
        assert close(motion.place(point), Spot(point.x, point.y, 0.0), 1e-6)


@given(places, places, st.floats(-math.pi, math.pi), places)
def test_folded_and_unfolded_is_nothing(a, b, angle, p):
    if math.dist(a, b) < 0.1:
        return
    there, back = hinge(a, b, angle), hinge(a, b, -angle)
    assert close(back.after(there).place(p), STILL.place(p), 1e-6)


def test_half_turns_are_exact():
    """Layers lie on one another without rounding."""
    assert hinge(Point(0, 3), Point(7, 3), -math.pi).place(Point(1, -4)) == Spot(1, 10, 0)
