"""Questions to who measured: where a slip contradicts itself. Nothing is ever changed by them.

Two measures of one thing are compared within what measuring usually leaves open (common practice,
from memory); the message says which of the two was used.
"""

import re
from collections.abc import Iterator

from cutfiles.bench.book import SIDES, SideName
from cutfiles.bench.heights import Doubt
from cutfiles.bench.slip import Slip
from cutfiles.errors import Fault, SlipError
from cutfiles.lengths import Lengths
from cutfiles.units import GRAMS_PER_OUNCE

SLOPES_APART = 4.0
"""Two measures of one angle further apart than this contradict each other, degrees."""
WIDTHS_APART = 3.0
"""Stiff boards of one book differ by less, mm."""
SIDES_APART = 4.0
"""Two sides (1 mm each) against the spine (2 mm): the usual errors added, mm."""
SPINE_WIDER = 1.5
"""Hardly a spine is wider than so many boards."""
LIGHT, HEAVY = 0.55, 1.2
"""What books weigh, g/cm³; coated paper reaches the upper end (from memory)."""
PAGE_APART = 5.0
"""How well an opening angle is measured, degrees."""
_FRONT = re.compile(r"\b(front|title page|frontispiece|first)\b", re.IGNORECASE)
_BACK = re.compile(r"\b(back|last|end)\b", re.IGNORECASE)
_PAGE = re.compile(r"\b(?:pp?|ff?|fols?)\.?\s*(\d+)", re.IGNORECASE)


_ANSWERS = ("joint", "leaves")
"""Questions that say themselves how they are answered."""
_AGAIN = "measure again and correct the slip, or leave out the measure that is wrong"


def queries(slip: Slip) -> Iterator[Doubt]:
    """Yield the questions that a slip raises.

    >>> from cutfiles.bench.slip import slip_from
    >>> slip = slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                   "spine_width": 34, "left_slope": 30, "right_slope": 30,
    ...                   "opening_angle": 110})
    >>> one = next(queries(slip))
    >>> print(one.path, one.found, one.needed, sep="; ")
    opening_angle; "110"; the two sides leave 120.0° between the boards
    """
    yield from (doubt for doubt in slip.joints.doubts if doubt.severity == "ask")
    yield from _leaves(slip)
    yield from _slopes(slip)
    yield from _widths(slip)
    yield from _spine(slip)
    yield from _thickness(slip)
    yield from _weight(slip)
    yield from _pages(slip)
    yield from _cover(slip)


def require_answers(slip: Slip) -> None:
    """Refuse a slip that raises questions.

    Raises:
        SlipError: every question as a fault.

    """
    faults = tuple(
        Fault(
            slip.source.at(one.path),
            one.found,
            one.needed,
            one.then if one.rule in _ANSWERS else _AGAIN,
        )
        for one in queries(slip)
    )
    if faults:
        raise SlipError(faults)


def book_volume(slip: Slip) -> float:
    """Return the closed book's volume, cm³: height × mean width × thickness."""
    opening = slip.opening
    width = (opening.left.width + opening.right.width) / 2
    return slip.book.height * width * book_thickness(slip) / 1000


def book_thickness(slip: Slip) -> float:
    """Return the closed book's thickness, mm: both sides, else as measured, else the spine."""
    left, right = slip.opening.left.side, slip.opening.right.side
    if left is not None and right is not None and left + right > 0:
        return left + right
    return slip.book.thickness or slip.opening.spine_width


def weight_of(slip: Slip) -> tuple[float, bool]:
    """Return the weight a book is judged at, g, and whether it is estimated: at the upper end."""
    weight = slip.book.weight
    return (HEAVY * book_volume(slip), True) if weight is None else (weight, False)


def side_thickness(slip: Slip, side: SideName) -> float:
    """Return the thickness of board and leaves on a side, mm: measured, or half of the book."""
    measured = (slip.opening.left if side == "left" else slip.opening.right).side
    return book_thickness(slip) / 2 if measured is None else measured


def weight_text(grams: float, slip: Slip) -> str:
    """Return a weight in the slip's units, with no more digits than it is known to.

    >>> from cutfiles.bench.slip import slip_from
    >>> slip = slip_from({"number": "1", "units": "in", "height": 8, "width": 5,
    ...                   "spine_width": 1, "opening_angle": 120})
    >>> weight_text(641, slip)
    '22.6 oz (641 g)'
    """
    if slip.units == "in":
        return f"{grams / GRAMS_PER_OUNCE:.1f} oz ({grams:.0f} g)"
    return f"{grams:.0f} g"


def _quoted(slip: Slip, path: str) -> str:
    return f'"{slip.said.get(path, "")}"'


def _leaves(slip: Slip) -> Iterator[Doubt]:
    """Leaves that open less than the boards, and nobody said what to follow."""
    page, boards = slip.opening.page_angle, slip.joints.opening_angle
    if page is None or boards - page <= PAGE_APART or "support.follow" in slip.given:
        return
    lies = (slip.joints.left, slip.joints.right)
    found, made = (
        f"{left.slope:.1f}° and {right.slope:.1f}°"
        for left, right in (lies, (slip.opening.left, slip.opening.right))
    )
    yield Doubt(
        "leaves",
        "page_angle",
        f"{page:.0f}°",
        f"the boards lie {boards:.0f}° open",
        f"the leaves were followed: slopes of {made}, the boards' own {found}; write follow = "
        '"leaves" or follow = "boards" under [support]',
        page,
        boards,
    )


def _slopes(slip: Slip) -> Iterator[Doubt]:
    given = slip.given
    for side in SIDES:
        if {f"{side}_rise", f"{side}_slope"} <= given.keys():
            lie = slip.joints.left if side == "left" else slip.joints.right
            slope, rise = given[f"{side}_slope"], lie.slope
            if abs(slope - rise) > SLOPES_APART:
                yield Doubt(
                    "slope",
                    f"{side}_slope",
                    _quoted(slip, f"{side}_slope"),
                    f"{side}_rise gives {rise:.1f}°",
                    "the rise was used",
                    slope,
                    rise,
                )
    opening = given.get("opening_angle")
    both = all(
        {f"{side}_rise", f"{side}_slope", f"{side}_fore_edge"} & given.keys() for side in SIDES
    )
    left = slip.joints.opening_angle
    if opening is not None and both and abs(opening - left) > SLOPES_APART:
        yield Doubt(
            "opening",
            "opening_angle",
            _quoted(slip, "opening_angle"),
            f"the two sides leave {left:.1f}° between the boards",
            "the sides were used",
            opening,
            left,
        )


def _widths(slip: Slip) -> Iterator[Doubt]:
    left, right = slip.opening.left.width, slip.opening.right.width
    if slip.book.cover != "limp" and abs(left - right) > WIDTHS_APART:
        yield Doubt(
            "widths",
            "right_width",
            Lengths(slip.units).both(right),
            f"the left board is {Lengths(slip.units).both(left)} wide, and stiff boards of one "
            "book are alike",
            "each side was made to its own width",
            abs(left - right),
            WIDTHS_APART,
        )


def _spine(slip: Slip) -> Iterator[Doubt]:
    """A spine far wider than the boards: the two measures exchanged."""
    opening, both = slip.opening, Lengths(slip.units).both
    width = max(opening.left.width, opening.right.width)
    if opening.spine_width > SPINE_WIDER * width:
        yield Doubt(
            "spine-wide",
            "spine_width" if "spine_width" in slip.given else "thickness",
            both(opening.spine_width),
            f"a board is {both(width)} wide: were the two exchanged?",
            "both were used as they are",
            opening.spine_width,
            SPINE_WIDER * width,
        )


def _thickness(slip: Slip) -> Iterator[Doubt]:
    left, right = slip.opening.left.side, slip.opening.right.side
    spine = slip.opening.spine_width
    if left is None or right is None:
        return
    # a thick spine is rounder: a fifth more or less is the book's shape, not an error
    most = max(SIDES_APART, spine / 5)
    if abs(left + right - spine) > most:
        both = Lengths(slip.units).both(left + right)
        path = "spine_width" if "spine_width" in slip.given else "thickness"
        yield Doubt(
            "sides",
            path,
            Lengths(slip.units).both(spine),
            f"the two sides together are {both} thick",
            "the spine was used for the spine panel, the sides for the weight on each leg",
            left + right - spine,
            most,
        )


def _weight(slip: Slip) -> Iterator[Doubt]:
    weight, volume = slip.book.weight, book_volume(slip)
    if weight is None or LIGHT * volume <= weight <= HEAVY * volume:
        return
    density = weight / volume
    low, high = weight_text(LIGHT * volume, slip), weight_text(HEAVY * volume, slip)
    yield Doubt(
        "weight",
        "weight",
        _quoted(slip, "weight") if "weight" in slip.said else f"{weight:g} g",
        f"a book of this size usually weighs {low} to {high}",
        "the weight was used as it is",
        density,
        HEAVY if density > HEAVY else LIGHT,
    )


def _pages(slip: Slip) -> Iterator[Doubt]:
    """Leaves wider open than the boards, and a thin side where the page number says thick."""
    opening = slip.opening
    page, boards = opening.page_angle, slip.joints.opening_angle
    if page is not None and page > boards + PAGE_APART:
        yield Doubt(
            "page-angle",
            "page_angle",
            f"{page:.0f}°",
            f"the boards lie {boards:.0f}° open, and leaves do not open wider",
            "the boards were used",
            page,
            boards,
        )
    left, right = opening.left.side, opening.right.side
    place = _place_in_book(slip)
    if place is None or left is None or right is None or left + right <= 0:
        return
    share = left / (left + right)
    if (place < 0.4 and share > 0.6) or (place > 0.6 and share < 0.4):
        where = "near the front" if place < 0.5 else "near the back"
        yield Doubt(
            "swapped",
            "left_side",
            Lengths(slip.units).both(left),
            f'"{opening.label}" is {where}, but the {"left" if share > 0.5 else "right"} side is '
            "the thick one: were the sides swapped? (a book read from right to left is no error)",
            "the sides were used as they are",
            share,
            place,
        )


def _place_in_book(slip: Slip) -> float | None:
    """Return where a book is open, 0 the front and 1 the back; None where the slip leaves it open.

    By its page number where the last one is known; else by the words of the label.
    """
    label = slip.opening.label
    number = _PAGE.search(label)
    if number and slip.book.pages:
        return min(1.0, int(number[1]) / slip.book.pages)
    front, back = _FRONT.search(label), _BACK.search(label)
    if front and not back:
        return 0.0
    if back and not front:
        return 1.0
    return 0.0 if number and int(number[1]) <= 3 else None


def _cover(slip: Slip) -> Iterator[Doubt]:
    if "cover" not in slip.given and slip.book.cover == "limp":
        yield Doubt(
            "cover",
            "cover",
            "a limp cover",
            f'the binding "{slip.book.binding}" sounds limp',
            'it counts as limp, which bears less; write cover = "limp" or cover = "boards"',
            None,
            None,
        )
