"""Guides for people, never machined: where tape goes, and what the panels are called."""

from cutfiles.pattern.lettering import text_width
from cutfiles.pattern.pattern import Band, Note, Role, Stroke
from cutfiles.plane.shapes import Box, Point, rectangle
from cutfiles.support.contacts import Tape
from cutfiles.support.profile import Panel
from cutfiles.support.standing import Support

_TALLEST, _LEAST = 3.0, 1.0
"""Between these stands the height of a note, mm; a panel with less room has none."""
NOTE_ROOM = 7.0
"""Height below the head edge that panel names take up, mm: in one layer labels keep below it."""


def tape_guide(
    support: Support, tape: Tape, band: Band, span: tuple[float, float], edge: float = 0.0
) -> Stroke:
    """Return where one tape goes.

    In three layers it lies on the outer flap, which is turned under: there the book face lies where
    the table face does in one layer.

    Args:
        support: the support.
        tape: which one.
        band: the band on which it lies.
        span: where its panel begins and ends on that band, mm.
        edge: how far its panel ends inside the band, mm: it is narrow, or its edge is set back.

    """
    inset, (left, right) = support.choices.tape_inset + edge, span
    near, far = left + tape.clear, left + tape.clear + tape.width
    if tape.end == "right":
        near, far = right - tape.clear - tape.width, right - tape.clear
    box = Box(near, band.box.bottom + inset, far, band.box.top - inset)
    turned = "book" if tape.face == "table" else "table"
    face = turned if band.layer else tape.face
    place = tape.panel.removesuffix(" tab")
    name, path = f"tape {place}, on the {face} face", rectangle(box)
    return Stroke(Role.GUIDE, name, path, "tape", tape.panel, band.name, face)


def panel_notes(
    panels: tuple[Panel, ...], spans: tuple[tuple[float, float], ...], band: Band
) -> tuple[Note, ...]:
    """Return a note a panel: its name and length, near the band's upper edge.

    In three layers they stand on the inner flap, where there are no labels. A note is written
    upright where its panel is narrow, and none where nobody could read it.

    Args:
        panels: from the left end of the strip to the right one.
        spans: left end and right end of each panel, mm.
        band: the band they are written on.

    """
    notes = []
    for panel, (left, right) in zip(panels, spans, strict=True):
        text = f"{panel.name} {right - left:.1f}"
        room, depth = right - left - 2.0, band.box.height / 5
        level = min(_TALLEST, room / text_width(text, 1.0))
        standing = min(_TALLEST, room / 1.5, depth / text_width(text, 1.0))
        if max(level, standing) < _LEAST:
            continue
        if level >= standing:
            width = text_width(text, level)
            at = _near((left + right - width) / 2, band.box.top - 3.0 - level)
            notes.append(Note(text, at, level))
        else:
            width = text_width(text, standing)
            at = _near((left + right + standing) / 2, band.box.top - 3.0 - width)
            notes.append(Note(text, at, standing, upright=True))
    return tuple(notes)


def _near(x: float, y: float) -> Point:
    """Return a place for a text, to 0.01 mm: nothing has to meet it, and files are shorter."""
    return Point(round(x, 2), round(y, 2))
