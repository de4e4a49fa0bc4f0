"""What a file states, in neutral terms: no format, no pattern, no judgement."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from itertools import chain

from cutfiles.dataclass import dataclass
from cutfiles.errors import FileError
from cutfiles.files.readers.limits import MOST_LINES, MOST_PLACES, at_most

Place = tuple[float, float]
Part = tuple[Place, Place | None]
"""Where a part of a path ends, and a place midway where it is bent."""
FARTHEST = 1e6
"""A place further out, or nowhere at all, is damage, mm."""


@dataclass(frozen=True, slots=True)
class ReadPath:
    """One path as a file states it, mm, y up.

    Attributes:
        layer: as the file calls it.
        points: its vertices; the first one is not repeated in a closed path.
        bends: a place on the curve midway along each segment, the closing one included, as
            `middles`; empty where all are straight, as in most paths.
        closed: whether the file closes it.
        colour: its own, where it is not its layer's: a machine may pick its tool by it.
        dashed: whether it is drawn with gaps: a machine may cut it so.

    """

    layer: str
    points: tuple[Place, ...]
    bends: tuple[Place, ...]
    closed: bool
    colour: str = ""
    dashed: bool = False

    @property
    def middles(self) -> tuple[Place, ...]:
        """A place midway along each segment, the closing one included."""
        ends = self.points[1:] + self.points[:1] if self.closed else self.points[1:]
        return self.bends or tuple(map(halfway, self.points, ends))


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """All that a file states.

    Attributes:
        paths: in the order of the file.
        texts: layer and text of each note.
        facts: name to value, as stated.
        size: width and height of the sheet, mm, or None where the format has none.
        steps: processing-steps group and type of each layer, where the format has them.
        colours: of each layer, ``#RRGGBB``, where the format states them; ``index 30`` where
            it states no more than that.
        modes: what a program switches on for all of its work, by name.
        apart: layers that a program leaves out by itself: locked, frozen, or not printed; None
            where the file has no layers that could say so.

    """

    paths: tuple[ReadPath, ...]
    texts: tuple[tuple[str, str], ...] = ()
    facts: dict[str, str] = field(default_factory=dict)
    size: tuple[float, float] | None = None
    steps: dict[str, tuple[str, str]] = field(default_factory=dict)
    colours: dict[str, str] = field(default_factory=dict)
    modes: dict[str, str] = field(default_factory=dict)
    apart: frozenset[str] | None = None


def halfway(a: Place, b: Place) -> Place:
    """Return the middle of a straight segment."""
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


def straight(layer: str, points: list[Place], closed: bool) -> ReadPath:
    """Return a path of straight segments."""
    return ReadPath(layer, tuple(points), (), closed)


def with_middles(
    points: Sequence[Place], bends: Mapping[int, Place], closed: bool
) -> tuple[Place, ...]:
    """Return a path's bends as `ReadPath` holds them, from those of its segments that are bent.

    Args:
        points: its vertices.
        bends: number of a segment to a place midway along it.
        closed: whether it is closed.

    """
    if not bends:
        return ()
    ends = [*points[1:], points[0]] if closed else points[1:]
    segments = enumerate(zip(points, ends, strict=False))
    return tuple(bends[i] if i in bends else halfway(a, b) for i, (a, b) in segments)


def parts_of_curve(a: Place, b: Place, c: Place, d: Place) -> Iterator[tuple[Place, Place]]:
    """Yield a cubic Bézier curve from a on in parts: where each ends, and a place midway.

    An arc is told by its ends and its middle, so it is one part; any other curve, which could run
    anywhere between them, is told in eight.
    """

    def at(t: float) -> Place:
        u = 1 - t
        e, f, g, h = u * u * u, 3 * t * u * u, 3 * t * t * u, t * t * t
        return (
            e * a[0] + f * b[0] + g * c[0] + h * d[0],
            e * a[1] + f * b[1] + g * c[1] + h * d[1],
        )

    middle = at(0.5)
    if all(_on_arc(at(t), a, middle, d) for t in (0.125, 0.25, 0.75, 0.875)):
        yield d, middle
    else:
        for i in range(8):
            yield at((i + 1) / 8), at((i + 0.5) / 8)


def _on_arc(place: Place, a: Place, middle: Place, d: Place) -> bool:
    """Whether a place lies on the arc from a through its middle to d, to a thousandth of it."""
    mx, my, dx, dy = middle[0] - a[0], middle[1] - a[1], d[0] - a[0], d[1] - a[1]
    x, y = place[0] - a[0], place[1] - a[1]
    long = math.hypot(mx, my) + math.hypot(dx - mx, dy - my)
    across = mx * dy - my * dx
    if abs(across) > 1e-6 * long * long:
        near, far = mx * mx + my * my, dx * dx + dy * dy
        cx, cy = (dy * near - my * far) / (2 * across), (mx * far - dx * near) / (2 * across)
        off = abs(math.hypot(x - cx, y - cy) - math.hypot(cx, cy))
    else:
        off = abs(x * dy - y * dx) / (math.hypot(dx, dy) or 1.0)
    return off <= 1e-3 * long and math.hypot(x, y) <= 1.001 * long


def sound(paths: Iterable[ReadPath], file: str) -> tuple[ReadPath, ...]:
    """Return the paths, each of them with places that lie somewhere.

    Args:
        paths: as read.
        file: what the message calls the file.

    Raises:
        FileError: a path has no place, or one that is no place, or there are too many of them.

    """
    kept = tuple(paths)
    at_most(len(kept), MOST_LINES, "lines")
    at_most(sum(len(path.points) for path in kept), MOST_PLACES, "places on lines")
    every = chain.from_iterable(path.points + path.bends for path in kept)
    numbers = [0.0, *chain.from_iterable(every)]
    near = max(numbers) <= FARTHEST / 2 and min(numbers) >= -FARTHEST / 2
    if near and not math.isnan(sum(numbers)) and all(path.points for path in kept):
        return kept  # as all files do that are right, told in a third of the time
    for path in kept:
        places = path.points + path.bends
        if not path.points or not all(math.hypot(*place) <= FARTHEST for place in places):
            raise FileError(
                f'a line without a place on layer "{path.layer}"',
                "every line of a cut file lies in its drawing",
                "make the file again from its slip",
                file,
            )
    return kept


def facts_in(lines: list[str]) -> dict[str, str]:
    """Return the facts in lines of the form ``name: value``; half a letter is told as such."""
    whole = (line.encode("utf-16", "surrogatepass").decode("utf-16", "replace") for line in lines)
    pairs = (line.partition(": ") for line in whole)
    return {name.strip(): value.strip() for name, colon, value in pairs if colon}
