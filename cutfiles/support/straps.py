"""Straps: what holds the leaves of each side down; how many, which, how long, where.

A strap runs head to tail round a board and its leaves, near the fore edge on blank margin, and is
joined to itself: never to the book, never to the support. Its cut length is

    2 · (height + thickness held) + lap

Where the board panels have slots, it goes down through them and runs under the panel instead of
under the whole support. (plane geometry; the lap and the widths are common practice, no source)
"""

import math
from typing import Literal

from cutfiles.bench.book import SideName
from cutfiles.bench.questions import side_thickness
from cutfiles.dataclass import dataclass
from cutfiles.support.construct import piece_of
from cutfiles.support.constructions.posts import strap_clear
from cutfiles.support.standing import Support, board_of

StrapKind = Literal["polyethylene strap", "polyester film strip"]

LAP = 20.0
"""What a strap laps over itself, mm (common practice, no source)."""
NARROW, BROAD = 6.0, 13.0
"""Width for small books and for larger ones, mm (common practice, no source)."""
SMALL_BOOK = 180.0
"""A book up to this height, mm, is a small one (our own step; common practice names no number)."""
FROM_FORE_EDGE = 10.0
"""From the fore edge to the strap, mm, less where the board is narrow (our own step)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strap:
    """One strap. Lengths in mm.

    Attributes:
        side: which side of the book it holds.
        kind: what it is made of.
        width: of the strap.
        cut_length: of the piece, rounded up to a whole millimetre.
        lap: what it laps over itself.
        held: thickness of board and leaves it goes round.
        measured: whether that thickness was measured; if not, half the book's stands for it.
        from_fore_edge: from the fore edge to the strap's nearer edge.

    """

    side: SideName
    kind: StrapKind
    width: float
    cut_length: float
    lap: float
    held: float
    measured: bool
    from_fore_edge: float


SLOT_ROOM = 1.0
"""What a slot is longer than the strap is wide, mm (our own step)."""
REINFORCED = 5.0
"""Film left between a slot and every crease, fold and edge, mm (our own step)."""


def straps(support: Support) -> tuple[Strap, ...]:
    """Return the straps of a support, left before right: one a side that has leaves to hold.

    A cover that lies alone gets none; a limp one always gets one, for it does not lie down by its
    own weight.
    """
    book, choices, found = support.slip.book, support.choices, []
    piece = piece_of(support)
    posted = {piece.strip.panels[post.leg].name for post in piece.posts}
    kind: StrapKind = "polyester film strip" if choices.straps == "film" else "polyethylene strap"
    for half in support.halves:
        board = board_of(support.slip, half.side)
        held = side_thickness(support.slip, half.side)
        if half.side == support.lone and book.cover != "limp":
            continue
        width = NARROW if book.height <= SMALL_BOOK else BROAD
        off = min(FROM_FORE_EDGE, board.width / 8)
        if choices.strap_slots == "yes":
            # a slot keeps off the apex, which lies the inset from the fore edge
            off = max(off, choices.fore_inset + REINFORCED + SLOT_ROOM / 2)
            if f"{half.side} leg" in posted:
                # the strap runs under the board, off the heads of the posts
                off = max(off, choices.fore_inset + strap_clear(half.slope) + SLOT_ROOM / 2)
        found.append(
            Strap(
                side=half.side,
                kind=kind,
                width=width,
                cut_length=strap_length(book.height, held),
                lap=LAP,
                held=held,
                measured=board.side is not None,
                from_fore_edge=round(off, 1),
            )
        )
    return tuple(found)


def strap_length(height: float, held: float, lap: float = LAP) -> float:
    """Return the cut length of a strap, mm, rounded up: 2 · (height + held) + lap.

    >>> strap_length(203.0, 17.0)
    460.0
    """
    return float(math.ceil(2 * (height + held) + lap - 1e-9))
