"""What is told of arcs by their ends alone, against the arcs broken into many places."""

import itertools
import math

import pytest
from conftest import drawn
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cutfiles.plane.measure import box_of, distance, may_reach, point_along
from cutfiles.plane.parts import crossings
from cutfiles.plane.shapes import Box, Path, Point, Segment

_PLACES = st.builds(Point, st.floats(-50, 50), st.floats(-50, 50))
_BULGES = st.sampled_from([0.0, 0.02, 0.41421356, -0.41421356, 1.0, -1.0, 2.5, -9.0])
_SEGMENTS = st.builds(Segment, _PLACES, _PLACES, _BULGES).filter(
    lambda one: distance(one.start, one.end) > 0.1
)
WIDE = Segment(Point(0, 0), Point(1, 0), 9.0)
"""Nearly a whole circle: it goes far beyond its ends on every side."""


def along(segment):
    return [point_along(segment, i / 200) for i in range(201)]


@settings(max_examples=drawn(150), deadline=None)
@given(st.lists(_SEGMENTS, min_size=1, max_size=4))
@example([WIDE])
@example([Segment(Point(-5, -4.2), Point(5, 4.2), 0.0), WIDE])
def test_a_box_holds_its_arcs_and_no_more(segments):
    paths = [Path((one.start, one.end), (one.bulge,), closed=False) for one in segments]
    box = box_of(paths)
    places = [place for one in segments for place in along(one)]
    for i, told in ((0, (box.left, box.right)), (1, (box.bottom, box.top))):
        reached = (min(place[i] for place in places), max(place[i] for place in places))
        slack = 0.02 * max(abs(one.bulge) + 1 for one in segments)  # places stand apart on an arc
        assert told == pytest.approx(reached, abs=slack)
        assert told[0] <= reached[0] + 1e-9
        assert told[1] >= reached[1] - 1e-9


@pytest.mark.parametrize("radius", [0.3, 40])
def test_a_box_holds_a_circle_and_no_more(radius):
    halves = (Point(3 + 0.8 * radius, 2 + 0.6 * radius), Point(3 - 0.8 * radius, 2 - 0.6 * radius))
    box = box_of([Path(halves, (1.0, 1.0), closed=True)])
    assert box == pytest.approx((3 - radius, 2 - radius, 3 + radius, 2 + radius))


@pytest.mark.parametrize("x", [-50, 0, 50])
@pytest.mark.parametrize("y", [-50, 0, 50])
@pytest.mark.parametrize(("along", "up"), [(2, 0), (0, 2)])
def test_a_box_holds_an_arc_that_leaves_it_on_one_side_alone(x, y, along, up):
    wide = Path((Point(-50, -50), Point(50, 50)), (0.0,), closed=False)
    ring = Path((Point(x + along, y + up), Point(x - along, y - up)), (1.0, 1.0), closed=True)
    box = box_of([wide, ring])
    reach = [max(50, abs(x) + 2), max(50, abs(y) + 2)]
    found = [max(-box.left, box.right), max(-box.bottom, box.top)]
    assert found == pytest.approx(reach)


@settings(max_examples=drawn(150), deadline=None)
@given(_SEGMENTS, _PLACES, st.floats(0, 60))
@example(WIDE, Point(0, -7), 1.8)
def test_what_comes_near_is_never_left_out(segment, corner, far):
    box = Box(corner.x, corner.y, corner.x + 3, corner.y + 2)
    middle = box.centre
    near = min(distance(place, middle) for place in along(segment))
    assert may_reach(segment, box, far) or near > far


def test_what_is_far_off_is_left_out():
    box = Box(0, 0, 10, 2)
    assert not may_reach(Segment(Point(0, 9), Point(10, 9), 0.0), box, 6.0)
    assert not may_reach(Segment(Point(17, -9), Point(17, 9), 0.0), box, 6.0)
    assert may_reach(Segment(Point(0, 9), Point(10, 9), 0.0), box, 8.0)


@settings(max_examples=drawn(150), deadline=None)
@given(_SEGMENTS.map(lambda one: Segment(one.start, one.end, 0.0)), _SEGMENTS)
@example(
    Segment(Point(-9, 0.95), Point(9, 0.95), 0.0), Segment(Point(1, 0), Point(-1, 0), 1.0)
)  # a chord of 0.6 mm near the top of a half circle
def test_a_line_crosses_an_arc_where_the_arc_goes_from_one_side_to_the_other(line, arc):
    (ax, ay), (bx, by) = line.start, line.end
    length = distance(line.start, line.end)
    ux, uy = (bx - ax) / length, (by - ay) / length
    told = crossings(line, arc)
    places = [(ax + ux * t, ay + uy * t) for t in told]
    dense = [point_along(arc, i / 2000) for i in range(2001)]
    step = max(map(math.dist, dense, dense[1:]))
    for place in places:
        assert min(math.dist(place, one) for one in dense) <= step
    spots = [((x - ax) * ux + (y - ay) * uy, (y - ay) * ux - (x - ax) * uy) for x, y in dense]
    for (t, off), (u, other) in itertools.pairwise(spots):
        passed = off * other < 0 and min(abs(off), abs(other)) > 1e-9
        if passed and step < min(t, u) and max(t, u) < length - step:
            assert min(abs((t + u) / 2 - one) for one in told) <= step
