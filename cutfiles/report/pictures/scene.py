"""The folded support with the book on it, as faces and blocks in space: what pictures show.

mm; x to the right, y to the head, z up; x = 0 is the middle of the spine panel, y = 0 the support's
tail edge, z = 0 the table.
"""

from dataclasses import dataclass

from cutfiles.files.fold_check import Proved, face_layers
from cutfiles.folding.space import Motion, Spot, shifted
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.block import block_end
from cutfiles.support.cradle import SIDES, Support

STAGES = ("inner flap", "outer flap", "spine", "apex", "foot")
"""What is folded one after the other."""


@dataclass(frozen=True, slots=True)
class Face:
    """One panel of one layer.

    Attributes:
        corners: in the flat drawing, mm.
        layer: films above it when folded.
        parent: the face it hangs on, or None.
        axis: the crease it hangs by, in the flat drawing, the parent on its left.
        angle: radians, valley positive.
        stage: which of the stages folds it.

    """

    corners: tuple[Point, ...]
    layer: int
    parent: int | None
    axis: tuple[Point, Point]
    angle: float
    stage: int


@dataclass(frozen=True, slots=True)
class Block:
    """A half of the book: an end view drawn out from tail to head.

    Attributes:
        side: left or right.
        end: corners of its end view, x and z, board side first.
        tail: y of its tail.
        head: y of its head.

    """

    side: str
    end: tuple[tuple[float, float], ...]
    tail: float
    head: float

    def faces(self) -> list[tuple[Spot, ...]]:
        """Return its six sides."""
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


def scene_of(proved: Proved) -> Scene:
    """Return the scene of a support that folds.

    Raises:
        ValueError: nothing folds.

    """
    folded, draft = proved.proof.folded, proved.draft
    if folded is None:
        raise ValueError("nothing folds")
    layers = face_layers(proved)
    order = [folded.root, *(hinge.face for hinge in folded.hinges)]
    new = {face: i for i, face in enumerate(order)}
    hinges = {hinge.face: hinge for hinge in folded.hinges}
    creases = sorted(draft.pattern.creases, key=lambda crease: crease.position)
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
        stage = layer - 1 if layer else STAGES.index(near.name.split()[-1])
        faces.append(Face(corners, layer, new[hinge.parent], axis, hinge.angle, stage))
    box, (left, right) = draft.pattern.band("middle").box, draft.pattern.span("spine")
    x = (left + right) / 2
    return Scene(
        tuple(faces), shifted(-x, -box.bottom, draft.support.deck_lift), book_blocks(draft.support)
    )


def book_blocks(support: Support) -> tuple[Block, ...]:
    """Return the two halves of the book as it lies on its board panels."""
    inset, head = support.choices.end_inset, support.slip.book.height
    blocks = []
    for side in SIDES:
        end = block_end(support, side, support.deck_lift)
        # counter-clockwise seen from the tail, on both sides
        blocks.append(Block(side, end if side == "right" else end[::-1], -inset, head - inset))
    return tuple(blocks)


def standing_faces(proved: Proved) -> list[tuple[int, tuple[Spot, ...]]]:
    """Return layer and corners of each face, folded, on the table."""
    folded = proved.proof.folded
    if folded is None:
        return []
    place, layers = scene_of(proved).place, face_layers(proved)
    return [
        (layers.get(face, 0), tuple(place.apply(spot) for spot in folded.corners(face)))
        for face, motion in enumerate(folded.motions)
        if motion is not None
    ]
