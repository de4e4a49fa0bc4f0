"""The book drawn whole, on every kind of support: joints where measured, nothing in one another."""

import html
import itertools
import math
import re

import pytest
import tilted
from conftest import drawn
from hypothesis import given, settings
from shapely.geometry import LineString, Polygon
from strategies import slips
from test_pictures import check

from cutfiles.draft import draft_of
from cutfiles.report.pictures.block import book_parts, fore_edge
from cutfiles.report.pictures.flat import flat_picture
from cutfiles.report.pictures.standing import standing_picture
from cutfiles.support.design import design
from cutfiles.support.standing import board_of
from cutfiles.words.bench import panel_text, stuck_to

BOOKS = sorted(tilted.BOOKS)


def apart(parts):
    shapes = [Polygon(part.corners) for part in parts]
    for shape, part in zip(shapes, parts, strict=True):
        assert shape.is_valid or shape.area < 1e-6, part
        assert shape.exterior.is_ccw or shape.area < 1e-6, part
    for one, two in itertools.combinations(shapes, 2):
        assert one.intersection(two).area < 1e-6


@pytest.mark.parametrize("number", BOOKS)
def test_whole_and_on_its_support(number):
    support = design(tilted.slip_of(number))
    parts = book_parts(support)
    apart(parts)
    film = LineString(support.places)
    for part in parts:
        # half the spine's clearance is what a board hangs off a joint that stands up
        assert Polygon(part.corners).buffer(-0.4).intersection(film).length < 1e-6
    spines = [part for part in parts if part.kind == "spine"]
    left, right = (half.book for half in support.halves)
    assert [spine.corners[:2] for spine in spines] == ([] if number == "NONE" else [(left, right)])
    if spines:
        assert math.dist(left, right) == pytest.approx(support.slip.opening.spine_width)


def test_joints_stand_at_their_heights():
    """G1 of the worked cases: a step of 20.6 on a spine panel of 33, the spine 32 wide."""
    support = design(tilted.slip_of("RISER"))
    left, right = (half.book for half in support.halves)
    assert left.y - right.y == pytest.approx(20.6)
    assert right.y == pytest.approx(3 * 0.127 + 2 * 0.1)
    edge = fore_edge(support, support.halves[0])
    assert edge.y - left.y == pytest.approx(87.7)
    assert {part.kind for part in book_parts(support) if part.side == "left"} == {"board", "leaves"}


def test_a_cover_alone_has_no_leaves():
    parts = book_parts(design(tilted.slip_of("LONE")))
    assert [(part.kind, part.side) for part in parts] == [
        ("board", "left"),
        ("spine", None),
        ("leaves", "right"),
        ("board", "right"),
    ]
    thick = next(part for part in parts if part.kind == "leaves")
    heights = [y for _, y in thick.corners]
    assert max(heights) - min(heights) == pytest.approx(22 - 2.5, abs=1.5)


@settings(max_examples=drawn(300))
@given(slips())
def test_any_book_is_whole(slip):
    support = design(slip)
    parts = book_parts(support)
    apart(parts)
    for half in support.halves:
        board = next(p for p in parts if (p.kind, p.side) == ("board", half.side))
        edge = fore_edge(support, half)
        assert edge in board.corners
        assert half.book in board.corners
        assert math.dist(edge, half.book) == pytest.approx(board_of(slip, half.side).width)


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("number", BOOKS)
def test_pictures_of_every_kind_are_tidy(number, units):
    made = draft_of(tilted.slip_of(number) if units == "mm" else tilted.in_inches(number))
    check(standing_picture(made.support, made.verdict))
    check(flat_picture(made.pattern, made.support, made.verdict))


@pytest.mark.parametrize("number", BOOKS)
def test_flat_picture_says_what_tape_meets(number):
    """All of it the spine panel, or each something else that the standing picture names."""
    made = draft_of(tilted.slip_of(number))
    flat = html.unescape(flat_picture(made.pattern, made.support, made.verdict).decode())
    alone = number in ("LEVEL", "FLAT")
    assert ("meets the spine panel's" in flat) is alone
    assert ("meets what the standing" in flat) is not alone
    standing = html.unescape(standing_picture(made.support, made.verdict).decode())
    for i, tape in enumerate(made.support.contacts.tapes, 1):
        name = panel_text(made.support.panel(tape.panel))
        assert f"{i} {name} {stuck_to(tape, made.support)}" in standing


def test_standing_picture_tells_what_stands():
    svg = standing_picture(design(tilted.slip_of("RISER"))).decode()
    for said in (
        "joint 21.2",
        "joint 0.6",
        "fore edge 108.9",
        "fore edge 53.0",
        "leg 106.8",
        "leg 51.7",
        "spine panel 33.0, tilt 38.6°",
        "riser tab 12.0 · riser 20.6 · ramp 33.0",
        "1 left riser tab to the left base's table face",
    ):
        assert said in html.unescape(svg), said
    assert len(re.findall("<circle", svg)) == 3
