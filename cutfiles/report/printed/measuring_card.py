"""The blank measuring slip to print: drawings of what to measure, and lines to write on."""

import math

from cutfiles.plane.shapes import Box
from cutfiles.report.printed.paper import DASHED, PALE, SOFT, Paper, PaperName
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
    ("7", "left_side", "board and leaves on the left, unsqueezed"),
    ("8", "right_side", "board and leaves on the right"),
    ("9", "opening_angle", "between the boards, as a check"),
)
_STEPS = (
    "Let the book fall open in the hands at the page to show, as far as it goes by itself. Where "
    "the covers open wider than the leaves, follow the leaves.",
    "Prop both boards there with wedges. Nothing presses on the spine.",
    "Left and right are as one looks at the open pages. Measure each twice; write both down. "
    "Prefer rises to angles: an angle gauge is 3° out.",
    "Measure everything in one unit (units):",
)


def measuring_card(paper: PaperName = "A4") -> bytes:
    """Return the blank measuring slip as PDF, one page; its fields are those of a slip file."""
    page = Paper(paper, "measuring slip")
    box = page.box
    page.text((box.left, box.top - 6.0), "Measuring slip", 7.0, bold=True)
    page.text(
        (box.left + 62.0, box.top - 6.0),
        "one book at one opening · the names are those of the slip file's fields",
        2.6,
        width=box.width - 62.0,
    )
    y = box.top - 10.0
    for i, step in enumerate(_STEPS):
        y = page.paragraph((box.left, y), step, box.width, 2.6, lead=str(i + 1)) - 0.5
    for i, unit in enumerate(("mm", "cm", "in")):
        x = box.left + 58.0 + 14.0 * i
        page.box_line(Box(x, y + 0.9, x + 2.6, y + 3.5))
        page.text((x + 4.0, y + 1.3), unit, 2.6)
    middle = box.left + box.width * 0.60
    high = 66.0
    _end_view(page, Box(box.left, y - high, middle, y))
    _from_above(page, Box(middle + 6.0, y - high, box.right, y))
    y -= high + 4.0
    y = _measures(page, box, y)
    y = _book(page, box, y - 2.0)
    for line in (BOOK, STATIC):
        y = page.paragraph((box.left, y - 1.0), line, box.width, 2.1)
    page.text(
        (box.left, box.bottom + 0.8),
        "measured by ____________  date ____________  "
        "conservator's word on the opening ______________________",
        2.6,
    )
    return page.pdf()


# -- drawings -------------------------------------------------------------------------------------


def _end_view(page: Paper, box: Box) -> None:
    """Draw an open book from its tail, with the measures of the end view numbered."""
    left, right, joint, board, thick = math.radians(38), math.radians(24), 5.0, 44.0, 5.0
    ground, middle = box.bottom + 12.0, box.centre.x

    def at(x: float, y: float) -> Place:
        return (middle + x, ground + y)

    for sign, slope in ((-1, left), (1, right)):
        cos, sin = math.cos(slope), math.sin(slope)
        edge = (joint + board * cos, board * sin)
        leaf = (edge[0] - thick * sin, edge[1] + thick * cos)
        gutter = (joint - min(joint, thick * sin), thick * cos)
        corners = [at(sign * x, y) for x, y in ((joint, 0.0), edge, leaf, gutter)]
        page.line(corners, closed=True, fill=PALE, width=0.2)
        page.line([corners[0], corners[1]], width=0.6)
        number = "5" if sign < 0 else "6"
        x = edge[0] + 6.0
        page.dimension(at(sign * x, 0.0), at(sign * x, edge[1]))
        page.line(
            [at(sign * (edge[0] + 1), edge[1]), at(sign * (x + 1), edge[1])], width=0.1, grey=SOFT
        )
        page.ring(at(sign * (x + 4.0), edge[1] / 2), 2.2, number)
        a = (joint + 5.0 * sin, -5.0 * cos)
        b = (edge[0] + 5.0 * sin, edge[1] - 5.0 * cos)
        page.line([at(sign * a[0], a[1]), at(sign * b[0], b[1])], width=0.13)
        page.ring(at(sign * (a[0] + b[0]) / 2, (a[1] + b[1]) / 2), 2.2, "2" if sign < 0 else "3")
        c = (edge[0] - thick * sin * 0.5, edge[1] + thick * cos * 0.5)
        page.ring(at(sign * (c[0] + 3.6), c[1] + 3.2), 2.2, "7" if sign < 0 else "8")
    page.line([at(-62.0 * 0.85, 0.0), at(62.0 * 0.85, 0.0)], width=0.13, dashes=DASHED, grey=SOFT)
    page.line([at(-joint, 0.0), at(joint, 0.0)], width=0.6)
    page.dimension(at(-joint, -9.5), at(joint, -9.5))
    page.ring(at(joint + 4.0, -9.5), 2.2, "4")
    page.ring(at(0.0, 24.0), 2.2, "9")
    arc = [
        at(18.0 * math.cos(t), 2.0 + 18.0 * math.sin(t))
        for t in (right + i * (math.pi - left - right) / 20 for i in range(21))
    ]
    page.line(arc, width=0.13)
    page.text((box.left, box.top - 4.0), "from the tail", 2.6, bold=True)


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


def _measures(page: Paper, box: Box, y: float) -> float:
    first, second = box.right - 68.0, box.right - 32.0
    page.text((first, y - 2.6), "first", 2.4, grey=SOFT)
    page.text((second, y - 2.6), "second", 2.4, grey=SOFT)
    y -= 4.0
    for number, name, about in _MEASURES:
        y -= 7.6
        page.ring((box.left + 2.5, y + 1.6), 2.2, number)
        used = page.text((box.left + 7.0, y + 0.6), name, 3.2, bold=True)
        page.text(
            (box.left + 9.0 + used, y + 0.6), about, 2.5, width=first - box.left - 11.0 - used
        )
        page.line([(first, y), (second - 4.0, y)], width=0.2)
        page.line([(second, y), (box.right, y)], width=0.2)
    return y


def _book(page: Paper, box: Box, y: float) -> float:
    half = box.width / 2
    for i, (name, about) in enumerate(_BOOK):
        column = i % 2
        x = box.left + column * (half + 2.0)
        if column == 0:
            y -= 8.6
        used = page.text((x, y + 0.8), name, 3.0, bold=True)
        page.line([(x + used + 1.5, y), (x + half - 4.0, y)], width=0.2)
        page.text((x + half - 4.0, y - 2.6), about, 2.0, anchor="end", grey=SOFT)
    return y - 4.0
