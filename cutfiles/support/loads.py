"""The load path of an open book through its cradle: what each part carries, whatever carries it.

Forces in N, lengths in mm, slopes in radians. A board rests on its board panel along its whole
width; the panel hangs between the joint, which the spine panel and the table carry, and the apex,
which the upright leg carries. No load test stands behind this.
"""

import math

GRAVITY = 9.80665
"""N/kg: standard acceleration of free fall (CGPM 1901)."""
FRICTION = 0.3
"""Polyester on polyester, the lower of the usual 0.3 to 0.6 (from memory)."""


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
