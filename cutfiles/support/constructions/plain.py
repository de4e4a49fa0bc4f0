"""The plain leg: films free to slip on one another, carrying by their free middle."""

import math
from collections.abc import Iterable

from cutfiles.support.constructions.plate import lasting


def wide_column(height: float, breadth: float) -> float:
    """Return how much more a broad leg bears than Euler's column.

        g = 1.160 − 0.095 h/b for h/b ≤ 1, else 1

    h leg, b breadth (mm). Film that is broad cannot curl across while it bends along.

    Source: textbooks on elastic stability, a plate as a wide column: 1/(1 − ν²) = 1.169 for
    h/b → 0; the line lies at or under finite strips (1.152, 1.132, 1.113, 1.074 at h/b 0.1,
    0.3, 0.5, 1).
    Valid for ν = 0.38 and both side edges free.

    >>> round(wide_column(65.354, 201.0), 4), wide_column(300.0, 201.0)
    (1.1291, 1.0)

    """
    share = height / breadth
    return 1.160 - 0.095 * share if share <= 1 else 1.0


def plain_capacity(height: float, breadth: float, gauges: Iterable[float], modulus: float) -> float:
    """Return what a plain leg is sure to carry, N.

        C = g Σ π² E_d b t_i³ / (12 h²)

    h leg, b breadth, t_i the gauge of each film (mm), E_d lasting modulus (MPa; `modulus` is the
    short-term one). A lower bound for films free to slip, each as long as the leg or longer: three
    layers drawn at one place, a doubled leg, a sheet slipped behind. A film that is shorter carries
    nothing until the others have bowed.

    Source: Euler's column with hinged ends; `wide_column` for the breadth.

    >>> round(plain_capacity(65.354, 201.0, [0.254], 4000.0), 3)
    1.91

    """
    inertia = sum(gauge**3 for gauge in gauges) * breadth / 12
    factor = wide_column(height, breadth)
    return factor * math.pi**2 * lasting(modulus) * inertia / height**2


def restraint(height: float, base: float, crease: float) -> float:
    """Return how much more a leg bears whose creases have been measured to resist turning.

        (π² + 4ρ₁)(π² + 4ρ₂) / ((π² + 2ρ₁)(π² + 2ρ₂)),  ρ₁ = h/L*,  1/ρ₂ = L*/h + base/(3h)

    h leg, base panel (mm), L* = D/κ the crease's length, measured on a coupon (mm): κ its stiffness
    per breadth. Only with a measured L*: creases relax, and spring-back bows the leg.

    Source: N. M. Newmark, "A simple approximate formula for effective end-fixity of columns",
    Journal of the Aeronautical Sciences 16 (1949) 116. 0 to 1.3 % under a frame of beams.

    >>> [round(restraint(65.0, 113.0, length), 2) for length in (200.0, 60.0, 30.0)]
    [1.12, 1.32, 1.52]

    """
    upper = height / crease
    lower = 1 / (crease / height + base / (3 * height))
    return math.prod(
        (math.pi**2 + 4 * spring) / (math.pi**2 + 2 * spring) for spring in (upper, lower)
    )
