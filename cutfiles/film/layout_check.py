"""Checks a layout by its own means: every piece once, inside, apart, as its film allows.

It shares no code with the search: places are compared in mm, each with each whose left edges are
near. A fault here is a fault of ours and stops the work.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

CLOSE = 1e-6
"""Two places closer than this are one, mm."""


class Lying(NamedTuple):
    """One piece on one sheet: its name, place and size, mm, whether turned a quarter, shape."""

    name: str
    left: float
    bottom: float
    width: float
    height: float
    turned: bool
    shape: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """Name and shape: which piece lies here."""
        return self.name, self.shape


class Ground(NamedTuple):
    """One sheet, mm: its name, size, and what lies on it."""

    name: str
    width: float
    height: float
    pieces: tuple[Lying, ...]


class Wanted(NamedTuple):
    """One kind of piece: how many are needed, its size, and which ways it may lie."""

    number: int
    width: float
    height: float
    ways: tuple[bool, ...]


def layout_faults(
    wanted: Mapping[str, Wanted], sheets: Sequence[Ground], margin: float, spacing: float
) -> Iterator[str]:
    """Yield what is wrong with a layout, one sentence each; nothing where all is well."""
    counted = Counter(piece.name for sheet in sheets for piece in sheet.pieces)
    for name in sorted({*wanted, *counted}):
        needed = wanted[name].number if name in wanted else 0
        if counted[name] != needed:
            yield f"{name} lies {counted[name]} times, should lie {needed} times"
    for sheet in sheets:
        for piece in sheet.pieces:
            if piece.name in wanted:
                yield from _piece_faults(piece, wanted[piece.name], sheet, margin)
        yield from _too_close(sheet, spacing)


def _piece_faults(piece: Lying, want: Wanted, sheet: Ground, margin: float) -> Iterator[str]:
    width, height = (want.height, want.width) if piece.turned else (want.width, want.height)
    place = f"{piece.name} on {sheet.name}"
    if abs(piece.width - width) > CLOSE or abs(piece.height - height) > CLOSE:
        yield f"{place} has another size"
    if piece.turned not in want.ways:
        yield f"{place} is turned against the grain"
    over = max(
        margin - piece.left,
        margin - piece.bottom,
        piece.left + piece.width - (sheet.width - margin),
        piece.bottom + piece.height - (sheet.height - margin),
    )
    if over > CLOSE:
        yield f"{place} reaches {over:.3f} mm over the margin"


def _too_close(sheet: Ground, spacing: float) -> Iterator[str]:
    pieces = sorted(sheet.pieces, key=lambda piece: (piece.left, piece.bottom))
    for i, one in enumerate(pieces):
        for other in pieces[i + 1 :]:
            across = other.left - (one.left + one.width)
            if across >= spacing - CLOSE:
                break
            up = max(
                other.bottom - (one.bottom + one.height), one.bottom - (other.bottom + other.height)
            )
            if max(across, up) < spacing - CLOSE:
                yield (
                    f"{one.name} and {other.name} on {sheet.name} lie {max(across, up):.3f} mm "
                    f"apart, should be {spacing:g} mm"
                )
