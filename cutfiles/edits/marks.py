"""Edits of what is drawn and never cut or scored: labels, guides, registration marks."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from cutfiles.edits.cover import Cover
from cutfiles.edits.edit import Added, Edit, Kind, Moved, Removed
from cutfiles.edits.scene import Scene, clusters, edit_at, on_pattern, rounded, site_of
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of, path_length
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import Path

_TOGETHER = 6.0
"""Strokes no further apart make one mark, mm."""
_STEP = 0.05
"""Moves that differ by less are one, mm."""


def mark_edits(scene: Scene) -> tuple[Edit, ...]:
    """Return what was done to labels, guides and marks."""
    return (*_labels(scene), *_others(scene))


def _labels(scene: Scene) -> Iterator[Edit]:
    strokes = scene.meant.of(Role.LABEL)
    drawn = [one.path for one in scene.of(Role.LABEL)]
    posts = [stroke.path for stroke in scene.meant.posts if stroke.role is Role.LABEL]
    there, meant = Cover(drawn), Cover([*(stroke.path for stroke in strokes), *posts])
    missing: dict[str, list[Stroke]] = {}
    for stroke in strokes:
        if not there.covers(stroke.path):
            missing.setdefault(stroke.name, []).append(stroke)
    left = [path for path in drawn if not meant.covers(path)]
    for name, gone in missing.items():
        every = [stroke for stroke in strokes if stroke.name == name]
        move = _move(gone, left)
        if move is None or len(gone) < 0.8 * len(every):
            yield _gone(scene, name, gone)
            continue
        dx, dy = move
        new = [shift(stroke.path, dx, dy) for stroke in every]
        moved = Cover(new)
        left = [path for path in left if not moved.covers(path, 2 * _STEP)]
        site = site_of(scene.pattern, new)
        change = Moved(Role.LABEL, name, dx, dy)
        yield replace(
            edit_at("label moved", name, site, on_pattern(new), (change,)), moved=(dx, dy)
        )
    for group in clusters(left, _TOGETHER):
        yield _added(scene, [left[i] for i in group])


def _added(scene: Scene, paths: Sequence[Path]) -> Edit:
    site = site_of(scene.pattern, paths)
    shown = tuple(rounded(path) for path in on_pattern(paths))
    name = f"mark of {len(paths)} strokes" if len(paths) > 1 else "mark"
    return edit_at("label added", name, site, shown, (Added(Role.LABEL, shown),))


def _gone(scene: Scene, name: str, gone: Sequence[Stroke]) -> Edit:
    paths = [stroke.path for stroke in gone]
    site = site_of(scene.pattern, paths)
    whole = len(gone) == sum(s.name == name for s in scene.meant.of(Role.LABEL))
    changes = (Removed(Role.LABEL, name),) if whole else ()
    said = "" if whole else f"{len(gone)} strokes of it are missing; it is drawn whole again"
    return edit_at("label removed", name, site, on_pattern(paths), changes, said)


def _move(gone: Sequence[Stroke], left: Sequence[Path]) -> tuple[float, float] | None:
    """Return by how much most strokes of a label lie elsewhere, mm; None where they do not."""
    votes: Counter[tuple[int, int]] = Counter()
    exact: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for stroke in gone:
        size, length = box_of([stroke.path]), path_length(stroke.path)
        seen = set()
        for path in left:
            box = box_of([path])
            if abs(box.width - size.width) > 0.06 or abs(box.height - size.height) > 0.06:
                continue
            if abs(path_length(path) - length) > 0.15:
                continue
            dx, dy = box.left - size.left, box.bottom - size.bottom
            key = (round(dx / (4 * _STEP)), round(dy / (4 * _STEP)))
            exact.setdefault(key, []).append((dx, dy))
            for near in ((key[0] + i, key[1] + j) for i in (-1, 0, 1) for j in (-1, 0, 1)):
                if near not in seen:
                    seen.add(near)
                    votes[near] += 1
    if not votes:
        return None
    key, count = max(votes.items(), key=lambda one: (one[1], len(exact.get(one[0], ())), one[0]))
    if count < max(1, 0.6 * len(gone)):
        return None
    x, y = key
    places = [
        place for i in (-1, 0, 1) for j in (-1, 0, 1) for place in exact.get((x + i, y + j), ())
    ]
    dx = sum(one for one, _ in places) / len(places)
    dy = sum(one for _, one in places) / len(places)
    return (round(dx, 2) + 0.0, round(dy, 2) + 0.0)


def _others(scene: Scene) -> Iterator[Edit]:
    """Yield guides and marks that are left out or drawn besides: the next files have their own."""
    pairs: tuple[tuple[Role, Kind, Kind], ...] = (
        (Role.GUIDE, "guides left out", "guides added"),
        (Role.REGISTRATION, "marks left out", "marks added"),
    )
    for role, out, more in pairs:
        meant = [stroke for stroke in scene.meant.all if stroke.role is role]
        drawn = [one.path for one in scene.of(role)]
        there, cover = Cover(drawn), Cover([stroke.path for stroke in meant])
        gone = [stroke.path for stroke in meant if not there.covers(stroke.path)]
        hidden = any(one.role is role for one in scene.hidden)
        if gone:
            yield _told(
                scene, out, f"{len(gone)} of {len(meant)}", gone, "switched off; " if hidden else ""
            )
        new = [path for path in drawn if not cover.covers(path)]
        new = [path for path in new if role is not Role.GUIDE or not _is_note(path)]
        if new:
            yield _told(scene, more, f"{len(new)} lines", new, "")


def _is_note(path: Path) -> bool:
    """Whether a line is as small as a letter: notes are drawn in some formats."""
    box = box_of([path])
    return max(box.width, box.height) < 4.0


def _told(scene: Scene, kind: Kind, name: str, paths: Sequence[Path], why: str) -> Edit:
    site = site_of(scene.pattern, paths)
    said = f"{why}no machine works them; what is made has them as designed"
    plain = Edit(kind=kind, name=name, why=said, paths=on_pattern(paths))
    return replace(plain, at=site.at, size=site.size)
