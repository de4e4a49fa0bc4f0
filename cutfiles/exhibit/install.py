"""What is printed to install one case: plan, supports with their pictures, straps, light, sign-off.

Each support has a block: what stands there, how it looks from the tail, what the book does not
bear, its straps and its dummy, the light, the condition when it goes in and when it comes out.
"""

from collections.abc import Iterator, Sequence

from cutfiles.exhibit.case_plan import Placed, case_name, draw_row, draw_view, in_places, plan_rows
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.paper import LEAST, PALE, SOFT, Paper, PaperName
from cutfiles.report.script import wrapped

_TEXT, _SMALL, _LEADING = LEAST, LEAST, 1.3
_PICTURE = 58.0
_BLOCK = 62.0
_PICTURED = 45.0
"""Least height of a block with a picture and no lines to write on."""
_CAUTION = (
    "A conservator places the books. Prop, never force; nothing presses on the spine. Cases open "
    "to touch or to tremors need more than this. Look again after 24 hours, a week, then monthly."
)


def install_pack(
    exhibit: str, case: str, placed: Sequence[Placed], paper: PaperName, totals: Sequence[str] = ()
) -> bytes:
    """Return the pages of one case as PDF: its totals, the plan in order, a block a support."""
    page = Paper(paper, f"{exhibit}, {case_name(case)}" if case else exhibit)
    box = page.box
    y = _head(page, exhibit, case) - 2.0
    y = page.paragraph((box.left, y), _CAUTION, box.width, _SMALL) - 3.0
    if totals:
        said = " · ".join(totals)
        y = page.paragraph((box.left, y), said, box.width, _SMALL, lead="In all:") - 3.0
    for row in plan_rows(placed, box.width - 8.0):
        if y - row.tall < box.bottom + 14.0:
            page.new_page()
            y = _head(page, exhibit, case) - 2.0
        draw_row(page, Box(box.left, y - row.tall, box.right, y), row)
        y -= row.tall
    placed = [one for _, row in in_places(placed) for one in row]
    for one in placed:
        height = _height(one, box.width)
        if y - height < box.bottom + 14.0:
            page.new_page()
            y = _head(page, exhibit, case) - 2.0
        _block(page, Box(box.left, y - height, box.right, y), one)
        y -= height + 3.0
    if any(not one.barred for one in placed):
        _sign_off(page)
    return page.pdf()


def _head(page: Paper, exhibit: str, case: str) -> float:
    box = page.box
    name = case_name(case)
    title = name[:1].upper() + name[1:]
    used = page.text((box.left, box.top - 6.0), title, 6.0, bold=True, width=box.width / 2)
    page.text((box.left + used + 4.0, box.top - 6.0), exhibit, 3.4, width=box.width / 2 - 6.0)
    return box.top - 10.0


def _said(one: Placed, width: float) -> Iterator[tuple[str, list[str]]]:
    """Yield what is said of a support: a word, and its lines."""
    for word, texts in (
        ("use", one.barred),
        ("support", (one.supports,)),
        ("place", (one.place,)),
        ("straps", one.straps or (("none",) if one.supports else ())),
        ("dummy", (one.dummy,)),
        ("light", (f"{one.lux} lux" if one.lux else "",)),
        ("do not", one.do_nots),
    ):
        lines = [line for text in texts if text for line in wrapped(text, width, _SMALL)]
        if lines:
            yield word, lines


def _room(width: float) -> float:
    return width - _PICTURE - 20.0


def _height(one: Placed, width: float) -> float:
    lines = sum(len(lines) for _, lines in _said(one, _room(width)))
    if one.barred:  # nothing is placed, so that no condition is noted
        least = _PICTURED if one.supports else 0.0
        return max(least, 14.0 + lines * _SMALL * _LEADING)
    return max(_BLOCK, 12.0 + lines * _SMALL * _LEADING + 24.0)


def _block(page: Paper, box: Box, one: Placed) -> None:
    page.box_line(box, width=0.2)
    y = box.top - 5.5
    used = page.text((box.left + 2.0, y), one.number, 4.4, bold=True, width=_PICTURE)
    where = " · ".join(text for text in (one.title, one.opening, one.shelf_mark) if text)
    left = box.left + used + 5.0
    page.text((left, y), where, 2.8, width=box.right - left - 34.0, least=LEAST)
    at = (box.right - 2.0, y)
    page.text(at, one.stage, 2.6, anchor="end", bold=True, width=31.0, least=LEAST)
    wide, high = one.extent
    if wide and (one.supports or not one.barred):
        scale = min((_PICTURE - 6.0) / wide, 26.0 / max(high, 1.0), 0.5)
        ground = box.top - 38.0
        page.line([(box.left + 3.0, ground), (box.left + _PICTURE, ground)], width=0.15, grey=SOFT)
        draw_view(page, one.view, box.left + _PICTURE / 2, ground, scale)
        size = f"{wide:.0f} mm wide, {high:.0f} mm high"
        page.text((box.left + 3.0, ground - 3.6), size, _SMALL, grey=SOFT, width=_PICTURE)
    x, y = box.left + _PICTURE + 4.0, box.top - 12.0
    for word, lines in _said(one, _room(box.width)):
        page.text((x, y), word, _SMALL, bold=True)
        for line in lines:
            page.text((x + 14.0, y), line, _SMALL)
            y -= _SMALL * _LEADING
    if not one.barred:
        _lines(page, box)


def _lines(page: Paper, box: Box) -> None:
    """Draw the lines to write the condition on, going in and coming out."""
    half = box.width / 2
    for k, (word, top) in enumerate((("condition in", 12.0), ("condition out", 5.0))):
        y = box.bottom + top
        page.text((box.left + 2.0, y), word, _SMALL, bold=True)
        start = box.left + 24.0
        page.line([(start, y - 0.5), (box.left + half + 34.0, y - 0.5)], width=0.15)
        page.text((box.left + half + 36.0, y), "date ________ initials ______", _SMALL)
        if not k:
            page.filled(Box(box.left, y + 4.4, box.right, y + 4.5), PALE)


def _sign_off(page: Paper) -> None:
    box = page.box
    text = (
        "spine clear ☐   straps lie flat ☐   nothing rocks ☐   light measured ______ lux   "
        "installed by ____________  date ________"
    ).replace("☐", "[  ]")
    page.text((box.left, box.bottom + 2.0), text, LEAST, width=box.width, least=LEAST)
