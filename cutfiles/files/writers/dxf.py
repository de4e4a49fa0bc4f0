"""Writes DXF R12 and R2000 with ezdxf: lines, arcs as bulges, circles, texts; one layer a role.

R12 has no unit: a text on the guide layer says mm. The facts stand as comments (group 999) at the
head of both. Metadata that would change from run to run is fixed in one place.

In R2000 each score and cut carries its name as a named group of its own, which lists of groups
show; layers, colours and geometry stay as they are, and one line is picked as before. R12 has no
groups, and a drawing without guides, which goes to a machine, gets none.

Source: AutoCAD DXF Reference, GROUP: a collection of entities referred to by a single name, each of
them edited by itself; a dictionary holds the names, 300 a description, 340 each member.
"""

import io
import logging
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Literal

from ezdxf import options  # type: ignore[attr-defined]
from ezdxf.document import Drawing as Document
from ezdxf.entities.layer import Layer
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from cutfiles.film.drawing import Drawing
from cutfiles.pattern.pattern import COLOURS, Note, Role, Stroke
from cutfiles.plane.measure import arc_centre, arc_radius, distance
from cutfiles.plane.shapes import Path

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


_PLAIN = {
    "#FF0000": 1,
    "#FFFF00": 2,
    "#00FF00": 3,
    "#00FFFF": 4,
    "#0000FF": 5,
    "#FF00FF": 6,
    "#000000": 7,
    "#FFFFFF": 7,
}
"""Colours that the index names exactly (from memory)."""


_NAMED = (Role.VALLEY, Role.MOUNTAIN, Role.HOLES, Role.OUTLINE)
"""What is told by its name, as in SVG."""
_NO_NAME = re.compile(r"""[<>/\\":;?*|,=`]""")
"""Signs that the name of a group may not hold; its description may."""
_GROUP = "  0\nGROUP\n"


def write_dxf(
    drawing: Drawing,
    release: Release,
    layers: Mapping[str, str] | None = None,
    colours: Mapping[str, str] | None = None,
) -> bytes:
    """Return the drawing as a DXF file of this release.

    ezdxf writes all around the entities: header, tables, blocks, objects. The entities, a handful
    of kinds, are written here, group code by group code as ezdxf would: its entities cost eight
    times as much.

    Args:
        drawing: what to write.
        release: R12 or R2000.
        layers: roles to names of layers, where they are not called after the roles.
        colours: roles to colours, where they are not the usual ones.

    """
    named = {role: (layers or {}).get(role, layer_name(role)) for role in Role}
    with _same_every_time():
        document = new(release, units=0 if release == "R12" else 4)
        guided = bool(drawing.notes or drawing.of_role(Role.GUIDE))
        _layers(document, release, named, colours or {}, guided)
        space = document.modelspace()
        _extents(document, space, drawing)
        handles = document.entitydb.handles
        names = _group_names(drawing.strokes) if guided and release != "R12" else {}
        groups = {i: document.groups.new(*told).dxf.handle for i, told in names.items()}
        entities = _Entities(release, int(str(handles), 16), space.layout_key, named)
        for i, stroke in enumerate(drawing.strokes):
            entities.stroke(stroke, groups.get(i, ""))
        for note in drawing.notes:
            entities.note(note)
        handles.reset(f"{entities.handle:X}")  # what is numbered on writing comes after them
        text = io.StringIO()
        document.write(text)
    head, empty, tail = text.getvalue().partition("  0\nSECTION\n  2\nENTITIES\n")
    comments = "".join(f"999\n{name}: {_ascii(value)}\n" for name, value in drawing.facts)
    tail = _with_members(tail, entities.members)
    data = "".join((comments, head, empty, *entities.tags, tail))
    return data.encode(document.output_encoding, errors="dxfreplace")


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


def _layers(
    document: Document,
    release: Release,
    named: Mapping[Role, str],
    colours: Mapping[str, str],
    guided: bool,
) -> None:
    for role in Role:
        if named[role] in document.layers or (role is Role.GUIDE and not guided):
            continue
        own = colours.get(role, "").upper()
        layer = document.layers.add(named[role], color=_PLAIN.get(own, _INDEX[role]))
        ink = own or COLOURS[role]
        if release != "R12" and (own or ink != "#000000"):
            red, green, blue = bytes.fromhex(ink[1:])
            layer.rgb = (red, green, blue)
        if role is Role.GUIDE and [*named.values()].count(named[role]) == 1:
            _leave_out(layer, release)


def _leave_out(layer: Layer, release: Release) -> None:
    """Say that a layer is not printed; R12 has no such word, so there it is frozen."""
    if release == "R12":
        layer.freeze()
    else:
        layer.dxf.plot = 0


def _group_names(strokes: Sequence[Stroke]) -> dict[int, tuple[str, str]]:
    """Return the name and description of the group of each score and cut, by its place."""
    found: dict[int, tuple[str, str]] = {}
    times: Counter[str] = Counter()
    for i, stroke in enumerate(strokes):
        if stroke.role in _NAMED and stroke.name:
            told = "".join(c if c.isprintable() else " " for c in stroke.name)
            name = _NO_NAME.sub("", told)
            times[name.lower()] += 1  # names are one whatever their case
            again = times[name.lower()]
            found[i] = (name if again == 1 else f"{name} #{again}", told)
    return found


def _with_members(objects: str, members: Mapping[str, str]) -> str:
    """Return the text of objects, each group with the handle of its member."""
    first, *groups = objects.split(_GROUP)
    return first + "".join(_GROUP + _with_member(group, members) for group in groups)


def _with_member(group: str, members: Mapping[str, str]) -> str:
    own, more, rest = group.partition("  0\n")
    return f"{own}340\n{members[own.split(maxsplit=2)[1]]}\n{more}{rest}"


class _Entities:
    """Collects the tags of entities; each entity takes the next free handle.

    `members` are the handles of those in groups, by the handle of each group.
    """

    def __init__(
        self, release: Release, handle: int, owner: str, named: Mapping[Role, str]
    ) -> None:
        self.release, self.handle, self.owner, self.named = release, handle, owner, named
        self.tags: list[str] = []
        self.members: dict[str, str] = {}
        self.group = ""

    def stroke(self, stroke: Stroke, group: str = "") -> None:
        """Add a line, circle or polyline, the one member of a group, by the group's handle."""
        self.group = group
        if group:
            self.members[group] = f"{self.handle:X}"
        path, layer = stroke.path, self.named[stroke.role]
        if _is_circle(stroke):
            first = next(path.segments())
            self._begin("CIRCLE", layer, "AcDbCircle")
            self._place(10, _round(arc_centre(first)))
            self.tags.append(f" 40\n{round(arc_radius(first), 4)}\n")
        elif path.is_straight and len(path.points) == 2 and not path.closed:
            self._begin("LINE", layer, "AcDbLine")
            self._place(10, _round(path.points[0]))
            self._place(11, _round(path.points[1]))
        elif self.release == "R12":
            self._polyline(path, layer)
        else:
            self._light_polyline(path, layer)

    def note(self, note: Note) -> None:
        """Add a text."""
        at, self.group = _round(note.at), ""
        self._begin("TEXT", self.named[Role.GUIDE], "AcDbText")
        self._place(10, at)
        text = "".join(c if c.isprintable() else " " for c in note.text)
        turn = " 50\n90.0\n" if note.upright else ""
        self.tags.append(f" 40\n{round(note.height, 4)}\n  1\n{text}\n{turn}")
        self._place(11, at)
        if self.release != "R12":
            self.tags.append("100\nAcDbText\n")

    def _begin(self, kind: str, layer: str, subclass: str = "") -> None:
        tags = f"  0\n{kind}\n  5\n{self.handle:X}\n"
        self.handle += 1
        if self.group:
            tags += f"102\n{{ACAD_REACTORS\n330\n{self.group}\n102\n}}\n"
        if self.release != "R12":
            tags += f"330\n{self.owner}\n100\nAcDbEntity\n"
        tags += f"  8\n{layer}\n"
        if self.release != "R12" and subclass:
            tags += f"100\n{subclass}\n"
        self.tags.append(tags)

    def _place(self, code: int, place: tuple[float, float]) -> None:
        x, y = place
        self.tags.append(f" {code}\n{x}\n {code + 10}\n{y}\n {code + 20}\n0.0\n")

    def _polyline(self, path: Path, layer: str) -> None:
        self._begin("POLYLINE", layer)
        self.tags.append(" 66\n1\n")
        self._place(10, (0.0, 0.0))
        self.tags.append(f" 70\n{int(path.closed)}\n")
        end = self.handle  # the end takes its handle before the vertices
        self.handle += 1
        for (x, y), bulge in _corners(path):
            self._begin("VERTEX", layer)
            self._place(10, (x, y))
            self.tags.append((f" 42\n{bulge}\n" if bulge else "") + " 70\n0\n")
        self.tags.append(f"  0\nSEQEND\n  5\n{end:X}\n  8\n{layer}\n")

    def _light_polyline(self, path: Path, layer: str) -> None:
        self._begin("LWPOLYLINE", layer, "AcDbPolyline")
        self.tags.append(f" 90\n{len(path.points)}\n 70\n{int(path.closed)}\n")
        for (x, y), bulge in _corners(path):
            turn = f" 42\n{bulge}\n" if bulge else ""
            self.tags.append(f" 10\n{x}\n 20\n{y}\n{turn}")


def _corners(path: Path) -> Iterator[tuple[tuple[float, float], float]]:
    """Yield vertices with the bulge of the segment that begins there."""
    bulges = path.bulges if path.closed else (*path.bulges, 0.0)
    for point, bulge in zip(path.points, bulges, strict=True):
        yield _round(point), bulge


def _is_circle(stroke: Stroke) -> bool:
    segments = list(stroke.path.segments())
    if not stroke.path.closed or any(s.bulge <= 0 for s in segments):
        return False
    centre, radius = arc_centre(segments[0]), arc_radius(segments[0])
    return all(
        distance(arc_centre(s), centre) < 1e-9 and abs(arc_radius(s) - radius) < 1e-9
        for s in segments
    )


def _extents(document: Document, space: Modelspace, drawing: Drawing) -> None:
    low, high = (0.0, 0.0, 0.0), (round(drawing.width, 4), round(drawing.height, 4), 0.0)
    document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high
    space.reset_extents(low, high)


def _round(point: tuple[float, float]) -> tuple[float, float]:
    return (round(point[0], 4) + 0.0, round(point[1], 4) + 0.0)


def _ascii(text: str) -> str:
    r"""Return text with what is not ASCII as \U+xxxx, as DXF texts carry it."""
    return "".join(c if c.isascii() else f"\\U+{ord(c):04X}" for c in text)
