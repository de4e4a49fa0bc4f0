"""An exhibit tells what its films fold and cost, and what would cost least beside it."""

import json
from dataclasses import replace

import pytest
from click.testing import CliRunner

from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.film import Film
from cutfiles.bench.films import usual_films
from cutfiles.bench.slip import slip_from
from cutfiles.cli import cli
from cutfiles.exhibit.films import KindsTold, MadeSo, choose_films
from cutfiles.exhibit.tables import kinds_text
from cutfiles.support.settle import judged_ways

ROWS = {"B1": (203, 133, 34, "641 g"), "B2": (140, 100, 25, "200 g"), "B3": (230, 150, 40, "900 g")}
LIST = "number,height,width,spine width,opening angle,weight\n" + "".join(
    f"{number},{height} mm,{width} mm,{spine} mm,120,{weight}\n"
    for number, (height, width, spine, weight) in ROWS.items()
)


def slips():
    names = ("height", "width", "spine_width", "weight")
    return {
        row: slip_from(
            {
                "number": number,
                "units": "mm",
                "opening_angle": 120,
                **dict(zip(names, values, strict=True)),
            }
        )
        for row, (number, values) in enumerate(ROWS.items(), 2)
    }


def test_a_book_that_is_refused_has_no_say_in_the_film():
    """Were it counted, film as thick as its would be taken for all."""
    names = ("number", "height", "width", "spine_width", "weight")
    heavy = dict(zip(names, ("H1", 250, 180, 48, "1900 g"), strict=True))
    tall = dict(zip(names, ("T1", 300, 150, 30, "900 g"), strict=True))
    more = [slip_from({"units": "mm", "opening_angle": 115, **one}) for one in (heavy, tall)]
    alone, found = choose_films(slips()), choose_films({**slips(), 8: more[0], 9: more[1]})
    assert found.unserved == ("H1", "T1")
    assert (found.films, found.told) == (alone.films, alone.told)


def test_told_is_what_is_made_and_the_least_that_could_be():
    found = choose_films(slips())
    chosen, least = found.told
    assert chosen.films == found.films
    grams = [one.grams for one in map(cheapest, slips().values())]
    assert least.cost == pytest.approx(sum(grams))
    assert least.cost < chosen.cost
    assert least.folds > chosen.folds  # or fewer folds and less film would have been chosen
    thrifty = choose_films(
        {
            row: slip_from({**dict(slip.given), "number": "B", "units": "mm", **more})
            for row, slip in list(slips().items())[:1]
            for more in [{"weight": "641 g", "support": {"prefer": "film"}}]
        }
    )
    assert len(thrifty.told) == 1


def preferring(*rows):
    """Return what is chosen where the books of these rows are to take little film."""
    film = {"support": {"prefer": "film"}}
    return choose_films(
        {
            row: slip_from({**dict(slip.given), "number": slip.book.number, "units": "mm"} | more)
            for row, slip in slips().items()
            for more in [film if row in rows else {}]
        }
    )


def test_film_is_saved_where_every_book_is_to_save_it():
    """One book alone that is to save film has the others folded no more often."""
    none, one, every = preferring(), preferring(2), preferring(2, 3, 4)
    assert one.told == none.told
    assert one.told[0].folds < every.told[0].folds
    assert every.told[0].cost < one.told[0].cost


def cheapest(slip):
    fit = [one for one in judged_ways(slip) if one.state == "adequate" and one.way.edge != "cut"]
    return min(fit, key=lambda one: one.grams)


def test_report_page_and_json_say_it(tmp_path):
    (tmp_path / "list.csv").write_text(LIST)
    words = [
        "exhibit",
        str(tmp_path / "list.csv"),
        "--to",
        str(tmp_path / "out"),
        "--no-cards",
        "--format",
        "svg",
    ]
    done = CliRunner().invoke(cli, [*words, "--json"])
    assert done.exit_code == 0, done.output
    films = json.loads(done.stdout)["films"]
    told = [
        kinds_text(
            KindsTold(
                films=tuple(one["films"]), folds=one["folds"], cost=one["film_g"], priced=False
            )
        )
        for one in (films["chosen"], films["least_cost"])
    ]
    said = f"chosen: {told[0]}; the least film would be {told[1]}"
    for name in ("report.txt", "index.html"):
        assert said in (tmp_path / "out" / name).read_text(encoding="utf-8")


@pytest.mark.parametrize(("whole", "gauge"), [(True, 0.1778), (False, 0.127)])
def test_film_that_is_gone_counts_for_what_is_cut_whole(whole, gauge):
    """Of a support whose posts alone are cut nobody could cut the strip any more."""
    slip = replace(slips()[2], films=(FilmKind(name="thin", gauge=0.127),))
    made = MadeSo(("thick", "lips", "hemmed", 0), 0.1778, cut=True, whole=whole)
    chosen = choose_films({7: slip}, before={7: made})
    assert chosen.slips[7].film.gauge == pytest.approx(gauge)
    thin = choose_films({7: slip}, before={7: replace(made, way=("thin", *made.way[1:]))})
    assert thin.slips[7].film.gauge == pytest.approx(gauge)  # whatever it was called


@pytest.mark.parametrize(
    ("name", "gauge", "whole", "alike"),
    [
        ("thick", 0.1274, True, True),  # by the gauge alone where it is cut
        ("thick", 0.1266, True, True),
        ("thin", 0.1276, True, False),
        ("thin", 0.1264, True, False),
        ("thin", 0.2, False, True),  # by its name alone where it is not
        ("thick", 0.127, False, False),
    ],
)
def test_of_what_film_a_support_was_made(name, gauge, whole, alike):
    made = MadeSo(("thin", "plain", "cut", 0), 0.127, cut=whole)
    assert made.is_of(FilmKind(name=name, gauge=gauge)) is alike


def test_film_that_is_not_at_hand_is_of_its_gauge_or_the_usual_one():
    """Of a usual film all is known; another may be called now as it was then."""
    for name, gauge in (("PET 5 mil", 0.127), ("thin", 0.127), ("PET 5 mil", 0.11)):
        film = MadeSo((name, "plain", "cut", 0), gauge, cut=True).film()
        assert (film in usual_films()) is (name == "PET 5 mil" and gauge == 0.127)
        assert film.name == ("PET 5 mil" if film in usual_films() else Film(gauge=gauge).gauge_text)
        assert film.gauge == gauge
