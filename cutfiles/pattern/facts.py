"""What every file says of itself: number, unit, view, film, measures, program."""

from cutfiles.bench.book import Board
from cutfiles.bench.film import MATERIAL
from cutfiles.support.cradle import Support
from cutfiles.version import VERSION

PROGRAM = "made by"
"""The one fact that may differ when a file is checked at a later time."""


def facts_of(support: Support) -> tuple[tuple[str, str], ...]:
    """Return the facts, name and value, in order. Lengths in mm, angles in degrees."""
    book, opening = support.slip.book, support.slip.opening
    return (
        ("number", book.number),
        ("unit", "mm"),
        ("view", "book face up, head up"),
        ("material", MATERIAL),
        ("gauge", support.film.gauge_text),
        ("layers", str(support.film.layers)),
        ("height", _mm(book.height)),
        ("spine width", _mm(opening.spine_width)),
        *_board("left", opening.left),
        *_board("right", opening.right),
        (PROGRAM, f"cutfiles {VERSION}"),
    )


def _board(side: str, board: Board) -> tuple[tuple[str, str], ...]:
    return (
        (f"{side} width", _mm(board.width)),
        (f"{side} rise", _mm(board.rise)),
        (f"{side} slope", f"{board.slope:.2f} deg"),
    )


def _mm(length: float) -> str:
    return f"{length:.2f} mm"
