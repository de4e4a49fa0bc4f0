"""Chooses the kind of strip from the measures alone."""

from cutfiles.support.linkages.level import level_linkage
from cutfiles.support.linkages.linkage import Linkage, Wanted
from cutfiles.support.linkages.riser import riser_linkage


def lay_out(wanted: Wanted) -> Linkage:
    """Return the strip for a book as it lies: level, or with a riser from `least_riser` on.

    Raises:
        DesignError: no strip follows; names the field, and what to do.

    >>> import math
    >>> from cutfiles.support.linkages.linkage import BoardLie
    >>> board = BoardLie(panel=130, slope=math.radians(30), rise=66.5)
    >>> lay_out(Wanted(left=board, right=board, spine=35)).kind
    'side by side'
    >>> lay_out(Wanted(left=board, right=board, spine=35, step=-12)).kind
    'riser'

    """
    tilted = abs(wanted.step) >= wanted.least_riser
    return riser_linkage(wanted) if tilted else level_linkage(wanted)
