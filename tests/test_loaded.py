"""What a short command loads: a library only where it is asked for."""

import logging
import os
import subprocess
import sys
from pathlib import Path
from threading import Event, Thread

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
UNASKED = {"urllib.request", "ssl", "email", "svgwrite.validator2", "svgwrite.data.full11"}
UNASKED |= {"ezdxf.queryparser", "pyparsing", "unittest", "PIL.Image"}
"""What svgwrite, ezdxf and reportlab would take along: for style sheets from the web, for checks
that are off, for queries and for pictures of dots."""


ALL = LIBRARIES | OF_CUTTERS | SELDOM | UNASKED


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
        "everything": ["make", SAMPLES / "A1.toml", "--to", out],
    }
    code = "import sys\nfrom cutfiles.cli import cli\n"
    for words in commands.values():
        code += f"cli({[str(word) for word in words]!r}, standalone_mode=False)\n"
        code += f"print('loaded', *({ALL!r} & set(sys.modules)))\n"
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


def test_no_library_takes_along_what_is_not_asked_for(found):
    assert found["everything"] >= {"svgwrite", "ezdxf", "reportlab"}
    assert found["everything"] & UNASKED == set()


def test_svgwrite_has_what_it_was_loaded_without_where_it_is_asked_for(tmp_path):
    """A style sheet from a file's address, and a wrong attribute; nothing stands in any more."""
    sheet = tmp_path / "one.css"
    sheet.write_text("path {fill: none}", encoding="utf-8")
    code = f"""if True:
        import sys
        import cutfiles.files.writers.svg, svgwrite
        print("ssl" in sys.modules, "svgwrite.validator2" in sys.modules)
        print(svgwrite.container.urlopen({sheet.as_uri()!r}).read())
        try:
            svgwrite.Drawing(debug=True, profile="full").g(radius=3)
        except ValueError as error:
            print(error)
        import urllib.request, svgwrite.validator2
        print(urllib.request.Request, svgwrite.validator2.Full11Validator)
    """
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.splitlines() == [
        "False False",
        "b'path {fill: none}'",
        "Invalid attribute 'radius' for svg-element <g>.",
        "<class 'urllib.request.Request'> <class 'svgwrite.validator2.Full11Validator'>",
    ]


def test_ezdxf_has_its_queries_where_they_are_asked_for():
    """With them comes the exception for which another one stood in."""
    code = """if True:
        import sys
        import cutfiles.files.writers.dxf_frame, ezdxf
        print("pyparsing" in sys.modules)
        document = ezdxf.new("R12")
        document.modelspace().add_line((0, 0), (1, 1), {"layer": "CUT"})
        document.modelspace().add_circle((0, 0), 1)
        print([one.dxftype() for one in document.query('*[layer=="cut"]i')])
        import pyparsing
        print(ezdxf.sections.blocks.ParseException is pyparsing.ParseException)
    """
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.splitlines() == ["False", "['LINE']", "True"]


def test_what_ezdxf_is_told_of_a_frame_holds_in_each_of_two_threads_and_no_longer():
    """Its switches are global: the thread that was done first turned them for the other one."""
    from ezdxf import options

    from cutfiles.files.writers.dxf_frame import _same_every_time

    level, seen, within, done = logging.getLogger("ezdxf").level, [], Event(), Event()

    def second():
        with _same_every_time():
            within.set()
            done.wait(10)
            seen.append(options.write_fixed_meta_data_for_testing)

    thread = Thread(target=second)
    with _same_every_time():
        thread.start()
        assert not within.wait(0.1)
    done.set()
    thread.join()
    assert seen == [True]
    assert options.write_fixed_meta_data_for_testing is False
    assert logging.getLogger("ezdxf").level == level


def test_reportlab_draws_pictures_of_dots_where_they_are_asked_for():
    code = """if True:
        import io, sys
        from cutfiles.report.printed.paper import Paper
        Paper("A4", "one").pdf()
        print("PIL.Image" in sys.modules)
        from reportlab.lib.utils import ImageReader
        from reportlab.pdfgen.canvas import Canvas
        import PIL.Image
        dots = PIL.Image.new("RGB", (3, 2))
        canvas = Canvas(out := io.BytesIO())
        canvas.drawImage(ImageReader(dots), 0, 0)
        canvas.drawInlineImage(dots, 0, 0)  # fails where streams are bytes as they are
        canvas.save()
        print(b"/Width 3" in out.getvalue())
    """
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["False", "True"]


def test_a_release_of_svgwrite_that_wants_more_gets_it(tmp_path):
    package = tmp_path / "svgwrite"
    package.mkdir()
    (package / "base.py").write_text("class Title:\n    pass\n", encoding="utf-8")
    (package / "__init__.py").write_text(
        "from urllib.request import Request, urlopen\nfrom svgwrite import base\n", encoding="utf-8"
    )
    code = "import sys\nimport cutfiles.files.writers.svg as own\n"
    code += "print(own.svgwrite.Request.__module__, own.svgwrite.__file__)"
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(tmp_path), str(ROOT)])}
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=env
    )
    assert run.stdout.split() == ["urllib.request", str(package / "__init__.py")]


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="tells threads on Linux alone")
@pytest.mark.skipif((os.cpu_count() or 1) < 2, reason="one processor gets one thread anyway")
def test_a_short_process_keeps_no_threads_for_what_it_never_does(tmp_path):
    code = f"""if True:
        import os, sys
        from cutfiles.cli import main
        sys.argv = ["cutfiles", "fold", {str(SAMPLES / "files" / "A1.svg")!r}, "--check"]
        try:
            main()
        except SystemExit:
            print("numpy" in sys.modules, len(os.listdir("/proc/self/task")))
    """
    own = {name: value for name, value in os.environ.items() if "THREADS" not in name}
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=own
    )
    assert run.stdout.split()[-2:] == ["True", "1"]


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
