"""Labels for the underside of the bases, to cut out: number, opening, side, head, limit, code.

The code (QR, ISO/IEC 18004, drawn by segno) holds the slip's essentials as plain text: any reader
of such codes shows them, without our program.
"""

from collections.abc import Sequence

from cutfiles.bench.book import SIDES, SideName
from cutfiles.draft import Draft
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.paper import DOTTED, SOFT, Paper, PaperName
from cutfiles.support.standing import board_of
from cutfiles.words.bench import guessed_text
from cutfiles.words.verdict import ESTIMATED

_SIZES = ((62.0, 30.0), (44.0, 24.0), (27.0, 22.0), (20.0, 14.0))
"""Width and height of a label, mm; the largest that fits the base is taken."""
_PITCH = (63.0, 33.0)
_CLEAR = 2.0
UNWEIGHED = ESTIMATED.strip(" ()")
"""What a label says of a book that nobody weighed."""
_SHORTEST = 18.0
"""A code for all essentials is at least this wide, mm; a smaller one holds number and revision."""


def labels_page(
    drafts: Sequence[Draft], paper: PaperName = "A4", *, limits: Sequence[str] = ()
) -> bytes:
    """Return the labels of one or more supports as PDF: one for each base.

    Args:
        drafts: the supports, in the order of the sheet.
        paper: A4 or Letter.
        limits: what each support carries, one short text a draft; without them the book's weight.

    """
    page = Paper(paper, "labels for the bases")
    columns = int(page.box.width / _PITCH[0])
    rows = int((page.box.height - 8.0) / _PITCH[1])
    labels = [
        (draft, side, limits[i] if i < len(limits) else "")
        for i, draft in enumerate(drafts)
        for side in SIDES
        if draft.support.length("base", side)
    ]
    for i, (draft, side, limit) in enumerate(labels):
        place = i % (columns * rows)
        if i and place == 0:
            page.new_page()
        if place == 0:
            _head(page)
        x = page.box.left + _PITCH[0] * (place % columns)
        y = page.box.top - 8.0 - _PITCH[1] * (place // columns)
        _label(page, draft, side, limit or _limit(draft), x, y)
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
    book, angle = draft.slip.book, draft.slip.opening.opening_angle
    if book.weight is None:  # first: a long limit is shortened at its end
        return f"{UNWEIGHED}, this book only, {angle:.0f}°"
    return f"this book only, {book.weight:.0f} g, {angle:.0f}°"


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


def _label(page: Paper, draft: Draft, side: SideName, limit: str, left: float, top: float) -> None:
    width, height = label_size(draft, side)
    box = Box(left, top - height, left + width, top)
    page.box_line(box, width=0.1, dashes=DOTTED, grey=SOFT)
    code = min(22.0, height - 2.0, width * 0.42)
    text = essentials(draft)
    if code < _SHORTEST:
        text = f"{draft.slip.book.number}\nrevision {draft.revision}"
    draw_code(
        page,
        text,
        Box(box.right - code - 1.0, box.top - code - 1.0, box.right - 1.0, box.top - 1.0),
    )
    room = width - code - 4.0
    x, unit = box.left + 1.5, height / 30.0
    letter = "L" if side == "left" else "R"
    page.text(
        (x, box.top - 6.5 * unit),
        draft.slip.book.number,
        6.0 * unit,
        bold=True,
        width=room,
        least=1.3,
    )
    page.text(
        (x, box.top - 13.5 * unit), f"{letter} ↑ head", 5.0 * unit, bold=True, width=room, least=1.3
    )
    page.text(
        (x, box.top - 17.5 * unit), draft.slip.opening.label, 2.6 * unit, width=room, least=1.1
    )
    page.text((x, box.top - 21.5 * unit), draft.slip.book.title, 2.6 * unit, width=room, least=1.1)
    whole = width - 3.0
    guess = guessed_text(draft.slip)  # first: a long limit is shortened at its end
    limit = f"{guess}, {limit}" if guess else limit
    page.text((x, box.bottom + 4.6 * unit), f"limit: {limit}", 2.4 * unit, width=whole, least=1.0)
    page.text(
        (x, box.bottom + 1.2 * unit),
        f"made ________ rev. {draft.revision}",
        2.4 * unit,
        width=whole,
        least=1.0,
    )


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
