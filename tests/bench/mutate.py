"""Asks the tests whether they notice a change: makes one at a time, in a copy, and runs them.

    python tests/bench/mutate.py --list tests/bench/holes.json     changes once found unnoticed

A change is made in a temporary copy of the package, never in this tree. What is printed is what
survived: the tests passed although the product had gone wrong.
"""

import argparse
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutation:
    """One change to one module: the text that goes and the text that comes."""

    module: str
    what: str
    before: str
    after: str
    tests: tuple[str, ...] = ()


class Copy:
    """A copy of package, tests and samples in which a module can be changed and put back."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        leave = shutil.ignore_patterns("__pycache__", "node_modules", ".*")
        for name in ("cutfiles", "tests", "samples"):
            shutil.copytree(ROOT / name, folder / name, ignore=leave)
        shutil.copy(ROOT / "pyproject.toml", folder)
        if (ROOT / "README.md").exists():
            shutil.copy(ROOT / "README.md", folder)

    def run(self, tests: list[str], timeout: float) -> tuple[str, str]:
        """Run tests; return "caught", "survived" or "slow", and the last lines said."""
        command = [sys.executable, "-m", "pytest", "-q", "-x", "-n", "0", "-p", "no:cacheprovider"]
        here = {**os.environ, "PYTHONPATH": str(self.folder), "PYTHONDONTWRITEBYTECODE": "1"}
        try:
            done = subprocess.run(
                [*command, *tests],
                cwd=self.folder,
                env=here,
                capture_output=True,
                text=True,
                timeout=timeout,
            )
        except subprocess.TimeoutExpired:
            return "slow", ""
        told = [
            line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR", "E  "))
        ]
        if done.returncode in (0, 1):
            return ("survived", "caught")[done.returncode], "\n".join(told[:3] + told[-1:])
        return "broken", done.stdout[-2000:] + done.stderr[-500:]


def changed(text: str, before: str, after: str) -> str | None:
    """Return the text with one place changed, blank space told apart no further; None if none."""
    words = [re.escape(word) for word in before.split()]
    pattern = r"\s*".join(words)
    return re.sub(pattern, lambda _: after, text, count=1) if re.search(pattern, text) else None


def apply(copy: Copy, one: Mutation) -> tuple[Path, str] | None:
    """Make the change in the copy; return the module and its text as it was."""
    package = copy.folder / "cutfiles"
    first = package / one.module
    others = sorted(package.rglob("*.py"), key=lambda path: path != first)
    for path in others:
        text = path.read_text(encoding="utf-8")
        new = changed(text, one.before, one.after)
        if new is not None and new != text:
            path.write_text(new, encoding="utf-8")
            return path, text
    return None


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


def main() -> int:
    """Try every change; return 1 where one survived."""
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--list", type=Path)
    ask.add_argument("--only", default="", help="changes with this in their module or words")
    ask.add_argument("--timeout", type=float, default=300.0)
    ask.add_argument("tests", nargs="*")
    given = ask.parse_args()
    counts: dict[str, int] = {}
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder))
        for one in listed(given.list):
            if given.only not in f"{one.module} {one.what}":
                continue
            tests = given.tests or list(one.tests)
            if not tests:
                print(f"no test       {one.module}: {one.what}", flush=True)
                continue
            put = apply(copy, one)
            if put is None:
                state, said = "gone", ""
            else:
                state, said = copy.run(tests, given.timeout)
                put[0].write_text(put[1], encoding="utf-8")
            counts[state] = counts.get(state, 0) + 1
            print(f"{state:9}     {one.module}: {one.what}\n{said}", flush=True)
    print(counts)
    return 1 if counts.get("survived") else 0


if __name__ == "__main__":
    sys.exit(main())
