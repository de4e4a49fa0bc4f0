"""The fitting: the book on its folded support before the last liner leaves the tape.

A table of this book's numbers as the support gives them, between which measures of the book they
are harmless, and where somebody has to look (`support/fit`).
"""

import math

from cutfiles.dataclass import dataclass
from cutfiles.draft import Draft
from cutfiles.lengths import Lengths
from cutfiles.plane.shapes import Box
from cutfiles.report.pictures.block import fore_edge
from cutfiles.report.printed.paper import SOFT, Paper
from cutfiles.support.adjust import Tick
from cutfiles.support.adjusted import foot_ticks
from cutfiles.support.fit import FIT, Part, row_of
from cutfiles.support.standing import Support
from cutfiles.units import Units
from cutfiles.words.verdict import tick_state

_TEXT, _ROW = 2.6, 6.4
"""Size of letters, and height of a row of one line, mm."""
_COLUMNS = (0.0, 38.0, 68.0, 104.0, 140.0)
"""Where part, support, harmless, ask and the place to write begin, mm."""
_STEPS = (
    "Fold the support and leave the liner on its last tape. Stand it on a level table and hold its "
    "bases together with the hand.",
    "Lay the book on it at its opening, propped: prop, never force. A conservator decides whether "
    "it may lie so, and how far it opens.",
    "Measure on the book, from the table, and write what you find beside the table below.",
    "All harmless: take the book off, then the liner, and stick. One to ask about: a conservator "
    "looks first. One beyond: not to be used; measure the book again and make it anew.",
)
_STOP = (
    "One tick at a time, the book off. Stop when all is harmless, or when the book no longer opens "
    "by itself: never open it further than it was measured without the conservator's word."
)


@dataclass(frozen=True, slots=True)
class FitLine:
    """One measure of the book, as this support gives it: mm, or degrees for a slope.

    Attributes:
        name: what is measured.
        part: its row in the table of fit.
        given: by the support.
        harmless: least and greatest measure of the book with which nothing follows.
        ask: least and greatest with which somebody looks at it; beyond, it is not to be used.

    """

    name: str
    part: Part
    given: float
    harmless: tuple[float, float]
    ask: tuple[float, float]


def fit_lines(support: Support) -> tuple[FitLine, ...]:
    """Return what is measured at the fitting, and how far the book may be off it.

    >>> from cutfiles.bench.slip import slip_from
    >>> from cutfiles.support.design import design
    >>> made = design(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                          "spine_width": 34, "opening_angle": 120}))
    >>> line = fit_lines(made)[-1]
    >>> line.name, line.given, line.harmless, line.ask
    ('spine width', 35.0, (32.0, 35.0), (29.0, 36.0))
    """
    lines = []
    for half in support.halves:
        lines += [
            _line(f"{half.side} joint", "joint", half.book.y),
            _line(f"{half.side} fore edge", "fore edge", fore_edge(support, half).y),
            _line(f"{half.side} slope", "slope", math.degrees(half.slope)),
        ]
    if spine := support.length("spine"):
        lines.append(_line("spine width", "spine panel", spine))
    return tuple(lines)


def _line(name: str, part: Part, given: float) -> FitLine:
    row = row_of(part)
    harmless = (max(0.0, given - row.over.harmless), given + row.under.harmless)
    return FitLine(
        name, part, given, harmless, (max(0.0, given - row.over.ask), given + row.under.ask)
    )


def fitting(paper: Paper, draft: Draft, box: Box) -> float:
    """Write the fitting into a box, from its top; return y below it."""
    page, support, y = paper, draft.support, box.top
    for i, step in enumerate(_STEPS, 1):
        y = page.paragraph((box.left, y), step, box.width, _TEXT, lead=str(i)) - 1.0
    y -= 4.0
    heads = ("of the book", "as it stands", "harmless from–to", "ask from–to", "found")
    for x, head in zip(_COLUMNS, heads, strict=True):
        page.text((box.left + x, y), head, _TEXT, grey=SOFT)
    for line in fit_lines(support):
        y -= _ROW
        page.text((box.left, y), line.name, _TEXT, bold=True)
        texts = (
            _said(support, line, (line.given,)),
            *(_said(support, line, pair) for pair in (line.harmless, line.ask)),
        )
        below = [
            page.paragraph((box.left + x, y + _TEXT), text, _COLUMNS[3] - _COLUMNS[2] - 1.5, _TEXT)
            for x, text in zip(_COLUMNS[1:], texts, strict=False)
        ]
        page.line([(box.left + _COLUMNS[-1], y - 0.8), (box.right, y - 0.8)], width=0.2)
        y = min(below) + 0.25 * _TEXT  # inches take a second line
    y -= 2.5
    for row in FIT:
        y = page.paragraph((box.left, y), f"{row.part}: {row.why}.", box.width, _TEXT)
    said = "Limits reasoned from how well measures repeat; none was tried."
    y = page.paragraph((box.left, y - 1.0), said, box.width, _TEXT)
    return _adjusting(page, draft, Box(box.left, box.bottom, box.right, y - 4.0))


def tick_sentence(tick: Tick, state: str, units: Units) -> str:
    """Return what creasing the foot at one tick does.

    >>> tick = Tick(rise=2.0, shift=1.95, leg=67.4, base=111.5, tab=12.0, trim=3.2, slope=0.541,
    ...             opens=-0.0174, lean=0.0, holds=True)
    >>> tick_sentence(tick, "adequate", "mm")
    'fore edge 2.0 mm higher: closes the book by 1.0°; cut 3.2 mm off the tab; then adequate'
    """
    says, way = Lengths(units), "higher" if tick.rise > 0 else "lower"
    parts = [
        f"fore edge {says.both(abs(tick.rise))} {way}: "
        f"{'opens' if tick.opens > 0 else 'closes'} the book by "
        f"{abs(math.degrees(tick.opens)):.1f}°"
    ]
    if tick.trim >= 0.05:  # less is nothing to cut
        parts.append(f"cut {says.both(tick.trim)} off the tab")
    if tick.lean:
        parts.append(f"the leg leans by {abs(math.degrees(tick.lean)):.1f}°")
    return "; ".join([*parts, f"then {state}"])


def _adjusting(page: Paper, draft: Draft, box: Box) -> float:
    """Write what each tick beside a foot does, and when to stop; nothing where there are none."""
    feet, y, units = foot_ticks(draft.support, draft.trials), box.top, draft.slip.units
    if not feet:
        return y
    page.line([(box.left, y), (box.right, y)], width=0.15, grey=SOFT)
    page.text((box.left, y - 3.6), "Adjusting: crease a foot anew at a tick", 2.9, bold=True)
    y -= 5.5
    for foot in feet:
        for number, (tick, state) in enumerate(zip(foot.ticks, foot.states, strict=True), 1):
            said = tick_sentence(tick, tick_state(state, draft.verdict), units)
            lead = f"{foot.side} foot, tick {number}"
            y = page.paragraph((box.left, y), said, box.width, _TEXT, lead=lead) - 0.6
    return page.paragraph((box.left, y - 0.6), _STOP, box.width, _TEXT, bold=True)


def _said(support: Support, line: FitLine, values: tuple[float, ...]) -> str:
    if line.part == "slope":
        return "–".join(f"{value:.1f}" for value in values) + "°"
    return Lengths(support.slip.units).range(*values)
