"""The engineering model against the handbook, and against a general frame-analysis library.

Every frame is built from the same slip as the support it is compared with.
"""

import math

import pytest
from frames import frame

from cutfiles.bench.book import SIDES
from cutfiles.bench.film import Film
from cutfiles.bench.slip import slip_from
from cutfiles.support.constructions.plain import plain_capacity, wide_column
from cutfiles.support.constructions.plate import CREEP
from cutfiles.support.design import design
from cutfiles.support.limits import check_sag, cover_stiffness, design_base_force, films_stiffness
from cutfiles.support.loads import board_tension, leg_force
from cutfiles.support.lone import loads
from cutfiles.support.standing import board_of
from cutfiles.support.verdict import assess

CASE = "Combo 1"

BOOKS = [
    # height, width, spine, slopes, gauge (mil), layers, weight (g), cover, sides
    (140, 99, 25, 35, 35, 5, 3, 250, "boards", None),
    (203, 133, 34, 30, 30, 5, 3, 641, "boards", (17, 16)),
    (187, 121, 29, 45, 30, 10, 3, 525, "boards", (9, 20)),
    (152, 98, 24, 35, 35, 7, 1, 265, "limp", (12, 13)),
    (58, 38, 11, 40, 40, 3, 1, 21, "boards", None),
    (83, 54, 6, 25, 25, 5, 1, 19, "limp", None),
    (178, 111, 18, 60, 35, 10, 1, 224, "limp", (1.5, 16.5)),
    (152, 216, 12, 25, 25, 10, 3, 284, "limp", None),
    (241, 152, 46, 33, 32, 10, 3, 1314, "boards", (22, 24)),
    (150, 150, 20, 10, 10, 4, 3, 315, "boards", None),
    (229, 143, 51, 45, 45, 7, 3, 1380, "boards", (25, 26)),
    (190, 124, 32, 5, 40, 2, 3, 543, "boards", (5, 27)),
]


def support_of(height, width, spine, left, right, gauge, layers, weight, cover, sides):
    values = {
        "number": "T",
        "units": "mm",
        "height": height,
        "width": width,
        "spine_width": spine,
        "left_slope": left,
        "right_slope": right,
        "weight": f"{weight} g",
        "cover": cover,
        "support": {"gauge": f"{gauge} mil", "layers": layers},
    }
    if sides:
        values |= {"left_side": sides[0], "right_side": sides[1]}
    return design(slip_from(values))


def books():
    return [pytest.param(support_of(*book), id="-".join(map(str, book[:7]))) for book in BOOKS]


def plane_model(modulus=1000.0, inertia=100.0, area=1e6):
    model = frame()
    model.add_material("film", modulus, modulus, 0.3, 1e-9)
    model.add_section("strip", area, inertia, inertia, inertia)
    return model


def in_plane(model):
    for node in model.nodes.values():
        node.support_DZ = node.support_RX = node.support_RY = True


def triangle(panel, width, slope, side_weight, lean=0.0):
    """Half a cradle: the joint held, the foot free to slide but for the base, hinges at creases.

    The board lies on the panel and reaches past the apex; the weight is spread over the board.
    """
    model = plane_model()
    apex = panel * math.cos(slope), panel * math.sin(slope)
    model.add_node("joint", 0, 0, 0)
    model.add_node("apex", *apex, 0)
    model.add_node("edge", width * math.cos(slope), width * math.sin(slope), 0)
    model.add_node("foot", apex[0] + apex[1] * math.tan(lean), 0, 0)
    model.add_member("board", "joint", "edge" if width > panel else "apex", "film", "strip")
    model.add_member("leg", "apex", "foot", "film", "strip")
    model.add_member("base", "foot", "joint", "film", "strip")
    for hinged in ("leg", "base"):
        model.def_releases(hinged, Rzi=True, Rzj=True)
    model.def_support("joint", support_DX=True, support_DY=True)
    model.def_support("foot", support_DY=True, support_RZ=True)
    model.add_member_dist_load("board", "FY", -side_weight / width, -side_weight / width)
    if width <= panel:
        model.def_support("edge", True, True, True, True, True, True)
    in_plane(model)
    model.analyze(check_statics=False)
    return model


def film_stiffness(film, breadth):
    return films_stiffness(film.gauge, film.layers, breadth, film.modulus)


def leg_capacity(film, breadth, height):
    """What a plain leg bears, without the plate's part: Euler's column alone."""
    plate = wide_column(height, breadth)
    return plain_capacity(height, breadth, (film.gauge,) * film.layers, film.modulus) / plate


def standing_sides(support):
    both = loads(support.slip, support.slip.book.weight)
    return [(s, load) for s, load in zip(SIDES, both, strict=True) if support.half(s).stands]


@pytest.mark.parametrize("support", books())
def test_leg_force_of_the_frame(support):
    """Leg force, and the panel's tension at the apex, as the frame has them."""
    for side, load in standing_sides(support):
        half, board = support.half(side), board_of(support.slip, side)
        panel = support.length("board", side)
        model = triangle(panel, board.width, half.slope, load)
        ours = leg_force(load, board.width, panel)
        assert model.members["leg"].axial(1, CASE) == pytest.approx(ours, rel=1e-6)
        assert model.nodes["foot"].RxnFY[CASE] == pytest.approx(ours, rel=1e-6)
        # upright, the base carries nothing
        assert model.members["base"].axial(1, CASE) == pytest.approx(0, abs=1e-6)
        # just inside the apex the panel pulls; what hangs over it is the rest of its own load
        over = load * (board.width - panel) / board.width * math.sin(half.slope)
        inside = -model.members["board"].axial(panel * (1 - 1e-9), CASE)
        assert inside == pytest.approx(board_tension(ours, half.slope) - over, rel=1e-4)


@pytest.mark.parametrize("support", books())
def test_sag_of_the_beam(support):
    """The panel's sag, as a beam on two supports with the stiffness of film and cover."""
    found = {c.place: c.measured for c in assess(support).checks if c.name == "sag"}
    for side, load in standing_sides(support):
        half, slip, board = support.half(side), support.slip, board_of(support.slip, side)
        panel = support.length("board", side)
        thick = board.side if board.side is not None else slip.opening.spine_width / 2
        stiff = film_stiffness(support.film, support.breadth) + cover_stiffness(
            slip.book.cover, slip.book.height, thick
        )
        model = plane_model(1000.0, stiff / 1000.0)
        model.add_node("a", 0, 0, 0)
        model.add_node("m", panel / 2, 0, 0)
        model.add_node("b", panel, 0, 0)
        model.add_member("panel", "a", "b", "film", "strip")
        model.def_support("a", support_DX=True, support_DY=True)
        model.def_support("b", support_DY=True)
        across = load * math.cos(half.slope) / board.width
        model.add_member_dist_load("panel", "Fy", -across, -across)
        in_plane(model)
        model.analyze(check_statics=False)
        sag = -model.nodes["m"].DY[CASE]
        assert found[f"{side} board"] == pytest.approx(sag, rel=1e-6)


@pytest.mark.parametrize("support", books())
def test_buckling_of_the_column(support):
    """The leg's buckling load, from how a second-order analysis magnifies a bow under load."""
    for side, _ in standing_sides(support):
        high, film = support.length("leg", side), support.film
        ours = leg_capacity(film, support.breadth, high)
        stiff = film_stiffness(film, support.breadth)
        bows = []
        for share in (0.0, 0.5):
            model = plane_model(1000.0, stiff / 1000.0)
            for i in range(9):
                model.add_node(f"n{i}", 0, high * i / 8, 0)
            for i in range(8):
                model.add_member(f"m{i}", f"n{i}", f"n{i + 1}", "film", "strip")
            model.def_support("n0", support_DX=True, support_DY=True)
            model.def_support("n8", support_DX=True)
            model.add_node_load("n8", "FY", -share * ours)
            for i in range(1, 8):
                # a half sine of side loads bows it as a half sine, which only grows
                push = math.sin(math.pi * i / 8) * ours / 1e4
                model.add_node_load(f"n{i}", "FX", push)
            in_plane(model)
            model.analyze_PDelta()
            bows.append(model.nodes["n4"].DX[CASE])
        # magnified by 1 / (1 − P / P_cr)
        critical = 0.5 * ours / (1 - bows[0] / bows[1])
        assert critical == pytest.approx(ours, rel=5e-3)


def test_worked_example():
    """The hinged triangle P = W = 96, 35°, 1.2258 N, and the same with its foot 5° outwards."""
    slope = math.radians(35)
    model = triangle(96, 96, slope, 1.2258)
    assert model.nodes["foot"].RxnFY[CASE] == pytest.approx(0.6129, abs=5e-5)
    assert leg_force(1.2258, 96, 96) == pytest.approx(0.6129)
    assert board_tension(0.6129, slope) == pytest.approx(0.3515, abs=5e-5)
    leaning = triangle(96, 96, slope, 1.2258, math.radians(5))
    foot, base = leaning.nodes["foot"].RxnFY[CASE], -leaning.members["base"].axial(1, CASE)
    assert (foot, base) == (pytest.approx(0.5775, abs=5e-5), pytest.approx(0.0505, abs=5e-5))
    assert base == pytest.approx(foot * math.tan(math.radians(5)), rel=1e-6)
    # what the tape is held against is more than lean alone asks for
    assert design_base_force(0.6129) > base
    assert design_base_force(1.0) == pytest.approx(math.tan(math.radians(5)) + 0.6)


def test_handbook():
    """Euler's column and the uniformly loaded beam, as any strength-of-materials handbook."""
    film, b, h = Film(gauge=0.127, layers=3), 136.0, 96 * math.sin(math.radians(35))
    modulus, inertia = 4000 / CREEP, b * 0.127**3 / 12
    assert leg_capacity(film, b, h) == pytest.approx(3 * math.pi**2 * modulus * inertia / h**2)
    assert leg_capacity(film, b, h) == pytest.approx(0.60455, abs=5e-6)
    # 5 w L⁴ / (384 E I): w = 0.01 N/mm, L = 100 mm, EI = 1e5 N·mm²
    sag = check_sag("board", 0.01, 100, 1e5, 0.0).measured
    assert sag == pytest.approx(5 * 0.01 * 1e8 / 384 / 1e5)
