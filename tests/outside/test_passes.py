"""Pass files in the world outside: hp2xx and a small interpreter of our own on every HP-GL."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import ROOT, outside_tool

sys.path.append(str(ROOT / "tests" / "machine"))

from benches import cutter, sheet_of, values

from cutfiles.files.passes import write_plan
from cutfiles.machine.cutter import Setting
from cutfiles.machine.plan import plan
from cutfiles.machine.profile.read import cutter_from, find_cutter
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import path_length

FILM = {
    "gauge": "5 mil",
    "cut_force": 120,
    "score_force": 60,
    "mark_force": 30,
    "cut_speed": 200,
    "score_speed": 200,
    "mark_speed": 200,
    "cut_passes": 2,
}
CUTTERS = {
    "roll": lambda: find_cutter("wide-roll-knife"),
    "plain": lambda: cutter(formats=["hpgl"]),
    "force": lambda: cutter(formats=["hpgl"], material=[FILM]),
    "dashes": lambda: cutter(formats=["hpgl"], score={"method": "perforate"}),
    "knife": lambda: cutter(
        formats=["hpgl"],
        tool={"knife_offset": "0.3 mm", "overcut": "0.3 mm", "bridges": 4, "bridge_width": "1 mm"},
    ),
    "frames": lambda: cutter_from(
        values(formats=["hpgl"], bed={"width": "700 mm", "length": "300 mm", "tiles": "feed"}),
        "frames.toml",
    ),
}


def drawn(data):
    """Follow HP-GL as a plotter would; return pen to length drawn, mm, and whether it ends safe."""
    lengths, pen, down, at = {}, 0, False, (0, 0)
    text = re.sub(r'CO\s*"[^"]*";', "", data.decode("ascii"))
    for command in text.replace("\n", "").split(";"):
        name, rest = command[:2], command[2:]
        numbers = [int(n) for n in rest.split(",")] if rest and name in ("PU", "PD") else []
        if name == "SP":
            assert not down, "the tool is changed with the pen up"
            pen = int(rest)
        if name in ("PU", "PD"):
            down = name == "PD"
            assert pen or not down, "nothing is drawn without a tool"
        for x, y in zip(numbers[::2], numbers[1::2], strict=True):
            if down:
                length = ((x - at[0]) ** 2 + (y - at[1]) ** 2) ** 0.5 / 40
                lengths[pen] = lengths.get(pen, 0.0) + length
            at = (x, y)
    return lengths, not down and pen == 0


@pytest.mark.parametrize("name", CUTTERS)
@pytest.mark.parametrize("sample", ["A1", "B2"])
def test_a_plotter_draws_what_the_plan_says(name, sample, tmp_path):
    made = plan(sheet_of(sample), CUTTERS[name]())
    files = [f for f in write_plan(made) if f.format == "hpgl"]
    assert len(files) == len(made.passes)
    pens = {
        Role.OUTLINE: 1,
        Role.HOLES: 1,
        Role.MOUNTAIN: 2,
        Role.VALLEY: 3,
        Role.REGISTRATION: 4,
        Role.LABEL: 4,
        **made.cutter.pens,
    }
    for one, file in zip(made.passes, files, strict=True):
        lengths, safe = drawn(file.data)
        assert safe
        wanted = {}
        for stroke in one.drawing.strokes:
            if stroke.role is not Role.GUIDE:
                often = made.settings.get(stroke.role, Setting()).passes
                pen = pens[stroke.role]
                wanted[pen] = wanted.get(pen, 0.0) + often * path_length(stroke.path)
        assert set(lengths) == set(wanted)
        for pen, length in wanted.items():
            assert lengths[pen] == pytest.approx(length, rel=0.01, abs=0.5)


@pytest.mark.parametrize("name", CUTTERS)
def test_hp2xx_takes_every_pass(name, tmp_path):
    outside_tool("hp2xx", shutil.which("hp2xx"))
    made = plan(sheet_of("A1"), CUTTERS[name]())
    for file in write_plan(made):
        if file.format != "hpgl":
            continue
        path = Path(tmp_path / file.name)
        path.write_bytes(file.data)
        done = subprocess.run(
            ["hp2xx", "-t", "-m", "svg", "-f", str(tmp_path / "out.svg"), str(path)],
            capture_output=True,
            text=True,
            check=False,
            errors="replace",
        )
        said = done.stdout + done.stderr
        assert done.returncode == 0, said
        # force is a command of cutters that a plotter passes over; nothing else may be ignored
        forces = file.data.count(b"\nFS")
        assert re.search(rf"command\(s\) ignored:\s+{forces}\b", said), said
        assert re.search(r"Unexpected event\(s\):\s+0\b", said), said
