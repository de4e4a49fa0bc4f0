"""How much of a file from outside is read: all limits in one place, told in words.

Work is counted, never timed, so that one file is refused alike on every machine. With these limits
the worst file takes seconds and well under 500 MB (`tests/bench/mutated_drawings.py`).
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from cutfiles.errors import FileError

MOST_NODES = 60_000
"""Elements of an SVG, entities of a DXF, clones and block contents counted each time."""
MOST_LINES = 2_500
"""Lines that are compared with the pattern's: each is looked at by itself."""
MOST_CUTS = 300
"""Rings that are cut: each is judged beside all others."""
MOST_ON_OUTLINE = 200_000
"""Places of an outline times the stretches in which it is another: each is looked for on it."""
MOST_POINTS = 150_000
"""Places of all lines together, curves flattened."""
MOST_NUMBERS = 400_000
"""Numbers in one path or in all of a PDF's page."""
MOST_ROWS = 1_000_000
"""Of a DXF's text: its library reads all of it before anything can be counted."""
MOST_LETTERS = 4_000
"""Of a transform, a dash pattern, a name."""
DEEPEST = 60
"""Groups in groups, clones in clones, blocks in blocks."""
FARTHEST = 1e6
"""A place further out is damage, mm."""


def refusal(found: str, needed: str, remedy: str = "") -> FileError:
    """Return the refusal of a drawing that cannot be read."""
    return FileError(
        found, needed, remedy or "save it again as SVG, DXF or PDF, or make it anew", "drawing"
    )


def too_much(what: str, most: int) -> FileError:
    """Return the refusal of a file that holds more than is read."""
    return refusal(
        f"more than {most:,} {what}",
        "a cut file holds a few hundred lines",
        "leave out what is no part of the support: pictures, textures, traced text",
    )


def check_places(places: Iterable[tuple[float, float]]) -> None:
    """Refuse places that lie nowhere, or further out than any drawing.

    Raises:
        FileError: one does.

    """
    if not all(abs(x) <= FARTHEST and abs(y) <= FARTHEST for x, y in places):
        raise refusal(
            "a line without a place, or one that lies a kilometre off",
            "every line of a drawing lies within it",
        )


class Budget:
    """Counts the work that is spent on one file."""

    def __init__(self) -> None:
        self.nodes = self.lines = self.points = self.numbers = 0

    def node(self, depth: int = 0) -> None:
        """Count one element.

        Raises:
            FileError: there are too many, or it lies too deep.

        """
        self.nodes += 1
        if self.nodes > MOST_NODES:
            raise too_much("elements", MOST_NODES)
        if depth > DEEPEST:
            raise refusal(
                f"groups in groups more than {DEEPEST} deep, or a clone of itself",
                "a layer is one group",
            )

    def line(self) -> None:
        """Count one line that is to be compared.

        Raises:
            FileError: there are too many.

        """
        self.lines += 1
        if self.lines > MOST_LINES:
            raise too_much("lines", MOST_LINES)

    def more_points(self, count: int) -> None:
        """Count places of lines.

        Raises:
            FileError: there are too many.

        """
        self.points += count
        if self.points > MOST_POINTS:
            raise too_much("places on lines", MOST_POINTS)

    def more_numbers(self, count: int) -> None:
        """Count numbers that are to be read.

        Raises:
            FileError: there are too many.

        """
        self.numbers += count
        if self.numbers > MOST_NUMBERS:
            raise too_much("numbers", MOST_NUMBERS)


@contextmanager
def damage_told(what: str, library: str) -> Iterator[None]:
    """Tell whatever a library stumbles over as a refusal in words, and nothing else of it.

    Raises:
        FileError: instead of any error that damaged content raises.

    """
    import logging  # as the library does; what only asks for a limit needs none

    logger = logging.getLogger(library)
    level = logger.level
    logger.setLevel(logging.CRITICAL)
    try:
        yield
    except FileError:
        raise
    except RecursionError:
        raise refusal(f"{what} nested without end", "a layer is one group") from None
    except MemoryError:
        raise refusal(f"{what} too large to be read", "a cut file is small") from None
    except Exception as error:  # a library may raise anything on damage
        said = " ".join(str(error).split())[:80] or type(error).__name__
        raise refusal(f"{what} that cannot be read ({said})", "a whole file is needed") from None
    finally:
        logger.setLevel(level)
