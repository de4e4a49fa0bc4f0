"""How high a joint probably stands that nobody measured, and slopes that follow the leaves.

Lengths in mm, angles in degrees. Two limiting spines are worked out, and the truth is guessed
between them: a *limp* one that kinks at the opening, and a *stiff* one with floppy joints. Nothing
of it was measured on books; no published heights of joints were found. A guess is asked about and
never cut from unless the slip says so.
"""

import math
from typing import NamedTuple

from cutfiles.bench.book import Cover
from cutfiles.dataclass import dataclass

COVER_THICKNESS: dict[Cover, float] = {"boards": 2.5, "limp": 0.4}
"""What of a side's thickness is its cover, mm (common practice, no source)."""
BAND = 2.0
"""What a measure repeats to, added to both ends of a band, mm."""
ASKED = 4.0
"""A guess of so much is asked about, mm: the least step that gets a riser."""
LEAVES_APART = 5.0
"""How well an opening angle is measured, degrees."""
STEEPEST = 75.0
"""No slope is raised beyond it, degrees: steeper ones are refused."""


class Heap(NamedTuple):
    """One side of an open book.

    Attributes:
        side: thickness of board and leaves, mm.
        slope: of the board, degrees.

    """

    side: float
    slope: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """A step as predicted, mm, the left joint higher positive.

    Attributes:
        step: the middle between the two limits.
        low: lower end of the band.
        high: upper end of the band.
        limp: step of a spine that kinks at the opening.
        stiff: step of a stiff spine.
        stiff_tilt: tilt of the stiff spine, degrees, left higher positive.
        tilt: of the spine at `step`, degrees.
        limp_spread: joint to joint across a limp spine, mm; a stiff spine is as wide as the book
            is thick: the spine width measured lies nearer to the limit that holds.

    """

    step: float
    low: float
    high: float
    limp: float
    stiff: float
    stiff_tilt: float
    tilt: float
    limp_spread: float

    @property
    def is_asked(self) -> bool:
        """Whether the joints have to be measured before a support is cut."""
        return abs(self.step) >= ASKED


def guess_step(left: Heap, right: Heap, spine_width: float, cover: Cover = "boards") -> Guess:
    """Return how far the left joint probably stands above the right one.

        limp   = side_R cos a_R − side_L cos a_L
        tilt_k = (k_R (90 − a_R) − k_L (90 − a_L)) / (k_L + k_R)
        stiff  = s · sin(tilt_k),  k_i = side_i − cover
        step   = (limp + stiff) / 2

    The limp spine leaves each heap square on its board, the two touching in the gutter. The stiff
    one bends each heap at its joint by what is missing to a square, b_L + b_R being the opening
    angle, so that Σ k_i b_i² / 2 is least. The band reaches from the least to the most of limp,
    stiff and stiff with k_i^1.5, and `BAND` further: a springy heap opened past 50 to 60° stands
    by itself (1.5 is chosen, not fitted). Left and right exchanged give the same numbers negative.

    Source: derived; published is only that spines act stiff with floppy joints in tight and hollow
    leather backs (Book and Paper Group Annual 6, 1987). Invalid for paper that does not bend.

    >>> found = guess_step(Heap(5, 45), Heap(27, 25), 32)
    >>> round(found.step, 1), round(found.low, 1), round(found.high, 1)
    (23.5, 18.9, 30.1)

    """
    limp = _level(right) - _level(left)
    stiff_tilt = _stiff_tilt(left, right, cover, 1.0)
    stiff = spine_width * _sin(stiff_tilt)
    springy = spine_width * _sin(_stiff_tilt(left, right, cover, 1.5))
    step = (limp + stiff) / 2
    ends = (limp, stiff, springy)
    return Guess(
        step=step,
        low=min(ends) - BAND,
        high=max(ends) + BAND,
        limp=limp,
        stiff=stiff,
        stiff_tilt=stiff_tilt,
        tilt=math.degrees(math.asin(max(-1.0, min(1.0, step / spine_width)))),
        limp_spread=math.hypot(limp, _upright(left) + _upright(right)),
    )


class Followed(NamedTuple):
    """Slopes of the boards as the support takes them, degrees.

    Attributes:
        left: slope of the left board panel.
        right: slope of the right board panel.
        raised_left: how much of `left` was added for the leaves.
        raised_right: the same on the right.
        short: what the leaves still open less than the board panels, after `STEEPEST`.

    """

    left: float
    right: float
    raised_left: float
    raised_right: float
    short: float


def follow_leaves(left: Heap, right: Heap, page_angle: float) -> Followed:
    """Return the slopes of a support that follows the leaves where the boards fall wider.

    The leaves open less than the boards by d: each slope grows by d · (other side) / (both sides),
    the thin side's the most, up to `STEEPEST`. Nothing is changed within `LEAVES_APART`.

    >>> follow_leaves(Heap(4, 30), Heap(16, 20), 110)[:4]
    (46.0, 24.0, 16.0, 4.0)
    """
    less = 180.0 - left.slope - right.slope - page_angle
    if less <= LEAVES_APART:
        return Followed(left.slope, right.slope, 0.0, 0.0, max(0.0, less))
    both = left.side + right.side
    share = right.side / both if both > 0 else 0.5
    slopes = [
        max(heap.slope, min(STEEPEST, heap.slope + less * part))
        for heap, part in ((left, share), (right, 1 - share))
    ]
    raised = (slopes[0] - left.slope, slopes[1] - right.slope)
    return Followed(slopes[0], slopes[1], *raised, max(0.0, less - sum(raised)))


def _sin(degrees: float) -> float:
    return math.sin(math.radians(degrees))


def _level(heap: Heap) -> float:
    """Return how far a heap square on its board reaches upwards at the joint, mm."""
    return heap.side * math.cos(math.radians(heap.slope))


def _upright(heap: Heap) -> float:
    return heap.side * _sin(heap.slope)


def _stiff_tilt(left: Heap, right: Heap, cover: Cover, power: float) -> float:
    """Return the tilt of a stiff spine whose heaps resist with thickness to this power."""
    board = COVER_THICKNESS[cover]
    one, other = (math.pow(max(0.0, heap.side - board), power) for heap in (left, right))
    if one + other == 0:  # no leaves: nothing turns the spine either way
        one = other = 1.0
    return (other * (90.0 - right.slope) - one * (90.0 - left.slope)) / (one + other)
