"""The pattern lying flat: panels named, creases numbered, valley and mountain by line style."""

import math
from collections.abc import Callable

from cutfiles.bench.film import Machine
from cutfiles.lengths import Lengths
from cutfiles.pattern.pattern import COLOURS, Pattern, Role
from cutfiles.plane.measure import chords
from cutfiles.report.pictures.canvas import BOLD_ACROSS, INK, LETTER, SOFT, Canvas, Place, lines_of
from cutfiles.report.pictures.spread import spread
from cutfiles.support.standing import Support
from cutfiles.support.steps import LONG_LETTERS
from cutfiles.support.verdict import Verdict, assess
from cutfiles.words.bench import heading_text, panel_text, where_text
from cutfiles.words.cautions import cautions
from cutfiles.words.verdict import short_sentence

_LEFT, _TOP, _ROOM = 22.0, 52.0, (180.0, 110.0)
_COLUMN = 236.0
_BROAD, _TABLE, _ROWS, _BESIDE = 230.0, 165.0, 6, 76.0
"""Drawn over the whole page: how broad, mm; where the table begins; its rows, and each column."""
_INCHES = 14.0
"""So much wider are lengths with inches beside them, mm."""
_POSTS = 194.0
"""Posts stand on this line, side by side, mm."""
_TEXT = 2.7

DASHES = {Role.VALLEY: "3 1.5", Role.MOUNTAIN: "5 1 1 1 1 1", Role.GUIDE: "0.8 0.8"}
_NAMES = {
    Role.OUTLINE: "cut",
    Role.VALLEY: "valley, towards the book",
    Role.MOUNTAIN: "mountain, away from it",
    Role.LABEL: "label",
    Role.GUIDE: "tape, on the face that",
}


def flat_picture(
    pattern: Pattern, support: Support, verdict: Verdict | None = None, machine: Machine = "knife"
) -> bytes:
    """Return the pattern as SVG, on an A4 page in landscape, with verdict and caution.

    Args:
        pattern: what lies flat.
        support: what it folds up to.
        verdict: on the support, if it is known already.
        machine: what it is to be cut with.

    """
    return _Picture(pattern, support, verdict or assess(support), machine).draw()


class _Picture:
    def __init__(
        self, pattern: Pattern, support: Support, verdict: Verdict, machine: Machine
    ) -> None:
        self.pattern, self.support = pattern, support
        self.verdict, self.machine = verdict, machine
        self.wider = _INCHES if support.slip.units == "in" else 0.0
        self.names = [
            f"{panel_text(panel)} {self._length(panel.length)}" for panel in pattern.panels
        ]
        self.heading = heading_text(support.slip.book)
        self.page = Canvas(f"{self.heading}, flat", "the pattern, book face up, head up")
        self.top = _TOP + self._head()
        self._room()

    def _room(self) -> None:
        """Lay out the page: the tables beside the drawing, or below where it is larger so."""
        box = self.pattern.box
        self.under = 10.0 + LETTER * _TEXT * max(map(len, self.names))
        high = _POSTS - 22.0 - self.under - self.top if self.pattern.posts else _ROOM[1]
        beside = min((_ROOM[0] - 1.7 * self.wider) / box.width, high / box.height)
        high = _TABLE - 6.0 - self.under - self.top
        whole = not self.pattern.posts and not self.pattern.long_folds
        below = min(_BROAD / box.width, high / box.height) if whole else 0.0
        self.below = below > beside
        self.broad = _BROAD if self.below else _ROOM[0]
        self.scale = min(max(beside, below), 1.0)
        self.bottom = self.top + box.height * self.scale

    def draw(self) -> bytes:
        self._strokes(self.pattern, self._at)
        self._posts()
        self._numbers()
        self._panels()
        self._bands()
        self._table()
        self._legend()
        self._beware()
        return self.page.svg()

    def _strokes(self, piece: Pattern, at: Callable[[Place], Place]) -> None:
        for stroke in piece.strokes:
            places = [at(p) for p in chords(stroke.path, 0.05)]
            self._line(places, stroke.role, closed=stroke.path.closed)

    def _line(self, places: list[Place], role: Role, *, closed: bool = False) -> None:
        """Draw a line as its role looks, in the drawing and in the key."""
        self.page.line(
            places,
            colour=SOFT if role is Role.GUIDE else COLOURS[role],
            width=0.45 if role in (Role.OUTLINE, Role.VALLEY, Role.MOUNTAIN) else 0.18,
            dashes=DASHES.get(role, ""),
            closed=closed,
        )

    def _posts(self) -> None:
        """Draw the posts side by side below the panels' names, each a piece of its own."""
        posts = self.pattern.posts
        if not posts:
            return
        bottom, room = _POSTS, _POSTS - (self.bottom + self.under)
        tallest = max(post.box.height for post in posts)
        scale = max(0.05, min(self.scale, (room - 5.0) / tallest))
        x = _LEFT
        for post in posts:

            def at(place: Place, left: float = x) -> Place:
                return (left + place[0] * scale, bottom - place[1] * scale)

            self._strokes(post, at)
            x += post.box.width * scale + 4.0
        sizes = dict.fromkeys((post.name.rpartition(" ")[0], post.box.height) for post in posts)
        said = ", ".join(f"{leg} {self._length(height)}" for leg, height in sizes)
        width = self._length(posts[0].box.width)
        self.page.text(
            (x + 2.0, bottom - 1.0),
            f"{len(posts)} posts, outer face up, {width} broad: {said} high",
            size=_TEXT,
        )

    def _at(self, place: Place) -> Place:
        return (_LEFT + place[0] * self.scale, self.bottom - place[1] * self.scale)

    def _length(self, mm: float) -> str:
        return Lengths(self.support.slip.units).short(mm)

    def _head(self) -> float:
        """Write what stands above the drawing; return how much deeper than usual it reaches, mm."""
        slip, box = self.support.slip, self.pattern.box
        self.page.head(self.heading, where_text(slip), self.verdict.state)
        deeper = self.page.told(
            f"flat, book face up, head up · piece {self._length(box.width)} × "
            f"{self._length(box.height)} mm · polyester film {self.support.film.gauge_text} · "
            "not to be measured: for the size see the numbers",
            short_sentence(self.verdict, slip),
            _TEXT,
        )
        x, y = 10.0, _TOP + deeper + 14
        self.page.line([(x, y), (x, y - 10)], width=0.4)
        self.page.line([(x - 1.5, y - 7.5), (x, y - 10), (x + 1.5, y - 7.5)], width=0.4)
        self.page.text((x, y + 4), "head", size=_TEXT, anchor="middle")
        return deeper

    def _numbers(self) -> None:
        """Number the creases above the head edge, and letter the long folds at the left."""
        places = [self._at((crease.position, 0))[0] for crease in self.pattern.creases]
        moved = spread(places, 6.5, _LEFT - 4, _LEFT + self.broad + 8)
        for x, label in zip(places, moved, strict=True):
            self.page.line([(x, self.top - 1), (label, self.top - 6)], width=0.15, colour=SOFT)
        rings = [
            ((label, self.top - 9), crease.letter)
            for crease, label in zip(self.pattern.creases, moved, strict=True)
        ]
        folds = sorted(self._at((0, y))[1] for y in self.pattern.long_folds)
        apart = spread(folds, 6.5, self.top - 5, self.top + _ROOM[1])
        for letter, y, label in zip(tuple(LONG_LETTERS.values())[::-1], folds, apart, strict=False):
            self.page.line([(_LEFT - 1, y), (_LEFT - 3, label)], width=0.15, colour=SOFT)
            rings.append(((_LEFT - 6, label), letter))
        self.page.rings(2.8, rings)

    def _panels(self) -> None:
        """Name the panels below the tail edge, with their lengths."""
        middles = [
            self._at((sum(self.pattern.span(panel.name)) / 2, 0))[0]
            for panel in self.pattern.panels
        ]
        moved = spread(middles, 4.5, _LEFT - 6, _LEFT + self.broad + 10)
        for middle, label in zip(middles, moved, strict=True):
            self.page.line(
                [(middle, self.bottom + 1), (label, self.bottom + 6)], width=0.15, colour=SOFT
            )
        for name, label in zip(self.names, moved, strict=True):
            at = (label + 1.0, self.bottom + 7.5)
            self.page.text(at, name, size=_TEXT, anchor="end", upright=True)

    def _bands(self) -> None:
        """Dimension the thirds, or the breadth, at the right."""
        x = _LEFT + self.pattern.box.width * self.scale + 5
        bands = self.pattern.bands[::-1]
        ends = [
            (self._at((0, band.box.bottom))[1], self._at((0, band.box.top))[1]) for band in bands
        ]
        self.page.dimensions([((x, low - 0.3), (x, high + 0.3)) for low, high in ends])
        middles = [(low + high) / 2 for low, high in ends]
        labels = spread(middles, 3.6, self.top - 5, self.top + _ROOM[1])
        for band, y in zip(bands, labels, strict=True):
            name = band.name if len(bands) > 1 else "breadth"
            self.page.text((x + 2, y + 1), f"{name} {self._length(band.box.height)}", size=_TEXT)

    def _table(self) -> None:
        """Write the table of creases, and after it where the key begins."""
        x, y = (_LEFT, _TABLE) if self.below else (_COLUMN - 0.5 * self.wider, self.top - 9.0)
        rows = [
            (c.letter, self._length(c.position), f"{math.degrees(abs(c.angle)):.1f}°", c.direction)
            for c in self.pattern.creases
        ]
        if self.pattern.long_folds:
            names = ("inner flap", "outer flap")
            letters = zip(LONG_LETTERS.values(), names, strict=True)
            rows += [(letter, name, "180°", "mountain") for letter, name in letters]
        most = _ROWS if self.below else len(rows)
        self.page.text((x, y), "creases, from the left end", size=_TEXT, bold=True)
        for i, row in enumerate(rows):
            column, down = divmod(i, most)
            self._row(x + (_BESIDE + self.wider) * column, y + 4.6 * (down + 1), row)
        if self.below:
            self.key = (x + (_BESIDE + self.wider) * (1 + (len(rows) - 1) // most), y)
        else:
            self.key = (x, y + 4.6 * len(rows) + 5.5)

    def _row(self, x: float, y: float, row: tuple[str, str, str, str]) -> None:
        letter, place, degrees, direction = row
        right = x + 35 + self.wider
        self.page.text((x + 4, y), letter, size=_TEXT, anchor="end")
        self.page.text((right - 13, y), place, size=_TEXT, anchor="end")
        self.page.text((right, y), degrees, size=_TEXT, anchor="end")
        self.page.text((right + 2, y), direction, size=_TEXT)

    def _reading_hints(self) -> tuple[str, ...]:
        if not self.pattern.long_folds:
            return ("as seen from the book face",)
        return (
            "as seen from the book face; the",
            "flaps go under, A first, so their",
            "creases are drawn reversed",
        )

    def _legend(self) -> None:
        x, y = self.key
        for line in self._reading_hints():
            self.page.text((x, y), line, size=2.5, colour=SOFT)
            y += 3.6
        y += 4
        for role, name in _NAMES.items():
            self._line([(x, y - 1), (x + 13, y - 1)], role)
            self.page.text((x + 15, y), name, size=2.5, colour=INK)
            y += 4.4
        met = {tape.to for tape in self.support.contacts.tapes}
        alone = ("meets the spine panel's", "underside")
        for line in alone if met == {"spine"} else ("meets what the standing", "picture names"):
            self.page.text((x + 15, y - 0.9), line, size=2.5, colour=INK)
            y += 3.5
        faces = {f"{s.face} face" for s in self.pattern.strokes if s.use == "tape"}
        for face in sorted(faces):
            self.page.text((x + 15, y - 0.9), f"({face} of the film)", size=2.5, colour=INK)

    def _beware(self) -> None:
        """Tell at the foot what to beware of with the machine."""
        text = next(
            o.text for o in cautions(self.support.slip, self.machine) if o.rule == self.machine
        )
        for i, line in enumerate(reversed(lines_of(text, BOLD_ACROSS, _TEXT))):
            self.page.text((15, 207 - 3.4 * i), line, size=_TEXT, bold=True)
