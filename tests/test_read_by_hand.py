"""What the readers take from small files written here by hand, as their formats define them."""

import json
import math

import pytest

from cutfiles.errors import FileError
from cutfiles.files.readers.dxf import read_dxf
from cutfiles.files.readers.fold import read_fold, runs_clockwise
from cutfiles.files.readers.gcode import read_gcode
from cutfiles.files.readers.hpgl import read_hpgl

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
    with pytest.raises(FileError, match=f"^HP-GL file: found .*{said}"):
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


@pytest.mark.parametrize("data", [b"{", b'{"file_spec": 1.2', b"no JSON", b"[]", b"1"])
def test_fold_that_is_no_object_of_json_is_refused(data):
    with pytest.raises(FileError, match=r"text that is no JSON \(|a list or a value"):
        read_fold(data)


@pytest.mark.parametrize("size", [0.5, 40.0])
def test_fold_faces_run_clockwise_where_the_sheet_was_mirrored(size):
    face = [[0, 0], [size, 0], [size, size], [0, size]]
    for places, mirrored in ((face, False), ([[-x, y] for x, y in face], True)):
        assert (
            runs_clockwise(fold(vertices_coords=places, faces_vertices=[[0, 1, 2, 3]])) is mirrored
        )


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
    with pytest.raises(FileError, match=r"^DXF file: found an entity POINT"):
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
            "0 LWPOLYLINE 8 L 70 0 10 1 20 2 10 5 20 2 42 -1 10 5 20 8 42 1",
            [(1, 2), (5, 2), (5, 8)],
            [(3, 2), (2, 5)],
            False,
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


def test_dxf_that_draws_nothing_we_know_is_refused():
    with pytest.raises(FileError, match="no ENTITIES section"):
        read_dxf(b"0\nSECTION\n2\nBLOCKS\n0\nENDSEC\n0\nEOF\n")
    with pytest.raises(FileError, match="no EOF at its end"):
        read_dxf(R12.format("").removesuffix("0\nEOF\n").encode())
    with pytest.raises(FileError, match="a polyline of 1 points on layer L"):
        dxf("0 LWPOLYLINE 8 L 70 0 10 1 20 2 42 1")


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


def test_dxf_texts_are_told_with_their_layer():
    assert dxf("0 TEXT 8 N 10 1 20 2 40 3 1 told").texts == (("N", "told"),)


def test_hpgl_moves_to_places_with_the_pen_up_and_down():
    (path,) = read_hpgl(b"IN;SP1;PU;PA40,80;PD;PA120,80;PA120,200;PU;SP0;").paths
    assert path.points == ((1, 2), (3, 2), (3, 5))


@pytest.mark.parametrize(("mm", "near"), [(999_000, True), (1_001_000, False)])
def test_lines_beyond_a_kilometre_are_refused_by_the_name_of_the_format(mm, near):
    files = {
        "HP-GL": lambda: read_hpgl(f"IN;SP1;PU0,0;PD{mm * 40},0;PU;SP0;".encode()),
        "G-code": lambda: read_gcode(PROGRAM.replace("X5 Y6", f"X{mm} Y6").encode()),
        "DXF": lambda: dxf(f"0 LINE 8 L 10 1 20 2 11 {mm} 21 5"),
        "FOLD": lambda: read_fold(fold(vertices_coords=[*PLACES[:-1], [mm, 20]])),
    }
    for name, read in files.items():
        if near:
            assert read().paths
        else:
            with pytest.raises(FileError) as refusal:
                read()
            assert str(refusal.value).startswith(f"{name} file: found a line without a place")
