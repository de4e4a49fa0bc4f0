"""What is safe: how far edits must stay from creases, tape, edges and corners, and from the book.

Distances are common practice, no source, where nothing else is said; they stand in one table.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal, NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.edits.corners import ROUND, tight, turns
from cutfiles.edits.cover import apart, area_of, crosses, crosses_itself, drawn, inside, touches
from cutfiles.edits.cuts import Cuts
from cutfiles.edits.edit import Bent, Edit, State, worst
from cutfiles.edits.meant import to_pattern
from cutfiles.edits.ring import counter_clockwise
from cutfiles.edits.scene import Scene, panels_between
from cutfiles.edits.section import LeastSection
from cutfiles.folding.graph import touching
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import Path, Point
from cutfiles.words.bench import panels_text

What = Literal["hole", "edge", "label"]
Of = Literal["crease", "edge", "tape", "hole"]


class Clear(NamedTuple):
    """How far something stays from something else.

    Attributes:
        free: from here on it is harmless, mm.
        least: nearer than this it breaks the support, mm; a label never does.

    """

    free: float
    least: float


CLEAR: dict[tuple[What, Of], Clear] = {
    ("hole", "crease"): Clear(5.0, 2.0),
    ("hole", "edge"): Clear(5.0, 3.0),
    ("hole", "tape"): Clear(3.0, 1.0),
    ("hole", "hole"): Clear(5.0, 2.0),
    ("edge", "crease"): Clear(5.0, 2.0),
    ("edge", "tape"): Clear(3.0, 2.0),
    ("edge", "hole"): Clear(5.0, 3.0),
    ("label", "crease"): Clear(2.0, 0.0),
    ("label", "edge"): Clear(2.0, 0.0),
}
"""Tape keeps 3 mm clear of every edge (the design's own rule); film narrower than 2 to 3 mm between
two cuts, or a cut and a crease, tears in folding."""
BOOK_SIDE = frozenset({"board", "spine"})
"""Parts whose book face the book lies on: nothing sharp there."""


@dataclass(frozen=True, slots=True)
class Ground:
    """What edits are held against, mm in the pattern.

    Attributes:
        scene: what is drawn and what is meant.
        outline: as drawn.
        holes: as drawn.
        scores: creases, hems and long folds as designed.
        tapes: places where tape goes.
        labels: as designed, those left out that were moved or removed.
        section: film left in each panel.

    """

    scene: Scene
    outline: Path
    holes: tuple[Path, ...]
    scores: tuple[Stroke, ...]
    tapes: tuple[Stroke, ...]
    labels: tuple[Stroke, ...]
    section: LeastSection


def judged(scene: Scene, cuts: Cuts, edits: Sequence[Edit]) -> tuple[Edit, ...]:
    """Return edits with their states and the reasons for them."""
    if cuts.outline is None:
        why = "not judged: there is no outline to hold it against"
        return tuple(replace(e, state="look at it", why=why) if e.changes else e for e in edits)
    pattern = scene.pattern
    scores = tuple(s for s in pattern.strokes if s.role in (Role.VALLEY, Role.MOUNTAIN))
    tapes = tuple(s for s in pattern.strokes if s.use == "tape")
    elsewhere = {edit.name for edit in edits if edit.kind in ("label moved", "label removed")}
    labels = tuple(s for s in pattern.of_role(Role.LABEL) if s.name not in elsewhere)
    meant = to_pattern(scene.meant.outline.path)
    old = tuple(s.path for s in pattern.of_role(Role.HOLES))
    section = LeastSection(scene.meant.draft, (meant, old), (cuts.outline, cuts.holes))
    ground = Ground(scene, cuts.outline, cuts.holes, scores, tapes, labels, section)
    return tuple(_judged(ground, edit) for edit in edits)


def _judged(ground: Ground, edit: Edit) -> Edit:
    match edit.kind:
        case "hole added" | "hole moved" | "hole resized":
            found = [*_hole(ground, edit), *_panels(ground, edit)]
        case "hole removed":
            found = [_removed_hole(ground, edit)]
        case "corner" | "notch" | "edge":
            found = [*_stretch(ground, edit), *_panels(ground, edit)]
        case "label moved" | "label added":
            found = list(_label(ground, edit))
        case "label removed":
            found = [("look at it", _told_by(edit.name))]
        case _:
            return edit
    said = [why for _, why in found]
    state = worst([state for state, _ in found])
    if state != "harmless":
        said = [why for own, why in found if own != "harmless"] or said
    return replace(edit, state=state, why="; ".join((*filter(None, [edit.why]), *said)))


def _told_by(name: str) -> str:
    """Return what a label tells, or a tick.

    >>> _told_by("tick left 1")
    'it tells where a foot is creased anew'
    """
    if name.startswith("tape tick"):
        return "it tells where a tab ends, for it to be stuck by"
    if name.startswith("tick"):
        return "it tells where a foot is creased anew"
    return "it tells which support this is, and left from right"


Reason = tuple[State, str]


def _hole(ground: Ground, edit: Edit) -> Iterator[Reason]:
    """Yield what is to be said of a hole or slot."""
    for path in edit.paths:
        if not inside(path, ground.outline):
            out = "over the outline" if touches(path, ground.outline) else "outside of the outline"
            yield "breaks the support", f"it lies {out}"
            continue
        crossed = [s for s in ground.scores if crosses(path, s.path)]
        if crossed:
            yield "breaks the support", f"it lies across {crossed[0].name}"
        yield from _near_scores(ground, "hole", path, skip=crossed)
        yield _distance("hole", "edge", apart(path, ground.outline), "the edge")
        yield from _near_tape(ground, "hole", path)
        free = CLEAR["hole", "hole"].free
        others = [h for h in ground.holes if not _same_box(h, path) and _beside(h, path, free)]
        if others:
            near = min(apart(path, hole) for hole in others)
            if near < free:
                yield _distance("hole", "hole", near, "another hole")
        yield from _letters_lost(ground, [s for s in ground.labels if crosses(path, s.path)])
        yield from _hole_corners(ground, edit, path)


def _beside(one: Path, other: Path, within: float) -> bool:
    """Whether the boxes of two paths come so near to one another, mm."""
    return touching(box_of([one]), box_of([other]), within)


def _same_box(one: Path, other: Path) -> bool:
    boxes = zip(box_of([one]), box_of([other]), strict=True)
    return all(abs(a - b) < 0.01 for a, b in boxes)


def _removed_hole(ground: Ground, edit: Edit) -> Reason:
    slots = {s.name for s in ground.scene.pattern.strokes if s.use == "slot"}
    if edit.name in slots:
        return "look at it", "a strap goes through it"
    return "breaks the support", "creases cross there: without the hole the layers tear"


def _near_scores(
    ground: Ground, what: What, path: Path, skip: Sequence[Stroke] = ()
) -> Iterator[Reason]:
    """Yield how far a path keeps from the nearest crease."""
    others = [s for s in ground.scores if s not in skip]
    if not others:
        return
    nearest = min(others, key=lambda s: apart(path, s.path))
    yield _distance(what, "crease", apart(path, nearest.path), nearest.name.partition(",")[0])


def _near_tape(ground: Ground, what: What, path: Path) -> Iterator[Reason]:
    for tape in ground.tapes:
        if path.closed and touches(path, tape.path):
            yield "breaks the support", f"it lies over the {_tape_told(tape)}"
        elif (off := apart(path, tape.path)) < CLEAR[what, "tape"].free:
            yield _distance(what, "tape", off, f"the {_tape_told(tape)}")


def _letters_lost(ground: Ground, gone: Sequence[Stroke]) -> Iterator[Reason]:
    """Yield the labels that lose strokes with the film under them."""
    for name in dict.fromkeys(stroke.name for stroke in gone):
        whole = sum(stroke.name == name for stroke in ground.labels)
        lost = sum(stroke.name == name for stroke in gone)
        yield "look at it", f"it takes {lost} of {whole} strokes of {name}: move the label, or it"


def _tape_told(tape: Stroke) -> str:
    return f"tape of the {tape.of or tape.name}"


def _distance(what: What, of: Of, found: float, name: str) -> Reason:
    free, least = CLEAR[what, of]
    said = f"{found:.1f} mm from {name}"
    if found >= free - 1e-6:
        return "harmless", said
    if found >= least - 1e-6:
        return "look at it", f"only {said}, {free:g} mm are safe"
    return "breaks the support", f"only {said}, {least:g} mm are needed"


def _panels(ground: Ground, edit: Edit) -> Iterator[Reason]:
    """Yield what the panels under an edit say: film left, and whether the book lies there."""
    names = _names(edit)
    if not names:
        yield "breaks the support", "it lies on no panel"
    for name in names:
        yield from ground.section.reasons(name)
    if _bears_book(ground, names):
        yield "look at it", "the book lies there: every edge is to be smooth"


def _names(edit: Edit) -> list[str]:
    """Return the panels an edit lies on, by name."""
    return edit.panel.split(", ") if edit.panel else []


def _bears_book(ground: Ground, panels: Sequence[str]) -> bool:
    """Whether the book lies on one of some panels."""
    return any(ground.scene.pattern.panel(name).part in BOOK_SIDE for name in panels)


# -- corners -------------------------------------------------------------------------------------


def _hole_corners(ground: Ground, edit: Edit, path: Path) -> Iterator[Reason]:
    """Yield corners of a hole: outer ones tear on, points of film that stand into it scratch."""
    if crosses_itself(path):
        yield "look at it", "its line crosses itself: points of film are left there"
    ring = counter_clockwise(path)
    found = list(turns(ring))
    if any(turn < 0 for _, turn in found):
        faces = _bears_book(ground, _names(edit))
        state: State = "breaks the support" if faces else "look at it"
        yield state, "a sharp point of film stands into it" + (", towards the book" * faces)
    if any(turn > 0 for _, turn in found) or any(tight(ring, 1)):
        yield "look at it", f"sharp corners tear on: round them by {ROUND:g} mm or more"


# -- the outline ------------------------------------------------------------------------------


def _stretch(ground: Ground, edit: Edit) -> Iterator[Reason]:
    """Yield what is to be said of a stretch of the outline."""
    pattern = ground.scene.pattern
    if crosses_itself(ground.outline):
        yield "breaks the support", "the outline crosses itself: the piece falls apart"
    for change in edit.changes:
        if not isinstance(change, Bent):
            continue
        new = change.path
        box = box_of([new])
        whole = pattern.box
        if (
            box.left < whole.left - 0.05
            or box.right > whole.right + 0.05
            or box.bottom < whole.bottom - 0.05
            or box.top > whole.top + 0.05
        ):
            yield "breaks the support", "the piece grows beyond its size"
        inner = _inner(new)
        for score in ground.scores:
            if not inside(_thin(score.path), ground.outline):
                yield "breaks the support", f"it cuts into {score.name}"
        off, name = min(
            ((apart(inner, s.path), s.of or s.name) for s in ground.scores), default=(math.inf, "")
        )
        meant = to_pattern(ground.scene.meant.outline.path)
        before = min((apart(meant, s.path) for s in ground.scores), default=0.0)
        if off < CLEAR["edge", "crease"].free and off < before + 1.0:
            yield (
                _distance("edge", "crease", max(off, 0.0), name)
                if off < before
                else ("harmless", f"{off:.1f} mm from {name}, as designed")
            )
        elif name:
            yield _distance("edge", "crease", off, name)
        yield from _tape_by_edge(ground, inner)
        for hole in ground.holes:
            near = apart(inner, hole)
            if near < CLEAR["edge", "hole"].free:
                yield _distance("edge", "hole", near, "a hole")
        film = area_of(ground.outline)
        off_film = [s for s in ground.labels if not film.covers(drawn(s.path))]
        yield from _letters_lost(ground, off_film)
        yield from _outline_corners(new)
        gone, more = ground.section.moved(edit)
        if more > 1.0 and more > 0.1 * gone:
            yield "look at it", f"{more:.0f} mm² of film more: see that it is in nothing's way"


def _tape_by_edge(ground: Ground, path: Path) -> Iterator[Reason]:
    film = area_of(ground.outline)
    for tape in ground.tapes:
        if not film.covers(area_of(tape.path)):
            yield "breaks the support", f"the {_tape_told(tape)} has no film to lie on"
        elif (off := apart(path, tape.path)) < CLEAR["edge", "tape"].free:
            yield _distance("edge", "tape", off, f"the {_tape_told(tape)}")


def _inner(path: Path) -> Path:
    """Return a stretch without its ends, which lie on the outline as designed."""
    if len(path.points) < 4:
        return path
    return Path(path.points[1:-1], path.bulges[1:-1], False)


def _thin(path: Path) -> Path:
    """Return a line's ends as a sliver, to ask whether it lies within an area."""
    a, b = path.points[0], path.points[-1]
    dx, dy = (b.x - a.x) * 0.02, (b.y - a.y) * 0.02
    a, b = Point(a.x + dx, a.y + dy), Point(b.x - dx, b.y - dy)
    nudge = 1e-3
    c = Point(b.x + nudge, b.y + nudge)
    return Path((a, b, c), (0.0, 0.0, 0.0), True)


def _outline_corners(new: Path) -> Iterator[Reason]:
    found = list(turns(new))
    if any(turn > 0 for _, turn in found) or any(tight(new, 1)):
        yield "breaks the support", "a sharp corner: nothing sharp may touch book or hand"
    if any(turn < 0 for _, turn in found) or any(tight(new, -1)):
        yield "look at it", f"a sharp inner corner tears on: round it by {ROUND:g} mm or more"


# -- labels ----------------------------------------------------------------------------------------


def _label(ground: Ground, edit: Edit) -> Iterator[Reason]:
    box = box_of(edit.paths)
    film = area_of(ground.outline)
    if not all(film.covers(drawn(path)) for path in edit.paths):
        yield "look at it", "it lies beside the film, or over its edge"
        return
    crossed = [s for s in ground.scores if any(crosses(_opened(p), s.path) for p in edit.paths)]
    over = [s for s in ground.scores if _spans(box, s)]
    if crossed or over:
        yield "look at it", f"it lies across {(crossed or over)[0].name}"
    else:
        off, name = min(
            ((apart(p, s.path), s.of or s.name) for p in edit.paths for s in ground.scores),
            default=(math.inf, ""),
        )
        yield _softened(_distance("label", "crease", off, name))
    edge = min(apart(path, ground.outline) for path in edit.paths)
    yield _softened(_distance("label", "edge", edge, "the edge"))
    names = panels_between(ground.scene.pattern, box.left, box.right)
    if _bears_book(ground, names):
        yield "look at it", "it lies under the book, on the face that touches it"
    elif names:
        yield (
            "harmless",
            f"inside the {' and '.join(panels_text(name) for name in dict.fromkeys(names))}",
        )
    if any(crosses(_opened(p), h) for p in edit.paths for h in ground.holes):
        yield "look at it", "it runs over a hole"


def _opened(path: Path) -> Path:
    """Return a closed path as an open one: a label is drawn, it surrounds nothing."""
    if not path.closed:
        return path
    return Path((*path.points, path.points[0]), path.bulges, False)


def _spans(box: tuple[float, float, float, float], score: Stroke) -> bool:
    """Whether a crease runs through a box."""
    own = box_of([score.path])
    left, bottom, right, top = box
    return (left < own.right and own.left < right and bottom < own.top and own.bottom < top) and (
        own.width < 0.01 or own.height < 0.01
    )


def _softened(reason: Reason) -> Reason:
    state, why = reason
    return ("look at it" if state == "breaks the support" else state, why)
