"""A pass holds what is worked and nothing else: a program that takes all layers cuts no more."""

import json
import re

import pytest
from dangers.jobs import done, profile, slip

from cutfiles.machine.formats import FORMATS

TAKEN = ("svg", "dxf-r12", "dxf-r2000", "pdf")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Passes of a cutter that takes all drawn formats, both faces worked."""
    made = tmp_path_factory.mktemp("bare")
    formats = ", ".join(f'"{key}"' for key in TAKEN)
    cutter = profile(made, "flatbed-wheel")
    text = re.sub(r"^formats = .*$", f"formats = [{formats}]", cutter.read_text(), flags=re.M)
    cutter.write_text(text)
    done("make", slip(made), "--cutter", cutter, "--to", made / "out")
    return made / "out"


def read(path, key):
    return FORMATS[key].read(path.read_bytes())


def test_no_guide_and_no_text_in_any_pass(folder):
    seen = 0
    for entry in json.loads((folder / "S1.json").read_text(encoding="utf-8"))["files"]:
        if ".face-" not in entry["path"]:
            continue
        seen += 1
        reading = read(folder / entry["path"], entry["format"])
        assert reading.texts == ()
        layers = {path.layer.lower() for path in reading.paths}
        assert layers
        assert not [layer for layer in layers if "guide" in layer], (entry["path"], layers)
    assert seen == 2 * len(TAKEN)


def test_the_whole_drawing_keeps_its_guides(folder):
    reading = read(folder / "S1.svg", "svg")
    assert "guide" in {path.layer for path in reading.paths}
    assert "100 mm" in [text for _, text in reading.texts]


def test_two_marks_and_their_distance_are_told_instead(folder):
    plan = json.loads((folder / "S1.json").read_text(encoding="utf-8"))["plan"]
    for one in plan["passes"]:
        check = one["scale_check"]
        at = {mark["mark"]: (mark["x"], mark["y"]) for mark in one["marks"]}
        (ax, ay), (bx, by) = at[check["from"]], at[check["to"]]
        assert ((ax - bx) ** 2 + (ay - by) ** 2) ** 0.5 == pytest.approx(check["mm"], abs=1e-3)
        assert check["mm"] > 0.5 * max(one["sheet_mm"])
