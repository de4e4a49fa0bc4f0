"""The end view to scale: the book on its support, seen from the tail, with what to check."""

import math

from cutfiles.bench.book import Board
from cutfiles.bench.slip import SideName
from cutfiles.report.pictures.block import block_end
from cutfiles.report.pictures.canvas import (
    BAND,
    PALE,
    SOFT,
    WIDTH,
    Anchor,
    Canvas,
    Place,
    fitted,
    fitting,
)
from cutfiles.support.cradle import SIDES, Support
from cutfiles.support.profile import walk
from cutfiles.support.tolerance import slope_error
from cutfiles.support.verdict import Verdict, assess
from cutfiles.units import MM_PER_INCH
from cutfiles.words.cautions import cautions
from cutfiles.words.verdict import proof_text, sentence

SCALES = (5.0, 4.0, 3.0, 2.0, 1.5, 1.0, 1 / 1.5, 1 / 2, 1 / 2.5, 1 / 3, 1 / 4, 1 / 5, 1 / 10)
_ROOM = (150.0, 101.0)
_TABLE_Y = 151.0
_TEXT = 3.0


def standing_picture(support: Support, verdict: Verdict | None = None) -> bytes:
    """Return the end view as SVG, on an A4 page in landscape, with the verdict.

    Args:
        support: what stands.
        verdict: on it, if it is known already.

    """
    return _Picture(support, verdict or assess(support)).draw()


class _Picture:
    def __init__(self, support: Support, verdict: Verdict) -> None:
        self.support, self.verdict = support, verdict
        book, opening = support.slip.book, support.slip.opening
        self.boards: dict[SideName, Board] = {"left": opening.left, "right": opening.right}
        self.scale = self._fitting_scale()
        out = {side: self._out(side) for side in SIDES}
        self.middle = WIDTH / 2 + (out["left"] - out["right"]) / 2 * self.scale
        heading = " · ".join(part for part in (book.number, book.title) if part)
        self.page = Canvas(f"{heading}, standing", "end view from the tail, to scale")
        self.heading = heading

    def draw(self) -> bytes:
        self._head()
        for side in SIDES:
            self._band(side, fill=BAND)
            self._half_book(side)
            self._band(side, fill="none")
        self._support()
        for side in SIDES:
            self._heights(side)
        self._lengths()
        self._foot()
        return self.page.svg()

    # -- places -------------------------------------------------------------------------------

    def _fitting_scale(self) -> float:
        across, tall = self._across(), self._tallest()
        fits = [s for s in SCALES if across * s <= _ROOM[0] and tall * s <= _ROOM[1]]
        return fits[0] if fits else min(_ROOM[0] / across, _ROOM[1] / tall)

    def _out(self, side: SideName) -> float:
        """How far the book reaches out from the middle of the spine panel on a side."""
        board = self.boards[side]
        return self.support.spine / 2 + board.width * math.cos(math.radians(board.slope))

    def _across(self) -> float:
        return self._out("left") + self._out("right")

    def _tallest(self) -> float:
        return self.support.deck_lift + max(
            board.rise + self._side(side) for side, board in self.boards.items()
        )

    def _side(self, side: SideName) -> float:
        """Thickness of board and leaves on a side: measured, or half the spine."""
        measured = self.boards[side].side
        return measured if measured is not None else self.support.slip.opening.spine_width / 2

    def _at(self, x: float, y: float) -> Place:
        """Return the place on the page of a place in the end view (mm, y up, table at 0)."""
        return (self.middle + x * self.scale, _TABLE_Y - y * self.scale)

    def _length(self, mm: float) -> str:
        if self.support.slip.units == "in":
            return f"{mm / MM_PER_INCH:.2f}"
        return f"{mm:.1f}"

    # -- what is drawn ------------------------------------------------------------------------

    def _head(self) -> None:
        slip = self.support.slip
        self.page.text((15, 17), fitted(self.heading, 250, 6), size=6, bold=True)
        second = ", ".join(p for p in (slip.book.shelf_mark, slip.opening.label) if p)
        self.page.text((15, 24), fitted(second, 260, 3.5), size=3.5)
        over, under = (self.scale, 1.0) if self.scale >= 1 else (1.0, 1 / self.scale)
        unit = "inches" if slip.units == "in" else "mm"
        self.page.text(
            (15, 31),
            f"standing, seen from the tail · scale {over:.3g}:{under:.3g} · lengths in {unit}",
            size=_TEXT,
            colour=SOFT,
        )
        said = sentence(self.verdict, slip)
        self.page.text((15, 36), said, size=fitting(said, 272, 2.9), bold=True)
        top = self._at(0, self._tallest())[1]
        self.page.text(
            (self.middle, top - 5),
            f"opening {slip.opening.opening_angle:.1f}°",
            size=_TEXT,
            anchor="middle",
        )
        for side in SIDES:
            x = self._at((-1 if side == "left" else 1) * self._out(side), 0)[0]
            self.page.text((x, top - 10), side, size=_TEXT, anchor="middle", bold=True)

    def _half_book(self, side: SideName) -> None:
        """Draw board and leaves of one side as a block on its board panel."""
        corners = block_end(self.support, side, self.support.deck_lift)
        places = [self._at(x, y) for x, y in corners]
        self.page.line(places, fill=PALE, colour=SOFT, width=0.25, closed=True)

    def _band(self, side: SideName, fill: str) -> None:
        """Draw between which slopes the board panel may lie, by the usual error of measuring."""
        wing, sign = self.support.half(side), 1 if side == "right" else -1
        if not wing.stands:
            return
        error, joint = slope_error(self.support.slip, side), self.support.spine / 2
        ends = [wing.slope + error * step / 4 for step in range(-4, 5)]
        corners = [(joint, self.support.deck_lift)]
        corners += [
            (joint + wing.board * math.cos(a), self.support.deck_lift + wing.board * math.sin(a))
            for a in (max(0.0, end) for end in ends)
        ]
        places = [self._at(sign * x, y) for x, y in corners]
        self.page.line(places, fill=fill, colour=SOFT, width=0.15, dashes="0.8 0.8", closed=True)

    def _support(self) -> None:
        left, right = WIDTH / 2 - 125, WIDTH / 2 + 125
        self.page.line([(left, _TABLE_Y + 0.4), (right, _TABLE_Y + 0.4)], colour=SOFT, width=0.3)
        corners = walk(self.support.profile, self.support.deck_lift).corners
        self.page.line([self._at(x, y) for x, y in corners], width=0.6)

    def _heights(self, side: SideName) -> None:
        """Dimension the leg and the rise of one side, outside of it, the leg nearer."""
        wing, board = self.support.half(side), self.boards[side]
        sign = 1 if side == "right" else -1
        lift = self.support.deck_lift
        anchor: Anchor = "start" if side == "right" else "end"
        cos = math.cos(wing.slope)
        edge = self._at(sign * (self.support.slip.opening.spine_width / 2 + board.width * cos), 0)
        lines = []
        if wing.stands:
            lines.append((7.0, 0.0, lift + wing.board * math.sin(wing.slope), "leg", wing.leg))
            lines.append(
                (35.0, lift, lift + board.width * math.sin(wing.slope), "rise", board.rise)
            )
        for out, low, high, name, length in lines:
            x = edge[0] + sign * out
            bottom, top = self._at(0, low)[1], self._at(0, high)[1]
            self.page.dimension((x, bottom), (x, top))
            middle = (bottom + top) / 2 + 1.0
            self.page.text(
                (x + sign * 2.0, middle),
                f"{name} {self._length(length)}",
                size=_TEXT,
                anchor=anchor,
            )

    def _lengths(self) -> None:
        """Dimension bases, spine panel and the whole width below the table."""
        half, first = self.support.spine / 2, _TABLE_Y + 6
        outer = {}
        for side in SIDES:
            wing, sign = self.support.half(side), 1 if side == "right" else -1
            length = wing.base if wing.stands else wing.board
            a, b = self._at(sign * half, 0)[0], self._at(sign * (half + length), 0)[0]
            outer[side] = b
            self.page.dimension((a, first), (b, first))
            name = "base" if wing.stands else "board, flat"
            middle = (a + b) / 2
            self.page.text(
                (middle, first + 4.5), f"{name} {self._length(length)}", size=_TEXT, anchor="middle"
            )
            self.page.text(
                (middle, first + 8.5),
                f"slope {math.degrees(wing.slope):.1f}°",
                size=_TEXT,
                anchor="middle",
            )
        second = first + 13
        left, right = self._at(-half, 0)[0], self._at(half, 0)[0]
        self.page.dimension((left, second), (right, second))
        self.page.text(
            (self.middle, second + 4.5),
            f"spine panel {self._length(2 * half)}",
            size=_TEXT,
            anchor="middle",
        )
        third = second + 9
        self.page.dimension((outer["left"], third), (outer["right"], third))
        total = (outer["right"] - outer["left"]) / self.scale
        middle = (outer["left"] + outer["right"]) / 2
        self.page.text(
            (middle, third + 4.5), f"whole width {self._length(total)}", size=_TEXT, anchor="middle"
        )

    def _foot(self) -> None:
        support, film = self.support, self.support.film
        layers = "one layer" if film.layers == 1 else "three layers"
        tabs = "tabs lapped, right on left" if support.lapped else "tabs side by side"
        if not (support.left.stands and support.right.stands):
            tabs = "one tab"
        boards = " and ".join(self._length(support.half(side).board) for side in SIDES)
        beware = [one.text for one in cautions(support.slip) if one.rule != "knife"]
        for y, note in ((191, proof_text(self.verdict, support.slip)), (195, " · ".join(beware))):
            self.page.text((15, y), note, size=fitting(note, 272, 2.6))
        self.page.text(
            (15, 200),
            f"polyester film {film.gauge_text}, {layers} · board panels {boards} · "
            f"deck lift {support.deck_lift:.2f} mm · {tabs}",
            size=_TEXT,
        )
        self.page.text(
            (15, 205),
            "thick line: support · grey block: board and leaves · thin grey line: table · "
            "dashed band: where the board panel may lie by the usual error of measuring",
            size=_TEXT,
            colour=SOFT,
        )
