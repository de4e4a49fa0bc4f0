"""Folds a pattern back up from its strokes alone: the way back from flat to standing.

Positions are read from the score lines, directions from their roles; only how far a crease is
folded comes from the crease table, for no line can say it.
"""

import itertools
from dataclasses import replace

from cutfiles.dataclass import dataclass
from cutfiles.pattern.pattern import Band, Pattern, Role, Stroke
from cutfiles.support.profile import Panel, Profile, leading, shifted_root


@dataclass(frozen=True, slots=True)
class Score:
    """A cross score as drawn on one band.

    Attributes:
        x: from the left end of the strip, mm.
        role: valley or mountain, as drawn.
        band: on which band.
        stroke: the stroke itself.

    """

    x: float
    role: Role
    band: str
    stroke: Stroke


def cross_scores(pattern: Pattern, band: Band) -> tuple[Score, ...]:
    """Return the upright scores drawn on a band, from left to right."""
    found = []
    flanges = {one.name for one in pattern.flanges}
    for stroke in pattern.strokes:
        if stroke.role not in (Role.VALLEY, Role.MOUNTAIN):
            continue
        first, last = stroke.path.points[0], stroke.path.points[-1]
        low, high = sorted((first.y, last.y))
        upright = abs(first.x - last.x) < abs(first.y - last.y)
        if stroke.of in flanges:  # an end hem runs across too
            continue
        if upright and band.box.bottom <= (low + high) / 2 <= band.box.top:
            found.append(Score((first.x + last.x) / 2, stroke.role, band.name, stroke))
    return tuple(sorted(found, key=lambda score: score.x))


def fold_up(pattern: Pattern) -> Profile:
    """Return the profile that the middle band's scores give; a base and its tab are one panel.

    Raises:
        ValueError: there are more or fewer scores than creases.

    """
    middle = pattern.band("middle")
    scores = cross_scores(pattern, middle)
    if len(scores) != len(pattern.creases):
        raise ValueError(f"{len(scores)} scores on the middle band, {len(pattern.creases)} creases")
    ends = [middle.box.left, *(score.x for score in scores), middle.box.right]
    panels, root = [], pattern.root
    spans = [(panel, sum(pattern.span(panel.name)) / 2) for panel in pattern.panels]
    for left, right in itertools.pairwise(ends):
        inside = [panel for panel, at in spans if left < at < right]
        named = leading(inside, root.panel) if inside else Panel("nothing", None, 0.0)
        panels.append(replace(named, length=right - left))
        if named.name == pattern.root.panel:
            root = shifted_root(pattern.root, pattern.span(root.panel)[0] - left)
    folds = tuple(
        replace(crease.fold, after=i, angle=abs(crease.angle) * _sign(score))
        for i, (crease, score) in enumerate(zip(pattern.creases, scores, strict=True), start=1)
    )
    return Profile(tuple(panels), folds, root)


def _sign(score: Score) -> int:
    return 1 if score.role is Role.VALLEY else -1


def turned_under(y: float, fold: float) -> float:
    """Return where a height on a flap comes to lie when turned under about its long fold, mm.

    >>> turned_under(9.0, 10.0)
    11.0
    """
    return 2 * fold - y
