"""The level cradle: the spine panel lies level, a wedge on either side of it.

    S      = spine_width + spine_clearance
    P_i    = W_i − fore_inset
    h_i    = P_i · sin a_i + deck_lift       deck_lift = layers · gauge + tape_thickness
    base_i = P_i · cos a_i                   the leg stands at 90° to the table
    tab_i  = min(tab_most, S/2 − tab_gap)    under tab_least: lapped, S − 2 · tab_gap
    b      = H − 2 · end_inset

(common practice, no source; the closing of the profile follows from these by plane geometry)
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from cutfiles.bench.slip import SideName, Slip
from cutfiles.errors import DesignError
from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Contacts, Tape, tape_place
from cutfiles.support.profile import Fold, Panel, Profile, Root
from cutfiles.support.standing import SIDES, Bearing, Half, Support, board_of
from cutfiles.support.steps import FoldStep, first_steps, folding

SHORTEST_TAB = 2.0
"""A shorter tab holds no tape, mm (common practice, no source)."""
SHORTEST_PANEL = 5.0
"""A shorter board panel carries no board, mm (common practice, no source)."""
LEAST_FILM = 1.0
"""What a hole, a gap or a corner leaves of the film beside it, mm (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wedge:
    """One side: lengths in mm, slope in radians; board alone where it does not stand."""

    side: SideName
    stands: bool
    slope: float
    board: float
    leg: float
    base: float
    tab: float


def design(slip: Slip) -> Support:
    """Return the cradle for a slip.

    Raises:
        DesignError: no cradle follows from the measures; says which one, and what to do.

    """
    choices, film, opening = slip.choices, slip.film, slip.opening
    spine = opening.spine_width + choices.spine_clearance
    lift = choices.deck_lift
    if lift is None:
        lift = film.stack + choices.tape_thickness
    breadth = slip.book.height - 2 * choices.end_inset
    stands = {side: board_of(slip, side).rise >= choices.least_rise for side in SIDES}
    tab, lapped = _tab(slip, spine, both=all(stands.values()))
    left, right = (_wedge(slip, side, stands[side], lift, tab) for side in SIDES)
    _refuse_flat(slip, stands)
    _refuse_small(slip, breadth)
    _refuse_settings(slip, breadth, spine, (left, right))
    profile = _profile(left, right, spine, lift)
    tapes = tuple(_tapes(left, right, lapped, choices.tape_inset))
    standing = tuple(wedge for wedge in (left, right) if wedge.stands)
    manner = "lapped" if lapped else "side by side" if len(standing) == 2 else "one side flat"
    return Support(
        slip=slip,
        kind=f"level, {manner}",
        breadth=breadth,
        deck_lift=lift,
        profile=profile,
        places=(*_places(left, spine, lift)[::-1], *_places(right, spine, lift)),
        halves=tuple(_half(wedge, spine, lift, opening.spine_width) for wedge in (left, right)),
        bearings=tuple(Bearing(f"{wedge.side} leg", wedge.side) for wedge in standing),
        contacts=Contacts(
            tapes=tapes,
            touching=(frozenset({"left base", "right base"}),) if lapped else (),
            table=tuple(f"{wedge.side} base" for wedge in standing),
        ),
        steps=_steps(slip, profile, tapes, lapped),
    )


def _tab(slip: Slip, spine: float, both: bool) -> tuple[float, bool]:
    """Return the length of the tabs, and whether two of them lie on one another."""
    choices = slip.choices
    beside = min(choices.tab_most, spine / 2 - choices.tab_gap)
    if beside >= choices.tab_least:
        return beside, False
    tab = spine - 2 * choices.tab_gap
    if tab < SHORTEST_TAB:
        needed = SHORTEST_TAB + 2 * choices.tab_gap - slip.opening.spine_width
        raise DesignError(
            f"a spine panel of {spine:.1f} mm, which leaves a tab of {tab:.1f} mm",
            f"a tab is at least {SHORTEST_TAB:g} mm long, or tape does not hold",
            f'set spine_clearance = "{math.ceil(needed)} mm" under [support], or choose another '
            "kind of support",
            slip.source.at("spine_width"),
        )
    return tab, both


def _wedge(slip: Slip, side: SideName, stands: bool, lift: float, tab: float) -> _Wedge:
    board = board_of(slip, side)
    length = board.width - slip.choices.fore_inset
    if length < SHORTEST_PANEL:
        raise DesignError(
            f"a board panel of {length:.1f} mm",
            f"it is at least {SHORTEST_PANEL:g} mm long",
            "check the width, or make fore_inset smaller",
            slip.source.at(f"{side}_width"),
        )
    if not stands:
        return _Wedge(side=side, stands=False, slope=0.0, board=length, leg=0.0, base=0.0, tab=0.0)
    slope = math.radians(board.slope)
    return _Wedge(
        side=side,
        stands=True,
        slope=slope,
        board=length,
        leg=length * math.sin(slope) + lift,
        base=length * math.cos(slope),
        tab=tab,
    )


def _refuse_flat(slip: Slip, stands: dict[SideName, bool]) -> None:
    if any(stands.values()):
        return
    if re.search(r"\bclosed\b", slip.opening.label, re.IGNORECASE):
        raise DesignError(
            f'a closed book ("{slip.opening.label}")',
            "a cradle carries an open book",
            "a closed book stands on a wedge or lies flat: choose another kind of support",
            slip.source.at("opening"),
        )
    rises = " and ".join(f"{board_of(slip, side).rise:.1f}" for side in SIDES)
    raise DesignError(
        f"rises of {rises} mm",
        f"a cradle needs a side that rises {slip.choices.least_rise:g} mm or more",
        "this book lies flat by itself: it needs no cradle, or another kind of support",
        slip.source.at("left_rise"),
    )


def _refuse_small(slip: Slip, breadth: float) -> None:
    least = 2 * slip.choices.corner_radius + SHORTEST_PANEL
    if breadth < least:
        raise DesignError(
            f"a finished breadth of {breadth:.1f} mm",
            f"it is at least {least:g} mm, for the corners to be rounded",
            "check height, end_inset and corner_radius",
            slip.source.at("height"),
        )


def _refuse_settings(
    slip: Slip, breadth: float, spine: float, wedges: tuple[_Wedge, _Wedge]
) -> None:
    """Refuse a setting that its panels have no room for, each within its own range though it is."""
    for name, most, why in _limits(slip, breadth, spine, wedges):
        value = getattr(slip.choices, name)
        if value > most:
            raise DesignError(
                f"{value:g} mm",
                f"{name} is at most {math.floor(most * 10) / 10:g} mm here, for {why}",
                "make it smaller, or leave it out",
                slip.source.at(f"support.{name}"),
            )


def _limits(
    slip: Slip, breadth: float, spine: float, wedges: tuple[_Wedge, _Wedge]
) -> Iterator[tuple[str, float, str]]:
    """Yield setting, largest value and reason; what bounds another one stands before it."""
    choices, film = slip.choices, slip.film
    ends = [w.base + w.tab if w.stands else w.board for w in wedges]
    # on the flaps a foot comes nearer to the end of the strip: by the half of its own fold
    nearer = (film.layers - 1) * film.gauge * choices.nesting * math.pi / 4
    yield "corner_radius", min(ends) - nearer, "a rounded corner ends before the first crease"
    lowest = 0.0
    if film.layers == 3:
        room = breadth - 2.5 * film.gauge - LEAST_FILM
        yield "fold_gap", room, "the inner flap is what it leaves of the breadth"
        yield "edge_gap", room, "the outer flap is what it leaves of the breadth"
        least = min(room / 2, room - choices.fold_gap, room - choices.edge_gap)
        yield "score_gap", least, "a score needs some length on each third of the strip"
        if choices.relief_diameter:
            panels = [
                spine,
                *ends,
                *(w.leg for w in wedges if w.stands),
                *(w.board for w in wedges),
            ]
            least = min(panels) - nearer - LEAST_FILM
            yield "relief_diameter", least, "holes stand apart at the ends of the shortest panel"
        lowest = choices.edge_gap
    most = (breadth - lowest - LEAST_FILM) / 2
    yield "tape_inset", most, "tape has room between its edges"


def _profile(left: _Wedge, right: _Wedge, spine: float, lift: float) -> Profile:
    """Return panels and folds from left to right; a side that does not stand has only a board."""
    panels: list[Panel] = []
    folds: list[Fold] = []
    quarter = math.pi / 2
    if left.stands:
        panels = [
            Panel("tab", "left", left.tab),
            Panel("base", "left", left.base),
            Panel("leg", "left", left.leg),
        ]
        folds = [
            Fold("foot", "left", 2, -quarter),
            Fold("apex", "left", 3, -(quarter + left.slope)),
            Fold("spine", "left", 4, left.slope),
        ]
    panels += [Panel("board", "left", left.board), Panel("spine", None, spine)]
    panels.append(Panel("board", "right", right.board))
    if right.stands:
        count = len(panels)
        folds += [
            Fold("spine", "right", count - 1, right.slope),
            Fold("apex", "right", count, -(quarter + right.slope)),
            Fold("foot", "right", count + 1, -quarter),
        ]
        panels += [
            Panel("leg", "right", right.leg),
            Panel("base", "right", right.base),
            Panel("tab", "right", right.tab),
        ]
    return Profile(tuple(panels), tuple(folds), Root("spine", Point(-spine / 2, lift)))


def _places(wedge: _Wedge, spine: float, lift: float) -> list[Point]:
    """Return where one side's panels end, from the joint outwards and back under it.

    Joint, apex, foot, the base's end under the joint, tip of the tab; joint and fore end only
    where the side does not stand. Plane trigonometry on the wedge, without the walk.
    """
    half, sign = spine / 2, 1 if wedge.side == "right" else -1
    out = half + wedge.board * math.cos(wedge.slope)
    corners = [(half, lift), (out, lift + wedge.board * math.sin(wedge.slope))]
    if wedge.stands:
        corners += [(out, 0.0), (half, 0.0), (half - wedge.tab, 0.0)]
    return [Point(sign * x, y) for x, y in corners]


def _half(wedge: _Wedge, spine: float, lift: float, spine_width: float) -> Half:
    joint, apex, *_ = _places(wedge, spine, lift)
    return Half(
        side=wedge.side,
        slope=wedge.slope,
        joint=joint,
        apex=apex,
        book=Point((1 if wedge.side == "right" else -1) * spine_width / 2, lift),
        stands=wedge.stands,
    )


def _tapes(left: _Wedge, right: _Wedge, lapped: bool, inset: float) -> Iterator[Tape]:
    """Yield a tape a tab: under the spine panel, or the right one lapped under the left tab."""
    for wedge in (left, right):
        if wedge.stands:
            under = lapped and wedge is right
            clear, width = tape_place(wedge.tab, inset)
            yield Tape(
                panel=f"{wedge.side} tab",
                face="table",
                to="left tab" if under else "spine",
                to_face="book" if under else "table",
                end=wedge.side,
                clear=clear,
                width=width,
            )


def _steps(
    slip: Slip, profile: Profile, tapes: tuple[Tape, ...], lapped: bool
) -> tuple[FoldStep, ...]:
    """Return the steps: spine, apexes, feet, last the tabs.

    The left base is turned in before the right one: where tabs are lapped, the right one is stuck
    on the left one from below.
    """
    return (
        *first_steps(slip.film),
        folding("Raise", profile.folds, "spine"),
        folding("Bend", profile.folds, "apex"),
        folding("Turn in", profile.folds, "foot", in_turn=lapped),
        FoldStep("Stick", taped=tapes),
        FoldStep("Check"),
    )
