"""Pictures of the fold order, one a step, drawn from this support's own geometry.

Each shows the piece as it is after the step, in an oblique view from the tail (the long folds: from
the right end): the book face white, the table face grey, the creases of the step heavy and
numbered, where the film came from dotted, and an arrow on its way.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from cutfiles.pattern.pattern import Pattern
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.block import book_parts
from cutfiles.report.printed.oblique import behind, faces
from cutfiles.report.printed.step_picture import Picture
from cutfiles.support.constructions.posts import FACE, LAP, TAPE_WIDTH
from cutfiles.support.contacts import Tape
from cutfiles.support.profile import Fold, Panel, Profile, Root, joined, walk
from cutfiles.support.standing import Support, along, initial
from cutfiles.support.steps import INNER_FOLD, OUTER_FOLD, FoldStep, angles_after, profile_after
from cutfiles.words.bench import panel_text

_SHOWN = {INNER_FOLD: math.radians(173), OUTER_FOLD: math.radians(164)}
"""Flaps lie flat; they are drawn a little open, so that one sees them."""


def fold_pictures(support: Support, pattern: Pattern) -> tuple[tuple[FoldStep, Picture], ...]:
    """Return the steps of the fold order, each with its picture."""
    steps = support.steps
    found = []
    for i, step in enumerate(steps):
        match step.verb:
            case "Lay":
                picture = _lay(support, pattern)
            case "Tuck" | "Cover":
                picture = _flap(support, pattern, steps[:i], step)
            case "Hem" | "Lip":
                picture = _flanges(support, pattern, step)
            case "Post":
                picture = _post()
            case "Raise" | "Bend" | "Turn in" | "Roll":
                picture = _folded(support, steps[:i], step)
            case "Stick":
                picture = _stick(support, step.taped)
            case "Fit" | "Check":
                picture = _standing(support)
        found.append((step, picture))
    return tuple(found)


# -- the steps ------------------------------------------------------------------------------------


def _lay(support: Support, pattern: Pattern) -> Picture:
    flat = joined(profile_after(support.profile, ()))
    # laid with the book face up, whatever it will stand by
    flat = replace(flat, root=replace(flat.root, heading=0.0))
    depth = pattern.box.height
    shown = faces(flat, depth)
    corners = walk(flat).corners
    (left, low), (right, _) = corners[0], corners[-1]
    long = tuple((behind((left, low), y), behind((right, low), y)) for y in pattern.long_folds)
    rings = [
        (letter, behind((right + 0.03 * (right - left), low), y))
        for letter, y in zip("AB", pattern.long_folds, strict=False)
    ]
    rings += _numbered(flat, [fold.name for fold in flat.folds], below=True)
    middle = pattern.band("middle").box
    height = (middle.bottom + middle.top) / 2
    words = [
        (initial(panel.side), behind(((a.x + b.x) / 2, low), height))
        for panel, a, b in zip(flat.panels, corners, corners[1:], strict=False)
        if panel.part == "base"
    ]
    head = behind(((left + right) / 2, low), depth)
    reach = 0.14 * (right - left)
    return Picture(
        faces=shown,
        rings=tuple(rings),
        words=(*words, ("head", Point(head.x, head.y + reach * 1.25))),
        arrows=((Point(head.x, head.y + reach * 0.15), Point(head.x, head.y + reach)),),
        lines=long,
    )


def _flap(
    support: Support, pattern: Pattern, before: Sequence[FoldStep], step: FoldStep
) -> Picture:
    """Draw a flap turned under, seen from the right end: tail at the left, head at the right."""
    bands = pattern.bands
    panels = tuple(Panel(band.name, None, band.box.height) for band in bands)
    folds = (Fold(INNER_FOLD, None, 1, 0.0), Fold(OUTER_FOLD, None, 2, 0.0))
    section = Profile(panels, folds, Root("middle", Point(-panels[1].length / 2, 0.0)))

    def shown(steps: Sequence[FoldStep]) -> Profile:
        done = angles_after(steps)
        return replace(
            section,
            folds=tuple(
                replace(f, angle=-_SHOWN[f.name] if f.name in done else 0.0) for f in folds
            ),
        )

    letters = {INNER_FOLD: "A", OUTER_FOLD: "B"}
    picture = _after(shown(before), shown([*before, step]), support.profile.length, step)
    name = step.folds[0].crease
    profile = shown([*before, step])
    corners = walk(profile).corners
    at = corners[1] if name == INNER_FOLD else corners[2]
    size = pattern.box.height
    out = -0.07 * size if name == INNER_FOLD else 0.07 * size
    back = support.profile.length
    tail, head = behind(corners[1], back), behind(corners[2 if name == OUTER_FOLD else 3], back)
    return replace(
        picture,
        rings=((letters[name], Point(at.x + out, at.y + 0.035 * size)),),
        words=(
            ("tail", Point(tail.x, tail.y + 0.05 * size)),
            ("head", Point(head.x, head.y + 0.05 * size)),
        ),
    )


def _flanges(support: Support, pattern: Pattern, step: FoldStep) -> Picture:
    """Draw the piece laid with the fold lines of its hems or lips, arrows on the flaps' way."""
    flat = joined(profile_after(support.profile, ()))
    flat = replace(flat, root=replace(flat.root, heading=0.0))
    (left, low), middle = walk(flat).corners[0], pattern.band("middle").box
    named = {folded.crease for folded in step.folds}
    bars, arrows = [], []
    for one in (flange for flange in pattern.flanges if flange.name in named):
        (ax, ay), (bx, by) = one.path.points[0], one.path.points[-1]
        start, end = (
            behind((left + x - middle.left, low), y - middle.bottom)
            for x, y in ((ax, ay), (bx, by))
        )
        bars.append((start, end))
        if ay == by:  # not the hem at the strip's end
            out = 1 if ay > middle.centre.y else -1
            x, y = left + (ax + bx) / 2 - middle.left, ay - middle.bottom
            way = (y + 0.09 * out * middle.height, y - 0.05 * out * middle.height)
            arrows.append(tuple(behind((x, low), place) for place in way))
    return Picture(faces=faces(flat, middle.height), bars=tuple(bars), arrows=tuple(arrows))


def _post() -> Picture:
    """Draw a post from above, behind its leg: faces A, B, C, the lap outside A, tape as bars."""
    high = FACE * math.sqrt(3) / 2
    a, b, c = Point(-FACE / 2, 0.0), Point(FACE / 2, 0.0), Point(0.0, -high)
    lap, leg = 1.0, 2.4
    return Picture(
        lines=(
            (a, b, c, Point(-FACE / 2, lap), Point(-FACE / 2 + LAP, lap)),
            (Point(-1.3 * FACE, leg), Point(1.3 * FACE, leg)),
        ),
        bars=(
            (Point(-TAPE_WIDTH / 2, lap / 2), Point(TAPE_WIDTH / 2, lap / 2)),
            (Point(-TAPE_WIDTH / 2, (lap + leg) / 2), Point(TAPE_WIDTH / 2, (lap + leg) / 2)),
        ),
        words=(
            ("A", Point(0.0, -2.2)),
            ("B", Point(0.42 * FACE, -0.5 * high)),
            ("C", Point(-0.42 * FACE, -0.5 * high)),
            ("leg", Point(0.0, leg + 2.4)),
        ),
    )


def _folded(support: Support, before: Sequence[FoldStep], step: FoldStep) -> Picture:
    was = joined(profile_after(support.profile, before))
    now = joined(profile_after(support.profile, [*before, step]))
    picture = _after(was, now, support.breadth, step)
    rings = _numbered(now, [fold.crease for fold in step.folds], below=step.verb != "Bend")
    corners = walk(now).corners
    apexes = {fold.side: corners[fold.after] for fold in now.folds if fold.part == "apex"}
    if step.verb != "Turn in":
        apexes = {}  # then the letters stand at the ends of the strip
    length = support.profile.length
    out = 0.0 if step.verb == "Bend" else 0.02 * length
    down = {"Raise": -0.045, "Bend": -0.035}.get(step.verb, 0.0) * length
    words = []
    for half in support.halves:
        at = apexes.get(half.side, corners[0 if half.way < 0 else -1])
        words.append((initial(half.side), Point(at.x + half.way * out, at.y + down)))
    return replace(picture, rings=tuple(rings), words=tuple(words))


def _after(was: Profile, now: Profile, depth: float, step: FoldStep) -> Picture:
    """Return the piece after a step, with dots and arrows from where it was before."""
    old, new = walk(was).corners, walk(now).corners
    before, arrows = [], []
    for folded in step.folds:
        fold = next(f for f in now.folds if f.name == folded.crease)
        right = fold.after > now.standing
        before.append(old[fold.after :] if right else old[: fold.after + 1])
        hinge, out = old[fold.after], old[fold.after + 1] if right else old[fold.after - 1]
        reach = max(math.dist(hinge, out), 0.7 * math.dist(hinge, old[-1 if right else 0]))
        start = math.atan2(out.y - hinge.y, out.x - hinge.x)
        angle = fold.angle - next(f.angle for f in was.folds if f.name == fold.name)
        arrows.append(_arc(hinge, 0.6 * reach, start, angle if right else -angle))
    assert len(old) == len(new)
    return Picture(
        faces=faces(now, depth),
        active=frozenset(fold.crease for fold in step.folds),
        before=tuple(tuple(points) for points in before),
        arrows=tuple(arrows),
    )


def _arc(centre: Point, radius: float, start: float, turn: float) -> tuple[Point, ...]:
    """Return points of an arc that begins and ends a little inside its turn."""
    count = 16
    return tuple(
        Point(
            centre.x + radius * math.cos(start + turn * share),
            centre.y + radius * math.sin(start + turn * share),
        )
        for share in (0.06 + 0.86 * i / count for i in range(count + 1))
    )


def _stick(support: Support, tapes: tuple[Tape, ...]) -> Picture:
    """Draw the end view under what is taped to, heights stretched, the tape as thick bars."""
    first, ends = tapes[0].to, support.ends_of(tapes[0].to)
    length = support.panel(first).length
    half, rise = length / 2, 0.30 * length
    upper = rise + 0.2 * length
    top = (Point(-half * 1.35, upper), Point(-half, rise), Point(half, rise))
    lines: list[tuple[Point, ...]] = [(*top, Point(half * 1.35, upper))]
    bars, arrows = [], []
    words = [(panel_text(support.panel(first)), Point(0.0, rise + 0.12 * length))]
    lapped = any(tape.to != first for tape in tapes)
    below = 0.0
    for tape in tapes:
        own = support.ends_of(tape.panel)
        places = [along(ends, place)[0] - half for place in own]
        tip, body = places if tape.end == "left" else places[::-1]
        sign = 1 if body > tip else -1
        lines.append((Point(sign * half * 1.35, below), Point(tip, below)))
        near, far = tip + sign * tape.clear, tip + sign * (tape.clear + tape.width)
        bars.append((Point(near, below + 0.035 * length), Point(far, below + 0.035 * length)))
        middle = (near + far) / 2
        if tape.to == first:
            arrows.append((Point(middle, below + 0.07 * length), Point(middle, rise * 0.9)))
        else:
            x = middle * 0.6
            arrows.append((Point(x, below + 0.07 * length), Point(x, below + 0.2 * length)))
        panel = support.panel(tape.panel)
        name = f"{initial(panel.side)} tab" if panel.part == "tab" else panel_text(panel)
        words.append((name, Point(sign * half * 1.1, below - 0.11 * length)))
        if lapped:
            below -= 0.24 * length
    return Picture(lines=tuple(lines), bars=tuple(bars), arrows=tuple(arrows), words=tuple(words))


def _standing(support: Support) -> Picture:
    """Draw the support standing, the book on it dotted."""
    now = joined(support.profile)
    book = (part.corners for part in book_parts(support))
    corners = walk(now).corners
    root, low = now.standing, min(p.y for p in corners)
    middle = (corners[root].x + corners[root + 1].x) / 2
    reach = 1.15 * max(abs(p.x - middle) for p in corners)
    table = (Point(middle - reach, low), Point(middle + reach, low))
    return Picture(
        faces=faces(now, support.breadth),
        before=tuple((*points, points[0]) for points in book),
        lines=(table,),
    )


# -- parts ----------------------------------------------------------------------------------------


def _numbered(profile: Profile, names: Sequence[str], *, below: bool) -> list[tuple[str, Point]]:
    """Return the crease numbers, as in the flat drawing, beside their corners in front."""
    corners = walk(profile).corners
    off = 0.045 * profile.length * (-1 if below else 1)
    return [
        (str(i + 1), Point(corners[fold.after].x, corners[fold.after].y + off))
        for i, fold in enumerate(profile.folds)
        if fold.name in names
    ]
