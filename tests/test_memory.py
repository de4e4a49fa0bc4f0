"""Supports made are kept in mind: this book fits support no. … of last year; pages share one."""

import json
from dataclasses import replace

import pytest
from test_exhibit import listed, tree
from test_living import BY, HEAD, QUICK, ROWS

from cutfiles.errors import FileError
from cutfiles.exhibit.mark import mark
from cutfiles.exhibit.memory import read_memory
from cutfiles.exhibit.run import make_exhibit

ONE = ROWS["A1"]
LIKE = ONE.replace("A1,Book 1", "K7,Another book").replace("91 g", "80 g")
OTHER = "K8,Too high,p. 1,120 mm,80 mm,20 mm,120,80 g,A\n"


@pytest.fixture(scope="module")
def last_year(tmp_path_factory):
    """An exhibit whose one support was folded and installed, in a memory."""
    folder = tmp_path_factory.mktemp("memory")
    memory = folder / "supports.json"
    asked = replace(QUICK, name="spring show", memory=str(memory))
    books = listed(folder, HEAD + ONE)
    make_exhibit(books, folder / "out", asked)
    assert not memory.exists()  # nothing is folded yet
    mark(folder / "out", "installed", ["A1"], **BY)
    make_exhibit(books, folder / "out", asked)
    return folder, memory, books, asked


def test_what_was_folded_is_kept_once(last_year):
    folder, memory, books, asked = last_year
    (one,) = read_memory(memory).kept
    assert (one.stood.exhibit, one.stood.number) == ("spring show", "A1")
    assert (one.stage, one.date) == ("installed", "2026-03-02")
    before, files = memory.read_bytes(), tree(folder / "out")
    make_exhibit(books, folder / "out", asked)
    assert memory.read_bytes() == before
    assert tree(folder / "out") == files


def test_another_exhibit_is_told_which_support_a_book_fits(last_year, tmp_path):
    _, memory, _, asked = last_year
    before = memory.read_bytes()
    done = make_exhibit(
        listed(tmp_path, HEAD + LIKE + OTHER), tmp_path / "out", replace(asked, name="autumn show")
    )
    (line,) = done.reuse
    assert line == "K7 fits support no. A1 of spring show, installed 2026-03-02"
    assert line in (tmp_path / "out" / "report.txt").read_text()
    assert memory.read_bytes() == before  # nothing of this one is folded


def test_pages_of_one_book_share_a_support(tmp_path):
    rows = "".join(
        f"B{n},Herbal,p. {n},200 mm,130 mm,{30 + n} mm,{120 - n},300 g,A\n" for n in range(3)
    )
    done = make_exhibit(listed(tmp_path, HEAD + rows), tmp_path / "out", QUICK)
    assert len(done.reuse) == 1
    assert done.reuse[0].startswith("the support of B")
    assert len(done.reuse[0].split("fits")[1].split(",")) == 2


@pytest.mark.parametrize("text", ["mine", "{}", '{"supports": [{"stood": {}}]}', "[" * 5000])
def test_what_is_no_memory_is_refused_before_anything_is_made(tmp_path, text):
    path = tmp_path / "supports.json"
    path.write_text(text)
    asked = replace(QUICK, memory=str(path))
    with pytest.raises(FileError, match="no memory of supports"):
        make_exhibit(listed(tmp_path, HEAD + ONE), tmp_path / "out", asked)
    assert path.read_text() == text
    assert not (tmp_path / "out" / "supports").exists()


def test_the_command_takes_it(last_year, tmp_path):
    from click.testing import CliRunner

    from cutfiles.cli import cli

    _, memory, _, _ = last_year
    path = tmp_path / "list.csv"
    path.write_text(HEAD + LIKE, encoding="utf-8")
    args = ["exhibit", path, "--to", tmp_path / "o", "--memory", memory, "--format", "hpgl"]
    run = CliRunner().invoke(cli, [*map(str, args), "--workers", "1", "--no-cards"])
    assert "K7 fits support no. A1 of spring show" in run.output
    assert len(json.loads(memory.read_text())["supports"]) == 1
