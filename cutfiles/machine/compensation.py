"""What is done to the strokes of a sheet so that they come out as drawn, each thing once.

First dashes, kerf and bridges, on the sheet as drawn; then, when the order of the work is known,
lead-ins and the way of a trailing knife. Every pass file states what was done and what was not.
"""

import math
from collections.abc import Mapping

from cutfiles.film.drawing import Drawing
from cutfiles.findings import Finding
from cutfiles.machine.bridges import with_bridges, with_lead_in
from cutfiles.machine.cutter import Cutter, Setting
from cutfiles.machine.kerf import compensate
from cutfiles.machine.knife import led
from cutfiles.machine.passes import WORK
from cutfiles.machine.perforate import perforate
from cutfiles.machine.settings import Chosen
from cutfiles.pattern.facts import PROGRAM
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.shapes import Point

_BELOW = (Point(10.0, 1.0), 0.0)
"""Where a blade is aligned, mm, and how it runs: to the right, in the waste below the pieces."""
_BESIDE = (Point(1.0, 1.0), math.pi / 2)
"""The same on a later frame, where pieces begin below it: up, in the waste left of them."""


def prepared(
    whole: Drawing, cutter: Cutter, chosen: Chosen
) -> tuple[tuple[Stroke, ...], tuple[Finding, ...]]:
    """Return all strokes that are worked, with dashes, kerf and bridges; and what is to be told.

    Raises:
        FormatError: a detail is too small for the kerf, or a score for a dash.

    """
    tool, findings = cutter.tool, []
    strokes = tuple(stroke for stroke in whole.strokes if stroke.role is not Role.GUIDE)
    scores = [s.path for s in strokes if s.role in (Role.VALLEY, Role.MOUNTAIN)]
    if cutter.method == "perforate":
        strokes = perforate(strokes, cutter.dash, chosen.land, chosen.lands)
    if tool.kerf:
        strokes = tuple(compensate(stroke, tool.kerf, tool.corners) for stroke in strokes)
    if tool.bridges:
        laid: list[Stroke] = []
        for stroke in strokes:
            if stroke.role is not Role.OUTLINE:
                laid.append(stroke)
                continue
            cuts = with_bridges(stroke, scores, tool.bridges, tool.bridge_width)
            found = len(cuts) if not cuts[0].path.closed else 0
            if found < tool.bridges:
                findings.append(
                    Finding(
                        "bridges",
                        stroke.name,
                        f"only {found} bridges found room clear of corners and creases",
                        found,
                        tool.bridges,
                    )
                )
            laid += cuts
        strokes = tuple(laid)
    return strokes, tuple(findings)


def led_in(ordered: tuple[Stroke, ...], cutter: Cutter, frame: int) -> tuple[Stroke, ...]:
    """Return a frame's strokes in the order of the work with lead-ins, and as a knife is led."""
    tool = cutter.tool
    if tool.lead_in:
        ordered = tuple(with_lead_in(stroke, tool.lead_in) for stroke in ordered)
    offset, overcut = tool.knife_offset or 0.0, tool.overcut or 0.0
    if not offset and not overcut:
        return ordered
    works = {"cut"} if cutter.method in ("impress", "channel") else {"cut", "score"}
    knife = [stroke for stroke in ordered if WORK[stroke.role] in works]
    if not knife:
        return ordered
    aligned, *rest = led(knife, offset, overcut, *(_BELOW if frame == 1 else _BESIDE))
    way = iter(rest)
    laid: list[Stroke] = []
    for stroke in ordered:
        if WORK[stroke.role] not in works:
            laid.append(stroke)
            continue
        if offset and stroke is knife[0]:
            laid.append(aligned)
        laid.append(next(way))
    return tuple(laid)


def facts_of_pass(
    whole: Drawing, cutter: Cutter, chosen: Chosen, view: str, said: str
) -> tuple[tuple[str, str], ...]:
    """Return what a pass file states: the sheet's facts as they now are, and the work done."""
    own = {
        "cutter": cutter.name,
        "pass": said,
        "scores": cutter.method + ("" if cutter.side == "by method" else f", {cutter.side}"),
        **_compensation(cutter, chosen),
        **_repeats(chosen.settings),
    }
    facts = [(name, view if name == "view" else value) for name, value in whole.facts]
    last = [fact for fact in facts if fact[0] == PROGRAM]
    return (*(fact for fact in facts if fact[0] != PROGRAM), *own.items(), *last)


def _compensation(cutter: Cutter, chosen: Chosen) -> dict[str, str]:
    """Say what was done to the paths, so that nobody does it a second time."""
    tool = cutter.tool
    facts = {}
    if cutter.kind == "laser":
        facts["kerf"] = _done(tool.kerf)
    else:
        facts["knife offset"] = _done(tool.knife_offset)
        facts["overcut"] = _done(tool.overcut)
    if cutter.method == "perforate":
        facts["perforation"] = f"cuts of {cutter.dash:g} mm, lands of {chosen.land:g} mm or more"
    if tool.bridges:
        facts["bridges"] = f"up to {tool.bridges} of {tool.bridge_width:g} mm in each outline"
    if tool.lead_in:
        where = "from the waste; none where bridges hold" if tool.bridges else "from the waste"
        facts["lead-in"] = f"{tool.lead_in:g} mm, {where}"
    return facts


def _done(length: float | None) -> str:
    """Say it shortly: outside readers of HP-GL stumble over comments of more than 80 letters."""
    if length is None:
        return "left to the machine"
    return f"{length:g} mm, done here: off in the machine" if length else "none"


def _repeats(settings: Mapping[str, Setting]) -> dict[str, str]:
    """Say which kinds of work are done more than once: drawings show each line once."""
    often = {work: settings[role].passes for role, work in WORK.items() if role in settings}
    said = [f"{work} {count} times" for work, count in often.items() if count > 1]
    return {"passes": ", ".join(said)} if said else {}
