"""The folded support with the book on it, as faces and blocks in space: what pictures show.

mm; x to the right, y to the head, z up; x = 0 is the middle of the spine panel, y = 0 the support's
tail edge, z = 0 the table.
"""

from dataclasses import dataclass

from cutfiles.files.fold_check import FoldedFile, face_layers
from cutfiles.folding.posts import post_place
from cutfiles.folding.space import Motion, Spot, standing
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.block import book_parts
from cutfiles.support.construct import piece_of
from cutfiles.support.standing import Support

FLAPS = ("inner flap", "outer flap")
"""What is folded first of a strip folded in three."""
FLANGES = {"hem": "hems under", "lip": "lips in"}
"""What is folded first of a strip in one layer that has any."""


@dataclass(frozen=True, slots=True)
class Face:
    """One panel of one layer.

    Attributes:
        corners: in the flat drawing, mm.
        layer: films above it when folded.
        parent: the face it hangs on, or None.
        axis: the crease it hangs by, in the flat drawing, the parent on its left.
        angle: radians, valley positive.
        stage: which of the scene's stages folds it.

    """

    corners: tuple[Point, ...]
    layer: int
    parent: int | None
    axis: tuple[Point, Point]
    angle: float
    stage: int


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
        stages: what is folded one after the other.
        faces: in an order that names parents before their children.
        place: from the root face's flat drawing to the table.
        blocks: the book.

    """

    stages: tuple[str, ...]
    faces: tuple[Face, ...]
    place: Motion
    blocks: tuple[Block, ...]


def scene_of(checked: FoldedFile) -> Scene:
    """Return the scene of a support that folds.

    Raises:
        ValueError: nothing folds.

    """
    folded, draft = checked.check.folded, checked.draft
    if folded is None:
        raise ValueError("nothing folds")
    layers, early = face_layers(checked), _early(checked)
    flanges = {face: kind for (_, kind), face in checked.check.faces.items() if kind in FLANGES}
    order = [folded.root, *(hinge.face for hinge in folded.hinges)]
    new = {face: i for i, face in enumerate(order)}
    hinges = {hinge.face: hinge for hinge in folded.hinges}
    creases = sorted(draft.pattern.creases, key=lambda crease: crease.position)
    parts = _parts(draft.support)
    faces = []
    for face in order:
        corners = folded.graph.polygon(face)
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
            stage = early.index(FLANGES[flanges[face]])
        else:
            stage = layer - 1 if layer else len(early) + parts.index(near.fold.part)
        faces.append(Face(corners, layer, new[hinge.parent], axis, hinge.angle, stage))
    pattern = draft.pattern
    left, _ = pattern.span(pattern.root.panel)
    place = standing(pattern.root, left, pattern.band("middle").box.bottom)
    stages = (*early, *(f"{part} creases" for part in parts))
    return Scene(stages, tuple(faces), place, book_blocks(draft.support))


def _early(checked: FoldedFile) -> tuple[str, ...]:
    """Return what is folded before the cross creases: flaps, or hems and lips."""
    if checked.draft.support.film.layers > 1:
        return tuple(f"{name} under" for name in FLAPS)
    kinds = {flange.kind for flange in checked.draft.pattern.flanges}
    return tuple(said for kind, said in FLANGES.items() if kind in kinds)


def _parts(support: Support) -> tuple[str, ...]:
    """Return the parts whose creases are folded, in the order of folding."""
    parts = {fold.name: fold.part for fold in support.profile.folds}
    named = (
        parts[fold.crease] for step in support.steps for fold in step.folds if fold.crease in parts
    )
    return tuple(dict.fromkeys(named))


def book_blocks(support: Support) -> tuple[Block, ...]:
    """Return the parts of the book as it lies on its board panels and its spine panel."""
    inset, head = support.choices.end_inset, support.slip.book.height
    return tuple(
        Block(part.kind, part.corners, -inset, head - inset) for part in book_parts(support)
    )


def standing_posts(checked: FoldedFile) -> tuple[tuple[Spot, ...], ...]:
    """Return the corners of each face of each post, in its place behind its leg, on the table."""
    folded, draft = checked.check.folded, checked.draft
    if folded is None or not checked.check.posts:
        return ()
    place, box = scene_of(checked).place, draft.pattern.band("middle").box
    piece, found = piece_of(draft.support), []
    for post, own in zip(piece.posts, checked.check.posts, strict=False):
        leg = checked.check.faces.get((piece.strip.panels[post.leg].name, "middle"))
        if leg is None or own.folded is None or folded.motions[leg] is None:
            continue
        on = folded.motion(leg).after(post_place(piece, post, box.left, box.centre.y))
        for face in range(len(own.folded.graph.faces)):
            found.append(tuple(place.apply(on.apply(spot)) for spot in own.folded.corners(face)))
    return tuple(found)


def standing_faces(checked: FoldedFile) -> list[tuple[int, tuple[Spot, ...]]]:
    """Return layer and corners of each face, folded, on the table."""
    folded = checked.check.folded
    if folded is None:
        return []
    place, layers = scene_of(checked).place, face_layers(checked)
    return [
        (layers.get(face, 0), tuple(place.apply(spot) for spot in folded.corners(face)))
        for face, motion in enumerate(folded.motions)
        if motion is not None
    ]
