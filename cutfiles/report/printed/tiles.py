"""Drawings at full size over several pages: frames that overlap, crosses on both, a page map.

Lines are cut at a page's frame, so that a page holds exactly what it shows and the pages can be
joined again by their numbers.
"""

import itertools
import math
from collections.abc import Iterator, Sequence

from cutfiles.dataclass import dataclass
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Box
from cutfiles.report.pictures.canvas import CAPITAL, DESCENT
from cutfiles.report.pictures.naming import kept_box, outline_of
from cutfiles.report.printed.paper import (
    DOTTED,
    INK,
    LEAST,
    MARGIN,
    PAPERS,
    SOFT,
    WHITE,
    Paper,
    PaperName,
    Size,
)
from cutfiles.report.script import from_left, plain, width_of

OVERLAP = 12.0
"""What neighbouring pages both show, mm."""
_STRIP = 14.0
"""Above the frame, for what the page is, mm."""
_CROSS = 3.0

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight or broken line of a drawing at full size.

    Attributes:
        points: where it runs, mm; a closed one comes back to its first point.
        width: mm.
        dashes: lengths of dashes and gaps, mm.

    """

    points: tuple[Place, ...]
    width: float = 0.25
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Word:
    """A text of a drawing at full size, shown on the page that holds its middle best.

    Attributes:
        text: any script.
        at: the middle of its baseline, mm.
        size: of the font, mm.
        room: width it may take, mm; a longer one is made smaller.

    """

    text: str
    at: Place
    size: float = 3.5
    room: float = 150.0


@dataclass(frozen=True, slots=True)
class Tile:
    """One page of a drawing.

    Attributes:
        row: from the top, 0 upwards.
        column: from the left, 0 upwards.
        frame: what it shows of the drawing, mm.

    """

    row: int
    column: int
    frame: Box

    @property
    def name(self) -> str:
        """Letter of the row, number of the column: ``B3``."""
        return f"{_letters(self.row)}{self.column + 1}"


@dataclass(frozen=True, slots=True)
class Tiling:
    """How a drawing is spread over pages.

    Attributes:
        paper: A4 or Letter.
        landscape: whether the pages lie across.
        rows: of pages.
        columns: of pages.
        tiles: row by row, from the upper left.

    """

    paper: PaperName
    landscape: bool
    rows: int
    columns: int
    tiles: tuple[Tile, ...]


def tiling(drawing: Box, paper: PaperName) -> Tiling:
    """Return the pages for a drawing, upright or across, whichever takes fewer."""
    upright, across = (_tiled(drawing, paper, landscape) for landscape in (False, True))
    return across if len(across.tiles) < len(upright.tiles) else upright


def _tiled(drawing: Box, paper: PaperName, landscape: bool) -> Tiling:
    size = PAPERS[paper]
    room = room_of(Size(size.height, size.width) if landscape else size)
    columns, rows = _count(drawing.width, room.width), _count(drawing.height, room.height)
    wide = room.width * columns - OVERLAP * (columns - 1)
    tall = room.height * rows - OVERLAP * (rows - 1)
    left = drawing.centre.x - wide / 2
    top = drawing.centre.y + tall / 2
    tiles = []
    for row, column in itertools.product(range(rows), range(columns)):
        x = left + column * (room.width - OVERLAP)
        y = top - row * (room.height - OVERLAP)
        tiles.append(Tile(row, column, Box(x, y - room.height, x + room.width, y)))
    return Tiling(paper, landscape, rows, columns, tuple(tiles))


def room_of(size: Size) -> Box:
    """Return where the frame stands on a page, mm."""
    return Box(MARGIN, MARGIN, size.width - MARGIN, size.height - MARGIN - _STRIP)


def _count(length: float, room: float) -> int:
    return max(1, math.ceil((length - OVERLAP - 1e-9) / (room - OVERLAP)))


def _letters(row: int) -> str:
    return (
        chr(ord("A") + row) if row < 26 else f"{chr(ord('A') + row // 26 - 1)}{_letters(row % 26)}"
    )


def tiled_pdf(
    title: str, hint: str, lines: Sequence[Line], words: Sequence[Word], plan: Tiling
) -> bytes:
    """Return the pages of a drawing as PDF.

    Args:
        title: what it is, on every page.
        hint: how to use it, on every page.
        lines: of the drawing, mm.
        words: of the drawing.
        plan: as `tiling` gave it.

    """
    paper = Paper(plan.paper, plain(title), landscape=plan.landscape)
    crosses = _crosses(plan)
    for i, tile in enumerate(plan.tiles):
        if i:
            paper.new_page()
        room = room_of(paper.size)
        dx, dy = room.left - tile.frame.left, room.bottom - tile.frame.bottom
        drawn = [run for line in lines for run in _draw(paper, line, tile.frame, dx, dy)]
        here = [(name, (x + dx, y + dy)) for name, (x, y) in crosses if _inside((x, y), tile.frame)]
        drawn += [arm for _, at in here for arm in _cross(paper, at)]
        for name, (x, y) in here:
            _name(paper, Word(name, (x, y), LEAST), (x + 0.8, y + 0.8), drawn, room)
        for word in words:
            if _best(plan, word.at) is tile:
                _write(paper, word, (word.at[0] + dx, word.at[1] + dy), drawn, room)
        if len(plan.tiles) > 1:
            paper.box_line(room, width=0.1, dashes=DOTTED, grey=SOFT)
        _strip(paper, title, hint, plan, tile, room)
    return paper.pdf()


def _draw(paper: Paper, line: Line, frame: Box, dx: float, dy: float) -> Iterator[list[Place]]:
    """Draw what a frame shows of a line, its dashes as if the page went on; yield what it drew."""
    along, run, phase = 0.0, list[Place](), 0.0
    period = sum(line.dashes) or 1.0
    runs: list[tuple[list[Place], float]] = []
    for a, b in itertools.pairwise(line.points):
        piece = clipped(a, b, frame)
        if piece is not None:
            start, end = piece
            if run and run[-1] == start:
                run.append(end)
            else:
                run, phase = [start, end], (along + distance(a, start)) % period
                runs.append((run, phase))
        along += distance(a, b)
    for points, begun in runs:
        placed = [(x + dx, y + dy) for x, y in points]
        paper.line(placed, width=line.width, dashes=line.dashes, phase=begun)
        yield placed


def _write(paper: Paper, word: Word, at: Place, drawn: list[list[Place]], room: Box) -> None:
    """Write a text, moved as far as needed to stay inside the frame and off every line."""
    half = min(width_of(word.text, word.size), word.room) / 2
    x = max(room.left + half + 1.0, min(room.right - half - 1.0, at[0]))
    _name(paper, word, (x - half, at[1]), drawn, room)


def _name(paper: Paper, word: Word, at: Place, drawn: list[list[Place]], room: Box) -> None:
    """Write a text from a place on, or as near to it as no line runs through it."""
    wide, below = min(width_of(word.text, word.size), word.room), DESCENT * word.size
    meant = Box(at[0], at[1] - below, at[0] + wide, at[1] + CAPITAL * word.size)
    inner = Box(room.left + 1.0, room.bottom + 1.0, room.right - 1.0, room.top - 1.0)
    box = kept_box(meant, drawn, inner)
    drawn.append(outline_of(box))
    place = (box.centre.x, box.bottom + below)
    paper.text(place, word.text, word.size, anchor="middle", width=word.room, least=LEAST)


def clipped(a: Place, b: Place, box: Box) -> tuple[Place, Place] | None:
    """Return the part of a straight line inside a box (Liang and Barsky's way), or None.

    >>> clipped((-5.0, 1.0), (5.0, 1.0), Box(0.0, 0.0, 2.0, 2.0))
    ((0.0, 1.0), (2.0, 1.0))
    """
    dx, dy = b[0] - a[0], b[1] - a[1]
    first, last = 0.0, 1.0
    for step, room in (
        (-dx, a[0] - box.left),
        (dx, box.right - a[0]),
        (-dy, a[1] - box.bottom),
        (dy, box.top - a[1]),
    ):
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            first = max(first, room / step)
        else:
            last = min(last, room / step)
    if first >= last:
        return None
    start = a if first == 0.0 else (a[0] + first * dx, a[1] + first * dy)
    end = b if last == 1.0 else (a[0] + last * dx, a[1] + last * dy)
    return start, end


def _inside(place: Place, box: Box) -> bool:
    return box.left <= place[0] <= box.right and box.bottom <= place[1] <= box.top


def _best(plan: Tiling, place: Place) -> Tile:
    """Return the page on which a place lies farthest from the frame's edges."""
    return max(
        plan.tiles,
        key=lambda tile: min(
            place[0] - tile.frame.left,
            tile.frame.right - place[0],
            place[1] - tile.frame.bottom,
            tile.frame.top - place[1],
        ),
    )


def _crosses(plan: Tiling) -> list[tuple[str, Place]]:
    """Return alignment crosses, two on every seam of two pages, each with a number."""
    places = []
    by_place = {(tile.row, tile.column): tile.frame for tile in plan.tiles}
    for (row, column), frame in by_place.items():
        if (row, column + 1) in by_place:
            x = frame.right - OVERLAP / 2
            places += [(x, frame.bottom + share * frame.height) for share in (0.75, 0.25)]
        if (row + 1, column) in by_place:
            y = frame.bottom + OVERLAP / 2
            places += [(frame.left + share * frame.width, y) for share in (0.25, 0.75)]
    return [(str(i + 1), place) for i, place in enumerate(places)]


def _cross(paper: Paper, at: Place) -> Iterator[list[Place]]:
    """Draw a cross; yield its arms."""
    x, y = at
    for dx, dy in ((_CROSS, 0.0), (0.0, _CROSS)):
        arm = [(x - dx, y - dy), (x + dx, y + dy)]
        paper.line(arm, width=0.15)
        yield arm


def _strip(paper: Paper, title: str, hint: str, plan: Tiling, tile: Tile, room: Box) -> None:
    """Write above the frame what the page is, with a 50 mm bar and the page map."""
    top = room.top + _STRIP
    cell = min(3.2, 11.0 / plan.rows, 26.0 / plan.columns)
    bar = room.right - 30.0 - 56.0
    count = len(plan.tiles)
    page = "1 page" if count == 1 else f"page {tile.name} of {count}"
    paper.text(
        (room.left, top - 3.5),
        from_left(page, title),
        3.2,
        bold=True,
        width=bar - room.left - 3.0,
        least=LEAST,
    )
    paper.paragraph(
        (room.left, top - 5.0), hint, bar - room.left - 3.0, LEAST, most=4, leading=1.15
    )
    paper.bar((bar, top - 9.0), 50.0, "50 mm")
    for other in plan.tiles:
        x = room.right - (plan.columns - other.column) * cell
        y = top - (other.row + 1) * cell
        box = Box(x, y, x + cell, y + cell)
        paper.box_line(box, width=0.12, fill=INK if other is tile else WHITE)
