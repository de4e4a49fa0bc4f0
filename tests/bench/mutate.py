"""Asks the tests whether they notice a change: makes one at a time, in a copy, and runs them.

    python tests/bench/mutate.py --list tests/bench/holes.json
        changes once found unnoticed, each against the tests that now notice it
    python tests/bench/mutate.py --modules machine folding --count 40 --seed 3
        fresh changes, each against the tests of its room
    python tests/bench/mutate.py --map
        which test reaches which line, once for this tree (long): fresh changes then run only these

A change is made in a temporary copy of package, tests and samples, never in this tree. What
survived is printed with its line and both texts: the product had gone wrong and nobody said so,
or the change was harmless. What is kept byte for byte (`test_bytes`, `test_samples`) is left out:
it says that something changed, not what went wrong.
"""

import argparse
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from xml.etree import ElementTree

from changes import Mutation, fresh

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
MAP = ROOT / ".mutate.json"
CORE = ("support", "pattern", "folding", "machine", "files", "exhibit", "line", "units.py")
KEPT = ("tests/test_bytes.py", "tests/test_samples.py")
TESTS = {
    "support": ("support", "dangers", "test_check.py", "test_scenarios.py", "pattern"),
    "pattern": ("pattern", "dangers", "folding", "report"),
    "folding": ("folding", "dangers/test_folds_as_said.py", "outside/test_fold.py"),
    "machine": ("machine", "dangers", "line", "outside/test_passes.py"),
    "files": (
        "dangers",
        "test_verify.py",
        "test_formats.py",
        "test_broken_files.py",
        "folding/test_proof.py",
        "machine",
        "film/test_lay_many.py",
        "outside",
    ),
    "exhibit": ("dangers/test_exhibit_told.py", "test_exhibit.py", "report"),
    "line": ("dangers/test_left_safe.py", "line"),
    "film": ("film", "dangers", "test_exhibit.py", "machine/test_plan.py"),
    "lists": ("test_lists.py", "dangers/test_read_as_meant.py", "test_exhibit.py"),
    "units.py": ("test_units.py", "dangers/test_read_as_meant.py", "test_slip.py"),
}
"""Where the tests of a room are; of every other room all tests are."""
EXAMPLES = 30
"""Of a property are drawn for one change, at most."""
PYTEST = (sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider")
SPENT = 40.0
"""Tests that took longer than this all together are not run for one change, s; quickest first."""


# -- the copy --------------------------------------------------------------------------------------


class Copy:
    """A copy of package, tests and samples in which a module can be changed and put back."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        leave = shutil.ignore_patterns("__pycache__", "node_modules", ".*")
        for name in ("cutfiles", "tests", "samples"):
            shutil.copytree(ROOT / name, folder / name, ignore=leave)
        for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
            if (ROOT / name).exists():
                shutil.copy(ROOT / name, folder)

    def change(self, one: Mutation) -> tuple[Path, str] | None:
        """Make a change; return the module and its text as it was, None where it is gone.

        A listed text that has moved to another module is changed there.
        """
        package = self.folder / "cutfiles"
        first = package / one.module
        for path in sorted(package.rglob("*.py"), key=lambda path: path != first):
            text = path.read_text(encoding="utf-8")
            new = (
                text[: one.span[0]] + one.after + text[one.span[1] :]
                if one.span
                else replaced(text, one.before, one.after)
            )
            if new is not None and new != text:
                path.write_text(new, encoding="utf-8")
                return path, text
        return None

    def run(self, files: list[str], wanted: list[str], timeout: float) -> tuple[str, str]:
        """Run tests; return what became of the change, and the lines that tell it.

        Args:
            files: of tests.
            wanted: those of their tests to run, in this order; empty for all.
            timeout: s.

        """
        settings = {"PYTHONPATH": os.pathsep.join((str(self.folder), str(HERE)))}
        settings["PYTHONDONTWRITEBYTECODE"] = "1"
        if wanted:
            chosen = self.folder / "wanted.json"
            chosen.write_text(json.dumps(wanted), encoding="utf-8")
            settings["MUTATE_WANTED"] = str(chosen)
        try:
            done = subprocess.run(
                [*PYTEST, "-x", "-n", "0", "-p", "mutate", *files],
                cwd=self.folder,
                env={**os.environ, **settings},
                capture_output=True,
                text=True,
                timeout=timeout,
            )
        except subprocess.TimeoutExpired:
            return "caught", "no end"
        marks = ("FAILED", "ERROR", "E  ")
        told = [line for line in done.stdout.splitlines() if line.startswith(marks)]
        if done.returncode == 0:
            return "survived", ""
        if done.returncode == 5:
            return "unreached", ""
        return "caught", "\n".join(told[:2] + told[-1:])


def pytest_collection_modifyitems(items: list[object]) -> None:
    """Draw few examples, and keep the tests wanted, in their order.

    This module is loaded as a plugin of the runs it starts.
    """
    from hypothesis import settings

    for item in items:
        test = getattr(item, "obj", None)
        known = getattr(test, "_hypothesis_internal_use_settings", None)
        if known is not None:
            few = settings(known, max_examples=min(EXAMPLES, known.max_examples))
            test._hypothesis_internal_use_settings = few  # type: ignore[union-attr]
    if "MUTATE_WANTED" not in os.environ:
        return
    wanted = json.loads(Path(os.environ["MUTATE_WANTED"]).read_text(encoding="utf-8"))
    places = {nodeid: i for i, nodeid in enumerate(wanted)}
    items[:] = sorted(
        (item for item in items if item.nodeid in places),  # type: ignore[attr-defined]
        key=lambda item: places[item.nodeid],  # type: ignore[attr-defined]
    )


def replaced(text: str, before: str, after: str) -> str | None:
    """Return a text with one place changed, however its blank space lies; None if there is none."""
    pattern = r"\s*".join(re.escape(word) for word in before.split())
    return re.sub(pattern, lambda _: after, text, count=1) if re.search(pattern, text) else None


# -- which test reaches which line -----------------------------------------------------------------


def make_map() -> None:
    """Run the tests once, and keep which of them reaches which line and how long it takes."""
    import coverage

    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder))
        report, lines = copy.folder / "times.xml", copy.folder / ".coverage"
        leave = [f"--ignore={name}" for name in KEPT]
        cover = ["--cov=cutfiles", "--cov-context=test", "--cov-report="]
        subprocess.run(
            [*PYTEST, "tests", *leave, *cover, f"--junitxml={report}"],
            cwd=copy.folder,
            env={**os.environ, "PYTHONPATH": str(copy.folder), "COVERAGE_FILE": str(lines)},
            check=False,
        )
        times = {}
        for case in ElementTree.parse(report).getroot().iter("testcase"):
            name = f"{case.get('classname')}::{case.get('name')}"
            times[name] = round(float(case.get("time", 0)), 3)
        data = coverage.CoverageData(str(lines))
        data.read()
        tests: dict[str, int] = {}
        reached: dict[str, dict[int, list[int]]] = {}
        for file in data.measured_files():
            module = str(Path(file).relative_to(copy.folder / "cutfiles")).replace(os.sep, "/")
            for number, contexts in data.contexts_by_lineno(file).items():
                names = {context.partition("|")[0] for context in contexts} - {""}
                found = [tests.setdefault(name, len(tests)) for name in sorted(names)]
                reached.setdefault(module, {})[number] = found
    took = []
    for nodeid in tests:
        file, _, name = nodeid.partition("::")
        took.append(times.get(f"{file.removesuffix('.py').replace('/', '.')}::{name}", 1.0))
    MAP.write_text(json.dumps({"tests": list(tests), "took": took, "reached": reached}))
    print(f"{len(tests)} tests reach {sum(map(len, reached.values()))} lines; kept in {MAP}")


def chosen_tests(one: Mutation, known: dict) -> list[str]:
    """Return the tests that reach a line, the quickest first, as long as `SPENT` allows."""
    lines = known["reached"].get(one.module, {})
    found = lines.get(str(one.line)) or sorted({i for some in lines.values() for i in some})
    spent, chosen = 0.0, []
    for i in sorted(found, key=lambda i: known["took"][i]):
        spent += known["took"][i]
        if spent > SPENT and chosen:
            break
        chosen.append(known["tests"][i])
    return chosen


def tests_of(module: str) -> list[str]:
    """Return the files and folders of a room's tests, its own first."""
    names = TESTS.get(module.partition("/")[0], (".",))
    return [f"tests/{name}" for name in names if (ROOT / "tests" / name).exists()]


# -- the command -----------------------------------------------------------------------------------


def listed(path: Path) -> list[Mutation]:
    """Return the changes of a list."""
    return [
        Mutation(
            module=one["module"],
            what=one["what"],
            before=one["from"],
            after=one["to"],
            tests=tuple(one.get("tests", ())),
        )
        for one in json.loads(path.read_text(encoding="utf-8"))
    ]


def drawn(modules: list[str], count: int, seed: int) -> list[Mutation]:
    """Return fresh changes drawn from all places of these modules and folders."""
    found = []
    for name in modules:
        place = ROOT / "cutfiles" / name
        for path in [place] if place.is_file() else sorted(place.rglob("*.py")):
            module = str(path.relative_to(ROOT / "cutfiles")).replace(os.sep, "/")
            found += fresh(module, path.read_text(encoding="utf-8"))
    dice = random.Random(seed)
    return sorted(dice.sample(found, min(count, len(found))), key=lambda m: (m.module, m.line))


def try_all(changes: list[Mutation], given: argparse.Namespace) -> dict[str, int]:
    """Make each change, run its tests, print what became of it; return how many of each."""
    counts: dict[str, int] = {}
    known = json.loads(MAP.read_text()) if MAP.exists() and not given.list else {}
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder))
        for one in changes:
            wanted = chosen_tests(one, known) if known and not one.tests else []
            files = list(one.tests) or sorted({test.partition("::")[0] for test in wanted})
            files = files or tests_of(one.module)
            began, state, said = time.monotonic(), "unreached", ""
            if files:
                put = copy.change(one)
                state = "gone"
                if put is not None:
                    state, said = copy.run(files, wanted, given.timeout)
                    put[0].write_text(put[1], encoding="utf-8")
            counts[state] = counts.get(state, 0) + 1
            took = time.monotonic() - began
            place = f"{one.module}:{one.line}" if one.line else one.module
            print(f"{state:9} {took:5.1f} s  {place}  {one.what}", flush=True)
            if state in ("survived", "unreached"):
                print(f"    - {one.before}\n    + {one.after}", flush=True)
            elif said and given.told:
                print("    " + said.replace("\n", "\n    "), flush=True)
    return counts


def main() -> int:
    """Try changes; return 1 where one survived."""
    ask = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    ask.add_argument("--list", type=Path, help="changes of a list instead of fresh ones")
    ask.add_argument("--only", default="", help="changes with this in their module or words")
    ask.add_argument("--map", action="store_true", help="find out which test reaches which line")
    ask.add_argument("--modules", nargs="+", default=list(CORE), help="folders or files")
    ask.add_argument("--count", type=int, default=30)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--timeout", type=float, default=180.0, help="s; no end counts as caught")
    ask.add_argument("--told", action="store_true", help="also print what the tests said")
    given = ask.parse_args()
    if given.map:
        make_map()
        return 0
    changes = listed(given.list) if given.list else drawn(given.modules, given.count, given.seed)
    changes = [one for one in changes if given.only in f"{one.module}: {one.what}"]
    counts = try_all(changes, given)
    print(", ".join(f"{number} {state}" for state, number in sorted(counts.items())))
    return 1 if counts.get("survived") or counts.get("unreached") else 0


if __name__ == "__main__":
    sys.exit(main())
