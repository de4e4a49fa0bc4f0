"""The table of fit: judged at its limits, the worst decides."""

import pytest
import tilted

from cutfiles.support.design import design
from cutfiles.support.fit import FIT, judge_fit, row_of, worst_of
from cutfiles.support.standing import board_of


@pytest.mark.parametrize(
    ("part", "harmless", "ask", "never"),
    [
        ("joint", (0, 2, -2), (2.01, 4, -2.01, -4), (4.01, -4.01)),
        ("fore edge", (2, -2), (2.5, -4), (4.5, -5)),
        ("slope", (3, -3), (3.1, 5, -5), (5.1, -5.1)),
        ("spine panel", (0, 3), (3.1, 6, -0.1, -1), (6.1, -1.1)),
    ],
)
def test_judged(part, harmless, ask, never):
    assert {judge_fit(part, off) for off in harmless} == {"harmless"}
    assert {judge_fit(part, off) for off in ask} == {"ask"}
    assert {judge_fit(part, off) for off in never} == {"not to be used"}


def test_every_part_has_a_row_and_the_worst_decides():
    assert [row_of(row.part) for row in FIT] == list(FIT)
    assert worst_of([]) == "harmless"
    assert worst_of([judge_fit("joint", 1), judge_fit("slope", 4)]) == "ask"
    several = [judge_fit("joint", -5), judge_fit("slope", 4), judge_fit("spine panel", 0)]
    assert worst_of(several) == "not to be used"


@pytest.mark.parametrize("gauge", [0.127, 0.254])
@pytest.mark.parametrize("low_rise", [0.0, 45.0])
def test_no_riser_is_built_into_the_zone_to_ask_about(low_rise, gauge):
    """Steps of the joints by 0.1 mm, round where spine panel and high board fall into one line."""
    rules = set()
    for tenths in range(90, 321):
        slip = tilted.slip_of(
            "RISER", left_joint=tenths / 10, right_rise=low_rise, support={"gauge": f"{gauge} mm"}
        )
        made = design(slip)
        rules |= {one.rule for one in made.told}
        for half in made.halves:
            off = half.book.y - board_of(slip, half.side).joint
            assert judge_fit("joint", off) == "harmless", (tenths, half.side, off)
    assert "in-line" in rules
