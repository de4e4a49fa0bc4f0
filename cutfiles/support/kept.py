"""What is kept because a piece of it stood: its way is not chosen anew."""

from collections.abc import Sequence

from cutfiles.bench.slip import Slip
from cutfiles.errors import DesignError
from cutfiles.support.design import design
from cutfiles.support.judge import Judged
from cutfiles.support.settle import allows, as_made
from cutfiles.support.trials import SAME_GAUGE, Trial
from cutfiles.support.verdict import assess


def kept(slip: Slip, ways: Sequence[Judged], trials: Sequence[Trial]) -> Slip | None:
    """Return a slip made the way a piece of it was made and proved; None where none was.

    Where several stood, the one tested last: that piece lies on the bench.

    Args:
        slip: with its film and construction still to be chosen.
        ways: to make it, judged.
        trials: the studio's, in the order in which they were recorded.

    """
    if slip.settled:
        return None
    of_it = [one for one in trials if one.support == slip.book.number and one.result == "stood"]
    for trial in reversed(of_it):
        for way in ways:
            if not (allows(slip, way.way) and _alike(trial, way)):
                continue
            made = as_made(slip, way)
            try:
                support = design(made)
            except DesignError:
                continue
            if assess(support, trials, ways).stood:
                return made
    return None


def _alike(trial: Trial, one: Judged) -> bool:
    """Return whether a test was of a piece made this way, as far as its row tells."""
    way = one.way
    return (
        trial.layers == way.layers
        and trial.construction in {leg.construction for leg in one.legs}
        and abs(trial.gauge / way.film.gauge - 1) <= SAME_GAUGE
    )
