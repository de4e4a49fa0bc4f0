"""Writes SVG 1.1: one unit is one mm, a layer is a top-level group.

Machine geometry is plain paths: no transform, no style sheet, presentation attributes only.
svgwrite makes the tree; it adds `xmlns:ev`, which the SVG 1.1 DTD does not know, which is dropped.
"""

import math
from collections.abc import Mapping
from importlib import import_module
from typing import Any
from xml.etree import ElementTree

from cutfiles.dataclass import dataclass
from cutfiles.film.drawing import Drawing
from cutfiles.late import Asked, without
from cutfiles.lengths import trimmed
from cutfiles.pattern.pattern import COLOURS, Note, Role
from cutfiles.plane.measure import arc_radius, point_along, sweep
from cutfiles.plane.shapes import Path, Segment

_LEFT_OUT = {
    "urllib.request": {"urlopen": lambda *asked: import_module("urllib.request").urlopen(*asked)},
    "svgwrite.validator2": {
        "get_validator": lambda *asked: Asked(
            lambda: import_module("svgwrite.validator2").get_validator(*asked)
        )
    },
}
"""What svgwrite takes along for what is not done here: four fifths of loading it.

For style sheets from the web, with http, ssl and email; for checks that are off (`debug=False`),
the tables of all elements and attributes.
"""
with without(_LEFT_OUT):
    import svgwrite

_HEAD = '<?xml version="1.0" encoding="utf-8" ?>\n'
STEP = 0.001
"""Finest step of a coordinate, mm."""
STROKE_WIDTH = 0.1
"""Width of a line, mm."""
_NAMED = (Role.VALLEY, Role.MOUNTAIN, Role.HOLES, Role.OUTLINE)
"""Roles whose lines carry their own names, as editors show them; strokes of letters need none."""
_EDITOR = {
    "xmlns:inkscape": "http://www.inkscape.org/namespaces/inkscape",
    "xmlns:sodipodi": "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd",
}
"""The names by which open-source vector editors know layers."""
CAPITAL = 0.7
"""Height of capitals over font size, of usual sans-serif fonts (from memory)."""


def write_svg(
    drawing: Drawing,
    *,
    editor_layers: bool = True,
    layers: Mapping[str, str] | None = None,
    colours: Mapping[str, str] | None = None,
) -> bytes:
    """Return the drawing as SVG.

    Args:
        drawing: what to write.
        editor_layers: mark groups so that open-source vector editors list them as layers;
            without it the file holds nothing but SVG 1.1.
        layers: roles to names of layers, where they are not called after the roles.
        colours: roles to colours, where they are not the usual ones.

    """
    named = layers or {}
    names = [named.get(role, role.value) for role in Role]
    inks = {role: (colours or {}).get(role, COLOURS[role]) for role in Role}
    width, height = _number(drawing.width), _number(drawing.height)
    top = float(height)  # turned over about the stated height, so that a place is rounded once
    document = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"),
        viewBox=f"0 0 {width} {height}",
        debug=False,
        profile="full",
    )
    facts = "\n".join(f"{name}: {value}" for name, value in drawing.facts)
    document.set_desc(title=drawing.title, desc=facts)
    document.elements.insert(2, _Statements(facts))
    if editor_layers:
        document.update(_EDITOR)
    groups: dict[str, Any] = {}
    for role in Role:
        name = named.get(role, role.value)
        if role is Role.GUIDE and not (drawing.notes or drawing.of_role(role)):
            continue  # a pass has none, and no layer for one
        if name not in groups:
            notes = {"font_family": "sans-serif"} if role is Role.GUIDE and drawing.notes else {}
            groups[name] = document.add(_group(document, name, inks[role], editor_layers, notes))
        group = groups[name]
        if editor_layers and role is Role.GUIDE and names.count(name) == 1:
            # nobody cuts it unasked; as editors write it themselves
            group["sodipodi:insensitive"] = "true"
        for i, stroke in enumerate(drawing.of_role(role), start=1):
            told, number = _path(stroke.path, top), f"{role.value}-{i}"
            if role not in _NAMED or not stroke.name:
                group.add(_Line(told, number))
                continue
            line = document.path(d=told, id=number)
            line.set_desc(title=stroke.name)
            if editor_layers:
                line["inkscape:label"] = stroke.name  # what lists of objects show
            group.add(line)
        if role is Role.GUIDE:
            for note in drawing.notes:
                group.add(_text(document, note, top))
    # as svgwrite itself does, but as text: bytes are encoded piece by piece, in twice the time
    text = _HEAD + ElementTree.tostring(document.get_xml(), encoding="unicode")
    return text.replace(' xmlns:ev="http://www.w3.org/2001/xml-events"', "").encode(
        "utf-8", "xmlcharrefreplace"
    )


def _group(
    document: Any, name: str, colour: str, editor_layers: bool, notes: Mapping[str, str]
) -> Any:
    """Return a group of lines, marked as a layer where editors are to list it as one."""
    look = {"id": name, "fill": "none", "stroke": colour, "stroke_width": STROKE_WIDTH}
    group = document.g(**look, **notes)
    if editor_layers:
        group.update({"inkscape:groupmode": "layer", "inkscape:label": name})
    group.set_desc(title=name)
    return group


@dataclass(frozen=True, slots=True)
class _Line:
    """A path that has no name: all that svgwrite asks of an element, and a third of its time."""

    d: str
    id: str

    def get_xml(self) -> ElementTree.Element:
        """Return it as XML."""
        return ElementTree.Element("path", {"d": self.d, "id": self.id})


class _Statements(svgwrite.base.Title):  # type: ignore[misc]
    """The facts once more, behind title and description: programs drop the one or the other."""

    elementname = "metadata"


def _path(path: Path, top: float) -> str:
    if path.is_straight:  # in half the time, and most paths are
        places = "L".join(f"{trimmed(x, 3)} {trimmed(top - y, 3)}" for x, y in path.points)
        return f"M{places}Z" if path.closed else f"M{places}"
    first = path.points[0]
    parts = [f"M{_number(first.x)} {_number(top - first.y)}"]
    segments = [part for segment in path.segments() for part in _well_posed(segment)]
    if path.closed and segments[-1].bulge == 0:
        segments.pop()
    for segment in segments:
        x, y = _number(segment.end.x), _number(top - segment.end.y)
        if segment.bulge == 0:
            parts.append(f"L{x} {y}")
        else:
            radius = _number(arc_radius(segment))
            # y points down in SVG, so a counter-clockwise arc runs towards smaller angles
            parts.append(f"A{radius} {radius} 0 0 {int(segment.bulge < 0)} {x} {y}")
    if path.closed:
        parts.append("Z")
    return "".join(parts)


def _well_posed(segment: Segment) -> tuple[Segment, ...]:
    """Return an arc in parts of at most a quarter turn.

    SVG states an arc by its ends and a rounded radius; near a half turn the least rounding of the
    radius moves the arc by tenths of a millimetre.
    """
    count = math.ceil(abs(sweep(segment)) / (math.pi / 2) - 1e-9)
    if count < 2:
        return (segment,)
    places = [segment.start, *(point_along(segment, i / count) for i in range(1, count))]
    bulge = math.tan(sweep(segment) / count / 4)
    ends = [*places[1:], segment.end]
    return tuple(Segment(a, b, bulge) for a, b in zip(places, ends, strict=True))


def _text(document: Any, note: Note, top: float) -> Any:
    x, y = _number(note.at.x), _number(top - note.at.y)
    extra = {"transform": f"rotate(-90 {x} {y})"} if note.upright else {}
    return document.text(
        note.text,
        insert=(x, y),
        font_size=_number(note.height / CAPITAL),
        fill=COLOURS[Role.GUIDE],
        stroke="none",
        **extra,
    )


def _number(value: float) -> str:
    """Return a coordinate, rounded once, without idle zeros."""
    return trimmed(value, 3)
