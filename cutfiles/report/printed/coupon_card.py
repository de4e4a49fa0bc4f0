"""The card of a coupon that is tried by hand: how to fold, load and read it, and where to write."""

import math
from collections.abc import Sequence

from cutfiles.bench.film import Machine
from cutfiles.pattern.coupons import Coupon
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.paper import DASHED, LEAST, PALE, SOFT, Paper, PaperName
from cutfiles.support.coupons import HELD, TALL, corner_expected
from cutfiles.version import VERSION
from cutfiles.words.cautions import KNIFE, LASER
from cutfiles.words.coupons import NOT_A_SUPPORT, coupon_words

_TEXT, _HEAD, _ROW = 3.1, 3.7, 10.0
_PICTURE = 78.0
"""Breadth of the picture, mm."""
_FIELDS = ("", "date", "film lot", "gauge")


def coupon_card(coupon: Coupon, paper: PaperName = "A4", *, machine: Machine = "knife") -> bytes:
    """Return the card of a coupon as PDF, one page.

    Args:
        coupon: which one, of which film.
        paper: A4 or Letter.
        machine: what it is cut with, for the cautions.

    """
    page = Paper(paper, f"{coupon.number}, card")
    words, box = coupon_words(coupon.name, coupon.film.gauge), page.box
    page.text((box.left, box.top - 6.0), words.title, 6.0, bold=True, width=box.width, least=3.0)
    count = f"{len(coupon.pieces)} pieces"
    said = f"{coupon.number} · {count} of polyester film, {coupon.film.gauge_text}"
    page.text((box.left, box.top - 11.5), said, _TEXT, width=box.width, least=LEAST)
    top, column = box.top - 16.0, box.right - _PICTURE
    picture = Box(column, top - 70.0, box.right, top)
    {"crease": _crease, "post": _post, "corner": _corner}[coupon.name](page, coupon, picture)
    y = top
    for title, lines in (("Make", words.make), ("Load", words.load), ("Read off", words.read)):
        y = _told(page, title, lines, (box.left, y), column - box.left - 6.0)
    y = min(y, picture.bottom) - 2.0
    y = _told(page, "Expected", words.expected, (box.left, y), box.width)
    y = _table(page, words.columns, words.rows, Box(box.left, box.bottom, box.right, y - 1.0))
    said = "Write the rows into the studio's table of trials: there they count."
    y = page.paragraph((box.left, y - 2.0), said, box.width, _TEXT)
    cautions = (LASER if machine == "laser" else KNIFE, NOT_A_SUPPORT)
    _told(page, "Take care", cautions, (box.left, y - 3.0), box.width)
    page.text((box.left, box.bottom), f"cutfiles {VERSION}", LEAST, grey=SOFT)
    return page.pdf()


def _told(
    page: Paper, title: str, lines: Sequence[str], at: tuple[float, float], width: float
) -> float:
    """Write a section; return y below it."""
    x, y = at
    page.line([(x, y), (x + width, y)], width=0.15, grey=SOFT)
    page.text((x, y - 4.2), title, _HEAD, bold=True)
    y -= 5.6
    for i, line in enumerate(lines, 1):
        y = page.paragraph((x, y), line, width, _TEXT, lead=str(i) if len(lines) > 1 else "") - 0.9
    return y - 1.6


def _table(page: Paper, columns: Sequence[str], rows: Sequence[str], box: Box) -> float:
    """Draw the table to fill in; return y below it."""
    heads = (*_FIELDS, *columns, "initials")
    first = 16.0
    wide = (box.width - first) / (len(heads) - 1)
    lefts = [box.left, *(box.left + first + i * wide for i in range(len(heads) - 1)), box.right]
    for x, head in zip(lefts, heads, strict=False):
        page.text((x + 1.0, box.top - 4.0), head, _TEXT, bold=True, width=wide - 1.5, least=LEAST)
    top = box.top - 5.6
    bottom = page.ruled(lefts, top, _ROW, len(rows))
    for i, row in enumerate(rows):
        page.text((box.left + 1.0, top - _ROW * i - 5.8), row, _TEXT, bold=True)
    return bottom


# -- pictures -------------------------------------------------------------------------------------


def _label(page: Paper, x: float, y: float, text: str) -> None:
    page.text((x, y), text, LEAST, width=_PICTURE)


def _crease(page: Paper, coupon: Coupon, box: Box) -> None:
    """Draw block, held half, free half before and under the weight."""
    x, y = box.left + 26.0, box.bottom + 33.0
    page.box_line(Box(x - 22.0, y - 30.0, x, y), fill=PALE)
    page.line([(x - 26.0, y - 30.0), (box.right, y - 30.0)], width=0.4)
    held = HELD * 0.5
    page.line([(x + 0.5, y - held), (x + 0.5, y), (x + 44.0, y)], width=0.7)
    up = math.radians(30.0)
    page.line([(x + 0.5, y), (x + 44.0 * math.cos(up), y + 44.0 * math.sin(up))], dashes=DASHED)
    arc = [(x + 34.0 * math.cos(i * up / 8), y + 34.0 * math.sin(i * up / 8)) for i in range(9)]
    page.arrow(arc[::-1], width=0.25)
    _label(page, x + 35.0, y + 9.0, "turned")
    page.box_line(Box(x + 20.0, y + 0.4, x + 24.0, y + 4.0), fill=0.0)
    page.dimension((x + 0.5, y - 6.0), (x + 22.0, y - 6.0))
    page.line([(x + 22.0, y - 7.0), (x + 22.0, y - 0.6)], width=0.13)
    _label(page, x + 8.0, y - 10.0, "arm")
    _label(page, x + 26.0, y - 4.0, "weight, free half level")
    _label(page, x - 20.0, y - 16.0, "block")
    _label(page, x + 2.0, y - held + 1.0, "held half")


def _post(page: Paper, coupon: Coupon, box: Box) -> None:
    """Draw scale, post, board and hand; and the tube from above."""
    x, y = box.left + 4.0, box.bottom + 4.0
    page.box_line(Box(x, y, x + 44.0, y + 8.0), fill=PALE)
    page.box_line(Box(x + 16.0, y + 2.0, x + 28.0, y + 6.0), fill=1.0)
    _label(page, x + 18.5, y + 3.1, "0 g")
    foot, tall = y + 8.0, TALL * 0.5
    for dx in (0.0, 8.0, 12.0):
        page.line([(x + 16.0 + dx, foot), (x + 16.0 + dx, foot + tall)], width=0.4)
    page.line([(x + 16.0, foot + tall), (x + 28.0, foot + tall)], width=0.4)
    page.box_line(Box(x + 4.0, foot + tall + 0.4, x + 40.0, foot + tall + 3.4), fill=PALE)
    page.arrow([(x + 22.0, foot + tall + 16.0), (x + 22.0, foot + tall + 4.0)], width=0.6)
    _label(page, x + 24.5, foot + tall + 11.0, "press slowly")
    _label(page, x + 29.5, foot + tall - 4.5, "post")
    _label(page, x + 5.0, foot + tall + 4.4, "board")
    _tube(page, (box.left + 56.0, box.bottom + 20.0), 18.0)


def _tube(page: Paper, at: tuple[float, float], side: float) -> None:
    """Draw the closed tube from above: faces A, B, C, the lap outside of A."""
    x, y = at
    top = (x + side / 2, y + side * math.sqrt(3) / 2)
    page.line(
        [(x, y), (x + side, y), top, (x, y), (x, y - 1.2), (x + side - 3.0, y - 1.2)], width=0.5
    )
    page.line([(x + 3.0, y - 0.6), (x + side - 5.0, y - 0.6)], width=0.9, grey=SOFT)
    for letter, dx, dy in (("A", 0.45, 0.06), ("B", 0.58, 0.36), ("C", 0.29, 0.36)):
        page.text((x + dx * side, y + dy * side), letter, 3.0)
    _label(page, x - 2.0, y - 5.0, "lap, taped to A")
    _label(page, x - 2.0, y + side, "from above")


def _corner(page: Paper, coupon: Coupon, box: Box) -> None:
    """Draw the folded piece from its side, the inmost layer bowed, a rule across the leg."""
    x, y = box.left + 30.0, box.bottom + 8.0
    leg = TALL * 0.75
    top = (x, y + leg)
    slope = math.radians(30.0)
    upper = (x + 30.0 * math.cos(slope), top[1] - 30.0 * math.sin(slope))
    page.line([upper, top, (x, y), (x + 30.0, y)], width=0.7)
    bow = corner_expected(coupon.film.gauge).bow
    inner = [
        (x + 0.8 + bow * math.sin(math.pi * i / 16), y + 0.8 + (leg - 1.6) * i / 16)
        for i in range(17)
    ]
    page.line(inner, width=0.3, dashes=DASHED)
    middle = y + leg / 2
    page.dimension((x, middle), (x + bow + 0.8, middle))
    _label(page, x + bow + 3.0, middle - 0.9, "bow of the inmost layer")
    _label(page, x - 27.0, y + leg - 1.0, "fold by 120°")
    _label(page, x - 27.0, y + 1.0, "fold by 90°")
    _label(page, x - 12.0, middle + 6.0, "leg")
