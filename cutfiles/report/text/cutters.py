"""A cutter profile as a short table for people."""

from cutfiles.machine.cutter import Cutter, Setting
from cutfiles.machine.formats import FORMATS
from cutfiles.machine.score import worked_face
from cutfiles.units import MM_PER_MIL


def cutter_table(cutter: Cutter) -> str:
    """Return what a profile says: bed, faces, compensation, films."""
    bed, tool = cutter.bed, cutter.tool
    reach = f"{bed.reach[0]:g} × {bed.reach[1]:g} mm"
    beyond = {"none": "longer is refused", "feed": "longer is fed on", "shift": "longer is shifted"}
    faces = {fold: worked_face(cutter.method, fold, cutter.side) for fold in ("valley", "mountain")}
    lines = [
        f"{cutter.name}: {cutter.kind}, checked",
        f"  takes      {', '.join(cutter.formats)}",
        f"  bed        {bed.width:g} × {bed.length:g} mm, reach {reach}; {beyond[bed.tiles]}",
        f"  machine    origin {bed.origin}, x runs {bed.x_axis}, y runs {bed.y_axis}",
        f"  scores     {cutter.method}: "
        + ", ".join(f"{k} from {_face(v)}" for k, v in faces.items()),
        f"  turned     {cutter.turn}",
    ]
    if cutter.kind == "laser":
        lines.append(f"  kerf       {_or_machine(tool.kerf)}, corners {tool.corners}")
    else:
        lines.append(
            f"  knife      offset {_or_machine(tool.knife_offset)}, "
            f"overcut {_or_machine(tool.overcut)}"
        )
    if tool.bridges:
        lines.append(f"  bridges    {tool.bridges} of {tool.bridge_width:g} mm")
    for material in cutter.materials:
        said = "; ".join(f"{work} {_setting(s)}" for work, s in material.settings.items())
        mil = material.gauge / MM_PER_MIL
        lines.append(f"  film       {material.gauge:.4g} mm ({mil:.3g} mil): {said}")
    for form in (FORMATS[key] for key in cutter.formats):
        if form.bound and not cutter.materials:
            lines.append(
                f"  note       no [[material]]: {form.title} is refused until there is one"
            )
    for one in cutter.judged:
        lines.append(f"  film lot   {one.lot}: {one.what.replace('_', ' ')} {one.value:g}")
    return "\n".join(lines)


def _face(worked: str) -> str:
    return "either face" if worked == "either" else f"the {worked} face"


def _or_machine(length: float | None) -> str:
    return "left to the machine" if length is None else f"{length:g} mm"


def _setting(setting: Setting) -> str:
    parts = []
    if setting.power is not None:
        parts.append(f"{setting.power:g} %")
    if setting.force is not None:
        parts.append(f"force {setting.force:g}")
    if setting.speed is not None:
        parts.append(f"{setting.speed:g} mm/s")
    if setting.passes > 1:
        parts.append(f"{setting.passes} times")
    return " ".join(parts) or "as the machine is set"
