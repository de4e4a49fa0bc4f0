"""Trials: bounds against scipy and the published table, the rules, and rows read back."""

import json
import math
import statistics
import sys
from pathlib import Path

import pytest
from conftest import ROOT, outside_module
from hypothesis import given
from hypothesis import strategies as st

from cutfiles.bench.book import SIDES
from cutfiles.support.bounds import survival_divisor, tolerance_factor
from cutfiles.support.trial_rows import COLUMNS, TRIAL, TrialsError, read_trials, write_trials
from cutfiles.support.trials import (
    LegOnTrial,
    Trial,
    alarms,
    by_test,
    collapse_bound,
    creep,
    factor_for,
    factor_of,
    is_of,
    is_proved,
    load_to_prove,
    of_kind,
    six_month_ratio,
)

DATA = json.loads((Path(__file__).parent / "cases" / "strength.json").read_text("utf-8"))
CASES = {case["id"]: case for case in DATA["cases"]}
PUBLISHED = {3: 7.656, 4: 5.144, 5: 4.203, 6: 3.708, 8: 3.187, 10: 2.911, 20: 2.396, 50: 2.065}
"""One-sided tolerance factors, 0.95/0.95, normal of unknown spread (ISO 16269-6, Annex D)."""


@pytest.mark.parametrize("count", PUBLISHED)
def test_tolerance_factor_as_published(count):
    assert tolerance_factor(count) == pytest.approx(PUBLISHED[count], abs=0.0011)


@pytest.mark.parametrize("count", [3, 4, 5, 7, 12, 30, 100, 400])
def test_tolerance_factor_as_scipy(count):
    scipy = outside_module("scipy.stats")
    z = statistics.NormalDist().inv_cdf(0.95)
    want = scipy.nct.ppf(0.95, count - 1, z * math.sqrt(count)) / math.sqrt(count)
    assert tolerance_factor(count) == pytest.approx(want, rel=2e-5)


def test_two_tests_have_no_bound():
    with pytest.raises(ValueError, match="3 or more"):
        tolerance_factor(2)


def test_worked_collapses():
    given_, want = CASES["S07"]["input"], CASES["S07"]["expect"]
    logs = [math.log(one) for one in given_["factors"]]
    assert statistics.fmean(logs) == pytest.approx(want["mean_log"], abs=1e-4)
    assert statistics.stdev(logs) == pytest.approx(want["s_log"], abs=1e-4)
    found = factor_for(("collapsed", one) for one in given_["factors"])
    assert (found.rule, found.tests) == ("collapses", 5)
    assert found.used == pytest.approx(want["factor"], rel=0.005)
    assert found.used * given_["sure_ratio"] == pytest.approx(want["ratio"], rel=0.005)
    assert found.used * given_["sure_ratio"] >= 1.25


def test_worked_piece():
    given_, want = CASES["S08"]["input"], CASES["S08"]["expect"]
    assert creep(given_["minutes"]) == pytest.approx(want["phi"], abs=1e-4)
    ratio = six_month_ratio(given_["load_ratio"], given_["minutes"])
    assert ratio == pytest.approx(want["ratio_six_months"], abs=1e-4)
    assert is_proved(given_["load_ratio"], given_["minutes"])
    assert load_to_prove(1440) == pytest.approx(1.480, abs=1e-3)
    assert load_to_prove(60) == pytest.approx(1.641, abs=1e-3)


def test_mean_that_makes_one_enough():
    """The table of means that turn sure = 1.0 into adequate, spread up to σ₀."""
    for count, mean in ((3, 3.94), (4, 2.70), (5, 2.35), (6, 2.18), (8, 2.02), (10, 1.93)):
        assert collapse_bound([mean] * count) == pytest.approx(1.25, rel=0.003)


@pytest.mark.parametrize(
    ("rows", "rule", "used"),
    [
        ([("collapsed", 1.75), ("collapsed", 1.55), ("collapsed", 1.90)], "collapses", 1.0),
        ([("collapsed", 2.0), ("stood", 3.0)], "too few", 1.0),
        ([("stood", 1.8), ("stood", 2.0), ("stood", 2.5)], "stood", 1.8 / 1.3459),
        ([("stood", 1.8), ("collapsed", 2.0), ("stood", 2.5)], "stood", 1.8 / 1.3459),
        ([("stood", 1.2)] * 5, "stood", 1.0),
        ([("collapsed", 0.94)], "unsafe", 0.8 * 0.94),
        ([("collapsed", 0.95)], "too few", 1.0),
        ([("collapsed", 0.9), *[("collapsed", 4.0)] * 30], "unsafe", 0.72),
        ([("stood", 0.5)] * 3, "stood", 1.0),
        ([], "too few", 1.0),
    ],
)
def test_rules(rows, rule, used):
    found = factor_for(rows)
    assert (found.rule, found.used) == (rule, pytest.approx(used, rel=1e-3))


def test_survival_divisors():
    want = {3: 1.346, 4: 1.293, 5: 1.256, 6: 1.229, 8: 1.189, 10: 1.161}
    assert {n: round(survival_divisor(n), 3) for n in want} == want


def trial(**more):
    values = {
        "date": "2026-03-02",
        "support": "A1",
        "lot": "7",
        "gauge": 0.127,
        "layers": 1,
        "construction": "posts",
        "leg": 65.0,
        "breadth": 201.0,
        "face": 12.0,
        "posts": 1,
        "load": 0.8 * 9.80665,
        "minutes": 10.0,
        "result": "stood",
        "note": "",
    }
    return Trial(**(values | more))


def test_first_coupon():
    """One post, 5 mil: full value at 10 min about 0.74 kg; under 0.60 kg something is bad."""
    lasting = 2.6254
    assert factor_of(trial(load=lasting * 1.5 / creep(10))) == pytest.approx(1.0, rel=1e-3)
    assert factor_of(trial()) == pytest.approx(
        0.8 * 9.80665 / (lasting * 1.5 / creep(10)), rel=1e-3
    )
    assert factor_of(trial(posts=2)) == pytest.approx(factor_of(trial()) / 2)


def test_factor_of_each_construction():
    plain = trial(construction="plain", gauge=0.254, leg=65.354, face=0.0, posts=0, load=1.9098)
    assert factor_of(plain) == pytest.approx(creep(10) / 1.5, rel=2e-3)
    lips = trial(construction="lips", gauge=0.1778, leg=65.2778, face=8.0, load=3.4279)
    assert factor_of(lips) == pytest.approx(creep(10) / 1.5, rel=2e-3)
    three = plain._replace(layers=3)
    assert factor_of(three) == pytest.approx(factor_of(plain) / 3)


def test_of_kind():
    rows = [trial(), trial(gauge=0.125), trial(gauge=0.1016), trial(construction="lips")]
    assert of_kind(rows, "posts", 1, 0.127) == tuple(rows[:2])
    assert of_kind(rows, "posts", 3, 0.127) == ()


LEG = LegOnTrial("left leg", "left", "posts", 1, 0.127, 65.0, 201.0, 12.0, 1, 2.0)


@pytest.mark.parametrize(
    ("told", "same"),
    [
        *(({"side": side}, same) for side, same in (("", True), ("left", True), ("right", False))),
        *(({"leg": 65 + by}, abs(by) < 0.6) for by in (-0.61, -0.59, 0.59, 0.61)),
        *(({"breadth": 201 + by}, abs(by) < 0.6) for by in (-0.61, -0.59, 0.59, 0.61)),
        *(({"gauge": 0.127 * by}, 0.9 < by < 1.1) for by in (0.899, 0.901, 1.099, 1.101)),
        ({"support": "A2"}, False),
        ({"construction": "plain"}, False),
        ({"layers": 3}, False),
        ({"posts": 2}, False),
    ],
)
def test_a_piece_is_proved_by_tests_of_itself_alone(told, same):
    """A leg is measured by rule: within 0.6 mm it is the one that stood; a gauge within a tenth."""
    assert is_of(trial(**told), "A1", LEG) is same


@pytest.mark.parametrize(
    ("told", "factor", "alarming"),
    [
        ({}, 0.949, True),
        ({}, 0.951, False),
        ({"gauge": 0.127 * 1.099}, 0.9, True),
        ({"gauge": 0.127 * 0.899}, 0.9, False),
        ({"result": "stood"}, 0.9, False),
        ({"construction": "posts"}, 0.9, False),
    ],
)
def test_coupons_that_collapse_far_too_early_are_an_alarm(told, factor, alarming):
    row = trial(**{"construction": "post coupon", "result": "collapsed", **told})
    row = row._replace(load=row.load * factor / factor_of(row))
    assert alarms([row], 0.127) == ((row,) if alarming else ())


def legs(left, right, *, results=("stood", "stood"), **more):
    """The two rows of one dummy, with their factors."""
    rows = [trial(side=side, result=r, **more) for side, r in zip(SIDES, results, strict=True)]
    return list(zip(rows, (left, right), strict=True))


def test_two_legs_under_one_dummy_are_one_test():
    fell = ("collapsed", "collapsed")
    rows = [*legs(2.0, 1.8), *legs(2.5, 2.6, results=fell), *legs(1.7, 1.9, date="other")]
    assert list(by_test(rows)) == [("stood", 1.8), ("collapsed", 2.5), ("stood", 1.7)]
    # of a collapse the leg that fell counts, though the other bore less
    assert list(by_test(legs(0.5, 2.0, results=("stood", "collapsed")))) == [("collapsed", 2.0)]
    # two dummies are two tests: too few, though they have four rows
    assert factor_for(by_test([*legs(2.0, 2.0), *legs(2.0, 2.0)])).rule == "too few"
    # rows of which no side is told are a test each, and so are those of different days
    alone = [(trial(), 2.0), (trial(), 2.1), (trial(), 2.2)]
    assert factor_for(by_test(alone)).tests == 3
    (left, one), (right, other) = legs(1.5, 1.6)
    assert len(list(by_test([(left, one), (right._replace(date="x"), other)]))) == 2
    assert len(list(by_test([(left, one), (left, one)]))) == 2
    assert list(by_test([])) == []


def test_what_a_column_gives_as_its_example_is_read():
    row = [one.example for one in TRIAL.fields]
    (read,) = read_trials("\n".join([",".join(COLUMNS), ",".join(row)]))
    assert (read.support, read.lot, read.date) == ("A1", "7731", "2026-03-02")
    assert read.load / read.posts == pytest.approx(1.2)
    assert (read.minutes, read.side) == (1440, "left")


TEXTS = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), max_size=12)
ROWS = st.lists(
    st.builds(
        trial,
        support=TEXTS.filter(bool),
        note=TEXTS,
        load=st.integers(1, 9999).map(lambda n: n / 1000),
        minutes=st.integers(0, 10**6).map(float),
        result=st.sampled_from(["stood", "collapsed"]),
    ).map(
        lambda one: Trial(
            **{
                k: " ".join(v.split()) if isinstance(v, str) else v
                for k, v in one._asdict().items()
            }
        )
    ),
    max_size=4,
)


@given(rows=ROWS)
def test_rows_come_back(rows):
    text = write_trials(rows)
    assert list(read_trials(text)) == rows
    assert write_trials(read_trials(text)) == text
    cells = [cell.strip('"') for line in text.splitlines() for cell in line.split(",")]
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in cells if len(cell) > 1) or any(
        "," in one.support + one.note or '"' in one.support + one.note for one in rows
    )


def test_formula_is_text():
    text = write_trials([trial(support="=1+2", note="@x"), trial(note="'said'")])
    assert "'=1+2" in text
    assert [one.support for one in read_trials(text)] == ["=1+2", "A1"]
    assert [one.note for one in read_trials(text)] == ["@x", "'said'"]


OLD = ",".join(COLUMNS[:14])
"""Tables kept before there were coupons lack their two columns."""
GOOD = "2026-03-02,A1,7,0.127,1,posts,65,201,12,2,2.4,1440,stood,"


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (GOOD.replace("posts", "pots"), "row 2, construction"),
        (GOOD.replace("0.127", "5"), "row 2, gauge"),
        (GOOD.replace(",1,posts", ",2,posts"), "row 2, layers"),
        (GOOD.replace(",12,2,", ",12,,"), "row 2, posts: found nothing"),
        (GOOD.replace(",12,2,", ",,2,"), "row 2, face: found nothing"),
        (GOOD.replace(",2.4,", ",2.4 kg,"), "row 2, load_n"),
        (GOOD.replace("stood", "fell"), "row 2, result"),
        (GOOD.replace("A1", ""), "row 2, support"),
        (GOOD + ",,", "row 2: found 16 cells"),
    ],
)
def test_faults_of_a_row(row, said):
    with pytest.raises(TrialsError) as refused:
        read_trials("\n".join([OLD, row]))
    assert said in str(refused.value)


def test_all_faults_together():
    rows = [GOOD.replace("A1", ""), "", GOOD, GOOD.replace("stood", "fell")]
    with pytest.raises(TrialsError) as refused:
        read_trials("\n".join([OLD, *rows]))
    assert [fault.place.row for fault in refused.value.faults] == [2, 5]
    with pytest.raises(TrialsError, match="columns are date"):
        read_trials("a,b\n1,2")


def test_bench_of_trials_keeps_its_promise():
    """A seeded hundredth of the simulation."""
    sys.path.insert(0, str(ROOT / "tests" / "bench"))
    from trials import kept_promises

    for rule, spread, kept, studios in kept_promises(studios=10, seed=7):
        least = 0.95 - 3 * math.sqrt(0.95 * 0.05 / studios)
        assert kept / studios >= least, (rule, spread)
