"""Guides for people, never machined: where tape goes, and what the panels are called."""

from cutfiles.bench.slip import SideName
from cutfiles.pattern.lettering import text_width
from cutfiles.pattern.pattern import Band, Note, Role, Stroke
from cutfiles.plane.shapes import Box, Point, rectangle
from cutfiles.support.cradle import Support

_TALLEST = 3.0
NOTE_ROOM = 7.0
"""Height below the head edge that panel names take up, mm: in one layer labels keep below it."""


def tape_guide(support: Support, side: SideName, band: Band, tip: float) -> Stroke:
    """Return where tape goes on one tab.

    The tape lies on the face that will touch the underside of the spine panel: in three layers
    the book face of the outer flap, which is turned under; in one layer the table face of the tab.

    Args:
        support: the support.
        side: whose tab.
        band: the band that touches the spine panel.
        tip: x of the tab's free end on that band, mm.

    """
    inset = support.choices.tape_inset
    clear, width = support.tape_place(side)
    near, far = (tip + clear, tip + clear + width)
    if side == "right":
        near, far = (tip - clear - width, tip - clear)
    box = Box(near, band.box.bottom + inset, far, band.box.top - inset)
    face = "table face" if band.layer == 0 else "book face"
    return Stroke(Role.GUIDE, f"tape {side}, on the {face}", rectangle(box))


def panel_notes(names: tuple[tuple[str, float, float], ...], band: Band) -> tuple[Note, ...]:
    """Return a note a panel: its name and length, near the band's upper edge.

    In three layers they stand on the inner flap, where there are no labels. A note is written
    upright where its panel is narrow.

    Args:
        names: name, left end and right end of each panel, mm.
        band: the band they are written on.

    """
    notes = []
    for name, left, right in names:
        text = f"{name} {right - left:.1f}"
        room, depth = right - left - 2.0, band.box.height / 5
        level = min(_TALLEST, room / text_width(text, 1.0))
        standing = min(_TALLEST, room / 1.5, depth / text_width(text, 1.0))
        if level >= standing:
            width = text_width(text, level)
            at = Point((left + right - width) / 2, band.box.top - 3.0 - level)
            notes.append(Note(text, at, level))
        elif standing > 0:
            width = text_width(text, standing)
            at = Point((left + right + standing) / 2, band.box.top - 3.0 - width)
            notes.append(Note(text, at, standing, upright=True))
    return tuple(notes)
