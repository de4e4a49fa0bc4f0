"""Lays out a strip whose joints stand at two heights: a riser under the high one, a ramp, a spine.

With one joint high, base, leg, board panel and spine panel are a four-bar linkage: it closes on
paper and sways. So the end of the high side's base is rolled up into a roof, riser tab, riser and
ramp, and the spine panel is taped down on the ramp: both joints are then pinned to the base.

    τ       = asin(step / S)                     tilt of the spine panel
    e       = stack + tape
    toe     = e tan(τ/2)                         the ramp's foot, short of the low joint
    out     = max(0, step/2 − S cos τ)           a steep riser leans out: foot half as wide as high
    riser   = √(step² + out²),  ρ = atan(step / out)
    base_hi = P_hi cos a_hi + S cos τ − toe      leg_hi = P_hi sin a_hi + step + lift
    base_lo = P_lo cos a_lo                      leg_lo = P_lo sin a_lo + lift
    lift    = 3 stack + 2 tape, low side flat: 2 stack + tape

Derived; worked out twice and folded on paper only: nothing of it was folded in film.
"""

import math
from dataclasses import replace

from cutfiles.dataclass import dataclass
from cutfiles.errors import DesignError, Place
from cutfiles.findings import Finding
from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Contacts, Rest
from cutfiles.support.kinds.laid import (
    QUARTER,
    Act,
    BoardLie,
    Laid,
    Part,
    Wanted,
    chain,
    mirrored,
    steps_of,
    tape_in_middle,
    tape_on_tab,
)
from cutfiles.support.profile import Panel

NARROWEST_SPINE = 8.0
"""A narrower spine panel takes no tape on a ramp, mm."""
IN_LINE = 2.0
"""A joint may stand so far from where it was measured for a crease to be left out, mm.

What lies under it counts too: at the fitting so far off is harmless (`support/fit`).
"""
SHARPEST = math.radians(165.0)
"""Sharper folds crack or spring open, radians (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Roof:
    """Riser, ramp and what follows from them; the high joint on the left.

    Attributes:
        step: height of the high joint above the low one as made, mm.
        tilt: of ramp and spine panel, radians.
        in_line: whether spine panel and high board panel lie in one line, with no crease.
        level: of the spine panel, mm: S cos τ.
        toe: how far the ramp's foot lies short of the low joint, mm.
        out: how far the heel lies outside the ridge, mm.
        riser: length of the riser, mm.
        tab: length of the riser tab, mm.

    """

    step: float
    tilt: float
    in_line: bool
    level: float
    toe: float
    out: float
    riser: float
    tab: float


def lay_riser(wanted: Wanted) -> Laid:
    """Return the strip with a riser under the high joint.

    Raises:
        DesignError: spine panel or riser tab are too short.

    """
    if wanted.step < 0:
        return mirrored(_left_high(wanted.mirrored(), "right_width"))
    return _left_high(wanted, "left_width")


def _left_high(wanted: Wanted, field: str) -> Laid:
    roof, lift = roof_of(wanted, field), _lift(wanted)
    stands = wanted.stands("right")
    high, low = wanted.left, wanted.right if stands else replace(wanted.right, slope=0.0)
    tab = min(wanted.tab_most, high.panel * math.cos(high.slope) + roof.level - roof.toe - 1.0)
    parts = [*_high_parts(wanted, roof, lift), *_low_parts(low, roof, lift, stands)]
    if stands:
        parts.append(("right tab", tab, Point(roof.level / 2 - tab, 0.0)))
    start = Point(-roof.level / 2 - roof.toe - roof.out - roof.tab, 0.0)
    profile, places = chain(parts, start, _angles(high, low, roof, stands), "spine")
    contacts = _contacts(wanted, roof, tab if stands else 0.0, places[-1])
    riser, ramp, *low_tape = contacts.tapes
    acts: tuple[Act, ...] = (
        ("Raise", ("left spine", "right spine"), ()),
        ("Roll", ("left heel", "left ridge", "left toe"), (riser,)),
        ("Turn in", ("left foot",), ()),
        ("Bend", ("left apex",), (ramp,)),
        ("Bend", ("right apex",), ()),
        ("Turn in", ("right foot",), tuple(low_tape)),
    )
    return Laid(
        kind="riser",
        profile=profile,
        places=places,
        lift=lift,
        step=roof.step,
        tilt=roof.tilt,
        contacts=contacts,
        steps=steps_of(profile, acts),
        told=tuple(_told(wanted, roof)),
    )


def _lift(wanted: Wanted) -> float:
    """Return how high film and tape under the low joint lift both, mm."""
    films, tapes = (3, 2) if wanted.stands("right") else (2, 1)
    return wanted.lift(films * wanted.stack + tapes * wanted.tape)


def roof_of(wanted: Wanted, field: str = "left_width") -> Roof:
    """Return riser and ramp for a left joint that is the higher one.

    Args:
        wanted: what the strip is laid out for.
        field: of the slip, for a refusal: the width of the high side's board.

    Raises:
        DesignError: spine panel or riser tab are too short.

    """
    spine, high = wanted.spine, wanted.left
    if spine < NARROWEST_SPINE:
        raise DesignError(
            f"a spine panel of {spine:.1f} mm with a step of {wanted.step:.1f} mm",
            f"it is at least {NARROWEST_SPINE:g} mm long, to be taped on a ramp",
            'lay the spine level (write both joints "0"), or choose another kind of support',
            Place(field="spine_width"),
        )
    step = min(wanted.step, spine)
    along = spine * math.sin(high.slope)
    near = -IN_LINE <= along - wanted.step <= IN_LINE - _lift(wanted)
    in_line = near and along >= wanted.least_riser
    if in_line:
        step = along
    tilt = high.slope if in_line else math.asin(step / spine)
    level = spine * math.cos(tilt)
    toe = wanted.taped * math.tan(tilt / 2)
    out = max(0.0, step / 2 - level)
    room = high.panel * math.cos(high.slope) - toe - out - 1.0
    tab = min(wanted.tab_most, room)
    if tab < wanted.tab_least:
        raise DesignError(
            f"{max(0.0, room):.1f} mm of base outside the riser",
            f"its tab is at least {wanted.tab_least:g} mm long, or tape does not hold",
            "choose a flatter opening, or another kind of support",
            Place(field=field),
        )
    return Roof(
        step=step,
        tilt=tilt,
        in_line=in_line,
        level=level,
        toe=toe,
        out=out,
        riser=math.hypot(step, out),
        tab=tab,
    )


def _high_parts(wanted: Wanted, roof: Roof, lift: float) -> list[Part]:
    """Return the panels from the riser tab to the high board panel."""
    board = wanted.left
    high = Point(-roof.level / 2, roof.step + lift)
    ridge = high.x - roof.toe
    toe = roof.level / 2 - roof.toe
    reach, rise = board.panel * math.cos(board.slope), board.panel * math.sin(board.slope)
    return [
        ("left riser tab", roof.tab, Point(ridge - roof.out, 0.0)),
        ("left riser", roof.riser, Point(ridge, roof.step)),
        ("left ramp", wanted.spine, Point(toe, 0.0)),
        ("left base", reach + roof.level - roof.toe, Point(high.x - reach, 0.0)),
        ("left leg", rise + high.y, Point(high.x - reach, rise + high.y)),
        ("left board", board.panel, high),
        ("spine", wanted.spine, Point(roof.level / 2, lift)),
    ]


def _low_parts(low: BoardLie, roof: Roof, lift: float, stands: bool) -> list[Part]:
    """Return the low board panel, and its leg and base where it stands."""
    joint = roof.level / 2
    reach, top = low.panel * math.cos(low.slope), low.panel * math.sin(low.slope) + lift
    parts: list[Part] = [("right board", low.panel, Point(joint + reach, top))]
    if stands:
        parts += [
            ("right leg", top, Point(joint + reach, 0.0)),
            ("right base", reach, Point(joint, 0.0)),
        ]
    return parts


def _angles(
    high: BoardLie, low: BoardLie, roof: Roof, stands: bool
) -> dict[str, tuple[str, float]]:
    """Return crease and fold angle after each panel that has one."""
    lean = math.atan2(roof.step, roof.out)
    angles = {
        "left riser tab": ("left heel", lean),
        "left riser": ("left ridge", -(lean + roof.tilt)),
        "left ramp": ("left toe", -(math.pi - roof.tilt)),
        "left base": ("left foot", -QUARTER),
        "left leg": ("left apex", -(QUARTER + high.slope)),
        "left board": ("left spine", high.slope - roof.tilt),
        "spine": ("right spine", roof.tilt + low.slope),
        "right board": ("right apex", -(QUARTER + low.slope)),
        "right leg": ("right foot", -QUARTER),
    }
    if roof.in_line:
        del angles["left board"]
    if not stands:
        del angles["right board"], angles["right leg"]
    return angles


def _contacts(wanted: Wanted, roof: Roof, low_tab: float, end: Point) -> Contacts:
    """Return what is taped and what rests; all tape is laid on the strip's table face.

    The toe is the roof's last crease: ramp, riser and tab come down on the base together. Folded
    first, it leaves riser and tab no way round, for they are longer than the ramp is high.

    Args:
        wanted: what the strip is laid out for.
        roof: of it.
        low_tab: length of the low side's tab, 0 where that side lies flat, mm.
        end: right end of the strip.

    """
    riser = tape_on_tab(wanted, "left riser tab", "left base", "table", roof.tab)
    ramp = tape_in_middle(Panel("spine", None, wanted.spine), "left ramp", wanted)
    touching = [frozenset({"left riser tab", "left base"})]
    if not low_tab:
        rest = Rest("right board", "left base", end)
        return Contacts(
            tapes=(riser, ramp), touching=tuple(touching), table=("left base",), rests=(rest,)
        )
    # toe and riser tab lie on the base and the base on the low tab: lines of no thickness all meet
    over = ("left base", "left ramp", "left riser tab")
    touching += [frozenset({"right base", name}) for name in over]
    low = tape_on_tab(wanted, "right tab", "left base", "book", low_tab)
    return Contacts(
        tapes=(riser, ramp, low), touching=tuple(touching), table=("left base", "right base")
    )


def _told(wanted: Wanted, roof: Roof) -> list[Finding]:
    told = []
    if roof.in_line:
        meant = math.degrees(math.asin(min(1.0, wanted.step / wanted.spine)))
        made = math.degrees(roof.tilt)
        said = f"spine panel and high board in one line: tilt {meant:.1f} taken as {made:.1f}"
        told.append(Finding("in-line", "left spine", said, wanted.step, roof.step))
    elif wanted.step > wanted.spine:
        said = f"the spine stands upright: a step of {wanted.step:.1f} taken as {roof.step:.1f}"
        told.append(Finding("upright", "left riser", said, wanted.step, roof.step))
    if math.pi - roof.tilt > SHARPEST:
        said = f"the toe is folded by {180 - math.degrees(roof.tilt):.0f}°: crease it hard"
        told.append(Finding("sharp", "left toe", said, math.pi - roof.tilt, SHARPEST))
    return told
