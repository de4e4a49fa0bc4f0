"""Adjusting at the bench: where a foot is creased anew to raise or lower a fore edge a little.

Lengths in mm, angles in radians. Ticks beside the foot stand for ±2 and ±4 mm of rise. Creased at a
tick, the leg is longer or shorter; what the base then lacks or has over is taken from its tab,
which is taped last, when the book lies right. Where the base ends in a crease instead (a riser's
roof, the right base of crossed tabs) nothing can slide: the leg leans, and by how much is told.

Derived; no support was adjusted yet.
"""

import math
from collections.abc import Iterator

from cutfiles.bench.fields import STEEPEST_SLOPE
from cutfiles.dataclass import dataclass

TICKS = (-4.0, -2.0, 2.0, 4.0)
"""Changes of rise that get a tick, mm."""
_STEEPEST = math.sin(math.radians(STEEPEST_SLOPE))
MOST_LEAN = math.radians(5.0)
"""A leg may lean this far (as for any foot: common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """One side whose foot can be creased anew.

    Attributes:
        width: of the board, mm.
        panel: length of the board panel, mm.
        slope: of the board, radians.
        joint: height of the joint on its support above the table, lift and step and all, mm.
        tab: length of the tab as drawn, its allowance with it, mm; 0 where the base ends in a
            crease.
        tab_most: longest tab that has room; the rest is cut off when the book lies right, mm.
        tab_least: shortest tab that takes tape, mm.

    """

    width: float
    panel: float
    slope: float
    joint: float
    tab: float
    tab_most: float = 12.0
    tab_least: float = 9.0

    @property
    def leg(self) -> float:
        """Length of the leg as drawn, upright, mm."""
        return self.panel * math.sin(self.slope) + self.joint

    @property
    def base(self) -> float:
        """Foot to joint, level, as drawn, mm."""
        return self.panel * math.cos(self.slope)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """One place for the foot's crease, and what it gives.

    Attributes:
        rise: how much higher the fore edge comes to lie above its joint, mm.
        shift: of the crease, from the foot as drawn, towards the base positive, mm.
        leg: length of the leg creased there, mm.
        base: level from the new foot to the joint, mm.
        tab: what is left to be taped, mm; 0 where the base ends in a crease.
        trim: what is cut off the tab, mm.
        slope: of the board, radians.
        opens: how much further the book opens, radians; negative closes it.
        lean: of the leg, radians, its apex towards the joint positive.
        holds: whether the tab takes its tape and the leg stands upright enough.

    """

    rise: float
    shift: float
    leg: float
    base: float
    tab: float
    trim: float
    slope: float
    opens: float
    lean: float
    holds: bool


def ticks(foot: Foot, changes: tuple[float, ...] = TICKS) -> Iterator[Tick]:
    """Yield the ticks of one foot that can be folded at all, in the order of `changes`.

    None makes a board steeper than a slip may have it: lips and posts are laid out up to there.

        sin a' = sin a + change / W         leg' = P sin a' + joint       base' = P cos a'
        shift  = leg' − leg                 tab' = tab − shift − (base' − base)

    >>> foot = Foot(width=133, panel=130, slope=math.radians(30), joint=0.2, tab=16)
    >>> [(tick.rise, round(tick.shift, 2), round(tick.trim, 2)) for tick in ticks(foot)]
    [(-4.0, -3.91, 5.74), (-2.0, -1.95, 4.85), (2.0, 1.95, 3.2), (4.0, 3.91, 2.44)]
    """
    for change in changes:
        sine = math.sin(foot.slope) + change / foot.width
        if 0 <= sine <= _STEEPEST:
            slope = math.asin(sine)
            yield _leaning(foot, change, slope) if not foot.tab else _upright(foot, change, slope)


def allowance(foot: Foot, changes: tuple[float, ...] = TICKS) -> float:
    """Return how much longer a tab is drawn for every tick to leave it whole, mm."""
    lost = [0.0]
    for tick in ticks(foot, changes):
        lost.append(tick.shift + tick.base - foot.base)
    return max(lost)


def _upright(foot: Foot, change: float, slope: float) -> Tick:
    """Return the tick of a base whose end is still free: the leg stays upright."""
    leg = foot.panel * math.sin(slope) + foot.joint
    base = foot.panel * math.cos(slope)
    left = foot.tab - (leg - foot.leg) - (base - foot.base)
    tab = min(left, foot.tab_most)
    return Tick(
        rise=change,
        shift=leg - foot.leg,
        leg=leg,
        base=base,
        tab=tab,
        trim=max(0.0, left - foot.tab_most),
        slope=slope,
        opens=foot.slope - slope,
        lean=0.0,
        holds=tab >= foot.tab_least,
    )


def _leaning(foot: Foot, change: float, slope: float) -> Tick:
    """Return the tick of a base that ends in a crease: its foot moves along the table.

    With u the apex' way from the old foot (towards the joint, up) and s the shift, the new leg
    reaches from (s, 0) to u and is leg + s long:  s = (|u|² − leg²) / (2 (leg + u_x)).
    """
    inwards = foot.base - foot.panel * math.cos(slope)
    up = foot.panel * math.sin(slope) + foot.joint
    shift = (inwards**2 + up**2 - foot.leg**2) / (2 * (foot.leg + inwards))
    lean = math.atan2(inwards - shift, up)
    return Tick(
        rise=change,
        shift=shift,
        leg=foot.leg + shift,
        base=foot.base - shift,
        tab=0.0,
        trim=0.0,
        slope=slope,
        opens=foot.slope - slope,
        lean=lean,
        holds=abs(lean) <= MOST_LEAN,
    )
