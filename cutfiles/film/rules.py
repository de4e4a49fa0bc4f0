"""How pieces are laid on film: room at the edge, between pieces, sheets off a roll, effort. mm."""

from cutfiles.dataclass import dataclass
from cutfiles.errors import ReadingError

PIN_DIAMETER = 3.0
"""Of a pin hole, mm (common practice, no source)."""
PIN_CLEAR = 1.0
"""Film left on every side of a pin hole, mm (common practice, no source)."""
PIN_ROOM = PIN_DIAMETER + 2 * PIN_CLEAR
"""Waste that crosses and pin holes need all around the pieces, mm."""
MARGIN = 10.0
"""Between a piece and the edge of the film, mm: room for marks (common practice, no source)."""
SPACING = 3.0
"""Between two pieces, mm (common practice, no source)."""
LONGEST = 1500.0
"""A roll is cut into sheets no longer than this, mm, unless the cutter's bed says otherwise."""
LIMITS = {"margin": (PIN_ROOM, 200.0), "spacing": (0.0, 200.0), "longest": (140.0, 100_000.0)}
"""Least and most of each length, mm."""
EFFORTS = {"quick": 800_000, "usual": 12_000_000, "thorough": 60_000_000}
"""Work that a search may do: pieces and places looked at; 8 million take about a second.

The usual half as much again makes strips 0.1 per cent shorter (`tests/bench/table.py`), for a
twentieth of the time of an exhibit of sixty books.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """How pieces are laid on film.

    Attributes:
        margin: to the edge of the film, mm.
        spacing: between pieces, mm.
        bed: width and length the cutter takes, mm, or None.
        longest: longest sheet cut off a roll, mm.
        effort: work the search may do for one kind of film and up to 300 pieces.

    """

    margin: float = MARGIN
    spacing: float = SPACING
    bed: tuple[float, float] | None = None
    longest: float = LONGEST
    effort: int = EFFORTS["usual"]

    def __post_init__(self) -> None:
        """Refuse what cannot be laid.

        Raises:
            ReadingError: a length is out of its limits.

        """
        for name, (least, most) in LIMITS.items():
            value = getattr(self, name)
            if not least <= value <= most:
                raise ReadingError(
                    f"{value:g} mm", f"{name} from {least:g} to {most:g} mm", "choose another"
                )
