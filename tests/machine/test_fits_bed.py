"""A support that does not fit its cutter: what fits the bed and holds the book is named."""

import re

import pytest
from benches import cutter, laser

from cutfiles import make, slip_from
from cutfiles.errors import FormatError
from cutfiles.machine.plan import plan

BOOK = {
    "number": "T1",
    "units": "mm",
    "height": 215,
    "width": 140,
    "spine_width": 34,
    "opening_angle": 120,
    "weight": 600,
}
THREE = {**BOOK, "support": {"layers": 3, "gauge": "5 mil"}}
BED = {"width": "350 mm", "length": "800 mm", "margin": "3 mm"}


def refused(slip, **bed):
    machine = cutter(formats=["svg"], bed={**BED, **bed})
    with pytest.raises(FormatError) as told:
        make(slip, cutter=machine, formats=["svg"], paper=None)
    return told.value.fault, machine


@pytest.mark.parametrize(("length", "tiles"), [("800 mm", "none"), ("600 mm", "shift")])
def test_film_and_layers_that_fit_and_hold_are_named_and_do(length, tiles):
    """As it is told it is made, and its passes lie on the bed."""
    slip = slip_from(THREE)
    fault, machine = refused(slip, length=length, tiles=tiles)
    assert "mm with its marks" in fault.found
    way = re.search(
        r"make it of one layer of (\d+ mil)(.*?), edges (\w+): so it fits", fault.remedy
    )
    assert way, fault.remedy
    how = "lips" if "lips" in way[2] else "posts" if "posts" in way[2] else "plain"
    edges = "folded" if way[3] == "hemmed" else "cut"
    named = {"gauge": way[1], "layers": 1, "construction": how, "edges": edges}
    made = make(slip_from({**BOOK, "support": named}), cutter=machine, formats=["svg"], paper=None)
    assert made.draft.verdict.state == "adequate"
    assert plan(made.draft.drawing, machine).passes


def test_a_bed_too_small_for_all_says_so():
    fault, _ = refused(slip_from(THREE), width="120 mm", length="200 mm")
    assert "in no film at hand does a support of this book both fit it and hold" in fault.needed
    assert "use a larger cutter" in fault.remedy


def test_another_refusal_stays_as_it_is():
    slip = slip_from({**BOOK, "support": {"coating": "uncoated"}})
    with pytest.raises(FormatError, match="there are no usual ones") as told:
        make(slip, cutter=laser(formats=["gcode"]), formats=["svg"], paper=None)
    assert "holds this book" not in told.value.fault.remedy
