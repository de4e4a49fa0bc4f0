"""Labels for the underside of the bases, to cut out: number, opening, side, head, limit, code.

The code (QR, ISO/IEC 18004, drawn by segno) holds the slip's essentials as plain text: any reader
of such codes shows them, without our program.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from cutfiles.bench.book import SIDES, SideName
from cutfiles.draft import Draft
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.marks import draw_mark
from cutfiles.report.printed.paper import DOTTED, LEAST, SOFT, Paper, PaperName
from cutfiles.report.script import wrapped
from cutfiles.support.standing import board_of, initial
from cutfiles.support.states import State
from cutfiles.words.bench import guessed_text
from cutfiles.words.verdict import ESTIMATED

_SIZES = ((62.0, 30.0), (44.0, 24.0), (27.0, 30.0), (20.0, 30.0))
"""Width and height of a label, mm; the largest that fits the base is taken."""
_PITCH = (63.0, 33.0)
_CLEAR = 2.0
_NARROW = 40.0
"""A narrower label has its lines below the code, mm."""
_LINE = 3.0
"""Distance of lines, mm."""
_STEP, _UNDER_HEAD = 6.5, 1.2
"""From line to line of the head (number; side and way up) and under it, a label 30 mm high; mm."""
UNWEIGHED = ESTIMATED.strip(" ()")
"""What a label says of a book that nobody weighed."""
_SHORTEST = 18.0
"""A code for all essentials is at least this wide, mm; a smaller one holds number and revision."""


class Label(NamedTuple):
    """One label, ready to be drawn: its size, mm, and what stands on it."""

    width: float
    height: float
    side: SideName
    number: str
    opening: str
    title: str
    state: State
    limit: str
    revision: str
    code: str


def labels_of(draft: Draft) -> tuple[Label, ...]:
    """Return the labels of a support, one for each base."""
    return tuple(
        Label(
            *label_size(draft, side),
            side,
            draft.slip.book.number,
            draft.slip.opening.label,
            draft.slip.book.title,
            draft.verdict.state,
            ", ".join(said for said in (guessed_text(draft.slip), _limit(draft)) if said),
            draft.revision,
            essentials(draft),
        )
        for side in SIDES
        if draft.support.length("base", side)
    )


def labels_page(drafts: Sequence[Draft], paper: PaperName = "A4") -> bytes:
    """Return the labels of one or more supports as PDF: one for each base.

    Args:
        drafts: the supports, in the order of the sheet.
        paper: A4 or Letter.

    """
    page = Paper(paper, "labels for the bases")
    columns = int(page.box.width / _PITCH[0])
    rows = int((page.box.height - 8.0) / _PITCH[1])
    labels = [label for draft in drafts for label in labels_of(draft)]
    for i, label in enumerate(labels):
        place = i % (columns * rows)
        if i and place == 0:
            page.new_page()
        if place == 0:
            _head(page)
        x = page.box.left + _PITCH[0] * (place % columns)
        y = page.box.top - 8.0 - _PITCH[1] * (place // columns)
        _label(page, label, Box(x, y - label.height, x + label.width, y))
    return page.pdf()


class LabelPaper(NamedTuple):
    """A page of labels that come off it: how many, how large, where the first lies, how far apart.

    All mm: width, height, left and top margin, from one to the next across and down.
    """

    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    across: float
    down: float


LABEL_PAPERS: dict[PaperName, LabelPaper] = {
    "A4": LabelPaper(3, 8, 70.0, 37.0, 0.0, 0.5, 70.0, 37.0),
    "Letter": LabelPaper(3, 10, 66.7, 25.4, 4.8, 12.7, 69.8, 25.4),
}
"""Usual pages of labels: 24 of 70 × 37 mm, 30 of 2 5/8 × 1 in (common practice, no source)."""
LABELS_TITLE = "labels for the bases, on label paper"
"""What a file of them is called in itself."""


def label_paper(labels: Sequence[Label], paper: PaperName = "A4") -> bytes:
    """Return labels as PDF for pages of labels, each in the middle of its own."""
    form = LABEL_PAPERS[paper]
    page = Paper(paper, LABELS_TITLE)
    for i, label in enumerate(labels):
        place = i % (form.columns * form.rows)
        if i and place == 0:
            page.new_page()
        column, row = place % form.columns, place // form.columns
        width, height = _fitted(label, form)
        x = form.left + column * form.across + (form.width - width) / 2
        y = page.size.height - form.top - row * form.down - (form.height - height) / 2
        _label(page, label, Box(x, y - height, x + width, y))
    return page.pdf()


def _fitted(label: Label, form: LabelPaper) -> tuple[float, float]:
    """Return width and height of a label on label paper, mm; a narrow one is only cut short."""
    most = (form.width - 2.0) / label.width, (form.height - 1.0) / label.height
    scale = min(1.0, *most)
    if label.width < _NARROW:
        return label.width, min(label.height, form.height - 1.0)
    return label.width * scale, label.height * scale


def _head(page: Paper) -> None:
    said = "Labels: cut out on the dotted line, stick under the base, the arrow to the head."
    page.text((page.box.left, page.box.top - 3.5), said, 2.6)


def label_size(draft: Draft, side: SideName) -> tuple[float, float]:
    """Return width and height of the label for one base, mm."""
    base = draft.support.length("base", side)
    for width, height in _SIZES:
        if width + 2 * _CLEAR <= base and height + 2 * _CLEAR <= draft.support.breadth:
            return width, height
    return _SIZES[-1]


def _limit(draft: Draft) -> str:
    """Return for what a support holds; that there is no limit where none holds."""
    state = draft.verdict.state
    if state == "another support":
        return "not to be used"
    if state == "make a trial":
        return "no book on it before its trial"
    book, angle = draft.slip.book, draft.slip.opening.opening_angle
    weight = UNWEIGHED if book.weight is None else f"{book.weight:.0f} g"
    return f"limit: {weight}, {angle:.0f}°, this book only"


def essentials(draft: Draft) -> str:
    """Return the slip's essentials in plain text, one a line, lengths in mm."""
    slip = draft.slip
    book, opening, film = slip.book, slip.opening, slip.film
    lines = [
        book.number,
        book.title[:60],
        opening.label[:40],
        f"height {book.height:.1f} mm",
        f"spine {opening.spine_width:.1f} mm",
    ]
    for side in SIDES:
        board = board_of(slip, side)
        lines.append(f"{side} {board.width:.1f} mm {board.slope:.1f} deg")
    lines.append(UNWEIGHED if book.weight is None else f"{book.weight:.0f} g")
    lines.append(f"film {film.layers} x {film.gauge:.4g} mm")
    lines.append(guessed_text(slip))
    lines.append(f"revision {draft.revision}")
    return "\n".join(line for line in lines if line)


def _label(page: Paper, label: Label, box: Box) -> None:
    """Draw a label: number, side, mark, code, verdict, what it holds for; narrow ones less."""
    page.box_line(box, width=0.1, dashes=DOTTED, grey=SOFT)
    if box.width < _NARROW:
        _narrow(page, label, box)
        return
    unit, full = box.height / 30.0, box.width - 3.0
    code = min(22.0, box.height - 4.5, box.width * 0.42)
    # what head and verdict, of two lines, leave for the limit
    most = int((box.height - (2 * _STEP + _UNDER_HEAD) * unit - 2 * _LINE) / _LINE)
    limit = _limit_lines(label.limit, box.width - code - 4.0, full)
    if len(limit.beside) + 1 > most:  # a smaller code, with number and revision, leaves two lines
        code = min(code, box.height - 1.5 - 2 * _LINE)
        limit = _limit_lines(label.limit, box.width - code - 4.0, full, 2)
    text = label.code if code >= _SHORTEST else _short_code(label)
    corner = Box(box.right - code - 1.0, box.top - code - 1.0, box.right - 1.0, box.top - 1.0)
    draw_code(page, text, corner)
    x, room = box.left + 1.5, box.width - code - 4.0
    number, letter = label.number, initial(label.side)
    tall = room > 4 * LEAST  # room for the mark beside both lines
    radius = min(5.0 if tall else 2.6, 0.18 * room / unit) * unit
    centre = (x + room - radius, box.top - 1.6 * unit - radius)
    draw_mark(page, label.state, centre, radius)
    short = room - 2 * radius - 1.0
    y = box.top - _STEP * unit
    page.text((x, y), number, 6.0 * unit, bold=True, width=short, least=LEAST)
    y -= _STEP * unit
    page.text(
        (x, y),
        f"{letter} ↑ head",
        5.0 * unit,
        bold=True,
        width=short if tall else room,
        least=LEAST,
    )
    floor = corner.bottom + _LINE * len(limit.beside)
    y = _beside_code(page, label, Box(x, floor, x + room, y - _UNDER_HEAD * unit))
    _below_code(page, limit, label.revision, Box(x, box.bottom, box.right - 1.5, min(y, floor)))


class _LimitLines(NamedTuple):
    """For what a support holds, in lines: those beside the code, and those below it."""

    beside: tuple[str, ...]
    below: tuple[str, ...]


def _limit_lines(limit: str, column: float, full: float, below: int = 1) -> _LimitLines:
    """Return the limit in as few lines as hold all of it.

    Args:
        limit: what it says.
        column: width of the lines beside the code, mm.
        full: width of those below it, mm.
        below: how many of these there may be.

    """
    beside, rest = list[str](), limit
    while len(lines := wrapped(rest, full, LEAST)) > below:
        beside.append(wrapped(rest, column, LEAST)[0])
        rest = rest[len(beside[-1]) :].strip()
    return _LimitLines(tuple(beside), tuple(lines))


def _short_code(label: Label) -> str:
    return f"{label.number}\nrevision {label.revision}"


def _told(label: Label) -> list[str]:
    return ["proved"] if label.state == "proved" else ["not proved", label.state]


def _narrow(page: Paper, label: Label, box: Box) -> None:
    """Draw a label for a small base: the code beside its number, all else below, never smaller."""
    x, room = box.left + 1.5, box.width - 2.5
    code = min(0.5 * room, 8.5)
    corner = Box(box.right - code - 1.0, box.top - code - 1.0, box.right - 1.0, box.top - 1.0)
    draw_code(page, _short_code(label), corner)
    number = (x, box.top - 4.6)
    page.text(number, label.number, 3.4, bold=True, width=room - code, least=LEAST)
    draw_mark(page, label.state, (x + 1.8, box.top - 7.6), 1.8)
    y = corner.bottom
    said = [f"{initial(label.side)} ↑ head", *_told(label)]
    for bold, line in [(True, line) for line in said] + [(False, label.limit)]:
        most = int((y - box.bottom) / _LINE)
        if most:
            leading = _LINE / LEAST
            at = (x, y)
            y = page.paragraph(at, line, room, LEAST, bold=bold, leading=leading, most=most)


def _beside_code(page: Paper, label: Label, box: Box) -> float:
    """Write the verdict, opening and title, as many as there is room for."""
    told, y = _told(label), box.top
    for i, line in enumerate([*told, label.opening, label.title]):
        if i >= len(told) and y - _LINE < box.bottom - 0.3:
            break
        at, bold = (box.left, y - LEAST), i < len(told)
        page.text(at, line, LEAST, bold=bold, width=box.width, least=LEAST)
        y -= _LINE
    return y


def _below_code(page: Paper, limit: _LimitLines, revision: str, box: Box) -> None:
    """Write for what it holds, none of it left out; its revision too, where there is room."""
    lines, y = [*limit.beside, *limit.below], box.top
    if box.top - _LINE * (len(lines) + 1) >= box.bottom + 0.2:
        lines.append(f"made ______ rev. {revision}")
    for line in lines:
        page.text((box.left, y - LEAST), line, LEAST, width=box.width)
        y -= _LINE


def draw_code(page: Paper, text: str, box: Box) -> None:
    """Draw a code with its four modules of quiet zone inside a box."""
    runs, count = _modules(text)
    module = min(box.width, box.height) / (count + 8)
    page.pixels((box.left + 4 * module, box.top - (count + 4) * module), module, runs)


@lru_cache(maxsize=8)
def _modules(text: str) -> tuple[tuple[tuple[int, int, int, int], ...], int]:
    """Return the dark modules of a code, those beside one another as one, and how wide it is.

    Both labels of a support have the same, so it is kept.
    """
    import segno

    code = segno.make_qr(text, error="m", boost_error=False, encoding="utf-8")
    rows = [bytes(row) for row in code.matrix]
    runs = []
    for y, row in enumerate(reversed(rows)):
        x = 0
        for dark, same in groupby(row):
            wide = len([*same])
            if dark:
                runs.append((x, y, wide, 1))
            x += wide
    return tuple(runs), len(rows)
