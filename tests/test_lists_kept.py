"""Lists as institutions keep them: sizes in words, several worksheets, headers in two rows, hostile
cells; what cannot be known is asked once, with all its rows."""

import time
import zipfile

import pytest
from click.testing import CliRunner
from conftest import outside_module

from cutfiles.cli import cli
from cutfiles.errors import FileError
from cutfiles.lists.causes import causes_of, rows_told
from cutfiles.lists.extent import check_extent
from cutfiles.lists.headers import ColumnMapping, column_of, known_fields
from cutfiles.lists.ledger import read_list, write_list
from cutfiles.lists.limits import LONGEST_CELL
from cutfiles.lists.mapping import mapping_text, read_mapping
from cutfiles.lists.names import name_of
from cutfiles.lists.notes import most_in_notes

HEAD = "No,Title,Size,Spine,Opens to,Notes\n"


def listed(tmp_path, text, known=None):
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    return read_list(path, known)


def one(tmp_path, size, *, head=HEAD, angle=110, note="", known=None):
    (row,) = listed(tmp_path, f'{head}1,Book,"{size}",3 cm,{angle},{note}\n', known).rows
    return row


def asked(row):
    return {fault.key for fault in row.faults}


# -- sizes in one cell -----------------------------------------------------------------------------


def test_sizes_are_read_from_words(tmp_path):
    row = one(tmp_path, "Overall (closed): 8 1/2 × 5 1/2 in. (21.6 × 14 cm)")
    assert row.slip.book.height == pytest.approx(8.5 * 25.4)
    assert row.slip.opening.left.width == pytest.approx(5.5 * 25.4)


@pytest.mark.parametrize(
    ("size", "key"),
    [
        ("4 x 38 x 3 cm", "size-wide"),
        ("20 x 13 cm (each)", "size-each"),
        ("30 x 20 cm, folded to 15 x 10 cm", "size-folded"),
        ("20 x 13 x 3", "bare-number"),
        ("20 x 13 cm (9 x 5 in.)", "size-units"),
    ],
)
def test_sizes_that_cannot_be_known_are_asked_once(tmp_path, size, key):
    row = one(tmp_path, size)
    assert row.slip is None
    assert [fault.key for fault in row.faults] == [key]
    assert str(row.faults[0].place) == "list.csv, row 2, column Size"
    assert f'"{size}"' in row.faults[0].found


def test_the_header_tells_the_order(tmp_path):
    row = one(tmp_path, "13 x 20", head=HEAD.replace("Size", "B x H (cm)"))
    assert (row.slip.book.height, row.slip.opening.left.width) == (200, 130)
    wide = one(tmp_path, "13 x 20", head=HEAD.replace("Size", "H x W (cm)"))
    assert (wide.slip.book.height, wide.slip.opening.left.width) == (130, 200)


def test_a_mapping_tells_the_order_and_keeps_it(tmp_path):
    saved = tmp_path / "columns.toml"
    saved.write_text('[column_orders]\nSize = "W x H"\n', encoding="utf-8")
    known = read_mapping(saved)
    row = one(tmp_path, "13 x 20 cm", known=known)
    assert row.slip.book.height == 200
    books = read_list(tmp_path / "list.csv", known)
    saved.write_text(mapping_text(books.header, None), encoding="utf-8")
    assert read_mapping(saved).orders == known.orders


def test_the_height_alone_is_kept(tmp_path):
    text = "No,Size,W,Spine,Opens to\n1,85 pages ; 22 cm,14 cm,3 cm,110\n2,22 cm,,3 cm,110\n"
    whole, partial = listed(tmp_path, text).rows
    assert whole.slip.book.height == 220
    assert partial.values["height"] == "22 cm"
    assert [fault.place.path for fault in partial.faults] == ["width"]


def test_a_measure_in_two_units(tmp_path):
    head = "No,H,W,Spine,Opens to\n"
    sound, wrong = listed(
        tmp_path, head + "1,20 cm (7 7/8 in.),13 cm,3 cm,110\n2,20 cm (9 in.),13 cm,3 cm,110\n"
    ).rows
    assert sound.slip.book.height == 200
    assert asked(wrong) == {"size-units"}


# -- headers ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("header", "field", "unit"),
    [
        ("Opening (°)", "opening_angle", "°"),
        ("Opening", "opening", ""),
        ("Accession No.", "accession", ""),
        ("Höhe (mm)", "height", "mm"),
        ("HÖHE", "height", ""),
        ("Hauteur (en mm)", "height", "mm"),
        ("Öffnungswinkel", "opening_angle", ""),
        ("Numéro d'inventaire", "accession", ""),
        ("N° d'inventaire", "accession", ""),
        ("Épaisseur cm", "thickness", "cm"),
        ("Maße", "size", ""),
        ("HeightCM", "height", "cm"),
        ("WeightCM", "", ""),
        ("item_depth", "thickness", ""),
        ("Title[4601]", "title", ""),
        ("callNumber", "shelf_mark", ""),
        ("Hauteur page (en mm)", "", ""),
        ("Höhe x Breite x Tiefe", "size", ""),
        ("Encuadernación", "binding", ""),
    ],
)
def test_headers(header, field, unit):
    column = column_of(header)
    assert (column.field, column.unit) == (field, unit)


def test_close_spellings_are_only_suggested(tmp_path):
    books = listed(tmp_path, "No,Title,Heigth,W,Spine,Opens to\n1,B,20 cm,13 cm,3 cm,110\n")
    column = books.header.columns[2]
    assert (column.field, column.like) == ("", "height")
    assert ("column-not-used", "perhaps height") in {(c.rule, c.read) for c in books.ledger}
    assert '"Heigth" = ""  # perhaps "height"' in mapping_text(books.header, None)


def test_an_inventory_number_is_the_number_where_no_other_is(tmp_path):
    tail = ",H,W,Spine,Opens to\n{}1999.4,20 cm,13 cm,3 cm,110\n"
    (row,) = listed(tmp_path, "Accession No." + tail.format("")).rows
    assert row.number == "1999.4"
    (row,) = listed(tmp_path, "No.,Accession No." + tail.format("7,")).rows
    assert (row.number, row.values["shelf_mark"]) == ("7", "1999.4")


def test_a_header_in_two_rows(tmp_path):
    text = "No,Title,Height,Width,Spine,Opening\n,,mm,mm,mm,°\n1,B,203,133,34,110\n"
    books = listed(tmp_path, text)
    assert (books.header.row, books.header.rows) == (2, 2)
    (row,) = books.rows
    assert (row.slip.book.height, row.slip.opening.opening_angle) == (203, 110)
    text = "No,Title,Dimensions (cm),,,Opens to\n,,H,W,T,\n1,B,20.3,13.3,3.4,110\n"
    (row,) = listed(tmp_path, text).rows
    assert row.slip.book.height == 203
    saved = tmp_path / "columns.toml"
    saved.write_text(mapping_text(read_list(tmp_path / "list.csv").header, None), "utf-8")
    assert listed(tmp_path, text, read_mapping(saved)).rows[0].slip == row.slip


def test_a_first_row_of_data_is_no_second_header(tmp_path):
    text = "No,Title,H (mm),W (mm),Spine (mm),Opens to\nA,Page,203,133,34,110\n"
    books = listed(tmp_path, text)
    assert (books.header.row, books.header.rows, len(books.rows)) == (1, 1, 1)


# -- worksheets ------------------------------------------------------------------------------------


def workbook(path, worksheets, merge=()):
    openpyxl = outside_module("openpyxl")
    outside_module("python_calamine")
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in worksheets.items():
        made = book.create_sheet(title)
        for row in rows:
            made.append(row)
        for span in merge if rows else ():
            made.merge_cells(span)
    book.save(path)
    return path


NAMES = ["No.", "Title", "H (mm)", "W (mm)", "Spine (mm)", "Opens to"]


def test_every_worksheet_with_a_list_is_read_and_the_others_named(tmp_path):
    path = workbook(
        tmp_path / "list.xlsx",
        {
            "Case A": [NAMES, [1, "One", 203, 133, 34, 110], [2, "Two", 203, 133, 34, "x"]],
            "Contacts": [["who", "what"], ["conservator", "books"]],
            "Case B": [["plan"], NAMES, [1, "Three", 203, 133, 34, 110]],
            "empty": [],
        },
    )
    books = read_list(path)
    assert books.name == "list.xlsx"
    assert [row.row for row in books.rows] == [2, 3, 6]
    assert [row.values["case"] for row in books.rows] == ["Case A", "Case A", "Case B"]
    assert [c.found for c in books.ledger if c.rule == "worksheet-not-read"] == ["Contacts"]
    places = [str(fault.place) for row in books.rows for fault in row.faults]
    assert "list.xlsx, worksheet Case A, row 3, column Opens to" in places
    assert any("row 3 of list.xlsx, worksheet Case B" in str(f) for f in books.rows[0].faults)
    told = CliRunner().invoke(cli, ["list", str(path)]).output
    assert "list.xlsx, worksheet Case B, header in row 2" in told
    assert "Contacts" in told
    assert len(read_list_again(tmp_path, books).rows) == 3


def read_list_again(tmp_path, books):
    clean = tmp_path / "clean.csv"
    clean.write_bytes(write_list(books))
    return read_list(clean)


def test_merged_headers(tmp_path):
    rows = [
        ["No.", "Title", "Dimensions (mm)", None, None, "Opens to"],
        [None, None, "Height", "Width", "Thickness", None],
        [1, "One", 203, 133, 34, 110],
    ]
    path = workbook(tmp_path / "list.xlsx", {"List": rows}, ["C1:E1", "A1:A2", "B1:B2", "F1:F2"])
    books = read_list(path)
    assert books.header.rows == 2
    assert books.rows[0].slip.book.height == 203


# -- dittos, notes, causes -------------------------------------------------------------------------


def test_a_ditto_that_repeats_something_else_is_asked(tmp_path):
    rows = ["1,A,20 cm,13 cm,3 cm,110", "2,B,24 cm,13 cm,3 cm,110", "3,C,dto.,13 cm,3 cm,110"]
    head = "No,Title,H,W,Spine,Opens to\n"
    books = listed(tmp_path, head + "\n".join(rows))
    saved = tmp_path / "columns.toml"
    saved.write_text(mapping_text(books.header, None, books.repeated), encoding="utf-8")
    known = read_mapping(saved)
    assert known.repeated == {"3 height": "24 cm"}
    assert listed(tmp_path, head + "\n".join(rows), known).rows[2].slip.book.height == 240
    changed = listed(tmp_path, head + "\n".join([rows[0], rows[2]]), known).rows[1]
    assert changed.slip is None
    assert asked(changed) == {"repeated"}
    assert '"24 cm"; now "20 cm"' in str(changed.faults[0])


@pytest.mark.parametrize(
    ("note", "most"),
    [
        ("do not open past 90 degrees", 90),
        ("Never open beyond 100°!", 100),
        ("max. 110°", 110),
        ("maximum opening angle: 95 deg", 95),
        ("120° max", 120),
        ("nicht weiter als 80° öffnen", 80),
        ("ne pas ouvrir à plus de 100°", 100),
        ("no abrir más de 90 grados", 90),
        ("turn by 90° in the case", None),
        ("not on loan; 120 leaves", None),
        ("no. 90", None),
    ],
)
def test_limits_in_notes(note, most):
    assert most_in_notes(note) == most


def test_a_note_that_sets_a_limit_is_held_against_the_opening(tmp_path):
    row = one(tmp_path, "20 x 13 cm", angle=140, note="do not open past 90 degrees")
    assert row.slip is None
    assert asked(row) == {"note-limit"}
    assert "do not open past 90 degrees" in row.faults[0].needed
    assert one(tmp_path, "20 x 13 cm", angle=90, note="do not open past 90 degrees").slip


def test_a_cause_is_told_once_with_its_rows(tmp_path):
    rows = "".join(f"{n},B,20 x {n},3 cm,110,\n" for n in range(10, 16))
    books = listed(tmp_path, HEAD + rows)
    (cause,) = causes_of(fault for row in books.rows for fault in row.faults)
    assert cause.rows == (2, 3, 4, 5, 6, 7)
    assert rows_told(cause.rows) == "2-7"
    told = CliRunner().invoke(cli, ["list", str(tmp_path / "list.csv")]).output
    assert told.count("write its unit") == 1
    assert "6 rows (2-7)" in told


def test_a_cause_in_several_columns_is_one(tmp_path):
    books = listed(tmp_path, "No,H,W,Spine,Opens to\n1,20,13,3 cm,110\n2,20,13,3,110\n")
    (cause,) = books.causes
    assert (cause.rows, cause.columns) == ((2, 3), ("H", "W", "Spine"))
    told = CliRunner().invoke(cli, ["list", str(tmp_path / "list.csv")]).output
    assert "columns H, W, Spine, 2 rows (2, 3): a bare number" in told


def test_a_mapping_to_edit_is_written_where_no_header_is_found(tmp_path):
    path, saved = tmp_path / "list.csv", tmp_path / "columns.toml"
    path.write_text("Our list\nTicket,Tall,Across\n1,20,13\n", encoding="utf-8")
    ended = CliRunner().invoke(cli, ["list", str(path), "--save-mapping", str(saved)])
    assert ended.exit_code == 1
    text = saved.read_text(encoding="utf-8")
    assert "header_row = 2" in text
    assert '"Ticket" = ""' in text
    assert read_mapping(saved).header_row == 2


# -- hostile ---------------------------------------------------------------------------------------


def test_a_cell_in_the_last_corner_is_refused_by_name(tmp_path):
    openpyxl = outside_module("openpyxl")
    outside_module("python_calamine")
    book = openpyxl.Workbook()
    book.active.append(NAMES)
    book.active.cell(1_048_576, 16_384, "x")
    book.save(tmp_path / "far.xlsx")
    with pytest.raises(FileError, match="a cell at XFD1048576"):
        read_list(tmp_path / "far.xlsx")


def test_a_far_cell_of_an_open_document_is_refused(tmp_path):
    row = '<table:table-row table:number-rows-repeated="{}">{}</table:table-row>'
    empty = '<table:table-cell table:number-columns-repeated="16383"/>'
    near, far = tmp_path / "near.ods", tmp_path / "far.ods"
    for path, last in ((near, ""), (far, '<table:table-cell office:value-type="string"/>')):
        with zipfile.ZipFile(path, "w") as packed:
            rows = row.format(1_048_575, empty) + row.format(1, empty + last)
            packed.writestr("content.xml", f'<table:table table:name="a">{rows}</table:table>')
    with pytest.raises(FileError, match="a cell at XFD1048576"):
        check_extent(far.read_bytes(), "far.ods")
    check_extent(near.read_bytes(), "near.ods")


@pytest.mark.parametrize("text", ["9" * 40_000, "1 " * 20_000, "x" * 40_000, "(" * 40_000])
@pytest.mark.parametrize("column", range(5))
def test_a_cell_without_end_does_not_hang(tmp_path, text, column):
    cells = ["1", "Book", "20 x 13 cm", "3 cm", "110", ""]
    cells[column] = text
    began = time.process_time()
    books = listed(tmp_path, HEAD + ",".join(cells) + "\n")
    assert time.process_time() - began < 2
    assert books.rows[0].slip is None
    assert any(str(LONGEST_CELL) in fault.needed for fault in books.rows[0].faults)


def test_a_header_without_end_does_not_hang(tmp_path):
    began = time.process_time()
    books = listed(tmp_path, HEAD.rstrip() + f",{'a x ' * 10_000}\n1,B,20 x 13 cm,3 cm,110,,\n")
    assert time.process_time() - began < 2
    assert books.rows[0].slip is not None


def test_known_columns_stay_known():
    known = ColumnMapping(columns={"Opening (°)": "note"})
    assert column_of("Opening (°)", known).field == "note"


@pytest.mark.parametrize("path", known_fields())
def test_a_cleaned_list_names_each_field_so_that_it_is_read_back(path):
    assert column_of(name_of(path)).field == path


def test_a_cleaned_list_with_settings_reads_back(tmp_path):
    text = (
        "No,Title,H,W,Spine,Opens to,Pages of the book,Support film,Edges\n"
        "A1,One,203 mm,133 mm,34 mm,120,180,PET 5 mil,cut\n"
    )
    mapping = ColumnMapping(columns={"Pages of the book": "pages"})
    (tmp_path / "list.csv").write_text(text)
    books = read_list(tmp_path / "list.csv", mapping)
    (tmp_path / "clean.csv").write_bytes(write_list(books))
    again = read_list(tmp_path / "clean.csv")
    assert dict(again.rows[0].values) == dict(books.rows[0].values)
    assert again.rows[0].values["support.film"] == "PET 5 mil"
    assert again.rows[0].values["pages"] == "180"


def test_how_a_file_was_read_has_a_rule_of_its_own(tmp_path):
    path = tmp_path / "list.csv"
    path.write_bytes(f"{HEAD}A1,Gärten,203 x 133 mm,34 mm,120,\n".encode("cp1252"))
    rules = {change.rule: change.read for change in read_list(path).ledger if not change.row}
    assert "Windows-1252" in rules["file-read-otherwise"]
    assert "wrong-code-page" not in rules


def test_what_is_answered_of_a_cell_is_read_as_if_it_stood_there(tmp_path):
    text = "No,H,W,Spine\n1,20 cm,13,3 cm\n2,20 cm,13 cm,3 cm\n"
    said = {
        ("list.csv", 2, "width"): "13 cm",
        ("list.csv", 2, "opening_angle"): "110",
        ("list.csv", 3, "opening_angle"): "90°",
        ("list.csv", 3, "width"): "13 cm",  # as it stands: no change
        ("list.csv", 3, "left_rise"): "",  # nothing, in a column that is not there
        ("list.csv", 1, "height"): "30 cm",  # the header is no book
        ("list.csv", 9, "height"): "30 cm",
        ("other.csv", 3, "height"): "30 cm",
    }
    (tmp_path / "list.csv").write_text(text, encoding="utf-8")
    books = read_list(tmp_path / "list.csv", ColumnMapping(cells=said))
    assert [row.slip.opening.opening_angle for row in books.rows] == [110, 90]
    told = [(c.row, c.column, c.found, c.read) for c in books.ledger if c.rule == "answered"]
    assert told == [
        (2, "W", "13", "13 cm"),
        (2, "opening_angle", "", "110"),
        (3, "opening_angle", "", "90°"),
    ]
    (tmp_path / "clean.csv").write_bytes(write_list(books))
    again = read_list(tmp_path / "clean.csv")
    assert [row.slip.opening for row in again.rows] == [row.slip.opening for row in books.rows]
