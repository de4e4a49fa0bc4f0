"""Exhibits: rows that add up, second runs, interruptions, executors, odd texts, tables."""

import csv
import io
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import ROOT, SAMPLES, drawn, outside_module
from hypothesis import given, settings
from hypothesis import strategies as st
from killed import killed_at

from cutfiles.bench.at_hand import FilmAtHand, FilmKind, Supply
from cutfiles.bench.films import read_films
from cutfiles.cli import cli
from cutfiles.errors import FileError, SlipError
from cutfiles.exhibit.plan import ExhibitPlan
from cutfiles.exhibit.run import make_exhibit
from cutfiles.exhibit.workers import SERIAL_BELOW
from cutfiles.film.rules import EFFORTS, Rules
from cutfiles.job.order import Order
from cutfiles.lists.ledger import read_list
from cutfiles.machine.cutter import Setting
from cutfiles.machine.options import Options
from cutfiles.machine.profile.read import find_cutter

HEAD = "No,Title,Show,H,W,Spine,Opens to,Case\n"
BOOKS = "".join(
    f"{n},Book {n},p. {i},{150 + 9 * i} mm,{100 + 5 * i} mm,{20 + i} mm,{100 + i},{'AB'[i % 2]}\n"
    for i, n in enumerate(["A1", "A2", "B1", "B2"])
)
BAD = (
    "C1,Bad,p. 1,abc,100 mm,20 mm,120,A\nC2,Flat,p. 1,200 mm,100 mm,20 mm,180,A\n"
    "C3,Shut,closed,200 mm,100 mm,20 mm,,A\n"
)


TWO_FORMATS = Order(formats=("svg", "pdf"), paper=None)


def plan(**more):
    """One format, nothing printed, a short search of the nest, unless a test asks for more."""
    more.setdefault("order", Order(formats=("svg",), paper=None))
    return ExhibitPlan(name="show", rules=more.pop("rules", Rules(effort=10_000)), **more)


def listed(tmp_path, text, name="list.csv"):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return read_list(path)


def tree(folder):
    """Every file below a folder with its bytes."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(Path(folder).rglob("*"))
        if path.is_file()
    }


def states(done):
    return {support.number: support.state for support in done.supports}


def test_all_is_made(tmp_path):
    asked = plan(order=TWO_FORMATS)
    done = make_exhibit(listed(tmp_path, HEAD + BOOKS), tmp_path / "out", asked)
    assert done.counts == {"made": 4, "unchanged": 0, "refused": 0}
    assert done.complete
    files = tree(tmp_path / "out")
    for number in ("A1", "A2", "B1", "B2"):
        for ending in ("svg", "pdf", "json", "standing.svg", "flat.svg"):
            assert f"supports/{number}.{ending}" in files
    assert {
        "index.html",
        "supports.csv",
        "supports.json",
        "order.csv",
        "cutting.csv",
        "install.csv",
        "import.csv",
        "report.txt",
        "exhibit.json",
    } <= files.keys()
    assert "sheets/sheet-001.svg" in files
    assert not [name for name in files if name.endswith((".part", ".journal"))]
    assert sum(len(sheet.pieces) for sheet in done.sheets) == 4


def test_one_bad_book_stops_no_other(tmp_path):
    books = listed(tmp_path, HEAD + BOOKS + BAD)
    done = make_exhibit(books, tmp_path / "out", plan())
    assert done.counts == {"made": 4, "unchanged": 0, "refused": 3}
    assert sum(done.counts.values()) == len(books.rows)
    report = (tmp_path / "out" / "report.txt").read_text()
    assert "7 rows: 4 made, 3 refused" in report
    assert 'list.csv, row 6, column H: found "abc"' in report
    assert "list.csv, row 7" in report
    assert "    C2 Flat" in report
    assert "a closed book needs no cradle" in report


def test_a_fault_of_the_program_is_a_refused_row(tmp_path, monkeypatch):
    from cutfiles.exhibit import work as exhibit_work

    real = exhibit_work.make

    def fails(slip, *rest, **how):
        if slip.book.number == "A2":
            raise ZeroDivisionError("x")
        return real(slip, *rest, **how)

    monkeypatch.setattr(exhibit_work, "make", fails)
    done = make_exhibit(listed(tmp_path, HEAD + BOOKS), tmp_path / "out", plan())
    assert states(done) == {"A1": "made", "A2": "refused", "B1": "made", "B2": "made"}
    assert "ZeroDivisionError" in str(done.supports[1].faults[0])


def test_sheets_go_through_the_cutter(tmp_path):
    """Passes by face for each sheet, verified, timed; another cutter makes them anew."""
    from cutfiles.files.passes import verify_pass
    from cutfiles.machine.plan_data import plan_from
    from cutfiles.machine.profile.read import find_cutter

    books, out = listed(tmp_path, HEAD + BOOKS), tmp_path / "out"
    order = Order(formats=None, cutter=find_cutter("flatbed-wheel"), paper=None)
    rules = Rules(effort=10_000, bed=order.cutter.bed.reach)
    done = make_exhibit(books, out, plan(order=order, rules=rules))
    assert done.counts == {"made": 4, "unchanged": 0, "refused": 0}
    for sheet in done.sheets:
        assert max(sheet.width, sheet.height) <= max(order.cutter.bed.reach)
        assert sheet.time
        names = set(sheet.files)
        assert {f"{sheet.number}.face-{face}.dxf" for face in "ab"} <= names
        file = out / "sheets" / f"{sheet.number}.plan.json"
        planned = plan_from(file.read_bytes(), file.name)
        worked = 0
        for face in "ab":
            name = f"{sheet.number}.face-{face}.dxf"
            assert verify_pass(planned, name, (out / "sheets" / name).read_bytes()) == ()
            [one] = [p for p in planned.passes if p.face == {"a": "book", "b": "table"}[face]]
            worked += sum(s.role.startswith("cut-outline") for s in one.drawing.strokes)
        assert worked >= len(sheet.pieces)  # an outline bridged is several strokes
    rows = list(csv.DictReader((out / "cutting.csv").read_text("utf-8-sig").splitlines()))
    assert all(row["time"] for row in rows)
    again = make_exhibit(books, out, plan(order=order, rules=rules))
    assert again.counts["unchanged"] == 4
    assert all(sheet.state == "unchanged" and sheet.time for sheet in again.sheets)
    other = Order(formats=None, cutter=find_cutter("wide-roll-knife"), paper=None)
    make_exhibit(books, out, plan(order=other, rules=rules))
    assert not list((out / "sheets").glob("*.dxf"))
    assert list((out / "sheets").glob("*.face-*.hpgl"))


def test_verdicts_straps_and_printed_sheets(tmp_path):
    text = (
        "No,Title,H,W,Spine,Opens to,Weight,Case,Cover\n"
        "A1,Light,140 mm,100 mm,25 mm,120,100 g,2,\n"
        "A2,Heavy,203 mm,133 mm,34 mm,120,1300 g,1,limp\n"
        "A3,Unweighed,140 mm,100 mm,25 mm,120,,1,\n"
        "A4,Large,203 mm,133 mm,34 mm,120,400 g,1,\n"
    )
    out = tmp_path / "out"
    done = make_exhibit(listed(tmp_path, text), out, plan(order=Order(formats=("svg",))))
    verdicts = {s.number: s.facts.verdict for s in done.supports}
    assert verdicts["A1"] == "adequate"
    assert verdicts["A3"].endswith("(weight estimated)")
    assert verdicts["A2"] == "another support"
    assert "2 adequate" in (out / "report.txt").read_text()
    import pypdf

    def said(name):
        return "".join(page.extract_text() for page in pypdf.PdfReader(out / name).pages)

    case = said("case-card.pdf")
    assert case.index("Heavy") < case.index("Light")  # case 1 comes before case 2
    strap = said("strap-card.pdf")
    assert "325 mm" in strap  # 2 · (140 + 25/2) + 20
    # 2 · (203 + 34/2) + 20, left and right of A4; no film carries A2, so it is not folded
    assert strap.count("460 mm") == 2
    assert "sheet-001" in said("cut-card.pdf")
    assert (out / "supports" / "A1.bench.pdf").exists()


def test_second_run_changes_nothing(tmp_path):
    books, out = listed(tmp_path, HEAD + BOOKS), tmp_path / "out"
    make_exhibit(books, out, plan())
    before = {p: p.stat().st_mtime_ns for p in out.rglob("*.svg")}
    files = tree(out)
    done = make_exhibit(books, out, plan())
    assert done.counts == {"made": 0, "unchanged": 4, "refused": 0}
    assert {sheet.state for sheet in done.sheets} == {"unchanged"}
    assert done.changed == done.removed == done.left == ()
    assert tree(out) == files
    assert {p: p.stat().st_mtime_ns for p in out.rglob("*.svg")} == before


def test_second_run_makes_only_what_changed(tmp_path):
    out = tmp_path / "out"
    make_exhibit(listed(tmp_path, HEAD + BOOKS), out, plan())
    (out / "supports" / "mine.txt").write_text("my notes")
    text = HEAD + BOOKS.replace("B1,Book B1,p. 2,168 mm", "B1,Book B1,p. 2,170 mm")
    text = "\n".join(line for line in text.splitlines() if not line.startswith("A2")) + "\n"
    done = make_exhibit(listed(tmp_path, text), out, plan())
    assert states(done) == {"A1": "unchanged", "B1": "made", "B2": "unchanged"}
    (line,) = done.changed
    assert line == "B1: breadth 182 → 184 mm"
    files = tree(out)
    assert not [name for name in files if "/A2." in name]
    assert {"supports/A2.svg", "supports/A2.json"} <= set(done.removed)
    assert files["supports/mine.txt"] == b"my notes"
    fresh = tmp_path / "fresh"
    make_exhibit(listed(tmp_path, text), fresh, plan())
    del files["supports/mine.txt"]
    anew = tree(fresh)
    kept = {name for name in files.keys() | anew if files.get(name) != anew.get(name)}
    assert "changes.txt" in kept  # supports are as made at once; sheets lie as they lay before
    assert not [name for name in kept if name.startswith("supports/")]


def test_a_changed_file_is_left_alone(tmp_path):
    out = tmp_path / "out"
    make_exhibit(listed(tmp_path, HEAD + BOOKS), out, plan())
    (out / "supports" / "A2.svg").write_text("my own work")
    text = "\n".join(line for line in (HEAD + BOOKS).splitlines() if not line.startswith("A2"))
    done = make_exhibit(listed(tmp_path, text), out, plan())
    assert done.left == ("supports/A2.svg",)
    assert (out / "supports" / "A2.svg").read_text() == "my own work"
    again = make_exhibit(listed(tmp_path, HEAD + BOOKS), out, plan())
    assert states(again)["A2"] == "refused"
    assert "is not ours" in str(again.supports[1].faults[0])
    assert (out / "supports" / "A2.svg").read_text() == "my own work"


def test_foreign_tables_are_not_overwritten(tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    (out / "order.csv").write_text("mine")
    with pytest.raises(FileError, match=r"order\.csv: found a file that is not ours"):
        make_exhibit(listed(tmp_path, HEAD + BOOKS), out, plan())
    assert (out / "order.csv").read_text() == "mine"
    (out / "exhibit.json").write_text("{}")
    with pytest.raises(FileError, match="not the record of an exhibit"):
        make_exhibit(listed(tmp_path, HEAD + BOOKS), out, plan())


def test_formats_changed_remake_all(tmp_path):
    out, books = tmp_path / "out", listed(tmp_path, HEAD + BOOKS)
    make_exhibit(books, out, plan(order=TWO_FORMATS))
    assert "sheets/sheet-001.pdf" in tree(out)
    done = make_exhibit(books, out, plan())
    assert done.counts["made"] == 4
    assert not [name for name in tree(out) if name.startswith("sheets/") and name.endswith("pdf")]


COMMAND = [sys.executable, "-c", "from cutfiles.cli import main; main()", "exhibit"]


@pytest.mark.parametrize("count", [1, 20])
def test_killed_at_any_point_the_next_run_completes(tmp_path, count):
    """Killed as soon as so many files are there, a finished one or one in the making."""
    books = listed(tmp_path, HEAD + BOOKS)
    whole, out = tmp_path / "whole", tmp_path / "out"
    order = Order(formats=("svg", "dxf-r12", "dxf-r2000"), paper=None)
    make_exhibit(books, whole, ExhibitPlan(name="list", order=order))
    command = [*COMMAND, str(tmp_path / "list.csv"), "--format", "svg,dxf", "--no-cards"]
    command += ["--to", str(out)]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    deadline = time.monotonic() + 60
    while len(tree_names(out)) < count and time.monotonic() < deadline:
        time.sleep(0.005)
    process.send_signal(signal.SIGKILL)
    process.wait()
    assert count <= len(tree_names(out)) < len(tree_names(whole)), "killed too early or too late"
    make_exhibit(books, out, ExhibitPlan(name="list", order=order))
    assert tree(out) == tree(whole)


def tree_names(folder):
    """The names of all below a folder that has a suffix, though another run adds and removes."""
    return {
        os.path.join(at, name)
        for at, folders, names in os.walk(folder)
        for name in (*folders, *names)
        if "." in name
    }


EARLIER = HEAD + BOOKS.replace("150 mm", "151 mm").replace("B2,", "C1,")


@pytest.fixture(scope="module")
def undisturbed(tmp_path_factory):
    """Four books in SVG, made without a stop: in an empty folder, and after an earlier list."""
    home = tmp_path_factory.mktemp("undisturbed")
    what = plan()
    earlier, books = listed(home, EARLIER, "earlier.csv"), listed(home, HEAD + BOOKS)
    make_exhibit(books, home / "whole", what)
    with pytest.MonkeyPatch.context() as patch, killed_at(10**9, patch) as calls:
        make_exhibit(earlier, home / "after", what)
    # from the last renaming on the last files are in their places, the record among them
    last = len(calls) - calls[::-1].index("replace")
    make_exhibit(books, home / "after", what)
    return what, books, tree(home / "whole"), tree(home / "after"), last


@pytest.mark.parametrize("step", [0, 4, 33, 61, 90, 120, 140, 160, 180, 205, "last"])
def test_stopped_at_any_step_the_next_run_completes(tmp_path, monkeypatch, undisturbed, step):
    """Every call of the system is a point to be killed at, while an earlier list is made.

    What was begun at the last is completed first: then what can stay on its sheets stays.
    """
    what, books, whole, after, last = undisturbed
    with killed_at(last if step == "last" else step, monkeypatch) as made:
        make_exhibit(listed(tmp_path, EARLIER), tmp_path / "out", what)
    assert made[-1] == "killed"
    make_exhibit(books, tmp_path / "out", what)
    assert tree(tmp_path / "out") == (after if step == "last" else whole)


def test_sheets_of_a_run_that_was_cut_off_are_ours(tmp_path, monkeypatch):
    """What was made stays made, and a sheet that a shorter list has no use for goes."""
    small = plan(order=Order(formats=("svg",), paper=None, options=Options(bed=(600.0, 700.0))))
    books, fewer = listed(tmp_path, HEAD + BOOKS), HEAD + BOOKS.split("\n")[0]
    with monkeypatch.context() as patch:
        patch.setattr("cutfiles.exhibit.run.compared", stopped)  # all sheets are made, no table is
        with pytest.raises(KeyboardInterrupt):
            make_exhibit(books, tmp_path / "out", small)
    shutil.copytree(tmp_path / "out", tmp_path / "other")
    again = make_exhibit(books, tmp_path / "out", small)
    assert [sheet.state for sheet in again.sheets] == ["unchanged"] * 2
    make_exhibit(listed(tmp_path, fewer), tmp_path / "other", small)
    make_exhibit(listed(tmp_path, fewer), tmp_path / "whole", small)
    assert tree(tmp_path / "other") == tree(tmp_path / "whole")


def stopped(*_):
    raise KeyboardInterrupt


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("kind", ["threads", "dask"])
def test_any_executor_gives_the_same(tmp_path, kind, request):
    books = listed(tmp_path, HEAD + BOOKS)
    make_exhibit(books, tmp_path / "one", plan())
    request.getfixturevalue("nothing_kept")
    with threads() if kind == "threads" else dask() as pool:
        make_exhibit(books, tmp_path / "two", plan(), executor=pool)
    assert tree(tmp_path / "one") == tree(tmp_path / "two")


def threads():
    return ThreadPoolExecutor(3)


@contextmanager
def dask():
    distributed = outside_module("distributed")
    how = {"n_workers": 1, "threads_per_worker": 2, "processes": False, "dashboard_address": None}
    with distributed.LocalCluster(**how) as cluster, distributed.Client(cluster) as client:
        yield client.get_executor()


def test_progress_is_told(tmp_path):
    told = []
    make_exhibit(
        listed(tmp_path, HEAD + BOOKS),
        tmp_path / "out",
        plan(),
        progress=lambda *said: told.append(said),
    )
    assert [said for said in told if said[0] == "supports"][-1] == ("supports", 4, 4)
    assert told[-1][0] == "sheets"
    for kind in {said[0] for said in told}:
        done, totals = zip(*(said[1:] for said in told if said[0] == kind), strict=True)
        assert {*totals} == {done[-1]}, f"{kind}: whoever waits sees it end where it was to end"
        assert [*done] == sorted(done)


# -- stock -----------------------------------------------------------------------------------------

STOCK = """\
# our film
[[roll]]
gauge = "5 mil"
width = "1016 mm"
length = "5 m"
price = 10

[[offcut]]
name = "left from spring"
gauge = "5 mil"
width = "640 mm"
length = "700 mm"
"""


def test_stock_file_is_updated_once(tmp_path):
    path, out = tmp_path / "film.toml", tmp_path / "out"
    path.write_text(STOCK)
    books = listed(tmp_path, HEAD + BOOKS)

    def run(folder, name="show"):
        asked = replace(plan(at_hand=read_films(path), table=str(path)), name=name)
        return make_exhibit(books, folder, asked)

    done = run(out)
    assert {sheet.film.name for sheet in done.sheets} == {"left from spring", "roll 1"}
    after = path.read_text()
    assert after.startswith(STOCK)
    assert 'by = "show"\nname = "left from spring"\ntaken = 1.0' in after
    files = tree(out)
    assert run(out).counts["unchanged"] == 4
    assert path.read_text() == after
    assert tree(out) == files
    other = run(tmp_path / "other", "another show")
    assert {sheet.film.name for sheet in other.sheets} == {"roll 1"}
    run(out)  # what the other show took changes nothing of what this one has but what is left
    now = tree(out)
    assert {n for n in files if now[n] != files[n]} <= {"order.csv", "index.html", "exhibit.json"}
    assert now.keys() == files.keys()


def test_order_adds_up(tmp_path):
    roll = Supply(form="roll", name="roll", gauge=0.127, width=1016, length=None, price=10.0)
    done = make_exhibit(
        listed(tmp_path, HEAD + BOOKS),
        tmp_path / "out",
        plan(at_hand=FilmAtHand(shelf=(roll,)), spares=1),
    )
    pieces = [piece for sheet in done.sheets for piece in sheet.pieces]
    assert len([piece for piece in pieces if "post" not in piece.name]) == 8
    rows = list(csv.DictReader(io.StringIO((tmp_path / "out/order.csv").read_text("utf-8-sig"))))
    needed = sum(sheet.height for sheet in done.sheets) / 1000
    assert float(rows[0]["needed"]) == pytest.approx(needed, abs=0.01)
    assert float(rows[0]["cost"]) == pytest.approx(12 * needed, abs=0.1)
    assert rows[1]["what"] == "double-sided tape"
    # two tabs a support, each as long as the outer flap less 3 mm at either end
    data = json.loads((tmp_path / "out/supports.json").read_text())
    total = sum(2 * support["tape_mm"] for support in data) / 1000
    assert float(rows[1]["needed"]) == pytest.approx(total, abs=0.01)


def test_bad_stock_tells_all(tmp_path):
    path = tmp_path / "film.toml"
    path.write_text(
        '[[roll]]\ngauge = "5"\nwidth = "10 mm"\ncolour = 1\n[[sheet]]\n'
        'gauge = "5 mil"\nwidth = "1 m"\ncount = -1\ncreases = "up"\n[[bolt]]\n'
    )
    with pytest.raises(SlipError) as refusal:
        read_films(path)
    said = str(refusal.value)
    for part in (
        "roll 1, gauge",
        "roll 1, width",
        "roll 1, colour",
        "sheet 1, length",
        "sheet 1, count",
        "sheet 1, creases",
        "bolt",
    ):
        assert part in said


# -- odd texts -------------------------------------------------------------------------------------

NASTY = [
    ("../x", "<script>alert(1)</script>"),
    ("CON", '=HYPERLINK("http://x","y")'),
    ("a/b", "+1+1"),
    ("..", "x" * 300),
    ("A'&\"", "</title><img src=x onerror=alert(1)>"),
    ("<b>", "@cmd"),
    ("-rf", "]]>"),
    ("x:y", "‮right to left"),
    ("%41", "ascii \\ back"),
]


def test_odd_texts_stay_text_and_inside_the_folder(tmp_path):
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(HEAD.strip().split(","))
    for number, title in NASTY:
        writer.writerow([number, title, "p. 1", "200 mm", "130 mm", "30 mm", "120", title[:50]])
    done = make_exhibit(listed(tmp_path, out.getvalue()), tmp_path / "out", plan())
    assert done.counts["made"] == len(NASTY), [s.faults for s in done.supports]
    assert {path.name for path in tmp_path.iterdir()} == {"out", "list.csv"}
    page = (tmp_path / "out" / "index.html").read_text(encoding="utf-8")
    for part in ("<script>alert", "<img", "onerror=alert(1)>"):
        assert part not in page
    assert page.count("<script>") == 1
    for name in ("supports.csv", "install.csv", "import.csv", "order.csv", "cutting.csv"):
        for row in csv.reader(io.StringIO((tmp_path / "out" / name).read_text("utf-8-sig"))):
            assert not [cell for cell in row if cell[:1] in ("=", "+", "-", "@")], row


def test_two_rows_whose_files_would_share_a_name(tmp_path):
    text = HEAD + "a/b,One,p. 1,200 mm,130 mm,30 mm,120,A\na_B,Two,p. 1,200 mm,130 mm,30 mm,120,A\n"
    done = make_exhibit(listed(tmp_path, text + BOOKS), tmp_path / "out", plan())
    assert done.counts == {"made": 4, "unchanged": 0, "refused": 2}
    assert "whose files are named as those of row 3" in str(done.supports[0].faults[0])


TEXTS = st.one_of(
    st.sampled_from([n for n, _ in NASTY] + ["A1", "a1", "", "dto.", "8 in", "120", "=1", "'"]),
    st.text(max_size=10),
)


@settings(max_examples=drawn(40))
@given(st.lists(st.tuples(TEXTS, TEXTS, TEXTS), max_size=5))
def test_every_row_ends_somewhere(tmp_path_factory, rows):
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["No", "Title", "Case", "H", "W", "Spine", "Opens to"])
    writer.writerows([*row, "60 mm", "40 mm", "12 mm", "120"] for row in rows)
    folder = tmp_path_factory.mktemp("fuzz")
    path = folder / "list.csv"
    path.write_bytes(out.getvalue().encode("utf-8", errors="replace"))
    books = read_list(path)
    quick = ExhibitPlan(name="x", order=Order(formats=("hpgl",), paper=None), rules=Rules(effort=1))
    done = make_exhibit(books, folder / "out", quick)
    assert (
        sum(done.counts.values())
        == len(books.rows)
        >= len([r for r in rows if any(t.strip() for t in r)])
        - len([c for c in books.ledger if c.rule in ("totals-row", "header-again", "blank-row")])
    )
    assert {p.name for p in folder.iterdir()} == {"list.csv", "out"}


# -- the command -----------------------------------------------------------------------------------


def test_command(tmp_path):
    from click.testing import CliRunner

    args = [
        "exhibit",
        str(SAMPLES / "lists" / "kitchen-gardens.csv"),
        "--to",
        str(tmp_path / "o"),
        "--format",
        "svg",
        "--effort",
        "quick",
        "--workers",
        "1",
        "--stock",
        "sheet 1016 mm x 1500 mm",
    ]
    run = CliRunner().invoke(cli, args)
    assert run.exit_code == 1
    assert "this run: 2 made, 0 unchanged, 7 refused" in run.output
    # two copies of number 7; trials apart
    assert "2 sheets with 3 supports, 8 posts, " in run.output
    run = CliRunner().invoke(cli, [*args, "--json"])
    assert json.loads(run.stdout)["counts"] == {"made": 0, "unchanged": 2, "refused": 7}
    run = CliRunner().invoke(cli, ["list", str(SAMPLES / "lists" / "scenarios.csv")])
    assert "34 books: 33 can be made, 1 refused" in run.output
    assert CliRunner().invoke(cli, [*args, "--spacing", "x"]).exit_code == 2
    assert CliRunner().invoke(cli, [*args, "--stock", "wall 3 m"]).exit_code == 2


def test_help_teaches():
    from click.testing import CliRunner

    assert "[[offcut]]" in CliRunner().invoke(cli, ["exhibit", "--help"]).output


OWN = """
from cutfiles import ExhibitPlan, Order, make_exhibit, read_list
from cutfiles.exhibit import workers
from cutfiles.film.rules import EFFORTS, Rules

if __name__ == "__main__":
    workers.SERIAL_BELOW = 2
    order = Order(formats=("svg",), paper=None)
    plan = ExhibitPlan(name="show", order=order, rules=Rules(effort=10_000))
    make_exhibit(read_list("list.csv"), "out", plan, workers=2)
"""
CONSOLE = """
import sys

from cutfiles.cli import main

if __name__ == "__main__":
    sys.exit(main())
"""


def run_without_fork(folder, script, *args, seed, code=0):
    """Run a script in a folder, hashes salted so, in a process that cannot fork."""
    (folder / "script.py").write_text(script, encoding="utf-8")
    no_fork = f"import os, sys; sys.path.insert(0, {str(ROOT)!r})\ndel os.fork, os.forkpty\n"
    (folder / "sitecustomize.py").write_text(no_fork, encoding="utf-8")
    salted = {"PYTHONHASHSEED": seed, "PYTHONPATH": f"{folder}{os.pathsep}{ROOT}"}
    command = [sys.executable, "script.py", *args]
    run = subprocess.run(command, cwd=folder, env={**os.environ, **salted}, capture_output=True)
    assert run.returncode == code, run.stderr.decode()


def test_workers_of_a_script_of_ones_own_start_anew_on_any_system(tmp_path):
    """Nothing is taken over by a fork: where there is none, the same files come out."""
    books = listed(tmp_path, HEAD + "".join(BOOKS.splitlines(keepends=True)[:2]))
    run_without_fork(tmp_path, OWN, seed="1")
    make_exhibit(books, tmp_path / "here", plan())
    assert tree(tmp_path / "out") == tree(tmp_path / "here")


def test_the_same_bytes_with_any_hash_seed_and_any_number_of_workers(tmp_path):
    """Of the command, cards, sheets, page and record among them: nothing follows a set's order."""
    books = listed(tmp_path, HEAD + BOOKS + BAD)
    assert len(books.rows) >= SERIAL_BELOW  # fewer would be made in one process
    args = ["list.csv", "--workers", "2", "--format", "svg", "--effort", "quick", "--to", "out"]
    run_without_fork(tmp_path, CONSOLE, "exhibit", *args, seed="4711", code=1)
    one = tree(tmp_path / "out")
    assert {"index.html", "exhibit.json", "bench-cards.pdf", "labels.pdf"} <= one.keys()
    alone = plan(order=Order(formats=("svg",)), rules=Rules(effort=EFFORTS["quick"]))
    done = make_exhibit(books, tmp_path / "here", replace(alone, name="list"))
    assert done.counts == {"made": 4, "unchanged": 0, "refused": 3}
    assert tree(tmp_path / "here") == one


def test_a_stock_file_that_is_a_link_is_refused_before_anything_is_made(tmp_path):
    real, link = tmp_path / "real.toml", tmp_path / "film.toml"
    real.write_text(STOCK)
    link.symlink_to(real)
    books = listed(tmp_path, HEAD + BOOKS)
    with pytest.raises(FileError, match="a link to"):
        make_exhibit(books, tmp_path / "out", plan(at_hand=read_films(link), table=str(link)))
    assert link.is_symlink()
    assert real.read_text() == STOCK
    assert not (tmp_path / "out" / "supports").exists()


def test_a_stock_file_changed_since_it_was_read_is_refused(tmp_path):
    path = tmp_path / "film.toml"
    path.write_text(STOCK)
    stock = read_films(path)
    path.write_text(STOCK + "# a roll came in\n")
    with pytest.raises(FileError, match="changed since it was read"):
        make_exhibit(
            listed(tmp_path, HEAD + BOOKS), tmp_path / "out", plan(at_hand=stock, table=str(path))
        )
    assert path.read_text() == STOCK + "# a roll came in\n"


@pytest.mark.parametrize(
    "damage",
    [
        {"width": "wide"},
        {"straps": 3},
        {"colour": "red"},
        {"straps": [["left", "round"]]},
        {"straps": [["left", "round", 25, 300, 40, 1]]},
        {"posts": [["left post", 20.0, 40.0, 2]]},
        {"posts": [["left post", 20.0, "40", 2, "x"]]},
        {"way": ["5 mil", "plain", "cut"]},
    ],
    ids=repr,
)
def test_a_record_edited_by_hand_is_unknown(tmp_path, damage):
    books = listed(tmp_path, HEAD + BOOKS)
    make_exhibit(books, tmp_path / "out", plan())
    record = tmp_path / "out" / "exhibit.json"
    said = json.loads(record.read_text())
    said["made"]["supports"]["A2"]["facts"] |= damage
    record.write_text(json.dumps(said))
    done = make_exhibit(books, tmp_path / "out", plan())
    assert states(done)["A2"] == "made"
    assert done.counts == {"made": 1, "unchanged": 3, "refused": 0}


def test_a_question_answered_is_no_longer_asked(tmp_path):
    """What a slip says twice is no part of how it looks, but questions read it."""
    from cutfiles.bench.slip import slip_from
    from cutfiles.exhibit.work import SupportTask

    measured = {"number": "A1", "units": "mm", "height": 203, "width": 133, "spine_width": 34}
    rises = {"left_rise": 66.5, "right_rise": 66.5}
    keys = {
        SupportTask(row=1, slip=slip, order=Order(), folder="", journal="").key
        for slip in (
            slip_from({**measured, **rises, "opening_angle": angle}) for angle in (120, 100)
        )
    }
    assert len(keys) == 2


def test_what_an_order_changes_in_the_files_makes_them_anew():
    """Each of these alone; what is made for a machine belongs to its profile as it stands."""
    from cutfiles.bench.slip import slip_from
    from cutfiles.exhibit.work import SupportTask

    measured = {"number": "A1", "units": "mm", "height": 203, "width": 133, "spine_width": 34}
    slip = slip_from(measured | {"opening_angle": 120, "weight": "641 g"})
    cutter, other = find_cutter("desktop-knife"), find_cutter("laser")
    options = [
        Options(pens={"cut-outline": 3}),
        Options(hpgl_range=9_000),
        Options(layers={"cut-outline": "through"}),
        Options(colours={"cut-outline": "#FF0000"}),
        Options(settings={"cut-outline": Setting(power=30, speed=20)}),
        Options(method="perforate"),
        Options(side="inside"),
        Options(face="table"),
        Options(power_range=255.0),
        Options(beam="M3"),
    ]
    orders = [
        Order(),
        Order(formats=("svg",)),
        Order(formats=("svg", "pdf")),
        *(Order(options=one) for one in options),
        Order(machine="laser"),
        Order(cutter=cutter),
        Order(cutter=cutter, lot="L1"),
        Order(cutter=other),
        Order(films=(FilmKind(name="thin", gauge=0.1),)),
        Order(trials=("a trial",)),
        Order(edits={"A1": "kept"}),
        *(Order(paper=paper) for paper in ("Letter", None)),
        *(Order(**{name: True}) for name in ("png", "strict", "anyway")),
    ]
    keys = [SupportTask(row=1, slip=slip, order=o, folder="", journal="").key for o in orders]
    assert [i for i, key in enumerate(keys) if key in keys[:i]] == []
    again = SupportTask(row=7, slip=slip, order=Order(replace=True), folder="f", journal="j").key
    assert again == keys[0]


def test_sheets_are_no_larger_than_the_bed(tmp_path):
    asked = plan(order=Order(formats=("svg",), paper=None, options=Options(bed=(600.0, 700.0))))
    done = make_exhibit(listed(tmp_path, HEAD + BOOKS), tmp_path / "out", asked)
    assert sum(len(sheet.pieces) for sheet in done.sheets) == 4
    assert all(sheet.width <= 600 for sheet in done.sheets)
    assert all(sheet.height <= 700 for sheet in done.sheets)


def test_one_refused_sheet_stops_no_other(tmp_path, monkeypatch):
    from cutfiles.errors import FormatError
    from cutfiles.exhibit import work as exhibit_work

    real = exhibit_work.lay_many

    def fails(number, *rest):
        if number == "sheet-001":
            raise FormatError("a line of 9 m", "at most 1 m", "split it", number)
        return real(number, *rest)

    small = plan(order=Order(formats=("svg",), paper=None, options=Options(bed=(600.0, 700.0))))
    books = listed(tmp_path, HEAD + BOOKS)
    monkeypatch.setattr(exhibit_work, "lay_many", fails)
    done = make_exhibit(books, tmp_path / "out", small)
    assert [sheet.state for sheet in done.sheets[:2]] == ["refused", "made"]
    assert not done.complete
    report = (tmp_path / "out" / "report.txt").read_text()
    assert "Sheets not made\n  sheet-001, with" in report
    assert "found a line of 9 m; at most 1 m; split it" in report
    assert "sheet-001" not in (tmp_path / "out" / "cutting.csv").read_text()
    assert "Not made:" in (tmp_path / "out" / "index.html").read_text()
    monkeypatch.setattr(exhibit_work, "lay_many", real)
    again = make_exhibit(books, tmp_path / "out", small)
    assert [sheet.state for sheet in again.sheets[:2]] == ["made", "unchanged"]
    assert again.complete


def test_a_fault_of_a_worker_is_no_fault_of_the_folder(tmp_path):
    class Broken(ThreadPoolExecutor):
        def submit(self, *_, **__):
            raise OSError(12, "Cannot allocate memory")

        def map(self, *_, **__):
            raise OSError(12, "Cannot allocate memory")

    with pytest.raises(OSError, match="Cannot allocate"), Broken() as pool:
        make_exhibit(listed(tmp_path, HEAD + BOOKS), tmp_path / "out", plan(), executor=pool)


def test_what_lies_on_no_sheet_can_be_filtered(tmp_path):
    sheet = Supply(form="sheet", name="small", gauge=0, width=200, length=200)
    done = make_exhibit(
        listed(tmp_path, HEAD + BOOKS), tmp_path / "out", plan(at_hand=FilmAtHand(shelf=(sheet,)))
    )
    assert all(support.unplaced for support in done.supports)
    page = (tmp_path / "out" / "index.html").read_text()
    assert page.count('data-verdict="on no sheet"') == 4


def test_straps_of_film_are_not_ordered_and_are_told(tmp_path):
    head, row = HEAD.replace("Case", "straps"), BOOKS.split("\n")[0]
    books = listed(tmp_path, f"{head}{row[: row.rindex(',')]},film\n")
    done = make_exhibit(books, tmp_path / "out", plan())
    assert done.counts["made"] == 1
    rows = list(csv.DictReader(io.StringIO((tmp_path / "out/order.csv").read_text("utf-8-sig"))))
    assert {row["what"]: row["needed"] for row in rows}["strap"] == "0.00"
    assert "Straps of film lie on no sheet" in (tmp_path / "out/report.txt").read_text()


def test_the_terminals_report_names_options(tmp_path):
    from click.testing import CliRunner

    path = tmp_path / "list.csv"
    path.write_text("No,H,W,Spine,Opens to\nA1,203,133,34,120\n", encoding="utf-8")
    run = CliRunner().invoke(cli, ["exhibit", str(path), "--to", str(tmp_path / "o")])
    assert run.exit_code == 1
    assert "--units" in run.output
    assert "--units" not in (tmp_path / "o" / "report.txt").read_text()
