"""A page to draw a picture on: A4 landscape, mm, y down; text in a sans-serif, or as outlines.

A picture is a few plain elements, written here: svgwrite, which writes the cut files, takes longer
to load (30 ms) than the pictures take to be drawn, and a tree of the standard library's a third of
the time of drawing one.
"""

import textwrap
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from html import escape
from itertools import groupby, pairwise
from typing import NamedTuple

from cutfiles.lengths import trimmed
from cutfiles.plane.shapes import Anchor
from cutfiles.report.outlines import is_usual, outline
from cutfiles.report.script import shortened
from cutfiles.support.states import State
from cutfiles.words.marks import MARKS

WIDTH, HEIGHT = 297.0, 210.0
INK, SOFT, PALE, BAND, WHITE = "#000", "#666", "#E8E8E8", "#D4D4D4", "#FFF"
_SENTENCE, _SENTENCE_WIDTH = 2.9, 270.0
"""The verdict's sentence under the headings: size of its letters and width, mm."""
LEAST = 2.5
"""Letters are no smaller, mm: a little over 7 points, read at arm's length."""
ACROSS, BOLD_ACROSS = 267.0, 235.0
"""Lines over the whole page are so wide, mm; bold letters are broader: lines of them are broken as
if they had less room."""
CAPITAL = 0.72
"""Height of capitals over font size (usual sans-serif fonts; from memory)."""
DESCENT = 0.25
"""How far letters reach below their line, over font size (the same)."""
LETTER = 0.62
"""Width of a letter over font size, rather too wide than too narrow (from memory)."""

_SHARED = {
    "font_family": "DejaVu Sans, Bitstream Vera Sans, Verdana, Arial, sans-serif",
    "stroke_linejoin": "round",
    "version": "1.1",
    "xmlns": "http://www.w3.org/2000/svg",
}
"""What all of a page has from its root; texts are black, and begin at their place."""
_USUAL = ("font-size", "stroke-width")
"""What most elements of a page have alike: said once around them, by each that has another."""
_HANDED = frozenset(("fill", "fill-opacity", "font-size", "font-weight", "stroke"))
_HANDED |= {"stroke-dasharray", "stroke-width", "text-anchor"}
"""What elements take from a group around them (SVG 1.1, presentation attributes that inherit)."""
_FIRST = '<?xml version="1.0" encoding="utf-8" ?>\n'

Place = tuple[float, float]
Look = Mapping[str, str | float]
"""What an element is told, `_` for a hyphen."""


class _Element(NamedTuple):
    """One element: its name, what it is told, by name, and what stands in it, as written."""

    name: str
    told: dict[str, str]
    within: str = ""

    def look(self, around: Mapping[str, str]) -> dict[str, str]:
        """Return what a group of its like may say for it, less what is told around it."""
        return {
            key: said
            for key, said in self.told.items()
            if key in _HANDED and around.get(key) != said
        }

    def written(self, around: Mapping[str, str]) -> str:
        """Return the element, less what is told around it."""
        head = "".join(
            [
                f' {key}="{_quoted(said)}"'
                for key, said in self.told.items()
                if around.get(key) != said
            ]
        )
        if not self.within:
            return f"<{self.name}{head} />"
        return f"<{self.name}{head}>{self.within}</{self.name}>"


class Canvas:
    """Collects lines and texts; `svg` gives the finished page."""

    def __init__(self, title: str, desc: str) -> None:
        size = {"width": f"{WIDTH:g}mm", "height": f"{HEIGHT:g}mm"}
        self._root = {**size, "viewBox": f"0 0 {WIDTH:g} {HEIGHT:g}", **_SHARED}
        whole = {"width": f"{WIDTH:g}", "height": f"{HEIGHT:g}", "fill": WHITE}
        self._first = [
            _Element("title", {}, _escaped(title)),
            _Element("desc", {}, _escaped(desc)),
            _element("rect", whole),
        ]
        self._drawn: list[_Element] = []
        self._look: Look = {}

    def line(
        self,
        points: list[Place],
        *,
        colour: str = INK,
        width: float = 0.25,
        dashes: str = "",
        fill: str = "none",
        closed: bool = False,
        clear: float = 0.0,
    ) -> None:
        """Draw straight lines through the points; `clear` is what a filling lets through."""
        path = _data(points) + ("Z" if closed else "")
        extra: dict[str, str | float] = {"stroke_dasharray": dashes} if dashes else {}
        if clear:
            extra["fill_opacity"] = round(1 - clear, 3)
        look = {"fill": fill, "stroke": colour, "stroke_width": width, **extra}
        last = self._drawn[-1] if self._drawn else None
        if last is not None and fill == "none" and look == self._look and last.name == "path":
            # lines that look alike and follow one another are one: letters
            last.told["d"] += path
        else:
            self._drawn.append(_element("path", {"d": path, **look}))
        self._look = look

    def text(
        self,
        at: Place,
        text: str,
        *,
        size: float = 3.0,
        anchor: Anchor = "start",
        bold: bool = False,
        upright: bool = False,
        colour: str = INK,
    ) -> None:
        """Write a line of text, its baseline at a place; size in mm."""
        x, y = (_short(part) for part in at)
        extra: dict[str, str] = {"transform": f"rotate(-90 {x} {y})"} if upright else {}
        if bold:
            extra["font_weight"] = "bold"
        if anchor != "start":
            extra["text_anchor"] = anchor
        if colour != INK:
            extra["fill"] = colour
        if is_usual(text):
            look = {"x": x, "y": y, "font_size": f"{size:g}", **extra}
            self._drawn.append(_element("text", look, _escaped(text)))
        else:
            self._outline((float(x), float(y)), text, size, bold, **extra)

    def _outline(self, at: Place, text: str, size: float, bold: bool, **extra: str) -> None:
        """Draw a line of text as a path, the text itself as its title."""
        kept = {name: said for name, said in extra.items() if name in ("transform", "fill")}
        before = {"middle": 0.5, "end": 1.0}.get(extra.get("text_anchor", ""), 0.0)
        look = {"d": outline(text, size, at, before, bold=bold), **kept}
        title = _Element("title", {}, _escaped(text))
        self._drawn.append(_element("path", look, title.written({})))
        self._look = {}  # no line goes on in it

    def rings(self, radius: float, told: Sequence[tuple[Place, str]]) -> None:
        """Write short texts in circles of one size, that touch no other."""
        for centre, _ in told:
            self._disc(centre, radius, {"fill": WHITE, "stroke": INK, "stroke_width": 0.25})
        size = radius * 1.2
        for (x, y), text in told:
            self.text((x, y + size * CAPITAL / 2), text, size=size, anchor="middle", bold=True)

    def head(self, heading: str, where: str, state: State) -> None:
        """Write the headings, and draw the verdict's mark beside them."""
        self.text((15, 17), fitted(heading, 250, 6), size=6, bold=True)
        self.text((15, 24), fitted(where, 215, 3.5), size=3.5)
        self.verdict(state)

    def told(self, what: str, verdict: str, size: float) -> float:
        """Write below the headings what a picture shows, and the verdict's sentence below that.

        What it shows moves up where the sentence takes two lines: neither touches the other. Return
        how far more lines reach down below two, mm.
        """
        lines, letters = _sentence(verdict, _SENTENCE_WIDTH, _SENTENCE)
        self.text((15, 31 if len(lines) == 1 else 29.4), what, size=size, colour=SOFT)
        deeper = 1.25 * letters * max(0, len(lines) - 2)
        self.sentence((15, 37 + deeper), verdict, _SENTENCE_WIDTH, _SENTENCE, bold=True)
        return deeper

    def sentence(self, at: Place, text: str, width: float, size: float, *, bold: bool) -> float:
        """Write a text in lines, the last one's baseline at a place; return the first one's y.

        Letters get smaller, down to `LEAST`, for two lines to do; then there are more of them.
        """
        lines, size = _sentence(text, width, size)
        x, y = at
        for i, line in enumerate(lines):
            above = 1.25 * size * (len(lines) - 1 - i)
            self.text((x, y - above), line, size=size, bold=bold)
        return y - 1.25 * size * (len(lines) - 1)

    def verdict(self, state: State) -> None:
        """Draw a verdict's mark in the upper right corner, its word below it."""
        x, y, radius = WIDTH - 20.0, 13.0, 5.5
        for shape in MARKS[state].shapes:
            places = [(x + radius * px, y - radius * py) for px, py in shape.points]
            fill = INK if shape.black else WHITE
            if shape.disc:
                self._disc((x, y), radius * shape.disc, {"fill": fill})
            else:
                self.line(places, fill=fill, colour=fill, width=0.0, closed=True)
        self.text((WIDTH - 14.5, 25.0), state, size=4.5, anchor="end", bold=True)

    def dimensions(self, ends: Sequence[tuple[Place, Place]]) -> None:
        """Draw dimension lines, each between two places, a short tick across each end."""
        for a, b in ends:
            self.line([a, b], width=0.18)
        for a, b in ends:
            level = abs(a[1] - b[1]) < abs(a[0] - b[0])
            dx, dy = (0.0, 1.0) if level else (1.0, 0.0)
            for x, y in (a, b):
                self.line([(x - dx, y - dy), (x + dx, y + dy)], width=0.3)

    def _disc(self, centre: Place, radius: float, look: Look) -> None:
        x, y = (_short(part) for part in centre)
        self._drawn.append(_element("circle", {"cx": x, "cy": y, "r": _short(radius), **look}))

    def svg(self) -> bytes:
        """Return the page as SVG."""
        elements = [one.written({}) for one in (*self._first, _usual_once(self._drawn))]
        page = _element("svg", self._root, "".join(elements))
        return (_FIRST + page.written({})).encode()


def _usual_once(drawn: Sequence[_Element]) -> _Element:
    """Return what is drawn with what most of it has alike around it: a tenth of a picture."""
    usual: dict[str, str] = {}
    for name in _USUAL:
        values = Counter(said for one in drawn if (said := one.told.get(name)) is not None)
        if values:
            usual[name] = values.most_common(1)[0][0]
    return _Element("g", usual, "".join(_alike_once(drawn, usual)))


def _alike_once(drawn: Sequence[_Element], around: Mapping[str, str]) -> Iterator[str]:
    """Yield elements as written, around those that follow one another what they have alike."""
    for look, run in groupby(drawn, key=lambda one: one.look(around)):
        alike = [*run]
        if look and len(alike) > 1:
            within = "".join([one.written({**around, **look}) for one in alike])
            yield _Element("g", look, within).written({})
        else:
            yield from (one.written(around) for one in alike)


def _element(name: str, look: Look, within: str = "") -> _Element:
    """Return an element, what it is told in the order of the alphabet; what is empty is not.

    >>> _element("text", {"x": 1.5, "font_size": 3, "fill": ""}, "A &amp; B").written({"x": "1.5"})
    '<text font-size="3">A &amp; B</text>'
    """
    told = {key.replace("_", "-"): str(value) for key, value in look.items()}
    return _Element(name, {key: told[key] for key in sorted(told) if told[key]}, within)


def _escaped(text: str) -> str:
    return escape(text, quote=False)


def _quoted(text: str) -> str:
    return _escaped(text).replace('"', "&quot;")


def _data(points: Sequence[Place]) -> str:
    """Return lines through the points, told as steps: half the bytes.

    Steps are between places to 0.01 mm, as whole numbers, so that they add up to these.

    >>> _data([(12.5, 7.0), (13.0, 7.25), (12.5, 7.0), (12.5, 6.0)])
    'M12.5,7l.5 .25-.5-.25v-1'
    """
    return steps_of([(round(100 * x), round(100 * y)) for x, y in points], _step)


def steps_of(places: Sequence[tuple[int, int]], told: Callable[[int], str]) -> str:
    """Return lines through places in whole parts, each as a step; a level or upright one is short.

    Args:
        places: the first one where they begin.
        told: returns a number of parts as text.

    >>> steps_of([(4, 8), (14, 8), (14, 2), (15, 1)], str)
    'M4,8h10v-6l1-1'

    """
    (x, y), *_ = places
    said, last = [f"M{told(x)},{told(y)}"], ""
    for (ax, ay), (bx, by) in pairwise(places):
        if ax == bx:
            way, step = "v", told(by - ay)
        elif ay == by:
            way, step = "h", told(bx - ax)
        else:
            way, step = "l", f"{told(bx - ax)} {told(by - ay)}"
        said.append(f" {step}" if way == last == "l" else way + step)
        last = way
    return "".join(said).replace(" -", "-")


@lru_cache(maxsize=4096)  # letters take the same few steps again and again
def _step(hundredths: int) -> str:
    """Return a number of hundredths, without idle zeros before or behind its point."""
    sign, size = "-" if hundredths < 0 else "", _short(abs(hundredths) / 100)
    return sign + (size.removeprefix("0") or "0")


def _short(value: float) -> str:
    """Return a number to 0.01 mm, without idle zeros: a picture is not measured."""
    return trimmed(value, 2)


def _sentence(text: str, width: float, size: float) -> tuple[tuple[str, ...], float]:
    """Return a text in two lines, if its letters can be that small, or more; and their size."""
    while len(lines := lines_of(text, width, size)) > 2 and size > LEAST:
        size = round(size - 0.1, 1)
    return lines, size


@lru_cache(maxsize=64)  # most are said of every book; sentences are measured, then written
def lines_of(text: str, width: float, size: float) -> tuple[str, ...]:
    """Return a text in lines of at most `width` mm, by the mean width of its letters.

    >>> lines_of("adequate: one layer of 7 mil", 30.0, 2.9)
    ('adequate: one', 'layer of 7 mil')
    """
    return tuple(textwrap.wrap(text, max(1, int(width / (LETTER * size)))) or [""])


def fitted(text: str, width: float, size: float) -> str:
    """Return the text, shortened with an ellipsis where it would be wider than `width` mm.

    >>> fitted("A long title of which the end is cut off 植物図鑑", 40.0, 6.0)
    'A long ti…'
    """
    if not is_usual(text):
        text = shortened(text, width, size, bold=True)  # the wider letters
        if not is_usual(text):
            return text  # drawn as measured; else in letters of the viewer's, as below
    most = int(width / (LETTER * size))
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
