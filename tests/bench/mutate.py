"""Asks the tests whether they notice a change: makes one at a time, in a copy, and runs them.

    python tests/bench/mutate.py --map
        which tests reach which lines (`reach.py`): once, long; later only changed files of tests
    python tests/bench/mutate.py --modules machine folding --count 40 --seed 3
        fresh changes, each against the tests that reach it, the quickest and nearest first
    python tests/bench/mutate.py --list tests/bench/holes.json
        changes once found unnoticed, each against the tests that now notice it
    python tests/bench/mutate.py --list .mutate/survived.json
        what survived last time, once more

A change is made in a temporary copy of package, tests and samples, never in this tree: first in a
fork of a process that has collected the tests (`forked.py`), and where it survives, or cannot be
made so, in a process of its own with more tests. What is kept byte for byte (`test_bytes`,
`test_samples`) is asked in between, and told apart (kept): it says that something changed, not
what went wrong. What survived is printed with its line and both texts: the product had gone wrong
and nobody said so, or the change was harmless.
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
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from changes import Mutation, fresh
from reach import KEPT as MAP
from reach import SLOW, Reach, Test, few_examples, mapped, read_reach

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
CORE = ("support", "pattern", "folding", "machine", "files", "exhibit", "line", "units.py", "plane")
LAST = ("tests/test_samples.py", "tests/test_bytes.py")
LEFT_OUT = ("tests/test_law.py",)
EXAMPLES = 30
"""Of a property are drawn for one change, at most."""
PYTEST = (sys.executable, "-m", "pytest", "-q", "-n", "0", "-p", "no:cacheprovider")
SURVIVED = MAP / "survived.json"
SPENT = (6.0, 40.0)
"""For one change tests run that take so many s all together: in a fork, and where it survives."""

# -- the copy --------------------------------------------------------------------------------------


class Copy:
    """A copy of package, tests and samples in which a module can be changed and put back."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.written = 0
        leave = shutil.ignore_patterns("__pycache__", ".*")
        for name in ("cutfiles", "tests", "samples"):
            shutil.copytree(ROOT / name, folder / name, ignore=leave, symlinks=True)
        for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
            if (ROOT / name).exists():
                shutil.copy(ROOT / name, folder)

    @property
    def package(self) -> Path:
        """The package in the copy."""
        return self.folder / "cutfiles"

    def write(self, path: Path, text: str) -> None:
        """Write a module so that no process takes it for the compiled one of another change."""
        path.write_text(text, encoding="utf-8")
        self.written += 1
        os.utime(path, (self.written, self.written))

    def start(self, plugin: str, *words: str, **settings: str) -> subprocess.Popen[str]:
        """Start pytest in the copy."""
        paths = os.pathsep.join((str(self.folder), str(HERE)))
        return subprocess.Popen(
            [*PYTEST, "-p", plugin, *words],
            cwd=self.folder,
            env={**os.environ, "PYTHONPATH": paths, **settings},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )

    def run(self, files: list[str], wanted: list[str], timeout: float) -> tuple[str, str]:
        """Run tests; return what became of the change, and the lines that tell it.

        Args:
            files: of tests.
            wanted: those of their tests to run, in this order; empty for all.
            timeout: s.

        """
        settings = {}
        if wanted:
            chosen = self.folder / "wanted.json"
            chosen.write_text(json.dumps(wanted), encoding="utf-8")
            settings["MUTATE_WANTED"] = str(chosen)
        process = self.start("mutate", "-x", *files, **settings)
        try:
            said, _ = process.communicate(timeout=timeout)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, 9)
            process.communicate()
            return "caught", "no end"
        marks = ("FAILED", "ERROR", "E  ")
        told = [line for line in said.splitlines() if line.startswith(marks)]
        if process.returncode == 0:
            return "survived", ""
        if process.returncode == 5:
            return "unreached", ""
        return "caught", "\n".join(told[:2] + told[-1:])


def pytest_collection_modifyitems(items: list) -> None:
    """Draw few examples, and keep the tests wanted, in their order.

    This module is loaded as a plugin of the runs it starts.
    """
    few_examples(items, EXAMPLES)
    if "MUTATE_WANTED" not in os.environ:
        return
    wanted = json.loads(Path(os.environ["MUTATE_WANTED"]).read_text(encoding="utf-8"))
    known: dict[str, list] = {}
    for item in items:
        known.setdefault(item.nodeid, []).append(item)
        known.setdefault(item.nodeid.partition("::")[0], []).append(item)  # its whole file
    items[:] = dict.fromkeys(item for name in wanted for item in known.get(name, ()))


# -- the changes, and the tests of each ------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Trial:
    """A change to be tried: where it is made, the text it makes there, and tests for it.

    What is kept byte for byte stands by itself.
    """

    change: Mutation
    path: Path
    before: str
    after: str
    tests: tuple[Test, ...]
    kept: tuple[Test, ...]

    def quickest(self, spent: float) -> list[Test]:
        """Return tests, nearest and quickest first, that take no longer than this, file by file."""
        room = self.change.module.partition("/")[0].removesuffix(".py")

        def cost(test: Test) -> float:
            return test.took if room in test.file else 3 * test.took

        files: dict[str, list[Test]] = {}
        for count, test in enumerate(sorted(self.tests, key=cost)):
            spent -= test.took
            if count and (spent < 0 or test.took > SLOW):
                break
            files.setdefault(test.file, []).append(test)
        return [test for some in files.values() for test in some]


def trial(copy: Copy, change: Mutation, reach: Reach) -> Trial | None:
    """Return how a change is made and tried; None where the text it changes is gone.

    A listed text that has moved to another module is changed there.
    """
    first = copy.package / change.module
    for path in sorted(copy.package.rglob("*.py"), key=lambda path: path != first):
        text = path.read_text(encoding="utf-8")
        found = place_of(change, text) if path == first or not change.span else None
        if found is None:
            continue
        begin, end = found
        module = path.relative_to(copy.package).as_posix()
        change = replace(change, module=module, line=text.count("\n", 0, begin) + 1)
        tests = reach.tests(copy.package, module, change.line, change.owner)
        known = [test for test in tests if not change.tests or test.file in change.tests]
        return Trial(
            change,
            path,
            text,
            text[:begin] + change.after + text[end:],
            tests=tuple(test for test in known if test.file not in LAST),
            kept=tuple(test for test in known if test.file in LAST),
        )
    return None


def place_of(change: Mutation, text: str) -> tuple[int, int] | None:
    """Return where a module's text is to be changed, however its blank space lies now.

    Of several places the one nearest to where it was, the first if that is not known.
    """
    if change.span and text[slice(*change.span)] == change.before:
        return change.span
    pattern = r"\s*".join(re.escape(word) for word in change.before.split())
    was = change.span[0] if change.span else 0
    places = [match.span() for match in re.finditer(pattern, text)]
    return min(places, key=lambda place: abs(place[0] - was), default=None)


def listed(path: Path) -> list[Mutation]:
    """Return the changes of a list."""
    return [
        Mutation(
            module=one["module"],
            what=one["what"],
            before=one["from"],
            after=one["to"],
            span=tuple(one["span"]) if "span" in one else None,
            owner=one.get("owner", ""),
            tests=tuple(one.get("tests", ())),
        )
        for one in json.loads(path.read_text(encoding="utf-8"))
    ]


def keep(changes: list[Mutation]) -> None:
    """Keep changes as a list that can be tried again."""
    told = [
        {
            "module": one.module,
            "what": one.what,
            "from": one.before,
            "to": one.after,
            **({"span": one.span, "owner": one.owner} if one.span else {}),
            **({"tests": one.tests} if one.tests else {}),
        }
        for one in changes
    ]
    MAP.mkdir(exist_ok=True)
    SURVIVED.write_text(json.dumps(told, indent=1, ensure_ascii=False), encoding="utf-8")


def drawn(package: Path, modules: list[str], count: int, seed: int) -> list[Mutation]:
    """Return fresh changes drawn from all places of these modules and folders of a package."""
    found = []
    for name in modules:
        place = package / name
        for path in [place] if place.is_file() else sorted(place.rglob("*.py")):
            module = path.relative_to(package).as_posix()
            found += fresh(module, path.read_text(encoding="utf-8"))
    dice = random.Random(seed)
    return sorted(dice.sample(found, min(count, len(found))), key=lambda m: (m.module, m.line))


# -- trying them -----------------------------------------------------------------------------------


def in_forks(copy: Copy, trials: list[Trial]) -> Iterator[tuple[Trial, str, str, float]]:
    """Try changes in forks of one process; yield what became of each, what told it, and the s."""
    jobs, files = [], set()
    for number, one in enumerate(trials):
        tests = one.quickest(SPENT[0])
        files |= {test.file for test in tests}
        took = {test.name: test.took for test in tests}
        job = {"number": number, "path": str(one.path), "text": one.after, "tests": took}
        jobs.append(json.dumps({**job, "seconds": 2 * SPENT[0]}))
    path = copy.folder / "jobs.json"
    path.write_text("\n".join(jobs), encoding="utf-8")
    said = []
    process = copy.start("forked", "-s", *sorted(files), MUTATE_JOBS=str(path))
    for line in process.stdout or ():
        if line.startswith('{"number"'):
            done = json.loads(line)
            yield trials[done["number"]], done["state"], done["said"], done["took"]
        elif line.endswith("fails without a change\n"):
            print(line, end="")
        said.append(line)
    if process.wait() not in (0, 5):
        raise SystemExit("".join(said[-30:]))


def anew(copy: Copy, one: Trial, timeout: float) -> tuple[str, str]:
    """Try a change in a process of its own; return what became of it, and what told it."""
    tests = [] if one.change.tests else one.quickest(SPENT[1])
    wanted = [test.name for test in tests]
    files = list(one.change.tests) or sorted({test.file for test in tests})
    copy.write(one.path, one.after)
    state, said = copy.run(files, wanted, timeout) if files else ("survived", "")
    copy.write(one.path, one.before)
    failed = re.search(r"^(?:FAILED|ERROR) (\S+::.+?)(?: - |$)", said, re.MULTILINE)
    if failed and copy.run([failed[1].partition("::")[0]], [failed[1]], timeout)[0] == "caught":
        return "survived", f"{failed[1]} fails without a change"
    return state, said


def by_kept(copy: Copy, one: Trial, timeout: float) -> tuple[str, str]:
    """Try a change against what is kept, that which is known to reach it first."""
    first = [test.name for test in sorted(one.kept, key=lambda test: test.took)]
    copy.write(one.path, one.after)
    state, said = copy.run(list(LAST), [*first, *LAST], 4 * timeout)
    copy.write(one.path, one.before)
    return ("kept" if state == "caught" else state), said


def try_all(copy: Copy, given: argparse.Namespace) -> Iterator[tuple[Mutation, str, str, float]]:
    """Try each change; yield it, what became of it, what told it, and the s it took."""
    reach = read_reach()
    if given.list:
        changes = listed(given.list)
    else:
        changes = drawn(copy.package, given.modules, given.count, given.seed)
    trials = []
    for change in changes:
        if given.only in f"{change.module}: {change.what}":
            one = trial(copy, change, reach)
            if one is None:
                yield change, "gone", "", 0.0
            else:
                trials.append(one)
    later = [one for one in trials if not one.tests]
    quick = [one for one in trials if one.tests]
    for one, state, said, took in in_forks(copy, quick) if quick else ():
        if state in ("survived", "anew") and not given.quick:
            later.append(one)
        else:
            yield one.change, state, said, took
    for one in later:
        began = time.monotonic()
        state, said = ("survived", "") if one.change.tests else by_kept(copy, one, given.timeout)
        if state == "survived":
            state, said = anew(copy, one, given.timeout)
        yield one.change, state, said, time.monotonic() - began


def show(results: Iterator[tuple[Mutation, str, str, float]], told: bool) -> bool:
    """Print what became of each change, and a table of rooms; tell whether all were noticed."""
    rooms: dict[str, dict[str, int]] = {}
    survived = []
    for one, state, said, took in results:
        counts = rooms.setdefault(one.module.partition("/")[0], {})
        counts[state] = counts.get(state, 0) + 1
        place = f"{one.module}:{one.line}" if one.line else one.module
        print(f"{state:9} {took:5.1f} s  {place}  {one.what}", flush=True)
        if state in ("survived", "anew", "unreached"):
            survived.append(one)
            print(f"    - {one.before}\n    + {one.after}", flush=True)
        if said and (told or state == "survived"):
            print("    " + said.replace("\n", "\n    "), flush=True)
    keep(survived)
    states = ("caught", "kept", "survived", "anew", "unreached", "gone")
    print(f"\n{'room':12}" + "".join(f"{state:>10}" for state in states))
    for room, counts in sorted(rooms.items()):
        print(f"{room:12}" + "".join(f"{counts.get(state, 0):10}" for state in states))
    return not survived


def make_map(copy: Copy, files: list[str]) -> None:
    """Draw the map of these files and folders of tests, where they are new or were changed."""
    places = [ROOT / name for name in files]
    found = [p for place in places for p in ([place] if place.is_file() else place.rglob("*.py"))]
    names = [path.relative_to(ROOT).as_posix() for path in sorted(found)]
    new = [
        name
        for name in names
        if name not in LEFT_OUT
        and not name.startswith("tests/bench/")
        and (name.startswith("cutfiles/") or Path(name).name.startswith("test_"))
        and not mapped(ROOT / name, name)
    ]
    done = 0
    if new:
        process = copy.start("reach", "-s", *new, MUTATE_MAP="1")
        said: deque[str] = deque(maxlen=30)
        for line in process.stdout or ():
            said.append(line)
            if "tests reach" in line:
                done += 1
                print(line, end="", flush=True)
        if process.wait() not in (0, 1, 5):  # the map ends where it was
            raise SystemExit("".join(said))
    print(f"{done} files of tests mapped of {len(new)} new, {len(names)} asked for; kept in {MAP}")


def main() -> int:
    """Try changes; return 1 where one survived."""
    ask = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    ask.add_argument("--list", type=Path, help="changes of a list instead of fresh ones")
    ask.add_argument("--only", default="", help="changes with this in their module or words")
    ask.add_argument(
        "--map", nargs="*", help="find out which tests reach which lines (files, folders; else all)"
    )
    ask.add_argument("--modules", nargs="+", default=list(CORE), help="folders or files")
    ask.add_argument("--count", type=int, default=30)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--timeout", type=float, default=240.0, help="s; no end counts as caught")
    ask.add_argument(
        "--quick",
        action="store_true",
        help="in forks alone; what needs a process of its own is told: anew",
    )
    ask.add_argument("--told", action="store_true", help="also print what the tests said")
    given = ask.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder).resolve())
        if given.map is not None:
            make_map(copy, given.map or ["tests", "cutfiles"])
            return 0
        return 0 if show(try_all(copy, given), given.told) else 1


if __name__ == "__main__":
    sys.exit(main())
