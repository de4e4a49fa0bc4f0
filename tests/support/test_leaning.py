"""Loads of a tilted book against the worked cases and against equilibrium solved otherwise."""

import dataclasses
import math

import pytest
from conftest import outside_module
from laid_drawn import CASES, lay_out, wanted_of

from cutfiles.bench.guess import Heap, guess_step
from cutfiles.plane.shapes import Point
from cutfiles.support.leaning import LoadedSide, friction_needed, loads_of
from cutfiles.support.loads import side_weights, walking_friction


def loaded(slip):
    """High and low side of a case on its strip; level ones in the order left, right."""
    wanted, strip = wanted_of(slip), lay_out(wanted_of(slip))
    weights = side_weights(slip["weight"], slip["left_side"], slip["right_side"])
    left = strip.profile.index("left board")
    joints = strip.places[left + 1], strip.places[strip.profile.index("right board")]
    xs = [place.x for place in strip.places]
    sides = []
    for name, lie, weight, joint, foot in zip(
        ("left", "right"), (wanted.left, wanted.right), weights, joints, (min(xs), max(xs)),
        strict=True,
    ):  # fmt: off
        stands = f"{name} leg" in [panel.name for panel in strip.profile.panels]
        sides.append(
            LoadedSide(
                weight=weight,
                width=slip[f"{name}_width"],
                panel=lie.panel,
                slope=lie.slope if stands else 0.0,
                side=slip[f"{name}_side"],
                joint=joint,
                foot=foot,
                stands=stands,
            )
        )
    return sides, strip


@pytest.mark.parametrize("case", CASES["show"], ids=lambda case: str(case["id"]))
def test_worked_loads(case):
    (high, low), strip = loaded(case["slip"])
    meant, found = case["expected"]["loads"], loads_of(high, low, strip.tilt)
    assert found.high_leg == pytest.approx(meant["left_leg"], abs=1e-4)
    assert found.low_leg == pytest.approx(meant["right_leg"], abs=1e-4)
    assert found.riser == pytest.approx(meant["riser"], abs=1e-4)
    assert found.low_joint == pytest.approx(meant["low_joint"], abs=1e-4)
    assert found.push == pytest.approx(meant["push"], abs=1e-4)
    assert found.friction_needed == pytest.approx(meant["friction_needed"], abs=1e-4)
    assert found.centre == pytest.approx((meant["weight_x"], meant["weight_y"]), abs=1e-3)
    assert found.margin == pytest.approx(meant["margin"], abs=1e-3)
    assert math.degrees(found.tips_at) == pytest.approx(meant["tips_at"], abs=1e-3)
    assert found.weight == pytest.approx(case["slip"]["weight"] / 1000 * 9.80665)
    assert found.slides_at < found.tips_at, "it slides first"


def side(weight, slope, foot):
    return LoadedSide(
        weight=weight,
        width=120,
        panel=117,
        slope=math.radians(slope),
        side=10,
        joint=Point(0, 0),
        foot=foot,
    )


@pytest.mark.parametrize(("a", "b", "tilt"), [(45, 25, 38), (30, 30, 10), (10, 60, 20)])
def test_push_is_what_keeps_two_heaps_still(a, b, tilt):
    """Both heaps without friction: forces across their boards, between them, across the spine."""
    numpy = outside_module("numpy")
    high, low = side(1.0, a, -110), side(4.0, b, 110)
    a, b, tau = math.radians(a), math.radians(b), math.radians(tilt)
    # unknown: board on high heap, high heap on low one (down the high board), board on low, spine
    rows = numpy.array(
        [
            [math.sin(a), -math.cos(a), 0, 0],
            [math.cos(a), math.sin(a), 0, 0],
            [0, math.cos(a), -math.sin(b), math.sin(tau)],
            [0, -math.sin(a), math.cos(b), math.cos(tau)],
        ]
    )
    _, _, _, spine = numpy.linalg.solve(rows, [0, high.weight, 0, low.weight])
    found = loads_of(high, low, tau)
    assert found.push == pytest.approx(max(0, spine))


def test_low_sides_thrust_needs_no_friction_the_high_sides_does():
    thin, thick = side(0.5, 40, -110), side(4.0, 25, 110)
    assert friction_needed(thin, thick, 0.6) == 0
    flat = dataclasses.replace(thick, slope=0.0)
    needed = walking_friction((0.5, 4.0), (thin.slope, 0.0))
    assert friction_needed(thin, flat, 0.6) == needed > 0
    assert friction_needed(thin, thick, 0.0) > 0, "level: as before"


def test_a_level_linkage_has_no_riser_to_load():
    found = loads_of(side(2.0, 30, -110), side(3.0, 30, 110), 0.0)
    assert (found.riser, found.push, found.leans_hard) == (0, 0, False)


def test_a_hard_leaning_heap_is_told():
    (high, low), strip = loaded(CASES["show"][0]["slip"])
    assert not loads_of(high, low, strip.tilt).leans_hard  # 1.9 N of 5.3
    steep = dataclasses.replace(low, slope=math.radians(55))
    assert loads_of(high, steep, strip.tilt).leans_hard


def test_first_case_lies_in_its_predicted_band():
    slip = CASES["show"][0]["slip"]
    wanted = wanted_of(slip)
    heaps = [
        Heap(slip[f"{name}_side"], math.degrees(lie.slope))
        for name, lie in (("left", wanted.left), ("right", wanted.right))
    ]
    found = guess_step(*heaps, slip["spine_width"])
    assert found.low < slip["left_joint"] < found.high
