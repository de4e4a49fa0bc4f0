"""One support for several books: which book a support fits, and the fewest supports for all.

A support that is there fits a book when it holds the book as it was measured, by the table of fit;
when it shows nowhere past the book and leaves no more of it over than is usual; and when it carries
the book's weight. The table was reasoned, not tried; what is added here likewise.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from cutfiles.bench.book import SIDES, Cover
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.support.fit import Allowed, Judgement, judge_fit, worst_of
from cutfiles.support.standing import Support, board_of
from cutfiles.support.states import State

SHORT = {"height": Allowed(20.0, 40.0), "width": Allowed(10.0, 20.0)}
"""How far a book may reach past its support, mm: harmless, and to be asked about (reasoned)."""


class Side(NamedTuple):
    """One half as it stands: joint's height, mm; slope, degrees; length of the board panel, mm."""

    joint: float
    slope: float
    panel: float


NOTHING = Side(0.0, 0.0, 0.0)
"""A half that a support does not have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """A support as it stands, as far as fit asks.

    Attributes:
        number: of the support.
        exhibit: that it was made for; empty where it is only planned.
        left: its left half.
        right: its right half.
        spine: width of the spine panel, mm.
        breadth: head to tail, mm.
        weight: of the book it was judged with, g.
        cover: of that book.
        state: of its verdict.

    """

    number: str
    exhibit: str
    left: Side
    right: Side
    spine: float
    breadth: float
    weight: float
    cover: Cover
    state: State


class Fit(NamedTuple):
    """Whether a support fits a book, and what keeps it from being harmless."""

    judgement: Judgement
    reasons: tuple[str, ...]


def stood_of(support: Support, state: State, weight: float, exhibit: str = "") -> Stood:
    """Return a support as fit asks for it.

    Args:
        support: as designed.
        state: of its verdict.
        weight: it was judged with, g.
        exhibit: it was made for.

    """
    level = not support.step
    halves = {
        half.side: Side(
            0.0 if level else board_of(support.slip, half.side).joint,
            math.degrees(half.slope),
            support.length("board", half.side),
        )
        for half in support.halves
    }
    return Stood(
        number=support.slip.book.number,
        exhibit=exhibit,
        left=halves.get("left", NOTHING),
        right=halves.get("right", NOTHING),
        spine=support.length("spine"),
        breadth=support.breadth,
        weight=weight,
        cover=support.slip.book.cover,
        state=state,
    )


def stood_from(data: Mapping[str, Any]) -> Stood:
    """Return a support as it stands, from data."""
    return Stood(**{**data, "left": Side(*data["left"]), "right": Side(*data["right"])})


def fit_of(stood: Stood, slip: Slip) -> Fit:
    """Return whether a support fits a book at its opening."""
    found = [*_places(stood, slip), *_edges(stood, slip), *_burden(stood, slip)]
    reasons = tuple(said for one, said in found if one != "harmless")
    return Fit(worst_of(one for one, _ in found), reasons)


Found = tuple[Judgement, str]


def _places(stood: Stood, slip: Slip) -> Iterator[Found]:
    """Yield how joints, fore edges, slopes and spine lie, by the table of fit."""
    for side in SIDES:
        board, half = board_of(slip, side), stood.left if side == "left" else stood.right
        joint, slope = half.joint - board.joint, half.slope - board.slope
        top = joint + board.width * (_sine(half.slope) - _sine(board.slope))
        yield judge_fit("joint", joint), f"{side} joint {joint:+.1f} mm"
        yield judge_fit("fore edge", top), f"{side} fore edge {top:+.1f} mm"
        yield judge_fit("slope", slope), f"{side} slope {slope:+.1f}°"
    wide = stood.spine - slip.opening.spine_width
    yield judge_fit("spine panel", wide), f"spine panel {wide:+.1f} mm"


def _edges(stood: Stood, slip: Slip) -> Iterator[Found]:
    """Yield whether the support shows past the book, or leaves much of it over."""
    yield _short("height", slip.book.height - stood.breadth, "head to tail")
    for side in SIDES:
        half = stood.left if side == "left" else stood.right
        yield _short("width", board_of(slip, side).width - half.panel, f"{side} board")


def _short(which: str, over: float, said: str) -> Found:
    """Return what follows from a book that reaches so far past its support."""
    if over < 0:
        return "not to be used", f"{said}: the support shows {-over:.1f} mm past the book"
    return SHORT[which].judge(over), f"{said}: the book reaches {over:.0f} mm past the support"


def _burden(stood: Stood, slip: Slip) -> Iterator[Found]:
    """Yield whether the support carries the book."""
    weight = slip.book.weight
    if weight is None:
        yield "ask", "the book's weight is not known"
    elif weight > stood.weight:
        yield "not to be used", f"{weight:.0f} g on a support judged for {stood.weight:.0f} g"
    if slip.book.cover == "limp" and stood.cover != "limp":
        yield "ask", "a limp cover on a support for boards"
    if stood.state == "make a trial":
        yield "ask", "not proved: it needs a trial first"
    elif stood.state == "another support":
        yield "not to be used", "it does not hold its own book"


def _sine(degrees: float) -> float:
    return math.sin(math.radians(degrees))


# -- the fewest for all ----------------------------------------------------------------------------


def fewest(serves: Mapping[int, frozenset[int]], books: frozenset[int]) -> tuple[int, ...]:
    """Return the fewest supports that serve all books that any serves.

    Exact: supports are tried for the book that fewest serve, the widest first; a branch ends where
    what is left cannot be served by fewer than the best so far. Ties are broken by number.

    Args:
        serves: of each support, the books it fits.
        books: those to be served; what none serves is left out.

    >>> fewest({1: frozenset("ab"), 2: frozenset("bc"), 3: frozenset("c")}, frozenset("abc"))
    (1, 2)

    """
    useful = _without_smaller(serves)
    can = frozenset().union(*useful.values()) & books if useful else frozenset()
    best = _greedy(useful, can)
    found = _search(useful, can, (), best)
    return tuple(sorted(found))


def _without_smaller(serves: Mapping[int, frozenset[int]]) -> dict[int, frozenset[int]]:
    """Return supports without those of which another serves all the same books and more."""
    kept: dict[int, frozenset[int]] = {}
    for number in sorted(serves, key=lambda one: (-len(serves[one]), one)):
        own = serves[number]
        if own and not any(own <= other for other in kept.values()):
            kept[number] = own
    return kept


def _greedy(serves: Mapping[int, frozenset[int]], books: frozenset[int]) -> tuple[int, ...]:
    chosen: list[int] = []
    while books:
        one = max(serves, key=lambda number: (len(serves[number] & books), -number))
        chosen.append(one)
        books -= serves[one]
    return tuple(chosen)


def _search(
    serves: Mapping[int, frozenset[int]],
    books: frozenset[int],
    chosen: tuple[int, ...],
    best: tuple[int, ...],
) -> tuple[int, ...]:
    if not books:
        return chosen if len(chosen) < len(best) else best
    if len(chosen) + _least(serves, books) >= len(best):
        return best
    by = {book: [n for n, own in serves.items() if book in own] for book in books}
    hardest = min(books, key=lambda book: (len(by[book]), book))
    for number in sorted(by[hardest], key=lambda n: (-len(serves[n] & books), n)):
        best = _search(serves, books - serves[number], (*chosen, number), best)
    return best


def _least(serves: Mapping[int, frozenset[int]], books: frozenset[int]) -> int:
    """Return how many supports are needed at least: books of which no support serves two."""
    count, rest = 0, set(books)
    while rest:
        near = {book: _near(serves, book) & rest for book in rest}
        book = min(rest, key=lambda one: (len(near[one]), one))
        rest -= near[book] | {book}
        count += 1
    return count


def _near(serves: Mapping[int, frozenset[int]], book: int) -> set[int]:
    return {other for own in serves.values() if book in own for other in own}


def shared(stood: Sequence[Stood], slips: Sequence[Slip]) -> dict[int, tuple[int, ...]]:
    """Return which designs serve which books, by their places: as few designs as there can be.

    Only what is harmless counts. A book goes to the chosen design nearest before it in the list,
    its own where that is chosen.

    Args:
        stood: the design of each book.
        slips: the books.

    """
    places = range(len(slips))
    serves = {
        i: frozenset(
            j for j in places if i == j or fit_of(stood[i], slips[j]).judgement == "harmless"
        )
        for i in places
    }
    chosen = fewest(serves, frozenset(places))
    out: dict[int, list[int]] = {i: [] for i in chosen}
    for j in places:
        own = j if j in out else next(i for i in chosen if j in serves[i])
        out[own].append(j)
    return {i: tuple(books) for i, books in out.items()}
