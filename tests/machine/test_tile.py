"""Frames: joined from their files they give the pass again, without a step."""

import itertools

import pytest
import shapely
from benches import cutter, laser, pass_files, sheet_of
from conftest import SAMPLES

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.errors import FormatError
from cutfiles.files.formats import FORMATS
from cutfiles.files.passes import pass_drawing, verify_pass, write_plan
from cutfiles.machine.plan import plan
from cutfiles.machine.tile import _meets, frames_of
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of, chords, path_length
from cutfiles.plane.shapes import Box, Path, Point, open_path, rectangle

BEDS = {
    "feed": {"width": "700 mm", "length": "300 mm", "tiles": "feed"},
    "shift": {"width": "700 mm", "length": "420 mm", "tiles": "shift"},
}


def joined(made, key, form):
    """What all frames of one face work together, read back from their files."""
    lines, files = [], write_plan(made)
    for one in made.passes:
        if one.key != key:
            continue
        data = next(f.data for f in files if f".{one.name}." in f.name and f.format == form)
        for path in FORMATS[form].read(data).paths:
            places = [*path.points, path.points[0]] if path.closed else list(path.points)
            lines.append((path.layer, [(x, y + one.bottom) for x, y in places]))
    return lines


def furthest(places, lines):
    """How far the place is that lies furthest from straight lines."""
    drawn = shapely.MultiLineString([line for line in lines if len(line) > 1])
    return shapely.distance(shapely.points(places), drawn).max()


@pytest.mark.parametrize("tiles", ["feed", "shift"])
@pytest.mark.parametrize("form", ["svg", "hpgl"])
def test_joined_frames_give_the_pass(tiles, form):
    sheet = sheet_of("A1")
    build = laser if tiles == "shift" else cutter
    made = plan(sheet, build(formats=[form], bed=BEDS[tiles]))
    whole = plan(sheet, build(formats=[form]))
    assert {one.frames for one in made.passes} > {1} or made.passes[0].frames > 1
    for one in whole.passes:
        lines = joined(made, one.key, form)
        pens = {Role.OUTLINE: "1", Role.HOLES: "1", Role.MOUNTAIN: "2", Role.VALLEY: "3"}
        for role, pen in pens.items():
            layer = pen if form == "hpgl" else role.value
            got = [line for name, line in lines if name == layer]
            for stroke in one.drawing.of_role(role):
                # arcs are read by their ends only from SVG: there the straight parts are compared
                places = chords(stroke.path, 0.01)
                ends = [*places, places[0]] if stroke.path.closed else places
                straight = [(s.start, s.end) for s in stroke.path.segments() if not s.bulge]
                found = [
                    (a[0] + (b[0] - a[0]) * k / 5, a[1] + (b[1] - a[1]) * k / 5)
                    for a, b in (straight if form == "svg" else itertools.pairwise(ends))
                    for k in range(6)
                ]
                assert not found or furthest(found, got) <= 0.05, stroke.name
        scores = [s for s in one.drawing.strokes if s.role in (Role.VALLEY, Role.MOUNTAIN)]
        parts = [
            s
            for p in made.passes
            if p.key == one.key
            for s in p.drawing.strokes
            if s.role in (Role.VALLEY, Role.MOUNTAIN)
        ]
        assert sum(path_length(s.path) for s in parts) == pytest.approx(
            sum(path_length(s.path) for s in scores)
        )
        cut = sum(path_length(s.path) for s in one.drawing.of_role(Role.OUTLINE))
        pieces = [
            s for p in made.passes if p.key == one.key for s in p.drawing.of_role(Role.OUTLINE)
        ]
        if cut:
            seams = made.passes[-1].frames - 1
            assert sum(path_length(s.path) for s in pieces) == pytest.approx(
                cut + seams * 2 * 2 * 0.2  # two edges, run on past the seam from either side
            )


def test_a_shifted_frame_is_noticed():
    """What the test above measures is real: a step of 0.2 mm shows."""
    made = plan(sheet_of("A1"), cutter(formats=["svg"], bed=BEDS["feed"]))
    lines = [line for name, line in joined(made, "b", "svg") if name == "score-mountain"]
    stepped = [[(x + 0.2 * (y > 300), y) for x, y in line] for line in lines]
    middle = next(
        line
        for line in lines
        if len(line) == 2 and line[0][0] == line[1][0] and min(line[0][1], line[1][1]) > 300
    )
    assert furthest([(middle[0][0], (middle[0][1] + middle[1][1]) / 2)], stepped) > 0.05


def test_every_frame_fits_and_has_its_marks():
    made = plan(sheet_of("A1"), cutter(formats=["svg", "hpgl"], bed=BEDS["feed"]))
    for one in made.passes:
        assert one.drawing.height <= 300
        if one.frame > 1:
            seam = [m for m in one.marks if m.name.startswith("cross seam")]
            assert len(seam) == 2
            before = next(p for p in made.passes if p.key == one.key and p.frame == one.frame - 1)
            made_there = {s.name for s in before.drawing.of_role(Role.REGISTRATION)}
            assert {m.name for m in seam} <= made_there
    names = [f.name for f in write_plan(made)]
    assert "A1.face-b.2.hpgl" in names
    for file in pass_files(made):
        assert verify_pass(made, file.name, file.data) == ()
    assert pass_drawing(made, made.passes[0], FORMATS["svg"]).height <= 300


def test_seam_keeps_off_creases_along_it():
    strokes = [Stroke(Role.VALLEY, str(y), open_path((0, y), (100, y))) for y in range(10, 400, 20)]
    strokes.append(Stroke(Role.OUTLINE, "o", rectangle(Box(0, 5, 100, 395))))
    frames = frames_of(strokes, 110, 400, 200)
    assert len(frames) == 3
    for frame in frames[1:]:
        seam = frame.bottom + 12.0
        assert min(abs(seam - y) for y in range(10, 400, 20)) >= 3.0
    close = [Stroke(Role.VALLEY, str(y), open_path((0, y), (100, y))) for y in range(2, 398, 4)]
    with pytest.raises(FormatError, match="no seam between"):
        frames_of(close, 110, 400, 200)


@pytest.mark.parametrize(
    ("slope", "bulge", "highest"), [(0.1, 0, 188), (-0.1, 0, 188), (0.5, 0, 147), (0.1, 0.3, 147)]
)
def test_a_seam_runs_through_straight_upright_lines_alone(slope, bulge, highest):
    """12 mm short of what the bed reaches, or 3 mm below what leans or is bent."""
    path = Path((Point(50, 150), Point(50 + 60 * slope, 210)), bulges=(bulge,), closed=False)
    first, second = frames_of([Stroke(Role.OUTLINE, "o", path)], 110, 300, 200)
    assert highest - 0.5 <= second.bottom + 12 <= highest
    assert first.top == second.bottom + 24


def test_what_fits_is_not_split():
    sheet = draft_of(read_slip(SAMPLES / "B2.toml")).drawing
    made = plan(sheet, cutter(bed=BEDS["feed"]))
    assert {one.frames for one in made.passes} == {1}
    assert [one.name for one in made.passes] == ["face-a", "face-b"]


def test_a_seam_has_a_cross_in_each_margin_with_arms_either_way():
    """Measured from its middle: an arm that is missing is taken for a corner of the sheet."""
    made = plan(sheet_of("A1"), cutter(formats=["svg", "hpgl"], bed=BEDS["feed"]))
    for one in made.passes[:2]:
        crosses = [s for s in one.drawing.strokes if s.name.startswith("cross seam")]
        assert crosses
        for name in {s.name for s in crosses}:
            arms = (s.path for s in crosses if s.name == name)
            upright, level = sorted(arms, key=lambda arm: box_of([arm]).width)
            box = box_of([level, upright])
            assert box_of([level]).width == pytest.approx(box_of([upright]).height)
            assert box_of([level]).width > 2
            assert box_of([level]).centre == pytest.approx(box_of([upright]).centre)
            assert min(box.left, one.drawing.width - box.right) > 0
            assert min(box.centre.x, one.drawing.width - box.centre.x) < 6
        seam = [m.at.y for m in one.marks if m.name.startswith("cross seam")]
        if len(seam) == 2:
            assert 5 < abs(seam[0] - seam[1]) < 12  # both in the frames on either side of the seam


def test_an_edge_that_ends_on_the_seam_does_not_cross_it():
    """A seam is kept off such places; what only touches it is not cut in two there."""
    step = open_path((0, 0), (0, 10), (5, 10), (5, 30))
    assert _meets(step, 10.0) == []
    assert _meets(step, 20.0) == [25.0]


@pytest.mark.parametrize("reach", [150, 200, 399])
def test_all_that_a_frame_works_and_finds_lies_on_it(reach):
    """Frames lie from the first edge to the last; two have in common what holds their crosses."""
    strokes = [Stroke(Role.MOUNTAIN, str(x), open_path((x, 0), (x, 400))) for x in (20, 60)]
    frames = frames_of(strokes, 110, 400, reach)
    assert len(frames) > 1
    assert (frames[0].bottom, frames[-1].top) == (0.0, 400.0)
    for one in frames:
        assert one.top - one.bottom <= reach + 24
        box = box_of([stroke.path for stroke in (*one.strokes, *one.found)])
        assert box.bottom >= 0
        assert box.top <= one.top - one.bottom
