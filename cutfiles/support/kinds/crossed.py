"""Crossed: under a spine too narrow for two tabs each base runs on past its own joint.

The left base runs on by S and its tab is taped under the right base; the right base runs on over
it by S, and from the left joint its tab goes up under the left board panel, by a crease of −a_L.
That pins both joints; base to base alone would stand by friction only. A spine panel under 4 is
left out: one crease of a_L + a_R. So with the longer board left; else mirrored.

    lift    2 stack

Derived; nothing of it was folded in film.
"""

import math

from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Contacts, Rest
from cutfiles.support.kinds.laid import (
    Laid,
    Part,
    Wanted,
    chain,
    left_leads,
    mirrored,
    steps_of,
    tape_on_tab,
)
from cutfiles.support.kinds.level import fold_angles, tab_in, tabs_of, told


def is_crossed(wanted: Wanted) -> bool:
    """Tell whether both sides stand and the spine has no room for two tabs."""
    both = wanted.stands("left") and wanted.stands("right")
    return both and tabs_of(wanted)[0] == "crossed"


def lay_crossed(wanted: Wanted) -> Laid:
    """Return the strip whose bases run on past the joints.

    Raises:
        DesignError: there is no room for its tabs.

    """
    if not left_leads(wanted):
        return mirrored(_left_up(wanted.mirrored(), "left_width"))
    return _left_up(wanted, "right_width")


def _left_up(wanted: Wanted, other: str) -> Laid:
    """Return the strip whose right tab goes up under the left board panel.

    Args:
        wanted: what it is laid out for.
        other: the field of the right board's width, for a refusal: the shorter one.

    """
    spine = wanted.panel
    half, lift = spine / 2, wanted.lift(2 * wanted.stack)
    (left, left_up), (right, right_up) = wanted.left.reach, wanted.right.reach
    under = tab_in(wanted, right - wanted.tab_gap, other)
    up = min(wanted.tab_most, wanted.left.panel - wanted.tab_gap)  # it has more room than the other
    slope = wanted.left.slope
    parts: list[Part] = [
        ("left tab", under, Point(half, 0.0)),
        *([("left run-on", spine, Point(-half, 0.0))] if spine else []),
        ("left base", left, Point(-half - left, 0.0)),
        ("left leg", left_up + lift, Point(-half - left, left_up + lift)),
        ("left board", wanted.left.panel, Point(-half, lift)),
        *([("spine", spine, Point(half, lift))] if spine else []),
        ("right board", wanted.right.panel, Point(half + right, right_up + lift)),
        ("right leg", right_up + lift, Point(half + right, 0.0)),
        ("right base", right, Point(half, 0.0)),
        *([("right run-on", spine, Point(-half, 0.0))] if spine else []),
        ("right tab", up, Point(-half - up * math.cos(slope), up * math.sin(slope))),
    ]
    last = "right run-on" if spine else "right base"
    angles = fold_angles(wanted) | {last: ("right joint", -slope)}
    if not spine:
        angles["left board"] = ("spine", slope + wanted.right.slope)
        del angles["spine"]
    root = "spine" if spine else "left board"
    profile, places = chain(parts, Point(half + under, 0.0), angles, root)
    onto_board = tape_on_tab(wanted, "right tab", "left board", "table", up)
    onto_base = tape_on_tab(wanted, "left tab", "right base", "book", under)
    rests = (Rest("spine", "right run-on", Point(half, lift)),) if spine else ()
    return Laid(
        kind="crossed",
        profile=profile,
        places=places,
        lift=lift,
        contacts=Contacts(
            tapes=(onto_board, onto_base),
            touching=(
                frozenset({"left base", "right base"}),
                frozenset({"right tab", "left board"}),
                frozenset({"right tab", "left base"}),
            ),
            table=("left base", "right base"),
            rests=rests,
        ),
        steps=steps_of(
            profile,
            (
                ("Raise", ("left spine", "right spine", "spine"), ()),
                ("Bend", ("left apex", "right apex"), ()),
                ("Bend up", ("right joint",), ()),
                ("Turn in", ("right foot",), (onto_board,)),
                ("Turn in", ("left foot",), (onto_base,)),
            ),
        ),
        told=told(wanted),
    )
