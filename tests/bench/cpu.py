"""What each test costs: s of the processor, of the processes that it starts too.

    PYTHONPATH=tests/bench .venv/bin/pytest -p cpu [TESTS]

A plugin; after the tests it prints the dearest files and tests, and what all cost together. Beside
it the start of two workers takes some 10 s, and their controller 1.7 ms a test. On two cores the
suite takes a little over half of all that: four to five minutes; the goal is four.
"""

import os
from collections import Counter
from collections.abc import Iterator

import pytest

BUDGET = 450.0
"""s for the whole suite, on a machine that does nothing else."""
TOLD = 25
"""Files and tests that are named, at most."""

_costs: Counter[str] = Counter()
_last = [0.0]


def _used() -> float:
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Iterator[None]:
    """Note in the report of each phase of a test what was used since the report before."""
    report = yield
    now = _used()
    report.cpu = now - _last[0]
    _last[0] = now
    return report


def pytest_runtest_logstart() -> None:
    """Leave out what was used before the first test: the imports of all."""
    _last[0] = _last[0] or _used()


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Add up what workers report."""
    _costs[report.nodeid] += getattr(report, "cpu", 0.0)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the dearest files and tests, and the sum."""
    files: Counter[str] = Counter()
    for name, seconds in _costs.items():
        files[name.partition("::")[0]] += seconds
    for title, costs in (("files", files), ("tests", _costs)):
        terminalreporter.section(f"s of the processor, {title}")
        for name, seconds in costs.most_common(TOLD):
            terminalreporter.write_line(f"{seconds:7.2f}  {name}")
    total = sum(files.values())
    terminalreporter.section(f"{total:.0f} s of the processor; {BUDGET:.0f} s is what all may take")
