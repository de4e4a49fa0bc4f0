"""Lays one pattern on a sheet of its own, with marks and the 100 mm check line around it."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from cutfiles.bench.book import Book
from cutfiles.film.drawing import Drawing
from cutfiles.film.register import crosses
from cutfiles.pattern.lettering import drawable, text_width
from cutfiles.pattern.pattern import Note, Pattern, Role, Stroke
from cutfiles.plane.moves import quarter_turn, shift
from cutfiles.plane.shapes import Point, open_path

MARGIN = 10.0
"""Waste around the piece, mm: room for the marks."""
APART = 5.0
"""Between a strip and its posts, mm."""
CHECK_LENGTH = 100.0
"""Length of the check line, mm."""
LEAST_WIDTH = 140.0
"""A sheet is no narrower, mm: the check line must fit between the crosses."""


def lay(pattern: Pattern, book: Book) -> Drawing:
    """Return a sheet with one pattern, its lower left corner `MARGIN` from the sheet's."""
    width = max(pattern.box.width + 2 * MARGIN, LEAST_WIDTH)
    rows = post_rows(pattern.posts, width - 2 * MARGIN)
    height = pattern.box.height + 2 * MARGIN + rows.height
    placed = [
        replace(stroke, path=shift(stroke.path, MARGIN, MARGIN)) for stroke in pattern.strokes
    ]
    for post, x, y in rows.placed:
        corner = (MARGIN + x, MARGIN + pattern.box.height + y)
        placed += [
            replace(one, path=shift(quarter_turn(one.path, post.box.height), *corner))
            for one in post.strokes
        ]
    strokes = [*check_line(MARGIN), *placed, *crosses(width, height, MARGIN)]
    order = list(Role)
    notes = [
        Note(note.text, Point(note.at.x + MARGIN, note.at.y + MARGIN), note.height, note.upright)
        for note in pattern.notes
    ]
    return Drawing(
        title=" · ".join(part for part in (book.number, book.title) if part),
        width=width,
        height=height,
        piece=(pattern.box.width, pattern.box.height),
        strokes=tuple(sorted(strokes, key=lambda stroke: order.index(stroke.role))),
        notes=(*notes, _statement(pattern, width, height), *_check_note()),
        facts=pattern.facts,
    )


class PostRows(NamedTuple):
    """Posts laid in rows above a strip, each turned a quarter.

    Attributes:
        placed: each with the place of its lower left corner, mm from the strip's upper left one.
        height: of all rows and the gaps below them, mm.

    """

    placed: tuple[tuple[Pattern, float, float], ...]
    height: float


def post_rows(posts: Sequence[Pattern], width: float) -> PostRows:
    """Return where the posts of a support lie above its strip, in rows no wider than `width` mm."""
    placed, x, y, tall = [], 0.0, APART, 0.0
    for post in posts:
        if x > 0 and x + post.box.height > width:
            x, y, tall = 0.0, y + tall + APART, 0.0
        placed.append((post, x, y))
        x += post.box.height + APART
        tall = max(tall, post.box.width)
    return PostRows(tuple(placed), y + tall if posts else 0.0)


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
