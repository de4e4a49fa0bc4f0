"""Lips: a leg's head and tail edges folded in by 90°, so that corners carry and not the middle."""

import math
from collections.abc import Iterator

from cutfiles.support.constructions.hems import Flange
from cutfiles.support.constructions.plain import plain_capacity
from cutfiles.support.constructions.plate import POISSON, plate_stiffness
from cutfiles.support.constructions.strip import DEPTH, NOTCH, Strip

FOLD = -math.pi / 2
LEAST_TOP = 8.0
"""A lip is at least this long along its free edge, mm; a shorter leg is plain."""


def lip_factor(height: float, lip: float = DEPTH) -> float:
    """Return the buckling coefficient of a lip: an outstand hinged along one edge, the other free.

        k = 6 (1 − ν) / π² + (c/h)²

    c lip, h leg (mm), ν = 0.38. For ν = 0.3 and a long lip 0.426, which EN 1993-1-5, table 4.2,
    rounds to 0.43.

    Source: textbooks on elastic stability.

    >>> round(lip_factor(65.2778), 4)
    0.3919

    """
    return 6 * (1 - POISSON) / math.pi**2 + (lip / height) ** 2


def corner_capacity(height: float, gauge: float, modulus: float, lip: float = DEPTH) -> float:
    """Return what one corner of leg and lip is sure to carry, N.

        P_c = 2 k π² D / c        the lip and as much of the leg beside it

    >>> round(corner_capacity(65.2778, 0.1778, 4000.0), 4)
    1.4118

    """
    stiff = plate_stiffness(gauge, modulus)
    return 2 * lip_factor(height, lip) * math.pi**2 * stiff / lip


def lips_capacity(
    height: float, breadth: float, gauge: float, modulus: float, lip: float = DEPTH
) -> float:
    """Return what a leg with lips at head and tail is sure to carry, N.

        C = plain (b − 2c)/b + 2 P_c

    h leg, b between the lips' fold lines, c lip (mm), 6 ≤ c ≤ 12; one layer; the lip between 30°
    and 150° to the leg (so as not to show past the book it stands at 85° or more).

    Source: the sum of `plain_capacity` of the middle and two corners; finite strips lie at most
    1.5 % lower, lips that are free at their ends never peak under 15 N in shell elements.

    >>> round(lips_capacity(65.2778, 201.0, 0.1778, 4000.0), 3)
    3.428

    """
    plain = plain_capacity(height, breadth, (gauge,), modulus)
    return plain * (breadth - 2 * lip) / breadth + 2 * corner_capacity(height, gauge, modulus, lip)


def top_gap(slope: float, gauge: float) -> float:
    """Return how far below the apex a lip ends, mm: max(1.5, (2 t + 0.3) / cos a)."""
    return max(NOTCH, (2 * gauge + 0.3) / math.cos(slope))


def lip_fits(leg: float, slope: float, gauge: float) -> bool:
    """Return whether a leg (mm) is long enough for lips: leg − g_top − g − c tan a ≥ 8.

    >>> lip_fits(65.0, math.radians(30), 0.127), lip_fits(15.0, math.radians(30), 0.127)
    (True, False)

    """
    return leg - top_gap(slope, gauge) - NOTCH - DEPTH * math.tan(slope) >= LEAST_TOP


def lips(strip: Strip, gauge: float) -> Iterator[Flange]:
    """Yield the lips of a strip, from left to right, one for head and tail of each leg."""
    for leg in strip.legs():
        slope = strip.slope_at(leg)
        if not lip_fits(strip.panels[leg].length, slope, gauge):
            continue
        start, end, gap = strip.starts[leg], strip.ends[leg], top_gap(slope, gauge)
        if strip.apex_on_right(leg):
            yield Flange("lip", leg, leg, start + NOTCH, end - gap, 0.0, slope)
        else:
            yield Flange("lip", leg, leg, start + gap, end - NOTCH, slope, 0.0)


def board_across(
    force: float, plain: float, breadth: float, board: float, thickness: float, modulus: float
) -> tuple[float, float]:
    """Return how far a board held by lips at head and tail sags across between them, and its limit.

        sag = 5 max(0, F − C_plain) b³ / (384 (E/φ) (P/2) B³/12)        limit b/100

    Args:
        force: F, of the leg, N.
        plain: C_plain, what the leg's middle carries by itself, N.
        breadth: b, mm.
        board: P, the board panel, mm; half of it takes part.
        thickness: B, of the book's board, mm.
        modulus: of the board, lasting, MPa.

    """
    stiff = modulus * board / 2 * thickness**3 / 12
    return 5 * max(0.0, force - plain) * breadth**3 / (384 * stiff), breadth / 100
