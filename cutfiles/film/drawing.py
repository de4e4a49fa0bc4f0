"""A drawing: what one file holds. mm, y up, the lower left corner at (0, 0)."""

from dataclasses import replace
from functools import lru_cache

from cutfiles.dataclass import dataclass
from cutfiles.pattern.lettering import drawable, text_strokes
from cutfiles.pattern.pattern import Note, Role, Stroke
from cutfiles.plane.shapes import Path, Point

BETWEEN = " | "
"""Stands between facts in one note."""
_ROW, _IN, _PITCH, _SMALL = 200, 12.0, 1.5, 1.0
"""Letters of such a note at most, as many texts of R12 hold 255; its place and height, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Film with a pattern placed on it, and marks around it.

    Attributes:
        title: one line for people; any script.
        width: left to right, mm.
        height: bottom to top, mm.
        piece: width and height of the largest piece on it, mm.
        strokes: all lines, in the order of their roles.
        notes: texts for people, on the guide layer.
        facts: what the file states of itself, name and value, in order.
        gauge: thickness of its film, mm; None where it is of no film, or of one unknown.

    """

    title: str
    width: float
    height: float
    piece: tuple[float, float]
    strokes: tuple[Stroke, ...]
    notes: tuple[Note, ...]
    facts: tuple[tuple[str, str], ...]
    gauge: float | None = None

    def of_role(self, role: Role) -> tuple[Stroke, ...]:
        """Return the strokes of one role, in order."""
        return tuple(stroke for stroke in self.strokes if stroke.role is role)


def with_notes_drawn(drawing: Drawing) -> Drawing:
    """Return the drawing with its notes as guide strokes, for formats that are to carry no text."""
    if not drawing.notes:
        return drawing
    drawn = [
        Stroke(Role.GUIDE, f"note {note.text}", path)
        for note in drawing.notes
        for path in _note_strokes(note)
    ]
    guides = drawing.of_role(Role.GUIDE)
    others = tuple(stroke for stroke in drawing.strokes if stroke.role is not Role.GUIDE)
    return replace(drawing, strokes=(*guides, *drawn, *others), notes=())


def with_facts_noted(drawing: Drawing) -> Drawing:
    """Return the drawing with its facts as small notes above it, for formats that else lose them.

    A drawing without guides takes none: nothing but work is in it.
    """
    if not (drawing.notes or drawing.of_role(Role.GUIDE)):
        return drawing
    rows: list[str] = []
    for name, value in drawing.facts:
        said = f"{name}: {value}"
        if rows and len(rows[-1]) + len(said) < _ROW:
            rows[-1] += BETWEEN + said
        else:
            rows.append(said)
    noted = [
        Note(text, Point(_IN, drawing.height - _PITCH * i), _SMALL)
        for i, text in enumerate(rows, start=1)
    ]
    new = [note for note in noted if note not in drawing.notes]
    return replace(drawing, notes=(*drawing.notes, *new)) if new else drawing


def without_guides(drawing: Drawing) -> Drawing:
    """Return the drawing without its guides and notes, for files that only machines read."""
    strokes = tuple(stroke for stroke in drawing.strokes if stroke.role is not Role.GUIDE)
    if len(strokes) == len(drawing.strokes) and not drawing.notes:
        return drawing
    return replace(drawing, strokes=strokes, notes=())


@lru_cache(maxsize=256)  # drawn for the support's file, and for the sheet it lies on
def _strokes_of(text: str, height: float) -> tuple[Path, ...]:
    return text_strokes(drawable(text), (0.0, 0.0), height)


def _note_strokes(note: Note) -> list[Path]:
    at_x, at_y = round(note.at.x, 2), round(note.at.y, 2)  # as letters are: no place is told finer
    drawn = []
    for path in _strokes_of(note.text, note.height):
        if note.upright:
            points = tuple([Point(at_x - y, at_y + x) for x, y in path.points])
        else:
            points = tuple([Point(at_x + x, at_y + y) for x, y in path.points])
        drawn.append(Path(points, path.bulges, path.closed))
    return drawn
