"""The table of marks: written with a plan, filled in along any axes, in any unit, and read back."""

import csv
import io
import math
import random
import re

import pytest
from benches import cutter, sheet_of

from cutfiles.errors import AlignError, FileError
from cutfiles.files.passes import write_plan
from cutfiles.job.aligned import align_passes
from cutfiles.machine.marks import COLUMNS, marks_table, read_marks
from cutfiles.machine.plan import plan
from cutfiles.plane.measure import chords

WAYS = {"right": 1, "left": -1, "up": 1j, "down": -1j}
UNITS = {"mm": 1.0, "cm": 10.0, "in": 25.4, "0.025 mm": 0.025}
PAIRS = [(x, y) for x in WAYS for y in WAYS if (x in "rightleft") != (y in "rightleft")]
ORIGINS = ("lower-left", "lower-right", "upper-left", "upper-right", "centre")


@pytest.fixture(scope="module")
def made():
    return plan(sheet_of("B1"), cutter(formats=["svg"]))


def corner(bed, origin):
    """Where a machine counts from, on what its tool reaches."""
    width, height = bed.width - 2 * bed.margin, bed.length - 2 * bed.margin
    if origin == "centre":
        return complex(width / 2, height / 2)
    return complex(width * ("right" in origin), height * ("upper" in origin))


def counted(place, bed, x_axis, y_axis, origin, unit):
    """What a machine shows for a place of the operator's view, by complex numbers alone."""
    off = place - corner(bed, origin)
    return tuple(
        (off.real * WAYS[axis].real + off.imag * WAYS[axis].imag) / UNITS[unit]
        for axis in (x_axis, y_axis)
    )


def filled(made, lies, x_axis="right", y_axis="up", origin="lower-left", unit="mm", said=None):
    """The table of marks filled in: where the machine finds each, and how it counts."""
    rows = list(csv.DictReader(io.StringIO(marks_table(made).decode())))
    bed = made.cutter.bed
    for row in rows:
        at = next(m.at for m in made.passes[1].marks if m.name == row["mark"])
        x, y = counted(lies(complex(*at)), bed, x_axis, y_axis, origin, unit)
        row |= {"x": f"{x:.4f}", "y": f"{y:.4f}"}
        row |= said or {"unit": unit, "x axis": x_axis, "y axis": y_axis, "origin": origin}
    out = io.StringIO()
    table = csv.DictWriter(out, COLUMNS)
    table.writeheader()
    table.writerows(rows)
    return out.getvalue()


def align_by(made, text):
    return align_passes(made, read_marks(text, made, "marks"), "B1")[0]


@pytest.mark.parametrize("seed", range(40))
def test_any_turn_axes_and_unit_come_back(made, seed):
    """Turn 0.05 to 3°, shift 5 mm, scale 1 %: every place of the pass within 0.02 mm."""
    draw = random.Random(seed)
    turn = math.radians(draw.uniform(0.05, 3.0)) * draw.choice((-1, 1))
    size = 1 + draw.choice((0.0, draw.uniform(-0.01, 0.01), 0.01, -0.01))
    shift = complex(draw.uniform(0, 5), draw.uniform(0, 5)) + complex(40, 40)
    x_axis, y_axis = draw.choice(PAIRS)

    def lies(z):
        return size * complex(math.cos(turn), math.sin(turn)) * z + shift

    text = filled(made, lies, x_axis, y_axis, draw.choice(ORIGINS), draw.choice([*UNITS]))
    got = align_by(made, text)
    assert len(got.found.measured) == len(made.passes[1].marks)
    svg = next(file.data for file in got.files if file.format == "svg")
    from cutfiles.machine.align import aligned

    corrected = aligned(got.one, got.found)
    off = [
        abs(complex(*b) - lies(complex(*a)))
        for one, two in zip(got.one.drawing.strokes, corrected.drawing.strokes, strict=True)
        for a, b in zip(chords(one.path, 0.05), chords(two.path, 0.05), strict=True)
    ]
    assert max(off) < 0.02
    assert b"aligned" in svg


def slightly(z):
    return complex(math.cos(0.01), math.sin(0.01)) * z + complex(12, 8)


@pytest.mark.parametrize("unit", ["in", "cm", "0.025 mm"])
def test_a_unit_read_wrong_is_named(made, unit):
    text = filled(made, slightly, unit=unit, said={"unit": "mm"})
    with pytest.raises(AlignError, match=f'marks in "{unit}", read as "mm"') as told:
        align_by(made, text)
    assert f'write "{unit}" beside them' in told.value.fault.remedy


@pytest.mark.parametrize("pair", [pair for pair in PAIRS if pair != ("right", "up")])
def test_axes_told_wrong_are_named_with_the_right_ones(made, pair):
    x, y = pair
    text = filled(made, slightly, x, y, said={"unit": "mm"})
    with pytest.raises(AlignError, match=f"being x {x}, y {y}") as told:
        align_by(made, text)
    assert f"write the axes x {x}, y {y}" in told.value.fault.remedy


def test_inches_along_other_axes_are_named_both(made):
    text = filled(made, slightly, "up", "left", unit="in", said={"unit": "mm"})
    with pytest.raises(AlignError, match=r'marks in "in", read as "mm"; .* being x up, y left'):
        align_by(made, text)


@pytest.mark.parametrize(
    ("turn", "said"),
    [(1j, "a quarter to the left"), (-1j, "a quarter to the right"), (-1, "half a turn")],
)
def test_a_sheet_turned_is_named(made, turn, said):
    with pytest.raises(AlignError, match=said) as told:
        align_by(made, filled(made, lambda z: turn * z + 900 + 900j))
    assert "lay the sheet as its pass is drawn" in told.value.fault.remedy


@pytest.mark.parametrize("degrees", [10.4, -12.3])
def test_a_sheet_turned_too_far_is_told_by_how_much(made, degrees):
    """All its marks fit: residuals of nothing would say nothing."""
    turn = complex(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    with pytest.raises(AlignError, match=f"a sheet turned by {degrees}°") as told:
        align_by(made, filled(made, lambda z: turn * z + 300 + 300j))
    assert "within 10°" in told.value.fault.remedy


@pytest.mark.parametrize("size", [1.0134, 0.985])
def test_a_sheet_grown_too_much_is_told_by_how_much(made, size):
    with pytest.raises(AlignError, match=f"marks {size:.4f} times as far apart") as told:
        align_by(made, filled(made, lambda z: size * slightly(z) + 30))
    assert "1 % at most" in told.value.fault.remedy


def test_a_grown_sheet_with_one_bad_mark_is_told(made):
    text = filled(made, lambda z: 1.004 * z + 3)
    rows = text.splitlines()
    cells = rows[1].split(",")
    cells[4] = f"{float(cells[4]) + 4:.3f}"
    rows[1] = ",".join(cells)
    with pytest.raises(AlignError, match=f"one bad mark: {cells[1]} is 4.00 mm off"):
        align_by(made, "\n".join(rows))


def test_the_table_tells_marks_places_and_how_they_are_counted(made):
    rows = list(csv.DictReader(io.StringIO(marks_table(made).decode())))
    assert [row["mark"] for row in rows] == [mark.name for mark in made.passes[1].marks]
    assert {(row["x"], row["y"], row["unit"]) for row in rows} == {("", "", "mm")}
    roll = plan(
        sheet_of("B1"),
        cutter(bed={"origin": "lower-right", "x_axis": "up", "y_axis": "left", "shows": "in"}),
    )
    rows = list(csv.DictReader(io.StringIO(marks_table(roll).decode())))
    for row, mark in zip(rows, roll.passes[1].marks, strict=True):
        x, y = counted(complex(*mark.at), roll.cutter.bed, "up", "left", "lower-right", "in")
        assert float(row["nominal x"]) == pytest.approx(x, abs=6e-5)
        assert float(row["nominal y"]) == pytest.approx(y, abs=6e-5)
        assert row["origin"] == "lower-right"


def test_one_pass_has_no_table():
    alone = plan(sheet_of("B1"), cutter(score={"method": "perforate"}))
    assert [file.name for file in write_plan(alone) if file.name.endswith(".csv")] == []


def test_marks_as_people_write_them(made):
    text = "\ufeffMark;X;Y\npin hole 1;12,5;3 cm\npin hole 2;;\n;;\ncross 1;-2;−4,5\n"
    got = read_marks(text, made, "marks")["face-b"]
    assert got.places == {"pin hole 1": (12.5, 30.0), "cross 1": (-2.0, -4.5)}
    steps = "mark\tx\ty\tunit\npin hole 1\t400\t2 mm\t0.025 mm\n"
    assert read_marks(steps, made, "marks")["face-b"].places == {"pin hole 1": (10.0, 2.0)}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a,b\n", "mark, x and y"),
        ("mark,x,y\np,1,2\np,1,2\n", "a second time"),
        ("mark,x,y\np,far,2\n", "row 2, mark p"),
        ("mark,x,y\np,3,\n", "row 2, mark p"),
        ("mark,x,y\n", "no measured place"),
        ("mark,x,y,unit\np,1,2,furlong\n", "one of mm, cm, in"),
        ("mark,x,y,x axis,y axis\np,1,2,up,down\n", "x and y run across one another"),
        ("pass,mark,x,y\nface-c,p,1,2\n", "the plan has face-a, face-b"),
        ("mark,nominal x,nominal y,x,y\npin hole 1,1,2,3,4\n", "written with this plan"),
        ("mark,nominal x,x,y\npin hole 1,1,3,4\n", "written with this plan"),
        ("mark,nominal y,x,y\npin hole 1,1,3,4\n", "written with this plan"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_row(made, text, said):
    with pytest.raises(FileError, match=said):
        read_marks(text, made, "marks")


def test_the_picture_shows_each_residual_as_much_longer_as_it_says(made):
    """Rings where marks lie, and from each a line that is the residual times the factor told."""
    one = made.passes[1]
    draw = random.Random(5)
    noise = {m.name: complex(draw.uniform(-0.1, 0.1), draw.uniform(-0.1, 0.1)) for m in one.marks}
    by_place = {complex(*m.at): noise[m.name] for m in one.marks}
    text = filled(made, lambda z: slightly(z) + by_place[z])
    got = align_by(made, text)
    picture = next(f.data for f in got.files if f.format == "alignment").decode()
    factor = int(re.search(r"drawn (\d+) times as long", picture)[1])
    assert factor > 1
    lines = re.findall(r'd="M[\d.]+,[\d.]+l([^"]+)"[^>]*stroke="#D55E00"', picture)
    steps = [re.findall(r"-?[\d.]+", line) for line in lines]
    drawn = [math.hypot(float(right), float(down)) for right, down in steps]
    meant = [factor * off for off in got.found.residuals.values()]
    residuals = [length for length in drawn if abs(length - 7.0) > 1e-6]  # the legend's is 7 mm
    assert residuals == pytest.approx(meant, abs=0.02)  # places are to 0.01 mm
    assert picture.count("<circle") == len(one.marks)
    for name, off in got.found.residuals.items():
        assert f">{name}</text>" in picture
        assert f">{off:.3f}</text>" in picture
