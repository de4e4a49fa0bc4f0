"""The desk in a real browser: from an empty page to files that verify, by keyboard alone."""

import json
import zipfile

from browser import browse
from click.testing import CliRunner
from conftest import ROOT
from desks import A1, begun, form_of
from pages import text_of

from cutfiles.cli import cli

SERIOUS = "axe"
READY = "!!document.querySelector('#more table') && !document.querySelector('#more.old')"
TYPED = (
    ("number", "B7"),
    ("height", "8 in"),
    ("width", "133"),
    ("spine_width", "34"),
    ("left_rise", "66 mm"),
    ("right_rise", "2 5/8 in"),
)


def seen(desk, steps, **how):
    """Return what a browser read that came in through the door."""
    inside = [["wait", "document.title.startsWith('The desk ·')"], *steps]
    return browse(desk.door, inside, origin=desk.origin, **how)


def opened(desk, slip="A1"):
    return [
        ["goto", desk.origin + "/book"],
        ["upload", "#slip", str(ROOT / "samples" / f"{slip}.toml")],
        ["click", "text=Open it"],
        ["wait", READY],
    ]


def test_from_an_empty_page_to_files_that_verify_by_keyboard_alone(desk, tmp_path):
    """Tab and typing only; the zip is what the button with the focus gives on Enter."""
    steps = [["goto", desk.origin + "/book"], ["focus", "text=A new book"], ["key", "Enter"]]
    steps.append(["wait", "!!document.querySelector('form#slip')"])
    for name, text in TYPED:
        steps += [["tab", f"slip.{name}"], ["type", text]]
    steps += [
        ["wait", READY],
        ["read", "lit", "[...document.querySelectorAll('.lit')].map(one => one.dataset.fields)"],
        ["read", "read", "document.getElementById('s.right_rise').textContent.trim()"],
        ["read", "state", "document.querySelector('#verdict').textContent"],
        ["axe", SERIOUS],
        ["tab", "zip"],
        ["download", "Enter", str(tmp_path / "B7.zip")],
        ["focus", "[name=undo]"],
        ["key", "Enter"],
        ["wait", "document.getElementById('f.right_rise')?.value === ''"],
        ["read", "kept", "document.getElementById('f.left_rise').value"],
        ["key", "F5"],
        ["wait", "document.getElementById('f.left_rise')?.value === '66 mm'"],
    ]
    found = seen(desk, steps)
    assert found["lit"] == ["right_rise"]
    assert found["read"] == "2 5/8 in = 66.7 mm"
    assert "another support" not in found["state"]
    assert found[SERIOUS] == []
    assert found["kept"] == "66 mm"
    zipfile.ZipFile(tmp_path / "B7.zip").extractall(tmp_path)
    slip = tmp_path / "B7.toml"
    lines = [f'{name} = "{text}"' for name, text in TYPED]
    slip.write_text("\n".join(['units = "mm"', *lines]), encoding="utf-8")
    for file in ("B7.svg", "B7.r2000.dxf"):
        run = CliRunner().invoke(cli, ["verify", str(tmp_path / file), "--slip", str(slip)])
        assert run.exit_code == 0, run.output


def test_live_answers_show_faults_and_another_windows_change(desk):
    with desk.client() as client:
        book = begun(client, A1)
        steps = [
            ["goto", desk.origin + book],
            ["wait", READY],
            ["fill", "#f\\.height", "203 mn"],
            ["wait", "document.getElementById('s.height').textContent.includes('203 mn')"],
            ["read", "wrong", "document.getElementById('f.height').getAttribute('aria-invalid')"],
            ["read", "tied", "document.getElementById('f.height').ariaDescribedByElements[1].id"],
            ["fill", "#f\\.left_slope", "x"],
            ["axe", SERIOUS],
            ["read", "old", "document.querySelector('#standing').className"],
        ]
        found = seen(desk, steps)
        assert found["wrong"] == "true"
        assert found["tied"] == "s.height"
        assert found[SERIOUS] == []
        assert "old" in found["old"]
        other = begun(client, A1)
        ahead = f"fetch('{other}/look', {{method: 'POST', body: new URLSearchParams("
        ahead += f"{json.dumps(form_of(A1 | {'height': '204'}))})}}).then(got => got.status)"
        late = [
            ["goto", desk.origin + other],
            ["wait", READY],
            ["read", "theirs", ahead],
            ["fill", "#f\\.height", "205"],
            ["wait", "!document.querySelector('#told').hidden"],
            ["read", "told", "document.querySelector('#told').textContent"],
            ["read", "mine", "document.getElementById('f.height').value"],
        ]
        found = seen(desk, late, forgiven="409")
        assert (found["theirs"], found["mine"]) == (200, "205")
        assert "changed since in another window" in found["told"]
        assert 'value="204"' in client.get(other).text


def test_it_fits_a_phone_and_is_sound_in_the_dark(desk, tmp_path):
    """The book; what is made of it and compared with it, each reloaded; a book offered again."""
    steps = [*opened(desk, "G1"), *sound("book"), ["print", str(tmp_path / "book.pdf")]]
    steps.append(["read", "verdict", "document.querySelector('#verdict').textContent"])
    steps += [["fill", "#f\\.title", "changed"], ["fill", "#make\\.folder", "phone"]]
    steps += [["wait", "document.querySelector('#saved').textContent.includes('Not saved yet')"]]
    steps += [["click", "text=Into the folder"], *reloaded("/made"), *sound("made")]
    steps += [["click", "text=Back to the book"], ["wait", READY]]
    steps += [["read", "folder", "document.getElementById('make.folder').value"]]
    steps += [
        ["upload", "#other", str(ROOT / "samples" / "A1.toml")],
        ["click", "[action$=compare] button"],
    ]
    steps += [*reloaded("/compare"), *sound("compare")]
    steps += [["click", "text=Back to the book"], ["click", "text=Put this book away"]]
    steps += [["wait", "!!document.querySelector('#unsaved')"], *sound("books")]
    steps += [["click", "text=Forget it"], ["wait", "!document.querySelector('#unsaved')"]]
    found = seen(desk, steps, screen=[320, 700], dark=True)
    assert found.pop("folder") == "phone"
    said = "".join(found.pop("verdict").split())
    assert said in "".join(text_of(tmp_path / "book.pdf")).replace(" ", "")  # all of it
    pages = ("book", "made", "compare", "books")
    assert found == {page: [] for page in pages} | {f"{page} wide": 320 for page in pages}


def sound(page):
    """Return the steps that read what axe finds on a page, and how wide it is."""
    return [["axe", page], ["read", f"{page} wide", "document.documentElement.scrollWidth"]]


def reloaded(end):
    """Return the steps that wait for a page whose address ends so, reload it and wait again."""
    there = ["wait", f"location.pathname.endsWith('{end}') && document.readyState === 'complete'"]
    return [there, ["key", "F5"], ["pause", 200], there]


def test_every_page_is_sound(desk):
    steps = [["axe", "front"], ["goto", desk.origin + "/book"], ["axe", "books"]]
    steps += [["goto", desk.origin + "/door"], ["read", "refused", "document.body.textContent"]]
    found = seen(desk, steps, forgiven="403")
    assert (found["front"], found["books"]) == ([], [])
    assert "not the key of this run" in found["refused"]
