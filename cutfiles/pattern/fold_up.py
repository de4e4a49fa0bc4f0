"""Folds a pattern back up from its strokes alone: the way back from flat to standing.

Positions are read from the score lines, directions from their roles; only how far a crease is
folded comes from the crease table, for no line can say it.
"""

import itertools
from dataclasses import dataclass

from cutfiles.pattern.pattern import Band, Pattern, Role, Stroke
from cutfiles.support.profile import Fold, Panel, Profile


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
    for stroke in pattern.strokes:
        if stroke.role not in (Role.VALLEY, Role.MOUNTAIN):
            continue
        first, last = stroke.path.points[0], stroke.path.points[-1]
        low, high = sorted((first.y, last.y))
        upright = abs(first.x - last.x) < abs(first.y - last.y)
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
    names = flat_names(pattern, scores)
    panels = tuple(
        Panel(name, right - left) for name, left, right in zip(names, ends, ends[1:], strict=False)
    )
    folds = tuple(
        Fold(crease.name, i + 1, abs(crease.angle) * (1 if score.role is Role.VALLEY else -1))
        for i, (crease, score) in enumerate(zip(pattern.creases, scores, strict=True))
    )
    return Profile(panels, folds)


def flat_names(pattern: Pattern, scores: tuple[Score, ...]) -> tuple[str, ...]:
    """Name the flat pieces by the panel each begins with, "spine" where the spine panel is in it.

    A side without a wing has no crease at the spine: its board and the spine panel are one piece.
    """
    places = []
    x = 0.0
    for panel in pattern.panels:
        places.append((panel.name, x + panel.length / 2))
        x += panel.length
    edges = [-1.0, *(score.x for score in scores), x + 1.0]
    names = []
    for left, right in itertools.pairwise(edges):
        inside = [name for name, place in places if left < place < right]
        names.append("spine" if "spine" in inside else (inside or ["nothing"])[0])
    return tuple(names)


def turned_under(y: float, fold: float) -> float:
    """Return where a height on a flap comes to lie when turned under about its long fold, mm.

    >>> turned_under(9.0, 10.0)
    11.0
    """
    return 2 * fold - y
