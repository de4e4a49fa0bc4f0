"""The end-view card: the end view at 1:1, to hold against the book's tail before film is cut.

The book is propped where it opens by itself; the card, cut out, must lie under boards and spine
without pressing and without a gap. Below the table line it keeps a foot to hold it by.
"""

from cutfiles.draft import Draft
from cutfiles.film.drawing import Drawing
from cutfiles.lengths import Lengths
from cutfiles.pattern.lettering import text_strokes, text_width
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import Box, Point, closed_path, open_path
from cutfiles.report.pictures.block import underside
from cutfiles.report.printed.paper import DOTTED, PaperName
from cutfiles.report.printed.tiles import Line, Tiling, Word, tiled_pdf, tiling
from cutfiles.report.script import from_left
from cutfiles.support.profile import walk
from cutfiles.support.standing import Half, Support
from cutfiles.words.bench import guessed_text

FOOT = 15.0
"""What the card keeps below the table line, mm."""
_EDGE = 5.0
_HINT = (
    "Print at 100 %, measure the bar, cut along the heavy line. Hold it to the book's tail, the "
    "book propped where it opens: it must lie under boards and spine, press nowhere."
)


def end_view_card(draft: Draft, paper: PaperName = "A4") -> bytes:
    """Return the profile at 1:1 as PDF, over several pages where it is larger than one."""
    support, book = draft.support, draft.slip.book
    guess = guessed_text(draft.slip)
    title = from_left(book.number, book.title, "end view 1:1", guess, f"revision {draft.revision}")
    outline = card_outline(support)
    left, right = outline[0].x, outline[1].x
    lines = [
        Line((*outline, outline[0]), 0.35),
        Line(((left, 0.0), (right, 0.0)), 0.13, DOTTED),
        *(Line(_book(support, half), 0.13, DOTTED) for half in support.halves),
    ]
    base = Lengths(draft.slip.units).both(right - left)
    said = (book.number, guess, "seen from the tail", f"whole width {base}")
    words = [
        Word(
            " · ".join(part for part in said if part),
            ((left + right) / 2, -13.3),
            2.6,
            room=right - left - 4.0,
        ),
        *(Word(letter, (x, -8.5), 6.0) for letter, x in (("L", left + 6.0), ("R", right - 6.0))),
    ]
    return tiled_pdf(title, _HINT, lines, words, card_tiling(draft, paper))


def card_tiling(draft: Draft, paper: PaperName) -> Tiling:
    """Return the pages of the end-view card."""
    support = draft.support
    points = [*card_outline(support), *(p for half in support.halves for p in _book(support, half))]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return tiling(Box(min(xs) - _EDGE, min(ys) - _EDGE, max(xs) + _EDGE, max(ys) + _EDGE), paper)


def card_outline(support: Support) -> tuple[Point, ...]:
    """Return the card's corners, counter-clockwise from the lower left, mm; y = 0 is the table."""
    corners, profile = walk(support.profile).corners, support.profile
    boards = [i for i, panel in enumerate(profile.panels) if panel.part == "board"]
    deck = [corner for i in boards for corner in corners[i : i + 2]]
    return (Point(deck[0].x, -FOOT), Point(deck[-1].x, -FOOT), *reversed(deck))


def _book(support: Support, half: Half) -> tuple[Point, ...]:
    """Return the underside of one board, from joint to fore edge, and its thickness there."""
    return underside(support, half)


def card_drawing(draft: Draft) -> Drawing:
    """Return the card as a sheet, to cut it from card on the same machine: outline and letters."""
    support, number = draft.support, draft.slip.book.number
    outline = card_outline(support)
    dx, dy = 10.0 - outline[0].x, 10.0 - outline[0].y
    width = outline[1].x - outline[0].x
    high = max(p.y for p in outline) + FOOT
    size = min(5.0, (width - 24.0) / text_width(number, 1.0))
    strokes = [
        Stroke(
            Role.GUIDE, "table line", open_path((outline[0].x + 1, 0.0), (outline[1].x - 1, 0.0))
        )
    ]
    texts = [("L", (outline[0].x + 3.0, -10.0), 5.0), ("R", (outline[1].x - 7.0, -10.0), 5.0)]
    if size >= 0.7:
        texts.append((number, (-text_width(number, size) / 2, -10.0), size))
    for text, at, tall in texts:
        strokes += [Stroke(Role.LABEL, f"label {text}", p) for p in text_strokes(text, at, tall)]
    strokes.append(Stroke(Role.OUTLINE, "outline", closed_path(*outline)))
    return Drawing(
        title=f"{number}, end-view card",
        width=width + 20.0,
        height=high + 20.0,
        piece=(width, high),
        strokes=tuple(s.along(shift(s.path, dx, dy)) for s in strokes),
        notes=(),
        facts=tuple(
            ("view", "end view from the tail")
            if name == "view"
            else ("material", "card")
            if name == "material"
            else (name, value)
            for name, value in draft.pattern.facts
            if name not in ("gauge", "layers")
        ),
    )
