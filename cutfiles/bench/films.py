"""The film at hand, in one table: kinds of film, and what of them lies on the shelf.

A file of it is TOML: a studio's kinds under [[film]], what is there under [[roll]], [[sheet]] and
[[offcut]], each a length of film of a kind or of a gauge. Either may be left out: kinds follow
from what lies on the shelf, and a shelf from the sizes of the kinds. What exhibits took and left
stands below a line of its own at the end, by exhibit, so that a second run of one begins with the
film of its first.

>>> [kind.name for kind in usual_films()]
['PET 2 mil', 'PET 3 mil', 'PET 4 mil', 'PET 5 mil', 'PET 7 mil', 'PET 10 mil']
"""

import os
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from typing import Any, get_args

from cutfiles.bench.at_hand import (
    LEAST_SIDE,
    USUAL_WIDTH,
    Creases,
    FilmAtHand,
    FilmKind,
    Form,
    Grain,
    Supply,
    SupplyForm,
    Taken,
)
from cutfiles.bench.film import AS_GAUGE, THICKEST, THINNEST, Coating, Film
from cutfiles.errors import Fault, FilmsError, Place, place_from
from cutfiles.tables.field import Field, KindName, Table
from cutfiles.tables.load import Wanted, parse_toml, read_summed
from cutfiles.tables.record import Record, read_record

BOOKED = "# ---- booked by exhibits: kept by cutfiles, do not edit below this line ----"
SAME_GAUGE = 0.005
"""Gauges that differ by less, relatively, are one."""

BLANK = """\
# Films at hand: one [[film]] each. Choose a film in a slip by film = "…" under [support], or by
# its gauge.

[[film]]
name = "flat sheets 5 mil"     # what slips call it
gauge = "5 mil"                # of one film: "5 mil", "127 µm", "0.127 mm"
modulus = 4000                 # MPa, from the maker's table; leave it out for 4000
coating = "uncoated"           # uncoated, coated or unknown; only uncoated film goes into a laser
form = "sheet"                 # sheet or roll; film from a roll starts bowed
sizes = ["500 x 700 mm"]       # of a sheet; of a roll its width: "1016 mm"
grain = "unknown"              # long, short, none or unknown: which way the film is stiffer
price = "3.40 a sheet"         # any text, or leave it out
source = "supplier's table"
"""


# -- as declared -----------------------------------------------------------------------------------


def _choice(name: str, help: str, choices: tuple[str, ...]) -> Field:
    return Field(name, "choice", help, choices[0], choices=choices)


def _gauge(needed: bool) -> Field:
    return Field(
        "gauge",
        "length",
        "thickness of one film",
        "5 mil",
        THINNEST,
        THICKEST,
        needed=needed,
        hint=AS_GAUGE,
    )


def _text(name: str, kind: KindName, help: str, example: str, needed: bool = False) -> Field:
    return Field(name, kind, help, example, most=500, needed=needed)


KIND = Table(
    "a film",
    (
        _text("name", "loose", "what slips call it", "flat sheets 5 mil", needed=True),
        _gauge(needed=True),
        Field("modulus", "number", "MPa, from the maker's table", "4000", 500, 10_000),
        _choice("coating", "whether it has a coat", get_args(Coating)),
        _choice("form", "flat sheets or a roll", get_args(Form)),
        Field("sizes", "size", "width x height, or a roll's width", "500 x 700 mm", many=True),
        _choice("grain", "which way it is stiffer", get_args(Grain)),
        _text("price", "loose", "as people say it", "3.40 a sheet"),
        _text("source", "loose", "where the numbers come from", "supplier's table"),
    ),
    correct="look into the maker's table and correct it",
)


def _supply(form: str) -> Table:
    long = Field("length", "length", "of the film", "1016 mm", LEAST_SIDE, 1_000_000)
    return Table(
        f"a {form}" if form != "offcut" else "an offcut",
        (
            _text("name", "exact", "how people call it", f"{form} 1"),
            _text("film", "loose", "the kind it is of, by name, instead of a gauge", "PET 5 mil"),
            _gauge(needed=False),
            Field("width", "length", "across", "610 mm", LEAST_SIDE, 5000, needed=True),
            long._replace(needed=form != "roll"),
            Field("count", "whole", "how many there are", "20", 0, 1_000_000),
            Field("price", "number", "without a currency", "4.20", 0, 1_000_000),
            _choice("creases", "how they may run to the film's length", get_args(Creases)),
            _text("left_by", "exact", "which exhibit left it", "spring show"),
        ),
    )


AT_HAND = Table(
    "film at hand",
    (),
    (
        ("film", KIND),
        *((form, _supply(form)) for form in get_args(SupplyForm)),
        (
            "taken",
            Table(
                "what an exhibit took",
                (
                    _text("by", "exact", "the exhibit", "spring show", needed=True),
                    _text("name", "exact", "of what", "roll 1", needed=True),
                    Field("taken", "number", "how much", "1", 0, 1e9, needed=True),
                ),
                most=20_000,
            ),
        ),
    ),
    see="it has [[film]], [[roll]], [[sheet]], [[offcut]] and [[taken]]; correct or remove it",
)
FILMS_FILE = Wanted(
    "a table of films",
    "a table of films",
    "check its name and folder, or begin with a blank one",
    "put every text and every measure with a unit in quotation marks; compare it with a blank one",
    "films",
)


# -- reading ---------------------------------------------------------------------------------------


@cache
def usual_films() -> tuple[FilmKind, ...]:
    """Return the kinds counted as at hand where no others are named, thinnest first."""
    # read once: three readings cost a draft a sixth of its time, and it is frozen all through;
    # not by importlib.resources: it would cost a short process a tenth of its start
    path = os.path.join(os.path.dirname(__file__), "films.toml")
    with open(path, "rb") as file:
        return films_from(tomllib.load(file), "packaged table of films").kinds


def read_films(path: str | os.PathLike[str]) -> FilmAtHand:
    """Return the film at hand in a TOML file.

    Raises:
        FileError: the file cannot be read, or is no TOML.
        FilmsError: it has faults; all of them are in it.

    """
    place = Place(file=f"films {os.path.basename(os.fspath(path))}")
    text, checksum = read_summed(path, place, FILMS_FILE)
    found = films_from(parse_toml(text, place, FILMS_FILE), place)
    return replace(found, head=text.partition(BOOKED)[0], checksum=checksum)


def films_from(values: Mapping[str, Any], source: Place | str = "films") -> FilmAtHand:
    """Return the film at hand of a mapping, read as from a file.

    Raises:
        FilmsError: all faults together.

    >>> films_from({"film": [{"name": "mine", "gauge": "75 µm"}]}).kinds[0].gauge
    0.075
    >>> films_from({"roll": [{"gauge": "5 mil", "width": "1016 mm"}]}).shelf[0].name
    'roll 1'

    """
    record = read_record(AT_HAND, values, place_from(source))
    faults = [*record.faults, *_contradictions(record)]
    if faults:
        raise FilmsError(tuple(faults))
    kinds = tuple(FilmKind(**one.values) for one in record.lists["film"])
    shelf = tuple(_on_shelf(record, kinds))
    taken = tuple(
        Taken(one.values["by"], one.values["name"], one.values["taken"])
        for one in record.lists["taken"]
    )
    if not record.lists["roll"] and not record.lists["sheet"]:
        shelf += tuple(one for kind in kinds for one in _supplies_of(kind))
    return FilmAtHand(
        kinds=tuple(
            replace(kind, square_metre=_square_metre(kind.gauge, shelf))
            for kind in sorted(kinds or kinds_on(shelf), key=lambda kind: kind.gauge)
        ),
        shelf=shelf,
        taken=taken,
    )


def _name(form: str, record: Record) -> str:
    return str(record.values.get("name", f"{form} {record.place.index}"))


def _contradictions(record: Record) -> Iterator[Fault]:
    """Yield what in a table of film does not go together."""
    lists, kinds = record.lists, record.lists["film"]
    supplies = [(form, one) for form in get_args(SupplyForm) for one in lists[form]]
    if not kinds and not supplies and not record.faults:
        yield Fault(
            record.place.at("film"),
            "no film",
            "each film stands under [[film]], [[roll]], [[sheet]] or [[offcut]]",
            "compare it with a blank one",
            "quote-films",
        )
    yield from _twins([(one.place, str(one.values.get("name", "")).casefold()) for one in kinds])
    yield from _twins([(one.place, _name(form, one)) for form, one in supplies])
    gauges = {str(one.values.get("name", "")).casefold(): one.values.get("gauge") for one in kinds}
    for _, one in supplies:
        yield from _gauge_faults(one, gauges)


def _twins(named: list[tuple[Place, str]]) -> Iterator[Fault]:
    first: dict[str, Place] = {}
    for place, name in named:
        twin = first.setdefault(name, place)
        if name and twin is not place:
            yield Fault(
                replace(place, field="name"),
                f'"{name}", which {twin.table} {twin.index} has too',
                "each film has a name of its own",
                "give one of them another name",
            )


def _gauge_faults(supply: Record, gauges: Mapping[str, float | None]) -> Iterator[Fault]:
    """Yield what is wrong with the gauge of a supply: its kind's, or its own."""
    name, own = supply.values.get("film"), supply.values.get("gauge")
    if name is None and own is None and not supply.bad & {"film", "gauge"}:
        yield Fault(
            replace(supply.place, field="gauge"),
            "nothing",
            "gauge is needed: thickness of one film",
            'write gauge = "5 mil"',
            "fill-in",
        )
    elif name is not None and name.casefold() not in gauges:
        yield Fault(
            replace(supply.place, field="film"),
            f'"{name}"',
            "a [[film]] of this name is needed",
            "correct the name, or write a gauge instead",
        )
    elif name is not None and own is not None:
        of_kind = gauges[name.casefold()]
        if of_kind is not None and abs(own / of_kind - 1) > SAME_GAUGE:
            yield Fault(
                replace(supply.place, field="gauge"),
                f"{own:g} mm",
                f'the film "{name}" is {of_kind:g} mm',
                "give the film's name or a gauge, not both",
            )


def _on_shelf(record: Record, kinds: tuple[FilmKind, ...]) -> Iterator[Supply]:
    gauges = {kind.name.casefold(): kind.gauge for kind in kinds}
    for form in get_args(SupplyForm):
        for one in record.lists[form]:
            values = dict(one.values)
            kind = values.pop("film", "")
            values.setdefault("count", 1 if form == "offcut" else None)
            values["gauge"] = gauges[kind.casefold()] if kind else values["gauge"]
            values["name"] = _name(form, one)
            yield Supply(**{"form": form, "length": None, **values})


def _supplies_of(kind: FilmKind) -> Iterator[Supply]:
    """Yield what lies on the shelf of a kind, of which only sizes are told: as many as needed."""
    for width, length in kind.sizes or ((USUAL_WIDTH, 0.0),):
        if width < LEAST_SIDE or 0 < length < LEAST_SIDE:
            continue
        size = f" {width:g} × {length:g} mm" if length else f" {width:g} mm"
        yield Supply(
            form="sheet" if length else "roll",
            name=kind.name + (size if len(kind.sizes) > 1 else ""),
            gauge=kind.gauge,
            width=width,
            length=length or None,
        )


def _square_metre(gauge: float, shelf: tuple[Supply, ...]) -> float | None:
    """Return what 1 m² of a gauge costs; a roll's price is that of a metre. None if not known."""
    costs = [
        one.price / (one.width * (1000.0 if one.form == "roll" else one.length or 0.0) / 1e6)
        for one in shelf
        if one.price is not None and one.holds(gauge) and (one.form == "roll" or one.length)
    ]
    return min(costs, default=None)


def kinds_on(shelf: tuple[Supply, ...]) -> tuple[FilmKind, ...]:
    """Return a kind for each gauge on the shelf, called as the first supply that has a name.

    One that is only numbered ("roll 1") gives no name: of its gauge others lie there too, or will.
    None where something there stands for any gauge: then the usual kinds are at hand.
    """
    return () if any(one.gauge == 0 for one in shelf) else tuple(_kinds_on(shelf))


def _kinds_on(shelf: tuple[Supply, ...]) -> Iterator[FilmKind]:
    seen: list[float] = []
    for one in sorted(shelf, key=lambda one: (bool(one.left_by), _is_numbered(one))):
        if not any(abs(gauge / one.gauge - 1) < SAME_GAUGE for gauge in seen):
            seen.append(one.gauge)
            form: Form = "roll" if one.form == "roll" else "sheet"
            name = Film(gauge=one.gauge).gauge_text if _is_numbered(one) else one.name
            yield FilmKind(name=name, gauge=one.gauge, form=form)


def _is_numbered(supply: Supply) -> bool:
    """Whether a supply was given no name, and is called by its place in the table."""
    form, _, number = supply.name.rpartition(" ")
    return form == supply.form and number.isdecimal()
