"""The 34 invented books: each gets an answer that one would defend to a conservator."""

import pytest
from scenarios import rows, scenario_slips, values_of

from cutfiles.bench.questions import queries
from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import DesignError
from cutfiles.job.make import make
from cutfiles.support.design import design
from cutfiles.support.states import STATES

SLIPS = scenario_slips()
NO_CRADLE = {"C3": "closed book"}


def answer(number):
    return draft_of(SLIPS[number]).verdict


def test_there_are_34():
    assert len(rows()) == len(SLIPS) == 34


@pytest.mark.parametrize("number", sorted(set(SLIPS) - set(NO_CRADLE)))
def test_every_book_has_a_verdict(number):
    verdict = answer(number)
    assert verdict.state in STATES
    assert verdict.governing in verdict.checks
    assert verdict.governing.state == verdict.state
    # whatever does not hold comes with what would
    assert bool(verdict.changes) == (not verdict.holds)


@pytest.mark.parametrize(("number", "found"), NO_CRADLE.items())
def test_no_cradle(number, found):
    """A closed book: refused, with what to do."""
    with pytest.raises(DesignError, match=found) as refusal:
        draft_of(SLIPS[number])
    assert "another" in refusal.value.fault.remedy


@pytest.mark.parametrize("low", [{}, {"left_slope": 0}, {"right_slope": 0}])
def test_what_is_shown_may_be_called_closed(low):
    """It is an open book that is made: both boards rise, or one."""
    opening = {"left_slope": 30, "right_slope": 30, "opening": "p. 3, the closed gate"} | low
    book = {"number": "X", "units": "mm", "height": 203, "width": 133, "spine_width": 34}
    assert draft_of(slip_from(book | opening)).support.halves


def test_the_folio_is_refused():
    """F2: too tall and far too heavy; no film helps."""
    verdict = answer("F2")
    assert verdict.refused
    assert verdict.beyond
    assert (verdict.governing.name, verdict.governing.measured) == ("weight", 7259)
    with pytest.raises(DesignError, match="7259 g") as refusal:
        make(SLIPS["F2"], formats=["svg"])
    assert "another kind of support" in refusal.value.fault.remedy
    assert make(SLIPS["F2"], formats=["svg"], anyway=True).draft.verdict.refused


@pytest.mark.parametrize(
    ("number", "state", "check"),
    [
        ("A1", "adequate", "across"),
        ("A4", "make a trial", "joints"),
        ("B1", "adequate", "leg"),
        ("B2", "adequate", "sag"),
        ("D1", "another support", "sag"),
        ("F1", "adequate", "tape"),
        ("H2", "make a trial", "joints"),
        ("I1", "another support", "sag"),
        ("J1", "another support", "weight"),
    ],
)
def test_of_what_can_be_drawn(number, state, check):
    verdict = answer(number)
    assert (verdict.state, verdict.governing.name) == (state, check)


def test_limp_oblongs_want_a_board():
    for number in ("D1", "A3", "E3"):
        assert answer(number).changes[0].kind == "board", number


def test_the_mirror_of_copy_1_is_copy_5():
    one, five = answer("G1"), answer("G5")
    assert one.state == five.state
    assert one.governing.measured == pytest.approx(five.governing.measured)
    assert (one.governing.place, five.governing.place) == ("left joint", "right joint")


def test_few_questions():
    """The lists were made by people who measured well: only what is odd is asked about."""
    asked = {
        number: [query.rule for query in queries(slip) if query.rule != "joint"]
        for number, slip in SLIPS.items()
    }
    assert {number for number, rules in asked.items() if rules} <= {"I2", "C3"}
    assert asked["I2"] == ["sides"]


def test_tilted_books_are_asked_about_or_get_a_riser():
    """Nobody cuts a level cradle for a tilted book without being asked."""
    tilted = [row for row in rows() if abs(float(row["spine_tilt_deg"])) >= 5]
    assert len(tilted) == 18
    risers = set()
    for row in tilted:
        number = row["support_no"]
        slip = slip_from({**values_of(row), "spine_tilt": row["spine_tilt_deg"]})
        support = design(slip)
        assert slip.opening.joints == "measured"
        if abs(slip.opening.step) >= 4:
            assert support.kind in ("riser", "lone cover"), number
            assert support.step * float(row["spine_tilt_deg"]) > 0
            risers.add(number)
        assert number in risers or "laid level" in support.told[0].message
        asked = "joint" in {query.rule for query in queries(SLIPS[number])}
        assert asked == (SLIPS[number].opening.joints == "asked")
        assert asked or number in risers or abs(slip.opening.step) < 4, number
    assert len(risers) == 16
