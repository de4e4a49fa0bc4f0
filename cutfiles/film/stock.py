"""The film at hand: rolls, sheets and offcuts, from a stock file; what an exhibit takes and leaves.

A stock file is TOML:

    [[roll]]
    gauge = "5 mil"
    width = "1016 mm"
    length = "30 m"            # left on it; leave it out if that does not matter
    price = 9.50               # a metre
    creases = "any"            # or "along" or "across" its length, where the grain matters

    [[sheet]]
    gauge = "3 mil"
    width = "610 mm"
    length = "1016 mm"
    count = 20
    price = 4.20               # a sheet

    [[offcut]]
    gauge = "5 mil"
    width = "400 mm"
    length = "700 mm"

What exhibits take and leave is kept below a line of its own at the end of the file, by exhibit, so
that a second run of the same exhibit begins with the same stock.
"""

import os
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, get_args

from cutfiles.bench.blank import quoted
from cutfiles.errors import Fault, FileError, ReadingError, SlipError, place_from
from cutfiles.units import read_length

Form = Literal["offcut", "sheet", "roll"]
Creases = Literal["any", "along", "across"]

LEAST_SIDE = 140.0
"""A smaller piece of film holds no check line and marks, mm."""
BOOKED = "# ---- booked by exhibits: kept by cutfiles, do not edit below this line ----"
_KEYS = {"name", "gauge", "width", "length", "count", "price", "creases", "left_by"}
_GAUGE_STEP = 0.0005


@dataclass(frozen=True, slots=True, kw_only=True)
class StockFilm:
    """One kind of film at hand.

    Attributes:
        form: offcut, sheet or roll.
        name: how people call it.
        gauge: mm, 0 stands for any.
        width: across, mm.
        length: mm; of a roll what is left on it, or None where that does not matter.
        count: how many there are, None for as many as needed.
        price: of a sheet or offcut, or of a metre of a roll, or None.
        creases: how the creases may run to its length.
        left_by: which exhibit left this offcut, or empty.

    """

    form: Form
    name: str
    gauge: float
    width: float
    length: float | None
    count: int | None = None
    price: float | None = None
    creases: Creases = "any"
    left_by: str = ""

    def holds(self, gauge: float) -> bool:
        """Whether it is film of this gauge."""
        return self.gauge == 0 or abs(self.gauge - gauge) < _GAUGE_STEP

    @property
    def ways(self) -> tuple[bool, ...]:
        """Whether a pattern may lie as drawn (False), turned a quarter (True), or both.

        The length of film runs up; the creases of a pattern run up too.
        """
        match self.creases:
            case "any":
                return (False, True)
            case "along":
                return (False,)
            case "across":
                return (True,)


@dataclass(frozen=True, slots=True)
class Stock:
    """All film at hand.

    Attributes:
        films: in the order of the file.
        taken: exhibit, name of a film and how much of it was taken: pieces, or mm of a roll.
        head: what the user wrote, as it stands.

    """

    films: tuple[StockFilm, ...]
    taken: tuple[tuple[str, str, float], ...] = field(default=())
    head: str = ""

    def for_exhibit(self, exhibit: str) -> tuple[StockFilm, ...]:
        """Return what an exhibit finds: without what others took, offcuts first.

        An exhibit that was made before begins with the film of its first run. So neither its own
        offcuts are there nor those of exhibits that came after it: they may be cut from its own.
        """
        booked = list(dict.fromkeys(who for who, _, _ in self.taken))
        later = {exhibit, *booked[booked.index(exhibit) :]} if exhibit in booked else {exhibit}
        out = []
        for film in self.films:
            if film.left_by and film.left_by in later:
                continue
            gone = sum(n for who, name, n in self.taken if name == film.name and who != exhibit)
            if film.form == "roll":
                length = None if film.length is None else max(0.0, film.length - gone)
                out.append(_with(film, length=length))
            else:
                count = None if film.count is None else max(0, film.count - round(gone))
                out.append(_with(film, count=count))
        return tuple(sorted(out, key=lambda film: get_args(Form).index(film.form)))


def _with(film: StockFilm, **changes: Any) -> StockFilm:
    from dataclasses import replace

    return replace(film, **changes)


USUAL_STOCK = Stock(
    (StockFilm(form="roll", name="roll 1016 mm", gauge=0.0, width=1016.0, length=None),)
)
"""Where no stock is named: rolls 1016 mm (40 in) wide of any gauge (common practice, no source)."""


def read_stock(path: str | os.PathLike[str]) -> Stock:
    """Return the stock in a file.

    Raises:
        FileError: it cannot be read.
        SlipError: all that is wrong in it.

    """
    name = os.path.basename(os.fspath(path))
    try:
        text = Path(path).read_bytes().decode("utf-8-sig")
        data = tomllib.loads(text.replace("\r\n", "\n"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        said = getattr(error, "strerror", None) or str(error)
        raise FileError(
            said.lower(),
            "a stock file is TOML text that can be read",
            "see cutfiles exhibit --help for an example",
            name,
        ) from None
    faults: list[Fault] = []
    films = list(_films(data, name, faults))
    for twin in {film.name for film in films if [f.name for f in films].count(film.name) > 1}:
        faults.append(
            Fault(
                place_from(name),
                f'two films named "{twin}"',
                "each has a name of its own",
                "give one of them another name",
            )
        )
    if not films and not faults:
        faults.append(
            Fault(
                place_from(name),
                "no film",
                "a stock has rolls, sheets or offcuts",
                "write [[roll]] with gauge and width",
            )
        )
    if faults:
        raise SlipError(tuple(faults))
    taken = tuple(
        (str(one["by"]), str(one["name"]), float(one["taken"])) for one in data.get("taken", [])
    )
    return Stock(tuple(films), taken, text.partition(BOOKED)[0])


def _films(data: dict[str, Any], name: str, faults: list[Fault]) -> Iterator[StockFilm]:
    for key in data.keys() - {*get_args(Form), "taken"}:
        faults.append(
            Fault(
                place_from(f"{name}, {key}"),
                f'"{key}"',
                "a stock has [[roll]], [[sheet]] and [[offcut]]",
                "correct or remove it",
            )
        )
    for form in get_args(Form):
        entries = data.get(form, [])
        for number, entry in enumerate(entries if isinstance(entries, list) else [], start=1):
            film = _film(form, entry, f"{name}, {form} {number}", number, faults)
            if film is not None:
                yield film


def _film(
    form: Form, entry: dict[str, Any], place: str, number: int, faults: list[Fault]
) -> StockFilm | None:
    before = len(faults)

    def fault(key: str, needed: str, remedy: str) -> None:
        faults.append(
            Fault(place_from(f"{place}, {key}"), f'"{entry.get(key, "nothing")}"', needed, remedy)
        )

    def length(key: str, least: float, most: float) -> float | None:
        if key not in entry:
            return None
        try:
            value = read_length(entry[key])
        except ReadingError as error:
            fault(key, error.fault.needed, error.fault.remedy)
            return None
        if not least <= value <= most:
            fault(key, f"from {least:g} to {most:g} mm", "measure it again")
        return value

    for key in entry.keys() - _KEYS:
        fault(key, "one of " + ", ".join(sorted(_KEYS - {"left_by"})), "correct or remove it")
    gauge, width = length("gauge", 0.012, 0.6), length("width", LEAST_SIDE, 5000)
    long = length("length", LEAST_SIDE, 1_000_000)
    for key, value in (("gauge", gauge), ("width", width), ("length", long)):
        if value is None and key not in entry and not (form == "roll" and key == "length"):
            fault(
                key,
                "it is needed",
                f'write {key} = "610 mm"' if key != "gauge" else 'write gauge = "5 mil"',
            )
    count = entry.get("count", 1 if form == "offcut" else None)
    if count is not None and (not isinstance(count, int) or isinstance(count, bool) or count < 0):
        fault("count", "a whole number", "count them")
    price = entry.get("price")
    if price is not None and (not isinstance(price, int | float) or price < 0):
        fault("price", "a number", "write it without a currency, as in 4.20")
    creases = entry.get("creases", "any")
    if creases not in get_args(Creases):
        fault("creases", '"any", "along" or "across"', "choose one of them")
    if len(faults) > before or gauge is None or width is None:
        return None
    return StockFilm(
        form=form,
        name=str(entry.get("name", f"{form} {number}")),
        gauge=gauge,
        width=width,
        length=long,
        count=count,
        price=price,
        creases=creases,
        left_by=str(entry.get("left_by", "")),
    )


def stock_from_text(text: str) -> StockFilm:
    """Return film named in a word on the command line, of any gauge.

    Raises:
        ReadingError: it cannot be read.

    >>> stock_from_text("roll 1016 mm").width, stock_from_text("sheet 24 in x 40 in").length
    (1016.0, 1016.0)

    """
    match = re.fullmatch(r"(roll|sheet)\s+(.+?)(?:\s*[x×]\s*(.+))?", text.strip())
    if match is None or (match[1] == "sheet") != bool(match[3]):
        raise ReadingError(
            f'"{text}"',
            "a stock is a file, a roll or a sheet",
            'write "roll 1016 mm", "sheet 610 mm x 1016 mm", or name a stock file',
        )
    form: Form = "roll" if match[1] == "roll" else "sheet"
    width = read_length(match[2])
    length = read_length(match[3]) if match[3] else None
    if min(width, length or width) < LEAST_SIDE:
        raise ReadingError(
            f'"{text}"', f"film is at least {LEAST_SIDE:g} mm either way", "name a larger one"
        )
    return StockFilm(form=form, name=text.strip(), gauge=0.0, width=width, length=length)


def stock_text(stock: Stock, exhibit: str, taken: dict[str, float], left: list[StockFilm]) -> bytes:
    """Return the stock file after an exhibit: what the user wrote, then what exhibits booked."""
    lines = [stock.head.rstrip("\n"), "", BOOKED]
    now = [(exhibit, name, amount) for name, amount in sorted(taken.items())]
    at = next((i for i, one in enumerate(stock.taken) if one[0] == exhibit), len(stock.taken))
    before, after = (
        [one for one in part if one[0] != exhibit] for part in (stock.taken[:at], stock.taken[at:])
    )
    for who, name, amount in [*before, *now, *after]:
        lines += [
            "",
            "[[taken]]",
            f"by = {quoted(who)}",
            f"name = {quoted(name)}",
            f"taken = {round(amount, 1)!r}",
        ]
    kept = [film for film in stock.films if film.left_by and film.left_by != exhibit]
    for film in [*kept, *left]:
        lines += [
            "",
            "[[offcut]]",
            f"name = {quoted(film.name)}",
            f"left_by = {quoted(film.left_by)}",
            f"gauge = {quoted(f'{film.gauge:g} mm')}",
            f"width = {quoted(f'{film.width:g} mm')}",
            f"length = {quoted(f'{film.length:g} mm')}",
            f'creases = "{film.creases}"',
        ]
    return ("\n".join(lines) + "\n").encode()
