"""The living exhibit: stages are marked, what is cut stays, late work changes little."""

import csv
import io
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from types import SimpleNamespace

import pytest
from click.testing import CliRunner
from conftest import DEEP, ROOT
from killed import killed_at
from pages import text_of
from test_exhibit import listed, plan, tree

from cutfiles.bench.at_hand import FilmAtHand, Supply
from cutfiles.bench.films import read_films
from cutfiles.cli import cli
from cutfiles.errors import FileError
from cutfiles.exhibit.changes import Before
from cutfiles.exhibit.entries import RECORD
from cutfiles.exhibit.mark import _marks, mark
from cutfiles.exhibit.prints import cut_rows, exhibit_prints
from cutfiles.exhibit.run import make_exhibit
from cutfiles.exhibit.stages import COLUMNS, Mark, Stages, StagesError, read_stages, stages_text
from cutfiles.exhibit.standing import standing
from cutfiles.exhibit.workers import each, in_order, pool_of
from cutfiles.film.rules import Rules
from cutfiles.job.order import Order

HEAD = "No,Title,Show,H,W,Spine,Opens to,Weight,Case\n"
ROWS = {
    f"A{n}": f"A{n},Book {n},p. 1,{150 + 9 * n} mm,{100 + 5 * n} mm,{20 + n} mm,120,{90 + n} g,A\n"
    for n in range(6)
}
BY = {"date": "2026-03-02", "initials": "AB"}
QUICK = plan(order=Order(formats=("svg",), paper=None), rules=Rules(effort=20_000, longest=500))
ROLL = '[[roll]]\ngauge = "{gauge}"\nwidth = "800 mm"\nlength = "30 m"\nprice = 10\n'


def text(**changed):
    rows = {**ROWS, **changed}
    return HEAD + "".join(row for row in rows.values() if row)


def taller(number, by=4):
    cells = ROWS[number].split(",")
    cells[3] = f"{int(cells[3].split()[0]) + by} mm"
    return ",".join(cells)


@pytest.fixture(scope="module")
def begun(tmp_path_factory):
    """An exhibit after its first run, with its table of film: made once, copied for each test."""
    folder = tmp_path_factory.mktemp("begun")
    (folder / "film.toml").write_text("\n".join(ROLL.format(gauge=g) for g in ("7 mil", "10 mil")))
    return folder, asked_of(folder, text(), folder / "out")


def asked_of(folder, text, out, **more):
    films = read_films(folder / "film.toml")
    asked = replace(QUICK, at_hand=films, table=str(folder / "film.toml"), **more)
    return make_exhibit(listed(folder, text), out, asked)


@pytest.fixture
def first(tmp_path, begun):
    shutil.copytree(begun[0], tmp_path, dirs_exist_ok=True, copy_function=shutil.copy2)
    return begun[1]


@pytest.fixture
def make(tmp_path, first):
    return lambda text, folder="out", **more: asked_of(tmp_path, text, tmp_path / folder, **more)


@pytest.fixture
def shelf(tmp_path, first):
    return tmp_path / "film.toml"


def sheet_files(out):
    return {name: data for name, data in tree(out).items() if name.startswith("sheets/")}


def changed(one, two):
    """The sheets whose files differ, are new or gone."""
    names = {name for name in {*one, *two} if one.get(name) != two.get(name)}
    return {name.partition("/")[2].partition(".")[0] for name in names}


def stages(done):
    return {support.number: support.stage.stage for support in done.supports}


def taken(shelf):
    return {(one.by, one.name): one.amount for one in read_films(shelf).taken}


def test_a_late_row_a_dropped_and_a_changed_one(tmp_path, make, first):
    out = tmp_path / "out"
    assert len(first.sheets) >= 3
    before = sheet_files(out)
    late = make(text(B1="B1,Late,p. 1,200 mm,120 mm,25 mm,120,100 g,A\n"))
    assert len(changed(before, sheet_files(out))) == 1
    assert late.report[-1].startswith("Change 1\n  B1: came late")
    now = sheet_files(out)
    kept = len(late.sheets) - len(changed(before, now) & changed({}, now))
    assert late.report[-1].endswith(f"{kept} of {len(late.sheets)} sheets stay as they were")
    before = sheet_files(out)
    make(text(A3=taller("A3")))  # B1 is dropped, A3 is 4 mm taller
    assert 1 <= len(changed(before, sheet_files(out))) <= 3
    told = (out / "changes.txt").read_text()
    assert "A3: breadth 191 → 195 mm" in told
    assert "B1: no longer in the list" in told
    assert "off it A3; new on it A3" in told.partition("Change 1")[0]
    assert told.index("Change 2") < told.index("Change 1")
    files = tree(out)
    again = make(text(A3=taller("A3")))
    assert tree(out) == files
    assert not again.new_report


@pytest.mark.parametrize("number", ["A0", "A3", "A5"])
def test_one_changed_row_changes_two_sheets_at_most(tmp_path, make, number):
    before = sheet_files(tmp_path / "out")
    make(text(**{number: taller(number)}))
    assert 1 <= len(changed(before, sheet_files(tmp_path / "out"))) <= 2


def test_what_is_cut_is_never_touched(tmp_path, make, first):
    out = tmp_path / "out"
    cut = first.sheets[0]
    on_it = [piece.name for piece in cut.pieces]
    done = mark(out, "cut", [cut.number], **BY)
    assert done.frozen == {cut.number: tuple(on_it)}
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in (out / "sheets").glob("*")}
    gone, new = on_it[0], on_it[-1]
    other = Order(formats=("svg", "dxf-r12"), paper=None)  # even other formats touch it not
    then = make(
        text(**{gone: "", new: taller(new), "B1": taller("A1").replace("A1,", "B1,")}),
        order=other,
        name="renamed",
    )
    for path, was in before.items():
        if path.name.startswith(cut.number):
            assert (path.read_bytes(), path.stat().st_mtime_ns) == was
    assert not list((out / "sheets").glob(f"{cut.number}.dxf"))
    assert then.sheets[0].frozen
    assert then.sheets[0].pieces == cut.pieces
    assert (
        f"{cut.number} is cut and stays; waste on it: {', '.join(sorted({gone, new}))}"
        in then.report[-1]
    )
    [again] = [s for s in then.supports if s.number == new]
    assert again.stage.stage == "planned"  # the piece that is cut is another one
    assert cut.number not in again.sheets
    for number in set(on_it) - {gone, new}:
        assert stages(then)[number] == "cut"
    rows = list(csv.DictReader((out / "cutting.csv").read_text("utf-8-sig").splitlines()))
    assert [row["cut"] for row in rows if row["sheet"] == cut.number] == ["cut, stays as it is"]
    # the old measures again: the piece that was cut is the piece that is wanted
    back = make(text(**{gone: ""}), order=other)
    assert stages(back)[new] == "cut"
    # laid out anew on purpose: what is cut stays even then
    anew = make(text(**{gone: ""}), order=other, anew=True)
    assert anew.sheets[0].pieces == cut.pieces


def test_what_is_cut_stays_when_its_film_is_used_up_or_called_otherwise(make, first, tmp_path):
    """The roll it came from is taken off the shelf: no new film for what there is already."""
    out, shelf = tmp_path / "out", tmp_path / "film.toml"
    cut = first.sheets[0]
    gauge = {s.number: s.facts.gauge for s in first.supports}
    on_it = {piece.name for piece in cut.pieces}
    mark(out, "cut", [cut.number], **BY)
    before = sheet_files(out)
    shelf.write_text(ROLL.format(gauge="5 mil"))
    then = make(text())
    assert "waste" not in then.report[-1]
    assert {n: s for n, s in stages(then).items() if n in on_it} == dict.fromkeys(on_it, "cut")
    assert {s.facts.gauge for s in then.supports if s.number not in on_it} == {0.127}
    assert {n: d for n, d in before.items() if cut.number in n}.items() <= sheet_files(out).items()
    shelf.write_text("\n".join(ROLL.format(gauge=g) for g in ("3 mil", "7 mil")))
    named = make(text())  # the same film, of another name
    assert "waste" not in named.report[-1]
    made = {s.number: s.facts.gauge for s in named.supports if s.number in on_it}
    assert made == {number: gauge[number] for number in on_it}


def test_a_title_that_is_corrected_cuts_nothing_anew(tmp_path, make, first):
    out = tmp_path / "out"
    mark(out, "cut", [sheet.number for sheet in first.sheets], **BY)
    before = sheet_files(out)
    done = make(text(A0=ROWS["A0"].replace("Book 0", "Another title")))
    assert sheet_files(out) == before
    assert set(stages(done).values()) == {"cut"}


def test_late_books_change_no_film_of_others(make, first):
    """A heavy late book wants thicker film; the light ones keep theirs."""
    film = {s.number: s.facts.gauge for s in first.supports}
    heavy = "H1,Heavy,p. 1,230 mm,150 mm,40 mm,120,900 g,A\n"  # alone: 10 mil for all
    late = make(text(H1=heavy))
    assert {s.number: s.facts.gauge for s in late.supports if s.number in film} == film


def test_a_late_book_takes_film_in_use_where_that_carries_it(make, first):
    film = {s.facts.gauge for s in first.supports}
    late = "S1,Sturdy,p. 1,230 mm,150 mm,40 mm,120,400 g,A\n"
    assert make(HEAD + late, folder="alone").supports[0].facts.gauge not in film
    assert {s.facts.gauge for s in make(text(S1=late)).supports} == film


def test_stages_are_marked_and_taken_up(tmp_path, make):
    out = tmp_path / "out"
    done = mark(out, "folded", ["A1", "A2"], **BY)
    assert {one.stage for one in done.marks if one.sheet} == {"cut"}  # what is folded was cut
    assert done.unproved == ()
    placed = mark(out, "installed", ["A2"], date="2026-03-09", initials="CD", note="case A")
    assert placed.unproved == ("A2",)
    mark(out, "withdrawn", ["A5"], date="2026-03-10", initials="CD")
    then = make(text())
    found = {s.number: s.stage for s in then.supports}
    assert found["A1"] == ("folded", "2026-03-02", "AB")
    assert found["A2"] == ("installed", "2026-03-09", "CD")
    assert found["A5"].stage == "withdrawn"
    assert not next(s.unplaced for s in then.supports if s.number == "A5")
    rows = csv.DictReader((out / "supports.csv").read_text("utf-8-sig").splitlines())
    assert {row["number"]: row["stage"] for row in rows}["A2"] == "installed"
    assert not {row.sheet for row in cut_rows(then)} & {one.sheet for one in done.marks}
    card = exhibit_prints(then, out / "supports", "A4")["cut-card.pdf"]
    said = " ".join(text_of(card.draw(*next(iter(card.given())))))
    sheets = sorted(one.sheet for one in done.marks if one.sheet)
    assert "cut already, and not on this card: " + ", ".join(sheets) in said
    all_cut = replace(then, sheets=tuple(replace(sheet, frozen=True) for sheet in then.sheets))
    assert "cut-card.pdf" not in exhibit_prints(all_cut, out / "supports", "A4")
    assert json.loads((out / "supports.json").read_text())[2]["stage"]["initials"] == "CD"
    assert "1 folded, 1 installed, 1 withdrawn" in (out / "report.txt").read_text()
    # folded, then measured anew: it begins anew
    third = make(text(A1=taller("A1")))
    assert stages(third)["A1"] == "planned"
    mark(out, "planned", ["A5"], **BY)
    assert stages(make(text()))["A5"] in ("planned", "cut")


LIMP = HEAD.replace(",Case", ",Cover,Case") + (
    "L1,Limp,p. 9,160 mm,110 mm,30 mm,120,900 g,limp,A\n"
    "A1,Book 1,p. 1,159 mm,105 mm,21 mm,120,91 g,,A\n"
)


def test_what_does_not_carry_its_book_is_never_installed(tmp_path, make):
    """What lies on no sheet was not folded either; laid for a trial it may be, and no more."""
    out = tmp_path / "out"
    make(LIMP)
    for stage in ("cut", "folded", "installed"):
        with pytest.raises(FileError, match=f'"L1" {stage}; .*another support.*mountmaker'):
            mark(out, stage, ["A1", "L1"], **BY)
    assert not (out / "stages.csv").exists()  # nor A1
    make(LIMP, order=replace(QUICK.order, anyway=True))
    mark(out, "folded", ["L1"], **BY)
    before = (out / "stages.csv").read_bytes()
    with pytest.raises(FileError, match="not to be used"):
        mark(out, "installed", ["L1"], **BY)
    assert (out / "stages.csv").read_bytes() == before
    mark(out, "withdrawn", ["L1"], **BY)
    assert stages(make(LIMP))["L1"] == "withdrawn"


def test_what_no_film_was_left_for_is_not_folded(tmp_path, make, shelf):
    shelf.write_text(ROLL.format(gauge="7 mil").replace("30 m", "0.2 m"))
    number = next(s.number for s in make(text(), folder="none").supports if s.unplaced)
    with pytest.raises(FileError, match=r"lies on no sheet, .*; run the exhibit again with film"):
        mark(tmp_path / "none", "folded", [number], **BY)
    assert not (tmp_path / "none" / "stages.csv").exists()


ONE_LEG = (
    "No,Title,Show,H,W,Spine,Left rise,Right rise,Weight\n"
    "A1,Book 1,p. 1,159 mm,105 mm,21 mm,50 mm,0 mm,91 g\n"
)


@pytest.mark.parametrize(("rows", "legs"), [(HEAD + ROWS["A1"], 2), (ONE_LEG, 1)])
def test_proved_follows_from_the_trials_alone(tmp_path, rows, legs):
    from cutfiles.job.order import drafted
    from cutfiles.job.trial import record, rows_for

    books = listed(tmp_path, rows)
    out, table = tmp_path / "out", tmp_path / "trials.csv"
    make_exhibit(books, out, QUICK)
    mark(out, "folded", ["A1"], **BY)
    assert stages(make_exhibit(books, out, QUICK)) == {"A1": "folded"}
    draft = drafted(books.rows[0].slip, Order())
    trials = record(table, rows_for(draft, 200, 1440, "stood", date="2026-03-05", initials="EF"))
    assert len(trials) == legs
    tried = replace(QUICK, order=replace(QUICK.order, trials=trials))
    done = make_exhibit(books, out, tried)
    assert done.supports[0].stage == ("proved", "2026-03-05", "EF")
    assert standing(out, trials).supports[0].stage == done.supports[0].stage
    assert standing(out).supports[0].stage.stage == "folded"
    fell = record(table, rows_for(draft, 200, 1, "collapsed", date="2026-03-06"))
    tried = replace(QUICK, order=replace(QUICK.order, trials=fell))
    assert make_exhibit(books, out, tried).supports[0].stage.stage == "folded"


def test_a_collapse_that_moves_the_choice_is_told(tmp_path):
    from cutfiles.job.order import drafted
    from cutfiles.job.trial import rows_for
    from cutfiles.words.verdict import short_sentence

    books, out = listed(tmp_path, HEAD + ROWS["A1"]), tmp_path / "out"
    before = make_exhibit(books, out, QUICK).supports[0].facts
    draft = drafted(books.rows[0].slip, Order())
    fell = tuple(rows_for(draft, 40, 1, "collapsed", date="2026-03-06"))
    done = make_exhibit(books, out, replace(QUICK, order=replace(QUICK.order, trials=fell)))
    said = "a piece of one layer of 0.127 mm (5 mil) collapsed on 2026-03-06: it is made otherwise"
    assert done.supports[0].facts.way != before.way
    assert said in done.report[-1]
    assert "made of PET 7 mil, plain, hemmed, was PET 5 mil, plain, hemmed" in done.report[-1]
    assert said in (out / "index.html").read_text()
    again = drafted(books.rows[0].slip, Order(trials=fell))
    assert said in short_sentence(again.verdict, again.slip)


def test_how_an_exhibit_stands_is_read_from_its_folder(tmp_path, make):
    out = tmp_path / "out"
    done = make(text(Z1="Z1,No size,p. 1,,,,120,90 g,A\n"))
    was = standing(out)
    made = [one for one in done.supports if one.facts]
    assert [(one.number, one.sheets) for one in was.supports] == [
        (one.number, one.sheets) for one in made
    ]
    assert {one.stage.stage for one in was.supports} == {"planned"}
    assert [row["number"] for row in was.refused] == ["Z1"]
    assert [(one.number, {*one.owners}, one.cut) for one in was.sheets] == [
        (one.number, {piece.name for piece in one.pieces}, None) for one in done.sheets
    ]
    mark(out, "cut", [done.sheets[1].number], **BY)
    (out / ".exhibit.journal").write_text("")
    now = standing(out)
    assert (was.cut_off, now.cut_off) == (False, True)
    assert now.base != was.base  # what is seen on a page is not what stands any more
    assert now.sheets[0].cut is None
    assert now.sheets[1].cut.initials == "AB"
    for one in now.supports:
        whole = one.sheets == (done.sheets[1].number,)
        assert one.stage == (("cut", "2026-03-02", "AB") if whole else ("planned", "", ""))
    assert {one.stage.stage for one in now.supports} == {"planned", "cut"}
    (out / ".exhibit.journal").unlink()
    mark(out, "cut", [done.sheets[0].number], **BY)
    cut = {one.number for one in done.sheets[:2]}
    for one in standing(out).supports:
        assert one.stage.stage == ("cut" if cut.issuperset(one.sheets) else "planned")


def test_a_support_on_two_sheets_is_cut_when_both_are(tmp_path, first, monkeypatch):
    """Its strip may lie on one, its posts on the other."""
    out, both = tmp_path / "out", tuple(one.number for one in first.sheets[:2])
    lies = {one.number: both for one in first.supports}
    monkeypatch.setattr("cutfiles.exhibit.standing.sheets_of", lambda before: lies)
    for sheet, stage in zip(both, ("planned", "cut"), strict=True):
        mark(out, "cut", [sheet], **BY)
        assert {one.stage.stage for one in standing(out).supports} == {stage}


@pytest.mark.parametrize(
    "table",
    [None, b"", b"[", b"{}1", b"3", b"[3]", b'[{"list": {}}]', b'[{"number": "A1"}]', b"\xff"],
)
def test_a_table_of_supports_that_is_none_is_told(tmp_path, first, table):
    out = tmp_path / "out"
    (out / "supports.json").unlink()
    if table is not None:
        (out / "supports.json").write_bytes(table)
    with pytest.raises(FileError, match="no table of the exhibit's supports"):
        standing(out)


def test_marks_that_cannot_be(tmp_path, make):
    out = tmp_path / "out"
    with pytest.raises(FileError, match="the folder of an exhibit"):
        mark(tmp_path, "cut", ["sheet-001"], **BY)
    with pytest.raises(FileError, match="the folder of an exhibit"):
        standing(tmp_path)
    with pytest.raises(FileError, match="a sheet or a support of this exhibit"):
        mark(out, "cut", ["sheet-099"], **BY)
    with pytest.raises(FileError, match="folded is a support"):
        mark(out, "folded", ["sheet-001"], **BY)
    assert not (out / "stages.csv").exists()
    (out / ".exhibit.journal").write_text("")
    with pytest.raises(FileError, match="was cut off"):
        mark(out, "cut", ["sheet-001"], **BY)
    (out / ".exhibit.journal").unlink()
    mark(out, "cut", ["sheet-001"], **BY)
    (out / "exhibit.json").unlink()
    with pytest.raises(FileError, match=r"sheet-001.* cut, which the exhibit's record does not"):
        make(text())


def test_of_a_long_exhibit_a_dozen_numbers_are_told_that_could_be_marked(tmp_path):
    facts = SimpleNamespace(shape="", posts=())
    before = Before(facts={f"A{n}": facts for n in range(1, 20)})
    numbers = ", ".join(f"A{n}" for n in range(1, 13))
    with pytest.raises(FileError, match=f"this exhibit is marked: {numbers}, …; correct the"):
        list(_marks(before, Stages(), "cut", ["B1"], tmp_path))


@pytest.mark.parametrize(
    ("column", "most"),
    [("sheet", 40), ("number", 80), ("date", 40), ("initials", 20), ("note", 500), ("piece", 40)],
)
def test_a_cell_of_the_marks_is_as_long_as_it_may_be_and_no_longer(tmp_path, column, most):
    """A text as long as a page was pasted into a cell."""
    row = {name: "" for name in COLUMNS} | {"sheet": "sheet-001", "stage": "cut"}
    if column == "number":
        row["sheet"] = ""
    for letters in (most, most + 1):
        told = stages_text([Mark(**row | {column: letters * "x"})])
        (tmp_path / "stages.csv").write_bytes(told)
        if letters == most:
            [mark] = read_stages(tmp_path).marks
            assert getattr(mark, column) == letters * "x"
        else:
            with pytest.raises(StagesError, match=f"row 2, {column}: .*{most}"):
                read_stages(tmp_path)


def test_marks_survive_a_spreadsheet_and_tell_their_faults(tmp_path, make):
    out = tmp_path / "out"
    mark(out, "cut", ["sheet-001"], date="2026-03-02", initials="=1+1", note="a, b; c")
    path = out / "stages.csv"
    [one] = read_stages(out).marks
    assert (one.initials, one.note) == ("=1+1", "a, b; c")
    again = io.StringIO()
    rows = csv.reader(path.read_text("utf-8-sig").splitlines())
    csv.writer(again, delimiter=";").writerows(rows)
    path.write_text(again.getvalue())
    assert read_stages(out).marks == (one,)
    wider = [line + ";ours" for line in again.getvalue().splitlines()]
    path.write_text("\n".join(wider))
    assert read_stages(out).marks == (one,), "a column of one's own is left alone"
    for damage, told in (("cut;", "burnt;"), ("sheet-001;", ";"), ("stage;", "state;")):
        path.write_text(again.getvalue().replace(damage, told, 1))
        with pytest.raises(StagesError, match=r"stages\.csv, row \d"):
            make(text())


def test_film_is_booked_once_whatever_the_list_is_called(tmp_path, make, shelf):
    once = taken(shelf)
    assert {by for by, _ in once} == {"show"}
    make(text(), name="renamed")
    assert taken(shelf) == once
    other = make(text(), folder="elsewhere")  # another exhibit, called alike
    assert {by for by, _ in taken(shelf)} == {"show", "show (2)"}
    assert other.booked == "show (2)"
    by_sums = {}
    for done, by in ((other, "show (2)"),):
        for sheet in done.sheets:
            by_sums[by, sheet.film.name] = by_sums.get((by, sheet.film.name), 0) + sheet.height
    assert by_sums == {key: n for key, n in taken(shelf).items() if key[0] == "show (2)"}


def test_film_that_is_short_is_told_and_never_overbooked(tmp_path):
    roll = Supply(form="roll", name="roll", gauge=0.0, width=800, length=700)
    done = make_exhibit(
        listed(tmp_path, text()),
        tmp_path / "out",
        replace(QUICK, at_hand=FilmAtHand(shelf=(roll,))),
    )
    assert sum(sheet.height for sheet in done.sheets) <= 700
    assert any("not enough film" in s.unplaced for s in done.supports)
    assert not done.complete


# -- killed ----------------------------------------------------------------------------------------


MOMENTS = 20


@pytest.fixture(scope="module")
def rerun(tmp_path_factory):
    """An exhibit with a sheet cut, the list of its rerun, and what comes of it undisturbed."""
    folder = tmp_path_factory.mktemp("rerun")
    small = HEAD + "".join(ROWS[f"A{n}"] for n in range(4))
    roll = Supply(form="roll", name="roll", gauge=0.1778, width=800, length=None)
    asked = replace(QUICK, at_hand=FilmAtHand(shelf=(roll,)))
    out = folder / "out"
    first = make_exhibit(listed(folder, small), out, asked)
    assert len(first.sheets) >= 2
    mark(out, "cut", [first.sheets[0].number], **BY)
    start = tree(out)
    second = HEAD + taller("A0") + "".join(ROWS[f"A{n}"] for n in (1, 3, 4))
    books = listed(folder, second, "list2.csv")
    with pytest.MonkeyPatch.context() as patch, killed_at(10**9, patch) as calls:
        make_exhibit(books, out, asked)
    return start, books, asked, tree(out), first.sheets[0].number, len(calls)


def put_back(folder, files):
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)


@pytest.mark.parametrize("moment", range(0, MOMENTS, 1 if DEEP else 2))
def test_a_rerun_killed_at_any_moment_ends_in_the_same_bytes(tmp_path, monkeypatch, rerun, moment):
    start, books, asked, whole, cut, calls = rerun
    put_back(tmp_path, start)
    with killed_at(calls * moment // MOMENTS, monkeypatch) as made:
        make_exhibit(books, tmp_path, asked)
    assert made[-1] == "killed"
    frozen = {name: data for name, data in start.items() if f"/{cut}." in name}
    assert frozen
    assert {name: data for name, data in tree(tmp_path).items() if name in frozen} == frozen
    make_exhibit(books, tmp_path, asked)
    assert tree(tmp_path) == whole
    assert {name: whole[name] for name in frozen} == frozen


WORK = """
import os, sys, time
from cutfiles.exhibit.workers import pool_of

def work(seconds):
    os.write(1, b"%d\\n" % os.getpid())  # at once: two write into one pipe
    time.sleep(seconds)

if __name__ == "__main__":
    with pool_of(None, 2, 9) as pool:
        list(pool.map(work, [60, 60]))
"""


def test_workers_end_when_the_parent_is_killed(tmp_path):
    (tmp_path / "script.py").write_text(WORK)
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(
        [sys.executable, "script.py"], cwd=tmp_path, env=env, stdout=subprocess.PIPE, text=True
    ) as parent:
        workers = [int(parent.stdout.readline()) for _ in range(2)]
        parent.send_signal(signal.SIGKILL)
    deadline = time.monotonic() + 10
    while any(alive(pid) for pid in workers) and time.monotonic() < deadline:
        time.sleep(0.02)
    assert not [pid for pid in workers if alive(pid)]


FAILING = """
import os, sys, time
from cutfiles.exhibit.workers import each, pool_of

def work(seconds):
    time.sleep(seconds)
    return os.getpid()

def run():
    with pool_of(None, 2, 9) as pool:
        for _, worker in each(pool, work, [0.05, *[20] * 50]):
            print(worker)
            raise OSError("no room on the disk")

if __name__ == "__main__":
    try:
        run()
    except OSError as error:
        print("refused:", error, file=sys.stderr)
"""


def test_a_run_that_fails_says_one_thing(tmp_path):
    """Workers are ended in the middle of their work, with more waiting: no word of threads."""
    (tmp_path / "script.py").write_text(FAILING)
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    begun = time.monotonic()
    done = subprocess.run(
        [sys.executable, "script.py"], cwd=tmp_path, env=env, capture_output=True, text=True
    )
    assert done.stderr == "refused: no room on the disk\n"
    assert time.monotonic() - begun < 15
    assert not [pid for pid in map(int, done.stdout.split()) if alive(pid)]


@pytest.mark.parametrize(
    ("given", "workers", "tasks", "where"),
    [("a pool", 8, 99, "a pool"), (None, 1, 99, None), (None, 2, 5, None), (None, 2, 6, "own")],
)
def test_few_tasks_are_done_here_and_many_in_processes_of_our_own(given, workers, tasks, where):
    with pool_of(given, workers, tasks) as pool:
        assert pool == where or (where == "own" and isinstance(pool, ProcessPoolExecutor))


def test_who_interrupts_waits_for_no_task():
    """What works is ended, what waits is dropped; nothing is asked again of either."""
    waiting, processes = [], []

    def interrupted():
        with pool_of(None, 2, 6) as pool:
            waiting.extend(pool.submit(time.sleep, 20) for _ in range(20))
            while not waiting[0].running():
                time.sleep(0.01)
            processes.extend(pool._processes.values())
            raise KeyboardInterrupt

    begun = time.monotonic()
    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert time.monotonic() - begun < 15
    assert waiting[-1].cancelled()
    for process in processes:
        process.join(5)
    assert [process.exitcode for process in processes] == [-signal.SIGTERM] * 2


@pytest.mark.parametrize("ways", [each, in_order])
def test_few_tasks_are_asked_for_ahead(ways):
    asked = []

    def tasks():
        for task in range(40):
            asked.append(task)
            yield task

    with ThreadPoolExecutor(2) as pool:
        ahead = [len(asked) - n for n, _ in enumerate(ways(pool, str, tasks()))]
    assert ahead[0] == max(ahead) == 8


@pytest.mark.parametrize("ways", [each, in_order])
def test_what_was_asked_for_and_is_not_wanted_any_more_is_not_begun(ways):
    begun, ended = [], threading.Event()

    def work(task):
        begun.append(task)
        if task:
            ended.wait(10)

    with ThreadPoolExecutor(1) as pool:
        results = ways(pool, work, range(40))
        next(results)
        results.close()
        ended.set()
    assert begun in ([0], [0, 1])


def alive(pid):
    try:
        with open(f"/proc/{pid}/stat") as file:
            return file.read().rpartition(")")[2].split()[0] != "Z"
    except (FileNotFoundError, ProcessLookupError):
        return False


# -- the command -----------------------------------------------------------------------------------


def test_the_command(tmp_path, first, run):
    out = tmp_path / "out"
    by = ("--date", "2026-03-02", "--initials", "AB")
    assert "sheet-001 is cut and stays as it is, with " in run("mark", out, "cut", "sheet-001", *by)
    assert "marked so already" in run("mark", out, "cut", "sheet-001", *by)
    assert "A1 is withdrawn" in run("mark", out, "withdrawn", "A1", *by)
    assert "sheet-001 is no longer marked" in run("mark", out, "planned", "sheet-001", *by)
    said = run("mark", out, "folded", "A2", *by)
    [told] = [line for line in said.splitlines() if "counts as cut now" in line]
    sheet = told.partition(" ")[0]
    assert re.search(r"cut now, with .*\bA2\b.* on it; a mistake\? take it back: ", told)
    assert "not proved when the exhibit was last made: A2; before a book" in run(
        "mark", out, "installed", "A2", *by
    )
    assert f"{sheet} is no longer marked" in run("mark", out, "planned", sheet, "A2", *by)
    assert "proved is never marked" in " ".join(run("mark", "--help").split())


NO_DAYS = ("yesterday", "2.3.2026", "2026-02-30", "2026-13-40", "20260302", "2026-W10-1", "")


@pytest.mark.parametrize("day", [*NO_DAYS, "2026-03-02 ", "2026-03-02T25:00", "2026-3-2"])
def test_a_day_that_is_none_is_not_kept(tmp_path, day):
    (tmp_path / RECORD).write_text("{}", encoding="utf-8")
    with pytest.raises(FileError, match="as 2026-03-02"):
        mark(tmp_path, "cut", ["sheet-001"], date=day, initials="AB")
    assert [path.name for path in tmp_path.iterdir()] == [RECORD]


def test_date_and_initials_are_missed_at_once(tmp_path):
    done = CliRunner().invoke(cli, ["mark", str(tmp_path), "cut", "sheet-001"])
    assert done.exit_code == 2
    assert "--date and --initials missing" in done.output
