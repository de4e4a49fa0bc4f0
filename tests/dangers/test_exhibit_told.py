"""An exhibit that went wrong is never told as made; film and files of others are left alone."""

import csv
import hashlib
import io
import json
import os
import tomllib
from collections import Counter
from pathlib import Path

import pytest
from dangers.jobs import done, run

HEAD = "No,Title,Show,H,W,Spine,Opens to,Film\n"


def listing(folder, *rows, name="list.csv"):
    """A list of books: number, height, film; the rest is the same for all."""
    text = HEAD + "".join(
        f"{number},Book {number},p. 1,{height} mm,60 mm,20 mm,110,{film}\n"
        for number, height, film in rows
    )
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def exhibit(path, to, *more):
    args = ("--workers", "1", "--no-cards", "--effort", "quick", "--format", "svg,pdf", *more)
    return run("exhibit", path, "--to", to, *args)


def table(path):
    return list(csv.DictReader(io.StringIO(path.read_text("utf-8-sig"))))


def tree(folder):
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in Path(folder).rglob("*")
        if path.is_file()
    }


def test_a_failed_sheet_is_not_told_as_made(tmp_path):
    """Somebody's file stands where a sheet's should go: nothing may say that all is there."""
    out = tmp_path / "out"
    (out / "sheets").mkdir(parents=True)
    (out / "sheets" / "sheet-001.svg").write_text("mine")
    ended = exhibit(listing(tmp_path, ("A1", 90, "5 mil")), out)
    assert ended.exit_code == 1
    assert "sheet-001.svg" in ended.output
    assert (out / "sheets" / "sheet-001.svg").read_text() == "mine"
    for told in ("cutting.csv", "exhibit.json"):
        assert "sheet-001" not in (out / told).read_text(encoding="utf-8"), told
    for told in ("index.html", "supports.csv", "report.txt"):
        assert "sheet-001, which holds it, could not be made" in (out / told).read_text("utf-8")
    (out / "sheets" / "sheet-001.svg").unlink()
    assert exhibit(tmp_path / "list.csv", out).exit_code == 0
    assert (out / "exhibit.json").exists()


def test_the_next_gauge_is_another_film(tmp_path):
    """3 mil for 3, 4 mil for 4: no sheet holds supports of two gauges, and film is of theirs."""
    gauges = {"A1": "3 mil", "A2": "4 mil", "A3": "5 mil", "A4": "127 µm", "A5": "75 µm"}
    mm = {"A1": 0.0762, "A2": 0.1016, "A3": 0.127, "A4": 0.127, "A5": 0.075}
    stock = tmp_path / "film.toml"
    stock.write_text(
        "".join(
            f'[[roll]]\nname = "roll {text}"\ngauge = "{text}"\nwidth = "1016 mm"\n\n'
            for text in ("3 mil", "75 µm", "4 mil", "5 mil")
        ),
        encoding="utf-8",
    )
    path = listing(tmp_path, *((number, 90, text) for number, text in gauges.items()))
    out = tmp_path / "out"
    ended = exhibit(path, out, "--stock", stock)
    assert ended.exit_code == 0, ended.output
    lies = {row["number"]: row["sheets"] for row in table(out / "supports.csv")}
    assert lies["A3"] == lies["A4"]
    assert len({lies[number] for number in ("A1", "A2", "A3", "A5")}) == 4
    film = {row["sheet"]: row["film"] for row in table(out / "cutting.csv")}
    for number, gauge in mm.items():
        name = film[lies[number]].removeprefix("roll ")
        value, unit = name.split()
        assert float(value) * {"mil": 0.0254, "µm": 0.001}[unit] == pytest.approx(gauge, abs=1e-6)
        assert abs(float(stated_gauge(out / "supports" / f"{number}.svg")) - gauge) < 0.0006


def stated_gauge(path):
    text = path.read_text(encoding="utf-8")
    return text.partition("gauge: ")[2].partition(" mm")[0]


STOCK = """\
[[sheet]]
name = "sheet"
gauge = "5 mil"
width = "610 mm"
length = "1016 mm"
count = 5
"""


def test_an_exhibit_never_finds_what_may_be_cut_from_its_own_film():
    """Its own rests, and those of exhibits that came after it, lie on film that it still wants."""
    from cutfiles.bench.at_hand import FilmAtHand, Supply, Taken

    def rest(who):
        size = {"gauge": 0.127, "width": 300.0, "length": 400.0, "count": 1}
        return Supply(form="offcut", name=f"rest of {who}", left_by=who, **size)

    order = ("spring", "summer", "autumn")
    shelf = tuple(rest(who) for who in ("", *order))
    at_hand = FilmAtHand(shelf=shelf, taken=tuple(Taken(who, "roll", 10.0) for who in order))
    found = {who: [one.left_by for one in at_hand.for_exhibit(who)] for who in (*order, "winter")}
    assert found == {
        "spring": [""],
        "summer": ["", "spring"],
        "autumn": ["", "spring", "summer"],
        "winter": ["", "spring", "summer", "autumn"],
    }


def test_a_b_a_leaves_the_stock_as_it_should(tmp_path):
    """Two exhibits from one stock: each keeps what it booked, and none cuts its own rest twice."""
    stock = tmp_path / "film.toml"
    stock.write_text(STOCK)
    first = listing(tmp_path, ("A1", 90, "5 mil"), name="first.csv")
    second = listing(tmp_path, ("B1", 120, "5 mil"), ("B2", 70, "5 mil"), name="second.csv")

    def make(path, to):
        ended = exhibit(path, to, "--stock", stock, "--name", path.stem)
        assert ended.exit_code == 0, ended.output
        return booked()

    def booked():
        data = tomllib.loads(stock.read_text(encoding="utf-8"))
        taken = Counter()
        for one in data.get("taken", []):
            taken[one["by"], one["name"]] += one["taken"]
        left = {(one["left_by"], one["name"], one["length"]) for one in data.get("offcut", [])}
        return taken, left

    taken, left = make(first, tmp_path / "a")
    assert taken == {("first", "sheet"): 1}
    assert {who for who, _, _ in left} == {"first"}
    before = tree(tmp_path / "a")
    both, all_left = make(second, tmp_path / "b")
    assert both["first", "sheet"] == 1
    of_second = {key: n for key, n in both.items() if key[0] == "second"}
    assert of_second, "the second exhibit's film is booked"
    again, left_again = make(first, tmp_path / "a")
    assert again == both, "each exhibit's bookings are there, once"
    assert left_again == all_left
    assert tree(tmp_path / "a") == before, "cut from the same film as before"
    films = {row["film"] for row in table(tmp_path / "a" / "cutting.csv")}
    assert films == {"sheet"}, "not from the rest that it left itself"
    assert make(second, tmp_path / "b") == (both, all_left)
    text = stock.read_text(encoding="utf-8")
    assert text.startswith(STOCK)


def test_a_changed_file_is_not_told_as_unchanged(tmp_path):
    """Between two runs a file was changed: the next run neither takes it for its own nor hides it.

    The same where one was lost: it is made again.
    """
    path, out = listing(tmp_path, ("A1", 90, "5 mil"), ("A2", 95, "5 mil")), tmp_path / "out"
    assert exhibit(path, out).exit_code == 0
    whole = tree(out)
    (out / "supports" / "A2.svg").unlink()
    (out / "sheets" / "sheet-001.svg").unlink()
    ended = exhibit(path, out, "--json")
    assert ended.exit_code == 0, ended.output
    assert tree(out) == whole
    assert json.loads(ended.stdout)["counts"] == {"made": 1, "unchanged": 1, "refused": 0}
    cut = out / "supports" / "A1.svg"
    cut.write_bytes(cut.read_bytes().replace(b'd="M', b'd="M1', 1))
    ended = exhibit(path, out, "--json")
    assert ended.exit_code == 1
    assert json.loads(ended.stdout)["counts"] == {"made": 0, "unchanged": 1, "refused": 1}
    assert "A1.svg" in ended.output


def test_a_record_cannot_reach_outside_its_folder(tmp_path):
    """A record that names files elsewhere, with their right checksums, removes none of them."""
    path, out = listing(tmp_path, ("A1", 90, "5 mil"), ("A2", 95, "5 mil")), tmp_path / "out"
    assert exhibit(path, out).exit_code == 0
    (tmp_path / "other").mkdir()
    mine = [tmp_path / "mine.txt", tmp_path / "other" / "notes.txt", out / "plan.txt"]
    for file in mine:
        file.write_text("mine")
    total = hashlib.sha256(b"mine").hexdigest()
    record = out / "exhibit.json"
    data = json.loads(record.read_text(encoding="utf-8"))
    entry = data["made"]["supports"]["A2"]
    for name in ("../../mine.txt", "../../other/notes.txt", str(mine[0]), "../plan.txt"):
        entry["files"][name] = total
    record.write_text(json.dumps(data), encoding="utf-8")
    listing(tmp_path, ("A1", 90, "5 mil"))
    ended = exhibit(path, out)
    for file in mine:
        assert file.read_text() == "mine", ended.output
    assert not (out / "supports" / "A2.svg").exists()


def test_another_bed_is_not_unchanged(tmp_path):
    """What fitted the old bed is not told as made for a new one that it does not fit."""
    from cutfiles.exhibit.plan import ExhibitPlan
    from cutfiles.exhibit.run import make_exhibit
    from cutfiles.files.formats import Options
    from cutfiles.job.order import Order

    path = listing(tmp_path, ("A1", 90, "5 mil"))

    def make(bed):
        order = Order(formats=("svg",), paper=None, options=Options(bed=bed))
        return make_exhibit(path, tmp_path / "out", ExhibitPlan(name="x", order=order))

    assert make((900.0, 600.0)).counts["made"] == 1
    small = make((150.0, 150.0))
    assert not small.complete
    assert small.sheets == ()
    assert "150 × 150 mm" in small.supports[0].unplaced
    ended = exhibit(path, tmp_path / "told", "--bed", "150x150 mm")
    assert ended.exit_code == 1
    assert "150 × 150 mm" in ended.output


def test_what_is_cut_is_told_as_long_as_it_is(tmp_path):
    """The lengths in the table are those of the files' own lines, holes too."""
    import svgelements

    path, out = listing(tmp_path, ("A1", 120, "5 mil,3,plain")), tmp_path / "out"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace(HEAD, HEAD.strip() + ",Layers,Construction\n"), encoding="utf-8")
    assert exhibit(path, out).exit_code == 0
    svg = svgelements.SVG.parse(io.StringIO((out / "supports/A1.svg").read_text("utf-8")), ppi=25.4)
    lengths = Counter()
    for one in svg.elements():
        if isinstance(one, svgelements.Path):
            role = next(r for r in ("cut-outline", "cut-holes", "score", "") if r in str(one.id))
            lengths[role] += one.length(error=1e-6)
    [told] = json.loads((out / "supports.json").read_text(encoding="utf-8"))
    assert lengths["cut-holes"] > 10
    cut = lengths["cut-outline"] + lengths["cut-holes"]
    assert told["cut_mm"] == pytest.approx(cut, abs=0.1)
    assert told["score_mm"] == pytest.approx(lengths["score"], abs=0.1)


def test_a_disk_that_keeps_other_bytes_is_found_out(tmp_path, monkeypatch):
    """The last byte is lost on the way to the disk: nothing gets a name, and it is told."""
    path = listing(tmp_path, ("A1", 90, "5 mil"))
    done("list", path, "--clean", tmp_path / "clean.csv")
    real = os.write

    def losing(file, data):
        real(file, bytes(data)[:-1])
        return len(data)

    monkeypatch.setattr(os, "write", losing)
    ended = exhibit(path, tmp_path / "out")
    assert ended.exit_code == 1, ended.output
    assert "on the disk" in ended.output
    assert not list((tmp_path / "out").rglob("*.svg"))
