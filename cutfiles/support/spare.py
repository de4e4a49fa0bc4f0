"""Spare film at the end of a tab, for a foot to be creased anew at the bench.

Lengths in mm, angles in radians. The spare is a panel of its own beyond the tab, never taped: what
is left of it when the book lies right is cut off.
"""

import math
from dataclasses import replace

from cutfiles.bench.book import SideName
from cutfiles.plane.shapes import Point
from cutfiles.support.adjust import TICKS, Foot, Tick, allowance, ticks
from cutfiles.support.construct import made_of
from cutfiles.support.constructions.strip import NOTCH
from cutfiles.support.profile import Panel, Profile
from cutfiles.support.standing import Half, Support, board_of

SPARE = "spare"
"""The part that is cut off in the end."""
LEAST = 0.5
"""A shorter one is no strip that scissors cut off, mm: the tab does without where it can."""


def changes_of(support: Support) -> tuple[float, ...]:
    """Return the changes of rise that a slip asks for, mm."""
    return tuple(change for change in TICKS if abs(change) <= support.choices.adjust)


def foot_of(support: Support, half: Half) -> Foot | None:
    """Return the foot of one half, its spare counted as tab; None where it cannot be changed.

    It cannot without a leg, nor where spine and board panel are one piece without a crease.
    Where the base ends in a crease there is no tab that could slide: its length counts as 0.
    """
    joint = support.profile.index(f"{half.side} board") + (half.side == "left")
    if not half.stands or not any(fold.after == joint for fold in support.profile.folds):
        return None
    first, end = support.profile.piece(f"{half.side} base")
    free = first == 0 or end == len(support.profile.panels)
    tab = support.length("tab", half.side)
    return Foot(
        width=board_of(support.slip, half.side).width,
        panel=support.length("board", half.side),
        slope=half.slope,
        joint=half.joint.y,
        tab=tab + support.length(SPARE, half.side) if free else 0.0,
        tab_most=tab if free else support.choices.tab_most,
        tab_least=min(support.choices.tab_least, support.choices.tab_most),
    )


def ticks_of(support: Support, half: Half) -> tuple[Tick, ...]:
    """Return the ticks of one half's foot that hold, in the order of their rise.

    The tab takes its tape there, the leg stands upright enough, and no post and no lip is in the
    way: a post stands as high as its leg was drawn, a lip ends just above the foot.
    """
    changes, way = changes_of(support), made_of(support)[0]
    foot = foot_of(support, half) if changes else None
    if foot is None or way == "posts":
        return ()
    lowest = -NOTCH if way == "lips" else -math.inf
    held = (tick for tick in ticks(foot, changes) if tick.holds)
    return tuple(tick for tick in held if tick.shift >= lowest)


def with_spare(support: Support) -> Support:
    """Return a support whose free tabs have the spare that its ticks take."""
    changes = changes_of(support)
    for half in support.halves if changes else ():
        foot = foot_of(support, half)
        if foot is None or not foot.tab:
            continue
        more = allowance(foot, changes)
        without = all(tick.holds for tick in ticks(foot, changes))
        if more >= LEAST or (more > 0 and not without):
            support = _longer(support, half.side, more)
    return _lapping(support)


def _lapping(support: Support) -> Support:
    """Return a support whose tabs may lie on one another by their spare, until it is cut off."""
    left, right = support.places[0], support.places[-1]
    on_the_table = max(left.y, right.y) < 1e-6
    if not on_the_table or left.x <= right.x:
        return support
    contacts = support.contacts
    pair = frozenset({"left base", "right base"})
    return replace(support, contacts=replace(contacts, touching=(*contacts.touching, pair)))


def _longer(support: Support, side: SideName, more: float) -> Support:
    profile, places = support.profile, support.places
    panel = Panel(SPARE, side, more)
    if side == "left":
        folds = tuple(replace(fold, after=fold.after + 1) for fold in profile.folds)
        tip = _beyond(places[1], places[0], more)
        made = Profile((panel, *profile.panels), folds, profile.root)
        return replace(support, profile=made, places=(tip, *places))
    tip = _beyond(places[-2], places[-1], more)
    made = replace(profile, panels=(*profile.panels, panel))
    return replace(support, profile=made, places=(*places, tip))


def trimmed(support: Support, side: SideName) -> Support:
    """Return a support with one side's spare cut off."""
    if not support.length(SPARE, side):
        return support
    profile, places = support.profile, support.places
    if side == "left":
        folds = tuple(replace(fold, after=fold.after - 1) for fold in profile.folds)
        made = Profile(profile.panels[1:], folds, profile.root)
        return replace(support, profile=made, places=places[1:])
    made = replace(profile, panels=profile.panels[:-1])
    return replace(support, profile=made, places=places[:-1])


def _beyond(start: Point, end: Point, more: float) -> Point:
    """Return the place so far beyond the end of a panel, mm."""
    heading = math.atan2(end.y - start.y, end.x - start.x)
    return Point(end.x + more * math.cos(heading), end.y + more * math.sin(heading))
