"""Rows of a table as lines of text, their cells below one another."""

from collections.abc import Sequence


def aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    """Return a line a row, each column as wide as its widest cell.

    >>> aligned([("film", "mil"), ("A", "7")])
    ['film  mil', 'A     7']
    """
    return padded(rows, [max(map(len, column)) for column in zip(*rows, strict=True)])


def padded(rows: Sequence[Sequence[str]], widths: Sequence[int]) -> list[str]:
    """Return a line a row, columns of these widths; a longer cell moves those after it."""
    return [
        "  ".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
