"""What each part of a support carries under its book, whatever its kind: `leaning` for a `Support`.

Forces in N.
"""

from collections.abc import Iterator

from cutfiles.bench.book import SIDES
from cutfiles.bench.guess import ASKED, LEAVES_APART
from cutfiles.bench.questions import side_thickness
from cutfiles.bench.slip import Slip
from cutfiles.support.leaning import LoadedSide, Loads, loads_of
from cutfiles.support.limits import Check, CheckName
from cutfiles.support.lone import loads
from cutfiles.support.standing import Half, Support, board_of


def carried(support: Support, weight: float) -> Loads | None:
    """Return what each part carries of a book of this weight (g); None with a half missing."""
    shares = loads(support.slip, weight)
    sides = [
        _side(support, half, share)
        for side, share in zip(SIDES, shares, strict=True)
        if (half := support.half(side)) is not None
    ]
    if len(sides) != len(SIDES):
        return None
    left, right = sides
    high, low = (left, right) if support.step >= 0 else (right, left)
    return loads_of(high, low, abs(support.tilt))


def _side(support: Support, half: Half, weight: float) -> LoadedSide:
    board = board_of(support.slip, half.side)
    return LoadedSide(
        weight=weight,
        width=board.width,
        panel=support.length("board", half.side),
        slope=half.slope,
        side=side_thickness(support.slip, half.side),
        joint=half.joint,
        foot=half.apex.x,
        stands=half.stands,
    )


def practice_weight(support: Support, weight: float) -> float:
    """Return what of a book's weight (g) practice counts: a lone cover is not its book.

    Where a cover lies alone and the other side flat on the table, the table carries that side.
    """
    lone = support.half(support.lone) if support.lone else None
    others = [half for half in support.halves if half is not lone]
    if lone is None or any(half.stands for half in others):
        return weight
    shares = dict(zip(SIDES, loads(support.slip, weight), strict=True))
    return weight * shares[lone.side] / sum(shares.values())


def check_sure(slip: Slip) -> Iterator[Check]:
    """Yield what no strength helps: heights that were not measured, leaves that are not followed.

    Until a joint is measured, or both are written 0, a support is worth a trial at most.
    """
    opening, guess = slip.opening, slip.joints.guess
    if opening.joints in ("asked", "guessed"):
        step = guess.step if guess is not None else opening.step
        side = "left" if step > 0 else "right"
        yield _trial("joints", f"{side} joint", abs(step), ASKED)
    page, asked = opening.page_angle, slip.given.get("support.follow") == "boards"
    if page is not None and opening.opening_angle - page > LEAVES_APART and not asked:
        yield _trial("leaves", "page_angle", opening.opening_angle - page, LEAVES_APART)


def _trial(name: CheckName, place: str, measured: float, limit: float) -> Check:
    """Check a number that leads to a trial, and no further."""
    return Check(name, place, measured, limit, measured / limit, "make a trial")
