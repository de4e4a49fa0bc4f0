"""What the readers of SVG and PDF take from small drawings written here by hand."""

import math

import pytest

from cutfiles.errors import FileError
from cutfiles.files.readers.pdf import read_pdf
from cutfiles.files.readers.svg import read_svg

HALF = math.sqrt(0.5)
UNITS = [("mm", 1.0), ("cm", 10.0), ("in", 25.4), ("pt", 25.4 / 72)]

# -- SVG -------------------------------------------------------------------------------------------


def svg(shape, size='width="30mm" height="20mm"'):
    """Return what is read of a shape in a drawing of 60 × 40 units."""
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="4 2 60 40">'
    return read_svg(f'{head}<g id="L">{shape}</g></svg>'.encode())


@pytest.mark.parametrize(("unit", "mm"), [*UNITS, ("pc", 25.4 / 6), ("px", 25.4 / 96)])
def test_svg_counts_in_the_unit_of_its_size(unit, mm):
    read = svg('<line x1="4" y1="42" x2="24" y2="12"/>', f'width="30{unit}" height="20{unit}"')
    assert read.size == pytest.approx((30 * mm, 20 * mm))
    (path,) = read.paths
    assert path.points[0] == pytest.approx((0, 0))
    assert path.points[1] == pytest.approx((10 * mm, 15 * mm))


RING = [(1, 0), (0, 1), (-1, 0), (0, -1)]


@pytest.mark.parametrize(
    ("shape", "places", "middles", "closed"),
    [
        ('<polyline points="4,42 8,42 8,38"/>', [(0, 0), (2, 0), (2, 2)], [(1, 0), (2, 1)], False),
        ('<polygon points="4,42 8,42 8,38"/>', [(0, 0), (2, 0), (2, 2)], None, True),
        (
            '<rect x="6" y="32" width="8" height="4"/>',
            [(1, 5), (5, 5), (5, 3), (1, 3)],
            [(3, 5), (5, 4), (3, 3), (1, 4)],
            True,
        ),
        (
            '<circle cx="24" cy="22" r="8"/>',
            [(10 + 4 * x, 10 - 4 * y) for x, y in RING],
            [*((10 + 4 * x, 10 - 4 * y) for x, y in ((HALF, HALF), (-HALF, HALF))), None, None],
            True,
        ),
        ('<path d="m4 42h4v-4l2 2z"/>', [(0, 0), (2, 0), (2, 2), (3, 1)], None, True),
        (
            '<path d="M4 42H8V38L10 40 12 42"/>',
            [(0, 0), (2, 0), (2, 2), (3, 1), (4, 0)],
            None,
            False,
        ),
        ('<path d="m4 42 4 0 0-4"/>', [(0, 0), (2, 0), (2, 2)], None, False),
        # half a circle over 4, once of the radius it needs, once of one too small: it is grown
        ('<path d="M4 22A8 8 0 0 1 20 22"/>', [(0, 10), (8, 10)], [(4, 14)], False),
        ('<path d="M4 22A2 2 0 0 1 20 22"/>', [(0, 10), (8, 10)], [(4, 14)], False),
        ('<path d="M4 22A8 8 0 0 0 20 22"/>', [(0, 10), (8, 10)], [(4, 6)], False),
        # a quarter of a circle of 6 about its corner, and the three quarters beside it
        ('<path d="M4 30a12 12 0 0 0 12 12"/>', [(0, 6), (6, 0)], [(6 - 6 * HALF,) * 2], False),
        ('<path d="M4 30a12 12 0 1 0 12 12"/>', [(0, 6), (6, 0)], [(-6 * HALF,) * 2], False),
        ('<path d="M4 30a12 12 0 0 1 12 12"/>', [(0, 6), (6, 0)], [(6 * HALF,) * 2], False),
        # its last place is its first
        ('<polygon points="4,42 8,42 8,38 4,42"/>', [(0, 0), (2, 0), (2, 2)], None, True),
        ('<path d="M4 42H8V38L4 42"/>', [(0, 0), (2, 0), (2, 2), (0, 0)], None, False),
        # half a circle, and straight from its end to its begin
        (
            '<path d="M4 22A8 8 0 0 1 20 22L12 36Z"/>',
            [(0, 10), (8, 10), (4, 3)],
            [(4, 14), (6, 6.5), (2, 6.5)],
            True,
        ),
        # of no radius at all it is a line, and to where it begins none
        ('<path d="M4 42A0 8 0 0 1 20 42"/>', [(0, 0), (8, 0)], [(4, 0)], False),
        ('<path d="M4 42A8 0 0 0 1 20 42"/>', [(0, 0), (8, 0)], [(4, 0)], False),
        ('<path d="M4 42A8 8 0 0 1 4 42H8"/>', [(0, 0), (0, 0), (2, 0)], None, False),
        # an ellipse of 8 by 4, upright by its turn: its middle is 4 off its chord of 4
        ('<path d="M20 22A16 8 90 0 1 36 22"/>', [(8, 10), (16, 10)], [(12, 18)], False),
    ],
)
def test_svg_shapes_lie_where_they_say(shape, places, middles, closed):
    (path,) = svg(shape).paths
    assert path.closed is closed
    assert path.points == tuple(map(pytest.approx, places))
    for found, meant in zip(path.middles, middles or (), strict=bool(middles)):
        assert meant is None or found == pytest.approx(meant)


def on_ellipse(t):
    """Return a place on an ellipse of 12 by 5 about (20, 16), turned by 25°; y runs down."""
    x, y, turn = 12 * math.cos(t), 5 * math.sin(t), math.radians(25)
    return (
        20 + x * math.cos(turn) - y * math.sin(turn),
        16 + x * math.sin(turn) + y * math.cos(turn),
    )


@pytest.mark.parametrize("begin", [0.3, 2.0, 4.4])
@pytest.mark.parametrize("turn", [0.7, 2.5, 3.8, 5.5, -0.7, -2.5, -3.8, -5.5])
def test_svg_arcs_of_an_ellipse_run_along_it(begin, turn):
    start, end = on_ellipse(begin), on_ellipse(begin + turn)
    flags = f"{int(abs(turn) > math.pi)} {int(turn > 0)}"
    d = f"M{start[0]:.9f} {start[1]:.9f}A12 5 25 {flags} {end[0]:.9f} {end[1]:.9f}"
    (path,) = svg(f'<path d="{d}"/>').paths
    x, y = on_ellipse(begin + turn / 2)
    assert path.middles[0] == pytest.approx(((x - 4) / 2, 20 - (y - 2) / 2), abs=1e-6)


@pytest.mark.parametrize("begin", [0.3, 2.0])
def test_svg_arcs_of_an_ellipse_too_small_are_of_one_just_large_enough(begin):
    (ax, ay), (bx, by) = on_ellipse(begin), on_ellipse(begin + math.pi)
    (path,) = svg(f'<path d="M{ax:.9f} {ay:.9f}A4.8 2 25 0 1 {bx:.9f} {by:.9f}"/>').paths
    x, y = on_ellipse(begin + math.pi / 2)
    assert path.middles[0] == pytest.approx(((x - 4) / 2, 20 - (y - 2) / 2), abs=1e-6)


QUARTER = 4 * (math.sqrt(2) - 1) / 3
"""How far the handles of a curve lie that is all but a quarter of a circle of 1."""


@pytest.mark.parametrize("command", ["C", "c"])
def test_svg_curves_that_are_arcs_are_read_as_one_and_others_in_eight(command):
    """By hand from Bernstein's polynomials; the arc's middle is that of the circle."""
    x, y = (4, 42) if command == "C" else (0, 0)
    handles = [(0, -8 * QUARTER), (8 - 8 * QUARTER, -8), (8, -8)]
    (arc,) = svg(f'<path d="M4 42{command}{told(x, y, handles)}"/>').paths
    assert arc.points == tuple(map(pytest.approx, [(0, 0), (4, 4)]))
    assert arc.middles[0] == pytest.approx((4 - 4 * HALF, 4 * HALF), abs=2e-3)
    handles = [(0, -16), (16, -8), (16, 0)]
    (curve,) = svg(f'<path d="M4 42{command}{told(x, y, handles)}"/>').paths

    def at(t):
        u, (b, c, d) = 1 - t, handles
        return [
            (3 * u * u * t * b[i] + 3 * u * t * t * c[i] + t**3 * d[i]) * (0.5, -0.5)[i]
            for i in range(2)
        ]

    assert curve.points == tuple(pytest.approx(at(i / 8), abs=1e-9) for i in range(9))
    assert curve.middles == tuple(pytest.approx(at((i + 0.5) / 8), abs=1e-9) for i in range(8))


@pytest.mark.parametrize("degrees", [0, 40, 100, 200, 310])
@pytest.mark.parametrize(("off", "count"), [(0.0, 1), (0.3, 8), (-0.3, 8)])
def test_svg_curves_are_arcs_to_a_thousandth_wherever_they_lie(degrees, off, count):
    """All but a quarter of a circle of 8 mm; its first handle is off by tenths of a millimetre."""
    a, handle = math.radians(degrees), 16 * QUARTER
    (x, y), (across, up) = (16 * math.cos(a), 16 * math.sin(a)), (-math.sin(a), math.cos(a))
    begin, end = (x, y), (16 * across, 16 * up)
    first = (x + (handle + 4 * off) * across, y + (handle + 4 * off) * up)
    last = (end[0] + handle * math.cos(a), end[1] + handle * math.sin(a))
    d = "M{},{}C{},{} {},{} {},{}".format(
        *(f"{20 + c:.6f}" for place in (begin, first, last, end) for c in place)
    )
    (path,) = svg(f'<path d="{d}"/>').paths
    assert len(path.points) - 1 == len(path.middles) == count


def test_svg_curves_that_are_straight_are_read_as_one():
    (path,) = svg('<path d="M4 42C8 39 12 36 16 33"/>').paths
    assert path.points == tuple(map(pytest.approx, [(0, 0), (6, 4.5)]))
    assert path.middles[0] == pytest.approx((3, 2.25))


def told(x, y, places):
    return " ".join(f"{x + across},{y + up}" for across, up in places)


@pytest.mark.parametrize("name", ["title", "desc", "defs", "metadata", "style"])
def test_svg_that_is_not_drawn_is_not_read(name):
    """Nor is what another program keeps there in its own words."""
    shape = '<path d="M4 42H8"/>'
    reading = svg(f'<{name}>a<g>{shape}</g></{name}><view xmlns="urn:other"/>{shape}')
    assert [len(path.points) for path in reading.paths] == [2]
    assert reading.texts == ()


@pytest.mark.parametrize("name", ["use", "image", "symbol", "ellipse"])
def test_svg_that_may_be_drawn_and_is_not_read_is_refused(name):
    with pytest.raises(FileError, match=f"an element <{name}>"):
        svg(f"<{name}/>")


def test_svg_tells_texts_by_their_layers_and_what_its_description_says():
    reading = svg("<text>left <tspan>tail</tspan></text>")
    assert reading.texts == (("L", "left tail"),)
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
    said = "<metadata>number: A1\ngauge: 5 mil</metadata><desc>gauge: 7 mil</desc></svg>"
    assert read_svg(f"{head}{said}".encode()).facts == {"number": "A1", "gauge": "7 mil"}


@pytest.mark.parametrize(
    ("layer", "line", "colour", "dashed"),
    [
        ('stroke="#f00"', "", "", False),
        ('stroke="#f00"', 'stroke="#FF0000"', "", False),  # as its layer
        ('stroke="#f00"', 'stroke="rgb(255, 0, 0)"', "", False),
        ('stroke="#f00"', 'style="stroke:#00ff00"', "#00FF00", False),
        (
            'stroke="#f00"',
            'stroke="#00f" style="fill:none; STROKE : #0f0 !important"',
            "#00FF00",
            False,
        ),
        ('stroke="#f00"', 'style="stroke:#00f;stroke:rgb(0,17,255)"', "#0011FF", False),
        ('stroke="#000"', 'stroke="black"', "", False),
        ('stroke="#f00"', 'stroke="teal"', "TEAL", False),
        ('style="stroke:#f00"', 'stroke-dasharray="3 2"', "", True),
        ('stroke-dasharray="3 2"', "", "", True),
        ('stroke-dasharray="3 2"', 'stroke-dasharray="None"', "", False),
        ('stroke-dasharray="3 2"', 'style="stroke-dasharray:none"', "", False),
    ],
)
def test_svg_lines_look_like_their_layer_unless_they_say_otherwise(layer, line, colour, dashed):
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
    shape = f'<g id="L" {layer}><g><path d="M4 2H8" {line}/></g></g></svg>'
    reading = read_svg(f"{head}{shape}".encode())
    assert (reading.paths[0].colour, reading.paths[0].dashed) == (colour, dashed)
    if "#f00" in layer:
        assert reading.colours == {"L": "#FF0000"}


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        ("", "", None),  # no layers that an editor would know
        ('s:insensitive="true"', "", None),
        ('i:groupmode="layer"', 'i:groupmode="layer"', set()),
        ('i:groupmode="layer"', 'i:groupmode="layer" s:insensitive="true"', {"M"}),
        ('i:groupmode="layer" s:insensitive="false"', 's:insensitive="true"', {"M"}),
    ],
)
def test_svg_layers_that_an_editor_holds_locked_are_known(one, other, apart):
    head = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:i="urn:i" xmlns:s="urn:s" width="9mm"'
    groups = f'<g id="L" {one}/><g id="M" {other}/>'
    found = read_svg(f'{head} height="9mm" viewBox="0 0 9 9">{groups}</svg>'.encode()).apart
    assert found == apart


@pytest.mark.parametrize("box", ["", "4 2 60", "4 2 0 40", "4 2 60 0", "4 2 -60 40", "4 2 60 40 1"])
def test_svg_without_a_sound_view_box_is_refused(box):
    size = f'width="30mm" height="20mm" viewBox="{box}"'
    with pytest.raises(FileError, match="found no viewBox"):
        read_svg(f'<svg xmlns="http://www.w3.org/2000/svg" {size}/>'.encode())


@pytest.mark.parametrize(
    ("moved", "places"),
    [
        ("translate(6)", [(3, 20), (5, 19)]),
        ("translate(6, 8)", [(3, 16), (5, 15)]),
        ("scale(3)", [(4, 18), (10, 15)]),
        ("rotate(90)", [(-3, 19), (-4, 17)]),
        ("rotate(90 8 4)", [(3, 21), (2, 19)]),
        ("matrix(1 0 0 1 6 8)", [(3, 16), (5, 15)]),
        ("translate(6 8) scale(3 2)", [(7, 15), (13, 13)]),
    ],
)
def test_svg_moves_are_done_one_after_another(moved, places):
    (path,) = svg(f'<g transform="{moved}"><line x1="4" y1="2" x2="8" y2="4"/></g>').paths
    assert path.points == tuple(map(pytest.approx, places))


@pytest.mark.parametrize(
    ("shape", "said"),
    [
        ('<polyline points="4 2"/>', "2 numbers in a <polyline>"),
        ('<polygon points="4 2 5 6 7"/>', "5 numbers in a <polygon>"),
        ('<g transform="rotate(1 2)"/>', "rotate takes another count"),
        ('<g transform="translate(1 2 3)"/>', "translate takes another count"),
        ('<g transform="scale(1 2 3)"/>', "scale takes another count"),
        ('<g transform="matrix(1 0 0 1 6)"/>', "matrix takes another count"),
        ('<g transform="skewX(3)"/>', 'a transform "skewX"'),
    ],
)
def test_svg_that_says_too_little_or_too_much_is_refused(shape, said):
    with pytest.raises(FileError, match=f"^SVG file: found .*{said}"):
        svg(shape)


# -- PDF: 72 points to the inch, the page's lower left corner at (10, 20) --------------------------

OBJECTS = (
    "<< /Type /Catalog /Pages 2 0 R >>",
    "<< /Type /Pages /Kids [ 3 0 R ] /Count 1 >>",
    "<< /Type /Page /Parent 2 0 R /MediaBox [ 10 20 730 380 ] /Contents 4 0 R "
    "/Resources << /Properties << /L0 5 0 R /L1 6 0 R >> /ColorSpace << /C0 7 0 R >> >> >>",
    "<< /Length {} >>\nstream\n{}\nendstream",
    "<< /Type /OCG /Name (cut-outline) >>",
    "<< /Type /OCG /Name (score-valley) >>",
    "[ /Separation /cut-outline /DeviceRGB 8 0 R ]",
    "<< /FunctionType 2 /Domain [ 0 1 ] /C0 [ 1 1 1 ] /C1 [ 0 0 0 ] /N 1 >>",
    "<< /Subject (number: A1) >>",
)
WAYS = ("plain", "library", "noted")
"""A file of the plainest kind, one that the library opens, one whose content it takes apart too."""


def pdf(content, way="plain"):
    """Return what is read of a page with this content."""
    content = f"% a note\n{content}" if way == "noted" else content
    data = b"%PDF-1.7\n"
    places = []
    for number, told in enumerate(OBJECTS, 1):
        places.append(len(data))
        text = told.format(len(content), content) if number == 4 else told
        data += f"{number} 0 obj\n{text}\nendobj\n".encode()
    table = "".join(f"{place:010d} 00000 n \n" for place in places)
    begin, count = len(data), len(OBJECTS) + 1
    data += f"xref\n0 {count}\n0000000000 65535 f \n{table}trailer\n".encode()
    more = " /Told 1" if way == "library" else ""
    ours = f"/Size {count} /Root 1 0 R /Info 9 0 R /ID [ <00> <00> ]{more}"
    data += f"<< {ours} >>\nstartxref\n{begin}\n%%EOF\n".encode()
    return read_pdf(data)


IN = 25.4
CORNER = [(0, 0), (IN, 0), (IN, 2 * IN)]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("content", "places", "middles", "closed"),
    [
        ("10 20 m 82 20 l 82 164 l\nS\n", CORNER, None, False),
        ("10 20 m 82 20 l 82 164 l\ns\n", CORNER, [(12.7, 0), (IN, IN), (12.7, IN)], True),
        ("10 20 m\n82 20 l\n82 164 l\nh\nS\n", CORNER, None, True),
        ("10 20 m 82 20 l 82 164 l 10 20 l h\nS\n", CORNER, None, True),
        ("10 20 m 82 20 l 82 164 l 10 20 l\nS\n", [*CORNER, (0, 0)], None, False),
        ("10 20 72 144 re\nS\n", [(0, 0), (IN, 0), (IN, 2 * IN), (0, 2 * IN)], None, True),
        ("1 0 0 1 72 144 cm 10 20 m 82 20 l\nS\n", [(IN, 2 * IN), (2 * IN, 2 * IN)], None, False),
        ("q 1 0 0 1 72 144 cm Q 10 20 m 82 20 l\nS\n", CORNER[:2], None, False),
        (
            "2 0 0 3 0 0 cm 1 0 0 1 72 144 cm 5 20 m 41 20 l\nS\n",
            [(2 * IN, 6 * IN + 40 * IN / 72), (3 * IN, 6 * IN + 40 * IN / 72)],
            None,
            False,
        ),
        (
            "0 1 -1 0 0 0 cm 1 0 0 1 72 -144 cm 20 -10 m 92 -10 l\nS\n",
            [(2 * IN, IN), (2 * IN, 2 * IN)],
            None,
            False,
        ),
        ("0 0 m 9 9 l n 10 20 m 82 20 l\nS\n", CORNER[:2], None, False),
        (
            f"10 20 m 10 {20 + 72 * QUARTER} {82 - 72 * QUARTER} 92 82 92 c 82 20 l h\nS\n",
            [(0, 0), (IN, IN), (IN, 0)],
            [(IN * (1 - HALF), IN * HALF), (IN, IN / 2), (IN / 2, 0)],
            True,
        ),
    ],
)
def test_pdf_paths_lie_where_they_say(way, content, places, middles, closed):
    (path,) = pdf(content, way).paths
    assert path.closed is closed
    assert path.points == tuple(pytest.approx(place, abs=1e-9) for place in places)
    if middles:
        assert path.middles == tuple(pytest.approx(place, abs=0.02) for place in middles)


LINED = "10 20 m 82 20 l\nS\n"


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("content", "layer", "ink"),
    [
        (LINED, "", "black"),
        (f"/OC /L0 BDC {LINED}", "cut-outline", "black"),
        (f"/OC /L1 BDC EMC {LINED}", "", "black"),
        (f"/OC /L0 BDC /OC /L1 BDC EMC {LINED}", "cut-outline", "black"),
        (f"/OC /L0 BDC /Span /L1 BDC {LINED}", "cut-outline", "black"),
        (f"/OC /L0 BDC /Span BMC {LINED}", "cut-outline", "black"),
        (f"/OC /L0 BDC /Span BMC EMC EMC {LINED}", "", "black"),
        (f"/OC /L0 BDC /C0 CS 1 SCN {LINED}", "cut-outline", ""),  # the ink of its layer
        (f"/OC /L1 BDC /C0 CS 1 SCN {LINED}", "score-valley", "cut-outline"),
        (f"/DeviceRGB CS {LINED}", "", "/DeviceRGB"),
        (f"1 0 0 RG {LINED}", "", "1 0 0 RG"),
        (f"q 1 0 0 RG Q {LINED}", "", "black"),
    ],
)
def test_pdf_lines_are_of_the_layer_and_ink_that_hold_there(way, content, layer, ink):
    (path,) = pdf(content, way).paths
    assert (path.layer, path.colour, path.dashed) == (layer, ink, False)


@pytest.mark.parametrize(
    ("content", "dashed"),
    [
        (f"[3 2] 0 d {LINED}", True),
        (f"[] 0 d {LINED}", False),
        (f"[3 2] 0 d [] 0 d {LINED}", False),
        (f"q [3 2] 0 d Q {LINED}", False),
    ],
)
def test_pdf_lines_with_gaps_are_known(content, dashed):
    (path,) = pdf(content).paths
    assert path.dashed is dashed


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("operator", ["S", "f", "F", "f*", "B", "B*", "s", "b", "b*"])
def test_pdf_paths_that_are_filled_are_lines_too(way, operator):
    """A filled shape is an edge that a cutter follows; three operators close it."""
    first, then = pdf(f"10 20 m 82 20 l 82 164 l\n{operator}\n{LINED}", way).paths
    assert first.points == tuple(pytest.approx(place) for place in CORNER)
    assert first.closed is (operator in ("s", "b", "b*"))
    assert then.closed is False


@pytest.mark.parametrize("way", WAYS)
def test_pdf_states_its_facts_and_the_size_of_its_page(way):
    reading = pdf(LINED, way)
    assert reading.size == pytest.approx((10 * IN, 5 * IN))
    assert reading.facts == {"number": "A1"}


def test_pdf_of_the_plainest_kind_needs_no_library(monkeypatch):
    monkeypatch.setattr("cutfiles.files.readers.pdf._page", None)
    assert pdf(LINED, "plain").paths
    with pytest.raises(FileError):
        pdf(LINED, "library")


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("82 20 l\nS\n", "the operator l before any m"),
        ("10 20 m 1 2 3 4 v\nS\n", "the operator v"),
        ("BT ET", "the operator BT"),
        ("Q", "content that cannot be read"),
        ("EMC", "content that cannot be read"),
        ("10 m 82 20 l\nS\n", "content that cannot be read"),
    ],
)
def test_pdf_that_draws_otherwise_is_refused(way, content, said):
    with pytest.raises(FileError, match=f"^PDF file: found .*{said}"):
        pdf(content, way)


@pytest.mark.parametrize(("mm", "near"), [(999_000, True), (1_001_000, False)])
def test_lines_beyond_a_kilometre_are_refused_by_the_name_of_the_format(mm, near):
    for name, read in (
        ("SVG", lambda: svg(f'<path d="M4 42H{2 * mm}"/>')),
        ("PDF", lambda: pdf(f"10 20 m {mm / 25.4 * 72} 20 l\nS\n")),
    ):
        if near:
            assert read().paths
        else:
            with pytest.raises(FileError) as refusal:
                read()
            assert str(refusal.value).startswith(f"{name} file: found a line without a place")
