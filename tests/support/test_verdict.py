"""The verdict: common practice, its properties, its three states and what it advises instead."""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import lengths, mirrored, slips, values

from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.film import Film
from cutfiles.bench.films import usual_films
from cutfiles.bench.slip import slip_from
from cutfiles.errors import DesignError
from cutfiles.support.design import design
from cutfiles.support.verdict import STATES, assess, check_strength, state_of
from cutfiles.units import GRAMS_PER_OUNCE, MM_PER_INCH

BOOK = {
    "number": "T",
    "units": "mm",
    "height": 140,
    "width": 100,
    "spine_width": 25,
    "left_slope": 30,
    "right_slope": 30,
}


def verdict(support=None, **changes):
    fields = {k: v for k, v in {**BOOK, **changes}.items() if v is not None}
    return assess(design(slip_from({**fields, "support": support or {}})))


def checks(found, name):
    return [check for check in found.checks if check.name == name]


@st.composite
def weighed(draw):
    """Slips with a weight, sides and either kind of cover."""
    fields = draw(values())
    fields["height"] = draw(lengths(60, 248))
    fields["left_slope"], fields["right_slope"] = draw(lengths(0, 60)), draw(lengths(0, 60))
    fields["weight"] = f"{draw(st.integers(10, 1400))} g"
    fields["cover"] = draw(st.sampled_from(["boards", "limp"]))
    if draw(st.booleans()):
        fields["left_side"], fields["right_side"] = draw(lengths(1, 40)), draw(lengths(1, 40))
    return fields


def made(fields):
    try:
        return design(slip_from(fields))
    except DesignError:
        assume(False)


def thickness(film):
    """Thickness of the thinnest stock; more than any where there is none."""
    return math.inf if film is None else film.stack


# -- common practice (no source) -------------------------------------------------------------------


def test_usual_gauges_at_140_mm():
    """In three layers 2 mil is soft for a book 140 mm tall, and 5 mil is right.

    A book of 140 × 100 × 20 mm at 0.7 g/cm³, opened as such books are.
    """
    soft = verdict({"gauge": "2 mil"}, weight="196 g")
    right = verdict({"gauge": "5 mil"}, weight="196 g")
    assert soft.state != "adequate"
    assert checks(soft, "leg")[0].measured < 0.15
    assert right.state == "adequate"
    assert 1.25 <= checks(right, "leg")[0].measured < 2


@pytest.mark.parametrize(
    ("changes", "name"),
    [({"height": 255}, "height"), ({"weight": "1410 g"}, "weight"), ({"weight": "8 kg"}, "weight")],
)
def test_beyond_practice_no_film_helps(changes, name):
    found = verdict({"gauge": "10 mil"}, **{"weight": "100 g", **changes})
    assert found.state == "another support"
    assert found.beyond
    assert found.governing.name == name
    assert found.thinnest is None
    assert [change.kind for change in found.changes] == ["support"]
    assert not verdict(
        {"gauge": "10 mil"}, height=249, weight="300 g", left_slope=15, right_slope=15
    ).beyond


def test_steeper_than_sixty_degrees():
    found = verdict({"gauge": "10 mil"}, weight="60 g", left_slope=62)
    assert (found.state, found.governing.name, found.beyond) == ("another support", "slope", False)
    assert found.changes[0].kind == "flatter"
    assert found.changes[0].slope == 60


# -- the three states ------------------------------------------------------------------------------


def test_limit_is_compared_unrounded():
    """A leg at 1.25 exactly is adequate, a hair under it is not."""
    support = design(slip_from({**BOOK, "weight": "200 g"}))
    carries = assess(support).carries
    for factor, state in ((1 - 1e-9, "adequate"), (1 + 1e-9, "make a trial")):
        book = replace(support.slip.book, weight=carries * factor)
        assert state_of(replace(support, slip=replace(support.slip, book=book))) == state


def test_layers_as_one_allow_a_trial():
    """Three layers as one bear nine times as much; one layer has nothing to gain."""
    support = design(slip_from({**BOOK, "weight": "40 g", "support": {"gauge": "3 mil"}}))
    found = assess(support)
    assert found.tries == pytest.approx(9 * found.carries)
    for factor, state in ((0.99, "make a trial"), (1.01, "another support")):
        book = replace(support.slip.book, weight=found.tries * factor)
        assert state_of(replace(support, slip=replace(support.slip, book=book))) == state
    single = verdict({"layers": 1, "gauge": "5 mil"}, weight="200 g")
    assert single.state == "another support"
    assert single.tries == single.carries


def test_no_weight_says_what_it_would_carry():
    found = verdict()
    assert (found.state, found.weight, found.dummy) == (None, None, None)
    assert found.thinnest is None
    assert not found.refused
    assert verdict(weight=f"{found.carries - 0.01} g").state == "adequate"
    assert verdict(weight=f"{found.carries + 0.01} g").state == "make a trial"
    assert {one.film.layers for one in found.stocks} == {1, 3}
    assert verdict(height=260).state == "another support"  # known without a weight


def test_dummy_is_half_more():
    assert verdict(weight="641 g").dummy == 962


def test_a_side_without_a_wing_has_no_leg():
    found = verdict(weight="200 g", left_slope=2)
    assert {check.place for check in checks(found, "leg")} == {"right leg"}


def test_stack_too_thick():
    found = verdict({"gauge": "0.3 mm"}, weight="50 g")
    assert found.governing.name == "stack"
    assert found.carries == 0
    assert found.changes[0].kind == "film"


def test_tape_can_govern():
    """A tab as short as it may be, on a heavy book in stiff film: the tape gives first."""
    found = verdict(
        {"gauge": "10 mil", "tab_most": "2 mm", "tab_least": "2 mm"},
        height=30,
        width=25,
        spine_width=20,
        weight="600 g",
    )
    tapes = checks(found, "tape")
    assert tapes[0].state == "another support"
    assert tapes[0].measured > 1


# -- what it advises instead -----------------------------------------------------------------------


def test_limp_covers_want_a_board():
    limp = {"weight": "150 g", "cover": "limp", "height": 152, "width": 120}
    found = verdict(**limp)
    assert (found.state, found.governing.name) == ("another support", "sag")
    change = found.changes[0]
    assert change.kind == "board"
    stiff = {
        "gauge": f"{change.film.gauge} mm",
        "layers": change.film.layers,
        "stiff_board": f"{change.board} mm",
    }
    assert verdict(stiff, **limp).state == "adequate"


@settings(max_examples=150)
@given(weighed())
def test_every_change_holds(fields):
    """Whatever is advised is adequate when it is done."""
    support = made(fields)
    found = assess(support)
    assert (found.state in STATES[1:]) == bool(found.changes)
    for change in found.changes:
        if change.film is None:
            continue
        slip = replace(support.slip, film=change.film)
        if change.board:
            slip = replace(slip, choices=replace(slip.choices, stiff_board=change.board))
        if change.slope:
            left, right = (
                replace(board, slope=min(board.slope, change.slope))
                for board in (slip.opening.left, slip.opening.right)
            )
            slip = replace(slip, opening=replace(slip.opening, left=left, right=right))
        assert state_of(design(slip)) == "adequate", change
    if found.thinnest:
        assert state_of(design(replace(support.slip, film=found.thinnest))) == "adequate"


# -- properties ------------------------------------------------------------------------------------


@settings(max_examples=200)
@given(weighed(), st.integers(1, 900))
def test_heavier_never_gets_thinner_stock(fields, more):
    heavier = fields | {"weight": f"{int(fields['weight'].split()[0]) + more} g"}
    light, heavy = assess(made(fields)), assess(made(heavier))
    assert thickness(heavy.thinnest) >= thickness(light.thinnest)
    assert STATES.index(heavy.state) >= STATES.index(light.state)
    assert heavy.carries == pytest.approx(light.carries)


@settings(max_examples=200)
@given(weighed(), st.floats(1.01, 1.8))
def test_taller_never_gets_thinner_stock(fields, factor):
    """The same book grown in every measure, its weight with its volume."""
    taller = dict(fields)
    for name in ("height", "left_width", "right_width", "spine_width", "left_side", "right_side"):
        if name in fields:
            taller[name] = min(999.0, fields[name] * factor)
    taller["weight"] = f"{float(fields['weight'].split()[0]) * factor**3:.6f} g"
    small, tall = assess(made(fields)), assess(made(taller))
    assert thickness(tall.thinnest) >= thickness(small.thinnest)


@settings(max_examples=200)
@given(weighed(), st.sampled_from(["left_slope", "right_slope"]), lengths(0.5, 30))
def test_steeper_never_gets_thinner_stock(fields, side, more):
    """With stiff boards; a limp cover's panel sags less the steeper it is, so legs alone there."""
    steeper = fields | {side: fields[side] + more}
    assume(steeper[side] <= 75)
    flat, steep = made(fields), made(steeper)
    if fields["cover"] == "boards":
        assert thickness(assess(steep).thinnest) >= thickness(assess(flat).thinnest)
    weight = flat.slip.book.weight
    legs = [
        {
            check.place: check.measured
            for check in check_strength(support, weight)
            if check.name == "leg"
        }
        for support in (flat, steep)
    ]
    for place in legs[0].keys() & legs[1].keys():
        assert legs[1][place] <= legs[0][place] * (1 + 1e-9)


@settings(max_examples=150)
@given(weighed())
def test_units_never_change_the_verdict(fields):
    lengthy = ("height", "left_width", "right_width", "spine_width", "left_side", "right_side")
    metric = assess(made(fields))
    inches = {k: f"{v / MM_PER_INCH!r} in" if k in lengthy else v for k, v in fields.items()}
    inches["weight"] = f"{float(fields['weight'].split()[0]) / GRAMS_PER_OUNCE!r} oz"
    inches["units"] = "in"
    inches["support"] = {
        k: f"{v} mm" if k not in ("layers", "nesting") else v for k, v in fields["support"].items()
    }
    cm = {k: f"{v / 10!r} cm" if k in lengthy else v for k, v in fields.items()} | {"units": "cm"}
    cm["support"] = inches["support"]
    for other in (assess(made(inches)), assess(made(cm))):
        assert other.state == metric.state
        assert other.thinnest == metric.thinnest
        assert other.governing.measured == pytest.approx(metric.governing.measured)


@settings(max_examples=150)
@given(weighed())
def test_mirrored_slip_mirrored_answer(fields):
    one, other = assess(made(fields)), assess(made(mirrored(fields)))
    assert one.state == other.state
    assert one.thinnest == other.thinnest
    assert one.carries == pytest.approx(other.carries)
    swap = {"left": "right", "right": "left"}
    turned = {(c.name, " ".join(swap.get(w, w) for w in c.place.split())): c for c in other.checks}
    for check in one.checks:
        twin = turned[check.name, check.place]
        assert twin.measured == pytest.approx(check.measured)
        assert twin.state == check.state


@settings(max_examples=100)
@given(slips())
def test_without_a_weight_there_is_an_answer(slip):
    found = assess(design(slip))
    assert found.state in (None, "another support")
    assert 0 <= found.carries <= found.tries <= 1400


# -- films at hand ---------------------------------------------------------------------------------


def test_thinnest_comes_from_the_films_at_hand():
    usual = verdict(weight="600 g")
    assert usual.thinnest == usual_films()[-1].film(1)
    own = (FilmKind(name="heavy", gauge=0.2), FilmKind(name="stiff", gauge=0.175, modulus=5500.0))
    fields = {**BOOK, "weight": "600 g"}
    found = assess(design(slip_from(fields, "slip", own)))
    assert found.thinnest is not None
    assert found.thinnest.name == "stiff"
    assert {one.film.name for one in found.stocks} == {"heavy", "stiff"}


def test_a_stiffer_film_bears_more():
    slip = slip_from({**BOOK, "weight": "300 g"})
    stiff = replace(slip, film=Film(modulus=5000.0))
    assert assess(design(stiff)).carries == pytest.approx(1.25 * assess(design(slip)).carries)
