"""A drawing edited where it was made: accepted, and made again over it, as the README has it."""

import re
import sys
import tomllib

import pytest
from click.testing import CliRunner
from conftest import ROOT, SMALL

from cutfiles.bench.slip import slip_from
from cutfiles.cli import cli
from cutfiles.desk.books import values_of_slip
from cutfiles.desk.takes import put_files
from cutfiles.edits.sealed import holds_all
from cutfiles.errors import FileError
from cutfiles.job.edits import edited, keep, kept_beside, some_of
from cutfiles.job.order import Order

sys.path.insert(0, str(ROOT / "tests" / "bench"))
from save_edits import BASE, EDITS, at, drawn_with, layer, made, shape, tree, written

SLIP = (ROOT / "tests" / "edits" / "E7.toml").read_text(encoding="utf-8")
BOOK = slip_from(tomllib.loads(SLIP), "E7.toml")
QUICK = ("--format", "svg", "--no-cards")


def run(line, *more):
    return CliRunner().invoke(cli, [*line.split()[1:], *more])


def commands():
    """Return the three commands of the README, of the sample instead of A1."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    block = text.split("## Edited drawings")[1].split("```sh\n")[1].split("```")[0]
    return [line.split("#")[0].strip().replace("A1", "E7") for line in block.splitlines()]


@pytest.fixture
def bench(tmp_path, monkeypatch):
    """Return a folder with a slip and what was made of it, in which somebody works."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "E7.toml").write_text(SLIP, encoding="utf-8")
    assert run("cutfiles make E7.toml", *QUICK).exit_code == 0
    return tmp_path


def edits_of_the_drawing(how):
    """Save an edited drawing over the one that was made, and accept it."""
    name, edit = "E7.svg", how if isinstance(how, bytes) else drawn_with(*how)
    with open(name, "wb") as file:
        file.write(edit)
    done = run(commands()[1])
    assert done.exit_code == 0, done.output


def with_more(name, tag, **attributes):
    """Return a drawing with a hole that is kept, and one more thing on a layer."""
    root = tree()
    EDITS["hole_round"](root)
    shape(layer(root, name), tag, **attributes).text = "for Jo" if tag == "text" else None
    return written(root)


def test_the_commands_of_the_readme_go_through_where_the_drawing_was_made(bench):
    tell, accept, again = commands()
    (bench / "E7.svg").write_bytes(drawn_with("hole_round", "slot", "guide_deleted", "colours"))
    assert "hole added" in run(tell).output
    assert run(accept).exit_code == 0
    done = run(again, *QUICK)
    assert done.exit_code == 0, done.output
    assert run("cutfiles verify E7.svg --slip E7.toml").output == "E7.svg: verified\n"
    assert len(kept_beside(bench, "E7")["E7"].edits) == 2
    assert run(tell).exit_code == 0  # what was made holds both, and they were accepted


def test_a_drawing_changed_again_after_it_was_accepted_is_not_replaced(bench):
    edits_of_the_drawing(["hole_round"])
    changed = drawn_with("hole_round", "slot")
    (bench / "E7.svg").write_bytes(changed)
    refused = run("cutfiles make E7.toml", *QUICK)
    assert refused.exit_code == 1
    assert "E7.svg: found a file that was changed since it was made" in refused.output
    assert (bench / "E7.svg").read_bytes() == changed


def test_a_drawing_of_which_an_edit_was_taken_back_is_not_replaced(bench):
    edits_of_the_drawing(["hole_round", "slot"])
    path = bench / "E7.edits.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text + "# a note of mine\n", encoding="utf-8")
    assert run("cutfiles make E7.toml", *QUICK).exit_code == 0  # the edits are the same
    (bench / "E7.svg").write_bytes(drawn_with("hole_round", "slot"))
    path.write_text(text[: text.rindex("[[edit]]")], encoding="utf-8")
    assert "was changed since" in run("cutfiles make E7.toml", *QUICK).output


HIDDEN = {"fill": "none", "stroke": "#009E73", "style": "display:none"}
X, Y = at(BASE[1] - 25, 60)
NOT_TAKEN_UP = {
    "words as text": ("label", "text", {"x": X, "y": Y}),
    "words on the guides": ("guide", "text", {"x": X, "y": Y}),
    "a line on the guides": ("guide", "path", {"d": f"M {X} {Y} l 30 0", "fill": "none"}),
    "a small line on the guides": ("guide", "path", {"d": f"M {X} {Y} l 3 0", "fill": "none"}),
    "a mark switched off": ("label", "path", {"d": f"M {X} {Y} l 9 0", **HIDDEN}),
}


@pytest.mark.parametrize("how", NOT_TAKEN_UP.values(), ids=NOT_TAKEN_UP)
def test_a_drawing_that_holds_more_than_was_kept_is_not_replaced(how, bench):
    name, tag, attributes = how
    data = with_more(name, tag, **attributes)
    edits_of_the_drawing(data)
    assert "was changed since" in run("cutfiles make E7.toml", *QUICK).output
    assert (bench / "E7.svg").read_bytes() == data


@pytest.mark.parametrize("key", ["svg", "dxf-r12", "dxf-r2000", "pdf"])
def test_a_drawing_as_it_was_made_holds_nothing_of_somebodys_own(key):
    assert holds_all(edited(made(key), "E7", BOOK).found)


@pytest.mark.parametrize("name", ["renamed", "exploded", "doubled", "turned_90"])
def test_of_what_is_made_as_designed_nothing_is_lost(name):
    assert holds_all(edited(drawn_with(name), "E7.svg", BOOK).found)


@pytest.mark.parametrize("name", ["opened", "unknown"])
def test_of_what_was_to_be_put_right_something_is(name):
    assert not holds_all(edited(drawn_with(name), "E7.svg", BOOK).found)


def test_statements_that_an_editor_dropped_are_made_again():
    data = made("svg").replace(b"number: E7", b"").replace(b"unit: mm", b"")
    (edit,) = edited(data, "E7.svg", BOOK).found.edits
    assert edit.kind == "statements lost"
    assert holds_all(edited(data, "E7.svg", BOOK).found)


def test_a_drawing_that_says_it_is_of_another_book_is_not_replaced(bench):
    data = drawn_with("hole_round").replace(b"number: E7", b"number: E8")
    assert data != drawn_with("hole_round")
    edits_of_the_drawing(data)
    assert "was changed since" in run("cutfiles make E7.toml", *QUICK).output


def test_a_drawing_accepted_in_part_is_not_replaced(bench):
    data = drawn_with("hole_round", "slot")
    (bench / "E7.svg").write_bytes(data)
    file = edited(data, "E7.svg", BOOK)
    keep(some_of(file, {1}), bench)
    assert "was changed since" in run("cutfiles make E7.toml", *QUICK).output
    keep(some_of(file, {1, 2}), bench)
    assert run("cutfiles make E7.toml", *QUICK).exit_code == 0


def test_the_desk_makes_over_a_drawing_that_was_accepted(bench):
    edits_of_the_drawing(["hole_round"])
    values = values_of_slip("E7.toml", SLIP.encode())
    done = put_files(values, Order(formats=("svg",), paper=None), str(bench), str(bench))
    assert "E7.svg" in done["files"]
    (bench / "E7.svg").write_bytes(drawn_with("slot"))
    with pytest.raises(FileError, match="changed since"):
        put_files(values, Order(formats=("svg",), paper=None), str(bench), str(bench))


def test_an_exhibit_makes_over_a_drawing_that_was_accepted(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    table = "number,height mm,width mm,spine width mm,opening angle\nT1,60,45,20,110\n"
    (tmp_path / "list.csv").write_text(table, encoding="utf-8")
    exhibit = "cutfiles exhibit list.csv --to out --format svg --no-cards --workers 1"
    assert run(exhibit).exit_code == 0
    drawing = next((tmp_path / "out").rglob("T1.svg"))
    box = re.search(r'viewBox="0 0 (\S+) (\S+)"', drawing.read_text(encoding="utf-8"))
    x, y = float(box[1]) / 2, float(box[2]) / 2
    mark = f'<g id="label"><path stroke="#009E73" fill="none" d="M {x} {y} l 4 0 l 0 3"/></g></svg>'
    text = drawing.read_text(encoding="utf-8").replace("</svg>", mark)
    drawing.write_text(text, encoding="utf-8")
    slip = slip_from(SMALL, "T1.toml")
    keep(edited(drawing.read_bytes(), "T1.svg", slip), tmp_path)
    done = run(exhibit)
    assert done.exit_code == 0, done.output
    assert drawing.read_text(encoding="utf-8") != text
    drawing.write_text(text.replace("l 4 0", "l 5 0"), encoding="utf-8")
    (tmp_path / "list.csv").write_text(table.replace("T1,60", "T1,61"), encoding="utf-8")
    assert run(exhibit).exit_code == 1
