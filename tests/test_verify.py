"""Damaged files: each kind of damage is named, in every format."""

import re
from dataclasses import replace

import pytest
from conftest import SAMPLES, in_turn

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.errors import DifferenceError, FileError
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.files.verify import compare, differences, require_same
from cutfiles.job.make import make
from cutfiles.job.recheck import verify_data
from cutfiles.machine.cutter import Setting
from cutfiles.machine.formats import drawn_formats
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.moves import mirror_left_right, scale, shift
from cutfiles.plane.shapes import Path, Point

BEAM = {role.value: Setting(power=30, speed=20) for role in Role}
OPTIONS = Options(hpgl_range=8_388_607, settings=BEAM)
KEYS = sorted(drawn_formats())


@pytest.fixture(scope="module")
def good():
    return draft_of(read_slip(SAMPLES / "B1.toml")).drawing


def with_strokes(sheet, strokes):
    order = list(Role)
    return replace(sheet, strokes=tuple(sorted(strokes, key=lambda s: order.index(s.role))))


def all_paths(sheet, change):
    return with_strokes(sheet, [replace(s, path=change(s.path)) for s in sheet.strokes])


def one(sheet, name, change):
    """Change the first stroke of this name; None takes it out, a list puts several."""
    strokes, done = [], False
    for stroke in sheet.strokes:
        if stroke.name == name and not done:
            done = True
            new = change(stroke)
            strokes += new if isinstance(new, list) else [new] if new else []
        else:
            strokes.append(stroke)
    assert done
    return with_strokes(sheet, strokes)


def swapped(stroke):
    role = Role.VALLEY if stroke.role is Role.MOUNTAIN else Role.MOUNTAIN
    return Stroke(role, stroke.name, stroke.path)


def opened(stroke):
    return Stroke(
        stroke.role, stroke.name, Path(stroke.path.points, stroke.path.bulges[:-1], False)
    )


def cut_short(stroke):
    (a, b) = stroke.path.points
    return Stroke(stroke.role, stroke.name, Path((a, Point(b.x, b.y - 0.4)), (0.0,), False))


DAMAGE = {
    "25.4 times": (
        lambda s: all_paths(s, lambda p: scale(p, 25.4)),
        r"25\.4 times as large.*millimetres were taken for inches",
    ),
    "1/25.4": (
        lambda s: all_paths(s, lambda p: scale(p, 1 / 25.4)),
        r"0\.039[34]\d times.*inches were taken for millimetres",
    ),
    "96/72": (lambda s: all_paths(s, lambda p: scale(p, 96 / 72)), r"96 was taken for 72"),
    "1 %": (lambda s: all_paths(s, lambda p: scale(p, 1.01)), r"1\.01 times"),
    "mirrored": (
        lambda s: all_paths(s, lambda p: mirror_left_right(p, s.width / 2)),
        "mirrored left to right",
    ),
    "mirrored and scaled": (
        lambda s: all_paths(s, lambda p: scale(mirror_left_right(p, s.width / 2), 10)),
        "mirrored left to right and 10 times",
    ),
    "moved": (
        lambda s: all_paths(s, lambda p: shift(p, 3, -1)),
        r"moved by 3\.000 mm to the right and -1\.000 mm up",
    ),
    "missing": (
        lambda s: one(s, "left apex, middle", lambda x: None),
        r"left apex, middle at .* is missing",
    ),
    "doubled": (lambda s: one(s, "left apex, middle", lambda x: [x, x]), r"is doubled"),
    "extra": (
        lambda s: one(
            s,
            "outline",
            lambda x: [
                x,
                Stroke(Role.OUTLINE, "slit", Path((Point(50, 50), Point(60, 60)), (0.0,), False)),
            ],
        ),
        r"14\.14 mm that begins there is not in the pattern",
    ),
    "valley for mountain": (
        lambda s: one(s, "left apex, middle", swapped),
        r"left apex, middle: should be on layer",
    ),
    "outline opened": (lambda s: one(s, "outline", opened), r"outline: is open, should be closed"),
    "shifted by 1 mm": (
        lambda s: one(
            s, "right foot, middle", lambda x: Stroke(x.role, x.name, shift(x.path, 1, 0))
        ),
        r"right foot, middle: is off by (1\.0|0\.99)",
    ),
    "cut short": (
        lambda s: one(s, "right foot, middle", cut_short),
        r"right foot, middle: is off by 0\.(4|39)",
    ),
}


@pytest.mark.parametrize(("damage", "key"), list(in_turn(DAMAGE, KEYS, 3)))
def test_damage_is_named(good, key, damage):
    change, message = DAMAGE[damage]
    form = FORMATS[key]
    data = form.write(change(form.prepared(good)), OPTIONS)
    said = "\n".join(str(d) for d in compare(good, data, form, OPTIONS))
    # HP-GL has no negative coordinates to move to, but our reader does not mind them
    assert re.search(message, said), said
    assert said.count("\n") == 0, said


@pytest.mark.parametrize("key", KEYS)
def test_a_v_drawn_closed_is_named(good, key):
    """Letters are full of open strokes; one closed is a piece that falls out."""
    form = FORMATS[key]
    labels = good.of_role(Role.LABEL)
    stroke = next(s for s in labels if not s.path.closed and len(s.path.points) > 4)
    closed = Stroke(
        stroke.role, stroke.name, Path(stroke.path.points, (*stroke.path.bulges, 0.0), True)
    )
    strokes = [closed if s is stroke else s for s in good.strokes]
    data = form.write(form.prepared(with_strokes(good, strokes)), OPTIONS)
    said = [str(d) for d in compare(good, data, form, OPTIONS)]
    assert len(said) == 1
    assert "is closed, should be open" in said[0]


@pytest.mark.parametrize("key", KEYS)
def test_empty_and_foreign_files(good, key):
    form = FORMATS[key]
    data = form.write(form.prepared(replace(good, strokes=(), notes=())), OPTIONS)
    assert "holds no lines" in "\n".join(str(d) for d in compare(good, data, form, OPTIONS))
    slip = read_slip(SAMPLES / "B1.toml")
    for rubbish in (b"", b"PK\x03\x04 not ours", b"\x00" * 100):
        with pytest.raises(FileError, match="none of our formats"):
            verify_data(rubbish, "B1.bin", slip)


def test_statements_are_compared(good):
    data = write_drawing(good, FORMATS["svg"], OPTIONS)
    for old, new, message in [
        (b"gauge: 0.075 mm", b"gauge: 0.127 mm", "statement gauge"),
        (b"number: B1", b"numbr: B1", "statement number: is not stated"),
        (b">100 mm<", b">50 mm<", 'text "100 mm": is missing'),
        (b'width="248.', b'width="249.', "drawing: is 249."),
    ]:
        assert old in data, old
        said = "\n".join(
            str(d) for d in compare(good, data.replace(old, new), FORMATS["svg"], OPTIONS)
        )
        assert message in said


def test_another_version_is_no_difference(good):
    data = write_drawing(good, FORMATS["svg"], OPTIONS)
    assert b"made by: cutfiles " in data
    other = data.replace(b"made by: cutfiles 0", b"made by: cutfiles 9")
    assert compare(good, other, FORMATS["svg"], OPTIONS) == ()


def test_pdf_steps_are_compared(good):
    form = FORMATS["pdf"]
    data = form.write(form.prepared(good), OPTIONS)
    wrong = data.replace(
        b"/GTS_ProcStepsType /ReverseCreasing", b"/GTS_ProcStepsType /Creasing       "
    )
    said = [str(d) for d in compare(good, wrong, form, OPTIONS)]
    assert said == [
        "score-mountain: processing step: is Structural/Creasing, should be "
        "Structural/ReverseCreasing"
    ]


def test_difference_error_names_the_file(good):
    form = FORMATS["hpgl"]
    data = write_drawing(good, form, OPTIONS).replace(b"SP3", b"SP2")
    with pytest.raises(DifferenceError) as refusal:
        require_same("B1.hpgl", good, form.read(data), form, OPTIONS)
    assert str(refusal.value).startswith("B1.hpgl: found 2 VS2: ")
    assert "should be on layer 3" in str(refusal.value)
    assert "right spine, middle: should be on layer 3" in str(refusal.value)


@pytest.mark.parametrize(
    ("damaged", "more"), [(1, ""), (5, ""), (6, "; and 1 more"), (9, "; and 4 more")]
)
def test_five_differences_are_told_and_the_others_counted(good, damaged, more):
    form = FORMATS["svg"]
    labels = good.of_role(Role.LABEL)[:damaged]
    moved = [replace(s, path=shift(s.path, 0.2, 0)) if s in labels else s for s in good.strokes]
    data = form.write(form.prepared(with_strokes(good, moved)), OPTIONS)
    with pytest.raises(DifferenceError) as refusal:
        require_same("B1.svg", good, form.read(data), form, OPTIONS)
    said = str(refusal.value)
    assert said.count("is off by 0.200 mm") == min(damaged, 5)
    assert re.findall("; and .* more", said) == [more] * bool(more)


@pytest.mark.parametrize(("by", "told"), [(0.001, False), (0.003, True), (5, True)])
@pytest.mark.parametrize("side", ["width", "height"])
def test_a_sheet_of_another_size_is_told(good, side, by, told):
    form = FORMATS["svg"]
    reading = form.read(write_drawing(good, form, OPTIONS))
    width, height = reading.size
    size = (width - by, height) if side == "width" else (width, height + by)
    said = [str(one) for one in differences(good, replace(reading, size=size), form, OPTIONS)]
    should = f"should be {good.width:.3f} × {good.height:.3f} mm"
    assert said == [f"drawing: is {size[0]:.3f} × {size[1]:.3f} mm, {should}"] * told


def with_lines(good, *paths):
    """Return what is told of a file with more lines, at which it need not be looked singly."""
    form = FORMATS["svg"]
    prepared = form.prepared(good)
    more = (*prepared.strokes, *(Stroke(Role.LABEL, "more", path) for path in paths))
    reading = form.read(form.write(with_strokes(prepared, more), OPTIONS))
    told = [str(one) for one in differences(good, reading, form, OPTIONS)]
    return [one for one in told if one.startswith("file: ")]


def test_so_many_more_lines_that_they_are_not_told_singly(good):
    count = len(good.strokes)
    line = Path((Point(1, 1), Point(2, 2)), (0.0,), False)
    most = 3 * count + 900
    assert with_lines(good, *[line] * most) == []
    [said] = with_lines(good, *[line] * (most + 1))
    assert said == f"file: holds {4 * count + 901:,} lines, not {count:,}"


def test_so_many_more_places_that_they_are_not_told_singly(good):
    count = sum(len(stroke.path.points) for stroke in FORMATS["svg"].prepared(good).strokes)
    most = 39 * count + 10_000

    def line(places):
        return Path(tuple(Point(i % 7, 1) for i in range(places)), (0.0,) * (places - 1), False)

    assert with_lines(good, line(most)) == []
    [said] = with_lines(good, line(most + 1))
    assert said == f"file: holds {40 * count + 10_001:,} places on lines, not about {count:,}"


# -- files as other programs save them -------------------------------------------------------------


def test_svg_saved_by_an_editor(good):
    """Groups with transforms, relative commands, basic shapes: the same places."""
    data = write_drawing(good, FORMATS["svg"], OPTIONS).decode()
    data = data.replace(
        '<g fill="none" id="cut-outline"',
        '<g fill="none" transform="translate(5 -2) translate(-5,2) rotate(0)" id="cut-outline"',
    )
    assert "translate" in data
    line = re.search(r'<path d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)" id="score-valley-1"', data)
    x1, y1, x2, y2 = map(float, line.groups())
    data = data.replace(line[0], f'<path d="m{x1},{y1}v{y2 - y1:.4f}" id="score-valley-1"')
    assert x1 == x2
    assert compare(good, data.encode(), FORMATS["svg"], OPTIONS) == ()


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg' width='300' height='200'/>", "with a unit"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' width='3in' height='2in'/>", "viewBox"),
        (b"<svg", "no XML"),
        (
            b"<svg xmlns='http://www.w3.org/2000/svg' width='3in' height='2in' viewBox='0 0 3 2'>"
            b"<ellipse/></svg>",
            "<ellipse>",
        ),
        (
            b"<svg xmlns='http://www.w3.org/2000/svg' width='3in' height='2in' viewBox='0 0 3 2'>"
            b"<path d='M0 0 Q1 1 2 2'/></svg>",
            'path data "Q',
        ),
        (b"<!DOCTYPE x [<!ENTITY a 'b'>]><svg/>", "entity"),
        (b"  0\nSECTION\n$ACADVER\n  1\nAC1009\n", "group code|EOF"),
        (b"AutoCAD Binary DXF $ACADVER\n1\nAC1009", "binary"),
        (b"IN;XX1,2;", "the command XX"),
        (b"IN;PU1.5,2;", "whole numbers"),
        (b"IN;PU1;", "pairs"),
        (b"%PDF-1.7 nothing", "no %%EOF"),
    ],
)
def test_what_cannot_be_read_is_refused(data, message):
    slip = read_slip(SAMPLES / "B1.toml")
    with pytest.raises(FileError, match=message):
        verify_data(data, "B1.file", slip)


def test_dxf_in_inches_is_read_in_inches(good):
    """A DXF that says inches (code 1) with millimetre numbers is 25.4 times too large."""
    data = write_drawing(good, FORMATS["dxf-r2000"], OPTIONS)
    wrong = re.sub(rb"(\$INSUNITS\s+70\s+)4", rb"\g<1>1", data)
    assert wrong != data
    said = [str(d) for d in compare(good, wrong, FORMATS["dxf-r2000"], OPTIONS)]
    assert len(said) == 1
    assert "25.4 times" in said[0]


POINT, PIXEL, OLD_PIXEL = 25.4 / 72, 25.4 / 96, 25.4 / 90
"""mm; CSS 2.1 counts 96 pixels to the inch, and some programs once counted 90."""
MISTAKEN = {
    "millimetres were taken for inches": 25.4,
    "inches were taken for millimetres": 1 / 25.4,
    "millimetres were taken for centimetres": 10.0,
    "centimetres were taken for millimetres": 0.1,
    "points were taken for millimetres": 1 / POINT,
    "millimetres were taken for points": POINT,
    "pixels at 96 to the inch were taken for millimetres": 1 / PIXEL,
    "millimetres were taken for pixels at 96 to the inch": PIXEL,
    "pixels at 90 to the inch were taken for millimetres": 1 / OLD_PIXEL,
    "96 was taken for 72 to the inch": POINT / PIXEL,
    "72 was taken for 96 to the inch": PIXEL / POINT,
    "96 was taken for 90 to the inch": OLD_PIXEL / PIXEL,
    "90 was taken for 96 to the inch": PIXEL / OLD_PIXEL,
}


@pytest.mark.parametrize("why", MISTAKEN)
def test_a_unit_mistaken_for_another_is_told(good, why):
    form, factor = FORMATS["svg"], MISTAKEN[why]
    data = form.write(all_paths(form.prepared(good), lambda p: scale(p, factor)), OPTIONS)
    [said] = map(str, compare(good, data, form, OPTIONS))
    assert f"is {factor:.4g} times as large as it should be ({why})" in said


@pytest.mark.parametrize("key", ["svg", "dxf-r12", "pdf", "fold"])
def test_the_file_of_another_book_is_told_so_and_nothing_else(key):
    one, other = (read_slip(SAMPLES / f"{name}.toml") for name in ("A1", "B1"))
    files = make(one, formats=[key], paper=None).files
    (file,) = (file for file in files if file.format == key)
    (said,) = verify_data(file.data, file.name, other)
    assert str(said) == 'this is the file of "A1"; the slip is of "B1"'


def scaled(good, factor, up=None, lost=()):
    """Return what is told of a file that is larger, by another factor upwards, lines of it lost."""
    form = FORMATS["svg"]
    prepared = form.prepared(good)
    kept = with_strokes(prepared, [s for s in prepared.strokes if s.name not in lost])
    larger = all_paths(kept, lambda p: stretched(p, factor, factor if up is None else up))
    return [str(one) for one in compare(good, form.write(larger, OPTIONS), form, OPTIONS)]


def stretched(path, across, up):
    return replace(path, points=tuple(Point(across * x, up * y) for x, y in path.points))


@pytest.mark.parametrize("whole", ["moved", "mirrored", "scaled"])
@pytest.mark.parametrize("off", [0.01, 0.1])
def test_what_happened_to_the_whole_hides_no_line_that_is_off_too(good, whole, off):
    """Of a file that was moved, mirrored or scaled each line is still where it should be."""
    form, name = FORMATS["svg"], "left apex, middle"
    moved = {
        "moved": lambda p: shift(p, 3, -1),
        "mirrored": lambda p: mirror_left_right(p, 100),
        "scaled": lambda p: scale(p, 2),
    }[whole]
    one_off = one(good, name, lambda s: replace(s, path=shift(s.path, 0, off)))
    for drawing, alone in ((good, True), (one_off, False)):
        said = compare(
            good, form.write(all_paths(form.prepared(drawing), moved), OPTIONS), form, OPTIONS
        )
        assert (len(said) == 1) is alone
        assert (said[0].place == "whole file") is alone


LOST = ("left apex, middle",)


@pytest.mark.parametrize(
    ("factor", "said"),
    [
        (1.0006, "is 1.001 times as large as it should be"),
        (25.4 * 1.0006, "is 25.42 times as large as it should be (millimetres were"),
        (25.4 * 1.004, "is 25.5 times as large as it should be"),
    ],
)
def test_a_file_a_little_larger_is_told_so_with_a_reason_where_it_is_near_one(good, factor, said):
    [told] = scaled(good, factor)
    assert said in told
    assert ("(" in told) is ("(" in said)


@pytest.mark.parametrize(
    ("across", "up", "whole"),
    [
        (25.4, 25.4, True),
        (25.4 * 1.004, 25.4 * 1.004, True),
        (25.4 * 1.02, 25.4 * 1.02, False),
        (25.4 * 1.003, 25.4, True),
        (25.4 * 1.004, 25.4 * 0.996, False),
    ],
)
def test_a_file_in_another_unit_that_lost_lines_is_told_as_a_whole(good, across, up, whole):
    told = scaled(good, across, up, LOST)
    assert (len(told) == 1) is whole
    assert (" times as large (millimetres were taken for inches), and more" in told[0]) is whole
