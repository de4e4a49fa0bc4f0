"""What the tool writes and says, byte for byte: a move within the house changes none of it.

``python tests/test_bytes.py`` writes the checksums anew; do so only in a commit that means to
change what is written, and look at what changed: ``python tests/test_bytes.py FOLDER [GROUP ...]``
writes what they are sums of, so that two trees can be compared by ``diff -r``.
"""

import hashlib
import importlib
import json
import re
import sys
import tempfile
from pathlib import Path

import pytest
from click.testing import CliRunner
from conftest import SHORT_EFFORT, SHORT_WORK, USUAL_EFFORT
from kept import HERE, ROOT

from cutfiles.film.rules import EFFORTS
from cutfiles.machine import tour

MODULES = {
    path.stem: importlib.import_module(f"kept.{path.stem}")
    for path in sorted(HERE.glob("*.py"))
    if path.stem != "__init__"
}
GROUPS = [(name, group) for name, module in MODULES.items() for group in module.groups()]


_LONG = re.compile(r"-?\d+\.\d{7,}(?:e[-+]\d+)?|-?\d+(?:\.\d+)?e-\d+")


def _rounded(number):
    """A number that a function told to more places than any machine need agree on: to six."""
    return f"{float(number[0]):.6f}".replace("-0.000000", "0.000000")


def kept_of(module):
    """Return the checksums kept of a module's groups."""
    return json.loads((HERE / f"{module}.json").read_text(encoding="utf-8"))


def written(group, folder):
    """Run a group; return each file it writes, and what each of its lines says, by their names."""
    from cutfiles.cli import cli

    beside, to = folder / "brought", folder / "out"  # whose names may be said
    beside.mkdir()
    to.mkdir()
    brought = group.brings(beside)
    made = {}
    for line in group.lines:
        if callable(line):
            name, said = line.__name__, _LONG.sub(_rounded, line(beside))
        else:
            done = CliRunner().invoke(cli, [part.format(to, **brought) for part in line])
            assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
            name, said = " ".join(line).replace(str(ROOT), ""), f"{done.exit_code}\n{done.output}"
        assert f"said by {name}" not in made
        made[f"said by {name}"] = said.replace(str(folder), "").replace(str(ROOT), "").encode()
    for path in sorted(to.rglob("*")):
        if path.is_file():
            made[path.relative_to(to).as_posix()] = path.read_bytes()
    return made


def sums_of(group, folder):
    return {
        name: hashlib.sha256(data).hexdigest()[:16] for name, data in written(group, folder).items()
    }


@pytest.fixture(autouse=True)
def _usual_effort():
    """Lay out film with the effort of a run that asks for none."""
    EFFORTS["usual"] = USUAL_EFFORT
    yield
    EFFORTS["usual"] = SHORT_EFFORT


@pytest.mark.parametrize(
    ("module", "group"), [pytest.param(*one, id=one[1].name) for one in GROUPS]
)
def test_bytes_stay(module, group, tmp_path):
    kept, now = kept_of(module)[group.name], sums_of(group, tmp_path)
    changed = sorted(name for name in kept.keys() | now.keys() if kept.get(name) != now.get(name))
    assert changed == []


def test_there_is_something_to_keep():
    for module in MODULES:
        kept = kept_of(module)
        assert set(kept) == {group.name for name, group in GROUPS if name == module}
        assert min(len(sums) for sums in kept.values()) >= 1
    assert sum(len(sums) for name in MODULES for sums in kept_of(name).values()) > 700


def _keep():
    for module in MODULES:
        made = {}
        for name, group in GROUPS:
            if name == module:
                with tempfile.TemporaryDirectory() as folder:
                    made[group.name] = sums_of(group, Path(folder))
                print(group.name, len(made[group.name]), file=sys.stderr)
        text = json.dumps(made, indent=0, sort_keys=True) + "\n"
        (HERE / f"{module}.json").write_text(text, encoding="utf-8")


def _show(to, *wanted):
    for _, group in GROUPS:
        if not wanted or group.name in wanted:
            with tempfile.TemporaryDirectory() as folder:
                for nth, (name, data) in enumerate(written(group, Path(folder)).items()):
                    named = name.replace("/", "_") if " " in name else name
                    named = named if len(named) < 200 else f"{named[:190]} {nth}"
                    path = to / group.name / named
                    path.parent.mkdir(parents=True, exist_ok=True)
                    path.write_bytes(data)


if __name__ == "__main__":
    tour.MOST_WORK = SHORT_WORK
    _show(Path(sys.argv[1]), *sys.argv[2:]) if len(sys.argv) > 1 else _keep()
