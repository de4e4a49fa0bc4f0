"""An exhibit's tables and report, of results made by hand: what stands where, summed by hand."""

import csv
import io
import json
import re
import tracemalloc
from dataclasses import replace
from types import SimpleNamespace

import pytest
from conftest import sample_slips
from pages import text_of

from cutfiles.bench.at_hand import Supply
from cutfiles.bench.slip import read_slip
from cutfiles.errors import FileError
from cutfiles.exhibit.changes import Before
from cutfiles.exhibit.jobs import printed
from cutfiles.exhibit.mark import _marks
from cutfiles.exhibit.packs import left_to_mountmaker
from cutfiles.exhibit.page import exhibit_page
from cutfiles.exhibit.pieces import pieces_told
from cutfiles.exhibit.prints import case_rows, exhibit_prints, strap_rows_of
from cutfiles.exhibit.results import ExhibitResult, SheetResult, SupportFacts, SupportResult, Told
from cutfiles.exhibit.stages import Reached
from cutfiles.exhibit.state import Made, record_of
from cutfiles.exhibit.tables import exhibit_tables, support_data
from cutfiles.exhibit.thumbs import sheet_view
from cutfiles.files.record import Long, record_bytes, record_parts
from cutfiles.film.layout_check import Lying
from cutfiles.support.reuse import Side, Stood

STOOD = Stood(
    number="A1",
    exhibit="show",
    left=Side(0.0, 30.0, 130.0),
    right=Side(0.0, 31.0, 130.0),
    spine=35.0,
    breadth=190.0,
    weight=600.0,
    cover="stiff",
    state="adequate",
)
FACTS = SupportFacts(
    key="0",
    width=700.0,
    height=190.0,
    gauge=0.127,
    layers=1,
    opening_angle=120.0,
    left_slope=30.0,
    right_slope=31.0,
    left_rise=61.0,
    right_rise=62.0,
    cut=1800.0,
    score=1140.0,
    creases=16,
    tape=300.0,
    strap=500.0,
    straps=(("left", "polyethylene strap", 12.0, 250.0, 40.0),),
    dummy=900.0,
    state="adequate",
    way=("5 mil", "plain", "cut", 0),
    shape="0",
    verdict="adequate",
    teller=Told(
        findings=("steep", "heavy"),
        picture="",
        view=(("strip", ((0.0, 0.0), (40.0, 30.0), (80.0, 0.0))),),
        labels=(),
        stood=STOOD,
        files={"A1.svg": "0", "A1.pdf": "1"},
    ),
)
ROLL = Supply(form="roll", name="roll 1", gauge=0.127, width=1016.0, length=None, price=2.5)
SECOND = replace(FACTS, cut=2150.0, score=1260.0)


def support(number, facts, **more):
    values = {"title": f"Book {number}", "case": "1"}
    more = {"row": 2, "state": "made", "copies": 1, "values": values, **more}
    return SupportResult(number=number, facts=facts, **more)


def sheet(number, *names, **more):
    pieces = tuple(Lying(name, 5.0, 5.0, 700.0, 190.0, False) for name in names)
    more = {"height": 800.0, "state": "made", **more}
    return SheetResult(
        number=number,
        film=ROLL,
        gauge=0.127,
        width=1016.0,
        pieces=pieces,
        used=0.3275,
        files={},
        **more,
    )


def tables(supports, sheets):
    done = ExhibitResult(
        name="show",
        books=SimpleNamespace(name="list.csv", ledger=(), header=None),
        supports=tuple(supports),
        sheets=tuple(sheets),
    )
    return done


def whole(data):
    return data if isinstance(data, bytes) else b"".join(data)


@pytest.fixture
def read(monkeypatch):
    monkeypatch.setattr("cutfiles.exhibit.tables.ledger_table", lambda books: [])

    def read(supports, sheets):
        found = exhibit_tables(tables(supports, sheets))
        return {name: whole(data).decode("utf-8-sig") for name, data in found.items()}

    return read


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_a_sheet_tells_what_is_cut_and_scored_on_it(read):
    made = read([support("A1", FACTS), support("A2", SECOND)], [sheet("sheet-001", "A1", "A2")])
    (row,) = rows(made["cutting.csv"])
    assert row["pieces"] == "2"
    assert row["supports"] == "A1 A2"
    assert row["used_percent"] == "32.8"
    assert row["cut_m"] == "3.95"  # 1.80 + 2.15
    assert row["score_m"] == "2.40"  # 1.14 + 1.26
    assert (row["width_mm"], row["length_mm"]) == ("1016.0", "800.0")


def test_a_support_as_data_tells_what_is_worth_knowing(read):
    made = read([support("A1", FACTS, sheets=("sheet-001",))], [sheet("sheet-001", "A1")])
    (told,) = json.loads(made["supports.json"])
    assert told["findings"] == ["steep", "heavy"]
    assert told["slopes_deg"] == [30.0, 31.0]
    assert told["rises_mm"] == [61.0, 62.0]
    assert (told["cut_mm"], told["score_mm"]) == (1800.0, 1140.0)
    assert told["files"] == ["supports/A1.pdf", "supports/A1.svg"]


@pytest.mark.parametrize(("count", "told"), [(1, "1 row: 1 made"), (2, "2 rows: 2 made")])
def test_rows_are_counted_in_the_report(read, count, told):
    supports = [support(f"A{k}", FACTS) for k in range(count)]
    assert f"\n{told}, 0 refused\n" in read(supports, [])["report.txt"]


def test_what_lies_on_no_sheet_stands_under_its_own_heading(read):
    lost = support("A2", SECOND, unplaced="a piece of 700 × 190 mm: no film is left")
    report = read([support("A1", FACTS), lost], [sheet("sheet-001", "A1")])["report.txt"]
    below = report.partition("\nMade, but on no sheet\n")[2]
    assert below.startswith("  A2: a piece of 700 × 190 mm: no film is left\n")
    assert "on no sheet" not in read([support("A1", FACTS)], [sheet("s", "A1")])["report.txt"]


def test_straps_of_film_are_told_with_the_supports_they_hold(read):
    straps = (("left", "polyester film strip", 12.0, 250.0, 40.0),)
    supports = [support("A1", FACTS), support("A2", replace(SECOND, straps=straps))]
    report = read(supports, [sheet("sheet-001", "A1", "A2")])["report.txt"]
    assert "Straps of film lie on no sheet: cut NUMBER.straps in supports/, for\n  A2\n" in report


def test_straps_of_film_are_told_where_one_side_has_one_and_not_where_there_is_none(read):
    film = ("right", "polyester film strip", 10.0, 240.0, 40.0)
    supports = [
        support("A1", FACTS),
        support("A2", replace(FACTS, straps=(*FACTS.straps, film))),
        support("A3", replace(FACTS, straps=())),
        support("A4", replace(FACTS, straps=(film,))),
    ]
    made = read(supports, [])
    told = made["report.txt"].partition("Straps of film lie on no sheet")[2].splitlines()
    assert told[1].strip() == "A2, A4"
    straps = [row for row in rows(made["order.csv"]) if row["what"] == "strap"]
    assert [(row["kind"], row["needed"]) for row in straps] == [
        ("polyethylene strap, 12 mm", "0.50")
    ]
    alone = rows(read(supports[2:], [])["order.csv"])
    assert [row["needed"] for row in alone if row["what"] == "strap"] == ["0.00"]


def test_film_that_is_cut_is_not_bought_again(read):
    """Nobody counted the roll: what is left to cut of 1.60 m is 0.80 m, and a fifth more."""
    supports = [support("A1", FACTS), support("A2", SECOND)]
    cut = replace(sheet("sheet-001", "A1"), frozen=True)
    film, *_ = rows(read(supports, [cut, sheet("sheet-002", "A2")])["order.csv"])
    assert (film["needed"], film["with_spare"], film["to_buy"]) == ("1.60", "1.76", "0.96")


def test_what_is_ordered_has_its_spare(read):
    supports = [support("A1", FACTS, copies=2), support("A2", SECOND)]
    made = read(supports, [sheet("sheet-001", "A1", "A1"), sheet("sheet-002", "A2")])
    film, tape, strap, _ = rows(made["order.csv"])
    assert (film["needed"], film["with_spare"], film["unit"]) == ("1.60", "1.92", "m")
    assert (film["price"], film["cost"]) == ("2.50", "4.80")
    assert (tape["needed"], tape["with_spare"]) == ("0.90", "1.08")  # of three pieces
    assert strap["unit"] == "m"


def test_what_is_never_folded_takes_no_tape_and_no_strap(read):
    """Made to be looked at, and left to the mountmaker; but what is laid anyway takes its own."""
    weak = support("A2", replace(FACTS, state="another support"))
    gone = support("A3", FACTS, stage=Reached("withdrawn"))
    anyway = replace(weak, sheets=("sheet-001",))
    unlaid = support("A4", FACTS, unplaced="no film is left")
    for own, metres in (
        ([], "0.30"),
        ([weak, gone], "0.30"),
        ([anyway], "0.60"),
        ([unlaid], "0.60"),
    ):
        supports = [support("A1", FACTS), *own]
        _, tape, strap, _ = rows(read(supports, [sheet("sheet-001", "A1")])["order.csv"])
        assert tape["needed"] == metres
        assert strap["needed"] == ("0.25" if metres == "0.30" else "0.50")
        assert len([*strap_rows_of(tables(supports, []))]) == (1 if metres == "0.30" else 2)


def test_a_row_without_a_number_is_called_by_its_row_in_print():
    done = tables([support("A1", FACTS), support("", None, row=7, state="refused")], [])
    done = replace(done, books=SimpleNamespace(rows=()))
    assert [row.number for row in case_rows(done)] == ["A1", "row 7"]
    assert [row[0] for row in left_to_mountmaker(done)] == ["row 7"]


def test_the_mountmaker_reads_every_measure_with_its_unit():
    """A bare angle is in degrees; a cell that says its unit stays as it is written."""
    values = {"height": "200 mm", "opening_angle": "120", "left_slope": "30", "right_slope": "31°"}
    done = tables([support("A1", None, values=values, state="refused")], [])
    done = replace(done, books=SimpleNamespace(rows=()))
    [(_, *cells)] = left_to_mountmaker(done)
    assert [cell for cell in cells if re.search(r"\d", cell)] == ["200 mm", "120°", "30°", "31°"]


def test_what_a_list_notes_of_a_book_is_minded_where_it_is_placed():
    values = {"case": "1", "note": "keep at 50 lux"}
    noted, bare = case_rows(
        tables([support("A1", FACTS, values=values), support("A2", FACTS, row=3)], [])
    )
    assert noted.note == f"{bare.note} · keep at 50 lux"
    assert bare.note == "adequate · straps"


@pytest.mark.parametrize(
    ("units", "told"), [(["in"] * 2, "250 mm (9 27/32 in)"), (["in", "mm"], "250 mm")]
)
def test_straps_are_told_in_inches_where_every_book_was_measured_in_inches(units, told, tmp_path):
    slip = read_slip(sample_slips()[0])
    slips = [replace(slip, units=u) for u in units]
    rows = [SimpleNamespace(row=2 + i, slip=s, closed=False) for i, s in enumerate(slips)]
    done = replace(tables([support("A1", FACTS)], []), books=SimpleNamespace(rows=rows))
    prints = exhibit_prints(done, tmp_path, "A4")
    [card] = printed({"strap-card.pdf": prints["strap-card.pdf"]}, None).values()
    said = " ".join(text_of(whole(card)))
    assert re.search(r"250 mm(?: \(.*? in\))?", said)[0] == told


@pytest.mark.parametrize("turned", [False, True])
def test_a_piece_s_number_fits_into_it_on_the_page(turned):
    width, height = (60.0, 400.0) if turned else (400.0, 60.0)
    piece = Lying("LONG-NUMBER-17", 5.0, 5.0, width, height, turned)
    drawn = sheet_view(replace(sheet("sheet-001"), pieces=(piece,)))
    (size,) = (float(found) for found in re.findall(r'font-size="([\d.]+)"', drawn))
    assert 10 < size <= 30  # half of how deep the piece lies
    assert size * 0.62 * len(piece.name) <= 400
    assert ("rotate(-90" in drawn) is turned


def test_a_short_number_is_as_large_as_there_is_room():
    piece = Lying("A1", 5.0, 5.0, 20.0, 90.0, False)
    drawn = sheet_view(replace(sheet("sheet-001"), pieces=(piece,)))
    (size,) = (float(found) for found in re.findall(r'font-size="([\d.]+)"', drawn))
    assert 12 < size < 20


@pytest.mark.parametrize("stage", ["cut", "folded", "installed"])
def test_a_support_that_lies_on_no_sheet_is_not_marked_cut(stage):
    """It would be taken for cut, and no sheet would keep its film."""
    before = SimpleNamespace(sheets=(), facts={"A1": FACTS})
    stages = SimpleNamespace(cut={})
    with pytest.raises(FileError, match="lies on no sheet"):
        list(_marks(before, stages, stage, ["A1"], "show"))
    (gone,) = _marks(before, stages, "withdrawn", ["A1"], "show")
    assert (gone.sheet, gone.number, gone.stage) == ("", "A1", "withdrawn")


@pytest.mark.parametrize("length", [1, 20, 90, 300, 470, 480])
@pytest.mark.parametrize("count", [0, 1, 2, 5])
def test_a_record_in_parts_is_the_record(length, count):
    """Broken into lines at the same places, whatever fits on one."""
    text = length * "k"
    entries = {f"A{i}": {"key": text, "facts": [i, {"way": ["5 mil", i]}]} for i in range(count)}
    data = {"name": "show", "few": [1, 2], "many": [{"x": text}, {"y": text}]}
    parts = record_parts(data | {"made": Long({"supports": Long(entries), "lists": Long({})})})
    said = record_bytes(data | {"made": {"supports": entries, "lists": {}}})
    assert b"".join(parts) == said
    rows = [*entries.values()]
    assert b"".join(record_parts(Long(range(count), rows.__getitem__))) == record_bytes(rows)


def test_what_is_long_is_written_part_by_part():
    """Of many supports the table, the page and the record are never in memory whole."""
    picture = "<svg>" + 5000 * "x" + "</svg>"
    facts = replace(FACTS, teller=replace(FACTS.told, picture=picture, view=()))
    done = tables([support(f"A{i}", facts) for i in range(300)], ())
    made = Made(supports={support.number: facts for support in done.supports})
    for parts in (
        lambda: record_parts(Long(done.supports, support_data)),
        lambda: exhibit_page(done, ()),
        lambda: record_of("show", made, Before()),
    ):
        size, peak = min(_size_and_peak(parts()) for _ in range(2))
        assert size > 150_000
        assert peak < min(size / 5, 100_000)  # 30 to 70 kB whatever the size; whole twice the size


def _size_and_peak(parts):
    """How much is written, and the most that was held; what grows once for all is not in each."""
    tracemalloc.start()
    size = sum(map(len, parts))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return size, peak


def test_posts_are_counted_apart_from_supports():
    """What is folded is a support in every count; a post behind its leg is none."""
    names = ("A1", "A1 · left post", "A1 · left post", "A1 · right post", "A2")
    pieces = [SimpleNamespace(name=name) for name in names]
    assert pieces_told(pieces) == "2 supports, 3 posts"
    assert pieces_told(pieces[-1:]) == "1 support"


def test_what_is_withdrawn_is_not_looked_for_on_the_case_card():
    gone = support("A2", FACTS, stage=Reached("withdrawn"))
    assert [row.number for row in case_rows(tables([support("A1", FACTS), gone], []))] == ["A1"]
