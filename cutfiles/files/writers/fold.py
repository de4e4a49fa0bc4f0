"""Writes FOLD 1.2: the crease pattern, and the form it folds into, for programs that fold.

Source: FOLD file format specification, version 1.2 (open format). Lengths in mm, fold angles in
degrees, valley positive. Keys of our own begin with ``cutfiles:``.
"""

import json
import math
from collections.abc import Sequence
from typing import Any, NamedTuple

from cutfiles.folding.fold import Folded
from cutfiles.lengths import rounded

STEP = 7
"""Decimals of a coordinate: rounding stays below what other programs compute with."""


class Piece(NamedTuple):
    """One piece folded.

    Attributes:
        name: of a piece that is not the strip.
        folded: its faces in space.
        orders: which face lies on which side of which: face, other face, +1 where it lies on the
            side the other's normal points to.
        right: how far to the right of where it is drawn it is written, mm.

    """

    name: str
    folded: Folded
    orders: Sequence[tuple[int, int, int]]
    right: float = 0.0


def write_fold(
    pieces: Sequence[Piece], title: str, facts: Sequence[tuple[str, str]], creator: str
) -> bytes:
    """Return folded pieces as FOLD, the strip first; layers are told apart by faceOrders.

    Each further piece is a frame with its crease pattern, and one with the form it folds into.

    Args:
        pieces: the support in space.
        title: one line for people.
        facts: what the file states of itself.
        creator: program and version.

    """
    strip, *others = pieces
    frames = [_folded_form(strip, 0)]
    for piece in others:
        frames.append({"frame_title": piece.name, **_crease_pattern(piece)})
        frames.append(_folded_form(piece, len(frames)))
    document = {
        "file_spec": 1.2,
        "file_creator": creator,
        "file_title": title,
        "file_classes": ["multiModel" if others else "singleModel"],
        "cutfiles:facts": dict(facts),
        **_crease_pattern(strip),
        "file_frames": frames,
    }
    # one key a line, so that people can read it and programs can compare it
    lines = ",\n".join(
        f"{json.dumps(key)}:{json.dumps(value, ensure_ascii=False, separators=(',', ':'))}"
        for key, value in document.items()
    )
    return ("{\n" + lines + "\n}\n").encode()


def _crease_pattern(piece: Piece) -> dict[str, Any]:
    graph = piece.folded.graph
    return {
        "frame_classes": ["creasePattern"],
        "frame_attributes": ["2D"],
        "frame_unit": "mm",
        "vertices_coords": [_place(x + piece.right, y) for x, y in graph.vertices],
        "edges_vertices": [[edge.a, edge.b] for edge in graph.edges],
        "edges_assignment": [edge.kind for edge in graph.edges],
        "edges_foldAngle": [
            rounded(math.degrees(angle), 9) if edge.kind in "MV" else 0
            for edge, angle in zip(graph.edges, piece.folded.angles, strict=True)
        ],
        "faces_vertices": [list(face) for face in graph.faces],
    }


def _folded_form(piece: Piece, parent: int) -> dict[str, Any]:
    """Return the form that the crease pattern in frame `parent` folds into."""
    return {
        "frame_classes": ["foldedForm"],
        "frame_attributes": ["3D"],
        "frame_unit": "mm",
        "frame_parent": parent,
        "frame_inherit": True,
        "vertices_coords": [_place(x + piece.right, y, z) for x, y, z in piece.folded.spots()],
        "faceOrders": [list(order) for order in piece.orders],
    }


def _place(*parts: float) -> list[float]:
    return [rounded(part, STEP) for part in parts]
