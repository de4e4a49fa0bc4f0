"""The strip folded in three: how much inner layers bow, and which strips cannot be made so.

Layer k lies k films under the book face (0 the book face, 1 the inner flap, 2 the outer). The long
folds tie the layers along both edges, so film cannot slip where a layer is too long for its place:
it bows. A layer that is too long carries at once; one too short carries nothing until the leg has
bowed, so all creases are drawn at one place.
"""

import math
from typing import Literal, NamedTuple

from cutfiles.support.constructions.strip import Part, Strip

THICKEST = 0.127 + 1e-9
"""Thirds are offered up to 5 mil, mm."""
MOST_RISE = 1.5
"""How far a spine panel's film may rise towards the spine, mm."""
LEG_BOW = 12
"""A leg's inner layer bows by at most its length over this."""
INNER = (1, 2)
"""The layers under the book face."""


class Bow(NamedTuple):
    """What one layer of one panel does.

    Attributes:
        part: of the strip.
        panel: which part it is.
        layer: 1 or 2.
        excess: how much too long the layer is, mm; below 0 the book face's film is, by as much.
        bow: how far it leaves the plane of its panel, mm.

    """

    part: str
    panel: Part
    layer: int
    excess: float
    bow: float


def layer_excess(gauge: float, layer: int, folds: tuple[float, float]) -> float:
    """Return how much longer a layer is than its place in a panel, mm.

        e_k = −k t (θ₁ + θ₂) / 2

    t gauge (mm), k layer, θ the folds at the panel's ends, valley positive; the same wherever the
    creases are drawn: it follows from the tie of the long folds, not from the scores.

    >>> round(layer_excess(0.127, 2, (math.radians(-90), math.radians(-120))), 4)
    0.4655

    """
    return -layer * gauge * sum(folds) / 2


def bow_depth(excess: float, length: float) -> float:
    """Return how far a film of this excess bows over a panel of this length, mm.

        w = (2/π) √(e L)

    Source: a half wave of a sine that is longer by e than its chord L, e small.

    >>> round(bow_depth(0.4655, 65.481), 2)
    3.51

    """
    return 2 / math.pi * math.sqrt(abs(excess) * length)


def bows(strip: Strip, gauge: float) -> tuple[Bow, ...]:
    """Return excess and bow of each inner layer of each flat run between two creases."""
    found = []
    for first, last in strip.runs():
        length = strip.ends[last] - strip.starts[first]
        folds = (strip.fold_before(first) or 0.0, strip.fold_after(last) or 0.0)
        panel = max(strip.panels[first : last + 1], key=lambda one: one.length)
        for layer in INNER:
            excess = layer_excess(gauge, layer, folds)
            found.append(Bow(panel.name, panel.part, layer, excess, bow_depth(excess, length)))
    return tuple(found)


class Refused(NamedTuple):
    """Why a strip is not folded in three: the rule, where, what was found, and the limit, mm."""

    rule: Literal["gauge", "spine rises", "leg bows"]
    place: str
    measured: float
    limit: float


def refusals(strip: Strip, gauge: float) -> tuple[Refused, ...]:
    """Return why a strip cannot be folded in three; empty where it can."""
    found = [Refused("gauge", "film", gauge, THICKEST)] if gauge > THICKEST else []
    lengths = {panel.name: panel.length for panel in strip.panels}
    for one in bows(strip, gauge):
        if one.panel == "spine" and one.excess < 0 and one.bow > MOST_RISE:
            found.append(Refused("spine rises", one.part, one.bow, MOST_RISE))
        most = lengths[one.part] / LEG_BOW
        if one.panel == "leg" and one.bow > most:
            found.append(Refused("leg bows", one.part, one.bow, most))
    return tuple(found)


def worst(strip: Strip, gauge: float) -> tuple[Refused, ...]:
    """Return why a strip cannot be folded in three: of each rule and place the worst."""
    found = sorted(refusals(strip, gauge), key=lambda one: one.measured)
    return tuple({(one.rule, one.place): one for one in found}.values())


def lost_length(gauge: float, layer: int, fold: float) -> float:
    """Return the length a layer has to lose at a vertex of long fold and crease, mm: k t |θ|.

    >>> [round(lost_length(0.127, k, math.radians(-120)), 2) for k in (1, 2)]
    [0.27, 0.53]

    """
    return layer * gauge * abs(fold)


LEAST_HOLE = 1.5
"""Diameter of the least relief hole, mm."""


def relief_hole(gauge: float, layer: int, fold: float, least: float = LEAST_HOLE) -> float:
    """Return the diameter of the hole that relieves a vertex, mm: max(least, 3.5 k t |θ|).

    >>> round(relief_hole(0.127, 2, math.radians(-120)), 2)
    1.86

    """
    return max(least, 3.5 * lost_length(gauge, layer, fold))


def sheet_breadth(breadth: float, gauge: float) -> float:
    """Return the breadth of the sheet folded in three to a finished breadth, mm.

        middle      b − (2.5 − 0.75 π) t
        inner flap  b − 2.5 t − fold_gap + π t / 4
        outer flap  b − 1.5 t − edge_gap + π t / 2          fold_gap 1.0, edge_gap 0.5

    >>> round(sheet_breadth(201.0, 0.127), 2)
    601.27

    """
    middle = breadth - (2.5 - 0.75 * math.pi) * gauge
    inner = breadth - 2.5 * gauge - 1.0 + math.pi * gauge / 4
    outer = breadth - 1.5 * gauge - 0.5 + math.pi * gauge / 2
    return middle + inner + outer
