"""One support for several books: by the table of fit, and as few as there can be."""

import random

import pytest
from conftest import BOOK, outside_module

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.support.reuse import fewest, fit_of, shared, stood_of


def slip(number="A1", **more):
    base = {**BOOK, "number": number, "weight": "640 g", "support": {"gauge": "10 mil"}}
    return slip_from({**base, **more})


@pytest.fixture(scope="module")
def stood():
    draft = draft_of(slip())
    return stood_of(draft.support, "adequate", draft.verdict.weight, "last year")


def test_a_support_fits_its_own_book(stood):
    assert fit_of(stood, slip()) == ("harmless", ())


@pytest.mark.parametrize(
    ("change", "judgement", "said"),
    [
        ({"height": 206}, "harmless", ""),
        ({"height": 200}, "not to be used", "shows 1.0 mm past the book"),
        ({"height": 230}, "ask", "head to tail"),
        ({"height": 250}, "not to be used", "head to tail"),
        ({"width": 136}, "harmless", ""),
        ({"width": 143}, "ask", "left board: the book reaches 13 mm past the support"),
        ({"width": 155}, "not to be used", "right board"),
        ({"width": 129}, "not to be used", "left board"),
        ({"opening_angle": 119}, "harmless", ""),
        ({"opening_angle": 117}, "ask", "left fore edge -"),
        ({"opening_angle": 100}, "not to be used", "left slope -10.0°"),
        ({"spine_width": 32}, "harmless", ""),
        ({"spine_width": 35.5}, "ask", "spine panel -0.5 mm"),
        ({"spine_width": 37}, "not to be used", "spine panel -2.0 mm"),
        ({"weight": "700 g"}, "not to be used", "700 g on a support judged for 640 g"),
        ({"weight": "600 g"}, "harmless", ""),
        ({"cover": "limp"}, "ask", "limp cover"),
    ],
)
def test_what_is_off_by_how_much(stood, change, judgement, said):
    found = fit_of(stood, slip("B1", **change))
    assert found.judgement == judgement, found
    assert not said or any(said in reason for reason in found.reasons), found.reasons


def lying(left, right):
    """A book that lies askew: width of each board, and its rise."""
    sides = {f"{side}_width": one[0] for side, one in (("left", left), ("right", right))}
    sides |= {f"{side}_rise": one[1] for side, one in (("left", left), ("right", right))}
    plain = {key: value for key, value in BOOK.items() if key not in ("width", "opening_angle")}
    return slip_from({**plain, **sides, "weight": "640 g", "support": {"gauge": "10 mil"}})


def test_each_half_is_held_against_its_own_side_of_the_book():
    """Left taken for right, a cradle would be told not to fit the book that it was made for."""
    book, turned = lying((133, 66), (120, 40)), lying((120, 40), (133, 66))
    draft = draft_of(book)
    stood = stood_of(draft.support, "adequate", draft.verdict.weight)
    assert fit_of(stood, book) == ("harmless", ())
    found = fit_of(stood, turned)
    assert found.judgement == "not to be used"
    # asin(66/133) − asin(40/120) = 29.75° − 19.47°; the panel is 3 mm shorter than its board
    for said in ("left slope +10.3°", "right slope -10.3°"):
        assert said in found.reasons
    assert "left board: the support shows 10.0 mm past the book" in found.reasons
    assert "right board: the book reaches 16 mm past the support" in found.reasons


def test_a_weight_that_is_not_known_is_asked(stood):
    values = {key: value for key, value in BOOK.items()}
    assert fit_of(stood, slip_from(values)).judgement == "ask"


def test_one_design_for_copies_and_pages(stood):
    """Three copies within 2 mm, and one book that is another: two designs."""
    books = [
        slip("C1", height=204),
        slip("C2"),
        slip("C3", height=205, width=134),
        slip("D1", height=150, width=90, weight="200 g"),
    ]
    drafts = [draft_of(one) for one in books]
    made = [stood_of(d.support, "adequate", d.verdict.weight) for d in drafts]
    found = shared(made, books)
    assert sorted(len(own) for own in found.values()) == [1, 3]
    assert found[0] == (0, 1, 2)


def instances(count, seed):
    dice = random.Random(seed)
    for _ in range(count):
        books = dice.randint(1, 16)
        yield {
            i: frozenset({i, *(j for j in range(books) if dice.random() < dice.choice((0.1, 0.3)))})
            for i in range(books)
        }


def by_cp_sat(serves):
    cp_model = outside_module("ortools.sat.python.cp_model")
    model = cp_model.CpModel()
    chosen = {i: model.new_bool_var(str(i)) for i in serves}
    for book in serves:
        model.add_bool_or([chosen[i] for i, own in serves.items() if book in own])
    model.minimize(sum(chosen.values()))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def test_as_few_as_cp_sat_finds():
    for serves in instances(25, 7):
        found = fewest(serves, frozenset(serves))
        assert frozenset().union(*(serves[i] for i in found)) == frozenset(serves)
        assert len(found) == by_cp_sat(serves)


def test_what_nobody_serves_is_left_out():
    assert fewest({}, frozenset({1})) == ()
    assert fewest({1: frozenset({2})}, frozenset({1, 2})) == (1,)
