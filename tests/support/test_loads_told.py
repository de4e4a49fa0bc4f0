"""Loads, walking, leaning and tipping of every kind as `check` tells them, by our own statics."""

import math

import numpy as np
import pytest
import tilted
from test_from_slips import drawn

from cutfiles import check_data, check_table, draft_of, slip_from
from cutfiles.support.carried import carried

G = 9.80665
TOLD = 0.51e-4
"""N; to 0.0001 they are told."""


@pytest.mark.parametrize("number", sorted(tilted.BOOKS))
def test_what_each_part_carries(number):
    """Half a side's weight hangs on its leg; together all parts carry the book."""
    book, step = tilted.BOOKS[number], tilted.STEPS.get(number, 0.0)
    draft = draft_of(tilted.slip_of(number))
    path = check_data(draft)["verdict"]["load_path"]
    told = check_table(draft)
    assert f"  kind       {draft.support.kind}\n" in told
    assert check_data(draft)["kind"] == draft.support.kind
    grams = float(book["weight"].removesuffix(" g"))
    both = book["left_side"] + book["right_side"]
    legs = 0.0
    for side in ("left", "right"):
        weight = grams / 1000 * G * book[f"{side}_side"] / both
        width, rise = book[f"{side}_width"], book[f"{side}_rise"]
        if rise < 8 and step * (1 if side == "left" else -1) <= 0:
            assert "leg_N" not in path.get(side, {})
            continue
        # its weight at half its width, held at the joint and at the panel's end
        leg = weight * width / 2 / (width - 3)
        assert path[side]["leg_N"] == pytest.approx(leg, abs=1e-3)
        assert f"{side} leg {leg:.2f} N" in told
        legs += leg
    total = legs + path["riser_N"] + path["low_joint_N"]
    assert total == pytest.approx(grams / 1000 * G, abs=2 * TOLD)
    assert (path["riser_N"] > 0) == bool(step)
    assert (f"riser {path['riser_N']:.2f} N" in told) == bool(step)
    assert f"friction needed {path['friction']:.2f}" in told
    assert f"it slides at {math.degrees(math.atan(0.3)):.0f}° of tilt, before it tips at" in told


@pytest.mark.parametrize("number", ["RISER", "RIGHT", "STEEP", "LOW"])
def test_the_heap_that_leans_is_held_without_friction(number):
    """Both heaps on their boards, touching, the thick one on the spine panel: forces close.

    The thick side's thrust is stopped by the spine panel, so no friction is needed.
    """
    draft = draft_of(tilted.slip_of(number))
    path = check_data(draft)["verdict"]["load_path"]
    book, step = tilted.BOOKS[number], tilted.STEPS[number]
    grams, both = float(book["weight"].removesuffix(" g")), book["left_side"] + book["right_side"]
    high, low = ("left", "right") if step > 0 else ("right", "left")

    def side(name):
        slope = math.asin(book[f"{name}_rise"] / book[f"{name}_width"])
        return grams / 1000 * G * book[f"{name}_side"] / both, slope

    (upper, a), (lower, b) = side(high), side(low)
    tilt = math.asin(abs(step) / (book["spine_width"] + 1))
    # along the low board: its heap's weight, the high heap's push on it, the spine panel's push N
    push = (lower * math.sin(b) - upper * math.sin(a) * math.cos(a + b)) / math.sin(b + tilt)
    assert path["push_N"] == pytest.approx(max(0.0, push), abs=TOLD)
    thrusts = [w * math.sin(s) * math.cos(s) for w, s in ((upper, a), (lower, b))]
    assert (path["friction"] == 0) == (thrusts[0] <= thrusts[1])
    leans = [f for f in draft.findings if f.rule == "leaning"]
    assert bool(leans) == (push > grams / 1000 * G / 2)


def test_a_book_slides_before_it_tips():
    """Whatever its kind: feet stand near its fore edges. 27° was the least of 2,500 drawn books."""
    for values, draft in drawn(60, 11):
        found = carried(draft.support, 500.0)
        assert found is not None
        assert found.tips_at > found.slides_at + math.radians(5), values


def test_spare_film_holds_no_tape():
    """With ticks the strip ends in spare film, which is cut off: the tab's tape is checked."""
    support = {"layers": 1, "adjust": "4 mm"}
    draft = draft_of(tilted.slip_of("LEVEL", support=support))
    plain = draft_of(tilted.slip_of("LEVEL"))
    assert draft.support.length("spare", "left") > 0
    tapes = [[c for c in d.verdict.checks if c.name == "tape"] for d in (draft, plain)]
    assert [c.place for c in tapes[0]] == ["left tab", "right tab"]
    assert [c.measured for c in tapes[0]] == pytest.approx([c.measured for c in tapes[1]])


def test_a_lone_cover_is_not_told_to_be_the_book():
    slip = {"number": "T1", "units": "mm", "height": 200, "width": 130, "spine_width": 28}
    slip |= {"left_rise": 81, "right_rise": 0, "left_joint": 24, "right_joint": 0}
    slip |= {"left_side": 3, "right_side": 30, "weight": "560 g"}
    draft = draft_of(slip_from(slip))
    assert draft.support.kind == "lone cover"
    told = check_table(draft)
    assert "the lone cover weighs 51 g (at most 1361 g in film)" in told
    assert "the book weighs" not in told


@pytest.mark.parametrize("number", sorted(tilted.BOOKS))
def test_every_force_is_that_of_the_formulas(number):
    """What each half weighs, pulls and pushes, worked from its measures.

    F sin a pulls at the apex; the foot is pushed out by a lean of 5° and film on film, 0.6; the
    board's thrust down its slope, less friction of 0.3, pulls level at the spine panel.
    """
    book = tilted.BOOKS[number]
    path = check_data(draft_of(tilted.slip_of(number)))["verdict"]["load_path"]
    grams, both = float(book["weight"].removesuffix(" g")), book["left_side"] + book["right_side"]
    for side in ("left", "right"):
        weight = grams / 1000 * G * book[f"{side}_side"] / both
        assert path[side]["side_N"] == pytest.approx(weight, abs=TOLD)
        if "leg_N" not in path[side]:
            assert set(path[side]) == {"side_N"}
            continue
        width = book[f"{side}_width"]
        leg, sine = weight * width / (2 * (width - 3)), book[f"{side}_rise"] / width
        cosine = math.sqrt(1 - sine**2)
        assert path[side]["board_N"] == pytest.approx(leg * sine, abs=TOLD)
        assert path[side]["base_N"] == pytest.approx(leg * (math.tan(math.pi / 36) + 0.6), abs=TOLD)
        down, held = weight * sine, weight * min(0.3 * cosine, sine)
        assert path[side]["spine_N"] == pytest.approx((down - held) * cosine, abs=TOLD)


@pytest.mark.parametrize("number", ["LEVEL", "CROSSED", "LAPPED", "FLAT", "NONE"])
def test_a_level_book_walks_unless_friction_closes_the_forces(number):
    """The smaller root of A μ² − (W₁ + W₂) μ + A = 0, A by how much one thrust is the larger."""
    book = tilted.BOOKS[number]
    path = check_data(draft_of(tilted.slip_of(number)))["verdict"]["load_path"]
    grams, both = float(book["weight"].removesuffix(" g")), book["left_side"] + book["right_side"]
    thrusts = []
    for side in ("left", "right"):
        slope = math.asin(book[f"{side}_rise"] / book[f"{side}_width"])
        weight = grams / 1000 * G * book[f"{side}_side"] / both
        thrusts.append((weight, slope))
    (one, a), (two, b) = thrusts
    more = abs(one * math.sin(a) * math.cos(a) - two * math.sin(b) * math.cos(b))
    roots = np.roots([more, -(one + two), more]) if more > 1e-9 else [0.0]
    assert path["friction"] == pytest.approx(min(np.real(roots)), abs=TOLD)
