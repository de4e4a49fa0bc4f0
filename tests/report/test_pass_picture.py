"""The picture of a pass: each face as it lies, what was done before seen where it lies now."""

import itertools

import pytest
from conftest import sample
from pages import lines_of_path, picture_of
from shapely import LineString, box

from cutfiles.draft import draft_of
from cutfiles.machine.plan import plan
from cutfiles.machine.profile.read import find_cutter
from cutfiles.pattern.pattern import COLOURS, Role
from cutfiles.report.pictures.canvas import SOFT
from cutfiles.report.pictures.passing import pass_picture
from cutfiles.report.script import width_of

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def made():
    return plan(draft_of(sample("B2")).drawing, find_cutter("wide-roll-knife"))


def lines_of(root):
    """Every line of a picture, and its ink: lines that look alike are one path."""
    for path in root.iter(f"{SVG}path"):
        for places in lines_of_path(path.get("d")):
            yield LineString(places), path.get("stroke")


def middles(root, ink):
    """Where the middles of all lines of one ink lie."""
    for line, drawn in lines_of(root):
        if drawn == ink:
            left, top, right, bottom = line.bounds
            yield (left + right) / 2, (top + bottom) / 2


@pytest.mark.parametrize(("number", "ink"), [(0, COLOURS[Role.REGISTRATION]), (1, SOFT)])
def test_marks_lie_on_the_crosses_that_were_made(made, number, ink):
    """Before the sheet is turned and after: marks come from the pass, crosses from the sheet."""
    one = made.passes[number]
    root = picture_of(pass_picture(made, one))
    rings = [(float(c.get("cx")), float(c.get("cy"))) for c in root.iter(f"{SVG}circle")]
    assert len(rings) == len(one.marks) == 6
    drawn = list(middles(root, ink))
    for x, y in rings[:3]:  # the crosses; pin holes are cut
        near = [place for place in drawn if abs(place[0] - x) + abs(place[1] - y) < 0.01]
        assert len(near) >= 2, (x, y)


def test_each_line_of_work_is_drawn_in_its_pass(made):
    for one in made.passes:
        root = picture_of(pass_picture(made, one))
        for role in (Role.VALLEY, Role.MOUNTAIN):
            count = sum(stroke.role is role for stroke in one.drawing.strokes)
            key = 1 if count else 0  # the line that says what the ink means
            assert len(list(middles(root, COLOURS[role]))) == count + key


@pytest.mark.parametrize("name", ["B2", "A1", "G1"])
@pytest.mark.parametrize("cutter", ["wide-roll-knife", "laser"])
def test_names_of_marks_stand_off_every_line(name, cutter):
    """In the picture and on the card: no line runs through a name, no name on another."""
    planned = plan(draft_of(sample(name)).drawing, find_cutter(cutter))
    for one in planned.passes:
        root = picture_of(pass_picture(planned, one))
        lines = [line for line, _ in lines_of(root)]
        names = []
        for text in root.iter(f"{SVG}text"):
            if text.text in {mark.name for mark in one.marks}:
                x, y, size = (float(text.get(key)) for key in ("x", "y", "font-size"))
                width = width_of(text.text, size, bold=True)
                names.append(box(x, y - 0.7 * size, x + width, y))
        assert len(names) == len(one.marks)
        for named, line in itertools.product(names, lines):
            assert not named.intersects(line)
        assert not any(a.intersects(b) for a, b in itertools.combinations(names, 2))
