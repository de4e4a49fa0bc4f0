"""Pictures of the fold order, one action each, painted from this support's own geometry.

Each shows the piece as it is after the step, in the support's own view: the book face white, the
table face grey, the creases of the step heavy and lettered, where the film came from dotted, and an
arrow on its way. A looped arrow means that the whole piece is turned over.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from cutfiles.folding.space import Spot
from cutfiles.pattern.pattern import Pattern
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.block import underside
from cutfiles.report.pictures.strip import (
    Polygon,
    lip_polygons,
    panel_polygons,
    post_polygons,
    standing_polygons,
)
from cutfiles.report.printed.flat_pictures import (
    arc,
    flanges_picture,
    flap_picture,
    post_picture,
    table_picture,
    tape_picture,
)
from cutfiles.report.printed.picture import Line, Picture
from cutfiles.support.contacts import Tape
from cutfiles.support.landing import landing
from cutfiles.support.profile import joined, walk
from cutfiles.support.standing import Support, along, initial
from cutfiles.support.steps import FoldStep, letters_of, profile_after
from cutfiles.support.straps import straps
from cutfiles.words.bench import panel_text


def fold_pictures(support: Support, pattern: Pattern) -> tuple[tuple[FoldStep, Picture], ...]:
    """Return the steps of the fold order, each with its picture."""
    steps = support.steps
    found = []
    for i, step in enumerate(steps):
        before = steps[:i]
        match step.verb:
            case "Lay":
                picture = table_picture(support, pattern, before)
            case "Turn over" | "Turn back":
                shown = table_picture(support, pattern, (*before, step))
                picture = replace(shown, turned=True)
            case "Tuck" | "Cover":
                picture = flap_picture(support, pattern, before, step)
            case "Hem" | "Lip":
                picture = flanges_picture(support, pattern, before, step)
            case "Post":
                picture = post_picture()
            case "Tape":
                picture = tape_picture(support, pattern, before)
            case "Raise" | "Bend" | "Bend up" | "Turn in" | "Roll":
                picture = _folded(support, before, step)
            case "Stick":
                picture = _stick(support, step.taped)
            case "Fit":
                picture = Picture(polygons=standing_polygons(support))
            case "Check":
                picture = Picture(polygons=standing_polygons(support, book=False))
        found.append((step, picture))
    return tuple(found)


def _folded(support: Support, before: Sequence[FoldStep], step: FoldStep) -> Picture:
    """Draw the piece after cross creases, with dots and arrows from where it was before."""
    loose = profile_after(support.profile, [*before, step])
    was, now = joined(profile_after(support.profile, before)), joined(loose)
    old, new = walk(was).corners, walk(now).corners
    gone, arrows, rings = [], [], []
    letters = letters_of(support.profile)
    names = {folded.crease for folded in step.folds}
    for fold in (fold for fold in now.folds if fold.name in names):
        right = fold.after > now.standing
        gone.append(old[fold.after :] if right else old[: fold.after + 1])
        hinge, out = old[fold.after], old[fold.after + 1] if right else old[fold.after - 1]
        reach = max(math.dist(hinge, out), 0.7 * math.dist(hinge, old[-1 if right else 0]))
        start = math.atan2(out.y - hinge.y, out.x - hinge.x)
        angle = fold.angle - next(f.angle for f in was.folds if f.name == fold.name)
        arrows.append(arc(hinge, 0.6 * reach, start, angle if right else -angle))
        side = 1 if step.verb == "Bend" else -1
        rings.append((letters[fold.name], _front(new[fold.after]), side))
    words = [
        (initial(panel.side), Spot((a.x + b.x) / 2, 0.5 * support.breadth, (a.y + b.y) / 2))
        for panel, (a, b) in zip(now.panels, pairwise(new), strict=True)
        if panel.part == "board"
    ]
    return Picture(
        polygons=(
            *panel_polygons(now, support.breadth),
            *lip_polygons(support, loose),
            *post_polygons(support, loose),
        ),
        active=frozenset(names),
        before=tuple(tuple(map(_front, places)) for places in gone),
        arrows=tuple(tuple(map(_front, places)) for places in arrows),
        rings=tuple(rings),
        words=tuple(words),
    )


def strapped(support: Support) -> Picture:
    """Draw the book strapped on its support: the lap lies under the board, out of sight."""
    polygons, hidden = list(standing_polygons(support)), []
    inset, height = support.choices.end_inset, support.slip.book.height
    for strap in straps(support):
        [half] = [half for half in support.halves if half.side == strap.side]
        joint, edge, over = underside(support, half)
        long = math.dist(joint, edge)
        shares = (1 - (strap.from_fore_edge + reach) / long for reach in (0.0, strap.width))
        places = [
            Point(joint.x + s * (edge.x - joint.x), joint.y + s * (edge.y - joint.y))
            for s in shares
        ]
        up = Point(over.x - edge.x, over.y - edge.y)
        (a, b), tail, head = places, -inset - 0.6, height - inset + 0.6
        tops = [Point(p.x + 1.02 * up.x, p.y + 1.02 * up.y) for p in places]
        (c, d) = tops
        polygons.append(Polygon(tuple(_at(p, tail) for p in (a, b, d, c)), "strap"))
        polygons.append(Polygon((_at(c, tail), _at(d, tail), _at(d, head), _at(c, head)), "strap"))
        hidden.append((_at(a, tail), _at(b, tail), _at(b, head), _at(a, head), _at(a, tail)))
    return Picture(polygons=tuple(polygons), before=tuple(hidden))


def _at(place: Point, y: float) -> Spot:
    return Spot(place.x, y, place.y)


def _front(place: Point) -> Spot:
    return Spot(place.x, 0.0, place.y)


def _stick(support: Support, tapes: tuple[Tape, ...]) -> Picture:
    """Draw the end view under what is taped to, heights stretched, the tape as thick bars."""
    first, ends = tapes[0].to, support.ends_of(tapes[0].to)
    length, letters = support.panel(first).length, letters_of(support.profile)
    half, rise = length / 2, 0.30 * length
    upper = rise + 0.2 * length

    def at(*places: tuple[float, float]) -> Line:
        return tuple(Spot(x, 0.0, z) for x, z in places)

    top = ((-half * 1.35, upper), (-half, rise), (half, rise), (half * 1.35, upper))
    lines, bars, arrows, rings = [at(*top)], [], [], []
    words = [(panel_text(support.panel(first)), Spot(0.0, 0.0, rise + 0.12 * length))]
    lapped = any(tape.to != first for tape in tapes)
    below = 0.0
    for tape in tapes:
        places = [along(ends, place)[0] - half for place in support.ends_of(tape.panel)]
        tip, body = places if tape.end == "left" else places[::-1]
        sign = 1 if body > tip else -1
        lines.append(at((sign * half * 1.35, below), (tip, below)))
        near, far = tip + sign * tape.clear, tip + sign * (tape.clear + tape.width)
        bars.append(at((near, below + 0.035 * length), (far, below + 0.035 * length)))
        middle = (near + far) / 2
        up = rise * 0.9 if tape.to == first else below + 0.2 * length
        x = middle if tape.to == first else 0.6 * middle
        arrows.append(at((x, below + 0.07 * length), (x, up)))
        panel = support.panel(tape.panel)
        name = panel_text(panel)
        words.append((name, Spot(sign * half * 1.1, 0.0, below - 0.11 * length)))
        lands = landing(tape, support)
        if lands is not None and lands.at is not None and abs(abs(body) - half) < 0.1 * length:
            rings.append((letters[lands.at], Spot(body, 0.0, rise), 1))
        if lapped:
            below -= 0.24 * length
    return Picture(
        lines=tuple(lines),
        bars=tuple(bars),
        arrows=tuple(arrows),
        words=tuple(words),
        rings=tuple(rings),
    )
