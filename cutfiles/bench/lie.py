"""How a book lies, from the fields of its slip: joints resolved, guessed, leaves followed.

Lengths in mm, angles in degrees.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from cutfiles.bench.book import SIDES, Known, SideName, cover_of
from cutfiles.bench.guess import Followed, Heap, follow_leaves
from cutfiles.bench.heights import Heights, Joints, Lie, Measured
from cutfiles.findings import Finding
from cutfiles.units import Units

Fields = Mapping[str, Any]


def rise_of(fields: Fields, side: SideName) -> float | None:
    """Return how far a fore edge lies above its joint: the rise, else fore edge less joint, mm.

    >>> rise_of({"left_fore_edge": 86.0, "left_joint": 20.0}, "left")
    66.0
    """
    rise, fore_edge = fields.get(f"{side}_rise"), fields.get(f"{side}_fore_edge")
    joint = fields.get(f"{side}_joint")
    if rise is not None or fore_edge is None or joint is None:
        return rise
    return float(fore_edge - joint)


def measured_of(
    fields: Fields, widths: Mapping[SideName, float], slopes: Mapping[SideName, float], spine: float
) -> Measured:
    """Return the heights that a slip's fields give; a slope counts where no height does."""

    def heights(side: SideName) -> Heights:
        fore_edge = fields.get(f"{side}_fore_edge")
        own = fields.get(f"{side}_slope")
        return Heights(
            width=widths[side],
            joint=fields.get(f"{side}_joint"),
            rise=fields.get(f"{side}_rise"),
            fore_edge=fore_edge,
            slope=max(0.0, slopes[side]) if fore_edge is None else own,
            side=fields.get(f"{side}_side"),
        )

    units: Units = fields.get("units", "mm")
    return Measured(
        left=heights("left"),
        right=heights("right"),
        spine_width=spine,
        spine_tilt=fields.get("spine_tilt"),
        span=fields.get("span"),
        cover=cover_of(fields.get("cover"), fields.get("binding", "")),
        units=units,
    )


def known_heights(joints: Joints, guess: bool, spine: float) -> tuple[Known, Lie, Lie]:
    """Return how the joints are known, and both sides as the support is to carry them.

    Args:
        joints: as resolved.
        guess: whether to cut from a guess where none was measured.
        spine: joint to joint across the spine, mm.

    """
    if joints.measured:
        return "measured", joints.left, joints.right
    if joints.guess is None or not joints.guess.is_asked:
        return "level", joints.left, joints.right
    if not guess:
        return "asked", joints.left, joints.right
    step = max(-spine, min(spine, joints.guess.step))
    left, right = (
        replace(joints.left, joint=max(0.0, step)),
        replace(joints.right, joint=max(0.0, -step)),
    )
    return "guessed", left, right


def followed(left: float, right: float, fields: Fields) -> Followed:
    """Return the slopes the support takes: those of the boards, or raised to follow the leaves."""
    page = fields.get("page_angle")
    if page is None or fields.get("support.follow") == "boards":
        return Followed(left, right, 0.0, 0.0, 0.0)
    sides = [fields.get(f"{side}_side") for side in SIDES]
    one, other = (side or 0.0 for side in sides) if all(sides) else (0.0, 0.0)
    return follow_leaves(Heap(one, left), Heap(other, right), page)


def guess_told(known: Known, joints: Joints, fields: Fields) -> tuple[Finding, ...]:
    """Return what is told of a guess that the slip wants."""
    if fields.get("support.joints") != "guess" or joints.measured:
        return ()
    if known == "guessed" and joints.guess is not None:
        step, side = joints.guess.step, "left" if joints.guess.step > 0 else "right"
        said = f"guessed: the {side} joint {abs(step):.1f} mm higher; nothing of it was measured"
        return (Finding("guessed", f"{side}_joint", said, step),)
    if joints.guess is None:
        said = "nothing to guess the joints from without left_side and right_side: taken as level"
        return (Finding("guessed", "left_joint", said),)
    return ()
