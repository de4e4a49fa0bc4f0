"""Coupons folded: what is drawn holds their creases, and film folds so without stretching."""

from collections.abc import Sequence

from cutfiles.findings import Finding
from cutfiles.folding.check import FoldCheck, placed
from cutfiles.folding.drawn import angles_for, drawing_findings, matched
from cutfiles.folding.fold import fold
from cutfiles.folding.graph import FoldLine, build_graph
from cutfiles.folding.isometry import isometry_findings, kept_within
from cutfiles.folding.posts import check_posts
from cutfiles.folding.shape import CLOSE, face_of
from cutfiles.folding.vertices import meetings
from cutfiles.pattern.pattern import Pattern


def check_coupon(lines: Sequence[FoldLine], piece: Pattern, step: float = 0.0) -> FoldCheck:
    """Return one piece of a coupon folded, with what is wrong with it.

    Args:
        lines: of this piece, as read from a file.
        piece: what they should draw.
        step: the finest step of the file's format, mm.

    """
    limit = CLOSE + step
    own = placed(lines)
    found, extra = matched(own, piece)
    causes = tuple(drawing_findings(found, extra, limit))
    try:
        graph = build_graph(own)
    except ValueError as error:
        gone = Finding("connect", "outline", f"{error}: nothing folds", severity="stop")
        return FoldCheck(None, (), (gone, *causes))
    faces = {
        (panel.name, band.name): face_of(graph, piece, panel.name, band)
        for panel in piece.panels
        for band in piece.bands
    }
    known = {key: face for key, face in faces.items() if face is not None}
    if not len(graph.faces) == len(set(known.values())) == len(faces):
        said = f"the lines bound {len(graph.faces)} panels, should be {len(faces)}"
        count = Finding("connect", "panels", said, len(graph.faces), len(faces), "stop")
        return FoldCheck(None, (), (*causes, count))
    angles = angles_for(graph, piece)
    folded = fold(graph, angles, known[piece.root.panel, "middle"])
    effects = (
        *isometry_findings(folded, kept_within(step)),
        *(_crossing(meeting.place.x) for meeting in meetings(graph, angles) if not meeting.maekawa),
    )
    return FoldCheck(folded, (), (*causes, *effects), known)


def check_post_coupon(lines: Sequence[FoldLine], piece: Pattern, step: float = 0.0) -> FoldCheck:
    """Return a post coupon folded: it closes to a tube, its lap on face A."""
    (post, *_), findings = check_posts([lines], (piece,), CLOSE + step, step)
    faces = {(name, "middle"): face for name, face in post.faces.items()}
    return FoldCheck(post.folded, (), findings, faces)


def _crossing(x: float) -> Finding:
    said = f"the creases that meet at {x:.1f} mm from the left cannot fold there"
    return Finding("maekawa", "crossing", said, severity="stop")
