"""The outline as drawn against the one that is meant: stretch by stretch, each an edit."""

from collections.abc import Iterator, Sequence

from cutfiles.edits.cover import FINE, Cover, Near
from cutfiles.edits.edit import SAME, Bent, Edit, Kind
from cutfiles.edits.limits import MOST_ON_OUTLINE, refusal
from cutfiles.edits.meant import to_pattern
from cutfiles.edits.ring import Spot, between, locate, place_of
from cutfiles.edits.scene import Scene, edit_at, rounded, site_of
from cutfiles.plane.measure import box_of, distance, path_area, path_length
from cutfiles.plane.shapes import Path, Point

_CORNER = 25.0
"""A corner that was rounded otherwise is no larger, mm."""


def stretches(scene: Scene, meant: Path, ring: Path) -> Iterator[Edit]:
    """Yield each stretch in which the drawn ring leaves the meant one; both counter-clockwise."""
    on = Near([meant]).which(ring.points, SAME + 2 * FINE)  # all others lie too far off
    corners = [ring.points[i] for i in sorted(on)]
    for points in _off(ring, meant):
        first, last = (_joint(corners, meant, points[i]) for i in (0, -1))
        start = place_of(meant, locate(meant, first)[0])
        end = place_of(meant, locate(meant, last)[0])
        new = between(ring, locate(ring, first)[0], locate(ring, last)[0])
        new = Path((start, *new.points[1:-1], end), new.bulges, False)
        old = between(meant, locate(meant, start)[0], locate(meant, end)[0])
        site = site_of(scene.pattern, [new, old])
        shown = rounded(to_pattern(new))
        yield edit_at(_kind_of(new, old), "outline", site, (shown,), (Bent(shown),))


def _off(ring: Path, meant: Path) -> Iterator[list[Point]]:
    """Yield the stretches of a ring off the meant one, each in the ring's direction.

    Raises:
        FileError: they are more than are looked at on so fine a ring.

    """
    off = Cover([meant]).rest(ring)
    if len(off) * len(ring.points) > MOST_ON_OUTLINE:
        raise refusal(
            f"an outline of {len(ring.points):,} places that leaves the designed one "
            f"{len(off):,} times",
            "an edited outline is as designed but for a few places",
            "draw it with fewer nodes, or begin again from the file as it was made",
        )
    for one in off:
        points = [Point(*place) for place in one.coords]
        a, b = locate(ring, points[0])[0], locate(ring, points[-1])[0]
        if len(points) > 2:
            backwards = not _in_order(a, locate(ring, points[len(points) // 2])[0], b)
        else:
            backwards = path_length(between(ring, a, b)) > one.length + 1
        yield points[::-1] if backwards else points


def _in_order(a: Spot, b: Spot, c: Spot) -> bool:
    """Whether b comes after a and before c, running round a ring."""
    return (a <= b <= c) or (c < a <= b) or (b <= c < a)


def _joint(corners: Sequence[Point], meant: Path, place: Point) -> Point:
    """Return where a stretch meets the meant ring: the drawn corner there, if one lies near.

    A line that leaves another is off it by the tolerance only a little further on.
    """
    near = [p for p in corners if distance(p, place) < 1.0 and locate(meant, p)[1] <= SAME]
    return min(near, key=lambda p: distance(p, place), default=place)


def _kind_of(new: Path, old: Path) -> Kind:
    """Return what a stretch is: another corner, a notch into the film, or another edge."""
    box = box_of([old])
    if path_length(new) < 2 * _CORNER and 0.3 < min(box.width, box.height) < _CORNER:
        return "corner"
    straight = len(old.points) == 2 and old.bulges[0] == 0
    if not straight or len(new.points) < 3:
        return "edge"
    ring = Path(new.points, (*new.bulges, 0.0), True)
    return "notch" if path_area(ring) < 0 else "edge"
