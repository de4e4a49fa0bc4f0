"""Guards that stand behind the work: each of them seen to stop what it is there to stop.

Something earlier is broken on purpose; the guard must say so, in its own words.
"""

import itertools
from dataclasses import replace

import pytest
from conftest import BOOK, SAMPLES
from dangers.jobs import done, run

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import Defect, DesignError, FileError
from cutfiles.film import layout
from cutfiles.film.layout import Piece, lay_out
from cutfiles.film.rules import Rules
from cutfiles.film.shelf import Supply
from cutfiles.machine.formats import FORMATS
from cutfiles.machine.kerf import offset
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import closed_path

# -- a layout --------------------------------------------------------------------------------------


def film(**changes):
    """A sheet, or a roll, of 610 mm."""
    sheet = {"form": "sheet", "name": "film", "gauge": 0.127, "width": 610.0, "length": 1016.0}
    return Supply(**{**sheet, **changes})


PIECES = [Piece(name=n, width=200.0, height=150.0, gauge=0.127, count=1) for n in "abc"]
QUICK = Rules(effort=1000)


def spoilt(monkeypatch, change):
    """Let each sheet be changed as it is laid."""
    real = layout._sheet
    monkeypatch.setattr(layout, "_sheet", lambda *given: change(real(*given)))


@pytest.mark.parametrize(
    ("by", "said"),
    [
        ((-197, 0), "mm apart"),
        ((500, 0), "margin|beyond|edge|mm"),
        ((0, -20), "margin|beyond|edge|mm"),
    ],
)
def test_pieces_that_overlap_or_stick_out_are_not_cut(monkeypatch, by, said):
    def moved(sheet):
        *rest, last = sheet.pieces
        last = last._replace(left=last.left + by[0], bottom=last.bottom + by[1])
        return replace(sheet, pieces=(*rest, last))

    assert lay_out(PIECES, [film()], QUICK).unplaced == ()
    spoilt(monkeypatch, moved)
    with pytest.raises(Defect, match=said):
        lay_out(PIECES, [film()], QUICK)


def test_a_piece_laid_twice_or_left_out_is_noticed(monkeypatch):
    for change in (
        lambda sheet: replace(sheet, pieces=(*sheet.pieces, sheet.pieces[0])),
        lambda sheet: replace(sheet, pieces=sheet.pieces[:1] * len(sheet.pieces)),
    ):
        with monkeypatch.context() as patch:
            spoilt(patch, change)
            with pytest.raises(Defect):
                lay_out(PIECES, [film()], QUICK)


def test_more_film_than_there_is_is_noticed(monkeypatch):
    """Two sheets are laid where one is at hand; a roll is taken further than it reaches."""
    many = [Piece(name=n, width=500.0, height=800.0, gauge=0.127, count=1) for n in "ab"]
    real = layout._on_film

    def more(gauge, pieces, film, *rest):
        plenty = replace(film, count=5) if film.form == "sheet" else replace(film, length=9000.0)
        sheets = real(gauge, pieces, plenty, *rest)
        return [replace(sheet, film=film) for sheet in sheets]

    monkeypatch.setattr(layout, "_on_film", more)
    with pytest.raises(Defect, match=r"more of .* than there is"):
        lay_out(many, [film(count=1)], QUICK)
    with pytest.raises(Defect, match=r"more of .* than there is"):
        lay_out(many, [film(form="roll", count=None, length=1000.0)], QUICK)


# -- slots -----------------------------------------------------------------------------------------


def with_slots(**more):
    support = {
        "strap_slots": "yes",
        "construction": "plain",
        "edges": "cut",
        **more.pop("support", {}),
    }
    return slip_from(BOOK | more | {"support": support})


def test_a_slot_too_near_an_edge_is_stopped(monkeypatch):
    """Slots are laid 2 mm from the ends by mistake: told as a slot's fault, and no file is made."""
    monkeypatch.setattr("cutfiles.pattern.slots.FROM_END", 2.0)
    with pytest.raises(Defect, match=r"strap slot, \w+ \w+, \w+[ \w]* leaves \d\.\d mm of film"):
        draft_of(with_slots())


@pytest.mark.parametrize("height", [22, 24, 26, 30])
def test_two_slots_keep_apart(height):
    """In a low book the slots at head and tail meet: refused, or 5 mm of film stay between them."""
    book = {"height": height, "width": 60, "spine_width": 14}
    draft_of(slip_from(BOOK | book))
    if height < 26:
        with pytest.raises(DesignError, match="strap slots leave 5 mm of film"):
            draft_of(with_slots(**book))
        return
    made = draft_of(with_slots(**book))
    slots = [
        s for s in made.pattern.strokes if s.name.startswith("strap slot") and "middle" in s.name
    ]
    assert len(slots) == 4
    for one, two in itertools.combinations(slots, 2):
        a, b = box_of([one.path]), box_of([two.path])
        if abs(a.centre.x - b.centre.x) < 1:
            assert abs(a.centre.y - b.centre.y) - a.height / 2 - b.height / 2 >= 5.0 - 1e-6


# -- kerf ------------------------------------------------------------------------------------------


def neck(width):
    """Two rooms of 20 mm joined by a neck of 6 mm."""
    a, b = 10 - width / 2, 10 + width / 2
    return closed_path(
        (0, 0),
        (20, 0),
        (20, a),
        (26, a),
        (26, 0),
        (46, 0),
        (46, 20),
        (26, 20),
        (26, b),
        (20, b),
        (20, 20),
        (0, 20),
    )


def test_a_neck_narrower_than_the_beam_is_refused():
    """The beam takes a third of a millimetre; a neck of a fifth would be gone, and it is told."""
    with pytest.raises(ValueError, match=r"a detail near \(2\d\.\d, \d+\.\d\) is too small"):
        offset(neck(0.2), -0.15)
    assert len(offset(neck(0.5), -0.15).points) == 12


def test_a_bay_with_a_mouth_narrower_than_the_beam_is_refused():
    mouth = closed_path(
        (0, 0),
        (40, 0),
        (40, 9.9),
        (34, 9.9),
        (34, 4),
        (14, 4),
        (14, 16),
        (34, 16),
        (34, 10.1),
        (40, 10.1),
        (40, 20),
        (0, 20),
    )
    with pytest.raises(ValueError, match=r"a detail near \(\d+\.\d, \d+\.\d\) is too small"):
        offset(mouth, 0.15)


# -- readers ---------------------------------------------------------------------------------------

DXF = """0
SECTION
2
ENTITIES
0
{entity}
8
CUT_OUTLINE
{tags}
0
ENDSEC
0
EOF
"""


def dxf(entity, *tags):
    lines = "\n".join(f"{code}\n{value}" for code, value in tags)
    return FORMATS["dxf-r12"].read(DXF.format(entity=entity, tags=lines).encode())


ARC = ((10, 50), (20, 50), (40, 10))


def test_a_dxf_seen_from_behind_is_refused():
    """An extrusion of -1 mirrors what is drawn: a V would be read as its mirror image."""
    with pytest.raises(FileError, match="seen from behind"):
        dxf("ARC", *ARC, (50, 0), (51, 90), (230, -1))
    assert dxf("ARC", *ARC, (50, 0), (51, 90), (230, 1)).paths


@pytest.mark.parametrize(("begin", "end"), [(0, 90), (350, 20), (270, 0), (300, 10), (180, 90)])
def test_a_dxf_arc_runs_counter_clockwise(begin, end):
    """From its first angle on to its second, over 0° where the second is the smaller."""
    import math

    [path] = dxf("ARC", *ARC, (50, begin), (51, end)).paths
    turn = (end - begin) % 360
    for share, place in zip((0, 1), (path.points[0], path.points[-1]), strict=True):
        angle = math.radians(begin + share * turn)
        assert place == pytest.approx((50 + 10 * math.cos(angle), 50 + 10 * math.sin(angle)))
    halfway = math.radians(begin + turn / 2)
    middle = (50 + 10 * math.cos(halfway), 50 + 10 * math.sin(halfway))
    assert any(math.dist(middle, p) < 1e-6 for p in (*path.points, *path.middles))


@pytest.mark.parametrize(("flag", "closed"), [(0, False), (1, True), (128, False), (129, True)])
def test_a_dxf_polyline_closes_by_one_bit_of_its_flag(flag, closed):
    """128 only says how dashes run; taken for closed, a V becomes a triangle that falls out."""
    corners = [(10, 0), (20, 0), (10, 10), (20, 10), (10, 20), (20, 0)]
    [path] = dxf("LWPOLYLINE", (90, 3), (70, flag), *corners).paths
    assert path.closed is closed


@pytest.mark.parametrize("order", ["FS80;", "VS20;"])
def test_force_and_speed_end_a_line_in_hpgl(order):
    """Set in the middle of a line, they hold from there on: two lines, not one with either."""
    data = f"IN;SP1;FS60;VS10;PU0,0;PD400,0;{order}PD800,0;PU;SP0;".encode()
    reading = FORMATS["hpgl"].read(data)
    assert len({path.layer for path in reading.paths}) == len(reading.paths)
    assert all(len(path.points) == 2 for path in reading.paths)
    assert reading.paths[0].layer == "1 FS60 VS10"


GCODE = (
    "G21\nG90\nG94\nG17\nM5 S0\n(role cut-outline)\nG0 X1 Y1 S0\nM4 S0\nG1 X9 Y1 F600 S300\n"
    "M5 S0\nM5 S0\nG0 X0 Y0\nM2\n"
)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (" S300", "", "without beam, power or feed"),
        (" S300", " S0", "without beam, power or feed"),
        (" F600", "", "without beam, power or feed"),
        ("G21\n", "", "G21"),
        ("G90\n", "", "G90"),
        ("M5 S0\n(role", "(role", "M5"),
    ],
)
def test_gcode_that_relies_on_what_was_before_is_refused(old, new, said):
    """No power: a line that is only burnt if the last job left its power. No G21: inches."""
    assert len(FORMATS["gcode"].read(GCODE.encode()).paths) == 1
    assert old in GCODE
    with pytest.raises(FileError, match=said):
        FORMATS["gcode"].read(GCODE.replace(old, new, 1).encode())


@pytest.fixture(scope="module")
def pdf(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pdf")
    done("make", SAMPLES / "B1.toml", "--format", "pdf", "--no-cards", "--to", folder)
    return folder / "B1.pdf"


def saved(pdf, tmp_path, change):
    """Change a PDF with a library of its own and ask what is said of it."""
    import pikepdf

    with pikepdf.open(pdf) as document:
        change(document)
        document.save(tmp_path / "B1.pdf")
    return run("verify", tmp_path / "B1.pdf", "--slip", SAMPLES / "B1.toml")


def test_a_pdf_in_other_units_is_refused(pdf, tmp_path):
    """A /UserUnit of 2 doubles everything in readers that know it."""

    def change(document):
        document.pages[0].obj["/UserUnit"] = 2

    ended = saved(pdf, tmp_path, change)
    assert ended.exit_code == 1
    assert "UserUnit" in ended.output


def test_a_pdf_of_several_pages_is_refused(pdf, tmp_path):
    """A cutter's program may take any of the pages."""

    def change(document):
        document.add_blank_page(page_size=(200, 200))

    ended = saved(pdf, tmp_path, change)
    assert ended.exit_code == 1
    assert "2 pages" in ended.output


def test_the_pdf_itself_is_sound(pdf, tmp_path):
    assert saved(pdf, tmp_path, lambda document: None).exit_code == 0
