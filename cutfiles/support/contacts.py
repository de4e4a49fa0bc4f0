"""What touches what by design: film on film, with tape or without, and film on the table."""

from typing import Literal, NamedTuple

from cutfiles.bench.book import SideName
from cutfiles.dataclass import dataclass
from cutfiles.plane.shapes import Point

Face = Literal["book", "table"]
"""A face of the film, named by what it meets where the strip lies flat."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tape:
    """One strip of tape, head to tail, and what it joins.

    Attributes:
        panel: the panel it lies on.
        face: of that panel.
        to: the panel it is stuck to when folded.
        to_face: of that panel.
        end: the end of its panel that it is measured from, left or right in the strip.
        clear: from that end to the tape, mm.
        width: along the strip, mm.

    """

    panel: str
    face: Face
    to: str
    to_face: Face
    end: SideName
    clear: float
    width: float


class Rest(NamedTuple):
    """A place where the book's weight keeps a panel down, with nothing taped.

    Attributes:
        panel: what lies there.
        onto: what it lies on.
        place: where.

    """

    panel: str
    onto: str
    place: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Contacts:
    """What touches what in a support that stands.

    Attributes:
        tapes: in the order in which they are stuck.
        touching: pairs of flat pieces, by their panels' names, whose films lie on one another.
        table: panels that lie on the table all over.
        rests: where weight alone keeps a panel down.

    """

    tapes: tuple[Tape, ...]
    touching: tuple[frozenset[str], ...] = ()
    table: tuple[str, ...] = ()
    rests: tuple[Rest, ...] = ()


NARROW_TAPE = 6.0
"""The narrowest tape at hand, mm (common practice, no source)."""
WIDEST_TAPE = 12.0
"""The widest one at hand, mm (common practice, no source)."""


def tape_place(tab: float, inset: float) -> tuple[float, float]:
    """Return how far the tape stays off a tab's tip, and how wide it can be, mm.

    It keeps off the joint too, as far as the narrowest usual tape still fits.

    >>> tape_place(9.5, 3.0)
    (3.0, 6.0)
    """
    clear = min(inset, tab / 2)
    beyond = min(inset, max(0.0, tab - clear - NARROW_TAPE))
    return clear, tab - clear - beyond
