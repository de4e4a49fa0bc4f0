"""Measures as they are read, letters and paths: what all else is made of, by itself."""

import itertools
import math
from functools import partial

from cutfiles import units
from cutfiles.errors import CutfilesError
from cutfiles.plane import measure, moves, parts
from cutfiles.plane.shapes import Box, Path, Point, Segment, rectangle
from kept import Group


def said(value):
    """Return a value as text, whatever it is of: numbers to a millionth."""
    if isinstance(value, float):
        return f"{value:.6f}".replace("-0.000000", "0.000000")
    if isinstance(value, str) or value is None or isinstance(value, int):
        return str(value)
    if isinstance(value, dict):
        return ", ".join(f"{said(k)}: {said(v)}" for k, v in value.items())
    if isinstance(value, frozenset):
        return ", ".join(sorted(map(said, value)))
    if isinstance(value, list | tuple):
        return "(" + " ".join(map(said, value)) + ")"
    return said([getattr(value, name) for name in value.__dataclass_fields__])


def read_or_not(how):
    """Return what a call returns, as text, or what it refuses."""
    try:
        return said(how())
    except CutfilesError as error:
        return str(error)


def letters(folder):
    """Return the strokes of every letter, with every mark above and below some of them."""
    from cutfiles.pattern.glyphs import ABOVE, BELOW, GLYPHS, SAME
    from cutfiles.pattern.lettering import drawable, text_strokes, text_width

    del folder
    texts = [*sorted(GLYPHS), *sorted(SAME), "Żółw į́ǰ"]
    texts += [base + mark for mark in sorted({*ABOVE, *BELOW}) for base in "Aaijđk7"]
    texts += [drawable(text) for text in ("Ångström 藏書 1", "藏", "")]
    return "\n".join(
        f"{t} {text_width(t, 3):.6f} {said(text_strokes(t, (3, 5), 7))}" for t in texts
    )


PATHS = (  # lines, arcs both ways, more than half a turn, closed and open
    Path((Point(3, 1), Point(41, 7), Point(28, 33), Point(-4, 20)), (0.0, 0.3, -0.7, 1.4), True),
    Path((Point(0, 0), Point(11, 0), Point(11, 13), Point(-2, 19)), (0.0, -1.2, 0.05), False),
    Path((Point(5, 30), Point(7, -30)), (0.9,), False),
    Path((Point(-9, 2), Point(50, 18)), (0.0,), False),
    Path((Point(9, 4), Point(2, 4)), (1.0, 1.0), True),
)


def paths(folder):
    """Return measures of paths, their parts, moves and crossings."""
    del folder
    out = []
    for path in PATHS:
        long = measure.path_length(path)
        out += [long, measure.path_area(path), measure.box_of([path]), measure.box_of(PATHS)]
        out += [measure.chords(path, 0.3), path.is_straight]
        ends = [(0, long / 3), (long / 4, 0.9 * long), *([(long / 2, 1.7 * long)] * path.closed)]
        out += [parts.part_of(path, *both) for both in ends]
        out += [moves.quarter_turn(path, 70), moves.reverse(path), moves.scale(path, 1.7)]
        out += [moves.mirror_left_right(path, 3), moves.mirror_head_tail(path, 4)]
        out += [moves.start_at(path, i) for i in range(len(path.points)) if path.closed]
        for one in path.segments():
            out += [parts.heading_at_start(one), parts.heading_at_end(one), measure.midway(one)]
            out += [measure.point_along(one, 0.3), parts.part_of_segment(one, 0.2, 0.9)]
            out += [measure.bulging(*one), measure.may_reach(one, Box(20, 25, 30, 70), 0.7)]
        for x, y in itertools.product(range(-12, 60, 9), range(-31, 41, 12)):
            out += [measure.distance_to_path((x, y), path), parts.inside((x, y), path.points)]
            line = Segment(Point(x, y), Point(y + 3.0, 17.0 - x), 0.0)
            out += [parts.crossings(line, one) for one in path.segments()]
            out += [measure.is_near([(x, y), (x + 1, y)], path, 9), parts.turned(x / 9, y / 7)]
    box, corners = Box(0, 2, 30, 41), (frozenset({0, 2}), frozenset(range(4)))
    out += [moves.round_corners(rectangle(box), of, r) for of in corners for r in (0, 3.5)]
    return "\n".join(map(said, [*out, box.width, box.height, box.centre]))


def measures(folder):
    """Return how measures are read, or why not."""
    del folder
    numbers = "7|3,5|1,250|5 1/4|5-1/4|5¼|1/0|5/4|2 5/4|.5|-2||1e3".split("|")
    names = [*sorted({*units.LENGTH.names, *units.WEIGHT.names, *units.ANGLE.names}), "", "x"]
    texts = [f"{n} {name}" for n, name in itertools.product(numbers, names)]
    texts += "9' 1\"|9' 14\"|9' 12\"|3 in 5 mm|1 m 20 cm 3 mm|1 lb 6 oz|1 kg 50 g|5 µm".split("|")
    texts += "35° 30'|35° 60'|-9' 1|5“|4 ”|2′ 3″|5''|µm 5|5 x 7 mm|5x|3 mm * 1 cm|0 x 3".split("|")
    texts += ["a" * 61, "1" * 60]
    out = []
    for text in [*texts, 7, 3.5, -1, True, None, [], math.inf, math.nan, 10**400]:
        for read in (units.read_length, units.read_weight, units.read_angle):
            for counted in (None, "mm", "cm", "in"):
                out.append(read_or_not(partial(read, text, counted)))
        out.append(read_or_not(partial(units.read_number, text)))
        out.append(read_or_not(partial(units.read_size, text, "cm")))
    return "\n".join(out)


def groups():
    """Yield the groups."""
    for told in (letters, paths, measures):
        yield Group(f"plain-{told.__name__}", [told])
