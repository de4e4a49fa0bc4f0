"""The bench card: one printed page from which someone who never made a cradle makes one."""

import math
from functools import partial

from cutfiles.bench.film import Machine
from cutfiles.draft import Draft
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.bench_drawings import end_view, flat_drawing, tape_places
from cutfiles.report.printed.fitting import fitting
from cutfiles.report.printed.fold_pictures import fold_pictures
from cutfiles.report.printed.paper import DASH_DOUBLE_DOT, DASHED, SOFT, Paper, PaperName
from cutfiles.report.printed.proving import HEIGHT, TITLE, proving
from cutfiles.report.printed.script import from_left, width_of, wrapped
from cutfiles.report.printed.step_picture import draw
from cutfiles.support.constructions.posts import TAPE_WIDTH
from cutfiles.support.standing import initial
from cutfiles.support.straps import straps
from cutfiles.version import VERSION
from cutfiles.words.bench import as_measured, both, do_nots, measures, step_sentence, tape_sentence
from cutfiles.words.cautions import cautions
from cutfiles.words.verdict import short_sentence

_SMALL, _TEXT, _HEAD = 2.3, 2.5, 2.9
_HEIGHTS = {"A4": (65.0, 27.0, 46.0), "Letter": (58.0, 23.0, 40.0)}
"""Of the flat drawing, a fold picture and the end view, mm."""


def bench_card(
    draft: Draft, paper: PaperName = "A4", *, case: str = "", machine: Machine = "knife"
) -> bytes:
    """Return the bench card of a support as PDF: one page to make it, one to fit it.

    Args:
        draft: the support and its pattern.
        paper: A4 or Letter.
        case: the case it goes to; without it there is a line to write it on.
        machine: what it is cut with, for the cautions.

    """
    return _Sheet(draft, paper, case, machine).draw()


def _caption_lines(width: float, said: tuple[str, str]) -> int:
    """Return how many lines a step's caption takes, its verb in bold before it."""
    verb, text = said
    indent = width_of(verb, _SMALL, bold=True) + 0.3 * _SMALL
    return len(wrapped(text, width, _SMALL, indent=indent))


class _Sheet:
    def __init__(self, draft: Draft, paper: PaperName, case: str, machine: Machine) -> None:
        self.draft, self.support, self.pattern = draft, draft.support, draft.pattern
        self.slip, self.units = draft.slip, draft.slip.units
        self.verdict, self.case = short_sentence(draft.verdict, draft.slip), case
        self.cautions = [caution.text for caution in cautions(draft.slip, machine)]
        book = self.slip.book
        self.heading = " · ".join(part for part in (book.number, book.title) if part)
        self.paper = Paper(paper, f"{self.heading}, bench card")
        self.heights = _HEIGHTS[paper]
        self.box = self.paper.box

    def draw(self) -> bytes:
        flat, picture, view = self.heights
        left, right = self.box.left, self.box.right
        y = self._header(self.box.top)
        y = self._flat_row(y, flat)
        y = self._steps(y, picture)
        middle = left + 104.0
        y = self._section(y, left, middle - 4, "Check by rule, ±1 mm")
        beside = self._section(y + 4.4, middle, right, "Tape")
        end_view(self.paper, self.support, Box(left, y - view + 6.0, middle - 4, y))
        self.paper.bar((left + 22.0, y - view - 2.5), 50.0, "50 mm: measure it before you trust it")
        beside = self._straps(self._tape(beside, middle, right), middle, right)
        self._beware(beside - 1.0, middle, right)
        self._sign_off(y - view - 6.0, left, middle - 4)
        self._foot()
        self._fitting()
        return self.paper.pdf()

    def _fitting(self) -> None:
        """Write the second page: the book on its support before the last liner leaves the tape."""
        self.paper.new_page()
        self._heading()
        box = self.box
        title = "Fitting, with the book, before the liner leaves the last tape"
        y = self._section(box.top - 10.0, box.left, box.right, title)
        y = fitting(self.paper, self.support, Box(box.left, box.bottom + 6.0, box.right, y - 1.0))
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
        y = self._section(y, box.left, box.right, TITLE)
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
        page.text((column, y - 13.2), place, 3.0, width=right - column - 44.0, least=2.3)
        case = f"case {self.case}" if self.case else "case ____________"
        page.text((right, y - 13.2), case, 3.0, anchor="end", width=40.0, least=2.0)
        layers = "one layer" if film.layers == 1 else "three layers"
        size = self.pattern.box
        for i, line in enumerate(
            (
                f"{self.support.kind}; film {film.gauge_text}, {layers}",
                f"piece {both(size.width, self.units)} × {both(size.height, self.units)}",
            )
        ):
            page.text((left, y - 12.2 - 3.1 * i), line, _TEXT, width=58.0, least=1.9)
        for i, line in enumerate(measures(self.slip)):
            page.text((column, y - 17.0 - 2.9 * i), line, _SMALL, width=right - column, least=1.8)
        verdict = f"Verdict: {self.verdict}"
        page.text((left, y - 19.2), "Up: the face on which the", _TEXT, bold=True)
        page.text((left, y - 22.4), "number reads", _TEXT, bold=True)
        page.line([(left, y - 24.6), (right, y - 24.6)], width=0.15, grey=SOFT)
        if width_of(verdict, _SMALL, bold=True) <= right - left:
            page.text((left, y - 28.2), verdict, _HEAD, bold=True, width=right - left, least=_SMALL)
            return y - 30.0
        # a verdict is never cut short
        below = page.paragraph((left, y - 26.2), verdict, right - left, _SMALL, bold=True)
        return below - 0.6

    def _flat_row(self, y: float, height: float) -> float:
        left, right = self.box.left, self.box.right
        column = right - 62.0
        below = self._section(
            y,
            left,
            column - 4,
            "Flat, book face up · panels in mm" + (" (inches)" if self.units == "in" else ""),
        )
        flat_drawing(
            self.paper, self.pattern, self.support, Box(left, y - height, column - 4, below)
        )
        self._creases(self._section(y, column, right, "Creases, seen from the book face"), column)
        return y - height - 2.0

    def _creases(self, y: float, x: float) -> None:
        page = self.paper
        rows = [
            (letter, "mountain", 180.0)
            for letter, _ in zip("AB", self.pattern.long_folds, strict=False)
        ]
        rows += [
            (str(c.number), c.direction, math.degrees(abs(c.angle))) for c in self.pattern.creases
        ]
        for dx, head in ((30.0, "fold by"), (45.0, "leaves")):
            page.text((x + dx, y - 2.2), head, _SMALL, anchor="end", grey=SOFT)
        y -= 3.2
        for name, direction, degrees in rows:
            page.ring((x + 2.2, y - 1.5), 1.7, name)
            page.text((x + 5.5, y - 2.3), direction, _TEXT)
            page.text((x + 30.0, y - 2.3), f"{degrees:.1f}°", _TEXT, anchor="end")
            page.text((x + 45.0, y - 2.3), f"{180 - degrees:.1f}°", _TEXT, anchor="end")
            y -= 3.75
        y -= 1.0
        for dashes, line in (
            (DASHED, "valley: folds towards the book"),
            (DASH_DOUBLE_DOT, "mountain: folds away from it"),
        ):
            page.line([(x, y - 1.5), (x + 13.0, y - 1.5)], width=0.3, dashes=dashes)
            page.text((x + 15.0, y - 2.2), line, _SMALL)
            y -= 3.3
        if self.pattern.long_folds:
            page.text((x, y - 2.2), "On the flaps creases are drawn reversed.", _SMALL)

    # -- how it is made -------------------------------------------------------------------------

    def _steps(self, y: float, height: float) -> float:
        page, left = self.paper, self.box.left
        y = self._section(y, left, self.box.right, "Fold")
        page.text(
            (left + 9.0, y + 1.1),
            "Work each crease fully once against a rule, let it "
            "spring back to its angle. White: book face. Grey: table face."
            + (" The long folds: from the right end." if self.pattern.long_folds else ""),
            _SMALL,
            width=self.box.width - 9.0,
        )
        steps = fold_pictures(self.support, self.pattern)
        columns = math.ceil(len(steps) / 2)
        wide = self.box.width / columns
        said = [
            (f"{i} {step.verb}", step_sentence(step, self.support))
            for i, (step, _) in enumerate(steps, 1)
        ]
        for row in (0, 1):
            first, top = row * columns, y - row * (height + 11.0)
            # pictures make room for the longest caption: nothing of it is left out
            lines = max(map(partial(_caption_lines, wide - 2.5), said[first : first + columns]))
            under = top - (height + 11.0) + 1.25 * _SMALL * max(lines, 4) + 0.3
            for i in range(first, min(first + columns, len(steps))):
                x = left + wide * (i - first)
                draw(page, steps[i][1], Box(x + 0.5, under + 0.4, x + wide - 1.5, top))
                verb, text = said[i]
                page.paragraph((x, under), text, wide - 2.5, _SMALL, lead=verb)
        return y - 2 * (height + 11.0) - 0.5

    def _tape(self, y: float, left: float, right: float) -> float:
        page, units, support = self.paper, self.units, self.support
        lines = []
        three = support.film.layers == 3
        texts: dict[str, list[str]] = {}
        for tape, box, inset in tape_places(self.pattern, support):
            panel = self.pattern.panel(tape.panel)
            tab = panel.part == "tab"
            text = (
                f"{both(box.width, units)} wide, {both(box.height, units)} long; "
                f"{both(tape.clear, units)} from the {'tab' if tab else 'panel'}'s "
                f"{'' if tab else f'{tape.end} '}end, {both(inset, units)} from its "
                f"{'tail' if three else 'head'} edge."
            )
            texts.setdefault(text, []).append(initial(panel.side) if tab else panel.name)
        for text, who in texts.items():
            tabs = " tab" if len(who[0]) == 1 else ""
            lines.append(f"{' and '.join(who)}{tabs}: {text}")
        lines.append(tape_sentence(support))
        lines.append(
            "Stick it on before folding the cross creases, liner left on; each liner comes off at "
            "the step that sticks its tape, the last one after the fitting with the book (page 2)."
        )
        if self.pattern.posts:
            lines.append(
                f"Posts: {TAPE_WIDTH:g} mm wide on face A and on the outer face of the lap, "
                "3 mm short of foot and head. Without tape a post carries next to nothing."
            )
        for line in lines:
            y = page.paragraph((left, y), line, right - left, _SMALL)
            y -= 0.4
        return y - 1.0

    def _straps(self, y: float, left: float, right: float) -> float:
        page, units = self.paper, self.units
        y = self._section(y, left, right, "Straps")
        found = straps(self.support)
        slotted = self.support.choices.strap_slots == "yes"
        slots = ", through the slots in the board panel" if slotted else ""
        lines = [
            f"{'L' if s.side == 'left' else 'R'}: {s.kind} {as_measured(s.width, units)} wide, cut "
            f"{as_measured(s.cut_length, units)}, lap {as_measured(s.lap, units)}; head to tail "
            f"round board and leaves, {as_measured(s.from_fore_edge, units)} from the fore edge"
            f"{slots}."
            for s in found
        ]
        if not all(s.measured for s in found):
            lines.append("Sides not measured: half the spine width was used; measure and trim.")
        lines.append(
            "On blank margin, joined to itself, never to the book or the support; a slip of paper "
            "must slide under it. Leaves that stand up: a second one."
        )
        for line in lines:
            y = page.paragraph((left, y), line, right - left, _SMALL) - 0.4
        return y

    # -- whether it is right --------------------------------------------------------------------

    def _sign_off(self, y: float, left: float, right: float) -> None:
        page, weight = self.paper, self.slip.book.weight
        y = self._section(y, left, right, "Sign off")
        dummy = f"{math.ceil(1.5 * weight):d} g" if weight else "1.5 × the book's weight, ______ g,"
        rows = (
            "edges: no snag for a gloved finger, corners round",
            "square: legs upright, no rocking",
            f"dummy of {dummy} for 24 h, bag by bag on the last page",
            "spine clear: nothing presses on it",
            "sag of the boards after 24 h: ______ mm",
            "straps: paper slides under, blank margin only",
        )
        for row in rows:
            page.box_line(Box(left, y - 2.9, left + 2.5, y - 0.4))
            page.text((left + 4.2, y - 2.6), row, _TEXT)
            y -= 4.1
        page.text((left, y - 3.4), "initials ________  date ____________", _TEXT)

    def _beware(self, y: float, left: float, right: float) -> None:
        page = self.paper
        floor = self.box.bottom + 5.0
        y = self._section(y, left, right, "This book")
        for line in do_nots(self.slip):
            most = max(1, int((y - floor - 16.0) / (1.25 * _SMALL)))
            y = page.paragraph((left, y), line, right - left, _SMALL, most=most) - 0.3
        page.text((left, y - 2.6), "Take care", _TEXT, bold=True)
        y -= 3.3
        for line in self.cautions:
            y = page.paragraph((left, y), line, right - left, 1.9, leading=1.2)

    def _foot(self) -> None:
        page, y = self.paper, self.box.bottom
        page.line([(self.box.left, y + 4.0), (self.box.right, y + 4.0)], width=0.15, grey=SOFT)
        page.text(
            (self.box.left, y + 0.8),
            f"file revision {self.draft.revision} · cutfiles {VERSION} · film lot __________ · "
            "built __________ · used __________ · stored __________",
            _SMALL,
        )
