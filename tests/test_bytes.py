"""What the tool writes, byte for byte: a move within the house changes none of it.

``python tests/test_bytes.py`` writes the checksums anew; do so only in a commit that means to
change what is written, and look at what changed.
"""

import hashlib
import json
import os
import sys
import tempfile
from pathlib import Path

import pytest
from click.testing import CliRunner
from conftest import SAMPLES, SHORT_EFFORT, SHORT_WORK, USUAL_EFFORT

from cutfiles.film.rules import EFFORTS
from cutfiles.machine import tour

HERE = Path(__file__).parent
KEPT = HERE / "bytes.json"
FEW = ("A1", "B1", "B2", "G1", "H2")
"""Three layers, a miniature, one layer lapped, one side flat, slots and straps of film."""
CUTTERS = ("desktop-knife", "flatbed-wheel", "laser", "wide-roll-knife")
_MATERIAL = """
[[material]]
gauge = "{gauge} mil"
cut_power = 40
cut_speed = 20
score_power = 12
score_speed = 60
mark_power = 8
mark_speed = 80
"""


def slips():
    return [str(path) for path in sorted(SAMPLES.glob("*.toml"))]


def laser(folder):
    """Copy the laser's profile with powers for the gauges of the samples."""
    from cutfiles.cli import cli

    path = folder / "our-laser.toml"
    CliRunner().invoke(cli, ["cutters", "copy", "laser", str(path)])
    text = path.read_text(encoding="utf-8")
    text = text.replace('"dxf-r2000"]', '"dxf-r2000", "gcode"]') + "\n"
    text += '\n[laser]\npower_range = 1000\nbeam = "M4"\n'
    text += "".join(_MATERIAL.format(gauge=gauge) for gauge in (5, 7))
    path.write_text(text, encoding="utf-8")
    return str(path)


def third(folder):
    """Copy every third book of the long list."""
    [_, scenarios] = sorted((SAMPLES / "lists").glob("*.csv"))
    head, *rows = scenarios.read_text(encoding="utf-8").splitlines(keepends=True)
    path = folder / scenarios.name
    path.write_text("".join([head, *rows[::3]]), encoding="utf-8")
    return str(path)


def runs():
    """Every group: its name, and the command lines that write it; {} is its folder."""
    yield "make", [["make", *slips(), "--format", "all", "--to", "{}"]]
    yield "make-letter", [["make", *slips()[:2], "--paper", "Letter", "--to", "{}"]]
    for cutter in CUTTERS:
        # what does not depend on the cutter is written by "make"; the laser works all, and makes
        # all of a few again
        laser = cutter == "laser"
        few = [path for path in slips() if Path(path).stem in FEW]
        lines = []
        for path in slips() if laser else few:
            more = [] if laser and path in few else ["--no-sheet"]
            profile = "{laser}" if laser else cutter
            lines.append(["make", path, "--cutter", profile, *more, "--to", "{}"])
        yield f"passes-{cutter}", lines
        yield f"coupon-{cutter}", [["coupon", "--cutter", cutter, "--to", "{}"]]
    yield "prints", [["cards", *slips(), "--to", "{}"]]
    yield "prints-letter", [["cards", *slips()[:3], "--paper", "Letter", "--to", "{}"]]
    yield (
        "blanks",
        [
            ["slip", "{}/slip.toml"],
            ["slip", "{}/measuring.pdf"],
            ["slip", "{}/inches.toml", "--units", "in", "--height", "8"],
            ["films", "--blank"],
            ["cutters", "copy", "laser", "{}/l.toml"],
        ],
    )
    lists = sorted((SAMPLES / "lists").glob("*.csv"))
    for path in lists:
        yield (
            f"list-{path.stem}",
            [["list", str(path), "--clean", "{}/clean.csv", "--save-mapping", "{}/columns.toml"]],
        )
    to = ["--workers", "1", "--to", "{}"]
    yield "exhibit", [["exhibit", str(lists[0]), *to]]
    to += ["--effort", "quick"]  # with the usual work the first is laid out
    yield "exhibit-cutter", [["exhibit", str(lists[0]), *to, "--cutter", "wide-roll-knife"]]
    yield "exhibit-scenarios", [["exhibit", "{third}", *to, "--format", "svg,dxf"]]
    yield (
        "told",
        [
            ["check", *slips()],
            *(["check", path] for path in slips()),
            *(["check", path, "--json"] for path in slips()),
            ["films"],
            ["films", "--json"],
            ["cutters", "list"],
            *(["cutters", "check", cutter] for cutter in CUTTERS),
        ],
    )


def written(lines, folder):
    """Return the checksum of each file that the commands write, and of what they say."""
    from cutfiles.cli import cli

    beside = Path(tempfile.mkdtemp(dir=folder))
    to = folder / "out"
    to.mkdir()
    names = {"laser": laser(beside), "third": third(beside)}
    sums = {}
    for number, line in enumerate(lines):
        done = CliRunner().invoke(cli, [part.format(to, **names) for part in line])
        assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
        said = done.output.replace(str(folder), "")
        sums[f"said {number}"] = f"{done.exit_code} {_sum(said.encode())}"
    for path in sorted(to.rglob("*")):
        if path.is_file():
            sums[str(path.relative_to(to)).replace(os.sep, "/")] = _sum(path.read_bytes())
    return sums


def _sum(data):
    return hashlib.sha256(data).hexdigest()[:16]


@pytest.fixture(autouse=True)
def _usual_effort():
    """Lay out film with the effort of a run that asks for none."""
    EFFORTS["usual"] = USUAL_EFFORT
    yield
    EFFORTS["usual"] = SHORT_EFFORT


@pytest.mark.parametrize(("group", "lines"), [pytest.param(*run, id=run[0]) for run in runs()])
def test_bytes_stay(group, lines, tmp_path):
    kept = json.loads(KEPT.read_text(encoding="utf-8"))[group]
    now = written(lines, tmp_path)
    changed = sorted(name for name in kept.keys() | now.keys() if kept.get(name) != now.get(name))
    assert changed == []


def test_there_is_something_to_keep():
    kept = json.loads(KEPT.read_text(encoding="utf-8"))
    assert set(kept) == {group for group, _ in runs()}
    assert min(len(sums) for sums in kept.values()) >= 3
    assert sum(len(sums) for sums in kept.values()) > 700


if __name__ == "__main__":
    tour.MOST_WORK = SHORT_WORK
    made = {}
    for group, lines in runs():
        with tempfile.TemporaryDirectory() as folder:
            made[group] = written(lines, Path(folder))
        print(group, len(made[group]), file=sys.stderr)
    KEPT.write_text(json.dumps(made, indent=0, sort_keys=True) + "\n", encoding="utf-8")
