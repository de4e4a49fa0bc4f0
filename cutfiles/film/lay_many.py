"""Lays many patterns on one sheet where a layout says, with marks, check line, piece numbers."""

from collections.abc import Sequence
from dataclasses import replace

from cutfiles.bench.film import MATERIAL, Film
from cutfiles.dataclass import dataclass
from cutfiles.film.drawing import Drawing
from cutfiles.film.lay import check_line
from cutfiles.film.register import crosses
from cutfiles.pattern.facts import PROGRAM
from cutfiles.pattern.lettering import drawable, text_width
from cutfiles.pattern.pattern import Note, Pattern, Role
from cutfiles.plane.moves import quarter_turn, shift
from cutfiles.plane.shapes import Path, Point
from cutfiles.version import VERSION

_NOTE = 1.6
"""Height of the note that tells which piece this is, mm: it stays under the labels."""


@dataclass(frozen=True, slots=True)
class Placement:
    """One pattern on a sheet.

    Attributes:
        pattern: what lies there.
        left: its left edge, mm.
        bottom: its lower edge, mm.
        turned: whether it is turned a quarter counter-clockwise.

    """

    pattern: Pattern
    left: float
    bottom: float
    turned: bool = False

    @property
    def size(self) -> tuple[float, float]:
        """Width and height as it lies, mm."""
        box = self.pattern.box
        return (box.height, box.width) if self.turned else (box.width, box.height)

    def path(self, path: Path) -> Path:
        """Return a path of the pattern where it lies on the sheet."""
        if self.turned:
            return shift(quarter_turn(path, self.pattern.box.height), self.left, self.bottom)
        return shift(path, self.left, self.bottom)

    def note(self, note: Note) -> Note:
        """Return a note of the pattern where it lies; turned, it still reads upright."""
        x, y = note.at
        if not self.turned:
            return Note(note.text, Point(self.left + x, self.bottom + y), note.height, note.upright)
        right = self.left + self.pattern.box.height
        if not note.upright:
            return Note(note.text, Point(right - y, self.bottom + x), note.height, upright=True)
        width = text_width(drawable(note.text), note.height)
        at = Point(right - y - width, self.bottom + x - note.height)
        return Note(note.text, at, note.height)


def lay_many(
    number: str,
    title: str,
    gauge: float,
    size: tuple[float, float],
    margin: float,
    placements: Sequence[Placement],
) -> Drawing:
    """Return a sheet with several patterns.

    Args:
        number: of the sheet.
        title: one line for people.
        gauge: of the film, mm.
        size: width and height, mm.
        margin: in which the marks stand, mm.
        placements: which patterns lie where.

    """
    width, height = size
    placed = [
        replace(stroke, name=f"{number_of(place)}: {stroke.name}", path=place.path(stroke.path))
        for place in placements
        for stroke in place.pattern.strokes
    ]
    strokes = [*check_line(margin), *placed, *crosses(width, height, margin)]
    order = {role: rank for rank, role in enumerate(Role)}
    notes = [place.note(note) for place in placements for note in place.pattern.notes]
    notes += [_piece_note(i, place) for i, place in enumerate(placements, start=1)]
    facts = _facts(number, Film(gauge=gauge).gauge_text, placements)
    notes.append(_statement(facts, width, height, margin))
    notes.append(Note("100 mm", Point(margin + 107.0, margin / 2 - 1.0), 2.0))
    return Drawing(
        title=title,
        width=width,
        height=height,
        piece=(width, height),
        strokes=tuple(sorted(strokes, key=lambda stroke: order[stroke.role])),
        notes=tuple(notes),
        facts=facts,
        gauge=gauge,
    )


def number_of(place: Placement) -> str:
    """Return the number of the support that lies there."""
    return place.pattern.number


def called(pattern: Pattern) -> str:
    """Return what a piece is called: its support's number, and which post it is, if one."""
    return f"{pattern.number}, {pattern.name}" if pattern.name else pattern.number


def _piece_note(i: int, place: Placement) -> Note:
    """Return the layout's map in place: which piece this is, in its lower left corner."""
    width = place.size[0] - 8.0
    turned = ", turned" if place.turned else ""
    text = drawable(f"piece {i}: {called(place.pattern)}{turned}")
    size = min(_NOTE, width / text_width(text, 1.0))
    return Note(text, Point(place.left + 4.0, place.bottom + 0.4), size)


def _facts(number: str, gauge: str, placements: Sequence[Placement]) -> tuple[tuple[str, str], ...]:
    pieces = []
    for i, place in enumerate(placements, start=1):
        across, up = place.size
        turned = ", turned a quarter" if place.turned else ""
        pieces.append(
            (
                f"piece {i}",
                f"{called(place.pattern)}, {across:.2f} x {up:.2f} mm at {place.left:.2f}, "
                f"{place.bottom:.2f} mm{turned}",
            )
        )
    return (
        ("number", number),
        ("unit", "mm"),
        ("view", "book face up"),
        ("material", MATERIAL),
        ("gauge", gauge),
        *pieces,
        (PROGRAM, f"cutfiles {VERSION}"),
    )


def _statement(
    facts: tuple[tuple[str, str], ...], width: float, height: float, margin: float
) -> Note:
    said = dict(facts)
    text = drawable(f"{said['number']}, unit mm, {said['view']}, {said['gauge']} polyester film")
    left = width / 4 + margin
    size = min(2.0, (width - left - 2.0) / text_width(text, 1.0))
    return Note(text, Point(left, height - margin / 2 - size / 2), size)
