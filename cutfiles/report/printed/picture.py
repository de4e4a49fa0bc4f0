"""A picture of one step, in space, before any view of it is chosen."""

from collections.abc import Iterable

from cutfiles.dataclass import dataclass
from cutfiles.folding.space import Spot
from cutfiles.report.pictures.strip import Polygon

Line = tuple[Spot, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One step, in space: mm, x to the right, y to the head, z up.

    Attributes:
        polygons: of film and book.
        active: names of the creases folded in this step.
        before: the film's front edge as it was, where it moved.
        arrows: on the film's way.
        rings: letters of creases, the places they stand for, and whether below or above them.
        words: short texts and where their middle stands.
        bars: thick lines: tape seen from its end.
        tapes: tape seen from above.
        lines: thin lines.
        turned: whether the whole piece is turned over.
        above: whether it lies on the table and is seen from above.
        head: a line towards the head, beside the piece.

    """

    polygons: tuple[Polygon, ...] = ()
    active: frozenset[str] = frozenset()
    before: tuple[Line, ...] = ()
    arrows: tuple[Line, ...] = ()
    rings: tuple[tuple[str, Spot, int], ...] = ()
    words: tuple[tuple[str, Spot], ...] = ()
    bars: tuple[Line, ...] = ()
    tapes: tuple[Line, ...] = ()
    lines: tuple[Line, ...] = ()
    turned: bool = False
    above: bool = False
    head: Line = ()

    def spots(self) -> Iterable[Spot]:
        """Yield all places, for the picture's extent."""
        for polygon in self.polygons:
            yield from polygon.corners
        for group in (self.before, self.arrows, self.bars, self.tapes, self.lines, (self.head,)):
            for line in group:
                yield from line
        yield from (place for _, place, _ in self.rings)
        yield from (place for _, place in self.words)
