"""Shapes and damage drawn at random but by seed, for drawings of every kind (`mutated_files`).

Places are mm in the drawing, y up.
"""

from typing import NamedTuple

from shapely.geometry import LineString, Point, Polygon

from cutfiles.film.lay import MARGIN
from cutfiles.pattern.pattern import Role

LAYERS = ("cut-holes", "cut-outline", "label", "score-valley", "score-mountain", "guide", "star")
WORKED = LAYERS[:3]
SHAPES = ("rect", "circle", "line", "curve", "bow")
NUMBERS = ("0", "-1", "1e9", "nan", "1e999", "-1e308", "9" * 400, "9" * 5000)
ROUND = 0.41421356
"""The bulge of a quarter turn."""


class Shape(NamedTuple):
    """A circle, box, line, curve or a ring that crosses itself, on a layer; x, y is low left."""

    layer: str
    kind: str
    x: float
    y: float
    w: float
    h: float

    @property
    def places(self):
        """Vertices of a line, a box or a bow; of a circle, the two ends of its level diameter."""
        x, y, w, h = self[2:]
        if self.kind == "bow":
            return [(x, y), (x + w, y + h), (x + w, y), (x, y + h)]
        if self.kind == "line":
            return [(x, y), (x + w, y + h)]
        if self.kind == "circle":
            return [(x - w / 2, y), (x + w / 2, y)]
        return [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]

    @property
    def rounded(self):
        """A box as vertices with bulges, its corners rounded by a quarter of its shorter side."""
        r = min(self.w, self.h) / 4
        (x, y), (u, v) = self.places[0], self.places[2]
        return [
            *((x + r, y, 0.0), (u - r, y, ROUND), (u, y + r, 0.0), (u, v - r, ROUND)),
            *((u - r, v, 0.0), (x + r, v, ROUND), (x, v - r, 0.0), (x, y + r, ROUND)),
        ]

    def crosses(self, creases):
        """Whether it runs over one of these lines; a curve's way is not known here."""
        if self.kind == "curve":
            return False
        drawn = {
            "rect": lambda: Polygon(self.places),
            "circle": lambda: Point(self.x, self.y).buffer(self.w / 2),
            "line": lambda: LineString(self.places),
            "bow": lambda: LineString([*self.places, self.places[0]]),
        }[self.kind]()
        return any(drawn.intersects(crease) for crease in creases)


class Dice:
    """What is drawn by one seed."""

    def __init__(self, chance):
        self.chance = chance

    def number(self, low, high):
        return low + (high - low) * self.chance.random()

    def index(self, count):
        return int(self.chance.random() * count)

    def pick(self, among):
        return among[self.index(len(among))]

    def value(self):
        """A number as damage writes it."""
        return self.pick((*NUMBERS, f"{self.number(-50, 700):.3f}"))

    def shape(self, box):
        """A shape anywhere in and around a pattern's box, on any layer."""
        return Shape(
            self.pick(LAYERS),
            self.pick(SHAPES),
            MARGIN + self.number(-8, box.width + 8),
            MARGIN + self.number(-8, box.height + 8),
            self.number(0.5, 60),
            self.number(0.5, 60),
        )


def never_harmless(shape, pattern):
    """Whether a shape is a crease, or a worked line over one."""
    creases = [
        LineString([(p.x + MARGIN, p.y + MARGIN) for p in stroke.path.points])
        for stroke in pattern.strokes
        if stroke.role in (Role.VALLEY, Role.MOUNTAIN)
    ]
    return shape.layer.startswith("score") or (shape.layer in WORKED and shape.crosses(creases))


def damaged(data, dice):
    """Return bytes with some of them flipped, cut off, left out, doubled or written over."""
    found = bytearray(data)
    kind = dice.pick(("flip", "cut", "out", "twice", "over"))
    for _ in range(dice.pick((1, 1, 3, 20))):
        at = dice.index(len(found))
        if kind == "flip":
            found[at] ^= 1 << dice.index(8)
        elif kind == "cut":
            del found[max(1, at) :]
        elif kind == "out":
            del found[at : at + dice.index(40)]
        elif kind == "twice":
            found[at:at] = found[at : at + dice.index(60)]
        else:
            found[at : at + dice.index(6)] = dice.pick((b"nan", b"\x00", b"-", b"<", b"\xed\xa0"))
        found = found or bytearray(b" ")
    return bytes(found)


def changed(text, found, new):
    """Return text with what a match found put otherwise."""
    return text[: found.start()] + new + text[found.end() :]
