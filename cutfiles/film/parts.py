"""Pieces nested in parts that need nothing of one another: several processes can share the work."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple, Protocol, TypeVar

from cutfiles.film.nest import fewest_sheets, shortest_strip
from cutfiles.film.skyline import Budget, Placed, Variants

MOST_TOGETHER = 300
"""More pieces than this are nested in parts."""
Lies = tuple[Placed, ...]
"""What lies on one sheet."""
Packed = tuple[Lies, ...]
"""Sheets with what lies on each."""
Task = TypeVar("Task")
Result = TypeVar("Result")


class Spread(Protocol):
    """Does a work for each of many tasks, in any process, and yields the results in their order."""

    def __call__(
        self, work: Callable[[Task], Result], tasks: Iterable[Task], /
    ) -> Iterator[Result]:
        """Yield what came of each task."""
        ...


class Part(NamedTuple):
    """Pieces to be nested on sheets of one size.

    Attributes:
        pieces: how each may lie.
        across: width of the sheets.
        up: their height.
        effort: work that the search may do.
        shorten: whether each sheet is then made as short as found, as off a roll.

    """

    pieces: tuple[Variants, ...]
    across: int
    up: int
    effort: int
    shorten: bool


Ahead = Mapping[Part, Packed]
"""What was nested before it is laid."""


def parts_of(count: int) -> list[range]:
    """Return pieces, sorted by size, dealt out to parts of a like mix: the work stays linear.

    >>> parts_of(5), parts_of(301)
    ([range(0, 5)], [range(0, 301, 2), range(1, 301, 2)])
    """
    parts = max(1, -(-count // MOST_TOGETHER))
    return [range(first, count, parts) for first in range(parts)]


def pack(part: Part) -> Packed:
    """Return sheets of a part, the fullest first."""
    budget = Budget(part.effort // 2 if part.shorten else part.effort)
    which = range(len(part.pieces))
    packed = fewest_sheets(part.pieces, which, part.across, part.up, budget)
    packed = tuple(sorted(packed, key=lambda one: -area(one)))
    return _shortened(part, packed) if part.shorten else packed


def _shortened(part: Part, packed: Packed) -> Packed:
    share, each = Budget(0), part.effort // 2 // max(1, len(packed))
    best = []
    for one in packed:
        share.left += each
        shorter = shortest_strip(part.pieces, [placed[0] for placed in one], part.across, share)
        best.append(shorter if top(shorter) <= top(one) else one)
    return tuple(best)


def area(placed: Sequence[Placed]) -> int:
    """Return the area of what lies on a sheet."""
    return sum(width * height for _, _, _, width, height in placed)


def top(placed: Sequence[Placed]) -> int:
    """Return the upper edge of what lies on a sheet."""
    return max(bottom + height for _, _, bottom, _, height in placed)
