"""What is printed to install one case: plan, supports with their pictures, straps, light, sign-off.

Each support has a block: what stands there, how it looks from the tail, what the book does not
bear, its straps and its dummy, the light, the condition when it goes in and when it comes out.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cutfiles.exhibit.results import View
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.paper import LEAST, PALE, SOFT, Paper, PaperName
from cutfiles.report.printed.script import wrapped

_TEXT, _SMALL, _LEADING = LEAST, LEAST, 1.3
_PICTURE = 58.0
_BLOCK = 62.0
_CAUTION = (
    "A conservator places the books. Prop, never force; nothing presses on the spine. Cases open "
    "to touch or to tremors need more than this. Look again after 24 hours, a week, then monthly."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One support as it is placed in a case.

    Attributes:
        number: of the support.
        title: of the book.
        shelf_mark: where the book belongs.
        opening: the place it is open at.
        stage: how far the support is; or that there is none.
        view: its end view; empty where nothing was made.
        supports: how many, and of what film, in words.
        straps: of each, in words.
        dummy: what proves it, in words.
        lux: the light it may have, as the list says.
        do_nots: what the book does not bear.

    """

    number: str
    title: str = ""
    shelf_mark: str = ""
    opening: str = ""
    stage: str = ""
    view: View = ()
    supports: str = ""
    straps: tuple[str, ...] = ()
    dummy: str = ""
    lux: str = ""
    do_nots: tuple[str, ...] = ()

    @property
    def extent(self) -> tuple[float, float]:
        """Width from end to end, and height, of support and boards, mm."""
        places = [place for _, line in self.view for place in line]
        if not places:
            return 0.0, 0.0
        xs, ys = zip(*places, strict=True)
        return max(xs) - min(xs), max(ys)


def install_pack(exhibit: str, case: str, placed: Sequence[Placed], paper: PaperName) -> bytes:
    """Return the pages of one case as PDF: the plan in order, then a block a support."""
    page = Paper(paper, f"{exhibit}, case {case}" if case else exhibit)
    box = page.box
    y = _head(page, exhibit, case) - 2.0
    y = page.paragraph((box.left, y), _CAUTION, box.width, _SMALL) - 3.0
    y = _plan(page, Box(box.left, y - 46.0, box.right, y), placed)
    for one in placed:
        height = _height(one, box.width)
        if y - height < box.bottom + 14.0:
            page.new_page()
            y = _head(page, exhibit, case) - 2.0
        _block(page, Box(box.left, y - height, box.right, y), one)
        y -= height + 3.0
    _sign_off(page)
    return page.pdf()


def _head(page: Paper, exhibit: str, case: str) -> float:
    box = page.box
    title = f"Case {case}" if case else "No case"
    used = page.text((box.left, box.top - 6.0), title, 6.0, bold=True, width=box.width / 2)
    page.text((box.left + used + 4.0, box.top - 6.0), exhibit, 3.4, width=box.width / 2 - 6.0)
    return box.top - 10.0


def _plan(page: Paper, box: Box, placed: Sequence[Placed]) -> float:
    """Draw the supports side by side in the order of the list, from left to right, to one scale."""
    wide = [max(one.extent[0], 60.0) for one in placed]
    gap = 20.0
    scale = min(0.2, (box.width - 8.0) / (sum(wide) + gap * max(0, len(wide) - 1)))
    page.text((box.left, box.top - 3.0), "Order, from left to right", _TEXT, bold=True)
    ground, x = box.bottom + 8.0, box.left + 4.0
    page.line([(box.left, ground), (box.right, ground)], width=0.2)
    for one, width in zip(placed, wide, strict=True):
        most = (box.top - 6.0 - ground) / max(one.extent[1], 1.0)
        own = min(scale, most)
        _picture(page, one.view, x + width * scale / 2, ground, own)
        page.text(
            (x + width * scale / 2, ground - 4.0),
            one.number,
            _TEXT,
            bold=True,
            anchor="middle",
            width=width * scale + gap * scale,
        )
        x += (width + gap) * scale
    return box.bottom - 3.0


def _picture(page: Paper, view: View, middle: float, ground: float, scale: float) -> None:
    places = [place for _, line in view for place in line]
    if not places:
        return
    centre = (min(x for x, _ in places) + max(x for x, _ in places)) / 2
    for kind, line in view:
        at = [(middle + (x - centre) * scale, ground + y * scale) for x, y in line]
        board = kind == "board"
        page.line(at, width=0.8 if board else 0.25, grey=SOFT if board else 0.0)


def _said(one: Placed, width: float) -> Iterator[tuple[str, list[str]]]:
    """Yield what is said of a support: a word, and its lines."""
    for word, texts in (
        ("support", (one.supports,)),
        ("straps", one.straps or ("none",)),
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
    return max(_BLOCK, 12.0 + lines * _SMALL * _LEADING + 24.0)


def _block(page: Paper, box: Box, one: Placed) -> None:
    page.box_line(box, width=0.2)
    y = box.top - 5.5
    used = page.text((box.left + 2.0, y), one.number, 4.4, bold=True, width=_PICTURE)
    where = " · ".join(text for text in (one.title, one.opening, one.shelf_mark) if text)
    left = box.left + used + 5.0
    page.text((left, y), where, 2.8, width=box.right - left - 34.0, least=2.0)
    page.text((box.right - 2.0, y), one.stage, 2.6, anchor="end", bold=True, width=31.0, least=1.8)
    wide, high = one.extent
    if wide:
        scale = min((_PICTURE - 6.0) / wide, 26.0 / max(high, 1.0), 0.5)
        ground = box.top - 38.0
        page.line([(box.left + 3.0, ground), (box.left + _PICTURE, ground)], width=0.15, grey=SOFT)
        _picture(page, one.view, box.left + _PICTURE / 2, ground, scale)
        size = f"{wide:.0f} mm wide, {high:.0f} mm high"
        page.text((box.left + 3.0, ground - 3.6), size, _SMALL, grey=SOFT, width=_PICTURE)
    x, y = box.left + _PICTURE + 4.0, box.top - 12.0
    for word, lines in _said(one, _room(box.width)):
        page.text((x, y), word, _SMALL, bold=True)
        for line in lines:
            page.text((x + 14.0, y), line, _SMALL)
            y -= _SMALL * _LEADING
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
            page.filled(Box(box.left, y + 4.4, box.right, y + 4.5), grey=PALE)


def _sign_off(page: Paper) -> None:
    box = page.box
    text = (
        "spine clear ☐   straps lie flat ☐   nothing rocks ☐   light measured ______ lux   "
        "installed by ____________  date ________"
    ).replace("☐", "[  ]")
    page.text((box.left, box.bottom + 2.0), text, 2.4, width=box.width, least=1.8)
