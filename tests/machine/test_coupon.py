"""Coupons: every setting in both directions, and the one chosen goes into the profile."""

from typing import get_args

import pytest
from benches import cutter, laser
from click.testing import CliRunner
from conftest import SAMPLES

from cutfiles.bench.film import Film
from cutfiles.cli import cli
from cutfiles.errors import CutterError, FileError, FormatError
from cutfiles.files.formats import FORMATS
from cutfiles.files.passes import write_plan
from cutfiles.machine.coupon import Trial, coupon, coupon_drawing, record_judged, trial_of
from cutfiles.machine.cutter import Varied
from cutfiles.machine.profile.read import packaged_text, read_cutter
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import box_of, path_length

FILM = {"gauge": "5 mil", "cut_force": 160, "score_force": 60, "mark_force": 40}
BEAM = {
    "gauge": "5 mil",
    "cut_power": 60,
    "cut_speed": 20,
    "score_power": 80,
    "score_speed": 40,
    "mark_power": 8,
    "mark_speed": 80,
}
CASES = {
    "force": (
        lambda: cutter(formats=["hpgl"], material=[FILM]),
        "score_force",
        (36, 48, 60, 75, 90),
    ),
    "power": (
        lambda: laser(formats=["gcode"], material=[BEAM]),
        "score_power",
        (48.0, 64.0, 80.0, 100.0),
    ),
    "passes": (lambda: cutter(formats=["svg"]), "score_passes", (1, 2, 3)),
    "land": (lambda: cutter(score={"method": "perforate"}), "land", (0.6, 0.8, 1.0, 1.25, 1.5)),
}


@pytest.mark.parametrize("case", CASES)
def test_what_is_varied(case):
    machine, what, values = CASES[case]
    trial = trial_of(machine(), 0.127)
    assert (trial.what, trial.values) == (what, values)


@pytest.mark.parametrize("case", CASES)
def test_each_setting_is_scored_both_ways(case):
    machine, what, values = CASES[case]
    made = coupon(machine(), 0.127)
    strokes = [s for one in made.passes for s in one.drawing.strokes]
    for i in range(1, len(values) + 1):
        for role in (Role.VALLEY, Role.MOUNTAIN):
            own = [s for s in strokes if s.name == f"setting {i}" and s.role is role]
            if what == "land":  # a crease of 15 mm is several dashes
                assert len(own) >= 2
            else:
                assert len(own) == (values[i - 1] if what == "score_passes" else 1)
    square = next(s for s in made.drawing.strokes if s.name == "square of 10 mm")
    assert path_length(square.path) == 40
    bar = [s.path for s in made.drawing.strokes if s.name == "bar of 50 mm"]
    assert (box_of(bar).width, box_of(bar).height) == (50, 4)
    facts = {name: said for name, said in made.drawing.facts if name != "varied"}
    assert (facts["layers"], facts["unit"], facts["number"]) == ("1", "mm", made.number)
    files = write_plan(made)
    assert {f.name.split(".")[0] for f in files} == {made.number}
    if case == "force":
        layers = {
            p.layer for f in files if f.format == "hpgl" for p in FORMATS["hpgl"].read(f.data).paths
        }
        assert {f"2 FS{v}" for v in values} <= layers
        assert {f"3 FS{v}" for v in values} <= layers
    if case == "power":
        layers = {
            p.layer
            for f in files
            if f.format == "gcode"
            for p in FORMATS["gcode"].read(f.data).paths
        }
        assert {f"score-valley S{v * 10:g} F2400" for v in values} <= layers
    if case == "land":
        counts = [len([s for s in strokes if s.name == f"setting {i}"]) for i in range(1, 6)]
        assert counts == sorted(counts, reverse=True)
        assert counts[0] > counts[-1]


def test_a_laser_coupon_with_power_needs_its_material():
    with pytest.raises(FormatError, match="there are no usual ones; add a"):
        coupon(laser(formats=["gcode"]), 0.127)


def test_judged_goes_into_the_profile_and_is_used(tmp_path):
    mine = tmp_path / "mine.toml"
    film = "".join(f"{key} = {value!r}\n".replace("'", '"') for key, value in FILM.items())
    text = f"{packaged_text('wide-roll-knife')}\n[[material]]\n{film}"
    mine.write_text(text, encoding="utf-8")
    run = CliRunner().invoke
    args = ["coupon", "--cutter", str(mine), "--lot", 'L "7"']
    done = run(cli, [*args, "--judged", "4"])
    assert done.exit_code == 0, done.output
    assert "score force 75" in done.output
    assert mine.read_text(encoding="utf-8").startswith(text.rstrip("\n"))
    assert run(cli, [*args, "--judged", "2"]).exit_code == 0
    lot = read_cutter(mine).judged_lot('L "7"', 0.127)
    assert (lot.what, lot.value) == ("score_force", 48)
    book = (SAMPLES / "A1.toml").read_text(encoding="utf-8")
    slip = tmp_path / "A1.toml"
    slip.write_text(book + '\n[support]\ngauge = "5 mil"\n', encoding="utf-8")
    words = ["make", slip, "--cutter", mine, "--lot", 'L "7"', "--to", tmp_path]
    made = run(cli, [str(word) for word in words])
    assert made.exit_code == 0, made.output
    assert b"FS48;" in (tmp_path / "A1.face-a.hpgl").read_bytes()


def test_judged_is_refused_where_it_cannot_be(tmp_path):
    with pytest.raises(FileError, match="copy it first"):
        record_judged("laser", "L", 0.127, 1)
    mine = tmp_path / "mine.toml"
    mine.write_text(packaged_text("desktop-knife"), encoding="utf-8")
    with pytest.raises(CutterError, match="the coupon has 1 to 3"):
        record_judged(mine, "L", 0.127, 4)
    assert mine.read_text(encoding="utf-8") == packaged_text("desktop-knife")
    assert [p.name for p in tmp_path.iterdir()] == ["mine.toml"]


def test_command(tmp_path):
    done = CliRunner().invoke(cli, ["coupon", "--cutter", "flatbed-wheel", "--to", str(tmp_path)])
    assert done.exit_code == 0, done.output
    assert "varied     score_passes: 1, 2, 3" in done.output
    assert (tmp_path / "coupon-flatbed-with-creasing-wheel-127um.face-b.pdf").exists()
    alone = CliRunner().invoke(cli, ["coupon", "--cutter", "laser", "--judged", "2"])
    assert alone.exit_code == 2


def test_coupons_of_two_films_and_cutters_lie_in_one_folder(tmp_path):
    for name, gauge in (("laser", "5 mil"), ("laser", "10 mil"), ("desktop-knife", "5 mil")):
        before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
        args = ["coupon", "--cutter", name, "--gauge", gauge, "--to", str(tmp_path)]
        done = CliRunner().invoke(cli, args)
        assert done.exit_code == 0, done.output
        now = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
        assert before.items() < now.items()


A5 = (148, 210)
"""ISO 216, mm."""


@pytest.mark.parametrize("case", CASES)
def test_a_coupon_is_made_from_an_offcut(case):
    """Of two hands' breadth: a test piece is no reason to begin a new roll."""
    made = coupon(CASES[case][0](), 0.127).drawing
    assert made.width <= A5[0]
    assert made.height <= A5[1]


@pytest.mark.parametrize("gauge", [0.0127, 0.123456, 0.254])
@pytest.mark.parametrize("what", get_args(Varied))
def test_the_words_of_the_bar_stay_beside_the_square(what, gauge):
    """However much there is to say: cut through, they could not be read."""
    film = Film(gauge=gauge, layers=1)
    made = coupon_drawing(Trial(what, (1.0, 2.0)), film, "coupon")
    words = box_of([s.path for s in made.strokes if s.name == "bar's label"])
    square = box_of([s.path for s in made.of_role(Role.HOLES) if s.name.startswith("square")])
    (outline,) = [box_of([s.path]) for s in made.of_role(Role.OUTLINE)]
    assert words.left > outline.left
    assert words.right < square.left - 3
    assert words.top < outline.top
