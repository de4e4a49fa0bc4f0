"""The edits of a drawing on the film as designed: grey the film, numbered what was done to it."""

from collections.abc import Callable, Sequence

from cutfiles.edits.edit import Edit, State
from cutfiles.edits.told import edit_told, numbered, state_told
from cutfiles.pattern.pattern import Pattern, Role
from cutfiles.plane.measure import box_of, chords
from cutfiles.plane.shapes import rectangle
from cutfiles.report.pictures.canvas import PALE, SOFT, WHITE, Canvas, Place, fitted, lines_of
from cutfiles.report.pictures.flat import DASHES

GENERATOR = "the edits of a drawing, by cutfiles"
"""What the picture says of itself: by it the next run knows it for ours."""
_INKS: dict[State, str] = {
    "harmless": "#009E73",
    "look at it": "#E69F00",
    "breaks the support": "#D55E00",
}
"""Okabe and Ito's colours; a state is told by its dashes and its words too."""
_DASHES: dict[State, str] = {"harmless": "", "look at it": "2 1", "breaks the support": "0.6 0.6"}
_LEFT, _TOP, _ROOM = 15.0, 34.0, (267.0, 92.0)
_TEXT, _SMALL = 2.7, 2.5
_LINE, _WIDTH, _END = 3.5, 262.0, 206.0
"""Lines of the sentences: how far apart, how wide, and where the last may begin, mm."""
Placing = Callable[[Place], Place]
"""From a place of the pattern, mm, to one of the page."""


def edits_picture(
    pattern: Pattern, edits: Sequence[Edit], heading: str, *, listed: bool = True
) -> bytes:
    """Return the picture as SVG, on an A4 page in landscape.

    Args:
        pattern: as designed.
        edits: found in a drawing of it.
        heading: number, title, file.
        listed: whether the sentences stand below the film.

    """
    page = Canvas(f"{heading}, edits", GENERATOR)
    around = box_of([rectangle(pattern.box), *(path for edit in edits for path in edit.paths)])
    scale = min(_ROOM[0] / around.width, _ROOM[1] / around.height, 1.0)
    bottom = _TOP + around.height * scale

    def at(place: Place) -> Place:
        return (
            _LEFT + (place[0] - around.left) * scale,
            bottom - (place[1] - around.bottom) * scale,
        )

    page.text((15, 17), fitted(heading, 250, 6), size=6, bold=True)
    page.text((15, 24), "film as designed grey, book face up, head up; edits by number", size=_TEXT)
    _film(page, pattern, at)
    for number, edit in numbered(edits):
        _edit(page, number, edit, at)
    if listed:
        _list(page, edits, bottom + 9.0)
    return page.svg()


def _film(page: Canvas, pattern: Pattern, at: Placing) -> None:
    """Draw the pattern in greys."""
    for stroke in pattern.strokes:
        if stroke.role is Role.OUTLINE:
            places = [at(p) for p in chords(stroke.path, 0.05)]
            page.line(places, colour=SOFT, width=0.2, fill=PALE, closed=True)
    for stroke in pattern.strokes:
        if stroke.role is not Role.OUTLINE:
            places = [at(p) for p in chords(stroke.path, 0.05)]
            page.line(
                places,
                colour=SOFT,
                width=0.15,
                dashes=DASHES.get(stroke.role, ""),
                fill=WHITE if stroke.role is Role.HOLES else "none",
                closed=stroke.path.closed,
            )


def _edit(page: Canvas, number: int, edit: Edit, at: Placing) -> None:
    """Draw an edit's lines in the ink of its state, its number beside."""
    for path in edit.paths:
        places = [at(p) for p in chords(path, 0.05)]
        page.line(
            places,
            colour=_INKS[edit.state],
            width=0.6,
            dashes=_DASHES[edit.state],
            closed=path.closed,
        )
    if edit.at is not None and edit.paths:
        x, y = at((edit.at.x + edit.size[0] / 2, edit.at.y + edit.size[1] / 2))
        page.rings(2.6, [((min(290.0, x + 3.5), y - 3.5), str(number))])


def _list(page: Canvas, edits: Sequence[Edit], y: float) -> None:
    """Write the sentences below the film, the state first, as many as the page has room for."""
    if not edits:
        page.text((15, y), "nothing was changed", size=_TEXT)
    for number, edit in numbered(edits):
        said = f"{number}  {state_told(edit)}: {edit_told(edit)}"
        lines = [fitted(line, _WIDTH, _SMALL) for line in lines_of(said, _WIDTH, _SMALL)]
        if y + _LINE * len(lines) > _END:
            page.text((25, y), f"and {len(edits) - number + 1} more", size=_SMALL)
            return
        page.line(
            [(15, y - 1), (23, y - 1)],
            colour=_INKS[edit.state],
            width=0.6,
            dashes=_DASHES[edit.state],
        )
        for line in lines:
            page.text((25, y), line, size=_SMALL)
            y += _LINE
        y += _LINE / 4
