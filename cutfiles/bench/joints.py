"""Joints and fore edges as measured on the table, made one: step, slopes, tilt, contradictions.

Lengths in mm, angles in degrees.
"""

import math
from dataclasses import replace

from cutfiles.bench.book import slope_from_rise
from cutfiles.bench.doubts import side_doubts, step_doubts
from cutfiles.bench.guess import Guess, Heap, guess_step
from cutfiles.bench.heights import Heights, Joints, Lie, Measured
from cutfiles.findings import Finding


def resolve_joints(measured: Measured) -> Joints:
    """Return step, tilt, rises and slopes of a book as measured, and what contradicts what.

    One joint given: the other is 0. Both above the table: the book is set down by the lower one,
    for no book needs its spine raised. None: the step follows from `spine_tilt`; without it the
    spine is level, and what `guess` predicts is asked about.

    >>> left = Heights(width=121, rise=85.6, joint=23)
    >>> found = resolve_joints(Measured(left=left, spine_width=29,
    ...                                 right=Heights(width=121, rise=60.5, joint=12)))
    >>> found.step, round(found.tilt, 1), found.told[0].message
    (11, 22.3, 'both joints were off the table: set down by 12.0 mm')
    """
    joints, told = _heights(measured)
    lowered = min(joints)
    step = joints[0] - joints[1]
    left, right = (
        _lie(side, joint - lowered)
        for side, joint in zip((measured.left, measured.right), joints, strict=True)
    )
    both = Joints(
        left=left,
        right=right,
        step=step,
        tilt=math.degrees(math.asin(_share(step / measured.spine_width))),
        measured=measured.has_joint or measured.spine_tilt is not None,
        lowered=lowered,
        guess=_guess(measured, left, right),
        told=told,
    )
    of_sides, of_steps = tuple(side_doubts(measured)), tuple(step_doubts(measured, both))
    if any(doubt.severity == "stop" for doubt in of_sides):
        # what follows from a side that cannot be is no question
        of_steps = tuple(doubt for doubt in of_steps if doubt.severity == "stop")
    return replace(both, doubts=of_sides + of_steps)


def _share(value: float) -> float:
    return max(-1.0, min(1.0, value))


def _heights(measured: Measured) -> tuple[tuple[float, float], tuple[Finding, ...]]:
    """Return both joints as measured or taken, mm, and what is told of it."""
    given = [heights.joint for _, heights in measured.sides]
    tilt = measured.spine_tilt
    if not measured.has_joint:
        step = measured.spine_width * math.sin(math.radians(tilt or 0.0))
        return (max(0.0, step), max(0.0, -step)), ()
    told = []
    for (name, _), other, joint in zip(measured.sides, ("right", "left"), given, strict=True):
        if joint is None:
            said = f"the {other} joint alone was measured: the {name} one is on the table"
            told.append(Finding("joint", f"{name}_joint", said, 0.0))
    if tilt is not None:
        said = "joints and spine_tilt are both given: the joints are used"
        told.append(Finding("tilt", "spine_tilt", said, tilt))
    left, right = (joint or 0.0 for joint in given)
    if min(left, right) > 0:
        by = measured.said(min(left, right))
        said = f"both joints were off the table: set down by {by}"
        told.append(Finding("set-down", "left_joint", said, min(left, right)))
    return (left, right), tuple(told)


def _lie(side: Heights, joint: float) -> Lie:
    rise = side.lift
    return Lie(joint=joint, rise=rise, slope=slope_from_rise(_share(rise / side.width), 1.0))


def _guess(measured: Measured, left: Lie, right: Lie) -> Guess | None:
    sides = measured.left.side, measured.right.side
    if sides[0] is None or sides[1] is None:
        return None
    heaps = Heap(sides[0], left.slope), Heap(sides[1], right.slope)
    return guess_step(*heaps, measured.spine_width, measured.cover)
