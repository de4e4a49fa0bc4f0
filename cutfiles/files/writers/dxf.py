"""Writes DXF R12 and R2000 with ezdxf: lines, arcs as bulges, circles, texts; one layer a role.

R12 has no unit: a text on the guide layer says mm. The facts stand as comments (group 999) at the
head of both.

In R2000 each score and cut carries its name as a named group of its own, which lists of groups
show; layers, colours and geometry stay as they are, and one line is picked as before. R12 has no
groups, and a drawing without guides, which goes to a machine, gets none.

Source: AutoCAD DXF Reference, GROUP: a collection of entities referred to by a single name, each of
them edited by itself; a dictionary holds the names, 300 a description, 340 each member.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from cutfiles.files.writers.dxf_frame import Release, frame_of
from cutfiles.film.drawing import Drawing
from cutfiles.lengths import rounded, trimmed
from cutfiles.pattern.pattern import Note, Role, Stroke
from cutfiles.plane.measure import arc_centre, arc_radius, distance
from cutfiles.plane.shapes import Path

STEP = 0.0001
"""Finest step of a coordinate, mm."""
_NAMED = (Role.VALLEY, Role.MOUNTAIN, Role.HOLES, Role.OUTLINE)
"""What is told by its name, as in SVG."""
_NO_NAME = re.compile(r"""[<>/\\":;?*|,=`]""")
"""Signs that the name of a group may not hold; its description may."""
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
    the zeros of whole numbers, and handles in R12.

    Args:
        drawing: what to write.
        release: R12 or R2000.
        layers: roles to names of layers, where they are not called after the roles.
        colours: roles to colours, where they are not the usual ones.

    """
    named = {role: (layers or {}).get(role, layer_name(role)) for role in Role}
    guided = bool(drawing.notes or drawing.of_role(Role.GUIDE))
    inks = tuple((colours or {}).get(role, "").upper() for role in Role)
    frame = frame_of(release, tuple(named.values()), inks, guided)
    names = _group_names(drawing.strokes) if guided and release != "R12" else {}
    groups = {i: f"{handle:X}" for handle, i in enumerate(names, frame.handle)}
    entities = _Entities(release, frame.handle + len(groups), frame.space, named)
    for i, stroke in enumerate(drawing.strokes):
        entities.stroke(stroke, groups.get(i, ""))
    for note in drawing.notes:
        entities.note(note)
    size = round(float(drawing.width), 4), round(float(drawing.height), 4)
    head, tail = frame.around(*size, entities.handle)
    tail = _with_groups(
        tail, frame.groups, [(groups[i], *told) for i, told in names.items()], entities.members
    )
    comments = "".join(f"999\n{name}: {_ascii(value)}\n" for name, value in drawing.facts)
    text = "".join((comments, head, *entities.tags, tail))
    return text.encode(frame.encoding, errors="dxfreplace")


def layer_name(role: Role) -> str:
    """Return the layer of a role: upper case, no hyphen."""
    return role.value.upper().replace("-", "_")


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

    def __init__(
        self, release: Release, handle: int, space: str, named: Mapping[Role, str]
    ) -> None:
        self.release, self.handle, self.space, self.named = release, handle, space, named
        self.tags: list[str] = []
        self.members: dict[str, str] = {}
        self.group = ""

    def stroke(self, stroke: Stroke, group: str = "") -> None:
        """Add a line, circle or polyline, the one member of a group, by the group's handle."""
        self.group = group
        if group:
            self.members[group] = f"{self.handle:X}"
        path, layer = stroke.path, self.named[stroke.role]
        if not path.is_straight and _is_circle(path):
            first = next(path.segments())
            self._begin("CIRCLE", layer, "AcDbCircle")
            self._place(10, arc_centre(first))
            self.tags.append(f"40\n{rounded(arc_radius(first), 4)}\n")
        elif path.is_straight and len(path.points) == 2 and not path.closed:
            self._begin("LINE", layer, "AcDbLine")
            self._place(10, path.points[0])
            self._place(11, path.points[1])
        elif self.release == "R12":
            self._polyline(path, layer)
        else:
            self._light_polyline(path, layer)

    def note(self, note: Note) -> None:
        """Add a text."""
        self.group = ""
        self._begin("TEXT", self.named[Role.GUIDE], "AcDbText")
        self._place(10, note.at)
        text = "".join(c if c.isprintable() else " " for c in note.text)
        turn = "50\n90\n" if note.upright else ""
        self.tags.append(f"40\n{rounded(note.height, 4)}\n1\n{text}\n{turn}")
        if self.release != "R12":
            self.tags.append("100\nAcDbText\n")

    def _begin(self, kind: str, layer: str, subclass: str = "") -> None:
        if self.release == "R12":
            self.tags.append(f"0\n{kind}\n8\n{layer}\n")
            return
        group = f"102\n{{ACAD_REACTORS\n330\n{self.group}\n102\n}}\n" if self.group else ""
        self.tags.append(
            f"0\n{kind}\n5\n{self.handle:X}\n{group}330\n{self.space}\n"
            f"100\nAcDbEntity\n8\n{layer}\n100\n{subclass}\n"
        )
        self.handle += 1

    def _place(self, code: int, place: tuple[float, float]) -> None:
        x, y = place
        self.tags.append(f"{code}\n{trimmed(x, 4)}\n{code + 10}\n{trimmed(y, 4)}\n")

    def _polyline(self, path: Path, layer: str) -> None:
        self._begin("POLYLINE", layer)
        self.tags.append(f"66\n1\n70\n{int(path.closed)}\n")
        vertex = f"0\nVERTEX\n8\n{layer}\n"
        self.tags += [vertex + corner for corner in _corners(path)]
        self.tags.append("0\nSEQEND\n")

    def _light_polyline(self, path: Path, layer: str) -> None:
        self._begin("LWPOLYLINE", layer, "AcDbPolyline")
        self.tags.append(f"90\n{len(path.points)}\n70\n{int(path.closed)}\n")
        self.tags += _corners(path)


def _corners(path: Path) -> Iterator[str]:
    """Yield the tags of vertices, with the bulge of the segment that begins there, if any.

    Eight places move an arc over a chord of 10 m by 0.00003 mm.
    """
    for (x, y), bulge in zip(path.points, (*path.bulges, 0.0), strict=False):
        place = f"10\n{trimmed(x, 4)}\n20\n{trimmed(y, 4)}\n"
        turn = bulge and rounded(bulge, 8)
        yield f"{place}42\n{turn}\n" if turn else place


def _is_circle(path: Path) -> bool:
    segments = list(path.segments())
    if not path.closed or any(s.bulge <= 0 for s in segments):
        return False
    centre, radius = arc_centre(segments[0]), arc_radius(segments[0])
    return all(
        distance(arc_centre(s), centre) < 1e-9 and abs(arc_radius(s) - radius) < 1e-9
        for s in segments
    )


def _ascii(text: str) -> str:
    r"""Return text with what is not ASCII as \U+xxxx, as DXF texts carry it."""
    return "".join(c if c.isascii() else f"\\U+{ord(c):04X}" for c in text)
