"""What the readers take from small files written here by hand, as their formats define them."""

import json

import pytest

from cutfiles.errors import FileError
from cutfiles.files.readers.dxf import read_dxf
from cutfiles.files.readers.fold import read_fold
from cutfiles.files.readers.hpgl import read_hpgl

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


@pytest.mark.parametrize(("unit", "mm"), [("mm", 1.0), ("cm", 10.0), ("in", 25.4)])
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
