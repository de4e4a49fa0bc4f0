"""The pass card: a page for each pass of a plan, to stand beside the machine with.

It shows the pass as it lies on the bed, how to lay and turn the sheet, which tool works what, where
the marks are and two of them to measure, in the order of the work.
"""

from collections.abc import Iterator, Sequence

from cutfiles.files.formats import FORMATS
from cutfiles.files.passes import pass_file_name, pass_options
from cutfiles.machine.endings import MARKS
from cutfiles.machine.marks import shown_place, to_measure
from cutfiles.machine.passes import CutPlan, Pass, scale_check
from cutfiles.machine.plan import lie_of
from cutfiles.machine.time import time_text
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import path_length
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.paper import LEAST, SOFT, Paper, PaperName
from cutfiles.report.printed.pass_drawing import bed_drawing, head_told, pass_drawing, turn_drawing
from cutfiles.report.script import wrapped
from cutfiles.version import VERSION
from cutfiles.words.cautions import KNIFE, LASER

_TEXT, _SMALL, _HEAD = 2.9, LEAST, 3.6
_LEADING, _GAP = 1.25 * _SMALL, 1.5
"""From line to line of a table, and from row to row, mm."""
_SIDE = 58.0
"""Breadth of the column beside the drawing, mm."""
_WORK = {
    Role.REGISTRATION: "marks",
    Role.LABEL: "label",
    Role.VALLEY: "score, valley",
    Role.MOUNTAIN: "score, mountain",
    Role.HOLES: "cut, holes",
    Role.OUTLINE: "cut, outline",
}


def pass_card(plan: CutPlan, stem: str, paper: PaperName = "A4") -> bytes:
    """Return the pass card as PDF, a page for each pass in the order of the work.

    Args:
        plan: what one cutter does with a sheet.
        stem: what the names of its files begin with.
        paper: A4 or Letter.

    """
    page = Paper(paper, f"{stem}, pass card")
    for number, one in enumerate(plan.passes):
        if number:
            page.new_page()
        _Page(page, plan, stem, number, one).draw()
    return page.pdf()


class _Page:
    def __init__(self, page: Paper, plan: CutPlan, stem: str, number: int, one: Pass) -> None:
        self.page, self.plan, self.stem = page, plan, stem
        self.number, self.one, self.box = number, one, page.box
        self.before = plan.passes[number - 1] if number else None
        self.turned = self.before is not None and self.before.face != one.face

    def draw(self) -> None:
        top = self._head()
        rows, steps = list(_tools(self.plan, self.one)), list(self._steps())
        low = self.box.bottom + 5.0
        cautions = self._measured(self.caution)
        half = self.box.left + 0.55 * self.box.width
        tools = self._tools_grid(rows, half - 4.0 - self.box.left)
        places = self._places_grid(self.box.right - half)
        tables = 8.0 + max(tools.height, places.height)
        words = 7.0 + sum(self._measured(step) + 0.8 for step in steps)
        below = low + cautions + tables + words + 4.0
        column = self.box.right - _SIDE
        pass_drawing(
            self.page,
            self.plan,
            self.one,
            Box(self.box.left + 6.0, below + 8.0, column - 5.0, top - 2.0),
        )
        self._beside(Box(column, below, self.box.right, top))
        y = self._section(below, "In this order")
        for i, step in enumerate(steps, 1):
            y = self.page.paragraph((self.box.left, y), step, self.box.width, _TEXT, lead=str(i))
            y -= 0.8
        tools.draw(self.page, (self.box.left, y - 1.0))
        places.draw(self.page, (half, y - 1.0))
        self.page.paragraph(
            (self.box.left, low + cautions), self.caution, self.box.width, _TEXT, lead="Take care"
        )
        said = f"{self.stem} · {self.plan.cutter.name} · cutfiles {VERSION}"
        self.page.text((self.box.left, self.box.bottom), said, _SMALL, grey=SOFT)

    @property
    def caution(self) -> str:
        """What to beware of before anything moves."""
        own = LASER if self.plan.cutter.kind == "laser" else KNIFE
        on_pins = self.one.face != self.plan.passes[0].face
        pins = " Pins stand lower than the tool travels, or come out first." if on_pins else ""
        return f"Before anything moves: {own}.{pins} No hand on the bed while it runs."

    def _measured(self, text: str) -> float:
        """Return how high a paragraph will be, mm, room left for what leads it."""
        return 1.25 * _TEXT * len(wrapped(text, self.box.width - 18.0, _TEXT))

    def _section(self, y: float, title: str) -> float:
        left, right = self.box.left, self.box.right
        self.page.line([(left, y), (right, y)], width=0.15, grey=SOFT)
        self.page.text((left, y - 4.2), title, _HEAD, bold=True)
        return y - 5.6

    def _head(self) -> float:
        page, plan, one, box = self.page, self.plan, self.one, self.box
        said = f"pass {self.number + 1} of {len(plan.passes)}"
        page.text((box.left, box.top - 6.0), self.stem, 6.0, bold=True, width=110.0, least=3.0)
        page.text((box.right, box.top - 6.0), said, 6.0, bold=True, anchor="end", width=75.0)
        lie = lie_of(plan, one)
        up = f"{one.face} face up, head {head_told(lie)}"
        frame = f", frame {one.frame} of {one.frames}" if one.frames > 1 else ""
        page.text((box.left, box.top - 13.0), up + frame, 4.6, bold=True, width=box.width)
        facts = dict(plan.drawing.facts)
        film = " · ".join(
            part
            for part in (
                f"film {facts['gauge']}" if "gauge" in facts else "",
                f"film lot {plan.lot}" if plan.lot else "film lot __________",
                f"{plan.cutter.name}, scores by {plan.cutter.method}",
                f"about {time_text(one.seconds)}, {one.worked / 1000:.1f} m worked",
            )
            if part
        )
        y = page.paragraph((box.left, box.top - 15.0), film, box.width, _TEXT)
        keys = plan.cutter.formats
        names = [pass_file_name(self.stem, one, FORMATS[key], plan.cutter) for key in keys]
        files = "file: " + " or ".join(names)
        return page.paragraph((box.left, y - 0.4), files, box.width, _TEXT) - 2.0

    # -- beside the drawing ---------------------------------------------------------------------

    def _beside(self, box: Box) -> None:
        """Draw where on the bed the sheet lies, and how it was turned."""
        page, y = self.page, box.top - 3.0
        room = (box.height - 16.0) / (2 if self.turned else 1)
        if self.turned:
            page.text((box.left, y), f"turn it over, {self.plan.cutter.turn}", _TEXT, bold=True)
            lie = lie_of(self.plan, self.before or self.one)
            turn_drawing(page, lie, Box(box.left, y - room, box.right, y - 2.0))
            y -= room + 6.0
        bed = self.plan.cutter.bed
        page.text((box.left, y), "on the bed, from above", _TEXT, bold=True)
        bed_box = Box(box.left + 4.0, y - min(room, 62.0), box.right - 4.0, y - 5.0)
        bed_drawing(page, self.plan, self.one, bed_box)
        said = f"bed {bed.width:.0f} × {bed.length:.0f} mm; 0, x and y as the machine counts"
        page.paragraph((box.left, bed_box.bottom - 3.0), said, box.width, _SMALL)

    # -- in words -------------------------------------------------------------------------------

    def _steps(self) -> Iterator[str]:
        plan, one = self.plan, self.one
        if self.before is None:
            yield (
                f"Lay the sheet {one.drawing.width:.0f} × {one.drawing.height:.0f} mm or more into "
                "the corner drawn, flat and held all over."
            )
        elif self.turned:
            yield (
                f"Turn the sheet over, {plan.cutter.turn}, and lay it on its three pins: they fit "
                "in one way only. Where the bed takes no pins, lay it by the marks."
            )
        else:
            how = "Feed" if plan.cutter.bed.tiles == "feed" else "Shift"
            yield (
                f"{how} the film on, without turning it, until the marks of the frame before lie "
                "where the table says."
            )
        if one in to_measure(plan):
            yield (
                "Find the marks with the machine's own pointer, tool up, and write where it shows "
                f"them into {self.stem}{MARKS}; then have the pass aligned, and cut the aligned "
                "one. Where all lie within 0.2 mm, the pass can be cut as it is."
            )
        apart = scale_check(one)
        if apart is not None and self.before is not None:
            yield f"Measure with a rule on the film: {apart.text}. More than 0.5 mm off: stop here."
        yield (
            "Open or send the file named above; 100 %, no scaling, no rotating, no sorting. Check "
            "the table of tools. Run it once with the tool up or the beam off."
        )
        yield "Start it. Stay with it to its end."
        if apart is not None and self.before is None:
            yield (
                f"Measure with a rule on the film: {apart.text}. More than 0.5 mm off: the scale "
                "is wrong, go no further."
            )
        if self.number + 1 == len(plan.passes):
            yield "Last pass: lift the pieces out, and look along the edges for a snag."
        elif plan.passes[self.number + 1].face == one.face:
            yield "Leave the sheet as it is: the next frame goes on from here."
        else:
            yield "Take nothing out: the next pass needs the whole sheet with its pin holes."

    # -- tables ---------------------------------------------------------------------------------

    def _tools_grid(self, rows: Sequence[tuple[str, ...]], width: float) -> "_Grid":
        heads = ("work", *(FORMATS[key].title for key in self.plan.cutter.formats), "lines", "m")
        parts = [2.2, *(2.4 for _ in self.plan.cutter.formats), 0.9, 0.8]
        return _Grid([heads, *rows], parts, width)

    def _places_grid(self, width: float) -> "_Grid":
        bed = self.plan.cutter.bed
        heads = (f"mark, {bed.shows}", "x", "y", "x found", "y found")
        rows = [(mark.name, *shown_place(mark, bed), "", "") for mark in self.one.marks]
        return _Grid([heads, *rows], [2.0, 1.2, 1.2, 1.4, 1.4], width)


class _Grid:
    """A table whose cells take as many lines as they need."""

    def __init__(
        self, rows: Sequence[tuple[str, ...]], parts: Sequence[float], width: float
    ) -> None:
        unit = width / sum(parts)
        self.widths = [part * unit for part in parts]
        self.cells = [
            [
                wrapped(cell, wide - 1.0, _SMALL, bold=not i)
                for cell, wide in zip(row, self.widths, strict=True)
            ]
            for i, row in enumerate(rows)
        ]
        self.heights = [_LEADING * max(1, *map(len, row)) + _GAP for row in self.cells]

    @property
    def height(self) -> float:
        """How high it is, mm."""
        return sum(self.heights)

    def draw(self, page: Paper, at: tuple[float, float]) -> None:
        """Draw it, its upper left corner at a place."""
        left, y = at
        right = left + sum(self.widths)
        for n, (row, height) in enumerate(zip(self.cells, self.heights, strict=True)):
            x = left
            for cell, wide in zip(row, self.widths, strict=True):
                for i, line in enumerate(cell):
                    level = y - _LEADING * i - _SMALL - 0.3
                    page.text((x + 0.6, level), line, _SMALL, bold=not n)
                x += wide
            y -= height
            page.line([(left, y), (right, y)], width=0.1, grey=SOFT)


def _tools(plan: CutPlan, one: Pass) -> Iterator[tuple[str, ...]]:
    """Yield in the order of the work what is done, on which layer or with which pen, how much."""
    options = pass_options(plan, one)
    forms = [FORMATS[key] for key in plan.cutter.formats]
    found: dict[tuple[str, ...], list[float]] = {}
    for stroke in one.drawing.strokes:
        cells = [_WORK[stroke.role]]
        for form in forms:
            layer = form.layer(stroke, options) or "left out"
            colour = form.colour(stroke.role, options)
            said = f"pen {layer}" if form.pens else layer
            cells.append(f"{said} {colour}" if colour else said)
        found.setdefault(tuple(cells), []).append(path_length(stroke.path))
    for key, lengths in found.items():
        yield (*key, str(len(lengths)), f"{sum(lengths) / 1000:.2f}")
