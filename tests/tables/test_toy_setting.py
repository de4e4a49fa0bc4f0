"""A toy setting: one row, and it is read, listed, offered, stated in files and read back."""

import os
import shutil
import subprocess
import sys

from conftest import ROOT

CHOICES = "cutfiles/bench/choices.py"
BEFORE = "    opening_ceiling: float = "
ROW = '    toy_twist: float = _setting("angle", "how far the toy turns", 7.0, 0, 90)\n'
SCRIPT = """
from click.testing import CliRunner

from cutfiles.bench.blank import blank_slip
from cutfiles.bench.slip import slip_from
from cutfiles.cli import cli
from cutfiles.draft import draft_of
from cutfiles.errors import SlipError
from cutfiles.lists.headers import column_of, known_fields
from cutfiles.pattern.facts import slip_of_facts

BOOK = {"number": "A1", "units": "mm", "height": 203, "width": 133, "spine_width": 34,
        "opening_angle": 120}
assert slip_from(BOOK).choices.toy_twist == 7.0
slip = slip_from({**BOOK, "support": {"toy_twist": "12° 30'"}})
assert slip.choices.toy_twist == 12.5
try:
    slip_from({**BOOK, "support": {"toy_twist": 91}})
    raise SystemExit("91 was read")
except SlipError as error:
    assert error.fault.place.path == "support.toy_twist", error
assert '# toy_twist = "7"' in blank_slip()
assert "--toy-twist" in CliRunner().invoke(cli, ["make", "--help"]).output
assert column_of("Toy twist (deg)").field == "support.toy_twist"
assert "support.toy_twist" in known_fields()
facts = dict(draft_of(slip).pattern.facts)
assert "toy_twist 12.5 deg" in facts["settings"].split("; "), facts
assert slip_of_facts(facts, "A1.svg").choices.toy_twist == 12.5
"""


def test_a_setting_is_one_row(tmp_path):
    leave = shutil.ignore_patterns("__pycache__", "fonts")
    shutil.copytree(ROOT / "cutfiles", tmp_path / "cutfiles", ignore=leave)
    path = tmp_path / CHOICES
    text = path.read_text("utf-8")
    assert text.count(BEFORE) == 1
    path.write_text(text.replace(BEFORE, ROW + BEFORE), "utf-8")
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
