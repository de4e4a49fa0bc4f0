"""Writes FOLD 1.2: the crease pattern, and the form it folds into, for programs that fold.

Source: FOLD file format specification, version 1.2 (open format). Lengths in mm, fold angles in
degrees, valley positive. Keys of our own begin with ``cutfiles:``.
"""

import json
import math
from collections.abc import Sequence

from cutfiles.folding.fold import Folded

STEP = 7
"""Decimals of a coordinate: rounding stays below what other programs compute with."""


def write_fold(
    folded: Folded,
    title: str,
    facts: Sequence[tuple[str, str]],
    orders: Sequence[tuple[int, int, int]],
    creator: str,
) -> bytes:
    """Return a folded graph as FOLD; layers lie at one place and are told apart by faceOrders.

    Args:
        folded: the support in space.
        title: one line for people.
        facts: what the file states of itself.
        orders: which face lies on which side of which: face, other face, +1 where it lies on
            the side the other's normal points to.
        creator: program and version.

    """
    graph = folded.graph
    document = {
        "file_spec": 1.2,
        "file_creator": creator,
        "file_title": title,
        "file_classes": ["singleModel"],
        "cutfiles:facts": dict(facts),
        "frame_classes": ["creasePattern"],
        "frame_attributes": ["2D"],
        "frame_unit": "mm",
        "vertices_coords": [[_round(x), _round(y)] for x, y in graph.vertices],
        "edges_vertices": [[edge.a, edge.b] for edge in graph.edges],
        "edges_assignment": [edge.kind for edge in graph.edges],
        "edges_foldAngle": [
            _degrees(angle) if edge.kind in "MV" else None
            for edge, angle in zip(graph.edges, folded.angles, strict=True)
        ],
        "faces_vertices": [list(face) for face in graph.faces],
        "file_frames": [
            {
                "frame_classes": ["foldedForm"],
                "frame_attributes": ["3D"],
                "frame_unit": "mm",
                "frame_parent": 0,
                "frame_inherit": True,
                "vertices_coords": [[_round(part) for part in spot] for spot in folded.spots()],
                "faceOrders": [list(order) for order in orders],
            }
        ],
    }
    # one key a line, so that people can read it and programs can compare it
    lines = ",\n".join(
        f"{json.dumps(key)}: {json.dumps(value, ensure_ascii=False)}"
        for key, value in document.items()
    )
    return ("{\n" + lines + "\n}\n").encode()


def _round(length: float) -> float:
    return round(length, STEP) + 0.0


def _degrees(angle: float) -> float:
    return round(math.degrees(angle), 9) + 0.0
