"""Hollow posts: offcuts folded to triangular tubes, taped behind a leg under the board.

One blank for both sides: turned about the vertical, not mirrored. Faces A, B, C and a lap, three
mountain creases, all one way by 120°, the outer face up.
"""

import math
from collections.abc import Iterator

from cutfiles.dataclass import dataclass
from cutfiles.support.constructions.corners import Corner
from cutfiles.support.constructions.plate import plate_stiffness

FACE = 12.0
"""c, one face of a post, mm."""
LAP = FACE - 2.0
"""The lap that closes the tube, mm; it lies outside, between face A and the leg."""
TALLER = 0.4
"""A post is longer than its room by this, so that it carries first, mm: one too long lifts the apex
by as much (harmless), one 0.3 too short lets the leg bow 2.8 first."""
LEAST_SIDE = 8.0
"""The lowest corner of a post is at least this high, mm."""
THINNEST = 0.1016 - 1e-9
"""Posts are made of 4 mil or thicker, mm."""
HEM_CLEAR = 8.0 + FACE / 2 + 3.0
"""Least distance of a post's middle from the edge, mm: clear of hems."""
NEXT_POST = FACE + 2.0
"""Least distance between the middles of two posts, mm."""
CREASES = (FACE, 2 * FACE, 3 * FACE)
"""Where the blank is creased, mm from its left edge."""
TURN = math.radians(-120.0)
"""Each of the three folds."""
TAPE_WIDTH = 6.0
"""Tape on a lap of 10 leaves 2 clear of the edges, mm."""


def post_capacity(gauge: float, modulus: float, face: float = FACE) -> float:
    """Return what one hollow post is sure to carry, N.

        P = 6 π² D / c

    D lasting plate stiffness (N·mm), c face (mm): half of k = 4 on three faces, the other half left
    for uneven bearing. Valid for a tube whose lap is taped: untaped it is worth an eighth.

    Source: k = 4 of a plate simply supported on four edges (EN 1993-1-5, table 4.1).

    >>> round(post_capacity(0.127, 4000.0), 3)
    2.625

    """
    return 6 * math.pi**2 * plate_stiffness(gauge, modulus) / face


def post_load(force: float, board: float, face: float = FACE) -> float:
    """Return what the posts of one leg carry, N: they stand a little inside the apex.

        F_post = F · P / (P − 0.3 c)

    F the leg's force (N), P the board panel, c face (mm).

    >>> round(post_load(1.6078, 130.0), 4)
    1.6536

    """
    return force * board / (board - 0.3 * face)


def post_counts(breadth: float, *, limp: bool, wanted: int = 0) -> range:
    """Return how many posts may stand behind one leg, fewest first.

    2 to max(2, min(4, ⌊b/50⌋)) under stiff boards; a limp cover asks for ⌈b/60⌉ at least, so that
    it does not sag between them. Empty where two do not fit side by side, clear of hems. A number
    that is wanted is the only one, or the nearest to it that may stand.

    >>> list(post_counts(201.0, limp=False)), list(post_counts(252.0, limp=True))
    ([2, 3, 4], [5])
    >>> list(post_counts(201.0, limp=False, wanted=3))
    [3]

    """
    if breadth < 2 * HEM_CLEAR + NEXT_POST:
        return range(0)
    least = max(2, math.ceil(breadth / 60)) if limp else 2
    most = max(least, min(4, math.floor(breadth / 50)))
    if wanted:
        least = most = min(max(wanted, least), most)
    return range(least, most + 1)


def post_places(breadth: float, count: int) -> tuple[float, ...]:
    """Return the middles of the posts across the strip, mm from its middle, tail first.

    Two stand max(0.22 b, 17) from each edge: a bar on two supports there sags 2.5 % of one held at
    its ends. More stand in the middle of equal parts.

    >>> post_places(201.0, 2), post_places(240.0, 3)
    ((-56.28, 56.28), (-80.0, 0.0, 80.0))

    """
    if count == 2:
        off = breadth / 2 - max(0.22 * breadth, HEM_CLEAR)
        return (-off, off)
    part = breadth / count
    return tuple((i + 0.5) * part - breadth / 2 for i in range(count))


@dataclass(frozen=True, slots=True, kw_only=True)
class PostBlank:
    """One post laid flat, its foot below, faces A, B, C and lap from left to right.

    Attributes:
        height: at A, lap and the creases A|B and C|lap, mm.
        drop: how much lower the crease B|C is, mm.
        offset: of face A's middle surface from the leg's, mm.

    """

    height: float
    drop: float
    offset: float

    @property
    def corners(self) -> tuple[Corner, ...]:
        """The outline, counter-clockwise from the lower left corner."""
        a, middle, lap = CREASES
        right = lap + LAP
        top, low = self.height, self.height - self.drop
        return (
            Corner(0.0, 0.0, 2.0),
            Corner(right, 0.0, 2.0),
            Corner(right, top, 2.0),
            Corner(lap, top, 0.0),
            Corner(middle, low, 0.0),
            Corner(a, top, 0.0),
            Corner(0.0, top, 2.0),
        )

    @property
    def tape(self) -> tuple[float, float, float, float]:
        """Tape on the outer face of A: left, bottom, right, top, mm; the lap's is its twin."""
        left = (FACE - TAPE_WIDTH) / 2
        return (left, 3.0, left + TAPE_WIDTH, self.height - 3.0)

    @property
    def lap_tape(self) -> tuple[float, float, float, float]:
        """Tape on the outer face of the lap, to the leg: left, bottom, right, top, mm."""
        left = CREASES[2] + (LAP - TAPE_WIDTH) / 2
        return (left, 3.0, left + TAPE_WIDTH, self.height - 3.0)


def post_blank(
    leg: float, slope: float, gauge: float, tape: float, strip: float | None = None
) -> PostBlank:
    """Return the blank of one post.

        d₀  = T/2 + 1.5 t + 2 tape                        leg's middle to A's middle
        h_p = leg − (T/2)(1 + 1/cos a) − d₀ tan a + 0.4
        drop at B|C = c (√3/2) tan a

    Args:
        leg: the panel, mm.
        slope: a, of the board above it.
        gauge: t, of the post, mm.
        tape: thickness of the tape, mm.
        strip: T, thickness of all layers of the leg; the post's gauge if not given.

    >>> blank = post_blank(65.227, math.radians(30), 0.127, 0.1)
    >>> round(blank.height, 2), round(blank.drop, 2), round(blank.offset, 3)
    (65.23, 6.0, 0.454)

    """
    half = (gauge if strip is None else strip) / 2
    offset = half + 1.5 * gauge + 2 * tape
    room = leg - half * (1 + 1 / math.cos(slope)) - offset * math.tan(slope)
    drop = FACE * math.sqrt(3) / 2 * math.tan(slope)
    return PostBlank(height=room + TALLER, drop=drop, offset=offset)


def post_fits(blank: PostBlank, room: float) -> bool:
    """Return whether a post is high enough to be made and its foot has room on the base (mm).

    Room is the base under the board: P cos a; on a riser's high side less what the riser takes,
    on the left side of a crossed strip less the tab that lies there.
    """
    deep = blank.offset + FACE * math.sqrt(3) / 2 + 2.0
    return blank.height - blank.drop >= LEAST_SIDE and room >= deep


def strap_clear(slope: float) -> float:
    """Return how far inwards of the apex a strap slot lies where posts bear, mm.

    c (√3/2) / cos a + 3: the strap runs under the board, off the heads of the posts.
    """
    return FACE * math.sqrt(3) / 2 / math.cos(slope) + 3.0


def ticks(foot: float, inwards: float, places: tuple[float, ...]) -> Iterator[tuple[float, ...]]:
    """Yield the marks for the posts' faces on the base: x, y of both ends, mm.

    2 to 5 off the foot crease at y ± c/2: hidden under the book, seen through the film.

    Args:
        foot: x of the foot crease.
        inwards: +1 where the base lies to the right of it in the flat strip, else −1.
        places: the posts' middles.

    """
    for place in places:
        for y in (place - FACE / 2, place + FACE / 2):
            yield (foot + 2.0 * inwards, y, foot + 5.0 * inwards, y)
