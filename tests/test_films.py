"""Films at hand: the packaged table, and a studio's own with all its faults together."""

import pytest
from conftest import is_refused_for

from cutfiles.bench.films import AT_HAND, BLANK, films_from, read_films, usual_films
from cutfiles.bench.slip import slip_from
from cutfiles.errors import CutfilesError, FileError, FilmsError, SlipError
from cutfiles.support.settle import allowed_ways
from cutfiles.units import MM_PER_MIL

BOOK = {
    "number": "T",
    "units": "mm",
    "height": 203,
    "width": 133,
    "spine_width": 34,
    "opening_angle": 120,
}


def test_usual_gauges():
    stocks = usual_films()
    assert [round(stock.gauge / MM_PER_MIL, 6) for stock in stocks] == [2, 3, 4, 5, 7, 10]
    assert all(stock.modulus == 4000 and stock.coating == "uncoated" for stock in stocks)
    assert all(stock.source for stock in stocks)


def test_the_blank_table_reads(tmp_path):
    path = tmp_path / "ours.toml"
    path.write_text(BLANK, encoding="utf-8")
    (stock,) = read_films(path).kinds
    assert (stock.name, stock.form, stock.grain) == ("flat sheets 5 mil", "sheet", "unknown")
    assert stock.gauge == pytest.approx(0.127)
    assert stock.sizes == ((500.0, 700.0),)


def test_sizes_as_people_write_them():
    sizes = ["500 x 700 mm", "20 in × 24 in", "1016 mm", "50cm*70cm"]
    (stock,) = films_from({"film": [{"name": "a", "gauge": "0.1 mm", "sizes": sizes}]}).kinds
    rounded = tuple((round(w, 6), round(h, 6)) for w, h in stock.sizes)
    assert rounded == ((500, 700), (508, 609.6), (1016, 0), (500, 700))
    assert stock.coating == "unknown"


def test_all_faults_at_once():
    rows = [
        {"gauge": "5"},
        {"name": "b", "gauge": "5 m", "modulus": 4, "coating": "shiny", "colour": "red"},
        {"name": "B", "gauge": "5 mil", "sizes": "500 x 700 mm"},
        {"name": "c", "gauge": "5 mil", "sizes": ["500 x 700 x 2 mm"], "form": "pile"},
    ]
    with pytest.raises(FilmsError) as refusal:
        films_from({"film": rows, "films": []}, "films ours.toml")
    places = {str(fault.place).removeprefix("films ours.toml, ") for fault in refusal.value.faults}
    assert places == {
        "films",
        "film 1, name",
        "film 1, gauge",
        "film 2, gauge",
        "film 2, modulus",
        "film 2, coating",
        "film 2, colour",
        "film 3, name",
        "film 3, sizes",
        "film 4, sizes",
        "film 4, form",
    }


@pytest.mark.parametrize("values", [{}, {"film": []}, {"film": "PET"}, {"film": ["PET"]}])
def test_no_table(values):
    with pytest.raises(FilmsError, match=r"\[\[film\]\]"):
        films_from(values)


def test_files_that_are_none(tmp_path):
    with pytest.raises(FileError, match=r"films none\.toml: found no such file"):
        read_films(tmp_path / "none.toml")
    bad = tmp_path / "bad.toml"
    bad.write_text("film = [", encoding="utf-8")
    with pytest.raises(FileError, match="a table of films is TOML"):
        read_films(bad)


def test_a_slip_chooses_by_name_or_by_gauge():
    own = films_from(
        {"film": [{"name": "Stiff", "gauge": "100 µm", "modulus": 4800, "coating": "coated"}]}
    ).kinds
    for support in ({"film": "stiff"}, {"gauge": "0.1 mm"}, {"film": "Stiff", "gauge": "100 µm"}):
        film = slip_from({**BOOK, "support": support}, films=own).film
        assert (film.gauge, film.modulus, film.coating, film.name) == (0.1, 4800, "coated", "Stiff")
    marked = slip_from({**BOOK, "support": {"film": "Stiff", "coating": "uncoated"}}, films=own)
    assert marked.film.coating == "uncoated"
    usual = slip_from({**BOOK, "support": {"film": "PET 7 mil", "layers": 1}}).film
    assert (round(usual.gauge, 4), usual.layers) == (0.1778, 1)


def test_of_films_of_one_gauge_the_least_is_sure():
    """Two films of 5 mil, one coated: a laser must not take either for uncoated."""
    kinds = films_from(
        {
            "film": [
                {"name": "P", "gauge": "5 mil", "modulus": 5000, "coating": "coated"},
                {"name": "Q", "gauge": "5 mil", "modulus": 1500, "coating": "uncoated"},
            ]
        }
    ).kinds
    film = slip_from({**BOOK, "support": {"gauge": "5 mil"}}, films=kinds).film
    assert (film.modulus, film.coating) == (1500, "coated")
    named = slip_from({**BOOK, "support": {"film": "Q"}}, films=kinds).film
    assert (named.modulus, named.coating) == (1500, "uncoated")
    # a gauge that no table knows may be anything
    assert slip_from({**BOOK, "support": {"gauge": "0.19 mm"}}).film.coating == "unknown"
    assert slip_from({**BOOK, "support": {"gauge": "5 mil"}}).film.coating == "uncoated"


@pytest.mark.parametrize(
    ("support", "path", "said"),
    [
        ({"film": "PET 6 mil"}, "support.film", '"PET 7 mil"'),
        ({"film": "PET 5 mil", "gauge": "7 mil"}, "support.gauge", "is 0.127 mm"),
        ({"coating": "shiny"}, "support.coating", '"uncoated" or "coated" or "unknown"'),
    ],
)
def test_films_that_are_not_at_hand(support, path, said):
    with pytest.raises(SlipError) as refusal:
        slip_from({**BOOK, "support": support})
    assert str(refusal.value.fault.place) == f"slip, {path}"
    assert said in str(refusal.value)
    assert isinstance(refusal.value, CutfilesError)


def test_a_named_film_is_judged_as_itself():
    """Two films of 5 mil at hand: what the stiff one bears says nothing of the soft one."""
    kinds = films_from(
        {
            "film": [
                {"name": "P", "gauge": "5 mil", "modulus": 5000},
                {"name": "Q", "gauge": "5 mil", "modulus": 1500},
            ]
        }
    ).kinds
    fixed = [({"film": "Q"}, 1500), ({"film": "P"}, 5000), ({"gauge": "5 mil"}, 1500)]
    for support, modulus in fixed:
        slip = slip_from({**BOOK, "weight": "500 g", "support": support}, films=kinds)
        ways = allowed_ways(slip)
        assert ways
        assert {one.way.film.modulus for one in ways} == {modulus}


GAUGE, COUNTED, PAID = (0.012, 0.6), (0, 1_000_000), (0, 1_000_000)
WIDE, LONG = (140, 5000), (140, 1_000_000)
AS_LONG = {"gauge": GAUGE, "width": WIDE, "length": LONG, "count": COUNTED, "price": PAID}
LIMITS = {
    "film": {"gauge": GAUGE, "modulus": (500, 10_000)},
    **dict.fromkeys(("offcut", "sheet", "roll"), AS_LONG),
}
"""mm, MPa, pieces, money: what film is made, kept and sold as; in less lies no strip."""


def out_of_range(kind, name, value):
    """Whether a table of film with this value is refused for its size."""
    length = name in ("gauge", "width", "length")
    one = {"gauge": "5 mil", name: f"{value} mm" if length else value}
    return is_refused_for(
        lambda: films_from({kind: [one]}, "films ours.toml"),
        FilmsError,
        f"{kind} 1, {name}",
        rf"{name} is (from )?\d",
    )


@pytest.mark.parametrize(
    ("kind", "name"), [(k, name) for k, names in LIMITS.items() for name in names]
)
def test_a_size_no_film_has_is_refused(kind, name):
    least, most = LIMITS[kind][name]
    step = 1 if name == "count" else 0.001
    assert out_of_range(kind, name, least - step)
    assert out_of_range(kind, name, most + step)
    assert not out_of_range(kind, name, least)
    assert not out_of_range(kind, name, most)


def test_all_sizes_of_a_table_of_film_are_among_these():
    kinds = ("length", "number", "whole")
    sizes = {
        name: {f.name for f in table.fields if f.kind in kinds} for name, table in AT_HAND.lists
    }
    assert sizes.pop("taken") == {"taken"}  # we wrote that ourselves
    assert sizes == {name: {*LIMITS[name]} for name in LIMITS}
