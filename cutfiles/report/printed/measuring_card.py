"""The blank measuring slip to print: drawings of what to measure, and lines to write on."""

import math
from collections.abc import Callable, Mapping

from cutfiles.plane.shapes import Box
from cutfiles.report.printed.labels import draw_code
from cutfiles.report.printed.paper import DASHED, LEAST, PALE, SOFT, Paper, PaperName
from cutfiles.words.cautions import BOOK, STATIC

Place = tuple[float, float]

_BOOK = (
    ("number", "the support's number"),
    ("title", ""),
    ("shelf_mark", ""),
    ("opening", 'the place it is open at: "ff. 31v-32r"'),
    ("binding", "kind of binding, in words"),
    ("cover", "boards or limp"),
    ("weight", "of the book"),
    ("pages", "how many the book has"),
    ("case_depth", "of the case, front to back"),
    ("case_width", "room along the shelf"),
    ("case_height", "clear height"),
    ("note", "what the bench should know"),
)
_MEASURES = (
    ("1", "height", "head to tail of the boards"),
    ("2", "left_width", "left board, joint to fore edge, outside"),
    ("3", "right_width", "right board, the same"),
    ("4", "spine_width", "joint to joint across the spine, at this opening"),
    ("5", "left_rise", "left fore edge above its joint, the board's underside"),
    ("6", "right_rise", "right fore edge above its joint"),
    ("10", "left_joint", "left joint above the table; 0 where it lies on it"),
    ("11", "right_joint", "right joint above the table"),
    ("12", "left_fore_edge", "left fore edge above the table, instead of its rise"),
    ("13", "right_fore_edge", "right fore edge above the table, instead of its rise"),
    ("7", "left_side", "board and leaves on the left, unsqueezed"),
    ("8", "right_side", "board and leaves on the right"),
    ("9", "opening_angle", "between the boards, as a check"),
    ("14", "span", "fore edge to fore edge, level, as a check"),
)
MEASURED = {name: number for number, name, _ in _MEASURES}
"""What is measured, and the number it has in the drawings."""
_ABOUT = "one book at one opening · the names are those of the slip file's fields"
_BOARDS = ("left_width", "right_width")
_CODE = 18.0
"""How wide the code with the number is, mm."""
_STEPS = (
    "Let the book fall open in the hands at the page to show, as far as it goes by itself. Where "
    "the covers open wider than the leaves, follow the leaves.",
    "Prop both boards there with wedges: prop, never force. Nothing presses on the spine. Stand "
    "the low joint on the table if the book allows it; then only one joint is to be measured.",
    "Left and right are as one looks at the open pages. Measure each twice; write both down. "
    "Prefer rises to angles: an angle gauge is 3° out.",
    "Measure everything in one unit (units):",
)


def measuring_card(paper: PaperName = "A4") -> bytes:
    """Return the blank measuring slip as PDF, one page; its fields are those of a slip file."""
    page = Paper(paper, "measuring slip")
    draw_card(page)
    return page.pdf()


def draw_card(page: Paper, known: Mapping[str, str] | None = None) -> None:
    """Draw a measuring slip on a page: known values stand on their lines, the rest is blank."""
    known = known or {}
    box = page.box
    page.text((box.left, box.top - 6.0), "Measuring slip", 7.0, bold=True)
    room, number = box.width, known.get("number", "")
    if number:
        side = Box(box.right - _CODE, box.top - _CODE, box.right, box.top)
        draw_code(page, number, side)
        room -= _CODE + 2.0
    page.text(
        (box.left + 62.0, box.top - 6.0),
        f"{number} · {known.get('title', '')}" if number else _ABOUT,
        2.6,
        width=room - 62.0,
    )
    y = box.top - 10.0
    for i, step in enumerate(_STEPS):
        y = page.paragraph((box.left, y), step, room, 2.6, lead=str(i + 1)) - 0.5
    for i, unit in enumerate(("mm", "cm", "in")):
        x = box.left + 58.0 + 14.0 * i
        page.box_line(Box(x, y + 0.9, x + 2.6, y + 3.5))
        if known.get("units") == unit:
            page.line([(x, y + 0.9), (x + 2.6, y + 3.5)], width=0.4)
            page.line([(x, y + 3.5), (x + 2.6, y + 0.9)], width=0.4)
        page.text((x + 4.0, y + 1.3), unit, 2.6)
    middle = box.left + box.width * 0.60
    high = 60.0
    _end_view(page, Box(box.left, y - high, middle, y))
    _from_above(page, Box(middle + 6.0, y - high, box.right, y))
    y -= high + 4.0
    y = _measures(page, box, y, known)
    y = _book(page, box, y - 2.0, known)
    for line in (BOOK, STATIC):
        y = page.paragraph((box.left, y - 1.0), line, box.width, LEAST)
    page.text(
        (box.left, box.bottom + 0.8),
        "measured by ____________  date ____________  "
        "conservator's word on the opening ______________________",
        2.6,
    )


# -- drawings -------------------------------------------------------------------------------------


def _end_view(page: Paper, box: Box) -> None:
    """Draw an open book from its tail, one joint high, with the measures numbered."""
    half, board, thick, high = 5.0, 36.0, 5.0, 8.0
    ground, middle = box.bottom + 12.0, box.centre.x
    left, right = math.radians(38), math.radians(24)

    def at(x: float, y: float) -> Place:
        return (middle + x, ground + y)

    for sign, slope, joint, numbers in (
        (-1, left, high, ("2", "5", "7")),
        (1, right, 0.0, ("3", "6", "8")),
    ):
        cos, sin = math.cos(slope), math.sin(slope)

        def place(
            along: float,
            above: float,
            sign: int = sign,
            foot: float = joint,
            cos: float = cos,
            sin: float = sin,
        ) -> Place:
            return at(sign * (half + along * cos - above * sin), foot + along * sin + above * cos)

        gutter = at(-half + 1.0, high + 1.0)
        page.line(
            [place(0, 0), place(board, 0), place(board, thick), place(4.0, thick), gutter],
            closed=True,
            fill=PALE,
            width=0.2,
        )
        page.line([place(0, 0), place(board, 0)], width=0.6)
        page.line([place(0, -5.0), place(board, -5.0)], width=0.13)
        page.ring(place(board * 0.55, -5.0), 2.2, numbers[0])
        x, top = half + board * cos + 6.0, joint + board * sin
        page.line([place(board, 0), at(sign * (x + 1), top)], width=0.1, grey=SOFT)
        page.dimension(at(sign * x, joint), at(sign * x, top))
        page.ring(at(sign * (x + 4.0), (joint + top) / 2 + 3.0), 2.2, numbers[1])
        page.ring(place(board + 3.5, thick + 2.0), 2.2, numbers[2])
    _heights(page, at, half + board * math.cos(left), high + board * math.sin(left), high)
    page.ring(at(half + board * math.cos(right) + 10.0, 3.0), 2.2, "13")
    page.line([at(-55.0, 0.0), at(52.0, 0.0)], width=0.13, dashes=DASHED, grey=SOFT)
    page.line([at(-half, high), at(half, 0.0)], width=0.6)
    page.line([at(-half - 2.0, high - 9.5), at(half - 2.0, -9.5)], width=0.13)
    page.ring(at(half + 1.0, -9.5), 2.2, "4")
    page.ring(at(half + 8.0, -4.0), 2.2, "11")
    page.line([at(half, -0.3), at(half + 6.0, -3.0)], width=0.1, grey=SOFT)
    page.ring(at(2.0, 26.0), 2.2, "9")
    arc = [
        at(2.0 + 20.0 * math.cos(t), 6.0 + 20.0 * math.sin(t) - 2.0)
        for t in (right + i * (math.pi - left - right) / 20 for i in range(21))
    ]
    page.line(arc, width=0.13)
    wide = [half + board * math.cos(slope) for slope in (left, right)]
    page.dimension(at(-wide[0], 41.0), at(wide[1], 41.0))
    page.ring(at(14.0, 41.0), 2.2, "14")
    page.text((box.left, box.top - 4.0), "from the tail", 2.6, bold=True)


def _heights(
    page: Paper, at: Callable[[float, float], Place], out: float, top: float, joint: float
) -> None:
    """Draw the left joint's and the left fore edge's height above the table."""
    page.line([at(-5.0, joint), at(-17.0, joint)], width=0.1, grey=SOFT)
    page.dimension(at(-16.0, 0.0), at(-16.0, joint))
    page.ring(at(-20.5, joint / 2), 2.2, "10")
    page.line([at(-17.0, joint), at(-out - 7.0, joint)], width=0.1, grey=SOFT, dashes=DASHED)
    page.line([at(-out - 7.0, top), at(-out - 16.0, top)], width=0.1, grey=SOFT)
    page.dimension(at(-out - 15.0, 0.0), at(-out - 15.0, top))
    page.ring(at(-out - 19.0, top / 2), 2.2, "12")


def _from_above(page: Paper, box: Box) -> None:
    """Draw the open book from above: head, tail, left and right, and its height."""
    wide, tall = 23.0, 40.0
    x, y = box.centre.x + 3.0, box.bottom + 8.0
    page.box_line(Box(x - wide, y, x - 2.0, y + tall), fill=PALE)
    page.box_line(Box(x + 2.0, y, x + wide, y + tall), fill=PALE)
    page.box_line(Box(x - 2.0, y, x + 2.0, y + tall))
    for letter, dx in (("left", -wide / 2 - 1.0), ("right", wide / 2 + 1.0)):
        page.text((x + dx, y + tall / 2 - 1.0), letter, 3.0, anchor="middle", bold=True)
    page.text((x, y + tall + 1.5), "head", 2.6, anchor="middle")
    page.text((x, y - 4.0), "tail", 2.6, anchor="middle")
    page.dimension((x - wide - 4.0, y), (x - wide - 4.0, y + tall))
    page.ring((x - wide - 8.0, y + tall / 2), 2.2, "1")
    page.text((box.left, box.top - 4.0), "from above", 2.6, bold=True)


# -- lines to write on ----------------------------------------------------------------------------


def _measures(page: Paper, box: Box, y: float, known: Mapping[str, str]) -> float:
    first, second = box.right - 68.0, box.right - 32.0
    page.text((first, y - 2.6), "first", LEAST, grey=SOFT)
    page.text((second, y - 2.6), "second", LEAST, grey=SOFT)
    y -= 4.0
    for number, name, about in _MEASURES:
        y -= 6.2
        page.ring((box.left + 2.5, y + 1.6), 2.2, number)
        used = page.text((box.left + 7.0, y + 0.6), name, 3.2, bold=True)
        page.text(
            (box.left + 9.0 + used, y + 0.6), about, 2.5, width=first - box.left - 11.0 - used
        )
        page.line([(first, y), (second - 4.0, y)], width=0.2)
        said = known.get(name) or known.get("width" if name in _BOARDS else name, "")
        page.text((first + 1.0, y + 0.8), said, 3.0, width=second - first - 6.0, least=LEAST)
        page.line([(second, y), (box.right, y)], width=0.2)
    return y


def _book(page: Paper, box: Box, y: float, known: Mapping[str, str]) -> float:
    half = box.width / 2
    for i, (name, about) in enumerate(_BOOK):
        column = i % 2
        x = box.left + column * (half + 2.0)
        if column == 0:
            y -= 7.8
        used = page.text((x, y + 0.8), name, 3.0, bold=True)
        page.line([(x + used + 1.5, y), (x + half - 4.0, y)], width=0.2)
        page.text((x + half - 4.0, y - 2.6), about, LEAST, anchor="end", grey=SOFT)
        room = half - 7.0 - used
        page.text((x + used + 2.5, y + 0.8), known.get(name, ""), 2.8, width=room, least=LEAST)
    return y - 4.0
