"""The fold check of a file: read back, folded along its scores, held against its support.

A file that states its measures is checked by itself; a slip holds it against what was measured.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from cutfiles.dataclass import dataclass
from cutfiles.draft import Draft
from cutfiles.errors import DifferenceError, FileError
from cutfiles.files.formats import FORMATS, Format, Options
from cutfiles.files.readers.fold import SLIT, fold_pieces, folded_spots, runs_clockwise
from cutfiles.files.readers.limits import MOST_FOLDED_LINES, MOST_FOLDED_PLACES, at_most
from cutfiles.files.readers.reading import Reading, ReadPath, halfway
from cutfiles.files.verify import whole_difference
from cutfiles.findings import Finding
from cutfiles.folding.check import FoldCheck, check_folds
from cutfiles.folding.drawn import KINDS
from cutfiles.folding.graph import Bounds, FoldLine, Kind, bounds, touching
from cutfiles.folding.isometry import KEPT, stretch_finding, stretched
from cutfiles.folding.posts import parted
from cutfiles.pattern.pattern import Pattern, Role, Stroke
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point, open_path
from cutfiles.version import VERSION
from cutfiles.words.scales import scale_told

if TYPE_CHECKING:
    from cutfiles.files.writers.fold import Piece

Orders = tuple[tuple[int, int, int], ...]
BESIDE = 10.0
"""Between pieces in a FOLD file, mm."""
FOLD_STEP = 1e-6
"""What a FOLD file may be off by, mm and radians."""


@dataclass(frozen=True, slots=True)
class FoldedFile:
    """A file folded and held against its support.

    Attributes:
        name: of the file.
        draft: the support it should become.
        check: faces in space, measures, findings.

    """

    name: str
    draft: Draft
    check: FoldCheck


def check_reading(
    reading: Reading,
    name: str,
    draft: Draft,
    form: Format,
    options: Options,
    *,
    compared: bool = False,
) -> FoldedFile:
    """Return the fold check of what a file states.

    Args:
        reading: what the file states.
        name: of the file.
        draft: what it should become.
        form: its row in the table of formats.
        options: as when the file was made.
        compared: the file was compared with its drawing already, and is not scaled or mirrored.

    Raises:
        FileError: one layer holds both valleys and mountains, so no reader can tell them apart.

    """
    at_most(len(reading.paths), MOST_FOLDED_LINES, "lines to fold")
    at_most(
        sum(len(p.points) for p in reading.paths), MOST_FOLDED_PLACES, "places on lines to fold"
    )
    if not compared:
        whole = whole_difference(draft.drawing, reading, form, options)
        if whole is not None:
            return FoldedFile(name, draft, _refused("whole file", f"the file {whole.message}"))
    lines = fold_lines(reading, form, options)
    return FoldedFile(name, draft, check_folds(lines, draft.pattern, draft.support, form.step))


def check_folded(data: bytes, name: str, draft: Draft, form: Format) -> FoldedFile:
    """Return the fold check of a file that holds faces and folds, and no marks to find it by.

    Raises:
        FileError: it cannot be read.

    """
    if runs_clockwise(data):
        return FoldedFile(
            name, draft, _refused("whole file", "the file is mirrored: its panels run clockwise")
        )
    lines = fold_lines(form.read(data), form, Options())
    factor = _size(parted(lines)[0]) / max(draft.pattern.box.width, draft.pattern.box.height)
    if not 0.9 < factor < 1.1:
        said = f"the file is {factor:.4g} times as large as it should be{scale_told(factor, 0.01)}"
        return FoldedFile(name, draft, _refused("whole file", said))
    check = check_folds(lines, draft.pattern, draft.support)
    told = tuple(folded_findings(data))
    return FoldedFile(name, draft, replace(check, findings=(*check.findings, *told)))


def folded_findings(data: bytes) -> Iterator[Finding]:
    """Yield where a FOLD file's own folded form does not keep the lengths of its crease pattern.

    Raises:
        FileError: it cannot be read.

    """
    for piece in fold_pieces(data):
        if piece.form is None:
            continue
        spots = folded_spots(piece.form)
        try:
            places = piece.pattern["vertices_coords"]
            flat = [Point(float(place[0]), float(place[1])) for place in places]
            wrong = stretched(flat, spots, piece.pattern.get("faces_vertices", []))
        except (KeyError, TypeError, ValueError, IndexError) as error:
            raise FileError(
                f"a folded form that does not fit the crease pattern ({error})",
                "both hold the same vertices",
                "save it again as FOLD 1.2, or make it anew",
            ) from None
        if wrong:
            yield stretch_finding(wrong, KEPT)


def _refused(place: str, message: str) -> FoldCheck:
    return FoldCheck(None, (), (Finding("whole", place, message, severity="stop"),))


def _size(lines: tuple[FoldLine, ...]) -> float:
    xs = [p.x for line in lines for p in line.points]
    ys = [p.y for line in lines for p in line.points]
    return max(max(xs) - min(xs), max(ys) - min(ys)) if xs else 0.0


# -- from a file's paths to lines that fold -------------------------------------------------------


def fold_lines(reading: Reading, form: Format, options: Options) -> tuple[FoldLine, ...]:
    """Return the lines of a file that folding knows: outline, holes, valleys and mountains.

    Raises:
        FileError: one layer holds both valleys and mountains.

    """
    kinds = _kinds(form, options)
    lines = []
    for path in reading.paths:
        layer = form.kin(path.layer)
        if layer in kinds and len(path.points) > 1:
            kind, hole, _ = kinds[layer]
            lines.append(FoldLine(kind, _points(path), layer, hole))
    if any(shared for _, _, shared in kinds.values()):
        return tuple(_holes_told(lines))
    return tuple(lines)


def _telling() -> list[str]:
    """Return the titles of the formats that tell valleys from mountains."""
    return [form.title for form in FORMATS.values() if form.tells_folds(Options())]


def _kinds(form: Format, options: Options) -> dict[str, tuple[Kind, bool, bool]]:
    """Return by layer: the letter, whether it holds holes, whether outline and holes share it."""
    speck = open_path((0, 0), (1, 1))
    layers = {role: form.kin(form.layer(Stroke(role, "", speck), options)) for role in Role}
    if layers[Role.VALLEY] and layers[Role.VALLEY] == layers[Role.MOUNTAIN]:
        raise FileError(
            f'valleys and mountains on one layer, "{layers[Role.VALLEY]}"',
            "each direction has a layer or pen of its own",
            f"fold a file that tells them apart: {', '.join(_telling())}",
        )
    shared = layers[Role.OUTLINE] == layers[Role.HOLES]
    slits: dict[str, tuple[Kind, bool, bool]] = {SLIT: ("C", False, False)} if form.folded else {}
    return slits | {
        layers[role]: (kind, role is Role.HOLES and not shared, shared)
        for role, kind in ((Role(key), kind) for key, kind in KINDS.items())
        if layers[role]
    }


def _holes_told(lines: list[FoldLine]) -> list[FoldLine]:
    """Tell holes from outlines where a format has one pen for both.

    They lie inside of one, or in the waste with no score in them, as pin holes do.
    """
    boxes = {i: bounds(line.points) for i, line in enumerate(lines) if line.kind == "B"}
    scores = [bounds(line.points) for line in lines if line.kind in "MV"]
    outline = max(
        boxes, default=-1, key=lambda i: boxes[i][2] - boxes[i][0] + boxes[i][3] - boxes[i][1]
    )

    def is_hole(i: int) -> bool:
        inside = any(_within(boxes[i], box) for box in boxes.values())
        return i != outline and (inside or not any(touching(boxes[i], score) for score in scores))

    return [replace(line, hole=i in boxes and is_hole(i)) for i, line in enumerate(lines)]


def _within(inner: Bounds, outer: Bounds) -> bool:
    """Whether one box lies wholly inside another."""
    return (
        inner[0] > outer[0] and inner[1] > outer[1] and inner[2] < outer[2] and inner[3] < outer[3]
    )


def _points(path: ReadPath) -> tuple[Point, ...]:
    """Return a path's places, arcs with the place midway on them, closed ones back to the first."""
    ends = [*path.points[1:], path.points[0]] if path.closed else list(path.points[1:])
    points = [Point(*path.points[0])]
    for end, middle in zip(ends, path.middles, strict=False):
        if distance(middle, halfway(points[-1], end)) > 1e-3:
            points.append(Point(*middle))
        points.append(Point(*end))
    return tuple(points)


# -- what comes out -----------------------------------------------------------------------------


def require_folds(checked: FoldedFile) -> None:
    """Raise where a file does not fold into its support.

    Raises:
        DifferenceError: names the file and up to five creases or panels, with sizes.

    """
    stops = [f.message for f in checked.check.findings if f.severity == "stop"]
    if stops:
        more = f"; and {len(stops) - 5} more" if len(stops) > 5 else ""
        raise DifferenceError(
            "; ".join(stops[:5]) + more,
            "the file must fold into the support that was designed",
            "do not cut it; make it again from its slip",
            checked.name,
        )


def fold_file(checked: FoldedFile) -> bytes:
    """Return a support that folds as FOLD 1.2, its posts beside it.

    Raises:
        FileError: nothing folds.

    """
    from cutfiles.files.writers.fold import write_fold

    if checked.check.folded is None or None in checked.check.folded.motions:
        raise FileError(
            "a drawing that does not fold",
            "a closed outline with all its panels joined",
            "see what the fold check says",
            checked.name,
        )
    draft = checked.draft
    pieces = _pieces(checked.check, face_orders(checked))
    return write_fold(pieces, draft.drawing.title, draft.pattern.facts, f"cutfiles {VERSION}")


def _pieces(check: FoldCheck, orders: Orders) -> "list[Piece]":
    """Return the strip and its posts side by side, each with the layers of its faces."""
    from cutfiles.files.writers.fold import Piece

    assert check.folded is not None
    pieces = [Piece("", check.folded, orders)]
    right = bounds(check.folded.graph.vertices)[2] + BESIDE
    for post in check.posts:
        if post.folded is not None:
            first, lap = post.ends
            # the lap lies outside of face A, towards the leg
            pieces.append(Piece(post.name, post.folded, ((lap, first, 1),), right))
            right += bounds(post.folded.graph.vertices)[2] + BESIDE
    return pieces


def require_same_folds(name: str, data: bytes, check: FoldCheck) -> None:
    """Raise where a FOLD file does not hold the faces and folds of what was checked.

    Raises:
        DifferenceError: names the file and what of it differs.

    """
    found, meant = fold_pieces(data), _pieces(check, ())
    wrong = ["pieces"] if len(found) != len(meant) else []
    for one, piece in zip(found, meant, strict=False):
        wrong += [what for what in _apart(one.pattern, piece) if what not in wrong]
    if list(folded_findings(data)):
        wrong.append("folded form")
    if wrong:
        raise DifferenceError(
            f"other {', '.join(wrong)} than fold",
            "the file must hold the pattern and nothing else",
            "do not use it; make it again from its slip",
            name,
        )


def _apart(frame: dict[str, Any], piece: "Piece") -> Iterator[str]:
    """Yield what of a crease pattern differs from what was folded."""
    graph, folded = piece.folded.graph, piece.folded
    angles = [frame["edges_foldAngle"][i] or 0.0 for i in range(len(graph.edges))]
    places = zip(frame["vertices_coords"], graph.vertices, strict=True)
    if any(distance((p[0] - piece.right, p[1]), q) > FOLD_STEP for p, q in places):
        yield "vertices"
    if frame["edges_vertices"] != [[e.a, e.b] for e in graph.edges]:
        yield "edges"
    if frame["edges_assignment"] != [e.kind for e in graph.edges]:
        yield "assignments"
    if any(
        e.kind in "MV" and abs(math.radians(a) - b) > FOLD_STEP
        for a, b, e in zip(angles, folded.angles, graph.edges, strict=True)
    ):
        yield "fold angles"
    if frame["faces_vertices"] != [list(face) for face in graph.faces]:
        yield "faces"


def face_layers(checked: FoldedFile) -> dict[int, int]:
    """Return how many films lie above each face when folded: 0, 1 or 2; a hem has its panel."""
    layers = {band.name: band.layer for band in checked.draft.pattern.bands}
    layers |= {"hem": 1, "lip": 0}
    return {face: layers[band] for (_, band), face in checked.check.faces.items()}


def face_orders(checked: FoldedFile) -> Orders:
    """Return the layers as FOLD tells them: face, other face, +1 on the other's book face side."""
    return face_orders_of(checked.check.faces, checked.draft.pattern)


def face_orders_of(faces: Mapping[tuple[str, str], int], pattern: Pattern) -> Orders:
    """Return the layers of a pattern's faces as FOLD tells them."""
    orders: dict[tuple[int, int], int] = {}
    for panel in pattern.panels:
        middle, inner, outer = (
            faces.get((panel.name, band)) for band in ("middle", "inner flap", "outer flap")
        )
        if middle is None or inner is None or outer is None:
            continue
        # flaps are turned over: the book face of the inner one looks at the outer one
        orders[(inner, middle)] = -1
        orders[(outer, middle)] = -1
        orders[(outer, inner)] = 1
    for flange in pattern.flanges:
        hem, over = faces.get((flange.name, "hem")), faces.get((flange.panel, "middle"))
        if hem is not None and over is not None:
            orders[(hem, over)] = -1
    return tuple((a, b, side) for (a, b), side in orders.items())
