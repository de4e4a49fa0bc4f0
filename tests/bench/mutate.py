"""Asks the tests whether they notice a change: makes one at a time, in a copy, and runs them.

    python tests/bench/mutate.py --list tests/bench/holes.json
        changes once found unnoticed, each against the tests that now notice it
    python tests/bench/mutate.py --map
        which test reaches which line, once for this tree (some minutes)
    python tests/bench/mutate.py --modules machine folding --count 40 --seed 3
        fresh changes, each against the tests that reach its line

A change is made in a temporary copy of package, tests and samples, never in this tree. What
survived is printed with its line and both texts: the product had gone wrong and nobody said so,
or the change was harmless. What is kept byte for byte (`test_bytes`, `test_samples`) is left out:
it says that something changed, not what went wrong.
"""

import argparse
import ast
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
MAP = ROOT / ".mutate.json"
CORE = ("support", "pattern", "folding", "machine", "files", "exhibit", "line", "units.py")
KEPT = ("tests/test_bytes.py", "tests/test_samples.py")
PYTEST = (sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider")
SPENT = 40.0
"""Tests that took longer than this all together are not run for one change, s; quickest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutation:
    """One change to one module: the text that goes and the text that comes.

    Attributes:
        module: below the package.
        what: in a few words.
        before: of a list: text of the module, blank space told apart no further.
        after: what comes in its place.
        span: of a fresh change: where the text that goes begins and ends in the module.
        line: where it stands.
        tests: files of tests that notice it, where they are known.

    """

    module: str
    what: str
    before: str
    after: str
    span: tuple[int, int] | None = None
    line: int = 0
    tests: tuple[str, ...] = ()


# -- fresh changes ---------------------------------------------------------------------------------

_SWAPS: dict[type, type] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
    ast.Mod: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Lt: ast.GtE,
    ast.LtE: ast.Gt,
    ast.Gt: ast.LtE,
    ast.GtE: ast.Lt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.And: ast.Or,
    ast.Or: ast.And,
}
_TWINS = {"min": "max", "max": "min", "any": "all", "all": "any", "sin": "cos", "cos": "sin"}
_WORD = re.compile(r"[\w .-]{1,24}")


def fresh(module: str, text: str) -> Iterator[Mutation]:
    """Yield every change of a module's text, each of one place."""
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    lines = text.splitlines(keepends=True)

    def at(number: int, column: int) -> int:  # columns count bytes
        return starts[number - 1] + len(lines[number - 1].encode()[:column].decode())

    for node, new, what in _changes(ast.parse(text)):
        span = at(node.lineno, node.col_offset), at(node.end_lineno or 0, node.end_col_offset or 0)
        old = text[slice(*span)]
        if isinstance(node, ast.expr):
            new = f"({new})"
        yield Mutation(module=module, what=what, before=old, after=new, span=span, line=node.lineno)


def _changes(tree: ast.Module) -> Iterator[tuple[ast.expr | ast.stmt, str, str]]:
    """Yield nodes, what comes in their place, and what kind of change it is."""
    skipped = _skipped(tree)
    for node in ast.walk(tree):
        if node in skipped:
            continue
        match node:
            case ast.BinOp(op=op) if type(op) in _SWAPS and not _is_text(node):
                yield node, _with(node, op=_SWAPS[type(op)]()), "operator"
            case ast.Compare(ops=[op]) if type(op) in _SWAPS:
                yield node, _with(node, ops=[_SWAPS[type(op)]()]), "comparison"
            case ast.BoolOp(op=op):
                yield node, _with(node, op=_SWAPS[type(op)]()), "and or"
            case ast.UnaryOp(op=ast.USub()):
                yield node, ast.unparse(node.operand), "sign"
            case ast.Constant(value=bool() as value):
                yield node, repr(not value), "truth"
            case ast.Constant(value=int() | float() as value):
                yield node, repr(value * 10 if value else 1), "number"
            case ast.Constant(value=str() as value) if _WORD.fullmatch(value):
                yield node, repr(value + "x"), "word"
            case ast.Call(func=ast.Name(id=name)) if name in _TWINS:
                yield node, _with(node, func=ast.Name(_TWINS[name])), "function"
            case ast.If(test=test) | ast.IfExp(test=test) | ast.While(test=test):
                yield test, f"not ({ast.unparse(test)})", "condition"
            case ast.Return(value=ast.Tuple(elts=[one, two])):
                swapped = f"return {ast.unparse(two)}, {ast.unparse(one)}"
                yield node, swapped, "returns swapped"
            case ast.Expr(value=ast.Call() | ast.Yield() | ast.YieldFrom()) | ast.AugAssign():
                yield node, "pass", "statement dropped"
            case ast.Raise():
                yield node, "pass", "refusal dropped"
            case _:
                pass


def _with(node: ast.expr, **changes: object) -> str:
    """Return the source of an expression with parts of it exchanged."""
    fields = {name: getattr(node, name) for name in node._fields}
    return ast.unparse(type(node)(**{**fields, **changes}))


def _is_text(node: ast.BinOp) -> bool:
    return any(
        isinstance(part, ast.JoinedStr | ast.List | ast.Tuple)
        or (isinstance(part, ast.Constant) and isinstance(part.value, str))
        for part in (node.left, node.right)
    )


def _skipped(tree: ast.Module) -> set[ast.AST]:
    """Return what is not changed: annotations, docstrings, formatted and told texts, imports."""
    skipped: set[ast.AST] = set()
    for node in ast.walk(tree):
        parts: list[ast.AST | None] = []
        match node:
            case ast.FunctionDef(args=args, returns=returns):
                every = (*args.args, *args.posonlyargs, *args.kwonlyargs, args.vararg, args.kwarg)
                parts += [returns, *(a.annotation for a in every if a), *node.decorator_list]
            case ast.AnnAssign(annotation=annotation):
                parts.append(annotation)
            case ast.Expr(value=ast.Constant(value=str())) | ast.JoinedStr() | ast.Raise():
                parts += [node] if not isinstance(node, ast.Raise) else [node.exc]
            case ast.Call(func=ast.Name(id="Fault" | "Finding" | "Doc" | "cast" | "TypeVar")):
                parts.append(node)
            case ast.If(test=ast.Name(id="TYPE_CHECKING")) | ast.Import() | ast.ImportFrom():
                parts.append(node)
            case ast.ClassDef(decorator_list=decorators):
                parts += decorators
            case ast.Subscript(value=ast.Name(id="Literal")):
                parts.append(node)
            case _:
                pass
        for part in parts:
            if part is not None:
                skipped.update(ast.walk(part))
    return skipped


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
    """Keep the tests wanted, in their order: this module is loaded as a plugin of its own runs."""
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
    known = json.loads(MAP.read_text()) if not given.list else {}
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder))
        for one in changes:
            wanted = [] if one.tests else chosen_tests(one, known) if known else []
            files = list(one.tests) or sorted({test.partition("::")[0] for test in wanted})
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
    if not given.list and not MAP.exists():
        ask.error("make the map first: --map")
    changes = listed(given.list) if given.list else drawn(given.modules, given.count, given.seed)
    changes = [one for one in changes if given.only in f"{one.module}: {one.what}"]
    counts = try_all(changes, given)
    print(", ".join(f"{number} {state}" for state, number in sorted(counts.items())))
    return 1 if counts.get("survived") or counts.get("unreached") else 0


if __name__ == "__main__":
    sys.exit(main())
