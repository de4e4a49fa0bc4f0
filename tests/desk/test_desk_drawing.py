"""An edited drawing on the desk: told, accepted, made; what breaks the support never is."""

import re
import sys

import pytest
from click.testing import CliRunner
from conftest import ROOT

from cutfiles.cli import cli

sys.path.insert(0, str(ROOT / "tests" / "bench"))
from save_edits import drawn_with

SLIP = (ROOT / "tests" / "edits" / "E7.toml").read_bytes()


def begun(client, *edits, name="E7.svg", data=None, slip=SLIP, **fields):
    files = {"drawing": (name, drawn_with(*edits) if data is None else data)}
    if slip is not None:
        files["slip"] = ("E7.toml", slip)
    return client.post("/drawing", files=files, data=fields, follow_redirects=True)


def base(page):
    return re.search(r'name="base" value="(\d+)"', page.text)[1]


def said(client, page, what, **fields):
    """Return the page after a form of another page was sent."""
    data = {"base": base(page)} | fields
    own = "/".join(page.url.path.split("/")[:3])
    return client.post(f"{own}/{what}", data=data, follow_redirects=True)


def test_an_edited_drawing_is_accepted_and_made_and_its_files_verify(client, desk):
    page = begun(client, "label_moved", "slot", "notch")
    assert page.status_code == 200
    assert "Look at what is marked" in page.text
    for words in ("notch", "hole added", "label moved"):
        assert words in page.text
    assert page.text.count("<svg") >= 1
    assert "style=" not in page.text
    ticked = re.findall(r'name="edit" value="(\d+)"[^>]* checked', page.text)
    assert len(ticked) >= 3
    kept = said(client, page, "accept", edit=ticked)
    assert "Kept in E7.edits.toml and E7.toml" in kept.text
    assert (desk.folder / "E7.toml").exists()
    assert "look at it, accepted" in kept.text
    again = client.get(page.url.path)  # reload: nothing is lost
    assert "All that was done is harmless, or was accepted" in again.text
    made = said(client, kept, "make")
    assert "E7 is made" in made.text
    assert f"{len(ticked)} edits are done again" in made.text
    folder = desk.folder / "E7"
    words = ["verify", str(folder / "E7.svg"), str(folder / "E7.pdf")]
    edits = desk.folder / "E7.edits.toml"
    assert edits.read_text(encoding="utf-8").count("[[edit]]") == len(ticked)
    run = CliRunner().invoke(cli, [*words, "--slip", str(desk.folder / "E7.toml")])
    assert run.exit_code == 0, run.output


def test_where_nothing_is_to_be_kept_no_file_is_written(client, desk):
    page = begun(client, "colours", slip=SLIP.replace(b'"E7"', b'"E9"'))
    kept = said(client, page, "accept", edit=["1", "2"])
    assert "Nothing is to be kept" in kept.text
    assert list(desk.folder.glob("E9*")) == []


def test_what_breaks_the_support_is_never_accepted(client, desk):
    page = begun(client, "leg_gone")
    assert "Something breaks the support" in page.text
    assert re.search(r'name="edit" value="1"[^>]* disabled', page.text)
    forced = said(client, page, "accept", edit=["1"])
    assert forced.status_code == 422
    assert "an edit that breaks the support is never accepted" in forced.text
    nothing = said(client, forced, "accept")
    assert "the edits to be accepted are ticked" in nothing.text


def test_a_page_that_is_older_is_refused_in_words(client):
    page = begun(client, "slot")
    first = said(client, page, "accept", edit=["1"])
    late = said(client, page, "accept", edit=["1"])
    assert (first.status_code, late.status_code) == (200, 409)
    assert "a page that was older" in late.text
    assert base(late) == base(first)


def test_what_layers_are_is_answered_in_place(client):
    page = begun(client, "renamed")
    asked = re.findall(r'<label for="role\.(\d+)">([^<]*)</label>', page.text)
    assert len(asked) > 2
    taken = re.findall(r'id="h\.role\.\d+">taken: \d+ as ([a-z-]+) by shape', page.text)
    assert "layer renamed" in page.text
    right = said(client, page, "roles", **{f"role.{i}": role for i, role in enumerate(taken)})
    assert "as you said, score-valley" in right.text
    swapped = [
        {"score-valley": "cut-outline", "cut-outline": "score-valley"}.get(role, role)
        for role in taken
    ]
    wrong = said(client, right, "roles", **{f"role.{i}": role for i, role in enumerate(swapped)})
    assert "Something breaks the support" in wrong.text


def test_a_slip_of_the_folder_is_chosen_by_its_name_alone(client, desk):
    (desk.folder / "books").mkdir(exist_ok=True)
    (desk.folder / "books" / "E7.toml").write_bytes(SLIP)
    page = begun(client, "notch", slip=None, slip_name="books/E7.toml")
    assert page.status_code == 200
    said(client, page, "accept", edit=["1"])
    assert (desk.folder / "books" / "E7.edits.toml").exists()
    for name in ("../E7.toml", "/etc/passwd", "books/../books/E7.toml"):
        refused = begun(client, "notch", slip=None, slip_name=name)
        assert refused.status_code == 422
        assert "one of the files in the desk&#39;s folder is chosen" in refused.text


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("A1.svg", b"<svg" + b"\xff" * 4000),
        ("A1.pdf", b"%PDF-1.7\n" + b"9" * 5000),
        ("A1.dxf", b"0\nSECTION\n" * 2000),
        ("a.svg", b'<svg xmlns="http://www.w3.org/2000/svg">' + b"<g>" * 20_000 + b"</svg>"),
        ("<script>alert(1)</script>.svg", b""),
        ("../../x.svg", b"\x00" * 100),
    ],
)
def test_hostile_drawings_are_refused_in_words(client, name, data):
    page = begun(client, name=name, data=data)
    assert page.status_code == 422
    assert 'class="faults"' in page.text
    assert "<script>alert" not in page.text
    assert client.get("/drawing").status_code == 200


def test_without_a_slip_or_a_drawing_it_says_what_is_needed(client):
    assert "held against the slip it was made from" in begun(client, "slot", slip=None).text
    assert "found" in begun(client, "slot", slip=b"height = 5 [").text
    assert "a file is needed" in client.post("/drawing", files={"slip": ("E7.toml", SLIP)}).text
    assert client.get("/drawing/nothing").status_code == 422
