"""What the readers take from small files written here by hand, as their formats define them."""

import json
import math

import pytest

from cutfiles.errors import FileError
from cutfiles.files.readers.dxf import read_dxf
from cutfiles.files.readers.fold import read_fold
from cutfiles.files.readers.hpgl import read_hpgl
from cutfiles.files.readers.svg import read_svg

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
HALF = math.sqrt(0.5)


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


def told(x, y, places):
    return " ".join(f"{x + across},{y + up}" for across, up in places)


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
