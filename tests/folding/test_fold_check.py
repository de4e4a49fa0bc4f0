"""Delivered files folded: sound ones prove, each kind of damage is named in one sentence."""

import cmath
import json
import math
import re
from dataclasses import replace

import pytest
import tilted
from conftest import DEEP, SAMPLES, drawn, in_turn, plain, sample, sample_slips
from hypothesis import event, given, settings
from hypothesis import strategies as st
from kept import creased
from strategies import slips
from test_verify import all_paths, one, swapped

from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import DifferenceError, FileError
from cutfiles.files.fold_check import (
    check_reading,
    fold_file,
    fold_lines,
    require_folds,
    require_same_folds,
)
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.files.readers.reading import Reading, ReadPath
from cutfiles.findings import Finding
from cutfiles.folding.bows import LayerBow, drawn_angles
from cutfiles.folding.check import check_folds, placed
from cutfiles.folding.drawn import Match, angles_for, matched, scores_of
from cutfiles.folding.fold import fold
from cutfiles.folding.graph import FoldLine, build_graph
from cutfiles.folding.shape import Shape, face_of, layer_misfits
from cutfiles.job.make import make
from cutfiles.job.recheck import fold_data
from cutfiles.machine.cutter import Setting
from cutfiles.machine.formats import drawn_formats
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.moves import mirror_left_right, scale, shift
from cutfiles.plane.shapes import Point, open_path
from cutfiles.support.constructions.thirds import LEG_BOW, MOST_RISE

BEAM = {role.value: Setting(power=30, speed=20) for role in Role}
ROOMY = Options(hpgl_range=8_388_607, settings=BEAM)
KEYS = sorted(drawn_formats())


def proved(slip, key="svg", change=lambda sheet: sheet, ask=True):
    made = draft_of(slip)
    form = FORMATS[key]
    data = form.write(change(form.prepared(made.drawing)), ROOMY)
    return fold_data(data, f"x{form.suffix}", slip if ask else None, options=ROOMY)


def said(result):
    return "\n".join(f.message for f in result.check.findings if f.severity == "stop")


# -- sound files ---------------------------------------------------------------------------------


def in_formats():
    """Yield each sample in SVG and one more format, in turn; in all where asked in full."""
    for i, path in enumerate(sample_slips()):
        for key in KEYS if DEEP else dict.fromkeys(("svg", KEYS[i % len(KEYS)])):
            yield pytest.param(path, key, id=f"{path.stem}-{key}")


@pytest.mark.parametrize(("path", "key"), list(in_formats()))
def test_samples_fold_into_their_supports(path, key):
    """With the slip, and by what the file itself states."""
    slip = read_slip(path)
    for ask in (True, False):
        result = proved(slip, key, ask=ask)
        assert said(result) == ""
        assert result.check.measures
        assert all(m.right for m in result.check.measures)


@settings(max_examples=drawn(60))
@given(slips())
def test_any_sound_slip_folds(slip):
    """Both layer counts, with and without relief holes, any slopes and gauges."""
    result = proved(slip, ask=False)
    assert said(result) == ""
    made = result.draft
    names = {(m.rule, m.place) for m in result.check.measures}
    for side in ("left", "right"):
        if made.support.half(side).stands:
            assert {("height", f"{side} apex"), ("upright", f"{side} leg")} <= names
    faces = (len(made.pattern.creases) + 1) * len(made.pattern.bands)
    assert len(result.check.folded.graph.faces) == faces
    again = fold_data(fold_file(result), "x.fold", slip)
    assert said(again) == ""


@pytest.mark.parametrize("number", sorted(tilted.BOOKS))
def test_what_lies_on_the_table_beside_an_upright_is_measured_once(number):
    """Of every kind: no base is left out, none is measured by another's leg too."""
    result = proved(tilted.slip_of(number))
    support = result.draft.support
    bases = sorted(p.name for p in support.profile.panels if p.part == "base")
    assert bases
    for rule in ("level", "lift"):
        assert sorted(m.place for m in result.check.measures if m.rule == rule) == bases


@pytest.mark.parametrize("layers", [1, 3])
def test_heights_and_width_by_hand(by_hand, layers):
    """H 140, W 100, spine 25, rises 50: P = 97, sin a = 1/2; lift = layers · 0.127 + 0.1."""
    by_hand["support"]["layers"] = layers
    result = proved(slip_from(by_hand))
    lift = layers * 0.127 + 0.1
    found = {(m.rule, m.place): m.found for m in result.check.measures}
    assert found[("height", "left apex")] == pytest.approx(97 / 2 + lift, abs=1e-3)
    assert found[("lift", "left base")] == pytest.approx(lift, abs=1e-3)
    width = 2 * 97 * math.cos(math.radians(30)) + 26
    assert found[("width", "whole width")] == pytest.approx(width, abs=2e-3)


def test_a_file_states_its_own_settings():
    """A file made with other settings proves by itself, and not with the usual ones."""
    slip = read_slip(SAMPLES / "D1.toml")
    data = write_drawing(draft_of(slip).drawing, FORMATS["svg"], ROOMY)
    assert re.search(rb"settings: .*end_inset", data)
    assert fold_data(data, "D1.svg").check.folds
    plain = re.sub(rb"settings: [^\n]*\n", b"", data)
    assert not fold_data(plain, "D1.svg").check.folds


def test_a_file_without_statements_needs_a_slip():
    data = write_drawing(draft_of(read_slip(SAMPLES / "B2.toml")).drawing, FORMATS["svg"], ROOMY)
    bare = re.sub(rb"<(desc|metadata)>.*?</\1>", b"", data, flags=re.DOTALL)
    with pytest.raises(FileError, match="name its slip"):
        fold_data(bare, "B2.svg")
    assert fold_data(bare, "B2.svg", read_slip(SAMPLES / "B2.toml")).check.folds


def test_a_tab_may_rise_flat_from_the_base_it_leaves():
    """Where a board hardly slopes, rounding moves the line where both planes meet by 0.05 mm."""
    flat = {
        "number": "C1",
        "units": "mm",
        "height": 30,
        "left_width": 229,
        "right_width": 20,
        "spine_width": 4,
        "left_slope": 2.94,
        "right_slope": 25.47,
        "support": {
            "construction": "plain",
            "layers": 1,
            "gauge": "2 mil",
            "fore_inset": 0,
            "end_inset": 0,
            "relief_diameter": 0,
            "corner_radius": 0,
        },
    }
    result = proved(slip_from(flat), ask=False)
    assert result.draft.support.kind == "level, crossed"
    assert said(result) == ""


# -- damage --------------------------------------------------------------------------------------


def moved(stroke):
    return Stroke(stroke.role, stroke.name, shift(stroke.path, 1, 0))


DAMAGE = {
    "swapped": (
        lambda s: one(s, "left apex, middle", swapped),
        r"left apex, middle is drawn as a valley, should be a mountain; folded so, .*lean",
    ),
    "swapped on a flap": (
        lambda s: one(s, "left apex, outer flap", swapped),
        r"left apex, outer flap is drawn as a mountain, should be a valley; "
        r"folded so, .*cannot fold flat",
    ),
    "long fold swapped": (
        lambda s: one(s, "inner long fold", swapped),
        r"inner long fold is drawn as a valley, should be a mountain; folded so, "
        r"the inner flap under the .* would lie on the book face",
    ),
    "moved by 1 mm": (
        lambda s: one(s, "right foot, middle", moved),
        r"right foot, middle lies (1\.00|0\.99|1\.01) mm too far to the right; "
        r"folded so, .*",
    ),
    "moved on a flap": (
        lambda s: one(s, "right foot, inner flap", moved),
        r"right foot, inner flap lies .* mm too far to the right; folded so, "
        r"right foot, inner flap lies (1\.0|0\.9).* mm beside the crease it is folded with",
    ),
    "dropped": (
        lambda s: one(s, "left apex, middle", lambda x: None),
        r"left apex, middle is missing; folded so, the left leg would lean by",
    ),
    "long fold dropped": (
        lambda s: one(s, "outer long fold", lambda x: None),
        r"outer long fold is missing",
    ),
    "doubled": (
        lambda s: one(s, "left apex, middle", lambda x: [x, x]),
        r"left apex, middle is drawn twice over .* mm and would be scored twice",
    ),
    "scaled by 25.4": (
        lambda s: all_paths(s, lambda p: scale(p, 25.4)),
        r"the file is 25\.4 times as large .*millimetres were taken for inches",
    ),
    "mirrored": (
        lambda s: all_paths(s, lambda p: mirror_left_right(p, s.width / 2)),
        "the file is mirrored left to right",
    ),
    "extra": (
        lambda s: one(
            s,
            "left apex, middle",
            lambda x: [
                x,
                Stroke(
                    x.role,
                    "x",
                    open_path(
                        (x.path.points[0].x + 20, x.path.points[0].y),
                        (x.path.points[1].x + 20, x.path.points[1].y),
                    ),
                ),
            ],
        ),
        r"a mountain score of .* mm at .* is no crease of the pattern",
    ),
}


def damaged():
    """Yield each damage in three formats, and that of a second book in one, in turn."""
    for stem, each in (("A1", 3), ("F3", 1)):
        for damage, key in in_turn(DAMAGE, KEYS, each):
            yield stem, key, damage


@pytest.mark.parametrize(("stem", "key", "damage"), list(damaged()))
def test_damage_is_named_in_one_sentence(stem, key, damage):
    change, message = DAMAGE[damage]
    result = proved(sample(stem, layers=3, gauge="5 mil", construction="plain"), key, change)
    assert not result.check.folds
    assert re.fullmatch(message + ".*", said(result)), said(result)


FOLD_DAMAGE = {
    "swapped": r"left apex, middle is drawn as a valley, should be a mountain; folded so, .*",
    "moved": r"left apex, middle lies 1\.00 mm too far to the right; folded so, .*",
    "dropped": r"left apex, middle is missing; folded so, .*",
    "doubled": r"left apex, middle is drawn twice over .*",
    "scaled": r"the file is 25\.4 times as large as it should be \(millimetres were taken .*",
    "mirrored": "the file is mirrored: its panels run clockwise",
}


@pytest.mark.parametrize("damage", FOLD_DAMAGE)
@pytest.mark.parametrize("stem", ["A1", "B2"])
def test_damaged_fold_file_is_named(stem, damage):
    slip = read_slip(SAMPLES / f"{stem}.toml")
    whole = proved(slip)
    data = json.loads(fold_file(whole))
    x = next(c.position for c in whole.draft.pattern.creases if c.name == "left apex")
    level = whole.draft.pattern.band("middle").box.centre.y
    places = data["vertices_coords"]

    def on_apex(edge):
        (ax, ay), (bx, by) = (places[i] for i in edge)
        return abs(ax - x) < 0.1 and abs(bx - x) < 0.1 and min(ay, by) < level < max(ay, by)

    [apex] = [i for i, edge in enumerate(data["edges_vertices"]) if on_apex(edge)]
    match damage:
        case "swapped":
            data["edges_assignment"][apex] = "V"
        case "moved":
            a, b = data["edges_vertices"][apex]
            extra = [[places[a][0] + 1, places[a][1]], [places[b][0] + 1, places[b][1]]]
            data["edges_vertices"][apex] = [len(places), len(places) + 1]
            places += extra
        case "dropped":
            del data["edges_vertices"][apex], data["edges_assignment"][apex]
        case "doubled":
            data["edges_vertices"].append(data["edges_vertices"][apex])
            data["edges_assignment"].append("M")
        case "scaled":
            data["vertices_coords"] = [[25.4 * x, 25.4 * y] for x, y in places]
        case "mirrored":
            data["vertices_coords"] = [[-x, y] for x, y in places]
    result = fold_data(json.dumps(data).encode(), f"{stem}.fold", slip)
    assert re.fullmatch(FOLD_DAMAGE[damage], said(result)), said(result)


@pytest.mark.parametrize(
    ("by", "whole"), [(0.89, True), (0.91, False), (1.09, False), (1.11, True)]
)
def test_a_fold_file_of_another_scale_is_told_as_a_whole_by_a_tenth(fold_bytes, by, whole):
    """Nearer than that single creases may be off, and are told."""
    data = json.loads(fold_bytes)
    data["vertices_coords"] = [[by * x, by * y] for x, y in data["vertices_coords"]]
    told = said(fold_data(json.dumps(data).encode(), "B2.fold", read_slip(SAMPLES / "B2.toml")))
    assert told.startswith(f"the file is {by} times as large") is whole
    assert told


@pytest.mark.parametrize("place", ["left apex, outer flap", "right foot, inner flap"])
def test_a_vertex_that_cannot_fold_flat_is_told_by_its_place(by_hand, place):
    by_hand["support"]["layers"] = 3

    def turned_over(sheet):
        roles = {Role.VALLEY: Role.MOUNTAIN, Role.MOUNTAIN: Role.VALLEY}
        return one(sheet, place, lambda s: replace(s, role=roles[s.role]))

    told = said(proved(slip_from(by_hand), "svg", turned_over))
    assert f"meet at {place}: it cannot fold flat there" in told


@pytest.mark.parametrize("left", [0.15, 0.3, 0.5, 0.7, 0.85])
def test_a_panel_is_found_however_many_slots_are_cut_into_its_middle(by_hand, left):
    """One place of five is left: over each of the others lies a slot from the crease inwards."""
    by_hand["support"] |= {"layers": 1, "edges": "cut", "construction": "plain"}
    made, form = draft_of(slip_from(by_hand)), FORMATS["svg"]
    band, (near, far) = made.pattern.band("middle"), made.pattern.span("right board")
    lines = list(placed(fold_lines(form.read(form.write(made.drawing, ROOMY)), form, ROOMY)))
    for share in {0.15, 0.3, 0.5, 0.7, 0.85} - {left}:
        x, y = (near + far) / 2 - 4, band.box.bottom + share * band.box.height
        corners = ((x, y - 2), (far + 1, y - 2), (far + 1, y + 2), (x, y + 2), (x, y - 2))
        lines.append(FoldLine("B", tuple(Point(*p) for p in corners), "slot", hole=True))
    graph = build_graph(lines)
    found = face_of(graph, made.pattern, "right board", band)
    assert found is not None
    assert found == graph.face_at((near + 1, band.box.centre.y))


def test_what_hangs_on_a_cut_hangs_on_nothing(by_hand):
    """The foot is cut through where it should be scored: the base comes off."""

    def cut(stroke):
        return replace(stroke, role=Role.HOLES)

    by_hand["support"] |= {"layers": 1, "edges": "cut"}
    told = said(proved(slip_from(by_hand), "svg", lambda s: one(s, "left foot, middle", cut)))
    assert "1 panels hang on nothing" in told


@pytest.mark.parametrize("place", ["left apex, outer flap", "right foot, inner flap"])
def test_a_crease_that_slants_is_told_by_how_far_it_is_from_folding_flat(by_hand, place):
    """Three creases at right angles, one aslant about its middle: off by its own slant."""
    by_hand["support"] |= {"layers": 3, "relief_diameter": "4 mm"}

    def slanting(degrees):
        def aslant(stroke):
            (x, low), (_, high) = stroke.path.points
            aside = (high - low) / 2 * math.tan(math.radians(degrees))
            return replace(stroke, path=open_path((x - aside, low), (x + aside, high)))

        return said(proved(slip_from(by_hand), "svg", lambda s: one(s, place, aslant)))

    assert f"the creases that meet at {place} are 0.6° from folding flat there" in slanting(0.6)
    assert "from folding flat" not in slanting(0.4)


def test_a_crease_drawn_twice_within_a_hundredth_is_told_as_that_alone(by_hand):
    """Both lines lie where the one should: they bound no panel between them."""

    def again(stroke):
        ends = [Point(x + 0.003, y - 0.003) for x, y in stroke.path.points]
        return [stroke, replace(stroke, path=open_path(*ends[::-1]))]

    by_hand["support"]["layers"] = 3
    told = said(proved(slip_from(by_hand), "svg", lambda s: one(s, "left apex, middle", again)))
    assert re.fullmatch(r"left apex, middle is drawn twice over .* scored twice", told)


def test_a_crease_drawn_in_pieces_is_one_however_short_a_piece():
    """A stretch of a fold as short as that between two creases is a slit."""
    sheet = creased.box(0, 0, 50, 30, hole=False)
    pieces = ((0, 12), (12, 12.05), (12.05, 30))
    up = [creased.line("M", (20, low), (20, high)) for low, high in pieces]
    assert {edge.kind for edge in build_graph([sheet, *up]).edges} == {"B", "M"}
    beside = [creased.line("V", (0, 12), (20, 12)), creased.line("V", (20, 12.05), (50, 12.05))]
    kinds = [edge.kind for edge in build_graph([sheet, *up, *beside]).edges]
    assert [kinds.count(kind) for kind in "CMV"] == [1, 2, 2]


@pytest.mark.parametrize(("long", "loose"), [(0.14, 0), (0.16, 1), (1.4, 1)])
def test_what_bounds_nothing_is_loose_but_for_a_speck(long, loose):
    sheet, stray = creased.box(0, 0, 50, 30, hole=False), creased.line("M", (20, 9), (20, 9 + long))
    assert len(build_graph([sheet, stray]).loose) == loose


@pytest.mark.parametrize(("degrees", "slits"), [(25, 0), (35, 1), (90, 1), (145, 1), (155, 0)])
def test_a_short_stretch_is_a_slit_between_folds_that_cross_it(degrees, slits):
    """By more than 30°, whichever way they lean; the sheet is turned, so no line lies level."""
    turned = cmath.rect(1.0, math.radians(20))

    def at(z):
        placed = z * turned + complex(100, 60)
        return placed.real, placed.imag

    lean = cmath.rect(1.0, math.radians(degrees))
    lean *= 20 / max(abs(lean.real), abs(lean.imag)) - 0.05  # as far as the outline, nearly
    corners = [at(complex(x, y)) for x, y in ((-20, -20), (20, -20), (20, 20), (-20, 20))]
    lines = [FoldLine("B", tuple(Point(*p) for p in (*corners, corners[0])), "outline")]
    lines += [creased.line("M", at(a), at(b)) for a, b in ((-20, 0), (0, 0.05), (0.05, 20))]
    lines += [creased.line("V", at(end), at(end + way)) for end, way in ((0, lean), (0.05, -lean))]
    assert [edge.kind for edge in build_graph(lines).edges].count("C") == slits


def test_another_slip_does_not_fit():
    data = write_drawing(draft_of(read_slip(SAMPLES / "A1.toml")).drawing, FORMATS["svg"], ROOMY)
    assert not fold_data(data, "A1.svg", read_slip(SAMPLES / "A4.toml")).check.folds


def test_outline_left_open():
    def opened(sheet):
        return one(sheet, "outline", lambda x: Stroke(x.role, x.name, open_path(*x.path.points)))

    result = proved(read_slip(SAMPLES / "B2.toml"), "svg", opened)
    assert "the outline does not close" in said(result)


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b'{"file_spec": 1.2, "edges_vertices": []}', "no crease pattern"),
        (b'{"file_spec": 1.2, "edges_vertices": ', "no JSON"),
        (
            b'{"file_spec": 1.2, "frame_classes": ["creasePattern"], "edges_vertices": [[0, 1]]}',
            "unit",
        ),
        (
            b'{"file_spec": 1.2, "frame_classes": ["creasePattern"], "frame_unit": "mm", '
            b'"vertices_coords": [[0, 0]], "edges_vertices": [[0, 1]], "edges_assignment": ["B"]}',
            "do not fit together",
        ),
        (
            b'{"file_spec": 1.2, "frame_classes": ["creasePattern"], "frame_unit": "mm", '
            b'"vertices_coords": [[0, 0], [1, 1]], "edges_vertices": [[0, 1]], '
            b'"edges_assignment": ["Q"]}',
            '"Q"',
        ),
    ],
)
def test_unreadable_fold_files_are_refused(data, message):
    with pytest.raises(FileError, match=message):
        fold_data(data, "x.fold", read_slip(SAMPLES / "B2.toml"))


def test_a_fold_file_whose_faces_name_no_vertices_of_it_is_refused():
    slip = read_slip(SAMPLES / "B2.toml")
    data = json.loads(fold_file(proved(slip)))
    data["faces_vertices"][0][0] = len(data["vertices_coords"])
    with pytest.raises(FileError, match="faces that do not fit their vertices"):
        fold_data(json.dumps(data).encode(), "B2.fold", slip)


def test_one_pen_for_both_directions_cannot_be_proved():
    slip = read_slip(SAMPLES / "B2.toml")
    options = Options(pens={**Options().pens, Role.VALLEY: 2})
    data = write_drawing(draft_of(slip).drawing, FORMATS["hpgl"], options)
    with pytest.raises(FileError, match="valleys and mountains on one layer"):
        fold_data(data, "B2.hpgl", slip, options=options)


# -- layers -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "excess", "most"),
    [
        ("spine", -0.4, MOST_RISE),  # the film on the book face rises
        ("spine", 0.4, None),
        ("leg", 0.4, 66.0 / LEG_BOW),
        ("leg", -0.4, 66.0 / LEG_BOW),
        ("base", -0.4, None),
    ],
)
def test_only_a_leg_and_the_film_under_the_spine_may_not_bow(part, excess, most):
    assert LayerBow("a panel", part, 1, 66.0, excess, 2.0).most == most


def test_a_crease_drawn_the_other_way_bends_its_layers_the_other_way(by_hand):
    """By as much as the pattern says; one drawn both ways is taken as the pattern's."""
    by_hand["support"]["layers"] = 3
    pattern = draft_of(slip_from(by_hand)).pattern
    creases = {crease.name: crease.angle for crease in pattern.creases}
    for kinds, way in (("V", 1), ("M", -1), ("VM", None), ("", None)):
        line = [FoldLine(kind, (Point(0, 0), Point(0, 9))) for kind in kinds]
        drawn = drawn_angles(
            pattern, [Match(s, tuple(line)) for s in scores_of(pattern) if s.band == "middle"]
        )
        assert drawn == {name: way * abs(a) if way else a for name, a in creases.items()}


def misfits(slip):
    made = draft_of(slip)
    form = FORMATS["dxf-r12"]
    reading = form.read(write_drawing(made.drawing, form, ROOMY))
    matches, extra = matched(placed(fold_lines(reading, form, ROOMY)), made.pattern)
    assert extra == ()
    drawn = {match.stroke.name: match.drawn_at for match in matches}
    return layer_misfits(drawn, made.pattern)


@pytest.mark.parametrize("path", sample_slips(), ids=lambda p: p.stem)
def test_flap_creases_meet_the_middles(path):
    assert all(abs(off) < 1e-3 for off in misfits(plain(path.stem)).values())


def test_a_shift_is_told_crease_by_crease(by_hand):
    """a = 35°, t = 0.127, k = 2: spine 0.078, apex 0.122, foot 0.598 mm (worked in the design)."""
    by_hand |= {"left_rise": "57.3576 mm", "right_rise": "57.3576 mm"}
    by_hand["support"] = {"layers": 3, "gauge": "0.127 mm", "nesting": 1}
    slip = slip_from(by_hand)
    found = misfits(slip)
    for name, move in {"spine": 0.078, "apex": -0.122, "foot": -0.598}.items():
        assert found[f"right {name}, outer flap"] == pytest.approx(move, abs=1e-3)
        assert found[f"left {name}, outer flap"] == pytest.approx(-move, abs=1e-3)
        assert found[f"right {name}, inner flap"] == pytest.approx(move / 2, abs=1e-3)
    told = [f for f in proved(slip).check.findings if "beside the crease" in f.message]
    assert {f.place for f in told} == {name for name, off in found.items() if abs(off) > 0.052}
    assert len(told) == 10  # all but the inner flap at the spine
    assert all(f.severity == "stop" for f in told)


# -- films in one another's way --------------------------------------------------------------------


def test_a_low_deck_leaves_no_room_for_the_tabs(by_hand):
    by_hand["support"] = {"layers": 3, "gauge": "0.127 mm", "deck_lift": "0.2 mm"}
    [told] = [f for f in proved(slip_from(by_hand)).check.findings if f.rule == "through"][:1]
    assert "only 0.20 mm lie between" in told.message
    assert told.severity == "advise"  # it was asked for


@pytest.mark.parametrize(("more", "told"), [(-0.5, []), (0.5, ["0.50"]), (3.0, ["3.00"])])
def test_tabs_that_lie_on_one_another_are_told(by_hand, more, told):
    """The left one is as much longer as there is room between them, and a little more."""
    by_hand["support"] |= {"layers": 1, "construction": "plain", "edges": "cut"}
    made = draft_of(slip_from(by_hand))
    left, right = (made.support.ends_of(tape.panel) for tape in made.support.contacts.tapes)
    apart = min(p.x for p in right) - max(p.x for p in left)
    lines = [
        replace(line, points=tuple(Point(x - (apart + more) * (x < 4), y) for x, y in line.points))
        for line in creased.lines_of(made.pattern)
    ]
    graph = build_graph(lines)
    root = face_of(graph, made.pattern, made.pattern.root.panel, made.pattern.band("middle"))
    whole = fold(graph, angles_for(graph, made.pattern), root)
    shape = Shape(whole, made.pattern, made.support, matched(lines, made.pattern)[0], 0.05)
    said = [f.message for f in shape.findings() if f.place == "tabs"]
    assert said == [f"the tabs would lie {over} mm on one another" for over in told]


def test_panels_that_pass_through_one_another(by_hand):
    """Tabs swapped upwards: a base that folds up through its board panel."""
    from cutfiles.folding.clash import clashes

    by_hand["support"] |= {"construction": "plain", "edges": "cut"}
    whole = proved(slip_from(by_hand)).check.folded
    assert list(clashes(whole, range(len(whole.graph.faces)), 0.127)) == []
    apex = min(
        (i for i, angle in enumerate(whole.angles) if angle == min(whole.angles)), key=lambda i: i
    )
    angles = {i: a for i, a in enumerate(whole.angles) if a}
    angles[apex] = -math.radians(
        165
    )  # the leg leans in, its base sticks out through the other side
    bent = fold(whole.graph, angles, whole.root)
    assert [gap for _, _, gap in clashes(bent, range(len(bent.graph.faces)), 0.127)].count(
        -1.0
    ) >= 1


def test_a_low_deck_excuses_no_panels_that_pass_through_one_another(by_hand):
    """Asked for is only that films lie as near as that deck; the left leg leans in by 75°."""
    by_hand["support"] |= {"construction": "plain", "edges": "cut", "deck_lift": "0.05 mm"}
    made, form = draft_of(slip_from(by_hand)), FORMATS["svg"]
    lines = fold_lines(form.read(form.write(made.drawing, ROOMY)), form, ROOMY)
    creases = tuple(
        replace(one, fold=replace(one.fold, angle=-math.radians(165)))
        if one.name == "left apex"
        else one
        for one in made.pattern.creases
    )
    leaning = replace(made.pattern, creases=creases)
    found = [f for f in check_folds(lines, leaning, made.support).findings if f.rule == "through"]
    crossing = [f for f in found if "would pass through one another" in f.message]
    assert crossing
    assert {f.severity for f in crossing} == {"stop"}
    assert {f.severity for f in found if f not in crossing} == {"advise"}


def test_make_refuses_what_does_not_fold():
    slip = read_slip(SAMPLES / "B2.toml")
    made = draft_of(slip)
    wrong = one(made.drawing, "left apex, middle", swapped)
    form = FORMATS["svg"]
    result = check_reading(form.read(form.write(wrong, ROOMY)), "B2.svg", made, form, ROOMY)
    with pytest.raises(DifferenceError, match=r"B2\.svg: found left apex, middle is drawn as"):
        require_folds(result)
    assert "fold" in [file.format for file in make(slip).files]


@pytest.mark.parametrize(("count", "more"), [(5, ""), (6, "; and 1 more"), (8, "; and 3 more")])
def test_five_stops_are_told_and_the_others_counted(fold_bytes, count, more):
    result = fold_data(fold_bytes, "B2.fold", read_slip(SAMPLES / "B2.toml"))
    stops = tuple(Finding("whole", "", f"stop {i}", severity="stop") for i in range(count))
    advice = Finding("whole", "", "advice", severity="advise")
    wrong = replace(result, check=replace(result.check, findings=(advice, *stops)))
    with pytest.raises(DifferenceError) as refusal:
        require_folds(wrong)
    assert str(refusal.value).startswith(
        f"B2.fold: found stop 0; stop 1; stop 2; stop 3; stop 4{more}; the file must fold"
    )


@pytest.mark.parametrize(("rise", "count"), [(0.0, 2), (0.0008, 2), (0.002, 3), (-0.5, 3)])
def test_an_arc_is_folded_by_its_middle_where_it_is_bent(rise, count):
    """A thousandth of a millimetre is no bend: coordinates are rounded."""
    form = FORMATS["svg"]
    for closed, more in ((False, 0), (True, 1)):
        bends = ((15.0, 20 + rise), (20.0, 35.0), (15.0, 35.0))
        path = ReadPath("cut-outline", ((10.0, 20.0), (20.0, 20.0), (20.0, 50.0)), bends, closed)
        (line,) = fold_lines(Reading(paths=(path,)), form, ROOMY)
        assert len(line.points) == count + 1 + more
        assert line.points[0] == (10, 20)
        assert line.points[-1] == ((10, 20) if closed else (20, 50))


def test_slots_of_a_designer_do_not_disturb_the_proof():
    """A hole added in an editor takes nothing from the panels."""
    slip = read_slip(SAMPLES / "B2.toml")

    def slotted(sheet):
        x, y = sheet.width / 2 - 12, sheet.height / 2
        corners = (Point(x, y), Point(x + 2, y), Point(x + 2, y + 8), Point(x, y + 8))
        slot = Stroke(
            Role.HOLES, "slot", replace(open_path(*corners), bulges=(0.0,) * 4, closed=True)
        )
        return replace(sheet, strokes=(*sheet.strokes, slot))

    assert said(proved(slip, "svg", slotted)) == ""


@pytest.fixture(scope="module")
def fold_bytes():
    return fold_file(proved(read_slip(SAMPLES / "B2.toml")))


@settings(max_examples=drawn(150))
@given(st.data())
def test_damaged_bytes_are_refused_or_named(fold_bytes, data):
    """Bytes changed at random: proved, named, or refused in our words; nothing else escapes."""
    slip = read_slip(SAMPLES / "B2.toml")
    changed = bytearray(fold_bytes)
    for place in data.draw(st.lists(st.integers(0, len(changed) - 1), min_size=1, max_size=4)):
        changed[place] = data.draw(st.sampled_from(b'0123456789-.eE[]{},:"BMVC \xff'))
    try:
        result = fold_data(bytes(changed), "B2.fold", slip)
    except FileError as refusal:
        event(str(refusal)[:30])
        return
    assert result.check.folds == (said(result) == "")


@pytest.mark.parametrize(
    ("key", "change", "message"),
    [
        ("vertices_coords", lambda v: [[v[0][0] + 5e-6, v[0][1]], *v[1:]], "vertices"),
        ("edges_vertices", lambda v: [v[0][::-1], *v[1:]], "edges"),
        ("edges_assignment", lambda v: ["M" if k == "V" else k for k in v], "assignments"),
        ("edges_foldAngle", lambda v: [a and -a for a in v], "fold angles"),
        ("edges_foldAngle", lambda v: [a and a + 3e-4 for a in v], "fold angles"),
        ("faces_vertices", lambda v: v[::-1], "faces"),
    ],
)
def test_a_fold_file_that_reads_back_wrong_is_not_delivered(fold_bytes, key, change, message):
    whole = proved(read_slip(SAMPLES / "B2.toml")).check
    require_same_folds("B2.fold", fold_bytes, whole)
    data = json.loads(fold_bytes)
    data[key] = change(data[key])
    with pytest.raises(DifferenceError, match=f"B2.fold: found other {message} than fold"):
        require_same_folds("B2.fold", json.dumps(data).encode(), whole)
