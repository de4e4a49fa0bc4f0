"""Reads DXF by its group codes: lines, polylines, arcs, circles and texts of the ENTITIES section.

Source: Autodesk, DXF Reference (group codes; from memory), checked against other readers in tests.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import field

from cutfiles.dataclass import dataclass
from cutfiles.errors import FileError, shown
from cutfiles.files.readers.limits import short_number
from cutfiles.files.readers.reading import (
    Place,
    Reading,
    ReadPath,
    facts_in,
    halfway,
    sound,
    straight,
    with_middles,
)

Tag = tuple[int, str]
_NO_UNITS = "AC1009"
"""R12, which has no unit."""
_MM = {"0": 1.0, "1": 25.4, "2": 304.8, "4": 1.0, "5": 10.0, "6": 1000.0}
_INDEX = {
    "1": "#FF0000",
    "2": "#FFFF00",
    "3": "#00FF00",
    "4": "#00FFFF",
    "5": "#0000FF",
    "6": "#FF00FF",
    "7": "#000000",
}
_BY_LAYER, _SOLID = "256", "CONTINUOUS"
_BETWEEN = " | "
"""Stands between statements in one text."""
_ESCAPE = re.compile(r"\\U\+([0-9A-Fa-f]{4})")


@dataclass(slots=True)
class _Entity:
    """An entity: all its tags, and the first of each code."""

    kind: str
    tags: list[Tag] = field(default_factory=list)
    first: dict[int, str] = field(init=False)

    def __post_init__(self) -> None:
        self.first = dict(reversed(self.tags))

    def text(self, code: int, default: str = "") -> str:
        return self.first.get(code, default)

    def number(self, code: int, default: float = 0.0) -> float:
        text = self.first.get(code)
        return default if text is None else _number(code, text)

    @property
    def closed(self) -> bool:
        return bool(int(self.number(70)) & 1)

    def at(self, code: int = 10) -> Place:
        return (self.number(code), self.number(code + 10))


def read_dxf(data: bytes) -> Reading:
    """Return what a DXF file states.

    Raises:
        FileError: it is no DXF in text form, or holds entities we do not read.

    """
    tags = _tags(data)
    if not tags or tags[-1] != (0, "EOF"):
        raise _refuse("no EOF at its end", "a DXF file that was cut off lacks lines")
    sections = _sections(tags)
    if "ENTITIES" not in sections:
        raise _refuse("no ENTITIES section", "a DXF file has one")
    scale = _scale(sections.get("HEADER", []), dxf_release(data))
    layers = _layers(sections.get("TABLES", []))
    paths: list[ReadPath] = []
    texts: list[tuple[str, str]] = []
    for entity, vertices in _entities(sections["ENTITIES"]):
        if entity.number(230, 1.0) < 0:
            raise _refuse(f"a {entity.kind} seen from behind", "a cut file is seen from above")
        if entity.kind == "TEXT":
            texts.append((entity.text(8), _plain(entity.text(1))))
        else:
            path, looks = _scaled(_path(entity, vertices), scale), _looks(entity, layers)
            paths.append(ReadPath(path.layer, path.points, path.bends, path.closed, *looks))
    noted = [fact for _, text in texts for fact in text.split(_BETWEEN)]
    comments = [*noted, *(_plain(value) for code, value in tags if code == 999)]
    return Reading(
        paths=sound(paths, "DXF file"),
        texts=tuple(texts),
        facts=facts_in(comments),
        colours={name: _colour(layer) for name, layer in layers.items()},
        apart=frozenset(name for name, layer in layers.items() if _left_out(layer)),
    )


def _layers(tags: list[Tag]) -> dict[str, _Entity]:
    """Return the layers of the table, by name."""
    found = (entity for entity, _ in _entities(tags) if entity.kind == "LAYER")
    return {entity.text(2): entity for entity in found}


def _left_out(layer: _Entity) -> bool:
    """Whether a layer is frozen, locked, or not plotted."""
    return bool(int(layer.number(70)) & 5) or layer.text(290, "1").strip() == "0"


def _colour(entity: _Entity) -> str:
    """Return a layer's or a line's colour: true, or by an index that names one exactly, or else."""
    if true := entity.text(420):
        return f"#{int(_number(420, true)) & 0xFFFFFF:06X}"
    index = entity.text(62)
    return _INDEX.get(index, f"index {index}")


def _looks(entity: _Entity, layers: dict[str, _Entity]) -> tuple[str, bool]:
    """Return a line's own colour, if any, and whether it is dashed, by itself or its layer."""
    layer = layers.get(entity.text(8)) or _Entity("LAYER")
    own = entity.text(420) or entity.text(62, _BY_LAYER) != _BY_LAYER
    ink = _colour(entity) if own else ""
    kind = entity.text(6, "BYLAYER").upper()
    if kind == "BYLAYER":
        kind = layer.text(6, _SOLID).upper()
    return "" if ink == _colour(layer) else ink, kind != _SOLID


def dxf_release(data: bytes) -> str:
    """Return the version a DXF file states, such as AC1009, or nothing."""
    match = re.search(rb"\$ACADVER\s+1\s+(AC\d{4})", data)
    return match[1].decode() if match else ""


def _tags(data: bytes) -> list[Tag]:
    """Return group codes with their values."""
    if data.startswith(b"AutoCAD Binary DXF"):
        raise _refuse("a binary DXF file", "we read DXF in text form")
    utf8 = dxf_release(data) >= "AC1021"
    lines = data.decode("utf-8" if utf8 else "cp1252", errors="replace").splitlines()
    codes: list[int] = []
    try:
        codes.extend(map(int, lines[: len(lines) - 1 : 2]))  # those before a fault are kept
    except ValueError:
        found = f"{shown(lines[2 * len(codes)])} in line {2 * len(codes) + 1}"
        raise _refuse(found, "a group code stands here") from None
    values = zip(codes, lines[1::2], strict=False)
    return [(code, value if code == 1 else value.strip()) for code, value in values]


def _sections(tags: list[Tag]) -> dict[str, list[Tag]]:
    """Return the tags of each section by its name."""
    sections: dict[str, list[Tag]] = {}
    own: list[Tag] | None = None
    naming = False
    for tag in tags:
        code, value = tag
        if code == 0 and value == "SECTION":
            naming = True
        elif naming and code == 2:
            own, naming = [], False
            sections[value] = own
        elif code == 0 and value == "ENDSEC":
            own = None
        elif own is not None and code != 999:
            own.append(tag)
    return sections


def _scale(header: list[Tag], release: str) -> float:
    for i, (code, value) in enumerate(header):
        if (code, value) == (9, "$INSUNITS"):
            unit = header[i + 1][1] if i + 1 < len(header) else ""
            if unit not in _MM or (unit == "0" and release > _NO_UNITS):
                raise _refuse(f"the unit code {shown(unit)}", "a cut file is in mm, code 4")
            return _MM[unit]
    if release > _NO_UNITS:
        raise _refuse("no unit ($INSUNITS)", "a cut file is in mm, code 4")
    return 1.0


def _entities(tags: list[Tag]) -> Iterator[tuple[_Entity, list[_Entity]]]:
    """Yield entities; a POLYLINE together with its vertices."""
    begins = [i for i, (code, _) in enumerate(tags) if code == 0]
    ends = [*begins[1:], len(tags)]
    found = [_Entity(tags[i][1], tags[i + 1 : end]) for i, end in zip(begins, ends, strict=False)]
    owner: _Entity | None = None
    vertices: list[_Entity] = []
    for entity in found:
        match entity.kind:
            case "POLYLINE":
                owner, vertices = entity, []
            case "VERTEX":
                vertices.append(entity)
            case "SEQEND" if owner is not None:
                yield owner, vertices
                owner = None
            case _:
                yield entity, []


def _path(entity: _Entity, vertices: list[_Entity]) -> ReadPath:
    layer = entity.text(8)
    match entity.kind:
        case "LINE":
            return straight(layer, [entity.at(10), entity.at(11)], False)
        case "CIRCLE":
            return _around(layer, entity, 0.0, math.tau, True)
        case "ARC":
            begin, end = math.radians(entity.number(50)), math.radians(entity.number(51))
            return _around(layer, entity, begin, (end - begin) % math.tau, False)
        case "POLYLINE":
            corners = [(*v.at(), v.number(42)) for v in vertices]
            return _bulged(layer, corners, entity.closed)
        case "LWPOLYLINE":
            return _bulged(layer, _light_corners(entity), entity.closed)
        case _:
            raise _refuse(
                f"an entity {entity.kind} on layer {layer}",
                "a cut file holds lines, polylines, arcs, circles and texts",
            )


def _number(code: int, text: str) -> float:
    short_number(text)
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise _refuse(shown(text), f"a number stands at group code {code}")
    return number


def _light_corners(entity: _Entity) -> list[tuple[float, float, float]]:
    corners: list[tuple[float, float, float]] = []
    for code, value in entity.tags:
        if code == 10:
            corners.append((_number(code, value), 0.0, 0.0))
        elif code == 20 and corners:
            corners[-1] = (corners[-1][0], _number(code, value), 0.0)
        elif code == 42 and corners:
            corners[-1] = (*corners[-1][:2], _number(code, value))
    return corners


def _around(layer: str, entity: _Entity, begin: float, turn: float, closed: bool) -> ReadPath:
    (x, y), radius = entity.at(), entity.number(40)
    count = 4
    places = [begin + turn * i / (2 * count) for i in range(2 * count + 1)]
    ring = [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in places]
    points = ring[::2][: count if closed else count + 1]
    return ReadPath(layer, tuple(points), tuple(ring[1::2]), closed)


def _bulged(layer: str, corners: list[tuple[float, float, float]], closed: bool) -> ReadPath:
    """Return a polyline; a segment's middle stands off its chord by bulge · chord / 2."""
    if len(corners) < 2:
        raise _refuse(f"a polyline of {len(corners)} points on layer {layer}", "it has two or more")
    points = tuple((x, y) for x, y, _ in corners)
    bends = {}
    for i, (ax, ay, bulge) in enumerate(corners if closed else corners[:-1]):
        if bulge:
            bx, by = points[(i + 1) % len(points)]
            mx, my = halfway((ax, ay), (bx, by))
            bends[i] = (mx + bulge * (by - ay) / 2, my - bulge * (bx - ax) / 2)
    return ReadPath(layer, points, with_middles(points, bends, closed), closed)


def _scaled(path: ReadPath, scale: float) -> ReadPath:
    if scale == 1.0:
        return path
    points = tuple((x * scale, y * scale) for x, y in path.points)
    bends = tuple((x * scale, y * scale) for x, y in path.bends)
    return ReadPath(path.layer, points, bends, path.closed)


def _plain(text: str) -> str:
    return _ESCAPE.sub(lambda match: chr(int(match[1], 16)), text)


def _refuse(found: str, needed: str) -> FileError:
    return FileError(found, needed, "make the file again from its slip", "DXF file")
