"""What our readers make of curves and transforms that editors write and we do not.

SVG beside svgelements, DXF beside ezdxf, PDF beside matrices multiplied here (ISO 32000-1 §8.3.4).
"""

import io
import math

import pytest
from conftest import outside_module

from cutfiles.errors import FileError
from cutfiles.files.readers.dxf import read_dxf
from cutfiles.files.readers.pdf import read_pdf
from cutfiles.files.readers.svg import read_svg

HIGH = 100.0
POINT = 25.4 / 72
SIXTEENTHS = [i / 16 for i in range(17)]


def near(found, wanted, tolerance=1e-6):
    assert len(found) == len(wanted)
    for one, other in zip(found, wanted, strict=True):
        assert one == pytest.approx(other, abs=tolerance)


# -- SVG -------------------------------------------------------------------------------------------

SHAPES = {
    "lines": '<path d="M10 20 L30 40 H50 V10 L20 15"/>',
    "relative": '<path d="m10 20 30 5 h7 v-3 l-4 6 z m5 5 1 1 2 -3"/>',
    "after closing": '<path d="M10 10 L20 10 L20 20 Z L30 30 L40 10"/>',
    "curves": '<path d="M10 10 C20 0 30 40 50 20 c1 2 3 4 5 -6 z"/>',
    "wide arc": '<path d="M10 10 A20 10 30 1 1 40 30"/>',
    "narrow arc": '<path d="M10 10 A20 30 30 0 0 40 30"/>',
    "wide arc back": '<path d="M10 10 A20 19 -20 1 0 40 30"/>',
    "narrow arc on": '<path d="M10 10 a22 29 75 0 1 30 20"/>',
    "arc too small": '<path d="M10 10 A2 1 15 0 1 40 30"/>',
    "line": '<line x1="3" y1="4" x2="50" y2="16"/>',
    "polyline": '<polyline points="3,4 50,16 7,40"/>',
    "polygon": '<polygon points="3,4 50,16 7,40"/>',
    "rectangle": '<rect x="3" y="4" width="50" height="16"/>',
    "circle, four arcs": '<circle cx="30" cy="24" r="7"/>',
}
ALIKE = ("", "translate(5)", "translate(5 7)", "scale(2)", "rotate(30)", "rotate(30 10 20)")
SHEARED = ("scale(2 3)", "matrix(1 .2 -.3 1.5 4 5) rotate(10)", "translate(3,4) scale(2,-1)")
CASES = [
    *((shape, move) for shape in SHAPES for move in ALIKE),
    # an arc sheared is an ellipse of other axes; svgelements keeps those it had
    *((shape, move) for shape in SHAPES if "arc" not in shape for move in SHEARED),
]


@pytest.mark.parametrize(("shape", "move"), CASES)
def test_an_svg_shape_lies_where_svgelements_puts_it(shape, move):
    svgelements = outside_module("svgelements")
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="{HIGH}mm" '
        f'viewBox="10 5 400 {2 * HIGH}"><g id="cut-outline" transform="{move}">'
        f'<g transform="rotate(-8 3 2)">{SHAPES[shape]}</g></g></svg>'
    )
    drawing = svgelements.SVG.parse(io.StringIO(text), ppi=25.4)
    (element,) = (e for e in drawing.elements() if isinstance(e, svgelements.Shape))
    wanted = []
    for part in svgelements.Path(element).reify():
        if isinstance(part, svgelements.Move):
            wanted.append(([up(part.end)], [], False))
            continue
        points, middles, _ = wanted[-1]
        if isinstance(part, svgelements.Close):
            wanted[-1] = (points, middles, True)
            if points[0] != pytest.approx(up(part.start), abs=1e-9):
                middles.append(up(part.point(0.5)))
            else:
                points.pop()
            continue
        if wanted[-1][2]:  # on from where it closed
            wanted.append(([up(part.start)], [], False))
            points, middles, _ = wanted[-1]
        # a curve that is no arc is told in eight parts
        count = 8 if isinstance(part, svgelements.CubicBezier) else 1
        points += [up(part.point((i + 1) / count)) for i in range(count)]
        middles += [up(part.point((i + 0.5) / count)) for i in range(count)]
    found = read_svg(text.encode()).paths
    assert [path.closed for path in found] == [closed for _, _, closed in wanted]
    for path, (points, middles, _) in zip(found, wanted, strict=True):
        near(path.points, points, 5e-4)  # its inch is half a millionth too long
        near(path.middles, middles, 5e-4)


def up(point):
    return (point.x, HIGH - point.y)


def drawn(shape, size='width="200mm" height="100mm"', move=""):
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 200 100">'
        f'<g id="cut-outline" transform="{move}">{shape}</g></svg>'
    )
    return read_svg(text.encode()).paths


@pytest.mark.parametrize(
    ("unit", "mm"),
    [("mm", 1), ("cm", 10), ("in", 25.4), ("pt", 25.4 / 72), ("pc", 25.4 / 6), ("px", 25.4 / 96)],
)
def test_an_svg_is_as_large_as_its_size_says_in_any_unit(unit, mm):
    size = f'width="{200 / mm:.12f}{unit}" height="{100 / mm:.12f}{unit}"'
    (path,) = drawn(SHAPES["line"], size)
    near(path.points, [(3, 96), (50, 84)])


@pytest.mark.parametrize(
    ("shape", "move", "said"),
    [
        ("line", "translate(1 2 3)", "another count"),
        ("line", "scale(1 2 3)", "another count"),
        ("line", "rotate(30 10)", "another count"),
        ("line", "matrix(1 2 3 4 5)", "another count"),
        ("line", "translate()", "another count"),
        ("line", "skewX(30)", "without it"),
        ('<polyline points="3,4 50"/>', "", "in pairs"),
        ('<polyline points="3,4"/>', "", "in pairs"),
        ('<polygon points="3,4 50,16 7"/>', "", "in pairs"),
        ('<path d="M10 20 30"/>', "", "a number is missing"),
        ('<path d="M10 20 L30 40 5 Z"/>', "", "a number is missing"),
        ('<path d="M10 20 L L30 40"/>', "", "a number is missing"),
    ],
)
def test_an_svg_with_a_number_too_many_or_too_few_is_refused(shape, move, said):
    with pytest.raises(FileError, match=said):
        drawn(SHAPES.get(shape, shape), move=move)


# -- DXF -------------------------------------------------------------------------------------------

CORNERS = [(10.0, 20.0, 0.5), (60.0, 25.0, 0.0), (70.0, 60.0, -1.3), (20.0, 70.0, 0.2)]


def saved(release, draw):
    ezdxf = outside_module("ezdxf")
    document = ezdxf.new(release)
    document.units = 4
    draw(document.modelspace())
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode()


@pytest.mark.parametrize("closed", [True, False])
@pytest.mark.parametrize(("release", "kind"), [("R12", "polyline2d"), ("R2000", "lwpolyline")])
def test_a_dxf_polyline_bulges_as_ezdxf_says(release, kind, closed):
    bulge_to_arc = outside_module("ezdxf.math").bulge_to_arc

    def draw(space):
        more = {"format": "xyb", "dxfattribs": {"layer": "CUT_OUTLINE"}}
        getattr(space, f"add_{kind}")(CORNERS, close=closed, **more)

    (path,) = read_dxf(saved(release, draw)).paths
    assert path.layer == "CUT_OUTLINE"
    assert path.closed is closed
    near(path.points, [corner[:2] for corner in CORNERS])
    assert len(path.middles) == len(CORNERS) - (not closed)
    for i, middle in enumerate(path.middles):
        start, end = CORNERS[i], CORNERS[(i + 1) % len(CORNERS)]
        if not start[2]:
            assert middle == pytest.approx(((start[0] + end[0]) / 2, (start[1] + end[1]) / 2))
            continue
        centre, begin, stop, radius = bulge_to_arc(start[:2], end[:2], start[2])
        angle = begin + ((stop - begin) % math.tau) / 2
        on_arc = (centre.x + radius * math.cos(angle), centre.y + radius * math.sin(angle))
        assert middle == pytest.approx(on_arc, abs=1e-6)


def test_a_dxf_circle_and_line_lie_where_they_are_drawn():
    def draw(space):
        space.add_circle((30, 40), 7, dxfattribs={"layer": "CUT_HOLES"})
        space.add_line((1, 2), (30, 45), dxfattribs={"layer": "SCORE_VALLEY"})

    circle, line = read_dxf(saved("R2000", draw)).paths
    assert circle.closed
    assert (circle.layer, line.layer) == ("CUT_HOLES", "SCORE_VALLEY")
    assert (len(circle.points), len(circle.middles)) == (4, 4)
    places = sorted(
        math.atan2(y - 40, x - 30) % math.tau for x, y in (*circle.points, *circle.middles)
    )
    assert places == pytest.approx([i * math.tau / 8 for i in range(8)], abs=1e-9)
    assert all(math.dist(p, (30, 40)) == pytest.approx(7) for p in circle.points)
    near(line.points, [(1, 2), (30, 45)])
    near(line.middles, [(15.5, 23.5)])


def test_a_dxf_without_a_unit_is_read_only_where_the_release_has_none():
    """R12 knows no unit, and is in mm by agreement; a later file that names none may be inches."""

    def draw(space):
        space.add_line((1, 2), (30, 45))

    told = saved("R2000", draw)
    at = told.index(b"$INSUNITS")
    untold = told[: told.rindex(b"  9\n", 0, at)] + told[told.index(b"  9\n", at) :]
    assert b"$INSUNITS" not in untold
    near(read_dxf(told).paths[0].points, [(1, 2), (30, 45)])
    with pytest.raises(FileError, match="no unit"):
        read_dxf(untold)
    near(read_dxf(untold.replace(b"AC1015", b"AC1009")).paths[0].points, [(1, 2), (30, 45)])


# -- PDF -------------------------------------------------------------------------------------------


def page(content):
    pikepdf = outside_module("pikepdf")
    document = pikepdf.new()
    document.add_blank_page(page_size=(500, 400))
    document.pages[0].Contents = document.make_stream(content.encode())
    data = io.BytesIO()
    document.save(data)
    return read_pdf(data.getvalue()).paths


def times(m, n):
    return [[sum(m[i][k] * n[k][j] for k in range(3)) for j in range(3)] for i in range(3)]


def matrix(a, b, c, d, e, f):
    return [[a, b, 0], [c, d, 0], [e, f, 1]]


@pytest.mark.parametrize("more", ["", "[] 0 d "], ids=["plain", "with an array"])
def test_a_pdf_curve_lies_where_its_matrices_put_it(more):
    outer, inner = (2, 0.5, -0.3, 1.5, 10, 20), (1, 0.2, 0.1, 1.1, 3, 4)
    told = [" ".join(map(str, m)) for m in (outer, inner)]
    curve = "0 0 m 10 0 l 10 10 20 15 20 20 c s"
    (path,) = page(f"{more}q {told[0]} cm q {told[1]} cm {curve} Q Q")
    whole = times(matrix(*inner), times(matrix(*outer), matrix(POINT, 0, 0, POINT, 0, 0)))

    def at(x, y):
        return tuple(x * whole[0][j] + y * whole[1][j] + whole[2][j] for j in (0, 1))

    # no arc, so told in eight parts; places on it by Bernstein's polynomials
    ends = (10, 0), (10, 10), (20, 15), (20, 20)
    share = [[math.comb(3, k) * t**k * (1 - t) ** (3 - k) for k in range(4)] for t in SIXTEENTHS]
    curve = [
        at(*(sum(s * end[j] for s, end in zip(own, ends, strict=True)) for j in (0, 1)))
        for own in share
    ]
    assert path.closed
    near(path.points, [at(0, 0), *curve[::2]])
    near(path.middles, [at(5, 0), *curve[1::2], at(10, 10)])


def test_a_pdf_curve_that_is_an_arc_is_one_part():
    """A quarter of a circle, its controls at 0.5523 of its radius (Bézier's usual, from memory)."""
    (path,) = page("10 0 m 10 5.523 5.523 10 0 10 c S")
    assert len(path.points) == 2
    near(path.middles, [(POINT * 10 / math.sqrt(2), POINT * 10 / math.sqrt(2))], 2e-3)


@pytest.mark.parametrize(
    ("content", "closed"),
    [
        ("0 0 m 10 0 l 10 10 l S", [False]),
        ("0 0 m 10 0 l 10 10 l h S", [True]),
        ("0 0 m 10 0 l 10 10 l s", [True]),
        ("0 0 m 9 0 l 0 50 m 10 50 l 10 60 l s", [False, True]),  # it closes the last part alone
        ("0 0 m 10 0 l 10 10 l 0 0 l h S", [True]),
        ("1 2 30 40 re S", [True]),
        ("0 0 m 10 0 l n 5 5 m 9 9 l S", [False]),
    ],
)
def test_a_pdf_path_is_closed_only_where_it_says_so(content, closed):
    found = page(content)
    assert [path.closed for path in found] == closed
    for path in found:
        assert len(path.points) == len(set(path.points))
        assert len(path.middles) == len(path.points) - (not path.closed)


def test_a_pdf_mark_that_is_no_layer_ends_without_ending_a_layer():
    """Editors bracket what they draw with marks of their own; what follows is still read."""
    one, other = page("/Artifact BMC 0 0 m 10 0 l S EMC 5 5 m 9 9 l S")
    assert (one.layer, other.layer) == ("", "")
    near(other.points, [(5 * POINT, 5 * POINT), (9 * POINT, 9 * POINT)])
