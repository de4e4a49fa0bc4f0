"""The file tests in processes begun anew, as every system can, and without POSIX names."""

import multiprocessing
import os
import sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

HERE = Path(__file__).parent
POSIX = ("fork", "forkpty", "getuid", "geteuid", "O_NOFOLLOW", "O_CLOEXEC", "register_at_fork")
"""What only some systems have: the disk's own modules must not need it."""
LONG = (
    "coupon_and_align or killed_between or killed_at_any or outlives_us or designers or odd_numbers"
    " or share_a_name_are or killed_twice or changed_after_a_kill or file_in_parts"
)
"""Tests that make whole supports again and again, run once by themselves; one that forks, one that
writes a file of 128 MB."""


def run_file_tests(names, folder):
    """Run test modules in this process; what they say goes into a file beside their folder."""
    import platformdirs.unix  # noqa: F401 (other systems' part needs none of these names)

    for name in POSIX:
        if hasattr(os, name):
            delattr(os, name)
    os.environ.pop("PYTEST_XDIST_WORKER", None)
    given = ["-q", "-n0", "-p", "no:cacheprovider", "--basetemp", f"{folder}/tests"]
    given += ["-k", f"not ({LONG})", "--rootdir", str(HERE.parent)]
    with (
        open(f"{folder}/said", "w", encoding="utf-8") as told,
        redirect_stdout(told),
        redirect_stderr(told),
    ):
        done = pytest.main([*given, *(str(HERE / name) for name in names)])
    sys.exit(int(done))


def test_file_tests_pass_in_a_process_begun_anew(tmp_path):
    names = ["test_disk.py", "test_delivery.py"]
    process = multiprocessing.get_context("spawn").Process(
        target=run_file_tests, args=(names, str(tmp_path))
    )
    process.start()
    process.join()
    said = (tmp_path / "said").read_text(encoding="utf-8")
    assert process.exitcode == 0, said[-4000:]
    assert said.count(".") >= 95, "tests were run"
