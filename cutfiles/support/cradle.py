"""Designs the cradle of one book at one opening: lengths of all panels, fold angles, breadth.

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

from cutfiles.bench.book import Board
from cutfiles.bench.choices import Choices
from cutfiles.bench.film import Film
from cutfiles.bench.slip import SideName, Slip
from cutfiles.errors import DesignError
from cutfiles.support.profile import Fold, Panel, Profile

SIDES: tuple[SideName, SideName] = ("left", "right")
SHORTEST_TAB = 2.0
"""A shorter tab holds no tape, mm (common practice, no source)."""
NARROW_TAPE = 6.0
"""The narrowest tape at hand, mm (common practice, no source)."""
SHORTEST_PANEL = 5.0
"""A shorter board panel carries no board, mm (common practice, no source)."""
LEAST_FILM = 1.0
"""What a hole, a gap or a corner leaves of the film beside it, mm (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Half:
    """One side of the cradle. Lengths in mm, slope in radians.

    Attributes:
        stands: whether it rises; if not, the board panel lies on the table and the strip ends.
        slope: of the board panel; 0 where it does not stand.
        board: length of the board panel.
        leg: length of the leg.
        base: length of the base panel without its tab.
        tab: length of the tab.

    """

    stands: bool
    slope: float
    board: float
    leg: float
    base: float
    tab: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """A cradle as designed: what stands on the table.

    Attributes:
        slip: what it was designed from.
        left: the left side.
        right: the right side.
        spine: length of the spine panel, mm.
        deck_lift: height of the spine panel above the table, mm.
        breadth: finished, head to tail, mm.
        lapped: whether the tabs lie on one another instead of side by side.
        profile: panels and folds from the left end of the strip to the right one.

    """

    slip: Slip
    left: Half
    right: Half
    spine: float
    deck_lift: float
    breadth: float
    lapped: bool
    profile: Profile

    @property
    def film(self) -> Film:
        """The film it is made of."""
        return self.slip.film

    @property
    def choices(self) -> Choices:
        """The settings it was made with."""
        return self.slip.choices

    def half(self, side: SideName) -> Half:
        """Return one side."""
        return self.left if side == "left" else self.right

    def tape_place(self, side: SideName) -> tuple[float, float]:
        """Return how far the tape stays off a tab's tip, and how wide it can be, mm.

        It keeps off the joint too, as far as the narrowest usual tape still fits.
        """
        tab, inset = self.half(side).tab, self.choices.tape_inset
        clear = min(inset, tab / 2)
        beyond = min(inset, max(0.0, tab - clear - NARROW_TAPE))
        return clear, tab - clear - beyond


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
    stands = {side: _board(slip, side).rise >= choices.least_rise for side in SIDES}
    tab, lapped = _tab(slip, spine, both=all(stands.values()))
    left, right = (_wing(slip, side, stands[side], lift, tab) for side in SIDES)
    _refuse_flat(slip, stands)
    _refuse_small(slip, breadth)
    _refuse_settings(slip, breadth, spine, (left, right))
    return Support(
        slip=slip,
        left=left,
        right=right,
        spine=spine,
        deck_lift=lift,
        breadth=breadth,
        lapped=lapped,
        profile=_profile(left, right, spine),
    )


def _board(slip: Slip, side: SideName) -> Board:
    return slip.opening.left if side == "left" else slip.opening.right


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


def _wing(slip: Slip, side: SideName, stands: bool, lift: float, tab: float) -> Half:
    board = _board(slip, side)
    length = board.width - slip.choices.fore_inset
    if length < SHORTEST_PANEL:
        raise DesignError(
            f"a board panel of {length:.1f} mm",
            f"it is at least {SHORTEST_PANEL:g} mm long",
            "check the width, or make fore_inset smaller",
            slip.source.at(f"{side}_width"),
        )
    if not stands:
        return Half(stands=False, slope=0.0, board=length, leg=0.0, base=0.0, tab=0.0)
    slope = math.radians(board.slope)
    return Half(
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
    rises = " and ".join(f"{_board(slip, side).rise:.1f}" for side in SIDES)
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


def _refuse_settings(slip: Slip, breadth: float, spine: float, halves: tuple[Half, Half]) -> None:
    """Refuse a setting that its panels have no room for, each within its own range though it is."""
    for name, most, why in _limits(slip, breadth, spine, halves):
        value = getattr(slip.choices, name)
        if value > most:
            raise DesignError(
                f"{value:g} mm",
                f"{name} is at most {math.floor(most * 10) / 10:g} mm here, for {why}",
                "make it smaller, or leave it out",
                slip.source.at(f"support.{name}"),
            )


def _limits(
    slip: Slip, breadth: float, spine: float, halves: tuple[Half, Half]
) -> Iterator[tuple[str, float, str]]:
    """Yield setting, largest value and reason; what bounds another one stands before it."""
    choices, film = slip.choices, slip.film
    ends = [half.base + half.tab if half.stands else half.board for half in halves]
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
                *(w.leg for w in halves if w.stands),
                *(w.board for w in halves),
            ]
            least = min(panels) - nearer - LEAST_FILM
            yield "relief_diameter", least, "holes stand apart at the ends of the shortest panel"
        lowest = choices.edge_gap
    most = (breadth - lowest - LEAST_FILM) / 2
    yield "tape_inset", most, "tape has room between its edges"


def _profile(left: Half, right: Half, spine: float) -> Profile:
    """Return panels and folds from left to right; a side that does not stand has only a board."""
    panels: list[Panel] = []
    folds: list[Fold] = []
    quarter = math.pi / 2
    if left.stands:
        panels = [
            Panel("left tab", left.tab),
            Panel("left base", left.base),
            Panel("left leg", left.leg),
        ]
        folds = [
            Fold("left foot", 2, -quarter),
            Fold("left apex", 3, -(quarter + left.slope)),
            Fold("left spine", 4, left.slope),
        ]
    panels += [Panel("left board", left.board), Panel("spine", spine)]
    panels.append(Panel("right board", right.board))
    if right.stands:
        count = len(panels)
        folds += [
            Fold("right spine", count - 1, right.slope),
            Fold("right apex", count, -(quarter + right.slope)),
            Fold("right foot", count + 1, -quarter),
        ]
        panels += [
            Panel("right leg", right.leg),
            Panel("right base", right.base),
            Panel("right tab", right.tab),
        ]
    return Profile(tuple(panels), tuple(folds))
