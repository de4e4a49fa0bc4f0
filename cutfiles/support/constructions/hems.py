"""Hems: edges folded right under, cut off short of each crease by a notch: no vertex, no clash."""

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import Literal, NamedTuple

from cutfiles.support.constructions.strip import CLEAR, DEPTH, FREE, NOTCH, Strip

FOLD = -math.pi
SLANT = math.radians(45.0)
"""A hem's end at a mountain crease, or at a free end, from the square."""
SLIGHT = math.radians(20.0)
"""The same of a short hem."""
SHORT = 4.0
"""A hem with less than this along its free edge gets slight ends, mm."""
LEAST_HEM = 6.0
"""No shorter hem is made, mm: a spine panel under 9 has none."""

LEAST_BREADTH = 2 * (DEPTH + CLEAR) + 12.0
"""A narrower strip gets no hems, mm: the tabs between them would hold no tape."""


class Flange(NamedTuple):
    """A hem or lip, the same at head and tail.

    Attributes:
        kind: what it is.
        first: index of the first panel it runs along.
        last: index of the last.
        start: where its fold line begins, mm along the strip.
        end: where it ends.
        lean_start: how much its left end leans from the square, inwards going out.
        lean_end: the same of its right end.

    """

    kind: Literal["hem", "lip"]
    first: int
    last: int
    start: float
    end: float
    lean_start: float
    lean_end: float

    @property
    def length(self) -> float:
        """Of its fold line, mm."""
        return self.end - self.start


class EndHem(NamedTuple):
    """The hem on the free end of a flat board panel.

    Attributes:
        panel: index of the panel.
        x: where it folds, mm along the strip.
        out: +1 at the strip's right end, −1 at its left.
        half: half the length of its fold line, mm.

    """

    panel: int
    x: float
    out: int
    half: float


@lru_cache(maxsize=64)  # a strip is judged in every construction: a twentieth of a draft
def hems(strip: Strip) -> tuple[Flange, ...]:
    """Return the hems of board and spine panels, from left to right.

    One hem a run of panels without a crease between them. Its ends are square at valleys, where
    table faces open apart; they lean by 45° at mountains and at a free end, by 20° where the hem is
    short. None under 6 long, or too short for its two rounded corners: that edge stays cut.
    """
    found = []
    for first, last in strip.runs():
        if any(panel.part not in ("board", "spine") for panel in strip.panels[first : last + 1]):
            continue
        start, end = strip.starts[first] + NOTCH, strip.ends[last] - NOTCH
        leans = [_lean(strip.fold_before(first)), _lean(strip.fold_after(last))]
        if end - start < SHORT + DEPTH * sum(math.tan(lean) for lean in leans):
            leans = [min(lean, SLIGHT) for lean in leans]
        free = end - start - DEPTH * sum(math.tan(lean) for lean in leans)
        corners = FREE * sum(math.tan((math.pi / 2 - lean) / 2) for lean in leans)
        if end - start >= LEAST_HEM - 1e-9 and free >= corners:
            found.append(Flange("hem", first, last, start, end, leans[0], leans[1]))
    return tuple(found)


def _lean(fold: float | None) -> float:
    return SLANT if fold is None or fold < 0 else 0.0


def end_hems(strip: Strip) -> Iterator[EndHem]:
    """Yield the hem on each free end that is a board panel: the film ends under the book there."""
    half = strip.breadth / 2 - NOTCH
    last = len(strip.panels) - 1
    if strip.panels[0].part == "board":
        yield EndHem(0, 0.0, -1, half)
    if strip.panels[last].part == "board":
        yield EndHem(last, strip.length, 1, half)
