"""What a studio's own tests say of a leg: its kind's collapses, and the coupons of its creases."""

from collections.abc import Sequence

from cutfiles.support.constructions.plain import restraint
from cutfiles.support.constructions.plate import Construction, Counted
from cutfiles.support.coupons import creases_of
from cutfiles.support.judge import Tested, Tried, untested
from cutfiles.support.trials import Factor, Trial, alarms, by_test, factor_for, factor_of, of_kind
from cutfiles.support.ways import AtHand


def tried_by(trials: Sequence[Trial]) -> Tested:
    """Return what the studio's tests multiply sure loads by, kind by kind."""
    if not trials:
        return untested

    def tested(leg: Tried) -> tuple[float, Counted]:
        found = factor_by(trials, leg.construction, leg.layers, leg.film)
        held = restrained_by(trials, leg)
        # tests of whole legs hold their creases too: the better of both, never one on the other
        if found.rule == "unsafe" or found.used >= held:
            return found.used, "tests"
        return held, "creases"

    return tested


def restrained_by(trials: Sequence[Trial], leg: Tried) -> float:
    """Return how much more a plain leg in one layer bears for its creases, as coupons tell them."""
    if (leg.construction, leg.layers) != ("plain", 1):
        return 1.0
    length = creases_of(trials, leg.film.gauge, leg.film.modulus).length
    return 1.0 if length is None else restraint(leg.height, leg.base, length)


def factor_by(
    trials: Sequence[Trial], construction: Construction, layers: int, film: AtHand
) -> Factor:
    """Return what the studio's tests say of a kind."""
    rows = of_kind(trials, construction, layers, film.gauge)
    if construction == "posts":
        rows += alarms(trials, film.gauge, film.modulus)
    return factor_for(by_test((one, factor_of(one, film.modulus)) for one in rows))
