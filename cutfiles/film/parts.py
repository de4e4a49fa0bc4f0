"""Pieces nested in parts that need nothing of one another: several processes can share the work."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import NamedTuple, Protocol, TypeVar

from cutfiles.film.nest import fewest_sheets
from cutfiles.film.roll import Lengths, least_film
from cutfiles.film.skyline import Budget, Lies, Variants

MOST_TOGETHER = 300
"""More pieces than this are nested in parts."""
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
        margins: what each sheet off a roll takes of it beside what lies on it; None for sheets
            that are all as high as they may be.

    """

    pieces: tuple[Variants, ...]
    across: int
    up: int
    effort: int
    margins: int | None


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
    """Return sheets of a part."""
    pieces, across, up, effort, margins = part
    which = range(len(pieces))
    if margins is None:
        return fewest_sheets(pieces, which, across, up, Budget(effort))
    return least_film(pieces, which, Lengths(across, up, margins), Budget(effort))
