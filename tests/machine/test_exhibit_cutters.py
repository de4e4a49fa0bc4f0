"""Exhibits for cutters: one face or two, margins as pins allow, refused before any work."""

import pytest
from benches import cutter, laser

from cutfiles.errors import FormatError, ReadingError
from cutfiles.exhibit.plan import ExhibitPlan, bounded
from cutfiles.exhibit.run import make_exhibit
from cutfiles.film.register import pin_holes
from cutfiles.film.rules import PIN_ROOM, Rules
from cutfiles.job.beside import verify_recorded
from cutfiles.job.order import Order
from cutfiles.line.check import check_job
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.shapes import Box, rectangle

LIST = "number,height mm,width mm,spine width mm,opening angle\nT1,60,45,20,110\nT2,70,50,20,110\n"
BED = {"width": "1200 mm", "length": "1200 mm", "range_most": 64000}


@pytest.fixture
def books(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


def made(books, machine=None, rules=None, **order):
    plan = ExhibitPlan(
        name="x", order=Order(cutter=machine, paper=None, **order), rules=rules or Rules()
    )
    return make_exhibit(books, books.parent / "out", plan)


def test_a_perforating_cutter_works_one_face_and_its_sheets_are_sent(books):
    machine = cutter(formats=["hpgl"], bed=BED, score={"method": "perforate"})
    done = made(books, machine)
    assert [sheet.state for sheet in done.sheets] == ["made"]
    file = books.parent / "out" / "sheets" / "sheet-001.face-a.hpgl"
    assert verify_recorded(file) == ()
    assert check_job(file, machine).before == ()
    names = {path.name for path in file.parent.iterdir()}
    assert "sheet-001.marks.csv" not in names
    assert "sheet-001.face-b.hpgl" not in names


def test_margins_as_narrow_as_pins_need(books):
    """The limit of an exhibit's margin is what pin holes need, and holds for both faces."""
    done = made(books, cutter(formats=["hpgl"], bed=BED), Rules(margin=PIN_ROOM))
    assert [sheet.state for sheet in done.sheets] == ["made"]
    with pytest.raises(ReadingError, match=f"margin from {PIN_ROOM:g} to"):
        Rules(margin=PIN_ROOM - 0.1)
    piece = Stroke(Role.OUTLINE, "outline", rectangle(Box(4.9, 5.0, 95.0, 95.0)))
    with pytest.raises(FormatError, match=r"4\.9 mm of waste"):
        pin_holes(100.0, 100.0, (piece,))


@pytest.mark.parametrize(
    ("order", "said"),
    [
        ({"formats": ("gcode",)}, 'the format "gcode" of sheets for people'),
        ({"formats": ("svg", "nonsense")}, 'the format "nonsense"'),
        ({"machine": laser(formats=["gcode"])}, r"no \[\[material\]\]"),
    ],
)
def test_what_every_sheet_would_be_refused_for_is_refused_before_any_work(books, order, said):
    with pytest.raises(FormatError, match=said):
        made(books, order.pop("machine", None), **order)
    assert not (books.parent / "out").exists()


def test_a_named_format_bounds_the_sheets(books):
    """Rolls are 1016 mm wide, HP-GL holds 819: named, every sheet is made in it."""
    done = made(books, formats=("hpgl",))
    assert all(sheet.width <= 819.2 for sheet in done.sheets)
    assert all(f"{sheet.number}.hpgl" in sheet.files for sheet in done.sheets)


@pytest.mark.parametrize(("tiles", "along"), [("none", 590.0), ("feed", 1400.0), ("shift", 1400.0)])
def test_sheets_are_as_long_as_the_bed_where_film_is_not_moved_on(tiles, along):
    """Longer ones would be refused by the cutter when all is done, shorter ones waste film."""
    bed = {"width": "800 mm", "length": "600 mm", "margin": "5 mm", "tiles": tiles}
    plan = ExhibitPlan(name="x", order=Order(cutter=cutter(bed=bed)), rules=Rules(longest=1400))
    assert bounded(plan).rules.bed == (790.0, along)
