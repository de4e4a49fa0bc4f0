"""Pictures of the steps on the table: the piece flat, its flaps, hems, lips, posts and tape."""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from cutfiles.folding.space import Spot, dot
from cutfiles.pattern.pattern import FlangeFold, Pattern
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.paint import normal_of
from cutfiles.report.pictures.strip import Polygon, panel_polygons
from cutfiles.report.printed.bench_drawings import tape_places
from cutfiles.report.printed.picture import Line, Picture, turning
from cutfiles.support.constructions.posts import FACE, LAP, TAPE_WIDTH
from cutfiles.support.profile import Fold, Panel, Profile, Root, joined, walk
from cutfiles.support.standing import Support
from cutfiles.support.steps import (
    INNER_FOLD,
    LONG_LETTERS,
    OUTER_FOLD,
    FoldStep,
    Verb,
    angles_after,
    letters_of,
    profile_after,
)

_SHOWN = {INNER_FOLD: math.radians(170), OUTER_FOLD: math.radians(174)}
"""Flaps lie flat; they are drawn a little open, so that one sees them."""
_FLAP = 0.1
"""Hems and lips are drawn so deep, of the breadth."""
_TURNED: dict[Verb, float] = {"Hem": math.radians(177), "Lip": math.radians(120)}
"""How far: hems right over, but on top of the film; lips past square, as they are first bent."""


def table_picture(support: Support, pattern: Pattern, before: Sequence[FoldStep]) -> Picture:
    """Draw the piece on the table, whichever face is up, its creases lettered."""
    verbs = [step.verb for step in before]
    over = verbs.count("Turn over") > verbs.count("Turn back")
    folded = "Cover" in verbs
    depth = support.breadth if folded or len(pattern.bands) == 1 else pattern.box.height
    flat = level(support)
    polygons = tuple(panel_polygons(flat, depth, "base"))
    if over and not folded:  # folded in three, its outer flap shows its book face
        polygons = tuple(replace(polygon, corners=polygon.corners[::-1]) for polygon in polygons)
    corners = walk(flat).corners
    left, right = corners[0].x, corners[-1].x
    heights = () if folded else pattern.long_folds
    if over:
        heights = tuple(depth - y for y in heights)
    lines = tuple((Spot(left, y, 0.0), Spot(right, y, 0.0)) for y in heights)
    letters = letters_of(support.profile)
    rings = [(letters[fold.name], Spot(corners[fold.after].x, 0.0, 0.0), -1) for fold in flat.folds]
    rings += [
        (letter, Spot(right + 0.03 * (right - left), y, 0.0), 0)
        for letter, y in zip(LONG_LETTERS.values(), heights, strict=False)
    ]
    beside = left - 0.04 * (right - left)
    ends = (Spot(beside, 0.0, 0.0), Spot(beside, depth, 0.0))
    head = ends[::-1] if over else ends
    return Picture(polygons=polygons, rings=tuple(rings), lines=lines, head=head, above=True)


def level(support: Support) -> Profile:
    """Return the strip flat, with the book face up whatever it will stand by."""
    flat = joined(profile_after(support.profile, ()))
    return replace(flat, root=replace(flat.root, at=Point(flat.root.at.x, 0.0), heading=0.0))


def flap_picture(
    support: Support, pattern: Pattern, before: Sequence[FoldStep], step: FoldStep
) -> Picture:
    """Draw a flap folded up and over on the piece turned over: its head near, its tail far."""
    bands = pattern.bands[::-1]
    panels = tuple(Panel(band.name, None, band.box.height) for band in bands)
    folds = (Fold(OUTER_FOLD, None, 1, 0.0), Fold(INNER_FOLD, None, 2, 0.0))
    section = Profile(panels, folds, Root("middle", Point(panels[0].length, 0.0)))

    def shown(done: dict[str, float]) -> Profile:
        angle = {name: _SHOWN[name] for name in done}
        return replace(section, folds=tuple(replace(f, angle=angle.get(f.name, 0)) for f in folds))

    was, now = (shown(angles_after(steps)) for steps in (before, (*before, step)))
    [fold] = [fold for fold in folds if fold.name == step.folds[0].crease]
    corners = walk(now).corners
    ends = walk(level(support)).corners
    left, right = ends[0].x, ends[-1].x
    polygons = tuple(
        Polygon((Spot(left, *a), Spot(left, *b), Spot(right, *b), Spot(right, *a)))
        for a, b in pairwise(corners)
    )
    outwards = 1 if fold.name == INNER_FOLD else -1
    hinge = corners[fold.after]
    out = walk(was).corners[fold.after + outwards]
    way = _over(
        Spot(0.6 * left + 0.4 * right, hinge.x, 0.0), Spot(0.0, 0.6 * (out.x - hinge.x), 0.0)
    )
    beside, low, high = left - 0.04 * (right - left), corners[1].x, corners[2].x
    return Picture(
        polygons=polygons,
        active=frozenset((fold.name,)),
        bows=(way,),
        before=(
            tuple(
                Spot(x, y, 0.0)
                for x, y in ((left, hinge.x), (left, out.x), (right, out.x), (right, hinge.x))
            ),
        ),
        rings=((LONG_LETTERS[fold.name], Spot(right + 0.03 * (right - left), hinge.x, 0.0), 0),),
        head=(Spot(beside, high, 0.0), Spot(beside, low, 0.0)),
        above=True,
    )


def flanges_picture(
    support: Support, pattern: Pattern, before: Sequence[FoldStep], step: FoldStep
) -> Picture:
    """Draw the piece turned over, the flaps of its hems or lips on their way up."""
    named = {folded.crease for folded in step.folds}
    left = walk(level(support)).corners[0].x
    flaps, bows, before_it = [], [], []
    turn = _TURNED[step.verb]
    for one in (flange for flange in pattern.flanges if flange.name in named):
        base, out = _edge(one, pattern, left)
        up = Spot(
            out.x * math.cos(turn),
            out.y * math.cos(turn),
            math.hypot(out.x, out.y) * math.sin(turn),
        )
        tips = [_moved(p, up) for p in base]
        # the table face looks up as it lies; of a flap on its way it looks to the middle
        ring = (*base, *tips[::-1])
        inwards = Spot(-out.x, -out.y, -1e-3)
        polygon = Polygon(ring)
        flaps.append(polygon if dot(normal_of(ring), inwards) < 0 else Polygon(ring[::-1]))
        was = [_moved(p, out) for p in base]
        before_it.append((base[0], *was, base[1]))
        at = Spot((base[0].x + base[1].x) / 2, (base[0].y + base[1].y) / 2, 0.0)
        bows.append(_over(at, Spot(1.7 * out.x, 1.7 * out.y, 0.0)))
    piece = table_picture(support, pattern, before)
    return replace(
        piece,
        polygons=(*piece.polygons, *flaps),
        bows=tuple(bows),
        before=tuple(before_it),
        rings=(),
    )


def _edge(flange: FlangeFold, pattern: Pattern, left: float) -> tuple[tuple[Spot, Spot], Spot]:
    """Return a flap's fold line on the piece turned over, and the way out of the piece from it."""
    middle = pattern.band("middle").box
    a, b = (
        Spot(left + x - middle.left, middle.top - y, 0.0)
        for x, y in (flange.path.points[0], flange.path.points[-1])
    )
    deep = _FLAP * middle.height
    if a.y == b.y:
        return (a, b), Spot(0.0, math.copysign(deep, a.y - middle.height / 2), 0.0)
    return (a, b), Spot(math.copysign(deep, a.x - left - middle.width / 2), 0.0, 0.0)


def _moved(spot: Spot, way: Spot) -> Spot:
    return Spot(spot.x + way.x, spot.y + way.y, spot.z + way.z)


def _over(middle: Spot, out: Spot) -> Line:
    """Return a bowed arrow on the table, from outside of an edge over to the middle."""
    return turning(middle, out, Spot(abs(out.y), abs(out.x), 0.0), (0.0, math.pi))


def tape_picture(support: Support, pattern: Pattern, before: Sequence[FoldStep]) -> Picture:
    """Draw the piece turned over, tape where it goes, an arrow down on each."""
    piece = table_picture(support, pattern, before)
    left, middle = walk(level(support)).corners[0].x, pattern.band("middle").box
    tapes, arrows = [], []
    for _, box, _ in tape_places(pattern, support):
        x0, x1 = (left + x - middle.left for x in (box.left, box.right))
        y0, y1 = (support.breadth / 2 + sign * box.height / 2 for sign in (-1, 1))
        tapes.append(tuple(Spot(x, y, 0.0) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))))
        x, wide = (x0 + x1) / 2, pattern.box.width
        arrows.append((Spot(x, y1 + 0.11 * wide, 0.0), Spot(x, y1 + 0.01 * wide, 0.0)))
    return replace(piece, tapes=tuple(tapes), arrows=tuple(arrows))


def post_picture() -> Picture:
    """Draw a post from above, behind its leg: the lap outside the labelled face, tape as bars."""
    high = FACE * math.sqrt(3) / 2
    a, b, c = (-FACE / 2, 0.0), (FACE / 2, 0.0), (0.0, -high)
    lap, leg = 1.0, 2.4

    def at(*places: tuple[float, float]) -> Line:
        return tuple(Spot(x, 0.0, z) for x, z in places)

    return Picture(
        lines=(
            at(a, b, c, (-FACE / 2, lap), (-FACE / 2 + LAP, lap)),
            at((-1.3 * FACE, leg), (1.3 * FACE, leg)),
        ),
        bars=(
            at((-TAPE_WIDTH / 2, lap / 2), (TAPE_WIDTH / 2, lap / 2)),
            at((-TAPE_WIDTH / 2, (lap + leg) / 2), (TAPE_WIDTH / 2, (lap + leg) / 2)),
        ),
        words=(
            ("label", Spot(0.0, 0.0, -2.2)),
            ("leg", Spot(0.0, 0.0, leg + 2.4)),
            ("from above", Spot(0.95 * FACE, 0.0, -0.8 * high)),
        ),
    )
