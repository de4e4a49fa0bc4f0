"""A cover that lies alone, from what was measured, and what each side then weighs, by hand.

A half taken for a lone cover gets a leg for the weight of a cover: under a half book it buckles.
"""

import pytest

from cutfiles.bench.slip import slip_from
from cutfiles.support.lone import loads, lone_side

BOOK = {
    "number": "A1",
    "units": "mm",
    "height": 203,
    "width": 133,
    "spine_width": 34,
    "thickness": 34,
    "opening_angle": 120,
    "weight": "680 g",
}
WEIGHS = 680 * 9.80665 / 1000

MEASURED = [
    # what was measured, the lone side, the left side's share of the weight
    ({}, None, 1 / 2),
    ({"left_side": 12, "right_side": 22}, None, 12 / 34),
    # of one side alone the other is the rest of the book
    ({"left_side": 17}, None, 1 / 2),
    ({"right_side": 17}, None, 1 / 2),
    ({"left_side": 28}, None, 1 / 2),
    ({"right_side": 28}, None, 1 / 2),
    ({"left_side": 3}, "left", 3 / 34),
    ({"right_side": 3}, "right", 31 / 34),
    # the thin side lies alone though the thick one was measured: it weighs as a cover, 2.5
    ({"left_side": 31}, "right", 31.5 / 34),
    ({"right_side": 31}, "left", 2.5 / 34),
    # nothing of the book is left for the other side: no less than a cover
    ({"left_side": 36}, "right", 31.5 / 34),
    ({"right_side": 36}, "left", 2.5 / 34),
    ({"right_side": 36, "cover": "limp"}, "left", 0.4 / 34),
    ({"thickness": 3, "left_side": 3}, "right", 1 / 2),
    ({"thickness": 3, "right_side": 3}, "left", 1 / 2),
    # thin beside the other (a fifth of both), and not over 5
    ({"left_side": 5, "right_side": 20.1}, "left", 5 / 25.1),
    ({"left_side": 5, "right_side": 19.9}, None, 5 / 24.9),
    ({"left_side": 20.1, "right_side": 5}, "right", 20.1 / 25.1),
    ({"left_side": 5.1, "right_side": 30}, None, 5.1 / 35.1),
    ({"left_side": 30, "right_side": 5.1}, None, 30 / 35.1),
    # what is shown tells it where nothing was measured, and only there
    ({"opening": "front pastedown"}, "left", 2.5 / 34),
    ({"opening": "title page", "cover": "limp"}, "left", 0.4 / 34),
    ({"opening": "title page", "left_side": 14, "right_side": 20}, None, 14 / 34),
    ({"opening": "title page", "right_side": 20}, None, 1 / 2),
]


@pytest.mark.parametrize(("measured", "lone", "share"), MEASURED, ids=str)
def test_each_side_weighs_what_lies_on_it(measured, lone, share):
    slip = slip_from({**BOOK, **measured})
    assert lone_side(slip) == lone
    assert loads(slip, 680.0) == pytest.approx((WEIGHS * share, WEIGHS * (1 - share)), rel=1e-9)
