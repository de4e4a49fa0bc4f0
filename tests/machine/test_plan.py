"""Passes: what is worked from which face, once, in order, and how the sheet is turned."""

from dataclasses import replace

import pytest
from benches import cutter, laser, pass_files, sheet_of, small_sheet
from click.testing import CliRunner
from close import assert_same_paths
from conftest import SAMPLES, drawn, in_turn, sample_slips
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import slips

from cutfiles.bench.slip import read_slip
from cutfiles.cli import cli
from cutfiles.draft import draft_of
from cutfiles.errors import DifferenceError, FileError, FormatError
from cutfiles.files.formats import FORMATS
from cutfiles.files.passes import pass_drawing, pass_options, verify_pass, write_plan
from cutfiles.film.register import marks_of, pin_holes
from cutfiles.job.recheck import fold_data
from cutfiles.machine.options import Options
from cutfiles.machine.plan import plan
from cutfiles.machine.profile.read import find_cutter
from cutfiles.machine.score import METHODS, worked_face
from cutfiles.machine.settings import choose
from cutfiles.machine.turning import Lie
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import distance, path_length
from cutfiles.plane.moves import mirror_head_tail, mirror_left_right
from cutfiles.plane.shapes import Path, Point, closed_path, open_path

RANKS = {
    Role.REGISTRATION: 0,
    Role.LABEL: 0,
    Role.VALLEY: 1,
    Role.MOUNTAIN: 1,
    Role.HOLES: 2,
    Role.OUTLINE: 3,
}


def machined(strokes):
    return [s for s in strokes if s.role is not Role.GUIDE]


def unturned(one, sheet, cutter_):
    """Return what a pass works, brought back to the pattern: turned over once more."""
    strokes = machined(one.drawing.strokes)
    if one.face == "book":
        return strokes
    if cutter_.turn == "head to tail":
        return [replace(s, path=mirror_head_tail(s.path, sheet.height / 2)) for s in strokes]
    return [replace(s, path=mirror_left_right(s.path, sheet.width / 2)) for s in strokes]


@settings(max_examples=drawn(30))
@given(slips(), st.sampled_from(METHODS), st.sampled_from(["left to right", "head to tail"]))
def test_passes_laid_over_one_another_give_the_pattern(slip, method, turn):
    """Each path is worked exactly once over all passes, and where it is drawn."""
    machine = cutter(score={"method": method, "turn": turn, "dash": "0.3 mm", "land": "0.3 mm"})
    sheet = draft_of(slip).drawing
    made = plan(sheet, machine)
    worked = [s for one in made.passes for s in unturned(one, sheet, machine)]
    solid = [s for s in worked if method != "perforate" or not s.role.startswith("score")]
    for role in Role:
        if role is Role.GUIDE or (method == "perforate" and role.startswith("score")):
            continue
        assert_same_paths(
            [s.path for s in solid if s.role is role], [s.path for s in made.drawing.of_role(role)]
        )
    pins = [s for s in made.drawing.strokes if s.use == "pin"]
    assert len(made.drawing.strokes) == len(sheet.strokes) + len(pins)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("sample", ["A1", "B2"])
def test_each_score_is_worked_from_its_face(method, sample):
    made = plan(sheet_of(sample), cutter(score={"method": method}))
    for one in made.passes:
        for stroke in one.drawing.strokes:
            if stroke.role in (Role.VALLEY, Role.MOUNTAIN):
                direction = stroke.role.value.removeprefix("score-")
                assert worked_face(method, direction, "by method") in (one.face, "either")
            if stroke.role in (Role.LABEL, Role.REGISTRATION):
                assert one.face == "book"
    assert len(made.passes) == (1 if method == "perforate" else 2)


@pytest.mark.parametrize(
    ("stem", "method"), list(in_turn([path.stem for path in sample_slips()], METHODS, 3))
)
def test_scores_before_holes_before_outline(stem, method):
    made = plan(sheet_of(stem), cutter(score={"method": method}))
    for i, one in enumerate(made.passes):
        ranks = [RANKS[s.role] for s in machined(one.drawing.strokes)]
        assert ranks == sorted(ranks)
        last = i == len(made.passes) - 1
        cuts = [s for s in one.drawing.strokes if s.role in (Role.HOLES, Role.OUTLINE)]
        pins = [s for s in cuts if s.use == "pin"]
        assert len(pins) == (3 if i == 0 and len(made.passes) == 2 else 0)
        if not last:
            assert cuts == pins


COORDINATE = st.integers(-5000, 5000).map(lambda n: n / 10)


@given(
    st.lists(st.tuples(COORDINATE, COORDINATE), min_size=2, max_size=6, unique=True),
    st.sampled_from([0.0, 0.4, -1.0, 1.7]),
    st.booleans(),
    st.sampled_from(["left to right", "head to tail"]),
)
def test_turned_twice_is_nothing(points, bulge, closed, turn):
    count = len(points) if closed else len(points) - 1
    path = Path(tuple(Point(*p) for p in points), (bulge,) * count, closed)
    lie = Lie("table", turn, False, 300.0, 200.0)
    once = lie.lay(path)
    assert path_length(once) == pytest.approx(path_length(path))
    assert_same_paths([lie.lay(once)], [path], 1e-9)


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
def test_no_wrong_turn_brings_the_pin_holes_onto_one_another(path):
    sheet = sheet_of(path.stem)
    w, h = sheet.width, sheet.height
    holes = [at for _, at in marks_of(pin_holes(w, h, sheet.strokes))]
    wrong = [
        lambda p: Point(w - p.x, p.y),
        lambda p: Point(p.x, h - p.y),
        lambda p: Point(w - p.x, h - p.y),
    ]
    for move in wrong:
        assert max(min(distance(move(a), b) for b in holes) for a in holes) > 3.0


@given(slips())
@settings(max_examples=drawn(25))
def test_pin_holes_stand_clear_in_the_waste(slip):
    sheet = draft_of(slip).drawing
    made = plan(sheet, cutter())
    pins = [s for s in made.drawing.strokes if s.use == "pin"]
    others = [s for s in machined(made.drawing.strokes) if s not in pins]
    for _, at in marks_of(tuple(pins)):
        assert 2.5 <= at.x <= sheet.width - 2.5
        assert 2.5 <= at.y <= sheet.height - 2.5
        for stroke in others:
            from cutfiles.plane.measure import distance_to_path

            assert distance_to_path(at, stroke.path) >= 1.5 + 0.5


def test_no_waste_no_pins():
    sheet = small_sheet()
    outline = closed_path(
        (1, 1), (sheet.width - 1, 1), (sheet.width - 1, sheet.height - 1), (1, sheet.height - 1)
    )
    from cutfiles.pattern.pattern import Stroke

    tight = replace(sheet, strokes=(Stroke(Role.OUTLINE, "x", outline),))
    with pytest.raises(FormatError, match=r"1\.0 mm of waste"):
        pin_holes(tight.width, tight.height, tight.strokes)


def test_quarter_turn_where_the_bed_is_narrow():
    sheet = sheet_of("A1")  # 695 × 621 with its marks
    made = plan(sheet, cutter(bed={"width": "650 mm", "length": "700 mm"}))
    one, two = made.passes
    assert (one.drawing.width, one.drawing.height) == (sheet.height, sheet.width)
    assert dict(one.drawing.facts)["view"] == "book face up, head to the left"
    assert dict(two.drawing.facts)["view"] == "table face up, head to the left"
    for key in ("svg", "hpgl"):
        form = FORMATS[key]
        read = form.read(form.write(pass_drawing(made, two, form), pass_options(made, two)))
        assert max(x for p in read.paths for x, _ in p.points) <= 650


def test_too_large_is_refused_with_the_remedy():
    with pytest.raises(FormatError, match=r"695\.1 × 621\.3 mm.*reaches 600\.0 × 650\.0.*larger"):
        plan(sheet_of("A1"), cutter(bed={"width": "600 mm", "length": "650 mm"}))
    with pytest.raises(FormatError, match='tiles = "feed"'):
        plan(sheet_of("A1"), cutter(bed={"width": "650 mm", "length": "650 mm"}))


def test_files_state_view_cutter_pass_and_method():
    made = plan(sheet_of("B1"), cutter(score={"turn": "head to tail"}))
    facts = [dict(one.drawing.facts) for one in made.passes]
    assert [f["view"] for f in facts] == ["book face up, head up", "table face up, head down"]
    assert [f["pass"] for f in facts] == [
        "pass a of 2, book face up, head up",
        "pass b of 2, table face up, head down",
    ]
    for file in pass_files(made):
        read = FORMATS[file.format].read(file.data).facts
        assert read["cutter"] == "bench"
        assert read["scores"] == "impress"
        assert read["number"] == "B1"


def test_pdf_steps_follow_method_and_face():
    wanted = {
        "impress": ("Creasing", "Creasing"),
        "half-cut": ("PartialCutting",) * 2,
        "channel": ("Creasing", "Creasing"),
        "perforate": ("Perforating",) * 2,
    }
    for method, kinds in wanted.items():
        made = plan(small_sheet(), cutter(formats=["pdf"], score={"method": method}))
        for one, file in zip(made.passes, pass_files(made), strict=True):
            steps = FORMATS["pdf"].read(file.data).steps
            for role, kind in zip(("valley", "mountain"), kinds, strict=True):
                from_here = worked_face(method, role, "by method") in (one.face, "either")
                said = kind if from_here else f"Reverse{kind}"
                assert steps[f"score-{role}"] == ("Structural", said), (method, one.key, role)
        if len(made.passes) == 2:
            assert FORMATS["pdf"].read(write_plan(made)[0].data).steps["pin-holes"] == (
                "Structural",
                "Punching",
            )


def test_own_layers_colours_and_pens():
    machine = cutter(
        formats=["svg", "dxf-r2000", "hpgl"],
        layers={"score-valley": "CREASE", "score-mountain": "CREASE", "cut-outline": "THRU"},
        colours={"score-valley": "#00ff00", "cut-outline": "#ff0000"},
        pens={"score-valley": 5, "score-mountain": 5, "label": 0, "registration": 0},
    )
    made = plan(small_sheet(), machine)
    last = [f for f in write_plan(made) if ".face-b" in f.name]
    for file in last:
        layers = {p.layer for p in FORMATS[file.format].read(file.data).paths}
        if file.format == "hpgl":
            assert layers == {"1", "5"}
        else:
            assert {"CREASE", "THRU"} <= layers
    svg = next(f for f in last if f.format == "svg").data
    assert FORMATS["svg"].read(svg).colours["THRU"] == "#FF0000"
    one = made.passes[-1]
    painted = svg.replace(b"#FF0000", b"#FF0001")
    said = [str(d) for d in verify_pass(made, "T1.face-b.svg", painted)]
    assert said == ["THRU: colour: is #FF0001, should be #FF0000"]
    dxf = next(f for f in last if f.format == "dxf-r2000")
    assert dxf.name == "T1.face-b.dxf"
    assert FORMATS["dxf-r2000"].read(dxf.data).colours["THRU"] == "#FF0000"
    assert one.face == "table"


def test_a_pass_of_the_other_face_is_not_taken_for_this_one():
    made = plan(small_sheet(), cutter(formats=["svg"]))
    a, b = pass_files(made)
    assert verify_pass(made, a.name, a.data) == ()
    assert verify_pass(made, a.name, b.data) != ()
    mirrored = plan(small_sheet(), cutter(formats=["svg"], score={"turn": "head to tail"}))
    assert verify_pass(mirrored, b.name, b.data) != ()


def test_force_and_speed_are_written_and_compared():
    film = {
        "gauge": "5 mil",
        "cut_force": 120,
        "score_force": 60,
        "mark_force": 30,
        "cut_speed": 200,
        "score_speed": 200,
        "mark_speed": 200,
    }
    made = plan(small_sheet(), cutter(formats=["hpgl"], material=[film]))
    a, b = pass_files(made)
    assert b"FS60;" in a.data
    assert b"VS20;" in a.data
    assert {p.layer for p in FORMATS["hpgl"].read(b.data).paths} == {"1 FS120 VS20", "2 FS60 VS20"}
    assert verify_pass(made, b.name, b.data.replace(b"FS120", b"FS12")) != ()


def test_several_passes_over_a_line_are_in_direct_files_only():
    film = {"gauge": "5 mil", "cut_passes": 2}
    made = plan(small_sheet(), cutter(material=[film]))
    counts = {}
    for file in write_plan(made):
        if ".face-b" in file.name:
            read = FORMATS[file.format].read(file.data)
            outline = [p for p in read.paths if len(p.points) > 20 or p.layer == "cut-outline"]
            counts[file.format] = len(outline)
            assert read.facts["passes"] == "cut 2 times"
    assert counts["svg"] == 1
    assert counts["hpgl"] == 2


def test_film_without_entry_is_told():
    made = plan(
        small_sheet(),
        cutter(material=[{"gauge": "3 mil", "cut_force": 9, "score_force": 9, "mark_force": 9}]),
    )
    assert "no entry for film of 0.127 mm" in made.findings[0].message


def test_lot_overrules_and_must_be_known():
    judged = [{"lot": "L7", "gauge": "5 mil", "setting": 3, "what": "score_force", "value": 77}]
    film = {"gauge": "5 mil", "cut_force": 120, "score_force": 60, "mark_force": 30}
    machine = cutter(formats=["hpgl"], material=[film], judged=judged)
    made = plan(small_sheet(), machine, "L7")
    assert b"FS77;" in write_plan(made)[0].data
    with pytest.raises(FileError, match=r'"L8".*L7'):
        plan(small_sheet(), machine, "L8")


@pytest.mark.parametrize(
    ("what", "field", "value"),
    [("score_force", "force", 77), ("score_power", "power", 12.5), ("score_passes", "passes", 3)],
)
def test_a_judged_coupon_changes_how_scores_are_worked_and_nothing_else(what, field, value):
    judged = [{"lot": "L7", "gauge": "5 mil", "setting": 3, "what": what, "value": value}]
    own, unit, at = (laser, "power", 40.0) if what == "score_power" else (cutter, "force", 120)
    film = {"gauge": "5 mil", **{f"{work}_{unit}": at for work in ("cut", "score", "mark")}}
    machine = own(material=[film], judged=judged)
    usual, found = (choose(small_sheet(), machine, lot).settings for lot in ("", "L7"))
    scores = {"score-valley", "score-mountain"}
    assert scores < set(found)
    for role, setting in found.items():
        wanted = replace(usual[role], **{field: value}) if role in scores else usual[role]
        assert setting == wanted, role
    assert found != usual


def test_a_judged_land_is_what_scores_are_dashed_by():
    judged = [{"lot": "L7", "gauge": "5 mil", "setting": 5, "what": "land", "value": 2.5}]
    chosen = choose(small_sheet(), cutter(judged=judged, score={"method": "perforate"}), "L7")
    assert chosen.land == 2.5
    assert all(one.passes == 1 for one in chosen.settings.values())


def test_a_sheet_of_cuts_alone_is_worked_once_with_the_book_face_up():
    sheet = small_sheet()
    cuts = tuple(one for one in sheet.strokes if one.role in (Role.OUTLINE, Role.HOLES))
    (one,) = plan(replace(sheet, strokes=cuts), cutter()).passes
    assert (one.face, dict(one.drawing.facts)["view"]) == ("book", "book face up, head up")
    assert len(one.drawing.strokes) == len(cuts)


def run(*args):
    return CliRunner().invoke(cli, [str(a) for a in args])


def test_make_with_a_cutter(tmp_path):
    done = run("make", SAMPLES / "A1.toml", "--cutter", "flatbed-wheel", "--to", tmp_path)
    assert done.exit_code == 0, done.output
    assert {p.name for p in tmp_path.iterdir()} == {
        "A1.svg",
        "A1.face-a.dxf",
        "A1.face-a.pdf",
        "A1.face-b.dxf",
        "A1.face-b.pdf",
        "A1.standing.svg",
        "A1.flat.svg",
        "A1.json",
        "A1.plan.json",
        "A1.fold",
        "A1.folded.svg",
        "A1.folded.html",
        "A1.bench.pdf",
        "A1.marks.csv",
        "A1.passes.pdf",
    }
    files = [tmp_path / n for n in ("A1.face-a.dxf", "A1.face-b.pdf", "A1.svg")]
    check = ("--slip", SAMPLES / "A1.toml", "--cutter", "flatbed-wheel")
    assert run("verify", *files, *check).output.count("verified") == 3
    other = run(
        "verify", tmp_path / "A1.face-a.dxf", "--slip", SAMPLES / "A1.toml", "--cutter", "laser"
    )
    assert other.exit_code == 1


def test_another_cutter_replaces_the_passes(tmp_path):
    run("make", SAMPLES / "B1.toml", "--cutter", "flatbed-wheel", "--to", tmp_path)
    again = run("make", SAMPLES / "B1.toml", "--cutter", "desktop-knife", "--to", tmp_path)
    assert again.exit_code == 0
    assert not list(tmp_path.glob("B1.face-*.pdf"))
    assert list(tmp_path.glob("B1.face-*.svg"))
    plain = run("make", SAMPLES / "B1.toml", "--format", "hpgl", "--to", tmp_path)
    assert plain.exit_code == 0
    assert list(tmp_path.glob("B1.face-*.svg"))


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--cutter", "laser", "--bed", "60x40 cm"], "stand in the profile"),
        (["--lot", "L7"], "--lot needs --cutter"),
    ],
)
def test_wrong_usage(args, said):
    result = run("make", SAMPLES / "B1.toml", *args)
    assert result.exit_code == 2
    assert said in result.output


def test_unknown_cutter_is_refused():
    result = run("make", SAMPLES / "B1.toml", "--cutter", "lazer")
    assert result.exit_code == 1
    assert 'did you mean "laser"' in result.output


def test_damage_is_named():
    made = plan(small_sheet(), cutter(formats=["svg"]))
    file = write_plan(made)[0]
    lines = file.data.decode().split("/>")
    broken = "/>".join(lines[:-3] + lines[-2:]).encode()
    assert verify_pass(made, file.name, broken)


def test_writer_fault_stops_delivery(monkeypatch):
    import cutfiles.files.writers.hpgl as hpgl

    made = plan(small_sheet(), cutter(formats=["hpgl"]))
    monkeypatch.setattr(hpgl, "_units", lambda mm: round(mm / 0.0251))
    with pytest.raises(DifferenceError, match=r"T1\.face-a\.hpgl"):
        write_plan(made)


def test_laser_needs_no_pens_for_drawings():
    made = plan(small_sheet(), laser())
    names = [f.name for f in write_plan(made)]
    assert names == ["T1.face-a.svg", "T1.face-b.svg", "T1.plan.json", "T1.marks.csv"]
    assert open_path((0, 0), (1, 1)).closed is False


def test_film_straps_get_passes_too(tmp_path):
    done = run("make", SAMPLES / "H2.toml", "--cutter", "flatbed-wheel", "--to", tmp_path)
    assert done.exit_code == 0, done.output
    straps = sorted(tmp_path.glob("H2.straps.face-*"))
    assert {path.suffix for path in straps} == {".dxf", ".pdf"}
    check = ("--slip", SAMPLES / "H2.toml", "--cutter", "flatbed-wheel")
    assert run("verify", *straps, *check).output.count(": verified") == len(straps)
    plain = run("verify", tmp_path / "H2.svg", "--slip", SAMPLES / "H2.toml")
    assert "or name with --cutter the machine it was made for" in plain.output


@pytest.mark.parametrize("key", ["hpgl", "svg", "dxf-r12"])
@pytest.mark.parametrize("stem", ["A1", "H2"])
def test_pin_holes_are_no_pieces(stem, key):
    """HP-GL has one pen for holes and outlines: in the waste no score lies in a hole."""
    slip = read_slip(SAMPLES / f"{stem}.toml")
    made, form = draft_of(slip), FORMATS[key]
    drawing = plan(made.drawing, find_cutter("wide-roll-knife")).drawing
    assert bool(made.pattern.posts) == (stem == "H2")
    assert [stroke for stroke in drawing.strokes if stroke.use == "pin"]
    checked = fold_data(form.write(form.prepared(drawing), Options()), f"{stem}{form.suffix}", slip)
    assert [f.message for f in checked.check.findings if f.severity == "stop"] == []


def test_a_piece_turned_a_quarter_has_its_sides_exchanged():
    """What a pass tells of its piece is as it lies: a width beyond the bed would be refused."""
    sheet = small_sheet()
    across = (sheet.width + sheet.height) / 2
    bed = {"width": f"{across} mm", "length": "3 m", "margin": "0 mm"}
    for machine, piece in ((cutter(), sheet.piece), (cutter(bed=bed), sheet.piece[::-1])):
        assert {one.drawing.piece for one in plan(sheet, machine).passes} == {piece}
