"""The pattern: thirds, shift, reversal, holes, corners, labels, folding back up, and its checks."""

import math
import re
from dataclasses import replace

import pytest
import shapely
from close import assert_same_paths
from conftest import drawn, sample_slips
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import both_or_none, is_its_own_mirror, slips, sound_slips, values

from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.pattern.checks import check_pattern
from cutfiles.pattern.fold_up import cross_scores, fold_up
from cutfiles.pattern.glyphs import GLYPHS
from cutfiles.pattern.layers import layer_moves, thirds
from cutfiles.pattern.lettering import text_strokes, text_width, undrawable
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.pattern.unfold import unfold
from cutfiles.plane.measure import box_of, chords, path_area
from cutfiles.plane.moves import mirror_left_right, shift
from cutfiles.plane.shapes import Point, open_path
from cutfiles.support.design import design
from cutfiles.support.profile import Fold, Panel, Profile, Root, walk


def slip(**more):
    return slip_from(
        {
            "number": "A1",
            "units": "mm",
            "height": 140,
            "width": 100,
            "spine_width": 25,
            "left_slope": 35,
            "right_slope": 35,
            **more,
        }
    )


def polygon(path):
    return shapely.Polygon(chords(path, 0.001))


def stops(pattern, support):
    return [f for f in check_pattern(pattern, support) if f.severity == "stop"]


def test_thirds_by_hand():
    """b = 138, t = 0.127: by the formulas, with π = 3.14159265."""
    third = thirds(138.0, 0.127, 1.0, 0.5)
    assert third.middle == pytest.approx(138 - (2.5 - 2.35619449) * 0.127)
    assert third.inner == pytest.approx(138 - 0.3175 - 1 + 0.0997456)
    assert third.outer == pytest.approx(138 - 0.1905 - 0.5 + 0.1994911)


def test_shift_by_hand():
    """t = 0.127, k = 2, a = 35°: spine +0.078, apex −0.122, foot −0.598 mm, outwards."""
    moves = layer_moves(design(slip()).profile, 2 * 0.127)
    assert [round(m, 3) for m in moves.creases[3:]] == [0.078, -0.122, -0.598]
    assert [round(m, 3) for m in moves.creases[:3]] == [0.598, 0.122, -0.078]
    for slope in (10, 50, 70):
        profile = design(slip(left_slope=slope, right_slope=slope)).profile
        assert layer_moves(profile, 1.0).creases[5] == pytest.approx(math.radians(-135))


@pytest.mark.parametrize("slopes", [(35, 35), (20, 60), (10, 74)])
def test_sharp_shift_against_shapely(slopes):
    """shapely's offset_curve with mitred corners gives the panels of the sharp form.

    The open part of the profile from foot to foot, offset to the table side by d: a panel's
    length there follows from the moves of its two creases.
    """
    made = design(slip(left_slope=slopes[0], right_slope=slopes[1], support={"deck_lift": "5 mm"}))
    corners = walk(made.profile).corners[1:9]
    d = 0.4
    line = shapely.LineString([(p.x, p.y) for p in corners])
    under = shapely.offset_curve(line, -d, join_style="mitre", mitre_limit=50)
    offset = [math.dist(a, b) for a, b in zip(under.coords, list(under.coords)[1:], strict=False)]
    moves = layer_moves(made.profile, d, bend=lambda angle: 2 * math.tan(angle / 2)).creases
    names = ["left leg", "left board", "spine", "right board", "right leg"]
    for i, name in enumerate(names):
        length = made.profile.panels[made.profile.index(name)].length
        assert offset[i + 1] == pytest.approx(length + moves[i + 1] - moves[i], abs=1e-9)
    arcs = layer_moves(made.profile, d).creases
    assert abs(arcs[3] - moves[3]) < 0.05  # arcs and corners agree where a fold is slight


def test_what_a_pattern_does_not_have_is_asked_for_in_vain():
    pattern = unfold(design(slip()))
    for asked in (pattern.band, pattern.panel, pattern.span):
        with pytest.raises(KeyError, match="no such part"):
            asked("no such part")


def test_creases_reverse_on_the_flaps():
    pattern = unfold(design(slip()))
    roles = {
        band.name: [score.role for score in cross_scores(pattern, band)] for band in pattern.bands
    }
    m, v = Role.MOUNTAIN, Role.VALLEY
    assert roles["middle"] == [m, m, v, v, m, m]
    assert roles["inner flap"] == roles["outer flap"] == [v, v, m, m, v, v]
    assert [band.name for band in pattern.bands] == ["inner flap", "middle", "outer flap"]


def test_scores_keep_off_the_long_folds():
    pattern = unfold(design(slip()))
    for stroke in pattern.strokes:
        if stroke.role in (Role.VALLEY, Role.MOUNTAIN) and "fold" not in stroke.name:
            ends = [point.y for point in stroke.path.points]
            for fold in pattern.long_folds:
                assert min(abs(y - fold) for y in ends) >= 1.0 - 1e-9
                assert not min(ends) < fold < max(ends)


def test_relief_holes_cover_the_crossings_and_can_be_left_out():
    pattern = unfold(design(slip(support={"gauge": "10 mil"})))
    holes = [polygon(stroke.path) for stroke in pattern.of_role(Role.HOLES)]
    assert len(holes) == 12
    for band in pattern.bands:
        for score in cross_scores(pattern, band):
            for fold in pattern.long_folds:
                if abs(fold - band.box.bottom) < 1e-9 or abs(fold - band.box.top) < 1e-9:
                    assert any(hole.contains(shapely.Point(score.x, fold)) for hole in holes)
    assert unfold(design(slip(support={"relief_diameter": 0}))).of_role(Role.HOLES) == ()
    assert unfold(design(slip(support={"layers": 1}))).of_role(Role.HOLES) == ()


def test_outline_by_shapely():
    """One layer: the strip's rectangle less four corners of (4 − π)r²/4 each."""
    pattern = unfold(design(slip(support={"layers": 1, "edges": "cut"})))
    outline = pattern.of_role(Role.OUTLINE)[0].path
    assert outline.closed
    full = pattern.box.width * pattern.box.height
    assert path_area(outline) == pytest.approx(full - (4 - math.pi) * 9)
    shape = polygon(outline)
    assert shape.is_valid
    assert shape.area == pytest.approx(path_area(outline), rel=1e-5)


def test_flaps_end_flush():
    """A flap's ends go in by k·t·π, so that folded they lie under the middle's ends."""
    pattern = unfold(design(slip(support={"corner_radius": 0, "nesting": 1})))
    points = pattern.of_role(Role.OUTLINE)[0].path.points
    xs = {
        band.name: [p.x for p in points if band.box.bottom - 1e-9 <= p.y <= band.box.top + 1e-9]
        for band in pattern.bands
    }
    assert min(x for x in xs["outer flap"] if x > 1e-9) == pytest.approx(2 * 0.127 * math.pi)
    assert min(x for x in xs["inner flap"] if x > 1e-9) == pytest.approx(0.127 * math.pi)
    assert len(points) == 12


def test_thousands_fold_back_into_their_supports():
    for _, support in sound_slips(drawn(2000))[: drawn(1000)]:
        folds_back(support)


@settings(max_examples=drawn(150))
@given(slips())
def test_pattern_folds_back_into_its_support(drawn):
    folds_back(design(drawn))


def folds_back(support):
    pattern = unfold(support)
    assert stops(pattern, support) == []
    # the sheet is as long as its panels, and as broad as its bands, with hems of 8 beyond
    ends = 8 * sum(one.name.endswith("hem, end") for one in pattern.flanges)
    hems = 16 if pattern.flanges else 0
    assert pattern.box.width == pytest.approx(sum(p.length for p in support.profile.panels) + ends)
    assert pattern.box.height == pytest.approx(sum(b.box.height for b in pattern.bands) + hems)
    folded = fold_up(pattern)
    assert [f.angle for f in folded.folds] == pytest.approx(
        [f.angle for f in support.profile.folds]
    )


@settings(max_examples=drawn(200))
@given(slips())
def test_everything_lies_inside_the_outline(drawn):
    pattern = unfold(design(drawn))
    shape = polygon(pattern.of_role(Role.OUTLINE)[0].path)
    assert shape.is_valid
    room = shape.buffer(1e-3)
    for stroke in pattern.strokes:
        if stroke.role in (Role.HOLES, Role.LABEL, Role.GUIDE) or (
            stroke.role in (Role.VALLEY, Role.MOUNTAIN) and "long" not in stroke.name
        ):
            assert room.contains(shapely.LineString(chords(stroke.path, 0.01))), stroke.name


@settings(max_examples=drawn(300))
@given(values())
def test_mirrored_slip_gives_mirrored_pattern(fields):
    there, back = both_or_none(lambda values: unfold(design(slip_from(values))), fields)
    if there is None:
        return
    if is_its_own_mirror(fields):  # one pattern; where tabs cross it is not its own mirror image
        assert back == there
        return
    for role in (Role.OUTLINE, Role.HOLES, Role.VALLEY, Role.MOUNTAIN):
        turned = [mirror_left_right(s.path, there.box.width / 2) for s in back.of_role(role)]
        assert_same_paths(turned, [s.path for s in there.of_role(role)])


def test_tape_lies_on_the_face_that_meets_the_spine_panel():
    three = unfold(design(slip()))
    one = unfold(design(slip(support={"layers": 1, "edges": "cut"})))
    for pattern, face, band in ((three, "book face", "outer flap"), (one, "table face", "middle")):
        tapes = [s for s in pattern.of_role(Role.GUIDE) if s.name.startswith("tape")]
        assert [s.name for s in tapes] == [
            f"tape left, on the {face}",
            f"tape right, on the {face}",
        ]
        for tape in tapes:
            box, room = box_of([tape.path]), pattern.band(band).box
            assert box.bottom - room.bottom == pytest.approx(3)
            assert room.top - box.top == pytest.approx(3)
            assert box.width == pytest.approx(6)
    outline = polygon(three.of_role(Role.OUTLINE)[0].path)
    for tape in three.of_role(Role.GUIDE):
        assert outline.boundary.distance(polygon(tape.path)) >= 3 - 2e-3


def test_labels_say_number_side_and_face():
    support = design(slip(number="B 7"))
    pattern = unfold(support)
    for side, letter in (("left", "L"), ("right", "R")):
        drawn = [s.path for s in pattern.of_role(Role.LABEL) if s.name == f"label {side}"]
        words = ("B 7", f"{letter}↑", "face up")
        assert len(drawn) == sum(len(text_strokes(word, (0, 0), 3)) for word in words)


def test_base_too_small_for_a_label_is_told():
    support = design(
        slip(width=16, left_slope=74, right_slope=74, height=20, spine_width=20, number="x" * 30)
    )
    found = [f for f in check_pattern(unfold(support), support) if f.rule == "label"]
    assert [f.place for f in found] == ["left base", "right base"]


# -- the checks notice ---------------------------------------------------------------------------


def damaged(pattern, name, change):
    strokes = [change(s) if s.name == name else s for s in pattern.strokes]
    return replace(pattern, strokes=tuple(s for s in strokes if s is not None))


def swapped(stroke):
    role = Role.VALLEY if stroke.role is Role.MOUNTAIN else Role.MOUNTAIN
    return replace(stroke, role=role)


def moved(stroke):
    return replace(stroke, path=shift(stroke.path, 0.01, 0))


@pytest.mark.parametrize(
    ("name", "change", "rules"),
    [
        ("left apex, middle", swapped, {"fold-up", "flap", "maekawa"}),
        ("left apex, outer flap", swapped, {"flap", "maekawa"}),
        ("right foot, middle", moved, {"fold-up", "flap"}),
        ("right foot, inner flap", moved, {"flap"}),
        ("right foot, inner flap", lambda s: None, {"fold-up"}),
        ("left foot, middle", lambda s: None, {"fold-up"}),
        ("outer long fold", lambda s: None, {"maekawa"}),
        ("outer long fold", swapped, {"flap"}),
        ("outline", lambda s: replace(s, path=shift(s.path, 0, -1)), {"inside"}),
        (
            "left spine, outer flap",
            lambda s: replace(
                s, path=open_path(s.path.points[0], (s.path.points[1].x + 9, s.path.points[1].y))
            ),
            {"flap", "kawasaki"},
        ),
    ],
)
def test_checks_notice_damage(name, change, rules):
    support = design(slip())
    pattern = unfold(support)
    assert stops(pattern, support) == []
    assert {f.rule for f in stops(damaged(pattern, name, change), support)} == rules


def test_checks_notice_a_stray_label_and_a_wide_flap():
    support = design(slip())
    pattern = unfold(support)
    stray = Stroke(Role.LABEL, "label left", open_path((5, 200), (6, 200)))
    found = stops(replace(pattern, strokes=(*pattern.strokes, stray)), support)
    assert [f.rule for f in found] == ["label"]
    wide = design(slip(support={"edge_gap": 0, "fold_gap": 0, "gauge": "0.6 mm"}))
    assert stops(unfold(wide), wide) == []
    pattern = unfold(wide)
    bands = [
        replace(b, box=b.box._replace(top=b.box.top + 3)) if b.layer == 2 else b
        for b in pattern.bands
    ]
    found = stops(replace(pattern, bands=tuple(bands)), wide)
    assert [(f.rule, f.place) for f in found] == [("flap", "outer flap")]


def test_a_crossing_that_cannot_fold_flat_is_told_by_its_place():
    support = design(slip())
    pattern = unfold(support)

    def aslant(stroke):
        (near, far), low = stroke.path.points, stroke.band == "outer flap"
        return replace(stroke, path=open_path(near, (far.x + 9, far.y)) if low else stroke.path)

    for change, rule in ((swapped, "maekawa"), (aslant, "kawasaki")):
        found = stops(damaged(pattern, "left spine, outer flap", change), support)
        (told,) = (f.message for f in found if f.rule == rule)
        assert re.match("left spine, outer flap.* cannot fold flat", told)


def test_maekawa_by_hand():
    """Hull, Congressus Numerantium 100 (1994): M − V = ±2; here three mountains, one valley."""
    pattern = unfold(design(slip()))
    for fold in pattern.long_folds:
        around = [
            score.role
            for band in pattern.bands
            for score in cross_scores(pattern, band)
            if abs(band.box.bottom - fold) < 1e-9 or abs(band.box.top - fold) < 1e-9
        ]
        along = [
            stroke.role
            for stroke in pattern.strokes
            if stroke.role.startswith("score") and {p.y for p in stroke.path.points} == {fold}
        ]
        assert len(along) == 1  # one line, cut by every crossing into two
        for above, below in zip(around[:6], around[6:], strict=True):
            mountains = [*along, *along, above, below].count(Role.MOUNTAIN)
            assert mountains == 3  # of four lines: M − V = 2


# -- letters --------------------------------------------------------------------------------------


def test_letters_cover_what_a_number_may_hold():
    text = "".join(chr(c) for c in range(32, 127)) + "ÀÉîõüÅçÑšžőūąęłøßþÆœĦđ°×–—’“"
    assert (
        undrawable(
            text.replace("^", "")
            .replace("`", "")
            .replace("{", "")
            .replace("|", "")
            .replace("}", "")
            .replace("$", "")
        )
        == ""
    )


@given(st.text(alphabet="ABCxyzgq 0189ÀÉőçšjíi.,-", min_size=1, max_size=12))
def test_letters_stay_in_their_line(text):
    strokes = text_strokes(text, (10, 20), 6)
    if strokes:
        box = box_of(strokes)
        assert box.left >= 10 - 1.0
        assert box.right <= 10 + text_width(text, 6) + 1.0
        assert box.bottom >= 20 - 3.0
        assert box.top <= 20 + 6 + 2.0


def test_a_mark_before_every_letter_is_drawn_by_itself():
    [acute], [on_a_space] = (text_strokes(t, (0, 0), 3) for t in ("\u0301", " \u0301"))
    assert acute == on_a_space
    assert len(text_strokes("\u0301a", (0, 0), 3)) == 1 + len(text_strokes("a", (0, 0), 3))


def test_a_letter_takes_the_width_of_what_is_drawn_of_it():
    """So a line of text is as long as it is told to be, and no letter runs into the next."""
    wrong = []
    for sign in sorted(GLYPHS.keys() - {" "}):
        drawn, before_h = (box_of(text_strokes(text, (0, 0), 6)) for text in (sign, f"{sign}H"))
        stem = before_h.right - text_width("H", 6)
        width, told = (drawn.left, drawn.right, stem), text_width(sign, 6)
        if width != pytest.approx((0, told, told + 2)):
            wrong.append((sign, told, width))
    assert wrong == []


def test_a_profile_without_bends_moves_nothing():
    flat = Profile(
        (Panel("spine", None, 5), Panel("board", "right", 7)),
        (Fold("spine", "right", 1, 0.0),),
        Root("spine", Point(-2.5, 0.0)),
    )
    assert layer_moves(flat, 1.0).creases == (0.0,)


@settings(max_examples=drawn(200))
@given(slips())
def test_panel_names_keep_off_labels_creases_edges_and_each_other(drawn):
    pattern = unfold(design(drawn))
    boxes = []
    for note in pattern.notes:
        width, (x, y) = text_width(note.text, note.height), note.at
        long = (
            (x - note.height, y, x, y + width)
            if note.upright
            else (x, y, x + width, y + note.height)
        )
        boxes.append(shapely.box(*long))
    labels = [shapely.LineString(chords(s.path, 0.01)) for s in pattern.of_role(Role.LABEL)]
    piece = polygon(pattern.of_role(Role.OUTLINE)[0].path)
    scores = [
        shapely.LineString(s.path.points)
        for role in (Role.VALLEY, Role.MOUNTAIN)
        for s in pattern.of_role(role)
    ]
    for i, box in enumerate(boxes):
        assert not any(box.intersects(label) for label in labels), pattern.notes[i].text
        assert piece.covers(box), pattern.notes[i].text
        assert not any(box.intersects(score) for score in scores), pattern.notes[i].text
        assert not any(box.intersects(other) for other in boxes[:i]), pattern.notes[i].text


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
def test_notes_can_be_read(path):
    """A spare panel of 0.1 mm has none: its letters would be smaller than nothing."""
    notes = draft_of(read_slip(path)).pattern.notes
    assert all(1.0 <= note.height <= 3.0 for note in notes)
    assert any(note.text.startswith("spine ") for note in notes)
