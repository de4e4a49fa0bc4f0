"""Ticks beside a foot: each creased there stands up and gives the rise it says."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cutfiles.support.adjust import MOST_LEAN, Foot, allowance, ticks

feet = st.builds(
    lambda width, slope, joint, tab: Foot(
        width=width, panel=width - 3, slope=math.radians(slope), joint=joint, tab=tab
    ),
    st.floats(60, 260),
    st.floats(5, 72),
    st.floats(0.2, 40),
    st.sampled_from([0.0, 12.0, 16.0]),
)


def stood(foot, tick):
    """The triangle of base, leg and board, from its three lengths; the foot at (0, 0).

    Returns apex and joint; the joint stands over the base's end at its own height.
    """
    joint = (tick.base, foot.joint)
    apart = math.hypot(*joint)
    along = (tick.leg**2 - foot.panel**2 + apart**2) / (2 * apart)
    off = math.sqrt(tick.leg**2 - along**2)
    ex, ey = joint[0] / apart, joint[1] / apart
    return (along * ex - off * ey, along * ey + off * ex), joint


@given(feet)
def test_tick_stands_up_as_it_says(foot):
    for tick in ticks(foot):
        apex, joint = stood(foot, tick)
        slope = math.atan2(apex[1] - joint[1], joint[0] - apex[0])
        assert slope == pytest.approx(tick.slope, abs=1e-6)
        rise = foot.width * (math.sin(slope) - math.sin(foot.slope))
        assert rise == pytest.approx(tick.rise, abs=1e-5)
        assert math.atan2(apex[0], apex[1]) == pytest.approx(tick.lean, abs=1e-6)
        assert tick.opens == pytest.approx(foot.slope - slope, abs=1e-6)
        assert (tick.rise > 0) == (tick.opens < 0), "higher closes the book"


@given(feet)
def test_film_is_neither_made_nor_lost(foot):
    for tick in ticks(foot):
        whole = foot.leg + foot.base + foot.tab
        assert tick.leg + tick.base + tick.tab + tick.trim == pytest.approx(whole)
        assert tick.leg == pytest.approx(foot.leg + tick.shift)
        assert not foot.tab or tick.lean == 0


@given(feet)
def test_allowance_leaves_every_tab_whole(foot):
    assume(foot.tab)
    more = allowance(foot)
    longer = Foot(
        width=foot.width, panel=foot.panel, slope=foot.slope, joint=foot.joint, tab=12 + more
    )
    made = list(ticks(longer))
    assert all(tick.holds and tick.tab == pytest.approx(12) for tick in made)
    assert more == 0 or min(tick.trim for tick in made) == pytest.approx(0, abs=1e-9)
    assert more < 4 or foot.slope > math.radians(60), "4 mm do, but for the steepest"


def test_ticks_that_cannot_be_are_left_out():
    flat = Foot(width=100, panel=97, slope=math.asin(0.03), joint=0.2, tab=12)
    assert [tick.rise for tick in ticks(flat)] == [-2, 2, 4]
    steep = Foot(width=100, panel=97, slope=math.asin(0.94), joint=0.2, tab=12)
    assert [tick.rise for tick in ticks(steep)] == [-4, -2, 2]


@pytest.mark.parametrize("tab", [16.0, 0.0])
def test_no_tick_is_steeper_than_a_slip_may_be(tab):
    foot = Foot(width=133, panel=130, slope=math.radians(74.5), joint=0.2, tab=tab)
    assert [tick.rise for tick in ticks(foot)] == [-4.0, -2.0]


def test_leg_leans_where_the_base_ends_in_a_crease():
    roofed = Foot(width=124, panel=121, slope=math.radians(45), joint=21.2, tab=0)
    made = {tick.rise: tick for tick in ticks(roofed)}
    assert all(0 < tick.lean < math.radians(0.2) for tick in made.values() if abs(tick.rise) == 4)
    assert all(tick.holds for tick in made.values())
    shallow = Foot(width=60, panel=57, slope=math.radians(8), joint=0.2, tab=0)
    lean = {tick.rise: tick for tick in ticks(shallow)}[-4.0]
    assert lean.holds == (abs(lean.lean) <= MOST_LEAN)
    assert not lean.holds


def test_tab_without_allowance_grows_too_short():
    foot = Foot(width=133, panel=130, slope=math.radians(10), joint=0.2, tab=12)
    made = {tick.rise: tick for tick in ticks(foot)}
    assert made[4.0].tab == pytest.approx(12 - 3.910 + 0.751, abs=1e-3)
    assert [made[rise].holds for rise in (-4.0, -2.0, 2.0, 4.0)] == [True, True, True, False]
