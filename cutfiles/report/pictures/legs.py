"""Lips and posts in the end view: what one sees beside each leg from the tail, to scale.

Film is clear and seen edge-on but for them. The lip at the tail stands in front; posts stand
behind it one behind the other, each a face of its prism: one outline a leg stands for all. Nothing
hides anything. Hems lie flat under their panels: the panel's own line stands for them.
"""

import math
from collections.abc import Iterator

from cutfiles.plane.shapes import Point
from cutfiles.support.construct import piece_of
from cutfiles.support.constructions.outline import Piece
from cutfiles.support.constructions.posts import FACE
from cutfiles.support.constructions.strip import DEPTH
from cutfiles.support.standing import Support


def beside_legs(support: Support) -> tuple[tuple[Point, ...], ...]:
    """Return the outline of each lip at the tail and of the posts behind each leg, mm.

    Both reach from their leg inwards, under the board.
    """
    piece = piece_of(support)
    return (*_lips(support, piece), *_posts(support, piece))


def _lips(support: Support, piece: Piece) -> Iterator[tuple[Point, ...]]:
    for one in piece.flanges:
        if one.kind == "lip":
            begin = piece.strip.starts[one.first]
            low, high = one.start - begin, one.end - begin
            inner = (low + DEPTH * math.tan(one.lean_start), high - DEPTH * math.tan(one.lean_end))
            places = ((low, 0.0), (high, 0.0), (inner[1], DEPTH), (inner[0], DEPTH))
            yield _placed(support, piece.strip.panels[one.first].name, places)


def _posts(support: Support, piece: Piece) -> Iterator[tuple[Point, ...]]:
    deep, seen = FACE * math.sqrt(3) / 2, set()
    for post in piece.posts:
        if post.leg not in seen:
            seen.add(post.leg)
            name, blank = piece.strip.panels[post.leg].name, post.blank
            length = piece.strip.panels[post.leg].length
            near, far = blank.offset, blank.offset + deep
            heights = ((0.0, near), (blank.height, near), (blank.height - blank.drop, far))
            places: tuple[tuple[float, float], ...] = (*heights, (0.0, far))
            start, end = support.ends_of(name)
            if start.y > end.y:  # the leg's foot is its right end
                places = tuple((length - up, off) for up, off in places)
            yield _placed(support, name, places)


def _placed(
    support: Support, leg: str, places: tuple[tuple[float, float], ...]
) -> tuple[Point, ...]:
    """Return places told along a leg from its left end, and inwards from it, in the end view."""
    start, end = support.ends_of(leg)
    long = math.dist(start, end)
    along = ((end.x - start.x) / long, (end.y - start.y) / long)
    side = support.panel(leg).side
    half = support.half(side) if side else None
    inwards = -half.way if half is not None else 1
    across = (along[1], -along[0])
    if across[0] * inwards < 0:
        across = (-across[0], -across[1])
    return tuple(
        Point(start.x + s * along[0] + off * across[0], start.y + s * along[1] + off * across[1])
        for s, off in places
    )
