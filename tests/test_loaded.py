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
OF_CUTTERS = {*PLANNING, "cutfiles.line.lines"}
SELDOM = {"statistics", "difflib", "subprocess", "importlib.resources"}
"""For tests of film, for what was mistyped, for what is opened: most commands need none."""


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    """What is loaded after each of some commands, run one after the other in one process.

    Each of them may load what those before it have loaded, and no more than it says below.
    """
    out, files = tmp_path_factory.mktemp("out"), SAMPLES / "files"
    make = ["make", SAMPLES / "A1.toml", "--no-cards", "--to", out, "--format"]
    commands = {
        "help": ["make", "--help"],
        "pdf": [*make, "pdf"],
        "svg": [*make, "svg"],
        "svg,hpgl": [*make, "svg,hpgl"],
        "verify": ["verify", files / "A1.svg", "--slip", SAMPLES / "A1.toml"],
        "fold": ["fold", files / "A1.svg", "--check"],
        "dxf-r12": [*make, "dxf-r12"],
        "cutter": [*make, "svg", "--cutter", "laser"],
    }
    code = "import sys\nfrom cutfiles.cli import cli\n"
    for words in commands.values():
        code += f"cli({[str(word) for word in words]!r}, standalone_mode=False)\n"
        code += f"print('loaded', *({LIBRARIES | OF_CUTTERS | SELDOM!r} & set(sys.modules)))\n"
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    told = [line.split()[1:] for line in run.stdout.splitlines() if line.startswith("loaded")]
    return {name: set(words) for name, words in zip(commands, told, strict=True)}


@pytest.mark.parametrize(
    ("formats", "wanted"),
    [
        ("pdf", set()),
        ("svg", {"svgwrite"}),
        ("svg,hpgl", {"svgwrite"}),
        ("dxf-r12", {"svgwrite", "ezdxf", "fontTools"}),
    ],
)
def test_a_format_loads_its_own_library_alone(found, formats, wanted):
    """Pictures, which are made in any case, need none; ezdxf brings fontTools with it."""
    assert found[formats] & LIBRARIES - GEOMETRY == wanted


def test_help_loads_none(found):
    assert found["help"] == set()


def test_a_plain_slip_loads_nothing_for_what_it_does_not_ask(found):
    assert found["svg"] & SELDOM == found["verify"] & SELDOM == set()


def test_only_a_cutter_loads_what_plans_and_sends_its_passes(found):
    """Nor does a file that is verified or folded."""
    assert found["fold"] & OF_CUTTERS == found["dxf-r12"] & OF_CUTTERS == set()
    assert found["cutter"] & OF_CUTTERS == PLANNING


def test_a_process_that_ends_looks_for_no_circles_in_all_it_made():
    code = "import gc, sys\nfrom cutfiles.cli import main\n"
    code += "sys.argv = ['cutfiles', '--version']\n"
    code += "try:\n    main()\nexcept SystemExit:\n    print(len(gc.get_objects()))"
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert int(run.stdout.split()[-1]) < 1000  # of some ten thousand
