"""Reads the value of one field as its kind asks; a refusal says what would be right."""

import math
import re
import unicodedata
from typing import Any, assert_never

from cutfiles.errors import ReadingError, shown
from cutfiles.tables.field import Field
from cutfiles.units import Units, read_angle, read_length, read_number, read_size, read_weight

_MARKS = frozenset(
    "\u0300\u0301\u0302\u0303\u0304\u0306\u0307\u0308\u030a\u030b\u030c\u0323\u0326\u0327\u0328"
)
_LETTERS = frozenset("ßÆæŒœØøÐðÞþĐđŁłĦħı")
_SIGNS = frozenset(" .,:;!?'\"()[]<>/\\|_-+=*#%&@~°×–—‘’“”·")

MOST_NAMED = 12
"""More choices than this are not all named in a refusal."""


def read_value(one: Field, value: Any, units: Units | None) -> Any:
    """Return a field's value: a text, or a number in mm, g or degrees.

    Raises:
        ReadingError: names the original text, what is needed and what to do.

    """
    match one.kind:
        case "text":
            return _text(one, value)
        case "loose":
            return _text(one, _said(value))
        case "exact":
            return _exact(one, _said(value))
        case "label":
            return _label(one, value)
        case "choice":
            return _choice(one, value)
        case "length":
            return _within(one, value, read_length(value, units))
        case "weight":
            return _within(one, value, read_weight(value, units))
        case "angle":
            return _within(one, value, read_angle(value, units))
        case "number":
            return _within(one, value, read_number(value))
        case "whole":
            return _whole(one, value)
        case "word":
            return _word(one, value)
        case "size":
            return read_size(value, units)
        case _:
            assert_never(one.kind)


def _said(value: Any) -> Any:
    """Return a number as the text it was written as; anything else as it is."""
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return shown(value)[1:-1] if number else value


def _exact(one: Field, value: Any) -> str:
    if not isinstance(value, str) or len(value) > one.most:
        raise ReadingError(
            shown(value),
            f"a text of at most {one.most:g} characters is needed",
            f'write {one.name} = "{one.example}"',
        )
    return value


def _text(one: Field, value: Any) -> str:
    if not isinstance(value, str):
        said = value if isinstance(value, int | float) else one.example
        raise ReadingError(shown(value), "a text is needed", f"write {one.name} = {shown(said)}")
    text = " ".join(unicodedata.normalize("NFC", value).split())
    odd = next((c for c in text if unicodedata.category(c) in ("Cc", "Cs", "Co", "Cn")), None)
    if odd is not None:
        raise ReadingError(
            f"the character U+{ord(odd):04X}", "a text has printable characters", "take it out"
        )
    if len(text) > one.most:
        raise ReadingError(
            f"{len(text)} characters", f"{one.name} has at most {one.most:g}", "shorten it"
        )
    return text


def _label(one: Field, value: Any) -> str:
    """Return the number, which our single-stroke letters must be able to draw."""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) < 10**one.most:
        value = str(value)
    text = _text(one, value)
    for char in unicodedata.normalize("NFD", text):
        if not ((char.isascii() and char.isalnum()) or char in _MARKS | _LETTERS | _SIGNS):
            raise ReadingError(
                shown(text),
                f'the number is drawn on the film, and we have no letter "{char}"',
                "use Latin letters, digits and punctuation; any script may stand in title "
                "and shelf_mark",
            )
    return text


def _choice(one: Field, value: Any) -> str:
    text = value.strip() if isinstance(value, str) else shown(value).strip('"')
    if isinstance(value, bool) or text not in one.choices:
        said = " or ".join(f'"{choice}"' for choice in one.choices)
        if len(one.choices) > MOST_NAMED:
            said = one.help
        import difflib  # only where something was mistyped

        near = difflib.get_close_matches(text[:80], one.choices, 1) if text else []
        remedy = f'did you mean "{near[0]}"?' if near else "choose one of them"
        raise ReadingError(shown(value), f"{one.name} is {said}", remedy)
    return text


def _word(one: Field, value: Any) -> str:
    if not isinstance(value, str) or not re.fullmatch(one.pattern, value):
        raise ReadingError(shown(value), one.help, f'write it as "{one.example}"')
    return value


def _whole(one: Field, value: Any) -> int:
    number = read_number(value)
    if number != int(number):
        raise ReadingError(shown(value), f"{one.name} is a whole number", "", key="correct")
    return int(_within(one, value, number))


def _within(one: Field, value: Any, number: float) -> float:
    if one.least <= number <= one.most:
        return number
    unit = _SIGN.get(one.kind, "")
    if number < 0 and one.least == 0:
        needed = f"{one.name} is 0{unit} or more"
    else:
        needed = f"{one.name} is from {one.least:g} to {one.most:g}{unit}"
    found = shown(value)
    if unit and not _says(value, number, unit):
        found += f", that is {round(number, 1):.10g}{unit}"
    raise ReadingError(found, needed, "measure again and correct it", key="correct")


def _says(value: Any, number: float, unit: str) -> bool:
    """Whether a value says a number by itself, bare or in this unit."""
    try:
        said = float(str(value).removesuffix(unit.strip()).replace(",", "."))
    except ValueError:
        return False
    return math.isclose(said, number)


_SIGN = {"length": " mm", "weight": " g", "angle": "°"}


def write_value(one: Field, value: Any) -> str:
    """Return a value as text that `read_value` reads back, in plain letters.

    >>> write_value(Field("opening_ceiling", "angle", ""), 125.0)
    '125 deg'
    """
    if not isinstance(value, int | float):
        return str(value)
    unit = {**_SIGN, "angle": " deg"}.get(one.kind, "")
    return f"{round(value, 4):g}{unit}"
