"""The full-size template: the pattern at 1:1 over pages, for a studio without a cutter."""

from cutfiles.draft import Draft
from cutfiles.film.lay import with_posts
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import chords
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.bench_drawings import DASHES
from cutfiles.report.printed.paper import PaperName
from cutfiles.report.printed.tiles import Line, Tiling, Word, tiled_pdf, tiling
from cutfiles.report.script import from_left
from cutfiles.words.bench import guessed_text

CHORD = 0.02
"""How far the straight pieces of a drawn arc may lie off it, mm."""
_EDGE = 4.0
_HINT = (
    "Print at 100 %, measure the bar. Join the pages on the crosses, lay the film on them. Dashed: "
    "valley; dash and two dots: mountain; dotted: tape, not cut. Scores first, outline last. Stand "
    "to cut, free hand out of the blade's path."
)


def template(draft: Draft, paper: PaperName = "A4") -> bytes:
    """Return the pattern at full size as PDF, book face up, head up."""
    book, pattern = draft.slip.book, draft.pattern
    guess = guessed_text(draft.slip)
    title = from_left(book.number, book.title, "template 1:1", guess, f"revision {draft.revision}")
    numbers = [
        Word(crease.letter, (crease.position + 3.0, pattern.box.top - 8.0))
        for crease in pattern.creases
    ]
    head = Word("head ↑", (pattern.box.centre.x, pattern.box.top - 15.0), 5.0)
    return tiled_pdf(
        title, _HINT, template_lines(draft), [*numbers, head], template_tiling(draft, paper)
    )


def template_tiling(draft: Draft, paper: PaperName) -> Tiling:
    """Return the pages of the template."""
    _, box = with_posts(draft.pattern)
    return tiling(
        Box(box.left - _EDGE, box.bottom - _EDGE, box.right + _EDGE, box.top + _EDGE), paper
    )


def template_lines(draft: Draft) -> tuple[Line, ...]:
    """Return the pattern's strokes as lines, arcs in straight pieces."""
    return tuple(_line(stroke) for stroke in with_posts(draft.pattern)[0])


def _line(stroke: Stroke) -> Line:
    points = chords(stroke.path, CHORD)
    if stroke.path.closed:
        points = (*points, points[0])
    heavy = stroke.role in (Role.OUTLINE, Role.HOLES, Role.VALLEY, Role.MOUNTAIN)
    return Line(tuple(points), 0.25 if heavy else 0.13, DASHES.get(stroke.role, ()))
