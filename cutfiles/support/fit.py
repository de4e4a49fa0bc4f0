"""Fit: how far a support may stand off from where its book was measured, and what follows.

One table for the fitting at the bench, the end-view card, the look after a day, and for using a
support again for another book. A measure repeats to 1 to 2 mm and 3°, and film gives a sixtieth of
a panel, 3 mm at most: from that the limits were reasoned; none was tried.
"""

from collections.abc import Iterable
from typing import Literal, NamedTuple, get_args

Judgement = Literal["harmless", "ask", "not to be used"]
Part = Literal["joint", "fore edge", "slope", "spine panel"]
JUDGEMENTS: tuple[Judgement, ...] = get_args(Judgement)


class Allowed(NamedTuple):
    """How far a part may be off, one way.

    Attributes:
        harmless: up to here nothing follows.
        ask: up to here somebody looks at it; beyond, it is not to be used.

    """

    harmless: float
    ask: float

    def judge(self, off: float) -> Judgement:
        """Return what follows from a difference of this size."""
        if off <= self.harmless:
            return "harmless"
        return "ask" if off <= self.ask else "not to be used"


class Row(NamedTuple):
    """One part of the table of fit.

    Attributes:
        part: what is compared.
        unit: ``mm`` or ``°``.
        over: the support's measure larger than the book's.
        under: the support's measure smaller than the book's.
        why: what happens.

    """

    part: Part
    unit: str
    over: Allowed
    under: Allowed
    why: str


FIT: tuple[Row, ...] = (
    Row(
        "joint",
        "mm",
        Allowed(2, 4),
        Allowed(2, 4),
        "too low hangs the cover on its hinge, which is worse; too high closes the book a little",
    ),
    Row("fore edge", "mm", Allowed(2, 4), Allowed(2, 4), "too low opens the book further"),
    Row("slope", "°", Allowed(3, 5), Allowed(3, 5), "too flat opens the book further"),
    Row("spine panel", "mm", Allowed(3, 6), Allowed(0, 1), "too narrow pinches the spine"),
)
"""A spine's tilt has no row: the heights of the joints decide."""


def row_of(part: Part) -> Row:
    """Return one part's row."""
    return next(row for row in FIT if row.part == part)


def judge_fit(part: Part, off: float) -> Judgement:
    """Return what follows from a difference: the support's measure less the book's, mm or degrees.

    >>> judge_fit("joint", -2.5), judge_fit("spine panel", 2.5), judge_fit("spine panel", -2.5)
    ('ask', 'harmless', 'not to be used')
    """
    row = row_of(part)
    return (row.over if off >= 0 else row.under).judge(abs(off))


def worst_of(found: Iterable[Judgement]) -> Judgement:
    """Return the worst of several judgements; harmless where there is none."""
    return max(found, key=JUDGEMENTS.index, default="harmless")
