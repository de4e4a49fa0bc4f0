"""An exhibit whose every sheet would be refused is refused before the work begins."""

import pytest
from click.testing import CliRunner
from dangers.jobs import laser

from cutfiles.bench.at_hand import FilmAtHand
from cutfiles.cli import cli
from cutfiles.errors import FileError, FormatError
from cutfiles.exhibit.plan import ExhibitPlan, left_out
from cutfiles.exhibit.run import make_exhibit
from cutfiles.film.shelf import supply_from_text
from cutfiles.job.order import Order
from cutfiles.machine.profile.read import cutter_from, find_cutter

BOOK = """number,title,height,width,spine width,left rise,right rise
X1,One,58 mm,38 mm,11 mm,24 mm,24 mm
"""


@pytest.fixture
def books(tmp_path):
    path = tmp_path / "books.csv"
    path.write_text(BOOK, encoding="utf-8")
    return path


def worked(what, done, total):
    pytest.fail("the work began")


def test_gcode_without_a_material_is_refused_before_the_work(books, tmp_path):
    values = dict(find_cutter(str(laser(tmp_path))).values)
    del values["material"]
    plan = ExhibitPlan(name="x", order=Order(cutter=cutter_from(values, "x.toml")))
    with pytest.raises(FormatError, match=r"no \[\[material\]\]; .*cut a coupon"):
        make_exhibit(books, tmp_path / "out", plan, progress=worked)
    assert not (tmp_path / "out").exists()


def test_a_lot_no_coupon_knows_is_refused_before_the_work(books, tmp_path):
    order = Order(cutter=find_cutter("wide-roll-knife"), lot="L7")
    with pytest.raises(FileError, match='the film lot "L7"; lots the profile knows: none'):
        make_exhibit(books, tmp_path / "out", ExhibitPlan(name="x", order=order), progress=worked)
    assert not (tmp_path / "out").exists()


def test_formats_that_a_roll_is_too_wide_for_are_told_at_the_start(books, tmp_path):
    done = CliRunner().invoke(
        cli, ["exhibit", str(books), "--to", str(tmp_path / "out"), "--workers", "1"]
    )
    assert done.exit_code == 0, done.output
    assert done.stderr.startswith("HP-GL holds at most 819 mm either way: sheets of roll")
    assert "may come without it" in done.stderr


def test_what_fits_is_not_told():
    narrow = FilmAtHand(shelf=(supply_from_text("roll 610 mm"),))
    assert left_out(ExhibitPlan(name="x", at_hand=narrow)) == ()
    assert left_out(ExhibitPlan(name="x", order=Order(formats=("hpgl",)))) == ()
    assert left_out(ExhibitPlan(name="x", order=Order(cutter=find_cutter("laser")))) == ()
    assert len(left_out(ExhibitPlan(name="x"))) == 1
