"""The book as it lies on its support, seen from the tail: one block a side."""

import math

from cutfiles.bench.slip import SideName
from cutfiles.plane.shapes import Point
from cutfiles.support.cradle import Support


def block_end(support: Support, side: SideName, lift: float) -> tuple[Point, ...]:
    """Return the corners of board and leaves of one side, in the end view, mm.

    Joint, fore edge, fore edge of the leaves, their inner edge; x = 0 is the middle of the spine.

    Args:
        support: what the book lies on.
        side: which half of the book.
        lift: height of the joint.

    """
    opening, sign = support.slip.opening, 1 if side == "right" else -1
    board = opening.left if side == "left" else opening.right
    thick = board.side if board.side is not None else opening.spine_width / 2
    slope, joint = support.half(side).slope, opening.spine_width / 2
    cos, sin = math.cos(slope), math.sin(slope)
    # the page side of a steep block must not cross the middle of the book
    lean = min(thick * sin, joint + board.width * cos)
    corners = (
        (joint, lift),
        (joint + board.width * cos, lift + board.width * sin),
        (joint + board.width * cos - thick * sin, lift + board.width * sin + thick * cos),
        (joint - lean, lift + thick * cos),
    )
    return tuple(Point(sign * x, y) for x, y in corners)
