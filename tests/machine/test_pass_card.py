"""The pass card read back: what an operator needs at the machine, a page a pass, nothing hidden."""

import json
import math

import pypdfium2
import pytest
from benches import cutter, laser, sheet_of, small_sheet
from pages import check_off_lines, check_tidy, segments, text_of

from cutfiles.files.formats import FORMATS
from cutfiles.files.passes import pass_file_name, pass_options
from cutfiles.machine.passes import scale_check
from cutfiles.machine.plan import plan
from cutfiles.report.printed.cards import CARDS
from cutfiles.report.printed.pass_card import pass_card

FRAMES = {"bed": {"width": "160 mm", "length": "130 mm", "tiles": "feed", "margin": "3 mm"}}
POSTS = {"support": {"layers": 1, "gauge": "5 mil", "construction": "posts", "edges": "cut"}}
PLANS = {
    "knife": lambda: plan(sheet_of("B1"), cutter(formats=["svg", "dxf-r12"])),
    "one face": lambda: plan(sheet_of("B1"), cutter(score={"method": "perforate"})),
    "laser": lambda: plan(sheet_of("B1"), laser()),
    "frames": lambda: plan(small_sheet(), cutter(formats=["hpgl"], **FRAMES)),
    "head to tail, posts": lambda: plan(
        small_sheet(weight=250, **POSTS), cutter(score={"turn": "head to tail"})
    ),
}


@pytest.fixture(scope="module", params=PLANS)
def printed(request):
    made = PLANS[request.param]()
    return made, pass_card(made, "T1"), request.param


def test_a_page_a_pass_tidy(printed):
    made, data, _ = printed
    assert len(text_of(data)) == len(made.passes)
    check_tidy(data)


def test_no_letter_of_a_page_lies_on_a_line(printed):
    """Names of marks keep off the sheet's edge and the work, the bed's letters off its lines."""
    for page in pypdfium2.PdfDocument(printed[1]):
        check_off_lines(page)


def test_each_page_names_face_files_tools_marks_and_time(printed):
    made, data, _ = printed
    for number, (one, said) in enumerate(zip(made.passes, text_of(data), strict=True), 1):
        assert f"pass {number} of {len(made.passes)}" in said
        assert f"{one.face} face up, head " in said
        for key in made.cutter.formats:
            assert pass_file_name("T1", one, FORMATS[key], made.cutter) in said
            form, options = FORMATS[key], pass_options(made, one)
            layers = {form.layer(stroke, options) for stroke in one.drawing.strokes}
            assert all(layer in said for layer in layers)
        for mark in one.marks:
            assert mark.name in said
            assert f"{mark.at.x:.2f}" in said
        if one.frames > 1:
            assert f"frame {one.frame} of {one.frames}" in said


def test_two_marks_to_measure_stand_for_a_line_of_known_length(printed):
    made, data, _ = printed
    for one, said in zip(made.passes, text_of(data), strict=True):
        apart = scale_check(one)
        a, b = (next(m.at for m in one.marks if m.name == n) for n in apart[:2])
        assert f"{apart.first} to {apart.second}, {math.dist(a, b):.1f} mm" in said
        assert "100 mm line" not in said


def test_caution_before_anything_moves(printed):
    made, data, _ = printed
    for one, said in zip(made.passes, text_of(data), strict=True):
        assert "Before anything moves" in said
        assert "its manual" in said
        assert ("eyewear" in said) == (made.cutter.kind == "laser")
        turned = one.face != made.passes[0].face
        assert ("Pins stand lower than the tool travels" in said) == turned
        first = turned and one.frame == 1
        assert ("turn it over, " + made.cutter.turn in said) == first


def test_the_order_of_frames_is_told():
    made = PLANS["frames"]()
    assert max(one.frames for one in made.passes) > 1
    said = text_of(pass_card(made, "T1"))
    fed = [page for page in said if "Feed the film on, without turning it" in page]
    assert len(fed) == sum(one.frame > 1 for one in made.passes)


def test_the_drawing_is_the_pass_as_it_lies():
    """Marks on the page lie as the marks of the pass do: turned, scaled, never mirrored."""
    made = PLANS["knife"]()
    document = pypdfium2.PdfDocument(pass_card(made, "T1"))
    for one, page in zip(made.passes, document, strict=True):
        lines = list(segments(page, 0.3))
        across = [(a, b) for a, b in lines if a and abs(math.dist(a, b) - 3.6) < 0.02]
        centres = {(round((a[0] + b[0]) / 2, 1), round((a[1] + b[1]) / 2, 1)) for a, b in across}
        assert len(centres) == len(one.marks)
        low = (min(x for x, _ in centres), min(y for _, y in centres))
        marks = [mark.at for mark in one.marks]
        near = (min(p.x for p in marks), min(p.y for p in marks))
        wide = max(x for x, _ in centres) - low[0]
        scale = wide / (max(p.x for p in marks) - near[0])
        for p in marks:
            place = (low[0] + scale * (p.x - near[0]), low[1] + scale * (p.y - near[1]))
            assert min(math.dist(place, centre) for centre in centres) < 0.3


def test_made_with_a_cutter_named_replaced_and_removed(run, tmp_path):
    slip = tmp_path / "T1.toml"
    slip.write_text(
        'number = "T1"\nunits = "mm"\nheight = 60\nwidth = 45\nspine_width = 20\n'
        "opening_angle = 110\n",
        encoding="utf-8",
    )
    assert CARDS["passes"].usual
    said = run("make", slip, "--cutter", "desktop-knife", "--to", tmp_path)
    assert "  to print   T1.passes.pdf\n" in said
    assert "  to fill in T1.marks.csv\n" in said
    files = json.loads((tmp_path / "T1.json").read_text(encoding="utf-8"))["files"]
    assert ("T1.passes.pdf", "passes", None) in [
        (one["path"], one["format"], one["verified"]) for one in files
    ]
    again = run("make", slip, "--cutter", "desktop-knife", "--to", tmp_path, "--no-cards")
    assert "removed    T1.passes.pdf" in again
    alone = run("cards", slip, "--only", "passes", "--cutter", "laser", "--to", tmp_path / "b")
    assert "T1.passes.pdf" in alone
