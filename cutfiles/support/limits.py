"""The checks that stay, whatever carries: sag, tape, stack, practice, the board across.

Each check measures one part against one limit; a share above 1 does not hold.
"""

import math
from collections.abc import Iterator
from typing import Literal, NamedTuple

from cutfiles.bench.book import Cover
from cutfiles.support.constructions.plain import wide_column
from cutfiles.support.constructions.plate import lasting
from cutfiles.support.loads import GRAVITY
from cutfiles.support.states import State

LEAN = math.radians(5.0)
"""A foot may stand this far outwards (common practice, no source)."""
TAPE_SHEAR = GRAVITY / 6000
"""What double-sided tape holds in lasting shear, N/mm²: about 60 cm² to the kg (from memory)."""
BOARD_MODULUS = 2000.0
"""Of board and of paper in bending, MPa (from memory)."""
BOARD_THICKNESS = 2.0
"""Of a stiff board, mm (common practice, no source)."""
LEAF_THICKNESS = 0.1
"""Of a leaf, mm (common practice, no source)."""
UNSAFE_FRICTION = 0.6
"""Polyester on polyester, the unsafe end of 0.3 to 0.6 (from memory)."""
THICKEST_STACK = 0.80
"""More film than this does not fold well, mm (common practice, no source)."""
TRIED_HEIGHT, TALLEST = 254.0, 280.0
"""Practice goes to 10 in; to 280 mm make a trial at most; beyond, another support (no source)."""
HEAVIEST = 1360.8
"""Three pounds, g: heavier books want another support (common practice, no source)."""
STEEPEST = math.radians(60.0)
"""Steeper boards want another support (common practice, no source)."""


CheckName = Literal[
    "leg",
    "sag",
    "across",
    "tape",
    "riser",
    "stack",
    "gauge",
    "spine rises",
    "leg bows",
    "height",
    "weight",
    "slope",
    "joints",
    "leaves",
]


class Check(NamedTuple):
    """One check of one part.

    Attributes:
        name: which check.
        place: the part it is about.
        measured: the number found.
        limit: what it is held against.
        share: of the limit that is used; above 1 it does not hold.
        state: what follows from this check alone.

    """

    name: CheckName
    place: str
    measured: float
    limit: float
    share: float
    state: State


def at_most(name: CheckName, place: str, measured: float, limit: float) -> Check:
    """Check a number against the most it may be; compared unrounded."""
    share = measured / limit if limit > 0 else math.inf
    state: State = "adequate" if measured <= limit else "another support"
    return Check(name, place, measured, limit, share, state)


def design_base_force(leg: float) -> float:
    """Return what the base may have to hold, N: F (tan 5° + 0.6), a leaning leg and friction.

    An upright leg loads the base with nothing; film that grips the board pushes the foot outwards.

    >>> round(design_base_force(1.0), 4)
    0.6875

    """
    return leg * (math.tan(LEAN) + UNSAFE_FRICTION)


def check_tape(place: str, leg: float, length: float, width: float) -> Check:
    """Check the share of a tape's strength in lasting shear that the base uses (1 is all of it).

    Args:
        place: the tab.
        leg: F, N.
        length: of the tape really laid, mm.
        width: of the same.

    """
    held = length * width * TAPE_SHEAR
    return at_most("tape", place, design_base_force(leg) / held if held > 0 else math.inf, 1.0)


def check_sag(place: str, load: float, panel: float, film: float, cover: float) -> Check:
    """Check how far a board panel sags between joint and apex.

        5 q P⁴ / (384 (E_d n b t³/12 + EI_board))        limit min(P/60, 3)

    Source: the uniformly loaded beam on two supports.

    Args:
        place: the board.
        load: q, W_i cos a / W, N/mm.
        panel: P, mm.
        film: bending stiffness of all its films, N·mm².
        cover: the same of the book's cover, and a board under it.

    """
    sag = 5 * load * panel**4 / (384 * (film + cover))
    return at_most("sag", place, sag, most_sag(panel))


def most_sag(panel: float) -> float:
    """Return how far a board panel may sag, mm: min(P/60, 3) (common practice, no source)."""
    return min(panel / 60, 3.0)


def cover_stiffness(cover: Cover, height: float, side: float, board: float = 0.0) -> float:
    """Return what a cover adds to its board panel's bending stiffness, N·mm².

        stiff boards   2000 · H · 2.0³ / 12
        limp covers    2000 · H · 0.1³ / 12 · (side / 0.1)      leaf by leaf, free to slip

    Args:
        cover: of the book.
        height: head to tail, H, mm.
        side: thickness of board and leaves on that side, mm.
        board: thickness of a stiff board laid under a limp cover, mm; 0 for none.

    """
    added = BOARD_MODULUS * height * board**3 / 12
    if cover == "boards":
        return added + BOARD_MODULUS * height * BOARD_THICKNESS**3 / 12
    leaves = side / LEAF_THICKNESS
    return added + BOARD_MODULUS * height * LEAF_THICKNESS**3 / 12 * leaves


def films_stiffness(gauge: float, layers: int, breadth: float, modulus: float) -> float:
    """Return the lasting bending stiffness of films free to slip, N·mm²: E_d n b t³ / 12."""
    return lasting(modulus) * layers * breadth * gauge**3 / 12


def check_stack(gauge: float, layers: int) -> Check:
    """Check the thickness of all layers, mm."""
    return at_most("stack", "film", layers * gauge, THICKEST_STACK)


def check_practice(
    height: float, weight: float | None, slopes: dict[str, float]
) -> Iterator[Check]:
    """Yield what common practice says of a book: height (mm), weight (g), slopes by board.

    >>> [check.state for check in check_practice(262.0, 1361.0, {})]
    ['make a trial', 'another support']

    """
    if height > TALLEST:
        yield at_most("height", "book", height, TALLEST)
    else:
        check = at_most("height", "book", height, TRIED_HEIGHT)
        yield check._replace(state="make a trial") if check.share > 1 else check
    if weight is not None:
        yield at_most("weight", "book", weight, HEAVIEST)
    for place, slope in slopes.items():
        yield at_most("slope", place, slope, STEEPEST)


def riser_load(side: float, leg: float, lean: float, tilt: float) -> float:
    """Return what a riser carries, N: R = (W_hi − F_hi) + ½ N cos τ.

    Args:
        side: W_hi, the high side's weight, N.
        leg: F_hi, what its leg carries, N.
        lean: N, the thick heap's lean on the spine panel, N.
        tilt: τ.

    """
    return side - leg + lean * math.cos(tilt) / 2


def heap_lean(low: float, low_slope: float, high: float, high_slope: float, tilt: float) -> float:
    """Return how hard the heap of the low side leans on the spine panel, N, without friction.

    N = max(0, (W_lo sin a_lo − W_hi sin a_hi cos(a_hi + a_lo)) / sin(a_lo + τ))

    """
    turn = math.sin(low_slope + tilt)
    if turn <= 0:
        return 0.0
    push = low * math.sin(low_slope) - high * math.sin(high_slope) * math.cos(
        high_slope + low_slope
    )
    return max(0.0, push / turn)


def column_capacity(height: float, breadth: float, gauge: float, modulus: float) -> float:
    """Return what a riser of one film bears, N: Euler's column times the wide plate's factor."""
    euler = math.pi**2 * films_stiffness(gauge, 1, breadth, modulus) / height**2
    return wide_column(height, breadth) * euler
