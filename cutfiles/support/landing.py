"""Where a taped tab comes to lie: the line to which it is stuck, so that nothing is guessed.

A tab ends inwards at a crease of its own, or in the base it is the end of: there ticks are drawn.
When it is stuck, that line lies at the crease of a board, or on ticks of the panel it is stuck to.
"""

from typing import NamedTuple

from cutfiles.support.contacts import Tape
from cutfiles.support.profile import Fold, walk
from cutfiles.support.standing import Support, along

_MEETS = 2.0
"""A line of a tab meets a crease that lies so near it when all stands, mm."""


class Landing(NamedTuple):
    """The inner end of a taped tab.

    Attributes:
        panel: the tab.
        own: the crease it ends at; None where it ends in ticks.
        at: the crease of a board at which it comes to lie; None where none is near.
        ticks: the panel with the ticks: the tab, or the one it is stuck to; "" where none are.
        place: of the ticks, from the strip's left end, mm.

    """

    panel: str
    own: str | None
    at: str | None
    ticks: str
    place: float


def landing(tape: Tape, support: Support) -> Landing | None:
    """Return where a taped tab comes to lie; None for what is no tab: it lies between creases.

    >>> from cutfiles.bench.slip import slip_from
    >>> from cutfiles.support.design import design
    >>> made = design(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                          "spine_width": 34, "opening_angle": 120}))
    >>> found = landing(made.contacts.tapes[0], made)
    >>> found.at, found.ticks, found.place
    ('left spine', 'left tab', 12.0)
    """
    profile = support.profile
    if not support.panel(tape.panel).part.endswith("tab"):
        return None
    end = profile.index(tape.panel) + (tape.end == "left")
    own = next((fold for fold in profile.folds if fold.after == end), None)
    at = _meeting(end, own, tape, support)
    name = own.name if own else None
    if own is None:
        return Landing(tape.panel, name, at, tape.panel, profile.ends()[end])
    if at is not None:
        return Landing(tape.panel, name, at, "", 0.0)
    corner = walk(profile).corners[end]
    start = profile.ends()[profile.index(tape.to)]
    place = start + along(support.ends_of(tape.to), corner)[0]
    return Landing(tape.panel, name, None, tape.to, place)


def _meeting(end: int, own: Fold | None, tape: Tape, support: Support) -> str | None:
    """Return the crease that an end comes to lie at.

    Of a tab with a crease of its own, only one that bounds the panel it is stuck to: others may not
    be in their places yet.
    """
    corners, i = walk(support.profile).corners, support.profile.index(tape.to)
    near = [
        (abs(corners[fold.after].x - corners[end].x), fold.name)
        for fold in support.profile.folds
        if fold.after != end and (fold.after in (i, i + 1) if own else fold.part == "spine")
    ]
    if not near or min(near)[0] > _MEETS:
        return None
    return min(near)[1]
