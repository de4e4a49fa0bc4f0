"""Sheets with several patterns: in every format, verified, each pattern whole where it lies."""

import math

import pytest
from conftest import SAMPLES

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.files.verify import compare
from cutfiles.film.lay_many import Placement, lay_many
from cutfiles.machine.cutter import Setting
from cutfiles.machine.formats import drawn_formats
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import box_of, path_area, path_length

BEAM = {role.value: Setting(power=30, speed=20) for role in Role}
OPTIONS = Options(hpgl_range=8_388_607, settings=BEAM)


@pytest.fixture(scope="module")
def patterns():
    return [draft_of(read_slip(SAMPLES / f"{name}.toml")).pattern for name in ("A1", "B2", "B1")]


@pytest.fixture(scope="module")
def sheet(patterns):
    a1, b2, b1 = patterns
    places = [
        Placement(a1, 10, 10),
        Placement(b2, 10, a1.box.height + 13),
        Placement(b2, 200, a1.box.height + 13, turned=True),
        Placement(b1, 300, a1.box.height + 13, turned=True),
    ]
    return lay_many("S1", "S1", 0.127, (1016, 900), 10.0, places)


@pytest.mark.parametrize("key", sorted(drawn_formats()))
def test_every_format_is_verified(sheet, key):
    form = FORMATS[key]
    data = write_drawing(sheet, form, OPTIONS)
    assert compare(sheet, data, form, OPTIONS) == ()
    assert write_drawing(sheet, form, OPTIONS) == data


def test_patterns_are_whole_where_they_lie(sheet, patterns):
    outlines = sheet.of_role(Role.OUTLINE)
    assert [stroke.name for stroke in outlines] == [
        "A1: outline",
        "B2: outline",
        "B2: outline",
        "B1: outline",
    ]
    for stroke, pattern in zip(outlines, [*patterns[:2], patterns[1], patterns[2]], strict=True):
        own = pattern.of_role(Role.OUTLINE)[0].path
        assert math.isclose(path_area(stroke.path), path_area(own), rel_tol=1e-9)
    box = box_of([outlines[2].path])
    assert (box.left, box.bottom) == pytest.approx((200, patterns[0].box.height + 13))
    assert (box.width, box.height) == pytest.approx((patterns[1].box.height, patterns[1].box.width))
    for role in (Role.VALLEY, Role.MOUNTAIN, Role.HOLES):
        lengths = sum(path_length(s.path) for s in sheet.of_role(role))
        alone = [sum(path_length(s.path) for s in p.of_role(role)) for p in patterns]
        assert lengths == pytest.approx(alone[0] + 2 * alone[1] + alone[2])


def test_a_turned_pattern_is_not_mirrored(patterns):
    """Turned back a quarter, every point is where it was."""
    place = Placement(patterns[0], 30, 40, turned=True)
    for stroke in patterns[0].strokes:
        moved = place.path(stroke.path)
        for (x, y), (u, v) in zip(stroke.path.points, moved.points, strict=True):
            assert (v - 40, 30 + patterns[0].box.height - u) == pytest.approx((x, y))
        assert moved.bulges == stroke.path.bulges


def test_what_is_on_it_is_stated(sheet):
    facts = dict(sheet.facts)
    assert facts["number"] == "S1"
    assert facts["piece 3"].startswith("B2, ")
    assert facts["piece 3"].endswith("turned a quarter")
    notes = [note.text for note in sheet.notes]
    assert "piece 3: B2, turned" in notes
    assert {"check line 100 mm"} <= {stroke.name for stroke in sheet.strokes}
