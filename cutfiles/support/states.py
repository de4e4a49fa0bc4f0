"""The verdict's states, and what follows from how sure a construction is.

*adequate*: sure by what is counted. *proved*: this very piece stood under its dummy. *make a
trial*: not sure, yet within what the construction may reach if all that is not counted helps.
*another support*: beyond that. Numbers are compared unrounded.
"""

from collections.abc import Iterable
from typing import Literal, get_args

from cutfiles.support.constructions.plate import Construction

State = Literal["proved", "adequate", "make a trial", "another support"]
STATES: tuple[State, ...] = get_args(State)
"""From the best to the worst."""

SAFE = 1.25
"""Least ratio of what is sure to the load, and least ratio left for six months of a trial."""
REACH_ONE_LAYER, REACH_THIRDS, REACH_CORNERS = 2.5, 5.0, 3.0
"""λ_U: how many times its sure load a construction may reach at most: one plain layer (creases,
friction, reserve), three layers (their tie), lips and posts (reserve past rippling)."""


def reach(construction: Construction, layers: int) -> float:
    """Return λ_U, how many times its sure load a construction may reach at most."""
    if construction != "plain":
        return REACH_CORNERS
    return REACH_THIRDS if layers > 1 else REACH_ONE_LAYER


def strength_state(sure: float, most: float) -> State:
    """Return what follows from sure = C/F alone, λ_U given.

    >>> strength_state(1.25, 2.5), strength_state(0.5, 2.5), strength_state(0.49, 2.5)
    ('adequate', 'make a trial', 'another support')

    """
    if sure >= SAFE:
        return "adequate"
    return "make a trial" if most * sure >= SAFE else "another support"


def verdict_state(
    strength: State, checks: Iterable[State] = (), *, stood: bool = False, guessed: bool = False
) -> State:
    """Return the state of a support: the worst of all, and what a trial of this piece adds.

    Args:
        strength: of the weakest leg.
        checks: states of the checks that stay.
        stood: whether this very piece stood as long and as loaded as proves it. It answers every
            "make a trial", never "another support".
        guessed: whether joints were guessed: at most "make a trial", whatever stood.

    >>> verdict_state("make a trial", ["adequate"], stood=True)
    'proved'
    >>> verdict_state("adequate", stood=True, guessed=True)
    'make a trial'

    """
    worst = max((strength, *checks), key=STATES.index)
    if worst == "another support":
        return worst
    if guessed:
        return "make a trial"
    return "proved" if stood else worst
