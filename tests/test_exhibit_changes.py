"""What an exhibit tells of the changes since its last run, of results made by hand."""

from dataclasses import replace

import pytest
from test_exhibit_tables import FACTS, ROLL, support

from cutfiles.exhibit.changes import Before, change_report, changed_supports, changes_text, waste_on
from cutfiles.film.late import KeptSheet
from cutfiles.film.layout import LaidSheet, Piece
from cutfiles.film.layout_check import Lying

RULES = "margin 10 mm, spacing 3 mm, longest 1500 mm"


def sheet(number, *names, frozen=False, left=5.0, shapes="0"):
    pieces = tuple(Lying(name, left, 5.0, 700.0, 190.0, False, shapes) for name in names)
    laid = LaidSheet(film=ROLL, gauge=0.127, width=1016.0, height=800.0, pieces=pieces)
    return KeptSheet(number=number, laid=laid, frozen=frozen)


BOTH = [support("A1", FACTS), support("A2", FACTS)]
SHEETS = (sheet(1, "A1"), sheet(2, "A2"))


def before(facts=(("A1", FACTS), ("A2", FACTS)), sheets=SHEETS, **more):
    return Before(facts=dict(facts), sheets=sheets, rules=RULES, name="show", **more)


def report(supports, sheets, was=None, waste=frozenset(), rules=RULES):
    return change_report(was or before(), supports, sheets, waste, rules).splitlines()


def test_nothing_is_told_of_a_first_run_and_of_one_that_changed_nothing():
    assert report(BOTH, SHEETS, Before()) == []
    assert report(BOTH, SHEETS) == []


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"width": 712.5}, "length 700 → 712.5 mm"),
        ({"height": 195.0}, "breadth 190 → 195 mm"),
        ({"gauge": 0.178}, "gauge 0.127 → 0.178 mm"),
        ({"opening_angle": 110.0}, "opening 120 → 110°"),
        ({"left_slope": 33.0}, "left slope 30 → 33°"),
        ({"right_slope": 33.0}, "right slope 31 → 33°"),
        ({"left_slope": 33.0, "right_slope": 32.0}, "left slope 30 → 33°, right slope 31 → 32°"),
        ({}, "cut or scored otherwise"),
        (
            {"way": ("7 mil", "lips", "hemmed", 0)},
            "cut or scored otherwise; made of 7 mil, lips, hemmed, was 5 mil, plain, cut",
        ),
        ({"width": 701.0, "fell": "it collapsed"}, "length 700 → 701 mm; it collapsed"),
    ],
)
def test_what_of_a_support_is_different_is_told(changed, said):
    new = [support("A1", replace(FACTS, shape="1", **changed)), BOTH[1]]
    assert list(changed_supports(before(), new)) == [f"A1: {said}"]
    told = report(new, SHEETS)
    assert told == ["Change 1", f"  A1: {said}", "  2 of 2 sheets stay as they were"]


def test_a_piece_that_is_cut_alike_is_told_only_where_it_fell():
    alike = replace(FACTS, opening_angle=119.0, way=("7 mil", "plain", "cut", 0))
    fell = replace(alike, fell="it collapsed")
    assert list(changed_supports(before(), [support("A1", alike), BOTH[1]])) == []
    assert list(changed_supports(before(), [support("A1", fell), BOTH[1]])) == ["A1: it collapsed"]
    known = before((("A1", fell), ("A2", FACTS)))
    assert list(changed_supports(known, [support("A1", fell), BOTH[1]])) == []


def test_what_came_went_and_is_refused_is_told():
    new = [support("A1", None), support("B1", FACTS), support("B2", None)]
    assert report(new, SHEETS)[1:-1] == [
        "  A1: can no longer be made, see report.txt",
        "  B1: came late",
        "  A2: no longer in the list",
    ]


def test_what_became_of_each_sheet_is_told():
    was = before(
        sheets=(sheet(1, "A1", "A2", "A3"), sheet(2, "A4"), sheet(3, "A5"), sheet(4, "A6"))
    )
    moved, more = sheet(1, "A1", left=9.0), sheet(2, "A4", "B1 · left post")
    now = (moved, more, sheet(4, "A6"), sheet(5, "B2", "B1"))
    assert report(BOTH, now, was, rules="margin 5 mm")[1:] == [
        f"  laid by other rules: margin 5 mm; it was {RULES}",
        "  sheet-001: off it A2, A3; the others moved",
        "  sheet-002: new on it B1",
        "  sheet-003: gone; nothing was cut from it",
        "  sheet-005: new, with B2, B1",
        "  1 of 4 sheets stay as they were",
    ]


def test_a_piece_of_another_shape_comes_off_and_is_new():
    now = (sheet(1, "A1", shapes="1"), sheet(2, "A2"))
    assert report(BOTH, now)[1:] == [
        "  sheet-001: off it A1; new on it A1",
        "  1 of 2 sheets stay as they were",
    ]


def test_waste_on_a_sheet_that_is_cut_is_told_once():
    cut = (sheet(1, "A1", "A1 · left post", "A3", frozen=True), sheet(2, "A2"))
    wanted = [Piece(name="A3", width=700.0, height=190.0, gauge=0.127, count=1, shape="0")]
    waste = waste_on(cut, wanted)
    assert waste == {(1, "A1", "0"), (1, "A1 · left post", "0")}  # none on a sheet not yet cut
    was = before(sheets=cut, said=("Change 1", "Change 2"))
    assert report(BOTH, cut, was, waste) == [
        "Change 3",
        "  sheet-001 is cut and stays; waste on it: A1",
        "  2 of 2 sheets stay as they were",
    ]
    assert report(BOTH, cut, replace(was, waste=waste), waste) == []


def test_the_latest_change_stands_first():
    told = changes_text("show", ["Change 1\n  A1: came late", "Change 2\n  A2: came late"]).decode()
    head, *rest = told.split("\n\n")
    assert (
        head
        == "What changed in show since it was first laid out; sheets that are cut never change."
    )
    assert rest == ["Change 2\n  A2: came late", "Change 1\n  A1: came late\n"]
