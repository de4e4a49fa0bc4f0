"""Which tests reach which lines, and how long they take: kept in `.mutate/` by files of tests.

A line is known by its module, its text and the text before it, so that the map outlives most
changes to package and tests; what it does not know is looked up by the lines around it. Loaded as
a plugin (`-p reach`), this module draws the map; a file of tests that is as it was when it was
mapped is not run again.
"""

import json
import os
import re
import signal
import time
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from types import FrameType
from zlib import crc32

import pytest

ROOT = Path(__file__).parent.parent.parent
KEPT = ROOT / ".mutate"
EXAMPLES = 2
"""Of a property are drawn while mapping, at most."""
SLOW = 3.0
"""s of the processor: a test is stopped here while mapping, and never quick."""
STUCK = 60.0
"""s on the clock: so long a test may wait."""
SOON = 0.01
"""s until it is stopped after all, where it was in the middle of being measured."""
GUESSED = 1.0
"""s that a file of tests may take that is not mapped."""
_QUIET = ("no-data-collected", "module-not-imported", "module-not-measured", "module-not-python")


def keys(module: str, text: str) -> list[int]:
    """Return what each line of a module is known by."""
    lines = ["", *(line.strip() for line in text.splitlines())]
    return [crc32(f"{module}\0{before}\0{line}".encode()) for before, line in pairwise(lines)]


def kept_at(file: str) -> Path:
    """Return where the map of a file of tests is kept."""
    return KEPT / (file.replace("/", "-") + ".json")


def mapped(path: Path, file: str) -> bool:
    """Tell whether a file of tests is as it was when it was mapped."""
    kept = kept_at(file)
    return kept.exists() and json.loads(kept.read_text())["sum"] == crc32(path.read_bytes())


def few_examples(items: list[pytest.Item], most: int) -> None:
    """Let properties draw few examples."""
    from hypothesis import settings

    for item in items:
        test = getattr(item, "obj", None)
        known = getattr(test, "_hypothesis_internal_use_settings", None)
        if known is not None:
            few = settings(known, max_examples=min(most, known.max_examples))
            test._hypothesis_internal_use_settings = few  # type: ignore[union-attr]


# -- the map ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Test:
    """One test: its name for pytest, the s it takes, and what it reaches, one bit for each line."""

    name: str
    took: float
    reached: int

    @property
    def file(self) -> str:
        """The file it stands in."""
        return self.name.partition("::")[0]


@dataclass(frozen=True, slots=True)
class Reach:
    """The map.

    Attributes:
        files: of each file of tests, the places of the lines in its tests' bits, and its tests.
        unmapped: other files of tests, each as one test, and the modules it imports.

    """

    files: tuple[tuple[dict[int, int], tuple[Test, ...]], ...]
    unmapped: tuple[tuple[Test, frozenset[str]], ...]

    def tests(self, package: Path, module: str, line: int, owner: str = "") -> list[Test]:
        """Return the tests that reach a line of a module, the quickest first.

        What an import does is reached by the tests of the lines that name its owner. Where no test
        is known to reach a line, those that reach the lines around it are told; at last those that
        reach any line of the module. Files that are not mapped reach what they import.
        """
        more = [test for test, modules in self.unmapped if module in modules]
        known = keys(module, (package / module).read_text("utf-8"))
        around = range(max(0, line - 8), min(len(known), line + 7))
        first = _naming(package, owner) if owner else known[line - 1 : line]
        for some in (first, [known[i] for i in around if not owner], known):
            found = list(self._reaching(some))
            if found:
                break
        return sorted([*found, *more], key=lambda test: (test.took, test.name))

    def _reaching(self, lines: list[int]) -> Iterator[Test]:
        for places, tests in self.files:
            bits = sum({1 << places[line] for line in lines if line in places})
            yield from (test for test in tests if test.reached & bits)


def _naming(package: Path, name: str) -> list[int]:
    """Return what the lines of a package that name a thing are known by."""
    found = []
    for path in sorted(package.rglob("*.py")):
        text = path.read_text("utf-8")
        if name in text:
            module = path.relative_to(package).as_posix()
            known = zip(keys(module, text), text.splitlines(), strict=True)
            found += [key for key, line in known if re.search(rf"\b{name}\b", line)]
    return found


def read_reach() -> Reach:
    """Return the map as it is kept; an empty one where none is."""
    files = []
    for path in sorted(KEPT.glob("*-*.json")):
        kept = json.loads(path.read_text())
        places = {line: i for i, line in enumerate(kept["lines"])}
        tests = tuple(Test(name, took, int(bits, 16)) for name, took, bits in kept["tests"])
        files.append((places, tests))
    return Reach(tuple(files), tuple(_unmapped()))


def _unmapped() -> Iterator[tuple[Test, frozenset[str]]]:
    """Yield files of tests that are not mapped, each as one test, and the modules they import."""
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        file = path.relative_to(ROOT).as_posix()
        if "bench" not in path.parts and not kept_at(file).exists():
            names = re.findall(r"from (cutfiles\.[\w.]+) import", path.read_text("utf-8"))
            modules = frozenset(name[9:].replace(".", "/") + ".py" for name in names)
            yield Test(file, GUESSED, 0), modules


# -- drawing it: the plugin ------------------------------------------------------------------------


class _Slow(BaseException):
    """A test has run for `SLOW`."""


def _measuring(frame: FrameType | None) -> bool:
    """Tell whether coverage is at work for a frame, or for one that called it."""
    while frame is not None:
        if "/coverage/" in frame.f_code.co_filename:
            return True
        frame = frame.f_back
    return False


class _Recorder:
    """Draws the map of one file of tests after another."""

    def __init__(self, package: Path) -> None:
        self.package = package
        self.file = ""
        self.context = ""
        self.took: dict[str, float] = {}
        self.fixtures: dict[str, set[str]] = {}
        self.texts = {str(path): path.read_text("utf-8") for path in package.rglob("*.py")}

    def switch(self, context: str) -> str:
        """Count what is reached for a test or a fixture; return for what it was counted."""
        before, self.context = self.context, context
        self.coverage.switch_context(context)
        return before

    def begin(self, file: str) -> None:
        """Begin a file of tests."""
        import coverage

        self.file, self.took, self.fixtures = file, {}, {}
        self.coverage = coverage.Coverage(
            data_file=None, config_file=False, source=[str(self.package)]
        )
        self.coverage.set_option("run:disable_warnings", list(_QUIET))
        self.coverage.start()

    def end(self) -> None:
        """Keep the map of the file of tests."""
        self.coverage.stop()
        data = self.coverage.get_data()
        places: dict[int, int] = {}
        reached: dict[str, int] = {}
        for path in data.measured_files() & self.texts.keys():  # not what templates become
            module = str(Path(path).relative_to(self.package)).replace(os.sep, "/")
            known = keys(module, self.texts[path])
            for number, contexts in data.contexts_by_lineno(path).items():
                if number > len(known):
                    continue  # of what was compiled under the module's name
                bit = 1 << places.setdefault(known[number - 1], len(places))
                for context in contexts:
                    reached[context] = reached.get(context, 0) | bit
        tests = []
        for name, took in self.took.items():
            bits = reached.get(name, 0)
            for fixture in self.fixtures[name]:
                bits |= reached.get(fixture, 0)
            tests.append((name, round(took, 3), f"{bits:x}"))
        total = crc32((self.package.parent / self.file).read_bytes())
        kept = json.dumps({"sum": total, "lines": list(places), "tests": tests})
        KEPT.mkdir(exist_ok=True)
        kept_at(self.file).write_text(kept, encoding="utf-8")
        print(f"\n{self.file}: {len(tests)} tests reach {len(places)} lines", flush=True)


def pytest_configure(config: pytest.Config) -> None:
    """Draw the map where this module is the plugin asked for."""
    if "MUTATE_MAP" in os.environ:
        recorder = _Recorder(Path(config.rootpath) / "cutfiles")
        config.pluginmanager.register(_Hooks(recorder), "mutate-map")


class _Hooks:
    """What pytest calls while the map is drawn."""

    def __init__(self, recorder: _Recorder) -> None:
        self.recorder = recorder

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        few_examples(items, EXAMPLES)

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        recorder = self.recorder
        file = item.nodeid.partition("::")[0]
        if file != recorder.file:
            if recorder.file:
                recorder.end()
            recorder.begin(file)
        recorder.switch(item.nodeid)
        known = getattr(item, "_fixtureinfo", None)
        named = known.name2fixturedefs if known else {}
        recorder.fixtures[item.nodeid] = {f"fixture {id(some[-1])}" for some in named.values()}
        began = time.process_time()
        try:
            return (yield)
        finally:
            recorder.took.setdefault(item.nodeid, time.process_time() - began)

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: object) -> Iterator[None]:
        """What a fixture of many tests reaches, all of them reach."""
        if getattr(fixturedef, "scope", "function") == "function":
            return (yield)
        before = self.recorder.switch(f"fixture {id(fixturedef)}")
        try:
            return (yield)
        finally:
            self.recorder.switch(before)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Iterator[None]:
        def stop(_: int, frame: FrameType | None) -> None:
            if _measuring(frame):  # it holds a lock then, which nobody would give back
                signal.setitimer(signal.ITIMER_REAL, SOON)
                return
            self.recorder.took[item.nodeid] = 10 * SLOW
            raise _Slow

        clocks = ((signal.ITIMER_VIRTUAL, SLOW), (signal.ITIMER_REAL, STUCK))
        for name in (signal.SIGVTALRM, signal.SIGALRM):
            signal.signal(name, stop)
        for clock, seconds in clocks:
            signal.setitimer(clock, seconds, seconds)  # again, where it was caught
        try:
            return (yield)
        except _Slow:  # where it was stopped may have no line, which pytest cannot tell
            pytest.skip("slow")
        finally:
            for clock, _ in clocks:
                signal.setitimer(clock, 0)

    def pytest_sessionfinish(self) -> None:
        if self.recorder.file:
            self.recorder.end()
