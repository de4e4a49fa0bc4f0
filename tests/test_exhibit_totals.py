"""What an exhibit costs and takes in all, summed by hand, and what is not known is said."""

from dataclasses import replace

import pytest
from test_exhibit_tables import FACTS, ROLL, sheet, support, tables

from cutfiles.exhibit.stages import Reached
from cutfiles.exhibit.totals import Total, case_lines, hours, total_rows, totals, totals_data


@pytest.fixture
def done():
    supports = (
        support("A1", FACTS, copies=2, sheets=("sheet-001",), stage=Reached("folded")),
        support("A2", FACTS, sheets=("sheet-002",)),
        support("A3", replace(FACTS, state="another support")),
        support("A4", FACTS, sheets=("sheet-002",), stage=Reached("withdrawn")),
    )
    sheets = (
        sheet("sheet-001", "A1", "A1", seconds=240.0, frozen=True),
        sheet("sheet-002", "A2", seconds=120.0),
    )
    return replace(tables(supports, sheets), shelf=(ROLL,), cutter="wide knife")


def test_the_sums(done):
    film, cutting, folding = totals(done)
    assert film.all == pytest.approx(2.5 * 1.6)  # two sheets of 0.8 m
    # nobody counted what there is, but for one sheet that is cut; a fifth of the other to spare
    assert film.left == pytest.approx(2.5 * 0.96)
    assert (cutting.all, cutting.left) == (6.0, 2.0)
    assert "wide knife" in cutting.basis
    assert (folding.all, folding.left) == (48.0, 16.0)
    assert folding.basis.startswith("48 creases in 3 supports, 1 min each")
    assert folding.basis.endswith("common practice, no source")


def test_what_a_workshop_counts(done):
    folding = totals(replace(done, fold_minutes=1.5))[2]
    assert folding.told == (
        "folding: 1 h 12 min, 24 min of it left (48 creases in 3 supports, 1.5 min each with "
        "taping and fitting: as the workshop counts)"
    )


def test_what_is_not_known_is_said(done):
    roll = replace(ROLL, price=None)
    sheets = tuple(replace(one, film=roll, seconds=0.0) for one in done.sheets)
    film, cutting, _ = totals(replace(done, sheets=sheets, shelf=(roll,), cutter=""))
    assert film.told == "film: cost not known, no film has a price"
    assert cutting.told == "cutting: time not known, no cutter is named"


@pytest.mark.parametrize(("whole", "left"), [(None, None), (5.0, None), (None, 2.0)])
def test_of_what_is_known_in_part_the_reason_is_told(whole, left):
    assert Total("film", whole, left, "price", "no roll has a price").told == (
        "film: no roll has a price"
    )


def test_the_table_and_the_data(done):
    head, film, cutting, _ = total_rows(done)
    assert (*film[:4],) == ("film", "4.00", "2.40", "price")
    assert (*cutting[:4],) == ("cutting", "6", "2", "min")
    assert head == ("what", "all", "left", "unit", "based_on")
    assert len(film) == 5
    assert totals_data(done)["cutting"]["left_min"] == 2.0


def test_what_a_case_comes_to(done):
    """Summed by hand: two of A1 and one of A2; what does not hold or is withdrawn is not folded."""
    area = 3 * FACTS.width * FACTS.height / 1e6
    grams = area * FACTS.gauge * 1390  # m² of mm at 1390 kg/m³
    lines = case_lines(done.supports, done.fold_minutes)
    assert lines[0] == "3 supports, 1 book without a support of film"
    assert lines[1] == f"film: {area:.2f} m², {grams:.0f} g"
    assert f"double-sided tape: {3 * FACTS.tape / 1000:.2f} m" in lines
    assert lines[-1] == totals(done)[2].told  # of one case, the exhibit's own figure
    assert case_lines(done.supports[2:], 1.0) == ()


def test_the_cases_add_up_to_the_exhibit(done):
    """What is folded in two cases is what is folded in all."""
    one, two = (case_lines([support], 1.0) for support in done.supports[:2])
    minutes = [totals(replace(done, supports=(s,)))[2].all for s in done.supports[:2]]
    assert sum(minutes) == totals(done)[2].all
    for lines, each in zip((one, two), minutes, strict=True):
        assert lines[-1].startswith(f"folding: {hours(each)}")
