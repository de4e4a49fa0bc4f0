"""Four lists from end to end: list, measuring round, filled in, exhibit, sheets cut, late loans."""

import csv
import io

import pytest
from click.testing import CliRunner
from conftest import outside_module
from pages import text_of
from spreadsheets import save_opendocument

from cutfiles.cli import cli
from cutfiles.lists.headers import column_of
from cutfiles.lists.ledger import read_list
from cutfiles.lists.rounds import to_measure

FILL = {
    "opening": "p. 10-11",
    "height": "150",
    "left_width": "100",
    "right_width": "100",
    "spine_width": "22",
    "left_rise": "42",
    "right_rise": "42",
    "left_joint": "0",
    "right_joint": "0",
    "left_side": "11",
    "right_side": "11",
    "weight": "120",
}
INCHES = {name: f"{float(text) / 25.4:.3f}" for name, text in FILL.items() if name != "opening"}
INCHES |= {"opening": "p. 10-11", "weight": "4.2"}


def as_csv(path):
    path.write_text(
        "Loans of the spring show\n\nObject no.,Title,Dimensions,Binding,Case\n"
        'L1,Herbal,"15 x 10 x 2.2 cm",tight back,1\nL2,Seeds,"148 x 99 x 21 mm",,1\n'
        'L3,Almanack,"H 15 x W 10 x D 2.2 cm",cloth,2\n',
        encoding="utf-8",
    )


def as_xlsx(path):
    openpyxl = outside_module("openpyxl")
    book = openpyxl.Workbook()
    book.active.title = "Notes"
    book.active.append(["Nothing to see here"])
    for name, numbers in (("Case 1", "AB"), ("Case 2", "C")):
        sheet = book.create_sheet(name)
        sheet.append(["No.", "Title", "Dimensions (mm)", "", ""])
        sheet.append(["", "", "H", "W", "T"])
        sheet.merge_cells("C1:E1")
        for letter in numbers:
            sheet.append([f"{letter}1", f"Book {letter}", 150, 100, 22])
    book.save(path)


def as_ods(path):
    save_opendocument(
        path,
        {
            "Leihgaben": (
                ("Nr.", "Titel", "Höhe (mm)", "Breite (mm)", "Dicke (mm)"),
                ("D1", "Gärten", "150", "100", "22"),
                ("D2", "Höfe", "150", "100", "21,5"),
            ),
            "Prêts": (
                ("N°", "Titre", "Hauteur en mm", "Largeur en mm", "Épaisseur en mm"),
                ("F1", "Herbier", "150", "100", "22"),
            ),
        },
    )


def as_inches(path):
    path.write_text(
        "Cat. no.;Title;Height (in);Width (in);Depth (in)\n"
        'I1;Herbal;5 7/8;3 15/16;7/8\nI2;Seeds;5.9";3.94";0.87"\n',
        encoding="utf-8",
    )


LISTS = {
    "loans.csv": (as_csv, "mm", 3),
    "objects.xlsx": (as_xlsx, "mm", 3),
    "leihgaben.ods": (as_ods, "mm", 3),
    "inches.csv": (as_inches, "in", 2),
}


def run(*words, code=0):
    done = CliRunner().invoke(cli, [*map(str, words)])
    assert done.exit_code == code, done.output
    return done.output


def filled(path, units, late=()):
    """What the bench writes into the list that was made for it; and rows that come late."""
    books = read_list(path)
    rows = list(csv.reader(io.StringIO(path.read_text("utf-8-sig"))))
    head = rows[0]
    fields = [column_of(name).field for name in head]
    known = INCHES if units == "in" else FILL
    out = [head]
    for row, one in zip(rows[1:], to_measure(books), strict=True):
        fill = {name: known[name] for name in one.blanks}
        out.append([text or fill.get(f, "") for f, text in zip(fields, row, strict=True)])
    for number in late:
        known_late = {**known, "number": number, "title": f"Late {number}", "units": units}
        out.append([known_late.get(field, "") for field in fields])
    text = io.StringIO()
    csv.writer(text).writerows(out)
    return text.getvalue()


@pytest.mark.parametrize("name", LISTS)
def test_from_a_list_to_late_loans(tmp_path, name):
    write, units, count = LISTS[name]
    path, round_, out = tmp_path / name, tmp_path / "round", tmp_path / "out"
    write(path)
    run("round", path, "--to", round_, "--units", units, "--assume")
    pages = [text for pdf in round_.glob("measuring*.pdf") for text in text_of(pdf.read_bytes())]
    assert len(pages) == count
    books = read_list(round_ / "to-measure.xlsx")
    assert len(books.rows) == len(books.refused) == count

    measured = tmp_path / "measured.csv"
    measured.write_text(filled(round_ / "to-measure.csv", units), encoding="utf-8")
    common = ("--to", out, "--format", "svg", "--workers", "1", "--effort", "quick")
    common += ("--longest", "400 mm", "--no-cards")
    said = run("exhibit", measured, *common)
    assert f"{count} made, 0 unchanged, 0 refused" in said
    by = ("--date", "2026-03-02", "--initials", "AB")
    run("mark", out, "cut", "sheet-001", *by)
    cut = {p.name: p.read_bytes() for p in (out / "sheets").glob("sheet-001.*")}
    assert cut

    late = tmp_path / "measured late.csv"
    late.write_text(filled(round_ / "to-measure.csv", units, ("Z1", "Z2")), encoding="utf-8")
    said = run("exhibit", late, *common)
    assert f"2 made, {count} unchanged, 0 refused" in said
    assert "Z1: came late" in said
    assert {p.name: p.read_bytes() for p in (out / "sheets").glob("sheet-001.*")} == cut
    _opened_by_others(out)


def _opened_by_others(out):
    """Readers of other makers open what was made."""
    svgelements = outside_module("svgelements")
    for path in (out / "sheets").glob("*.svg"):
        assert list(svgelements.SVG.parse(str(path)).elements())
    for path in out.glob("*.csv"):
        head, *rows = csv.reader(io.StringIO(path.read_text("utf-8-sig")))
        assert all(len(row) <= len(head) for row in rows), path.name
