"""Hems and lips folded: hems flat under their panels, lips square or leaning inwards."""

import math
from collections.abc import Iterator, Mapping

from cutfiles.findings import Finding
from cutfiles.folding.fold import Folded
from cutfiles.folding.graph import Graph
from cutfiles.folding.space import cross, dot, length
from cutfiles.pattern.pattern import FlangeFold, Pattern
from cutfiles.plane.shapes import Point
from cutfiles.support.constructions.strip import DEPTH

LEAST_LIP = 85.0
"""A lip that is folded less shows past the book, degrees."""
SLACK = 0.1
"""Angles are right within this, degrees."""
CLOSE = 0.05
"""Places are right within this, mm."""


def flange_faces(graph: Graph, pattern: Pattern) -> dict[str, int]:
    """Return the face of each hem and lip that the lines bound, by its name."""
    found = {}
    for flange in pattern.flanges:
        inside, outside = (graph.face_at(place) for place in beside(flange, pattern))
        if outside is not None and outside != inside:
            found[flange.name] = outside
    return found


def beside(flange: FlangeFold, pattern: Pattern) -> tuple[Point, Point]:
    """Return a place of the panel and one of the flange, on either side of the fold's middle."""
    (ax, ay), (bx, by) = flange.path.points[0], flange.path.points[-1]
    x, y, centre = (ax + bx) / 2, (ay + by) / 2, pattern.band("middle").box.centre
    if abs(bx - ax) < abs(by - ay):
        out = math.copysign(DEPTH / 2, x - centre.x)
        return Point(x - out, y), Point(x + out, y)
    out = math.copysign(DEPTH / 2, y - centre.y)
    return Point(x, y - out), Point(x, y + out)


def flange_findings(
    folded: Folded, pattern: Pattern, faces: Mapping[str, int]
) -> Iterator[Finding]:
    """Yield hems that do not lie flat under their panels, and lips that do not stand square.

    Args:
        folded: the support in space.
        pattern: with its fold lines.
        faces: of hems and lips, by their names.

    """
    for flange in pattern.flanges:
        face, name = faces.get(flange.name), flange.name
        inside, outside = beside(flange, pattern)
        panel = folded.graph.face_at(inside)
        if face is None or panel is None or None in (folded.motions[face], folded.motions[panel]):
            yield _stop(name, f"{name} hangs on nothing")
            continue
        under, over = folded.motion(panel), folded.motion(face)
        one, other = under.normal, over.normal
        turned = math.degrees(math.atan2(length(cross(one, other)), dot(one, other)))
        # folded flat it lies in its panel's plane: which side tells the way its crease turns
        way = next((hinge.angle for hinge in folded.hinges if hinge.face == face), 0.0)
        above = dot(under.normal, over.place(outside) - under.place(inside)) > CLOSE
        if above or way > 0:
            yield _stop(name, f"{name} would fold onto the book face, not under")
        elif flange.kind == "hem" and turned < 180.0 - SLACK:
            yield _stop(name, f"{name} would not lie flat under its panel")
        elif flange.kind == "lip" and turned < LEAST_LIP - SLACK:
            said = f"{name} would stand at {turned:.0f}°, needed {LEAST_LIP:g}° or more"
            yield Finding("flange", name, said, turned, LEAST_LIP, "stop")


def _stop(name: str, message: str) -> Finding:
    return Finding("flange", name, message, severity="stop")
