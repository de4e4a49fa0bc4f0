"""The book as it lies on its support, seen from the tail: one block a side."""

import math

from cutfiles.plane.shapes import Point
from cutfiles.support.standing import Half, Support, board_of


def block_end(support: Support, half: Half) -> tuple[Point, ...]:
    """Return the corners of board and leaves of one side, in the end view, mm.

    Joint, fore edge, fore edge of the leaves, their inner edge.

    Args:
        support: what the book lies on.
        half: what one board lies on.

    """
    board = board_of(support.slip, half.side)
    thick = board.side if board.side is not None else support.slip.opening.spine_width / 2
    cos, sin = math.cos(half.slope), math.sin(half.slope)
    joint, lift = half.way * half.book.x, half.book.y
    # the page side of a steep block must not cross the middle of the book
    lean = min(thick * sin, joint + board.width * cos)
    corners = (
        (joint, lift),
        (joint + board.width * cos, lift + board.width * sin),
        (joint + board.width * cos - thick * sin, lift + board.width * sin + thick * cos),
        (joint - lean, lift + thick * cos),
    )
    return tuple(Point(half.way * x, y) for x, y in corners)
