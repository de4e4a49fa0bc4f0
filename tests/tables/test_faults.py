"""Tables that people write: whatever stands in one is read, or refused with its place as data."""

import sys
import time
from pathlib import Path

import pytest
from conftest import BOOK

from cutfiles.bench.fields import SLIP
from cutfiles.bench.films import AT_HAND, films_from, read_films
from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import CutfilesError, Place, SlipError
from cutfiles.lists.mapping import MAPPING, read_mapping
from cutfiles.machine.profile.fields import PROFILE
from cutfiles.machine.profile.read import cutter_from, read_cutter
from cutfiles.pattern.facts import slip_of_facts
from cutfiles.support.trial_rows import TRIAL
from cutfiles.tables.record import read_record

sys.path.append(str(Path(__file__).parent.parent / "bench"))
from mutate_tables import SLOWEST, outcomes

READERS = {"slip": read_slip, "films": read_films, "profile": read_cutter, "mapping": read_mapping}


@pytest.mark.parametrize("kind", READERS)
@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 5000 + "]" * 5000,
        "a = " + "[" * 200 + "]" * 200,
        "a = " + "{b=" * 300 + "1" + "}" * 300,
        "a = " + "9" * 5000,
        "a = 0x" + "f" * 5000,
        "columns = [1]\nsupport = 3\nbed = []\nroll = 'x'",
        "name = nan\nheight = inf\nunits = 1979-05-27",
        "units = [[]]\nkind = {}\nnumber = true",
        "a.b.c.d.e = 1\n[film]\nname = 1",
    ],
)
def test_odd_tables_are_refused(tmp_path, kind, text):
    path = tmp_path / "odd.toml"
    path.write_text(text)
    with pytest.raises(CutfilesError) as caught:
        READERS[kind](path)
    for fault in caught.value.faults:
        assert "odd.toml" in fault.place.file
        assert len(str(fault)) < 600


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("roll = [1, 2]", Place(file="films shelf.toml", field="roll")),
        (
            '[[roll]]\ngauge = "5 mil"\nwidth = "1 m"\n[[taken]]\nname = "roll 1"\ntaken = 3',
            Place(file="films shelf.toml", table="taken", index=1, field="by"),
        ),
        (
            '[[roll]]\ngauge = "5 mil"\nwidth = [[["1 m"]]]',
            Place(file="films shelf.toml", table="roll", index=1, field="width"),
        ),
        (
            f'[[sheet]]\ngauge = "5 mil"\nwidth = "1 m"\nlength = "1 m"\ncount = {"9" * 4000}',
            Place(file="films shelf.toml", table="sheet", index=1, field="count"),
        ),
    ],
)
def test_a_shelf_is_refused_at_its_place(tmp_path, text, place):
    path = tmp_path / "shelf.toml"
    path.write_text(text)
    with pytest.raises(SlipError) as caught:
        read_films(path)
    assert [fault.place for fault in caught.value.faults] == [place]


def test_a_mapping_that_holds_a_list(tmp_path):
    path = tmp_path / "columns.toml"
    path.write_text('[columns]\nHt = ["height"]\nWt = "wieght"\n"No." = ""\n')
    with pytest.raises(SlipError) as caught:
        read_mapping(path)
    first, second = caught.value.faults
    assert first.place == Place(file="columns.toml", table="columns", field="Ht")
    assert second.remedy == 'did you mean "weight"?'


def test_a_whole_number_is_not_cut_off():
    values = {
        "name": "k",
        "kind": "knife",
        "formats": ["svg"],
        "score": {"method": "perforate"},
        "bed": {"width": "300 mm", "length": "600 mm"},
    }
    with pytest.raises(SlipError, match=r'tool\.bridges: found "2\.5"; bridges is a whole number'):
        cutter_from({**values, "tool": {"bridges": 2.5}}, "x.toml")
    assert cutter_from({**values, "tool": {"bridges": 2}}, "x.toml").tool.bridges == 2


def test_places_of_a_slip_are_data():
    with pytest.raises(SlipError) as caught:
        slip_from({**BOOK, "height": "x", "support": {"gauge": 9}}, Place(file="l.csv", row=4))
    assert [fault.place for fault in caught.value.faults] == [
        Place(file="l.csv", row=4, field="height"),
        Place(file="l.csv", row=4, table="support", field="gauge"),
    ]


def test_an_angle_is_stated_as_one_and_read_back():
    slip = slip_from({**BOOK, "support": {"opening_ceiling": "125"}})
    facts = dict(draft_of(slip).pattern.facts)
    assert "opening_ceiling 125 deg" in facts["settings"].split("; ")
    assert slip_of_facts(facts, "A1.svg").choices.opening_ceiling == 125.0


# -- one table of film -----------------------------------------------------------------------------

KINDS = {"name": "Stiff", "gauge": "100 µm", "modulus": 4800}
ROLL = {"width": "1016 mm", "price": 10}


@pytest.mark.parametrize("table", [SLIP, PROFILE, MAPPING, AT_HAND, TRIAL], ids=lambda t: t.kind)
def test_a_table_that_says_its_units_is_named_in_the_remedy(table):
    assert bool(table.noun) == any(one.name == "units" for one in table.fields)
    bare = [one for one in table.fields if one.kind == "length" and not one.table]
    if table.noun and bare:
        [first, *_] = read_record(table, {bare[0].name: 12.5}, Place()).faults
        assert f"or give the {table.noun} units = " in first.remedy


def test_kinds_and_shelf_in_one_table():
    film = films_from({"film": [KINDS], "roll": [{**ROLL, "film": "stiff", "name": "long one"}]})
    assert [kind.name for kind in film.kinds] == ["Stiff"]
    (roll,) = film.shelf
    assert (roll.form, roll.name, roll.gauge, roll.price) == ("roll", "long one", 0.1, 10)


def test_kinds_alone_make_a_shelf():
    sizes = ["500 x 700 mm", "1016 mm", "10 x 10 mm"]
    sheet, roll = films_from({"film": [{**KINDS, "sizes": sizes}]}).shelf
    assert (sheet.form, sheet.width, sheet.length, sheet.count) == ("sheet", 500, 700, None)
    assert (roll.form, roll.width, roll.length) == ("roll", 1016, None)
    assert sheet.name != roll.name


def test_a_shelf_alone_makes_kinds():
    rows = [{**ROLL, "gauge": "5 mil"}, {**ROLL, "gauge": "3 mil"}, {**ROLL, "gauge": "0.127 mm"}]
    kinds = films_from({"roll": rows}).kinds
    names = ["0.0762 mm (3 mil)", "0.127 mm (5 mil)"]
    assert [(kind.name, kind.form) for kind in kinds] == [(name, "roll") for name in names]
    rows[2]["name"] = "our best"  # a name says more than a number
    assert [kind.name for kind in films_from({"roll": rows}).kinds] == [names[0], "our best"]
    offcut = {**ROLL, "gauge": "5 mil", "length": "700 mm"}
    left = {**offcut, "left_by": "spring", "name": "left from spring"}
    (kind,) = films_from({"roll": rows[:1], "offcut": [offcut, left]}).kinds
    assert kind.name == names[1]


def test_an_offcut_left_by_an_exhibit_does_not_hide_the_kinds_sizes():
    left = {**ROLL, "gauge": "100 µm", "length": "700 mm", "left_by": "spring"}
    film = films_from({"film": [KINDS], "offcut": [left]})
    assert [one.form for one in film.for_exhibit("summer")] == ["offcut", "roll"]


@pytest.mark.parametrize(
    ("roll", "field"),
    [({"film": "Stif"}, "film"), ({"film": "Stiff", "gauge": "5 mil"}, "gauge"), ({}, "gauge")],
)
def test_a_supply_is_of_a_kind_or_of_a_gauge(roll, field):
    with pytest.raises(SlipError) as caught:
        films_from({"film": [KINDS], "roll": [{**ROLL, **roll}]})
    assert [fault.place.field for fault in caught.value.faults] == [field]


def test_names_of_exhibits_are_kept_to_the_letter(tmp_path):
    from cutfiles.film.shelf import booked_text

    path = tmp_path / "shelf.toml"
    path.write_text('[[roll]]\ngauge = "5 mil"\nwidth = "1 m"\nlength = "30 m"\n')
    names = ["spring  show ", "été", "e\u0301te\u0301", "=1+1", 'a"b\\c']
    for name in names:
        path.write_bytes(booked_text(read_films(path), name, {"roll 1": 1000.0}, []))
    assert [one.by for one in read_films(path).taken] == names
    for name in names:
        assert read_films(path).for_exhibit(name)[0].length == 26_000.0


# -- size and damage -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("slip", "".join(f"heigth{i} = 1\n" for i in range(60_000))),
        ("mapping", "[columns]\n" + "".join(f'"c{i}" = "wieght"\n' for i in range(40_000))),
        ("films", "[[roll]]\nwidht = 1\n" * 40_000),
        (
            "films",
            '[[film]]\nname = "a"\ngauge = "5 mil"\nsizes = [' + '"9 x 9 mm",' * 60_000 + "]",
        ),
        ("profile", "[[material]]\nx = 1\n" * 900),
        ("slip", "height = '" + " " * 900_000 + "x'"),
        ("slip", ".".join("a" * 300_000) + " = 1"),
        ("profile", "[" + ".".join("a" * 300_000) + "]"),
        ("films", "film = {" + " . ".join(["'a'"] * 100_000) + " = 1}"),
    ],
    ids=["fields", "columns", "rolls", "sizes", "materials", "blanks", "key", "header", "inline"],
)
def test_endless_tables_are_refused_soon(tmp_path, kind, text):
    path = tmp_path / "odd.toml"
    path.write_text(text)
    begin = time.process_time()
    with pytest.raises(CutfilesError) as caught:
        READERS[kind](path)
    assert time.process_time() - begin < 2 * SLOWEST  # twice, for a machine shared with others
    assert len(caught.value.faults) < 1000


def test_damaged_tables_are_read_or_refused(tmp_path):
    seen = list(outcomes(200, 20_261_125, tmp_path))
    assert [one for one in seen if one.state not in ("read", "refused")] == []
    assert {one.state for one in seen} == {"read", "refused"}
    assert max(one.seconds for one in seen) < SLOWEST
