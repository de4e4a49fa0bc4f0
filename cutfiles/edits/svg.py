"""Opens an SVG as any editor may save it.

The tree is walked here, with every limit; what is hard to read right, transforms and the curves of
paths, is read by svgelements.

Source: W3C, Scalable Vector Graphics 1.1 (second edition) and 2.
"""

import re
from collections.abc import Iterator
from dataclasses import field, replace
from typing import Any
from xml.etree import ElementTree

from cutfiles.dataclass import dataclass
from cutfiles.edits.arcs import FLAT, smooth
from cutfiles.edits.flatten import Bends, flattened
from cutfiles.edits.limits import MOST_LETTERS, Budget, damage_told, refusal
from cutfiles.edits.line import LeftAlone, Line, Opened, facts_of_text
from cutfiles.edits.looks import colour_of, declared, rules_of
from cutfiles.plane.shapes import REACH

_SVG = "{http://www.w3.org/2000/svg}"
_LINK = "{http://www.w3.org/1999/xlink}href"
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "px": 25.4 / 96}
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_GROUPS = frozenset({"svg", "g", "a", "switch", "symbol"})
_SHAPES = frozenset({"path", "line", "polyline", "polygon", "rect", "circle", "ellipse"})
_TEXTS = frozenset({"text", "flowRoot", "foreignObject"})


@dataclass(frozen=True, slots=True)
class _Look:
    """What is handed down the tree."""

    move: Any
    names: tuple[str, ...] = ()
    layer: str = ""
    style: dict[str, str] = field(default_factory=dict)
    hidden: bool = False
    depth: int = 0


def open_svg(data: bytes, times: float = 1.0) -> Opened:
    """Return what an SVG holds, so many times as large as it states.

    Raises:
        FileError: it is no SVG, or holds more than is read.

    """
    try:
        from svgelements import Matrix
    except ImportError:
        raise refusal(
            "an SVG, but nothing to open it with",
            "edited SVG is opened by svgelements",
            "install it with: pip install 'cutfiles[edit]'",
        ) from None
    if b"<!ENTITY" in data:
        raise refusal("an entity declaration", "a drawing has none")
    try:
        root = ElementTree.fromstring(data)
    except (ElementTree.ParseError, LookupError, ValueError) as error:
        raise refusal(f"text that is no XML ({error})", "an SVG file is XML") from None
    if _tag(root) != "svg":
        raise refusal(f'a root element "{_tag(root)[:40]}"', "an SVG file has the root svg")
    with damage_told("an SVG", "svgelements"):
        scale_x, scale_y, left, top, height, unit = _frame(root)
        walk = _Walk(root)
        x, y = scale_x * times, scale_y * times
        move = Matrix(x, 0, 0, -y, -left * x, height * times + top * y)
        walk.children(root, _Look(move, style=walk.style_of(root, {})))
    said = "\n".join(
        one.text or ""
        for tag in ("metadata", "desc")  # what a description says counts
        for one in root.iter()
        if _tag(one) == tag
    )
    return Opened(
        form="SVG",
        lines=tuple(walk.lines),
        left=tuple(walk.left),
        facts=facts_of_text(said),
        unit=unit,
    )


def _frame(root: ElementTree.Element) -> tuple[float, float, float, float, float, str]:
    """Return scales to mm, left and top of the view, height in mm, and how the unit is known."""
    box = [float(n) for n in _NUMBER.findall(root.get("viewBox", ""))[:4]]
    sizes = [_size(root.get(name)) for name in ("width", "height")]
    if len(box) != 4 or min(box[2:]) <= 0:
        per = _MM["px"]
        return per, per, 0.0, 0.0, sizes[1][0] or 1000.0, "no view: 96 to the inch"
    mm = [size[0] or box[2 + i] * _MM["px"] for i, size in enumerate(sizes)]
    told = sizes[0][1] if sizes[0][1] else "no unit: 96 to the inch"
    return mm[0] / box[2], mm[1] / box[3], box[0], box[1], mm[1], told


def _size(text: str | None) -> tuple[float, str]:
    """Return a length in mm and its unit; 0 where it is none, no unit where none is told."""
    match = re.fullmatch(r"\s*(\d{1,9}\.?\d{0,12})\s*([a-z%]*)\s*", (text or "")[:40])
    if match is None or (match[2] and match[2] not in _MM):
        return 0.0, ""
    return float(match[1]) * _MM[match[2] or "px"], match[2] if match[2] != "px" else ""


def _tag(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


class _Walk:
    """Collects the lines of a tree, counting all it does."""

    def __init__(self, root: ElementTree.Element) -> None:
        self.budget = Budget()
        self.lines: list[Line] = []
        self.left: list[LeftAlone] = []
        self.known = {e.get("id", ""): e for e in root.iter() if e.get("id")}
        css = "".join(e.text or "" for e in root.iter() if _tag(e) == "style")
        self.rules = rules_of(css)

    def style_of(self, element: ElementTree.Element, above: dict[str, str]) -> dict[str, str]:
        """Return the style of an element: handed down, by rules, by attributes, its own."""
        return declared(element.attrib, _tag(element), self.rules, above)

    def children(self, element: ElementTree.Element, look: _Look) -> None:
        """Collect what lies in a group."""
        for child in element:
            self.element(child, look)

    def element(self, element: ElementTree.Element, look: _Look) -> None:
        """Collect one element with all that lies in it."""
        tag = _tag(element)
        if tag not in _GROUPS | _SHAPES | _TEXTS | {"use", "image"}:
            return
        self.budget.node(look.depth)
        style = self.style_of(element, look.style)
        own = _names(element)
        hidden = look.hidden or style.get("display") == "none"
        own_layer = own[0] if own and tag in ("g", "svg") else ""
        here = replace(
            look,
            move=_moved(element, look.move),
            # what lies in a layer belongs to it, whatever it was called before
            names=((*look.names, *own) if tag in _SHAPES else (*own, *look.names))[:24],
            style=style,
            hidden=hidden,
            layer=own_layer or look.layer,
            depth=look.depth + 1,
        )
        if tag in _TEXTS or tag == "image":
            text = " ".join("".join(element.itertext()).split())[:200]
            what = "an image" if tag == "image" else "text"
            self.left.append(LeftAlone(what=what, layer=here.layer, text=text))
        elif tag == "use":
            self._clone(element, here)
        elif tag in _GROUPS:
            self.children(element, here)
        else:
            self._shape(element, tag, here)

    def _clone(self, element: ElementTree.Element, look: _Look) -> None:
        link = element.get("href") or element.get(_LINK) or ""
        found = self.known.get(link.removeprefix("#"))
        if found is None:
            self.left.append(LeftAlone(what="a clone of nothing", layer=look.layer))
            return
        x, y = _lengths(element, "x", "y")
        moved = _translated(look.move, x, y)
        self.element(found, replace(look, move=moved))

    def _shape(self, element: ElementTree.Element, tag: str, look: _Look) -> None:
        style = look.style
        stroke, fill = style.get("stroke", "none"), style.get("fill", "#000000")
        inked = stroke not in ("none", "transparent", "")
        colour = colour_of(stroke if inked else fill)
        unseen = style.get("visibility", "visible") != "visible"
        if not inked and not colour:
            return  # neither stroke nor fill: nothing anybody sees
        dashes = style.get("stroke-dasharray", "none")
        for bends in self._bends(element, tag, look.move):
            points = flattened(bends, FLAT, self.budget)
            path = smooth(points, bends.closed)
            if path is not None:
                self.budget.line()
                self.lines.append(
                    Line(
                        path=path,
                        names=look.names,
                        layer=look.layer,
                        colour=colour,
                        dashed=inked and dashes not in ("none", "", "0"),
                        filled=not inked,
                        hidden=look.hidden or unseen,
                    )
                )

    def _bends(self, element: ElementTree.Element, tag: str, move: Any) -> Iterator[Bends]:
        """Yield the curves of a shape, moved to mm."""
        if tag == "path":
            text = element.get("d", "")
            self.budget.more_numbers(text.count(" ") + text.count(",") + text.count("-") + 1)
            self.budget.more_numbers(len(text) // 12)
            yield from _path_bends(text, move)
            return
        yield from _shape_bends(element, tag, move)


def _names(element: ElementTree.Element) -> tuple[str, ...]:
    """Return what may tell an element's role: label, title, id, other names."""
    found = []
    for name, value in element.attrib.items():
        bare = name.rpartition("}")[2]
        if bare in ("label", "id", "class", "data-name", "aria-label") and value:
            found.append((bare != "label", bare == "id", value[:120]))
    title = next((e.text for e in element if _tag(e) == "title" and e.text), None)
    named = [value for *_, value in sorted(found)]
    return (*named, title[:120]) if title else tuple(named)


def _moved(element: ElementTree.Element, move: Any) -> Any:
    text = element.get("transform", "")
    if not text:
        return move
    if len(text) > MOST_LETTERS:
        raise refusal(
            f"a transform of {len(text):,} letters", f"{MOST_LETTERS:,} letters are enough"
        )
    from svgelements import Matrix

    return Matrix(text) * move


def _translated(move: Any, x: float, y: float) -> Any:
    from svgelements import Matrix

    return Matrix(1, 0, 0, 1, x, y) * move if x or y else move


def _lengths(element: ElementTree.Element, *names: str) -> tuple[float, ...]:
    """Return attributes as numbers in user units; what is no number is 0."""
    found = []
    for name in names:
        text = element.get(name, "")[:40]
        match = _NUMBER.match(text.strip())
        unit = text.strip()[match.end() :].strip() if match else ""
        per = _MM[unit] / _MM["px"] if unit in _MM else 1.0
        found.append(float(match[0]) * per if match else 0.0)
    return tuple(found)


def _path_bends(text: str, move: Any) -> Iterator[Bends]:
    from svgelements import Arc, Close, CubicBezier, Move, Path, QuadraticBezier

    bends = Bends()
    for part in Path(text):
        if isinstance(part, Move):
            if bends.curves:
                yield bends.moved(move)
            bends = Bends(start=_pair(part.end))
        elif isinstance(part, Close):
            bends.closed = True
        elif isinstance(part, QuadraticBezier):
            bends.curve(_pair(part.control), _pair(part.end))
        elif isinstance(part, CubicBezier):
            bends.curve(_pair(part.control1), _pair(part.control2), _pair(part.end))
        elif isinstance(part, Arc):
            count = max(1, min(48, int(abs(float(part.sweep)) / 0.35) + 1))
            for one in part.as_cubic_curves(count):
                bends.curve(_pair(one.control1), _pair(one.control2), _pair(one.end))
        elif part.end is not None:
            bends.curve(_pair(part.end))
    if bends.curves:
        yield bends.moved(move)


def _pair(point: Any) -> tuple[float, float]:
    return (float(point.x), float(point.y))


def _shape_bends(element: ElementTree.Element, tag: str, move: Any) -> Iterator[Bends]:
    """Yield the curves of a basic shape."""
    bends: Bends | None = None
    if tag in ("polyline", "polygon"):
        numbers = [float(n) for n in _NUMBER.findall(element.get("points", ""))]
        places = list(zip(numbers[::2], numbers[1::2], strict=False))
        if len(places) > 1:
            bends = Bends(start=places[0], closed=tag == "polygon")
            for place in places[1:]:
                bends.curve(place)
    elif tag == "line":
        x1, y1, x2, y2 = _lengths(element, "x1", "y1", "x2", "y2")
        bends = Bends(start=(x1, y1))
        bends.curve((x2, y2))
    elif tag == "rect":
        x, y, w, h, rx, ry = _lengths(element, "x", "y", "width", "height", "rx", "ry")
        if w > 0 and h > 0:
            bends = _rect(x, y, w, h, min(rx or ry, w / 2), min(ry or rx, h / 2))
    else:
        cx, cy, r, rx, ry = _lengths(element, "cx", "cy", "r", "rx", "ry")
        rx, ry = (r, r) if tag == "circle" else (rx, ry)
        if rx > 0 and ry > 0:
            bends = _rect(cx - rx, cy - ry, 2 * rx, 2 * ry, rx, ry)
    if bends is not None:
        yield bends.moved(move)


def _rect(x: float, y: float, w: float, h: float, rx: float, ry: float) -> Bends:
    """Return a rectangle with round corners; with corners as large as it, an ellipse."""
    bends = Bends(start=(x + rx, y), closed=True)
    kx, ky = rx * (1 - REACH), ry * (1 - REACH)
    corners = (
        ((x + w - rx, y), (x + w - kx, y), (x + w, y + ky), (x + w, y + ry)),
        ((x + w, y + h - ry), (x + w, y + h - ky), (x + w - kx, y + h), (x + w - rx, y + h)),
        ((x + rx, y + h), (x + kx, y + h), (x, y + h - ky), (x, y + h - ry)),
        ((x, y + ry), (x, y + ky), (x + kx, y), (x + rx, y)),
    )
    for edge, one, two, end in corners:
        bends.curve(edge)
        if rx and ry:
            bends.curve(one, two, end)
    return bends
