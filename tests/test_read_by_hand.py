"""What the readers take from small files written here by hand, as their formats define them."""

import json
import math

import pytest

from cutfiles.errors import FileError
from cutfiles.files.readers.dxf import read_dxf
from cutfiles.files.readers.fold import read_fold
from cutfiles.files.readers.gcode import read_gcode
from cutfiles.files.readers.hpgl import read_hpgl
from cutfiles.files.readers.svg import read_svg

HALF = math.sqrt(0.5)

# -- HP-GL: 40 units a millimetre ------------------------------------------------------------------


def test_hpgl_lines_lie_in_mm_on_their_pens():
    data = b"IN;SP2;PU40,80;PD120,80,120,160;PU;SP1;PU0,0;PD400,0,400,400,0,400,0,0;PU;SP0;"
    one, other = read_hpgl(data).paths
    assert (one.layer, one.closed, one.points) == ("2", False, ((1, 2), (3, 2), (3, 4)))
    assert (other.layer, other.closed) == ("1", True)
    assert other.points == ((0, 0), (10, 0), (10, 10), (0, 10))
    assert other.middles == ((5, 0), (10, 5), (5, 10), (0, 5))


def test_hpgl_there_and_back_is_no_closed_line():
    (path,) = read_hpgl(b"IN;SP1;PU0,0;PD40,0,0,0;PU;SP0;").paths
    assert not path.closed
    assert path.points == ((0, 0), (1, 0), (0, 0))


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"IN;PU0,0;PD40,0;PU;SP0;", "PD without a tool"),
        (b"IN;SP1;PU0,0;PD40,0;PU;SP0;PD80,0;PU;SP0;", "PD without a tool"),
        (b"IN;SP0;PD40,0;PU;SP0;", "PD without a tool"),
        (b"IN;SP1;PU0,0;PD40,0;SP0;PD;", "PD without a tool"),
        (b"SP1;PU0,0;PD40,0;PU;SP0;", "before any IN"),
        (b"IN;SP1;PU0,0;PD40,0;", "tool down"),
        (b"IN;SP1;PU0,0;PD40,0;PU;", "without SP0"),
        (b"IN;SP1;PU0,0;PD40;PU;SP0;", "in pairs"),
        (b"IN;SP1;PU0,0;PD4.5,0;PU;SP0;", "whole numbers"),
        (b"IN;SP1;PR40,0;PU;SP0;", "the command PR"),
    ],
)
def test_hpgl_that_a_plotter_would_take_otherwise_is_refused(data, said):
    with pytest.raises(FileError, match=said):
        read_hpgl(data)


# -- FOLD 1.2: a sheet of 40 × 20 mm, a hole of 4 × 4 in it, one valley and one mountain -----------

UNITS = [("mm", 1.0), ("cm", 10.0), ("in", 25.4), ("pt", 25.4 / 72)]

PLACES = [
    *([12, 6], [16, 6], [16, 10], [12, 10]),  # the hole, first
    *([0, 0], [30, 0], [40, 0], [40, 20], [30, 20], [0, 20], [20, 0], [20, 20]),
]
EDGES = [
    *((0, 1), (2, 1), (2, 3), (0, 3)),
    *((4, 10), (5, 10), (5, 6), (7, 6), (7, 8), (11, 8), (9, 11), (4, 9)),
    *((5, 8), (10, 11)),
]
KINDS = ["B"] * 12 + ["V", "M"]


def fold(**more):
    frame = {
        "file_spec": 1.2,
        "frame_classes": ["creasePattern"],
        "frame_unit": "mm",
        "vertices_coords": PLACES,
        "edges_vertices": EDGES,
        "edges_assignment": KINDS,
    }
    return json.dumps({**frame, **more}).encode()


def ring(path):
    """Return a closed path's places from the least on, either way round."""
    at = path.points.index(min(path.points))
    turned = path.points[at:] + path.points[:at]
    return {turned, (turned[0], *reversed(turned[1:]))}


@pytest.mark.parametrize(("unit", "mm"), [*UNITS, ("m", 1000.0)])
def test_fold_edges_join_to_an_outline_and_holes(unit, mm):
    paths = read_fold(fold(frame_unit=unit)).paths
    valley, mountain, outline, hole = paths
    scaled = [tuple(c * mm for c in place) for place in PLACES]
    assert (valley.layer, mountain.layer) == ("score-valley", "score-mountain")
    assert set(valley.points) == {scaled[5], scaled[8]}
    assert set(mountain.points) == {scaled[10], scaled[11]}
    assert (outline.layer, outline.closed) == ("cut-outline", True)
    assert tuple(scaled[i] for i in (4, 9, 11, 8, 7, 6, 5, 10)) in ring(outline)
    assert (hole.layer, hole.closed) == ("cut-holes", True)
    assert tuple(scaled[i] for i in (0, 1, 2, 3)) in ring(hole)


def test_a_fold_border_with_a_gap_stays_open():
    kinds = ["B"] * 11 + ["F", "V", "M"]
    outline = next(p for p in read_fold(fold(edges_assignment=kinds)).paths if len(p.points) > 4)
    assert not outline.closed


def test_a_fold_edge_of_no_known_kind_is_refused():
    with pytest.raises(FileError, match='the edge assignment "X"'):
        read_fold(fold(edges_assignment=[*KINDS[:-1], "X"]))
    with pytest.raises(FileError, match='the unit "ell"'):
        read_fold(fold(frame_unit="ell"))


# -- DXF -------------------------------------------------------------------------------------------

R12 = "0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n8\nL\n66\n1\n70\n0\n{}0\nSEQEND\n0\nENDSEC\n0\nEOF\n"
CORNERS = ((1.0, 2.0), (3.0, 4.0), (5.0, 4.0))


@pytest.mark.parametrize("more", ["", "30\n0.0\n", "5\nA1\n", "999\nsaid\n"])
def test_dxf_vertices_are_read_alike_however_many_tags_they_have(more):
    told = "".join(f"0\nVERTEX\n8\nL\n{more}10\n{x}\n20\n{y}\n" for x, y in CORNERS)
    (path,) = read_dxf(R12.format(told).encode()).paths
    assert (path.layer, path.points, path.bends, path.closed) == ("L", CORNERS, (), False)


def test_dxf_what_is_no_vertex_is_none_of_a_polyline():
    """A point among vertices of the very same tags is refused, not taken for one of them."""
    told = "".join(f"0\nVERTEX\n8\nL\n10\n{x}\n20\n{y}\n" for x, y in CORNERS)
    with pytest.raises(FileError, match="an entity POINT"):
        read_dxf(R12.format(told + "0\nPOINT\n8\nL\n10\n1\n20\n2\n").encode())
    line = told + "0\nLINE\n8\nL\n10\n1\n20\n2\n"
    assert [len(path.points) for path in read_dxf(R12.format(line).encode()).paths] == [2, 3]


FEET, METRE = 304.8, 1000.0
R2000 = (
    "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n{}\n0\nENDSEC\n"
    "0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nL\n10\n1\n20\n2\n11\n3\n21\n5\n0\nENDSEC\n0\nEOF\n"
)


@pytest.mark.parametrize(("code", "mm"), [(1, 25.4), (2, FEET), (4, 1.0), (5, 10.0), (6, METRE)])
def test_dxf_counts_in_the_unit_it_states(code, mm):
    (path,) = read_dxf(R2000.format(code).encode()).paths
    assert path.points == ((mm, 2 * mm), (3 * mm, 5 * mm))


@pytest.mark.parametrize("code", [0, 3, 8])
def test_dxf_of_no_unit_or_one_we_do_not_know_is_refused(code):
    with pytest.raises(FileError, match=f'the unit code "{code}"'):
        read_dxf(R2000.format(code).encode())


LAYERS = """0
SECTION
2
TABLES
0
TABLE
2
LAYER
{}0
ENDTAB
0
ENDSEC
"""


def dxf(entities, layers=""):
    """Return what is read of entities, told as lines of a code and its value."""
    tables, rest = LAYERS.format(tags(layers)), R12.partition("POLYLINE")[0].removesuffix("0\n")
    return read_dxf(f"{tables if layers else ''}{rest}{tags(entities)}0\nENDSEC\n0\nEOF\n".encode())


def tags(told):
    return told.strip().replace(" ", "\n") + "\n" if told else ""


@pytest.mark.parametrize(
    ("entity", "places", "middles", "closed"),
    [
        ("0 LINE 8 L 10 1 20 2 11 3 21 5", [(1, 2), (3, 5)], [(2, 3.5)], False),
        # half a circle to the right of its chord where the bulge is 1, to the left where it is -1
        ("0 LWPOLYLINE 8 L 70 0 10 1 20 2 42 1 10 5 20 2", [(1, 2), (5, 2)], [(3, 0)], False),
        ("0 LWPOLYLINE 8 L 70 0 10 1 20 2 42 -1 10 5 20 2", [(1, 2), (5, 2)], [(3, 4)], False),
        (
            "0 LWPOLYLINE 8 L 70 1 10 1 20 2 10 5 20 2 42 0.5 10 5 20 8",
            [(1, 2), (5, 2), (5, 8)],
            [(3, 2), (6.5, 5), (3, 5)],
            True,
        ),
        (
            "0 LWPOLYLINE 8 L 70 1 10 1 20 2 10 5 20 2 10 5 20 8 42 1",
            [(1, 2), (5, 2), (5, 8)],
            [(3, 2), (5, 5), (0, 7)],
            True,
        ),
        (
            "0 POLYLINE 8 L 66 1 70 1 0 VERTEX 8 L 10 1 20 2 42 1 0 VERTEX 8 L 10 5 20 2 0 SEQEND",
            [(1, 2), (5, 2)],
            [(3, 0), (3, 2)],
            True,
        ),
        (
            "0 CIRCLE 8 L 10 1 20 2 40 3",
            [(4, 2), (1, 5), (-2, 2), (1, -1)],
            [(1 + 3 * x * HALF, 2 + 3 * y * HALF) for x, y in ((1, 1), (-1, 1), (-1, -1), (1, -1))],
            True,
        ),
        (
            "0 ARC 8 L 10 1 20 2 40 3 50 270 51 90",
            [
                (1 + 3 * math.sin(i * math.pi / 4), 2 - 3 * math.cos(i * math.pi / 4))
                for i in range(5)
            ],
            None,
            False,
        ),
    ],
)
def test_dxf_shapes_lie_where_they_say(entity, places, middles, closed):
    (path,) = dxf(entity).paths
    assert (path.layer, path.closed) == ("L", closed)
    assert path.points == tuple(map(pytest.approx, places))
    if middles:
        assert path.middles == tuple(map(pytest.approx, middles))


LINE = "0 LINE 8 L 10 1 20 2 11 3 21 5"


@pytest.mark.parametrize(
    ("layer", "line", "colour", "dashed"),
    [
        ("62 1 6 CONTINUOUS", "", "", False),
        ("62 1 6 CONTINUOUS", " 62 256", "", False),  # by its layer
        ("62 1 6 CONTINUOUS", " 62 1", "", False),  # as its layer
        ("62 1 6 CONTINUOUS", " 62 5", "#0000FF", False),
        ("62 1 6 CONTINUOUS", " 62 30", "index 30", False),
        ("62 1 6 CONTINUOUS", " 420 255", "#0000FF", False),
        ("62 1 6 CONTINUOUS", " 420 16711680", "", False),  # red, as its layer
        ("62 1 6 continuous", " 6 ByLayer", "", False),
        ("62 1 6 CONTINUOUS", " 6 DASHED", "", True),
        ("62 1 6 DASHED", "", "", True),
        ("62 1 6 DASHED", " 6 BYLAYER", "", True),
        ("62 1 6 DASHED", " 6 Continuous", "", False),
        ("62 1", "", "", False),
    ],
)
def test_dxf_lines_look_like_their_layer_unless_they_say_otherwise(layer, line, colour, dashed):
    (path,) = dxf(LINE + line, f"0 LAYER 2 L 70 0 {layer}").paths
    assert (path.colour, path.dashed) == (colour, dashed)


@pytest.mark.parametrize(
    ("flags", "apart"),
    [
        ("70 0", False),
        ("70 1", True),  # frozen
        ("70 2", False),  # frozen in new windows alone
        ("70 4", True),  # locked
        ("70 64", False),
        ("70 0 290 0", True),  # not plotted
        ("70 0 290 1", False),
    ],
)
def test_dxf_layers_that_a_program_leaves_out_are_known(flags, apart):
    reading = dxf(LINE, f"0 LAYER 2 L {flags} 62 3")
    assert reading.apart == ({"L"} if apart else set())
    assert reading.colours == {"L": "#00FF00"}


@pytest.mark.parametrize("release", ["AC1009", "AC1015"])
def test_dxf_without_a_unit_is_in_mm_where_its_release_has_none(release):
    data = R2000.replace("AC1015", release).replace("9\n$INSUNITS\n70\n{}\n", "").encode()
    if release == "AC1009":
        assert read_dxf(data).paths[0].points == ((1, 2), (3, 5))
    else:
        with pytest.raises(FileError, match="no unit"):
            read_dxf(data)


# -- G-code ----------------------------------------------------------------------------------------

PROGRAM = """(number: A1)
G21
G90
G94
G17
M5 S0
(role cut-outline)
G0 X1 Y2
M4 S0
G1 X5 Y2 S300 F600
G1 X5 Y6
G1 X1 Y2
M5 S0
(role score-valley)
G0 X7 Y1
M3 S0
G1 X8 S20
G1 X7
M5 S0
G0 X0 Y0
M2
"""


def test_gcode_paths_lie_where_the_beam_burns():
    reading = read_gcode(PROGRAM.encode())
    cut, score = reading.paths
    assert (cut.layer, cut.closed) == ("cut-outline S300 F600", True)
    assert cut.points == ((1, 2), (5, 2), (5, 6))
    assert (score.layer, score.closed) == ("score-valley S20 F600", False)
    assert score.points == ((7, 1), (8, 1), (7, 1))
    assert (reading.facts, reading.modes) == ({"number": "A1"}, {"beam": "M3 and M4"})


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("G17\n", "", "line 7: found no G17 before the first move"),
        ("G94\n", "", "found no G94"),
        ("G90\n", "", "found no G90"),
        ("M5 S0\n(role cut", "(role cut", "line 7: found a G0 before any M5"),
        ("M4 S0", "M4 S9", "M4 with power at rest"),
        ("M4 S0\n", "", "a G1 without beam, power or feed"),
        (" F600", "", "a G1 without beam, power or feed"),
        (" S300", "", "a G1 without beam, power or feed"),
        ("G1 X5 Y6", "G1 X5 Y6 S200", "another power within a path"),
        ("G1 X5 Y6", "G1 X5 Y6 F500", "another power within a path"),
        ("G1 X5 Y6", "G0 X5 Y6", "a G0 with the beam armed"),
        ("M5 S0\n(role score", "M5\n(role score", "a G0 with the beam armed"),
        ("G0 X0 Y0", "G0 X0", "an end with the head away from home"),
        ("G0 X0 Y0", "G0 Y0", "an end with the head away from home"),
        ("M2\n", "", "an end with no M5 and M2"),
        ("M2\n", "M2\nG21\n", "words after M2"),
        ("M5 S0\nG0 X0 Y0", "G0 X0 Y0", "a G0 with the beam armed"),
        ("G0 X7 Y1", "G0 X7 Y1 Z1", 'the word "Z"'),
        ("G0 X7 Y1", "G2 X7 Y1", '"G2"'),
        ("G0 X7 Y1", "G0 X7 Y1 ;", '" ;"'),
        ("(number: A1)", "(number: A1 and a note of the bench's own)é", "no plain text"),
    ],
)
def test_gcode_that_might_burn_elsewhere_is_refused(old, new, said):
    assert PROGRAM.count(old) == 1
    with pytest.raises(FileError) as refusal:
        read_gcode(PROGRAM.replace(old, new).encode())
    assert said in str(refusal.value)


@pytest.mark.parametrize("letters", [256, 257])
def test_gcode_lines_are_as_long_as_machines_take(letters):
    data = PROGRAM.replace("(number: A1)", f"(number: {(letters - 10) * 'A'})").encode()
    if letters == 256:
        assert read_gcode(data).paths
    else:
        with pytest.raises(FileError, match="line 1: found 257 characters; a line has at most 256"):
            read_gcode(data)


@pytest.mark.parametrize("text", ["Übersicht", "Ιλιάς", "50 % (half)"])
def test_gcode_and_hpgl_hold_letters_that_are_no_plain_text(text):
    told = "".join(c if c.isascii() and c.isalnum() else f"\\u{ord(c):04x}" for c in text)
    gcode = read_gcode(PROGRAM.replace("A1", told).encode())
    hpgl = read_hpgl(f'IN;CO "title: {told}";SP1;PU0,0;PD40,0;PU;SP0;'.encode())
    assert (gcode.facts, hpgl.facts) == ({"number": text}, {"title": text})


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


def told(x, y, places):
    return " ".join(f"{x + across},{y + up}" for across, up in places)


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
    with pytest.raises(FileError, match=said):
        svg(shape)
