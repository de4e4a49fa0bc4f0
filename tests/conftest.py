"""What all tests share: hypothesis profiles, and the samples."""

import gc
import importlib
import os
import re
import sys
import tomllib
from pathlib import Path

import pytest
from _pytest.runner import runtestprotocol
from click.testing import CliRunner
from hypothesis import HealthCheck, settings
from once import _keep_what_is_pure, _unchanged, nothing_kept  # noqa: F401 (fixtures of all tests)

from cutfiles.bench.slip import slip_from
from cutfiles.errors import DesignError
from cutfiles.film.rules import EFFORTS
from cutfiles.machine import tour
from cutfiles.support.design import design

ROOT = Path(__file__).parent.parent
SAMPLES = ROOT / "samples"
BOOK = {
    "number": "A1",
    "units": "mm",
    "height": 203,
    "width": 133,
    "spine_width": 34,
    "opening_angle": 120,
}
"""The first sample as few measures tell it: 203 × 133 × 34 mm, 120°."""
SMALL = {
    "number": "T1",
    "units": "mm",
    "height": 60,
    "width": 45,
    "spine_width": 20,
    "opening_angle": 110,
}
"""A book whose support is soon made."""

os.environ["CUTFILES_CONFIG"] = str(Path(__file__).parent / "nobody")
"""No test, and no process that one begins, reads what the user of this machine said."""

sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
"""Processes that tests begin find the package compiled: it takes longer than all else they do."""


def in_memory(folder="/dev/shm"):
    """Whether there is a folder in memory with room for all that tests write, and scripts run."""
    if not os.access(folder, os.W_OK):
        return False
    found = os.statvfs(folder)
    return found.f_bavail * found.f_frsize > 2e9 and not found.f_flag & os.ST_NOEXEC


if in_memory():
    # 14,000 files: a test of exhibits spends a tenth of its time on what a real disk does for them
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", "/dev/shm")

DEEP = bool(os.environ.get("CUTFILES_DEEP"))
"""Set, each property is asked of as many cases as it was trusted with; else of a tenth of them."""


def drawn(cases):
    """Return how many cases a property is asked of."""
    return cases if DEEP else max(5, cases // 10)


settings.register_profile(
    "cutfiles",
    max_examples=drawn(100),
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
settings.load_profile("cutfiles")


def sample_slips():
    return sorted(SAMPLES.glob("*.toml"))


def in_turn(ones, others, each):
    """Yield each of the ones with so many of the others, in turn; in full with all of them."""
    others = list(others)
    for i, one in enumerate(ones):
        for j in range(len(others) if DEEP else each):
            yield one, others[(each * i + j) % len(others)]


def on_papers(ones, name=str):
    """Yield each on one paper, in turn, and the first on both; in full all on both."""
    papers = ("A4", "Letter")
    for i, one in enumerate(ones):
        for paper in papers if DEEP or i == 0 else (papers[i % 2],):
            yield pytest.param(one, paper, id=f"{name(one)}-{paper}")


def samples_on_papers():
    """Yield the samples so."""
    return on_papers(sample_slips(), lambda path: path.stem)


def sample(stem, **support):
    """Return the slip of a sample, with settings of its own; film and construction too."""
    values = tomllib.loads((SAMPLES / f"{stem}.toml").read_text(encoding="utf-8"))
    return slip_from(
        {**values, "support": {**values.get("support", {}), **support}}, f"{stem}.toml"
    )


def is_refused_for(read, error, where, needed):
    """Whether reading is refused with what matches, and for a fault whose place ends so."""
    try:
        read()
    except error as refused:
        own = [fault for fault in refused.faults if str(fault.place).endswith(where)]
        return any(re.match(needed, fault.needed) for fault in own)
    return False


def plain(stem, **more):
    """Return a sample made plain: in three layers where its kind can be, else in one, edges cut."""
    three = sample(stem, construction="plain", gauge="5 mil", layers=3, **more)
    try:
        design(three)
    except DesignError:
        return sample(stem, construction="plain", gauge="5 mil", layers=1, edges="cut", **more)
    return three


FIRST = tuple(
    f"tests/{name}"
    for name in (
        *("outside/test_desk_", "outside/test_exhibit_page", "outside/test_page", "desk/"),
        *("test_spawned", "test_walk_", "test_bytes", "test_exhibit_memory", "test_edits_mutated"),
    )
)
"""What is begun first: pages and desks, for then one browser and one desk serve them all, and what
takes long, for then no worker waits in the end until the other is done."""


def pytest_collection_modifyitems(items):
    """Put these before all others: of two workers the first begins with them, alone."""
    items.sort(key=lambda item: not item.nodeid.startswith(FIRST))


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_protocol(item, nextitem):
    """Of a test that passes send no more than that, which is 5 s of the processor for all.

    Else a worker tells of its begin and end too, and of what is done before and after it: all of
    that where times are asked for.
    """
    config = item.config
    timed = config.pluginmanager.hasplugin("cpu") or config.getoption("durations")
    if timed or not hasattr(config, "workerinput"):
        return None
    for report in runtestprotocol(item, nextitem=nextitem, log=False):
        if report.when == "call" or not report.passed:
            item.ihook.pytest_runtest_logreport(report=report)
    return True


def pytest_collection_finish():
    """Leave what was imported and collected out of the search for garbage: it stays.

    And search less often, as the command does: it takes a twelfth of what tests of supports cost.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)


USUAL_WORK, SHORT_WORK = tour.MOST_WORK, 2_000
"""What the search for the shortest way does at most: in use, and in tests."""
USUAL_EFFORT, SHORT_EFFORT = EFFORTS["usual"], EFFORTS["quick"]
"""What the search for the least film does where no effort is asked for; `test_bytes` does it."""


@pytest.fixture(scope="session", autouse=True)
def _short_search():
    """Search less for the shortest way and the least film: both are tested by themselves."""
    tour.MOST_WORK, EFFORTS["usual"] = SHORT_WORK, SHORT_EFFORT
    yield
    tour.MOST_WORK, EFFORTS["usual"] = USUAL_WORK, USUAL_EFFORT


ENDS = []
"""What ends a process that was begun for all tests of a worker."""


@pytest.fixture(scope="session", autouse=True)
def _ended():
    """End such processes with the last test: what they took is counted then (`bench/cpu.py`)."""
    yield
    for end in ENDS:
        end()


@pytest.fixture
def run():
    """Call the command line with words; return what it says, which must be no refusal."""
    from cutfiles.cli import cli

    def run(*words):
        done = CliRunner().invoke(cli, [str(word) for word in words])
        assert done.exit_code == 0, done.output
        return done.output

    return run


@pytest.fixture
def by_hand():
    """The worked example: H 140, W 100, spine 25, rises 50/50, one layer of 0.127 mm."""
    return {
        "number": "W1",
        "units": "mm",
        "height": 140,
        "width": 100,
        "spine_width": 25,
        "left_rise": 50,
        "right_rise": 50,
        "support": {"layers": 1, "gauge": "0.127 mm"},
    }


def outside_tool(name, found):
    """Skip a test whose outside tool is missing; where all must be there, fail."""
    if found:
        return
    if os.environ.get("CUTFILES_ALL_TOOLS"):
        pytest.fail(f"{name} must be installed here")
    pytest.skip(f"{name} is not installed", allow_module_level=True)


def outside_module(name):
    """Return a library that only tests use; missing, it is like any tool that is missing."""
    try:
        return importlib.import_module(name)
    except ImportError:
        return outside_tool(name, False)


@pytest.fixture(scope="session")
def _desks(tmp_path_factory):
    """A desk that one module after the other uses; it is ended with the tests."""
    from desks import Shared

    shared = Shared(tmp_path_factory)
    yield shared
    shared.end()


@pytest.fixture(scope="module")
def desk(_desks):
    """A desk that runs, for all tests of a module; others may have left files in its folder."""
    return _desks.used()


@pytest.fixture(scope="module")
def client(desk):
    """A client that comes as the pages of `desk` do, also where it is led on to."""
    with desk.client() as one:
        one.cookies.update([desk.cookie.split("=", 1)])
        yield one
