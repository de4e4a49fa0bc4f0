"""Which constructions are not made, and why: one table."""

from typing import NamedTuple

from cutfiles.bench.book import Cover
from cutfiles.support.constructions.plate import Construction, Edge
from cutfiles.support.standing import KindName


class LeftOut(NamedTuple):
    """A combination that is not made.

    Attributes:
        construction: it is about; None for all.
        edge: it is about; None for all.
        kinds: of support it is about; empty for all.
        cover: it is about; None for both.
        why: the reason, one line.

    """

    construction: Construction | None = None
    edge: Edge | None = None
    kinds: tuple[KindName, ...] = ()
    cover: Cover | None = None
    why: str = ""


LEFT_OUT = (
    LeftOut(
        construction="lips",
        edge="thirds",
        why="the long fold is the edge: nothing is left to fold in",
    ),
    LeftOut(
        construction="posts",
        edge="thirds",
        why="inner layers bow into the place of the post; it is never the least film",
    ),
    LeftOut(
        edge="thirds",
        kinds=("riser",),
        why="the ramp's inner layers bow deeper than the wedge is high where the step is small",
    ),
    LeftOut(edge="thirds", kinds=("crossed",), why="nine films would lie under the spine"),
    LeftOut(
        construction="lips",
        cover="limp",
        why="lips hold a leg at its ends only: a limp cover sags between them",
    ),
)
"""`refusals` of thirds, legs too short for lips or posts, and cut edges where folded ones are asked
for are judged by their numbers, not here."""


def left_out(
    construction: Construction, edge: Edge, kind: KindName, cover: Cover
) -> LeftOut | None:
    """Return why a combination is not made, or None where it is.

    >>> left_out("plain", "thirds", "crossed", "boards").why
    'nine films would lie under the spine'

    """
    for one in LEFT_OUT:
        if (
            one.construction in (None, construction)
            and one.edge in (None, edge)
            and (not one.kinds or kind in one.kinds)
            and one.cover in (None, cover)
        ):
            return one
    return None
