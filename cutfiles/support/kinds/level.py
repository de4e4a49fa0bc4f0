"""The level cradle: the spine panel lies level, a wedge on either side of it, or on one.

    S      = spine_width + spine_clearance
    P_i    = W_i − fore_inset
    h_i    = P_i · sin a_i + lift
    base_i = P_i · cos a_i                  the leg stands at 90° to the table

    side by side    tab = min(most, S/2 − gap)    S ≥ 20: a tab takes 6 mm of tape, so it is ≥ 9
    lapped          tab = min(S − 2 gap, max(most, (S + 9)/2))   S ≥ 13; the shorter board's tab
                    under the other, which it meets over 9 mm or more
    one side flat   tab = most                    flat under spine panel and flat board panel

    lift    side by side, one side flat: e    lapped: 2 e    e = stack + tape

(common practice, no source, for S, P and the upright leg; the rest follows by plane geometry)
Narrower spine panels: crossed.
"""

import math

from cutfiles.errors import DesignError, Place
from cutfiles.findings import Finding
from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Contacts
from cutfiles.support.kinds.laid import (
    LEAST_RISE,
    QUARTER,
    Laid,
    Part,
    Wanted,
    chain,
    left_leads,
    mirrored,
    steps_of,
    tape_on_tab,
)
from cutfiles.support.standing import KindName

_STEEP = 15.0
"""A board that lies steeper does not lie flat, degrees."""


def lay_level(wanted: Wanted) -> Laid:
    """Return the strip with the spine panel level and its tabs under it, whatever the step.

    Raises:
        DesignError: no side stands, or there is no room for tabs.

    """
    left, right = wanted.stands("left"), wanted.stands("right")
    if not (left or right):
        rises = f"{wanted.left.rise:.1f} and {wanted.right.rise:.1f}"
        raise DesignError(
            f"rises of {rises} mm",
            f"a cradle needs a side that rises {wanted.least_rise:g} mm or more",
            _instead(wanted),
            Place(field="left_rise"),
        )
    if not (left and right):
        return _one_flat(wanted, left)
    kind, tab = tabs_of(wanted)
    if kind == "lapped" and not left_leads(wanted):
        return mirrored(_under_spine(wanted.mirrored(), kind, tab))
    return _under_spine(wanted, kind, tab)


def _instead(wanted: Wanted) -> str:
    """Return what to do with a book of which no side stands."""
    if math.degrees(max(wanted.left.slope, wanted.right.slope)) <= _STEEP:
        return "this book lies flat by itself: it needs no cradle, or another kind of support"
    if max(wanted.left.rise, wanted.right.rise) >= LEAST_RISE:
        return "a smaller least_rise lets a lower side stand; or another kind of support"
    return (
        "a book so small lies on another kind of support; or were its measures read in a unit "
        "that is not theirs?"
    )


def tabs_of(wanted: Wanted) -> tuple[KindName, float]:
    """Return how two tabs lie, and their length; of crossed ones 0."""
    beside = wanted.spine / 2 - wanted.tab_gap
    if beside >= wanted.tab_least:
        return "side by side", min(wanted.tab_most, beside)
    # two tabs lie on one another by 2 tab − S, and there the lower one takes its tape
    over = wanted.spine - 2 * wanted.tab_gap
    if 2 * over - wanted.spine >= wanted.tab_least:
        lapping = (wanted.spine + wanted.tab_least) / 2
        return "lapped", min(over, max(wanted.tab_most, lapping))
    return "crossed", 0.0


def _under_spine(wanted: Wanted, kind: KindName, tab: float) -> Laid:
    """Return the strip with both tabs taped under the spine panel."""
    half, lapped = wanted.spine / 2, kind == "lapped"
    lift = wanted.lift(2 * wanted.taped if lapped else wanted.taped)
    (left, left_up), (right, right_up) = wanted.left.reach, wanted.right.reach
    parts: list[Part] = [
        ("left tab", tab, Point(-half, 0.0)),
        ("left base", left, Point(-half - left, 0.0)),
        ("left leg", left_up + lift, Point(-half - left, left_up + lift)),
        ("left board", wanted.left.panel, Point(-half, lift)),
        ("spine", wanted.spine, Point(half, lift)),
        ("right board", wanted.right.panel, Point(half + right, right_up + lift)),
        ("right leg", right_up + lift, Point(half + right, 0.0)),
        ("right base", right, Point(half, 0.0)),
        ("right tab", tab, Point(half - tab, 0.0)),
    ]
    profile, places = chain(parts, Point(tab - half, 0.0), fold_angles(wanted), "spine")
    tapes = (
        tape_on_tab(wanted, "left tab", "spine", "table", tab),
        tape_on_tab(wanted, "right tab", "left tab", "book", 2 * tab - wanted.spine)
        if lapped
        else tape_on_tab(wanted, "right tab", "spine", "table", tab),
    )
    return Laid(
        kind=kind,
        profile=profile,
        places=places,
        lift=lift,
        contacts=Contacts(
            tapes=tapes,
            touching=(frozenset({"left base", "right base"}),) if lapped else (),
            table=("left base", "right base"),
        ),
        steps=steps_of(
            profile,
            (
                ("Raise", ("left spine", "right spine"), ()),
                ("Bend", ("left apex", "right apex"), ()),
                ("Turn in", ("left foot", "right foot"), tapes),
            ),
        ),
        told=told(wanted),
    )


def _one_flat(wanted: Wanted, left_stands: bool) -> Laid:
    """Return the strip that ends with a flat board panel; its one tab lies under it."""
    if not left_stands:
        return mirrored(_one_flat(wanted.mirrored(), True))
    spine, flat = wanted.panel, wanted.right.panel
    half, lift = spine / 2, wanted.lift(wanted.taped)
    left, left_up = wanted.left.reach
    tab = tab_in(wanted, spine + flat - wanted.tab_gap, "spine_width")
    parts: list[Part] = [
        ("left tab", tab, Point(-half, 0.0)),
        ("left base", left, Point(-half - left, 0.0)),
        ("left leg", left_up + lift, Point(-half - left, left_up + lift)),
        ("left board", wanted.left.panel, Point(-half, lift)),
        *([("spine", spine, Point(half, lift))] if spine else []),
        ("right board", flat, Point(half + flat, lift)),
    ]
    angles = {name: fold for name, fold in fold_angles(wanted).items() if name.startswith("left")}
    if not spine:
        angles["left board"] = ("spine", wanted.left.slope)
    root = "spine" if spine else "right board"
    profile, places = chain(parts, Point(tab - half, 0.0), angles, root)
    tape = tape_on_tab(wanted, "left tab", "spine", "table", tab)
    if tab - tape.clear - tape.width / 2 > spine:  # its middle lies beyond the spine panel
        tape = tape_on_tab(wanted, "left tab", "right board", "table", tab)
    return Laid(
        kind="one side flat",
        profile=profile,
        places=places,
        lift=lift,
        contacts=Contacts(tapes=(tape,), table=("left base",)),
        steps=steps_of(
            profile,
            (
                ("Raise", (angles["left board"][0],), ()),
                ("Bend", ("left apex",), ()),
                ("Turn in", ("left foot",), (tape,)),
            ),
        ),
        told=told(wanted),
    )


def tab_in(wanted: Wanted, room: float, field: str) -> float:
    """Return the length of a tab that has this room, mm.

    Raises:
        DesignError: there is too little.

    """
    if room < wanted.tab_least:
        raise DesignError(
            f"{max(0.0, room):.1f} mm of room for a tab",
            f"it is at least {wanted.tab_least:g} mm long, or tape does not hold",
            "choose another kind of support",
            Place(field=field),
        )
    return min(wanted.tab_most, room)


def fold_angles(wanted: Wanted) -> dict[str, tuple[str, float]]:
    """Return crease and fold angle after each panel, both sides standing."""
    left, right = wanted.left.slope, wanted.right.slope
    return {
        "left base": ("left foot", -QUARTER),
        "left leg": ("left apex", -(QUARTER + left)),
        "left board": ("left spine", left),
        "spine": ("right spine", right),
        "right board": ("right apex", -(QUARTER + right)),
        "right leg": ("right foot", -QUARTER),
    }


def told(wanted: Wanted) -> tuple[Finding, ...]:
    """Return what is told of a step that is laid level."""
    if not wanted.step:
        return ()
    said = f"a step of {abs(wanted.step):.1f} mm is under {wanted.least_riser:g}: laid level"
    return (Finding("level", "spine", said, abs(wanted.step), wanted.least_riser),)
