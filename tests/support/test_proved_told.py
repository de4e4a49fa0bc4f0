"""What a verdict rests on, the tables below it rest on too: the studio's trials."""

import pytest

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.report.text.check import check_table
from cutfiles.support.adjusted import foot_ticks
from cutfiles.support.tolerance import error_effects
from cutfiles.support.trials import Trial
from cutfiles.support.verdict import legs_on_trial

SLIP = slip_from(
    {
        "number": "P1",
        "units": "mm",
        "height": 190,
        "width": 124,
        "spine_width": 32,
        "left_rise": 62,
        "right_rise": 62,
        "weight": "800 g",
        "support": {
            "layers": 1,
            "construction": "plain",
            "edges": "cut",
            "gauge": "10 mil",
            "adjust": "4 mm",
        },
    }
)


def row(leg, number="P1", **more):
    values = {
        "date": "2026-01-02",
        "support": number,
        "lot": "",
        "gauge": leg.gauge,
        "layers": leg.layers,
        "construction": leg.construction,
        "leg": leg.leg,
        "breadth": leg.breadth,
        "face": leg.face,
        "posts": leg.posts,
        "load": 1.5 * leg.load,
        "minutes": 1440.0,
        "result": "stood",
        "side": leg.side,
    }
    return Trial(**(values | more))


@pytest.fixture(scope="module")
def legs():
    tried = draft_of(SLIP)
    assert tried.verdict.state == "make a trial"
    return legs_on_trial(tried.support, tried.verdict.made)


def test_a_proved_piece_meets_no_trial_in_a_table_below(legs):
    draft = draft_of(SLIP, [row(leg) for leg in legs])
    assert draft.verdict.state == "proved"
    effects = error_effects(draft.support, draft.trials)
    assert {state for effect in effects for state in effect.states} <= {"another support"}
    assert foot_ticks(draft.support, draft.trials)
    said = check_table(draft)
    assert "make a trial" not in said
    assert "to be proved again" in said


def test_what_is_surer_by_the_studios_tests_is_so_at_each_tick(legs):
    rows = [
        row(legs[0], f"Q{i}", load=factor * legs[0].load, result="collapsed", side="")
        for i, factor in enumerate((5.0, 5.2, 5.1, 5.3, 5.1))
    ]
    draft = draft_of(SLIP, rows)
    assert draft.verdict.state == "adequate"
    feet = foot_ticks(draft.support, draft.trials)
    assert {state for foot in feet for state in foot.states} == {"adequate"}
    assert "make a trial" in {s for foot in foot_ticks(draft.support, ()) for s in foot.states}
