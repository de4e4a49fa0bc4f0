"""Makes changes inside a process that has collected the tests, each in a fork: no start, no import.

Loaded as a plugin (`-p forked`) in the folder of a copy, it is told by `MUTATE_JOBS`, a file of
one job a line: a number, a module's path, its changed text, tests with the s each takes, and the s
they may take together. In a fork of the process it gives the module's functions their new code and
runs the tests in that order, until one fails. What became of each it prints as a line of JSON.

What only a module's import does (constants, tables, defaults) cannot be changed so: "anew". Nor do
processes that a test starts know of the change; so what survives here is to be tried anew too.
"""

import gc
import importlib
import json
import os
import pkgutil
import resource
import select
import signal
import time
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any, cast

import pytest
from reach import few_examples

EXAMPLES = 10
"""Of a property are drawn for one change, at most."""
MEMORY = 6 << 30
"""Bytes a fork may take."""
WALL = 15.0
"""A fork may take so many times the s of the processor, for the machine may be busy."""
ENDLESS = 10.0
"""A test that takes so many times its s, and so many s more, has no end."""
FUNCTIONS: list[FunctionType] = []
"""All there are before the first fork."""


class NotPatched(Exception):
    """A change that functions at hand cannot take."""


# -- new code for functions at hand ----------------------------------------------------------------


def functions_of(code: CodeType) -> tuple[list[CodeType], list[object]]:
    """Return the functions that a module's or a class's code makes, and all else it consists of."""
    made: list[CodeType] = []
    rest: list[object] = [code.co_code, code.co_names]
    for one in code.co_consts:
        if not isinstance(one, CodeType):
            rest.append((type(one), one))
        elif one.co_flags & 0x1:  # CO_OPTIMIZED: a function, not the body of a class
            made.append(one)
        else:
            inner, others = functions_of(one)
            made += inner
            rest += others
    return made, rest


def patch(known: list[FunctionType], path: Path, before: str, after: str) -> None:
    """Give the functions of a module the code of its changed text; `NotPatched` if they cannot."""
    old, rest = functions_of(compile(before, str(path), "exec"))
    new, others = functions_of(compile(after, str(path), "exec"))
    if rest != others or len(old) != len(new):
        raise NotPatched
    changed = {
        (one.co_qualname, one.co_firstlineno): other
        for one, other in zip(old, new, strict=True)
        if one != other
    }
    found = [
        (function, changed[place])
        for function in known
        if function.__code__.co_filename == str(path)
        and (place := (function.__code__.co_qualname, function.__code__.co_firstlineno)) in changed
    ]
    if not changed or {function.__code__.co_qualname for function, _ in found} != {
        name for name, _ in changed
    }:
        raise NotPatched
    try:
        for function, code in found:
            function.__code__ = code
    except ValueError as error:  # another number of free variables
        raise NotPatched from error


# -- one change in a fork --------------------------------------------------------------------------


class _Endless(BaseException):
    """A test takes far longer than it did."""


class _Told:
    """Keeps what a failing test says, and ends one without end."""

    def __init__(self, took: dict[str, float]) -> None:
        self.took = took
        self.said = ""

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed and not self.said:
            lines = [line for line in report.longreprtext.splitlines() if line.startswith("E ")]
            self.said = "\n".join([report.nodeid, *lines[:2], *lines[2:][-1:]])

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Iterator[None]:
        def end(*_: object) -> None:
            self.said = f"{item.nodeid}\nno end"
            raise _Endless

        signal.signal(signal.SIGVTALRM, end)
        signal.setitimer(signal.ITIMER_VIRTUAL, ENDLESS * (self.took.get(item.nodeid, 1.0) + 1))
        try:
            return (yield)
        finally:
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)


def _run(items: list[pytest.Item], job: dict[str, Any], out: int) -> None:
    """Make a change and run tests until one fails; write what became of it. Ends the process."""
    os.setsid()
    nothing = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nothing, stream)
    last = time.process_time() + job["seconds"]
    resource.setrlimit(resource.RLIMIT_CPU, (int(10 * last), int(10 * last) + 5))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    told = _Told(job["tests"])
    items[0].config.pluginmanager.register(told, "mutate-told")
    try:
        if job["text"]:
            path = Path(job["path"])
            patch(FUNCTIONS, path, path.read_text("utf-8"), job["text"])
        state = "survived"
        for item, after in zip(items, [*items[1:], None], strict=True):
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            if told.said:
                state = "caught"
            if told.said or time.process_time() > last:
                break
    except NotPatched:
        state = "anew"
    except BaseException as error:
        state, told.said = "caught", repr(error)
    os.write(out, json.dumps({"state": state, "said": told.said}).encode()[:60_000])
    os._exit(0)


def _in_fork(items: list[pytest.Item], job: dict[str, Any]) -> dict[str, str]:
    """Return what became of one change; a fork that dies has caught it."""
    read, write = os.pipe()
    child = os.fork()
    if not child:
        os.close(read)
        _run(items, job, write)
    os.close(write)
    ready, _, _ = select.select([read], [], [], WALL * job["seconds"])
    said = os.read(read, 60_000) if ready else b""
    os.close(read)
    try:
        os.killpg(child, signal.SIGKILL)
    except (ProcessLookupError, PermissionError):
        os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    if not said:
        return {"state": "caught", "said": "died"} if ready else {"state": "anew", "said": ""}
    return cast(dict[str, str], json.loads(said))


def _tried(items: list[pytest.Item], job: dict[str, Any], sound: dict[str, bool]) -> dict[str, str]:
    """Return what became of one change; what fails without it too is left out.

    Args:
        items: the tests, in order.
        job: the change.
        sound: which tests pass without a change, as far as is known.

    """
    while items := [item for item in items if sound.get(item.nodeid, True)]:
        done = _in_fork(items, job)
        name = done["said"].partition("\n")[0]
        alone = [item for item in items if item.nodeid == name]
        if not alone:
            return done
        if name not in sound:
            sound[name] = _in_fork(alone, {**job, "text": ""})["state"] == "survived"
        if sound[name]:
            return done
    return {"state": "anew", "said": ""}


# -- the plugin ------------------------------------------------------------------------------------


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Draw few examples."""
    few_examples(items, EXAMPLES)


@pytest.hookimpl(tryfirst=True)
def pytest_runtestloop(session: pytest.Session) -> bool:
    """Try the changes in the place of running the tests."""
    known: dict[str, list[pytest.Item]] = {}
    for item in session.items:
        known.setdefault(item.nodeid, []).append(item)
        known.setdefault(item.nodeid.partition("::")[0], []).append(item)  # its whole file
    import cutfiles

    assert Path(cutfiles.__file__).is_relative_to(session.config.rootpath), cutfiles.__file__
    for module in pkgutil.walk_packages(cutfiles.__path__, "cutfiles."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    gc.unfreeze()  # what the tests' own start froze is not told
    FUNCTIONS.extend(one for one in gc.get_objects() if type(one) is FunctionType)
    gc.freeze()
    sound: dict[str, bool] = {}
    for line in Path(os.environ["MUTATE_JOBS"]).read_text("utf-8").splitlines():
        job = json.loads(line)
        items = [item for name in job["tests"] for item in known.get(name, ())]
        began = time.monotonic()
        done = _tried(items, job, sound)
        took = round(time.monotonic() - began, 1)
        print("\n" + json.dumps({"number": job["number"], "took": took, **done}), flush=True)
    for name in (name for name, passes in sound.items() if not passes):
        print(f"\n{name} fails without a change", flush=True)
    return True
