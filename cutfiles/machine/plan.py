"""Makes a sheet ready for one cutter: passes by face, compensated, in order, timed.

>>> from cutfiles.bench.slip import slip_from
>>> from cutfiles.machine.read_cutter import find_cutter
>>> from cutfiles.support.cradle import design
>>> from cutfiles.pattern.unfold import unfold
>>> from cutfiles.sheets.lay import lay
>>> slip = slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
...                   "spine_width": 34, "opening_angle": 120})
>>> sheet = lay(unfold(design(slip)), slip.book)
>>> [(one.name, one.face) for one in plan(sheet, find_cutter("flatbed-wheel")).passes]
[('face-a', 'book'), ('face-b', 'table')]
"""

from dataclasses import replace

from cutfiles.machine.compensation import facts_of_pass, led_in, prepared
from cutfiles.machine.cutter import Cutter
from cutfiles.machine.order import in_order, travel_of
from cutfiles.machine.passes import PENS, CutPlan, Mark, Pass
from cutfiles.machine.place import origin_of
from cutfiles.machine.score import Face
from cutfiles.machine.settings import Chosen, choose
from cutfiles.machine.time import pass_seconds
from cutfiles.machine.turning import (
    Lie,
    faces_needed,
    moved,
    quarter_needed,
    strokes_of_pass,
)
from cutfiles.pattern.lettering import drawable, text_width
from cutfiles.pattern.pattern import Note, Role, Stroke
from cutfiles.plane.measure import path_length
from cutfiles.plane.shapes import Point
from cutfiles.sheets.register import marks_of, pin_holes
from cutfiles.sheets.sheet import Sheet


def plan(sheet: Sheet, cutter: Cutter, lot: str = "") -> CutPlan:
    """Return what a cutter does with a sheet.

    Args:
        sheet: one or more patterns on film, book face up, with at least 5 mm of waste around.
        cutter: the machine.
        lot: the film lot, if a coupon was judged for it.

    Raises:
        FormatError: the sheet does not fit the bed, or may not be turned as it must be.
        FileError: no coupon was judged for the film lot.

    """
    chosen = choose(sheet, cutter, lot)
    faces = faces_needed(sheet, cutter)
    quarter = quarter_needed(sheet, cutter.bed)
    pins = pin_holes(sheet.width, sheet.height, sheet.strokes) if len(faces) > 1 else ()
    whole = _with_pins(sheet, pins)
    work, findings = prepared(whole, cutter, chosen)
    passes = []
    for face in faces:
        lie = Lie(face, cutter.turn, quarter, sheet.width, sheet.height)
        passes.append(_pass(whole, work, cutter, chosen, lie, faces))
    return CutPlan(
        number=dict(sheet.facts).get("number", ""),
        cutter=cutter,
        lot=lot,
        sheet=whole,
        passes=tuple(passes),
        settings=chosen.settings,
        findings=(*chosen.findings, *findings),
    )


def _with_pins(sheet: Sheet, pins: tuple[Stroke, ...]) -> Sheet:
    order = list(Role)
    strokes = sorted((*pins, *sheet.strokes), key=lambda stroke: order.index(stroke.role))
    return replace(sheet, strokes=tuple(strokes))


def _pass(
    whole: Sheet,
    work: tuple[Stroke, ...],
    cutter: Cutter,
    chosen: Chosen,
    lie: Lie,
    faces: tuple[Face, ...],
) -> Pass:
    """Return one pass of the whole sheet, as it lies."""
    turned = moved(strokes_of_pass(work, cutter, lie.face, faces), lie)
    key = "ab"[faces.index(lie.face)]
    guides = moved(_guides(whole, lie.face, faces), lie)
    home = origin_of(cutter.bed)
    ordered = led_in(in_order(turned, {**PENS, **cutter.pens}, home), cutter)
    width, height = lie.size
    said = f"pass {key}, {lie.view}" if len(faces) == 1 else f"pass {key} of 2, {lie.view}"
    laid = replace(
        whole,
        title=f"{whole.title} · {said}",
        width=width,
        height=height,
        piece=whole.piece[::-1] if lie.quarter else whole.piece,
        strokes=(*guides, *ordered),
        notes=_notes(whole, lie, said),
        facts=facts_of_pass(whole, cutter, chosen, lie.view, said),
    )
    marks = tuple(Mark(name, at) for name, at in marks_of(moved(whole.strokes, lie)))
    return Pass(
        key=key,
        face=lie.face,
        sheet=laid,
        marks=marks,
        seconds=pass_seconds(ordered, cutter, chosen.settings, home),
        travel=travel_of(ordered, home),
        worked=sum(path_length(stroke.path) for stroke in ordered),
    )


def _guides(whole: Sheet, face: Face, faces: tuple[Face, ...]) -> tuple[Stroke, ...]:
    """Return what only people see: guides, and in the second pass the marks made in the first."""
    guides = whole.of_role(Role.GUIDE)
    if face == faces[0]:
        return guides
    return (
        *guides,
        *(replace(stroke, role=Role.GUIDE) for stroke in whole.of_role(Role.REGISTRATION)),
    )


def _notes(whole: Sheet, lie: Lie, said: str) -> tuple[Note, ...]:
    """Return the sheet's own notes where they can be read, else one line of what it is."""
    if lie.face == "book" and not lie.quarter:
        return whole.notes
    facts = dict(whole.facts)
    text = drawable(
        f"{facts.get('number', '')}, unit mm, {said}, {facts.get('gauge', '')} "
        f"{facts.get('material', '')}"
    )
    width, height = lie.size
    left = width * 0.3 + 10.0
    size = min(2.0, (width - left - 2.0) / text_width(text, 1.0))
    return (Note(text, Point(left, height - 5.0 - size / 2), size),)
