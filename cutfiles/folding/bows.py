"""What the layers of a strip folded in three do, from the scores as drawn: excess, bow, puckers.

The long folds hold the layers together, so a layer that is too long for its place cannot slip: it
bows (`support.constructions.thirds` has the formulas and their source).
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from cutfiles.findings import Finding
from cutfiles.folding.drawn import Match
from cutfiles.folding.graph import FoldLine
from cutfiles.pattern.pattern import Band, Crease, Pattern
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point
from cutfiles.support.constructions.thirds import (
    LEG_BOW,
    MOST_RISE,
    bow_depth,
    layer_excess,
    lost_length,
    relief_hole,
)
from cutfiles.support.profile import leading
from cutfiles.support.standing import Support


class LayerBow(NamedTuple):
    """What one layer of one flat piece of the strip does.

    Attributes:
        panel: the piece, by its leading panel's name.
        part: of that panel.
        layer: 1 the inner, 2 the outer flap.
        length: of the piece between its creases as drawn, mm.
        excess: by how much the layer is too long for its place, mm; below 0 the film on the book
            face is, by as much.
        bow: how far that film leaves the plane of its panel, mm.

    """

    panel: str
    part: str
    layer: int
    length: float
    excess: float
    bow: float

    @property
    def most(self) -> float | None:
        """How far it may bow, mm; None where it is nobody's way."""
        if self.part == "spine" and self.excess < 0:
            return MOST_RISE
        return self.length / LEG_BOW if self.part == "leg" else None


def layer_bows(
    support: Support, pattern: Pattern, drawn: Mapping[str, float], angles: Mapping[str, float]
) -> tuple[LayerBow, ...]:
    """Return what each layer under the book face does, piece by piece; none in one layer.

    Args:
        support: its film and panels.
        pattern: its bands and creases.
        drawn: x of each score by its name, as drawn, mm.
        angles: of each crease by its name, radians, valley positive, the way it is drawn.

    """
    profile, middle = support.profile, pattern.band("middle").box
    folds = {fold.after: fold.name for fold in profile.folds}
    layers = [band.layer for band in pattern.bands if band.layer]
    found = []
    for first, end in profile.pieces():
        names = folds.get(first), folds.get(end)
        left = drawn[f"{names[0]}, middle"] if names[0] else middle.left
        right = drawn[f"{names[1]}, middle"] if names[1] else middle.right
        ends = tuple(angles[name] if name else 0.0 for name in names)
        panel = leading(profile.panels[first:end], profile.root.panel)
        for layer in sorted(layers):
            excess = layer_excess(support.film.gauge, layer, (ends[0], ends[1]))
            bow = bow_depth(excess, right - left)
            found.append(LayerBow(panel.name, panel.part, layer, right - left, excess, bow))
    return tuple(found)


def drawn_angles(pattern: Pattern, matches: Sequence[Match]) -> dict[str, float]:
    """Return how far each crease folds, the way the middle band's score is drawn, radians."""
    ways = {match.stroke.name: {line.kind for line in match.lines} for match in matches}
    angles = {}
    for crease in pattern.creases:
        way = ways.get(f"{crease.name}, middle", set())
        size = abs(crease.angle)
        angles[crease.name] = {frozenset("V"): size, frozenset("M"): -size}.get(
            frozenset(way), crease.angle
        )
    return angles


def bow_findings(bows: Sequence[LayerBow]) -> Iterator[Finding]:
    """Yield where film would rise towards the spine, or a leg bow, by more than it may."""
    for one in bows:
        if one.most is None or one.bow <= one.most:
            continue
        said = (
            f"the film on the {one.panel} panel would rise {one.bow:.2f} mm towards the book"
            if one.part == "spine"
            else f"layer {one.layer} of the {one.panel} would bow {one.bow:.2f} mm out of its plane"
        )
        said += f"; {one.most:.2f} mm at most"
        yield Finding("bow", one.panel, said, one.bow, one.most)


def relief_findings(
    lines: Sequence[FoldLine], pattern: Pattern, gauge: float, limit: float
) -> Iterator[Finding]:
    """Yield, once for all, that film puckers where creases cross without a hole, or a small one.

    Args:
        lines: as drawn.
        pattern: its bands and creases.
        gauge: of the film, mm.
        limit: how far a hole may be off, mm.

    """
    holes = [_round(line.points) for line in lines if line.hole and line.closed]
    poor: list[tuple[float, str]] = []
    for flap, crease, place in _crossings(pattern):
        needed = relief_hole(gauge, flap.layer, crease.angle, 0.0)
        found = max((size for at, size in holes if distance(at, place) <= size / 2), default=0.0)
        if found < needed - 2 * limit:
            lost = lost_length(gauge, flap.layer, crease.angle)
            said = (
                f"at {crease.name}, {flap.name} the film has to lose {lost:.2f} mm where creases "
                f"cross, and puckers; a hole of {needed:.1f} mm takes that up, "
                + (f"it has {found:.1f} mm" if found else "it has none")
            )
            poor.append((lost, said))
    if poor:
        lost, said = max(poor)
        more = f" ({len(poor) - 1} more like it)" if len(poor) > 1 else ""
        yield Finding("relief", "holes", said + more, lost, 0.0)


def _crossings(pattern: Pattern) -> Iterator[tuple[Band, Crease, Point]]:
    """Yield flap, crease and place of each crossing of a long fold and a cross crease."""
    middle = pattern.band("middle").box
    for flap in (band for band in pattern.bands if band.layer):
        fold = flap.box.top if flap.box.top <= middle.bottom else flap.box.bottom
        for crease in pattern.creases:
            yield flap, crease, Point(crease.position, fold)


def _round(points: Sequence[Point]) -> tuple[Point, float]:
    """Return middle and breadth of what may be a round hole, mm."""
    xs, ys = zip(*points, strict=True)
    return Point((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2), max(ys) - min(ys)
