"""Which constructions are not made, and why: one table."""

from typing import NamedTuple

from cutfiles.bench.book import Cover
from cutfiles.support.constructions.plate import Construction, Edge
from cutfiles.support.standing import KindName

LEVEL_THIRDS: tuple[KindName, ...] = ("side by side", "lapped", "one side flat")
"""Kinds that can be folded in three."""


class LeftOut(NamedTuple):
    """A combination that is not made.

    Attributes:
        key: short name.
        construction: it is about; None for all.
        edge: it is about; None for all.
        kinds: of support it is about; empty for all.
        cover: it is about; None for both.
        why: the reason, one line.

    """

    key: str
    construction: Construction | None = None
    edge: Edge | None = None
    kinds: tuple[KindName, ...] = ()
    cover: Cover | None = None
    why: str = ""


LEFT_OUT = (
    LeftOut(
        "thirds with lips",
        construction="lips",
        edge="thirds",
        why="the long fold is the edge: nothing is left to fold in",
    ),
    LeftOut(
        "thirds with posts",
        construction="posts",
        edge="thirds",
        why="inner layers bow into the place of the post; it is never the least film",
    ),
    LeftOut(
        "thirds on a riser",
        edge="thirds",
        kinds=("riser",),
        why="the ramp's inner layers bow deeper than the wedge is high where the step is small",
    ),
    LeftOut(
        "thirds crossed",
        edge="thirds",
        kinds=("crossed",),
        why="nine films would lie under the spine",
    ),
    LeftOut(
        "lips under limp covers",
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

    >>> left_out("lips", "thirds", "lapped", "boards").key
    'thirds with lips'

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
