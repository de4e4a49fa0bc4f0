"""Straps cut from the same film: strips with rounded ends, side by side on a sheet of their own."""

from cutfiles.film.drawing import Drawing
from cutfiles.film.lay import MARGIN
from cutfiles.film.register import crosses
from cutfiles.pattern.pattern import Note, Role, Stroke
from cutfiles.pattern.slots import slot
from cutfiles.plane.shapes import Point
from cutfiles.support.standing import Support
from cutfiles.support.straps import straps

APART = 4.0
"""Between two strips, mm."""


def strap_drawing(support: Support, facts: tuple[tuple[str, str], ...]) -> Drawing | None:
    """Return a sheet with a support's straps, None where they are not cut from film.

    Args:
        support: the support.
        facts: of its pattern.

    """
    found = straps(support) if support.choices.straps == "film" else ()
    if not found:
        return None
    number = support.slip.book.number
    longest = max(strap.cut_length for strap in found)
    breadth = sum(strap.width for strap in found) + APART * (len(found) - 1)
    width, height = longest + 2 * MARGIN, breadth + 2 * MARGIN
    strokes, notes, y = [], [], MARGIN
    for strap in found:
        centre = (MARGIN + strap.cut_length / 2, y + strap.width / 2)
        path = slot(centre, strap.cut_length, strap.width)
        strokes.append(Stroke(Role.OUTLINE, f"strap {strap.side}", path))
        text = f"strap {strap.side} {strap.width:g} x {strap.cut_length:g}"
        notes.append(Note(text, Point(MARGIN + strap.width, centre[1] - 1.0), 2.0))
        y += strap.width + APART
    return Drawing(
        title=f"{number}, straps",
        width=width,
        height=height,
        piece=(longest, breadth),
        strokes=(*crosses(width, height, MARGIN), *strokes),
        notes=tuple(notes),
        facts=tuple((k, "straps, either face") if k == "view" else (k, v) for k, v in facts),
        gauge=support.film.gauge,
    )
