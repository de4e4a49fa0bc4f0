"""Sheets for a whole exhibit, in the order given: case card, strap card, cut card.

Each takes plain rows, so that whoever knows the exhibit fills them, and gives a PDF of as many
pages as the rows need, its header on every page.
"""

from collections import Counter
from collections.abc import Sequence
from typing import Literal

from cutfiles.dataclass import dataclass
from cutfiles.lengths import Lengths
from cutfiles.report.printed.paper import LEAST, SOFT, Paper, PaperName
from cutfiles.report.script import wrapped
from cutfiles.units import Units
from cutfiles.words.counts import counted, supports_told

_SIZE, _LEADING, _PAD = 2.7, 1.25, 1.3
_FOOT = LEAST


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseRow:
    """One support as it is installed.

    Attributes:
        case: which case it goes to.
        place: where in the case.
        number: of the support.
        title: of the book.
        opening: the place it is open at.
        note: what to mind: verdict, straps, do-nots.
        of: what stands there: a support, one for a trial only, or a book without one.

    """

    case: str
    number: str
    title: str = ""
    opening: str = ""
    place: str = ""
    note: str = ""
    of: Literal["support", "trial", "nothing"] = "support"


@dataclass(frozen=True, slots=True, kw_only=True)
class StrapRow:
    """One strap to cut; lengths in mm.

    Attributes:
        number: of the support.
        side: ``left`` or ``right``.
        kind: what it is made of.
        width: of the strap.
        cut_length: of the piece.
        from_fore_edge: from the fore edge to the strap.
        title: of the book.

    """

    number: str
    side: str
    kind: str
    width: float
    cut_length: float
    from_fore_edge: float
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """One sheet of film to cut.

    Attributes:
        sheet: its number or name.
        film: gauge and kind.
        size: of the sheet, as text.
        pieces: numbers of the supports on it.
        files: what to send, or the tool and face, as text.
        time: how long, as text.

    """

    sheet: str
    film: str
    size: str = ""
    pieces: str = ""
    files: str = ""
    time: str = ""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table to print.

    Attributes:
        title: of the column.
        share: of the width.
        bold: whether its texts are.
        right: whether they end at its right edge.
        most: lines of a text that are printed.

    """

    title: str
    share: float
    bold: bool = False
    right: bool = False
    most: int = 3


def case_card(exhibit: str, rows: Sequence[CaseRow], paper: PaperName = "A4") -> bytes:
    """Return the case card: what stands where, in the order of the rows, a box to tick each."""
    columns = (
        Column("case", 1.2, bold=True),
        Column("place", 1.2),
        Column("number", 1.6, bold=True),
        Column("title", 4.5),
        Column("opening", 2.5),
        Column("mind", 4.0),
    )
    cells = [(r.case, r.place, r.number, r.title, r.opening, r.note) for r in rows]
    of = Counter(row.of for row in rows)
    told = supports_told(of["support"] + of["trial"], of["trial"], of["nothing"])
    foot = f"{told} · a conservator places the books; check straps and rocking"
    return table_card("Case card", exhibit, columns, cells, foot, paper)


def strap_card(
    exhibit: str, rows: Sequence[StrapRow], paper: PaperName = "A4", units: Units = "mm"
) -> bytes:
    """Return the strap card: every strap to cut, and how much of each width in all."""
    columns = (
        Column("number", 1.6, bold=True),
        Column("title", 4.0),
        Column("side", 1.0),
        Column("kind", 2.8),
        Column("width", 1.6, right=True),
        Column("cut", 2.0, right=True),
        Column("from fore edge", 2.0, right=True),
    )
    cells = [
        (
            r.number,
            r.title,
            r.side,
            r.kind,
            Lengths(units).measured(r.width),
            Lengths(units).measured(r.cut_length),
            Lengths(units).measured(r.from_fore_edge),
        )
        for r in rows
    ]
    totals: dict[tuple[str, float], float] = {}
    for row in rows:
        key = (row.kind, row.width)
        totals[key] = totals.get(key, 0.0) + row.cut_length
    foot = " · ".join(
        f"{kind} {Lengths(units).measured(width)}: {length / 1000:.2f} m in all"
        for (kind, width), length in sorted(totals.items())
    )
    return table_card("Strap card", exhibit, columns, cells, foot or "no straps", paper)


def cut_card(
    exhibit: str, rows: Sequence[CutRow], paper: PaperName = "A4", totals: Sequence[str] = ()
) -> bytes:
    """Return the cut card: sheets of film in the order they are cut, and what all takes."""
    columns = (
        Column("sheet", 1.4, bold=True),
        Column("film", 2.6),
        Column("size", 2.2),
        Column("pieces", 4.5),
        Column("files", 3.5),
        Column("time", 1.4, right=True),
    )
    cells = [(r.sheet, r.film, r.size, r.pieces, r.files, r.time) for r in rows]
    foot = (
        f"{counted(len(rows), 'sheet')} · knife: free hand out of the blade's path; laser: "
        "extraction on, watch the whole run; the machine's manual comes first"
    )
    foot = "\n".join((*totals, foot))
    return table_card("Cut card", exhibit, columns, cells, foot, paper)


def table_card(
    kind: str,
    exhibit: str,
    columns: Sequence[Column],
    cells: Sequence[Sequence[str]],
    foot: str,
    paper: PaperName,
) -> bytes:
    """Return a table as PDF, its header on every page."""
    page = Paper(paper, f"{kind}, {exhibit}" if exhibit else kind)
    box, tick = page.box, 5.0
    unit = (box.width - tick) / sum(column.share for column in columns)
    widths = [column.share * unit for column in columns]
    wraps = [
        [
            _cell(text, width, column.bold, column.most)
            for text, width, column in zip(row, widths, columns, strict=True)
        ]
        for row in cells
    ]
    heights = [max(len(lines) for lines in row) * _SIZE * _LEADING + 2 * _PAD for row in wraps]
    feet = [line for text in foot.split("\n") for line in wrapped(text, box.width, _FOOT)]
    pages = _paged(heights, box.height - 23.0 - _FOOT * _LEADING * (len(feet) + 1))
    for i, rows in enumerate(pages):
        if i:
            page.new_page()
        y = _head(page, kind, exhibit, f"page {i + 1} of {len(pages)}", columns, widths, tick)
        for row in rows:
            y = _row(page, wraps[row], columns, widths, y, heights[row], tick)
        for i, line in enumerate(reversed(feet)):
            page.text((box.left, box.bottom + 1.0 + _FOOT * _LEADING * i), line, _FOOT)
    return page.pdf()


def _cell(text: str, width: float, bold: bool, most: int) -> list[str]:
    """Return a cell's lines, the last that may be with an ellipsis where more is left."""
    lines = wrapped(text, width - 2 * _PAD, _SIZE, bold=bold)
    if len(lines) > most:
        lines = [*lines[: most - 1], lines[most - 1][:-1].rstrip() + "…"]
    return lines or [""]


def _paged(heights: Sequence[float], room: float) -> list[list[int]]:
    """Return the rows of each page."""
    pages: list[list[int]] = [[]]
    used = 0.0
    for i, height in enumerate(heights):
        if pages[-1] and used + height > room:
            pages.append([])
            used = 0.0
        pages[-1].append(i)
        used += height
    return pages


def _head(
    page: Paper,
    kind: str,
    exhibit: str,
    number: str,
    columns: Sequence[Column],
    widths: Sequence[float],
    tick: float,
) -> float:
    box = page.box
    used = page.text((box.left, box.top - 5.5), kind, 6.0, bold=True)
    page.text((box.left + used + 4.0, box.top - 5.5), exhibit, 3.6, width=box.width - used - 32.0)
    page.text((box.right, box.top - 5.5), number, 2.6, anchor="end")
    x, y = box.left + tick, box.top - 13.0
    for column, width in zip(columns, widths, strict=True):
        at, anchor = (x + width - _PAD, "end") if column.right else (x + _PAD, "start")
        page.text(
            (at, y),
            column.title,
            LEAST,
            anchor="end" if anchor == "end" else "start",
            grey=SOFT,
            width=width - 1.0,
            least=LEAST,
        )
        x += width
    page.line([(box.left, y - 1.5), (box.right, y - 1.5)], width=0.3)
    return y - 1.5


def _row(
    page: Paper,
    row: Sequence[Sequence[str]],
    columns: Sequence[Column],
    widths: Sequence[float],
    y: float,
    height: float,
    tick: float,
) -> float:
    left = page.box.left
    page.line(
        [
            (left, y - _PAD - 2.8),
            (left + 2.8, y - _PAD - 2.8),
            (left + 2.8, y - _PAD),
            (left, y - _PAD),
        ],
        closed=True,
    )
    x = left + tick
    for lines, column, width in zip(row, columns, widths, strict=True):
        for i, line in enumerate(lines):
            at = x + width - _PAD if column.right else x + _PAD
            page.text(
                (at, y - _PAD - _SIZE * (0.85 + _LEADING * i)),
                line,
                _SIZE,
                bold=column.bold,
                anchor="end" if column.right else "start",
            )
        x += width
    page.line([(left, y - height), (page.box.right, y - height)], width=0.1, grey=SOFT)
    return y - height
