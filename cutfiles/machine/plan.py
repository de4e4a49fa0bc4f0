"""Makes a sheet ready for one cutter: passes by face, compensated, in order, timed.

>>> from cutfiles.bench.slip import slip_from
>>> from cutfiles.machine.profile.read import find_cutter
>>> from cutfiles.support.design import design
>>> from cutfiles.pattern.unfold import unfold
>>> from cutfiles.film.lay import lay
>>> slip = slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
...                   "spine_width": 34, "opening_angle": 120})
>>> drawing = lay(unfold(design(slip)), slip.book, slip.film.gauge)
>>> [(one.name, one.face) for one in plan(drawing, find_cutter("flatbed-wheel")).passes]
[('face-a', 'book'), ('face-b', 'table')]
"""

from dataclasses import replace

from cutfiles.film.drawing import Drawing
from cutfiles.film.register import marks_of, pin_holes
from cutfiles.machine.compensation import facts_of_pass, led_in, prepared
from cutfiles.machine.cutter import Cutter
from cutfiles.machine.order import in_order, travel_of
from cutfiles.machine.passes import PENS, CutPlan, Mark, Pass
from cutfiles.machine.place import origin_of
from cutfiles.machine.settings import Chosen, choose
from cutfiles.machine.tile import frames_of
from cutfiles.machine.time import pass_seconds
from cutfiles.machine.turning import Lie, faces_needed, moved, quarter_needed, strokes_of_pass
from cutfiles.pattern.pattern import Stroke, by_role
from cutfiles.plane.measure import path_length
from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Face


def plan(drawing: Drawing, cutter: Cutter, lot: str = "") -> CutPlan:
    """Return what a cutter does with a sheet.

    Args:
        drawing: one or more patterns on film, book face up, with at least 5 mm of waste around.
        cutter: the machine.
        lot: the film lot, if a coupon was judged for it.

    Raises:
        FormatError: the sheet does not fit the bed, or may not be turned as it must be.
        FileError: no coupon was judged for the film lot.

    """
    return plan_chosen(drawing, cutter, choose(drawing, cutter, lot))


def plan_chosen(drawing: Drawing, cutter: Cutter, chosen: Chosen) -> CutPlan:
    """Return what a cutter does with a sheet, its settings already chosen.

    Raises:
        FormatError: the sheet does not fit the bed, or may not be turned as it must be.

    """
    faces = faces_needed(drawing, cutter)
    quarter = quarter_needed(drawing, cutter.bed)
    pins = pin_holes(drawing.width, drawing.height, drawing.strokes) if len(faces) > 1 else ()
    whole = _with_pins(drawing, pins)
    work, findings = prepared(whole, cutter, chosen)
    passes: list[Pass] = []
    for face in faces:
        lie = Lie(face, cutter.turn, quarter, drawing.width, drawing.height)
        passes += _passes(whole, work, cutter, chosen, lie, faces)
    return CutPlan(
        number=dict(drawing.facts).get("number", ""),
        cutter=cutter,
        lot=chosen.lot,
        drawing=whole,
        passes=tuple(passes),
        settings=chosen.settings,
        findings=(*chosen.findings, *findings),
    )


def lie_of(plan: CutPlan, one: Pass) -> Lie:
    """Return how the sheet lies in a pass."""
    whole, cutter = plan.drawing, plan.cutter
    quarter = quarter_needed(whole, cutter.bed)
    return Lie(one.face, cutter.turn, quarter, whole.width, whole.height)


def _with_pins(drawing: Drawing, pins: tuple[Stroke, ...]) -> Drawing:
    return replace(drawing, strokes=by_role((*pins, *drawing.strokes)))


def _passes(
    whole: Drawing,
    work: tuple[Stroke, ...],
    cutter: Cutter,
    chosen: Chosen,
    lie: Lie,
    faces: tuple[Face, ...],
) -> list[Pass]:
    """Return what is done with one face up: one pass, or one a frame, as the sheet lies.

    A pass holds what is worked in it and nothing else: no guide, no note, no mark made before.
    """
    turned = moved(strokes_of_pass(work, cutter, lie.face, faces), lie)
    key = "ab"[faces.index(lie.face)]
    width, height = lie.size
    frames = frames_of(turned, width, height, cutter.bed.reach[1])
    marks = marks_of(moved(whole.strokes, lie))
    home = origin_of(cutter.bed)
    passes = []
    for number, frame in enumerate(frames, 1):
        of = "" if len(faces) == 1 else f" of {len(faces)}"
        said = f"pass {key}{of}, {lie.view}"
        said += f", frame {number} of {len(frames)}" if len(frames) > 1 else ""
        ordered = led_in(in_order(frame.strokes, {**PENS, **cutter.pens}, home), cutter, number)
        laid = replace(
            whole,
            title=f"{whole.title} · {said}",
            width=width,
            height=frame.top - frame.bottom,
            piece=whole.piece[::-1] if lie.quarter else whole.piece,
            strokes=tuple(ordered),
            notes=(),  # a program that takes all layers would cut what only people should see
            facts=facts_of_pass(whole, cutter, chosen, lie.view, said),
        )
        passes.append(
            Pass(
                key=key,
                face=lie.face,
                frame=number,
                frames=len(frames),
                bottom=frame.bottom,
                drawing=laid,
                marks=tuple(
                    Mark(name, Point(at.x, at.y - frame.bottom))
                    for name, at in marks
                    if frame.bottom <= at.y <= frame.top
                )
                + tuple(Mark(name, at) for name, at in marks_of(frame.found)),
                seconds=pass_seconds(ordered, cutter, chosen.settings, home),
                travel=travel_of(ordered, home),
                worked=sum(path_length(stroke.path) for stroke in ordered),
            )
        )
    return passes
