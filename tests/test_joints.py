"""Joints and fore edges as measured: resolved, contradicted, predicted."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.laid_drawn import CASES, measured_of

from cutfiles.bench.guess import Heap, follow_leaves, guess_step
from cutfiles.bench.heights import Heights, Measured
from cutfiles.bench.joints import resolve_joints
from cutfiles.errors import Place


def book(**changes):
    """A book of even sides, one joint 12 high: nothing to ask."""
    left = Heights(width=120, rise=60, joint=12, side=9)
    right = Heights(width=120, rise=50, joint=0, side=20)
    return replace(Measured(left=left, right=right, spine_width=30), **changes)


def side(measured, name, **changes):
    return replace(measured, **{name: replace(getattr(measured, name), **changes)})


def rules(measured):
    return [(doubt.rule, doubt.path, doubt.severity) for doubt in resolve_joints(measured).doubts]


def test_sound_book_raises_no_doubt():
    joints = resolve_joints(book())
    assert (joints.step, joints.lowered, joints.measured, joints.doubts, joints.told) == (
        *(12, 0, True),
        *((), ()),
    )
    assert joints.tilt == pytest.approx(math.degrees(math.asin(12 / 30)))
    assert (joints.left.joint, joints.left.fore_edge, round(joints.left.slope, 9)) == (12, 72, 30)
    assert (joints.right.joint, joints.right.fore_edge) == (0, 50)


@pytest.mark.parametrize(
    ("measured", "found"),
    [
        (side(book(), "left", fore_edge=76), ("heights", "left_fore_edge", "ask")),
        (side(book(), "left", fore_edge=74), None),
        (
            side(side(book(), "left", joint=31, side=None), "right", rise=9),
            ("step", "left_joint", "ask"),
        ),
        (side(side(book(), "left", joint=33.5), "right", rise=9), ("step", "left_joint", "stop")),
        (side(book(), "left", rise=-4), ("hangs", "left_rise", "stop")),
        (side(book(), "left", rise=None, fore_edge=8), ("hangs", "left_fore_edge", "stop")),
        (side(book(), "left", rise=121), ("rise", "left_rise", "stop")),
        (side(book(), "right", joint=None, fore_edge=40), ("fore-edge", "right_fore_edge", "stop")),
        (side(side(book(), "left", joint=29, side=None), "right", rise=45), None),
        (
            side(side(book(), "left", joint=29, side=None), "right", rise=48),
            ("turn", "left_joint", "ask"),
        ),
        (book(spine_tilt=31), ("tilt", "spine_tilt", "ask")),
        (book(spine_tilt=29), None),
        (side(book(), "left", side=31), ("swapped", "left_joint", "ask")),
        (side(book(), "left", joint=1), ("band", "left_joint", "ask")),
        (side(book(), "left", joint=None), ("band", "right_joint", "ask")),
        (book(span=250), ("span", "span", "ask")),
        (book(span=242), None),
        (
            side(side(book(), "left", rise=None, fore_edge=72, slope=36), "right", side=None),
            ("slope", "left_slope", "ask"),
        ),
    ],
)
def test_contradiction(measured, found):
    assert rules(measured) == ([found] if found else [])


@pytest.mark.parametrize(
    ("field", "limit", "over"),
    [
        ("fore_edge", 75.0, 0.01),
        ("spine_tilt", math.degrees(math.asin(0.4)) + 6, 0.01),
        (
            "span",
            120 * math.cos(math.radians(30)) + 30 * math.sqrt(0.84) + 120 * 0.9090593 + 5,
            0.01,
        ),
    ],
)
def test_limit_is_where_it_is_told(field, limit, over):
    for value, asked in ((limit - over, 0), (limit + over, 1)):
        measured = (
            side(book(), "left", fore_edge=value)
            if field == "fore_edge"
            else book(**{field: value})
        )
        assert len(resolve_joints(measured).doubts) == asked


def test_doubt_says_what_was_found_needed_and_done():
    doubt = resolve_joints(side(book(), "left", rise=-4)).doubts[0]
    fault = doubt.fault(Place(file="slip A2.toml"))
    assert str(fault) == (
        "slip A2.toml, left_rise: found -4.0 mm; the fore edge lies 4.0 mm below its joint: "
        "the board hangs; prop the board until it is level, and measure again"
    )
    asked = resolve_joints(book(span=250)).doubts[0].finding
    assert asked.message == (
        "span: is 250.0 mm right? widths, slopes and spine make 240.5 mm from fore edge to fore "
        "edge; widths, slopes and spine were used"
    )
    assert (asked.severity, asked.limit) == ("ask", 5.0)
    assert asked.measured == pytest.approx(250 - 240.5, abs=0.05)


def test_one_joint_alone_is_told():
    joints = resolve_joints(side(book(), "right", joint=None))
    assert (joints.step, joints.doubts) == (12, ())
    assert [(one.place, one.message) for one in joints.told] == [
        ("right_joint", "the left joint alone was measured: the right one is on the table")
    ]


def test_both_above_the_table_are_set_down():
    joints = resolve_joints(side(side(book(), "left", joint=21), "right", joint=9))
    assert (joints.step, joints.lowered, joints.left.joint, joints.right.joint) == (12, 9, 12, 0)
    assert [one.message for one in joints.told] == [
        "both joints were off the table: set down by 9.0 mm"
    ]
    inches = resolve_joints(replace(side(book(), "right", joint=6.35), units="in"))
    assert "set down by 6.3 mm (1/4 in)" in inches.told[0].message


def test_fore_edge_stands_for_the_rise():
    by_edge = side(book(), "left", rise=None, fore_edge=72)
    assert resolve_joints(by_edge) == resolve_joints(book())


def test_tilt_alone_gives_the_step_and_joints_win_over_it():
    bare = side(side(book(), "left", joint=None), "right", joint=None)
    tilted = resolve_joints(replace(bare, spine_tilt=-20))
    assert tilted.step == pytest.approx(-30 * math.sin(math.radians(20)))
    assert (tilted.tilt, tilted.measured) == (pytest.approx(-20), True)
    both = resolve_joints(book(spine_tilt=20))
    assert both.step == 12
    assert [one.rule for one in both.told] == ["tilt"]


def test_unmeasured_joints_are_level_and_asked_for():
    bare = side(side(book(), "left", joint=None), "right", joint=None)
    joints = resolve_joints(bare)
    assert (joints.step, joints.measured) == (0, False)
    assert [(doubt.rule, doubt.path, doubt.severity) for doubt in joints.doubts] == [
        ("joint", "left_joint", "ask")
    ]
    assert joints.doubts[0].needed.startswith("the left joint probably stands ")
    answered = resolve_joints(side(side(bare, "left", joint=0), "right", joint=0))
    assert answered.doubts == (), "both written 0 is an answer"
    even = side(side(bare, "left", side=15, rise=50), "right", side=15)
    assert resolve_joints(even).doubts == ()
    unknown = side(bare, "left", side=None)
    assert resolve_joints(unknown).guess is None
    assert resolve_joints(unknown).doubts == ()


def test_upright_spine_makes_no_limit_of_nothing():
    upright = side(book(spine_tilt=60), "left", joint=30, side=None)
    assert [doubt.rule for doubt in resolve_joints(upright).doubts] == ["turn"]


@pytest.mark.parametrize("case", CASES["refused"], ids=lambda case: case["name"])
def test_refused_case(case):
    doubts = resolve_joints(measured_of(case["slip"])).doubts
    refused = any(doubt.severity == "stop" for doubt in doubts)
    assert refused == ("spine panel under 8" not in case["name"]), "that one the strip refuses"


# --- predicted -------------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES["predict"], ids=lambda case: str(case["left_side"]))
def test_predicted_case(case):
    found = guess_step(
        Heap(case["left_side"], case["left_slope"]),
        Heap(case["right_side"], case["right_slope"]),
        case["spine_width"],
    )
    for name, value in case["expected"].items():
        assert getattr(found, name) == pytest.approx(value, abs=1e-3), name
    assert found.is_asked == (abs(case["expected"]["step"]) >= 4)


sides = st.floats(2.5, 80)
slopes = st.floats(0, 75)


@given(sides, slopes, st.floats(5, 90))
def test_even_heaps_stay_level(thick, slope, spine):
    found = guess_step(Heap(thick, slope), Heap(thick, slope), spine)
    assert found.step == pytest.approx(0, abs=1e-9)
    assert (found.low, found.high) == pytest.approx((-2, 2))


@given(sides, slopes, slopes, st.floats(5, 90))
def test_nothing_on_one_side_stands_the_spine_square_to_the_other(thick, slope, other, spine):
    found = guess_step(Heap(2.5, other), Heap(thick + 1, slope), spine)
    assert found.stiff_tilt == pytest.approx(90 - slope)


@given(sides, slopes, sides, slopes, st.floats(5, 90))
def test_mirrored_book_is_predicted_mirrored(left, a, right, b, spine):
    one = guess_step(Heap(left, a), Heap(right, b), spine)
    other = guess_step(Heap(right, b), Heap(left, a), spine)
    assert (one.step, one.low, one.high) == pytest.approx(
        (-other.step, -other.high, -other.low), abs=1e-9
    )
    assert one.low <= one.step <= one.high


@given(sides, slopes, sides, slopes)
def test_stiff_spine_bends_its_heaps_least(left, a, right, b):
    """No other tilt needs less work: Σ k b², b = 90 − turn at each joint."""
    found = guess_step(Heap(left + 1, a), Heap(right + 1, b), 30)

    def work(tilt):
        bends = (90 - a + tilt, 90 - b - tilt)
        return (left - 1.5) * bends[0] ** 2 + (right - 1.5) * bends[1] ** 2

    least = work(found.stiff_tilt)
    assert all(work(found.stiff_tilt + by) >= least for by in (-1, -0.1, 0.1, 1))


@pytest.mark.parametrize("case", CASES["follow_leaves"], ids=lambda case: str(case["page_angle"]))
def test_followed_leaves(case):
    found = follow_leaves(
        Heap(case["left_side"], case["left_slope"]),
        Heap(case["right_side"], case["right_slope"]),
        case["page_angle"],
    )
    assert (found.left, found.right) == pytest.approx(tuple(case["expected"]))
    opening = 180 - found.left - found.right
    assert found.short == pytest.approx(max(0, opening - case["page_angle"]))


def test_slopes_are_raised_no_further_than_the_steepest():
    found = follow_leaves(Heap(2, 60), Heap(30, 10), 40)
    assert found.left == 75
    assert found.right == pytest.approx(10 + 70 * 2 / 32)
    assert found.short == pytest.approx(180 - found.left - found.right - 40)
