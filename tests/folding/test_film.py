"""The fold check looks at the film that is there."""

import pytest
from conftest import BOOK

from cutfiles.bench.slip import slip_from
from cutfiles.folding.film import film_findings
from cutfiles.folding.graph import FoldLine
from cutfiles.pattern.unfold import unfold
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


def test_an_upright_with_half_its_film_gone_is_none(support):
    pattern = unfold(support)
    (left, right), band = pattern.span("left leg"), pattern.band("middle").box
    hole = box(left + 10, band.bottom + 10, right - 10, band.bottom + 10 + 0.75 * band.height)
    assert found(support, hole) == [("left leg", 0.25)]
    low = box(left + 10, band.bottom + 10, right - 10, band.bottom + 10 + 0.45 * band.height)
    assert found(support, low) == []
