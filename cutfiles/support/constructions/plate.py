"""Film as a plate: what every construction's capacity is made of."""

import math
from typing import Literal, NamedTuple, get_args

CREEP = 1.5
"""How much a loaded film gives over six months (from memory): the modulus is divided by it."""
POISSON = 0.38
"""Poisson's ratio of polyester film (from memory)."""
DENSITY = 0.00139
"""Of polyester film, g/mm³ (1390 kg/m³, makers' tables)."""

Construction = Literal["plain", "lips", "posts"]
CONSTRUCTIONS: tuple[Construction, ...] = get_args(Construction)
Edge = Literal["cut", "hemmed", "thirds"]

Counted = Literal["Euler", "plate action", "corners", "half bearing", "tests", "creases"]


class Capacity(NamedTuple):
    """What one leg is sure to carry.

    Attributes:
        construction: what carries; ``plain`` too where a leg is too short for lips or posts.
        newtons: the sure load, N.
        load: what it is held against, N.
        counted: what the number rests on.
        posts: how many posts stand behind the leg.

    """

    construction: Construction
    newtons: float
    load: float
    counted: tuple[Counted, ...]
    posts: int = 0

    @property
    def sure(self) -> float:
        """How many times its load it surely carries: C / F."""
        return self.newtons / self.load if self.load > 0 else math.inf


def lasting(modulus: float) -> float:
    """Return a film's modulus over six months of load, MPa: E / φ.

    >>> round(lasting(4000.0), 1)
    2666.7

    """
    return modulus / CREEP


def plate_stiffness(gauge: float, modulus: float) -> float:
    """Return the lasting bending stiffness of one film as a plate, N·mm.

        D = E_d t³ / (12 (1 − ν²))

    E_d lasting modulus (MPa; `modulus` is the short-term one), t gauge (mm), ν = 0.38.

    Source: textbooks on elastic plates.

    >>> round(plate_stiffness(0.127, 4000.0), 4)
    0.532

    """
    return lasting(modulus) * gauge**3 / (12 * (1 - POISSON**2))
