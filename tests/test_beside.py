"""One shape of record beside all that is made: each is known again, verified, aligned and sent."""

import csv
import json

import pytest
from click.testing import CliRunner
from conftest import SHORT_WORK

from cutfiles.cli import cli
from cutfiles.files.record import recorded
from cutfiles.machine import tour
from cutfiles.machine.plan_data import plan_from

PROFILE = """
name = "bench"
kind = "knife"
formats = ["svg", "hpgl"]
[bed]
width = "1200 mm"
length = "1200 mm"
range_most = 64000
[score]
method = "impress"
"""
JUDGED = """
[[judged]]
lot = "2026-03"
gauge = "5 mil"
what = "score_passes"
value = 2
"""
SLIP = """
number = "T1"
units = "mm"
height = 60
width = 45
spine_width = 20
opening_angle = 110
[support]
straps = "film"
"""
LIST = "number,height mm,width mm,spine width mm,opening angle\nT1,60,45,20,110\nT2,70,50,20,110\n"


def cutfiles(*words):
    return CliRunner().invoke(cli, [str(word) for word in words])


def ok(*words):
    done = cutfiles(*words)
    assert done.exit_code == 0, done.output
    return done.output


def again(folder, kind):
    """Make what a folder holds once more."""
    profile = folder.parent / "bench.toml"
    to = ("--cutter", profile, "--to", folder, "--no-cards")
    match kind:
        case "support":
            return ok("make", folder.parent / "T1.toml", *to)
        case "exhibit":
            shelf = ("--shelf", "roll 500 mm", "--workers", "1")
            return ok("exhibit", folder.parent / "list.csv", *to, *shelf)
        case _:
            return ok("coupon", kind, *to)


KINDS = ("support", "score", "post", "exhibit")


@pytest.fixture(scope="module", params=KINDS)
def made(request, tmp_path_factory):
    base = tmp_path_factory.mktemp(request.param)
    (base / "bench.toml").write_text(PROFILE, encoding="utf-8")
    (base / "T1.toml").write_text(SLIP, encoding="utf-8")
    (base / "list.csv").write_text(LIST, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:  # as each test searches that makes it again
        patch.setattr(tour, "MOST_WORK", SHORT_WORK)
        again(base / "out", request.param)
    return base / "out", request.param


def lying(folder):
    """Where the cut files of a folder lie: those of an exhibit's sheets."""
    return folder / "sheets" if (folder / "sheets").exists() else folder


def passes(folder):
    return sorted(path for path in lying(folder).glob("*.face-*.hpgl"))


def test_each_file_stands_in_a_record_of_one_shape(made):
    where = lying(made[0])
    plans = list(where.glob("*.plan.json"))
    assert plans
    for path in where.iterdir():
        if path.suffix == ".json" and not path.name.endswith(".plan.json"):
            values = json.loads(path.read_text(encoding="utf-8"))
            assert all({"path", "format", "sha256", "verified"} <= set(e) for e in values["files"])
            assert [one["name"] for one in values["plan"]["passes"]]
            continue
        assert recorded(path) is not None, path.name


def test_each_pass_is_verified_without_a_slip(made):
    where = lying(made[0])
    files = [*passes(made[0]), *where.glob("*.svg")]
    cut = [f for f in files if recorded(f).entry["verified"] is True]
    assert len(cut) > 2
    said = ok("verify", *cut)
    assert said.count(": verified") == len(cut)


def test_a_changed_file_is_told(made):
    where = lying(made[0])
    svg = [f for f in where.glob("*.svg") if recorded(f).entry["verified"] is True]
    for file in (passes(made[0])[0], svg[0]):
        good = file.read_bytes()
        at = good.rindex(b"L" if file.suffix == ".svg" else b"PD") + 2
        at = next(i for i in range(at, len(good)) if good[i : i + 1].isdigit())
        other = b"3" if good[at : at + 1] != b"3" else b"4"
        file.write_bytes(good[:at] + other + good[at + 1 :])
        done = cutfiles("verify", file)
        file.write_bytes(good)
        assert done.exit_code == 1
        assert f"{file.name}: different" in done.output


def test_each_pass_is_sent(made, tmp_path):
    profile = made[0].parent / "bench.toml"
    for file in passes(made[0]):
        to = tmp_path / f"{file.name}.plt"
        args = ("send", file, "--cutter", profile, "--to", f"file:{to}")
        if ".face-b" in file.name:
            early = cutfiles(*args)
            assert early.exit_code == 1
            first = file.name.replace(".face-b", ".face-a")
            assert f"a pass that comes after {first};" in early.output
        ok(*args, "--earlier-done")
        assert to.read_bytes() == file.read_bytes()


def test_the_second_run_knows_its_own(made):
    before = {path.name: path.read_bytes() for path in lying(made[0]).iterdir()}
    again(*made)
    after = {path.name: path.read_bytes() for path in lying(made[0]).iterdir()}
    assert [name for name in {*before, *after} if before.get(name) != after.get(name)] == []


def aligned(folder):
    """Measure the marks of the second pass of a folder's first plan, and align by them."""
    where = lying(folder)
    table = min(path for path in where.glob("*.marks.csv") if "straps" not in path.name)
    plan = table.with_name(table.name.replace(".marks.csv", ".plan.json"))
    with table.open(encoding="utf-8") as file:
        rows = list(csv.reader(file))
    for row in rows[1:]:
        row[4:6] = f"{float(row[2]) + 3:.2f}", f"{float(row[3]) + 2:.2f}"
    with table.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    ok("align", plan)
    return plan.with_name(plan.name.replace(".plan.json", ".face-b.aligned.hpgl"))


def test_an_aligned_pass_is_verified_sent_kept_and_goes(made, tmp_path):
    profile = made[0].parent / "bench.toml"
    file = aligned(made[0])
    assert ok("verify", file) == f"{file.name}: verified\n"
    to = ("--to", f"file:{tmp_path / 'x.plt'}", "--earlier-done")
    ok("send", file, "--cutter", profile, *to)
    plan = plan_from(
        file.with_name(file.name.split(".face")[0] + ".plan.json").read_bytes(), "B1.plan.json"
    )
    assert plan.passes[1].face == "table"
    filled = file.with_name(file.name.split(".face")[0] + ".marks.csv").read_bytes()
    again(*made)
    assert filled in [path.read_bytes() for path in file.parent.glob("*.marks.csv")]
    assert ok("verify", file) == f"{file.name}: verified\n"
    profile.write_text(PROFILE + JUDGED, encoding="utf-8")  # another plan, under the same name
    again(*made)
    assert not file.exists()


def test_an_aligned_pass_goes_with_a_sheet_that_is_no_longer_made(tmp_path):
    (tmp_path / "bench.toml").write_text(PROFILE, encoding="utf-8")
    books = tmp_path / "list.csv"
    books.write_text(LIST, encoding="utf-8")
    again(tmp_path / "out", "exhibit")
    file = aligned(tmp_path / "out")
    assert file.exists()
    books.write_text(LIST.partition("T1")[0] + "T1,60,45,20,unknown\n", encoding="utf-8")
    to = ("--cutter", tmp_path / "bench.toml", "--to", tmp_path / "out", "--no-cards")
    cutfiles("exhibit", books, *to, "--shelf", "roll 500 mm", "--workers", "1")
    assert not list((tmp_path / "out" / "sheets").glob("*.hpgl"))
