"""The way to a disk: sets whole or not at all, others' files, links, names, rights, room."""

import errno
import json
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from conftest import ROOT, SAMPLES
from killed import killed_at

from cutfiles import make, read_slip, slip_from
from cutfiles.cli import cli
from cutfiles.disk import files, system
from cutfiles.disk.files import add_line, folder_at, lines, put, update, write_new
from cutfiles.disk.refusals import LARGEST, read
from cutfiles.disk.sets import held
from cutfiles.disk.system import sum_of
from cutfiles.errors import ChangedError, Defect, FileError
from cutfiles.exhibit.plan import ExhibitPlan
from cutfiles.exhibit.run import make_exhibit
from cutfiles.files.made import File
from cutfiles.job.deliver import deliver
from cutfiles.job.deliver_files import deliver_files
from cutfiles.job.names import clashes, is_suffix, share_a_name
from cutfiles.job.order import Order
from cutfiles.lists.ledger import read_list

OLD = {"a.svg": b"old a", "b.svg": b"old b", "d.svg": b"old d"}
NEW = {"a.svg": b"new a", "b.svg": b"new b", "c.svg": b"new c"}


def tree(folder):
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
    }


def run(*args):
    return CliRunner().invoke(cli, [str(arg) for arg in args])


def book(**more):
    values = {"number": "A1", "units": "mm", "height": 203, "width": 133, "spine_width": 34}
    return slip_from({**values, "opening_angle": 120, **more})


def put_recorded(folder, name, files):
    deliver_files(folder, name, [File(n, "toy", data, None) for n, data in files.items()])


def steps_of(monkeypatch, folder):
    """Return how many calls of the system a put makes."""
    put_recorded(folder, "x", OLD)
    with killed_at(10_000, monkeypatch) as made:
        put_recorded(folder, "x", NEW)
    return len(made)


# -- whole or not at all --------------------------------------------------------------------------


def test_killed_at_every_step_the_next_run_ends_as_if_undisturbed(tmp_path, monkeypatch):
    count = steps_of(monkeypatch, tmp_path / "whole")
    assert count > 25
    for step in range(count):
        out = tmp_path / str(step)
        put_recorded(out, "x", OLD)
        with killed_at(step, monkeypatch) as made:
            put_recorded(out, "x", NEW)
        assert made[-1] == "killed"
        put_recorded(out, "x", NEW)
        assert tree(out) == tree(tmp_path / "whole"), step


def test_killed_at_every_step_the_next_run_may_make_something_else(tmp_path, monkeypatch):
    last = {"a.svg": b"third a", "e.svg": b"third e"}
    count = steps_of(monkeypatch, tmp_path / "whole")
    put_recorded(tmp_path / "whole", "x", last)
    for step in range(count):
        out = tmp_path / str(step)
        put_recorded(out, "x", OLD)
        with killed_at(step, monkeypatch):
            put_recorded(out, "x", NEW)
        put_recorded(out, "x", last)
        assert tree(out) == tree(tmp_path / "whole"), step


def test_killed_twice(tmp_path, monkeypatch):
    """Also the run that ends what another began may be killed."""
    count = steps_of(monkeypatch, tmp_path / "whole")
    for step in range(0, count, 3):
        for again in range(0, count, 5):
            out = tmp_path / f"{step}-{again}"
            put_recorded(out, "x", OLD)
            with killed_at(step, monkeypatch):
                put_recorded(out, "x", NEW)
            with killed_at(again, monkeypatch):
                put_recorded(out, "x", NEW)
            put_recorded(out, "x", NEW)
            assert tree(out) == tree(tmp_path / "whole"), (step, again)


def test_a_support_killed_between_the_renames_is_made_with_new_measures(tmp_path, monkeypatch):
    first, second, third = (make(book(height=h), formats=["svg", "pdf"]) for h in (203, 204, 205))
    deliver(first, tmp_path / "whole")
    with killed_at(10_000, monkeypatch) as made:
        deliver(second, tmp_path / "whole")
    deliver(third, tmp_path / "whole")
    for step in range(0, len(made), 2):
        out = tmp_path / str(step)
        deliver(first, out)
        with killed_at(step, monkeypatch):
            deliver(second, out)
        deliver(third, out)
        assert tree(out) == tree(tmp_path / "whole"), step


@pytest.mark.parametrize("failing", range(5))
def test_a_failing_step_goes_back(tmp_path, monkeypatch, failing):
    """As where another program holds one of the files open."""
    put_recorded(tmp_path, "x", OLD)
    before, replace, unlink, count = tree(tmp_path), os.replace, os.unlink, [0]

    def once():
        count[0] += 1
        if count[0] == failing + 1:
            raise PermissionError(13, "Permission denied", "c.svg")

    def replaced(part, path):
        once()
        replace(part, path)

    def unlinked(path, *rest, **how):
        if Path(path).name == "d.svg":
            once()
        unlink(path, *rest, **how)

    monkeypatch.setattr(os, "replace", replaced)
    monkeypatch.setattr(os, "unlink", unlinked)
    with pytest.raises(FileError, match=r"permission denied \(c\.svg\)"):
        put_recorded(tmp_path, "x", NEW)
    assert tree(tmp_path) == before


@pytest.mark.parametrize("failing", range(5))
def test_an_interruption_leaves_all(tmp_path, monkeypatch, failing):
    put_recorded(tmp_path / "whole", "x", NEW)
    put_recorded(tmp_path / "out", "x", OLD)
    replace, count = os.replace, [0]

    def replaced(part, path):
        count[0] += 1
        if count[0] == failing + 1:
            raise KeyboardInterrupt
        replace(part, path)

    monkeypatch.setattr(os, "replace", replaced)
    if failing < 4:
        with pytest.raises(KeyboardInterrupt):
            put_recorded(tmp_path / "out", "x", NEW)
    else:
        put_recorded(tmp_path / "out", "x", NEW)
    assert tree(tmp_path / "out") == tree(tmp_path / "whole")


def test_what_was_changed_after_a_kill_stays(tmp_path, monkeypatch):
    count = steps_of(monkeypatch, tmp_path / "whole")
    for step in range(count):
        out = tmp_path / str(step)
        put_recorded(out, "x", OLD)
        with killed_at(step, monkeypatch):
            put_recorded(out, "x", NEW)
        (out / "b.svg").write_bytes(b"my own work")
        with pytest.raises(FileError, match=r"was changed since|is not ours"):
            put_recorded(out, "x", NEW)
        assert (out / "b.svg").read_bytes() == b"my own work"


def test_two_runs_are_kept_apart(tmp_path):
    with held(tmp_path, "x"), pytest.raises(FileError, match="another run writes"):
        put(tmp_path, "x", NEW)
    assert tree(tmp_path) == {}
    with held(tmp_path, "x"):
        put(tmp_path, "y", NEW)
    put(tmp_path, "x", NEW)
    assert tree(tmp_path) == NEW


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork here")
def test_a_child_that_outlives_us_keeps_no_lock(tmp_path):
    code = (
        "import os, sys, time\nfrom cutfiles.disk.sets import held\n"
        "with held(sys.argv[1], 'x'):\n"
        "    if os.fork() == 0:\n        print(os.getpid(), flush=True)\n    time.sleep(60)\n"
    )
    done = subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path)], stdout=subprocess.PIPE, text=True, cwd=ROOT
    )
    child = int(done.stdout.readline())
    done.kill()
    done.wait()
    try:
        put(tmp_path, "x", NEW)
    finally:
        os.kill(child, 9)
        done.stdout.close()
    assert tree(tmp_path) == NEW


# -- others' files and links ----------------------------------------------------------------------


def test_a_planted_link_is_never_followed(tmp_path):
    out, outside = tmp_path / "out", tmp_path / "outside"
    out.mkdir(), outside.mkdir()
    for name in (".x.part", ".A1.part", ".exhibit.part"):
        (out / name).symlink_to(outside)
    for name in (".a.svg.part", ".A1.svg.part"):
        (out / name).symlink_to(outside / "planted")
    with pytest.raises(FileError, match=r"\.x\.part: found a file, a link"):
        put(out, "x", NEW)
    with pytest.raises(FileError, match=r"\.A1\.part: found a file, a link"):
        deliver(make(book(), formats=["svg"]), out)
    done = run("exhibit", SAMPLES / "lists" / "kitchen-gardens.csv", "--to", out)
    assert done.exit_code == 1
    assert "a link" in done.output
    assert tree(outside) == {}


def test_a_planted_journal_is_never_followed(tmp_path):
    aim = tmp_path / "aim"
    aim.write_text("keep")
    (tmp_path / ".exhibit.journal").symlink_to(aim)
    (tmp_path / "hard").hardlink_to(aim)
    for name in (".exhibit.journal", "hard"):
        for use in (lambda path: add_line(path, "x"), lambda path: [*lines(path)]):
            with pytest.raises(FileError, match="a link"):
                use(tmp_path / name)
    assert aim.read_text() == "keep"


def test_a_folder_of_ours_that_leads_elsewhere_is_refused(tmp_path):
    (tmp_path / "out").mkdir(), (tmp_path / "elsewhere").mkdir()
    (tmp_path / "out" / "supports").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(FileError, match="a link"):
        folder_at(tmp_path / "out", "supports")


def test_what_stands_at_a_path_is_told_by_its_kind(tmp_path):
    """A link to our own file, a folder and nothing are no file of ours, whatever is known."""
    (tmp_path / "file").write_bytes(b"x")
    (tmp_path / "link").symlink_to(tmp_path / "file")
    (tmp_path / "folder").mkdir()
    known, names = (sum_of(b"x"), ""), ("file", "link", "folder", "nothing")
    found = [system.state(tmp_path / name) for name in names]
    assert [one.kind for one in found] == [*names]
    assert [one.known(known) for one in found] == [True, False, False, False]
    assert [one.holds(sum_of(b"x")) for one in found] == [True, False, False, False]
    assert [one.holds("") for one in found] == [False, False, False, True]
    assert [one.other for one in found] == [False, True, True, False]
    with pytest.raises(FileError, match="a link to"):
        put(tmp_path, "x", {"link": b"y"}, {"link": (found[1].digest, sum_of(b"x"))})
    assert (tmp_path / "file").read_bytes() == b"x"


@pytest.mark.parametrize("aim", ["aim", "nothing"])
def test_a_link_in_place_of_a_file(tmp_path, aim):
    """Unasked it is refused, asked it is itself replaced."""
    (tmp_path / "aim").write_text("keep")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "a.svg").symlink_to(tmp_path / aim)
    with pytest.raises(
        FileError, match=r'a\.svg: found a link to ".*"; .*ask for it to be replaced'
    ):
        put(tmp_path / "out", "x", NEW)
    put(tmp_path / "out", "x", NEW, replace=True)
    assert tree(tmp_path / "out") == NEW
    assert not (tmp_path / "out" / "a.svg").is_symlink()
    assert (tmp_path / "aim").read_text() == "keep"
    assert not (tmp_path / "nothing").exists()


def test_a_planted_log_leads_nowhere(tmp_path):
    """Neither by its names nor as a link."""
    (tmp_path / "precious").write_bytes(b"keep")
    out = tmp_path / "out"
    (out / ".x.part").mkdir(parents=True)
    (out / ".x.part" / "0").write_bytes(b"bad")
    (out / ".x.part" / "log").write_text(
        f'[["../precious", "{sum_of(b"keep")}", "{sum_of(b"bad")}"]]'
    )
    put(out, "x", NEW)
    assert tree(out) == NEW
    assert (tmp_path / "precious").read_bytes() == b"keep"
    (out / ".x.part").mkdir()
    (out / ".x.part" / "log").symlink_to(tmp_path / "precious")
    with pytest.raises(FileError, match="a link"):
        put(out, "x", NEW)
    assert (tmp_path / "precious").read_bytes() == b"keep"


@pytest.mark.parametrize("name", ["../x", "", "..", "a/b"])
def test_no_name_leads_out_of_the_folder(tmp_path, name):
    with pytest.raises(Defect):
        put(tmp_path / "out", "x", {name: b""})


def test_coupon_and_align_know_their_own(tmp_path):
    out = tmp_path / "coupons"
    out.mkdir()
    args = ("coupon", "--cutter", "laser", "--to", out)
    (out / "coupon-laser-127um.plan.json").write_text("mine")
    done = run(*args)
    assert done.exit_code == 1
    assert "coupon-laser-127um.plan.json: found a file that is not ours" in done.output
    assert tree(out) == {"coupon-laser-127um.plan.json": b"mine"}
    assert run(*args, "--replace").exit_code == 0
    first = tree(out)
    assert run(*args).exit_code == 0
    assert tree(out) == first
    assert run(*args, "--gauge", "3 mil").exit_code == 0
    assert tree(out) != first
    changed = min(path for path in out.iterdir() if "127um.face-" in path.name)  # of this gauge
    changed.write_text("mine")
    done = run(*args)
    assert done.exit_code == 1
    assert f"{changed.name}: found a file that was changed since" in done.output
    assert changed.read_text() == "mine"


def test_the_user_s_own_file_is_written_anew_only_as_it_was_read(tmp_path):
    own, link = tmp_path / "stock.toml", tmp_path / "link.toml"
    own.write_text("a")
    link.symlink_to(own)
    with pytest.raises(FileError, match="changed since it was read"):
        update(own, b"b", sum_of(b"x"))
    with pytest.raises(FileError, match="a link to"):
        update(link, b"b", sum_of(b"a"))
    assert own.read_text() == "a"
    update(own, b"b", sum_of(b"a"))
    assert tree(tmp_path) == {"stock.toml": b"b", "link.toml": b"b"}


def test_a_new_file_is_new(tmp_path):
    path = tmp_path / "a.toml"
    write_new(path, b"1", "a new file")
    for there in (path, tmp_path):
        with pytest.raises(FileError, match=r"a file that exists|a folder"):
            write_new(there, b"2", "a new file")
    (tmp_path / "link").symlink_to(tmp_path / "aim")
    with pytest.raises(FileError, match="exists"):
        write_new(tmp_path / "link", b"2", "a new file")
    write_new(path, b"2", "a new file", replace=True)
    assert path.read_bytes() == b"2"
    with pytest.raises(FileError, match="no such file"):
        write_new(tmp_path / "none" / "a", b"", "a new file")


@pytest.mark.parametrize("theirs", [b"theirs", b"ours"])
def test_a_file_that_another_run_writes_until_we_hold_it_is_told_as_such(
    tmp_path, monkeypatch, theirs
):
    """Also of the very same bytes: what both added to a table would be there once."""
    own, new, real = tmp_path / "own", tmp_path / "new", files.held
    own.write_bytes(b"as read")

    def held(folder, name):
        (folder / name).write_bytes(theirs)
        return real(folder, name)

    monkeypatch.setattr(files, "held", held)
    with pytest.raises(ChangedError, match="own: found a file that was changed since it was read"):
        update(own, b"ours", sum_of(b"as read"))
    with pytest.raises(ChangedError, match="new: found a file that exists"):
        write_new(new, b"ours", "a new file")
    assert tree(tmp_path) == {"own": theirs, "new": theirs}


# -- names as whole sets --------------------------------------------------------------------------

SLIP = (SAMPLES / "A1.toml").read_text(encoding="utf-8")


def slips(tmp_path, *numbers):
    paths = []
    for place, number in enumerate(numbers):
        paths.append(tmp_path / f"{place}.toml")
        text = SLIP.replace('number = "A1"', f'number = "{number}"')
        paths[-1].write_text(text, encoding="utf-8")
    return paths


TWINS = [("A1", "A1.folded"), ("A1.straps", "A1"), ("Ä1", "a\u03081"), ("A1", "A1.r12")]


@pytest.mark.parametrize(("one", "other"), TWINS)
def test_two_numbers_that_share_a_name_are_refused(tmp_path, one, other):
    """In one run, in two runs into the same folder, in a list."""
    first, second = slips(tmp_path, one, other)
    how = ("--format", "svg", "--no-cards", "--replace", "--to")
    done = run("make", first, second, *how, tmp_path / "once")
    assert done.exit_code == 1
    assert "1.toml: found the number" in done.output
    assert run("make", first, *how, tmp_path / "twice").exit_code == 0
    before = tree(tmp_path / "twice")
    done = run("make", second, *how, tmp_path / "twice")
    assert done.exit_code == 1
    assert f'found the number "{read_slip(second).book.number}", whose files may be' in done.output
    assert f'the support "{read_slip(first).book.number}"' in done.output
    assert tree(tmp_path / "twice") == before
    head = "No,Title,H,W,Spine,Opens to\n"
    rows = "".join(f"{n},A book,200 mm,130 mm,30 mm,120\n" for n in (one, other))
    (tmp_path / "list.csv").write_text(head + rows, encoding="utf-8")
    plan = ExhibitPlan(name="x", order=Order(formats=("svg",), paper=None))
    ended = make_exhibit(read_list(tmp_path / "list.csv"), tmp_path / "list", plan)
    assert ended.counts["refused"] == 2
    assert "named as those of row 3" in str(ended.supports[0].faults[0])


def test_a_row_shares_no_name_with_what_lies_in_the_folder(tmp_path):
    deliver(make(book(), formats=["svg"]), tmp_path / "supports")
    head = "No,Title,H,W,Spine,Opens to\n"
    (tmp_path / "list.csv").write_text(head + "A1.folded,A book,200 mm,130 mm,30 mm,120\n")
    plan = ExhibitPlan(name="x", order=Order(formats=("svg",), paper=None, replace=True))
    ended = make_exhibit(read_list(tmp_path / "list.csv"), tmp_path, plan)
    assert 'the support "A1"' in str(ended.supports[0].faults[0])


@pytest.mark.parametrize("other", ["A2", "A1.x", "A11", "A1 folded", "A1.folded.x"])
def test_other_numbers_share_none(other):
    assert not share_a_name("A1", other)
    assert list(clashes(["A1", other])) == []


def test_every_file_of_a_support_has_a_known_suffix():
    """What is made by any command, kept in the record of all that is written."""
    kept = json.loads((ROOT / "tests" / "kept" / "made.json").read_text(encoding="utf-8"))
    names = {name for group, sums in kept.items() if group != "blanks" for name in sums}
    stems = {path.stem for path in SAMPLES.glob("*.toml")} | {"coupon"}
    found = 0
    for name in names:
        for stem in stems:
            if name.startswith(f"{stem}.") and "/" not in name:
                assert is_suffix(name.removeprefix(stem)), name
                found += 1
    assert found > 50


# -- rights and room ------------------------------------------------------------------------------


@pytest.mark.skipif(os.name == "nt", reason="no such rights here")
@pytest.mark.parametrize("mask", [0o022, 0o002, 0o077])
def test_rights_are_the_usual_ones(tmp_path, mask):
    before = os.umask(mask)
    try:
        put_recorded(tmp_path / "out", "x", OLD)
        put_recorded(tmp_path / "out", "x", NEW)
        found = {stat.S_IMODE(path.stat().st_mode) for path in (tmp_path / "out").iterdir()}
    finally:
        os.umask(before)
    assert found == {0o666 & ~mask}


def test_no_room_tells_how_much_is_needed_and_free(tmp_path, monkeypatch):
    put_recorded(tmp_path, "x", OLD)
    before = tree(tmp_path)

    def full(file, data):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(FileError, match=r"no space left on device \(.*a\.svg\); room for [\d,]+ "):
        put_recorded(tmp_path, "x", NEW)
    assert tree(tmp_path) == before


def test_a_path_too_long_is_told(tmp_path):
    with pytest.raises(FileError, match=r"name too long.*shorter"):
        put(tmp_path, "x", {"n" * 300: b"", **NEW})
    with pytest.raises(FileError, match=r"name too long.*shorter"):
        put(tmp_path, "x" * 300, NEW)
    assert tree(tmp_path) == {}


@pytest.mark.skipif(getattr(os, "getuid", lambda: 0)() == 0, reason="may write everywhere")
def test_a_read_only_folder_is_told(tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(FileError, match="permission denied"):
            put(tmp_path, "x", NEW)
    finally:
        tmp_path.chmod(0o700)


def test_a_disk_without_locks_and_links(tmp_path, monkeypatch):
    """Copies stand in for second names, and no lock is no obstacle."""
    import fcntl

    def none(*args, **how):
        raise OSError(errno.EOPNOTSUPP, "Operation not supported")

    put_recorded(tmp_path, "x", OLD)
    monkeypatch.setattr(os, "link", none)
    monkeypatch.setattr(fcntl, "flock", none)
    locked = set(system._LOCKED)
    put_recorded(tmp_path, "x", NEW)
    assert {name: data for name, data in tree(tmp_path).items() if name in NEW} == NEW
    assert locked == system._LOCKED


def test_a_file_in_parts_may_be_larger_than_any_that_is_read_whole(tmp_path):
    """As the bench cards of two thousand books in one file."""
    part, sums = bytes(4_000_000), {}
    count = LARGEST // len(part) + 1
    for _ in range(2):
        known = {name: (one,) for name, one in sums.items()}
        put(tmp_path, "cards", {"cards.pdf": (part for _ in range(count))}, known, note=sums.update)
        assert (tmp_path / "cards.pdf").stat().st_size == count * len(part) > LARGEST
    with pytest.raises(FileError, match="more than 64,000,000 bytes"):
        read(tmp_path / "cards.pdf", "a file of cards")
