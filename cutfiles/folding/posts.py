"""Posts folded: which lines draw which piece, and whether each blank closes to a tube."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cutfiles.dataclass import dataclass
from cutfiles.findings import Finding
from cutfiles.folding.drawn import angles_for, drawing_findings, is_upright, matched
from cutfiles.folding.fold import Folded, fold
from cutfiles.folding.graph import Bounds, FoldLine, Graph, bounds, build_graph, touching
from cutfiles.folding.isometry import isometry_findings, kept_within
from cutfiles.folding.shape import face_of
from cutfiles.folding.space import Motion, Spot, length
from cutfiles.pattern.pattern import Pattern
from cutfiles.plane.shapes import Point
from cutfiles.support.constructions.outline import Piece, Standing
from cutfiles.support.constructions.posts import FACE

APART = 0.5
"""Lines whose boxes lie further apart than this belong to different pieces, mm."""
SAME = 1.0
"""A blank is known by its length within this, mm."""


@dataclass(frozen=True, slots=True)
class PostFold:
    """One post folded.

    Attributes:
        name: ``left post 1``.
        folded: its faces in space, face A where it is drawn; None where nothing folds.
        faces: A, B, C and lap, by their names.

    """

    name: str
    folded: Folded | None
    faces: dict[str, int]

    @property
    def ends(self) -> tuple[int, int]:
        """Face A, and the lap that comes to lie on it."""
        return self.faces[f"{self.name}, A"], self.faces[f"{self.name}, lap"]


def parted(
    lines: Sequence[FoldLine],
) -> tuple[tuple[FoldLine, ...], tuple[tuple[FoldLine, ...], ...]]:
    """Return the lines of the largest piece, and those of each other piece, left to right.

    Pieces lie apart, so lines belong together whose boxes touch.
    """
    groups: list[list[int]] = []
    boxes = [bounds(line.points) for line in lines]
    for i in range(len(lines)):
        mine = [g for g in groups if any(touching(boxes[i], boxes[j], APART) for j in g)]
        groups = [g for g in groups if g not in mine] + [[i, *(j for g in mine for j in g)]]
    groups.sort(key=lambda group: -_area([boxes[i] for i in group]))
    pieces = [tuple(lines[i] for i in sorted(group)) for group in groups]
    if not pieces:
        return (), ()
    # a post has an outline with creases; pin holes in the waste, which some formats draw as
    # outlines, have no crease, and scores whose outline is missing are nobody's
    others = [p for p in pieces[1:] if _has(p, "B") and _has(p, "MV")]
    stray = [line for piece in pieces[1:] if piece not in others for line in piece]
    others.sort(key=lambda piece: bounds(p for line in piece for p in line.points)[:2])
    return (*pieces[0], *stray), tuple(others)


def _has(piece: Sequence[FoldLine], kinds: str) -> bool:
    return any(line.kind in kinds for line in piece)


def _area(boxes: Sequence[Bounds]) -> float:
    left, bottom = min(box[0] for box in boxes), min(box[1] for box in boxes)
    right, top = max(box[2] for box in boxes), max(box[3] for box in boxes)
    return (right - left) * (top - bottom)


def check_posts(
    drawn: Sequence[Sequence[FoldLine]], posts: Sequence[Pattern], limit: float, step: float
) -> tuple[tuple[PostFold, ...], tuple[Finding, ...]]:
    """Return the posts folded, and what is wrong with them.

    Args:
        drawn: lines of each piece that is not the strip.
        posts: what they should draw.
        limit: how far a place may be off, mm.
        step: the finest step of the file's format, mm.

    """
    findings: list[Finding] = []
    if len(drawn) != len(posts):
        said = f"{len(drawn)} posts are drawn, should be {len(posts)}"
        findings.append(Finding("connect", "posts", said, len(drawn), len(posts), "stop"))
    folds, left = [], list(posts)
    for lines in drawn:
        if not left:
            break
        own = _as_drawn(lines)
        *_, top = bounds(p for line in own for p in line.points)
        meant = next((one for one in left if abs(one.box.height - top) < SAME), left[0])
        left.remove(meant)
        folded, told = _check_post(own, meant, limit, step)
        folds.append(folded)
        findings += told
    order = [post.name for post in posts]
    return tuple(sorted(folds, key=lambda one: order.index(one.name))), tuple(findings)


def _as_drawn(lines: Sequence[FoldLine]) -> list[FoldLine]:
    """Return a blank's lines with its creases upright and its lower left corner at (0, 0)."""
    left, bottom, right, _ = bounds(p for line in lines for p in line.points)
    scores = [line.points for line in lines if line.kind in "MV"]
    turned = sum(is_upright(points) for points in scores) < len(scores) / 2
    width = right - left

    def back(x: float, y: float) -> Point:
        x, y = x - left, y - bottom
        return Point(y, width - x) if turned else Point(x, y)

    return [replace(line, points=tuple(back(*p) for p in line.points)) for line in lines]


def _check_post(
    lines: list[FoldLine], post: Pattern, limit: float, step: float
) -> tuple[PostFold, tuple[Finding, ...]]:
    found, extra = matched(lines, post)
    findings = list(drawing_findings(found, extra, limit))
    try:
        graph = build_graph(lines)
    except ValueError as error:
        said = f"{post.name}: {error}: nothing folds"
        findings.append(Finding("connect", post.name, said, severity="stop"))
        return PostFold(post.name, None, {}), tuple(findings)
    band = post.band("middle")
    faces = {panel.name: face_of(graph, post, panel.name, band) for panel in post.panels}
    known = {name: face for name, face in faces.items() if face is not None}
    if len(graph.faces) != len(post.panels) or len(known) != len(post.panels):
        count = len(graph.faces)
        said = f"the lines of {post.name} bound {count} faces, should be {len(post.panels)}"
        findings.append(Finding("connect", post.name, said, count, len(post.panels), "stop"))
        return PostFold(post.name, None, known), tuple(findings)
    folded = fold(graph, angles_for(graph, post), known[post.root.panel])
    findings += isometry_findings(folded, kept_within(step))
    findings += _closes(folded, post, known, 2 * limit)
    findings += _heads(graph, post, limit)
    return PostFold(post.name, folded, known), tuple(findings)


def _closes(
    folded: Folded, post: Pattern, faces: dict[str, int], limit: float
) -> Iterator[Finding]:
    """The lap comes to lie on face A, its crease on A's free edge."""
    first, lap = (faces[panel.name] for panel in (post.panels[0], post.panels[-1]))
    x, y = post.creases[-1].position, post.box.height / 4
    gap = length(folded.motion(lap).place((x, y)) - folded.motion(first).place((0.0, y)))
    tilt = length(folded.motion(lap).normal - folded.motion(first).normal) * post.box.width
    if max(gap, tilt) > limit:
        said = f"{post.name} would not close: {max(gap, tilt):.2f} mm stay open at its lap"
        yield Finding("post", post.name, said, max(gap, tilt), limit, "stop")


def _heads(graph: Graph, post: Pattern, limit: float) -> Iterator[Finding]:
    """Each crease stands from foot to head as it should: it bears on the sloping board."""
    for crease in post.creases:
        stroke = next(s for s in post.strokes if s.of == crease.name)
        foot, head = sorted(point.y for point in stroke.path.points)
        near = [p.y for p in graph.vertices if abs(p.x - crease.position) <= limit]
        low, high = min(near, default=0.0), max(near, default=0.0)
        if max(abs(low - foot), abs(high - head)) > limit:
            said = f"{crease.name} would be {high - low:.2f} mm high, should be {head - foot:.2f}"
            yield Finding("post", crease.name, said, high - low, head - foot, "stop")


def post_place(piece: Piece, post: Standing, left: float, middle: float) -> Motion:
    """Return the move from a post's blank, folded about face A, to its place on the flat strip.

    It stands with its foot on the foot crease, the outer face of A towards the leg's table face.

    Args:
        piece: the strip.
        post: which of its posts.
        left: x of the strip's left end in the pattern, mm.
        middle: y of its middle, mm.

    """
    strip, half = piece.strip, piece.gauge / 2
    down, y = -post.blank.offset, middle + post.y
    if strip.apex_on_right(post.leg):
        foot = left + strip.starts[post.leg] + half
        rows = (Spot(0.0, 1.0, 0.0), Spot(-1.0, 0.0, 0.0), Spot(0.0, 0.0, 1.0))
        return Motion(rows, Spot(foot, y + FACE / 2, down))
    foot = left + strip.ends[post.leg] - half
    rows = (Spot(0.0, -1.0, 0.0), Spot(1.0, 0.0, 0.0), Spot(0.0, 0.0, 1.0))
    return Motion(rows, Spot(foot, y - FACE / 2, down))
