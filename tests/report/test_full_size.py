"""Full-size drawings: pages joined again give the pattern and the profile."""

import math
from dataclasses import replace

import pypdfium2
import pytest
import tilted
from conftest import BOOK, drawn, on_papers, sample_slips, samples_on_papers
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pages import check_off_lines, check_tidy, segments, sizes, text_of
from shapely.affinity import translate
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry import box as square
from shapely.ops import unary_union

from cutfiles.bench.book import SIDES
from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.files.verify import compare
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.end_view_card import (
    FOOT,
    card_drawing,
    card_outline,
    card_tiling,
    end_view_card,
)
from cutfiles.report.printed.paper import PAPERS, Size
from cutfiles.report.printed.template import template, template_lines, template_tiling
from cutfiles.report.printed.tiles import OVERLAP, clipped, room_of, tiling

HEAVY, THIN = 0.25, 0.13


def joined(data, plan, width):
    """Everything of one line width inside the frames, brought back to the drawing's places."""
    size = PAPERS[plan.paper]
    room = room_of(Size(size.height, size.width) if plan.landscape else size)
    lines = []
    for page, tile in zip(pypdfium2.PdfDocument(data), plan.tiles, strict=True):
        dx, dy = tile.frame.left - room.left, tile.frame.bottom - room.bottom
        for a, b in segments(page, width):
            if max(a[1], b[1]) <= room.top + 0.01:
                lines.append([(a[0] + dx, a[1] + dy), (b[0] + dx, b[1] + dy)])
    return unary_union([LineString(line) for line in lines])


@pytest.mark.parametrize(("path", "paper"), list(samples_on_papers()))
def test_no_letter_of_a_template_lies_on_a_line(path, paper):
    """Neither its heading on the frame, nor a crease's letter on a notch."""
    for page in pypdfium2.PdfDocument(template(draft_of(read_slip(path)), paper)):
        check_off_lines(page)


def same(found, meant, tolerance):
    assert meant.difference(found.buffer(tolerance)).is_empty
    assert found.difference(meant.buffer(tolerance)).is_empty


@pytest.mark.parametrize(("path", "paper"), list(samples_on_papers()))
def test_joined_pages_are_the_pattern(path, paper):
    made = draft_of(read_slip(path))
    data, plan = template(made, paper), template_tiling(made, paper)
    assert len(sizes(data)) == len(plan.tiles)
    for width in (HEAVY, THIN):
        meant = unary_union(
            [LineString(line.points) for line in template_lines(made) if line.width == width]
        )
        same(joined(data, plan, width), meant, 0.03)
    check_tidy(data)


def test_a_moved_page_is_noticed():
    made = draft_of(slip_from(BOOK))
    data, plan = template(made), template_tiling(made, "A4")
    meant = unary_union([LineString(li.points) for li in template_lines(made) if li.width == HEAVY])
    tile = plan.tiles[1]
    moved = replace(tile, frame=Box(*(v + 0.2 for v in tile.frame)))
    wrong = replace(plan, tiles=(plan.tiles[0], moved, *plan.tiles[2:]))
    with pytest.raises(AssertionError):
        same(joined(data, wrong, HEAVY), meant, 0.1)


def test_template_styles_and_map():
    thirds = {"layers": 3, "gauge": "5 mil", "construction": "plain"}
    made = draft_of(slip_from({**BOOK, "support": thirds}))
    said = text_of(template(made))
    assert len(said) == 12
    assert "page A1 of 12" in said[0]
    assert "page C4 of 12" in said[-1]
    assert all("50 mm" in page and made.revision in page for page in said)


@given(st.floats(20, 1500), st.floats(20, 1500), st.sampled_from(["A4", "Letter"]))
@settings(max_examples=drawn(60))
def test_frames_cover_and_overlap(width, height, paper):
    drawing = Box(-3.0, 5.0, width - 3.0, height + 5.0)
    plan = tiling(drawing, paper)
    union = unary_union([square(*tile.frame) for tile in plan.tiles])
    assert square(*drawing).difference(union.buffer(1e-6)).is_empty
    by_place = {(t.row, t.column): square(*t.frame) for t in plan.tiles}
    for (row, column), frame in by_place.items():
        right = by_place.get((row, column + 1))
        if right is not None:
            shared = frame.intersection(right).bounds
            assert shared[2] - shared[0] == pytest.approx(OVERLAP)
    assert len({tile.name for tile in plan.tiles}) == len(plan.tiles)


@given(*[st.tuples(st.floats(-50, 50), st.floats(-50, 50))] * 2)
def test_lines_are_cut_at_the_frame(a, b):
    assume(math.dist(a, b) > 1e-6)
    frame = Box(-20.0, -10.0, 20.0, 30.0)
    meant = LineString([a, b]).intersection(square(*frame))
    piece = clipped(a, b, frame)
    if piece is None:
        assert meant.length < 1e-6
    else:
        assert LineString(piece).length == pytest.approx(meant.length, abs=1e-6)
        assert all(meant.distance(Point(p)) < 1e-6 for p in piece)


@pytest.mark.parametrize(("path", "paper"), list(samples_on_papers()))
def test_card_is_the_profile(path, paper):
    made = draft_of(read_slip(path))
    data, plan = end_view_card(made, paper), card_tiling(made, paper)
    outline = card_outline(made.support)
    same(joined(data, plan, 0.35), LineString([*outline, outline[0]]), 0.02)
    check_tidy(data)


def test_card_by_plane_geometry():
    """Each slope of the card is the board's, and joints are as far apart as the spine panel."""
    measures = {k: v for k, v in BOOK.items() if k != "opening_angle"}
    support = draft_of(slip_from(measures | {"left_slope": 5, "right_slope": 60})).support
    outline = card_outline(support)
    assert Polygon(outline).is_valid
    assert Polygon(outline).exterior.is_ccw
    (xa, ya), (xb, yb) = outline[2], outline[3]
    assert math.degrees(math.atan2(ya - yb, xa - xb)) == pytest.approx(60)
    assert outline[3].x - outline[4].x == pytest.approx(support.length("spine"))
    assert outline[0].y == outline[1].y == -FOOT
    for side in SIDES:
        corner = outline[5] if side == "left" else outline[2]
        assert corner.y == pytest.approx(support.length("leg", side))


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
@pytest.mark.parametrize("key", ["svg", "dxf-r12", "pdf"])
def test_card_to_cut_reads_back(path, key):
    sheet = card_drawing(draft_of(read_slip(path)))
    form = FORMATS[key]
    assert compare(sheet, write_drawing(sheet, form, Options()), form, Options()) == ()


FILM, TAPE = 0.127, 0.1
LIFT = {
    "RISER": 3 * FILM + 2 * TAPE,
    "RIGHT": 3 * FILM + 2 * TAPE,
    "STEEP": 3 * FILM + 2 * TAPE,
    "LOW": 3 * FILM + 2 * TAPE,
    "LONE": 2 * FILM + TAPE,
    "LEVEL": FILM + TAPE,
    "FLAT": FILM + TAPE,
    "LAPPED": 2 * (FILM + TAPE),
    "CROSSED": 2 * FILM,
    "NONE": 2 * FILM,
}
"""What lies under the low joint of each kind, mm: films and tapes one over another."""


def traced(number):
    """The card of a book from what was measured alone: widths, rises and joints, as on a table."""
    book = tilted.BOOKS[number]
    step = tilted.STEPS.get(number, 0.0)
    panel = book["spine_width"] + 1 if number != "NONE" else 0.0  # 3 mm are a crease, no panel
    apart = math.sqrt(panel**2 - step**2)
    places = {}
    for side, way, joint in (("left", -1, max(step, 0.0)), ("right", 1, max(-step, 0.0))):
        width, rise = book[f"{side}_width"], book[f"{side}_rise"]
        reach = math.sqrt(width**2 - rise**2)
        share = (width - 3) / width  # the board panel ends 3 mm inside the fore edge
        x, y = way * apart / 2, joint + LIFT[number]
        places[side] = [(x, y), (x + way * share * reach, y + share * rise)]
    (left, fore), (right, end) = places["left"], places["right"]
    feet = [(fore[0], -FOOT), (end[0], -FOOT)]
    return LineString([*feet, end, right, left, fore, feet[0]])


@pytest.mark.parametrize(("number", "paper"), list(on_papers(sorted(tilted.BOOKS))))
def test_card_of_every_kind_traced_from_its_print_is_the_book_as_measured(number, paper):
    """Within 0.2 mm, the card read back from its PDF with heights from the table."""
    made = draft_of(tilted.slip_of(number))
    found = joined(end_view_card(made, paper), card_tiling(made, paper), 0.35)
    assert found.hausdorff_distance(traced(number)) < 0.2
    sheet, form = card_drawing(made), FORMATS["svg"]
    read = form.read(write_drawing(sheet, form, Options()))
    [outline] = [path for path in read.paths if path.layer == "cut-outline"]
    cut = LineString([*outline.points, outline.points[0]])
    meant = traced(number)
    dx, dy = cut.bounds[0] - meant.bounds[0], cut.bounds[1] - meant.bounds[1]
    assert cut.hausdorff_distance(translate(meant, dx, dy)) < 0.2
