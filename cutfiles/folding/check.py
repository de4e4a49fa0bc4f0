"""The fold check: what is drawn, folded along its scores, becomes the support that was designed.

Rules: `connect` (outline closed, faces as many as panels, nothing loose), `crease` (each score is
there once, in place, on its side), `level`, `upright`, `height`, `lift`, `width` (the shape
standing), `tab` (where it is taped), `flap` (under its panel, inside its outline, in register
with it), `isometry` (film does not stretch), `bow` (layers too long for their place), `relief`
(holes where creases cross), `film` (a hole across a crease or through an upright), `through` (no
film passes through another), `maekawa`, `kawasaki` (where creases meet; Hull 1994).
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace

from cutfiles.dataclass import dataclass
from cutfiles.findings import Finding
from cutfiles.folding.bows import LayerBow, bow_findings, drawn_angles, layer_bows, relief_findings
from cutfiles.folding.drawn import angles_for, drawing_findings, matched
from cutfiles.folding.film import film_findings
from cutfiles.folding.fold import Folded, fold
from cutfiles.folding.graph import FoldLine, Graph, bounds, build_graph
from cutfiles.folding.isometry import isometry_findings, kept_within
from cutfiles.folding.posts import PostFold, check_posts, parted
from cutfiles.folding.shape import CLOSE, Measure, Shape, face_of
from cutfiles.folding.vertices import meetings
from cutfiles.pattern.pattern import Pattern
from cutfiles.plane.shapes import Point
from cutfiles.support.standing import Support


@dataclass(frozen=True, slots=True)
class FoldCheck:
    """A drawing folded and held against its support.

    Attributes:
        folded: faces in space, the panel it stands by where it is drawn; None where nothing folds.
        measures: of the support standing.
        findings: what is wrong, or worth knowing.
        faces: which face each panel is on each band, by their names; a hem or lip by its own name
            and what it is.
        bows: what the layers under the book face do where they are too long; none in one layer.
        posts: each folded by itself.

    """

    folded: Folded | None
    measures: tuple[Measure, ...]
    findings: tuple[Finding, ...]
    faces: Mapping[tuple[str, str], int] = field(default_factory=dict)
    bows: tuple[LayerBow, ...] = ()
    posts: tuple[PostFold, ...] = ()

    @property
    def folds(self) -> bool:
        """Whether nothing in it forbids to cut."""
        return not any(finding.severity == "stop" for finding in self.findings)


def placed(lines: Sequence[FoldLine]) -> tuple[FoldLine, ...]:
    """Return the lines with the outline's lower left corner at (0, 0)."""
    outline = [p for line in lines if line.kind == "B" and not line.hole for p in line.points]
    if not outline:
        return tuple(lines)
    left, bottom, _, _ = bounds(outline)
    return tuple(
        replace(line, points=tuple(Point(x - left, y - bottom) for x, y in line.points))
        for line in lines
    )


def check_folds(
    lines: Sequence[FoldLine], pattern: Pattern, support: Support, step: float = 0.0
) -> FoldCheck:
    """Return a drawing folded, with what is wrong with it.

    Args:
        lines: as read from a file.
        pattern: what they should draw: which crease is where, and how far each one folds.
        support: what they should become.
        step: the finest step of the file's format, mm.

    """
    limit = CLOSE + step
    posts: tuple[PostFold, ...] = ()
    apart: tuple[Finding, ...] = ()
    if pattern.posts:
        lines, others = parted(lines)
        posts, apart = check_posts(others, pattern.posts, limit, step)
    own = placed(lines)
    found, extra = matched(own, pattern)
    causes = list(drawing_findings(found, extra, limit))
    try:
        graph = build_graph(_once(own))
    except ValueError as error:
        gone = Finding("connect", "outline", f"{error}: nothing folds", severity="stop")
        return FoldCheck(None, (), (gone, *causes))
    angles = angles_for(graph, pattern)
    standing = pattern.root.panel
    root = face_of(graph, pattern, standing, pattern.band("middle"))
    if root is None:
        gone = Finding("connect", standing, f"the lines bound no {standing} panel", severity="stop")
        return FoldCheck(None, (), (gone, *causes))
    folded = fold(graph, angles, root)
    shape = Shape(folded, pattern, support, found, limit)
    bows = layer_bows(support, pattern, shape.drawn, drawn_angles(pattern, found))
    effects = [
        *shape.findings(),
        *isometry_findings(folded, kept_within(step)),
        *_connects(graph, folded, pattern),
        *_meet(graph, angles, pattern),
        *bow_findings(bows),
        *relief_findings(own, pattern, support.film.gauge, limit),
        *film_findings(own, pattern, [bearing.panel for bearing in support.bearings]),
    ]
    faces = {key: face for key, face in shape.faces.items() if face is not None}
    kinds = {flange.name: flange.kind for flange in pattern.flanges}
    faces |= {(name, kinds[name]): face for name, face in shape.flanges.items()}
    findings = (*_together(causes, effects), *apart)
    return FoldCheck(folded, shape.measures, findings, faces, bows, posts)


def _once(lines: Sequence[FoldLine]) -> list[FoldLine]:
    """Return the lines, those drawn twice over the same places once."""
    kept: dict[tuple[str, tuple[Point, ...]], FoldLine] = {}
    for line in lines:
        ends = tuple(Point(round(x, 2), round(y, 2)) for x, y in line.points)
        kept.setdefault((line.kind, min(ends, ends[::-1])), line)
    return list(kept.values())


def _together(causes: list[Finding], effects: list[Finding]) -> list[Finding]:
    """Return what is wrong in one sentence each: a fault of the drawing tells what comes of it."""
    stops = [finding for finding in effects if finding.severity == "stop"]
    advice = [finding for finding in effects if finding.severity != "stop"]
    if not causes or not stops:
        return causes + stops + advice
    told = [
        replace(cause, message=f"{cause.message}; folded so, {stops[0].message}")
        if i == 0
        else cause
        for i, cause in enumerate(causes)
    ]
    return told + advice


def _connects(graph: Graph, folded: Folded, pattern: Pattern) -> Iterator[Finding]:
    for place, size in graph.loose:
        yield Finding(
            "connect",
            "line",
            f"a line of {size:.1f} mm at ({place.x:.1f}, {place.y:.1f}) bounds no panel",
            size,
            0.0,
            "stop",
        )
    wanted = (len(pattern.creases) + 1) * len(pattern.bands) + len(pattern.flanges)
    if len(graph.faces) != wanted:
        yield Finding(
            "connect",
            "panels",
            f"the lines bound {len(graph.faces)} panels, should be {wanted}",
            len(graph.faces),
            wanted,
            "stop",
        )
    apart = sum(motion is None for motion in folded.motions)
    if apart:
        yield Finding("connect", "panels", f"{apart} panels hang on nothing", apart, 0, "stop")


def _meet(graph: Graph, angles: dict[int, float], pattern: Pattern) -> Iterator[Finding]:
    for meeting in meetings(graph, angles):
        if not meeting.flat:
            continue
        near = min(pattern.creases, key=lambda c: abs(c.position - meeting.place.x))
        flap = min(
            (band for band in pattern.bands if band.layer),
            key=lambda band: abs(band.box.centre.y - meeting.place.y),
            default=pattern.bands[0],
        )
        place = f"{near.name}, {flap.name}"
        if not meeting.maekawa:
            odds = abs(meeting.mountains - meeting.valleys)
            yield Finding(
                "maekawa",
                place,
                f"{meeting.mountains} mountains and {meeting.valleys} valleys meet at {place}: "
                "it cannot fold flat there",
                odds,
                2,
                "stop",
            )
        elif meeting.kawasaki > math.radians(0.5):
            yield Finding(
                "kawasaki",
                place,
                f"the creases that meet at {place} are "
                f"{math.degrees(meeting.kawasaki):.1f}° from folding flat there",
                math.degrees(meeting.kawasaki),
                0.5,
                "stop",
            )
