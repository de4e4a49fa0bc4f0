"""The plan of a case: its supports from the front and from above, row by row, to one scale.

Where the list names places, they order the plan: numbers in one row from left to right, other
words ("back", "shelf 2") a row each. Without places it is the list's order.
"""

import re
from collections.abc import Iterator, Sequence

from cutfiles.dataclass import dataclass
from cutfiles.exhibit.results import View
from cutfiles.exhibit.tables import natural
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.paper import LEAST, PALE, SOFT, Paper

GAP = 20.0
"""Between two supports side by side, mm (common practice, no source)."""
_UNKNOWN = 60.0
"""As wide is drawn what nobody has measured, mm."""
_MOST, _SMALLEST = 0.2, 0.08
"""Scales: the largest; and the smallest before a row is broken in two."""
_TALL = 24.0
"""Room for a row's front, and for its view from above, mm of paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One support as it is placed in a case.

    Attributes:
        number: of the support.
        title: of the book.
        shelf_mark: where the book belongs.
        opening: the place it is open at.
        place: where in the case, as the list says.
        stage: how far the support is; or that there is none.
        view: its end view; empty where nothing was made.
        depth: of the book, head to tail, mm; 0 where it is not known.
        supports: how many, and of what film, in words.
        straps: of each, in words.
        dummy: what proves it, in words.
        lux: the light it may have, as the list says.
        do_nots: what the book does not bear.
        barred: that and why the support is not to be used, in words; empty where it is.

    """

    number: str
    title: str = ""
    shelf_mark: str = ""
    opening: str = ""
    place: str = ""
    stage: str = ""
    view: View = ()
    depth: float = 0.0
    supports: str = ""
    straps: tuple[str, ...] = ()
    dummy: str = ""
    lux: str = ""
    do_nots: tuple[str, ...] = ()
    barred: tuple[str, ...] = ()

    @property
    def extent(self) -> tuple[float, float]:
        """Width from end to end, and height, of support and boards, mm."""
        places = [place for _, line in self.view for place in line]
        if not places:
            return 0.0, 0.0
        xs, ys = zip(*places, strict=True)
        return max(xs) - min(xs), max(ys)

    @property
    def deep(self) -> float:
        """How deep it is drawn, mm: nothing of what is not measured."""
        return self.depth if self.view else 0.0

    @property
    def width(self) -> float:
        """As wide as it is drawn, mm."""
        return self.extent[0] or _UNKNOWN


def case_name(case: str) -> str:
    """Return a case as people call it: its own word for it, or "case" before its number.

    >>> case_name("3"), case_name("Vitrine 3"), case_name("")
    ('case 3', 'Vitrine 3', 'no case')
    """
    if not case:
        return "no case"
    said = re.match(r"(?:show|display )?case\b|vitrin|wall|table|room|shelf", case, re.IGNORECASE)
    return case if said else f"case {case}"


def in_places(placed: Sequence[Placed]) -> list[tuple[str, list[Placed]]]:
    """Return the rows of a case: what each is called, and what stands in it from left to right.

    >>> one, two = Placed(number="A", place="2"), Placed(number="B", place="1")
    >>> [(name, [p.number for p in row]) for name, row in in_places((one, two))]
    [('', ['B', 'A'])]
    """
    rows: dict[str, list[Placed]] = {}
    for one in sorted(placed, key=lambda one: natural(one.place)):
        rows.setdefault("" if _is_number(one.place) else one.place, []).append(one)
    return [*rows.items()]


def _is_number(place: str) -> bool:
    return bool(re.fullmatch(r"\d*", place))


@dataclass(frozen=True, slots=True)
class _Row:
    """A row as it is drawn: what it is called, what stands in it, its scale, all of its width."""

    name: str
    placed: tuple[Placed, ...]
    scale: float
    length: float

    @property
    def high(self) -> float:
        """How high its front is, mm of paper."""
        return max(one.extent[1] for one in self.placed) * self.scale

    @property
    def tall(self) -> float:
        """Room it takes, mm of paper."""
        deep = max(one.deep for one in self.placed) * self.scale
        return 5.0 + self.high + 6.0 + deep + 5.0


def plan_rows(placed: Sequence[Placed], width: float) -> Iterator[_Row]:
    """Yield the rows of a plan, each as large as a width of paper allows, mm."""
    for name, own in in_places(placed):
        most, row = width / _SMALLEST, list[Placed]()
        for one in own:
            if row and _length([*row, one]) > most:
                yield _row(name, row, width)
                row = []
            row.append(one)
        yield _row(name, row, width)


def _row(name: str, row: Sequence[Placed], width: float) -> _Row:
    length = _length(row)
    most = max(1.0, *(max(one.extent[1], one.deep) for one in row))
    return _Row(name, (*row,), min(_MOST, width / length, _TALL / most), length)


def _length(row: Sequence[Placed]) -> float:
    return sum(one.width for one in row) + GAP * (len(row) - 1)


def draw_row(page: Paper, box: Box, row: _Row) -> None:
    """Draw one row of a plan into the top of a box: the fronts, their numbers, the view above."""
    unknown = sum(not one.view for one in row.placed)
    barred = sum(bool(one.barred) for one in row.placed)
    without = f", {unknown} of them without a support of film" if unknown else ""
    without += f", {barred} not to be used (crossed out)" if barred else ""
    seen = "" if barred else ", seen from the front and from above"
    head = f"{row.name}: " if row.name else ""
    page.text(
        (box.left, box.top - 3.0),
        f"{head}from left to right{seen}; together "
        f"{row.length:.0f} mm wide, {GAP:.0f} mm between{without}",
        LEAST,
        bold=True,
        width=box.width,
    )
    ground, x = box.top - 5.0 - row.high, box.left + 4.0
    page.line([(box.left, ground), (box.right, ground)], width=0.2)
    for one in row.placed:
        wide = one.width * row.scale
        middle, room = x + wide / 2, wide + GAP * row.scale
        if not one.barred:
            draw_view(page, one.view, middle, ground, row.scale)
        at = (middle, ground - 4.0)
        page.text(at, one.number, LEAST, bold=True, anchor="middle", width=room)
        if one.deep:
            top = ground - 6.0
            ground_plan = Box(x, top - one.deep * row.scale, x + wide, top)
            page.box_line(ground_plan, width=0.2, fill=None if one.barred else PALE)
            if one.barred:
                page.line([(x, top), (x + wide, ground_plan.bottom)], width=0.3)
                page.line([(x, ground_plan.bottom), (x + wide, top)], width=0.3)
                x += room
                continue
            page.line([(middle, ground_plan.bottom), (middle, top)], width=0.15, grey=SOFT)
        x += room


def draw_view(page: Paper, view: View, middle: float, ground: float, scale: float) -> None:
    """Draw an end view about its middle, on the ground."""
    places = [place for _, line in view for place in line]
    if not places:
        return
    centre = (min(x for x, _ in places) + max(x for x, _ in places)) / 2
    for kind, line in view:
        at = [(middle + (x - centre) * scale, ground + y * scale) for x, y in line]
        board = kind == "board"
        page.line(at, width=0.8 if board else 0.25, grey=SOFT if board else 0.0)
