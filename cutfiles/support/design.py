"""The table of the kinds of support, and the support of a slip: the first kind that fits it.

A kind is one module in `kinds/` and one row here. It tells what stands as data
(`standing.Support`), and nothing after it asks which kind it was.
"""

from collections.abc import Callable
from typing import NamedTuple

from cutfiles.bench.slip import Slip
from cutfiles.support.construct import constructed
from cutfiles.support.kinds.crossed import is_crossed, lay_crossed
from cutfiles.support.kinds.laid import LEAST_RISER
from cutfiles.support.kinds.level import lay_level
from cutfiles.support.kinds.made import support_of, wanted_of
from cutfiles.support.kinds.riser import lay_riser
from cutfiles.support.lone import lone_side
from cutfiles.support.standing import Support, board_of


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


def _tilted(slip: Slip) -> bool:
    """The joints stand at two heights."""
    return abs(slip.opening.step) >= LEAST_RISER


def _lone(slip: Slip) -> bool:
    """The cover of the high side lies alone, the other side flat on the table."""
    alone = lone_side(slip)
    high, low = ("left", "right") if slip.opening.step > 0 else ("right", "left")
    flat = board_of(slip, "left" if low == "left" else "right").rise < slip.choices.least_rise
    return _tilted(slip) and alone == high and flat


def _crossed(slip: Slip) -> bool:
    return is_crossed(wanted_of(slip))


def _any(_: Slip) -> bool:
    return True


KINDS: tuple[Kind, ...] = (
    Kind("lone cover", _lone, lambda slip: support_of(slip, lay_riser, "lone cover")),
    Kind("riser", _tilted, lambda slip: support_of(slip, lay_riser)),
    Kind("crossed", _crossed, lambda slip: support_of(slip, lay_crossed)),
    Kind("level", _any, lambda slip: support_of(slip, lay_level)),
)
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
    return constructed(bare(slip))


def bare(slip: Slip) -> Support:
    """Return the support for a slip before it is constructed: without hems, lips, posts' steps.

    Raises:
        DesignError: as of `design`, but for what only its construction refuses.

    """
    return kind_of(slip).design(slip)


def kind_of(slip: Slip) -> Kind:
    """Return the first kind that fits a slip, whatever its film.

    Raises:
        DesignError: none can be told.

    """
    return next(kind for kind in KINDS if kind.fits(slip))
