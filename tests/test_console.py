"""What the command prints: any encoding, at most a terminal's width, verdicts that stand out."""

import os
import pty
import re
import subprocess
import sys

import click
import pytest
from click.testing import CliRunner
from conftest import ROOT, SAMPLES
from hypothesis import given
from hypothesis import strategies as st

from cutfiles.cli import cli
from cutfiles.cli.console import columns_of, fitted_line, plain
from cutfiles.words.marks import MARKS

ENCODINGS = ["cp850", "cp932", "cp936", "cp1250", "cp1251", "utf-8"]
ESCAPES = re.compile(r"\x1b\[[0-9;]*m")


def started(*words, **more):
    return [sys.executable, "-m", "cutfiles", *map(str, words)], {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "PYTHONUTF8": "0",
        **more,
    }


CHECKED = """
import sys
from cutfiles.cli import main
for slip in sys.argv[1:]:
    sys.argv = ["cutfiles", "check", slip]
    try:
        main()
    except SystemExit as done:
        print("ended with", done.code or 0)
"""


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_any_encoding(encoding, tmp_path):
    """A slip of signs that few of them have, then one that is not there, by such a name."""
    slip = tmp_path / "x.toml"
    text = (SAMPLES / "A1.toml").read_text(encoding="utf-8")
    slip.write_text(text.replace("Garden calendar", "Żółw 藏书 π"), encoding="utf-8")
    env = started(PYTHONIOENCODING=encoding)[1]
    words = [sys.executable, "-c", CHECKED, str(slip), str(tmp_path / "Ż°.toml")]
    done = subprocess.run(words, env=env, capture_output=True, check=True)
    assert b"Traceback" not in done.stderr
    assert done.stderr.count(b".toml") == 1, done.stderr
    said = done.stdout.decode(encoding)
    assert [line for line in said.splitlines() if line.startswith("ended with")] == [
        "ended with 0",
        "ended with 1",
    ]
    assert "( ) verdict    adequate" in said
    assert "2.07 × its load" in said or "2.07 x its load" in said


def on_terminal(columns, *words, **more):
    """Return what a command writes to a terminal of so many columns."""
    own, other = pty.openpty()
    command, env = started(*words, COLUMNS=str(columns), TERM="xterm", **more)
    env.pop("NO_COLOR", None)
    env.update(more)
    process = subprocess.Popen(command, env=env, stdout=other, stderr=other, stdin=other)
    os.close(other)
    said = b""
    while True:
        try:
            piece = os.read(own, 4096)
        except OSError:
            break
        if not piece:
            break
        said += piece
    process.wait()
    os.close(own)
    return said.decode().replace("\r\n", "\n")


@pytest.mark.parametrize("columns", [50, 80])
def test_at_most_a_terminals_width(columns):
    said = on_terminal(columns, "check", SAMPLES / "A1.toml")
    lines = [ESCAPES.sub("", line) for line in said.split("\n")]
    assert max(map(columns_of, lines)) <= columns
    assert any(line.startswith("               ") for line in lines)
    bold = [line for line in said.split("\n") if "\x1b[1" in line]
    assert "( ) verdict    adequate" in bold[0]


def test_no_colour_where_none_is_asked_for_or_nobody_looks():
    assert "\x1b" not in on_terminal(80, "check", SAMPLES / "A1.toml", NO_COLOR="1")
    words, env = started("check", SAMPLES / "A1.toml", COLUMNS="40")
    done = subprocess.run(words, env=env, capture_output=True, check=True)
    assert b"\x1b" not in done.stdout
    assert max(map(len, done.stdout.decode().split("\n"))) > 80, "a pipe is not broken to a width"


def test_did_you_mean():
    said = CliRunner().invoke(cli, ["mkae", "A1.toml"])
    assert said.exit_code == 2
    assert "No such command 'mkae'. Did you mean make?" in said.output
    assert "Did you mean" not in CliRunner().invoke(cli, ["zzzzzz"]).output
    assert CliRunner().invoke(cli, ["make", "--raplace"]).output.count("--replace") == 1


def test_interrupted_while_it_starts():
    code = (
        "import builtins, sys, runpy\n"
        "real = builtins.__import__\n"
        "def stop(name, *rest, **more):\n"
        "    if name == 'click':\n"
        "        raise KeyboardInterrupt\n"
        "    return real(name, *rest, **more)\n"
        "builtins.__import__ = stop\n"
        "runpy.run_module('cutfiles', run_name='__main__')\n"
    )
    _, env = started()
    done = subprocess.run(
        [sys.executable, "-c", code], env=env, capture_output=True, check=False, text=True
    )
    assert "Traceback" not in done.stderr
    assert done.stderr.strip() == "stopped"
    assert done.returncode == 1


@pytest.mark.parametrize("stop", [KeyboardInterrupt, click.Abort])
def test_interrupted_at_work(monkeypatch, tmp_path, stop):
    def stopped(*_, **__):
        raise stop

    monkeypatch.setattr("cutfiles.job.make.make", stopped)
    out = tmp_path / "out"
    done = CliRunner().invoke(cli, ["make", str(SAMPLES / "A1.toml"), "--to", str(out)])
    assert done.output.strip() == "stopped"
    assert done.exit_code == 130
    assert not out.exists() or not [*out.iterdir()]


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), max_size=200))
def test_lines_are_broken_and_nothing_is_lost(line):
    for width in (20, 50):
        shown = fitted_line(line, width)
        assert max(map(columns_of, shown)) <= max(width, 2)
        assert "".join("".join(shown).split()) == "".join(line.split())


@given(st.text(max_size=60))
def test_plain_is_ascii(text):
    assert plain(text).isascii()


def test_marks_are_told_apart():
    assert len({mark.plain for mark in MARKS.values()}) == len(MARKS) == 4
    assert len({mark.shapes for mark in MARKS.values()}) == 4
    assert all(mark.plain.isascii() and len(mark.plain) == 3 for mark in MARKS.values())
