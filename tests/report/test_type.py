"""Every printed page is read at arm's length, in grey too; every panel is seen for what it is."""

import math

import pytest
from conftest import BOOK, DEEP, plain, sample_slips
from pages import check_tidy, check_type
from strategies import sound_slips
from tilted import BOOKS, slip_of

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.report.pictures.view import LEAST, View, headings, view_of, worst
from cutfiles.report.printed.bench_card import bench_card
from cutfiles.report.printed.end_view_card import end_view_card
from cutfiles.report.printed.labels import label_size, labels_page
from cutfiles.report.printed.measuring_card import measuring_card
from cutfiles.report.printed.paper import LEAST as LEAST_LETTERS
from cutfiles.report.printed.paper import Paper
from cutfiles.report.printed.template import template
from cutfiles.support.design import design


@pytest.mark.parametrize("path", sample_slips()[:: 1 if DEEP else 2], ids=lambda path: path.stem)
def test_nothing_is_under_seven_points_or_pale(path):
    made = draft_of(plain(path.stem))
    for data in (bench_card(made, "Letter", machine="laser"), end_view_card(made), template(made)):
        check_type(data)


def test_the_blank_slip_and_labels_of_usual_bases():
    check_type(measuring_card())
    made = draft_of(slip_from(BOOK))
    assert min(label_size(made, side)[1] for side in ("left", "right")) >= 24
    check_type(labels_page([made]))


def test_small_and_pale_letters_are_noticed():
    page = Paper("A4", "x", least=1.0)
    page.text((20.0, 20.0), "small", LEAST_LETTERS - 0.1)
    with pytest.raises(AssertionError, match=r"6\.8"):
        check_type(page.pdf())
    page = Paper("A4", "x")
    page.text((20.0, 20.0), "pale", LEAST_LETTERS, grey=0.55)
    with pytest.raises(AssertionError):
        check_type(page.pdf())


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
def test_no_panel_of_a_sample_is_seen_edge_on(path):
    support = design(plain(path.stem))
    assert worst(view_of(support), headings(support)) >= LEAST


@pytest.mark.parametrize("construction", ["plain", "lips", "posts"])
def test_no_panel_of_any_kind_or_construction_is_seen_edge_on(construction):
    """As the bench card and the pictures draw it: share of its area in the end view's scale."""
    kinds = set()
    for number in BOOKS:
        support = design(slip_of(number, support={"construction": construction}))
        view = view_of(support)
        kinds.add(support.kind)
        for heading in headings(support):
            (ax, ay), (bx, by) = view.back, (math.cos(heading), math.sin(heading))
            assert abs(ax * by - ay * bx) >= LEAST, (number, heading)
    assert len(kinds) >= 5


def test_no_panel_of_any_support_is_seen_edge_on():
    """Both as drawn obliquely and as the page looks at it, along the same line of sight."""
    slips = [one[1] if isinstance(one, tuple) else design(one) for one in sound_slips(120)]
    assert len(slips) == 120
    for support in slips:
        view = view_of(support)
        for heading in headings(support):
            normal = (-math.sin(heading), 0.0, math.cos(heading))
            assert abs(sum(a * b for a, b in zip(normal, view.eye, strict=True))) >= LEAST
    usual = View(0.5, math.radians(38))
    assert min(worst(usual, headings(support)) for support in slips) < 0.05, (
        "no view need be chosen"
    )


def test_letters_stand_apart_on_a_heavy_books_card():
    made = draft_of(slip_from(BOOK | {"weight": "641 g", "support": {"layers": 3}}))
    check_tidy(bench_card(made, "Letter", machine="laser"))
