"""What a short command loads: a library only where it is asked for."""

import subprocess
import sys

import pytest
from conftest import ROOT, SAMPLES

LIBRARIES = {
    "ezdxf",
    "svgwrite",
    "pypdf",
    "shapely",
    "numpy",
    "reportlab",
    "segno",
    "bidi",
    "arabic_reshaper",
    "python_calamine",
    "resvg_py",
    "serial",
    "fontTools",
    "PIL",
}
GEOMETRY = {"shapely", "numpy"}
"""For the fold check, in every run that makes a file."""


PLANNING = {"cutfiles.files.passes", "cutfiles.machine.plan_data", "cutfiles.machine.tour"}
"""For a cutter: what plans its passes, orders and writes them."""


def loaded(*words, of=LIBRARIES):
    """Return which of these modules a run of the command has loaded at its end."""
    return loaded_by([words], of)


def loaded_by(commands, of):
    """Return which of these modules are loaded when a process has run commands in turn."""
    code = "import sys\nfrom cutfiles.cli import cli\n"
    for words in commands:
        code += f"cli({[str(word) for word in words]!r}, standalone_mode=False)\n"
    code += f"print(*sorted({of!r} & set(sys.modules)))"
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return set(run.stdout.splitlines()[-1].split())


@pytest.mark.parametrize(
    ("formats", "wanted"),
    [
        ("svg", {"svgwrite"}),
        ("pdf", {"svgwrite"}),
        ("svg,hpgl", {"svgwrite"}),
        ("dxf-r12", {"svgwrite", "ezdxf", "fontTools", "PIL"}),
    ],
)
def test_a_format_loads_its_own_library_alone(formats, wanted, tmp_path):
    """Pictures are SVG in any case; ezdxf brings fontTools and PIL with it."""
    found = loaded("make", SAMPLES / "A1.toml", "--format", formats, "--no-cards", "--to", tmp_path)
    assert found - GEOMETRY <= wanted
    assert "svgwrite" in found


def test_help_loads_none():
    assert loaded("make", "--help") == set()


def test_only_a_cutter_loads_what_plans_and_sends_its_passes(tmp_path):
    words = ["make", SAMPLES / "A1.toml", "--format", "svg", "--no-cards", "--to", tmp_path]
    known = {*PLANNING, "cutfiles.line.lines"}
    file, slip = SAMPLES / "files" / "A1.svg", SAMPLES / "A1.toml"
    without = [words, ["verify", file, "--slip", slip], ["fold", file, "--check"]]
    assert loaded_by(without, known) == set()
    assert loaded(*words, "--cutter", "laser", "--replace", of=known) == PLANNING


def test_a_process_that_ends_looks_for_no_circles_in_all_it_made():
    code = "import gc, sys\nfrom cutfiles.cli import main\n"
    code += "sys.argv = ['cutfiles', '--version']\n"
    code += "try:\n    main()\nexcept SystemExit:\n    print(len(gc.get_objects()))"
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert int(run.stdout.split()[-1]) < 1000  # of some ten thousand
