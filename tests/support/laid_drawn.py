"""Draws what strips are laid out for, and stands a strip up with rotation matrices of its own."""

import itertools
import json
import math
import random
from pathlib import Path
from types import SimpleNamespace

from cutfiles.bench.heights import Heights, Measured
from cutfiles.bench.joints import resolve_joints
from cutfiles.errors import DesignError
from cutfiles.support.kinds.crossed import is_crossed, lay_crossed
from cutfiles.support.kinds.laid import BoardLie, Wanted
from cutfiles.support.kinds.level import lay_level
from cutfiles.support.kinds.riser import lay_riser

CASES = json.loads(Path(__file__).with_name("riser_cases.json").read_text(encoding="utf-8"))
TAPE = 0.1


def measured_of(slip):
    """A case's slip as measured heights."""
    left, right = (
        Heights(
            width=slip[f"{side}_width"],
            joint=slip[f"{side}_joint"],
            rise=slip[f"{side}_rise"],
            side=slip.get(f"{side}_side"),
        )
        for side in ("left", "right")
    )
    return Measured(left=left, right=right, spine_width=slip["spine_width"])


def wanted_of(slip):
    """What the strip of a case's slip is laid out for, with the usual settings."""
    joints = resolve_joints(measured_of(slip))
    left, right = (
        BoardLie(panel=slip[f"{side}_width"] - 3, slope=math.radians(lie.slope), rise=lie.rise)
        for side, lie in (("left", joints.left), ("right", joints.right))
    )
    return Wanted(
        left=left,
        right=right,
        spine=slip["spine_width"] + 1,
        step=joints.step,
        stack=slip.get("layers", 1) * slip.get("gauge", 0.127),
        tape=TAPE,
    )


def lay_out(wanted):
    """The strip by the kind that `design` would choose."""
    if abs(wanted.step) >= wanted.least_riser:
        return lay_riser(wanted)
    return lay_crossed(wanted) if is_crossed(wanted) else lay_level(wanted)


def drawn(count, seed=0):
    """Yield wanted strip and strip of so many drawn books, refused ones left out."""
    chance = random.Random(seed)
    made = 0
    while made < count:
        wanted = one(chance)
        try:
            strip = lay_out(wanted)
        except DesignError:
            continue
        made += 1
        yield wanted, strip


def one(chance):
    """One book as it lies: thin and thick, level, tilted and upright, high left and right."""
    spine = chance.choice((chance.uniform(1.5, 15), chance.uniform(8, 75)))
    step = chance.choice((0.0, chance.uniform(-4, 4), *2 * (chance.uniform(-spine, spine),)))
    sides = []
    for _ in range(2):
        width = chance.uniform(45, 260)
        slope = chance.choice((0.0, chance.uniform(0, 10), chance.uniform(5, 75)))
        rise = width * math.sin(math.radians(slope))
        sides.append(BoardLie(panel=width - 3, slope=math.radians(slope), rise=rise))
    return Wanted(
        left=sides[0],
        right=sides[1],
        spine=spine,
        step=step + chance.choice((0.0, 0.0, 2.5)) * (1 if step > 0 else -1) * (abs(step) > 4),
        stack=chance.choice((0.0508, 0.127, 0.254, 0.381)),
        tape=TAPE,
    )


def stood(strip):
    """Corners of the strip rolled up by rotations: each fold turns all that lies beyond it.

    The strip is laid out flat along x, every crease turned in place, the whole set down on its
    first base; nothing here is shared with the product but lengths and fold angles.
    """
    ends = [0.0]
    for panel in strip.profile.panels:
        ends.append(ends[-1] + panel.length)
    corners = [(x, 0.0) for x in ends]
    # from the right end on, so that what is turned has never been turned as a whole before
    for fold in sorted(strip.profile.folds, key=lambda fold: -fold.after):
        centre = (ends[fold.after], 0.0)
        corners[fold.after + 1 :] = [
            rotated(corner, centre, fold.angle) for corner in corners[fold.after + 1 :]
        ]
    return set_down(strip, corners)


def stood_pattern(pattern):
    """The same of a pattern: panels as long as they are drawn, folded at the creases as drawn."""
    panels = [
        SimpleNamespace(name=panel.name, length=end - start)
        for panel in pattern.panels
        for start, end in [pattern.span(panel.name)]
    ]
    lengths, left = (panel.length for panel in panels), pattern.span(panels[0].name)[0]
    ends = list(itertools.accumulate(lengths, initial=left))  # off the sheet's end by an end hem
    folds = [
        SimpleNamespace(after=after, angle=crease.angle)
        for crease in pattern.creases
        for after, end in enumerate(ends)
        if abs(end - crease.position) < 1e-6
    ]
    assert len(folds) == len(pattern.creases)
    return stood(SimpleNamespace(profile=SimpleNamespace(panels=panels, folds=folds)))


def rotated(point, centre, angle):
    cos, sin = math.cos(angle), math.sin(angle)
    x, y = point[0] - centre[0], point[1] - centre[1]
    return centre[0] + cos * x - sin * y, centre[1] + sin * x + cos * y


def set_down(strip, corners):
    """Turn all so that a base runs to the left along the table, and shift it there."""
    names = [panel.name for panel in strip.profile.panels]
    base = names.index("left base" if "left base" in names else "right base")
    (ax, ay), (bx, by) = corners[base], corners[base + 1]
    turned = [rotated(c, (0, 0), math.pi - math.atan2(by - ay, bx - ax)) for c in corners]
    spine = [i for i, name in enumerate(names) if name == "spine"]
    if spine:
        middle = (turned[spine[0]][0] + turned[spine[0] + 1][0]) / 2
    else:
        middle = turned[names.index("right board")][0]
    down = turned[base][1]
    return [(x - middle, y - down) for x, y in turned]


def crossings(strip, places=None):
    """Panels that pass through one another (touching, or lying on one another, is not passing)."""
    places = strip.places if places is None else places
    panels = [panel.name for panel in strip.profile.panels]
    ends = list(itertools.pairwise(places))
    return [
        (panels[i], panels[j])
        for i in range(len(ends))
        for j in range(i + 2, len(ends))
        if passes(*ends[i], *ends[j])
    ]


def passes(a, b, c, d, slack=1e-6):
    def beside(p, q, r):
        return ((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])) / math.dist(p, q)

    one, two = beside(a, b, c), beside(a, b, d)
    three, four = beside(c, d, a), beside(c, d, b)
    return (
        min(one, two) < -slack
        and max(one, two) > slack
        and min(three, four) < -slack
        and max(three, four) > slack
    )
