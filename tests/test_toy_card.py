"""A card that nobody prints: a function and one row here, and the whole house knows it."""

import json

import pytest
from click.testing import CliRunner
from conftest import SAMPLES
from pages import text_of

from cutfiles.cli import cli
from cutfiles.film.drawing import Drawing
from cutfiles.job.names import ending, share_a_name
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.shapes import closed_path
from cutfiles.report.printed.cards import CARDS, Card
from cutfiles.report.printed.paper import Paper


def page(draft, paper, machine):
    """A toy: one line that says which book and which machine."""
    sheet = Paper(paper, "toy")
    sheet.text((sheet.box.left, sheet.box.top - 10.0), f"toy {draft.revision} {machine}", 4.0)
    return sheet.pdf()


def drawing(draft):
    """A toy: a square of 40 mm, to cut it from card."""
    square = Stroke(Role.OUTLINE, "outline", closed_path((0, 0), (40, 0), (40, 40), (0, 40)))
    return Drawing(
        title="toy",
        width=40.0,
        height=40.0,
        piece=(40.0, 40.0),
        strokes=(square,),
        notes=(),
        facts=(("number", draft.slip.book.number),),
    )


TOY = Card(
    key="toy", told="a toy to look at", page=page, drawing=drawing, usual=True, once="plaything"
)


@pytest.fixture(autouse=True)
def _toy(monkeypatch):
    monkeypatch.setitem(CARDS, "toy", TOY)


@pytest.fixture
def slip(tmp_path_factory):
    """A sample of film that a laser may cut."""
    path = tmp_path_factory.mktemp("slip") / "B1.toml"
    told = (SAMPLES / "B1.toml").read_text(encoding="utf-8")
    path.write_text(f'{told}\ncoating = "uncoated"\n', encoding="utf-8")
    return path


def test_help_tells_it(run):
    assert "toy       a toy to look at" in run("cards", "--help")


@pytest.mark.parametrize("asked", [(), ("--only", "toy"), ("--only", "plaything")])
def test_is_printed_named_and_recorded(run, slip, tmp_path, asked):
    said = run("cards", slip, *asked, "--machine", "laser", "--to", tmp_path)
    assert "  to print   B1.toy.pdf\n" in said
    assert "  verified   B1.toy.svg\n" in said
    assert "laser" in text_of((tmp_path / "B1.toy.pdf").read_bytes())[0]
    files = json.loads((tmp_path / "B1.json").read_text(encoding="utf-8"))["files"]
    told = {one["path"]: (one["format"], one["verified"]) for one in files}
    assert told["B1.toy.pdf"] == ("toy", None)
    assert told["B1.toy.svg"] == ("toy-svg", True)
    assert len(told) == (2 if asked else 7)


def test_is_made_with_the_cut_files_and_compared_later(run, slip, tmp_path):
    said = run("make", slip, "--format", "svg", "--to", tmp_path)
    assert "  to print   B1.toy.pdf\n" in said
    assert run("verify", tmp_path / "B1.toy.svg", "--slip", slip) == "B1.toy.svg: verified\n"
    file = tmp_path / "B1.toy.svg"
    file.write_bytes(file.read_bytes().replace(b"40", b"41"))
    done = CliRunner().invoke(cli, ["verify", str(file), "--slip", str(slip)])
    assert done.exit_code == 1


def test_its_names_are_kept_for_it():
    assert ending("A1.toy.pdf", "A1") == ".toy.pdf"
    assert share_a_name("A1", "A1.toy")
