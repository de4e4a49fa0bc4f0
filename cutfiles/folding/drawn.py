"""Which drawn line is which crease: scores held against the pattern they should be.

Lines are in the pattern's own coordinates: the outline's lower left corner at (0, 0).
"""

import math
from collections.abc import Iterator, Sequence

from cutfiles.dataclass import dataclass
from cutfiles.findings import Finding
from cutfiles.folding.graph import REACH, FoldLine, Graph, Kind
from cutfiles.pattern.pattern import Band, Pattern, Role, Stroke
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point

KINDS: dict[str, Kind] = {Role.OUTLINE: "B", Role.HOLES: "B", Role.MOUNTAIN: "M", Role.VALLEY: "V"}
"""The FOLD letter of each role that folding knows; other roles do not fold."""
_WORDS = {"M": "mountain", "V": "valley"}
NEAR = 5.0
"""A score further than this from every crease is none of the pattern's, mm."""


@dataclass(frozen=True, slots=True)
class Match:
    """A score of the pattern, and the lines that draw it.

    Attributes:
        stroke: as it should be.
        lines: as drawn, in pieces or not.

    """

    stroke: Stroke
    lines: tuple[FoldLine, ...]

    @property
    def upright(self) -> bool:
        """Whether it runs from tail to head."""
        return is_upright(self.stroke.path.points)

    @property
    def place(self) -> float:
        """Where it should lie across its run: x of a cross crease, y of a long fold, mm."""
        return across(self.stroke.path.points)

    @property
    def drawn_at(self) -> float:
        """Where it is drawn, mm; where it should lie if it is not drawn at all."""
        total = sum(distance(line.points[0], line.points[-1]) for line in self.lines)
        if total == 0:
            return self.place
        parts = (distance(x.points[0], x.points[-1]) * across(x.points) for x in self.lines)
        return sum(parts) / total


def is_upright(points: Sequence[Point]) -> bool:
    """Whether a line runs from tail to head rather than from left to right."""
    first, last = points[0], points[-1]
    return abs(first.x - last.x) < abs(first.y - last.y)


def across(points: Sequence[Point]) -> float:
    """Return x of an upright line, y of a level one, midway, mm."""
    first, last = points[0], points[-1]
    if is_upright(points):
        return (first.x + last.x) / 2
    return (first.y + last.y) / 2


def scores_of(pattern: Pattern) -> tuple[Stroke, ...]:
    """Return the pattern's scores: cross creases band by band, and long folds."""
    return pattern.of_role(Role.MOUNTAIN) + pattern.of_role(Role.VALLEY)


def band_at(pattern: Pattern, y: float) -> Band:
    """Return the band a height lies in, the nearest one if none."""
    return min(pattern.bands, key=lambda band: max(band.box.bottom - y, y - band.box.top, 0.0))


@dataclass(frozen=True, slots=True)
class Places:
    """Where the pattern's scores run, told once for all lines that are held against them.

    Attributes:
        pattern: whose scores.
        scores: each with whether it is upright, its band if so, and its place across its run.

    """

    pattern: Pattern
    scores: tuple[tuple[Stroke, bool, Band | None, float], ...]

    def nearest(self, points: Sequence[Point]) -> tuple[Stroke | None, float]:
        """Return the score that a line draws, and how far it lies from it, mm.

        Fold lines of hems stand end to end: of two at one height the one that runs there counts.
        """
        upright, place = is_upright(points), across(points)
        half = _middle_along(points, upright)
        band = band_at(self.pattern, (points[0].y + points[-1].y) / 2) if upright else None
        best: tuple[Stroke | None, float] = (None, float("inf"))
        for stroke, stands, own, where in self.scores:
            if stands != upright or own is not band:
                continue
            off = abs(where - place) + _beyond(stroke, half, stands)
            if off < best[1]:
                best = (stroke, off)
        return best


def _middle_along(points: Sequence[Point], upright: bool) -> float:
    first, last = points[0], points[-1]
    return (first.y + last.y) / 2 if upright else (first.x + last.x) / 2


def _beyond(stroke: Stroke, middle: float, upright: bool) -> float:
    """Return how far a place along a score's run lies beyond its ends, mm."""
    first, last = stroke.path.points[0], stroke.path.points[-1]
    low, high = sorted((first.y, last.y) if upright else (first.x, last.x))
    return max(low - middle, middle - high, 0.0)


def places_of(pattern: Pattern) -> Places:
    """Return where a pattern's scores run."""
    scores = []
    for stroke in scores_of(pattern):
        points = stroke.path.points
        upright = is_upright(points)
        band = band_at(pattern, (points[0].y + points[-1].y) / 2) if upright else None
        scores.append((stroke, upright, band, across(points)))
    return Places(pattern, tuple(scores))


def matched(
    lines: Sequence[FoldLine], pattern: Pattern
) -> tuple[tuple[Match, ...], tuple[FoldLine, ...]]:
    """Return each score of the pattern with its lines, and the lines that draw none."""
    groups: dict[str, list[FoldLine]] = {stroke.name: [] for stroke in scores_of(pattern)}
    extra = []
    places = places_of(pattern)
    for line in lines:
        if line.kind not in "MV":
            continue
        stroke, off = places.nearest(line.points)
        if stroke is None or off > NEAR:
            extra.append(line)
        else:
            groups[stroke.name].append(line)
    found = tuple(Match(s, tuple(groups[s.name])) for s in scores_of(pattern))
    return found, tuple(extra)


def angles_for(graph: Graph, pattern: Pattern) -> dict[int, float]:
    """Return how far each edge folds, radians: how far from the pattern, which way as drawn."""
    sizes = {crease.name: abs(crease.angle) for crease in pattern.creases}
    sizes |= {flange.name: abs(flange.angle) for flange in pattern.flanges}
    angles = {}
    places = places_of(pattern)
    for number, edge in enumerate(graph.edges):
        if edge.kind not in "MV":
            continue
        stroke, _ = places.nearest((graph.vertices[edge.a], graph.vertices[edge.b]))
        if stroke is None:
            continue
        size = sizes.get(stroke.of, math.pi)
        angles[number] = size if edge.kind == "V" else -size
    return angles


def drawing_findings(
    found: Sequence[Match], extra: Sequence[FoldLine], limit: float
) -> Iterator[Finding]:
    """Yield each score that is missing, doubled, moved, cut short or turned, one sentence each.

    Args:
        found: the pattern's scores, with the lines that draw them.
        extra: lines that draw none.
        limit: how far a score may lie off, mm.

    """
    for match in found:
        yield from _line_findings(match, limit)
    for line in extra:
        place = line.points[0]
        yield Finding(
            "crease",
            line.name,
            f"a {_WORDS[line.kind]} score of {distance(place, line.points[-1]):.1f} mm at "
            f"({place.x:.1f}, {place.y:.1f}) is no crease of the pattern",
            severity="stop",
        )


def _line_findings(match: Match, limit: float) -> Iterator[Finding]:
    name = match.stroke.name
    wanted = KINDS[match.stroke.role]
    if not match.lines:
        yield _stop(name, f"{name} is missing")
        return
    turned = [line for line in match.lines if line.kind != wanted]
    if turned:
        yield _stop(
            name, f"{name} is drawn as a {_WORDS[turned[0].kind]}, should be a {_WORDS[wanted]}"
        )
    off = match.drawn_at - match.place
    if abs(off) > limit:
        ways = (
            ("too far to the right", "too far to the left")
            if match.upright
            else ("too high", "too low")
        )
        yield Finding(
            "crease",
            name,
            f"{name} lies {abs(off):.2f} mm {ways[off < 0]}",
            abs(off),
            limit,
            "stop",
        )
    spans = sorted(_span(line, match.upright) for line in match.lines)
    covered, end = 0.0, -float("inf")
    for low, high in spans:
        covered += max(0.0, high - max(low, end))
        end = max(end, high)
    drawn = sum(high - low for low, high in spans)
    low, high = _span(FoldLine(wanted, match.stroke.path.points), match.upright)
    if drawn - covered > 1.0:
        twice = drawn - covered
        said = f"{name} is drawn twice over {twice:.1f} mm and would be scored twice"
        yield Finding("crease", name, said, twice, 0.0, "stop")
    # a fold is broken by each relief hole on it, and led on to the next line
    if covered < 0.9 * (high - low) - 2 * REACH:
        short = high - low - covered
        yield Finding("crease", name, f"{name} is {short:.1f} mm too short", short, 0.0, "stop")


def _span(line: FoldLine, upright: bool) -> tuple[float, float]:
    runs = [point.y if upright else point.x for point in line.points]
    return min(runs), max(runs)


def _stop(name: str, message: str) -> Finding:
    return Finding("crease", name, message, severity="stop")
