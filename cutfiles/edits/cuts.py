"""Edits of what is cut: the outline in stretches, holes and slots, whatever is drawn twice or open.

Outline and holes are told from one another by shape, for editors give both one colour.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cutfiles.dataclass import dataclass
from cutfiles.edits.chains import JOIN, Ring, rings_of
from cutfiles.edits.cover import Cover
from cutfiles.edits.edit import SAME, Added, Bent, Edit, Kind, Removed
from cutfiles.edits.limits import MOST_CUTS, too_much
from cutfiles.edits.meant import in_pattern, to_pattern
from cutfiles.edits.ring import counter_clockwise, spliced
from cutfiles.edits.scene import Scene, edit_at, on_pattern, rounded, site_of
from cutfiles.edits.stretches import stretches
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of, distance, path_area, path_length
from cutfiles.plane.shapes import QUARTER, Box, Path, Point

CUT = (Role.OUTLINE, Role.HOLES)
BAND = 0.45
"""An outline whose stroke was made an area is two rings, no further off than this, mm."""
_FILM = 0.5
"""An outline around less than this share of the film is none."""
_FARTHEST = 60.0
"""A hole that lies further off is another one, mm."""


@dataclass(frozen=True, slots=True)
class Cuts:
    """What became of everything that is cut.

    Attributes:
        edits: found, not judged yet.
        outline: of the strip as drawn, mm in the pattern; None where there is none.
        holes: as drawn, mm in the pattern.

    """

    edits: tuple[Edit, ...]
    outline: Path | None
    holes: tuple[Path, ...]


def cut_edits(scene: Scene) -> Cuts:
    """Return what was done to outline and holes.

    Raises:
        FileError: there are more cuts than are judged.

    """
    paths = [one.path for one in scene.of(*CUT)]
    edits: list[Edit] = []
    paths, doubles = _once(paths)
    if doubles:
        edits.append(
            _whole(
                "drawn double",
                f"{len(doubles)} lines",
                doubles,
                scene,
                "lines that lie on one another are cut once",
            )
        )
    rings, open_ = rings_of(paths)
    if len(rings) + len(open_) > MOST_CUTS:
        raise too_much("lines that are cut", MOST_CUTS)
    joined = [ring for ring in rings if ring.pieces > 1 and ring.opening <= JOIN]
    if joined:
        count = sum(ring.pieces for ring in joined)
        edits.append(
            _whole(
                "joined",
                f"{count} lines",
                [ring.path for ring in joined],
                scene,
                "lines that lie end to end are one",
            )
        )
    for ring in rings:
        if ring.opening > JOIN:
            edits.append(_opened(ring, scene))
    strokes = (*scene.meant.of(*CUT), *scene.meant.posts)
    rings, banded = _without_bands(rings, strokes)
    if banded:
        edits.append(
            _whole(
                "drawn double",
                "outline",
                banded,
                scene,
                "a stroke was made an area, whose both edges would be cut; one is",
            )
        )
    left, found = _matched(rings, strokes)
    outline, own, left = _outline_of(scene, left, found)
    edits += own
    edits += _posts(scene, found)
    holes, more = _holes(scene, left, found)
    edits += more
    edits += [_slit(path, scene) for path in open_]
    return Cuts(tuple(edits), outline, holes)


def _once(paths: Sequence[Path]) -> tuple[list[Path], list[Path]]:
    """Return paths, each once, and those that lie wholly on others before them."""
    kept: list[Path] = []
    boxes: list[Box] = []
    double: list[Path] = []
    order = sorted(range(len(paths)), key=lambda i: -path_length(paths[i]))
    for i in order:
        own = box_of([paths[i]])
        near = [one for one, box in zip(kept, boxes, strict=True) if _holds(box, own)]
        if near and Cover(near).covers(paths[i]):
            double.append(paths[i])
        else:
            kept.append(paths[i])
            boxes.append(own)
    return kept, double


def _holds(box: Box, other: Box) -> bool:
    """Whether a box holds another, or as good as."""
    return (
        box.left <= other.left + SAME
        and box.right >= other.right - SAME
        and box.bottom <= other.bottom + SAME
        and box.top >= other.top - SAME
    )


def _without_bands(rings: list[Ring], strokes: Sequence[Stroke]) -> tuple[list[Ring], list[Path]]:
    """Return rings, two that run beside a meant ring on either side replaced by it."""
    gone: list[int] = []
    shown: list[Path] = []
    added: list[Ring] = []
    for stroke in strokes:
        if not stroke.path.closed:
            continue
        cover = Cover([stroke.path])
        beside = [
            i
            for i, ring in enumerate(rings)
            if i not in gone and cover.covers(ring.path, BAND) and not cover.covers(ring.path)
        ]
        size = abs(path_area(stroke.path))
        inner = [i for i in beside if abs(path_area(rings[i].path)) < size]
        outer = [i for i in beside if abs(path_area(rings[i].path)) > size]
        if len(inner) == 1 and len(outer) == 1:
            gone += [*inner, *outer]
            shown += [rings[inner[0]].path, rings[outer[0]].path]
            added.append(Ring(stroke.path, 1, 0.0))
    return [*added, *(ring for i, ring in enumerate(rings) if i not in gone)], shown


def _matched(
    rings: Sequence[Ring], strokes: Sequence[Stroke]
) -> tuple[list[Path], frozenset[Stroke]]:
    """Return rings that are no stroke, and the strokes that are a ring."""
    left, found = [ring.path for ring in rings], list[Stroke]()
    for stroke in strokes:
        if stroke.role not in CUT:
            continue
        box = box_of([stroke.path])
        for i, ring in enumerate(left):
            other = box_of([ring])
            if max(abs(a - b) for a, b in zip(box, other, strict=True)) > 2 * SAME:
                continue
            if Cover([stroke.path]).covers(ring) and Cover([ring]).covers(stroke.path):
                found.append(stroke)
                left.pop(i)
                break
    return left, frozenset(found)


# -- the outline ------------------------------------------------------------------------------


def _outline_of(
    scene: Scene, left: list[Path], found: frozenset[Stroke]
) -> tuple[Path | None, list[Edit], list[Path]]:
    """Return the outline as drawn, in the pattern, its edits, and the rings that are left."""
    meant = counter_clockwise(scene.meant.outline.path)
    if scene.meant.outline in found:
        return to_pattern(meant), [], left
    cover = Cover([meant])
    shares = [cover.share(ring) * min(1.0, path_length(ring) / path_length(meant)) for ring in left]
    best = max(range(len(left)), key=lambda i: shares[i], default=-1)
    gone = Edit(
        kind="outline removed",
        name="outline",
        state="breaks the support",
        why="no closed line is its outline",
        paths=(to_pattern(meant),),
    )
    if best < 0 or shares[best] < 0.15:
        return None, [gone], left
    ring = counter_clockwise(left[best])
    rest = [path for i, path in enumerate(left) if i != best]
    edits = list(stretches(scene, meant, ring))
    drawn = to_pattern(meant)
    for edit in edits:
        for change in edit.changes:
            if isinstance(change, Bent):
                drawn = spliced(drawn, change.path)
    if path_area(drawn) < _FILM * path_area(meant):
        return None, [gone], rest
    return drawn, edits, rest


def _opened(ring: Ring, scene: Scene) -> Edit:
    return replace(
        _whole(
            "outline opened",
            "outline",
            [ring.path],
            scene,
            f"open by {ring.opening:.2f} mm; what is made from it is closed",
        ),
        state="look at it",
    )


# -- holes ----------------------------------------------------------------------------------------


def _posts(scene: Scene, found: frozenset[Stroke]) -> Iterator[Edit]:
    """Yield posts whose outline or holes are not as they should be: they carry the book."""
    for stroke in scene.meant.posts:
        if stroke.role in CUT and stroke not in found:
            plain = _whole(
                "post changed",
                stroke.name,
                [stroke.path],
                scene,
                "a post is cut as it was designed: change the slip",
            )
            yield replace(plain, state="breaks the support")


def _holes(
    scene: Scene, left: list[Path], found: frozenset[Stroke]
) -> tuple[tuple[Path, ...], list[Edit]]:
    """Return the holes as drawn, in the pattern, and the edits of them."""
    strokes = scene.meant.of(Role.HOLES)
    holes = [to_pattern(s.path) for s in strokes if s in found]
    missing = [s for s in strokes if s not in found]
    edits = []
    for stroke in missing:
        hit = _other_hole(stroke.path, left)
        if hit is None:
            site = site_of(scene.pattern, [stroke.path])
            at = _middle(stroke.path)
            gone = Removed(Role.HOLES, stroke.name, in_pattern(at))
            edits.append(
                edit_at("hole removed", stroke.name, site, on_pattern([stroke.path]), (gone,))
            )
            continue
        left.remove(hit)
        holes.append(to_pattern(hit))
        edits.append(_changed_hole(scene, stroke, hit))
    for ring in left:
        holes.append(to_pattern(ring))
        site = site_of(scene.pattern, [ring])
        shape = rounded(to_pattern(ring))
        edits.append(
            edit_at("hole added", _shape_told(ring), site, (shape,), (Added(Role.HOLES, (shape,)),))
        )
    return tuple(holes), edits


def _changed_hole(scene: Scene, stroke: Stroke, ring: Path) -> Edit:
    site = site_of(scene.pattern, [ring])
    (ax, ay), (bx, by) = _middle(stroke.path), _middle(ring)
    moved = (round(bx - ax, 3), round(by - ay, 3))
    shape = rounded(to_pattern(ring))
    old = Removed(Role.HOLES, stroke.name, in_pattern(_middle(stroke.path)))
    changes = (old, Added(Role.HOLES, (shape,)))
    kind: Kind = "hole moved" if _same_size(stroke.path, ring) else "hole resized"
    return replace(edit_at(kind, stroke.name, site, (shape,), changes), moved=moved)


def _other_hole(path: Path, left: Sequence[Path]) -> Path | None:
    """Return the ring that a hole has become: as large and not far, or in its place."""
    middle = _middle(path)
    near = [ring for ring in left if distance(_middle(ring), middle) < _FARTHEST]
    alike = [ring for ring in near if _same_size(path, ring)]
    placed = [ring for ring in near if distance(_middle(ring), middle) < 1.0]
    among = alike or placed
    return min(among, key=lambda ring: distance(_middle(ring), middle), default=None)


def _same_size(one: Path, other: Path) -> bool:
    a, b = box_of([one]), box_of([other])
    return (
        abs(a.width - b.width) < 0.1
        and abs(a.height - b.height) < 0.1
        and abs(path_length(one) - path_length(other)) < 0.3
    )


def _middle(path: Path) -> Point:
    return box_of([path]).centre


def _shape_told(ring: Path) -> str:
    box = box_of([ring])
    if len(ring.points) == 4 and all(abs(abs(b) - QUARTER) < 1e-3 for b in ring.bulges):
        return f"round hole of {box.width:.1f} mm"
    return f"hole of {box.width:.1f} × {box.height:.1f} mm"


def _slit(path: Path, scene: Scene) -> Edit:
    return edit_at(
        "slit added",
        "open cut",
        site_of(scene.pattern, [path]),
        on_pattern([path]),
        why=f"an open cut of {path_length(path):.1f} mm tears on; close it, or draw it on label",
        state="breaks the support",
    )


def _whole(kind: Kind, name: str, paths: Sequence[Path], scene: Scene, why: str) -> Edit:
    """Return an edit of lines wherever they lie."""
    site = replace(site_of(scene.pattern, paths), panels=(), band="")
    return edit_at(kind, name, site, on_pattern(paths), why=why)
