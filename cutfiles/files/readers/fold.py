"""Reads FOLD: edges with their assignments, as paths; borders joined to outline and holes.

Source: FOLD file format specification, version 1.2 (open format).
"""

import json
from typing import Any, NamedTuple

from cutfiles.errors import FileError, shown
from cutfiles.files.readers.limits import MOST_FOLDED_LINES, at_most
from cutfiles.files.readers.reading import Place, Reading, ReadPath, sound, straight

SLIT = "slit"
"""What a cut inside a face is called; no role of ours."""
LAYERS = {"M": "score-mountain", "V": "score-valley", "C": SLIT}
_FLAT = ("F", "J", "U")
_DAMAGE = (KeyError, TypeError, ValueError, IndexError, ArithmeticError)
"""What numbers of a wrong kind, or none, or without end, lead to."""
_UNITS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "pt": 25.4 / 72}


def is_fold(data: bytes) -> bool:
    """Whether bytes look like FOLD."""
    head = data[:4096].lstrip()
    return head.startswith(b"{") and b'"file_spec"' in data and b'"edges_vertices"' in data


class Piece(NamedTuple):
    """One piece of a FOLD file, as it stands there.

    Attributes:
        pattern: the frame with its crease pattern.
        form: the frame with the form it folds into, None where there is none.

    """

    pattern: dict[str, Any]
    form: dict[str, Any] | None


def read_fold(data: bytes) -> Reading:
    """Return what the crease patterns of a FOLD file state, in mm.

    Raises:
        FileError: it is no FOLD, or holds no crease pattern.

    """
    paths: list[ReadPath] = []
    for piece in fold_pieces(data):
        paths += _paths(piece.pattern)
    facts = _document(data).get("cutfiles:facts", {})
    stated = {str(k): str(v) for k, v in facts.items()} if isinstance(facts, dict) else {}
    return Reading(paths=sound(tuple(paths), "FOLD file"), facts=stated)


def _paths(frame: dict[str, Any]) -> list[ReadPath]:
    unit = frame.get("frame_unit", "unit")
    if not isinstance(unit, str) or unit not in _UNITS:
        raise _refuse(f"the unit {shown(unit)}", "a FOLD file states frame_unit mm")
    try:
        places = [(x * _UNITS[unit], y * _UNITS[unit]) for x, y in _flat(frame)]
        edges = [(int(a), int(b)) for a, b in frame["edges_vertices"]]
        kinds = [str(kind) for kind in frame["edges_assignment"]]
        ends = [(places[a], places[b]) for a, b in edges]
        if min(min(edge) for edge in edges) < 0:
            raise ValueError("an edge to no vertex")
    except _DAMAGE as error:
        raise _refuse(
            f"vertices or edges that do not fit together ({error})",
            "a FOLD file holds vertices_coords, edges_vertices and edges_assignment",
        ) from None
    paths = []
    borders = []
    for edge, (a, b), kind in zip(edges, ends, kinds, strict=False):
        if kind == "B":
            borders.append(edge)
        elif kind in LAYERS:
            paths.append(straight(LAYERS[kind], [a, b], closed=False))
        elif kind not in _FLAT:
            raise _refuse(f'the edge assignment "{kind}"', "FOLD 1.2 has B, M, V, F, U, C and J")
    return [*paths, *_borders(borders, places)]


def runs_clockwise(data: bytes) -> bool:
    """Whether the faces a FOLD file states run clockwise: it was mirrored.

    Raises:
        FileError: it is no FOLD.

    """
    try:
        return any(
            _area([places[i] for i in face]) < 0
            for piece in fold_pieces(data)
            for places in [_flat(piece.pattern)]
            for face in piece.pattern.get("faces_vertices", [])
        )
    except _DAMAGE as error:
        raise _refuse(
            f"faces that do not fit their vertices ({error})",
            "faces_vertices name vertices by their index",
        ) from None


def fold_pieces(data: bytes) -> tuple[Piece, ...]:
    """Return the crease patterns of a FOLD file and what they fold into, as they stand there.

    Raises:
        FileError: it is no FOLD, or holds no crease pattern.

    """
    document = _document(data)
    frames = document.get("file_frames", [])
    every = [document, *(frames if isinstance(frames, list) else [])]
    for frame in every:
        for key in ("vertices_coords", "edges_vertices", "faces_vertices"):
            held = frame.get(key) if isinstance(frame, dict) else None
            at_most(len(held) if isinstance(held, list) else 0, MOST_FOLDED_LINES, f"{key}")
    patterns = [i for i, frame in enumerate(every) if _is(frame, "creasePattern")]
    if not patterns:
        raise _refuse("no crease pattern", 'a frame of the class "creasePattern" is needed')
    folded = [frame for frame in every if _is(frame, "foldedForm")]
    if not all(isinstance(frame.get("frame_parent", 0), int) for frame in folded):
        raise _refuse("a frame_parent that is no number", "it names a frame by its place")
    forms = {frame.get("frame_parent", 0): frame for frame in folded}
    return tuple(Piece(every[i], forms.get(i)) for i in patterns)


def _document(data: bytes) -> dict[str, Any]:
    try:
        document = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise _refuse(f"text that is no JSON ({error})", "a FOLD file is JSON") from None
    if not isinstance(document, dict):
        raise _refuse("a list or a value", "a FOLD file is one JSON object")
    return document


def _is(frame: Any, kind: str) -> bool:
    classes = frame.get("frame_classes") if isinstance(frame, dict) else None
    return isinstance(classes, list) and kind in classes


def folded_spots(form: dict[str, Any]) -> list[tuple[float, float, float]]:
    """Return where a folded form says its vertices stand, as it states them.

    Raises:
        FileError: its places are no numbers.

    """
    try:
        return [(float(x), float(y), float(z)) for x, y, z in form["vertices_coords"]]
    except _DAMAGE as error:
        raise _refuse(
            f"a folded form without places ({error})", "its vertices_coords hold three numbers each"
        ) from None


def _flat(frame: dict[str, Any]) -> list[Place]:
    return [(float(place[0]), float(place[1])) for place in frame["vertices_coords"]]


def _area(ring: list[Place]) -> float:
    after = [*ring[1:], ring[0]]
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(ring, after, strict=True)) / 2


def _borders(edges: list[tuple[int, int]], places: list[Place]) -> list[ReadPath]:
    """Return the borders joined end to end: the largest is the outline, the others are holes."""
    runs: list[tuple[list[Place], bool]] = []
    left = list(edges)
    while left:
        run = list(left.pop(0))
        while run[0] != run[-1]:
            step = next((edge for edge in left if run[-1] in edge), None)
            if step is None:
                break
            left.remove(step)
            run.append(step[1] if step[0] == run[-1] else step[0])
        closed = len(run) > 2 and run[0] == run[-1]
        runs.append(([places[i] for i in (run[:-1] if closed else run)], closed))
    runs.sort(key=lambda run: -abs(_area(run[0])))
    return [
        straight("cut-holes" if i else "cut-outline", points, closed)
        for i, (points, closed) in enumerate(runs)
    ]


def _refuse(found: str, needed: str) -> FileError:
    return FileError(found, needed, "save it again as FOLD 1.2, or make it anew")
