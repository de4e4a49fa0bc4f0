"""Lists as registrars keep them: header, synonyms, units, ledger, refusals, round trip."""

import csv
import datetime
import io

import pytest
from conftest import SAMPLES, outside_module
from hypothesis import given
from hypothesis import strategies as st
from spreadsheets import save_opendocument

from cutfiles.errors import FileError, SlipError
from cutfiles.lists.headers import ColumnMapping, column_of
from cutfiles.lists.ledger import read_list, write_list
from cutfiles.lists.mapping import mapping_text, read_mapping

LISTS = SAMPLES / "lists"


def listed(tmp_path, text, known=None, name="list.csv"):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_list(path, known)


def rules(books):
    return {(change.row, change.column, change.rule) for change in books.ledger}


def by_number(books):
    return {row.number: row for row in books.rows}


SOUND = "No,Title,H,W,Spine,Opens to\n{}"


@pytest.fixture(scope="module")
def messy():
    return read_list(LISTS / "kitchen-gardens.csv")


def test_messy_list_ends_row_by_row(messy):
    assert messy.header.row == 3
    assert [row.row for row in messy.rows] == [4, 5, 6, 7, 9, 10, 11, 12, 13]
    made = {row.number for row in messy.rows if row.slip}
    assert made == {"1", "7"}
    passed = {c.row: c.rule for c in messy.ledger if c.row in (1, 2, 8, 14) and not c.column}
    assert passed == {1: "title-row", 2: "title-row", 8: "blank-row", 14: "totals-row"}


def test_messy_list_is_read_right(messy):
    first, reports = messy.rows[0].slip, by_number(messy)["7"]
    assert first.book.height == pytest.approx(8 * 25.4)
    assert first.opening.left.width == pytest.approx(5.25 * 25.4)
    assert first.book.shelf_mark == "00412"
    assert reports.copies == 2
    assert reports.slip.book.height == pytest.approx(9 * 25.4)
    assert reports.slip.opening.left.width == pytest.approx(5.625 * 25.4)
    assert reports.slip.opening.spine_width == pytest.approx(2 * 25.4)
    assert reports.slip.opening.opening_angle == 90
    assert by_number(messy)["6"].values["height"] == "2 1/4"  # from the row above


@pytest.mark.parametrize(
    ("row", "column", "rule"),
    [
        (4, "W", "fraction-in-a-row-of-inches"),
        (6, "Shelf mark", "formula-kept-as-text"),
        (6, "Opens to", "about"),
        (7, "Opens to", "words-to-note"),
        (9, "Shelf mark", "placeholder"),
        (10, "H", "ditto"),
        (11, "H", "sizes-in-one-cell"),
        (11, "Notes", "copies-from-note"),
    ],
)
def test_messy_ledger(messy, row, column, rule):
    assert (row, column, rule) in rules(messy)


@pytest.mark.parametrize(
    ("count", "told"),
    [
        (2, "row 3 too"),
        (13, "row 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14 too"),
        (14, "row 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14 and 1 more too"),
        (4000, "row 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14 and 3987 more too"),
    ],
)
def test_of_rows_that_share_a_number_a_dozen_are_named(tmp_path, count, told):
    rows = listed(tmp_path, SOUND.format("1,,203,131,30,120\n" * count)).rows
    [found] = [fault.found for fault in rows[0].faults if "stands" in fault.found]
    assert found == f'"1", which stands in {told}'
    [last] = [fault.found for fault in rows[-1].faults if "stands" in fault.found]
    assert "which stands in row 2" in last


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (5, r'column Th\.: found "29"; a bare number needs units; .*count in'),
        (6, 'column No.: found "3", which stands in row 7 too'),
        (10, 'column Show: found "closed"; .*no cradle'),
        (12, r'column Th\.: found "2 ft\?"; a measure that is certain'),
        (9, "column Opens to: found nothing"),
        (13, 'column Show: found "04-Mar"; .*date'),
    ],
)
def test_messy_refusals_name_row_column_text_and_remedy(messy, row, said):
    import re

    faults = next(r for r in messy.rows if r.row == row).faults
    assert any(re.search(rf"kitchen-gardens\.csv, row {row}, {said}", str(f)) for f in faults), [
        str(f) for f in faults
    ]


def test_the_remedy_names_the_column_that_sizes_stand_in(tmp_path):
    (row,) = listed(tmp_path, "No,Title,H x W x D,Opens to\n1,One,,120\n").rows
    said = {fault.place.path: fault.remedy for fault in row.faults}
    assert said["height"] == "write it into the column H x W x D, or add a column height"


def test_units_that_are_known_are_not_asked_for_where_a_weight_has_none(tmp_path):
    text = "No,Title,H,W,Spine,Opens to,Weight\n1,One,8 in,5 in,1 in,120,33\n"
    for units in (None, "in"):
        (row,) = listed(tmp_path, text, ColumnMapping(bare=units)).rows
        (fault,) = row.faults
        assert fault.remedy == "write its unit into the cell or the column's name"


def test_units_given_make_more_rows_readable():
    books = read_list(LISTS / "kitchen-gardens.csv", ColumnMapping(bare="in"))
    absurd = next(r for r in books.rows if r.row == 13)
    assert any("in millimetres 178 × 108 mm" in f.needed for f in absurd.faults)
    assert not any("bare number" in str(f) for row in books.rows for f in row.faults)


def test_all_scenarios_are_read():
    books = read_list(LISTS / "scenarios.csv")
    assert len(books.rows) == 34
    assert [row.number for row in books.refused] == ["C3"]
    slip = by_number(books)["A4"].slip
    assert (slip.opening.left.slope, slip.opening.right.slope) == (35, 20)
    assert slip.book.weight == 285
    assert by_number(books)["A3"].slip.book.cover == "limp"
    assert by_number(books)["E3"].slip.book.cover == "boards"  # stiff wrappers
    assert by_number(books)["A1"].values["exhibit"] == "A"


@pytest.mark.parametrize("name", ["kitchen-gardens.csv", "scenarios.csv"])
def test_round_trip(name, tmp_path):
    books = read_list(LISTS / name)
    again = listed(tmp_path, write_list(books))
    assert [c for c in again.ledger if c.rule not in ("column-not-used", "unit-of-column")] == []
    assert len(again.rows) == len(books.rows)
    for old, new in zip(books.rows, again.rows, strict=True):
        assert (old.values, old.copies, old.closed) == (new.values, new.copies, new.closed)
        assert (old.slip is None) == (new.slip is None)
        if old.slip:
            assert (old.slip.book, old.slip.opening) == (new.slip.book, new.slip.opening)


def test_written_back_no_cell_runs(tmp_path):
    rows = '1,"=HYPERLINK(""x"")",8 in,5 in,1 in,120\n@SUM(A1),+1,8 in,5 in,1 in,120\n'
    books = listed(tmp_path, SOUND.format(rows))
    data = write_list(books).decode("utf-8-sig")
    for row in csv.reader(io.StringIO(data)):
        assert not [cell for cell in row if cell[:1] in ("=", "+", "-", "@")]
    assert listed(tmp_path, data).rows[0].slip.book.title == '=HYPERLINK("x")'
    assert listed(tmp_path, data).rows[1].number == "@SUM(A1)"


@pytest.mark.parametrize(
    ("header", "field", "unit"),
    [
        ("Height (in)", "height", "in"),
        ("H [cm]", "height", "cm"),
        ("W, mm", "width", "mm"),
        ("spine_width", "spine_width", ""),
        ("Opens to°", "opening_angle", "°"),
        ("SHELF-MARK", "shelf_mark", ""),
        ("est_weight_g", "weight", "g"),
        ("opening_angle_deg", "opening_angle", "°"),
        ("Vitrine", "case", ""),
        ("H × W × T (mm)", "size", "mm"),
        ("Title mm", "title", ""),
        ("Gauge", "support.gauge", ""),
        ("nonsense", "", ""),
    ],
)
def test_column_of(header, field, unit):
    column = column_of(header)
    assert (column.field, column.unit) == (field, unit)


def test_cell_unit_goes_before_the_columns(tmp_path):
    books = listed(tmp_path, "No,H (mm),W (mm),Spine (mm),Angle\n1,8 in,133,34,120\n")
    assert books.rows[0].slip.book.height == pytest.approx(203.2)
    assert books.rows[0].slip.opening.left.width == 133


def test_a_unit_is_never_guessed(tmp_path):
    books = listed(tmp_path, SOUND.format("1,x,5 1/4,4,1,120\n2,x,5 1/4,10 cm,1 in,120\n"))
    assert books.rows[0].slip is None
    assert books.rows[1].slip is None
    assert all("bare number" in fault.needed for row in books.rows for fault in row.faults)


@pytest.mark.parametrize(
    "text", ["<50 mm", "2 ft?", "16-May", "2026-03-04", "1E2", "#REF!", "-4 mm", "abc"]
)
def test_what_cannot_be_known_is_refused(tmp_path, text):
    books = listed(tmp_path, SOUND.format(f"1,x,{text},133 mm,34 mm,120\n"))
    (row,) = books.rows
    assert row.slip is None
    assert len(row.faults) == 1
    assert str(row.faults[0].place) == "list.csv, row 2, column H"
    assert text in row.faults[0].found


def test_two_openings_of_one_book_get_numbers_of_their_own(tmp_path):
    text = "No,Title,Show,H,W,Spine,Opens to\n" + "".join(
        f"5,Diary,{page},200 mm,130 mm,30 mm,120\n" for page in ("p. 4", "p. 80", "p. 90")
    )
    books = listed(tmp_path, text)
    assert [row.number for row in books.rows] == ["5", "5-2", "5-3"]
    assert [row.slip.book.number for row in books.rows] == ["5", "5-2", "5-3"]
    assert (3, "No", "another-opening") in rules(books)


def test_a_number_given_to_an_opening_is_no_other_books(tmp_path):
    rows = [("a", "Diary"), ("A-3", "Atlas"), ("A", "Diary"), ("a", "Diary"), ("A-2", "Psalms")]
    text = "No,Title,Show,H,W,Spine,Opens to\n" + "".join(
        f"{number},{title},p. {i},200 mm,130 mm,30 mm,120\n"
        for i, (number, title) in enumerate(rows)
    )
    books = listed(tmp_path, text)
    assert [row.number for row in books.rows] == ["a", "A-3", "A-4", "a-5", "A-2"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_encodings_and_delimiters(tmp_path, encoding, delimiter):
    cells = [
        ["No", "Title", "H (cm)", "W (cm)", "Spine (cm)", "Opens to"],
        ["1", "Ärzte – „Bücher“", "20,3", "13,3", "3,4", "120°"],
    ]
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows(cells)
    books = listed(tmp_path, out.getvalue().encode(encoding))
    slip = books.rows[0].slip
    assert slip.book.title == "Ärzte – „Bücher“"
    assert slip.book.height == pytest.approx(203)


def test_an_inch_mark_left_open_swallows_no_row(tmp_path):
    text = 'No,Title,H,W,Spine,Opens to\n1,a,"8",5 in,1 in,120\n2,b,8 in,",1 in,120\n' + (
        "3,c,8 in,5 in,1 in,120\n4,d,8 in,5 in,1 in,120\n"
    )
    books = listed(tmp_path, text)
    assert [row.number for row in books.rows] == ["1", "2", "3", "4"]
    assert books.rows[3].slip is not None


def test_mapping_is_saved_and_used(tmp_path):
    text = "Ticket,Tall,Across,Rücken,Opens to\n1,8,5,1 1/4,120\n"
    with pytest.raises(FileError, match="no row with the names of columns"):
        listed(tmp_path, text)
    saved = tmp_path / "columns.toml"
    saved.write_text(
        'header_row = 1\nunits = "in"\n[columns]\n"Ticket" = "number"\n'
        '"Tall" = "height"\n"Across" = "width"\n"Rücken" = "spine_width"\n'
    )
    books = listed(tmp_path, text, read_mapping(saved))
    assert books.rows[0].slip.book.height == pytest.approx(203.2)
    saved.write_text(mapping_text(books.header, "in"))
    assert listed(tmp_path, text, read_mapping(saved)) == books


def test_bad_mapping_tells_all(tmp_path):
    saved = tmp_path / "columns.toml"
    saved.write_text(
        'unit = "x"\nheader_row = -1\n[columns]\nA = "hight"\n[column_units]\nB = "yd"'
    )
    with pytest.raises(SlipError) as refusal:
        read_mapping(saved)
    assert len(refusal.value.faults) == 4


# -- spreadsheets ----------------------------------------------------------------------------------


def workbook(path, rows, merge=()):
    openpyxl = outside_module("openpyxl")
    book = openpyxl.Workbook()
    sheet = book.active
    for row in rows:
        sheet.append(row)
    for span in merge:
        sheet.merge_cells(span)
    book.save(path)
    return path


def test_xlsx(tmp_path):
    outside_module("python_calamine")
    rows = [
        ["Exhibit 2026"],
        [],
        ["No.", "Case", "Shelf mark", "Title", "Show", "H (mm)", "W (mm)", "Th. (mm)", "Opens to"],
        [1, "A", 412, "One", "p. 4", 203, 133.5, 34, 120],
        [2, None, "00413", "Two", datetime.date(2026, 3, 4), 203, 133, 34, 120],
        [3, None, "=1+1", "Three", "p. 5", "8 in", 133, 34, 120],
    ]
    books = read_list(workbook(tmp_path / "list.xlsx", rows, ["B4:B6"]))
    assert [row.number for row in books.rows] == ["1", "2", "3"]
    assert [row.values["case"] for row in books.rows] == ["A", "A", "A"]
    assert (5, "Case", "merged-cell") in rules(books)
    assert (4, "Shelf mark", "number-may-have-lost-zeros") in rules(books)
    assert books.rows[0].slip.opening.left.width == 133.5
    assert "2026-03-04" in books.rows[1].faults[0].found
    assert books.rows[2].slip.book.height == pytest.approx(203.2)


def test_ods(tmp_path):
    rows = ["No", "H (mm)", "W (mm)", "Spine (mm)", "Opens to"], ["1", 203, 133, 34, "120°"]
    save_opendocument(tmp_path / "list.ods", {"list": rows})
    assert read_list(tmp_path / "list.ods").rows[0].slip.book.height == 203


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("a.csv", b""),
        ("a.csv", b"\x00\xff\x00"),
        ("a.xlsx", b"PK\x03\x04rubbish"),
        ("a.ods", b"none"),
        ("a.csv", b"just text"),
        ("a.xls", b"\xd0\xcf\x11\xe0"),
    ],
)
def test_no_list_is_refused(tmp_path, name, data):
    outside_module("python_calamine")
    with pytest.raises(FileError, match=name):
        listed(tmp_path, data, name=name)
    with pytest.raises(FileError, match="no such file"):
        read_list(tmp_path / "missing.csv")


# -- fuzzing ---------------------------------------------------------------------------------------

CELLS = st.one_of(
    st.sampled_from(
        [
            "",
            "8 in",
            '9"x5 5/8"x2"',
            "dto.",
            '"',
            "tbc",
            "=1+1",
            "'=x",
            "~110",
            "04-Mar",
            "closed",
            "120",
            "203",
            "133 mm",
            "<b>x</b>",
            "../x",
            "CON",
            "2 copies",
            "TOTAL",
            "No",
            "x" * 301,
            "\ufeff",
            "1E5",
            "-4",
            "½",
            "5 1/4",
            "a\nb",
        ]
    ),
    st.text(max_size=12),
    st.integers(-10, 400).map(str),
)


@given(st.lists(st.lists(CELLS, min_size=6, max_size=8), max_size=8), st.sampled_from(",;"))
def test_no_crash_and_no_dropped_row(tmp_path_factory, rows, delimiter):
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter)
    writer.writerow(["No", "Title", "H", "W", "Spine", "Opens to"])
    writer.writerows(rows)
    text = out.getvalue()
    path = tmp_path_factory.mktemp("fuzz")
    books = listed(path, text.encode("utf-8", errors="replace"))
    passed = [
        c
        for c in books.ledger
        if c.rule in ("blank-row", "totals-row", "header-again", "title-row")
    ]
    assert len(books.rows) + len(passed) + 1 >= 1 + len(rows)
    assert all((row.slip is None) == bool(row.faults) for row in books.rows)
    again = listed(path, write_list(books))
    assert [r.slip is None for r in again.rows] == [r.slip is None for r in books.rows]


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(tmp_path_factory, data):
    try:
        listed(tmp_path_factory.mktemp("fuzz"), data)
    except FileError as refusal:
        assert "list.csv" in str(refusal)  # noqa: PT017


def test_cells_say_units_and_doubts_in_the_languages_of_headers(tmp_path):
    text = (
        "Nr;Titel;Höhe;Breite;Dicke;Öffnungswinkel;Gewicht\n"
        "1;Eins;8 Zoll;5 Zoll;34 mm;etwa 110 Grad;640 Gramm\n"
        "2;Deux;8 pouces;5 pouces;34 mm;environ 110 degrés;640 grammes\n"
    )
    books = listed(tmp_path, text)
    assert [row.faults for row in books.rows] == [(), ()]
    for row in books.rows:
        book = row.slip.book
        assert (book.height, book.weight) == pytest.approx((203.2, 640))
        assert row.slip.opening.opening_angle == 110
        assert row.slip.units == "in"
    told = {(row, column) for row, column, rule in rules(books) if rule == "about"}
    assert told == {(2, "Öffnungswinkel"), (3, "Öffnungswinkel")}


def test_an_opening_that_may_be_an_angle_is_asked_about(tmp_path):
    text = "No,Title,H,W,D,Opening\n1,One,203 mm,133 mm,34 mm,{}\n"
    (row,) = listed(tmp_path, text.format("120 deg")).rows
    (fault,) = row.faults
    assert fault.remedy.endswith(
        'or is it in the column Opening? That is read as the page shown: call it "Opening angle"'
    )
    (fault,) = listed(tmp_path, text.format("p. 120")).rows[0].faults
    assert fault.remedy == "add a column opening_angle"
    pages = text.replace("Opening", "Page").format("120")
    (fault,) = listed(tmp_path, pages).rows[0].faults
    assert fault.remedy == "add a column opening_angle"


def test_an_angle_that_may_be_the_page_shown_is_asked_about(tmp_path):
    text = "Nr;Titel;Höhe mm;Breite mm;Rücken mm;Öffnung;Neigung links;Steigung rechts\n{}\n"
    row = "1;Kalender;203;133;34;S. 84;33°;30°"
    (fault,) = listed(tmp_path, text.format(row)).rows[0].faults
    assert fault.remedy.endswith('or is it the page shown? Then call the column "Page shown"')
    (fault,) = listed(tmp_path, text.format(row.replace("S. 84", "84 mm"))).rows[0].faults
    assert "page shown" not in fault.remedy
    (one,) = listed(tmp_path, text.format(row).replace("Öffnung", "Page shown")).rows
    opening = one.slip.opening
    assert (opening.label, opening.left.slope, opening.right.slope) == ("S. 84", 33, 30)


def test_a_column_without_a_name_that_holds_something_is_told(tmp_path):
    """Under "Rise", over two columns in a spreadsheet, the second has lost its name in CSV."""
    empty = "," * 25  # 34 columns, the last of them AH
    text = (
        f"No,Title,H,W,Spine,Rise,,,Opens to{empty}\n"
        f"1,One,203 mm,133 mm,34 mm,,,,120{empty}\n"
        f"2,Two,203 mm,133 mm,34 mm,66,52,,120{empty[:-1]},seen\n"
    )
    books = listed(tmp_path, text)
    told = [(c.row, c.column, c.found) for c in books.ledger if c.rule == "column-nameless"]
    assert told == [(1, "column G", "52"), (1, "column AH", "seen")]
