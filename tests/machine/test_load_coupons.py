"""Coupons tried by hand: drawn, verified and folded in every format, with a card; read and kept."""

import csv
import json
import math
from dataclasses import replace

import pytest
from click.testing import CliRunner
from pages import check_tidy, sizes, text_of

from cutfiles.cli import cli
from cutfiles.errors import DesignError, DifferenceError
from cutfiles.files.coupons import coupon_files, folded_coupon
from cutfiles.files.formats import FORMATS, Options
from cutfiles.files.readers.fold import fold_pieces
from cutfiles.film.lay import lay_coupon
from cutfiles.machine.coupon import called
from cutfiles.machine.cutter import Setting
from cutfiles.machine.formats import drawn_formats
from cutfiles.machine.profile.read import find_cutter, packaged_text
from cutfiles.pattern.coupons import coupon_of
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import box_of
from cutfiles.plane.moves import shift
from cutfiles.report.printed.coupon_card import coupon_card
from cutfiles.support.coupons import (
    coupon_trial,
    crease_length,
    creases_of,
    post_expected,
    posts_are_bad,
)
from cutfiles.support.trial_rows import read_trials, write_trials
from cutfiles.support.trials import COUPONS, factor_of
from cutfiles.support.tried import factor_by
from cutfiles.support.ways import AtHand

NAMES = tuple(COUPONS)
BEAM = {role.value: Setting(power=30, speed=20) for role in Role}
ROOMY = Options(hpgl_range=8_388_607, settings=BEAM)


def run(*args):
    return CliRunner().invoke(cli, [str(one) for one in args])


# -- drawn ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("gauge", [0.1016, 0.127])
@pytest.mark.parametrize("name", NAMES)
def test_every_format_is_verified_and_folds(name, gauge):
    files, left = coupon_files(coupon_of(name, gauge), list(FORMATS), ROOMY)
    assert left == ()
    assert [file.format for file in files] == [*drawn_formats(), "fold"]
    assert all(file.verified for file in files)
    for file in files[:-1]:
        form = FORMATS[file.format]
        check = folded_coupon(coupon_of(name, gauge), form.read(file.data), form, ROOMY, file.name)
        turned = sorted({round(math.degrees(abs(h.angle))) for h in check.folded.hinges})
        assert turned == {"crease": [90], "post": [120], "corner": [90, 120, 180]}[name]


def with_stroke(sheet, name, change):
    """The sheet with one stroke changed, or left out."""
    found = [stroke for stroke in sheet.strokes if stroke.name == name]
    assert found
    kept = [change(stroke) if stroke is found[0] else stroke for stroke in sheet.strokes]
    return replace(sheet, strokes=tuple(stroke for stroke in kept if stroke is not None))


@pytest.mark.parametrize(
    ("name", "stroke", "change", "said"),
    [
        ("crease", "crease, middle", lambda s: None, "crease, middle is missing"),
        (
            "crease",
            "crease, middle",
            lambda s: replace(s, role=Role.VALLEY),
            "drawn as a valley, should be a mountain",
        ),
        ("post", "post, A|B", lambda s: replace(s, path=shift(s.path, 0.4, 0)), "0.40 mm too far"),
        ("post", "post, A|B", lambda s: None, "A|B is missing"),
        ("corner", "foot, outer flap", lambda s: replace(s, role=Role.MOUNTAIN), "should be a val"),
        ("corner", "foot, outer flap", lambda s: replace(s, path=shift(s.path, 0.6, 0)), "0.60 mm"),
        ("corner", "outer long fold", lambda s: None, "outer long fold is missing"),
    ],
)
def test_damage_is_named(name, stroke, change, said):
    coupon, form = coupon_of(name, 0.127), FORMATS["svg"]
    sheet = with_stroke(lay_coupon(coupon), stroke, change)
    with pytest.raises(DifferenceError, match="must fold into the coupon") as refused:
        folded_coupon(coupon, form.read(form.write(sheet, ROOMY)), form, ROOMY, "x.svg")
    assert said in str(refused.value)


def test_a_post_that_is_drawn_as_designed_and_does_not_close_is_refused():
    """Its crease lies where the design has it, and the tube it folds into stays open."""
    coupon, form = coupon_of("post", 0.127), FORMATS["svg"]
    piece, *others = coupon.pieces
    (own,) = (one for one in piece.creases if "A|B" in one.name)
    moved = replace(own, position=own.position + 2)
    strokes = [
        replace(s, path=shift(s.path, 2, 0)) if "A|B" in s.name else s for s in piece.strokes
    ]
    creases = tuple(moved if one is own else one for one in piece.creases)
    wrong = replace(
        coupon, pieces=(replace(piece, creases=creases, strokes=tuple(strokes)), *others)
    )
    data = form.write(lay_coupon(wrong), ROOMY)
    with pytest.raises(DifferenceError, match="must fold into the coupon"):
        folded_coupon(wrong, form.read(data), form, ROOMY, "x.svg")


def test_the_shifted_piece_would_stretch():
    """What it is to show: drawn along the bend, a leg's edge is not the corner's."""
    coupon = coupon_of("corner", 0.127)
    even, shifted = coupon.pieces
    alone = replace(coupon, pieces=(replace(shifted, name="even"),), places=coupon.places[:1])
    form = FORMATS["svg"]
    with pytest.raises(DifferenceError, match="film does not stretch"):
        folded_coupon(alone, form.read(form.write(lay_coupon(alone), ROOMY)), form, ROOMY, "x.svg")
    places = {
        stroke.name: box_of([stroke.path]).left
        for stroke in shifted.strokes
        if stroke.role in (Role.VALLEY, Role.MOUNTAIN)
    }
    moved = [places[f"{part}, middle"] - places[f"{part}, outer flap"] for part in ("apex", "foot")]
    assert moved == [pytest.approx(0.266, abs=1e-3), pytest.approx(0.7315, abs=1e-3)]
    assert {s.name for s in even.strokes} == {
        s.name.replace("shifted", "even") for s in shifted.strokes
    }


def test_pieces_lie_apart_and_are_as_many_as_are_tried():
    for name, count in (("crease", 5), ("post", 3), ("corner", 2)):
        coupon = coupon_of(name, 0.127)
        outlines = [s for s in lay_coupon(coupon).strokes if s.role is Role.OUTLINE]
        boxes = [box_of([s.path]) for s in outlines]
        assert len(boxes) == count
        for i, a in enumerate(boxes):
            for b in boxes[i + 1 :]:
                assert max(b.left - a.right, b.bottom - a.top) >= 5.0 - 1e-9


def test_gauges_that_make_no_such_support_are_refused():
    with pytest.raises(DesignError, match="posts are made of 4 mil"):
        coupon_of("post", 0.0762)
    with pytest.raises(DesignError, match="three layers are folded up to 5 mil"):
        coupon_of("corner", 0.1778)


def test_fold_file_holds_the_tube_closed():
    files, _ = coupon_files(coupon_of("post", 0.127), ["fold"])
    [piece] = fold_pieces(files[0].data)
    assert sum(one == "M" for one in piece.pattern["edges_assignment"]) == 3
    assert json.loads(files[0].data)["cutfiles:facts"]["coupon"] == "post"


# -- the card ------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_card_says_what_to_do(name, paper):
    data = coupon_card(coupon_of(name, 0.127), paper)
    assert len(sizes(data)) == 1
    check_tidy(data)
    [said] = text_of(data)
    for head in (
        "Make",
        "Load",
        "Read off",
        "Expected",
        "Take care",
        "date",
        "film lot",
        "initials",
    ):
        assert head in said
    assert "proves no support" in said
    assert "knife: stand to cut" in said
    wanted = {
        "crease": ("turned °", "arm mm", "weight g", "13 to 127 mm"),
        "post": ("Ripples from 803 g", "under 602 g", "268 g", "Stop at 1205 g"),
        "corner": ("A bow of 3.5 mm", "0.3 and 0.7 mm", "under 1 mm", "shifted"),
    }[name]
    for text in wanted:
        assert text in said
    assert coupon_card(coupon_of(name, 0.127), paper) == data


def test_laser_has_its_own_caution():
    assert "extraction on" in text_of(coupon_card(coupon_of("post", 0.127), machine="laser"))[0]


# -- files ---------------------------------------------------------------------------------------


def test_command_writes_files_card_and_passes(tmp_path):
    done = run("coupon", "post", "--gauge", "5 mil", "--to", tmp_path)
    assert done.exit_code == 0, done.output
    assert "verified   coupon-post-127um.svg" in done.output
    assert "to print   coupon-post-127um.card.pdf" in done.output
    done = run("coupon", "post", "--cutter", "desktop-knife", "--to", tmp_path)
    assert done.exit_code == 0, done.output
    names = {path.name for path in tmp_path.iterdir()}
    assert {
        "coupon-post-127um.fold",
        "coupon-post-127um-desktop-knife.face-b.dxf",
        "coupon-post-127um-desktop-knife.card.pdf",
    } <= names
    assert run("coupon", "post", "--gauge", "2 mil", "--to", tmp_path).exit_code == 1
    for suffix in ("svg", "pdf", "fold"):
        folded = run("fold", tmp_path / f"coupon-post-127um.{suffix}", "--check")
        assert folded.exit_code == 1
        assert "a coupon, which becomes no support" in folded.output
    assert run("coupon", "--to", tmp_path).exit_code == 2
    assert run("coupon", "corner", "--judged", 1, "--to", tmp_path).exit_code == 2


def test_no_two_coupons_share_a_file(tmp_path):
    """Two profiles of one name, two gauges a thousandth apart, each kind: all keep apart."""
    own = []
    text = packaged_text("desktop-knife")
    for i, other in enumerate((text, text.replace("travel = ", "travel = 1"))):
        path = tmp_path / f"{i}" / "our.toml"
        path.parent.mkdir()
        path.write_text(other, encoding="utf-8")
        own.append(path)
    out, seen = tmp_path / "out", {}
    few = ("--format", "svg", "--no-cards", "--to", out)
    for what in ("score", "crease", "corner"):
        for cutter, gauge in ((own[0], "0.127 mm"), (own[1], "0.127 mm"), (own[0], "0.12696 mm")):
            done = run("coupon", what, "--cutter", cutter, "--gauge", gauge, *few)
            assert done.exit_code == 0, done.output
            now = {path.name: path.read_bytes() for path in out.iterdir()}
            assert seen.items() <= now.items(), (what, cutter, gauge)
            assert len(now) > len(seen)
            seen = now


def test_a_profile_as_it_comes_needs_no_sign(tmp_path):
    mine = tmp_path / "mine.toml"
    mine.write_text(packaged_text("laser"), encoding="utf-8")
    assert called(find_cutter(mine)) == called(find_cutter("laser")) == "laser"


# -- what is read off ----------------------------------------------------------------------------


def crease(grams=1.2, arm=38.0, degrees=27.0, gauge=0.127):
    return coupon_trial("crease", gauge)._replace(
        load=grams * 9.80665 / 1000, leg=arm, turned=math.radians(degrees)
    )


def post(grams, result="collapsed"):
    load = grams * 9.80665 / 1000
    return coupon_trial("post", 0.127)._replace(load=load, minutes=1.0, result=result)


def test_length_of_a_crease():
    """κ = m g r / (w Δψ), L* = D/κ by hand: 0.01177 N · 38 / (30 · 0.4712) = 0.03163 N."""
    assert crease_length(crease(), 4000.0) == pytest.approx(0.532 / 0.031633, rel=1e-3)


def test_five_creases_count_the_longest():
    rows = [crease(grams) for grams in (1.0, 1.1, 1.2, 1.3)]
    assert creases_of(rows, 0.127) == (4, None)
    found = creases_of([*rows, crease(0.9), crease(0.1, gauge=0.254)], 0.127)
    assert found.tests == 5
    assert found.length == pytest.approx(1.5 * crease_length(crease(0.9), 4000.0))


def test_posts_that_collapse_too_early():
    bad, fine = post(590), post(820)
    assert post_expected(0.127).bad == pytest.approx(602, abs=0.5)
    assert factor_of(post(602.4)) == pytest.approx(1.5, abs=1e-3)
    assert posts_are_bad([bad, fine, bad])
    assert not posts_are_bad([bad, fine, fine])
    assert not posts_are_bad([bad, bad, fine, fine])
    assert not posts_are_bad([post(100, "stood")] * 3)


def test_coupons_warn_of_posts_and_never_raise_them():
    film = AtHand("PET 5 mil", 0.127)
    strong = [post(1200, "stood")] * 10
    assert factor_by(strong, "posts", 1, film).rule == "too few"
    assert factor_by(strong, "posts", 1, film).used == 1.0
    weak = factor_by([*strong, post(370)], "posts", 1, film)
    assert weak.rule == "unsafe"
    assert weak.used == pytest.approx(0.8 * factor_of(post(370)))
    assert factor_by([*strong, post(370)], "plain", 1, film).used == 1.0
    assert factor_by([*strong, post(370)], "posts", 1, AtHand("PET 7 mil", 0.1778)).used == 1.0


def test_rows_of_coupons_come_back():
    rows = [crease(), post(810), coupon_trial("corner", 0.127, note="=1")._replace(bow=3.4)]
    text = write_trials(rows)
    again = read_trials(text)
    assert write_trials(again) == text
    for row, found in zip(rows, again, strict=True):
        assert found._replace(load=0, turned=0) == row._replace(load=0, turned=0)
        assert found.load == pytest.approx(row.load, rel=1e-5)
        assert found.turned == pytest.approx(row.turned, abs=1e-6)
    cells = list(csv.DictReader(text.splitlines()))
    assert [row["turned"] for row in cells] == ["27", "", ""]
    assert [row["minutes"] for row in cells] == ["", "1", ""]


def test_records_of_coupons(tmp_path):
    table = tmp_path / "trials.csv"
    given = ("trial", "--trials", table, "--measured", "5 mil", "--coupon")
    for weight in ("1.0 g", "1.1 g", "1.2 g", "1.3 g", "1.4 g"):
        done = run(*given, "crease", "--weight", weight, "--arm", "38 mm", "--turned", "27°")
        assert done.exit_code == 0, done.output
    assert "5 of this film: L* of 30 mm may be counted on" in done.output
    for ended in ("collapsed", "collapsed"):
        done = run(*given, "post", "--weight", "500 g", "--ended", ended, "--lot", "L7")
        assert done.exit_code == 0, done.output
    assert "two of the last 3 collapsed under 1.5: lap or folds are bad" in done.output
    done = run(*given, "corner", "--bow", "0.4 mm", "--note", "shifted", "--json")
    told = json.loads(done.output)
    assert (told["flat"], told["tests"]) == (True, 1)
    assert "the model of strips in three layers is wrong" in told["told"]
    assert len(read_trials(table.read_text("utf-8"))) == 8
    before = table.read_bytes()
    for wrong in (
        (*given, "post", "--weight", "500 g"),
        (*given, "corner", "--bow", "1 mm", "--arm", "3 mm"),
        ("trial", "--trials", table, "--coupon", "post", "--weight", "1 g", "--ended", "stood"),
        ("trial", "--trials", table),
        ("trial", "A1.toml", *given[1:], "post", "--weight", "1 g", "--ended", "stood"),
    ):
        assert run(*wrong).exit_code == 2, wrong
    done = run(*given, "crease", "--weight", "1 g", "--arm", "38 mm", "--turned", "0")
    assert done.exit_code == 1
    assert "what is to be recorded, row 2, turned" in done.output
    assert table.read_bytes() == before
