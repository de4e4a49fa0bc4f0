"""Kinds of support from slips: chosen, told, closed, rigid, folded from what is written."""

import math
import random
import re
from dataclasses import replace

import pytest
from laid_drawn import CASES, crossings, stood_pattern
from tilted import BOOKS as TILTED

from cutfiles.bench.questions import queries
from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import DesignError, SlipError
from cutfiles.files.fold_check import check_reading
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.pattern.facts import facts_of, slip_of_facts
from cutfiles.support.carried import carried
from cutfiles.support.checks import check_standing
from cutfiles.support.contacts import Contacts
from cutfiles.support.design import design
from cutfiles.support.kinds.made import tab_most
from cutfiles.support.rigid import free_movements
from cutfiles.words.verdict import check_text

COUNT = 50  # of 5,000: tests/bench/kinds.py
WORDS = {
    "riser, both stand": ("riser",),
    "riser, low side flat": ("riser", "lone cover"),
    "level, lapped": ("level, lapped",),
    "level, crossed": ("level, crossed",),
}
BOOK = {"number": "K1", "units": "mm", "height": 190, "width": 124, "spine_width": 32}


def values_of(slip):
    """A case's slip as one writes it."""
    values = {"number": "K1", "units": "mm", **slip}
    support = {key: values.pop(key) for key in ("layers", "gauge") if key in values}
    if "weight" in values:
        values["weight"] = f"{values['weight']} g"
    return {**values, "support": support}


def one(chance):
    """Fields of one drawn book: thin and thick, level, tilted and upright, high left and right."""
    spine = chance.choice((chance.uniform(1.5, 15), chance.uniform(8, 75)))
    step = chance.choice((0.0, chance.uniform(-4, 4), *2 * (chance.uniform(-spine, spine),)))
    values = {
        "number": "K1",
        "units": "mm",
        "height": chance.uniform(80, 250),
        "spine_width": spine,
        "left_joint": max(0.0, step),
        "right_joint": max(0.0, -step),
        "weight": f"{chance.uniform(40, 900):.0f} g",
        "support": {"gauge": chance.choice((0.0508, 0.127, 0.254))},
    }
    for side in ("left", "right"):
        values[f"{side}_width"] = chance.uniform(45, 260)
        values[f"{side}_slope"] = chance.choice((0.0, chance.uniform(0, 10), chance.uniform(5, 75)))
    values["support"]["adjust"] = chance.choice((0, 0, 0, 4))
    if chance.random() < 0.2:  # a cover alone, the other side flat on the table
        high, low = ("left", "right") if step > 0 else ("right", "left")
        values |= {f"{high}_side": chance.uniform(2, 4), f"{low}_side": chance.uniform(18, 40)}
        values[f"{low}_slope"] = 0.0
    return values


def drawn(count, seed=0):
    """Yield fields and draft of so many drawn books, refused ones left out."""
    chance, made = random.Random(seed), 0
    while made < count:
        values = one(chance)
        try:
            draft = draft_of(slip_from(values))
        except (DesignError, SlipError):
            continue
        made += 1
        yield values, draft


def folded(draft, key):
    form = FORMATS[key]
    data = write_drawing(draft.drawing, form, Options())
    return check_reading(form.read(data), f"x.{key}", draft, form, Options())


def check(draft):
    """Everything that holds for every support."""
    support = draft.support
    assert [f for f in check_standing(support) if f.severity == "stop"] == []
    assert free_movements(support) == 0
    assert not crossings(support)
    assert all(tape.width >= 6 - 1e-9 for tape in support.contacts.tapes)
    # the pattern stands up, by rotations of the tests' own, where the support is
    for found, meant in zip(stood_pattern(draft.pattern), support.places, strict=True):
        assert found == pytest.approx(meant, abs=1e-6)
    for key in ("svg", "dxf-r12"):
        found = folded(draft, key).check
        assert [f.message for f in found.findings if f.severity == "stop"] == []
        assert all(measure.right for measure in found.measures)


@pytest.mark.parametrize("case", CASES["show"], ids=lambda case: str(case["id"]))
def test_worked_case_as_a_slip(case):
    meant, draft = case["expected"], draft_of(slip_from(values_of(case["slip"])))
    support = draft.support
    assert support.kind in WORDS[meant["case"]]
    assert support.profile.length == pytest.approx(meant["length"], abs=1e-3)
    assert support.deck_lift == pytest.approx(meant["deck_lift"], abs=1e-3)
    assert support.step == pytest.approx(meant["step"], abs=1e-3)
    assert math.degrees(support.tilt) == pytest.approx(meant["tilt"], abs=1e-3)
    check(draft)
    profile = support.profile
    run = {p.side: p.length for p in profile.panels if p.part == "run-on"}
    panels = [p for p in profile.panels if p.part != "run-on"]
    # a case gives a base with what it runs on by
    lengths = [p.length + (run.get(p.side, 0) if p.part == "base" else 0) for p in panels]
    assert [p.name for p in panels] == [name for name, _ in meant["panels"]]
    assert lengths == pytest.approx([length for _, length in meant["panels"]], abs=1e-3)
    assert [f.name for f in profile.folds] == [name for name, _, _ in meant["creases"]]
    angles = [math.degrees(fold.angle) for fold in profile.folds]
    assert angles == pytest.approx([angle for *_, angle in meant["creases"]], abs=1e-3)
    ends = {i + (p.side == "left") for i, p in enumerate(profile.panels) if p.part == "run-on"}
    places = [place for i, place in enumerate(support.places) if i not in ends]
    for place, corner in zip(places, meant["corners"], strict=True):
        assert place == pytest.approx(corner, abs=1e-3)
    tapes = [(t.panel, t.face, t.to, t.to_face) for t in support.contacts.tapes]
    assert tapes == [(t["on"], t["face"], t["onto"], t["onto_face"]) for t in meant["tape"]]
    found, loads = carried(support, case["slip"]["weight"]), meant["loads"]
    legs = {"left": found.high_leg, "right": found.low_leg}
    if support.step < 0:
        legs = {"left": found.low_leg, "right": found.high_leg}
    assert legs["left"] == pytest.approx(loads["left_leg"], abs=1e-3)
    assert legs["right"] == pytest.approx(loads["right_leg"], abs=1e-3)
    assert found.riser == pytest.approx(loads["riser"], abs=1e-3)
    assert found.push == pytest.approx(loads["push"], abs=1e-3)
    assert found.margin == pytest.approx(loads["margin"], abs=1e-2)


@pytest.mark.parametrize("case", CASES["refused"], ids=lambda case: case["name"])
def test_refused_case_as_a_slip(case):
    with pytest.raises((SlipError, DesignError)):
        design(slip_from(values_of({"height": 190, **case["slip"]})))


@pytest.mark.parametrize("seed", range(COUNT))
def test_drawn_slip(seed):
    check(next(drawn(1, seed))[1])


def test_the_fold_check_counts_what_is_taped():
    """A roof whose riser is drawn 2 mm short: its tab is not where it should be."""
    draft = draft_of(slip_from(values_of(CASES["show"][0]["slip"])))
    creases = list(draft.pattern.creases)
    creases[0] = replace(creases[0], fold=replace(creases[0].fold, angle=creases[0].angle - 0.2))
    wrong = replace(draft, pattern=replace(draft.pattern, creases=tuple(creases)))
    rules = {f.rule for f in folded(wrong, "svg").check.findings if f.severity == "stop"}
    assert rules


def test_a_support_that_sways_is_noticed():
    support = design(slip_from(values_of(CASES["show"][0]["slip"])))
    tapes = tuple(tape for tape in support.contacts.tapes if tape.panel != "spine")
    loose = replace(support, contacts=Contacts(tapes=tapes, table=support.contacts.table))
    assert "rigid" in {f.rule for f in check_standing(loose)}


# --- joints not measured -------------------------------------------------------------------------

UNMEASURED = {**BOOK, "left_rise": 87.7, "right_rise": 52.4, "left_side": 5, "right_side": 27}


def test_unmeasured_joints_are_asked_for_and_worth_a_trial_at_most():
    draft = draft_of(slip_from({**UNMEASURED, "weight": "20 g"}))
    assert "joint" in {query.rule for query in queries(draft.slip)}
    assert draft.verdict.state == "make a trial"
    assert draft.verdict.governing.name == "joints"
    assert draft.verdict.changes[0].field == "left_joint"
    assert _unmeasured(draft) == ["left joint", 23.5]
    written = {"left_joint": 0, "right_joint": 0}
    level = draft_of(slip_from({**UNMEASURED, "weight": "20 g", **written}))
    assert level.verdict.state == "adequate"
    assert not list(queries(level.slip))[1:]  # its weight is odd, nothing else


def _unmeasured(draft):
    """Which joint a draft says was not measured, and by how much it is said to stand higher, mm."""
    said = [check_text(one, draft.slip) for one in draft.verdict.checks if one.name == "joints"]
    found = [
        re.fullmatch(r"the (.+) was not measured, and probably stands ([\d.]+) mm higher", one)
        for one in said
    ]
    return [part for one in found for part in (one[1], float(one[2]))]


def test_the_joint_that_is_asked_for_is_the_high_one():
    """Turned about, the right one: measured on the low side, the spine would tilt the other way."""
    turned = {"left_rise": 52.4, "right_rise": 87.7, "left_side": 27, "right_side": 5}
    draft = draft_of(slip_from({**UNMEASURED, **turned, "weight": "20 g"}))
    assert _unmeasured(draft) == ["right joint", 23.5]
    assert draft.verdict.changes[0].field == "right_joint"


def test_guessed_joints_are_said_wherever_the_support_goes():
    guess = {"support": {"joints": "guess"}}
    draft = draft_of(slip_from({**UNMEASURED, "weight": "20 g", **guess}))
    assert draft.support.kind == "riser"
    assert draft.support.guessed
    assert draft.support.step == pytest.approx(23.5, abs=0.3)
    assert draft.verdict.state == "make a trial"
    facts = dict(facts_of(draft.support))
    assert facts["joints"] == "guessed"
    assert facts["left joint"].startswith("23.")
    again = design(slip_of_facts(facts, "x.svg"))
    assert again.guessed
    assert facts_of(again) == facts_of(draft.support)
    unknown = slip_from({**BOOK, "left_rise": 60, "right_rise": 60, **guess})
    assert "nothing to guess the joints from" in unknown.findings[0].message
    assert not design(unknown).guessed


@pytest.mark.parametrize("case", CASES["predict"], ids=lambda case: str(case)[:30])
def test_predicted_case_asks(case):
    slip = slip_from(
        {
            **BOOK,
            "spine_width": case["spine_width"],
            **{f"{s}_{m}": case[f"{s}_{m}"] for s in ("left", "right") for m in ("side", "slope")},
        }
    )
    guess = slip.joints.guess
    assert guess is not None
    asked = abs(guess.step) >= 4
    assert (slip.opening.joints == "asked") is asked
    assert ("joint" in {query.rule for query in queries(slip)}) is asked


@pytest.mark.parametrize(("high", "low"), [("left", "right"), ("right", "left")])
def test_a_cover_lies_alone_on_either_side(high, low):
    """Only then it is told that the table carries the other side, and what the cover weighs."""
    slip = {f"{high}_rise": 45, f"{low}_rise": 0, f"{high}_side": 3, f"{low}_side": 22}
    slip |= {f"{high}_joint": 18, f"{low}_joint": 0}
    support = design(slip_from({**BOOK, **slip}))
    assert (support.kind, support.lone) == ("lone cover", high)
    assert support.half(low) is None or not support.half(low).stands
    # a side that stands, or a thick one on high, is no cover alone
    for more in ({f"{low}_rise": 40}, {f"{high}_side": 12}):
        assert design(slip_from({**BOOK, **slip, **more})).kind == "riser"


# --- leaves --------------------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES["follow_leaves"], ids=lambda case: str(case["page_angle"]))
def test_leaves_are_followed_and_both_numbers_told(case):
    values = {k: v for k, v in case.items() if k != "expected"}
    both = {"left_joint": 0, "right_joint": 0}
    slip = slip_from({**BOOK, **both, **values})
    found = [slip.opening.left.slope, slip.opening.right.slope]
    assert found == pytest.approx(case["expected"])
    asked = [q for q in queries(slip) if q.rule == "leaves"]
    if found == [case["left_slope"], case["right_slope"]]:
        assert not asked
        return
    assert f"{found[0]:.1f}" in asked[0].then
    assert f"{case['left_slope']:.1f}" in asked[0].then
    boards = slip_from({**BOOK, **both, **values, "support": {"follow": "boards"}})
    assert boards.opening.left.slope == case["left_slope"]
    assert not [q for q in queries(boards) if q.rule == "leaves"]


def test_leaves_too_steep_to_follow_are_worth_a_trial_at_most():
    steep = {"left_slope": 74, "right_slope": 70, "page_angle": 20}
    draft = draft_of(slip_from({**BOOK, **steep, "left_joint": 0, "right_joint": 0}))
    (leaves,) = (check for check in draft.verdict.checks if check.name == "leaves")
    assert check_text(leaves, draft.slip) == "the leaves open 10° less than the support"  # 2 × 75°
    assert leaves.share == pytest.approx((180 - 2 * 75 - 20) / 5)
    assert not draft.verdict.holds


# --- told ----------------------------------------------------------------------------------------


def test_a_step_under_four_is_laid_level_and_told():
    slip = slip_from({**BOOK, "left_rise": 60, "right_rise": 60, "left_joint": 3})
    support = design(slip)
    assert (support.kind, support.step) == ("level, side by side", 0)
    assert "laid level" in next(one.message for one in support.told)


def test_one_layer_is_told_and_three_refused():
    tilted = {**BOOK, "left_rise": 60, "right_rise": 60, "left_joint": 20}
    support = design(slip_from(tilted))
    assert support.film.layers == 1
    assert "layers" in {one.rule for one in support.told}
    with pytest.raises(DesignError, match="three layers with a riser") as refusal:
        design(slip_from({**tilted, "support": {"layers": 3}}))
    assert 'layers = "1"' in refusal.value.fault.remedy


def test_tape_and_not_the_legs_limits_heavy_books():
    light, heavy = (
        draft_of(slip_from({**BOOK, "left_slope": 30, "right_slope": 30, "weight": weight}))
        for weight in ("300 g", "1300 g")
    )
    assert light.support.length("tab", "left") == 12
    assert 12 < heavy.support.length("tab", "left") <= 15  # half the spine panel, less a millimetre
    assert heavy.support.contacts.tapes[0].width > 6
    assert "tabs" in {one.rule for one in heavy.support.told}
    own = {**BOOK, "left_slope": 30, "right_slope": 30, "weight": "1300 g"}
    kept = design(slip_from({**own, "support": {"tab_most": "12 mm"}}))
    assert kept.length("tab", "left") == 12


@pytest.mark.parametrize("number", ["RISER", "CROSSED", "FLAT"])
def test_a_tab_that_has_room_uses_at_most_95_percent_of_its_tape(number):
    """Sized by the tool, hemmed or cut: what it is used to never reads as its limit."""
    sized = 0
    for weight in range(600, 1360, 75):
        slip = slip_from({**TILTED[number], "support": {}, "weight": f"{weight} g"})
        made, most = draft_of(slip), tab_most(slip)
        tabs = {p.name: p.length for p in made.support.profile.panels if p.part.endswith("tab")}
        for check in made.verdict.checks:
            length = tabs.get(check.place, 0.0)
            if check.name == "tape" and 12.0 < length < 18.0 and length >= most - 1e-9:
                sized += 1
                assert check.share <= 0.95 + 1e-9, (weight, check.place)
    assert sized


def test_practice():
    book = {**BOOK, "left_slope": 20, "right_slope": 20, "weight": "60 g"}
    states = {}
    for height in (254, 254.1, 280, 280.1):
        checks = draft_of(slip_from({**book, "height": height})).verdict.checks
        states[height] = {check.name: check.state for check in checks}
    assert [states[h]["height"] for h in states] == [
        "adequate",
        "make a trial",
        "make a trial",
        "another support",
    ]


def test_the_weight_of_a_lone_cover_is_not_that_of_the_book():
    title = values_of(CASES["show"][3]["slip"]) | {"weight": "2400 g"}
    weights = [c for c in draft_of(slip_from(title)).verdict.checks if c.name == "weight"]
    assert weights[0].measured == pytest.approx(2400 * 3 / 25)
    assert weights[0].state == "adequate"
    level = {**BOOK, "left_slope": 20, "right_slope": 20, "weight": "2400 g"}
    weights = [c for c in draft_of(slip_from(level)).verdict.checks if c.name == "weight"]
    assert (weights[0].measured, weights[0].state) == (2400, "another support")


def test_facts_of_every_case_lead_back_to_its_support():
    for case in CASES["show"]:
        support = design(slip_from(values_of(case["slip"])))
        again = design(slip_of_facts(dict(facts_of(support)), "x.svg"))
        assert [name for name, _ in facts_of(again)] == [name for name, _ in facts_of(support)]
        assert again.kind.split(",")[0] in (support.kind.split(",")[0], "riser")
        assert again.profile.length == pytest.approx(support.profile.length, abs=0.05)
