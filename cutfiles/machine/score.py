"""Which face a score is worked from: method × direction × face, one table.

| method     | a valley is worked from | a mountain from | the groove lies       |
|------------|-------------------------|-----------------|-----------------------|
| impress    | the book face           | the table face  | inside the fold       |
| half-cut   | the table face          | the book face   | outside the fold      |
| channel    | the table face          | the book face   | outside the fold      |
| perforate  | either                  | either          | through the film      |

Impressed: a line pressed into film on a flat backing; the fold closes over the groove.
Half-cut: a slit part of the way through; the fold opens it. Channel: a rule presses the film into
a channel, and the fold closes over the bead on the far face. How a film and a tool take to a
method differs: `side` says it otherwise, and a coupon shows it.

Source: common practice of creasing and die-making, no source.
"""

from typing import Literal, get_args

from cutfiles.pattern.pattern import Role
from cutfiles.support.profile import Direction

Method = Literal["impress", "half-cut", "channel", "perforate"]
Side = Literal["by method", "inside", "outside"]
Worked = Literal["book", "table", "either"]

METHODS: tuple[Method, ...] = get_args(Method)
SIDES: tuple[Side, ...] = get_args(Side)

GROOVE: dict[Method, Literal["inside", "outside", "through"]] = {
    "impress": "inside",
    "half-cut": "outside",
    "channel": "outside",
    "perforate": "through",
}
"""Where the groove of each method lies, seen from the fold."""


def worked_face(method: Method, direction: Direction, side: Side) -> Worked:
    """Return the face a score is worked from.

    Args:
        method: how the cutter scores.
        direction: of the fold, as seen from the book face.
        side: where the groove lies, if a coupon has shown it otherwise than usual.

    >>> [worked_face(how, "valley", "by method") for how in ("impress", "half-cut")]
    ['book', 'table']

    """
    groove = GROOVE[method]
    if groove == "through":
        return "either"
    inside = groove == "inside" if side == "by method" else side == "inside"
    return "book" if inside == (direction == "valley") else "table"


def role_face(role: Role, method: Method, side: Side) -> Worked:
    """Return the face an entity is worked from.

    Labels and marks are worked from the book face, which they are to be read from; cuts go through
    the film, so that either face will do.
    """
    match role:
        case Role.VALLEY:
            return worked_face(method, "valley", side)
        case Role.MOUNTAIN:
            return worked_face(method, "mountain", side)
        case Role.HOLES | Role.OUTLINE:
            return "either"
        case _:
            return "book"
