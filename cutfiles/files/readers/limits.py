"""How much of a cut file is read: every limit of this room stands here, told in words.

Work is counted, never timed, so that one file is refused alike on every machine. The largest sheet
of an exhibit, all its scores perforated, has a third of what is allowed.
"""

from collections.abc import Sequence

from cutfiles.errors import FileError

MOST_BYTES = 16_000_000
"""Of a file."""
MOST_LINES = 150_000
"""Paths of a file; elements of an SVG."""
MOST_PLACES = 400_000
"""Places on all lines together."""
MOST_FOLDED_LINES = 5_000
"""Lines of a file that is to be folded, edges of a FOLD file: one support has a few hundred."""
MOST_FOLDED_PLACES = 50_000
"""Places on the lines of a file that is to be folded."""
LONGEST_NUMBER = 40
"""Digits of a number."""
MOST_LETTERS = 4_000
"""Of a transform."""


def at_most(count: int, limit: int, what: str) -> None:
    """Refuse what is more than is read.

    Args:
        count: of what the file holds.
        limit: how many are read.
        what: they are, for people.

    Raises:
        FileError: there are more.

    """
    if count > limit:
        raise FileError(
            f"more than {limit:,} {what}",
            "a cut file holds a few hundred lines, a sheet some thousands",
            "leave out what is no part of the support, or make the file again from its slip",
        )


def short_numbers(words: Sequence[str]) -> None:
    """Refuse numbers of more digits than any place has.

    Raises:
        FileError: one has.

    """
    at_most(max(map(len, words), default=0), LONGEST_NUMBER, "digits in a number")


def short_number(word: str) -> None:
    """Refuse a number of more digits than any place has.

    Raises:
        FileError: it has.

    """
    if len(word) > LONGEST_NUMBER:
        short_numbers([word])
