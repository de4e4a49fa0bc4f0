"""The table of the kinds of support, and the support of a slip: the first kind that fits it.

A kind is one module in `kinds/` and one row here. It tells what stands as data
(`standing.Support`), and nothing after it asks which kind it was.
"""

from collections.abc import Callable
from typing import NamedTuple

from cutfiles.bench.slip import Slip
from cutfiles.support.kinds import level
from cutfiles.support.standing import Support


class Kind(NamedTuple):
    """One kind of support.

    Attributes:
        name: in one word.
        fits: tells whether a slip wants this kind.
        design: returns the support of such a slip; raises DesignError where none follows from it.

    """

    name: str
    fits: Callable[[Slip], bool]
    design: Callable[[Slip], Support]


def _any(_: Slip) -> bool:
    return True


KINDS: tuple[Kind, ...] = (Kind("level", _any, level.design),)
"""In the order in which they are asked; the last one fits every slip."""


def design(slip: Slip) -> Support:
    """Return the support for a slip.

    Raises:
        DesignError: no support follows from the measures; says which one, and what to do.

    >>> from cutfiles.bench.slip import slip_from
    >>> design(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                   "spine_width": 34, "opening_angle": 120})).kind
    'level, side by side'

    """
    return next(kind for kind in KINDS if kind.fits(slip)).design(slip)
