"""Delivery: all files or none, never over someone else's work, no surprise on a second run."""

import json
import os
import signal
import subprocess
import sys

import pytest
from conftest import BOOK, ROOT, SAMPLES
from once import anew

from cutfiles import deliver as deliver_
from cutfiles import make as make_
from cutfiles import read_slip, slip_from
from cutfiles.disk.names import safe_name
from cutfiles.errors import CutfilesError, FileError
from cutfiles.job.deliver import deliver

PICTURES = {"A1.standing.svg", "A1.flat.svg", "A1.folded.svg", "A1.folded.html"}


def book(**more):
    return slip_from({**BOOK, **more})


def make(slip, **how):
    """Make it without its card: once, while a test changes nothing of the product (`once`)."""
    return make_(slip, **{"paper": None, **how})


def names(folder):
    return {path.name for path in folder.iterdir()}


def test_second_run_changes_nothing(tmp_path):
    made = make(book())
    deliver(made, tmp_path)
    before = {p.name: (p.read_bytes(),) for p in tmp_path.iterdir()}
    done = deliver(anew(make_)(book(), paper=None), tmp_path)
    assert {p.name: (p.read_bytes(),) for p in tmp_path.iterdir()} == before
    assert done.removed == done.left == ()


def test_corrected_slip_replaces_its_files_and_removes_old_ones(tmp_path):
    deliver(make(book()), tmp_path)
    done = deliver(make(book(height=204), formats=["svg"]), tmp_path)
    assert {p.name for p in done.removed} == {
        "A1.r12.dxf",
        "A1.r2000.dxf",
        "A1.pdf",
        "A1.hpgl",
        "A1.fold",
    }
    assert names(tmp_path) == {"A1.svg", "A1.json", *PICTURES}
    assert b"height: 204.00 mm" in (tmp_path / "A1.svg").read_bytes()


def test_fewer_formats_of_the_same_slip_leave_the_others(tmp_path):
    deliver(make(book()), tmp_path)
    deliver(make(book(), formats=["svg"]), tmp_path)
    record = json.loads((tmp_path / "A1.json").read_text())
    assert "A1.pdf" in names(tmp_path)
    assert "A1.pdf" in {file["path"] for file in record["files"]}


def test_a_designers_work_is_not_lost(tmp_path):
    deliver(make(book()), tmp_path)
    (tmp_path / "A1.svg").write_text("my own work")
    with pytest.raises(
        FileError, match=r"A1\.svg: found a file that was changed since.*ask for it to be replaced"
    ):
        deliver(make(book(height=204)), tmp_path)
    assert (tmp_path / "A1.svg").read_text() == "my own work"
    assert b"height: 203.00 mm" in (tmp_path / "A1.r12.dxf").read_bytes()
    done = deliver(make(book(height=204), formats=["pdf"]), tmp_path)
    assert [p.name for p in done.left] == ["A1.svg"]
    deliver(make(book(height=204)), tmp_path, replace=True)
    assert (tmp_path / "A1.svg").read_bytes().startswith(b"<?xml")


def test_a_foreign_file_is_not_overwritten(tmp_path):
    (tmp_path / "A1.pdf").write_text("catalogue entry")
    with pytest.raises(FileError, match="is not ours"):
        deliver(make(book()), tmp_path)
    assert names(tmp_path) == {"A1.pdf"}


def test_a_foreign_record_is_not_overwritten(tmp_path):
    (tmp_path / "A1.json").write_text('{"my": "notes"}')
    with pytest.raises(FileError, match="belongs to something else"):
        deliver(make(book()), tmp_path)
    deliver(make(book(number="A/1")), tmp_path)
    with pytest.raises(FileError, match='belongs to the support "A/1"'):
        deliver(make(book(number="A_1")), tmp_path)


def test_a_record_cannot_lead_out_of_the_folder(tmp_path):
    out, precious = tmp_path / "out", tmp_path / "precious.txt"
    precious.write_text("keep")
    deliver(make(book()), out)
    record = json.loads((out / "A1.json").read_text())
    import hashlib

    record["files"].append(
        {
            "path": "../precious.txt",
            "format": "svg",
            "verified": True,
            "sha256": hashlib.sha256(b"keep").hexdigest(),
        }
    )
    (out / "A1.json").write_text(json.dumps(record))
    deliver(make(book(height=204)), out)
    assert precious.read_text() == "keep"


@pytest.mark.parametrize("failing", range(11))
def test_a_failure_while_writing_leaves_nothing(tmp_path, monkeypatch, failing):
    made, count, write = make(book()), [0], os.write

    def stumble(file, data):
        if count[0] == failing:
            write(file, data[: len(data) // 2])
            raise OSError(28, "No space left on device")
        count[0] += 1
        return write(file, data)

    monkeypatch.setattr(os, "write", stumble)
    with pytest.raises(FileError, match="no space left"):
        deliver(made, tmp_path)
    assert names(tmp_path) == set()


@pytest.mark.parametrize("failing", range(11))
def test_an_interruption_leaves_all_or_none(tmp_path, monkeypatch, failing):
    made, count, replace = make(book()), [0], os.replace

    def interrupted(source, target):
        count[0] += 1
        if count[0] == failing + 1:
            raise KeyboardInterrupt
        replace(source, target)

    monkeypatch.setattr(os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        deliver(made, tmp_path)
    assert len(names(tmp_path)) == 11


def test_a_refused_slip_leaves_nothing(tmp_path):
    with pytest.raises(CutfilesError):
        deliver(make(book(number="D1", width=216, height=152), formats=["hpgl", "svg"]), tmp_path)
    assert names(tmp_path) == set()


def test_a_file_that_reads_back_wrong_is_not_delivered(tmp_path, monkeypatch):
    from cutfiles.errors import DifferenceError
    from cutfiles.files.writers import hpgl

    write = hpgl.write_hpgl
    monkeypatch.setattr(
        hpgl, "write_hpgl", lambda sheet, pens, settings: write(sheet, pens).replace(b"SP3", b"SP2")
    )
    with pytest.raises(DifferenceError, match=r"A1\.hpgl: found 2: "):
        deliver(make(book()), tmp_path)
    assert names(tmp_path) == set()


def test_folder_problems(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(FileError, match=r"(?i)file exists|not a directory"):
        deliver(make(book()), tmp_path / "file")


KILLED = """
import os, signal, sys
what, left = sys.argv[1], [int(sys.argv[2])]
real = getattr(os, what)
def last(*given, **how):
    left[0] -= 1
    if left[0] < 0:
        os.kill(os.getpid(), signal.SIGKILL)
    return real(*given, **how)
setattr(os, what, last)
from cutfiles.cli import cli
cli(sys.argv[3:])
"""


@pytest.mark.parametrize(("what", "number", "there"), [("write", 7, 0), ("replace", 6, 6)])
def test_killed_at_any_point(tmp_path, run, what, number, there):
    """kill -9 leaves whole files only, and the next run completes the set."""
    words = ["make", str(SAMPLES / "A1.toml"), "--to", str(tmp_path)]
    killed = subprocess.run([sys.executable, "-c", KILLED, what, str(number), *words], cwd=ROOT)
    assert killed.returncode == -signal.SIGKILL
    left = names(tmp_path)
    assert left, "killed before anything was written"
    whole = {name for name in left if not name.endswith(".part")}
    assert len(whole) == there
    for name in whole:
        assert (tmp_path / name).read_bytes() == (SAMPLES / "files" / name).read_bytes()
    run(*words)
    assert names(tmp_path) == {p.name for p in (SAMPLES / "files").glob("A1.*")}


@pytest.mark.parametrize(
    ("number", "name"),
    [
        ("A1", "A1"),
        ("MS 12/3", "MS 12_3"),
        ("../x", "_x"),
        ("CON", "_CON"),
        ("con.1", "_con.1"),
        ("..", "_"),
        ("a.", "a"),
        ('<b>:"|?*\\', "_b_______"),
        (" x ", "x"),
        ("lpt1", "_lpt1"),
    ],
)
def test_safe_name(number, name):
    assert safe_name(number) == name


def test_odd_numbers_stay_in_the_folder(tmp_path):
    for number in ("../x", "CON", "a/b", "..", "-rf"):
        made = make(book(number=number), formats=["svg"])
        done = deliver(made, tmp_path / "out")
        assert all(path.parent == tmp_path / "out" for path in done.files)
        if number != "-rf":
            assert "file-name" in [f.rule for f in made.findings]
    assert names(tmp_path) == {"out"}


def test_read_slip_and_deliver_are_public():
    assert deliver_ is deliver
    assert read_slip(SAMPLES / "A1.toml").book.number == "A1"


@pytest.mark.parametrize("name", ["A1.svg", "A1.pdf", "A1.json", "A1.flat.svg"])
@pytest.mark.parametrize("replace", [False, True])
def test_a_folder_of_that_name_is_told_before_anything_is_written(tmp_path, name, replace):
    (tmp_path / name).mkdir()
    with pytest.raises(FileError, match=rf"{name}: found a folder.*rename it"):
        deliver(make(book()), tmp_path, replace=replace)
    assert names(tmp_path) == {name}


@pytest.mark.parametrize("height", [203, 204])
def test_two_runs_at_once_are_told(tmp_path, monkeypatch, height):
    """One run delivers while the other one is about to rename what it wrote."""
    replaced, other = os.replace, [make(book(height=height))]

    def late(part, path):
        if other:
            with pytest.raises(FileError, match="another run writes at the same time"):
                deliver(other.pop(), tmp_path)
        replaced(part, path)

    monkeypatch.setattr(os, "replace", late)
    deliver(make(book()), tmp_path)
    assert not other
    assert len(names(tmp_path)) == 11


def test_another_run_that_puts_its_own_bytes_in_place_is_told(tmp_path, monkeypatch):
    replaced = os.replace

    def mixed(part, path):
        if path.name == "A1.pdf":
            part.write_bytes(b"of another run")
        replaced(part, path)

    monkeypatch.setattr(os, "replace", mixed)
    with pytest.raises(FileError, match="another run writes at the same time"):
        deliver(make(book()), tmp_path)


def test_a_record_that_is_no_record(tmp_path):
    (tmp_path / "A1.json").write_text("[" * 100_000)
    with pytest.raises(FileError, match="belongs to something else"):
        deliver(make(book()), tmp_path)


def test_printing_never_removes_cut_files(tmp_path):
    from cutfiles.job.make import make_cards

    deliver(make(book(), formats=["svg"]), tmp_path)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    with pytest.raises(FileError, match=r"cut files made from other measures \(A1\.svg"):
        deliver(make_cards(book(height=204), ("labels",)), tmp_path)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    deliver(make(book(height=204), formats=["svg"]), tmp_path)
    deliver(make_cards(book(height=204), ("labels",)), tmp_path)
    assert (tmp_path / "A1.labels.pdf").exists()
    assert (tmp_path / "A1.svg").exists()
