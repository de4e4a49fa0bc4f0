"""Will it hold: the load path of an open book through its cradle, and what film does under it.

Forces in N, lengths in mm, moduli in MPa, slopes in radians. No load test stands behind this: it is
an engineering model that agrees with common practice, and says so wherever it is shown.

A board rests on its board panel along its whole width; the panel hangs between the joint, which the
spine panel and the table carry, and the apex, which the upright leg carries.
"""

import math

from cutfiles.bench.book import Cover
from cutfiles.bench.film import Film

GRAVITY = 9.80665
"""N/kg: standard acceleration of free fall (CGPM 1901)."""
CREEP = 1.5
"""How much a loaded film gives over six months (from memory): the modulus is divided by it."""
SAFE = 1.25
"""Least ratio of what a leg bears to what it carries. Set after seeing what practice uses, up to
slopes of about 30°: agreement, not proof."""
LEAN = math.radians(5.0)
"""A foot may stand this far outwards (common practice, no source)."""
FRICTION = 0.3
"""Polyester on polyester, the lower of the usual 0.3 to 0.6 (from memory)."""
TAPE_SHEAR = GRAVITY / 6000
"""What double-sided tape holds in lasting shear, N/mm²: about 60 cm² to the kg (from memory)."""
BOARD_MODULUS = 2000.0
"""Of board and of paper in bending, MPa (from memory)."""
BOARD_THICKNESS = 2.0
"""Of a stiff board, mm (common practice, no source)."""
LEAF_THICKNESS = 0.1
"""Of a leaf, mm (common practice, no source)."""


def side_weights(weight: float, left: float | None, right: float | None) -> tuple[float, float]:
    """Return how much of the book each side carries, N: half each, or by the two thicknesses.

        W_i = f_i · m · g

    Args:
        weight: of the book, g.
        left: thickness of board and leaves on the left, mm, or None.
        right: the same on the right.

    >>> left, right = side_weights(250, None, None)
    >>> round(left, 4), left == right
    (1.2258, True)

    """
    force = weight / 1000 * GRAVITY
    if left is None or right is None or left + right <= 0:
        return force / 2, force / 2
    return force * left / (left + right), force * right / (left + right)


def leg_force(side_weight: float, width: float, panel: float) -> float:
    """Return what one leg carries, N: about half the side's weight, whatever slope and friction.

        F = W_i · W / (2 P)

    W_i the side's weight (N), its centre of mass at half the width W, P the board panel (mm).

    >>> leg_force(1.2258, 96, 96)
    0.6129

    """
    return side_weight * width / (2 * panel)


def leg_capacity(film: Film, breadth: float, height: float) -> float:
    """Return the load at which a leg buckles, in N, its layers free to slip.

        P = π² E_d n b t³ / (12 h²)

    E_d long-term modulus (MPa), n layers, b breadth (mm), t gauge (mm), h height (mm).
    A lower bound: folded edges and friction between layers only add to it; layers that act as one
    bear n² as much, which is the upper bound.

    Source: Euler's column with hinged ends.

    >>> round(leg_capacity(Film(gauge=0.127, layers=3), 136.0, 55.06), 4)
    0.6046

    """
    return math.pi**2 * film_stiffness(film, breadth) / height**2


def film_stiffness(film: Film, breadth: float) -> float:
    """Return the bending stiffness of a panel in the long term, N·mm²: E_d · n · b · t³ / 12."""
    return film.modulus / CREEP * film.layers * breadth * film.gauge**3 / 12


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


def panel_sag(side_weight: float, width: float, slope: float, panel: float, stiff: float) -> float:
    """Return how far a board panel sags in its middle, mm.

        5 q P⁴ / (384 EI)        q = W_i cos a / W

    W_i the side's weight (N), W the board's width, P the panel (mm), EI film and cover (N·mm²).

    Source: the uniformly loaded beam on two supports.

    >>> round(panel_sag(1.2258, 96, 0.0, 96, 200_000), 4)
    0.0706

    """
    return 5 * side_weight * math.cos(slope) / width * panel**4 / (384 * stiff)


def most_sag(panel: float) -> float:
    """Return how far a board panel may sag, mm: min(P/60, 3) (common practice, no source)."""
    return min(panel / 60, 3.0)


def base_force(leg: float) -> float:
    """Return what the base may have to hold, N: F · (tan 5° + 0.3), a leaning leg and friction.

    An upright leg loads the base with nothing.
    """
    return leg * (math.tan(LEAN) + FRICTION)


def tape_use(leg: float, length: float, width: float) -> float:
    """Return which share of a tape's strength in lasting shear the base uses (1 is all of it)."""
    return base_force(leg) / (length * width * TAPE_SHEAR)


def board_tension(leg: float, slope: float) -> float:
    """Return the board panel's tension at the apex, N: F sin a.

    >>> import math
    >>> round(board_tension(0.6129, math.radians(35)), 4)
    0.3515

    """
    return leg * math.sin(slope)


def spine_tension(side_weight: float, slope: float, friction: float = FRICTION) -> float:
    """Return the spine panel's tension, N: W_i sin a cos a − T cos a, T the friction on the slope.

    T = W_i cos a · min(μ, tan a)
    """
    holding = side_weight * math.cos(slope) * min(friction, math.tan(slope))
    return (side_weight * math.sin(slope) - holding) * math.cos(slope)


def walking_friction(weights: tuple[float, float], slopes: tuple[float, float]) -> float:
    """Return the friction that keeps a book from walking to its shallower side.

    The smaller root of A μ² − (W_1 + W_2) μ + A = 0,
    A = W_1 sin a_1 cos a_1 − W_2 sin a_2 cos a_2, 1 being the side of the larger thrust.

    >>> import math
    >>> round(walking_friction((1.0, 1.0), (math.radians(45), math.radians(20))), 3)
    0.09

    """
    thrusts = [w * math.sin(a) * math.cos(a) for w, a in zip(weights, slopes, strict=True)]
    a, both = abs(thrusts[0] - thrusts[1]), sum(weights)
    if a < 1e-12 * both or both <= 0:
        return 0.0
    # 4 A² ≤ (W_1 + W_2)², for sin a cos a ≤ ½
    return (both - math.sqrt(both**2 - 4 * a**2)) / (2 * a)
