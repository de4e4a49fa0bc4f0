"""Reads DXF by its group codes: lines, polylines, arcs, circles and texts of the ENTITIES section.

Source: Autodesk, DXF Reference (group codes; from memory), checked against other readers in tests.
"""

import math
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import field
from typing import NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.errors import FileError, shown
from cutfiles.files.readers.limits import LONGEST_NUMBER, short_number, short_numbers
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


class _Tags(NamedTuple):
    """Group codes, and their values in the same order."""

    codes: list[int]
    values: list[str]

    def where(self, code: int) -> list[int]:
        """Return where a code stands."""
        found, at = [], -1
        with suppress(ValueError):
            while True:
                at = self.codes.index(code, at + 1)
                found.append(at)
        return found

    @property
    def spans(self) -> Iterator[tuple[int, int]]:
        """Where each entity, or row of a table, begins and ends: from code 0 to code 0."""
        begins = self.where(0)
        return zip(begins, [*begins[1:], len(self.codes)], strict=False)

    def part(self, begin: int, end: int) -> "_Tags":
        """Return some of the tags."""
        return _Tags(self.codes[begin:end], self.values[begin:end])

    @property
    def bare(self) -> "_Tags":
        """The tags without comments, and without blanks around all but texts."""
        codes, values = self
        if 999 in codes:
            kept = [i for i, code in enumerate(codes) if code != 999]
            codes, values = [codes[i] for i in kept], [values[i] for i in kept]
        pairs = zip(codes, values, strict=True)
        return _Tags(codes, [value if code == 1 else value.strip() for code, value in pairs])


_NONE = _Tags([], [])
_ASKED = ("HEADER", "TABLES", "ENTITIES")
"""Sections that tell anything of the lines."""


@dataclass(slots=True)
class _Entity:
    """An entity: codes and values of all its tags, and where each code stands first."""

    kind: str
    codes: list[int] = field(default_factory=list)
    values: list[str] = field(default_factory=list)
    first: dict[int, int] = field(default_factory=dict)

    def text(self, code: int, default: str = "") -> str:
        at = self.first.get(code)
        return default if at is None else self.values[at]

    def number(self, code: int, default: float = 0.0) -> float:
        at = self.first.get(code)
        return default if at is None else _number(code, self.values[at])

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
    if not tags.codes or (tags.codes[-1], tags.values[-1].strip()) != (0, "EOF"):
        raise _refuse("no EOF at its end", "a DXF file that was cut off lacks lines")
    sections = _sections(tags)
    if "ENTITIES" not in sections:
        raise _refuse("no ENTITIES section", "a DXF file has one")
    scale = _scale(sections.get("HEADER", _NONE), dxf_release(data))
    layers = _layers(sections.get("TABLES", _NONE))
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
    comments = [*noted, *(_plain(tags.values[at].strip()) for at in tags.where(999))]
    return Reading(
        paths=sound(paths, "DXF file"),
        texts=tuple(texts),
        facts=facts_in(comments),
        colours={name: _colour(layer) for name, layer in layers.items()},
        apart=frozenset(name for name, layer in layers.items() if _left_out(layer)),
    )


def _layers(tags: _Tags) -> dict[str, _Entity]:
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
    return "" if ink and ink == _colour(layer) else ink, kind != _SOLID


def dxf_release(data: bytes) -> str:
    """Return the version a DXF file states, such as AC1009, or nothing."""
    match = re.search(rb"\$ACADVER\s+1\s+(AC\d{4})", data)
    return match[1].decode() if match else ""


def _tags(data: bytes) -> _Tags:
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
    return _Tags(codes, lines[1::2])


def _sections(tags: _Tags) -> dict[str, _Tags]:
    """Return the tags of each section by its name."""
    sections: dict[str, _Tags] = {}
    name, begin = "", 0
    for at in (*tags.where(0), len(tags.codes)):
        word = tags.values[at].strip() if at < len(tags.codes) else "ENDSEC"
        if word not in ("SECTION", "ENDSEC"):
            continue
        if name in _ASKED:
            sections[name] = tags.part(begin, at).bare
        named = word == "SECTION" and tags.codes[at + 1 : at + 2] == [2]
        name, begin = tags.values[at + 1].strip() if named else "", at + 2
    return sections


def _scale(header: _Tags, release: str) -> float:
    if "$INSUNITS" in header.values:
        at = header.values.index("$INSUNITS") + 1
        unit = header.values[at] if at < len(header.values) else ""
        if unit not in _MM or (unit == "0" and release > _NO_UNITS):
            raise _refuse(f"the unit code {shown(unit)}", "a cut file is in mm, code 4")
        return _MM[unit]
    if release > _NO_UNITS:
        raise _refuse("no unit ($INSUNITS)", "a cut file is in mm, code 4")
    return 1.0


def _firsts(codes: list[int]) -> dict[int, int]:
    """Return where each code stands first."""
    return {code: at for at, code in reversed([*enumerate(codes)])}


def _entities(tags: _Tags) -> Iterator[tuple[_Entity, _Tags]]:
    """Yield entities; a POLYLINE together with all tags of its vertices."""
    owner, inner = _Entity(""), 0
    known: dict[tuple[int, ...], dict[int, int]] = {}
    for i, end in tags.spans:
        kind = tags.values[i]
        if kind == "VERTEX":
            continue
        if kind == "SEQEND" and owner.kind:
            yield owner, tags.part(inner, i)
            owner = _Entity("")
            continue
        codes = tags.codes[i + 1 : end]
        first = known.get(alike := tuple(codes))
        if first is None:  # seldom: most lines have the very same codes
            first = known[alike] = _firsts(codes)
        entity = _Entity(kind, codes, tags.values[i + 1 : end], first)
        if kind == "POLYLINE":
            owner, inner = entity, end
        else:
            yield entity, _NONE


def _path(entity: _Entity, vertices: _Tags) -> ReadPath:
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
            points = _repeated(vertices, [0, 8, 10, 20])
            if points and {*vertices.values[::4]} == {"VERTEX"}:
                return straight(layer, points, entity.closed)
            return _bulged(layer, _corners(vertices), entity.closed)
        case "LWPOLYLINE":
            first = entity.codes.index(10) if 10 in entity.codes else 0
            if points := _repeated(_Tags(entity.codes[first:], entity.values[first:]), [10, 20]):
                return straight(layer, points, entity.closed)
            return _bulged(layer, _light_corners(entity), entity.closed)
        case _:
            raise _refuse(
                f"an entity {entity.kind} on layer {layer}",
                "a cut file holds lines, polylines, arcs, circles and texts",
            )


def _number(code: int, text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if math.isfinite(number) and len(text) <= LONGEST_NUMBER:
        return number
    short_number(text)
    raise _refuse(shown(text), f"a number stands at group code {code}")


def _numbers(code: int, texts: list[str]) -> list[float]:
    short_numbers(texts)
    with suppress(ValueError):
        numbers = list(map(float, texts))
        if math.isfinite(sum(numbers)):
            return numbers
    return [_number(code, text) for text in texts]


def _repeated(tags: _Tags, codes: list[int]) -> list[Place]:
    """Return the places of tags that are these codes again and again; none of any others.

    So stand the vertices of straight lines, as of letters, and are read together.
    """
    count = len(codes)
    if len(tags.codes) < 2 * count or tags.codes != codes * (len(tags.codes) // count):
        return []
    xs, ys = (tags.values[codes.index(code) :: count] for code in (10, 20))
    return list(zip(_numbers(10, xs), _numbers(20, ys), strict=True))


def _corners(vertices: _Tags) -> list[tuple[float, float, float]]:
    """Return places and bulges of the vertices of a POLYLINE."""
    spans, kinds = vertices.spans, vertices.values
    parts = [vertices.part(i + 1, end) for i, end in spans if kinds[i] == "VERTEX"]
    found = [_Entity("VERTEX", *part, _firsts(part.codes)) for part in parts]
    return [(*vertex.at(), vertex.number(42)) for vertex in found]


def _light_corners(entity: _Entity) -> list[tuple[float, float, float]]:
    corners: list[tuple[float, float, float]] = []
    for code, value in zip(entity.codes, entity.values, strict=True):
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
