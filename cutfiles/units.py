"""Lengths, weights and angles as people write them; the only conversions of the project.

Everything inside is in mm, g and degrees (radians from the support onwards). A bare number counts
only where the slip says its units; nothing is guessed.

>>> read_length('5-1/4"'), read_length("20,3 cm"), read_length(203, "mm")
(133.35, 203.0, 203.0)
>>> round(read_weight("1 lb 6 oz"), 2), read_angle("120°")
(623.69, 120.0)
"""

import itertools
import math
import re
from collections.abc import Mapping
from typing import Literal, NamedTuple, NoReturn, get_args

from cutfiles.errors import ReadingError, shown

Units = Literal["mm", "cm", "in"]
UNITS: tuple[Units, ...] = get_args(Units)

MM_PER_INCH = 25.4
MM_PER_MIL = 0.0254
GRAMS_PER_OUNCE = 28.349523125


class Kind(NamedTuple):
    """One kind of measure: its units with their sizes, and how to ask for it.

    Attributes:
        name: "length", "weight" or "angle".
        sizes: size of each unit in mm, g or degrees.
        names: every way of writing a unit, to the unit.
        chains: units that may follow one another in one measure, largest first.
        bare: the unit of a bare number for each `units` of a slip; a missing one is refused.
        example: how a right one looks.

    """

    name: str
    sizes: Mapping[str, float]
    names: Mapping[str, str]
    chains: tuple[tuple[str, ...], ...]
    bare: Mapping[str, str]
    example: str


def _names(**spellings: str) -> dict[str, str]:
    return {word: unit for unit, words in spellings.items() for word in words.split()}


LENGTH = Kind(
    name="length",
    sizes={
        "mm": 1.0,
        "cm": 10.0,
        "m": 1000.0,
        "inch": MM_PER_INCH,
        "ft": 12 * MM_PER_INCH,
        "mil": MM_PER_MIL,
        "um": 0.001,
    },
    names=_names(
        mm="mm mm. millimetre millimetres millimeter millimeters",
        cm="cm cm. centimetre centimetres centimeter centimeters zentimeter",
        m="m metre metres meter meters",
        inch='in in. ins ins. inch inches zoll pouce pouces pulgada pulgadas "',
        ft="ft ft. foot feet '",
        mil="mil mils thou",
        um="um micron microns micrometre micrometres micrometer micrometers",
    ),
    chains=(("ft", "inch"), ("m", "cm", "mm")),
    bare={"mm": "mm", "cm": "cm", "in": "inch"},
    example='"203 mm", "20.3 cm" or "8 in"',
)
WEIGHT = Kind(
    name="weight",
    sizes={"g": 1.0, "kg": 1000.0, "oz": GRAMS_PER_OUNCE, "lb": 16 * GRAMS_PER_OUNCE},
    names=_names(
        g="g g. gr gram grams gramme grammes gramm gramos",
        kg="kg kg. kilo kilos kilogram kilograms kilogramme kilogrammes kilogramm",
        oz="oz oz. ounce ounces",
        lb="lb lb. lbs lbs. pound pounds",
    ),
    chains=(("lb", "oz"), ("kg", "g")),
    bare={"mm": "g", "cm": "g"},
    example='"641 g", "0.64 kg" or "1 lb 6 oz"',
)
ANGLE = Kind(
    name="angle",
    sizes={"deg": 1.0, "min": 1 / 60},
    names=_names(deg="° º deg deg. degree degrees grad degré degrés grados", min="' min arcmin"),
    chains=(("deg", "min"),),
    bare={"mm": "deg", "cm": "deg", "in": "deg", "": "deg"},
    example='"120" or "120°"',
)

_VULGAR = {
    "¼": "1/4",
    "½": "1/2",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅕": "1/5",
    "⅖": "2/5",
    "⅗": "3/5",
    "⅘": "4/5",
    "⅙": "1/6",
    "⅚": "5/6",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_PLAIN = str.maketrans(
    {
        **{sign: f" {text}" for sign, text in _VULGAR.items()},
        **dict.fromkeys("“”„‟″＂˝", '"'),
        **dict.fromkeys("‘’‚‛′＇´`", "'"),
        **dict.fromkeys("−–‐‑", "-"),
        **dict.fromkeys("\u00a0\u2009\u202f\u2007\t\r\n", " "),
        **dict.fromkeys("µμ", "u"),
        "⁄": "/",
    }
)
_TERM = r"""\s*(?:
        (?:(?P<whole>\d+)(?:\s*-\s*|\s+))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)
      | (?P<plain>\d+(?:[.,]\d+)?|[.,]\d+)
    )\s*(?P<unit>[^\W\d_]+\.?|"|'|°|º)?"""
_LONGEST = 60
"""A longer text is no measure, characters; what is shorter fits a number of the machine."""
_THOUSANDS = r"[1-9]\d{0,2},\d{3}"


def read_length(value: object, units: Units | None = None) -> float:
    r"""Return a length in mm, read as people write it.

    Args:
        value: text such as ``9' 1"``, ``5¼ in``, ``20,3 cm``, ``5 mil``, or a bare number.
        units: what a bare number counts in; without it a bare number is refused.

    Raises:
        ReadingError: names the text and what is wrong with it.

    >>> read_length("9 ft 1 in") == 109 * 25.4, read_length("5 1/4 in"), read_length("127 µm")
    (True, 133.35, 0.127)

    """
    return _read(LENGTH, value, units)


def read_weight(value: object, units: Units | None = None) -> float:
    """Return a weight in g; a bare number is grams, and only under metric `units`.

    Raises:
        ReadingError: names the text and what is wrong with it.

    >>> read_weight("0.64 kg")
    640.0

    """
    return _read(WEIGHT, value, units)


def read_angle(value: object, units: Units | None = None) -> float:
    """Return an angle in degrees; a bare number is degrees whatever the slip's units.

    Raises:
        ReadingError: names the text and what is wrong with it.

    >>> read_angle("35° 30'")
    35.5

    """
    return _read(ANGLE, value, units)


def read_size(value: object, units: Units | None = None) -> tuple[float, float]:
    """Return width and height in mm; of a single length the height is 0: as long as it is.

    A unit at the end counts for both.

    Raises:
        ReadingError: names the text and what is wrong with it.

    >>> read_size("500 x 700 mm"), read_size("20 in × 24 in"), read_size("1016 mm")
    ((500.0, 700.0), (508.0, 609.5999999999999), (1016.0, 0.0))

    """
    text = value.strip() if isinstance(value, str) and len(value) <= _LONGEST else ""
    parts = re.split(r"\s*[x×*]\s*", text)
    unit = re.search(r"[^\d.,/\s-].*$", parts[-1])
    if len(parts) == 2 and unit and not re.search(r"[^\d.,/\s-]", parts[0]):
        parts[0] += unit[0]
    sizes = [read_length(part, units) for part in parts[:3] if part]
    if len(sizes) != len(parts) or len(sizes) > 2 or min(sizes) <= 0:
        raise ReadingError(
            shown(value),
            "a size is width x height, or the width of a roll",
            'write "500 x 700 mm" or "1016 mm"',
        )
    return sizes[0], sizes[1] if len(sizes) == 2 else 0.0


def plain_signs(text: str) -> str:
    """Return a text with fractions, marks of inches and feet, dashes and spaces in plain signs.

    >>> plain_signs("9½ in – 5″")
    '9 1/2 in - 5"'
    """
    return text.translate(_PLAIN)


def read_number(value: object) -> float:
    """Return a plain number without a unit, from a number or its text.

    Raises:
        ReadingError: names the text.

    >>> read_number("0,8"), read_number("-1")
    (0.8, -1.0)

    """
    if isinstance(value, int | float) and not isinstance(value, bool):
        return _finite(value, "number")
    text = value.strip() if isinstance(value, str) else ""
    plain = text.translate(_PLAIN).lower()
    match = re.fullmatch(_TERM, plain.removeprefix("-"), re.VERBOSE)
    if match is None or match["unit"] or len(text) > _LONGEST:
        raise ReadingError(shown(value), "a plain number is needed here", 'write it as "0.8"')
    number = _size(match, text, "number")
    return -number if plain.startswith("-") else number


def _read(kind: Kind, value: object, units: Units | None) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return _finite(value, kind.name) * kind.sizes[_bare_unit(kind, value, units)]
    if not isinstance(value, str):
        _refuse(kind, value, f"a {kind.name} is a text or a number")
    if len(value) > _LONGEST:
        _refuse(kind, value, f"{kind.name}: one number and its unit, nothing else")
    original = value
    text = original.translate(_PLAIN).replace("''", '"').strip().lower()
    if not text:
        _refuse(kind, value, f"a {kind.name} is needed here")
    negative = text.startswith("-")
    terms = _terms(kind, text.removeprefix("-").strip(), original)
    sizes = [
        number * kind.sizes[unit or _bare_unit(kind, original, units)] for number, unit in terms
    ]
    _check_chain(kind, terms, original)
    total = math.fsum(sizes)
    return -total if negative else total


def _terms(kind: Kind, text: str, original: str) -> list[tuple[float, str]]:
    terms: list[tuple[float, str]] = []
    pattern = re.compile(_TERM, re.VERBOSE)  # here, for the command's help does without it
    at = 0
    while at < len(text):
        match = pattern.match(text, at)
        if match is None or match.end() == at:
            _refuse(kind, original, f"{kind.name}: one number and its unit, nothing else")
        word = match["unit"] or ""
        if word and word not in kind.names:
            _refuse(kind, original, f'"{word}" is no unit of {kind.name}')
        terms.append((_size(match, original, kind.name), kind.names.get(word, "")))
        at = match.end()
    return terms


def _check_chain(kind: Kind, terms: list[tuple[float, str]], original: str) -> None:
    """Refuse `3 in 5 mm`, `9' 14"` and `9' 1`: parts must be named, descend and stay below."""
    if len(terms) == 1:
        return
    used = tuple(unit for _, unit in terms)
    chain = next((chain for chain in kind.chains if set(used) <= set(chain)), None)
    if chain is None or list(used) != [unit for unit in chain if unit in used]:
        _refuse(kind, original, f"the parts of this {kind.name} do not belong together")
    for (_, larger), (number, unit) in itertools.pairwise(terms):
        if number * kind.sizes[unit] >= kind.sizes[larger]:
            _refuse(kind, original, f"its second part is as large as a whole {larger} or larger")


def _size(match: re.Match[str], original: str, name: str) -> float:
    if match["plain"] is not None:
        if re.fullmatch(_THOUSANDS, match["plain"]):
            raise ReadingError(
                shown(original),
                "the comma may be a decimal sign or part thousands from hundreds",
                f'write "{match["plain"].replace(",", ".")}" or '
                f'"{match["plain"].replace(",", "")}", whichever is meant',
            )
        return float(match["plain"].replace(",", "."))
    top, bottom = int(match["top"]), int(match["bottom"])
    whole = int(match["whole"] or 0)
    if bottom == 0 or (match["whole"] is not None and top >= bottom):
        raise ReadingError(
            shown(original),
            f"{top}/{bottom} is no proper fraction",
            f'read the {name} again and write it as "5 1/4"',
        )
    return whole + top / bottom


def _bare_unit(kind: Kind, original: object, units: Units | None) -> str:
    unit = kind.bare.get(units or "")
    if unit is None:
        why = (
            f"a bare number says no {kind.name} under units = {units!r}"
            if units
            else ("a bare number needs units")
        )
        raise ReadingError(
            shown(original), why, f"write its unit, as in {kind.example}", key="unit"
        )
    return unit


def _finite(value: int | float, name: str) -> float:
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ReadingError(
            shown(value),
            f"a {name} is a finite number",
            "measure again and correct it",
            key="correct",
        )
    return number


def _refuse(kind: Kind, value: object, needed: str) -> NoReturn:
    raise ReadingError(shown(value), needed, f"write it as {kind.example}")
