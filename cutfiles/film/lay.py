"""Lays one pattern on a sheet of its own, with marks and the 100 mm check line around it."""

from dataclasses import replace

from cutfiles.bench.book import Book
from cutfiles.film.drawing import Drawing
from cutfiles.film.register import crosses
from cutfiles.pattern.coupons import Coupon, strokes_of
from cutfiles.pattern.lettering import drawable, text_width
from cutfiles.pattern.pattern import Note, Pattern, Role, Stroke, by_role
from cutfiles.plane.moves import quarter_turn, shift
from cutfiles.plane.shapes import Box, Point, open_path
from cutfiles.words.bench import heading_text

MARGIN = 10.0
"""Waste around the piece, mm: room for the marks."""
APART = 5.0
"""Between a strip and its posts, mm."""
CHECK_LENGTH = 100.0
"""Length of the check line, mm."""
LEAST_WIDTH = 140.0
"""A sheet is no narrower, mm: the check line must fit between the crosses."""


def lay(pattern: Pattern, book: Book, gauge: float) -> Drawing:
    """Return a drawing with one pattern, its lower left corner `MARGIN` from the drawing's.

    Args:
        pattern: with its posts.
        book: what it is for.
        gauge: of the film, mm.

    """
    own, box = with_posts(pattern)
    title = heading_text(book)
    filled = Box(box.left, box.bottom, pattern.box.width, box.top)
    return replace(_laid(title, pattern, own, filled), gauge=gauge)


def lay_coupon(coupon: Coupon) -> Drawing:
    """Return a drawing with the pieces of a coupon."""
    own, box = strokes_of(coupon)
    return replace(_laid(coupon.number, coupon.pieces[0], own, box), gauge=coupon.film.gauge)


def _laid(title: str, pattern: Pattern, own: tuple[Stroke, ...], box: Box) -> Drawing:
    """Return a drawing with strokes that fill a box; notes and facts are the pattern's."""
    width = max(box.width + 2 * MARGIN, LEAST_WIDTH)
    height = box.height + 2 * MARGIN
    placed = [stroke.along(shift(stroke.path, MARGIN, MARGIN)) for stroke in own]
    strokes = [*check_line(MARGIN), *placed, *crosses(width, height, MARGIN)]
    notes = [
        Note(note.text, Point(note.at.x + MARGIN, note.at.y + MARGIN), note.height, note.upright)
        for note in pattern.notes
    ]
    return Drawing(
        title=title,
        width=width,
        height=height,
        piece=(pattern.box.width, pattern.box.height),
        strokes=by_role(strokes),
        notes=(*notes, _statement(pattern, width, height), *_check_note()),
        facts=pattern.facts,
    )


def with_posts(pattern: Pattern) -> tuple[tuple[Stroke, ...], Box]:
    """Return the strokes of a strip with its posts above it, and what they cover together.

    Posts lie in rows no longer than the strip, each turned a quarter.
    """
    strokes, box = list(pattern.strokes), pattern.box
    x, y, top = 0.0, box.top + APART, box.top
    for post in pattern.posts:
        long, broad = post.box.height, post.box.width
        if x > 0 and x + long > box.right:
            x, y = 0.0, top + APART
        strokes += [one.along(shift(quarter_turn(one.path, long), x, y)) for one in post.strokes]
        x, top = x + long + APART, max(top, y + broad)
    return tuple(strokes), Box(box.left, box.bottom, box.right, top)


def check_line(margin: float) -> tuple[Stroke, ...]:
    """Return a line of 100 mm with a tick at each end, in the lower margin (mm) of a sheet."""
    left, y = margin + 5.0, margin / 2
    right = left + CHECK_LENGTH
    lines = {
        "check line 100 mm": open_path((left, y), (right, y)),
        "check line, left tick": open_path((left, y - 1.5), (left, y + 1.5)),
        "check line, right tick": open_path((right, y - 1.5), (right, y + 1.5)),
    }
    return tuple(Stroke(Role.GUIDE, name, path) for name, path in lines.items())


def _check_note() -> tuple[Note, ...]:
    return (Note("100 mm", Point(MARGIN + CHECK_LENGTH + 7.0, MARGIN / 2 - 1.0), 2.0),)


def _statement(pattern: Pattern, width: float, height: float) -> Note:
    """Return the line in the upper margin: number, unit, view, film."""
    facts = dict(pattern.facts)
    parts = (
        pattern.number,
        "unit mm",
        facts["view"],
        f"{facts['gauge']} polyester film",
        f"layers {facts['layers']}",
    )
    text = drawable(", ".join(parts))
    left = width / 4 + MARGIN
    size = min(2.0, (width - left - 2.0) / text_width(text, 1.0))
    return Note(text, Point(left, height - MARGIN / 2 - size / 2), size)
