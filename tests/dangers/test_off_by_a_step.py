"""A file that is a step and a half off is not delivered as right, in any format.

The steps here are written down a second time, from what the formats hold, not from the table.
"""

import io
import itertools
import math
import re
from dataclasses import replace

import pypdfium2
import pypdfium2.raw as raw
import pytest
from conftest import SAMPLES, outside_module
from pages import MM

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.files.verify import compare
from cutfiles.machine.cutter import Setting
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import Path, Point, open_path

STEPS = {
    "svg": 0.001,  # three decimals of a mm
    "svg-plain": 0.001,
    "dxf-r12": 0.0001,  # four decimals
    "dxf-r2000": 0.0001,
    "pdf": 0.0001,  # four decimals of a point are finer: 0.00004 mm
    "hpgl": 0.025,  # one plotter unit
    "gcode": 0.001,
}
ARCS = {
    "svg": 0.002,
    "svg-plain": 0.002,
    "dxf-r12": 0.0002,  # bulges
    "dxf-r2000": 0.0002,
    "pdf": 0.002,  # Bézier curves
    "hpgl": 0.025,  # chords, in units
    "gcode": 0.01,  # chords
}
"""How far a curve may lie off what was drawn, mm."""
BEAM = {role.value: Setting(power=30, speed=20) for role in Role}
OPTIONS = Options(hpgl_range=8_388_607, settings=BEAM)
KEYS = sorted(STEPS)


@pytest.fixture(scope="module")
def good():
    sample = read_slip(SAMPLES / "B1.toml")
    cut = replace(sample.choices, construction="plain", edges="cut")
    return draft_of(replace(sample, choices=cut)).drawing


def test_every_format_has_its_step_here():
    assert set(STEPS) == set(ARCS) == set(FORMATS) - {"fold"}  # that one is compared by folding


def damaged(good, key, wanted, change):
    """Return what is said of a file in which one stroke's path was changed."""
    form = FORMATS[key]
    prepared = form.prepared(good)
    one = next(stroke for stroke in prepared.strokes if wanted(stroke))
    strokes = [
        replace(stroke, path=change(stroke.path)) if stroke is one else stroke
        for stroke in prepared.strokes
    ]
    data = form.write(replace(prepared, strokes=tuple(strokes)), OPTIONS)
    return one.name, [str(difference) for difference in compare(good, data, form, OPTIONS)]


def crease(stroke):
    return stroke.role is Role.MOUNTAIN and "middle" in stroke.name


def outline(stroke):
    return stroke.role is Role.OUTLINE


@pytest.mark.parametrize("key", KEYS)
def test_sound_files_are_sound(good, key):
    form = FORMATS[key]
    assert compare(good, write_drawing(good, form, OPTIONS), form, OPTIONS) == ()


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("way", [(1, 0), (0, 1), (-0.8, 0.8)])
def test_a_crease_a_step_and_a_half_off_is_named(good, key, way):
    """Rounding takes half a step at the most; so one whole step is left that is wrong."""
    dx, dy = (1.5 * STEPS[key] * part for part in way)

    def moved(path):
        return open_path(*((p.x + dx, p.y + dy) for p in path.points))

    name, said = damaged(good, key, crease, moved)
    assert len(said) == 1, f"{name}, so far off, would be cut: {said}"
    assert name in said[0]
    assert "is off by" in said[0]


@pytest.mark.parametrize("key", KEYS)
def test_an_arc_that_bulges_wrong_is_named(good, key):
    """Its ends are where they should be; its middle is two and a half times too far off."""
    off = 2.5 * ARCS[key] + 1.5 * STEPS[key]

    def bulging(path):
        i = next(i for i, bulge in enumerate(path.bulges) if bulge)
        a, b = path.points[i], path.points[(i + 1) % len(path.points)]
        chord = math.dist(a, b)
        bulges = list(path.bulges)
        bulges[i] += math.copysign(2 * off / chord, bulges[i])
        return Path(path.points, tuple(bulges), path.closed)

    name, said = damaged(good, key, outline, bulging)
    assert len(said) == 1, f"{name}, so far off, would be cut: {said}"
    assert name in said[0]


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("closed", [False, True])
def test_a_line_run_over_again_is_named(good, key, closed):
    """The knife turns back for some way and goes on: every place is right, the length is not."""
    more = (200 if closed else 40) * (STEPS[key] + ARCS[key])

    def stammering(path):
        points, bulges = list(path.points), list(path.bulges)
        i = max(
            (i for i, bulge in enumerate(bulges) if not bulge),
            key=lambda i: math.dist(points[i], points[(i + 1) % len(points)]),
        )
        a, b = points[i], points[(i + 1) % len(points)]
        share = more / 2 / math.dist(a, b)
        there = Point(a.x + 0.5 * (b.x - a.x), a.y + 0.5 * (b.y - a.y))
        back = Point(there.x - share * (b.x - a.x), there.y - share * (b.y - a.y))
        points[i + 1 : i + 1] = [there, back]
        bulges[i + 1 : i + 1] = [0.0, 0.0]
        return Path(tuple(points), tuple(bulges), path.closed)

    name, said = damaged(good, key, outline if closed else crease, stammering)
    assert len(said) == 1, f"{name}, so far off, would be cut: {said}"
    assert name in said[0]


@pytest.mark.parametrize("way", [(3, 0), (-3, 0), (0, 3), (0, -3)])
@pytest.mark.parametrize("at", [(5, 5), (900, 5), (5, 900), (900, 900)])
def test_a_short_line_is_told_off_wherever_it_lies(good, at, way):
    """It is not missing: someone who looks for it finds it 3 mm from where it should be."""
    (x, y), (dx, dy) = at, way
    form = FORMATS["dxf-r2000"]
    slit = open_path((x, y), (x + 3.5, y + 3.5))
    short = Stroke(Role.HOLES, "slit", slit)
    moved = Stroke(Role.HOLES, "slit", shift(slit, dx, dy))
    wanted, there = (
        replace(good, strokes=(*good.strokes, one), width=1000.0, height=1000.0)
        for one in (short, moved)
    )
    said = [*map(str, compare(wanted, write_drawing(there, form, OPTIONS), form, OPTIONS))]
    assert len(said) == 1, said
    assert re.search(r"slit: is off by 3\.000 mm near", said[0])


SWEEPS = (0.02, 0.3, math.pi / 4, math.pi / 2, 2.0, math.pi, 4.5)


@pytest.mark.parametrize("turn", [1, -1])
@pytest.mark.parametrize("sweep", SWEEPS)
def test_a_pdfs_curve_lies_on_its_arc_all_along(good, sweep, turn):
    """Not at its ends and its middle alone: a cutter follows all of it. Read by pdfium."""
    radius, begin = 20.0, 0.4
    ends = [
        (60 + radius * math.cos(a), 50 + radius * math.sin(a)) for a in (0.4, 0.4 + turn * sweep)
    ]
    arc = Path(tuple(Point(*p) for p in ends), (turn * math.tan(sweep / 4),), False)
    alone = replace(good, strokes=(Stroke(Role.OUTLINE, "arc", arc),), notes=())
    [curves] = curves_of(write_drawing(alone, FORMATS["pdf"], OPTIONS))
    (x, y), places = curves[0][0], [between(curve, i / 16) for curve in curves for i in range(17)]
    assert math.dist(places[-1], (x, y)) == pytest.approx(math.dist(*ends), abs=0.01)
    at = 0.0
    for px, py in places:
        away = (ends[0][0] + px - x - 60, ends[0][1] + py - y - 50)
        assert math.hypot(*away) == pytest.approx(radius, abs=0.0005 * radius + 0.002)
        along = turn * (math.atan2(away[1], away[0]) - begin)
        assert (along - at + 0.001) % math.tau < 0.1 + sweep / 8  # on and on, never back
        at = along


def curves_of(data):
    """Each path of a PDF that is bent: its Bézier curves by four places, mm."""
    page = pypdfium2.PdfDocument(data)[0]
    for thing in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        matrix, places, curves = thing.get_matrix(), [], []
        for i in range(raw.FPDFPath_CountSegments(thing)):
            segment = raw.FPDFPath_GetPathSegment(thing, i)
            x, y = raw.c_float(), raw.c_float()
            raw.FPDFPathSegment_GetPoint(segment, x, y)
            places.append(tuple(v * MM for v in matrix.on_point(x.value, y.value)))
            if raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_BEZIERTO:
                curves.append(places[-4:])
        if curves:
            yield curves[2::3]  # each curve is told as three places


def between(curve, t):
    """A place on a Bézier curve, by de Casteljau's construction."""
    while len(curve) > 1:
        curve = [
            (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
            for a, b in itertools.pairwise(curve)
        ]
    return curve[0]


CURVE = re.compile(rb"(\S+) (\S+) (\S+) (\S+) (\S+) (\S+) c\b")


@pytest.mark.parametrize("away", [0.2, 5.0, 60.0])
@pytest.mark.parametrize("way", [(1, 0), (0, 1), (-0.6, 0.8)])
def test_a_curve_of_a_pdf_that_leaves_its_arc_between_its_ends_is_told(good, away, way):
    """Its ends and its middle stay: what it does between them is cut all the same."""
    pikepdf = outside_module("pikepdf")
    form = FORMATS["pdf"]
    (dx, dy), mm = way, 72 / 25.4

    def bent(found):
        a, b, c, d, *end = map(float, found.groups())
        out = (a + away * mm * dx, b + away * mm * dy, c - away * mm * dx, d - away * mm * dy, *end)
        return " ".join(f"{number:.4f}" for number in out).encode() + b" c"

    with pikepdf.open(io.BytesIO(write_drawing(good, form, OPTIONS))) as document:
        page = document.pages[0]
        content = page.Contents.read_bytes()
        page.Contents = document.make_stream(CURVE.sub(bent, content, count=1))
        written = io.BytesIO()
        document.save(written)
    said = [*map(str, compare(good, written.getvalue(), form, OPTIONS))]
    assert any("outline" in one and "is off by" in one for one in said), said
    with pikepdf.open(io.BytesIO(write_drawing(good, form, OPTIONS))) as document:
        document.save(again := io.BytesIO())
    assert compare(good, again.getvalue(), form, OPTIONS) == ()
