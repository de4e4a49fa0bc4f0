"""A support as designed, laid out for judging: its strip, its legs and what lies on them.

What stands is data, so every kind of support is laid out by the same lines, and nothing here asks
which kind it was.
"""

from dataclasses import replace

from cutfiles.bench.book import SIDES
from cutfiles.bench.film import Film, Layers
from cutfiles.bench.questions import side_thickness
from cutfiles.bench.slip import Slip
from cutfiles.errors import DesignError
from cutfiles.support.carried import carried
from cutfiles.support.construct import room, strip_of
from cutfiles.support.constructions.strip import Strip
from cutfiles.support.design import kind_of
from cutfiles.support.limits import cover_stiffness
from cutfiles.support.lone import loads
from cutfiles.support.spare import trimmed
from cutfiles.support.standing import Bearing, Half, KindName, Support, board_of
from cutfiles.support.ways import Lay, Leg, Stand


def lay_of(slip: Slip, weight: float) -> Lay:
    """Return what lays a slip's support out in so many layers of a gauge, under this weight (g).

    It returns None where no support follows from the slip in that film; how it is constructed is
    not asked: that is what is judged.
    """
    try:
        kind = kind_of(slip)
    except DesignError:
        return lambda layers, gauge: None

    def lay(layers: int, gauge: float) -> Stand | None:
        thick: Layers = 3 if layers == 3 else 1
        film = Film(gauge=gauge, layers=thick)
        try:
            return stand_of(kind.design(replace(slip, film=film)), weight)
        except DesignError:
            return None

    return lay


def stand_of(support: Support, weight: float) -> Stand:
    """Return a support under a book of this weight (g) as its constructions are judged.

    Spare film is cut off before the book lies on it, and holds no tape.
    """
    for side in SIDES:
        support = trimmed(support, side)
    strip, shares = strip_of(support.profile, support.breadth), loads(support.slip, weight)
    return Stand(
        kind=_kind(support),
        strip=strip,
        legs=tuple(
            _leg(support, strip, bearing, shares[SIDES.index(bearing.side)])
            for bearing in support.bearings
            if bearing.at == "fore edge"
        ),
        limp=support.slip.book.cover == "limp",
        tape=support.choices.tape_thickness,
        posts=support.choices.posts,
        riser=_riser(support, weight),
    )


def _kind(support: Support) -> KindName:
    parts = {panel.part for panel in support.profile.panels}
    if "riser" in parts:
        return "riser"
    if any(support.panel(tape.to).part == "base" for tape in support.contacts.tapes):
        return "crossed"
    if sum(half.stands for half in support.halves) < 2:
        return "one side flat"
    tabs = {tape.panel for tape in support.contacts.tapes}
    lapped = any(tape.to in tabs for tape in support.contacts.tapes)
    return "lapped" if lapped else "side by side"


def _leg(support: Support, strip: Strip, bearing: Bearing, weight: float) -> Leg:
    side = bearing.side
    half, board = support.half(side), board_of(support.slip, side)
    assert half is not None, "a leg stands under a board"
    return Leg(
        panel=[panel.name for panel in strip.panels].index(bearing.panel),
        board=support.length("board", side),
        width=board.width,
        slope=half.slope,
        weight=weight,
        cover=_cover(support, half),
        room=room(support, half),
        tape=_tape(support, half),
    )


def _tape(support: Support, half: Half) -> tuple[float, float] | None:
    """Return width and inset of the tape that holds one side's base; None where there is none."""
    inset = support.choices.tape_inset
    for tape in support.contacts.tapes:
        panel = support.panel(tape.panel)
        if panel.side == half.side and panel.part != "spine":
            return tape.width, inset
    return None


def _cover(support: Support, half: Half) -> float:
    """Return the bending stiffness of the cover and a stiff board under it, N·mm²."""
    slip = support.slip
    held = side_thickness(slip, half.side)
    under = slip.choices.stiff_board if slip.book.cover == "limp" else 0.0
    return cover_stiffness(slip.book.cover, slip.book.height, held, under)


def _riser(support: Support, weight: float) -> tuple[float, float] | None:
    """Return what the riser carries (N) and how long it is (mm); None where there is none."""
    riser = next((panel for panel in support.profile.panels if panel.part == "riser"), None)
    found = None if riser is None else carried(support, weight)
    return None if riser is None or found is None else (found.riser, riser.length)
