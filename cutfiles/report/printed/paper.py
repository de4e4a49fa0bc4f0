"""Pages to print, as PDF: mm, y up, black and white, any script, the same bytes every time."""

import io
import math
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise
from threading import Lock
from typing import Any, Literal, NamedTuple

from cutfiles.late import without
from cutfiles.plane.shapes import Anchor, Box, rectangle
from cutfiles.report.printed.content import Content, Place
from cutfiles.report.script import runs, shortened, width_of, wrapped
from cutfiles.version import VERSION

PaperName = Literal["A4", "Letter"]
MM = 72 / 25.4
"""Points a millimetre."""
CAPITAL = 0.729
"""Height of capitals over font size, of DejaVu Sans (read from the font)."""
DASHED = (2.4, 1.2)
DASH_DOUBLE_DOT = (4.0, 0.9, 0.7, 0.9, 0.7, 0.9)
DOTTED = (0.5, 0.8)
INK, SOFT, PALE, WHITE = 0.0, 0.4, 0.88, 1.0
"""Greys: 0 black, 1 white."""


class Size(NamedTuple):
    """Width and height of a page, mm."""

    width: float
    height: float


PAPERS: dict[PaperName, Size] = {"A4": Size(210.0, 297.0), "Letter": Size(215.9, 279.4)}
"""A4: ISO 216. Letter: 8 1/2 × 11 in."""
MARGIN = 10.0
"""What printers leave blank and a little more, mm."""
LEAST = 2.5
"""The smallest letters of any page, mm: 7.1 points. Labels for small film have smaller ones."""


_SAVING = Lock()
"""One page is saved at a time: what reportlab is told meanwhile holds for all of a process."""


@contextmanager
def _bytes_as_they_are() -> Iterator[None]:
    """Let reportlab write streams as bytes: as letters they are a quarter more.

    Its switch is global; what others draw in this process is left as it was.
    """
    from reportlab import rl_config

    with _SAVING:
        before, rl_config.useA85 = rl_config.useA85, 0
        try:
            yield
        finally:
            rl_config.useA85 = before


class Paper:
    """Collects pages; `pdf` gives the finished file."""

    def __init__(
        self, paper: PaperName, title: str, *, landscape: bool = False, least: float = LEAST
    ) -> None:
        with without({"PIL.Image": {}}):  # it draws no picture of dots: a fifth of loading it
            from reportlab.pdfgen.canvas import Canvas

        size = PAPERS[paper]
        self.size = Size(size.height, size.width) if landscape else size
        self.least = least
        self._out = io.BytesIO()
        self._canvas: Any = Canvas(
            self._out,
            pagesize=(self.size.width * MM, self.size.height * MM),
            invariant=1,
            pageCompression=1,
        )
        self._canvas.setTitle(title)
        self._canvas.setAuthor("")
        self._canvas.setCreator(f"cutfiles {VERSION}")
        self._canvas.setViewerPreference("PrintScaling", "None")
        self._page = Content(self._canvas)

    @property
    def box(self) -> Box:
        """The part of the page that printers reach, mm."""
        return Box(MARGIN, MARGIN, self.size.width - MARGIN, self.size.height - MARGIN)

    def new_page(self) -> None:
        """End this page and begin another."""
        self._end()
        self._page = Content(self._canvas)

    def _end(self) -> None:
        self._canvas.addLiteral(self._page.end())
        self._canvas.showPage()

    def pdf(self) -> bytes:
        """Return the file."""
        self._end()
        with _bytes_as_they_are():
            self._canvas.save()
        return self._out.getvalue()

    # -- text -----------------------------------------------------------------------------------

    def text(
        self,
        at: Place,
        text: str,
        size: float,
        *,
        bold: bool = False,
        anchor: Anchor = "start",
        width: float | None = None,
        least: float | None = None,
        upright: bool = False,
        grey: float = INK,
    ) -> float:
        """Write a line, its baseline at a place; return its width.

        Args:
            at: where its baseline begins, or has its middle or end.
            text: any script.
            size: of the font, mm.
            bold: heavier.
            anchor: which part of the line stands at the place.
            width: room for it; a longer line is made smaller, then shortened with an ellipsis.
            least: smallest size it is made, mm; without it, it is only shortened.
            upright: whether it reads from the bottom up.
            grey: 0 black to 1 white.

        """
        if width is not None:
            wide = width_of(text, size, bold=bold)
            if wide > width and least is not None:
                fitting = math.floor(100 * size * width / wide) / 100  # as a page tells it
                size = max(least, self.least, fitting)
            text = shortened(text, width + 1e-6, size, bold=bold)
        long = width_of(text, size, bold=bold)
        back = {"start": 0.0, "middle": long / 2, "end": long}[anchor]
        drawn = runs(text, bold=bold)
        if upright:
            self._page.upright((at[0], at[1] - back), drawn, size, grey)
        else:
            self._page.letters((at[0] - back, at[1]), drawn, size, grey)
        return long

    def paragraph(
        self,
        at: Place,
        text: str,
        width: float,
        size: float,
        *,
        bold: bool = False,
        leading: float = 1.25,
        most: int | None = None,
        grey: float = INK,
        lead: str = "",
    ) -> float:
        """Write a text in lines, the first one's top at a place; return y below the last one.

        Args:
            at: upper left corner.
            text: any script.
            width: of the lines, mm.
            size: of the font, mm.
            bold: heavier.
            leading: from line to line, in sizes.
            most: lines; what is over is left out with an ellipsis.
            grey: 0 black to 1 white.
            lead: bold words that the first line begins with.

        """
        indent = width_of(lead, size, bold=True) + 0.3 * size if lead else 0.0
        lines = wrapped(text, width, size, bold=bold, indent=indent)
        if most is not None and len(lines) > most:
            rest = " ".join(lines[most - 1 :])
            lines = [*lines[: most - 1], shortened(rest, width, size, bold=bold)]
        x, y = at
        if lead:
            self.text((x, y - size), lead, size, bold=True, grey=grey)
        for i, line in enumerate(lines):
            self.text((x + (0 if i else indent), y - size), line, size, bold=bold, grey=grey)
            y -= leading * size
        return y

    # -- lines ----------------------------------------------------------------------------------

    def line(
        self,
        points: Sequence[Place],
        *,
        width: float = 0.2,
        dashes: Sequence[float] = (),
        phase: float = 0.0,
        closed: bool = False,
        fill: float | None = None,
        grey: float | None = INK,
    ) -> None:
        """Draw straight lines through the points.

        Args:
            points: where they run.
            width: of the line, mm.
            dashes: lengths of dashes and gaps, mm.
            phase: where in the dashes the line begins, mm.
            closed: whether the last point is joined to the first.
            fill: grey inside, None for none.
            grey: of the line, None for none.

        """
        self._page.path(points, width, dashes, fill, grey, phase, closed=closed)

    def box_line(
        self,
        box: Box,
        *,
        width: float = 0.2,
        dashes: Sequence[float] = (),
        fill: float | None = None,
        grey: float | None = INK,
    ) -> None:
        """Draw a box; see `line`."""
        corners = rectangle(box).points
        self.line(corners, width=width, dashes=dashes, closed=True, fill=fill, grey=grey)

    def filled(self, box: Box, grey: float) -> None:
        """Fill a box."""
        corners = rectangle(box).points
        self._page.path(corners, 0.0, fill=grey, grey=None, closed=True)

    def pixels(self, at: Place, size: float, boxes: Iterable[tuple[int, int, int, int]]) -> None:
        """Fill boxes of a grid: left, bottom, width and height of each in whole squares of it.

        Args:
            at: lower left corner of the grid.
            size: of its squares, mm.
            boxes: that do not overlap.

        """
        self._page.squares(at, size, boxes)

    def disc(self, centre: Place, radius: float, grey: float) -> None:
        """Fill a circle: the dot that a round pen of its width makes, a tenth of its curves' bytes.

        Source: ISO 32000-1 §8.5.3.2, a subpath of one point stroked with round caps.
        """
        self._page.path([centre, centre], round(2 * radius, 2), grey=grey, cap=1)

    def ring(self, centre: Place, radius: float, text: str) -> None:
        """Write a short text in a circle."""
        self.rings(radius, [(centre, text)])

    def rings(self, radius: float, told: Sequence[tuple[Place, str]]) -> None:
        """Write short texts in circles of one size, none on another: the pen turns once for all."""
        for more, grey in ((0.1, INK), (-0.1, WHITE)):
            for centre, _ in told:
                self.disc(centre, radius + more, grey)
        size = radius * 1.25
        for (x, y), text in told:
            at, wide = (x, y - size * CAPITAL / 2), 1.8 * radius
            self.text(at, text, size, bold=True, anchor="middle", width=wide, least=self.least)

    def arrow(self, points: Sequence[Place], *, width: float = 0.35, head: float = 1.6) -> None:
        """Draw a line that ends in a filled arrow head."""
        ux, uy = _way(points[-2], points[-1])
        (x, y), tip = points[-1], points[-1]
        self.line([*points[:-1], (x - head * ux, y - head * uy)], width=width)
        self._head(tip, (ux, uy), head)

    def bow(self, points: Sequence[Place], *, width: float = 0.35, head: float = 1.6) -> None:
        """Draw cubic curves that end in a filled arrow head: three places after each before."""
        last = _less(points[-4:], head)
        self._page.curve([*points[:-4], *last], width)
        self._head(points[-1], _way(last[-1], points[-1]), head)

    def _head(self, tip: Place, way: Place, long: float) -> None:
        """Fill an arrow's head."""
        (x, y), (ux, uy) = tip, way
        x, y, side = x - long * ux, y - long * uy, 0.4 * long
        corners = [tip, (x - side * uy, y + side * ux), (x + side * uy, y - side * ux)]
        self.line(corners, closed=True, fill=INK, grey=None)

    def ruled(self, lefts: Sequence[float], top: float, row: float, count: int) -> float:
        """Draw the lines of a table to write in; return y of its last one.

        Args:
            lefts: where its columns begin, and where the last one ends.
            top: y of its first line.
            row: height of a row, mm.
            count: of rows.

        """
        for i in range(count + 1):
            self.line([(lefts[0], top - row * i), (lefts[-1], top - row * i)])
        bottom = top - row * count
        for x in lefts:
            self.line([(x, top), (x, bottom)], width=0.15)
        return bottom

    def dimension(self, a: Place, b: Place) -> None:
        """Draw a dimension line between two places, a short tick across each end."""
        self.line([a, b], width=0.13)
        level = abs(a[1] - b[1]) < abs(a[0] - b[0])
        for x, y in (a, b):
            dx, dy = (0.0, 0.9) if level else (0.9, 0.0)
            self.line([(x - dx, y - dy), (x + dx, y + dy)], width=0.25)

    def bar(self, at: Place, length: float, label: str) -> None:
        """Draw a bar of a true length, its lower left end at a place, a tick every 10 mm."""
        x, y = at
        self.line([(x, y), (x + length, y)], width=0.25)
        for i in range(int(length / 10) + 1):
            tall = 3.0 if i in (0, int(length / 10)) else 1.6
            self.line([(x + 10 * i, y), (x + 10 * i, y + tall)], width=0.25)
        self.text((x + length / 2, y + 2.4), label, LEAST, anchor="middle")


def _way(a: Place, b: Place) -> Place:
    """Return the direction from a place to another."""
    (ax, ay), (bx, by) = a, b
    span = math.hypot(bx - ax, by - ay) or 1.0
    return (bx - ax) / span, (by - ay) / span


def _less(curve: Sequence[Place], head: float) -> list[Place]:
    """Return a cubic curve as far as it is an arrow's head off its end."""
    low, high = 0.0, 1.0
    for _ in range(12):  # to a four-thousandth of the curve
        t = (low + high) / 2
        part = _first(curve, t)
        low, high = (t, high) if math.dist(part[-1], curve[-1]) > head else (low, t)
    return part


def _first(curve: Sequence[Place], t: float) -> list[Place]:
    """Return the first part of a cubic curve, as far as t, by parting its sides (de Casteljau)."""
    left, sides = [], [*curve]
    while sides:
        left.append(sides[0])
        sides = [(ax + t * (bx - ax), ay + t * (by - ay)) for (ax, ay), (bx, by) in pairwise(sides)]
    return left
