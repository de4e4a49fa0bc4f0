"""Every format of the table: what is written comes back, the same bytes every time."""

import io
from dataclasses import replace

import ezdxf
import pytest
from conftest import SAMPLES, drawn
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import slips

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.errors import FormatError
from cutfiles.files.formats import FORMATS, HPGL_PENS, Options, check_bed, write_drawing
from cutfiles.files.verify import compare
from cutfiles.film.drawing import Drawing
from cutfiles.machine.cutter import Setting
from cutfiles.machine.formats import drawn_formats, recognised
from cutfiles.machine.score import METHODS
from cutfiles.pattern.pattern import COLOURS, Role, Stroke
from cutfiles.plane.shapes import Path, Point, closed_path, open_path

BEAM = {role.value: Setting(power=30, speed=20) for role in Role}
ROOMY = Options(hpgl_range=8_388_607, settings=BEAM)
KEYS = sorted(drawn_formats())


def sheet(*strokes, number="A1"):
    return Drawing(
        title=number,
        width=200,
        height=150,
        piece=(180, 130),
        strokes=strokes,
        notes=(),
        facts=(("number", number), ("unit", "mm")),
    )


@settings(max_examples=drawn(150))
@given(slips(), st.sampled_from(KEYS))
def test_every_format_comes_back(slip, key):
    made = draft_of(slip).drawing
    data = write_drawing(made, FORMATS[key], ROOMY)
    assert compare(made, data, FORMATS[key], ROOMY) == ()
    assert write_drawing(made, FORMATS[key], ROOMY) == data


@pytest.mark.parametrize("key", KEYS)
def test_open_and_closed_are_kept_apart(key):
    """A V stays open: a writer that closes it would make a piece that falls out."""
    vee = ((20, 20), (60, 80), (100, 20))
    for path in (open_path(*vee), closed_path(*vee)):
        data = write_drawing(sheet(Stroke(Role.OUTLINE, "v", path)), FORMATS[key], ROOMY)
        reading = FORMATS[key].read(data)
        assert [p.closed for p in reading.paths] == [path.closed]
        assert len(reading.paths[0].points) == 3


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("bulge", [0.3, -0.3, 1.0, -1.0, 1.7, -2.2])
@pytest.mark.parametrize("closed", [True, False])
def test_arcs_turn_the_right_way(key, bulge, closed):
    """Small, half and large arcs, both ways; the other way round is noticed."""
    points = (Point(60, 60), Point(90, 75))
    bulges = (bulge, 0.0) if closed else (bulge,)
    path = Path(points, bulges, closed)
    stroke = Stroke(Role.OUTLINE, "arc", path)
    data = write_drawing(sheet(stroke), FORMATS[key], ROOMY)
    assert compare(sheet(stroke), data, FORMATS[key], ROOMY) == ()
    other = replace(stroke, path=Path(points, tuple(-b for b in bulges), closed))
    assert compare(sheet(other), data, FORMATS[key], ROOMY) != ()


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize(
    ("high", "bulges"),
    [
        (0, (1.0, 1.0)),  # a circle
        (0, (0.4, 0.4)),  # a lens
        (0, (1.0, 0.3)),  # a moon
        (20, (1.0, 0.5, 0.2)),
    ],
)
def test_what_is_of_arcs_alone_keeps_its_form(key, high, bulges):
    """None but a circle becomes one, as a lens would by its first arc alone."""
    points = (Point(60, 60), Point(100, 60), Point(80, 60 + high))[: len(bulges)]
    path = Path(points, bulges, True)
    made = sheet(Stroke(Role.HOLES, "hole", path))
    data = write_drawing(made, FORMATS[key], ROOMY)
    assert compare(made, data, FORMATS[key], ROOMY) == ()
    if key.startswith("dxf"):
        kinds = [one.dxftype() for one in ezdxf.read(io.StringIO(data.decode())).modelspace()]
        assert (kinds == ["CIRCLE"]) is (bulges == (1.0, 1.0))


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize(
    "number",
    ["A1", 'A"1; PU0,0; SP2', "<b>&amp;]]></b>", "Ő1 ż", "(x) \\ /endobj", "%%EOF 'q'", "{x}~"],
)
def test_text_is_only_ever_text(key, number):
    stroke = Stroke(Role.OUTLINE, "line", open_path((20, 20), (40, 40)))
    made = sheet(stroke, number=number)
    data = write_drawing(made, FORMATS[key], ROOMY)
    assert compare(made, data, FORMATS[key], ROOMY) == ()
    assert FORMATS[key].read(data).facts["number"] == number


@pytest.mark.parametrize("key", KEYS)
def test_no_trace_of_day_or_machine(key, monkeypatch):
    made = draft_of(read_slip(SAMPLES / "A1.toml")).drawing
    before = write_drawing(made, FORMATS[key], ROOMY)
    import time

    monkeypatch.setattr(time, "time", lambda: 4_000_000_000.0)
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    monkeypatch.setenv("HOME", "/nowhere")
    assert write_drawing(made, FORMATS[key], ROOMY) == before
    for trace in (b"/home", b"/root", b"2026", b"2025"):
        assert trace not in before


def test_every_role_has_layer_colour_and_pen():
    stroke_of = {role: Stroke(role, "x", open_path((0, 0), (1, 1))) for role in Role}
    for role in Role:
        assert COLOURS[role].startswith("#")
        for form in (FORMATS[key] for key in drawn_formats()):
            layer = form.layer(stroke_of[role], Options())
            assert layer or (form.key == "hpgl" and role is Role.GUIDE)
    assert FORMATS["dxf-r12"].layer(stroke_of[Role.VALLEY], Options()) == "SCORE_VALLEY"


def test_hpgl_pens_by_option():
    made = draft_of(read_slip(SAMPLES / "A1.toml")).drawing
    form = FORMATS["hpgl"]
    plain = Options(hpgl_range=8_388_607)
    assert {p.layer for p in form.read(write_drawing(made, form, plain)).paths} == {
        "1",
        "2",
        "3",
        "4",
    }
    pens = {**HPGL_PENS, Role.VALLEY: 7, Role.LABEL: 0, Role.REGISTRATION: 0}
    options = Options(pens=pens)
    data = write_drawing(made, form, options)
    assert {p.layer for p in form.read(data).paths} == {"1", "2", "7"}
    assert compare(made, data, form, options) == ()
    assert compare(made, data, form, Options()) != ()


def test_hpgl_is_plain_and_breaks_long_runs():
    points = [(10 + i * 0.1, 20 + (i % 2)) for i in range(1200)]
    made = sheet(Stroke(Role.LABEL, "zigzag", open_path(*points)))
    data = write_drawing(made, FORMATS["hpgl"], ROOMY)
    for line in data.decode("ascii").splitlines():
        assert line.count(",") <= 1000
        assert line.endswith(";")
    assert compare(made, data, FORMATS["hpgl"], ROOMY) == ()


@pytest.mark.parametrize(
    ("count", "runs"), [(499, [499]), (500, [500]), (501, [500, 1]), (1000, [500, 500])]
)
def test_hpgl_draws_at_most_500_places_at_once(count, runs):
    points = [(i, i % 2) for i in range(count + 1)]
    made = sheet(Stroke(Role.LABEL, "zigzag", open_path(*points)))
    lines = write_drawing(made, FORMATS["hpgl"], ROOMY).decode().splitlines()
    assert [(line.count(",") + 1) // 2 for line in lines if line.startswith("PD")] == runs


@pytest.mark.parametrize(("letters", "fits"), [(254, True), (255, False)])
def test_a_line_of_gcode_holds_256_characters(letters, fits):
    """RS274/NGC: no machine need take more (NISTIR 6556, from memory)."""
    stroke = Stroke(Role.OUTLINE, "line", open_path((1, 1), (5, 5)))
    made = replace(sheet(stroke), facts=(("number", (letters - 8) * "A"),))
    options = Options(settings={Role.OUTLINE: Setting(power=30, speed=20)})
    if fits:
        lines = write_drawing(made, FORMATS["gcode"], options).decode().splitlines()
        assert max(map(len, lines)) == 256
    else:
        with pytest.raises(FormatError, match="a line of G-code has at most 256 characters"):
            write_drawing(made, FORMATS["gcode"], options)


def test_outline_is_worked_last():
    made = draft_of(read_slip(SAMPLES / "A1.toml")).drawing
    for form in (FORMATS[key] for key in drawn_formats()):
        layers = [p.layer for p in form.read(write_drawing(made, form, ROOMY)).paths]
        last = form.layer(Stroke(Role.OUTLINE, "x", open_path((0, 0), (1, 1))), ROOMY)
        assert layers[-1] == last


def test_too_large_is_refused_with_the_measure():
    made = draft_of(read_slip(SAMPLES / "D1.toml")).drawing
    with pytest.raises(FormatError, match=r"1048\.5 × 184\.0 mm.*819\.2 mm.*state the range"):
        write_drawing(made, FORMATS["hpgl"], Options())
    assert write_drawing(made, FORMATS["hpgl"], Options(hpgl_range=60000))
    huge = replace(made, width=5081.0)
    with pytest.raises(FormatError, match=r"5081\.0 × .* PDF holds at most 5080\.0 mm"):
        write_drawing(huge, FORMATS["pdf"], Options())


def test_bed():
    made = draft_of(read_slip(SAMPLES / "B2.toml")).drawing
    check_bed(made, Options(bed=(283.1, 97.1)))
    with pytest.raises(FormatError, match=r"28[23]\.\d × 97\.0 mm.*larger cutter"):
        check_bed(made, Options(bed=(250, 97)))
    with pytest.raises(FormatError, match="turned a quarter it would fit"):
        check_bed(made, Options(bed=(100, 300)))


def test_pdf_steps_are_the_standards_own():
    """Types of ISO 19593-1:2018 as listed in the Arlington PDF model, GTS_ProcStepsGroup."""
    structural = set(
        "Cutting PartialCutting ReversePartialCutting Creasing ReverseCreasing CuttingCreasing "
        "ReverseCuttingCreasing PartialCuttingCreasing ReversePartialCuttingCreasing Drilling "
        "Gluing FoilStamping ColdFoilStamping Embossing Debossing Perforating Bleed VarnishFree "
        "InkFree InkVarnishFree Folding Punching Stapling".split()
    )
    line = open_path((20, 20), (40, 40))
    made = sheet(
        Stroke(Role.HOLES, "pin hole 1", line, use="pin"),
        Stroke(Role.GUIDE, "tape", line, use="tape"),
        Stroke(Role.GUIDE, "check line", line),
    )
    found = [
        step
        for method in METHODS
        for face in ("book", "table")
        for step in FORMATS["pdf"].steps(made, Options(method=method, face=face)).values()
    ]
    assert len(found) == 8 * 9
    for group, type_ in found:
        assert group in {
            "Structural",
            "Positions",
            "White",
            "Varnish",
            "Dimensions",
            "Braille",
            "Legend",
        }
        assert (type_ in structural) if group == "Structural" else type_ == ""


@pytest.mark.parametrize(
    ("name", "key"),
    [
        *(("A1.hpgl", "hpgl"), ("A1.PLT", "hpgl"), ("A1.hpg", "hpgl")),
        *(("A1.gcode", "gcode"), ("a1.nc", "gcode"), ("A1.gcode.bak", None), ("A1.txt", None)),
    ],
)
def test_a_file_whose_bytes_say_nothing_is_known_by_its_name(name, key):
    """Usual endings of HP-GL and G-code (common practice, no source)."""
    found = recognised(b"", name)
    assert (found and found.key) == key
