"""From a slip to a sheet cut on both faces, as an operator does it; and what the machine got.

slip in inches, cutter of two faces, guided run over a network, marks measured on a sheet that lies
turned by 0.4 degrees, in inches, the aligned pass, the log. Opposite the line stands a machine of
this test's own, and the bytes it got are worked by an HP-GL interpreter that shares nothing with
the writer.
"""

import cmath
import csv
import io
import math
import os
import pty
import re
import select
import subprocess
import sys
import time

import pytest
from conftest import ROOT
from interpreters import PLU, KnifeMachine
from network_cutter import NetworkCutter

pytestmark = pytest.mark.skipif(os.name != "posix", reason="a terminal of its own")
SLIP = """
number = "W7"
title = "Walk"
units = "in"
height = "5 1/2"
width = 3.75
spine_width = 1
opening_angle = 116
weight = "9 oz"
"""
PROFILE = """
name = "two faces"
kind = "knife"
formats = ["hpgl"]
[bed]
width = "820 mm"
length = "600 mm"
margin = "10 mm"
shows = "in"
[score]
method = "half-cut"
turn = "left to right"
[pens]
cut-outline = 1
cut-holes = 1
score-valley = 2
score-mountain = 2
registration = 3
label = 3
"""
TURN = math.radians(0.4)
PUSH = complex(6.0, 4.0)
"""How the turned sheet came to lie, mm and radians."""


class Operator:
    """A terminal with somebody at it, who answers what is asked."""

    def __init__(self, *words):
        self.master, slave = pty.openpty()
        self.said = ""
        code = "from cutfiles.cli import main; main()"
        self.process = subprocess.Popen(
            [sys.executable, "-c", code, *map(str, words)],
            cwd=ROOT,
            stdin=slave,
            stdout=slave,
            stderr=slave,
            close_fds=True,
        )
        os.close(slave)

    def answer(self, asked, text):
        """Wait until something is asked, and answer."""
        self.wait_for(asked)
        os.write(self.master, f"{text}\n".encode())
        self.said = ""

    def wait_for(self, asked):
        until = time.monotonic() + 60
        while not re.search(re.escape(asked) + r".*: $", self.said, re.DOTALL):
            assert self._read(until), f"not asked: {asked}\n{self.said}"

    def _read(self, until):
        ready, _, _ = select.select([self.master], [], [], max(0.0, until - time.monotonic()))
        try:
            data = os.read(self.master, 4096) if ready else b""
        except OSError:  # the other side has closed
            data = b""
        self.said += data.decode("utf-8", "replace").replace("\r", "")
        return data

    def end(self):
        """Read what is still said; return the exit code."""
        while self._read(time.monotonic() + 60):
            pass
        os.close(self.master)
        return self.process.wait(30)


@pytest.fixture(scope="module")
def walked(tmp_path_factory):
    """The whole walk: the folder, the machine, what was asked of whom."""
    folder, machine = tmp_path_factory.mktemp("walk"), NetworkCutter()
    (folder / "W7.toml").write_text(SLIP, encoding="utf-8")
    (folder / "ours.toml").write_text(PROFILE, encoding="utf-8")
    out = folder / "out"
    make = ("make", folder / "W7.toml", "--cutter", folder / "ours.toml", "--to", out)
    made = Operator(*make, "--format", "svg")
    assert made.end() == 0, made.said
    cut = ("cut", out / "W7.plan.json", "--cutter", folder / "ours.toml", "--to", machine.to)

    first = Operator(*cut)
    first.answer("Initials", "KM")
    first.answer("film lot", "2026-11/3")
    first.answer("loaded so?", "yes")
    first.wait_for("Start?")
    assert machine.jobs == []  # nothing moved before the yes
    first.answer("Start?", "yes")
    first.answer("come to its end", "yes")
    first.answer("turned, and held?", "no")  # it is late: go home
    assert first.end() == 1

    measure(out / "W7.marks.csv")
    second = Operator(*cut)
    second.answer("Initials", "LB")
    second.answer("Go on with it", "go on")
    second.answer("turned, and held?", "yes")
    second.answer("Measured?", "yes")
    second.wait_for("Start?")
    assert "turned 0.400°" in second.said
    assert len(machine.jobs) == 1
    second.answer("Start?", "yes")
    second.answer("come to its end", "yes")
    second.answer("Is it all right?", "yes")
    assert second.end() == 0, second.said
    machine.end()
    return out, machine


def lies(place):
    """Where a place of the pass came to lie, mm."""
    return place * cmath.rect(1.0, TURN) + PUSH


def measure(table):
    """Fill in the table of marks as the machine shows them: in inches, four digits."""
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8"))))
    assert {row["unit"] for row in rows} == {"in"}
    for row in rows:
        found = lies(complex(float(row["nominal x"]), float(row["nominal y"])) * 25.4)
        row["x"], row["y"] = f"{found.real / 25.4:.4f}", f"{found.imag / 25.4:.4f}"
    with table.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)


def test_the_machine_got_the_files_and_nothing_else(walked):
    out, machine = walked
    files = [(out / f"W7.{name}.hpgl").read_bytes() for name in ("face-a", "face-b.aligned")]
    assert [bytes(job) for job in machine.jobs] == files


def worked(data):
    """What an interpreter of HP-GL does with bytes: pens and polylines in mm; it ends safe."""
    knife = KnifeMachine().take(data)
    knife.check_ended()
    return [(line.pen, [complex(x, y) for x, y in line.places]) for line in knife.lines]


def test_the_tool_stays_inside_the_pass_and_on_the_turned_sheet(walked):
    out, machine = walked
    planned = worked((out / "W7.face-b.hpgl").read_bytes())
    got = worked(bytes(machine.jobs[1]))
    assert [pen for pen, _ in got] == [pen for pen, _ in planned]
    width, height = (800.0, 580.0)  # the bed less its margins
    for (_, places), (_, nominal) in zip(got, planned, strict=True):
        assert len(places) == len(nominal)
        for place, where in zip(places, nominal, strict=True):
            assert abs(place - lies(where)) < 0.03 + PLU  # marks to 0.0001 in, places to a unit
            assert -PLU <= place.real <= width + PLU
            assert -PLU <= place.imag <= height + PLU


def test_the_log_tells_who_did_what_from_which_lot(walked):
    out, _ = walked
    rows = list(csv.DictReader((out / "W7.cutting.csv").read_text(encoding="utf-8").splitlines()))
    assert [(row["what"], row["pass"], row["initials"]) for row in rows] == [
        ("begun", "", "KM"),
        ("sending", "face-a", "KM"),
        ("sent", "face-a", "KM"),
        ("ended", "face-a", "KM"),
        ("aligned", "face-b", "LB"),
        ("sending", "face-b", "LB"),
        ("sent", "face-b", "LB"),
        ("ended", "face-b", "LB"),
        ("inspected, good", "", "LB"),
    ]
    assert {row["film lot"] for row in rows} == {"2026-11/3"}
    assert {row["cutter"] for row in rows} == {"two faces"}
