"""The folded support with the book on it, as faces and blocks in space: what pictures show.

mm; x to the right, y to the head, z up; x = 0 is the middle of the spine panel, y = 0 the support's
tail edge, z = 0 the table.
"""

from cutfiles.dataclass import dataclass
from cutfiles.files.fold_check import FoldedFile, face_layers
from cutfiles.folding.fold import Folded
from cutfiles.folding.posts import post_place
from cutfiles.folding.space import Motion, Spot, standing
from cutfiles.pattern.pattern import Pattern
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.block import book_parts
from cutfiles.support.construct import piece_of
from cutfiles.support.standing import Support
from cutfiles.support.steps import Verb

_FLAPS: tuple[Verb, ...] = ("Tuck", "Cover")
"""The steps that fold the flaps of a strip folded in three, the inner one first."""
_FLANGES: dict[str, Verb] = {"hem": "Hem", "lip": "Lip"}
"""The steps that fold hems and lips."""


@dataclass(frozen=True, slots=True)
class Face:
    """One panel of one layer.

    Attributes:
        corners: in the flat drawing, mm.
        layer: films above it when folded.
        parent: the face it hangs on, or None.
        axis: the crease it hangs by, in the flat drawing, the parent on its left.
        angle: radians, valley positive.
        step: which of the support's steps folds it, from 0.
        crease: the name of that crease; "" where its flap has none.

    """

    corners: tuple[Point, ...]
    layer: int
    parent: int | None
    axis: tuple[Point, Point]
    angle: float
    step: int
    crease: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A part of the book: an end view drawn out from tail to head.

    Attributes:
        part: board, leaves or spine.
        end: corners of its end view, x and z, counter-clockwise seen from the tail.
        tail: y of its tail.
        head: y of its head.

    """

    part: str
    end: tuple[tuple[float, float], ...]
    tail: float
    head: float

    def faces(self) -> list[tuple[Spot, ...]]:
        """Return its ends and its sides."""
        near = [Spot(x, self.tail, z) for x, z in self.end]
        far = [Spot(x, self.head, z) for x, z in self.end]
        around = [(near[i], near[i - 1], far[i - 1], far[i]) for i in range(len(near))]
        return [tuple(near), tuple(far[::-1]), *around]


@dataclass(frozen=True, slots=True)
class Scene:
    """What pictures show.

    Attributes:
        faces: in an order that names parents before their children.
        place: from the root face's flat drawing to the table.
        blocks: the book.

    """

    faces: tuple[Face, ...]
    place: Motion
    blocks: tuple[Block, ...]


def scene_of(checked: FoldedFile) -> Scene:
    """Return the scene of a support that folds.

    Raises:
        ValueError: nothing folds.

    """
    folded, draft = _folded(checked), checked.draft
    layers = face_layers(checked)
    flanges = {face: kind for (_, kind), face in checked.check.faces.items() if kind in _FLANGES}
    order = [folded.root, *(hinge.face for hinge in folded.hinges)]
    new = {face: i for i, face in enumerate(order)}
    hinges = {hinge.face: hinge for hinge in folded.hinges}
    creases = sorted(draft.pattern.creases, key=lambda crease: crease.position)
    faces = []
    for face in order:
        corners = folded.graph.polygons[face]
        hinge = hinges.get(face)
        if hinge is None:
            nowhere = Point(0.0, 0.0)
            faces.append(Face(corners, 0, None, (nowhere, Point(0.0, 1.0)), 0.0, 0))
            continue
        edge = folded.graph.edges[hinge.edge]
        a, b = folded.graph.vertices[edge.a], folded.graph.vertices[edge.b]
        axis = (a, b) if edge.left == hinge.parent else (b, a)
        layer = layers.get(face, 0)
        near = min(creases, key=lambda crease: abs(crease.position - (a.x + b.x) / 2))
        if face in flanges:
            step, name = _by_verb(draft.support, _FLANGES[flanges[face]]), ""
        elif layer:
            step, name = _by_verb(draft.support, _FLAPS[layer - 1]), ""
        else:
            step, name = _by_crease(draft.support, near.name), near.name
        faces.append(Face(corners, layer, new[hinge.parent], axis, hinge.angle, step, name))
    return Scene(tuple(faces), _table_place(draft.pattern), book_blocks(draft.support))


def _folded(checked: FoldedFile) -> Folded:
    if checked.check.folded is None:
        raise ValueError("nothing folds")
    return checked.check.folded


def _table_place(pattern: Pattern) -> Motion:
    """Return the way from the root face's flat drawing to the table."""
    left, _ = pattern.span(pattern.root.panel)
    return standing(pattern.root, left, pattern.band("middle").box.bottom)


def _by_verb(support: Support, verb: Verb) -> int:
    """Return which step has a verb."""
    return next(i for i, step in enumerate(support.steps) if step.verb == verb)


def _by_crease(support: Support, name: str) -> int:
    """Return which step folds a cross crease."""
    return next(
        i for i, step in enumerate(support.steps) if any(fold.crease == name for fold in step.folds)
    )


def book_blocks(support: Support) -> tuple[Block, ...]:
    """Return the parts of the book as it lies on its board panels and its spine panel."""
    inset, head = support.choices.end_inset, support.slip.book.height
    return tuple(
        Block(part.kind, part.corners, -inset, head - inset) for part in book_parts(support)
    )


def standing_posts(checked: FoldedFile) -> tuple[tuple[Spot, ...], ...]:
    """Return the corners of each face of each post, in its place behind its leg, on the table.

    Raises:
        ValueError: nothing folds.

    """
    folded, pattern = _folded(checked), checked.draft.pattern
    place, box = _table_place(pattern), pattern.band("middle").box
    piece, found = piece_of(checked.draft.support), []
    for post, own in zip(piece.posts, checked.check.posts, strict=False):
        leg = checked.check.faces.get((piece.strip.panels[post.leg].name, "middle"))
        if leg is None or own.folded is None or folded.motions[leg] is None:
            continue
        on = folded.motion(leg).after(post_place(piece, post, box.left, box.centre.y))
        for face in range(len(own.folded.graph.faces)):
            found.append(tuple(place.apply(on.apply(spot)) for spot in own.folded.corners(face)))
    return tuple(found)


def standing_faces(checked: FoldedFile) -> list[tuple[int, tuple[Spot, ...]]]:
    """Return layer and corners of each face, folded, on the table.

    Raises:
        ValueError: nothing folds.

    """
    folded = _folded(checked)
    place, layers = _table_place(checked.draft.pattern), face_layers(checked)
    return [
        (layers.get(face, 0), tuple(place.apply(spot) for spot in folded.corners(face)))
        for face, motion in enumerate(folded.motions)
        if motion is not None
    ]
