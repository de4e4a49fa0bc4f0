"""Paths of every shape as tools need them: offset, led, held, entered, counted, timed, framed."""

import itertools
import math

from kept import Group
from kept.profiles import said_as

BEDS = [("lower-right", "left", "up"), ("upper-left", "down", "right"), ("centre", "up", "right")]
KERFS = (0.16, 1.1, 3.0, 9.0)


def paths():
    """Return closed paths by name: lines and arcs, blunt and sharp, broad and narrow."""
    from cutfiles.plane.moves import reverse
    from cutfiles.plane.shapes import Path, Point

    def path(bulges, *places):
        return Path(tuple(Point(*place) for place in places), tuple(bulges), True)

    def wheel(bulges, deep):
        turns = [(math.tau * i / 7, 20 + deep * math.sin(3 * i)) for i in range(7)]
        return path(bulges, *((30 + r * math.cos(t), 25 + r * math.sin(t)) for t, r in turns))

    made = {
        "oblong": path([0] * 4, (3, 2), (33, 2), (33, 14), (3, 14)),
        "circle": path([1, 1], (10, 7), (4, 7)),
        "slot": path([0, 1, 0, 1], (5, 5), (25, 5), (25, 9), (5, 9)),
        "half": path([0, 1], (2, 3), (22, 3)),
        "flat arc": path([0, 0.2], (2, 3), (22, 3)),
        "lens": path([0.4, 0.3], (5, 5), (21, 9)),
        "moon": path([0.8, -0.3], (5, 5), (21, 9)),
        "spike": path([0] * 3, (0, 0), (40, 5), (0, 9)),
        "step": path([0] * 6, (0, 0), (20, 0), (20, 0.5), (24, 0.5), (24, 11), (0, 11)),
        "notch": path([0] * 7, (0, 0), (30, 0), (30, 20), (16, 20), (15, 4), (14, 20), (0, 20)),
        "neck": path(
            [0] * 8,
            *(
                (x, y)
                for x, y in ((0, 0), (10, 4), (20, 4), (30, 0), (30, 10), (20, 6), (10, 6), (0, 10))
            ),
        ),
        "twice": path([0] * 5, (0, 0), (10, 0), (10, 0), (10, 8), (0, 8)),
        "wheel": wheel([0.3, -0.2, 0, 0.5, -0.4, 0.1, 0], 3),
        "star": wheel([0, 0.2, 0, 0, -0.3, 0.2, 0.2], 9),
    }
    return made | {f"{name} turned": reverse(path) for name, path in made.items()}


def rounded(path):
    """Return a path in words."""
    places = " ".join(f"{x:.5f},{y:.5f}" for x, y in path.points)
    return f"{'closed' if path.closed else 'open'} {places} / " + " ".join(
        f"{bulge + 0.0:.6f}" for bulge in path.bulges
    )


def worked(name, work, *options):
    """Return a line that works each path in each way."""

    def call(_):
        from cutfiles.errors import CutfilesError

        lines = []
        for (called, path), *given in itertools.product(paths().items(), *options):
            try:
                said = work(path, *given)
            except (CutfilesError, ValueError) as error:
                said = str(error)
            lines.append(f"{called} {given}: {said}")
        return "\n".join(lines)

    return said_as(name, call)


def _kerf(path, role, kerf, corners):
    from cutfiles.machine.kerf import compensate
    from cutfiles.pattern.pattern import Stroke

    return rounded(compensate(Stroke(role, "one", path), kerf, corners).path)


def _led(path, offset, overcut):
    from cutfiles.machine.knife import led
    from cutfiles.pattern.pattern import Role, Stroke
    from cutfiles.plane.shapes import Point

    strokes = [Stroke(Role.OUTLINE, "one", path), Stroke(Role.HOLES, "two", path)]
    return [rounded(s.path) for s in led(strokes, offset, overcut, Point(1, 2), 0.5)]


def _held(path, count, width):
    from cutfiles.machine.bridges import with_bridges
    from cutfiles.pattern.pattern import Role, Stroke
    from cutfiles.plane.shapes import open_path

    scores = [open_path((9, -9), (9, 40)), open_path((-9, 7.5), (40, 7))]
    cuts = with_bridges(Stroke(Role.OUTLINE, "one", path), scores, count, width)
    return [rounded(cut.path) for cut in cuts]


def _entered(path, role, length):
    from cutfiles.machine.bridges import with_lead_in
    from cutfiles.pattern.pattern import Stroke

    return rounded(with_lead_in(Stroke(role, "one", path), length).path)


def _counted(path, bed):
    from cutfiles.machine.cutter import Bed
    from cutfiles.machine.place import machine_path, seen_point

    origin, x, y = bed
    made = Bed(width=90, length=70, margin=4, origin=origin, x_axis=x, y_axis=y)
    found = machine_path(path, made)
    return f"{rounded(found)} {[seen_point(place, made) for place in found.points]}"


def _timed(path):
    from cutfiles.machine.time import move_time, runs_of

    runs = runs_of(path)
    times = [move_time(run, v, a) for run in runs for v, a in ((50, 500), (200, 900))]
    return f"{[round(run, 6) for run in runs]} {[round(t, 6) for t in times]}"


def _framed(path, reach):
    from cutfiles.machine.tile import frames_of
    from cutfiles.pattern.pattern import Role, Stroke
    from cutfiles.plane.moves import shift
    from cutfiles.plane.shapes import open_path

    strokes = [Stroke(Role.OUTLINE, "one", path), Stroke(Role.HOLES, "two", shift(path, 0, 70))]
    strokes += [Stroke(Role.OUTLINE, "three", open_path((5, 4), (7, 140)))]
    strokes += [Stroke(Role.VALLEY, "four", open_path((50, 150), (48, 2)))]
    strokes += [Stroke(Role.OUTLINE, "five", open_path((60, 20), (61, 150), (70, 150), (75, 10)))]
    return [
        (frame.bottom, frame.top, [(s.name, rounded(s.path)) for s in frame.strokes + frame.found])
        for frame in frames_of(strokes, 100, 160, reach)
    ]


def groups():
    """Yield the groups."""
    from cutfiles.pattern.pattern import Role

    edges = (Role.OUTLINE, Role.HOLES)
    lines = [
        worked("kerf", _kerf, edges, KERFS, ("mitred", "rounded")),
        worked("led", _led, (0.0, 0.25, 1.5), (0.0, 0.7, 400.0)),
        worked("held", _held, (1, 4, 9), (0.4, 1.0)),
        worked("entered", _entered, (*edges, Role.VALLEY), (0.0, 1.0, 7.0)),
        worked("counted", _counted, BEDS),
        worked("timed", _timed),
        worked("framed", _framed, (70, 100, 159, 160)),
    ]
    yield Group("tools", lines)
