"""A support with ticks beside its feet: the allowance drawn, and the support at each tick.

Lengths in mm, angles in radians. A tick is judged like the support itself: its panels and folds
are those of a support of its own, walked, folded and loaded like any other.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from cutfiles.bench.book import SideName
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point
from cutfiles.support.adjust import Tick
from cutfiles.support.profile import Fold, Profile
from cutfiles.support.spare import ticks_of, trimmed
from cutfiles.support.standing import Half, Support, board_of
from cutfiles.support.states import State
from cutfiles.support.trials import Trial
from cutfiles.support.verdict import state_of


class FootTicks(NamedTuple):
    """The ticks beside one foot.

    Attributes:
        side: of the book.
        ticks: in the order of their rise.
        states: of the verdict creased at each.
        creased: the support at each.

    """

    side: SideName
    ticks: tuple[Tick, ...]
    states: tuple[State, ...]
    creased: tuple[Support, ...]


def foot_ticks(support: Support, trials: Sequence[Trial]) -> tuple[FootTicks, ...]:
    """Return the ticks beside each foot; none where the slip asks for no adjusting.

    Only ticks are kept that hold (see `ticks_of`). A foot creased anew makes another piece: what
    stood before proves it no more, unless its leg is as long as the one that stood.
    """
    found = []
    for half in support.halves:
        held = ticks_of(support, half)
        creased = tuple(at_tick(support, half, tick) for tick in held)
        states = tuple(state_of(one, trials) for one in creased)
        if held:
            found.append(FootTicks(half.side, held, states, creased))
    return tuple(found)


def at_tick(support: Support, half: Half, tick: Tick) -> Support:
    """Return the support with one foot creased at a tick, what is left of its tab trimmed."""
    side, way = half.side, half.way
    support = trimmed(support, side)
    panel = support.length("board", side)
    apex = Point(
        half.joint.x + way * panel * math.cos(tick.slope),
        half.joint.y + panel * math.sin(tick.slope),
    )
    places = list(support.places)
    leg = support.profile.index(f"{side} leg")
    top, foot = (leg, leg + 1) if side == "right" else (leg + 1, leg)
    places[top] = apex
    if tick.tab:
        places[foot] = Point(apex.x, 0.0)
        tab = support.profile.index(f"{side} tab")
        tip, end = (tab + 1, tab) if side == "right" else (tab, tab + 1)
        x = places[end].x
        places[tip] = Point(x + math.copysign(tick.tab, places[tip].x - x), 0.0)
    else:
        x = places[foot].x
        places[foot] = Point(x - way * tick.shift, 0.0)
    profile = _through(support.profile, places)
    board = replace(board_of(support.slip, side), slope=math.degrees(tick.slope))
    opening = support.slip.opening
    opening = replace(opening, left=board) if side == "left" else replace(opening, right=board)
    halves = tuple(
        replace(one, slope=tick.slope, apex=apex) if one.side == side else one
        for one in support.halves
    )
    choices = replace(support.choices, adjust=0.0)
    return replace(
        support,
        slip=replace(support.slip, opening=opening, choices=choices),
        profile=profile,
        places=tuple(places),
        halves=halves,
    )


def _through(profile: Profile, places: Sequence[Point]) -> Profile:
    """Return the profile whose panels end at these places, turned the way they were."""
    headings = [math.atan2(end.y - start.y, end.x - start.x) for start, end in pairwise(places)]
    panels = tuple(
        replace(panel, length=distance(places[i], places[i + 1]))
        for i, panel in enumerate(profile.panels)
    )
    folds = tuple(_turned(fold, headings) for fold in profile.folds)
    i = profile.standing
    root = replace(profile.root, at=places[i], heading=headings[i])
    return Profile(panels, folds, root)


def _turned(fold: Fold, headings: Sequence[float]) -> Fold:
    """Return a fold with the angle between its panels that is nearest to what it was."""
    turn = headings[fold.after] - headings[fold.after - 1]
    whole = round((fold.angle - turn) / math.tau)
    return replace(fold, angle=turn + whole * math.tau)
