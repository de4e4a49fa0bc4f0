"""A missing outside tool skips its test on a desk; where all are demanded, it fails it."""

import re

import pytest
from conftest import ROOT, outside_module, outside_tool

TESTS = ROOT / "tests"
LOOKS = re.compile(
    r"importorskip|find_spec|except ImportError|except ModuleNotFoundError|\bwhich\("
)


@pytest.mark.parametrize("ask", [lambda: outside_tool("a plotter", None), None])
@pytest.mark.parametrize(
    ("demanded", "end"), [("1", pytest.fail.Exception), ("", pytest.skip.Exception)]
)
def test_a_missing_tool_fails_where_all_are_demanded(ask, demanded, end, monkeypatch):
    monkeypatch.setenv("CUTFILES_ALL_TOOLS", demanded)
    with pytest.raises((pytest.fail.Exception, pytest.skip.Exception), match="installed") as told:
        (ask or (lambda: outside_module("no_such_library")))()
    assert told.type is end


def test_tools_are_looked_for_in_one_way_only():
    """Whatever else looks for a tool could skip a test where every tool is demanded."""
    alone = [
        path.relative_to(TESTS).as_posix()
        for path in sorted(TESTS.rglob("*.py"))
        if "bench" not in path.parts and path.name not in ("conftest.py", "test_demanded.py")
        for line in path.read_text("utf-8").splitlines()
        if LOOKS.search(line) and "outside_tool(" not in line
    ]
    # the desk is also asked without its library; a browser has several names
    assert alone == ["desk/test_guard.py", "desk/test_guard.py", "outside/browser.py"]
