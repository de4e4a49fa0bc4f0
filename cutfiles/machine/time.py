"""An estimate of the time a pass takes: speeds and acceleration of the profile, stops at corners.

Each straight or curved run between two corners starts and ends at rest: a machine that looks ahead
is faster, one that dwells is slower. Good for planning a day, not for timing a machine.
"""

import math
from collections.abc import Mapping, Sequence

from cutfiles.machine.cutter import Cutter, Setting
from cutfiles.machine.order import end_of
from cutfiles.machine.passes import WORK, setting_of
from cutfiles.pattern.pattern import Stroke
from cutfiles.plane.measure import distance, segment_length, sweep
from cutfiles.plane.shapes import Path, Point, Segment

CORNER = math.radians(20)
"""A sharper turn is a corner: the tool stops there."""


def move_time(length: float, speed: float, acceleration: float) -> float:
    """Return how long a move from rest to rest takes, s.

        t = l/v + v/a, where l ≥ v²/a; else t = 2 √(l/a)

    Args:
        length: l, mm.
        speed: v, mm/s.
        acceleration: a, mm/s².

    Source: uniformly accelerated motion.

    >>> move_time(100.0, 50.0, 500.0), move_time(2.0, 50.0, 500.0)
    (2.1, 0.12649110640673517)

    """
    if length >= speed**2 / acceleration:
        return length / speed + speed / acceleration
    return 2 * math.sqrt(length / acceleration)


def pass_seconds(
    strokes: Sequence[Stroke],
    cutter: Cutter,
    settings: Mapping[str, Setting],
    home: tuple[float, float],
) -> float:
    """Return how long a pass takes, s, from home and back."""
    speed = cutter.speed
    pens = cutter.pens
    total, at = 0.0, Point(*home)
    tool: object = None
    for stroke in strokes:
        setting = setting_of(stroke, settings)
        kind = WORK[stroke.role]
        pen = pens.get(stroke.role, kind)
        if tool not in (None, pen):
            total += speed.tool_change
        tool = pen
        pace = setting.speed or {"cut": speed.cut, "score": speed.score, "mark": speed.mark}[kind]
        total += move_time(distance(at, stroke.path.points[0]), speed.travel, speed.acceleration)
        runs = [move_time(length, pace, speed.acceleration) for length in runs_of(stroke.path)]
        total += setting.passes * (sum(runs) + 2 * speed.lift)
        at = end_of(stroke)
    return total + move_time(distance(at, home), speed.travel, speed.acceleration)


def runs_of(path: Path) -> list[float]:
    """Return the lengths between the corners of a path, mm."""
    lengths: list[float] = []
    heading: float | None = None
    for segment in path.segments():
        if distance(segment.start, segment.end) < 1e-9:
            continue
        into, out = _headings(segment)
        smooth = heading is not None and abs(_turned(heading, into)) <= CORNER
        if smooth:
            lengths[-1] += segment_length(segment)
        else:
            lengths.append(segment_length(segment))
        heading = out
    return lengths


def _headings(segment: Segment) -> tuple[float, float]:
    """Return the heading at a segment's start and end, radians."""
    (ax, ay), (bx, by), _ = segment
    chord, half = math.atan2(by - ay, bx - ax), sweep(segment) / 2
    return chord - half, chord + half


def _turned(a: float, b: float) -> float:
    return (b - a + math.pi) % math.tau - math.pi


def time_text(seconds: float) -> str:
    """Return a time as people say it.

    >>> time_text(42.0), time_text(600.0)
    ('42 s', '10 min')
    """
    if seconds < 90:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min"
