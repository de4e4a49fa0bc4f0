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
    code = (
        "import sys\n"
        "from cutfiles.cli import cli\n"
        f"cli({[str(word) for word in words]!r}, standalone_mode=False)\n"
        f"print(*sorted({of!r} & set(sys.modules)))"
    )
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
    assert loaded(*words, of=known) == set()
    file, slip = SAMPLES / "files" / "A1.svg", SAMPLES / "A1.toml"
    assert loaded("verify", file, "--slip", slip, of=known) == set()
    assert loaded("fold", file, "--check", of=known) == set()
    assert loaded(*words, "--cutter", "laser", "--replace", of=known) == PLANNING
