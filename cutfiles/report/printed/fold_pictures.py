"""Pictures of the fold order, one action each, painted from this support's own geometry.

Each shows the piece as it is after the step, in the support's own view: the book face white, the
table face grey, the creases of the step heavy and lettered, where the film came from dotted, and an
arrow on its way. A looped arrow means that the whole piece is turned over.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from cutfiles.folding.space import Spot
from cutfiles.pattern.pattern import Pattern
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.block import underside
from cutfiles.report.pictures.strip import (
    Polygon,
    flange_polygons,
    panel_polygons,
    standing_polygons,
)
from cutfiles.report.printed.flat_pictures import (
    flanges_picture,
    flap_picture,
    post_picture,
    table_picture,
    tape_picture,
)
from cutfiles.report.printed.picture import Line, Picture, turning
from cutfiles.support.contacts import Tape
from cutfiles.support.landing import landing
from cutfiles.support.profile import Profile, joined, walk
from cutfiles.support.standing import Support, along
from cutfiles.support.steps import FoldStep, letters_of, profile_after
from cutfiles.support.straps import straps
from cutfiles.words.bench import panel_text


def fold_pictures(
    support: Support, pattern: Pattern, *, refused: bool = False
) -> tuple[tuple[FoldStep, Picture], ...]:
    """Return the steps of the fold order, each with its picture; refused, it holds no book."""
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
                picture = _stick(support, (*before, step), step.taped)
            case "Fit":
                picture = Picture(polygons=standing_polygons(support, book=not refused))
            case "Check":
                picture = Picture(polygons=standing_polygons(support, book=False))
        found.append((step, picture))
    return tuple(found)


def _folded(support: Support, before: Sequence[FoldStep], step: FoldStep) -> Picture:
    """Draw the piece after cross creases, with dots and arrows from where it was before."""
    loose = profile_after(support.profile, [*before, step])
    was, now = joined(profile_after(support.profile, before)), joined(loose)
    old, new = walk(was).corners, walk(now).corners
    gone, bows, rings = [], [], []
    letters = letters_of(support.profile)
    names = {folded.crease for folded in step.folds}
    for fold in (fold for fold in now.folds if fold.name in names):
        right = fold.after > now.standing
        gone.append(old[fold.after :] if right else old[: fold.after + 1])
        hinge, out = old[fold.after], old[fold.after + 1] if right else old[fold.after - 1]
        reach = max(math.dist(hinge, out), 0.7 * math.dist(hinge, old[-1 if right else 0]))
        start = math.atan2(out.y - hinge.y, out.x - hinge.x)
        angle = fold.angle - next(f.angle for f in was.folds if f.name == fold.name)
        bows.append(_bow(hinge, 0.6 * reach, start, angle if right else -angle))
        side = 1 if step.verb == "Bend" else -1
        rings.append((letters[fold.name], _front(new[fold.after]), side))
    panels = [*panel_polygons(now, support.breadth, "board")]
    beyond = tuple(flange_polygons(support, loose))
    if step.verb == "Roll":  # only the end of the strip, as large as it can be
        last = [fold.after for fold in now.folds if fold.name in names]
        panels, beyond = panels[max(0, min(last) - 1) : max(last) + 1], ()
    return Picture(
        polygons=(*panels, *beyond),
        active=frozenset(names),
        before=tuple(tuple(map(_front, places)) for places in gone),
        bows=tuple(bows),
        rings=tuple(rings),
    )


def _bow(hinge: Point, radius: float, start: float, turn: float) -> Line:
    """Return the way of a panel about its crease: it begins and ends a little inside its turn."""
    ways = Spot(radius, 0.0, 0.0), Spot(0.0, 0.0, radius)
    return turning(_front(hinge), *ways, (start + 0.06 * turn, start + 0.92 * turn))


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


def _stick(support: Support, done: Sequence[FoldStep], tapes: tuple[Tape, ...]) -> Picture:
    """Draw the end view at what is taped to, that level, heights stretched; the tape as bars."""
    seen = _Taped(support, profile_after(support.profile, done), tapes[0])
    long, half, letters = seen.long, seen.long / 2, letters_of(support.profile)
    lines, bars, arrows, rings = [seen.panel()], [], [], []
    words = [(panel_text(support.panel(tapes[0].to)), seen.spot(0.0, -0.12 * long))]
    lapped = any(tape.to != tapes[0].to for tape in tapes)
    away = 0.3 * long
    for tape in tapes:
        places = [along(seen.ends, place)[0] - half for place in support.ends_of(tape.panel)]
        tip, body = places if tape.end == "left" else places[::-1]
        sign = 1 if body > tip else -1
        lines.append(seen.at((sign * half * 1.35, away), (tip, away)))
        near, far = tip + sign * tape.clear, tip + sign * (tape.clear + tape.width)
        bars.append(seen.at((near, away - 0.035 * long), (far, away - 0.035 * long)))
        middle = (near + far) / 2
        first = tape.to == tapes[0].to
        x, up = (middle, 0.03 * long) if first else (0.6 * middle, away - 0.2 * long)
        arrows.append(seen.at((x, away - 0.07 * long), (x, up)))
        name = panel_text(support.panel(tape.panel))
        words.append((name, seen.spot(sign * half * 1.1, away + 0.11 * long)))
        lands = landing(tape, support)
        if lands is not None and lands.at is not None and abs(abs(body) - half) < 0.1 * long:
            rings.append((letters[lands.at], seen.spot(body, 0.0), 1 if seen.below else -1))
        if lapped:
            away += 0.24 * long
    return Picture(
        lines=tuple(lines),
        bars=tuple(bars),
        arrows=tuple(arrows),
        words=tuple(words),
        rings=tuple(rings),
    )


class _Taped:
    """A panel that is taped to, drawn level as it lies when that is done."""

    def __init__(self, support: Support, profile: Profile, tape: Tape) -> None:
        i = profile.index(tape.to)
        self.ends, self.long = support.ends_of(tape.to), profile.panels[i].length
        self.turn = 1.0 if math.cos(walk(profile).headings[i]) > 0 else -1.0
        self.side = -1.0 if tape.to_face == "table" else 1.0
        angles = {fold.after: fold.angle for fold in profile.folds}
        self.wings = [angles.get(end, 0.0) for end in (i, i + 1)]
        self.first, self.last = i == 0, i + 1 == len(profile.panels)

    @property
    def below(self) -> bool:
        """Whether what is taped comes from below."""
        return self.turn * self.side < 0

    def spot(self, x: float, away: float) -> Spot:
        """Return a place along the panel from its middle, and off it to the side of the tape."""
        return Spot(self.turn * x, 0.0, self.turn * self.side * away)

    def at(self, *places: tuple[float, float]) -> Line:
        """Return such places as a line."""
        return tuple(self.spot(*place) for place in places)

    def panel(self) -> Line:
        """Return the panel, and how its neighbours go on from it."""
        half, reach = self.long / 2, 0.18 * self.long
        left, right = (
            (sign * (half + reach * math.cos(angle)), self.side * reach * math.sin(angle))
            for sign, angle in zip((-1, 1), self.wings, strict=True)
        )
        every = [left, (-half, 0.0), (half, 0.0), right]
        return self.at(*every[self.first : 4 - self.last])
