"""An edited drawing and a plan on the desk in a browser: sound, by keyboard, dark, on a phone."""

import shutil
import sys

import pytest
from browser import browse
from conftest import ROOT, sample

from cutfiles import deliver, make
from cutfiles.machine.profile.read import find_cutter

sys.path.insert(0, str(ROOT / "tests" / "bench"))
from save_edits import drawn_with

PHONE = {"screen": [320, 700], "dark": True}
WIDE = ["read", "wide", "document.documentElement.scrollWidth"]


@pytest.fixture(scope="module")
def desk(desk):
    """A desk with a slip and a plan, in a folder of their own in its folder."""
    cutter = find_cutter("wide-roll-knife")
    folder = desk.folder / "machine"
    deliver(make(sample("B2"), cutter=cutter, formats=["svg"], paper=None), folder)
    shutil.copy(ROOT / "tests" / "edits" / "E7.toml", folder)
    return desk


def seen(desk, page, steps, **how):
    inside = [["wait", "document.title.startsWith('The desk ·')"], ["goto", desk.origin + page]]
    return browse(desk.door, [*inside, *steps], origin=desk.origin, **how)


def shows(text):
    return ["wait", f"document.body.textContent.includes('{text}')"]


def test_an_edited_drawing_is_accepted(desk, tmp_path):
    (tmp_path / "E7.svg").write_bytes(drawn_with("leg_gone", "slot", "renamed"))
    steps = [
        ["axe", "begin"],
        ["upload", "#drawing", str(tmp_path / "E7.svg")],
        ["choose", "#slip_name", "machine/E7.toml"],
        ["tab", "slip"],
        ["key", "Tab"],
        ["key", "Enter"],
        shows("Something breaks the support"),
        ["axe", "told"],
        WIDE,
        ["read", "barred", "document.querySelectorAll('[name=edit]:disabled').length"],
        ["click", "text=Accept what is ticked"],
        shows("Kept in E7.edits.toml"),
        ["key", "F5"],
        shows("Kept in E7.edits.toml"),
    ]
    found = seen(desk, "/drawing", steps, **PHONE)
    assert found == {"begin": [], "told": [], "wide": 320, "barred": 1}
    assert "hole added" in (desk.folder / "machine" / "E7.edits.toml").read_text(encoding="utf-8")


def test_a_plan_is_walked_by_keyboard_until_marks_are_refused(desk):
    def answer(*keys):
        return [["tab", "said"], *([what, text] for what, text in keys), ["key", "Enter"]]

    steps = [
        ["axe", "begin"],
        ["tab", "plan"],
        ["type", "machine"],
        ["key", "Tab"],
        ["key", "Enter"],
        shows("Who stands at the machine"),
        *answer(("type", "KM")),
        shows("Which film lot"),
        *answer(("type", "L7")),
        shows("Is it loaded so"),
        ["axe", "load"],
        *answer(),
        shows("Write the whole word yes"),
        ["axe", "start"],
        *answer(("type", "yes")),
        shows("come to its end"),
        ["axe", "ended"],
        *answer(),
        shows("Is it turned"),
        *answer(),
        shows("Where are the marks now"),
        ["wait", "document.readyState === 'complete'"],  # then its script keeps what is typed
    ]
    for number, (x, y) in enumerate([("5", "882.14"), ("9.5", "1175"), ("112", "952.86")]):
        steps += [["tab", f"x.{number}"], ["type", x], ["tab", f"y.{number}"], ["type", y]]
    typed = "document.querySelector('[name=\"x.1\"]')?.value === '9.5'"
    steps += [
        ["click", "text=Plans"],
        ["wait", "!document.querySelector('[name=\"x.1\"]')"],  # a click does not wait for its page
        ["click", "text=machine/B2.plan.json"],
        ["wait", typed],
    ]  # away, and here again
    steps.append(["focus", '[name="y.2"]'])
    steps += [["key", "Enter"], shows("Refused: what is left over"), ["axe", "refused"], WIDE]
    steps += [["read", "kept", "document.querySelector('[name=\"x.1\"]').value"]]
    found = seen(desk, "/plan", steps, **PHONE)
    axes = {name: [] for name in ("begin", "load", "start", "ended", "refused")}
    assert found == {**axes, "wide": 320, "kept": "9.5"}
