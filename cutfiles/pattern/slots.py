"""Strap slots in the board panels, through all layers, and their check.

A strap goes round board and leaves, down through a slot near the head and up through one near the
tail. On the flaps the slots lie mirrored about the long fold, move outwards as the cross creases
do (`k · t · slope` on layer k), and are a little larger, so that layers need not meet to a tenth of
a millimetre.
"""

import math
from collections.abc import Iterable, Iterator

from cutfiles.bench.book import SIDES, SideName
from cutfiles.errors import DesignError
from cutfiles.findings import Finding
from cutfiles.pattern.fold_up import turned_under
from cutfiles.pattern.pattern import Band, Pattern, Role, Stroke
from cutfiles.plane.measure import box_of, chords, distance_to_segment, may_reach
from cutfiles.plane.shapes import QUARTER, Path, Point
from cutfiles.support.construct import made_of
from cutfiles.support.constructions.strip import DEPTH
from cutfiles.support.standing import Support
from cutfiles.support.straps import REINFORCED, SLOT_ROOM, Strap, straps

SLOT_WIDTH = 2.0
"""Across the strap's thickness, mm: its ends are half circles of half of it."""
FROM_END = 8.0
"""From the finished head or tail to the slot's middle, mm (our own step)."""
CLEAR_OF_HEM = 6.0
"""From a hem's cut edge to the slot's middle, mm."""
LARGER = 0.5
"""What a slot on a flap is larger, all round, mm."""
CLOSE = 1e-6


def slots(support: Support, bands: tuple[Band, ...]) -> list[Stroke]:
    """Return the slots on every band, none unless the support is to have them.

    Raises:
        DesignError: a board panel is too small for slots that leave `REINFORCED` mm of film.

    """
    if support.choices.strap_slots != "yes":
        return []
    middle = next(band for band in bands if band.layer == 0)
    off, strokes = from_end(support), []
    for strap in straps(support):
        _refuse_small(support, strap)
        for end, y in (("tail", middle.box.bottom + off), ("head", middle.box.top - off)):
            for band in bands:
                name = f"strap slot, {strap.side} {end}, {band.name}"
                centre = (_x(support, strap, band), _y(band, middle, y))
                more = LARGER if band.layer else 0.0
                path = slot(centre, strap.width + SLOT_ROOM + 2 * more, SLOT_WIDTH + 2 * more)
                of = f"{strap.side} {end}"
                strokes.append(Stroke(Role.HOLES, name, path, "slot", of, band.name))
    return strokes


def from_end(support: Support) -> float:
    """Return how far from the finished head or tail a slot's middle lies, mm: clear of a hem."""
    return DEPTH + CLEAR_OF_HEM if made_of(support)[1] == "hemmed" else FROM_END


def slot(centre: tuple[float, float], length: float, width: float) -> Path:
    """Return a slot along the strip, its ends half circles, counter-clockwise.

    >>> round(box_of([slot((0, 0), 14.0, 2.0)]).width, 6)
    14.0
    """
    (x, y), half, radius = centre, (length - width) / 2, width / 2
    points = (
        (x + half, y - radius),
        (x + half + radius, y),
        (x + half, y + radius),
        (x - half, y + radius),
        (x - half - radius, y),
        (x - half, y - radius),
    )
    bulges = (QUARTER, QUARTER, 0.0, QUARTER, QUARTER, 0.0)
    return Path(tuple(Point(*p) for p in points), bulges, closed=True)


def _from_apex(support: Support, strap: Strap) -> float:
    """Return how far a slot's middle lies from the board panel's outer end, mm."""
    return strap.from_fore_edge + strap.width / 2 - support.choices.fore_inset


def _x(support: Support, strap: Strap, band: Band) -> float:
    profile = support.profile
    ends, i = profile.ends(), profile.index(f"{strap.side} board")
    inwards = _from_apex(support, strap) - _outwards(support, strap.side, band)
    x = ends[i] + inwards if strap.side == "left" else ends[i + 1] - inwards
    return band.box.left + x


def _outwards(support: Support, side: SideName, band: Band) -> float:
    """Return how far a slot of a side moves outwards on a band, mm."""
    slope = support.slopes[SIDES.index(side)]
    return band.layer * support.film.gauge * support.choices.nesting * slope


def _y(band: Band, middle: Band, y: float) -> float:
    if band.layer == 0:
        return y
    fold = middle.box.bottom if band.box.top <= middle.box.bottom else middle.box.top
    return turned_under(y, fold)


def _refuse_small(support: Support, strap: Strap) -> None:
    """Refuse where a slot would come nearer to a crease or the other slot than it may."""
    half = (strap.width + SLOT_ROOM) / 2 + LARGER
    board = support.length("board", strap.side)
    inner = board - _from_apex(support, strap) - half
    apart = support.breadth - 2 * from_end(support) - SLOT_WIDTH
    if inner < REINFORCED + LARGER or apart < REINFORCED:
        raise DesignError(
            f"a {strap.side} board panel of {board:.1f} × {support.breadth:.1f} mm",
            f"strap slots leave {REINFORCED:g} mm of film to every crease and edge",
            'set strap_slots = "no" under [support]: the straps go round the board instead',
            support.slip.source.at("support.strap_slots"),
        )


def _nearest(slot: Path, others: Iterable[Stroke], within: float) -> float:
    """Return how near a slot comes to other lines, mm; of those further off than `within` nothing.

    Most are: a draft that measures to each of them takes three quarters longer.
    """
    box, places = box_of([slot]), chords(slot, 0.05)
    segments = (segment for stroke in others for segment in stroke.path.segments())
    near = (segment for segment in segments if may_reach(segment, box, within))
    found = (distance_to_segment(place, segment) for segment in near for place in places)
    return min(found, default=math.inf)


def check_slots(pattern: Pattern, support: Support) -> Iterator[Finding]:
    """Yield slots that come too near to a crease or edge, or do not meet through the layers."""
    found = [s for s in pattern.of_role(Role.HOLES) if s.use == "slot"]
    others = [s for s in pattern.strokes if s.role in (Role.VALLEY, Role.MOUNTAIN, Role.OUTLINE)]
    middle = pattern.band("middle")
    places = {(s.of, s.band): box_of([s.path]).centre for s in found}
    for stroke in found:
        # flaps are shorter by the gaps that keep them inside the others
        least = REINFORCED - (support.choices.fold_gap + support.choices.edge_gap)
        near = _nearest(stroke.path, others, least)
        if near < least - LARGER - CLOSE:
            yield Finding(
                "slot",
                stroke.name,
                f"{stroke.name} leaves {near:.1f} mm of film",
                near,
                REINFORCED,
                "stop",
            )
    for stroke in found:
        name, band = stroke.name, pattern.band(stroke.band)
        if not band.layer:
            continue
        place, above = places[stroke.of, stroke.band], places.get((stroke.of, middle.name))
        if above is None:
            said = f"{name} has no slot in the middle to meet"
            yield Finding("slot", name, said, severity="stop")
            continue
        side = next(p.side for p in pattern.panels if pattern.span(p.name)[1] > above.x) or "left"
        move = _outwards(support, side, band)
        fold = middle.box.bottom if band.box.top <= middle.box.bottom else middle.box.top
        off = max(
            abs(turned_under(place.y, fold) - above.y),
            abs(place.x - above.x - (-move if side == "left" else move)),
        )
        if off > CLOSE:
            yield Finding(
                "slot", name, f"{name} does not meet the middle's slot", off, CLOSE, "stop"
            )
