"""Edits of creases: moved, added, removed, cut short, exchanged. None of them is ever harmless."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cutfiles.edits.cover import Cover, path_of
from cutfiles.edits.edit import Edit, Kind
from cutfiles.edits.scene import Scene, edit_at, on_pattern, site_of
from cutfiles.folding.drawn import across, is_upright
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of, path_length
from cutfiles.plane.shapes import Path

SCORES = (Role.VALLEY, Role.MOUNTAIN)
_WORDS = {Role.VALLEY: "valley", Role.MOUNTAIN: "mountain"}
_FARTHEST = 40.0
"""A crease that lies further off is another one, mm."""
SHORT = 1.0
"""So much of a crease may be missing, mm: scores stop short of edges by as much."""


def score_edits(scene: Scene) -> tuple[Edit, ...]:
    """Return what was done to the creases."""
    return tuple(_found(scene))


def _found(scene: Scene) -> Iterator[Edit]:
    drawn = {role: [one.path for one in scene.of(role)] for role in SCORES}
    covers = {role: Cover(paths) for role, paths in drawn.items()}
    extra = {role: list(_beside(scene, role, drawn[role])) for role in SCORES}
    for stroke in scene.meant.of(*SCORES):
        other = SCORES[1 - SCORES.index(stroke.role)]
        missing = sum(one.length for one in covers[stroke.role].rest(stroke.path))
        whole = path_length(stroke.path)
        if missing <= SHORT:
            continue
        if covers[other].share(stroke.path) > 0.8:
            extra[other] = [path for path in extra[other] if not _on(path, stroke)]
            yield _edit(
                "crease exchanged",
                stroke,
                scene,
                f"drawn as a {_WORDS[other]}, should be a {_WORDS[stroke.role]}: "
                "it would fold the wrong way",
            )
            continue
        hit = _moved_to(stroke, extra[stroke.role]) if missing > 0.5 * whole else None
        if hit is not None:
            extra[stroke.role].remove(hit)
            off = across(hit.points) - across(stroke.path.points)
            upright = is_upright(stroke.path.points)
            moved = (round(off, 3), 0.0) if upright else (0.0, round(off, 3))
            why = f"it lies {abs(off):.2f} mm off: the support folds to another shape"
            yield replace(_edit("crease moved", stroke, scene, why, hit), moved=moved)
        elif missing > 0.9 * whole:
            yield _edit("crease removed", stroke, scene, "it is missing: nothing folds there")
        else:
            yield _edit(
                "crease shortened",
                stroke,
                scene,
                f"{missing:.1f} mm of it are missing: the film bends beside it",
            )
    for role in SCORES:
        for path in extra[role]:
            yield edit_at(
                "crease added",
                f"{_WORDS[role]} of {path_length(path):.1f} mm",
                site_of(scene.pattern, [path]),
                on_pattern([path]),
                why="it is no crease of the support: the panel folds there",
                state="breaks the support",
            )


def _beside(scene: Scene, role: Role, paths: Sequence[Path]) -> Iterator[Path]:
    """Yield lines of a role, or stretches of them, that run along no crease, a post's neither."""
    posts = [stroke.path for stroke in scene.meant.posts if stroke.role is role]
    meant = Cover([*(stroke.path for stroke in scene.meant.of(role)), *posts])
    for path in paths:
        whole = path_length(path)
        rest = meant.rest(path)
        if whole - sum(one.length for one in rest) < 0.5 * whole:
            yield path
        else:
            yield from (path_of(one) for one in rest if one.length > SHORT)


def _on(path: Path, stroke: Stroke) -> bool:
    return Cover([stroke.path]).share(path) > 0.8


def _moved_to(stroke: Stroke, extra: Sequence[Path]) -> Path | None:
    """Return the line that a crease has become: parallel, beside it, nearest."""
    upright, place = is_upright(stroke.path.points), across(stroke.path.points)
    box = box_of([stroke.path])
    low, high = (box.bottom, box.top) if upright else (box.left, box.right)
    best: tuple[float, Path | None] = (_FARTHEST, None)
    for path in extra:
        if is_upright(path.points) is not upright:
            continue
        other = box_of([path])
        begin, end = (other.bottom, other.top) if upright else (other.left, other.right)
        off = abs(across(path.points) - place)
        if min(high, end) - max(low, begin) > 0.5 * (high - low) and off < best[0]:
            best = (off, path)
    return best[1]


def _edit(kind: Kind, stroke: Stroke, scene: Scene, why: str, path: Path | None = None) -> Edit:
    shown = [path or stroke.path]
    site = replace(site_of(scene.pattern, shown), band=stroke.band)
    return edit_at(kind, stroke.name, site, on_pattern(shown), why=why, state="breaks the support")
