"""`cutfiles cards` and the printed slip, as users meet them."""

import json

import pytest
from click.testing import CliRunner
from conftest import SAMPLES
from pages import check_type, sizes, text_of

from cutfiles.cli import cli
from cutfiles.report.printed.paper import PAPERS


def run(*args):
    return CliRunner().invoke(cli, [str(a) for a in args])


def names(folder):
    return {path.name for path in folder.iterdir()}


def test_all_sheets(tmp_path):
    result = run("cards", SAMPLES / "B1.toml", "--to", tmp_path, "--paper", "letter")
    assert result.exit_code == 0, result.output
    assert names(tmp_path) == {
        "B1.bench.pdf",
        "B1.end-view.pdf",
        "B1.end-view.svg",
        "B1.template.pdf",
        "B1.labels.pdf",
        "B1.json",
    }
    for path in tmp_path.glob("*.pdf"):
        for size in sizes(path.read_bytes()):
            assert sorted(size) == pytest.approx(sorted(PAPERS["Letter"]), abs=0.01)
    assert "verified   B1.end-view.svg" in result.output


def test_sheets_and_cut_files_share_one_record(tmp_path):
    run("make", SAMPLES / "B1.toml", "--to", tmp_path)
    before = names(tmp_path)
    assert run("cards", SAMPLES / "B1.toml", "--to", tmp_path, "--only", "labels").exit_code == 0
    assert names(tmp_path) == before | {"B1.labels.pdf"}
    known = {f["path"] for f in json.loads((tmp_path / "B1.json").read_text())["files"]}
    assert known == names(tmp_path) - {"B1.json"}
    again = run("make", SAMPLES / "B1.toml", "--to", tmp_path)
    assert again.exit_code == 0
    assert names(tmp_path) == before | {"B1.labels.pdf"}


def test_make_without_the_sheet_and_on_letter(tmp_path):
    run("make", SAMPLES / "B1.toml", "--to", tmp_path, "--no-cards", "--format", "svg")
    assert "B1.bench.pdf" not in names(tmp_path)
    run("make", SAMPLES / "B1.toml", "--to", tmp_path, "--paper", "Letter", "--format", "svg")
    pages = sizes((tmp_path / "B1.bench.pdf").read_bytes())
    assert pages == [pytest.approx(PAPERS["Letter"], abs=0.01)] * len(pages)


def test_refusals(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text('number = "Z"\nheight = "tall"\n', encoding="utf-8")
    result = run("cards", bad, SAMPLES / "B1.toml", "--to", tmp_path / "out", "--only", "bench")
    assert result.exit_code == 1
    assert 'slip bad.toml, height: found "tall"' in result.output
    assert names(tmp_path / "out") == {"B1.bench.pdf", "B1.json"}
    assert run("cards", SAMPLES / "B1.toml", "--only", "poster").exit_code == 2
    assert '"poster" is no card' in run("cards", "x", "--only", "poster").output
    twice = run("cards", SAMPLES / "B1.toml", SAMPLES / "B1.toml", "--to", tmp_path / "two")
    assert twice.exit_code == 1
    assert 'the number "B1"' in twice.output


def test_printed_slip(tmp_path):
    path = tmp_path / "measuring.pdf"
    assert run("slip", path, "--paper", "Letter").exit_code == 0
    assert sizes(path.read_bytes()) == [pytest.approx(PAPERS["Letter"], abs=0.01)] * len(
        sizes(path.read_bytes())
    )
    again = run("slip", path)
    assert again.exit_code == 1
    assert "a file that exists" in again.output
    wrong = run("slip", tmp_path / "b.pdf", "--height", "3 mm")
    assert wrong.exit_code == 2
    assert "the printed slip is blank" in wrong.output


def test_help_names_every_sheet():
    text = run("cards", "--help").output
    for word in ("bench ", "end-view ", "template ", "labels ", "100 %", "--paper"):
        assert word in text


def test_names_that_cards_once_had_are_understood(tmp_path):
    assert run("sheet", SAMPLES / "B1.toml", "--to", tmp_path, "--only", "profile").exit_code == 0
    assert {"B1.end-view.pdf", "B1.end-view.svg"} <= {path.name for path in tmp_path.iterdir()}
    made = run("make", SAMPLES / "B1.toml", "--format", "svg", "--no-sheet", "--to", tmp_path / "m")
    assert made.exit_code == 0
    assert not (tmp_path / "m" / "B1.bench.pdf").exists()


def test_labels_of_many_slips_stand_on_one_page_of_labels(tmp_path):
    books = [SAMPLES / "A1.toml", SAMPLES / "B1.toml"]
    args = ("cards", *books, "--only", "labels", "--label-paper", "--to", tmp_path)
    result = run(*args)
    assert result.exit_code == 0, result.output
    assert "labels of 2 supports" in result.output
    assert not list(tmp_path.glob("*.labels.pdf"))
    data = (tmp_path / "labels.pdf").read_bytes()
    check_type(data)
    (said,) = text_of(data)
    assert [said.count(f"{side} ↑ head") for side in "LR"] == [2, 2]
    assert "limit: 641 g, 120°, this book only" in said
    assert run(*args).exit_code == 0  # its own file is replaced
    one = run("cards", books[0], "--only", "labels", "--label-paper", "--to", tmp_path / "one")
    assert "labels of 1 support\n" in one.output
    (tmp_path / "labels.pdf").write_bytes(b"of another hand")
    again = run(*args)
    assert again.exit_code == 1
    assert (tmp_path / "labels.pdf").read_bytes() == b"of another hand"
