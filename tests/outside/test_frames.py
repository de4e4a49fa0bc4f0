"""Posts and lips against a general frame-analysis library: bars, and a leg held by its creases."""

import math

import pytest
from frames import frame

from cutfiles.support.constructions.lips import board_across
from cutfiles.support.constructions.posts import FACE, post_load, post_places

CASE = "Combo 1"


def bar(length, supports, load, stiff, ends=True):
    """A bar across the book, evenly loaded, on supports at these places from its tail end."""
    model = frame()
    model.add_material("board", 1000.0, 1000.0, 0.3, 1e-9)
    model.add_section("bar", 1e6, stiff / 1000, stiff / 1000, stiff / 1000)
    places = sorted({0.0, length / 2, length, *supports})
    for i, place in enumerate(places):
        model.add_node(f"n{i}", place, 0, 0)
    model.add_member("bar", "n0", f"n{len(places) - 1}", "board", "bar")
    model.add_member_dist_load("bar", "FY", -load / length, -load / length)
    for i, place in enumerate(places):
        held = place in supports
        model.def_support(
            f"n{i}",
            support_DX=i == 0,
            support_DY=held,
            support_DZ=True,
            support_RX=True,
            support_RY=True,
        )
    model.analyze(check_statics=False)
    return model


def sag(model, length):
    """How far the bar's lowest place lies under its supports."""
    member = model.members["bar"]
    return -min(member.deflection("dy", length * i / 200, CASE) for i in range(201))


@pytest.mark.parametrize(("breadth", "panel", "thickness"), [(201.0, 130.0, 2.0), (228, 147, 3.0)])
def test_board_across_as_a_beam_on_two_supports(breadth, panel, thickness):
    ours, limit = board_across(1.6, 0.4, breadth, panel, thickness, 2000 / 1.5)
    stiff = 2000 / 1.5 * panel / 2 * thickness**3 / 12
    model = bar(breadth, (0.0, breadth), 1.2, stiff)
    assert ours == pytest.approx(sag(model, breadth), rel=1e-4)
    assert limit == breadth / 100


@pytest.mark.parametrize("breadth", [150.0, 201.0, 250.0])
def test_two_posts_stand_where_a_board_sags_least(breadth):
    """A bar on two posts sags 2.5 % of one held at its ends, and near any other place more."""
    held = sag(bar(breadth, (0.0, breadth), 1.0, 1e5), breadth)

    def on_posts(places):
        return sag(bar(breadth, tuple(y + breadth / 2 for y in places), 1.0, 1e5), breadth)

    places = post_places(breadth, 2)
    here = on_posts(places)
    assert here / held == pytest.approx(0.025, abs=0.005)
    for moved in (-0.06, 0.06):
        assert on_posts([y * (1 + moved * 2) for y in places]) > here


@pytest.mark.parametrize(("panel", "slope"), [(130.0, 30.0), (121.0, 45.0), (60.0, 55.0)])
def test_posts_inside_the_apex_carry_more(panel, slope):
    """The board panel as a beam on joint and post, the post 0.3 c inside the apex along it."""
    weight, width, a = 3.0, panel + 3.0, math.radians(slope)
    leg = weight * width / (2 * panel)
    inside = (panel - 0.3 * FACE) / panel
    model = frame()
    model.add_material("board", 1000.0, 1000.0, 0.3, 1e-9)
    model.add_section("bar", 1e6, 1e3, 1e3, 1e3)
    for name, along in (("joint", 0.0), ("post", panel * inside), ("edge", width)):
        model.add_node(name, along * math.cos(a), along * math.sin(a), 0)
    model.add_member("board", "joint", "edge", "board", "bar")
    model.add_member_dist_load("board", "FY", -weight / width, -weight / width)
    model.def_support("joint", True, True, True, True, True, False)
    model.def_support("post", False, True, True, True, True, False)
    model.analyze(check_statics=False)
    assert model.nodes["post"].RxnFY[CASE] == pytest.approx(post_load(leg, panel), rel=1e-5)
