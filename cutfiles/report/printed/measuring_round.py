"""The measuring round: a slip for each book of a case, what is known filled in, the rest blank."""

from collections.abc import Mapping, Sequence

from cutfiles.plane.shapes import Box
from cutfiles.report.printed.labels import draw_code
from cutfiles.report.printed.measuring_card import MEASURED, draw_card
from cutfiles.report.printed.paper import LEAST, SOFT, Paper, PaperName

Known = Mapping[str, str]
"""What is known of a book: names of fields to texts."""
_ACROSS, _DOWN, _GAP = 2, 3, 4.0
_CODE = 16.0
_CLOSED = ("width", "thickness")
"""Sizes of the closed book, which nobody measures on the round."""
_LINE = 9.0


def round_pages(case: str, books: Sequence[Known], paper: PaperName = "A4") -> bytes:
    """Return a page a book as PDF: drawings, what is known, lines for what is to be measured."""
    page = Paper(paper, _title(case))
    for i, known in enumerate(books):
        if i:
            page.new_page()
        draw_card(page, known)
    return page.pdf()


def round_cards(
    case: str, books: Sequence[Known], blanks: Sequence[Sequence[str]], paper: PaperName = "A4"
) -> bytes:
    """Return six books to a page as PDF, for who knows what each name means: only the blanks.

    Args:
        case: that the books go to.
        books: what is known of each.
        blanks: of each, the names of what is to be measured.
        paper: A4 or Letter.

    """
    page = Paper(paper, _title(case))
    box, many = page.box, _ACROSS * _DOWN
    width = (box.width - (_ACROSS - 1) * _GAP) / _ACROSS
    height = (box.height - 10.0 - (_DOWN - 1) * _GAP) / _DOWN
    for i, (known, names) in enumerate(zip(books, blanks, strict=True)):
        if i and i % many == 0:
            page.new_page()
        if i % many == 0:
            page.text((box.left, box.top - 4.5), _title(case), 4.0, bold=True, width=box.width)
        across, down = i % _ACROSS, i % many // _ACROSS
        left = box.left + across * (width + _GAP)
        top = box.top - 10.0 - down * (height + _GAP)
        _card(page, Box(left, top - height, left + width, top), known, names)
    return page.pdf()


def _title(case: str) -> str:
    return f"Measuring round, case {case}" if case else "Measuring round"


def _card(page: Paper, box: Box, known: Known, blanks: Sequence[str]) -> None:
    page.box_line(box, width=0.2)
    number = known.get("number", "")
    corner = Box(box.right - _CODE - 1.5, box.top - _CODE - 1.5, box.right - 1.5, box.top - 1.5)
    if number:
        draw_code(page, number, corner)
    x, room = box.left + 2.0, box.width - _CODE - 6.0
    page.text((x, box.top - 6.0), number, 4.4, bold=True, width=room, least=LEAST)
    said = ("title", "shelf_mark", "opening")
    y = box.top - 9.8
    for name in said:
        page.text((x, y), known.get(name, ""), LEAST, width=room, least=LEAST)
        y -= 3.4
    sizes = [f"{name} {known[name]}" for name in (*MEASURED, *_CLOSED) if known.get(name)]
    y = page.paragraph((x, y + 1.0), "; ".join(sizes) or "nothing measured", box.width - 4.0, LEAST)
    half = (box.width - 6.0) / 2
    rows = -(-len(blanks) // 2)
    step = min(_LINE, (y - box.bottom - 3.0) / max(1, rows))
    for k, name in enumerate(blanks):
        left = x + (k // rows) * (half + 2.0)
        line = y - (k % rows + 1) * step
        ring = MEASURED.get(name, "")
        used = page.text((left, line + 0.7), f"{ring} {name}".strip(), LEAST, width=half * 0.62)
        page.line([(left + used + 1.0, line), (left + half, line)], width=0.2)
    units = known.get("units", "")
    page.text((box.right - 1.5, box.bottom + 1.2), units, LEAST, anchor="end", grey=SOFT)
