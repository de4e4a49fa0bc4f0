"""Kerf, trailing knife, dashes, bridges, lead-ins: each does what it says, and no more."""

import itertools
import math

import pytest
import shapely
from benches import cutter, laser, pass_files, sheet_of, small_sheet
from conftest import DEEP, drawn, sample_slips
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import slips

from cutfiles.draft import draft_of
from cutfiles.errors import FormatError
from cutfiles.files.formats import FORMATS
from cutfiles.machine.bridges import CLEAR, bridge_places, with_bridges, with_lead_in
from cutfiles.machine.fit import Move
from cutfiles.machine.kerf import offset
from cutfiles.machine.knife import ALIGNED, lead
from cutfiles.machine.perforate import dashes, perforate, stops_on
from cutfiles.machine.plan import lie_of, plan
from cutfiles.machine.turning import moved
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import (
    chords,
    distance,
    distance_to_path,
    path_area,
    path_length,
    point_along,
)
from cutfiles.plane.moves import mirror_left_right, shift
from cutfiles.plane.parts import inside, part_of
from cutfiles.plane.shapes import Box, Path, Point, circle, closed_path, open_path, rectangle

TEE = closed_path((0, 0), (60, 0), (60, 20), (40, 20), (40, 50), (20, 50), (20, 20), (0, 20))


def polygon(path):
    from shapely import Polygon

    return Polygon(chords(path, 1e-5))


def drawn_out(path):
    """Return a path as a line of shapely, within 0.00001 mm."""
    places = chords(path, 1e-5)
    return shapely.LineString([*places, *(places[:1] if path.closed else ())])


# -- kerf -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("way", [0.05, -0.05, 0.5, -0.5])
@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(("join", "style"), [("mitred", "mitre"), ("rounded", "round")])
def test_kerf_areas_against_shapely(way, turned, join, style):
    """Corners both ways, arcs, either run: the area is that of shapely's buffer."""
    for path in (TEE, rectangle(Box(0, 0, 30, 10)), circle((5, 5), 3), ROUNDED):
        path = mirror_left_right(path, 0) if turned else path
        wanted = polygon(path).buffer(way, join_style=style, quad_segs=2000)
        found = polygon(offset(path, way, join))
        assert found.area == pytest.approx(wanted.area, abs=2e-4 * path_length(path))
        assert found.symmetric_difference(wanted).area < 5e-4 * path_length(path)


ROUNDED = Path(
    (Point(3, 0), Point(27, 0), Point(30, 3), Point(30, 20), Point(0, 20), Point(0, 3)),
    (0.0, math.tan(math.pi / 8), 0.0, 0.0, 0.0, math.tan(math.pi / 8)),
    True,
)


@settings(max_examples=drawn(30))
@given(slips(), st.sampled_from([0.1, 0.2, 0.3]), st.sampled_from(["mitred", "rounded"]))
def test_outlines_grow_by_half_the_kerf_holes_shrink_scores_stay(slip, kerf, join):
    sheet = draft_of(slip).drawing
    made = plan(sheet, laser(tool={"kerf": f"{kerf} mm", "corners": join}))
    work = {id(s): s for one in made.passes for s in one.drawing.strokes}.values()
    nominal = sheet.of_role(Role.OUTLINE)[0].path
    (outline,) = [s.path for s in work if s.role is Role.OUTLINE]
    grown = abs(path_area(outline)) - path_area(nominal)
    assert grown == pytest.approx(path_length(nominal) * kerf / 2, rel=0.01)
    corners = chords(mirror_left_right(nominal, sheet.width / 2), 0.01)
    for place in outline.points:
        assert distance_to_path(place, mirror_left_right(nominal, sheet.width / 2)) >= (
            kerf / 2 - 1e-6
        )
        assert not inside(place, corners)
    drawn = {s.name: abs(path_area(s.path)) for s in sheet.of_role(Role.HOLES)}
    for s in work:
        if s.name in drawn:
            radius = math.sqrt(drawn[s.name] / math.pi) - kerf / 2
            assert abs(path_area(s.path)) == pytest.approx(math.pi * radius**2)
    scores = sum(path_length(s.path) for s in work if s.role.startswith("score"))
    assert scores == pytest.approx(
        sum(path_length(s.path) for s in sheet.strokes if s.role.startswith("score"))
    )


def test_kerf_is_done_once_and_said():
    facts = {}
    for kerf in ("0.2 mm", "machine"):
        made = plan(small_sheet(), laser(tool={"kerf": kerf}))
        for file in pass_files(made):
            facts[kerf] = FORMATS["svg"].read(file.data).facts["kerf"]
    assert facts["0.2 mm"].startswith("0.2 mm, done here")
    assert facts["machine"] == "left to the machine"
    whole = made.drawing.of_role(Role.OUTLINE)[0].path
    assert path_area(whole) == pytest.approx(path_area(small_sheet().of_role(Role.OUTLINE)[0].path))


BY_THE_MACHINE = {"knife offset": "left to the machine", "overcut": "left to the machine"}
BURNT_BY_THE_MACHINE = {"kerf": "left to the machine"}
DONE = [
    (
        cutter,
        {"tool": {"knife_offset": "0.3 mm", "overcut": "0.5 mm"}},
        {
            "knife offset": "0.3 mm, done here: off in the machine",
            "overcut": "0.5 mm, done here: off in the machine",
        },
    ),
    (
        cutter,
        {"tool": {"knife_offset": "0 mm", "overcut": "0 mm"}},
        {"knife offset": "none", "overcut": "none"},
    ),
    (
        cutter,
        {"tool": {"bridges": 4, "bridge_width": "0.4 mm"}},
        {**BY_THE_MACHINE, "bridges": "up to 4 of 0.4 mm in each outline"},
    ),
    (cutter, {"tool": {"lead_in": "2 mm"}}, {**BY_THE_MACHINE, "lead-in": "2 mm, from the waste"}),
    (
        cutter,
        {"tool": {"bridges": 4, "lead_in": "2 mm"}},
        {
            **BY_THE_MACHINE,
            "bridges": "up to 4 of 0.5 mm in each outline",
            "lead-in": "2 mm, from the waste; none where bridges hold",
        },
    ),
    (
        cutter,
        {"material": [{"gauge": "5 mil", "cut_passes": 3, "score_passes": 2}]},
        {**BY_THE_MACHINE, "passes": "score 2 times, cut 3 times"},
    ),
    (
        laser,
        {"score": {"method": "perforate", "dash": "3 mm", "land": "1.5 mm"}},
        {**BURNT_BY_THE_MACHINE, "perforation": "cuts of 3 mm, lands of 1.5 mm or more"},
    ),
]


@pytest.mark.parametrize(("build", "given", "said"), DONE)
def test_all_that_was_done_to_the_paths_is_said_in_the_files(build, given, said):
    """Nothing is done a second time in the machine's own program, and nothing left undone."""
    one = pass_files(plan(small_sheet(), build(**given)))[-1]
    facts = FORMATS[one.format].read(one.data).facts
    names = ("kerf", "knife offset", "overcut", "perforation", "bridges", "lead-in", "passes")
    assert {name: facts[name] for name in names if name in facts} == said


def test_a_detail_too_small_for_the_kerf_is_refused():
    with pytest.raises(ValueError, match="too small"):
        offset(circle((0, 0), 0.4), -0.5)
    with pytest.raises(ValueError, match=r"too short|too small"):
        offset(TEE, -12.0)
    with pytest.raises(FormatError, match=r"relief hole.*larger than the kerf"):
        plan(sheet_of("A1"), laser(tool={"kerf": "1.6 mm"}))


# -- trailing knife -------------------------------------------------------------------------------


def trailed(path, offset_, heading):
    """Where the tip goes as the pivot runs: it always trails at the same distance."""
    pivot = path.points[0]
    tip = (pivot[0] - offset_ * math.cos(heading), pivot[1] - offset_ * math.sin(heading))
    way = [tip]
    for segment in path.segments():
        length = max(distance(segment.start, segment.end), abs(segment.bulge) * 0.5)
        count = max(2, int(length / 0.01))
        for i in range(1, count + 1):
            pivot = point_along(segment, i / count)
            span = math.hypot(pivot[0] - tip[0], pivot[1] - tip[1])
            tip = (
                pivot[0] - offset_ * (pivot[0] - tip[0]) / span,
                pivot[1] - offset_ * (pivot[1] - tip[1]) / span,
            )
            way.append(tip)
    return way


@pytest.mark.parametrize("offset_", [0.175, 0.3, 1.0])
@pytest.mark.parametrize("heading", [0.0, 2.0, -3.0])
def test_tip_stays_on_the_line(offset_, heading):
    """Within 0.02 mm, round corners of either hand, arcs, and slight bends."""
    bent = open_path((0, 0), (10, 0), (20, 0.3), (30, 1.5), (30, 12), (26, 9))
    for path in (TEE, ROUNDED, bent, circle((5, 5), 4)):
        pivot, last = lead(path, offset_, offset_, heading)
        tips = trailed(pivot, offset_, heading)
        assert shapely.distance(shapely.points(tips[::3]), drawn_out(path)).max() <= 0.02
        # and all of the line is cut
        worked = shapely.MultiPoint(tips[::4])
        assert shapely.distance(shapely.points(chords(path, 0.05)), worked).max() < 0.06
        begun = path.points[0] if path.closed else path.points[-1]
        ahead = math.hypot(pivot.points[-1].x - tips[-1][0], pivot.points[-1].y - tips[-1][1])
        assert ahead == pytest.approx(offset_, rel=1e-3)
        overrun = distance(tips[-1], begun)
        assert overrun == pytest.approx(offset_ if path.closed else 0, abs=0.03)
        assert -math.pi * 4 < last < math.pi * 4


def test_without_swivels_the_tip_is_off():
    """What the test above measures is real: a plain shift misses the line by tenths."""
    pivot = open_path((0.5, 0), (20, 0), (20, 20))
    tips = trailed(pivot, 0.5, 0.0)
    assert max(distance_to_path(tip, open_path((0, 0), (20, 0), (20, 20))) for tip in tips) > 0.1


@pytest.mark.parametrize("overcut", [0.0, 0.5, 2.0, 3.0, 5.0, 50.0])
def test_an_overcut_runs_on_at_most_half_way_round(overcut):
    """A small square of 8 mm; further on it would cut the film twice over."""
    path, _ = lead(rectangle(Box(10, 10, 12, 12)), 0.0, overcut, 0.0)
    assert path_length(path) == pytest.approx(8 + min(overcut, 4.0))


def test_knife_in_a_plan():
    machine = cutter(tool={"knife_offset": "0.3 mm", "overcut": "0.3 mm"})
    made = plan(small_sheet(), machine)
    last = made.passes[-1].drawing
    assert all(not s.path.closed for s in last.of_role(Role.OUTLINE))
    assert [s.name for s in last.strokes].count(ALIGNED) == 1
    scores = [s for s in last.strokes if s.role is Role.MOUNTAIN]
    assert all(len(s.path.points) == 2 for s in scores)  # creased with a wheel: not led
    heading = 0.0
    knife = [s for s in last.strokes if s.role in (Role.HOLES, Role.OUTLINE)]
    nominal = [
        s.path
        for s in plan(small_sheet(), cutter()).passes[-1].drawing.strokes
        if s.role in (Role.HOLES, Role.OUTLINE)
    ]
    for stroke in knife[1:]:
        tips = trailed(stroke.path, 0.3, heading)
        assert max(min(distance_to_path(t, p) for p in nominal) for t in tips[::50]) <= 0.02
        end = stroke.path.points[-1]
        heading = math.atan2(end[1] - tips[-1][1], end[0] - tips[-1][0])
    facts = dict(last.facts)
    assert facts["knife offset"].startswith("0.3 mm, done here")
    assert len(pass_files(made)) == 4


BEDS = {
    "one frame": ("A1", {}),
    "frames": ("A1", {"length": "300 mm", "tiles": "feed"}),
    "a small sheet, turned a quarter": ("", {"width": "100 mm"}),
}


@pytest.mark.parametrize("offset_", ["0.3 mm", "3 mm"])
@pytest.mark.parametrize("case", BEDS)
def test_a_blade_is_aligned_in_the_waste_of_every_frame(case, offset_):
    """On the film, clear of all pieces; on a later frame there are pieces from its very edge on."""
    sample, bed = BEDS[case]
    sheet = sheet_of(sample) if sample else small_sheet(height=30)
    made = plan(sheet, cutter(bed=bed, tool={"knife_offset": offset_}))
    assert (len({one.frame for one in made.passes}) > 1) == (case == "frames")
    assert (made.passes[0].drawing.width < sheet.width) == ("quarter" in case)
    seen = set()
    for one in made.passes:
        (piece,) = moved(sheet.of_role(Role.OUTLINE), lie_of(made, one))
        for stroke in one.drawing.strokes:
            if stroke.name == ALIGNED:
                seen.add(one.name)
                whole = shift(stroke.path, 0, one.bottom)
                assert polygon(piece.path).distance(drawn_out(whole)) > 0
                film = shapely.box(0, 0, one.drawing.width, one.drawing.height)
                assert film.covers(drawn_out(stroke.path))
    cuts = {p.name for p in made.passes for s in p.drawing.strokes if s.role is Role.OUTLINE}
    assert cuts
    assert cuts <= seen


# -- perforation ----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", sample_slips()[:: 1 if DEEP else 3], ids=lambda path: path.stem)
def test_dashes_are_whole_and_keep_off_ends_crossings_and_edges(path):
    sheet = sheet_of(path.stem)
    machine = cutter(score={"method": "perforate", "dash": "2 mm", "land": "0.8 mm"})
    made = plan(sheet, machine)
    (one,) = made.passes
    scores = [s for s in sheet.strokes if s.role in (Role.VALLEY, Role.MOUNTAIN)]
    edges = [s.path for s in sheet.strokes if s.role in (Role.HOLES, Role.OUTLINE)]
    edge = shapely.union_all([drawn_out(path) for path in edges])
    cut = [s for s in one.drawing.strokes if s.role in (Role.VALLEY, Role.MOUNTAIN)]
    assert len(cut) > 10 * len(scores) / 2
    for dash in cut:
        assert path_length(dash.path) == pytest.approx(2.0)
        assert not dash.path.closed
        ends = dash.path.points
        (own,) = [s for s in scores if s.name == dash.name]
        for end in ends:
            assert distance_to_path(end, own.path) < 1e-6
            assert min(distance(end, p) for p in own.path.points) >= 0.8 - 1e-6
    ends = shapely.points([end for dash in cut for end in dash.path.points])
    assert shapely.distance(ends, edge).min() >= 0.8 - 1e-3
    for name in {s.name for s in scores}:
        ends = sorted(d.path.points for d in cut if d.name == name)
        flat = sorted(p for pair in ends for p in pair)
        gaps = [distance(a, b) for a, b in zip(flat[1::2], flat[2::2], strict=False)]
        assert all(gap >= 0.8 - 1e-6 for gap in gaps)
    assert "lands of 0.8 mm" in dict(one.drawing.facts)["perforation"]


def test_crossings_are_solid():
    cross = [
        Stroke(Role.VALLEY, "level", open_path((0, 0), (40, 0))),
        Stroke(Role.MOUNTAIN, "upright", open_path((20, -10), (20, 10))),
    ]
    for dash in perforate(cross, 3.0, 1.0):
        assert min(distance((20, 0), p) for p in dash.path.points) >= 1.0 - 1e-6
    assert [round(t, 6) for t, _ in stops_on(cross[0], cross)] == [0, 20, 40]
    pieces = dashes(open_path((0, 0), (10, 0)), [(0, False), (10, False)], 3, 1)
    assert [(round(p.points[0].x, 6), round(p.points[1].x, 6)) for p in pieces] == [
        (1.333333, 4.333333),
        (5.666667, 8.666667),
    ]


def test_a_score_too_short_for_a_dash_is_refused():
    short = [Stroke(Role.VALLEY, "left foot", open_path((0, 0), (4, 0)))]
    with pytest.raises(FormatError, match=r"left foot, a score of 4\.0 mm.*shorter dash"):
        perforate(short, 3.0, 1.0)


def test_two_arcs_meet_where_their_circles_do():
    """A lens of two arcs of 25 mm about (0, ±15), a millimetre inwards: corners by Pythagoras."""
    lens = Path((Point(-20.0, 0.0), Point(20.0, 0.0)), closed=True, bulges=(0.5, 0.5))
    moved = offset(lens, -1.0)
    reach = math.sqrt(24**2 - 15**2)
    assert sorted(p.x for p in moved.points) == pytest.approx([-reach, reach])
    assert [p.y for p in moved.points] == pytest.approx([0.0, 0.0])


HALF_DISC = Path((Point(-10.0, 0.0), Point(10.0, 0.0)), closed=True, bulges=(0.0, 1.0))


def test_a_line_and_an_arc_meet_where_line_and_circle_do():
    """Half a disc of 10 mm, a millimetre inwards: by Pythagoras, in a circle of 9 mm."""
    moved = offset(HALF_DISC, -1.0)
    reach = math.sqrt(9**2 - 1**2)
    assert sorted(p.x for p in moved.points) == pytest.approx([-reach, reach])
    assert [p.y for p in moved.points] == pytest.approx([1.0, 1.0])


@pytest.mark.parametrize("degrees", range(10, 360, 50))
@pytest.mark.parametrize("mirrored", [False, True])
def test_lines_and_arcs_meet_at_every_angle(degrees, mirrored):
    """Half a disc and a lens, moved in: both corners lie where shapely's narrower shapes have them.

    What is left of a lens is where two smaller discs overlap; of half a disc, a smaller disc cut
    off by its edge.
    """
    turn = math.radians(degrees)
    spun = Move("rigid", math.cos(turn), -math.sin(turn), math.sin(turn), math.cos(turn), 40.0, 7.0)
    lens = Path((Point(-20.0, 0.0), Point(20.0, 0.0)), closed=True, bulges=(0.5, 0.5))
    discs = [shapely.Point(0, y).buffer(24, quad_segs=4000) for y in (-15, 15)]
    half = shapely.Point(0, 0).buffer(9, quad_segs=4000) & shapely.box(-10, 1, 10, 10)
    for path, left in ((lens, discs[0] & discs[1]), (HALF_DISC, half)):
        laid = spun.path(mirror_left_right(path, 0) if mirrored else path)
        found = polygon(offset(laid, -1.0))
        wanted = shapely.affinity.affine_transform(left, [spun.a, spun.b, spun.c, spun.d, 40, 7])
        assert found.hausdorff_distance(wanted) < 0.002


def test_a_line_and_an_arc_that_come_apart_are_joined_by_straight_edges():
    """Half a disc of 10 mm, a millimetre outwards: half of one of 11 mm and a strip below it."""
    moved = offset(HALF_DISC, 1.0)
    assert path_area(moved) == pytest.approx(math.pi * 11**2 / 2 + 22 * 1)
    assert sorted({(round(x, 9), round(y, 9)) for x, y in moved.points}) == [
        *((-11, -1), (-11, 0), (-10, -1)),
        *((10, -1), (11, -1), (11, 0)),
    ]


def test_corners_beside_an_edge_shorter_than_the_kerf_are_mitred():
    """Rounding them would draw an arc longer than the edge it ends on; long edges are rounded."""
    short = closed_path((0, 0), (30, 0), (30, 19.5), (29.5, 20), (0, 20))
    moved = offset(short, 1.0, "rounded")
    round_at = [p for p, bulge in zip(moved.points, moved.bulges, strict=True) if bulge]
    assert sorted({(round(x, 9), round(y, 9)) for x, y in round_at}) == [
        *((-1, 0), (0, 21), (30, -1))
    ]


# -- bridges and lead-ins -------------------------------------------------------------------------


@settings(max_examples=drawn(50))
@given(slips(), st.integers(1, 12))
def test_bridges_keep_off_corners_and_creases(slip, count):
    sheet = draft_of(slip).drawing
    (outline,) = sheet.of_role(Role.OUTLINE)
    scores = [s.path for s in sheet.strokes if s.role.startswith("score")]
    places = bridge_places(outline.path, scores, count, 0.5)
    cuts = with_bridges(outline, scores, count, 0.5)
    if not places:
        assert cuts == (outline,)
        return
    assert len(cuts) == len(places) <= count
    assert sum(path_length(c.path) for c in cuts) == pytest.approx(
        path_length(outline.path) - 0.5 * len(places)
    )
    for cut in cuts:
        assert not cut.path.closed
        for end in (cut.path.points[0], cut.path.points[-1]):
            assert min(distance(end, p) for p in outline.path.points) >= CLEAR - 1e-6
            assert all(distance_to_path(end, score) >= CLEAR - 0.02 for score in scores)


@pytest.mark.parametrize("count", [1, 4, 8, 20, 40])
def test_there_are_as_many_bridges_as_asked_for_where_there_is_room(count):
    """A square of 100 mm has room for one every 10 mm: evenly, and clear of its corners."""
    square = rectangle(Box(0, 0, 100, 100))
    places = bridge_places(square, (), count, 0.5)
    if count > 4:  # of four, each is wanted in the middle of a side
        assert places == pytest.approx([(i + 0.5) * 400 / count for i in range(count)])
    assert len(places) == count


def test_few_bridges_are_told():
    made = plan(small_sheet(), cutter(tool={"bridges": 150}))
    assert "bridges found room" in made.findings[0].message
    four = plan(small_sheet(), cutter(tool={"bridges": 4}))
    assert len(four.passes[-1].drawing.of_role(Role.OUTLINE)) == 4
    assert not four.findings


@pytest.mark.parametrize("path", [TEE, mirror_left_right(TEE, 0), ROUNDED, circle((0, 0), 10)])
def test_lead_in_comes_from_the_waste(path):
    out = with_lead_in(Stroke(Role.OUTLINE, "o", path), 2.0).path
    assert not inside(out.points[0], chords(path, 0.01))
    assert distance(out.points[0], out.points[1]) == pytest.approx(2.0)
    assert out.points[1] == out.points[-1] == path.points[0]
    assert path_length(out) == pytest.approx(path_length(path) + 2.0)
    hole = with_lead_in(Stroke(Role.HOLES, "h", path), 2.0).path
    assert inside(hole.points[0], chords(path, 0.01))


def test_parts_add_up():
    for path in (TEE, ROUNDED, circle((3, 4), 2)):
        length = path_length(path)
        parts = [part_of(path, a, b) for a, b in ((0, 3.3), (3.3, 7), (7, length))]
        assert sum(map(path_length, parts)) == pytest.approx(length)
        for before, after in itertools.pairwise(parts):
            assert distance(before.points[-1], after.points[0]) < 1e-9
        round_again = part_of(path, length - 1, length + 1)
        assert path_length(round_again) == pytest.approx(2)
