"""Edits done again: each placed anew on the pattern of its slip, judged anew, and drawn.

A slip that was corrected moves creases and edges; an edit keeps its distance to its crease. One
that no longer fits, or is no longer as safe as it was when it was accepted, is named, and nothing
is made until somebody has decided about it.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import get_args

from cutfiles.draft import Draft
from cutfiles.edits.apply import changed, changes_of, with_changes
from cutfiles.edits.cuts import Cuts
from cutfiles.edits.edit import SAME, STATES, Added, Bent, Change, Edit, Kind, Moved, Removed
from cutfiles.edits.keep import Kept, KeptEdit, origin
from cutfiles.edits.meant import meant_by
from cutfiles.edits.ring import counter_clockwise, locate
from cutfiles.edits.safe import judged
from cutfiles.edits.scene import Scene, panels_between
from cutfiles.edits.told import briefly_told
from cutfiles.errors import DesignError
from cutfiles.findings import Finding
from cutfiles.pattern.pattern import Pattern, Role
from cutfiles.plane.measure import box_of, distance
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import Path, Point
from cutfiles.words.bench import panels_text

_MEETS = 2 * SAME
"""A stretch of the outline ends so near to it, mm."""


def replayed(draft: Draft, kept: Kept | None) -> Draft:
    """Return a draft with the edits that were kept of it; without any, the draft itself.

    Raises:
        DesignError: names the edits that no longer fit.

    """
    if kept is None or not kept.edits:
        return draft
    edits = placed_anew(draft, kept)
    wrong = [
        f"{briefly_told(edit.kind, one.panel)} ({edit.why})"
        for one, edit in zip(kept.edits, edits, strict=True)
        if STATES.index(edit.state) > min(1, STATES.index(one.state))
    ]
    if wrong:
        raise DesignError(
            "edits that no longer fit: " + "; ".join(wrong),
            "what was accepted must be as safe on the pattern of this slip",
            f"delete their blocks in {kept.source or 'the file of edits'}, or edit and accept a "
            "new drawing",
            draft.slip.source,
            "edits",
        )
    drawn = with_changes(draft, changes_of(edits))
    said = ", ".join(dict.fromkeys(briefly_told(e.kind, e.panel) for e in edits))
    told = Finding("edits", "drawing", f"{len(edits)} edits are done again: {said}")
    return replace(drawn, findings=(*drawn.findings, told))


def placed_anew(draft: Draft, kept: Kept) -> tuple[Edit, ...]:
    """Return kept edits as edits of a pattern, judged; one that finds no place breaks."""
    placed = [_placed(draft.pattern, one) for one in kept.edits]
    fit = [edit for edit in placed if edit.changes]
    drawn = changed(draft.pattern, changes_of(fit))
    outline = drawn.of_role(Role.OUTLINE)[0].path
    holes = tuple(s.path for s in drawn.of_role(Role.HOLES))
    scene = Scene(meant_by(draft), ())
    found = iter(judged(scene, Cuts(tuple(fit), outline, holes), fit))
    return tuple(next(found) if edit.changes else edit for edit in placed)


def _placed(pattern: Pattern, one: KeptEdit) -> Edit:
    """Return a kept edit where it lies on a pattern."""
    kind = next((kind for kind in get_args(Kind) if kind == one.kind), None)
    zero = origin(pattern, one.anchor)
    if kind is None or zero is None:
        what = f'"{one.kind}"' if kind is None else f"the {one.anchor.crease}, {one.anchor.band}"
        return _lost(one, f"the support has no {what}")
    changes, paths, why = _changes(pattern, one, zero)
    if why:
        return _lost(one, why)
    box = box_of(paths)
    panel = ", ".join(panels_between(pattern, box.left, box.right))
    if one.panel and panel != one.panel:
        return _lost(one, f"it would lie on the {panels_text(panel) or 'waste'}")
    return Edit(
        kind=kind,
        name=one.of,
        panel=panel,
        band=one.anchor.band,
        at=box.centre,
        size=(box.width, box.height),
        changes=changes,
        paths=paths,
    )


def _lost(one: KeptEdit, why: str) -> Edit:
    return Edit(kind="film", name=one.of, panel=one.panel, state="breaks the support", why=why)


def _changes(
    pattern: Pattern, one: KeptEdit, zero: Point
) -> tuple[tuple[Change, ...], tuple[Path, ...], str]:
    """Return what an edit changes of a pattern, its lines there, and why it cannot."""
    changes: list[Change] = []
    paths = tuple(shift(path, *zero) for path in one.lines)
    if one.of and one.role is not None:
        own = [s for s in pattern.strokes if (s.role, s.name) == (one.role, one.of)]
        if not own:
            return (), (), f"the pattern has no {one.of}"
        if one.to is not None:
            middle = box_of(s.path for s in own).centre
            dx, dy = zero.x + one.to.x - middle.x, zero.y + one.to.y - middle.y
            changes.append(Moved(one.role, one.of, round(dx, 3) + 0.0, round(dy, 3) + 0.0))
            paths += tuple(shift(s.path, dx, dy) for s in own)
        else:
            at = None
            if one.was is not None:
                meant = (zero.x + one.was.x, zero.y + one.was.y)
                middles = [box_of([s.path]).centre for s in own]
                at = min(middles, key=lambda place: distance(place, meant))
            changes.append(Removed(one.role, one.of, at))
            paths = paths or tuple(s.path for s in own)
    if one.lines and one.role is not None:
        changes.append(Added(one.role, tuple(shift(path, *zero) for path in one.lines)))
    if one.outline is not None:
        stretch = shift(one.outline, *zero)
        outline = next(s.path for s in pattern.strokes if s.role is Role.OUTLINE)
        ring = counter_clockwise(outline)
        off = max(locate(ring, end)[1] for end in (stretch.points[0], stretch.points[-1]))
        if off > _MEETS:
            return (), (), f"its ends lie {off:.1f} mm off the outline"
        changes.append(Bent(stretch))
        paths += (stretch,)
    if not changes:
        return (), (), "it says nothing that could be done"
    return tuple(changes), paths, ""


def same_edits(edits: Sequence[Edit], kept: Sequence[Edit]) -> tuple[Edit, ...]:
    """Return edits, those marked as accepted that were kept: alike in kind, place and size."""
    return tuple(
        replace(edit, accepted=True) if any(_alike(edit, one) for one in kept) else edit
        for edit in edits
    )


def _alike(edit: Edit, one: Edit) -> bool:
    if not edit.changes or edit.kind != one.kind or edit.at is None or one.at is None:
        return False
    sizes = zip(edit.size, one.size, strict=True)
    return distance(edit.at, one.at) < 0.1 and all(abs(a - b) < 0.1 for a, b in sizes)
