"""The end view to scale: the book on its support, seen from the tail, with what to check."""

import math

from cutfiles.bench.book import SideName
from cutfiles.bench.questions import side_thickness
from cutfiles.lengths import Lengths
from cutfiles.plane.shapes import Anchor
from cutfiles.report.pictures.block import book_parts, fore_edge
from cutfiles.report.pictures.canvas import (
    ACROSS,
    BAND,
    BOLD_ACROSS,
    INK,
    LEAST,
    LETTER,
    PALE,
    SOFT,
    WIDTH,
    Canvas,
    Place,
    lines_of,
)
from cutfiles.report.pictures.legs import beside_legs
from cutfiles.report.pictures.spread import spread
from cutfiles.support.profile import walk
from cutfiles.support.standing import Half, Support, board_of, tape_middle
from cutfiles.support.tolerance import slope_error
from cutfiles.support.verdict import Verdict, assess
from cutfiles.words.bench import (
    heading_text,
    panel_text,
    spine_tilt,
    stuck_to,
    tabs_text,
    where_text,
)
from cutfiles.words.cautions import cautions
from cutfiles.words.verdict import proof_text, short_sentence

SCALES = (5.0, 4.0, 3.0, 2.0, 1.5, 1.0, 1 / 1.5, 1 / 2, 1 / 2.5, 1 / 3, 1 / 4, 1 / 5, 1 / 10)
_ROOM = (150.0, 87.0)
_TABLE_Y = 140.0
_TEXT = 3.0
_FILLS = {"board": BAND, "leaves": PALE, "spine": BAND}
_DRAWN = ("tab", "base", "leg", "board", "spine")
"""Parts whose lengths stand elsewhere on the page."""
_LEG, _RISE = 7.0, 35.0
"""How far outside the fore edge heights are written, mm."""
_INCHES = 16.0
"""So much wider are they with inches beside them, mm."""


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
        self.beside = beside_legs(support)
        self.wider = _INCHES if support.slip.units == "in" else 0.0
        self.scale = self._fitting_scale()
        self.middle = WIDTH / 2 + (self._out("left") - self._out("right")) / 2 * self.scale
        self.heading = heading_text(support.slip.book)
        self.page = Canvas(f"{self.heading}, standing", "end view from the tail, to scale")
        self.dimensions: list[tuple[Place, Place]] = []

    def draw(self) -> bytes:
        self._head()
        for half in self.support.halves:
            self._band(half, fill=BAND)
        for part in book_parts(self.support):
            places = [self._at(x, y) for x, y in part.corners]
            self.page.line(places, fill=_FILLS[part.kind], colour=SOFT, width=0.2, closed=True)
        for half in self.support.halves:
            self._band(half, fill="none")
        self._support()
        self._tapes()
        for half in self.support.halves:
            self._heights(half)
        self._lengths()
        self.page.dimensions(self.dimensions)
        self._foot()
        return self.page.svg()

    # -- places -------------------------------------------------------------------------------

    def _fitting_scale(self) -> float:
        across, tall = self._across(), self._tallest()
        wide, high = _ROOM[0] - 4 * self.wider, _ROOM[1]
        fits = [s for s in SCALES if across * s <= wide and tall * s <= high]
        return fits[0] if fits else min(wide / across, high / tall)

    def _out(self, side: SideName) -> float:
        """How far book and support reach out from x = 0 on a side."""
        half, sign = self.support.half(side), 1 if side == "right" else -1
        if half is None:
            return max(0.0, *(sign * place.x for place in self.support.places))
        board = board_of(self.support.slip, side)
        slope = half.slope if half.stands else math.radians(board.slope)
        return half.way * half.joint.x + board.width * math.cos(slope)

    def _across(self) -> float:
        return self._out("left") + self._out("right")

    def _tallest(self) -> float:
        halves, slip = self.support.halves, self.support.slip
        return max(
            half.joint.y + (board_of(slip, half.side).rise + side_thickness(slip, half.side))
            for half in halves
        )

    def _at(self, x: float, y: float) -> Place:
        """Return the place on the page of a place in the end view (mm, y up, table at 0)."""
        return (self.middle + x * self.scale, _TABLE_Y - y * self.scale)

    def _length(self, mm: float) -> str:
        return Lengths(self.support.slip.units).short(mm)

    # -- what is drawn ------------------------------------------------------------------------

    def _head(self) -> None:
        slip = self.support.slip
        self.page.head(self.heading, where_text(slip), self.verdict.state)
        over, under = (self.scale, 1.0) if self.scale >= 1 else (1.0, 1 / self.scale)
        unit = "mm (inches)" if slip.units == "in" else "mm"
        self.page.told(
            f"{self.support.kind} · standing, seen from the tail · "
            f"scale {over:.3g}:{under:.3g} · lengths in {unit}",
            short_sentence(self.verdict, slip),
            _TEXT,
        )
        top = self._at(0, self._tallest())[1]
        self.page.text(
            (self.middle, top - 5),
            f"opening {slip.opening.opening_angle:.1f}°",
            size=_TEXT,
            anchor="middle",
        )
        for half in self.support.halves:
            x = self._at(half.way * self._out(half.side), 0)[0]
            self.page.text((x, top - 10), half.side, size=_TEXT, anchor="middle", bold=True)

    def _band(self, half: Half, fill: str) -> None:
        """Draw between which slopes the board panel may lie, by the usual error of measuring."""
        if not half.stands:
            return
        error, (joint, lift) = slope_error(self.support.slip, half.side), half.joint
        length = self.support.length("board", half.side)
        ends = [half.slope + error * step / 4 for step in range(-4, 5)]
        corners = [(joint, lift)]
        corners += [
            (joint + half.way * length * math.cos(a), lift + length * math.sin(a))
            for a in (max(0.0, end) for end in ends)
        ]
        places = [self._at(x, y) for x, y in corners]
        self.page.line(places, fill=fill, colour=SOFT, width=0.15, dashes="0.8 0.8", closed=True)

    def _support(self) -> None:
        left, right = WIDTH / 2 - 125, WIDTH / 2 + 125
        self.page.line([(left, _TABLE_Y + 0.4), (right, _TABLE_Y + 0.4)], colour=SOFT, width=0.3)
        for outline in self.beside:
            self.page.line([self._at(x, y) for x, y in outline], width=0.25, closed=True)
        corners = walk(self.support.profile).corners
        self.page.line([self._at(x, y) for x, y in corners], width=0.6)

    def _tapes(self) -> None:
        """Draw tapes as thick bars where they lie, numbered below the table."""
        support, places = self.support, []
        for tape in support.contacts.tapes:
            ends = support.ends_of(tape.panel)
            middle = tape_middle(tape, ends)
            half = tape.width / 2 / support.panel(tape.panel).length
            dx, dy = half * (ends[1].x - ends[0].x), half * (ends[1].y - ends[0].y)
            bar = [(middle.x - dx, middle.y - dy), (middle.x + dx, middle.y + dy)]
            self.page.line([self._at(x, y) for x, y in bar], width=1.3)
            places.append(self._at(*middle))
        order = sorted(range(len(places)), key=lambda i: places[i])
        moved = spread([places[i][0] for i in order], 5.2, self.middle - 75, self.middle + 75)
        told = [*zip(order, moved, strict=True)]
        for i, x in told:
            self.page.line([places[i], (x, _TABLE_Y + 2.4)], width=0.15, colour=SOFT)
        self.page.rings(2.2, [((x, _TABLE_Y + 4.6), str(i + 1)) for i, x in told])

    def _heights(self, half: Half) -> None:
        """Dimension one side outside of it: the leg, then joint, rise and fore edge."""
        board, sign = board_of(self.support.slip, half.side), half.way
        edge = fore_edge(self.support, half)
        outside = self._at(half.way * self._out(half.side), 0)[0]
        if half.stands:
            leg = self.support.length("leg", half.side)
            x, top = outside + sign * _LEG, self._at(*half.apex)[1]
            self.dimensions.append(((x, _TABLE_Y), (x, top)))
            self._beside(x, (_TABLE_Y + top) / 2 + 1.0, sign, f"leg {self._length(leg)}")
        x = outside + sign * (_RISE + self.wider)
        low, high = self._at(*half.joint), self._at(*edge)
        middle = (low[1] + high[1]) / 2
        for place in (low, high):
            self.page.line([(place[0], place[1]), (x, place[1])], width=0.1, colour=SOFT)
        texts = [f"fore edge {self._length(edge.y)}", f"joint {self._length(half.joint.y)}"]
        places = [high[1], low[1]]
        if half.stands:
            self.dimensions.append(((x, low[1]), (x, high[1])))
            texts.insert(1, f"rise {self._length(board.rise)}")
            places.insert(1, middle)
        for text, y in zip(texts, spread(places, 4.2, 40.0, _TABLE_Y - 2.0), strict=True):
            self._beside(x, y + 1.0, sign, text)

    def _beside(self, x: float, y: float, sign: int, text: str) -> None:
        anchor: Anchor = "start" if sign > 0 else "end"
        self.page.text((x + sign * 2.0, y), text, size=_TEXT, anchor=anchor)

    def _lengths(self) -> None:
        """Dimension bases, spine panel and the whole width below the table."""
        support, first = self.support, _TABLE_Y + 11
        told, middles = [], []
        for half in support.halves:
            name = "base" if half.stands else "board panel, flat"
            long = support.length("base" if half.stands else "board", half.side)
            outer = self._at(half.apex.x, 0)[0]
            inner = self._at(half.apex.x - half.way * long, 0)[0]
            self.dimensions.append(((inner, first), (outer, first)))
            slope = f"slope {math.degrees(half.slope):.1f}°"
            told.append((f"{name} {self._length(long)}", slope))
            middles.append((inner + outer) / 2)
        gap = LETTER * _TEXT * max(len(said) for said, _ in told) + 1.0
        for (said, slope), x in zip(told, spread(middles, gap, 20.0, WIDTH - 20.0), strict=True):
            self._said(x, first + 4.5, said)
            self._said(x, first + 8.5, slope)
        second = first + 13
        if spine := support.length("spine"):
            left, right = (self._at(place.x, 0)[0] for place in support.ends_of("spine"))
            self.dimensions.append(((left, second), (right, second)))
            tilt = spine_tilt(support)
            leaning = f", tilt {tilt:.1f}°" if tilt else ""
            said = f"spine panel {self._length(spine)}{leaning}"
            self._said((left + right) / 2, second + 4.5, said)
        third = second + 9
        low, high = (end(place.x for place in support.places) for end in (min, max))
        left, right = self._at(low, 0)[0], self._at(high, 0)[0]
        self.dimensions.append(((left, third), (right, third)))
        self._said((left + right) / 2, third + 4.5, f"whole width {self._length(high - low)}")

    def _said(self, x: float, y: float, text: str) -> None:
        self.page.text((x, y), text, size=_TEXT, anchor="middle")

    def _foot(self) -> None:
        support, film = self.support, self.support.film
        layers = "one layer" if film.layers == 1 else "three layers"
        lengths = (support.length("board", half.side) for half in support.halves)
        boards = " and ".join(self._length(length) for length in lengths)
        own = "".join(
            f" · {panel.part} {self._length(panel.length)}"
            for panel in support.profile.panels
            if panel.part not in _DRAWN
        )
        tapes = "tape: " + "; ".join(
            f"{i} {panel_text(support.panel(tape.panel))} {stuck_to(tape, support)}"
            for i, tape in enumerate(support.contacts.tapes, 1)
        )
        beside = " · thin beside a leg: its lip or posts" if self.beside else ""
        film_text = (
            f"polyester film {film.gauge_text}, {layers} · board panels {boards}{own} · "
            f"deck lift {support.deck_lift:.2f} mm · {tabs_text(support)}{beside}"
        )
        drawn = (
            "thick line: support · bars: tape · grey: the book · heights above the table, of "
            "the joint and of the book's fore edge · dashed: where the board panel may lie by the "
            "usual error of measuring"
        )
        beware = " · ".join(one.text for one in cautions(support.slip) if one.rule != "knife")
        proof = proof_text(self.verdict, support.slip)
        y = self._told(drawn, 205.5, SOFT)
        y = self._told(film_text, y)
        y = self._told(beware, y, bold=True)
        self._told(tapes, self._told(proof, y))

    def _told(self, note: str, y: float, ink: str = INK, *, bold: bool = False) -> float:
        """Write a note, its last line at a height; return that of the note above."""
        lines = lines_of(note, BOLD_ACROSS if bold else ACROSS, LEAST)
        for line in reversed(lines):
            self.page.text((15, y), line, size=LEAST, colour=ink, bold=bold)
            y -= 3.6
        return y
