"""Trials: what a piece that stood, or others that collapsed, say of the next one.

A factor λ is a load over what the model is sure of for as long as the load lay on. Pure numbers;
the rows are read and written by `trial_rows`.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

from cutfiles.bench.book import SideName
from cutfiles.bench.film import MODULUS
from cutfiles.support.bounds import SPREAD, survival_divisor, tolerance_factor
from cutfiles.support.constructions import lips, plain, posts
from cutfiles.support.constructions.plate import CONSTRUCTIONS, CREEP, Construction
from cutfiles.support.states import SAFE

SIX_MONTHS = 262_800.0
"""In minutes: the time for which `CREEP` holds."""
LEAST_TESTS = 3
"""Fewer tests prove their own piece only."""
ALARM = 0.95
"""A collapse under this factor says that the model is unsafe for the kind."""
CAUTION = 0.8
"""Of the least factor, what is used then."""
SAME_GAUGE = 0.1
"""A measured gauge this near a film's, as a share, is that film's."""
Result = Literal["collapsed", "stood", "read"]
"""What happened; of a coupon that is only measured, that it was read."""
CouponName = Literal["crease", "post", "corner"]
CouponTried = Literal["crease coupon", "post coupon", "corner coupon"]
COUPONS: dict[CouponName, CouponTried] = {
    "crease": "crease coupon",
    "post": "post coupon",
    "corner": "corner coupon",
}
"""Coupons as the record calls them, beside the constructions of a leg."""


class Trial(NamedTuple):
    """One test of one piece.

    Attributes:
        date: as written.
        support: number of the support, or of the coupon.
        lot: of the film.
        gauge: measured, mm.
        layers: 1 or 3.
        construction: of the leg; or which coupon it was.
        leg: h, mm; of a crease coupon, where the weight hung, from the crease.
        breadth: b, mm.
        face: c, of lip or post, mm; 0 for a plain leg.
        posts: how many posts stood under the load; 0 for others.
        load: on the leg, N.
        minutes: it lay there.
        result: what happened.
        note: as written.
        turned: of a crease coupon, by how much the weight turned it, radians.
        bow: of a corner coupon, how far its inmost layer stood off, mm.
        initials: of who saw it.
        side: which leg of the support it was; empty where that was not told.

    """

    date: str
    support: str
    lot: str
    gauge: float
    layers: int
    construction: Construction | CouponTried
    leg: float
    breadth: float
    face: float
    posts: int
    load: float
    minutes: float
    result: Result
    note: str = ""
    turned: float = 0.0
    bow: float = 0.0
    initials: str = ""
    side: Literal["", "left", "right"] = ""


def creep(minutes: float) -> float:
    """Return how much a loaded film gives over a time: φ(T) = φ^(ln T / ln 262800).

    Loads shorter than a minute count as 1, longer than six months as six months.

    >>> [round(creep(minutes), 3) for minutes in (10, 60, 1440, 10080, SIX_MONTHS)]
    [1.078, 1.142, 1.267, 1.349, 1.5]

    """
    held = min(max(minutes, 1.0), SIX_MONTHS)
    return math.pow(CREEP, math.log(held) / math.log(SIX_MONTHS))


def sure_load(trial: Trial, modulus: float) -> float:
    """Return what the model is sure of for six months under the same construction, N."""
    t, h, b, c = trial.gauge, trial.leg, trial.breadth, trial.face
    if trial.construction == "lips":
        return lips.lips_capacity(h, b, t, modulus, c)
    if trial.construction in ("posts", "post coupon"):
        return trial.posts * posts.post_capacity(t, modulus, c)
    return plain.plain_capacity(h, b, (t,) * trial.layers, modulus)


def factor_of(trial: Trial, modulus: float = MODULUS) -> float:
    """Return a test's factor: λ = load / C(E_s / φ(T)).

    Capacities grow with the modulus alone, so C(E_s/φ(T)) = C · φ/φ(T).
    """
    return trial.load / (sure_load(trial, modulus) * CREEP / creep(trial.minutes))


def six_month_ratio(load_ratio: float, minutes: float) -> float:
    """Return what a piece that stood so many times its load surely carries for six months, over it.

        q φ(T) / φ

    Valid for that piece, book and opening, below 30 °C.

    >>> round(six_month_ratio(1.5, 1440), 4)
    1.2665

    """
    return load_ratio * creep(minutes) / CREEP


def is_proved(load_ratio: float, minutes: float) -> bool:
    """Return whether a piece that stood is proved: its ratio for six months is 1.25 or more.

    >>> is_proved(1.5, 1440), is_proved(1.5, 60), is_proved(1.65, 60)
    (True, False, True)

    """
    return six_month_ratio(load_ratio, minutes) >= SAFE


def load_to_prove(minutes: float) -> float:
    """Return how many times its load a piece must stand for this time to be proved."""
    return SAFE * CREEP / creep(minutes)


Rule = Literal["too few", "collapses", "stood", "unsafe"]


class Factor(NamedTuple):
    """What tests of a kind say of its next piece.

    Attributes:
        rule: by which rule; ``too few`` and a bound under 1 change nothing.
        bound: λ_L, with 95 % confidence for 95 % of pieces; the least factor where unsafe.
        used: what the sure load is multiplied by; 1 where tests change nothing.
        tests: how many it rests on.

    """

    rule: Rule
    bound: float
    used: float
    tests: int


def factor_for(rows: Iterable[tuple[Result, float]]) -> Factor:
    """Return what results and factors of a kind's tests say of its next piece.

    - a collapse under 0.95, of however few: the model is unsafe for the kind, and 0.8 of the least
      factor is used until somebody has looked
    - three collapses or more: λ_L = exp(ȳ − k max(s, σ₀)), y = ln λ
    - three tests or more, fewer collapses: the least factor of all over `survival_divisor`. What
      collapsed at λ had stood up to it, so it counts among them
    - fewer: nothing; each proves its own piece

    A bound under 1 is not used: the model's own number stays.

    >>> found = factor_for([("collapsed", x) for x in (2.2, 1.95, 2.4, 2.1, 2.3)])
    >>> found.rule, round(found.used, 3)
    ('collapses', 1.163)

    """
    tests = list(rows)
    collapsed = [factor for result, factor in tests if result == "collapsed"]
    if collapsed and min(collapsed) < ALARM:
        least = min(collapsed)
        return Factor("unsafe", least, CAUTION * least, len(tests))
    if len(collapsed) >= LEAST_TESTS:
        bound = collapse_bound(collapsed)
        return Factor("collapses", bound, max(1.0, bound), len(collapsed))
    if len(tests) >= LEAST_TESTS:
        bound = min(factor for _, factor in tests) / survival_divisor(len(tests))
        return Factor("stood", bound, max(1.0, bound), len(tests))
    return Factor("too few", 0.0, 1.0, len(tests))


def collapse_bound(factors: Sequence[float]) -> float:
    """Return λ_L of factors at collapse: exp(ȳ − k max(s, σ₀)), k by their number.

    >>> round(collapse_bound([1.75, 1.55, 1.90]), 2)
    0.55

    """
    from statistics import fmean, stdev  # only where there are tests

    logs = [math.log(factor) for factor in factors]
    return math.exp(fmean(logs) - tolerance_factor(len(logs)) * max(stdev(logs), SPREAD))


def by_test(rows: Iterable[tuple[Trial, float]]) -> Iterator[tuple[Result, float]]:
    """Yield result and factor of each test, from its rows with their factors.

    A dummy lies on both legs of a support, and makes a row each: one test, not two. Of a collapse
    the leg that fell counts, the lower factor where both are told so; else the lower of the two.
    """
    before: tuple[Trial, float] | None = None
    for row, factor in rows:
        if before is None:
            before = row, factor
        elif _one_test(before[0], row):
            both = (before, (row, factor))
            fell = [one for one in both if one[0].result == "collapsed"]
            worst, least = min(fell or both, key=lambda one: one[1])
            yield worst.result, least
            before = None
        else:
            yield before[0].result, before[1]
            before = row, factor
    if before is not None:
        yield before[0].result, before[1]


def _one_test(one: Trial, other: Trial) -> bool:
    """Whether two rows are the two legs of one test."""

    def test(row: Trial) -> tuple[object, ...]:
        return row.date, row.support, row.lot, row.minutes, row.note, row.initials

    return {one.side, other.side} == {"left", "right"} and test(one) == test(other)


class LegOnTrial(NamedTuple):
    """One leg as a test tells it: as in `Trial`, its panel, and what its book loads it with, N."""

    panel: str
    side: SideName
    construction: Construction
    layers: int
    gauge: float
    leg: float
    breadth: float
    face: float
    posts: int
    load: float


SAME_PIECE = 0.6
"""A leg within this of what was tested is that leg, mm: it is measured by rule."""


def is_of(trial: Trial, number: str, leg: LegOnTrial) -> bool:
    """Return whether a test was of this leg of this support."""
    return (
        trial.support == number
        and trial.side in ("", leg.side)
        and (trial.construction, trial.layers, trial.posts)
        == (leg.construction, leg.layers, leg.posts)
        and abs(trial.gauge / leg.gauge - 1) <= SAME_GAUGE
        and abs(trial.leg - leg.leg) <= SAME_PIECE
        and abs(trial.breadth - leg.breadth) <= SAME_PIECE
    )


def piece_stood(trials: Sequence[Trial], number: str, legs: Sequence[LegOnTrial]) -> bool:
    """Return whether this very piece is proved: each leg stood long and loaded enough.

    What stood before the last collapse, of whichever leg, does not count: another piece was made
    since.
    """
    rows = [one for one in trials if any(is_of(one, number, leg) for leg in legs)]
    last = max((i for i, one in enumerate(rows) if one.result == "collapsed"), default=-1)
    stood = [one for one in rows[last + 1 :] if one.result == "stood"]
    return all(
        any(
            is_of(one, number, leg) and is_proved(one.load / leg.load, one.minutes) for one in stood
        )
        for leg in legs
    )


def last_fall(trials: Iterable[Trial], number: str) -> Trial | None:
    """Return the leg that collapsed in the last test of a support; None where it stood, or none."""
    own = [
        one
        for one in trials
        if one.support == number and one.result != "read" and one.construction in CONSTRUCTIONS
    ]
    both = len(own) > 1 and _one_test(own[-2], own[-1])
    return next((one for one in own[-2 if both else -1 :] if one.result == "collapsed"), None)


def of_kind(
    trials: Iterable[Trial], construction: Construction, layers: int, gauge: float
) -> tuple[Trial, ...]:
    """Return the tests of a kind: same construction, layers and gauge (mm, within a tenth)."""
    return tuple(
        one
        for one in trials
        if one.construction == construction
        and one.layers == layers
        and abs(one.gauge / gauge - 1) <= SAME_GAUGE
    )


def alarms(trials: Iterable[Trial], gauge: float, modulus: float = MODULUS) -> tuple[Trial, ...]:
    """Return the post coupons of a gauge (mm) that collapsed too early for posts of it to be sure.

    Coupons are pressed evenly. So they show a bad lap, and nothing of how unevenly a board bears:
    however much they stand, posts are not surer for it.
    """
    return tuple(
        one
        for one in trials
        if (one.construction, one.result) == ("post coupon", "collapsed")
        and abs(one.gauge / gauge - 1) <= SAME_GAUGE
        and factor_of(one, modulus) < ALARM
    )
