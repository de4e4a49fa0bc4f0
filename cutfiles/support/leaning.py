"""Loads where the joints stand at two heights: riser, leaning heap, walking, leaning, tipping.

Forces in N, lengths in mm, slopes and tilts in radians. High and low side are told by the joint. No
load test stands behind any of it.
"""

import math

from cutfiles.dataclass import dataclass
from cutfiles.plane.shapes import Point
from cutfiles.support.limits import heap_lean, riser_load
from cutfiles.support.loads import FRICTION, leg_force, walking_friction

LEANS_HARD = 0.5
"""A heap that leans with more of the book's weight asks for care with tight backs and exposed
sewing (common practice, no source); the push is an upper bound, friction may take up all of it."""
WALKS = 0.2
"""More friction than this is not to be counted on (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedSide:
    """One side of the book on its support.

    Attributes:
        weight: of this side, N.
        width: of the board, mm.
        panel: length of the board panel, mm.
        slope: of the board, radians.
        side: thickness of board and leaves, mm.
        joint: where the joint stands; x = 0 midway between the joints, y = 0 the table.
        foot: x of the outermost place that touches the table, mm.
        stands: whether a leg carries it.

    """

    weight: float
    width: float
    panel: float
    slope: float
    side: float
    joint: Point
    foot: float
    stands: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """What each part carries, N, and where the weight lies.

    Attributes:
        high_leg: force on the high side's leg.
        low_leg: force on the low side's leg; 0 where it lies flat.
        riser: force on the riser; 0 where the joints are level.
        low_joint: the rest of the weight.
        push: what the low side's heap leans on the spine panel with, no friction: an upper bound.
        friction_needed: what keeps the book from walking.
        centre: of the book's weight.
        margin: from the centre to the nearer foot, level, mm.
        tips_at: tilt of the table at which it tips over, radians.
        slides_at: tilt of the table at which it slides, radians: sooner than it tips.

    """

    high_leg: float
    low_leg: float
    riser: float
    low_joint: float
    push: float
    friction_needed: float
    centre: Point
    margin: float
    tips_at: float
    slides_at: float

    @property
    def weight(self) -> float:
        """Of the whole book, N."""
        return self.high_leg + self.low_leg + self.riser + self.low_joint

    @property
    def leans_hard(self) -> bool:
        """Whether a tight back or exposed sewing wants care."""
        return self.push > LEANS_HARD * self.weight


def loads_of(high: LoadedSide, low: LoadedSide, tilt: float) -> Loads:
    """Return what each part carries; `tilt` is 0 where the joints are level.

        F_i   = W_i W / (2 P)                          the step changes nothing
        R     = (W_hi − F_hi) + ½ N cos τ
        N     = max(0, (W_lo sin a_lo − W_hi sin a_hi cos(a_hi + a_lo)) / sin(a_lo + τ))

    Source: equilibrium of each heap on its board, the heaps touching, no friction.
    """
    legs = [
        leg_force(side.weight, side.width, side.panel) if side.stands else 0.0
        for side in (high, low)
    ]
    push = riser = 0.0
    if tilt:
        push = heap_lean(low.weight, low.slope, high.weight, high.slope, tilt)
        riser = riser_load(high.weight, legs[0], push, tilt)
    centre = centre_of_weight(high, low)
    margin = min(abs(high.foot - centre.x), abs(low.foot - centre.x))
    return Loads(
        high_leg=legs[0],
        low_leg=legs[1],
        riser=riser,
        low_joint=high.weight + low.weight - sum(legs) - riser,
        push=push,
        friction_needed=friction_needed(high, low, tilt),
        centre=centre,
        margin=margin,
        tips_at=math.atan2(margin, centre.y),
        slides_at=math.atan(FRICTION),
    )


def friction_needed(high: LoadedSide, low: LoadedSide, tilt: float) -> float:
    """Return the friction that keeps the book from walking.

    On a tilted spine the low side's thrust is stopped by the spine panel and needs none; thrust
    towards the low side does, by the formula of a level one.
    """
    thrusts = [side.weight * math.sin(side.slope) * math.cos(side.slope) for side in (high, low)]
    if tilt and thrusts[0] <= thrusts[1]:
        return 0.0
    return walking_friction((high.weight, low.weight), (high.slope, low.slope))


def centre_of_weight(high: LoadedSide, low: LoadedSide) -> Point:
    """Return the centre of the book's weight: of a half W/2 along its board, side/2 off it."""
    both = high.weight + low.weight
    x = y = 0.0
    for side in (high, low):
        outwards = 1.0 if side.foot > side.joint.x else -1.0
        cos, sin = math.cos(side.slope), math.sin(side.slope)
        share = side.weight / both if both else 0.5
        x += share * (side.joint.x + outwards * (side.width * cos - side.side * sin) / 2)
        y += share * (side.joint.y + (side.width * sin + side.side * cos) / 2)
    return Point(x, y)
