"""Alignment: the fitted move against scipy, and every damage by its name."""

import csv
import json
import math
import random

import pytest
from benches import cutter, sheet_of, small_sheet
from click.testing import CliRunner
from conftest import SAMPLES

from cutfiles.cli import cli
from cutfiles.errors import AlignError, FileError, FormatError
from cutfiles.files.formats import FORMATS
from cutfiles.files.passes import write_aligned
from cutfiles.machine.align import align, aligned
from cutfiles.machine.fit import KINDS, Move, best_fit, fit, residuals
from cutfiles.machine.plan import plan
from cutfiles.machine.plan_data import plan_bytes, plan_from
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point

TURN = Move("rigid", math.cos(0.01), -math.sin(0.01), math.sin(0.01), math.cos(0.01), 6.0, 2.0)


@pytest.fixture(scope="module")
def made():
    return plan(sheet_of("B1"), cutter(formats=["svg", "hpgl"]))


def measured(one, move=TURN, noise=0.0):
    draw = random.Random(1)
    return {
        mark.name: Point(*(v + draw.uniform(-noise, noise) for v in move.point(mark.at)))
        for mark in one.marks
    }


@pytest.mark.parametrize("kind", KINDS)
def test_fit_against_scipy(kind):
    """The same least squares by scipy's general minimiser."""
    from scipy.optimize import least_squares

    draw = random.Random(4)
    marks = [Point(draw.uniform(0, 600), draw.uniform(0, 400)) for _ in range(6)]
    found = [
        Point(
            p.x * 1.001 + 3 + draw.uniform(-0.2, 0.2),
            p.y * 0.999 - 2 + p.x * 0.01 + draw.uniform(-0.2, 0.2),
        )
        for p in marks
    ]

    def move_of(v):
        if kind == "affine":
            return Move(kind, *v)
        s = 1.0 if kind == "rigid" else v[3]
        c, n = s * math.cos(v[0]), s * math.sin(v[0])
        return Move(kind, c, -n, n, c, v[1], v[2])

    def off(v):
        moved = [move_of(v).point(p) for p in marks]
        return [c for a, b in zip(moved, found, strict=True) for c in (a.x - b.x, a.y - b.y)]

    start = {"rigid": [0, 0, 0], "similarity": [0, 0, 0, 1], "affine": [1, 0, 0, 1, 0, 0]}[kind]
    wanted = move_of(least_squares(off, start, xtol=1e-15, ftol=1e-15, gtol=1e-15).x)
    ours = fit(kind, marks, found)
    for place in marks:
        assert distance(ours.point(place), wanted.point(place)) < 1e-4


@pytest.mark.parametrize(
    ("move", "kind"),
    [
        (TURN, "rigid"),
        (Move("similarity", 1.003, 0, 0, 1.003, 5, 5), "similarity"),
        (Move("affine", 1.004, 0.002, 0, 0.997, 5, 5), "affine"),
    ],
)
def test_simplest_move_is_chosen(made, move, kind):
    one = made.passes[1]
    found = align(one, measured(one, move, 0.01))
    assert found.move.kind == kind
    assert max(found.residuals.values()) < 0.05
    assert set(found.residuals) == {m.name for m in one.marks}


def test_noise_alone_hardly_ever_buys_a_further_freedom():
    """Stretched to fit the noise, a support would no longer be as long as it was drawn.

    Six marks, each off by a tenth of a millimetre or so: by chance it may look otherwise.
    """
    draw, kinds = random.Random(1), []
    marks = [Point(x, y) for x in (5, 200, 395) for y in (5, 290)]
    for _ in range(50):
        found = [Point(*(v + draw.gauss(0, 0.1) for v in TURN.point(p))) for p in marks]
        move = best_fit(marks, found, good=0.0)
        kinds.append(move.kind)
        assert move.kind != "rigid" or move.scales == pytest.approx((1, 1))
    assert kinds.count("rigid") > 40


def test_corrected_pass_lies_where_the_sheet_lies(made):
    one = made.passes[1]
    right = aligned(one, align(one, measured(one)))
    for before, after in zip(one.drawing.strokes, right.drawing.strokes, strict=True):
        for p, q in zip(before.path.points, after.path.points, strict=True):
            assert distance(TURN.point(p), q) < 1e-6
    files = write_aligned(made, right)
    assert [f.name for f in files] == ["B1.face-b.aligned.svg", "B1.face-b.aligned.hpgl"]
    assert FORMATS["svg"].read(files[0].data).facts["aligned"].startswith("rigid, worst residual")


def test_wrong_turns_are_named(made):
    one = made.passes[1]
    w, h = one.drawing.width, one.drawing.height
    wrong = {
        "not turned over": lambda p: Point(w - p.x, p.y),
        "about the other axis": lambda p: Point(w - p.x, h - p.y),
        "the other way": lambda p: Point(p.x, h - p.y),
    }
    for said, move in wrong.items():
        marks = {m.name: TURN.point(move(m.at)) for m in one.marks}
        with pytest.raises(AlignError, match=said):
            align(one, marks)


A_QUARTER = "not turned over and turned a quarter, or with x and y exchanged"
LAID = {
    "x left, y up": (lambda p, w, h: (w - p.x, p.y), "not turned over, or turned over twice"),
    "x left, y down": (
        lambda p, w, h: (w - p.x, h - p.y),
        "turned over about the other axis, or by half a turn",
    ),
    "x right, y down": (
        lambda p, w, h: (p.x, h - p.y),
        "turned over the other way and not laid right",
    ),
    "x down, y right": (lambda p, w, h: (h - p.y, p.x), "turned a quarter to the left"),
    "x up, y left": (lambda p, w, h: (p.y, w - p.x), "turned a quarter to the right"),
    "x up, y right": (lambda p, w, h: (p.y, p.x), A_QUARTER),
    "x down, y left": (lambda p, w, h: (h - p.y, w - p.x), A_QUARTER),
}
"""By the axes that count a mark there: where on a sheet w x h it is found, and what is said."""


@pytest.mark.parametrize("axes", LAID)
def test_each_way_a_sheet_can_lie_is_told_with_its_axes(made, axes):
    one = made.passes[1]
    laid, said = LAID[axes]
    w, h = one.drawing.width, one.drawing.height
    marks = {m.name: TURN.point(laid(m.at, w, h)) for m in one.marks}
    with pytest.raises(AlignError) as refused:
        align(one, marks)
    told = str(refused.value)
    assert f"on a sheet {said}; or as read on the axes x right, y up, being {axes};" in told


def test_exchanged_and_bad_marks_are_named(made):
    one = made.passes[1]
    marks = measured(one, noise=0.02)
    swapped = {**marks, "pin hole 1": marks["pin hole 3"], "pin hole 3": marks["pin hole 1"]}
    with pytest.raises(AlignError, match="pin hole 1 and pin hole 3 exchanged"):
        align(one, swapped)
    bad = {**marks, "cross 2": Point(marks["cross 2"].x + 3, marks["cross 2"].y)}
    with pytest.raises(AlignError, match=r"one bad mark: cross 2 is \d\.\d\d mm off"):
        align(one, bad)
    few = {n: marks[n] for n in ("pin hole 1", "pin hole 2")}
    with pytest.raises(AlignError, match="at least three of"):
        align(one, few)
    with pytest.raises(AlignError, match='a mark "hole 9"'):
        align(one, {**marks, "hole 9": Point(0, 0)})


def test_refused_above_the_limit(made):
    one = made.passes[1]
    marks = measured(one, noise=0.8)
    with pytest.raises(AlignError, match=r"residuals of .* mm"):
        align(one, marks)
    assert align(one, marks, limit=2.0).residuals
    off = Move("rigid", 1, 0, 0, 1, -30, 0)
    with pytest.raises(AlignError, match="beyond the bed's corner"):
        aligned(one, align(one, measured(one, off)))


def test_plan_file_comes_back(made):
    assert plan_from(plan_bytes(made), "B1.plan.json") == made
    with pytest.raises(FileError, match="no plan"):
        plan_from(b'{"form": "x"}', "x")
    values = json.loads(plan_bytes(made))
    with pytest.raises(FileError, match="no plan"):  # of another time, though all else is there
        plan_from(json.dumps({**values, "form": values["form"] + " of tomorrow"}).encode(), "x")
    with pytest.raises(FileError, match="no plan"):
        plan_from(b"\x00", "x")


def test_command(tmp_path):
    run = CliRunner().invoke
    done = run(
        cli, ["make", str(SAMPLES / "B1.toml"), "--cutter", "desktop-knife", "--to", str(tmp_path)]
    )
    assert done.exit_code == 0, done.output
    one = plan_from((tmp_path / "B1.plan.json").read_bytes(), "B1.plan.json").passes[1]
    rows = [f"{n},{p.x:.2f},{p.y:.2f}" for n, p in measured(one).items()]
    table = tmp_path / "marks.csv"  # the columns of earlier tables
    table.write_text("mark,x,y\n" + "\n".join(rows) + "\n", encoding="utf-8")
    good = run(cli, ["align", str(tmp_path / "B1.plan.json"), "--measured", str(table)])
    assert good.exit_code == 0, good.output
    assert "face-b, rigid: turned 0.57" in good.output
    assert "pin hole 2" in good.output
    assert (tmp_path / "B1.face-b.aligned.dxf").exists()
    before = sorted(p.name for p in tmp_path.iterdir())
    named = [row.partition(",") for row in rows]
    named[3], named[4] = (named[4][0], *named[3][1:]), (named[3][0], *named[4][1:])
    text = "mark,x,y\n" + "\n".join("".join(row) for row in named)
    table.write_text(text, encoding="utf-8")
    bad = run(cli, ["align", str(tmp_path / "B1.plan.json"), "--measured", str(table)])
    assert bad.exit_code == 1
    assert "exchanged" in bad.output
    misfit = tmp_path / "B1.face-b.misfit.svg"
    assert f"look at: {misfit}" in bad.output
    assert "REFUSED, its marks do not fit" in misfit.read_text(encoding="utf-8")
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([*before, misfit.name])
    misfit.write_bytes(b"mine")  # changed since: told, and never written over
    again = run(cli, ["align", str(tmp_path / "B1.plan.json"), "--measured", str(table)])
    assert "exchanged" in again.output
    assert "no picture of it" in again.output
    assert "rename it or move it away, or give --replace" in again.output
    assert misfit.read_bytes() == b"mine"
    assert residuals(TURN, [Point(0, 0)], [Point(6, 2)]) == [0.0]


@pytest.fixture
def turned(tmp_path):
    """A folder with passes, one of them aligned; and the slip they are of."""
    slip = tmp_path / "B1.toml"
    slip.write_text((SAMPLES / "B1.toml").read_text(encoding="utf-8"), encoding="utf-8")
    out = tmp_path / "out"
    assert command("make", slip, "--cutter", ROLL, "--to", out).exit_code == 0
    made = plan_from((out / "B1.plan.json").read_bytes(), "B1.plan.json")
    fill_in(out / "B1.marks.csv", made, measured(made.passes[1]))
    done = command("align", out / "B1.plan.json")
    assert done.exit_code == 0, done.output
    return out, slip


def fill_in(table, made, places):
    """Write places on the sheet into a table of marks, as a roll cutter counts them."""
    width = made.cutter.bed.width - 2 * made.cutter.bed.margin
    with table.open(encoding="utf-8") as file:
        rows = list(csv.reader(file))
    for row in rows[1:]:
        seen = places[row[1]]
        row[4:6] = f"{seen.y:.3f}", f"{width - seen.x:.3f}"  # x up, y to the left
    with table.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)


ROLL = "wide-roll-knife"
NAME = "B1.face-b.aligned.hpgl"


def command(*args):
    return CliRunner().invoke(cli, [str(one) for one in args])


def test_an_aligned_pass_stands_in_the_record_and_is_sent(turned, tmp_path):
    out, _ = turned
    entries = json.loads((out / "B1.json").read_text(encoding="utf-8"))["files"]
    assert [one["verified"] for one in entries if one["path"] == NAME] == [True]
    args = ("send", out / NAME, "--cutter", ROLL, "--to", f"file:{tmp_path / 'card.plt'}")
    early = command(*args)
    assert early.exit_code == 1
    assert "a pass that comes after B1.face-a.hpgl;" in early.output
    done = command(*args, "--earlier-done")
    assert done.exit_code == 0, done.output
    assert (tmp_path / "card.plt").read_bytes() == (out / NAME).read_bytes()


def test_an_aligned_pass_is_verified(turned):
    out, slip = turned
    file = out / NAME
    args = ("verify", file, "--slip", slip, "--cutter", ROLL)
    assert command(*args).output == f"{NAME}: verified\n"
    good = file.read_bytes()
    at = good.index(b"PD") + 2
    other = b"8" if good[at : at + 1] == b"7" else b"7"
    file.write_bytes(good[:at] + other + good[at + 1 :])
    assert "different" in command(*args).output
    for old, new in ((b"alignment: rigid 0", b"alignment: rigid -0"), (b"alignment:", b"a:")):
        assert old in good
        file.write_bytes(good.replace(old, new))
        told = command(*args)
        assert told.exit_code == 1
        assert "an aligned pass says by how much" in told.output


def test_an_aligned_pass_goes_with_its_plan(turned):
    out, slip = turned
    filled = (out / "B1.marks.csv").read_bytes()
    assert command("make", slip, "--cutter", ROLL, "--to", out).exit_code == 0
    assert (out / NAME).exists()  # the same plan
    assert filled == (out / "B1.marks.csv").read_bytes()
    entries = json.loads((out / "B1.json").read_text(encoding="utf-8"))["files"]
    assert NAME in [one["path"] for one in entries]
    text = slip.read_text(encoding="utf-8")
    assert "height = 58" in text
    slip.write_text(text.replace("height = 58", "height = 60"), encoding="utf-8")
    again = command("make", slip, "--cutter", ROLL, "--to", out)
    assert again.exit_code == 0, again.output
    assert not (out / NAME).exists()
    assert f"removed    {NAME}" in again.output
    assert "removed    B1.face-b.alignment.svg" in again.output
    for _ in range(2):  # what was measured is never touched unasked
        assert "left alone: B1.marks.csv holds other measures" in again.output
        assert filled == (out / "B1.marks.csv").read_bytes()
        again = command("make", slip, "--cutter", ROLL, "--to", out)
    told = command("align", out / "B1.plan.json")
    assert told.exit_code == 1
    assert "measure by the table that was written with this plan" in told.output
    done = command("make", slip, "--cutter", ROLL, "--to", out, "--replace")
    assert done.exit_code == 0
    assert filled != (out / "B1.marks.csv").read_bytes()


def test_an_aligned_pass_goes_with_a_plan_for_another_cutter(turned):
    """The pattern is the same, and what the machine does with it is not."""
    out, slip = turned
    again = command("make", slip, "--cutter", "flatbed-wheel", "--to", out)
    assert again.exit_code == 0, again.output
    assert not (out / NAME).exists()
    entries = json.loads((out / "B1.json").read_text(encoding="utf-8"))["files"]
    assert NAME not in [one["path"] for one in entries]


def test_a_plan_that_its_record_does_not_know_is_refused(turned):
    out, _ = turned
    plan = out / "B1.plan.json"
    plan.write_bytes(plan.read_bytes() + b" ")
    done = command("align", plan)
    assert done.exit_code == 1
    assert "a plan that is not the one in its record" in done.output


@pytest.mark.parametrize(("dx", "dy"), [(30, 0), (0, 30)])
def test_a_sheet_laid_beyond_the_reach_either_way_is_refused(dx, dy):
    """On a bed longer than wide, what lies beyond its side is no nearer for its length."""
    sheet = small_sheet()
    room = {"width": sheet.width + (50 if dy else 10), "length": sheet.height + (50 if dx else 10)}
    for lengthened in (0, 400):
        more = {"length": lengthened} if dx else {"width": lengthened}
        bed = {side: f"{size + more.get(side, 0)} mm" for side, size in room.items()}
        made = plan(sheet, cutter(bed={**bed, "margin": "0 mm"}, formats=["svg"]))
        one = made.passes[0]
        moved = aligned(one, align(one, measured(one, Move("rigid", 1, 0, 0, 1, dx, dy))))
        with pytest.raises(FormatError, match="lies up to"):
            write_aligned(made, moved)
        near = aligned(one, align(one, measured(one, Move("rigid", 1, 0, 0, 1, dx / 10, dy / 10))))
        assert write_aligned(made, near)
