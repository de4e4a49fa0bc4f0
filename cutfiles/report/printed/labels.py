"""Labels for the underside of the bases, to cut out: number, opening, side, head, limit, code.

The code (QR, ISO/IEC 18004, drawn by segno) holds the slip's essentials as plain text: any reader
of such codes shows them, without our program.
"""

from collections.abc import Sequence

from cutfiles.bench.book import SIDES, SideName
from cutfiles.draft import Draft
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.marks import draw_mark
from cutfiles.report.printed.paper import DOTTED, SOFT, Paper, PaperName
from cutfiles.support.standing import board_of, initial
from cutfiles.words.bench import guessed_text
from cutfiles.words.verdict import ESTIMATED

_SIZES = ((62.0, 30.0), (44.0, 24.0), (27.0, 22.0), (20.0, 14.0))
"""Width and height of a label, mm; the largest that fits the base is taken."""
_PITCH = (63.0, 33.0)
_CLEAR = 2.0
_TEXT, _LINE, _SMALLEST = 2.5, 3.0, 1.1
"""Size and distance of lines, mm; the smallest letters of a small base."""
UNWEIGHED = ESTIMATED.strip(" ()")
"""What a label says of a book that nobody weighed."""
_SHORTEST = 18.0
"""A code for all essentials is at least this wide, mm; a smaller one holds number and revision."""


def labels_page(drafts: Sequence[Draft], paper: PaperName = "A4") -> bytes:
    """Return the labels of one or more supports as PDF: one for each base.

    Args:
        drafts: the supports, in the order of the sheet.
        paper: A4 or Letter.

    """
    page = Paper(paper, "labels for the bases", least=_SMALLEST)
    columns = int(page.box.width / _PITCH[0])
    rows = int((page.box.height - 8.0) / _PITCH[1])
    labels = [
        (draft, side) for draft in drafts for side in SIDES if draft.support.length("base", side)
    ]
    for i, (draft, side) in enumerate(labels):
        place = i % (columns * rows)
        if i and place == 0:
            page.new_page()
        if place == 0:
            _head(page)
        x = page.box.left + _PITCH[0] * (place % columns)
        y = page.box.top - 8.0 - _PITCH[1] * (place // columns)
        width, height = label_size(draft, side)
        _label(page, draft, side, Box(x, y - height, x + width, y))
    return page.pdf()


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


def _label(page: Paper, draft: Draft, side: SideName, box: Box) -> None:
    page.box_line(box, width=0.1, dashes=DOTTED, grey=SOFT)
    code = min(22.0, box.height - 2.0, box.width * 0.42)
    text = essentials(draft)
    if code < _SHORTEST:
        text = f"{draft.slip.book.number}\nrevision {draft.revision}"
    corner = Box(box.right - code - 1.0, box.top - code - 1.0, box.right - 1.0, box.top - 1.0)
    draw_code(page, text, corner)
    x, unit, room = box.left + 1.5, box.height / 30.0, box.width - code - 4.0
    number, letter = draft.slip.book.number, initial(side)
    tall = room > 4 * _TEXT  # room for the mark beside both lines
    radius = min(5.0 if tall else 2.6, 0.18 * room / unit) * unit
    centre = (x + room - radius, box.top - 1.6 * unit - radius)
    draw_mark(page, draft.verdict.state, centre, radius)
    short = room - 2 * radius - 1.0
    y = box.top - 6.5 * unit
    page.text((x, y), number, 6.0 * unit, bold=True, width=short, least=_SMALLEST)
    y -= 6.5 * unit
    page.text(
        (x, y),
        f"{letter} ↑ head",
        5.0 * unit,
        bold=True,
        width=short if tall else room,
        least=_SMALLEST,
    )
    y = _beside_code(page, draft, Box(x, corner.bottom, x + room, y - 1.2 * unit))
    _below_code(page, draft, Box(x, box.bottom, box.right - 1.5, min(y, corner.bottom)))


def _beside_code(page: Paper, draft: Draft, box: Box) -> float:
    """Write the verdict, opening and title, as many as there is room for."""
    state = draft.verdict.state
    told = ["proved"] if state == "proved" else ["not proved", state]
    book = draft.slip.book
    y = box.top
    for i, line in enumerate([*told, draft.slip.opening.label, book.title]):
        if i >= len(told) and y - _LINE < box.bottom - 0.3:
            break
        at, bold = (box.left, y - _TEXT), i < len(told)
        page.text(at, line, _TEXT, bold=bold, width=box.width, least=_SMALLEST)
        y -= _LINE
    return y


def _below_code(page: Paper, draft: Draft, box: Box) -> None:
    """Write below the code for what it holds, and its revision, where there is room."""
    guess, y = guessed_text(draft.slip), box.top
    limit = ", ".join(said for said in (guess, _limit(draft)) if said)
    for line in (limit, f"made ______ rev. {draft.revision}"):
        if y - _LINE < box.bottom + 0.2 and line != limit:
            break
        size = min(_TEXT, y - box.bottom - 0.4)
        page.text((box.left, y - size), line, size, width=box.width, least=_SMALLEST)
        y -= _LINE


def draw_code(page: Paper, text: str, box: Box) -> None:
    """Draw a code with its four modules of quiet zone inside a box."""
    import segno

    rows = segno.make_qr(text, error="m", boost_error=False, encoding="utf-8").matrix
    count = len(rows)
    module = min(box.width, box.height) / (count + 8)
    left, top = box.left + 4 * module, box.top - 4 * module
    for i, row in enumerate(rows):
        start: int | None = None
        for j, dark in enumerate([*row, 0]):
            if dark and start is None:
                start = j
            elif not dark and start is not None:
                page.filled(
                    Box(
                        left + start * module,
                        top - (i + 1) * module,
                        left + j * module,
                        top - i * module,
                    )
                )
                start = None
