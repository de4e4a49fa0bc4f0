"""What a bench or a list says is read as it was meant, or refused: never as something near it."""

import json
import unicodedata

import pytest
from dangers.jobs import done, run

from cutfiles.errors import ReadingError
from cutfiles.lists.cells import guarded, unguarded
from cutfiles.lists.ledger import read_list
from cutfiles.units import read_length

SIGNS = [
    chr(code)
    for code in range(0x10000)  # none lies above; to ask all takes seventeen times as long
    if unicodedata.decomposition(chr(code)).startswith("<fraction>")
]
ON_RULES = "¼½¾⅛⅜⅝⅞⅓⅔"


@pytest.mark.parametrize("sign", SIGNS)
def test_fraction_signs_count_what_unicode_says(sign):
    """By the Unicode Character Database; a sign that is not known is refused, never misread."""
    for text, whole in ((f"{sign} in", 0), (f"5{sign} in", 5), (f'12 {sign}"', 12)):
        try:
            found = read_length(text)
        except ReadingError:
            assert sign not in ON_RULES
            continue
        assert found == pytest.approx((whole + unicodedata.numeric(sign)) * 25.4, abs=1e-9)


@pytest.mark.parametrize("sign", ON_RULES)
def test_fraction_signs_in_a_list(sign, tmp_path):
    inches = 5 + unicodedata.numeric(sign)
    text = f"No,Title,H,W,Spine,Opens to\nA1,Book,5{sign},4 in,1 in,120\n"
    [row] = books(tmp_path, text).rows
    if row.slip is None:
        assert sign in "⅓⅔", row.faults
    else:
        assert row.slip.book.height == pytest.approx(inches * 25.4)


def books(tmp_path, text, *more):
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    return read_list(path, *more)


def made(tmp_path, text, *options):
    """Return what the command makes of a list: the support's facts, by number."""
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    args = ("--to", tmp_path / "out", "--format", "svg", "--no-cards", "--workers", "1")
    ended = run("exhibit", path, *args, "--effort", "quick", *options)
    data = json.loads((tmp_path / "out/supports.json").read_text(encoding="utf-8"))
    return ended, {one["number"]: one for one in data}


def breadth(facts):
    """Head to tail of a support in one layer: the book's height less an inset at either end."""
    return facts["piece_mm"][1] + 2 * 1.0


def test_of_two_columns_of_one_name_the_first_counts(tmp_path):
    """A list with a height of the board and one of the slipcase: the second does not win."""
    text = (
        "No,Title,H,W,Spine,Opens to,Height,Edges,Construction\n"
        "A1,Book,150 mm,90 mm,20 mm,110,211 mm,cut,plain\n"
    )
    ended, facts = made(tmp_path, text)
    assert ended.exit_code == 0, ended.output
    assert breadth(facts["A1"]) == pytest.approx(150, abs=0.01)
    mapping = tmp_path / "columns.toml"
    mapping.write_text('[columns]\nHeight = "height"\n', encoding="utf-8")
    ended, facts = made(tmp_path, text, "--mapping", mapping)
    assert ended.exit_code == 0, ended.output
    assert breadth(facts["A1"]) == pytest.approx(211, abs=0.01)


def test_a_mapping_says_what_bare_numbers_count_in(tmp_path):
    """Columns whose bare numbers are inches, in a list that elsewhere counts in mm."""
    text = "No,Title,H,W,Spine (mm),Opens to,Edges,Construction\nA1,Book,6,4,20,110,cut,plain\n"
    mapping = tmp_path / "columns.toml"
    mapping.write_text('[column_units]\nH = "in"\nW = "in"\n', encoding="utf-8")
    ended, facts = made(tmp_path, text, "--mapping", mapping)
    assert ended.exit_code == 0, ended.output
    assert breadth(facts["A1"]) == pytest.approx(6 * 25.4, abs=0.01)
    mapping.write_text('[column_units]\nH = "cm"\nW = "cm"\n', encoding="utf-8")
    ended, facts = made(tmp_path, text.replace(",6,4,", ",16,11,"), "--mapping", mapping)
    assert breadth(facts["A1"]) == pytest.approx(160, abs=0.01)
    mapping.write_text('[column_units]\n"Spine (mm)" = "in"\n', encoding="utf-8")
    [row] = done_list(tmp_path, text.replace(",6,4,20,", ",6 in,4 in,1,"), mapping)
    assert row["spine_width"] == "1 in"


def done_list(tmp_path, text, mapping):
    import csv
    import io

    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    clean = tmp_path / "clean.csv"
    clean.unlink(missing_ok=True)
    done("list", path, "--mapping", mapping, "--clean", clean)
    return list(csv.DictReader(io.StringIO(clean.read_text("utf-8-sig"))))


@pytest.mark.parametrize(
    "text", ["#N/A", "#REF!", "#DIV/0!", "#VALUE!", "#NAME?", "#NUM!", "#NULL!", "####"]
)
def test_a_failed_formula_is_refused(text, tmp_path):
    """Wherever it stands: a title of #REF! would be printed and put in the case."""
    for row in (f"A1,{text},150 mm,90 mm,20 mm,110", f"A1,Book,{text},90 mm,20 mm,110"):
        found = books(tmp_path, f"No,Title,H,W,Spine,Opens to\n{row}\n")
        [one] = found.rows
        assert one.slip is None
        assert any("formula has failed" in str(fault) for fault in one.faults)


@pytest.mark.parametrize(
    "text", ["=B4", "'=B4", "''=B4", "'", "'tis", "''", "+1", "'-x", "@a", "\tx"]
)
def test_a_guarded_text_comes_back_as_it_was(text):
    """A sign of one's own before = is kept: guarded once more and unguarded once."""
    assert unguarded(guarded(text)) == text
    assert guarded(text)[:1] not in ("=", "+", "-", "@", "\t")


def test_a_bare_gauge_is_no_length_of_the_list(tmp_path):
    """Lengths of the list are in mm, but a film of "5" is no 5 mm: it is asked for."""
    text = "No,Title,H,W,Spine,Opens to,Film\nA1,Book,150,90,20,110,{}\n"
    ended, facts = made(tmp_path, text.format("5"), "--units", "mm")
    assert ended.exit_code == 1
    [fault] = facts["A1"]["refused"]
    assert fault["found"].startswith('"5"')
    assert "unit" in fault["needed"]
    ended, facts = made(tmp_path, text.format("5 mil"), "--units", "mm")
    assert ended.exit_code == 0, ended.output
    assert facts["A1"]["gauge_mm"] == 0.127


@pytest.mark.parametrize(
    ("row", "units"),
    [
        ("6 in,4 in,20 mm,110", "in"),
        ("6 in,4 in,3/4 in,110", "in"),
        ("150 mm,4 in,20 mm,110", "mm"),
        ("150 mm,90 mm,20 mm,110", "mm"),
    ],
)
def test_who_measures_in_inches_reads_inches(row, units, tmp_path):
    """A row mostly of inches is told, printed and drawn in inches beside mm."""
    [one] = books(tmp_path, f"No,Title,H,W,Spine,Opens to\nA1,Book,{row}\n").rows
    assert one.slip.units == units
