"""From a drawing as opened to the edits a person made: aligned, roles known, compared, judged."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from cutfiles.dataclass import dataclass
from cutfiles.draft import Draft
from cutfiles.edits.apply import changes_of, with_changes
from cutfiles.edits.cover import Cover
from cutfiles.edits.cuts import CUT, cut_edits
from cutfiles.edits.edit import Edit, State, worst
from cutfiles.edits.lie import Lie, lie_of
from cutfiles.edits.limits import refusal
from cutfiles.edits.line import Opened
from cutfiles.edits.marks import mark_edits
from cutfiles.edits.meant import Meant, meant_by
from cutfiles.edits.roles import Guess, Known, guesses, known_lines, role_named
from cutfiles.edits.safe import judged
from cutfiles.edits.scene import Scene, edit_at, on_pattern, site_of
from cutfiles.edits.scores import SCORES, score_edits
from cutfiles.edits.whole import alone_edits, layer_edits, look_edits, statement_edits, whole_edits
from cutfiles.film.drawing import with_facts_noted
from cutfiles.folding.check import check_folds
from cutfiles.folding.drawn import KINDS
from cutfiles.folding.graph import FoldLine
from cutfiles.pattern.pattern import COLOURS, Role
from cutfiles.plane.measure import chords
from cutfiles.plane.shapes import Path, Point


@dataclass(frozen=True, slots=True)
class Found:
    """What was done to a drawing.

    Attributes:
        form: of the file, for people.
        lie: how it lies.
        edits: in one order: the whole, cuts, creases, marks.
        guessed: lines whose role no name of ours told.
        aside: how many lines and texts are neither ours nor told as edits: hidden ones, notes.

    """

    form: str
    lie: Lie
    edits: tuple[Edit, ...]
    guessed: tuple[Guess, ...] = ()
    aside: int = 0

    @property
    def state(self) -> State:
        """The worst of all; what was accepted before counts as harmless, unless it breaks."""
        return worst([e.state for e in self.edits if not e.accepted or e.state == _BREAKS])


_BREAKS: State = "breaks the support"


def edits_in(
    opened: Opened,
    draft: Draft,
    layers: Mapping[str, str] | None = None,
    colours: Mapping[str, str] | None = None,
    again: Callable[[float], Opened] | None = None,
) -> Found:
    """Return what a person did to the drawing of a support.

    Args:
        opened: the drawing.
        draft: of the support, without edits.
        layers: roles to names of layers, where a cutter calls them otherwise.
        colours: roles to colours, where a cutter has its own.
        again: opens the file so many times as large as it states; without it a drawing of another
            scale is compared as it was opened, its curves less fine.

    Raises:
        FileError: it is no drawing of this support.

    """
    meant = meant_by(draft)
    lie = told = lie_of([line.path for line in opened.lines], meant.all)
    if again is not None and lie.is_sure and not 0.7 < lie.across < 1.4:
        opened = again(1 / lie.across)
        lie = lie_of([line.path for line in opened.lines], meant.all)
        told = replace(told, found=lie.found)
    if not lie.is_sure or _is_picture(opened, told):
        raise _other(opened, lie)
    placed = [(line, lie.path_back(line.path)) for line in opened.lines]
    covers = {role: Cover([s.path for s in meant.all if s.role is role]) for role in Role}
    known = known_lines(placed, covers, layers or {})
    shown = [one for one in known if not _is_hidden(one, opened)]
    shown, misplaced = _on_other_layers(shown, covers, meant)
    scene = Scene(meant, tuple(shown), tuple(one for one in known if _is_hidden(one, opened)))
    cuts = cut_edits(scene)
    changed = judged(scene, cuts, (*cuts.edits, *score_edits(scene), *mark_edits(scene)))
    named = {one.layer: role_named(one.layer, layers or {}) for one in opened.left}
    inks = {
        role: frozenset({COLOURS[role], (colours or {}).get(role, COLOURS[role]).upper()})
        for role in Role
    }
    notes = {note.text for note in with_facts_noted(draft.drawing).notes}
    edits = (
        *whole_edits(opened, told),
        *statement_edits(opened, dict(draft.pattern.facts)),
        *layer_edits(scene),
        *look_edits(known, inks),
        *misplaced,
        *changed,
        *alone_edits(opened, named, notes),
    )
    aside = [one for one in known if _is_aside(one, opened, covers)]
    noted = [one for one in opened.left if named[one.layer] is Role.GUIDE and one.text not in notes]
    every = (*edits, *_folds(draft, edits))
    return Found(opened.form, told, every, guesses(known), len(aside) + len(noted))


def _is_aside(one: Known, opened: Opened, covers: Mapping[Role, Cover]) -> bool:
    """Whether a line that no edit tells of is somebody's own; a PDF's guides hold drawn notes."""
    if not _is_hidden(one, opened) and (one.role is not Role.GUIDE or opened.form == "PDF"):
        return False
    return one.role is None or not covers[one.role].covers(one.path)


def _is_hidden(one: Known, opened: Opened) -> bool:
    """Whether a line was hidden by somebody: DXF R12, which has no unit, freezes guides itself."""
    frozen = opened.form == "DXF" and opened.unit == "no unit" and one.role is Role.GUIDE
    return one.line.hidden and not frozen


def _is_picture(opened: Opened, lie: Lie) -> bool:
    """Whether it is a picture of a pattern: none of its layers ours, at a scale of its own."""
    named = any(role_named(name, {}) for line in opened.lines for name in line.names)
    scaled = abs(lie.across - 1) > 0.05 or abs(lie.up - 1) > 0.05
    filled = sum(line.filled for line in opened.lines)
    texts = sum(bool(one.text) for one in opened.left)
    return not named and (scaled and texts + filled > 5)


def _other(opened: Opened, lie: Lie) -> Exception:
    """Return why a drawing is none of this support."""
    named = any(role_named(name, {}) for line in opened.lines for name in line.names)
    images = any(one.what == "an image" for one in opened.left)
    if not named and (images or len(opened.left) > 5):
        return refusal(
            "a picture, not a cut file",
            "the drawing that was made for the cutter is needed",
            "open the SVG, DXF or PDF that carries the number alone in its name, and edit that",
        )
    return refusal(
        f"a drawing in which {lie.found:.0%} of the pattern is found",
        "an edited drawing holds the pattern of its slip",
        "name the slip it was made from; or begin again from the file as it was made",
    )


def _on_other_layers(
    known: Sequence[Known], covers: Mapping[Role, Cover], meant: Meant
) -> tuple[list[Known], list[Edit]]:
    """Return lines with those that run over strokes of another role put to that role, and edits."""
    kept, edits = list[Known](), list[Edit]()
    for one in known:
        role = one.role
        if role is None or one.by == "shape" or covers[role].covers(one.path):
            kept.append(one)
            continue
        other = next(
            (r for r in Role if r is not role and _apart(role, r) and covers[r].covers(one.path)),
            None,
        )
        if other is None:
            kept.append(one)
            continue
        kept.append(replace(one, role=other))
        machine = {role, other} & {*SCORES, *CUT}
        edits.append(
            edit_at(
                "on another layer",
                other.value,
                site_of(meant.draft.pattern, [one.path]),
                on_pattern([one.path]),
                why=f"a line of {other.value} lies on {role.value}: a machine would take it so",
                state=_BREAKS if machine else "look at it",
            )
        )
    return kept, edits


def _apart(role: Role, other: Role) -> bool:
    """Whether two roles are to be told apart: outline and holes are told by shape."""
    return not ({role, other} <= set(CUT) or {role, other} <= set(SCORES))


def _folds(draft: Draft, edits: Sequence[Edit]) -> Iterator[Edit]:
    """Yield what folding the edited pattern shows, where no edit breaks it by itself."""
    changes = changes_of(edits)
    if not changes or any(edit.state == _BREAKS for edit in edits):
        return
    drawn = with_changes(draft, changes)
    lines = [
        FoldLine(KINDS[one.role], _around(one.path), one.name, one.role is Role.HOLES)
        for one in drawn.drawing.strokes
        if one.role in KINDS
    ]
    check = check_folds(lines, draft.pattern, draft.support)
    for finding in check.findings:
        if finding.severity == "stop":
            yield Edit(
                kind="film",
                name=finding.place,
                state=_BREAKS,
                why=f"it does not fold: {finding.message}",
            )


def _around(path: Path) -> tuple[Point, ...]:
    """Return a path's places, arcs broken fine, a closed one back to the first."""
    points = chords(path, 0.01)
    return (*points, points[0]) if path.closed else points
