"""Advice on one support: the opening by binding, lone covers, straps, walking, range, the case.

Never a refusal, and never a computation: the book's own opening wins. Sources stand in each
message or beside its number; what has none is common practice.
"""

import math
import re
from collections.abc import Iterator
from typing import NamedTuple

from cutfiles.bench.book import Case, sounds_limp
from cutfiles.bench.films import usual_films
from cutfiles.bench.questions import book_thickness, side_thickness
from cutfiles.bench.slip import Slip
from cutfiles.findings import Finding
from cutfiles.lengths import Lengths
from cutfiles.support.carried import carried
from cutfiles.support.construct import made_of
from cutfiles.support.leaning import LEANS_HARD, WALKS
from cutfiles.support.spare import foot_of
from cutfiles.support.standing import Support, board_of
from cutfiles.support.straps import straps

BINDINGS: tuple[tuple[str, str, float, float], ...] = (
    (r"stab|side-stitch|oversewn", "stab-sewn and oversewn books", 60, 90),
    (r"stapled", "stapled books", 60, 140),
    (r"limp", "limp vellum", 100, 130),
    (r"paperback|glued", "glued paperbacks", 60, 90),
    (r"\btight", "tight backs", 90, 110),
    (r"hollow", "hollow backs", 110, 135),
    (r"\bcloth\b|canvas|buckram", "sewn cloth cases", 110, 130),
)
"""Words of a binding, what they name, and how far such books usually open, degrees (common
practice, no source)."""
TRIED_TALL = (75.0, 203.0)
TRIED_THICK = (25.0, 51.0)
"""Books for which this support is published: 3 to 8 in tall, 1 to 2 in thick (Abbey Newsletter
14(3), 1990), mm."""
AGREED = 30.0
"""Up to this slope the limit for legs agrees with practice, degrees."""
SHALLOW = 5.0
"""A side that rises less hardly needs a leg, degrees (common practice, no source)."""
ROOM = 20.0
"""Room to keep round a book in its case, for hands and air, mm (common practice, no source)."""
_SPRINGY = re.compile(r"springy|stand up|resist|droop", re.IGNORECASE)


class Room(NamedTuple):
    """One measure of the case against the book on its support, mm.

    Attributes:
        name: depth, width or height.
        case: what is free inside.
        needed: what the book on its support takes.

    """

    name: str
    case: float
    needed: float

    @property
    def left(self) -> float:
        """What is left over; below 0 it does not fit."""
        return self.case - self.needed


def advise(support: Support) -> Iterator[Finding]:
    """Yield what is worth knowing of a support and its book."""
    slip = support.slip
    yield from _opening(slip)
    yield from _lone_cover(support)
    yield from _straps(support)
    yield from _walking(support)
    yield from _range(slip)
    yield from _slopes(support)
    yield from _adjusting(support)
    yield from _film(support)
    yield from _case(slip, support)


def footprint(support: Support) -> Case:
    """Return the room a book takes on its support: depth, width, height, mm.

    It lies with its tail towards the viewer, so its height, head to tail, is the depth.
    """
    slip, reach, tall = support.slip, [], 0.0
    for half in support.halves:
        board, slope = board_of(slip, half.side), half.slope
        thick = side_thickness(slip, half.side)
        reach += [half.joint.x, half.joint.x + half.way * board.width * math.cos(slope)]
        top = board.width * math.sin(slope) + thick * math.cos(slope)
        tall = max(tall, half.joint.y + top)
    return Case(depth=slip.book.height, width=max(reach) - min(reach), height=tall)


def rooms(support: Support) -> tuple[Room, ...]:
    """Return each measure of the case that the slip gives, against what is needed."""
    case, needs = support.slip.case, footprint(support)
    pairs = (
        ("depth", case.depth, needs.depth),
        ("width", case.width, needs.width),
        ("height", case.height, needs.height),
    )
    return tuple(Room(name, has, need or 0.0) for name, has, need in pairs if has is not None)


def _opening(slip: Slip) -> Iterator[Finding]:
    opening, angle = slip.opening, slip.opening.opening_angle
    kind = next((row for row in BINDINGS if re.search(row[0], slip.book.binding, re.I)), None)
    if kind is not None and angle > kind[3] + 0.5:
        yield Finding(
            "binding",
            "opening",
            f"{kind[1]} usually open {kind[2]:g} to {kind[3]:g}° (common practice); this one lies "
            f"{angle:.0f}° open: make sure that it does so by itself",
            angle,
            kind[3],
        )
    ceiling = slip.choices.opening_ceiling
    if angle > ceiling + 0.5:
        yield Finding(
            "opening-ceiling",
            "opening",
            f"{angle:.0f}° is wider than {ceiling:g}° (common practice; sources disagree): a "
            "conservator decides",
            angle,
            ceiling,
        )
    page = opening.page_angle
    if page is not None and page < angle - 5:
        yield Finding(
            "page-angle",
            "page_angle",
            f"the leaves open to {page:.0f}°, the boards to {angle:.0f}°: where covers open "
            "wider than the leaves, follow the leaves",
            page,
            angle,
        )


def _lone_cover(support: Support) -> Iterator[Finding]:
    half = support.half(support.lone) if support.lone else None
    if half is not None:
        rests = "its board panel" if half.stands else "the table"
        yield Finding(
            "lone-cover",
            f"{half.side} board",
            f"the {half.side} cover lies alone, or nearly: see that it rests on {rests} all over "
            "and hangs on nothing (Canadian Conservation Institute Notes 11/8)",
        )


def _straps(support: Support) -> Iterator[Finding]:
    slip, why = support.slip, None
    page = slip.opening.page_angle
    binding = slip.book.binding
    if slip.book.cover == "limp" or sounds_limp(binding) or "vellum" in binding.lower():
        why = "limp covers and vellum"
    elif page is not None and page < slip.opening.opening_angle - 5:
        why = "leaves that resist"
    elif _SPRINGY.search(f"{slip.book.binding} {slip.book.note}"):
        why = "leaves that stand up"
    if why and (found := straps(support)):
        said = " and ".join(
            f"{Lengths(slip.units).both(strap.cut_length)} {strap.side}" for strap in found
        )
        yield Finding(
            "strap",
            "leaves",
            f"{why} want a polyethylene strap on each side, near the fore edge on blank margin: "
            f"cut {said}; joined to itself, never to book or support",
        )


def _walking(support: Support) -> Iterator[Finding]:
    slip = support.slip
    # the weight itself does not matter, only how it is shared
    found = carried(support, slip.book.weight or 1000.0)
    if found is None:
        return
    friction = found.friction_needed
    if friction > WALKS:
        yield Finding(
            "walking",
            "book",
            f"the book tends to walk to its shallower side: it needs a friction of {friction:.2f}, "
            f"and more than {WALKS:g} is not to be counted on; bring the slopes nearer to one "
            "another, or hold it with straps",
            friction,
            WALKS,
        )
    if found.leans_hard:
        share = found.push / found.weight
        yield Finding(
            "leaning",
            "spine",
            f"the leaves lean on the spine with up to {share:.0%} of the book's weight (without "
            "friction): with a tight back or exposed sewing a conservator decides",
            share,
            LEANS_HARD,
        )


def _range(slip: Slip) -> Iterator[Finding]:
    thick, tall, units = book_thickness(slip), slip.book.height, slip.units
    out = []
    if not TRIED_TALL[0] <= tall <= TRIED_TALL[1]:
        out.append(f"{Lengths(units).both(tall)} tall")
    if not TRIED_THICK[0] <= thick <= TRIED_THICK[1]:
        out.append(f"{Lengths(units).both(thick)} thick")
    if out:
        yield Finding(
            "tried",
            "book",
            f"{' and '.join(out)}: outside the books for which this support is published, "
            "75–203 mm tall and 25–51 mm thick (Abbey Newsletter 14(3), 1990)",
        )


def _slopes(support: Support) -> Iterator[Finding]:
    steepest = max(math.degrees(half.slope) for half in support.halves)
    if steepest > AGREED + 0.5:
        yield Finding(
            "agreed",
            "legs",
            f"up to slopes of {AGREED:g}° the limit for legs agrees with what practice uses; "
            f"at {steepest:.0f}° rely on the dummy",
            steepest,
            AGREED,
        )
    for half in support.halves:
        slope = math.degrees(half.slope)
        if half.stands and slope < SHALLOW:
            yield Finding(
                "shallow",
                f"{half.side} board",
                f"a slope of {slope:.1f}° hardly needs a leg: with a larger least_rise the side "
                "lies on the table",
                slope,
                SHALLOW,
            )


def _adjusting(support: Support) -> Iterator[Finding]:
    """Yield why a foot has fewer ticks than were asked for."""
    why = {
        "posts": "posts stand as high as their leg is drawn: no foot can be creased anew, and no "
        "tick is drawn",
        "lips": "lips end just above the foot: it can only be creased anew to raise a fore edge",
    }.get(made_of(support)[0])
    if support.choices.adjust and why:
        remedy = 'with construction = "plain" all ticks are drawn'
        yield Finding("adjust", "foot", f"{why}; {remedy}", support.choices.adjust)
    for half in support.halves:
        if support.choices.adjust and half.stands and foot_of(support, half) is None:
            yield Finding(
                "adjust",
                f"{half.side} foot",
                f"spine panel and {half.side} board are one piece without a crease between them: "
                f"the {half.side} foot cannot be creased anew, and has no ticks",
                support.choices.adjust,
            )


def _film(support: Support) -> Iterator[Finding]:
    kinds = support.slip.films or (usual_films() if support.film.name else ())
    kind = next((s for s in kinds if support.film.name and s.name == support.film.name), None)
    if kind is not None and kind.form == "roll":
        yield Finding(
            "roll-set",
            "film",
            "film from a roll starts bowed, and a bowed leg bears less: use flat sheets, or rest "
            "it flat under weight first",
        )


def _case(slip: Slip, support: Support) -> Iterator[Finding]:
    for room in rooms(support):
        case, needed = (Lengths(slip.units).both(mm) for mm in (room.case, room.needed))
        if room.left < 0:
            said = f"does not fit: it takes {needed}, and the case has {case}"
        elif room.left < ROOM:
            said = f"is tight: {Lengths(slip.units).both(room.left)} to spare"
        else:
            said = f"fits with {Lengths(slip.units).both(room.left)} to spare"
        yield Finding(
            "case",
            f"case_{room.name}",
            f"in {room.name} the book on its support {said}",
            room.needed,
            room.case,
        )
