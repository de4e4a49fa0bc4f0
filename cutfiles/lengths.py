"""Lengths as people read them: always mm, and inches to the nearest 1/32 beside them on request."""

import math
from functools import lru_cache

from cutfiles.dataclass import dataclass
from cutfiles.units import MM_PER_INCH, Units

_PARTS = 32
"""Of an inch, as on a rule."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """How the lengths of one slip are written, on every page and in every picture.

    Attributes:
        units: of the slip; inches stand beside mm where it is in inches.

    """

    units: Units = "mm"

    @property
    def inches(self) -> bool:
        """Whether inches are written beside mm."""
        return self.units == "in"

    def both(self, mm: float) -> str:
        """Return a length with its unit.

        >>> Lengths("mm").both(65.48), Lengths("in").both(65.48)
        ('65.5 mm', '65.5 mm (2 9/16 in)')
        """
        return self._beside(f"{mm:.1f} mm", mm, " in")

    def short(self, mm: float) -> str:
        """Return a length where its unit is known.

        >>> Lengths("cm").short(65.48), Lengths("in").short(65.48)
        ('65.5', '65.5 (2 9/16")')
        """
        return self._beside(f"{mm:.1f}", mm, '"')

    def measured(self, mm: float) -> str:
        """Return a measured length, to 0.01 mm, idle zeros left out.

        >>> Lengths("mm").measured(203.0), Lengths("in").measured(196.85)
        ('203 mm', '196.85 mm (7 3/4 in)')
        """
        return self._beside(f"{trimmed(mm, 2)} mm", mm, " in")

    def against(self, mm: float, limit: float) -> str:
        """Return a length so that it does not read as on the wrong side of its limit.

        >>> Lengths().against(2.04, 2.0), Lengths().against(2.004, 2.0), Lengths().against(2.0, 2.0)
        ('2.1 mm', '2.1 mm', '2.0 mm')
        """
        return self._beside(f"{beside(mm, limit, 1)} mm", mm, " in")

    def range(self, *ends: float) -> str:
        """Return a length, or two between which it may be.

        >>> Lengths().range(58.6, 62.6), Lengths("in").range(58.6, 62.6), Lengths("in").range(0.2)
        ('58.6 – 62.6 mm', '58.6 – 62.6 mm (2 5/16 – 2 15/32 in)', '0.2 mm')
        """
        said = " – ".join(f"{mm:.1f}" for mm in ends) + " mm"
        if not self.inches or not any(inch_parts(mm) for mm in ends):
            return said
        return f"{said} ({' – '.join(inch_parts(mm) or '0' for mm in ends)} in)"

    def _beside(self, said: str, mm: float, unit: str) -> str:
        parts = inch_parts(mm) if self.inches else ""
        return f"{said} ({parts}{unit})" if parts else said


def inch_parts(mm: float) -> str:
    """Return a length in inches, to the nearest 1/32; nothing where that is 0.

    >>> inch_parts(133.35), inch_parts(25.4), inch_parts(-3.0), inch_parts(0.1)
    ('5 1/4', '1', '-1/8', '')
    """
    count = round(abs(mm) / MM_PER_INCH * _PARTS)
    whole, rest = divmod(count, _PARTS)
    common = math.gcd(rest, _PARTS)
    parts = [str(whole)] if whole else []
    if rest:
        parts.append(f"{rest // common}/{_PARTS // common}")
    return ("-" if mm < 0 and parts else "") + " ".join(parts)


def beside(value: float, limit: float, digits: int = 2) -> str:
    """Return a number that never rounds onto its limit or to the other side of it.

    >>> beside(1.2499, 1.25), beside(1.25, 1.25), beside(0.4437, 1.25), beside(100.2, 100.0, 0)
    ('1.24', '1.25', '0.44', '101')

    """
    if math.isinf(value):
        return "∞"
    scale = 10**digits
    shown = round(value * scale)
    if value < limit and shown >= limit * scale:
        shown = math.ceil(limit * scale) - 1
    elif value > limit and shown <= limit * scale:
        shown = math.floor(limit * scale) + 1
    return f"{shown / scale:.{digits}f}"


@lru_cache(maxsize=8192)  # a line of letters repeats its heights: two of three are known
def trimmed(value: float, digits: int) -> str:
    """Return a number to so many decimals, idle zeros left out.

    >>> trimmed(203.0, 2), trimmed(196.85, 3), trimmed(-0.001, 2)
    ('203', '196.85', '0')
    """
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def rounded(value: float, places: int) -> float:
    """Return a number for data, rounded; a whole one as such, so that it is written without `.0`.

    >>> rounded(12.3456, 3), rounded(-0.0001, 3), rounded(8.0, 3)
    (12.346, 0, 8)
    """
    near = round(value, places)
    whole = int(near)
    return whole if whole == near else near
