"""Checks of the support standing: the profile is walked and must close, on every book made."""

import math
from collections.abc import Iterator

from cutfiles.bench.slip import SideName
from cutfiles.findings import Finding
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point
from cutfiles.support.cradle import NARROW_TAPE, SIDES, Support
from cutfiles.support.profile import Walk, walk

CLOSE = 1e-6
"""Two places closer than this are one, mm: rounding of the walk only."""
STEEP = 60.0
"""Steeper slopes are advised against, degrees (common practice, no source)."""


def check_standing(support: Support) -> Iterator[Finding]:
    """Yield what is wrong with, or worth knowing of, the support as it would stand."""
    standing = walk(support.profile, support.deck_lift)
    yield from _closes(support, standing)
    yield from _tabs(support, standing)
    yield from _advice(support)


def meant_corners(support: Support, side: SideName) -> list[Point]:
    """Return where one side's panels should end, from the joint to the tab's tip.

    Joint, apex, foot, the base's end under the joint, tip of the tab; joint and fore end only
    where the side does not stand. Plane trigonometry on the wing, without the walk.
    """
    wing, half = support.half(side), support.spine / 2
    out = half + wing.board * math.cos(wing.slope)
    top = support.deck_lift + wing.board * math.sin(wing.slope)
    corners = [(half, support.deck_lift), (out, top)]
    if wing.stands:
        corners += [(out, 0.0), (half, 0.0), (half - wing.tab, 0.0)]
    sign = 1 if side == "right" else -1
    return [Point(sign * x, y) for x, y in corners]


def _closes(support: Support, standing: Walk) -> Iterator[Finding]:
    """The walk by fold angles ends each panel where trigonometry puts it."""
    spine = support.profile.index("spine")
    walked = {"left": standing.corners[spine::-1], "right": standing.corners[spine + 1 :]}
    panels = {"left": support.profile.panels[spine::-1], "right": support.profile.panels[spine:]}
    for side in SIDES:
        meant = meant_corners(support, side)
        if len(meant) != len(walked[side]):
            yield _stop("closing", f"{side} side", "has a panel too many or too few", 1.0, 0.0)
            continue
        for panel, found, where in zip(panels[side], walked[side], meant, strict=True):
            off = distance(found, where)
            if off > CLOSE:
                yield _stop("closing", panel.name, "does not end where it should", off, CLOSE)


def _tabs(support: Support, standing: Walk) -> Iterator[Finding]:
    """Tabs under the spine panel, and off each other unless lapped."""
    half = support.spine / 2
    tips = []
    for side, corner in zip(SIDES, (standing.corners[0], standing.corners[-1]), strict=True):
        if support.half(side).stands:
            tips.append(corner.x)
            if abs(corner.x) > half + CLOSE:
                yield _stop("tab", f"{side} tab", "is not under the spine panel", corner.x, half)
    if len(tips) == 2 and not support.lapped and tips[0] >= tips[1]:
        yield _stop("tab", "tabs", "lie on one another", tips[0] - tips[1], 0.0)


def _advice(support: Support) -> Iterator[Finding]:
    for side in SIDES:
        wing = support.half(side)
        slope = math.degrees(wing.slope)
        if not wing.stands:
            yield Finding(
                "no-wing",
                f"{side} board",
                f"the {side} side rises less than {support.choices.least_rise:g} mm: its board "
                "panel lies on the table and the strip ends there",
            )
        elif slope > STEEP:
            yield Finding(
                "steep",
                f"{side} board",
                f"a slope of {slope:.1f}° is above {STEEP:g}°: a flatter opening is safer",
                slope,
                STEEP,
            )
        width = support.tape_place(side)[1]
        if wing.stands and width < NARROW_TAPE - CLOSE:
            yield Finding(
                "tape",
                f"{side} tab",
                f"the {side} tab is {wing.tab:.1f} mm long and takes a tape {width:.1f} mm wide: "
                f"cut the usual narrow tape of {NARROW_TAPE:g} mm narrower",
                width,
                NARROW_TAPE,
            )


def _stop(rule: str, place: str, message: str, measured: float, limit: float) -> Finding:
    return Finding(rule, place, f"{place} {message}", measured, limit, "stop")
