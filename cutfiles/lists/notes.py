"""Limits that a note sets to how far a book may be opened, to be held against its measures."""

import re

_MARK = r"\s*(?:°|º|deg\b|degrees?\b|grad\b|degr[ée]s?\b|grados?\b)"
_MOST = (
    r"\b(?:not|never|don'?t|don’t|no|nicht|nie|pas|jamais|nunca)\b[^.;\d]{0,40}?"
    r"\b(?:past|beyond|over|above|than|über|weiter als|mehr als|de|que|au-del[àa] de)\b\s*"
    r"(?P<past>\d{2,3})" + _MARK,
    r"\b(?:max(?:imum|imal|\.)?|at most|up to|no more than|höchstens|bis|au plus|jusqu'à|hasta|"
    r"máx(?:imo|\.)?)\W*(?:opening|open|angle|öffnung|ouverture|apertura|of|to|at|is|:|\s){0,4}\s*"
    r"(?P<max>\d{2,3})" + _MARK,
    r"(?P<only>\d{2,3})" + _MARK + r"\s*(?:max(?:imum|\.)?|at most|only|höchstens|maximal|au plus)",
)
_LIMITS = re.compile("|".join(_MOST), re.IGNORECASE)


def most_in_notes(text: str) -> float | None:
    """Return the widest opening angle that a note allows, in degrees, or None where it sets none.

    >>> most_in_notes("do not open past 90 degrees"), most_in_notes("max. opening 110°, ties")
    (90.0, 110.0)
    >>> most_in_notes("höchstens 100° öffnen"), most_in_notes("case at 45° to the wall")
    (100.0, None)
    """
    found = [float(next(filter(None, match.groups()))) for match in _LIMITS.finditer(text)]
    return min(found, default=None)
