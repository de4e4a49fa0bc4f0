"""The film that is there: holes that were drawn besides, held against creases and uprights."""

from collections.abc import Iterator, Sequence

from cutfiles.findings import Finding
from cutfiles.folding.drawn import is_upright, scores_of
from cutfiles.folding.graph import FoldLine, bounds
from cutfiles.pattern.pattern import Pattern, Role
from cutfiles.plane.measure import box_of, distance
from cutfiles.plane.shapes import Box, Point

_CROSSED = 1.0
"""So much of a crease may a hole take away, mm."""
_SAME = 0.2
"""A hole of the pattern is known by its middle, mm."""
_HALF = 0.5
"""An upright panel narrower than half of what it was carries nothing sure (common practice, no
source)."""
_SECTIONS = 16


def film_findings(
    lines: Sequence[FoldLine], pattern: Pattern, uprights: Sequence[str]
) -> Iterator[Finding]:
    """Yield each hole, none of the pattern's, that lies across a crease or takes an upright away.

    Args:
        lines: as drawn, in the pattern's coordinates.
        pattern: what they should draw.
        uprights: names of the panels that carry.

    """
    known = [box_of([stroke.path]) for stroke in pattern.of_role(Role.HOLES)]
    holes = [line.points for line in lines if line.hole and line.closed]
    added = [hole for hole in holes if not any(_is(hole, box) for box in known)]
    for hole in added:
        for score in scores_of(pattern):
            gone = _taken(hole, score.path.points)
            if gone > _CROSSED:
                yield Finding(
                    "film",
                    score.name,
                    f"a hole lies across {score.name} and takes {gone:.1f} mm of it away",
                    gone,
                    _CROSSED,
                    "stop",
                )
    for name in uprights:
        left, right = pattern.span(name)
        share = min(
            (
                _left_over(added, pattern, left + (right - left) * (i + 0.5) / _SECTIONS)
                for i in range(_SECTIONS)
            ),
            default=1.0,
        )
        if share < _HALF:
            yield Finding(
                "film",
                name,
                f"holes leave {share:.0%} of the {name} at its narrowest",
                share,
                _HALF,
                "stop",
            )


def _is(hole: Sequence[Point], box: Box) -> bool:
    """Whether a hole is one of the pattern's: a format may break up its arcs anywhere."""
    left, bottom, right, top = bounds(hole)
    apart = distance(((left + right) / 2, (bottom + top) / 2), box.centre)
    return apart < _SAME and box.width < 1.5 * (right - left) + _SAME


def _left_over(holes: Sequence[Sequence[Point]], pattern: Pattern, x: float) -> float:
    """Return the share of the bands' breadth that holes leave along an upright section."""
    whole = sum(band.box.height for band in pattern.bands)
    line = (Point(x, pattern.box.bottom), Point(x, pattern.box.top))
    return 1.0 - sum(_taken(hole, line) for hole in holes) / whole


def _taken(hole: Sequence[Point], line: Sequence[Point]) -> float:
    """Return how much of an upright or level line lies in a hole, mm."""
    a, b = line[0], line[-1]
    along, across = (1, 0) if is_upright(line) else (0, 1)
    place = (a[across] + b[across]) / 2
    low, high = sorted((a[along], b[along]))
    met = sorted(
        p[along] + (q[along] - p[along]) * (place - p[across]) / (q[across] - p[across])
        for p, q in zip(hole, (*hole[1:], hole[0]), strict=True)
        if (p[across] > place) != (q[across] > place)
    )
    pairs = zip(met[::2], met[1::2], strict=False)
    return sum(max(0.0, min(high, end) - max(low, start)) for start, end in pairs)
