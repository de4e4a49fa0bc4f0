"""Checks of the pattern, run on every one made: folded back up it must give the support.

Rules: `fold-up` (creases, lengths, standing corners), `flap` (creases reversed and in register
with the middle, edges inside the finished outline), `maekawa` and `kawasaki` (at each crossing of a
long fold and a cross crease; Hull, Congressus Numerantium 100, 1994), `inside` (nothing outside the
outline, labels on base panels, tape on tabs).
"""

import math
from collections.abc import Iterator

from cutfiles.findings import Finding
from cutfiles.pattern.flanges import margins
from cutfiles.pattern.fold_up import Score, cross_scores, fold_up, turned_under
from cutfiles.pattern.layers import layer_moves
from cutfiles.pattern.pattern import Band, Pattern, Role
from cutfiles.pattern.slots import check_slots
from cutfiles.plane.measure import box_of, distance
from cutfiles.plane.shapes import Box
from cutfiles.support.construct import piece_of
from cutfiles.support.profile import walk
from cutfiles.support.standing import Support

CLOSE = 1e-6
"""Two places closer than this are one, mm."""


def check_pattern(pattern: Pattern, support: Support) -> Iterator[Finding]:
    """Yield what is wrong with a pattern, or worth knowing."""
    scored = {band.name: cross_scores(pattern, band) for band in pattern.bands}
    outline = box_of(stroke.path for stroke in pattern.of_role(Role.OUTLINE))
    yield from _folds_up(pattern, support, outline)
    for band in pattern.bands:
        if len(scored[band.name]) != len(support.profile.folds):
            count = len(scored[band.name])
            yield _stop(
                "fold-up",
                band.name,
                "has a score too many or too few",
                count,
                len(support.profile.folds),
            )
            return
    for band in pattern.bands:
        if band.layer:
            yield from _flap(pattern, support, band, scored)
            yield from _crossings(pattern, band, scored)
    yield from _inside(pattern, outline)
    yield from check_slots(pattern, support)
    yield from _labelled(pattern)


def _folds_up(pattern: Pattern, support: Support, outline: Box) -> Iterator[Finding]:
    try:
        folded = fold_up(pattern)
    except ValueError as error:
        yield Finding("fold-up", "middle", str(error), severity="stop")
        return
    off = abs(outline.width - sum(margins(piece_of(support))[:2]) - support.profile.length)
    if off > CLOSE:
        yield _stop("fold-up", "outline", "is not as long as its panels together", off, CLOSE)
    meant = walk(support.profile).corners
    wanted = [meant[0], *(meant[fold.after] for fold in support.profile.folds), meant[-1]]
    found = walk(folded).corners
    for name, want, got in zip(
        ["left end", *(fold.name for fold in folded.folds), "right end"], wanted, found, strict=True
    ):
        off = distance(want, got)
        if off > CLOSE:
            yield _stop("fold-up", name, "does not come back to its place", off, CLOSE)


def _flap(
    pattern: Pattern, support: Support, flap: Band, scored: dict[str, tuple[Score, ...]]
) -> Iterator[Finding]:
    """Turned under, a flap's creases run with the middle's, and its edge stays inside."""
    middle = pattern.band("middle")
    moves = layer_moves(support.profile, support.film.gauge * support.choices.nesting)
    for crease, above, below, move in zip(
        pattern.creases, scored["middle"], scored[flap.name], moves.creases, strict=True
    ):
        place = f"{crease.name}, {flap.name}"
        if above.role is below.role:
            yield _stop("flap", place, "is not reversed", 1.0, 0.0)
        off = abs(below.x - flap.layer * move - above.x)
        if off > CLOSE:
            yield _stop("flap", place, "does not meet the middle's crease", off, CLOSE)
    fold = middle.box.bottom if flap.box.top <= middle.box.bottom else middle.box.top
    free = flap.box.bottom if fold == middle.box.bottom else flap.box.top
    edge = turned_under(free, fold)
    over = max(middle.box.bottom - edge, edge - middle.box.top)
    if over > support.film.stack:  # the bends of the long folds take up less than that
        yield _stop(
            "flap",
            flap.name,
            "stands out beyond the middle when turned under",
            over,
            support.film.stack,
        )


def _crossings(
    pattern: Pattern, flap: Band, scored: dict[str, tuple[Score, ...]]
) -> Iterator[Finding]:
    """At each crossing: |mountains − valleys| = 2, alternate angles add up to 180°."""
    middle = pattern.band("middle")
    fold = flap.box.top if flap.box.top <= middle.box.bottom else flap.box.bottom
    long_fold = next(
        (
            stroke
            for role in (Role.MOUNTAIN, Role.VALLEY)
            for stroke in pattern.of_role(role)
            if all(abs(point.y - fold) <= CLOSE for point in stroke.path.points)
        ),
        None,
    )
    if long_fold is None:
        yield Finding("maekawa", flap.name, f"{flap.name} has no long fold", severity="stop")
        return
    if long_fold.role is not Role.MOUNTAIN:
        yield _stop("flap", flap.name, "would fold onto the book face, not under", 1.0, 0.0)
    for crease, above, below in zip(
        pattern.creases, scored["middle"], scored[flap.name], strict=True
    ):
        place = f"{crease.name}, {flap.name}"
        roles = [long_fold.role, long_fold.role, above.role, below.role]
        mountains = roles.count(Role.MOUNTAIN)
        if abs(2 * mountains - len(roles)) != 2:
            yield _stop("maekawa", place, "cannot fold flat", abs(2 * mountains - 4), 2)
        along = long_fold.path.points
        rays = [
            _direction(along[0], along[-1]),
            _direction(along[-1], along[0]),
            _away(above, fold),
            _away(below, fold),
        ]
        rays.sort()
        gaps = [
            (after - before) % math.tau
            for before, after in zip(rays, [*rays[1:], rays[0]], strict=True)
        ]
        off = abs(gaps[0] + gaps[2] - math.pi)
        if off > CLOSE:
            yield _stop("kawasaki", place, "cannot fold flat", math.degrees(off), 0.0)


def _away(score: Score, fold: float) -> float:
    """Return the direction of a score away from a long fold, radians."""
    near, far = sorted(score.stroke.path.points, key=lambda point: abs(point.y - fold))
    return _direction(near, far)


def _direction(start: tuple[float, float], end: tuple[float, float]) -> float:
    return math.atan2(end[1] - start[1], end[0] - start[0])


def _inside(pattern: Pattern, outline: Box) -> Iterator[Finding]:
    """Nothing reaches outside the piece."""

    def over(own: Box) -> float:
        box = pattern.box
        return max(
            box.left - own.left, box.bottom - own.bottom, own.right - box.right, own.top - box.top
        )

    others = [stroke.path for stroke in pattern.strokes if stroke.role is not Role.OUTLINE]
    within = [outline, *([box_of(others)] if others else ())]
    if max(map(over, within)) > CLOSE:  # one by one only where one does
        for stroke in pattern.strokes:
            if (far := over(box_of([stroke.path]))) > CLOSE:
                yield _stop("inside", stroke.name, "reaches outside the piece", far, 0.0)


def _labelled(pattern: Pattern) -> Iterator[Finding]:
    """Labels stay on their base panels, off the tabs; a base too small for one is told."""
    for panel in pattern.panels:
        left, right = pattern.span(panel.name)
        if panel.part != "base":
            continue
        drawn = [s.path for s in pattern.of_role(Role.LABEL) if s.name == f"label {panel.side}"]
        if not drawn:
            yield Finding(
                "label",
                panel.name,
                f"the {panel.name} panel is too small for a label: mark it by hand",
                panel.length,
            )
            continue
        box, middle = box_of(drawn), pattern.band("middle").box
        over = max(
            left - box.left, box.right - right, middle.bottom - box.bottom, box.top - middle.top
        )
        if over > 0:
            yield _stop("label", panel.name, "does not hold its label", over, 0.0)


def _stop(rule: str, place: str, message: str, measured: float, limit: float) -> Finding:
    return Finding(rule, place, f"{place} {message}", measured, limit, "stop")
