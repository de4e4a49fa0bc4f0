"""The films at hand, as data: the packaged table of usual gauges, or a studio's own in a TOML file.

>>> [stock.name for stock in usual_films()]
['PET 2 mil', 'PET 3 mil', 'PET 4 mil', 'PET 5 mil', 'PET 7 mil', 'PET 10 mil']
"""

import math
import os
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

from cutfiles.bench.film import MODULUS, Coating, Film, Layers
from cutfiles.errors import Fault, FilmsError, ReadingError, place_from
from cutfiles.tables.load import Wanted, load_toml
from cutfiles.units import read_length, read_number

Form = Literal["sheet", "roll", "unknown"]
Grain = Literal["long", "short", "none", "unknown"]

THINNEST, THICKEST = 0.012, 0.6
"""Gauges allowed, mm."""
FILMS_FILE = Wanted(
    "a table of films",
    "a table of films",
    "check its name and folder, or write one from: cutfiles films --blank",
    "put every text and every measure with a unit in quotation marks; compare it with: "
    "cutfiles films --blank",
)
_FIELDS = ("name", "gauge", "modulus", "coating", "form", "sizes", "grain", "price", "source")

BLANK = """\
# Films at hand: one [[film]] each. Give this file with --films, and choose a film in a slip by
# film = "…" under [support], or by its gauge.

[[film]]
name = "flat sheets 5 mil"     # what slips call it
gauge = "5 mil"                # of one film: "5 mil", "127 µm", "0.127 mm"
modulus = 4000                 # MPa, from the maker's table; leave it out for 4000
coating = "uncoated"           # uncoated, coated or unknown; only uncoated film goes into a laser
form = "sheet"                 # sheet or roll; film from a roll starts bowed
sizes = ["500 x 700 mm"]       # of a sheet; of a roll its width: "1016 mm"
grain = "unknown"              # long, short, none or unknown: which way the film is stiffer
price = "3.40 a sheet"         # any text, or leave it out
source = "supplier's data sheet"
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """One film at hand.

    Attributes:
        name: what slips call it.
        gauge: thickness, mm.
        modulus: short-term modulus of elasticity, MPa.
        coating: whether it has a coat.
        form: flat sheets, or a roll.
        sizes: width and height of each sheet, mm; of a roll its width, and 0 for as long as it is.
        grain: the stiffer direction of a sheet.
        price: as written.
        source: where the numbers come from.

    """

    name: str
    gauge: float
    modulus: float = MODULUS
    coating: Coating = "unknown"
    form: Form = "unknown"
    sizes: tuple[tuple[float, float], ...] = ()
    grain: Grain = "unknown"
    price: str = ""
    source: str = ""

    def film(self, layers: Layers) -> Film:
        """Return it as the film of a support."""
        return Film(
            gauge=self.gauge,
            layers=layers,
            modulus=self.modulus,
            coating=self.coating,
            name=self.name,
        )


def usual_films() -> tuple[Stock, ...]:
    """Return the packaged table: the usual gauges of plain polyester film."""
    # not by importlib.resources: it would cost a short process a tenth of its start
    path = os.path.join(os.path.dirname(__file__), "films.toml")
    with open(path, "rb") as file:
        return films_from(tomllib.load(file), "packaged table of films")


def read_films(path: str | os.PathLike[str]) -> tuple[Stock, ...]:
    """Return a studio's own films from a TOML file.

    Raises:
        FileError: the file cannot be read, or is no TOML.
        FilmsError: it has faults; all of them are in it.

    """
    place = f"films {os.path.basename(os.fspath(path))}"
    return films_from(load_toml(path, place_from(place), FILMS_FILE), place)


def films_from(values: Mapping[str, Any], source: str = "films") -> tuple[Stock, ...]:
    """Return the films of a mapping, by gauge; read as from a file.

    Raises:
        FilmsError: all faults together.

    >>> films_from({"film": [{"name": "mine", "gauge": "75 µm"}]})[0].gauge
    0.075

    """
    faults: list[Fault] = []
    rows = values.get("film")
    if not isinstance(rows, list) or not rows or not all(isinstance(r, Mapping) for r in rows):
        raise FilmsError(
            (
                Fault(
                    place_from(f"{source}, film"),
                    f'"{rows}"' if rows else "no film",
                    "each film stands under [[film]]",
                    "compare it with: cutfiles films --blank",
                ),
            )
        )
    faults += [
        Fault(
            place_from(f"{source}, {key}"),
            f'"{key}"',
            "only [[film]] stands here",
            "correct or remove it",
        )
        for key in values
        if key != "film"
    ]
    stocks = [_stock(row, f"{source}, film {i}", faults) for i, row in enumerate(rows, 1)]
    names: dict[str, int] = {}
    for i, stock in enumerate(stocks, 1):
        twin = names.setdefault(stock.name.casefold(), i)
        if stock.name and twin != i:
            faults.append(
                Fault(
                    place_from(f"{source}, film {i}, name"),
                    f'"{stock.name}", which film {twin} has too',
                    "each film has a name of its own",
                    "give one of them another name",
                )
            )
    if faults:
        raise FilmsError(tuple(faults))
    return tuple(sorted(stocks, key=lambda stock: stock.gauge))


def _stock(row: Mapping[str, Any], place: str, faults: list[Fault]) -> Stock:
    """Return one film, its faults added to the list."""
    for name in row:
        if name not in _FIELDS:
            faults.append(
                Fault(
                    place_from(f"{place}, {name}"),
                    f'"{name}"',
                    "a film has no such field",
                    f"it has {', '.join(_FIELDS)}",
                )
            )

    def tried(name: str, read: Any, otherwise: Any) -> Any:
        if row.get(name, "") == "":
            return otherwise
        try:
            return read(row[name])
        except ReadingError as error:
            fault = error.fault
            faults.append(
                Fault(place_from(f"{place}, {name}"), fault.found, fault.needed, fault.remedy)
            )
            return otherwise

    for name, example in (("name", "flat sheets 5 mil"), ("gauge", "5 mil")):
        if row.get(name, "") == "":
            faults.append(
                Fault(
                    place_from(f"{place}, {name}"),
                    "nothing",
                    f"{name} is needed",
                    f'write {name} = "{example}"',
                )
            )
    return Stock(
        name=tried("name", _text, ""),
        gauge=tried("gauge", _gauge, 0.0),
        modulus=tried("modulus", _modulus, MODULUS),
        coating=tried("coating", _word(get_args(Coating)), "unknown"),
        form=tried("form", _word(get_args(Form)), "unknown"),
        sizes=tried("sizes", _sizes, ()),
        grain=tried("grain", _word(get_args(Grain)), "unknown"),
        price=tried("price", _text, ""),
        source=tried("source", _text, ""),
    )


def _text(value: Any) -> str:
    text = " ".join(str(value).split())
    if isinstance(value, list | dict | bool) or not text.isprintable() or len(text) > 200:
        raise ReadingError(
            f'"{text[:60]}"', "a text of at most 200 printable characters is needed", "correct it"
        )
    return text


def _gauge(value: Any) -> float:
    gauge = read_length(value, None)
    if not THINNEST <= gauge <= THICKEST:
        raise ReadingError(
            f'"{value}"',
            f"a gauge is from {THINNEST:g} to {THICKEST:g} mm",
            'write it as "5 mil" or "0.127 mm"',
        )
    return gauge


def _modulus(value: Any) -> float:
    number = read_number(value)
    if not 500 <= number <= 10000:
        raise ReadingError(
            f'"{value}"',
            "a film's modulus is from 500 to 10000 MPa",
            "write it in MPa, as in 4000 (1 GPa is 1000 MPa)",
        )
    return number


def _word(words: tuple[str, ...]) -> Any:
    def read(value: Any) -> str:
        if value not in words:
            raise ReadingError(f'"{value}"', f"it is {', '.join(words)}", "choose one of them")
        return str(value)

    return read


def _sizes(value: Any) -> tuple[tuple[float, float], ...]:
    if not isinstance(value, list):
        raise ReadingError(f'"{value}"', "sizes is a list", 'write sizes = ["500 x 700 mm"]')
    return tuple(_size(text) for text in value)


def _size(value: Any) -> tuple[float, float]:
    """Read ``500 x 700 mm`` (a sheet) or ``1016 mm`` (a roll's width; its length counts as 0)."""
    parts = re.split(r"\s*[x×*]\s*", str(value).strip())
    unit = re.search(r"[^\d.,/\s-].*$", parts[-1])
    if len(parts) == 2 and unit and not re.search(r"[^\d.,/\s-]", parts[0]):
        parts[0] += unit[0]
    sizes = [read_length(part) for part in parts]
    if len(sizes) not in (1, 2) or not all(size > 0 and math.isfinite(size) for size in sizes):
        raise ReadingError(
            f'"{value}"',
            "a size is width x height, or the width of a roll",
            'write "500 x 700 mm" or "1016 mm"',
        )
    return sizes[0], sizes[1] if len(sizes) == 2 else 0.0
