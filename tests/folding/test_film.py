"""The fold check looks at the film that is there."""

import pytest
from conftest import BOOK

from cutfiles.bench.slip import slip_from
from cutfiles.folding.film import film_findings
from cutfiles.folding.graph import FoldLine
from cutfiles.pattern.pattern import Role
from cutfiles.pattern.unfold import unfold
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import Point
from cutfiles.support.design import design


@pytest.fixture(scope="module")
def support():
    return design(slip_from({**BOOK, "support": {"gauge": "7 mil", "layers": 1}}))


def box(left, bottom, right, top):
    corners = ((left, bottom), (right, bottom), (right, top), (left, top), (left, bottom))
    return FoldLine("B", tuple(Point(*c) for c in corners), "hole", hole=True)


def found(support, *holes):
    pattern = unfold(support)
    uprights = [bearing.panel for bearing in support.bearings]
    return [(one.place, round(one.measured, 2)) for one in film_findings(holes, pattern, uprights)]


def test_a_hole_inside_a_panel_is_none(support):
    left, right = unfold(support).span("left base")
    assert found(support, box((left + right) / 2 - 5, 60, (left + right) / 2 + 5, 80)) == []


def test_a_hole_across_a_crease_takes_so_much_of_it(support):
    foot = next(c for c in unfold(support).creases if c.name == "left foot")
    hole = box(foot.position - 5, 60, foot.position + 5, 72)
    assert found(support, hole) == [("left foot, middle", 12.0)]


def test_a_hole_may_take_one_millimetre_of_a_crease(support):
    foot = next(c for c in unfold(support).creases if c.name == "right foot").position
    assert found(support, box(foot - 5, 60, foot + 5, 60.9)) == []
    assert found(support, box(foot - 5, 60, foot + 5, 61.1)) == [("right foot, middle", 1.1)]


def test_a_hole_of_the_pattern_is_known_where_it_lies_and_by_its_breadth():
    """A relief hole drawn a little off is still that one; what takes its place is another hole."""
    three = design(slip_from({**BOOK, "support": {"gauge": "7 mil", "layers": 3}}))
    pattern = unfold(three)
    own = next(s for s in pattern.of_role(Role.HOLES) if "left foot" in s.name)
    hole = box_of([own.path])

    def told(aside, broader):
        wide, x = hole.width / 2 + broader / 2, hole.centre.x
        drawn = box(x + aside - wide, hole.bottom - 2, x + aside + wide, hole.top + 2)
        return {one for one, _ in found(three, drawn)}

    assert told(0.15, 0.0) == set()
    assert told(0.25, 0.0) >= {"left foot, middle"}
    assert told(0.0, -0.2 * hole.width) == set()
    assert told(0.0, -0.9 * hole.width) >= {"left foot, middle"}


@pytest.mark.parametrize("share", [0.1, 0.37, 0.9])
def test_a_hole_is_seen_wherever_along_an_upright_it_lies(support, share):
    pattern = unfold(support)
    for name in ("left leg", "right leg"):
        (left, right), band = pattern.span(name), pattern.band("middle").box
        x, half = left + share * (right - left), (right - left) / 24
        hole = box(x - half, band.bottom + 5, x + half, band.bottom + 5 + 0.6 * band.height)
        assert found(support, hole) == [(name, 0.4)]


def test_an_upright_with_half_its_film_gone_is_none(support):
    pattern = unfold(support)
    (left, right), band = pattern.span("left leg"), pattern.band("middle").box
    hole = box(left + 10, band.bottom + 10, right - 10, band.bottom + 10 + 0.75 * band.height)
    assert found(support, hole) == [("left leg", 0.25)]
    low = box(left + 10, band.bottom + 10, right - 10, band.bottom + 10 + 0.45 * band.height)
    assert found(support, low) == []
    both = [box(left + 10, at, left + 30, at + 0.3 * band.height) for at in (band.bottom + 9, 90)]
    assert found(support, *both) == [("left leg", 0.4)]
