"""What a list leaves open is asked, with what to do; headers in other words are read."""

import pytest
from test_lists_kept import listed

from cutfiles.lists.headers import ColumnMapping, column_of

MIXED = (
    "No,Title,H{0},W{0},Th{0},Show,Opens to\n1,A,203,129,32,p. 1,120\n2,B,187,121,29,p. 1,110\n"
    "3,C,{1},p. 1,110\n4,D,150,100,22,p. 2,110\n5,E,160,110,24,p. 2,110\n"
)


@pytest.mark.parametrize(
    ("header", "field", "unit"),
    [
        ("Size closed (mm)", "size", "mm"),
        ("Size closed (mm) H", "height", "mm"),
        ("Maße geschlossen (cm)", "size", "cm"),
        ("Dimensions fermées (cm)", "size", "cm"),
        ("Closed height", "height", ""),
        ("Object title", "title", ""),
        ("Displayed opening", "opening", ""),
        ("Size open (mm)", "", ""),
        ("Book", "", ""),
    ],
)
def test_words_beside_a_name(header, field, unit):
    column = column_of(header)
    assert (column.field, column.unit) == (field, unit)


def test_a_merged_header_without_a_number_column(tmp_path):
    text = "Title,Size closed (mm),,,Show,Opens to\n,H,W,D,,\nHerbal,203,129,32,p. 1,120\n"
    books = listed(tmp_path, text)
    (row,) = books.rows
    assert row.values["height"] == "203 mm"
    assert [fault.place.path for fault in row.faults] == ["number"]


@pytest.mark.parametrize(
    ("head", "fields"),
    [
        ("Object,Description", ["number", "title"]),
        ("Object,Date", ["title", ""]),
        ("No.,Object", ["number", "title"]),
        ("No.,Object,Title", ["number", "", "title"]),
        ("No.,Description,Title", ["number", "", "title"]),
        ("No.,Description,Date", ["number", "title", ""]),
    ],
)
def test_an_object_is_a_title_or_a_number(tmp_path, head, fields):
    books = listed(tmp_path, f"{head},H (mm),W (mm),Spine (mm)\n")
    assert [column.field for column in books.header.columns][: len(fields)] == fields


@pytest.mark.parametrize(
    ("unit", "row", "told"),
    [
        (" (mm)", "7.4,4.75,1.1", "in inches 188 × 121 mm"),
        (" (mm)", "18.7,12.1,2.9", "in centimetres 187 × 121 mm"),
        ("", "7 3/8,4 3/4,1 1/8", "in inches 187 × 121 mm"),
    ],
)
def test_a_row_in_another_unit_is_asked(tmp_path, unit, row, told):
    books = listed(tmp_path, MIXED.format(unit, row), ColumnMapping(bare="mm"))
    (refused,) = books.refused
    (fault,) = refused.faults
    assert (refused.number, fault.key) == ("3", "row-unit")
    assert told in fault.needed
    assert fault.found == f'"{row.replace(",", " × ")}", taken as mm'


@pytest.mark.parametrize("row", ["60,45,20", "30 mm,25 mm,12 mm", "18.7 cm,12.1 cm,2.9 cm"])
def test_a_small_book_and_a_stated_unit_are_not_asked(tmp_path, row):
    assert not listed(tmp_path, MIXED.format(" (mm)", row)).refused


def test_a_number_of_several_books_is_asked(tmp_path):
    books = listed(tmp_path, "No,H,W,Spine,Opens to\n9.3a-c,20 cm,13 cm,3 cm,110\n")
    (fault,) = books.rows[0].faults
    assert fault.needed == "one book a row: this numbers several"


def test_a_limit_in_words_is_no_angle(tmp_path):
    books = listed(tmp_path, "No,H,W,Spine,Opens to\n9,20 cm,13 cm,3 cm,höchstens 100°\n")
    (fault,) = books.rows[0].faults
    assert fault.needed == "a measure, not a limit"
