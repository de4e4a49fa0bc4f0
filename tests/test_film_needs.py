"""Film of an exhibit: at hand, needed, left, to buy, its cost, by plain sums; what would save."""

import csv
import io
from dataclasses import replace

import pytest
from test_exhibit import listed
from test_living import HEAD, QUICK, ROWS, text

from cutfiles.bench.at_hand import FilmAtHand, Supply
from cutfiles.bench.films import read_films
from cutfiles.exhibit.buying import FilmNeed, needs_of
from cutfiles.exhibit.run import make_exhibit
from cutfiles.film.compare import film_missing, savings
from cutfiles.film.layout import Piece, lay_out, offcuts
from cutfiles.film.rules import Rules

ROLL = Supply(form="roll", name="roll", gauge=0.1778, width=800, length=800, price=10.0)
RULES = Rules(effort=20_000)


def rows_of(folder, name="order.csv"):
    return list(csv.DictReader(io.StringIO((folder / name).read_text("utf-8-sig"))))


@pytest.fixture(scope="module")
def short(tmp_path_factory):
    """Six books, and a roll that is too short for them."""
    folder = tmp_path_factory.mktemp("short")
    asked = replace(QUICK, at_hand=FilmAtHand(shelf=(ROLL,)))
    return folder / "out", make_exhibit(listed(folder, text()), folder / "out", asked)


def test_what_is_short_is_told_as_it_is(short):
    """The film of pieces that lie on no sheet is needed too: what is laid alone never suffices."""
    out, done = short
    assert any(support.unplaced for support in done.supports)
    laid = sum(sheet.height for sheet in done.sheets)
    needed = laid + sum(sheet.height for sheet in done.missing)
    pieces = sum(len(sheet.pieces) for sheet in (*done.sheets, *done.missing))
    assert pieces == len(ROWS)
    row = rows_of(out)[0]
    assert float(row["at_hand"]) == 0.8
    assert float(row["needed"]) == pytest.approx(needed / 1000, abs=0.006)
    assert float(row["left"]) == pytest.approx(0.8 - laid / 1000, abs=0.006)
    assert float(row["with_spare"]) == pytest.approx(1.2 * needed / 1000, abs=0.006)
    assert float(row["to_buy"]) == pytest.approx(1.2 * needed / 1000 - 0.8, abs=0.011)
    assert float(row["cost"]) == pytest.approx(10 * float(row["to_buy"]), abs=0.01)
    last = rows_of(out)[-1]
    assert (last["what"], last["cost"]) == ("film in all", row["cost"])
    said = (out / "report.txt").read_text()
    assert f"{needed / 1000:.2f} m are needed, 0.80 at hand" in said


def test_with_what_it_says_to_buy_everything_lies(short, tmp_path):
    """Buy what the table says, and the next run lays all of it."""
    out, _ = short
    bought = float(rows_of(out)[0]["to_buy"]) * 1000
    asked = replace(QUICK, at_hand=FilmAtHand(shelf=(replace(ROLL, length=800 + bought),)))
    done = make_exhibit(listed(tmp_path, text()), tmp_path / "out", asked)
    assert not [support for support in done.supports if support.unplaced]
    assert done.missing == ()
    assert float(rows_of(tmp_path / "out")[0]["to_buy"]) < 0.2 * bought / 1000


def test_what_does_not_hold_is_not_laid(tmp_path):
    """A limp heavy book is beyond the one film there is: made, told, on no sheet, not booked."""
    (tmp_path / "film.toml").write_text(
        '[[roll]]\ngauge = "5 mil"\nwidth = "800 mm"\nlength = "30 m"\n'
    )
    head = HEAD.replace("Weight,Case", "Weight,Cover")
    rows = (
        f"{head}A1,Fine,p. 1,140 mm,100 mm,20 mm,120,120 g,\n"
        "A2,Limp,p. 1,240 mm,170 mm,30 mm,120,900 g,limp\n"
    )
    films = read_films(tmp_path / "film.toml")
    asked = replace(QUICK, at_hand=films, table=str(tmp_path / "film.toml"), rules=RULES)
    done = make_exhibit(listed(tmp_path, rows), tmp_path / "out", asked)
    fine, limp = done.supports
    assert limp.facts.state == "another support"
    assert limp.sheets == ()
    assert "no film at hand carries the book" in limp.unplaced
    assert {piece.name.partition(" ")[0] for s in done.sheets for piece in s.pieces} == {"A1"}
    assert fine.sheets
    assert not done.complete
    taken = sum(one.amount for one in read_films(tmp_path / "film.toml").taken)
    assert taken == sum(sheet.height for sheet in done.sheets)
    laid = replace(asked, at_hand=read_films(tmp_path / "film.toml"))
    laid = replace(laid, order=replace(laid.order, anyway=True))
    anyway = make_exhibit(listed(tmp_path, rows), tmp_path / "out", laid)
    assert anyway.supports[1].sheets


def pieces(*sizes):
    return [
        Piece(name=f"p{i}", width=w, height=h, gauge=0.1778, shape="x")
        for i, (w, h) in enumerate(sizes)
    ]


@pytest.mark.parametrize(("form", "bought"), [("sheet", 2), ("offcut", 0)])
def test_sheets_that_are_short_are_bought_whole_and_offcuts_never(form, bought):
    """Two are needed and one is there; a fifth more as spare makes 2.4, so two more are bought."""
    film = Supply(form=form, name="f", gauge=0.1778, width=500, length=700, count=1, price=4.0)
    laid = lay_out(pieces((470, 600), (470, 600)), [replace(film, count=2)], RULES).sheets
    [need] = needs_of([film], laid[:1], laid[1:])
    assert (need.needed, need.to_buy, need.cost) == (2, bought, 4.0 * bought)
    assert need.with_spare == pytest.approx(2.4 if form == "sheet" else 2.0)
    assert (need.at_hand, need.laid, need.left) == (1, 1, 0)


@pytest.mark.parametrize(
    ("form", "there", "wanted", "bought"),
    [
        ("roll", 3000.0, 2.9, 0.0),
        ("roll", 3000.0, 4.2, 1.2),
        ("roll", 3000.0, 4.2301, 1.24),  # to the centimetre, up
        ("roll", None, 4.2, 4.2),  # nobody counted
        ("sheet", 1, 0.4, 0.0),
        ("sheet", 1, 3.0 + 1e-12, 2.0),
        ("sheet", 1, 3.1, 3.0),
        ("sheet", None, 1.2, 2.0),
        ("offcut", 1, 3.1, 0.0),
    ],
)
def test_what_is_bought_is_what_is_lacking_rounded_up(form, there, wanted, bought):
    own = {"length": there} if form == "roll" else {"length": 700.0, "count": there}
    film = Supply(form=form, name="f", gauge=0.1778, width=500, **own)
    need = FilmNeed(film=film, gauge=0.1778, needed=1.5, laid=0.7, with_spare=wanted)
    assert need.to_buy == bought
    cut = 0.0 if there is not None or form == "offcut" else 1.0  # was there, though not counted
    assert need._replace(cut=1.0).to_buy == pytest.approx(bought - cut)
    assert need.cost is None
    at_hand = there and (there / 1000 if form == "roll" else there)
    assert need.at_hand == at_hand
    assert need.left == (None if there is None else pytest.approx(at_hand - 0.7))


def test_a_width_that_saves_is_told():
    """Strips of 580 mm waste two fifths of a roll of 1016 mm; two of them fill one of 1220."""
    some = pieces(*[(580, 200)] * 12)
    roll = replace(ROLL, width=1016.0, length=None, creases="along")
    sheets = lay_out(some, [roll], RULES).sheets
    found = {one.what: one for one in savings(sheets, some, RULES)}
    assert found["width"].other in (610.0, 1220.0)
    asked = []

    def spread(work, tasks):
        asked.extend(tasks)
        return map(work, asked)

    assert [*savings(sheets, some, RULES, spread)] == [*found.values()]
    assert len(asked) == 9  # as it is, five other widths, three other lengths
    wide = lay_out(some, [replace(roll, width=found["width"].other)], RULES).sheets
    area = [sum(s.width * s.height for s in one) for one in (sheets, wide)]
    assert found["width"].share == pytest.approx(1 - area[1] / area[0], abs=0.01)
    assert found["width"].share > 0.3
    # on a bed no wider than the roll nothing wider helps
    narrow = replace(RULES, bed=(1016.0, 1500.0))
    assert {one.other for one in savings(sheets, some, narrow) if one.what == "width"} <= {610.0}


def test_nothing_is_told_that_saves_little():
    some = pieces(*[(990, 200)] * 7)
    roll = replace(ROLL, width=1016.0, length=None, creases="along")
    assert list(savings(lay_out(some, [roll], RULES).sheets, some, RULES)) == []


def test_rests_of_sheets_and_of_rolls_are_kept_by_number():
    some = pieces((400, 500))
    roll = replace(ROLL, width=1016.0, creases="along")
    sheet = Supply(form="sheet", name="s", gauge=0.1778, width=610.0, length=1016.0)
    (beside,) = offcuts({7: lay_out(some, [roll], RULES).sheets[0]}, RULES, "show")
    assert (beside.name, beside.width, beside.length) == ("show, rest of sheet 7", 603.0, 520.0)
    (above,) = offcuts({8: lay_out(some, [sheet], RULES).sheets[0]}, RULES, "show")
    assert (above.name, above.width) == ("show, rest of sheet 8", 610.0)
    again = lay_out(pieces((550, 480)), [beside], RULES)
    assert again.unplaced == ()


def test_missing_film_counts_every_piece():
    some = pieces(*[(700, 300)] * 5)
    done = lay_out(some, [replace(ROLL, length=700)], RULES)
    missing = film_missing(done.unplaced, [ROLL], RULES)
    assert sum(len(s.pieces) for s in (*done.sheets, *missing)) == 5
    assert film_missing((), [ROLL], RULES) == ()
