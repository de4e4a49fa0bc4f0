"""A plan as files: each pass in each format the cutter takes, read back and compared.

Formats that a machine reads by itself (HP-GL, G-code) count from the machine's origin along its
axes, and hold a line as often as it is to be worked. Drawings (SVG, DXF, PDF) show the sheet as the
operator sees it on the bed, each line once.
"""

from dataclasses import replace

from cutfiles.disk.names import safe_name
from cutfiles.errors import Defect, FormatError
from cutfiles.files.formats import FORMATS, Format, Options
from cutfiles.files.made import File
from cutfiles.files.pairs import Difference
from cutfiles.files.record import MARKS as MARKS_FORMAT
from cutfiles.files.verify import compare, written
from cutfiles.film.drawing import Drawing
from cutfiles.machine.align import aligned_again
from cutfiles.machine.cutter import Bed, Cutter
from cutfiles.machine.endings import ALIGNED, MARKS, PLAN
from cutfiles.machine.marks import marks_table, to_measure
from cutfiles.machine.options import drawing_options
from cutfiles.machine.passes import CutPlan, Pass, setting_of
from cutfiles.machine.place import machine_path
from cutfiles.machine.plan_data import plan_bytes, plan_from
from cutfiles.plane.measure import box_of


def write_plan(plan: CutPlan, name: str | None = None) -> tuple[File, ...]:
    """Return the files of all passes, in the order of the work.

    Args:
        plan: what to write.
        name: what the files' names begin with; the plan's number if there is none.

    Raises:
        FormatError: a format cannot hold a pass, or lacks what it must be told.
        DifferenceError: a file did not read back as it was meant.

    """
    stem = name or safe_name(plan.number)
    files = []
    for one in plan.passes:
        for key in plan.cutter.formats:
            form = FORMATS[key]
            full = pass_file_name(stem, one, form, plan.cutter)
            data = write_pass(plan, one, form)
            files.append(File(full, key, data, True))
    data = plan_bytes(plan)
    if plan_from(data, stem + PLAN) != replace(plan, findings=()):
        raise Defect(
            "a plan that does not come back",
            "a plan file holds the plan",
            "please report this slip",
            stem + PLAN,
        )
    files.append(File(stem + PLAN, "plan", data, True))
    if to_measure(plan):
        files.append(File(stem + MARKS, MARKS_FORMAT, marks_table(plan), None))
    return tuple(files)


def write_aligned(plan: CutPlan, one: Pass, name: str | None = None) -> tuple[File, ...]:
    """Return the files of one pass that was corrected, read back and compared.

    Args:
        plan: it belongs to.
        one: the pass, corrected.
        name: what the names of the plan's files begin with; its number if there is none.

    Raises:
        FormatError: it no longer lies within the tool's reach.

    """
    reach, drawing = plan.cutter.bed.reach, one.drawing
    box = box_of(stroke.path for stroke in drawing.strokes)
    if box.right > reach[0] or box.top > reach[1]:
        raise FormatError(
            f"a sheet that lies up to {box.right:.1f} × {box.top:.1f} mm",
            f"the tool reaches {reach[0]:.1f} × {reach[1]:.1f} mm",
            "lay the sheet further in, and measure again",
            one.name,
        )
    stem = name or safe_name(plan.number)
    return tuple(
        File(
            pass_file_name(stem, one, FORMATS[key], plan.cutter, ALIGNED),
            key,
            write_pass(plan, one, FORMATS[key]),
            True,
        )
        for key in plan.cutter.formats
    )


def write_pass(plan: CutPlan, one: Pass, form: Format) -> bytes:
    """Return one pass in one format, read back and compared.

    Raises:
        FormatError: the format cannot hold it, or lacks what it must be told.
        DifferenceError: it did not read back as it was meant.

    """
    drawing, options = pass_drawing(plan, one, form), pass_options(plan, one)
    name = pass_file_name(safe_name(plan.number), one, form, plan.cutter)
    if form.unit:
        _check_range(drawing, plan.cutter.bed, form.unit, name)
    return written(name, drawing, form, options).data


def verify_pass(
    plan: CutPlan, name: str, data: bytes, stem: str | None = None
) -> tuple[Difference, ...]:
    """Return how a file differs from the pass its name stands for; nothing where it does not.

    Args:
        plan: with the pass.
        name: of the file.
        data: its bytes.
        stem: what the names of the plan's files begin with; its number if there is none.

    Raises:
        FormatError: the plan has no file of this name.
        FileError: it cannot be read.

    """
    stem = stem or safe_name(plan.number)
    for one in plan.passes:
        for key in plan.cutter.formats:
            form = FORMATS[key]
            if pass_file_name(stem, one, form, plan.cutter) == name:
                return compare(pass_drawing(plan, one, form), data, form, pass_options(plan, one))
            if pass_file_name(stem, one, form, plan.cutter, ALIGNED) == name:
                again = aligned_again(one, form.read(data).facts, name)
                return compare(pass_drawing(plan, again, form), data, form, pass_options(plan, one))
    known = ", ".join(
        pass_file_name(stem, one, FORMATS[key], plan.cutter)
        for one in plan.passes
        for key in plan.cutter.formats
    )
    raise FormatError(
        f'a file "{name}"',
        f"the plan for {plan.cutter.name} has {known}",
        "name one of them, with the cutter and the slip it was made with",
        name,
    )


def pass_file_name(stem: str, one: Pass, form: Format, cutter: Cutter, state: str = "") -> str:
    """Return what a pass's file is called: ``A1.face-a.dxf``."""
    kin = [key for key in cutter.formats if FORMATS[key].group == form.group]
    suffix = form.shared if len(kin) == 1 else form.suffix
    return f"{stem}.{one.name}{state}{suffix}"


def pass_options(plan: CutPlan, one: Pass) -> Options:
    """Return what the profile and the film say of one pass's files."""
    return replace(drawing_options(plan.cutter), face=one.face, settings=plan.settings)


def pass_drawing(plan: CutPlan, one: Pass, form: Format) -> Drawing:
    """Return the sheet of a pass as a format holds it."""
    if form.wire is None:
        return one.drawing
    bed = plan.cutter.bed
    strokes = tuple(
        stroke.along(machine_path(stroke.path, bed))
        for stroke in one.drawing.strokes
        for _ in range(setting_of(stroke, plan.settings).passes)
    )
    return replace(one.drawing, strokes=strokes)


def _check_range(drawing: Drawing, bed: Bed, unit: float, name: str) -> None:
    """Refuse coordinates beyond what the machine takes."""
    box = box_of(stroke.path for stroke in drawing.strokes)
    least, most = round(min(box[:2]) / unit), round(max(box[2:]) / unit)
    if least < bed.range_least or most > bed.range_most:
        raise FormatError(
            f"coordinates from {least} to {most}",
            f"the machine takes {bed.range_least} to {bed.range_most}",
            "correct range_least and range_most after the machine's manual, or the bed",
            name,
        )
