"""The measuring round: slips case by case, a list that comes back filled in, film assumed."""

import csv
import io
from dataclasses import replace

import pytest
from conftest import outside_module
from pages import check_tidy, codes_of, text_of

from cutfiles.bench.at_hand import USUAL_SHELF
from cutfiles.exhibit import rounds
from cutfiles.exhibit.pieces import pieces_of
from cutfiles.exhibit.plan import ExhibitPlan
from cutfiles.exhibit.rounds import NOTHING_CUT, RoundPlan, assumed_film, measuring_round
from cutfiles.exhibit.run import make_exhibit
from cutfiles.film.rules import Rules
from cutfiles.job.order import Order
from cutfiles.lists.headers import column_of
from cutfiles.lists.ledger import read_list
from cutfiles.lists.rounds import round_table, to_measure, usual_opening

LIST = (
    "Cat. no.,Title,Shelf mark,Dimensions,Binding,Case,Lux,Donor\n"
    'K1,Herbal,GC 12,"Overall (closed): 20.3 × 13.3 × 3.4 cm","calf, tight back",1,50,A. N.\n'
    "K2,Gärten & Höfe,=1+1,198 x 121 x 28 mm,paperback,2,50,\n"
    'K3,Seeds,GC 14,"8 in x 5 in x 1 in",,1,100,\n'
    "K4,Unmeasured,GC 15,,cloth,2,100,\n"
)
FILLED = {
    "opening": "p. 10-11",
    "left_width": "131",
    "right_width": "132,5",
    "spine_width": "33",
    "left_rise": "60",
    "right_rise": "58",
    "left_joint": "0",
    "right_joint": "0",
    "left_side": "17",
    "right_side": "16",
    "weight": "640",
    "height": "203",
}


@pytest.fixture(scope="module")
def books(tmp_path_factory):
    path = tmp_path_factory.mktemp("list") / "list.csv"
    path.write_text(LIST, encoding="utf-8")
    return read_list(path)


@pytest.fixture(scope="module")
def files(books):
    return measuring_round(books, RoundPlan())


def test_a_pdf_for_each_case_with_what_is_known_and_blanks_for_the_rest(books, files):
    assert [*files] == ["measuring-1.pdf", "measuring-2.pdf", "to-measure.csv", "to-measure.xlsx"]
    for name in ("measuring-1.pdf", "measuring-2.pdf"):
        check_tidy(files[name])
    first, second = text_of(files["measuring-1.pdf"])
    assert "Herbal" in first
    assert "GC 12" in first
    assert "203" in first or "20.3" in first
    assert "Seeds" in second
    blanks = {one.known["number"]: one.blanks for one in to_measure(books)}
    assert {"opening", "left_rise", "weight", "spine_width"} <= {*blanks["K1"]}
    assert "height" not in blanks["K1"]
    assert {"height", "left_width"} <= {*blanks["K4"]}


def test_the_code_holds_the_number(files):
    assert codes_of(files["measuring-1.pdf"]) == ["K1", "K3"]  # a page each


def test_six_to_a_page(books):
    six = measuring_round(books, RoundPlan(six=True, paper="Letter"))
    for name in ("measuring-1.pdf", "measuring-2.pdf"):
        check_tidy(six[name])
    (page,) = text_of(six["measuring-1.pdf"])
    assert "K1" in page
    assert "left_rise" in page
    assert set(codes_of(six["measuring-1.pdf"])) == {"K1", "K3"}


def filled_in(rows, books):
    """The rows with what is to be measured of each book filled in, and nothing else."""
    head, *rest = rows
    fields = [column_of(name).field for name in head]
    out = [head]
    for row, one in zip(rest, to_measure(books), strict=True):
        fill = {name: FILLED[name] for name in one.blanks}
        out.append([text or fill.get(f, "") for f, text in zip(fields, row, strict=True)])
    return out


def values(books):
    return [{k: v for k, v in row.values.items() if v} for row in books.rows]


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_the_list_reads_back_exactly_blank_and_filled(tmp_path, books, files, kind):
    path = tmp_path / f"to-measure.{kind}"
    path.write_bytes(files[f"to-measure.{kind}"])
    again = read_list(path)
    known = [{k: v for k, v in one.items() if k != "size"} for one in values(books)]
    assert values(again) == [{**one, "units": "mm"} for one in known]
    assert [row.extra for row in again.rows] == [row.extra for row in books.rows]
    rules = {change.rule for change in again.ledger}
    assert rules <= {"unit-of-column", "column-not-used", "formula-kept-as-text"}
    if kind == "csv":
        rows = list(csv.reader(io.StringIO(files["to-measure.csv"].decode("utf-8-sig"))))
        out = io.StringIO()
        csv.writer(out).writerows(filled_in(rows, books))
        path.write_text(out.getvalue(), encoding="utf-8")
    else:
        openpyxl = outside_module("openpyxl")
        book = openpyxl.load_workbook(path)
        sheet = book.active
        rows = filled_in([[cell.value or "" for cell in row] for row in sheet.iter_rows()], books)
        for i, row in enumerate(rows, 1):
            for k, text in enumerate(row, 1):
                if text and not sheet.cell(i, k).value:
                    number = text.replace(",", ".")
                    sheet.cell(i, k).value = float(number) if number.isdigit() else text
        book.save(path)
    full = read_list(path)
    assert not full.refused, [row.faults for row in full.rows]
    for before, after in zip(known, values(full), strict=True):
        assert {k: after[k] for k in before} == before
    slip = full.rows[3].slip
    assert slip.opening.right.width == 132.5
    assert slip.book.weight == 640
    assert slip.opening.left.slope == pytest.approx(27.26, abs=0.01)


def test_the_spreadsheet_keeps_texts_as_texts_and_shades_what_is_blank(files):
    openpyxl = outside_module("openpyxl")
    sheet = openpyxl.load_workbook(io.BytesIO(files["to-measure.xlsx"])).active
    assert sheet.freeze_panes == "A2"
    head = [cell.value for cell in sheet[1]]
    rise, height = head.index("left_rise"), head.index("height")
    assert {sheet.cell(2, k + 1).number_format for k in range(len(head))} == {"@"}
    assert sheet.cell(2, rise + 1).fill.fgColor.rgb == "FFFFF2CC"
    assert sheet.cell(2, height + 1).fill.fgColor.rgb != "FFFFF2CC"
    assert sheet.cell(5, height + 1).fill.fgColor.rgb == "FFFFF2CC"
    assert "=1+1" in [cell.value for cell in sheet[3]]
    assert sheet.cell(3, head.index("shelf_mark") + 1).data_type == "s"  # a text, no formula


def test_units_of_the_bench(books):
    rows = round_table(books, "in")
    assert "weight (oz)" in rows[0]
    assert {row[rows[0].index("units")] for row in rows[1:]} == {"in"}


def test_usual_openings():
    assert usual_opening("Limp vellum") == (100.0, "limp vellum")
    assert usual_opening("stab-sewn, cloth")[0] == 60.0
    assert usual_opening("?") == (90.0, "binding not known")


def test_film_is_assumed_and_says_so_everywhere(books):
    done = assumed_film(books, USUAL_SHELF, Rules(effort=20_000))
    told = {book.number: (book.assumed, book.film) for book in done.books}
    assert told["K1"][0] == "assumed: opens to 90° (tight back)"
    assert told["K2"][0] == "assumed: opens to 60° (glued paperback)"
    assert done.unknown == ("K4",)
    for data in done.tables.values():
        head, *rows = csv.reader(io.StringIO(data.decode("utf-8-sig")))
        assert rows
        for row in rows:
            if row[head.index("basis")] != NOTHING_CUT:
                assert not row[head.index("assumed")]
    films = list(csv.DictReader(io.StringIO(done.tables["film-assumed.csv"].decode("utf-8-sig"))))
    assert sum(float(row["needed"]) for row in films) > 0.4  # K2 is another support, and not cut
    assert {row["basis"] for row in films} == {NOTHING_CUT}


def test_film_is_assumed_for_the_pieces_that_will_be_cut(tmp_path, monkeypatch):
    """Of a list that is measured already: its exhibit cuts the same, each as often."""
    path = tmp_path / "list.csv"
    path.write_text(
        "No,Title,H,W,Spine,Opens to,Weight,Copies,Construction\n"
        "A1,Herbal,203 mm,133 mm,34 mm,120,600 g,3,posts\n"
        "A2,Seeds,150 mm,100 mm,20 mm,110,200 g,2,plain\n",
        encoding="utf-8",
    )
    laid = []

    def lay_out(pieces, *rest):
        laid.extend(pieces)
        return real(pieces, *rest)

    real = rounds.lay_out
    monkeypatch.setattr(rounds, "lay_out", lay_out)
    assumed_film(read_list(path), USUAL_SHELF, Rules(effort=20_000))
    asked = ExhibitPlan(name="show", order=Order(formats=("svg",), paper=None))
    made = make_exhibit(read_list(path), tmp_path / "out", asked)
    cut = [piece for one in made.supports for piece in pieces_of(one, one.facts)]

    def told(pieces):
        return [(one.width, one.height, one.gauge, one.count) for one in pieces]

    assert told(laid) == told(cut)
    assert [one.count for one in cut][:1] == [3]
    assert len(cut) == 4  # two strips, and posts of two legs
    assert {one.count % 3 for one in cut[1:3]} == {0}


def test_a_row_without_a_number_is_called_by_its_row(tmp_path):
    text = "No,Title,H,W,Spine,Opens to\n,Unmeasured,,,,\n,Tall,700 mm,480 mm,60 mm,120\n"
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    done = assumed_film(read_list(path), USUAL_SHELF, Rules(effort=20_000))
    assert done.unknown == ("row 2", "row 3")


REFUSED = (
    "No,Title,H,W,Spine,Opens to,Weight,Cover,Binding\n"
    "R1,Herbal,203 mm,133 mm,34 mm,,,,tight back\n"
    "R2,Tall atlas,700 mm,480 mm,60 mm,,,,\n"
    "R3,Heavy,300 mm,220 mm,80 mm,120,9 kg,,\n"
    "R4,Narrow,203 mm,133 mm,34 mm,20,,,\n"
)


def test_no_film_is_ordered_for_books_that_will_be_refused(tmp_path, run):
    """What an exhibit of the same list refuses orders no film, and is told with the reason."""
    path, alone = tmp_path / "list.csv", tmp_path / "alone.csv"
    path.write_text(REFUSED, encoding="utf-8")
    alone.write_text("\n".join(REFUSED.split("\n")[:2]) + "\n", encoding="utf-8")
    rules = Rules(effort=20_000)
    done, one = (assumed_film(read_list(p), USUAL_SHELF, rules) for p in (path, alone))
    assert [book.number for book in done.refused] == ["R2", "R3", "R4"]
    assert done.unknown == ()
    assert done.tables["film-assumed.csv"] == one.tables["film-assumed.csv"]
    rows = csv.DictReader(io.StringIO(done.tables["books-assumed.csv"].decode("utf-8-sig")))
    why = {row["number"]: (row["film"], row["why_not"]) for row in rows}
    assert why["R1"][0]
    assert not why["R1"][1]
    assert all(not film and reason for film, reason in [why["R2"], why["R3"], why["R4"]])
    said = run("round", path, "--to", tmp_path / "round", "--assume")
    for number in ("R2", "R3", "R4"):
        assert f"  {number}: no film is ordered: {why[number][1]}\n" in said
    out = make_exhibit(path, tmp_path / "out", ExhibitPlan(name="x", order=Order(formats=("svg",))))
    assert [s.number for s in out.supports if s.facts] == []
    assert {s.number for s in out.supports if s.faults} >= {"R2", "R3", "R4"}


def test_a_list_with_assumed_openings_is_never_made(books, tmp_path):
    """What was assumed to order film by is in no slip: the exhibit refuses those rows as before."""
    assumed_film(books, USUAL_SHELF, Rules(effort=20_000))
    assert len(books.refused) == len(books.rows)
    assert not [row for row in books.rows if row.slip is not None]


def test_the_same_list_gives_the_same_bytes(books, files):
    assert measuring_round(books, RoundPlan()) == files
    closed = replace(books, rows=(replace(books.rows[0], closed=True), *books.rows[1:]))
    assert len(text_of(measuring_round(closed, RoundPlan())["measuring-1.pdf"])) == 1


def test_what_the_list_leaves_open_is_told_with_the_round(tmp_path, run):
    path = tmp_path / "list.csv"
    path.write_text(
        "No,H,W,Spine,Opens to,Notes\n9.3a-c,20 cm,13 cm,3 cm,,\n2,20 cm,13 cm,3 cm,120,"
        "do not open past 90 degrees\n",
        encoding="utf-8",
    )
    said = run("round", path, "--to", tmp_path / "round")
    assert "to be asked, or measured again:" in said
    assert "this numbers several" in said
    assert 'at most 90°, as its note says: "do not open past 90 degrees"' in said
    assert "opening angle, or two rises" not in said


def test_the_command(tmp_path, run):
    path, out = tmp_path / "list.csv", tmp_path / "round"
    path.write_text(LIST, encoding="utf-8")
    said = run("round", path, "--to", out, "--assume")
    assert "measuring-2.pdf" in said
    assert "film-assumed.csv (assumed)" in said
    assert "K1: assumed: opens to 90° (tight back)" in said
    (out / "to-measure.csv").write_text("filled in")
    from click.testing import CliRunner

    from cutfiles.cli import cli

    again = CliRunner().invoke(cli, ["round", str(path), "--to", str(out)])
    assert again.exit_code == 1
    assert (out / "to-measure.csv").read_text() == "filled in"
