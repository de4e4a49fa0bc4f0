"""Contradictions between the heights measured of one book: asked about, or refused.

Lengths in mm, angles in degrees. Heights lead, angles follow: ±2 mm at each joint is ±2.8 mm of
step, and ±6° of tilt on a spine of 33 mm. All limits are common practice without a source, or
reasoned from how well a measure repeats; none was tried on books.
"""

import math
from collections.abc import Iterator

from cutfiles.bench.book import SideName, slope_from_rise
from cutfiles.bench.guess import Guess
from cutfiles.bench.heights import Doubt, Heights, Joints, Measured

HEIGHTS_APART = 3.0
"""Fore edge, joint and rise of one side repeat to 1 to 2 mm each, mm."""
ABOVE_SPINE = 3.0
"""So much may a step be above the spine's width, mm: the spine is then upright."""
PAST_SQUARE = 8.0
"""So far may slope and tilt together turn past a square at the low joint, degrees."""
TILTS_APART = 6.0
"""How well a spine's tilt repeats, degrees."""
STEP_REPEATS = 2.8
"""How well a step repeats, mm: two joints, 2 mm each."""
SIDES_UNLIKE = 0.2
"""Sides whose difference is a larger share of both are a thick and a thin one."""
LEAST_STEP = 4.0
"""A smaller step says nothing about which side is the thick one, mm."""
SPAN_APART = 5.0
"""How well fore edge to fore edge repeats, mm."""
SLOPES_APART = 4.0
"""A slope and a height of one side further apart contradict each other, degrees."""


def side_doubts(measured: Measured) -> Iterator[Doubt]:
    """Yield what contradicts itself on one side."""
    for name, side in measured.sides:
        if side.fore_edge is not None and side.joint is None:
            yield Doubt(
                "fore-edge",
                f"{name}_fore_edge",
                measured.said(side.fore_edge),
                "a fore edge is measured from the table, and needs its joint",
                f'write {name}_joint = "0" if the joint lies on the table',
                side.fore_edge,
                0.0,
                "stop",
            )
            continue
        yield from _side_heights(name, side, measured)


def _side_heights(name: SideName, side: Heights, measured: Measured) -> Iterator[Doubt]:
    rise, joint = side.lift, side.joint or 0.0
    field = "rise" if side.rise is not None else "fore_edge"
    if rise < 0 or rise > side.width:
        yield Doubt(
            "hangs" if rise < 0 else "rise",
            f"{name}_{field}",
            measured.said(getattr(side, field) or 0.0),
            f"the fore edge lies {measured.said(-rise)} below its joint: the board hangs"
            if rise < 0
            else f"a rise is at most the width, {measured.said(side.width)}",
            "prop the board until it is level, and measure again" if rise < 0 else "measure again",
            rise,
            0.0 if rise < 0 else side.width,
            "stop",
        )
        return
    if side.fore_edge is not None and side.rise is not None:
        off = side.fore_edge - joint - side.rise
        if abs(off) > HEIGHTS_APART:
            yield Doubt(
                "heights",
                f"{name}_fore_edge",
                measured.said(side.fore_edge),
                f"joint and rise make {measured.said(joint + side.rise)}",
                "the rise was used",
                off,
                HEIGHTS_APART,
            )
    if side.fore_edge is not None and side.rise is None and side.slope is not None:
        slope = slope_from_rise(rise, side.width)
        if abs(side.slope - slope) > SLOPES_APART:
            yield Doubt(
                "slope",
                f"{name}_slope",
                f"{side.slope:.1f}°",
                f"fore edge and joint give {slope:.1f}°",
                "fore edge and joint were used",
                side.slope,
                slope,
            )


def step_doubts(measured: Measured, joints: Joints) -> Iterator[Doubt]:
    """Yield what contradicts itself between the two sides."""
    high: SideName = "left" if joints.step > 0 else "right"
    above = abs(joints.step) - measured.spine_width
    if above > 0:
        yield Doubt(
            "step",
            f"{high}_joint",
            measured.said(abs(joints.step)),
            f"the joints are no further apart than the spine is wide, "
            f"{measured.said(measured.spine_width)}",
            "measure joints and spine again" if above > ABOVE_SPINE else "the spine is upright",
            abs(joints.step),
            measured.spine_width + (ABOVE_SPINE if above > ABOVE_SPINE else 0.0),
            "stop" if above > ABOVE_SPINE else "ask",
        )
        if above > ABOVE_SPINE:
            return
    yield from _turn(high, joints)
    yield from _tilts(measured, joints)
    swapped = tuple(_thick_side(high, measured, joints))
    yield from swapped or _outside_band(high, measured, joints)
    yield from _span(measured, joints)


def _turn(high: SideName, joints: Joints) -> Iterator[Doubt]:
    """A heap does not lean past a square."""
    low: SideName = "right" if high == "left" else "left"
    slope = (joints.left if low == "left" else joints.right).slope
    turn = abs(joints.tilt) + slope
    if turn - 90 > PAST_SQUARE:
        yield Doubt(
            "turn",
            f"{high}_joint",
            f"a spine tilted {abs(joints.tilt):.0f}°",
            f"with a slope of {slope:.0f}° on the {low} side its leaves would lean past a square",
            "both were used; measure the joint and the slope again",
            turn,
            90 + PAST_SQUARE,
        )


def _tilts(measured: Measured, joints: Joints) -> Iterator[Doubt]:
    if measured.spine_tilt is None or not measured.has_joint:
        return
    run = measured.spine_width * math.cos(math.radians(joints.tilt))
    apart = math.degrees(STEP_REPEATS / run) if run > STEP_REPEATS else 90.0
    limit = max(TILTS_APART, min(90.0, apart))
    if abs(measured.spine_tilt - joints.tilt) > limit:
        yield Doubt(
            "tilt",
            "spine_tilt",
            f"{measured.spine_tilt:.0f}°",
            f"the joints make {joints.tilt:.0f}°",
            "the joints were used",
            measured.spine_tilt - joints.tilt,
            limit,
        )


def _thick_side(high: SideName, measured: Measured, joints: Joints) -> Iterator[Doubt]:
    left, right = measured.left.side, measured.right.side
    if left is None or right is None or abs(joints.step) < LEAST_STEP or left + right <= 0:
        return
    thicker = (left - right if high == "left" else right - left) / (left + right)
    if thicker > SIDES_UNLIKE:
        yield Doubt(
            "swapped",
            f"{high}_joint",
            measured.said(abs(joints.step)),
            f"the {high} side is the thick one, and the thin side's joint stands higher",
            "both were used; were the sides swapped?",
            thicker,
            SIDES_UNLIKE,
        )


def _outside_band(high: SideName, measured: Measured, joints: Joints) -> Iterator[Doubt]:
    """The step lies where sides and slopes predict it; unmeasured, it is asked for."""
    guess = joints.guess
    if guess is None:
        return
    if not joints.measured:
        if guess.is_asked:
            yield _ask_joint(measured, guess)
        return
    if measured.left.joint == 0 and measured.right.joint == 0:
        return  # both written 0: that is the answer to the question above
    off = max(guess.low - joints.step, joints.step - guess.high)
    if off > 0:
        low, high_end = measured.said(guess.low), measured.said(guess.high)
        yield Doubt(
            "band",
            f"{high}_joint" if measured.has_joint else "spine_tilt",
            f"a left joint {measured.said(joints.step)} above the right one",
            f"sides and slopes let one expect {low} to {high_end}",
            "the measure was used",
            joints.step,
            guess.high if joints.step > guess.high else guess.low,
        )


def _ask_joint(measured: Measured, guess: Guess) -> Doubt:
    side = "left" if guess.step > 0 else "right"
    low, high = sorted((abs(guess.low), abs(guess.high)))
    if guess.low < 0 < guess.high:
        low = 0.0
    band = f"{low:.0f} to {measured.said(high)}"
    if measured.units != "mm":
        band = f"{measured.said(low)} to {measured.said(high)}"
    return Doubt(
        "joint",
        f"{side}_joint",
        "no joint",
        f"the {side} joint probably stands {band} higher",
        f'prop the book, measure {side}_joint, or write both joints "0"',
        guess.step,
        LEAST_STEP,
    )


def _span(measured: Measured, joints: Joints) -> Iterator[Doubt]:
    if measured.span is None:
        return
    level = math.fsum(
        (
            measured.left.width * math.cos(math.radians(joints.left.slope)),
            measured.spine_width * math.cos(math.radians(joints.tilt)),
            measured.right.width * math.cos(math.radians(joints.right.slope)),
        )
    )
    if abs(measured.span - level) > SPAN_APART:
        yield Doubt(
            "span",
            "span",
            measured.said(measured.span),
            f"widths, slopes and spine make {measured.said(level)} from fore edge to fore edge",
            "widths, slopes and spine were used",
            measured.span - level,
            SPAN_APART,
        )
