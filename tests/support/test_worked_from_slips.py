"""The worked cases of the engineering model, each from a slip to its verdict."""

import json
from pathlib import Path

import pytest

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.job.trial import rows_for
from cutfiles.support.choose import choose
from cutfiles.support.constructions.plate import CREEP, plate_stiffness
from cutfiles.support.coupons import coupon_trial
from cutfiles.support.design import design
from cutfiles.support.trials import Trial, creep
from cutfiles.support.verdict import assess
from cutfiles.words.made import counted_text

DATA = json.loads((Path(__file__).parent / "cases" / "strength.json").read_text("utf-8"))
CASES = {case["id"]: (case["input"], case["expect"]) for case in DATA["cases"]}


def slip_of(given, **support):
    values = {
        "number": "S",
        "units": "mm",
        "height": given["height_mm"],
        "width": given["width_mm"],
        "spine_width": given["spine_panel_mm"] - 1,
        "opening_angle": 180 - 2 * given["slope_deg"],
        "weight": f"{given['weight_g']} g",
    }
    chosen = {
        "fore_inset": given["fore_inset_mm"],
        "end_inset": given["end_inset_mm"],
        "tape_thickness": given["tape_mm"],
    }
    return slip_from(values | {"support": chosen | support})


def way_of(given, ways):
    """The way of a case among all that its slip could be made in."""
    edge = "thirds" if given["layers"] == 3 else "cut"
    [found] = [
        one
        for one in ways
        if abs(one.way.film.gauge - given["gauge_mm"]) < 1e-6
        and (one.way.construction, one.way.edge) == (given["option"], edge)
    ]
    return found


@pytest.mark.parametrize("case", ["S01", "S02", "S03", "S04"])
def test_capacities(case):
    given, want = CASES[case]
    slip = slip_of(given, gauge=f"{given['gauge_mm']} mm", layers=given["layers"])
    support = design(slip)
    found = way_of(given, assess(support).ways)
    assert support.length("leg", "left") == pytest.approx(want["h"], abs=0.002)
    assert support.breadth == want.get("b", 201.0)
    for leg in found.legs:
        assert leg.newtons == pytest.approx(want["C"], rel=0.005)
        assert leg.load == pytest.approx(want.get("F", want.get("F_post")), rel=0.005)
        assert leg.posts == want.get("posts", 0)
    assert found.sure == pytest.approx(want["r"], rel=0.005)
    assert found.state == want["state"]


def test_chosen():
    given, want = CASES["S06"]
    ways = [
        one
        for one in assess(design(slip_of(given))).ways
        if f"{one.way.film.gauge / 0.0254:g} mil" in given["films"]
    ]
    chosen = choose(ways, edges="folded").chosen
    assert f"{chosen.way.film.gauge / 0.0254:g} mil" == want["gauge"]
    assert (chosen.way.construction, chosen.way.edge == "hemmed") == (want["option"], want["hem"])
    assert chosen.sure == pytest.approx(want["r"], rel=0.005)
    assert chosen.grams == pytest.approx(want["film_g"], rel=0.005)
    assert chosen.folds == want["folds"]


def tried(factor, collapsed=True):
    """A plain leg of 10 mil of another book, loaded so many times what was sure of it."""
    _, want = CASES["S01"]
    load = factor * want["C"] * CREEP / creep(10)
    result = "collapsed" if collapsed else "stood"
    return Trial(
        "", "other", "", 0.254, 1, "plain", want["h"], want["b"], 0.0, 0, load, 10.0, result
    )


def test_tests_of_the_kind_make_it_adequate():
    given, want = CASES["S07"]
    slip = slip_of(CASES["S01"][0], gauge="0.254 mm", layers=1, construction="plain", edges="cut")
    alone = draft_of(slip).verdict
    assert (alone.state, alone.made.sure) == ("make a trial", pytest.approx(1.1878, rel=0.005))
    found = draft_of(slip, [tried(factor) for factor in given["factors"]]).verdict
    assert found.state == want["state"]
    assert found.made.sure == pytest.approx(want["ratio"], rel=0.005)
    assert found.tests.used == pytest.approx(want["factor"], rel=0.005)
    assert "tests" in found.made.legs[0].counted
    # three that say less change nothing, and of other films nothing follows
    few = draft_of(slip, [tried(factor) for factor in (1.75, 1.55, 1.90)]).verdict
    assert (few.state, few.tests.used) == ("make a trial", 1.0)
    assert few.tests.bound == pytest.approx(0.55, abs=0.01)
    other = [tried(factor)._replace(gauge=0.1778) for factor in given["factors"]]
    assert draft_of(slip, other).verdict.tests.tests == 0


def test_a_collapse_too_early_loosens_the_kind():
    slip = slip_of(CASES["S01"][0], gauge="0.254 mm", layers=1, construction="plain", edges="cut")
    found = draft_of(slip, [tried(0.9), *[tried(4.0, collapsed=False)] * 9]).verdict
    assert found.tests.rule == "unsafe"
    assert found.made.sure == pytest.approx(0.8 * 0.9 * 1.1878, rel=0.005)


@pytest.mark.parametrize(
    ("times", "minutes", "state"),
    [(1.5, 1440, "proved"), (1.48, 1440, "make a trial"), (1.65, 60, "proved")],
)
def test_the_piece_itself(times, minutes, state):
    assert CASES["S08"][1]["state"] == "proved"
    slip = slip_of(CASES["S01"][0], gauge="0.254 mm", layers=1, construction="plain", edges="cut")
    draft = draft_of(slip)
    grams = times * CASES["S01"][0]["weight_g"]
    rows = rows_for(draft, grams, minutes, "stood")
    assert draft_of(slip, rows).verdict.state == state
    elsewhere = [row._replace(support="T") for row in rows]
    assert draft_of(slip, elsewhere).verdict.state != "proved", "another piece"
    steeper = [row._replace(leg=row.leg + 1) for row in rows]
    assert draft_of(slip, steeper).verdict.state != "proved", "the same book, opened otherwise"
    assert draft_of(slip, rows[:1]).verdict.state == "make a trial", "each leg of it"
    for leg in (None, "left", "right"):
        fell = rows_for(draft, grams, minutes, "collapsed", fell=leg)
        assert draft_of(slip, (*rows, *fell)).verdict.state != "proved", "another piece since"
        assert draft_of(slip, (*fell, *rows)).verdict.state == state


def creases(count, length):
    """So many crease coupons of 10 mil, each of this length L*."""
    one = coupon_trial("crease", 0.254)
    arm = 40.0
    # κ = D/L* turned by half a radian
    load = plate_stiffness(0.254, 4000.0) / length * one.breadth * 0.5 / arm
    return [one._replace(load=load, leg=arm, turned=0.5)] * count


def test_creases_count_once_five_coupons_are_read():
    """10 mil plain, 203 × 133: 1.19 becomes 1.57 with L* of 60 mm, 1.5 times the longest."""
    slip = slip_of(CASES["S01"][0], gauge="0.254 mm", layers=1, construction="plain", edges="cut")
    few = draft_of(slip, creases(4, 40.0)).verdict
    assert (few.state, few.made.sure) == ("make a trial", pytest.approx(1.1878, rel=0.005))
    assert "not counted: creases, friction" in counted_text(few.made)
    found = draft_of(slip, [*creases(4, 10.0), *creases(1, 40.0)]).verdict
    assert found.state == "adequate"
    assert found.made.sure == pytest.approx(1.57, abs=0.01)
    assert "creases, by this studio's coupons" in counted_text(found.made)
    assert "not counted: friction" in counted_text(found.made)
    # tests of whole legs hold their creases too: the better of both counts
    tests = [tried(factor) for factor in CASES["S07"][0]["factors"]]
    both = draft_of(slip, [*creases(5, 40.0), *tests]).verdict
    assert both.made.sure == pytest.approx(found.made.sure)
    only = draft_of(slip, [*creases(5, 600.0), *tests]).verdict
    assert only.made.sure == pytest.approx(CASES["S07"][1]["ratio"], rel=0.005)
    # a leg that fell too early is told, whatever its creases do
    fell = draft_of(slip, [*creases(5, 40.0), tried(0.9)]).verdict
    assert fell.made.sure == pytest.approx(0.72 * 1.1878, rel=0.005)
    # other gauges, and three layers, have other creases
    other = [one._replace(gauge=0.1778) for one in creases(5, 40.0)]
    assert draft_of(slip, other).verdict.made.sure == pytest.approx(1.1878, rel=0.005)
    three = slip_of(CASES["S04"][0], gauge="0.127 mm", layers=3)
    thin = [one._replace(gauge=0.127) for one in creases(5, 40.0)]
    assert draft_of(three, thin).verdict.made.sure == pytest.approx(1.3919, rel=0.005)
