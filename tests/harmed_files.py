"""What a file states, harmed in known ways: one line after the other, or the whole of it."""

from dataclasses import replace
from itertools import count, cycle


def _moved(path, dx, dy, ends=slice(None)):
    """Return a path with some of its places elsewhere."""

    def there(places):
        some = range(len(places))[ends]
        return tuple((x + dx, y + dy) if i in some else (x, y) for i, (x, y) in enumerate(places))

    return replace(path, points=there(path.points), bends=there(path.bends))


def _bent(path):
    """Return a path whose first segment runs by a place 2 mm beside its middle."""
    (x, y), *rest = path.middles
    return replace(path, bends=((x + 2, y + 0.5), *rest))


def _halves(path, gap):
    """Return a straight line in two, a share of it left out on either side of its middle."""
    (x, y), (u, v) = path.points[0], path.points[-1]
    near, far = (0.5 - gap) / 1, (0.5 + gap) / 1
    parts = (
        ((x, y), (x + near * (u - x), y + near * (v - y))),
        ((x + far * (u - x), y + far * (v - y)), (u, v)),
    )
    return [replace(path, points=part, bends=(), closed=False) for part in parts]


HARM = (
    lambda one, other: [],
    lambda one, other: [one, one],
    lambda one, other: [_moved(one, 0.03, 0.0)],
    lambda one, other: [_moved(one, 0.07, 0.1)],
    lambda one, other: [_moved(one, 1.0, 0.0)],
    lambda one, other: [_moved(one, -0.4, 1.5)],
    lambda one, other: [_moved(one, 6.0, -5.5)],
    lambda one, other: [replace(one, layer=other.layer)],
    lambda one, other: [_moved(one, 1.0, -1.0), replace(other, layer=one.layer)],
    lambda one, other: [replace(one, closed=not one.closed, bends=())],
    lambda one, other: [_moved(one, 0.5, 2.5, slice(1))],
    lambda one, other: [_moved(one, -4.5, -9.0, slice(-1, None))],
    lambda one, other: [_bent(one)],
    lambda one, other: _halves(one, 0.0),
    lambda one, other: _halves(one, 0.04),
    lambda one, other: [*_halves(one, 0.2), _moved(other, 20.0, 3.0)],
    lambda one, other: [replace(one, points=one.points[::-1], bends=one.bends[::-1])],
    lambda one, other: [replace(one, colour="#FF0000", dashed=True)],
    lambda one, other: [one, _moved(one, 0.0, 60.0)],
)
"""What becomes of one line of a file, beside another."""


def harmed(reading, first, step, among=None):
    """Yield what a file states with each harm done to another of its lines, then to its order."""
    paths = reading.paths
    numbers = [i for i, path in enumerate(paths) if among is None or path.layer in among]
    for harm, at in zip(HARM, count(first, step), strict=False):
        i, j = numbers[at % len(numbers)], numbers[(at + step + 1) % len(numbers)]
        yield replace(reading, paths=(*paths[:i], *harm(paths[i], paths[j]), *paths[i + 1 :]))
    yield replace(reading, paths=(*paths[first + 1 :], *paths[: first + 1]))
    yield replace(reading, paths=())


def turned_over(reading):
    """Yield what a file states as a whole otherwise: moved, scaled, mirrored, one line gone too."""
    ways = [(1, 0, 0, 1), (-1, 0, 0, 1), (1, 0, 0, -1), (-1, 0, 0, -1), (0, 1, -1, 0)]
    sizes = (1, 25.4, 1 / 25.4, 10, 72 / 25.4, 25.4 / 96, 96 / 90, 0.75, 1.01, 1.5)
    for k, (size, (a, b, c, d)) in enumerate(zip(sizes, cycle(ways), strict=False)):

        def there(places, m=(size * a, size * b, size * c, size * d), by=3 * k - 2):
            return tuple((m[0] * x + m[1] * y + by, m[2] * x + m[3] * y - 1) for x, y in places)

        paths = [replace(p, points=there(p.points), bends=there(p.bends)) for p in reading.paths]
        yield replace(reading, paths=tuple(paths))
        yield replace(reading, paths=tuple(paths[1:]))
    yield replace(reading, paths=reading.paths * 99)
    yield replace(reading, facts={**reading.facts, "number": "Z9"}, size=(1.0, 2.0), texts=())


# -- on either side of what is still the same ------------------------------------------------------


def small_sheet():
    """Return a sheet with every role and use, lines and arcs, at whole millimetres and between."""
    from cutfiles.film.drawing import Drawing
    from cutfiles.pattern.pattern import Note, Role, Stroke
    from cutfiles.plane.shapes import Path, Point, circle, closed_path, open_path

    def arcs(*corners, closed=False):
        points = tuple(Point(x, y) for x, y, _ in corners)
        bulges = tuple(bulge for *_, bulge in corners)
        return Path(points, bulges if closed else bulges[:-1], closed)

    strokes = (
        Stroke(Role.GUIDE, "guide", open_path((2, 3), (9, 3)), face="book"),
        Stroke(Role.GUIDE, "tape", closed_path((3, 1), (5, 1), (5, 2)), "tape", face="table"),
        Stroke(Role.REGISTRATION, "cross", open_path((1, 0.5), (1, 1.5)), "registration"),
        Stroke(Role.LABEL, "letter", open_path((4, 4), (4.25, 5.5), (5, 4))),
        Stroke(Role.LABEL, "bow", arcs((6, 4, 0.9), (7.3, 4.2, -0.3), (8.1, 5, 0))),
        Stroke(Role.VALLEY, "left apex, middle", open_path((10, 2), (10, 18)), of="left apex"),
        Stroke(Role.MOUNTAIN, "slant", open_path((12.3456, 2), (13.00004, 18.71))),
        Stroke(Role.VALLEY, "short", open_path((10, 18), (10.4, 18))),
        Stroke(Role.HOLES, "round", circle((16, 9), 1.5)),
        Stroke(Role.HOLES, "pin", circle((28, 1), 0.5), "pin"),
        Stroke(
            Role.HOLES, "slot", arcs((20, 5, 0), (24, 5, 1), (24, 7, 0), (20, 7, 1), closed=True)
        ),
        Stroke(
            Role.OUTLINE,
            "outline",
            arcs(
                (2, 0, 0),
                (30, 0, 0.41),
                (32, 2, 0),
                (32, 20, 0),
                (0, 20, 0),
                (0, 2, 0.42),
                closed=True,
            ),
        ),
    )
    notes = (
        Note("100 mm", Point(3.2, 3.5), 2.0),
        Note("Ä ж <&> \u2014 (x) \\", Point(31, 4), 1.5, upright=True),
    )
    facts = (("number", "A 1/ä"), ("rise", "3 mm; (5 %)"), ("settings", "a = 1, b = [2]"))
    return Drawing(
        title="A 1: ä (x) <&>",
        width=33.0,
        height=22.5,
        piece=(32.0, 20.0),
        strokes=strokes,
        notes=notes,
        facts=facts,
        gauge=0.127,
    )


def odd_options():
    """Yield what writers may be told beside the usual."""
    from cutfiles.files.formats import Options
    from cutfiles.machine.cutter import Setting

    work = ("registration", "label", "score-valley", "score-mountain", "cut-holes", "cut-outline")
    one = {role: Setting(power=10.5 + i, speed=i + 0.25) for i, role in enumerate(work)}
    some = {"label": Setting(force=20), "score-valley": Setting(force=8.5, speed=2)}
    named = {"label": "MARK", "score-mountain": "CREASE 2", "cut-holes": "cut-outline"}
    inks = {"cut-outline": "#FF0000", "label": "#000000", "guide": "#0000FF"}
    one["slant"] = Setting(power=99, speed=7)
    yield Options(settings=one)
    yield Options(settings=one, power_range=255, beam="M3", method="half-cut", side="table")
    yield Options(settings=some, pens={"label": 8, "score-valley": 1, "score-mountain": 1})
    yield Options(layers=named, colours=inks, method="perforate", face="table")
    yield Options(layers=dict.fromkeys(work, "ALL"), hpgl_range=900, side="book")
    yield Options(settings={**one, "label": Setting(power=3)}, hpgl_range=1_000)


def by_steps(reading, step, curve):
    """Yield what a file states with its places off by shares of what may be rounded away.

    In another order than it is written, so that each line is looked for.
    """
    for share in (0.2, 0.74, 0.755, 1.2):
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1), (0.7, 0.7), (-0.7, -0.7)):
            far = (share * step * dx, share * step * dy)
            yield replace(reading, paths=tuple(_moved(one, *far) for one in reading.paths[::-1]))
            bends = [replace(one, bends=_moved(one, *far).bends) for one in reading.paths]
            yield replace(reading, paths=tuple(bends))
    for far in (curve, -curve, curve + 0.7 * step, -curve - 0.8 * step, curve + 0.9 * step):
        bends = [replace(one, bends=_moved(one, far, 0.0).bends) for one in reading.paths]
        yield replace(reading, paths=tuple(bends))
    for harm in HARM:
        paths = [new for one in reading.paths[5:] for new in harm(one, one)]
        yield replace(reading, paths=(*reading.paths[:5], *paths))
