"""Straps: as many as there are sides to hold, long enough to go round and lap."""

import pytest
from conftest import BOOK, SAMPLES
from hypothesis import given
from strategies import slips

from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.support.design import design
from cutfiles.support.straps import BROAD, NARROW, strap_length, straps


def of(name):
    return straps(design(read_slip(SAMPLES / f"{name}.toml")))


def test_by_hand():
    """H 203, sides 17 and 16: 2·(203+17)+20 = 460, 2·(203+16)+20 = 458."""
    left, right = of("A1")
    assert (left.side, right.side) == ("left", "right")
    assert (left.cut_length, right.cut_length) == (460, 458)
    assert (left.width, left.lap, left.from_fore_edge) == (13, 20, 10)
    assert left.measured


def test_lone_cover_gets_none_but_a_limp_one_does():
    assert [strap.side for strap in of("A4")] == ["right"]
    assert [strap.side for strap in of("B2")] == ["left", "right"]


def test_small_books_get_narrow_ones():
    assert {strap.width for strap in of("B1")} == {NARROW}
    assert {strap.width for strap in of("A1")} == {BROAD}
    assert of("B1")[0].from_fore_edge == pytest.approx(38 / 8, abs=0.06)


@given(slips())
def test_goes_round_and_laps(slip):
    for strap in straps(design(slip)):
        round_it = 2 * (slip.book.height + strap.held)
        assert round_it + 20 <= strap.cut_length < round_it + 20 + 1  # a lap of 20 mm
        board = slip.opening.left if strap.side == "left" else slip.opening.right
        assert strap.from_fore_edge + strap.width < board.width


@pytest.mark.parametrize(
    ("way", "off"),
    [
        # a slot of 1 more than the strap keeps 5 off the apex, 3 inwards of the fore edge
        ("plain", 10),
        # and off the heads of posts, triangles of 12: c √3/2 / cos 30° + 3
        ("posts", 3 + 12 + 3 + 0.5),
    ],
)
def test_a_strap_through_slots_runs_off_the_heads_of_posts(way, off):
    wish = {"construction": way, "gauge": "5 mil", "layers": 1, "strap_slots": "yes", "posts": 2}
    found = straps(design(slip_from({**BOOK, "support": wish})))
    assert [strap.from_fore_edge for strap in found] == [off, off]


def test_length_is_rounded_up():
    assert strap_length(100.0, 10.2) == 241


def test_thin_sides_of_a_pamphlet_have_leaves_to_hold():
    """Two sides of 3 mm are a thin book, not two covers alone; 3 mm beside 22 are one."""
    thin = {"left_side": 3, "right_side": 3, "spine_width": 6}
    alone = {"left_side": 3, "right_side": 22, "spine_width": 25}
    sides = [
        [strap.side for strap in straps(design(slip_from({**BOOK, "opening_angle": 150, **more})))]
        for more in (
            thin,
            alone,
            {**alone, "left_side": 22, "right_side": 3},
            {**alone, "cover": "limp"},
        )
    ]
    assert sides == [["left", "right"], ["right"], ["left"], ["left", "right"]]
