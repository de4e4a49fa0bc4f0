"""The law of imports: a module imports only what stands above it, in functions too."""

import ast
import sys

import pytest
from conftest import ROOT
from rooms import ROOMS
from sources import MODULES, PACKAGE, choices_of, imports_of, name_of, named, sources, writings

import cutfiles

ORDER = [*ROOMS, ""]
HOMES = {
    "serial": {"line.lines"},
    "ezdxf": {"files.writers.dxf_frame", "edits.dxf"},
    "platformdirs": {"job.workshop"},
    "svgwrite": {"files.writers.svg"},
    "pypdf": {"files.readers.pdf", "edits.pdf"},
    "svgelements": {"edits.svg"},
    "fontTools": {"report.outlines"},
    "resvg_py": {"report.pictures.png"},
    "shapely": {"folding.graph", "folding.clash", "folding.vertices", "edits.cover"},
    "reportlab": {"report.printed.paper", "report.script"},
    "segno": {"report.printed.labels"},
    "bidi": {"report.script"},
    "arabic_reshaper": {"report.script"},
    "python_calamine": {"lists.grid"},
}
ROOM_OF = {
    "click": "cli",
    "starlette": "desk",
    "uvicorn": "desk",
    "jinja2": "desk",
    "markupsafe": "desk",
}
"""Libraries that a whole room may use, and no other."""
LONGEST = 400


def broken(name, imports):
    """Return what a module imports against the law."""
    found = []
    rank = ORDER.index(name.split(".")[0])
    for imported in imports:
        top = imported.split(".")[0]
        if top in HOMES and name not in HOMES[top]:
            found.append(imported)
        if imported == "dataclasses.dataclass" and name != "dataclass":
            found.append(imported)  # takes four times as long as our own
        if name.split(".")[0] != ROOM_OF.get(top, name.split(".")[0]):
            found.append(imported)
        if top != "cutfiles" or imported == "cutfiles":
            continue
        other = imported.removeprefix("cutfiles.").split(".")[0]
        other = cutfiles._HOME.get(other, other).split(".")[0]  # a public name stands for its home
        if other not in ORDER:
            continue
        if ORDER.index(other) > rank:
            found.append(imported)
        inner = imported.removeprefix("cutfiles.")
        own_part = name.startswith("files.writers.") and inner.startswith(f"{name}_")
        if (
            inner.startswith("files.writers.")
            and name.startswith(("files.writers.", "files.readers."))
            and not own_part
        ):
            found.append(imported)
        if name.startswith("files.readers.") and not (
            other in ("dataclass", "errors") or inner.startswith("files.readers")
        ):
            found.append(imported)
    return found


def test_every_module_keeps_the_law():
    assert len(sources()) > 400
    found = {one.name: bad for one in sources() if (bad := broken(one.name, one.imports))}
    assert not found, named(found)


@pytest.mark.parametrize(
    ("name", "source"),
    [
        ("plane.measure", "from cutfiles.bench.slip import Slip"),
        ("bench.slip", "def f():\n    from cutfiles.job.make import make"),
        ("files.readers.svg", "from cutfiles.files.writers.svg import STEP"),
        ("files.writers.svg", "from cutfiles.files.writers.pdf import STEP"),
        ("files.writers.svg", "from cutfiles.files.writers.dxf_frame import frame_of"),
        ("files.readers.dxf", "from cutfiles.files.writers.dxf_frame import frame_of"),
        ("files.readers.svg", "from cutfiles.plane.measure import distance"),
        ("report.flat", "import ezdxf"),
        ("plane.measure", "from cutfiles import make"),
        ("plane.measure", "import click"),
        ("plane.shapes", "from dataclasses import dataclass, replace"),
    ],
)
def test_law_notices(name, source):
    assert broken(name, imports_of(source))


def order_told(room):
    """Return the modules of a room in the order that its docstring tells."""
    told = ast.get_docstring(ast.parse((room / "__init__.py").read_text(encoding="utf-8"))) or ""
    return " ".join(told.partition("In order: ")[2].removesuffix(".").split()).split(", ")


FOLDERS = [
    path.parent
    for path in MODULES
    if path.name == "__init__.py" and path.parent != PACKAGE and path.parent.name != "cli"
]
"""Every room; commands are many small ones that know only what they share."""


@pytest.mark.parametrize("room", FOLDERS, ids=lambda room: str(room.relative_to(PACKAGE)))
def test_room_keeps_its_order(room):
    at = room.relative_to(PACKAGE).as_posix() + "/"
    inside = sorted(
        {p.stem for p in room.glob("*.py")} - {"__init__"}
        | {p.name for p in room.iterdir() if (p / "__init__.py").exists()}
    )
    told = order_told(room) if len(inside) > 1 else inside
    assert sorted(told) == inside
    base = "cutfiles." + name_of(room / "__init__.py") + "."
    for one in sources():
        own = one.where.removeprefix(at).split("/")[0].removesuffix(".py")
        if own == "__init__" or not one.where.startswith(at):
            continue
        for imported in one.imports:
            other = imported.removeprefix(base).split(".")[0]
            if imported.startswith(base) and other in told:
                assert told.index(other) <= told.index(own), f"{own} imports {other}"


def test_commands_know_only_what_they_share():
    shared = {"common", "console", "grouped", "opening", "options", "planned", "remedies"}
    shared |= {"sending", "taken"}
    commands = [one for one in sources() if one.where.startswith("cli/")]
    assert len(commands) > len(shared)
    for one in commands:
        own = one.where.removeprefix("cli/").removesuffix(".py")
        for imported in one.imports:
            other = imported.removeprefix("cutfiles.cli.").split(".")[0]
            if imported.startswith("cutfiles.cli.") and own not in shared:
                assert other in shared, f"{own} imports {other}"


def test_public_names_are_told_alike():
    """To type checkers by imports, to Python by a table; and each of them is there."""
    tree = ast.parse((PACKAGE / "__init__.py").read_text(encoding="utf-8"))
    (shown,) = (node for node in tree.body if isinstance(node, ast.If))
    told = {(node.module, alias.name) for node in shown.body for alias in node.names}
    assert told == {(f"cutfiles.{home}", name) for name, home in cutfiles._HOME.items()}
    assert all(getattr(cutfiles, name) for name in dir(cutfiles))
    assert len(told) <= 26


def test_no_circles_within_a_folder():
    graph = {
        one.name: {i.removeprefix("cutfiles.") for i in one.imports if i.startswith("cutfiles.")}
        for one in sources()
    }
    done, open_ = set(), []

    def visit(name):
        assert name not in open_, f"circle: {open_} {name}"
        if name in done or name not in graph or name == "":
            return
        open_.append(name)
        for other in graph[name]:
            visit(other)
        open_.pop()
        done.add(name)

    for name in graph:
        visit(name)


def test_every_module_is_short():
    found = {one.name: one.lines for one in sources() if one.lines > LONGEST}
    assert not found, named(found)


ALLOWED = {"os.write": "line/lines.py"}  # to a serial port


def test_no_module_writes_but_those_of_the_disk():
    found = {
        one.where: [name for name in one.writings if ALLOWED.get(name) != one.where]
        for one in sources()
    }
    writing = {where: names for where, names in found.items() if names}
    others = {where: names for where, names in writing.items() if not where.startswith("disk/")}
    assert not others, named(others)
    assert writing, "the check sees nothing"


@pytest.mark.parametrize(
    "source",
    [
        "open(p, 'wb')",
        "open(p, mode='a')",
        "p.open('x')",
        "Path(p).write_text('')",
        "os.replace(a, b)",
        "(a / b).mkdir()",
        "p.unlink()",
        "tempfile.mkstemp()",
    ],
)
def test_what_writes_is_noticed(source):
    assert list(writings(source))


def test_help_is_light():
    """`--help` loads no heavy library."""
    import subprocess

    code = (
        "import sys\nfrom cutfiles.cli import cli\n"
        "try:\n    cli(['make', '--help'], standalone_mode=True)\n"
        "except SystemExit as done:\n    assert done.code == 0\n"
        "print('LOADED', sorted(set(sys.modules) & "
        "{'ezdxf', 'shapely', 'numpy', 'svgwrite', 'pypdf', 'reportlab', 'segno', 'bidi', "
        "'starlette', 'uvicorn', 'jinja2', 'asyncio'}))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip().endswith("LOADED []")
    assert "--left-rise" in run.stdout


def test_top_level_is_clean():
    import subprocess

    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.split("\n")
    top = {line.split("/")[0] for line in listed if line}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "cutfiles", "tests", "samples"}
    assert {name for name in top if not name.startswith(".")} <= allowed


def test_every_test_module_has_a_name_of_its_own():
    """Two of one name in two folders: pytest would collect neither, and run nothing at all."""
    tests = [path for path in (ROOT / "tests").rglob("*.py") if "node_modules" not in path.parts]
    names = [path.name for path in tests]
    assert sorted({name for name in names if names.count(name) > 1}) == []


def test_a_choice_is_told_once():
    """A type and a tuple of the same texts, or two types of them, are one fact twice."""
    told = {}
    for one in sources():
        if not one.name.startswith("files.readers"):  # they share nothing with the writers
            for texts in one.choices:
                told.setdefault(texts, []).append(one.name)
    assert {", ".join(sorted(t)): where for t, where in told.items() if len(where) > 1} == {}
    assert [*choices_of('A = Literal["x", "y"]\nB: tuple[A, ...] = ("x", "y")')] == [{"x", "y"}] * 2
