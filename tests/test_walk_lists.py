"""Four lists as institutions keep them, read from end to end: nothing silently wrong, each row made
or asked about, and the questions few enough to be answered in one sitting."""

import csv
import io

import pytest
from click.testing import CliRunner
from conftest import outside_module
from spreadsheets import save_opendocument

from cutfiles.cli import cli
from cutfiles.lists.ledger import read_list
from cutfiles.lists.mapping import read_mapping

FREE = [
    # size as a museum words it, height and width in mm where the row can be made, else a key
    ("Overall (closed): 8 1/2 × 5 1/2 × 1 1/4 in. (21.6 × 14 × 3.2 cm)", (215.9, 139.7)),
    ("H 17.8 x W 12.4 x D 3.8 cm", (178, 124)),
    ("27 cm (height)", "needs-width"),
    ("Each: 20 x 13 x 3 cm", "size-each"),
    ("Folio; 52 × 34 × 7 cm", (520, 340)),
    ("book: 24.1 x 16.5 x 3 cm; sheet: 23.5 x 16 cm", (241, 165)),
    ("24.1 x 16.5 x 3 cm, in slipcase", "size-held"),
    ("4 x 38 x 3 cm", "size-wide"),
    ("19 x 26 x 2 cm", "size-wide"),
    ("19 x 26 x 2 cm (oblong)", (190, 260)),
    ("ca. 20,5 x 13,2 x 3 cm", (205, 132)),
    ("20-24 x 15 x 3 cm", "size-range"),
    ("23 x 15 x 3", "bare-number"),
    ("9 1/8 × 6 5/8 × 3/4 in. (23.2 × 16.8 × 1.9 cm)", (231.775, 168.275)),
    ("9 1/8 × 6 5/8 × 3/4 in. (28.2 × 16.8 × 1.9 cm)", "size-units"),
    ("xii, 345 p. : ill. ; 25 x 18 cm", "needs-spine"),
    ("vols. 1-3, 25 x 18 x 4 cm", "size-set"),
    ("25 x 18 x 4 cm (a–c)", "size-set"),
    ("open: 25 x 37 cm", "size-opened"),
    ("see file", "size-nothing"),
]


def keys(row):
    return {fault.key or fault.place.path for fault in row.faults}


def test_free_text_sizes(tmp_path):
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(["Accession No.", "Title", "Dimensions", "Opening (°)", "Remarks"])
    for place, (size, _) in enumerate(FREE, 1):
        table.writerow([f"L{place}", f"Book {place}", size, 110, ""])
    path = tmp_path / "loans.csv"
    path.write_text(out.getvalue(), encoding="utf-8")
    books = read_list(path)
    for row, (size, wanted) in zip(books.rows, FREE, strict=True):
        if isinstance(wanted, tuple):
            assert row.slip is not None, (size, row.faults)
            found = (row.slip.book.height, row.slip.opening.left.width)
            assert found == pytest.approx(wanted, abs=0.1)
        else:
            assert row.slip is None, size
            if wanted.startswith("size-") and wanted != "size-opened":
                assert keys(row) == {wanted}, size
    assert len(books.rows) == 20
    assert len([row for row in books.rows if row.slip]) == 7
    assert all(len(row.faults) <= 2 for row in books.refused)


def workbook(path, worksheets):
    openpyxl = outside_module("openpyxl")
    outside_module("python_calamine")
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, (rows, merged) in worksheets.items():
        made = book.create_sheet(title)
        for row in rows:
            made.append(row)
        for span in merged:
            made.merge_cells(span)
    book.save(path)
    return path


def test_a_workbook_of_three_worksheets_with_merged_headers(tmp_path):
    upper = ["Cat. No.", "Title", "Closed dimensions (mm)", None, None, "Opening (°)", "Notes"]
    lower = [None, None, "H", "W", "T", None, None]
    merged = ["A1:A2", "B1:B2", "C1:E1", "F1:F2", "G1:G2"]
    first = [
        upper,
        lower,
        [1, "Almanack", 180, 120, 22, 110, None],
        [2, "Herbal", 240, 160, 45, 140, "do not open past 90 degrees"],
        [3, "Psalter", 150, 100, None, 105, "spine to be measured"],
    ]
    second = [
        upper,
        lower,
        [4, "Atlas", 420, 290, 40, 110, None],
        [5, "Diary", "dto.", 120, 20, 115],
    ]
    path = workbook(
        tmp_path / "show.xlsx",
        {
            "Case 1": (first, merged),
            "Case 2": (second, merged),
            "Lenders": ([["lender", "contact"], ["a library", "by letter"]], []),
        },
    )
    books = read_list(path)
    rows = {row.number: row for row in books.rows}
    assert [number for number, row in rows.items() if row.slip] == ["1", "4", "5"]
    assert keys(rows["2"]) == {"note-limit"}
    assert {fault.place.path for fault in rows["3"].faults} <= {"spine_width", "thickness"}
    assert rows["4"].values["case"] == "Case 2"
    assert rows["5"].slip.book.height == 420
    assert [c.found for c in books.ledger if c.rule == "worksheet-not-read"] == ["Lenders"]


@pytest.mark.parametrize(
    ("name", "rows"),
    [
        (
            "deutsch.ods",
            [
                ["Leihliste Frühjahr", "", "", "", "", ""],
                ["Inventar-Nr.", "Titel", "Höhe x Breite x Tiefe", "Öffnungswinkel", "Vitrine", ""],
                ["K 1", "Kalender", "20,3 x 13 x 3 cm", "110°", "1", ""],
                ["K 2", "Kräuterbuch", "Höhe: 24 cm; Breite: 18 cm; Tiefe: 4 cm", "105°", "1", ""],
                ["K 3", "Gebetbuch", "Bd. 1–4: 20 x 13 x 3 cm", "105°", "2", ""],
            ],
        ),
        (
            "francais.ods",
            [
                ["N° d'inventaire", "Titre", "Dimensions (cm)", "Angle d'ouverture", "Vitrine"],
                ["F 1", "Almanach", "H. 20,3 x l. 13 x Ép. 3", "110", "1"],
                ["F 2", "Herbier", "24 x 18 x 4", "105", "1"],
                ["F 3", "Livre d'heures", "feuillet : 20 x 13", "105", "2"],
            ],
        ),
    ],
)
def test_open_documents_in_german_and_french(tmp_path, name, rows):
    save_opendocument(tmp_path / name, {"Liste": rows})
    books = read_list(tmp_path / name)
    made = {row.number: row.slip.book.height for row in books.rows if row.slip}
    refused = {row.number: keys(row) for row in books.refused}
    if name == "deutsch.ods":
        assert made == pytest.approx({"K 1": 203, "K 2": 240})
        assert refused == {"K 3": {"size-set"}}
    else:
        assert made == pytest.approx({"F 2": 240})
        assert refused == {"F 1": {"size-order"}, "F 3": {"size-other"}}


def test_from_a_list_in_inches_to_a_list_that_is_made_whole(tmp_path):
    """The walk: read, edit the mapping that was saved, read again with nothing left to ask."""
    path, saved, clean = tmp_path / "list.csv", tmp_path / "columns.toml", tmp_path / "clean.csv"
    rows = ["I1,Calendar,8 1/2 x 5 1/2 x 1 1/4,110", "I2,Diary,7⅛ x 4½ x ¾,105"]
    rows += ["I3,Oblong,5 1/2 x 8 1/2 x 1,110", "I4,Atlas,dto.,100"]
    path.write_text("Ticket,Title,Sizes,Opens to\n" + "\n".join(rows) + "\n", encoding="utf-8")
    first = CliRunner().invoke(cli, ["list", str(path), "--save-mapping", str(saved)])
    assert first.exit_code == 1
    assert first.output.count("write its unit") == 1
    text = saved.read_text(encoding="utf-8")
    text = text.replace('"Ticket" = ""', '"Ticket" = "number"').replace(
        "[column_units]", '[column_units]\n"Sizes" = "in"\n\n[column_orders]\n"Sizes" = "H x W x T"'
    )
    saved.write_text(text, encoding="utf-8")
    books = read_list(path, read_mapping(saved))
    assert [row.slip is not None for row in books.rows] == [True] * 4, books.causes
    second = CliRunner().invoke(
        cli, ["list", str(path), "--mapping", str(saved), "--clean", str(clean)]
    )
    assert second.exit_code == 0, second.output
    again = read_list(clean)
    assert [row.slip.opening for row in again.rows] == [row.slip.opening for row in books.rows]
    assert again.rows[2].slip.book.height == pytest.approx(5.5 * 25.4)
