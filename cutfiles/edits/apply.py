"""A support with edits: its pattern with what was added, moved, left out and bent."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from cutfiles.draft import Draft
from cutfiles.edits.edit import Added, Bent, Change, Edit, Moved, Removed
from cutfiles.edits.ring import counter_clockwise, spliced
from cutfiles.film.lay import lay
from cutfiles.pattern.pattern import Pattern, Role, Stroke, by_role
from cutfiles.plane.measure import box_of, distance
from cutfiles.plane.moves import shift

EDITED = "edits"
"""The fact by which a file says that it holds edits."""
_NEAR = 0.5
"""A hole that is left out is known by its place, mm."""


def with_changes(draft: Draft, changes: Sequence[Change]) -> Draft:
    """Return a draft whose pattern holds changes; without any, the draft itself."""
    if not changes:
        return draft
    pattern = changed(draft.pattern, changes)
    drawing = lay(pattern, draft.slip.book, draft.support.film.gauge)
    return replace(draft, pattern=pattern, drawing=drawing)


def changed(pattern: Pattern, changes: Sequence[Change]) -> Pattern:
    """Return a pattern that holds changes, and says so."""
    strokes = list(pattern.strokes)
    count = 0
    for change in changes:
        match change:
            case Added(role, paths):
                for path in paths:
                    count += 1
                    strokes.append(Stroke(role, f"added {count}", path))
            case Moved(role, name, dx, dy):
                strokes = [
                    one.along(shift(one.path, dx, dy))
                    if (one.role, one.name) == (role, name)
                    else one
                    for one in strokes
                ]
            case Removed():
                strokes = [one for one in strokes if not _is_gone(one, change)]
            case Bent(path):
                strokes = [
                    one.along(spliced(counter_clockwise(one.path), path))
                    if one.role is Role.OUTLINE
                    else one
                    for one in strokes
                ]
    facts = (*pattern.facts[:-1], (EDITED, str(len(changes))), pattern.facts[-1])
    return replace(pattern, strokes=by_role(strokes), facts=facts)


def _is_gone(stroke: Stroke, change: Removed) -> bool:
    if (stroke.role, stroke.name) != (change.role, change.name):
        return False
    return change.at is None or distance(box_of([stroke.path]).centre, change.at) < _NEAR


def changes_of(edits: Iterable[Edit]) -> tuple[Change, ...]:
    """Return the changes of some edits, in order: what is done again when the support is made."""
    return tuple(change for edit in edits for change in edit.changes)
