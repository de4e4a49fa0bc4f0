"""A support with ticks beside its feet: the allowance drawn, and the support at each tick.

Lengths in mm, angles in radians. A tick is judged like the support itself: its panels and folds
are those of a support of its own, walked, folded and loaded like any other.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from cutfiles.bench.slip import SideName
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point
from cutfiles.support.adjust import TICKS, Foot, Tick, allowance, ticks
from cutfiles.support.profile import Fold, Profile
from cutfiles.support.standing import SIDES, Half, Support, board_of
from cutfiles.support.states import State
from cutfiles.support.verdict import state_of


class FootTicks(NamedTuple):
    """The ticks beside one foot.

    Attributes:
        side: of the book.
        allowance: how much longer its tab is drawn, mm.
        ticks: in the order of their rise.
        states: of the verdict creased at each.

    """

    side: SideName
    allowance: float
    ticks: tuple[Tick, ...]
    states: tuple[State, ...]


def foot_ticks(support: Support) -> tuple[FootTicks, ...]:
    """Return the ticks beside each foot; none where the slip asks for no adjusting.

    Only ticks are kept at which the tab takes its tape and the leg stands upright enough.
    """
    found = []
    for half in support.halves:
        foot = foot_of(support, half)
        if foot is None:
            continue
        changes = changes_of(support)
        held = tuple(tick for tick in ticks(foot, changes) if tick.holds)
        states = tuple(state_of(at_tick(support, half, tick)) for tick in held)
        if held:
            found.append(FootTicks(half.side, allowance(foot, changes), held, states))
    return tuple(found)


def changes_of(support: Support) -> tuple[float, ...]:
    """Return the changes of rise that a slip asks for, mm."""
    return tuple(change for change in TICKS if abs(change) <= support.choices.adjust)


def foot_of(support: Support, half: Half) -> Foot | None:
    """Return the foot of one half; None where it has no leg.

    Where the base ends in a crease there is no tab that could slide: its length counts as 0.
    """
    if not half.stands:
        return None
    board = board_of(support.slip, half.side)
    tab = support.length("tab", half.side)
    first, end = support.profile.piece(f"{half.side} base")
    free = first == 0 or end == len(support.profile.panels)
    return Foot(
        width=board.width,
        panel=support.length("board", half.side),
        slope=half.slope,
        joint=half.joint.y,
        tab=tab if free else 0.0,
        tab_most=support.choices.tab_most,
        tab_least=min(support.choices.tab_least, support.choices.tab_most),
    )


def at_tick(support: Support, half: Half, tick: Tick) -> Support:
    """Return the support with one foot creased at a tick, what is left of its tab trimmed."""
    side, way = half.side, half.way
    apex = Point(
        half.joint.x + way * half_panel(support, half) * math.cos(tick.slope),
        half.joint.y + half_panel(support, half) * math.sin(tick.slope),
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
    return replace(
        support,
        slip=replace(support.slip, opening=opening),
        profile=profile,
        places=tuple(places),
        halves=halves,
    )


def half_panel(support: Support, half: Half) -> float:
    """Return the length of a half's board panel, mm."""
    return support.length("board", half.side)


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


def drawn_longer(support: Support) -> Iterator[tuple[SideName, float]]:
    """Yield each side whose tab is drawn longer, and by how much, mm."""
    changes = changes_of(support)
    for side in SIDES:
        half = support.half(side)
        foot = foot_of(support, half) if half is not None else None
        if foot is not None and foot.tab and changes:
            yield side, allowance(foot, changes)
