"""Lays out a strip whose spine panel is level: tabs side by side, lapped, crossed, or one alone.

    side by side    tab = min(most, S/2 − gap)    S ≥ 20: a tab takes 6 mm of tape, so it is ≥ 9
    lapped          tab = min(S − 2 gap, max(most, (S + 9)/2))   S ≥ 13; the right tab under the
                    left one, which it meets over 9 mm or more
    crossed         under 13: each base runs on past its own joint to be taped beyond the other
    one side flat   tab = most                    flat under spine panel and flat board panel

Crossed: the left base runs on by S and its tab is taped under the right base; the right base runs
on over it by S, and from the left joint its tab goes up under the left board panel, by a crease of
−a_L. That pins both joints; base to base alone would stand by friction only. A spine panel under
4 is left out: one crease of a_L + a_R. Lift: what lies under the joints.

    lift    side by side, one side flat: e    lapped: 2 e    crossed: 2 stack    e = stack + tape

Derived; nothing of it was folded in film.
"""

import math

from cutfiles.errors import DesignError, Place
from cutfiles.findings import Finding
from cutfiles.plane.shapes import Point
from cutfiles.support.linkages.linkage import (
    BoardLie,
    Contact,
    Kind,
    Linkage,
    Part,
    Rest,
    Step,
    Wanted,
    chain,
    mirrored,
)

NARROWEST_PANEL = 4.0
"""A narrower spine panel is left out, mm."""
QUARTER = math.pi / 2


def level_linkage(wanted: Wanted) -> Linkage:
    """Return the strip with the spine panel level, whatever the step.

    Raises:
        DesignError: no side stands, or there is no room for tabs.

    """
    stands = [side.rise >= wanted.least_rise for side in (wanted.left, wanted.right)]
    if not any(stands):
        rises = f"{wanted.left.rise:.1f} and {wanted.right.rise:.1f}"
        raise DesignError(
            f"rises of {rises} mm",
            f"a cradle needs a side that rises {wanted.least_rise:g} mm or more",
            "this book lies flat by itself: it needs no cradle, or another kind of support",
            Place(field="left_rise"),
        )
    if not all(stands):
        return _one_flat(wanted, stands[0])
    way, tab = _way(wanted)
    return _crossed(wanted) if way == "crossed" else _under_spine(wanted, way, tab)


def _way(wanted: Wanted) -> tuple[Kind, float]:
    """Return how two tabs lie, and their length."""
    beside = wanted.spine / 2 - wanted.tab_gap
    if beside >= wanted.tab_least:
        return "side by side", min(wanted.tab_most, beside)
    # two tabs lie on one another by 2 tab − S, and there the lower one takes its tape
    over = wanted.spine - 2 * wanted.tab_gap
    if 2 * over - wanted.spine >= wanted.tab_least:
        lapping = (wanted.spine + wanted.tab_least) / 2
        return "lapped", min(over, max(wanted.tab_most, lapping))
    return "crossed", 0.0


def _reach(board: BoardLie) -> tuple[float, float]:
    """Return how far a board panel reaches outwards and upwards, mm."""
    return board.panel * math.cos(board.slope), board.panel * math.sin(board.slope)


def _under_spine(wanted: Wanted, kind: Kind, tab: float) -> Linkage:
    """Return the strip with both tabs taped under the spine panel."""
    half = wanted.spine / 2
    lift = _lift(wanted, 2 * wanted.taped if kind == "lapped" else wanted.taped)
    (left, left_up), (right, right_up) = _reach(wanted.left), _reach(wanted.right)
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
    made = chain(parts, Point(tab - half, 0.0), _angles(wanted))
    last = Contact("right tab", "table", "spine", "table", tab)
    if kind == "lapped":
        last = Contact("right tab", "table", "left tab", "book", 2 * tab - wanted.spine)
    return Linkage(
        kind=kind,
        panels=made.panels,
        folds=made.folds,
        places=made.places,
        lift=lift,
        step=0.0,
        tilt=0.0,
        contacts=(Contact("left tab", "table", "spine", "table", tab), last),
        steps=_steps(kind),
        told=_told(wanted),
    )


def _crossed(wanted: Wanted) -> Linkage:
    """Return the strip whose bases run on past the joints."""
    spine = wanted.spine if wanted.spine >= NARROWEST_PANEL else 0.0
    half = spine / 2
    lift = _lift(wanted, 2 * wanted.stack)
    (left, left_up), (right, right_up) = _reach(wanted.left), _reach(wanted.right)
    tabs = (
        _tab(wanted, right - wanted.tab_gap, "right_width"),
        _tab(wanted, wanted.left.panel - wanted.tab_gap, "left_width"),
    )
    slope = wanted.left.slope
    tip = Point(-half - tabs[1] * math.cos(slope), tabs[1] * math.sin(slope))
    parts: list[Part] = [
        ("left tab", tabs[0], Point(half, 0.0)),
        ("left base", left + spine, Point(-half - left, 0.0)),
        ("left leg", left_up + lift, Point(-half - left, left_up + lift)),
        ("left board", wanted.left.panel, Point(-half, lift)),
        *([("spine", spine, Point(half, lift))] if spine else []),
        ("right board", wanted.right.panel, Point(half + right, right_up + lift)),
        ("right leg", right_up + lift, Point(half + right, 0.0)),
        ("right base", right + spine, Point(-half, 0.0)),
        ("right tab", tabs[1], tip),
    ]
    angles = _angles(wanted) | {"right base": ("right joint", -slope)}
    if not spine:
        angles["left board"] = ("spine", slope + wanted.right.slope)
        del angles["spine"]
    made = chain(parts, Point(half + tabs[0], 0.0), angles)
    return Linkage(
        kind="crossed",
        panels=made.panels,
        folds=made.folds,
        places=made.places,
        lift=lift,
        step=0.0,
        tilt=0.0,
        contacts=(
            Contact("right tab", "table", "left board", "table", tabs[1]),
            Contact("left tab", "table", "right base", "book", tabs[0]),
        ),
        rests=(Rest("spine", "right base", Point(half, lift)),) if spine else (),
        steps=_steps("crossed", bool(spine)),
        told=_told(wanted),
    )


def _one_flat(wanted: Wanted, left_stands: bool) -> Linkage:
    """Return the strip that ends with a flat board panel; its one tab lies under it."""
    if not left_stands:
        return mirrored(_one_flat(wanted.mirrored(), True))
    spine = wanted.spine if wanted.spine >= NARROWEST_PANEL else 0.0
    half, flat = spine / 2, wanted.right.panel
    lift = _lift(wanted, wanted.taped)
    left, left_up = _reach(wanted.left)
    tab = _tab(wanted, spine + flat - wanted.tab_gap, "spine_width")
    parts: list[Part] = [
        ("left tab", tab, Point(-half, 0.0)),
        ("left base", left, Point(-half - left, 0.0)),
        ("left leg", left_up + lift, Point(-half - left, left_up + lift)),
        ("left board", wanted.left.panel, Point(-half, lift)),
        *([("spine", spine, Point(half, lift))] if spine else []),
        ("right board", flat, Point(half + flat, lift)),
    ]
    angles = {name: fold for name, fold in _angles(wanted).items() if name.startswith("left")}
    if not spine:
        angles["left board"] = ("spine", wanted.left.slope)
    made = chain(parts, Point(tab - half, 0.0), angles)
    onto_spine = min(tab, spine)
    under = (("spine", onto_spine), ("right board", tab - onto_spine))
    return Linkage(
        kind="one side flat",
        panels=made.panels,
        folds=made.folds,
        places=made.places,
        lift=lift,
        step=0.0,
        tilt=0.0,
        contacts=tuple(
            Contact("left tab", "table", name, "table", room) for name, room in under if room > 0
        ),
        steps=(
            Step((angles["left board"][0],)),
            Step(("left apex",)),
            Step(("left foot",), ("left tab",)),
        ),
        told=_told(wanted),
    )


def _lift(wanted: Wanted, under: float) -> float:
    return under if wanted.deck_lift is None else wanted.deck_lift


def _tab(wanted: Wanted, room: float, field: str) -> float:
    """Return the length of a tab that has this room.

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


def _angles(wanted: Wanted) -> dict[str, tuple[str, float]]:
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


def _steps(kind: Kind, has_spine: bool = True) -> tuple[Step, ...]:
    first = [
        Step(("left spine", "right spine") if has_spine else ("spine",)),
        Step(("left apex", "right apex")),
    ]
    left, right = Step(("left foot",), ("left tab",)), Step(("right foot",), ("right tab",))
    match kind:
        case "crossed":
            return *first, Step(("right joint",)), right, left
        case "lapped":
            return *first, left, right
        case _:
            return *first, right, left


def _told(wanted: Wanted) -> tuple[Finding, ...]:
    if not wanted.step:
        return ()
    said = f"a step of {abs(wanted.step):.1f} mm is under {wanted.least_riser:g}: laid level"
    return (Finding("level", "spine", said, abs(wanted.step), wanted.least_riser),)
