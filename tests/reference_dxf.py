"""The DXF writer as it would be with ezdxf's own entities: what ours must equal, byte by byte.

It is also the baseline of `bench/exhibits.py`. Beside ezdxf's own text ours leaves out what says
nothing of the drawing; `_bare` names each of those tags.
"""

import io
import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Literal

from ezdxf import options
from ezdxf.document import Drawing as Document
from ezdxf.entities import DXFGraphic, DXFObject
from ezdxf.entities.dxfgroups import DXFGroup
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace
from ezdxf.lldxf.tagwriter import TagWriter

from cutfiles.film.drawing import Drawing
from cutfiles.pattern.pattern import COLOURS, Note, Role, Stroke
from cutfiles.plane.measure import arc_centre, arc_radius, distance

Release = Literal["R12", "R2000"]

STEP = 0.0001
"""Finest step of a coordinate, mm."""
_INDEX = {
    Role.GUIDE: 8,
    Role.REGISTRATION: 6,
    Role.LABEL: 3,
    Role.VALLEY: 5,
    Role.MOUNTAIN: 30,
    Role.HOLES: 7,
    Role.OUTLINE: 7,
}
"""DXF colour index nearest to each role's colour (from memory)."""


def write_dxf(sheet: Drawing, release: Release) -> bytes:
    """Return the sheet as a DXF file of this release."""
    with _same_every_time():
        document = new(release, units=0 if release == "R12" else 4)
        _layers(document, release)
        if release == "R12":
            document.header["$HANDLING"] = 0
        document.update_all()
        space = document.modelspace()
        groups = _groups(document, sheet) if release != "R12" else {}
        for i, stroke in enumerate(sheet.strokes):
            entity = _stroke(space, stroke, release)
            if i in groups:
                groups[i].extend([entity])
        for note in sheet.notes:
            _note(space, note)
        _extents(document, space, sheet)
        document.update_all()
        _leave_unused(document)
        text = io.StringIO()
        handles = release != "R12"
        document.export_sections(TagWriter(text, document.dxfversion, write_handles=handles))
    comments = "".join(f"999\n{name}: {_ascii(value)}\n" for name, value in sheet.facts)
    return (comments + _unpadded(_bare(text.getvalue(), release))).encode(
        document.output_encoding, errors="dxfreplace"
    )


_SAID = "ACADVER|ACADMAINTVER|DWGCODEPAGE|EXTM..|LIMM..|HANDLING|HANDSEED|MEASUREMENT|INSUNITS"
_PLACED = "ACDBDICTIONARYWDFLT|ACDBPLACEHOLDER|LAYOUT"


def _leave_unused(document: Document) -> None:
    """Take away rows, dictionaries and objects that nothing of the drawing refers to."""
    document.layers.remove("Defpoints")
    for name in [one.dxf.name for one in document.appids if one.dxf.name != "ACAD"]:
        document.appids.remove(name)
    document.modelspace().block_record.block.discard_xdata("EZDXF")
    unknown = [*document.objects.query("MATERIAL MLEADERSTYLE")]  # younger than R2000
    for name in ("COLOR", "MATERIAL", "MLEADERSTYLE", "PLOTSETTINGS", "SCALELIST", "TABLESTYLE"):
        unknown.append(_taken(document, f"ACAD_{name}"))
    unknown += [_taken(document, "ACAD_VISUALSTYLE"), _taken(document, "EZDXF_META")]
    for one in unknown:
        if one is not None:
            document.objects.delete_entity(one)


def _taken(document: Document, name: str) -> DXFObject | None:
    """Return a dictionary of the document, taken out of its list of them."""
    one = document.rootdict.get(name)
    document.rootdict.discard(name)
    return one if isinstance(one, DXFObject) else None


def _bare(text: str, release: Release) -> str:
    """Return ezdxf's file without what every reader takes as given."""
    variables, classes = rf"  9\n\$(?!(?:{_SAID})\n)", rf"  0\nCLASS\n  1\n(?!(?:{_PLACED})\n)"
    for begin in (variables, classes):
        text = re.sub(rf"{begin}.*\n(?:.*\n.*\n)+?(?=  [09]\n)", "", text)
    head, mark, rest = text.partition("ENTITIES\n")
    entities, end, tail = rest.partition("  0\nENDSEC\n")
    flat = _flat if release == "R12" else _light
    entities = "  0\n".join(map(flat, entities.split("  0\n")))
    return head + mark + re.sub(r"(?m)^(\s*[1-5]\d\n-?\d+)\.0$", r"\1", entities) + end + tail


def _unpadded(text: str) -> str:
    """Return tags without blanks before their codes."""
    return "\n".join(one if i % 2 else one.strip() for i, one in enumerate(text.split("\n")))


def _flat(entity: str) -> str:
    """Return an entity of R12 without heights, and without what its parts say by themselves."""
    kind = entity.split("\n")[0]
    entity = re.sub(r" 3[01]\n0\.0\n", "", entity)
    match kind:
        case "POLYLINE":
            return entity.replace(" 10\n0.0\n 20\n0.0\n", "")
        case "VERTEX":
            return entity.removesuffix(" 70\n0\n")
        case "SEQEND":
            return "SEQEND\n"
    return entity


def _light(entity: str) -> str:
    """Return an entity of R2000 without heights of 0."""
    return re.sub(r" 3[01]\n0\.0\n", "", entity)


def layer_name(role: Role) -> str:
    """Return the layer of a role: upper case, no hyphen."""
    return role.value.upper().replace("-", "_")


@contextmanager
def _same_every_time() -> Iterator[None]:
    """Switch off what ezdxf dates and numbers anew on each run; its switch is global.

    It also warns that R12 has no unit, which the guide layer says in its own way.
    """
    logger = logging.getLogger("ezdxf")
    before, level = options.write_fixed_meta_data_for_testing, logger.level
    options.write_fixed_meta_data_for_testing = True
    logger.setLevel(logging.ERROR)
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
        logger.setLevel(level)


def _layers(document: Document, release: Release) -> None:
    for role in Role:
        layer = document.layers.add(layer_name(role), color=_INDEX[role])
        if release != "R12" and COLOURS[role] != "#000000":
            red, green, blue = bytes.fromhex(COLOURS[role][1:])
            layer.rgb = (red, green, blue)
        if role is Role.GUIDE and release == "R12":
            layer.freeze()
        elif role is Role.GUIDE:
            layer.dxf.plot = 0


def _groups(document: Document, sheet: Drawing) -> dict[int, DXFGroup]:
    """Return a group for each score and cut, numbered where its name is not the first."""
    found: dict[int, DXFGroup] = {}
    for i, stroke in enumerate(sheet.strokes):
        if stroke.name and stroke.role.value.startswith(("score", "cut")):
            plain, again = stroke.name.translate(str.maketrans("", "", '<>/\\":;?*|,=`')), 2
            name = plain
            while name in document.groups:
                name, again = f"{plain} #{again}", again + 1
            found[i] = document.groups.new(name, stroke.name)
    return found


def _stroke(space: Modelspace, stroke: Stroke, release: Release) -> DXFGraphic:
    look = {"layer": layer_name(stroke.role)}
    path = stroke.path
    segments = list(path.segments())
    if _is_circle(stroke):
        centre = arc_centre(segments[0])
        return space.add_circle(_round(centre), round(arc_radius(segments[0]), 4), dxfattribs=look)
    if path.is_straight and len(path.points) == 2 and not path.closed:
        return space.add_line(_round(path.points[0]), _round(path.points[1]), dxfattribs=look)
    bulges = [*path.bulges] if path.closed else [*path.bulges, 0.0]
    corners = [
        (*_round(point), round(bulge, 8)) for point, bulge in zip(path.points, bulges, strict=True)
    ]
    if release == "R12":
        return space.add_polyline2d(corners, format="xyb", close=path.closed, dxfattribs=look)
    return space.add_lwpolyline(corners, format="xyb", close=path.closed, dxfattribs=look)


def _is_circle(stroke: Stroke) -> bool:
    segments = list(stroke.path.segments())
    if not stroke.path.closed or any(s.bulge <= 0 for s in segments):
        return False
    centre, radius = arc_centre(segments[0]), arc_radius(segments[0])
    return all(
        distance(arc_centre(s), centre) < 1e-9 and abs(arc_radius(s) - radius) < 1e-9
        for s in segments
    )


def _note(space: Modelspace, note: Note) -> None:
    space.add_text(
        note.text,
        height=round(note.height, 4),
        rotation=90.0 if note.upright else 0.0,
        dxfattribs={"layer": layer_name(Role.GUIDE), "insert": _round(note.at)},
    )


def _extents(document: Document, space: Modelspace, sheet: Drawing) -> None:
    low, high = (0.0, 0.0, 0.0), (round(sheet.width, 4), round(sheet.height, 4), 0.0)
    document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high
    space.reset_extents(low, high)


def _round(point: tuple[float, float]) -> tuple[float, float]:
    return (round(point[0], 4) + 0.0, round(point[1], 4) + 0.0)


def _ascii(text: str) -> str:
    r"""Return text with what is not ASCII as \U+xxxx, as DXF texts carry it."""
    return "".join(c if c.isascii() else f"\\U+{ord(c):04X}" for c in text)
