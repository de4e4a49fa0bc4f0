"""The bench card: printed pages from which someone who never made a cradle makes one.

One page tells what it is and where things go, the next how it is folded, the last how it is fitted
to the book and proved.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from cutfiles.bench.film import Machine
from cutfiles.draft import Draft
from cutfiles.lengths import Lengths
from cutfiles.plane.shapes import Box
from cutfiles.report.pictures.view import view_of
from cutfiles.report.printed.bench_drawings import (
    end_view,
    end_view_height,
    flat_drawing,
    tape_places,
)
from cutfiles.report.printed.draw_picture import Seen, draw_picture
from cutfiles.report.printed.fitting import fitting
from cutfiles.report.printed.fold_pictures import fold_pictures, strapped
from cutfiles.report.printed.marks import draw_mark
from cutfiles.report.printed.paper import DASH_DOUBLE_DOT, DASHED, SOFT, Paper, PaperName
from cutfiles.report.printed.proving import HEIGHT, proving, title_of
from cutfiles.report.script import from_left, width_of, wrapped
from cutfiles.support.steps import LONG_LETTERS
from cutfiles.version import VERSION
from cutfiles.words.bench import do_nots, heading_text, measures
from cutfiles.words.cautions import cautions
from cutfiles.words.steps import step_sentence
from cutfiles.words.strips import strap_lines, tape_lines
from cutfiles.words.verdict import dummy_text, short_sentence

_TEXT, _HEAD = 2.6, 3.2
"""Sizes of letters, mm: the first is 7.4 points."""
_LEADING = 1.25 * _TEXT
_MARK = 4.2
"""Half as tall as the verdict's mark is, mm."""
_ACROSS, _LARGE, _LARGE_SHARE = 3, 2, 0.9
"""Pictures in a row; so many of the piece on the table where all stand so large, mm, on a page."""
_TALLEST, _LEAST_SHARE, _APART = 42.0, 0.7, 4.0
"""Of pictures, mm; how much smaller they may be to stand on one page; from row to row, mm."""


class _Step(NamedTuple):
    """One step: its verb and what it says, in how many lines; its picture, how tall it is, mm."""

    said: tuple[str, str]
    lines: int
    seen: Seen
    tall: float


class _Row(NamedTuple):
    """Steps side by side, each so wide, mm."""

    wide: float
    steps: list[_Step]

    @property
    def tall(self) -> float:
        """How tall their pictures want to be, mm."""
        return max(one.tall for one in self.steps)

    @property
    def text(self) -> float:
        """How tall their sentences are, mm."""
        return _LEADING * max(one.lines for one in self.steps)


def bench_card(
    draft: Draft, paper: PaperName = "A4", *, case: str = "", machine: Machine = "knife"
) -> bytes:
    """Return the bench card of a support as PDF: a page of what, one to fold it, one to fit it.

    Args:
        draft: the support and its pattern.
        paper: A4 or Letter.
        case: the case it goes to; without it there is a line to write it on.
        machine: what it is cut with, for the cautions.

    """
    return _Card(draft, paper, case, machine).draw()


def _caption_lines(width: float, said: tuple[str, str]) -> int:
    """Return how many lines a step's caption takes, its verb in bold before it."""
    verb, text = said
    indent = width_of(verb, _TEXT, bold=True) + 0.3 * _TEXT
    return len(wrapped(text, width, _TEXT, indent=indent))


class _Card:
    def __init__(self, draft: Draft, paper: PaperName, case: str, machine: Machine) -> None:
        self.draft, self.support, self.pattern = draft, draft.support, draft.pattern
        self.slip, self.case = draft.slip, case
        self.says, self.revision = Lengths(draft.slip.units), draft.revision
        self.cautions = [caution.text for caution in cautions(draft.slip, machine)]
        self.heading = heading_text(draft.slip.book)
        self.paper = Paper(paper, f"{self.heading}, bench card")
        self.box, self.view = self.paper.box, view_of(self.support)

    def draw(self) -> bytes:
        left, right = self.box.left, self.box.right
        y = self._flat_row(self._header(self.box.top))
        middle = left + 100.0
        below = self._section(y, left, middle - 5, "Check by rule, ±1 mm")
        floor = below - end_view_height(self.support, middle - 5 - left, 58.0)
        end_view(self.paper, self.support, Box(left, floor, middle - 5, below - 1.0))
        said = "50 mm: measure it before you trust it"
        self.paper.bar((left + 20.0, floor - 6.0), 50.0, said)
        y_left = self._lines(
            floor - 9.5,
            Box(left, 0, middle - 5, 0),
            (
                "Off by more: see that the creases are worked and the tabs at their ticks; "
                "if so, measure the file's check line.",
            ),
        )
        y_left = self._sign_off(y_left - 1.5, left, middle - 5)
        self._strapped(Box(left, self.box.bottom + 6.0, middle - 5, y_left))
        column = Box(middle, 0, right, 0)
        places = tape_places(self.pattern, self.support)
        tape = tape_lines(self.support, places, self.says, refused=self.draft.verdict.refused)
        beside = self._lines(self._section(y, middle, right, "Tape"), column, tape)
        beside = self._section(beside - 1.0, middle, right, "Straps")
        beside = self._lines(beside, column, strap_lines(self.support, self.says))
        self._beware(beside - 1.0, column)
        self._foot()
        self._steps()
        self._fitting()
        return self.paper.pdf()

    def _lines(self, y: float, column: Box, lines: tuple[str, ...]) -> float:
        for line in lines:
            y = self.paper.paragraph((column.left, y), line, column.width, _TEXT) - 0.5
        return y

    def _fitting(self) -> None:
        """Write the last page: the book on its support before the last liner leaves the tape.

        What is not to be used is fitted to no book.
        """
        self.paper.new_page()
        self._heading()
        box = self.box
        if self.draft.verdict.refused:
            self._proving(box.top - 10.0)
            self._foot()
            return
        title = "Fitting, with the book, before the liner leaves the last tape"
        y = self._section(box.top - 10.0, box.left, box.right, title)
        y = fitting(self.paper, self.draft, Box(box.left, box.bottom + 6.0, box.right, y - 1.0))
        self._proving(y - 5.0)
        self._foot()

    def _heading(self) -> None:
        box = self.box
        self.paper.text((box.left, box.top - 6.0), self.heading, 5.0, bold=True, width=box.width)

    def _proving(self, y: float) -> None:
        """Write how it is proved below the fitting, or on a page of its own."""
        box = self.box
        if y - HEIGHT < box.bottom + 6.0:
            self._foot()
            self.paper.new_page()
            self._heading()
            y = box.top - 10.0
        y = self._section(y, box.left, box.right, title_of(self.draft.verdict))
        proving(self.paper, self.draft, Box(box.left, box.bottom, box.right, y - 1.0))

    def _section(self, y: float, left: float, right: float, title: str) -> float:
        """Write a section's title with a rule above it; return y below it."""
        self.paper.line([(left, y), (right, y)], width=0.15, grey=SOFT)
        self.paper.text((left, y - 3.3), title, _HEAD, bold=True)
        return y - 4.4

    # -- what it is -----------------------------------------------------------------------------

    def _header(self, y: float) -> float:
        page, book, film = self.paper, self.slip.book, self.support.film
        left, right = self.box.left, self.box.right
        if width_of(book.number, 4.5, bold=True) <= 58.0:
            page.text((left, y - 7.5), book.number, 9.5, bold=True, width=58.0, least=4.5)
        else:  # a number is never shortened
            page.paragraph((left, y), book.number, 58.0, 2.9, bold=True, leading=1.1)
        column = left + 61.0
        page.paragraph((column, y), book.title, right - column, 3.8, bold=True, most=2)
        place = from_left(self.slip.opening.label, book.shelf_mark)
        page.text((column, y - 13.2), place, 3.0, width=right - column - 44.0, least=_TEXT)
        case = f"case {self.case}" if self.case else "case ____________"
        page.text((right, y - 13.2), case, 3.0, anchor="end", width=40.0, least=_TEXT)
        layers = "one layer" if film.layers == 1 else "three layers"
        size, says = self.pattern.box, self.says
        under = page.paragraph(
            (left, y - 9.6),
            f"{self.support.kind}; film {film.gauge_text}, {layers}; piece "
            f"{says.both(size.width)} × {says.both(size.height)}",
            58.0,
            _TEXT,
        )
        page.text((left, under - 3.0), "Up: the face on which the number reads", _TEXT, bold=True)
        beside = y - 14.8
        for line in measures(self.slip):
            beside = page.paragraph((column, beside), line, right - column, _TEXT)
        y = min(under - 4.6, beside - 1.4)
        page.line([(left, y), (right, y)], width=0.15, grey=SOFT)
        return self._verdict(y)

    def _verdict(self, y: float) -> float:
        """Write the verdict: its mark, its word, its sentence, never cut short."""
        page, left, right = self.paper, self.box.left, self.box.right
        state = self.draft.verdict.state
        draw_mark(page, state, (left + _MARK, y - 1.4 - _MARK), _MARK)
        x = left + 2 * _MARK + 3.0
        word = f"{state.upper()}: NOT TO BE USED" if self.draft.verdict.refused else state.upper()
        page.text((x, y - 5.6), word, 5.0, bold=True)
        said = f"Verdict: {short_sentence(self.draft.verdict, self.slip)}"
        below = page.paragraph((x, y - 6.8), said, right - x, _TEXT)
        return min(below, y - 2 * _MARK - 2.0) - 0.8

    def _flat_row(self, y: float) -> float:
        left, right = self.box.left, self.box.right
        column = right - 57.0
        inches = " (inches)" if self.says.inches else ""
        title = f"Flat, book face up · panels in mm{inches}"
        below = self._section(y, left, column - 4, title)
        rows = self._creases(
            self._section(y, column, right, "Creases, seen from the book face"), column
        )
        height = max(y - rows, 74.0)
        box = Box(left, y - height, column - 4, below)
        flat_drawing(self.paper, self.pattern, self.support, box)
        return y - height - 1.5

    def _creases(self, y: float, x: float) -> float:
        page = self.paper
        rows = [
            (letter, "mountain", 180.0)
            for letter, _ in zip(LONG_LETTERS.values(), self.pattern.long_folds, strict=False)
        ]
        rows += [(c.letter, c.direction, math.degrees(abs(c.angle))) for c in self.pattern.creases]
        for dx, head in ((34.0, "fold by"), (50.0, "leaves")):
            page.text((x + dx, y - 2.6), head, _TEXT, anchor="end", grey=SOFT)
        y -= 3.6
        for name, direction, degrees in rows:
            page.ring((x + 2.2, y - 1.6), 2.0, name)
            page.text((x + 6.0, y - 2.5), direction, _TEXT)
            page.text((x + 34.0, y - 2.5), f"{degrees:.1f}°", _TEXT, anchor="end")
            page.text((x + 50.0, y - 2.5), f"{180 - degrees:.1f}°", _TEXT, anchor="end")
            y -= 4.3
        y -= 0.5
        for dashes, line in (
            (DASHED, "valley: folds towards the book"),
            (DASH_DOUBLE_DOT, "mountain: folds away from it"),
        ):
            page.line([(x, y - 1.7), (x + 10.0, y - 1.7)], width=0.3, dashes=dashes)
            page.text((x + 11.5, y - 2.5), line, _TEXT)
            y -= 3.6
        if self.pattern.long_folds:
            page.text((x, y - 2.5), "On the flaps creases are drawn reversed.", _TEXT)
            y -= 3.6
        return y

    # -- how it is made -------------------------------------------------------------------------

    def _steps(self) -> None:
        """Write the page of steps, one action a picture; another one where it is too small.

        Where there is room, the piece on the table is drawn larger, two in a row.
        """
        top, floor = self._steps_head(), self.box.bottom + 6.0
        refused = self.draft.verdict.refused
        pictures = fold_pictures(self.support, self.pattern, refused=refused)
        steps = [
            (
                (f"{number} {step.verb}", step_sentence(step, self.support, refused=refused)),
                Seen(picture, self.view),
            )
            for number, (step, picture) in enumerate(pictures, start=1)
        ]
        flat = max(i for i, (_, seen) in enumerate(steps, start=1) if seen.picture.above)
        standing = self._step_rows(steps[flat:], _ACROSS)
        for across in (_LARGE, _ACROSS):
            rows = [*self._step_rows(steps[:flat], across), *standing]
            room = top - floor - sum(row.text for row in rows) - _APART * len(rows)
            tall = sum(row.tall for row in rows)
            share = min(1.0, room / tall)
            if share >= _LARGE_SHARE:
                break
        if share < _LEAST_SHARE:
            share = 1.0
        apart = _APART + min(_APART, max(0.0, room - share * tall) / len(rows))
        y = top
        for row in rows:
            if y - share * row.tall - row.text < self.box.bottom + 5.0:
                self._foot()
                y = self._steps_head()
            self._step_row(row, y, share * row.tall)
            y -= share * row.tall + row.text + apart
        self._foot()

    def _step_row(self, row: _Row, y: float, tall: float) -> None:
        """Draw the pictures of a row, each with its sentence below it."""
        for i, one in enumerate(row.steps):
            x = self.box.left + (row.wide + 4.0) * i
            place = Box(x, y - tall, x + row.wide, y)
            draw_picture(self.paper, one.seen, place)
            verb, said = one.said
            self.paper.paragraph((x, place.bottom - 0.6), said, row.wide, _TEXT, lead=verb)

    def _step_rows(self, steps: Sequence[tuple[tuple[str, str], Seen]], across: int) -> list[_Row]:
        """Return steps in rows of so many."""
        wide = self.box.width / across - 4.0
        found = [
            _Step(said, _caption_lines(wide, said), seen, min(_TALLEST, seen.height(wide)))
            for said, seen in steps
        ]
        return [_Row(wide, found[i : i + across]) for i in range(0, len(found), across)]

    def _steps_head(self) -> float:
        self.paper.new_page()
        self._heading()
        box = self.box
        y = self._section(box.top - 10.0, box.left, box.right, "Fold")
        told = (
            "Work each crease fully once against a rule, let it spring back to its angle. White: "
            "book face. Grey: table face."
        )
        self.paper.text((box.left + 12.0, y + 1.1), told, _TEXT)
        return y - 1.0

    # -- whether it is right --------------------------------------------------------------------

    def _strapped(self, box: Box) -> None:
        """Draw the book strapped, where there is room for it."""
        seen = Seen(strapped(self.support), self.view)
        if not seen.picture.before or box.height < 36.0:
            return
        y = self._section(box.top, box.left, box.right, "Strapped: the lap under the board")
        room = Box(box.left, max(box.bottom, y - 60.0), box.right, y - 0.5)
        draw_picture(self.paper, seen, room)

    def _sign_off(self, y: float, left: float, right: float) -> float:
        page = self.paper
        y = self._section(y, left, right, "Sign off")
        verdict = self.draft.verdict
        proof = f"dummy of {dummy_text(verdict, self.slip)} for 24 h, bag by bag on the last page"
        rows = (
            "edges: no snag for a gloved finger, corners round",
            "square: legs upright, no rocking",
            "not to be used, told on the last page" if verdict.refused else proof,
            "spine clear: nothing presses on it",
            "sag of the boards after 24 h: ______ mm",
            "straps: paper slides under, blank margin only",
        )
        for row in rows:
            page.box_line(Box(left, y - 3.3, left + 2.6, y - 0.7))
            below = page.paragraph((left + 4.2, y - 0.4), row, right - left - 4.2, _TEXT)
            y = min(below - 0.6, y - 4.4)
        page.text((left, y - 3.6), "initials ________  date ____________", _TEXT)
        return y - 6.0

    def _beware(self, y: float, column: Box) -> None:
        y = self._section(y, column.left, column.right, "Take care")
        top, x = y, column.left + 3.0
        for line in self.cautions:
            y = self.paper.paragraph((x, y), line, column.right - x, _TEXT, bold=True) - 0.5
        bar = [(column.left + 0.8, top - 0.4), (column.left + 0.8, y + 0.2)]
        self.paper.line(bar, width=1.2)
        y = self._section(y - 0.6, column.left, column.right, "This book")
        floor = self.box.bottom + 5.0
        for line in do_nots(self.slip):
            most = max(1, int((y - floor) / _LEADING))
            at = (column.left, y)
            y = self.paper.paragraph(at, line, column.width, _TEXT, most=most) - 0.4

    def _foot(self) -> None:
        page, y = self.paper, self.box.bottom
        page.line([(self.box.left, y + 4.0), (self.box.right, y + 4.0)], width=0.15, grey=SOFT)
        page.text(
            (self.box.left, y + 0.8),
            f"file revision {self.revision} · cutfiles {VERSION} · film lot __________ · "
            "built __________ · used __________ · stored __________",
            _TEXT,
            width=self.box.width,
        )
