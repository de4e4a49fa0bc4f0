"""Coupons that are tried by hand: what each is, what is expected of it, what its readings mean.

crease  a strip folded once, one half held, a weight slid along the other until it lies level: how
        much a crease of this film resists turning
post    one hollow post with square ends, pressed on a scale: whether lap and folds hold
corner  two creases in three layers, drawn twice: whether inner layers bow or slip

They say something of film, folds and laps, not of a support: none of them proves a piece.
"""

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from cutfiles.bench.film import MODULUS
from cutfiles.support.constructions.plate import CREEP, plate_stiffness
from cutfiles.support.constructions.posts import FACE, PostBlank, post_capacity
from cutfiles.support.constructions.thirds import bow_depth, layer_excess
from cutfiles.support.loads import GRAVITY
from cutfiles.support.trials import COUPONS, SAME_GAUGE, CouponName, Trial, factor_of

WIDE = 30.0
"""w, breadth of the crease coupon, mm."""
HELD, FREE = 50.0, 80.0
"""Its held and its free half, mm."""
FOLD = math.radians(-90.0)
"""It is folded as a foot is."""
CREASES_NEEDED = 5
"""So many crease coupons of a gauge say how stiff its creases are."""
RELAX = 1.5
"""What the longest of their lengths is multiplied by: creases relax."""

TALL = 65.0
"""The post coupon, and the corner's middle panel, mm."""
POST = PostBlank(height=TALL, drop=0.0, offset=0.0)
BAD_POST = 1.5
"""A post that collapses under this factor has a bad lap or bad folds..."""
BAD_POSTS = 2
"""...if so many of three do."""
POSTS_ASKED = 3

BROAD = 100.0
"""b, finished breadth of the corner coupon, mm."""
ENDS = 30.0
"""Its two outer panels, mm."""
CORNER = (math.radians(-120.0), math.radians(-90.0))
"""Its two creases: an apex under a slope of 30°, and a foot."""
FLAT = 1.0
"""A layer that bows less than this lies flat, and the model of bowing layers is wrong, mm."""


def crease_stiffness(load: float, arm: float, breadth: float, turned: float) -> float:
    """Return how stiff a crease is, N mm per mm of crease and radian.

        κ = m g r / (w Δψ)

    Args:
        load: m g, N.
        arm: r, from the crease to the weight, the free half level, mm.
        breadth: w of the strip, mm.
        turned: Δψ, by how much the weight turned the free half, radians.

    >>> round(crease_stiffness(0.02, 40.0, 30.0, math.radians(30)), 4)
    0.0509

    """
    return load * arm / (breadth * turned)


def crease_length(trial: Trial, modulus: float) -> float:
    """Return L* = D/κ of a crease coupon, mm.

    D lasting plate stiffness; `RELAX`, which is as much as the modulus loses, makes good that κ is
    read at once.
    """
    stiff = crease_stiffness(trial.load, trial.leg, trial.breadth, trial.turned)
    return plate_stiffness(trial.gauge, modulus) / stiff


class Creases(NamedTuple):
    """What the crease coupons of a gauge say.

    Attributes:
        tests: how many there are.
        length: L* that may be counted on, mm; None with too few.

    """

    tests: int
    length: float | None


def creases_of(trials: Iterable[Trial], gauge: float, modulus: float = MODULUS) -> Creases:
    """Return what the crease coupons of a gauge (mm) say: the longest of five or more × 1.5."""
    found = [crease_length(one, modulus) for one in coupons_of(trials, "crease", gauge)]
    enough = len(found) >= CREASES_NEEDED
    return Creases(len(found), RELAX * max(found) if enough else None)


def coupons_of(trials: Iterable[Trial], name: CouponName, gauge: float) -> tuple[Trial, ...]:
    """Return the coupons of one kind and gauge (mm, within a tenth)."""
    return tuple(
        one
        for one in trials
        if one.construction == COUPONS[name] and abs(one.gauge / gauge - 1) <= SAME_GAUGE
    )


def posts_are_bad(rows: Sequence[Trial], modulus: float = MODULUS) -> bool:
    """Return whether two of the last three post coupons collapsed too early: bad laps or folds."""
    last = rows[-POSTS_ASKED:]
    return sum(is_bad_post(one, modulus) for one in last) >= BAD_POSTS


def is_bad_post(trial: Trial, modulus: float = MODULUS) -> bool:
    """Return whether a post coupon collapsed under 1.5 × half its full value."""
    return trial.result == "collapsed" and factor_of(trial, modulus) < BAD_POST


class PostExpected(NamedTuple):
    """What a post coupon should do, pressed for a minute at most; g.

    Attributes:
        ripples: from here on its faces ripple; it carries on.
        bad: collapsing under this, its lap or folds are bad.
        lasting: what it is sure to carry for six months.

    """

    ripples: float
    bad: float
    lasting: float


def post_expected(gauge: float, modulus: float = MODULUS) -> PostExpected:
    """Return what a post coupon should do.

    >>> [round(grams) for grams in post_expected(0.127)]
    [803, 602, 268]

    """
    half = post_capacity(gauge, modulus)
    newtons = (2 * CREEP * half, BAD_POST * CREEP * half, half)
    return PostExpected(*(one / GRAVITY * 1000 for one in newtons))


class CornerExpected(NamedTuple):
    """What the inmost layer of the corner coupon should do, mm.

    Attributes:
        excess: by how much it is too long for its place.
        bow: how far it stands off the middle panel, in both pieces.
        shifts: where the scores of the shifted piece lie beside their corners.

    """

    excess: float
    bow: float
    shifts: tuple[float, float]


def corner_shifts(gauge: float, layer: int) -> tuple[float, float]:
    """Return how far the creases of the shifted piece are moved on a layer, mm.

        k t (sum of the fold angles before it + half its own)

    Counted from the left panel, which is held.
    """
    first, second = CORNER
    return layer * gauge * first / 2, layer * gauge * (first + second / 2)


def corner_expected(gauge: float) -> CornerExpected:
    """Return what the corner coupon should do.

    >>> found = corner_expected(0.127)
    >>> round(found.bow, 1), [round(x, 2) for x in found.shifts]
    (3.5, [0.27, 0.73])

    """
    excess = layer_excess(gauge, 2, CORNER)
    first, second = corner_shifts(gauge, 2)
    return CornerExpected(excess, bow_depth(excess, TALL), (abs(first), abs(second)))


class CreaseExpected(NamedTuple):
    """What a crease coupon may do.

    Attributes:
        lengths: L*, least and most, mm (from memory: 10² to 10³ gauges).
        grams: the weight that turns it by 30° at an arm of 40 mm, least and most.

    """

    lengths: tuple[float, float]
    grams: tuple[float, float]


def crease_expected(gauge: float, modulus: float = MODULUS) -> CreaseExpected:
    """Return between which bounds a crease coupon should lie.

    >>> [round(grams, 2) for grams in crease_expected(0.127).grams]
    [0.25, 2.52]

    """
    lengths = (100 * gauge, 1000 * gauge)
    stiff = CREEP * plate_stiffness(gauge, modulus)  # read at once
    newtons = [stiff / one * WIDE * math.radians(30) / 40.0 for one in reversed(lengths)]
    return CreaseExpected(lengths, (newtons[0] / GRAVITY * 1000, newtons[1] / GRAVITY * 1000))


def coupon_trial(
    name: CouponName,
    gauge: float,
    *,
    date: str = "",
    lot: str = "",
    note: str = "",
    initials: str = "",
) -> Trial:
    """Return the row of a coupon, its readings still to be filled in: result, load, minutes..."""
    leg, breadth = {"crease": (0.0, WIDE), "post": (TALL, 4 * FACE - 2), "corner": (TALL, BROAD)}[
        name
    ]
    return Trial(
        date=date,
        support=coupon_number(name, gauge),
        lot=lot,
        gauge=gauge,
        layers=3 if name == "corner" else 1,
        construction=COUPONS[name],
        leg=leg,
        breadth=breadth,
        face=FACE if name == "post" else 0.0,
        posts=1 if name == "post" else 0,
        load=0.0,
        minutes=0.0,
        result="read",
        note=note,
        initials=initials,
    )


def coupon_number(name: CouponName, gauge: float) -> str:
    """Return what a coupon is called; gauges that differ keep apart.

    >>> coupon_number("post", 0.127), coupon_number("crease", 0.0508)
    ('coupon-post-127um', 'coupon-crease-50.8um')

    """
    return f"coupon-{name}-{gauge * 1000:.6g}um"
