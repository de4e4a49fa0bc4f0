"""Drawings edited as people do, saved by general-purpose programs: each edit named and judged.

The files stand packed in tests/edits, with what was done and the program that saved them in
saved.csv; tests/bench/save_edits.py makes them.
"""

import csv
import functools
import gzip

import pytest
from conftest import ROOT

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.edits.find import edits_in
from cutfiles.edits.opening import open_drawing
from cutfiles.edits.told import edit_told
from cutfiles.errors import FileError

SAVED = ROOT / "tests" / "edits"
FINE, LOOK, BREAKS = "harmless", "look at it", "breaks the support"

LOST = ("statements lost", "", FINE)
GUESSED = ("layer renamed", "", LOOK)
SAME = []
SEVERAL = [
    ("notch", "left base", FINE),
    ("hole added", "left base", FINE),
    ("label moved", "left base", LOOK),  # it runs over the slot
]
EDITS = {
    "plain.svg": SAME,
    "qpdf.pdf": SAME,
    "mutool.pdf": SAME,
    "distilled.pdf": SAME,
    "colours.svg": [("restyled", "", FINE), ("restyled", "", FINE)],
    "label_moved.svg": [("label moved", "left base", FINE)],
    "logo.svg": [("label added", "left base", FINE)],
    "slot.svg": [("hole added", "left base", LOOK)],  # it takes letters of the label
    "hole_round.svg": [("hole added", "right base", FINE)],
    "clone.svg": [("hole added", "left base", LOOK), ("hole added", "left base", FINE)],
    "notch.svg": [("notch", "left base", FINE)],
    "corner.svg": [("corner", "left tab", BREAKS)],
    "corner_sharp.svg": [("corner", "left tab", BREAKS)],
    "hole_crease.svg": [("hole added", "left base, left leg", BREAKS)],
    "hole_outside.svg": [("hole added", "", BREAKS)],
    "leg_gone.svg": [("hole added", "left leg", BREAKS)],
    "guide_hidden.svg": [("guides left out", "", FINE)],
    "guide_deleted.svg": [("guides left out", "", FINE)],
    "ungrouped.svg": [GUESSED],
    "renamed.svg": [GUESSED],
    "one_colour.svg": [GUESSED],
    "other_ids.svg": SAME,
    "printed.pdf": [("whole", "", LOOK), ("whole", "", FINE), LOST, GUESSED],
    "no_unit.svg": [("whole", "", FINE), ("whole", "", FINE)],
    "turned_90.svg": [("whole", "", FINE)],
    "turned_half.svg": [("whole", "", FINE)],
    "stretched.svg": [("whole", "", LOOK)],
    "mirrored.svg": [("whole", "", LOOK)],
    "exploded.svg": [("joined", "", FINE)],
    "opened.svg": [("outline opened", "", LOOK)],
    "stroked.svg": [("drawn double", "", FINE)],
    "doubled.svg": [("drawn double", "", FINE)],
    "crease_pieces.svg": SAME,
    "node_doubled.svg": SAME,
    "crease_moved.svg": [("crease moved", "left board", BREAKS)],
    "crease_exchanged.svg": [("crease exchanged", "", BREAKS)],
    "crease_removed.svg": [("crease removed", "", BREAKS)],
    "crease_added.svg": [("crease added", "left base", BREAKS)],
    "text_on_label.svg": [("left alone", "", LOOK)],
    "text_as_paths.svg": [("label added", "left base", FINE)],
    "unknown.svg": [("unknown layer", "left base", LOOK)],
    "several.svg": SEVERAL,
    "optimised.svg": [("whole", "", FINE), *SEVERAL],
    "several.pdf": [LOST, GUESSED, *SEVERAL, ("left alone", "", FINE)],
    "resaved.dxf": SAME,
    "lower.dxf": SAME,
    "inches.dxf": SAME,
    "gdal.dxf": [("whole", "", FINE), LOST, *[("restyled", "", FINE)] * 5],
    "rich.dxf": [("label added", "left base", FINE), ("label added", "left base", FINE)],
}
"""Each file with its edits: kind, panel where it lies on one, state."""


@pytest.fixture(scope="module")
def draft():
    return draft_of(read_slip(SAVED / "E7.toml"))


@pytest.fixture(scope="module")
def found_in(draft):
    """What is found in a drawing, sought once for all tests that ask."""

    @functools.cache
    def found(name):
        data = (SAVED / f"{name}.gz").read_bytes()
        return edits_in(open_drawing(data), draft, again=lambda times: open_drawing(data, times))

    return found


@pytest.mark.parametrize("name", EDITS)
def test_edits_are_named_and_judged(name, found_in):
    found = found_in(name)
    assert [(edit.kind, edit.panel, edit.state) for edit in found.edits] == [
        (kind, panel or edit.panel, state)
        for (kind, panel, state), edit in zip(EDITS[name], found.edits, strict=False)
    ], [(edit.kind, edit.panel, edit.state, edit.why) for edit in found.edits]
    assert len(found.edits) == len(EDITS[name])


def test_a_picture_is_no_cut_file(found_in):
    with pytest.raises(FileError, match="a picture, not a cut file"):
        found_in("picture.svg")


def test_a_label_is_moved_by_so_much(found_in):
    (edit,) = found_in("label_moved.svg").edits
    assert edit.moved == pytest.approx((5.3, 4.0), abs=0.02)
    assert "inside the left base" in edit.why


def test_how_the_whole_lies_is_measured(found_in):
    (turned,) = found_in("turned_half.svg").edits
    assert "turned by -0.5" in turned.why
    (stretched,) = found_in("stretched.svg").edits
    assert "1.01 times as long left to right, 1 times tail to head" in stretched.why
    unit = found_in("no_unit.svg").edits
    assert "96 to the inch" in unit[0].why
    assert edit_told(unit[-1]) == (
        "the whole is saved with no unit: 96 to the inch; read by its pattern, in mm"
    )


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("cut-off.dxf", b"0\nSECTION\n"),
        ("empty.svg", b'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" viewBox="0 0 9 9"/>'),
    ],
)
def test_a_drawing_without_a_line_is_called_no_picture(draft, name, data):
    with pytest.raises(FileError, match="a drawing in which 0% of the pattern is found"):
        edits_in(open_drawing(data), draft)


def test_reasons_name_creases_and_sizes(found_in):
    (moved,) = found_in("crease_moved.svg").edits
    assert moved.name == "left apex, middle"
    assert moved.moved == (2.0, 0.0)
    (hole,) = found_in("hole_crease.svg").edits
    assert "across left foot" in hole.why
    (leg,) = found_in("leg_gone.svg").edits
    assert "of the left leg is left at its narrowest: it does not carry the book" in leg.why
    (slit,) = found_in("opened.svg").edits
    assert "open by 0.20 mm" in slit.why


def test_every_saved_file_is_looked_at():
    names = {path.name.removesuffix(".gz") for path in SAVED.glob("*.gz")}
    assert names == {*EDITS, "picture.svg"}
    with open(SAVED / "saved.csv", encoding="utf-8") as table:
        rows = {row["file"]: row["saved by"] for row in csv.DictReader(table)}
    assert {f"{name}.gz" for name in names} == set(rows)
    assert all(rows.values())


def test_packed_and_plain_are_one():
    data = (SAVED / "plain.svg.gz").read_bytes()
    assert open_drawing(data) == open_drawing(gzip.decompress(data))
