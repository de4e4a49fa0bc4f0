"""Questions: each contradiction is asked once, with both numbers, and changes nothing."""

import pytest

from cutfiles.bench.questions import queries, require_answers
from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import SlipError

BOOK = {
    "number": "T",
    "units": "mm",
    "height": 203,
    "left_width": 133,
    "right_width": 133,
    "spine_width": 34,
    "left_rise": 66.5,
    "right_rise": 66.5,
}

CASES = [
    ("opening", "opening_angle", {"opening_angle": 110}, ['"110"', "120.0°", "sides were used"]),
    ("slope", "left_slope", {"left_slope": 20}, ['"20"', "30.0°", "rise was used"]),
    ("widths", "right_width", {"right_width": 129}, ["129.0 mm", "133.0 mm"]),
    ("spine-wide", "spine_width", {"spine_width": 200}, ["200.0 mm", "133.0 mm", "exchanged"]),
    ("sides", "spine_width", {"left_side": 25, "right_side": 20}, ["34.0 mm", "45.0 mm"]),
    (
        "sides",
        "thickness",
        {"spine_width": "", "thickness": 34, "left_side": 25, "right_side": 20},
        ["34.0 mm"],
    ),
    ("weight", "weight", {"weight": "300 g"}, ['"300 g"', "505 g to 1102 g"]),
    ("weight", "weight", {"weight": "2 lb 12 oz"}, ['"2 lb 12 oz"']),
    ("page-angle", "page_angle", {"page_angle": 130}, ["130°", "120°"]),
    (
        "swapped",
        "left_side",
        {"opening": "pp. 20-21", "pages": 300, "left_side": 30, "right_side": 4},
        ["near the front", "left side", "30.0 mm"],
    ),
    (
        "swapped",
        "left_side",
        {"opening": "f. 290", "pages": 300, "left_side": 4, "right_side": 30},
        ["near the back", "right side"],
    ),
    (
        "swapped",
        "left_side",
        {"opening": "title page", "left_side": 30, "right_side": 4},
        ["near the front"],
    ),
    ("cover", "cover", {"binding": "limp vellum"}, ["sounds limp"]),
]


def slip_with(changes):
    """A slip whose joints are known to be level: the sides say nothing of them."""
    return slip_from({"left_joint": "0 mm", "right_joint": "0 mm", **BOOK, **changes})


@pytest.mark.parametrize("binding", ["limp vellum", "paper wrappers"])
def test_a_binding_that_sounds_limp_counts_as_limp_until_somebody_answers(binding):
    """The same book was adequate from a slip and not from a list."""
    asked, limp, stiff = (
        slip_with({"binding": binding, **told})
        for told in ({}, {"cover": "limp"}, {"cover": "boards"})
    )
    assert (asked.book.cover, stiff.book.cover) == ("limp", "boards")
    assert draft_of(asked).verdict.state == draft_of(limp).verdict.state == "another support"
    assert draft_of(stiff).verdict.state == "adequate"


@pytest.mark.parametrize(
    ("rule", "path", "changes", "parts"), CASES, ids=[f"{i}-{c[0]}" for i, c in enumerate(CASES)]
)
def test_asked_once(rule, path, changes, parts):
    slip = slip_with(changes)
    (query,) = queries(slip)
    assert (query.rule, query.path) == (rule, path)
    assert query.finding.severity == "ask"
    for part in parts:
        assert part in query.finding.message
    with pytest.raises(SlipError) as refusal:
        require_answers(slip)
    assert str(refusal.value.fault.place) == f"slip, {path}"
    assert "measure again" in refusal.value.fault.remedy


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"opening_angle": 116.5},
        {"left_slope": 33},
        {"right_width": 130.5},
        {"right_width": 125, "cover": "limp", "right_rise": 60},
        {"left_side": 17, "right_side": 20.5},
        {"spine_width": 199},
        {"weight": "640 g"},
        {"page_angle": 124},
        {"opening": "pp. 20-21", "pages": 300, "left_side": 4, "right_side": 30},
        {"opening": "pp. 150-151", "pages": 300, "left_side": 30, "right_side": 4},
        {"opening": "title page", "left_side": 4, "right_side": 30},
        {"opening": "p. 150", "left_side": 30, "right_side": 4},
        {"binding": "limp vellum", "cover": "boards"},
        {"binding": "limp vellum", "cover": "limp"},
    ],
)
def test_nothing_to_ask(changes):
    slip = slip_with(changes)
    assert list(queries(slip)) == []
    require_answers(slip)


def test_nothing_is_changed():
    """With every contradiction at once the book is made from the measures that were said."""
    odd = slip_with({"opening_angle": 100, "left_slope": 20, "right_slope": 50, "weight": "3 kg"})
    plain = slip_with({})
    assert odd.opening == plain.opening
    assert {query.rule for query in queries(odd)} == {"opening", "slope", "weight"}
    said = {finding.place: finding.message for finding in odd.findings}
    assert said["left_slope"] == "left_rise was used, not left_slope"
    assert said["opening_angle"] == "the two sides were used, not the opening angle"


def test_strict_tells_all_questions():
    slip = slip_with({"opening_angle": 100, "weight": "3 kg"})
    with pytest.raises(SlipError) as refusal:
        require_answers(slip)
    assert len(refusal.value.faults) == 2


def test_which_thickness_was_used():
    slip = slip_with({"thickness": 30})
    assert [f.place for f in slip.findings if f.rule == "overdetermined"] == ["thickness"]
