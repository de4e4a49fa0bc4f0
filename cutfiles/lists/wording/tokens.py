"""Cuts the wording of a size into numbers, units, words and signs."""

import re
from typing import Literal, NamedTuple

from cutfiles.lists.wording.senses import axis_of
from cutfiles.units import LENGTH, WEIGHT, plain_signs

Kind = Literal[
    "number", "unit", "word", "times", "range", "open", "close", "colon", "comma", "break", "plus"
]
LONGEST = 1000
"""A longer text describes more than a size, characters."""

_NUMBER = (
    r"\d+(?:\s*-\s*|\s+)\d+\s*/\s*\d+(?![\d/])|\d+\s*/\s*\d+(?![\d/])|\d+[.,]\d+|[.,]\d+(?!\d)|\d+"
)
_TOKEN = re.compile(
    rf"""(?P<counted>\[[\s,ivxlc]*\d[\d\s,ivxlc]*\])
    | (?P<format>\b(?:in|quer)-\d+[°º]?|\d+(?:vo|to|mo)\b|\d+\s?[°º](?!\w))
    | (?P<number>{_NUMBER})
    | (?P<unit>["'])
    | (?P<word>[^\W\d_](?:[^\W\d_]|[-/'](?=[^\W\d_]))*\.? | \#|&|°|ø)
    | (?P<times>[×*])
    | (?P<range>-)
    | (?P<open>[(\[]) | (?P<close>[)\]])
    | (?P<colon>:) | (?P<comma>,) | (?P<plus>\+)
    | (?P<break>[;|=\n]|/)
    | (?P<sign>\S)""",
    re.VERBOSE,
)
_LETTERS = re.compile(r"[hwdtbl](?:x[hwdtbl]){1,2}")
_TIMES = frozenset(("x", "by", "por", "mal", "sur", "auf"))
_FOREIGN = {
    "zoll": "in",
    "pouces": "in",
    "pouce": "in",
    "pulgadas": "in",
    "pol": "in",
    "polegadas": "in",
    "centimetros": "cm",
    "centimetri": "cm",
    "zentimeter": "cm",
    "centimètres": "cm",
    "millimètres": "mm",
    "milimetros": "mm",
    "cms": "cm",
    "mms": "mm",
    "kgs": "kg",
}
_UNITS = frozenset((*LENGTH.names, *WEIGHT.names, *_FOREIGN)) - {"mil", "mils", "thou", "um"}


class Token(NamedTuple):
    """One piece of a wording: what kind it is, and its text; of a unit, as `units` names it."""

    kind: Kind
    text: str


def tokens_of(text: str) -> tuple[Token, ...]:
    """Return the pieces of a wording.

    >>> [token.kind for token in tokens_of("9½ x 6 in. (closed)")]
    ['number', 'times', 'number', 'unit', 'open', 'word', 'close']
    """
    lines = [plain_signs(line).replace("''", '"') for line in text.splitlines()]
    found: list[Token] = []
    for match in _TOKEN.finditer("\n".join(lines)):
        found += _token(match, found)
    return tuple(found)


def _token(match: re.Match[str], before: list[Token]) -> list[Token]:
    kind, text = match.lastgroup or "", match[0]
    last = before[-1].kind if before else ""
    match kind:
        case "counted":
            return [Token("word", "[]")]
        case "format":
            return [Token("word", text.replace(" ", ""))]
        case "word":
            return _word(text, last)
        case "unit":
            return [Token("unit" if last == "number" else "word", text)]
        case "number":
            return [Token("number", text)]
        case "times" | "range" | "open" | "close" | "colon" | "comma" | "plus" | "break":
            return [Token(kind, text)]
        case _:
            return [] if text in ".~≈†*\"'" else [Token("word", text)]


def _word(text: str, last: str) -> list[Token]:
    plain = text.casefold()
    bare = plain.rstrip(".")
    if plain[:1] == "x" and last in ("number", "unit", "close", "word") and bare != "x":
        rest = _after_times(text, last)
        if rest:
            return rest
    if bare in _TIMES and last in ("number", "unit", "close", "word"):
        return [Token("times", text)]
    if bare in _UNITS and last in ("number", "open"):
        return [Token("unit", _FOREIGN.get(bare, bare))]
    if bare in _UNITS - {"in", "m", "g", "l"} and last in ("word", "close", "colon"):
        return [Token("unit", _FOREIGN.get(bare, bare))]
    if _LETTERS.fullmatch(bare):
        pieces = [Token("word", letter) for letter in bare.split("x")]
        return [one for piece in pieces for one in (Token("times", "x"), piece)][1:]
    return [Token("word", text)]


def _after_times(text: str, last: str) -> list[Token]:
    """Return "x" and a label where they are written together, as in "20 cm xW 13 cm"."""
    rest = text[1:].rstrip(".")
    return (
        [Token("times", "x"), Token("word", rest)]
        if last != "word" and len(rest) == 1 and axis_of(rest)
        else []
    )
