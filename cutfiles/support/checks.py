"""Checks of the support standing: the profile is walked and must close, on every book made."""

import math
from collections.abc import Iterator
from itertools import combinations, pairwise

from cutfiles.findings import Finding
from cutfiles.plane.measure import distance
from cutfiles.support.contacts import NARROW_TAPE
from cutfiles.support.profile import Walk, walk
from cutfiles.support.rigid import free_movements
from cutfiles.support.standing import Support, along, tape_middle

CLOSE = 1e-6
"""Two places closer than this are one, mm: rounding of the walk only."""
STEEP = 60.0
"""Steeper slopes are advised against, degrees (common practice, no source)."""


def check_standing(support: Support) -> Iterator[Finding]:
    """Yield what is wrong with, or worth knowing of, the support as it would stand."""
    standing = walk(support.profile)
    yield from _closes(support, standing)
    yield from _on_table(support, standing)
    yield from _taped(support, standing)
    yield from _rigid(support)
    yield from _advice(support)


def _closes(support: Support, standing: Walk) -> Iterator[Finding]:
    """The walk by fold angles ends each panel where trigonometry puts it."""
    panels, root = support.profile.panels, support.profile.standing
    if len(support.places) != len(standing.corners):
        count = len(support.places) - 1
        yield _stop("closing", "strip", "has a panel too many or too few", len(panels), count)
        return
    for i, (found, meant) in enumerate(zip(standing.corners, support.places, strict=True)):
        off = distance(found, meant)
        if off > CLOSE:
            # each corner is the outer end of a panel, as seen from the root
            name = panels[i if i <= root else i - 1].name
            yield _stop("closing", name, "does not end where it should", off, CLOSE)


def _on_table(support: Support, standing: Walk) -> Iterator[Finding]:
    """What lies on the table does so, and nothing stands below it."""
    for name in support.contacts.table:
        i = support.profile.index(name)
        high = max(abs(corner.y) for corner in standing.corners[i : i + 2])
        if high > CLOSE:
            yield _stop("table", name, "does not lie on the table", high, 0.0)
    low = min(corner.y for corner in standing.corners)
    if low < -CLOSE:
        yield _stop("table", "strip", "reaches below the table", low, 0.0)


def _taped(support: Support, standing: Walk) -> Iterator[Finding]:
    """What is taped lies on the panel it is taped to, and off what else is taped there."""
    profile, spans = support.profile, []
    places = list(pairwise(standing.corners))
    for tape in support.contacts.tapes:
        panel = support.held_by(tape)
        ends, to = places[profile.index(tape.panel)], places[profile.index(panel)]
        at, long = along(to, tape_middle(tape, ends))[0], distance(*to)
        over = max(-at, at - long)
        if over > CLOSE:
            yield _stop("tab", tape.panel, f"is not on the {panel} panel", over, 0.0)
        spans.append((tape, sorted(along(to, end)[0] for end in ends)))
    for (one, a), (two, b) in combinations(spans, 2):
        over = min(a[1], b[1]) - max(a[0], b[0])
        if (one.to, one.to_face) == (two.to, two.to_face) and over >= 0:
            yield _stop("tab", "tabs", "lie on one another", over, 0.0)


def _rigid(support: Support) -> Iterator[Finding]:
    """What is taped and what weight keeps down leaves nothing free to move."""
    free = free_movements(support)
    if free:
        yield _stop("rigid", "strip", "sways: it can still move as it stands", free, 0)


def _advice(support: Support) -> Iterator[Finding]:
    for half in support.halves:
        slope = math.degrees(half.slope)
        if not half.stands:
            yield Finding(
                "no-leg",
                f"{half.side} board",
                f"the {half.side} side rises less than {support.choices.least_rise:g} mm: its "
                "board panel lies on the table and the strip ends there",
            )
        elif slope > STEEP:
            yield Finding(
                "steep",
                f"{half.side} board",
                f"a slope of {slope:.1f}° is above {STEEP:g}°: a flatter opening is safer",
                slope,
                STEEP,
            )
        yield from _narrow(support, f"{half.side} tab")
    sides = {f"{half.side} tab" for half in support.halves}
    for tape in support.contacts.tapes:
        if tape.panel not in sides:
            yield from _narrow(support, tape.panel)


def _narrow(support: Support, panel: str) -> Iterator[Finding]:
    """Yield a tape that is narrower than what is at hand."""
    tape = support.tape_on(panel)
    if tape is not None and tape.width < NARROW_TAPE - CLOSE:
        long = support.panel(panel).length
        yield Finding(
            "tape",
            panel,
            f"the {panel} is {long:.1f} mm long and takes a tape {tape.width:.1f} mm wide: "
            f"cut the usual narrow tape of {NARROW_TAPE:g} mm narrower",
            tape.width,
            NARROW_TAPE,
        )


def _stop(rule: str, place: str, message: str, measured: float, limit: float) -> Finding:
    return Finding(rule, place, f"{place} {message}", measured, limit, "stop")
