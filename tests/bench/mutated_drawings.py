"""Mutated drawings: no crash, nothing slow or large, and no line across a crease told harmless.

Each drawing is one of `save_edits` with edits and damage drawn at random but by seed: shapes added
anywhere on any layer, numbers changed, lines moved, attributes dropped, bytes cut out. CI runs a
few (`tests/test_edits_mutated.py`).

    .venv/bin/python tests/bench/mutated_drawings.py [COUNT] [SEED]
"""

import random
import re
import resource
import sys
import time
from collections import Counter

import save_edits
from shapely.geometry import LineString, Polygon

from cutfiles.edits.find import edits_in
from cutfiles.edits.opening import open_drawing
from cutfiles.errors import FileError
from cutfiles.film.lay import MARGIN
from cutfiles.pattern.pattern import Role

BASES = ("plain", "hole_round", "renamed", "other_ids", "notch")
LAYERS = ("cut-holes", "cut-outline", "label", "score-valley", "score-mountain", "guide", "star")
SLOWEST, LARGEST = 10.0, 500.0
"""Seconds of work and MB that no drawing may take."""


class Mutation:
    """One drawing mutated; `never` harmless: a crease was drawn into it, or a line across one."""

    def __init__(self, data, draft, dice):
        self.data, self.draft, self.dice = data, draft, dice
        self.never = False

    def number(self, low, high):
        return low + (high - low) * self.dice.random()

    def pick(self, among):
        return among[int(self.dice.random() * len(among))]

    def shape(self):
        """Draw a circle, box, line, curve or a ring that crosses itself anywhere, on any layer."""
        pattern = self.draft.pattern
        x, y = self.number(-8, pattern.box.width + 8), self.number(-8, pattern.box.height + 8)
        w, h = self.number(0.5, 60), self.number(0.5, 60)
        layer = self.pick(LAYERS)
        left, top = x + MARGIN, self.draft.drawing.height - MARGIN - y
        kind = self.pick(("rect", "circle", "line", "curve", "bow"))
        if kind == "rect":
            body = f'<rect x="{left}" y="{top - h}" width="{w}" height="{h}" rx="{min(w, h) / 4}"/>'
            drawn = Polygon([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])
        elif kind == "circle":
            body = f'<circle cx="{left}" cy="{top}" r="{w / 2}"/>'
            drawn = LineString([(x, y), (x, y + 1e-6)]).buffer(w / 2)
        elif kind == "line":
            body = f'<path d="M {left} {top} l {w} {-h}"/>'
            drawn = LineString([(x, y), (x + w, y + h)])
        elif kind == "bow":
            body = f'<path d="M {left} {top} l {w} {-h} v {h} l {-w} {-h} Z"/>'
            drawn = LineString([(x, y), (x + w, y + h), (x + w, y), (x, y + h), (x, y)])
        else:
            rest = f"q {w / 2} {-h} {w} 0 t {w} 0 s 3 4 5 6 a 4 3 20 1 0 5 5"
            body = f'<path d="M {left} {top} {rest}"/>'
            drawn = None
        group = f'<g id="{layer}" fill="none" stroke="#000000">{body}</g></svg>'
        self.data = self.data.replace("</svg>", group)
        if layer.startswith("score"):
            self.never = True
        elif drawn is not None and layer in LAYERS[:3]:
            self.never = self.never or any(
                drawn.intersects(LineString(s.path.points).buffer(-0.0))
                for s in pattern.strokes
                if s.role in (Role.VALLEY, Role.MOUNTAIN)
            )

    def numbers(self):
        """Change a number anywhere."""
        found = list(re.finditer(r"-?\d+\.?\d*", self.data))
        one = found[int(self.dice.random() * len(found))]
        new = self.pick(("0", "-1", "1e9", "nan", "1e999", str(self.number(-50, 700)), "9" * 400))
        self.data = self.data[: one.start()] + new + self.data[one.end() :]

    def drop(self):
        """Drop an element, an attribute or some bytes."""
        pattern = self.pick(
            (r"<path[^>]*/>", r' id="[^"]*"', r' stroke="[^"]*"', r"<g[^>]*>", r".{40}")
        )
        found = list(re.finditer(pattern, self.data))
        if found:
            one = found[int(self.dice.random() * len(found))]
            self.data = self.data[: one.start()] + self.data[one.end() :]

    def move(self):
        """Move, turn or scale something."""
        found = [m.start() + 5 for m in re.finditer(r"<path", self.data)] or [0]
        at = found[int(self.dice.random() * len(found))]
        how = self.pick(("translate(3,1)", "rotate(7)", "scale(-1,1)", "scale(0)", "skewX(20)"))
        self.data = self.data[:at] + f' transform="{how}"' + self.data[at:]


def run(count, seed, tell=print):
    """Return what became of so many drawings; raises where a promise is broken."""
    draft = save_edits.DRAFT
    bases = [save_edits.drawn_with(name).decode() for name in BASES]
    outcomes = Counter()
    for i in range(count):
        dice = random.Random(seed * 1_000_003 + i)
        one = Mutation(bases[int(dice.random() * len(bases))], draft, dice)
        damaged = False
        for _ in range(1 + int(dice.random() * 4)):
            what = dice.random()
            damaged = damaged or what > 0.6
            step = one.shape if what < 0.6 else one.pick((one.numbers, one.drop, one.move))
            step()
        begun = time.process_time()
        try:
            found = edits_in(open_drawing(one.data.encode()), draft)
            outcome = found.state
        except FileError as error:
            outcome = "refused" if error.fault.remedy else "no remedy"
        took = time.process_time() - begun
        assert took < SLOWEST, f"drawing {i} of seed {seed} took {took:.1f} s"
        if one.never and not damaged:
            assert outcome != "harmless", f"drawing {i} of seed {seed}: a line across a crease"
        assert outcome != "no remedy", f"drawing {i} of seed {seed}: no remedy"
        outcomes[outcome] += 1
        if i % 500 == 499:
            tell(i + 1, dict(outcomes))
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return outcomes, most


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    outcomes, most = run(count, int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    print(dict(outcomes), f"{most:.0f} MB")
    assert most < LARGEST
