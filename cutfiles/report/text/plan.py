"""A plan as a short table for people, and as data for programs."""

import math
from typing import Any

from cutfiles.machine.align import Alignment
from cutfiles.machine.cutter import profile_sha256
from cutfiles.machine.passes import WORK, CutPlan, Pass, scale_check
from cutfiles.machine.time import time_text
from cutfiles.pattern.pattern import Role

CAUTIONS = {
    "knife": "knife: stand to cut, sharp blade, free hand out of its path",
    "laser": "laser: extraction on, lid closed or eyewear for the wavelength, watch the whole run, "
    "means to put a fire out at hand; never PVC, chlorine-coated or unknown film; bead away from "
    "the book",
}


def plan_table(plan: CutPlan) -> str:
    """Return the passes, what is done in each, how long they take, and the caution."""
    lines = [
        f"  cutter     {plan.cutter.name}: {plan.cutter.method}, about {time_text(plan.seconds)}"
    ]
    for one in plan.passes:
        view = dict(one.drawing.facts)["view"]
        frames = f", frame {one.frame} of {one.frames}" if one.frames > 1 else ""
        lines.append(f"  {one.name:<10} {view}{frames}: {work_of(one)}")
        lines.append(
            f"             about {time_text(one.seconds)}, {one.worked / 1000:.2f} m worked, "
            f"{one.travel / 1000:.2f} m travel"
        )
        if apart := scale_check(one):
            lines.append(f"             measure the scale on the film: {apart.text}")
    if len({one.key for one in plan.passes}) > 1:
        lines.append(
            f"             between the two: turn the sheet {plan.cutter.turn} and lay it on its "
            "three pin holes"
        )
    lines.append(f"  take care  {CAUTIONS[plan.cutter.kind]}; the machine's manual comes first")
    return "\n".join(lines)


def plan_data(plan: CutPlan) -> dict[str, Any]:
    """Return a plan as data: lengths in mm, times in seconds."""
    return {
        "cutter": plan.cutter.name,
        "cutter_kind": plan.cutter.kind,
        "profile_sha256": profile_sha256(plan.cutter),
        "lot": plan.lot,
        "seconds": round(plan.seconds, 1),
        "passes": [
            {
                "name": one.name,
                "face": one.face,
                "frame": one.frame,
                "frames": one.frames,
                "sheet_mm": [round(one.drawing.width, 4), round(one.drawing.height, 4)],
                "seconds": round(one.seconds, 1),
                "worked_mm": round(one.worked, 1),
                "travel_mm": round(one.travel, 1),
                "scale_check": apart.data if (apart := scale_check(one)) else None,
                "marks": [
                    {"mark": mark.name, "x": round(mark.at.x, 4), "y": round(mark.at.y, 4)}
                    for mark in one.marks
                ],
            }
            for one in plan.passes
        ],
    }


def work_of(one: Pass) -> str:
    """Return what is done in a pass, counted by role."""
    counts: dict[Role, int] = {}
    for stroke in one.drawing.strokes:
        if stroke.role in WORK:
            counts[stroke.role] = counts.get(stroke.role, 0) + 1
    return ", ".join(f"{counts[role]} {role}" for role in Role if role in counts) or "nothing"


def lying_text(found: Alignment) -> str:
    """Return how a sheet was found to lie, in one line."""
    move = found.move
    return (
        f"{move.kind}: turned {math.degrees(move.angle):.3f}°, shifted {move.e:.2f} mm and "
        f"{move.f:.2f} mm, size {move.scales[0]:.5f} × {move.scales[1]:.5f}"
    )
