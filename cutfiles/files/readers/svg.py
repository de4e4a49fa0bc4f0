"""Reads SVG: paths and basic shapes with their layers, in mm, as the file's own size states them.

Source: W3C, Scalable Vector Graphics 1.1 (second edition); arcs by its appendix F.6.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple
from xml.etree import ElementTree

from cutfiles.errors import FileError, shown
from cutfiles.files.readers.limits import MOST_LETTERS, MOST_LINES, at_most, short_number
from cutfiles.files.readers.reading import (
    Part,
    Place,
    Reading,
    ReadPath,
    facts_in,
    parts_of_curve,
    sound,
    with_middles,
)

_SVG = "{http://www.w3.org/2000/svg}"
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "px": 25.4 / 96}
_TOKEN = re.compile(r"([MmLlHhVvCcAaZz])|([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)")
_PLACE = r"-?\d{1,9}(?:\.\d{1,9})? -?\d{1,9}(?:\.\d{1,9})?"
_PLAIN = re.compile(rf"M({_PLACE}(?:L{_PLACE})+)(Z?)", re.ASCII)
_COUNT = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "A": 7, "Z": 0}
_MOVE = r"(\w+)\s*\(([^()]*)\)"
_TAKES = {"matrix": (6,), "translate": (1, 2), "scale": (1, 2), "rotate": (1, 3)}
_UNSEEN = re.compile(
    r"(?<![-\w])((transform|translate|rotate|scale)\s*:"
    r"|(display|visibility)\s*:\s*(none|hidden|collapse))",
    re.IGNORECASE,
)
_INKED = re.compile(r"(?<![-\w])stroke(-dasharray)?\s*:", re.IGNORECASE)
_LOOKS = frozenset({"style", "stroke", "stroke-dasharray"})
_HIDES = frozenset({"style", "display", "visibility"})
_SILENT = frozenset({"title", "desc", "defs", "metadata", "namedview", "style"})

Matrix = tuple[float, float, float, float, float, float]


def read_svg(data: bytes) -> Reading:
    """Return what an SVG file states.

    Raises:
        FileError: it is no SVG, states no size in a real unit, or holds what we do not read.

    """
    if b"<!ENTITY" in data:
        raise _refuse("an entity declaration", "a cut file has none")
    at_most(data.count(b"<"), 2 * MOST_LINES, "elements")
    try:
        root = ElementTree.fromstring(data)
    except (ElementTree.ParseError, LookupError, ValueError) as error:
        raise _refuse(f"text that is no XML ({error})", "an SVG file is XML") from None
    if root.tag != f"{_SVG}svg":
        raise _refuse(f'a root element "{root.tag}"', "an SVG file has the root svg")
    to_mm, size = _frame(root)
    paths: list[ReadPath] = []
    texts: list[tuple[str, str]] = []
    _refuse_styles(root)
    try:
        for child in root:
            layer = child.get("id", "") if child.tag == f"{_SVG}g" else ""
            own = _Look(layer).of(child)
            _collect(child, own._replace(layer_ink=own.ink), to_mm, paths, texts)
    except RecursionError:
        raise _refuse("groups in groups without end", "a layer is one group") from None
    except (ArithmeticError, ValueError):  # an arc of such numbers has no middle
        raise _refuse("a number too large or too small", "a cut file is in mm") from None
    said = [root.findtext(f"{_SVG}{name}") or "" for name in ("metadata", "desc")]
    lines = "\n".join(said).splitlines()  # what the description says counts
    colours = {g.get("id", ""): _Look("").of(g).ink for g in root if g.tag == f"{_SVG}g"}
    return Reading(
        paths=sound(paths, "SVG file"),
        texts=tuple(texts),
        facts=facts_in(lines),
        size=size,
        colours=colours,
        apart=_locked(root),
    )


def _locked(root: ElementTree.Element) -> frozenset[str] | None:
    """Return the layers that an editor holds locked; None where it would see no layers."""
    groups = [group for group in root if group.tag == f"{_SVG}g"]
    if not any(_name(key) == "groupmode" for group in groups for key in group.attrib):
        return None
    return frozenset(
        group.get("id", "")
        for group in groups
        if any(_name(k) == "insensitive" and v == "true" for k, v in group.attrib.items())
    )


def _name(key: str) -> str:
    return key.rpartition("}")[2]


def _frame(root: ElementTree.Element) -> tuple[Matrix, tuple[float, float]]:
    """Return the way from the file's coordinates to mm, y up, and the sheet's size."""
    width, height = _length(root.get("width")), _length(root.get("height"))
    box = _numbers(root.get("viewBox", ""))
    if len(box) != 4 or box[2] <= 0 or box[3] <= 0:
        raise _refuse("no viewBox", "a cut file states its size in mm and a viewBox")
    sx, sy = width / box[2], height / box[3]
    return (sx, 0.0, 0.0, -sy, -box[0] * sx, height + box[1] * sy), (width, height)


def _length(text: str | None) -> float:
    match = re.fullmatch(r"\s*(\d+\.?\d*(?:e[-+]?\d+)?)\s*([a-z]*)\s*", text or "", re.IGNORECASE)
    if match is None or match[2] not in _MM:
        raise _refuse(
            f"the size {shown(text or '')}",
            "a cut file states its width and height with a unit, as in 300mm",
        )
    return float(match[1]) * _MM[match[2]]


class _Look(NamedTuple):
    """A layer, its colour, and how what is drawn here looks."""

    layer: str
    layer_ink: str = ""
    ink: str = ""
    dashed: bool = False

    def of(self, element: ElementTree.Element) -> "_Look":
        """Return how an element looks that lies in what looks so."""
        if _LOOKS.isdisjoint(element.attrib):  # most lines look like their layer
            return self
        ink, dashes = (_look(element, key) for key in ("stroke", "stroke-dasharray"))
        dashed = dashes.lower() != "none" if dashes else self.dashed
        return self._replace(ink=_colour(ink) if ink else self.ink, dashed=dashed)


def _look(element: ElementTree.Element, key: str) -> str:
    """Return a property of an element, by its style before its attribute."""
    style = element.get("style", "")
    for part in reversed(style.split(";") if style else ()):
        name, _, value = part.partition(":")
        if name.strip().lower() == key:
            return value.removesuffix("!important").strip()
    return element.get(key, "").strip()


def _colour(text: str) -> str:
    """Return a colour as #RRGGBB where it is one that we know, else as it stands."""
    if match := re.fullmatch(r"#([0-9A-Fa-f])([0-9A-Fa-f])([0-9A-Fa-f])", text):
        return "#" + "".join(2 * digit.upper() for digit in match.groups())
    if match := re.fullmatch(r"rgb\(\s*(\d{1,3})\s*,\s*(\d{1,3})\s*,\s*(\d{1,3})\s*\)", text):
        return "#" + "".join(f"{int(part):02X}" for part in match.groups())
    return "#000000" if text.lower() == "black" else text.upper()


def _collect(
    element: ElementTree.Element,
    look: _Look,
    matrix: Matrix,
    paths: list[ReadPath],
    texts: list[tuple[str, str]],
) -> None:
    name = element.tag.rpartition("}")[2]
    if name in _SILENT or not element.tag.startswith(_SVG):
        return
    if name == "text":
        texts.append((look.layer, "".join(element.itertext())))
        return
    moved = element.get("transform", "")
    inner = _times(matrix, _transform(moved)) if moved else matrix
    if name == "g":
        for child in element:
            _collect(child, look.of(child), inner, paths, texts)
        return
    ink = look.ink if look.ink != look.layer_ink else ""
    for points, bends, closed in _shape(name, element):
        places, between = _apply(inner, points), _apply(inner, bends)
        paths.append(ReadPath(look.layer, places, between, closed, ink, look.dashed))


Run = tuple[list[Place], Sequence[Place], bool]
"""Points, bends as in `ReadPath`, and whether it is closed."""


def _shape(name: str, element: ElementTree.Element) -> Iterator[Run]:
    def value(key: str) -> float:
        return _number(element.get(key, "0"))

    match name:
        case "path":
            yield from _path(element.get("d", ""))
        case "line":
            yield [(value("x1"), value("y1")), (value("x2"), value("y2"))], (), False
        case "polyline" | "polygon":
            found = _numbers(element.get("points", ""))
            if len(found) < 4 or len(found) % 2:
                raise _refuse(f"{len(found)} numbers in a <{name}>", "points come in pairs")
            points = list(zip(found[::2], found[1::2], strict=True))
            yield _ended(points, {}, name == "polygon")
        case "rect":
            x, y, w, h = value("x"), value("y"), value("width"), value("height")
            yield _ended([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], {}, True)
        case "circle":
            x, y, r = value("cx"), value("cy"), value("r")
            turns = [i * math.pi / 4 for i in range(8)]
            ring = [(x + r * math.cos(t), y + r * math.sin(t)) for t in turns]
            yield ring[::2], ring[1::2], True
        case _:
            raise _refuse(f"an element <{name}>", "a cut file holds paths and basic shapes")


def _ended(points: list[Place], bends: Mapping[int, Place], closed: bool) -> Run:
    """Return a run without a last vertex that repeats the first."""
    if closed and len(points) > 1 and math.dist(points[0], points[-1]) < 1e-9:
        points = points[:-1]
    return points, with_middles(points, bends, closed), closed


def _path(d: str) -> Iterator[Run]:
    """Yield the runs of a path's data, absolute."""
    if plain := _PLAIN.fullmatch(d):  # lines from place to place, as most paths are
        numbers = list(map(float, plain[1].replace("L", " ").split(" ")))
        yield _ended(list(zip(numbers[::2], numbers[1::2], strict=True)), {}, bool(plain[2]))
        return
    at: Place = (0.0, 0.0)
    points: list[Place] = []
    bends: dict[int, Place] = {}
    for command, numbers in _commands(d):
        kind, relative = command.upper(), command.islower()
        if kind == "Z":
            if points:
                at = points[0]
                yield _ended(points, bends, True)
            points, bends = [], {}
            continue
        if kind == "M":
            if len(points) > 1:
                yield _ended(points, bends, False)
            at = _moved(at, numbers, relative)
            points, bends = [at], {}
            continue
        points = points or [at]
        for end, middle in _segment(kind, at, numbers, relative):
            if middle:
                bends[len(points) - 1] = middle
            points.append(end)
        at = points[-1]
    if len(points) > 1:
        yield _ended(points, bends, False)


def _moved(at: Place, numbers: list[float], relative: bool) -> Place:
    return (at[0] * relative + numbers[-2], at[1] * relative + numbers[-1])


def _segment(kind: str, at: Place, numbers: list[float], relative: bool) -> Iterable[Part]:
    """Return where each part of one segment ends, and a place midway where it is bent."""
    if kind == "H":
        end = (at[0] * relative + numbers[0], at[1])
    elif kind == "V":
        end = (at[0], at[1] * relative + numbers[0])
    else:
        end = _moved(at, numbers, relative)
    if kind == "C":
        return parts_of_curve(at, *(_moved(at, numbers[:i], relative) for i in (2, 4, 6)))
    return [(end, _arc_middle(at, end, numbers) if kind == "A" else None)]


def _arc_middle(start: Place, end: Place, numbers: list[float]) -> Place | None:
    """Return the middle of an elliptical arc, by the endpoint-to-centre formulas of F.6.5."""
    rx, ry, turned, large, swept = abs(numbers[0]), abs(numbers[1]), *numbers[2:5]
    if rx == 0 or ry == 0 or start == end:
        return None
    phi = math.radians(turned)
    cos, sin = math.cos(phi), math.sin(phi)
    hx, hy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = cos * hx + sin * hy, cos * hy - sin * hx
    grow = max(1.0, math.sqrt((x / rx) ** 2 + (y / ry) ** 2))
    rx, ry = rx * grow, ry * grow
    share = (rx * ry) ** 2 / ((rx * y) ** 2 + (ry * x) ** 2) - 1
    root = math.sqrt(max(0.0, share)) * (-1 if bool(large) == bool(swept) else 1)
    cx, cy = root * rx * y / ry, -root * ry * x / rx
    begin = math.atan2((y - cy) / ry, (x - cx) / rx)
    turn = math.atan2((-y - cy) / ry, (-x - cx) / rx) - begin
    turn = turn % math.tau if swept else -((-turn) % math.tau)
    ex, ey = rx * math.cos(begin + turn / 2) + cx, ry * math.sin(begin + turn / 2) + cy
    mx, my = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    return (cos * ex - sin * ey + mx, sin * ex + cos * ey + my)


def _commands(d: str) -> Iterator[tuple[str, list[float]]]:
    """Yield commands with their numbers; a repeated run of numbers is a command again."""
    rest = _TOKEN.sub("", d).replace(",", "").strip()
    if rest:
        raise _refuse(f"path data {shown(rest)}", "a cut file uses M, L, H, V, C, A and Z")
    command, whole, most = "", True, -1
    numbers: list[float] = []
    for letter, number in [*_TOKEN.findall(d), ("end", "")]:
        if letter:
            if numbers or not whole:
                raise _refuse(f"path data {shown(d)}", "a number is missing there, or one too many")
            command, whole, most = letter, letter in "Zz", _COUNT.get(letter.upper(), -1)
            if whole:
                yield letter, []
            continue
        numbers.append(_number(number))
        if len(numbers) == most:
            yield command, numbers
            command, whole = {"M": "L", "m": "l"}.get(command, command), True
            numbers = []


def _transform(text: str) -> Matrix:
    matrix: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    at_most(len(text), MOST_LETTERS, "letters in a transform")
    if re.sub(_MOVE, "", text).replace(",", "").strip():
        raise _refuse(f"the transform {shown(text)}", "a transform is a name and numbers")
    for name, inside in re.findall(_MOVE, text):
        n = _numbers(inside)
        if len(n) not in _TAKES.get(name, (len(n),)):
            raise _refuse(f"{shown(text)}", f"{name} takes another count of numbers")
        match name:
            case "matrix":
                one: Matrix = (n[0], n[1], n[2], n[3], n[4], n[5])
            case "translate":
                one = (1.0, 0.0, 0.0, 1.0, n[0], n[1] if len(n) > 1 else 0.0)
            case "scale":
                one = (n[0], 0.0, 0.0, n[-1], 0.0, 0.0)
            case "rotate":
                c, s = math.cos(math.radians(n[0])), math.sin(math.radians(n[0]))
                x, y = (n[1], n[2]) if len(n) == 3 else (0.0, 0.0)
                one = (c, s, -s, c, x - c * x + s * y, y - s * x - c * y)
            case _:
                raise _refuse(f'a transform "{name}"', "a cut file is drawn without it")
        matrix = _times(matrix, one)
    return matrix


def _times(m: Matrix, n: Matrix) -> Matrix:
    a, b, c, d, e, f = m
    return (
        a * n[0] + c * n[1],
        b * n[0] + d * n[1],
        a * n[2] + c * n[3],
        b * n[2] + d * n[3],
        a * n[4] + c * n[5] + e,
        b * n[4] + d * n[5] + f,
    )


def _numbers(text: str) -> list[float]:
    return [_number(part) for part in re.split(r"[\s,]+", text.strip()) if part]


def _number(text: str) -> float:
    short_number(text)
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise _refuse(shown(text), "a number stands here")
    return number


def _refuse_styles(root: ElementTree.Element) -> None:
    """Refuse what a style hides or moves: a program that knows styles would cut something else."""
    for element in root.iter():
        if not element.tag.startswith(_SVG):
            continue
        sheet = "".join(element.itertext()) if element.tag == f"{_SVG}style" else ""
        if not sheet and _HIDES.isdisjoint(element.attrib):
            continue
        if found := _INKED.search(sheet):
            raise _refuse(
                f"a style sheet that colours or dashes lines ({shown(found[0])})",
                "a cut file says it at its layers",
            )
        style = sheet + element.get("style", "")
        style += "".join(f";{key}:{element.get(key, '')}" for key in ("display", "visibility"))
        if found := _UNSEEN.search(style):
            raise FileError(
                f"a line or layer hidden or moved by its style ({shown(found[0])})",
                "a cut file shows everything where it is cut",
                "show it again and save, or make the file again from its slip",
                "SVG file",
            )


def _apply(matrix: Matrix, places: Sequence[Place]) -> tuple[Place, ...]:
    a, b, c, d, e, f = matrix
    return tuple((a * x + c * y + e, b * x + d * y + f) for x, y in places)


def _refuse(found: str, needed: str) -> FileError:
    return FileError(found, needed, "make the file again from its slip", "SVG file")
