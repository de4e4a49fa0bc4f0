"""Strength by the handbook: the formulas are written out here and share no number with the package.

Beam and column: any handbook of strength of materials. Moduli, creep, friction and tape are those
of the design (common practice, from memory), written down a second time.
"""

import json
import math

import pytest
from dangers.jobs import run, slip

from cutfiles.support.limits import cover_stiffness, most_sag
from cutfiles.support.loads import spine_tension

G = 9.80665
PAPER = 2000.0  # MPa, board and paper in bending
TAPE = G / 6000  # N/mm² in lasting shear: 60 cm² to the kg
FRICTION = 0.3
GRIPS = 0.6  # polyester on polyester, the unsafe end
HEAVIEST = 1360.8  # g, three pounds of 453.6 g


def test_sag_is_capped_at_three_millimetres():
    assert most_sag(120.0) == pytest.approx(2.0)
    assert most_sag(300.0) == pytest.approx(3.0)
    assert most_sag(180.0) == pytest.approx(3.0)


@pytest.mark.parametrize("thick", [1.0, 2.0, 3.0])
def test_a_board_stiffens_with_the_third_power(thick):
    """E · b · t³ / 12 of a plate of its own, beside the cover's leaves."""
    bare = cover_stiffness("limp", 200.0, 10.0)
    with_board = cover_stiffness("limp", 200.0, 10.0, thick)
    assert with_board - bare == pytest.approx(PAPER * 200.0 * thick**3 / 12)
    leaves = 10.0 / 0.1
    assert bare == pytest.approx(leaves * PAPER * 200.0 * 0.1**3 / 12)


def test_a_book_that_does_not_slide_pulls_on_no_spine():
    """Friction holds no more than what would slide: below its angle nothing is left to pull."""
    flat = math.atan(0.2)
    assert spine_tension(5.0, flat) == pytest.approx(0.0, abs=1e-12)
    steep = math.radians(40)
    left = 5.0 * (math.sin(steep) - FRICTION * math.cos(steep)) * math.cos(steep)
    assert spine_tension(5.0, steep) == pytest.approx(left)
    assert all(spine_tension(5.0, math.radians(a)) >= 0 for a in range(0, 60, 3))


def verdict(folder, **fields):
    """What the command says of a slip, as data."""
    path = slip(folder, **fields)
    ended = run("check", path, "--json")
    data = json.loads(ended.stdout)
    return data["verdict"]


def one(found, check, place):
    return next(c for c in found["checks"] if (c["check"], c["place"]) == (check, place))


BOOK = {
    "height": 180,
    "width": 120,
    "spine_width": 40,
    "left_side": 22,
    "right_side": 18,
    "weight": "500 g",
}


def force(side, sides=40):
    """The leg's share: half of its side's weight, from the board's middle to the leg at P."""
    return 0.5 * G * side / sides * 120 / (2 * (120 - 3))


CUT = {"layers": 1, "gauge": "5 mil", "construction": "plain", "edges": "cut"}


@pytest.mark.parametrize(("tab", "tape"), [("12 mm", 6.0), ("18 mm", 12.0), ("30 mm", 12.0)])
def test_tape_of_its_real_length_and_width(tab, tape, tmp_path):
    """As long as the breadth less 3 mm at either end, as wide as the tab less its insets, ≤ 12."""
    fields = {**BOOK, "spine_width": 70}
    found = verdict(tmp_path, **fields, support={**CUT, "tab_most": tab})
    length = (180 - 2 * 1) - 2 * 3
    for side, thick in (("left", 22), ("right", 18)):
        used = force(thick) * (math.tan(math.radians(5)) + GRIPS) / (length * tape * TAPE)
        assert one(found, "tape", f"{side} tab")["measured"] == pytest.approx(used, rel=2e-3)


def test_a_board_under_boards_carries_nothing_more(tmp_path):
    """A stiff board is laid under a limp cover; under boards there is none to be counted."""
    sags = []
    for board in ("0 mm", "2 mm"):
        found = verdict(
            tmp_path, **BOOK, support={"layers": 1, "gauge": "5 mil", "stiff_board": board}
        )
        sags.append(one(found, "sag", "left board")["measured"])
    assert sags[0] == sags[1]
    limp = [
        verdict(
            tmp_path,
            **BOOK,
            cover="limp",
            support={"layers": 1, "gauge": "5 mil", "stiff_board": board},
        )
        for board in ("0 mm", "2 mm")
    ]
    first, second = (one(found, "sag", "left board")["measured"] for found in limp)
    assert second < first / 2


def test_nothing_carries_more_than_practice(tmp_path):
    """A small book in the stoutest film: three pounds at the most, whatever the formulas say."""
    found = verdict(
        tmp_path,
        height=240,
        width=60,
        spine_width=60,
        left_slope=20,
        right_slope=20,
        weight="300 g",
        support={"layers": 1, "gauge": "10 mil", "tab_most": "18 mm"},
    )
    for number in ("carries_g", "tries_g"):
        assert found[number] == HEAVIEST


@pytest.mark.parametrize("cover", ["limp", "boards"])
def test_what_is_worth_a_trial(cover, tmp_path):
    """Tied layers bear five times as much at the most; sag and tape stay."""
    book = {**BOOK, "spine_width": 30, "cover": cover}
    found = verdict(tmp_path, **book, support={"layers": 3, "gauge": "5 mil"})
    most = HEAVIEST
    for check in found["checks"]:
        if check["check"] == "leg":
            most = min(most, 500 * 5 * check["measured"] / check["limit"])
        elif check["check"] in ("sag", "tape"):
            most = min(most, 500 * check["limit"] / check["measured"])
    assert found["tries_g"] == pytest.approx(most, rel=2e-3)
    if cover == "limp":
        assert most < HEAVIEST / 2  # it is the sag that decides
