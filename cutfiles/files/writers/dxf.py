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
from functools import lru_cache
from typing import Literal

from ezdxf import options  # type: ignore[attr-defined]
from ezdxf.document import Drawing as Document
from ezdxf.entities.layer import Layer
from ezdxf.filemanagement import new
from ezdxf.lldxf.tagwriter import TagWriter

from cutfiles.dataclass import dataclass
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
_TOLD = (
    "$ACADVER $ACADMAINTVER $DWGCODEPAGE $EXTMIN $EXTMAX $LIMMIN $LIMMAX $HANDLING $HANDSEED "
    "$MEASUREMENT $INSUNITS"
).split()
"""Variables of the head that tell of the drawing; every other has the value a reader takes."""
_USED = ("ACDBDICTIONARYWDFLT", "ACDBPLACEHOLDER", "LAYOUT")
"""Classes of objects that the file holds."""
_NO_DATA_OF = ("EZDXF", "HATCHBACKGROUNDCOLOR")
"""Applications that no entity carries data of."""
_YOUNGER = ("MATERIAL", "MLEADERSTYLE")
"""Kinds of objects that R2000 does not know."""
_FILLED = ("ACAD_GROUP", "ACAD_LAYOUT", "ACAD_MLINESTYLE", "ACAD_PLOTSTYLENAME")
"""Dictionaries that hold something."""
_WIDTH, _HEIGHT, _SEED = "123456.5", "234567.5", "?SEED?"
"""Stand in a frame for what is a drawing's own, its size and the next handle; names of layers begin
with a letter."""
_Group = tuple[str, str, str]
"""The handle, the name and the description of a group."""


def write_dxf(
    drawing: Drawing,
    release: Release,
    layers: Mapping[str, str] | None = None,
    colours: Mapping[str, str] | None = None,
) -> bytes:
    """Return the drawing as a DXF file of this release.

    ezdxf writes all around the entities: header, tables, blocks, objects. The entities, a handful
    of kinds, and the groups are written here, group code by group code as ezdxf would: its entities
    cost eight times as much. What is left out is what every reader takes as given: heights of 0,
    handles in R12 and the space they lie in in R2000, the head's variables that say nothing of this
    drawing, tables' rows and objects that nothing in it uses, and blanks before codes, as in what
    ezdxf's own writer of R12 writes.

    Args:
        drawing: what to write.
        release: R12 or R2000.
        layers: roles to names of layers, where they are not called after the roles.
        colours: roles to colours, where they are not the usual ones.

    """
    named = {role: (layers or {}).get(role, layer_name(role)) for role in Role}
    guided = bool(drawing.notes or drawing.of_role(Role.GUIDE))
    inks = tuple((colours or {}).get(role, "").upper() for role in Role)
    frame = _frame(release, tuple(named.values()), inks, guided)
    names = _group_names(drawing.strokes) if guided and release != "R12" else {}
    groups = {i: f"{handle:X}" for handle, i in enumerate(names, frame.handle)}
    entities = _Entities(release, frame.handle + len(groups), named)
    for i, stroke in enumerate(drawing.strokes):
        entities.stroke(stroke, groups.get(i, ""))
    for note in drawing.notes:
        entities.note(note)
    own = {
        _WIDTH: f"{round(float(drawing.width), 4)}",
        _HEIGHT: f"{round(float(drawing.height), 4)}",
        _SEED: f"{entities.handle:X}",
    }
    head, tail = _filled(frame.head, own), _filled(frame.tail, own)
    tail = _with_groups(
        tail, frame.groups, [(groups[i], *told) for i, told in names.items()], entities.members
    )
    comments = "".join(f"999\n{name}: {_ascii(value)}\n" for name, value in drawing.facts)
    text = "".join((comments, head, *entities.tags, tail))
    return text.encode(frame.encoding, errors="dxfreplace")


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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """What ezdxf writes around the entities of any drawing with the same layers.

    Attributes:
        head: up to the first entity; `_WIDTH`, `_HEIGHT` and `_SEED` stand for the drawing's own.
        tail: after the last entity.
        handle: the first that is free.
        groups: handle of the dictionary of groups; none in R12.
        encoding: of the whole file.

    """

    head: str
    tail: str
    handle: int
    groups: str
    encoding: str


@lru_cache(maxsize=16)  # 12 ms, nine tenths of writing a file, and the same for every book
def _frame(release: Release, names: tuple[str, ...], inks: tuple[str, ...], guided: bool) -> _Frame:
    """Return the frame of drawings whose roles have these layers and colours."""
    with _same_every_time():
        document = new(release, units=0 if release == "R12" else 4)
        _layers(document, release, dict(zip(Role, names, strict=True)), inks, guided)
        space = document.modelspace()
        low, high = (0.0, 0.0, 0.0), (float(_WIDTH), float(_HEIGHT), 0.0)
        document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high
        space.reset_extents(low, high)
        if release == "R12":
            document.header["$HANDLING"] = 0
        document.update_all()  # what is made on writing takes its handles now
        _leave_unused(document, release)
        handle = int(str(document.entitydb.handles), 16)
        text = io.StringIO()
        tags = TagWriter(text, dxfversion=document.dxfversion, write_handles=release != "R12")
        document.export_sections(tags)  # `write` would make anew what is left out
    head, empty, tail = text.getvalue().partition("  0\nSECTION\n  2\nENTITIES\n")
    return _Frame(
        head=_unpadded(_told(head) + empty),
        tail=_unpadded(tail),
        handle=handle,
        groups="" if release == "R12" else document.groups.object_dict.dxf.handle,
        encoding=document.output_encoding,
    )


def _leave_unused(document: Document, release: Release) -> None:
    """Take away what ezdxf puts into each document and nothing in a drawing uses."""
    document.layers.remove("Defpoints")
    for name in _NO_DATA_OF:
        document.appids.remove(name)
    if release == "R12":
        return
    objects = document.objects
    for kind in _YOUNGER:
        for entity in list(objects.query(kind)):
            objects.delete_entity(entity)
    for name, entity in list(document.rootdict.items()):
        if name not in _FILLED:
            document.rootdict.discard(name)
            objects.delete_entity(entity)


def _unpadded(text: str) -> str:
    """Return tags without the blanks before their codes."""
    lines = text.split("\n")
    lines[::2] = [code.lstrip() for code in lines[::2]]
    return "\n".join(lines)


def _told(head: str) -> str:
    """Return the head without variables and classes that say nothing of the drawing."""
    header, close, rest = head.partition("  0\nENDSEC\n")
    begin, *variables = header.split("  9\n")
    kept = [f"  9\n{told}" for told in variables if told.split("\n")[0] in _TOLD]
    seeded = re.sub(r"(?<=\$HANDSEED\n  5\n)\w+", _SEED, "".join((begin, *kept)))
    before, *classes = rest.split("  0\nCLASS\n")
    if not classes:
        return seeded + close + rest
    last, ends, after = classes.pop().partition("  0\nENDSEC\n")
    used = [f"  0\nCLASS\n{told}" for told in (*classes, last) if told.split("\n")[1] in _USED]
    return "".join((seeded, close, before, *used, ends, after))


def _filled(text: str, own: Mapping[str, str]) -> str:
    """Return a part of a frame with values of the drawing's own in their places."""
    for stand, value in own.items():
        text = text.replace(f"\n{stand}\n", f"\n{value}\n")
    return text


def _with_groups(
    tail: str, dictionary: str, groups: Sequence[_Group], members: Mapping[str, str]
) -> str:
    """Return what follows the entities with these groups, and their handles in the dictionary."""
    if not groups:
        return tail
    listed = "".join(f"3\n{name}\n350\n{handle}\n" for handle, name, _ in groups)
    owner = f"102\n{{ACAD_REACTORS\n330\n{dictionary}\n102\n}}\n330\n{dictionary}\n"
    told = "".join(
        f"0\nGROUP\n5\n{handle}\n{owner}100\nAcDbGroup\n300\n{description}\n"
        f"70\n0\n71\n1\n340\n{members[handle]}\n"
        for handle, _, description in groups
    )
    before, mark, after = tail.partition(f"\n0\nDICTIONARY\n5\n{dictionary}\n")
    own, rest = after.split("\n0\n", 1)
    objects, last = rest.rsplit("\n0\nENDSEC\n", 1)
    return f"{before}{mark}{own}\n{listed}0\n{objects}\n{told}0\nENDSEC\n{last}"


def _layers(
    document: Document,
    release: Release,
    named: Mapping[Role, str],
    inks: Sequence[str],
    guided: bool,
) -> None:
    for role, own in zip(Role, inks, strict=True):
        if named[role] in document.layers or (role is Role.GUIDE and not guided):
            continue
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


class _Entities:
    """Collects the tags of entities; in R2000 each takes the next free handle.

    `members` are the handles of those in groups, by the handle of each group.
    """

    def __init__(self, release: Release, handle: int, named: Mapping[Role, str]) -> None:
        self.release, self.handle, self.named = release, handle, named
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
            self.tags.append(f"40\n{round(arc_radius(first), 4)}\n")
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
        self.group = ""
        self._begin("TEXT", self.named[Role.GUIDE], "AcDbText")
        self._place(10, _round(note.at))
        text = "".join(c if c.isprintable() else " " for c in note.text)
        turn = "50\n90.0\n" if note.upright else ""
        self.tags.append(f"40\n{round(note.height, 4)}\n1\n{text}\n{turn}")
        if self.release != "R12":
            self.tags.append("100\nAcDbText\n")

    def _begin(self, kind: str, layer: str, subclass: str = "") -> None:
        if self.release == "R12":
            self.tags.append(f"0\n{kind}\n8\n{layer}\n")
            return
        group = f"102\n{{ACAD_REACTORS\n330\n{self.group}\n102\n}}\n" if self.group else ""
        self.tags.append(
            f"0\n{kind}\n5\n{self.handle:X}\n{group}100\nAcDbEntity\n8\n{layer}\n100\n{subclass}\n"
        )
        self.handle += 1

    def _place(self, code: int, place: tuple[float, float]) -> None:
        x, y = place
        self.tags.append(f"{code}\n{x}\n{code + 10}\n{y}\n")

    def _polyline(self, path: Path, layer: str) -> None:
        self._begin("POLYLINE", layer)
        self.tags.append(f"66\n1\n70\n{int(path.closed)}\n")
        for place, bulge in _corners(path):
            self._begin("VERTEX", layer)
            self._place(10, place)
            if bulge:
                self.tags.append(f"42\n{bulge}\n")
        self.tags.append("0\nSEQEND\n")

    def _light_polyline(self, path: Path, layer: str) -> None:
        self._begin("LWPOLYLINE", layer, "AcDbPolyline")
        self.tags.append(f"90\n{len(path.points)}\n70\n{int(path.closed)}\n")
        for (x, y), bulge in _corners(path):
            turn = f"42\n{bulge}\n" if bulge else ""
            self.tags.append(f"10\n{x}\n20\n{y}\n{turn}")


def _corners(path: Path) -> Iterator[tuple[tuple[float, float], float]]:
    """Yield vertices with the bulge of the segment that begins there.

    Eight places move an arc over a chord of 10 m by 0.00003 mm.
    """
    bulges = path.bulges if path.closed else (*path.bulges, 0.0)
    for point, bulge in zip(path.points, bulges, strict=True):
        yield _round(point), round(bulge, 8)


def _is_circle(stroke: Stroke) -> bool:
    segments = list(stroke.path.segments())
    if not stroke.path.closed or any(s.bulge <= 0 for s in segments):
        return False
    centre, radius = arc_centre(segments[0]), arc_radius(segments[0])
    return all(
        distance(arc_centre(s), centre) < 1e-9 and abs(arc_radius(s) - radius) < 1e-9
        for s in segments
    )


def _round(point: tuple[float, float]) -> tuple[float, float]:
    return (round(point[0], 4) + 0.0, round(point[1], 4) + 0.0)


def _ascii(text: str) -> str:
    r"""Return text with what is not ASCII as \U+xxxx, as DXF texts carry it."""
    return "".join(c if c.isascii() else f"\\U+{ord(c):04X}" for c in text)
