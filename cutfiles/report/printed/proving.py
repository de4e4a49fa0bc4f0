"""Proving a support by its dummy: the load bag by bag, when to look, and the fields to fill in."""

import math

from cutfiles.bench.questions import weight_text
from cutfiles.draft import Draft
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.paper import LEAST, SOFT, Paper
from cutfiles.support.bags import DUMMY, Bags
from cutfiles.support.trials import load_to_prove
from cutfiles.support.verdict import Verdict, legs_on_trial
from cutfiles.words.verdict import ESTIMATED, may_be_tried, refusal_text

HEIGHT = 88.0
"""Room it needs, mm."""
TITLE = "Proving, with bags and never with the book"
TRIED = "Not to be used: for a trial with bags, never with the book"
REFUSED = "Not to be used"
_TEXT, _ROW = 2.6, 8.0
_FIELDS = ("date", "weight laid", "hours", "stood or collapsed", "film lot", "gauge", "initials")
_TRIALS = 3
"""So many tests have a row."""


def title_of(verdict: Verdict) -> str:
    """Return what stands above it."""
    if not verdict.refused:
        return TITLE
    return TRIED if may_be_tried(verdict) else REFUSED


def proving(page: Paper, draft: Draft, box: Box) -> float:
    """Write how a support is proved into a box, from its top; return y below it."""
    y = box.top
    verdict = draft.verdict
    if verdict.refused:
        said = _sentence(refusal_text(verdict, draft.slip))
        y = page.paragraph((box.left, y), said, box.width, _TEXT, bold=True) - 0.8
        if not may_be_tried(verdict):
            return y
    for i, step in enumerate(_steps(draft), 1):
        y = page.paragraph((box.left, y), step, box.width, _TEXT, lead=str(i)) - 0.8
    y -= 1.0
    for bags in verdict.bags:
        y = _bags(page, draft, bags, Box(box.left, box.bottom, box.right, y))
    y = page.paragraph((box.left, y - 1.5), _legs(draft), box.width, _TEXT) - 3.0
    return _fields(page, Box(box.left, box.bottom, box.right, y))


def _sentence(said: str) -> str:
    return f"{said[0].upper()}{said[1:]}."


def _steps(draft: Draft) -> tuple[str, ...]:
    verdict, slip = draft.verdict, draft.slip
    weight = weight_text(verdict.weight, slip) + (ESTIMATED if verdict.estimated else "")
    return (
        "All tape stuck, straps off, on a level table; hands and anything fragile away from under "
        "the boards.",
        "Lay a board as stiff and large as the book's own on either side. Then the bags by turns, "
        f"left and right, along the middle of each board: {DUMMY:g} × a book of {weight}.",
        "Look after 1 min, 1 h and 24 h: legs upright, no new crease along a leg, tape holding. "
        "Stop when a leg folds: then it collapsed.",
    )


def _bags(page: Paper, draft: Draft, bags: Bags, box: Box) -> float:
    """Write one board's bags, a box to tick before each; return y below them."""
    x, y = box.left, box.top
    name = f"{bags.side} board, {weight_text(bags.total, draft.slip)}"
    page.text((x, y - 4.2), name, _TEXT, bold=True, width=46.0, least=LEAST)
    wide = (box.width - 48.0) / bags.many
    for i in range(bags.many):
        left = x + 48.0 + i * wide
        page.box_line(Box(left, y - 4.6, left + 3.4, y - 1.2))
        said = weight_text(bags.grams, draft.slip)
        page.text((left + 5.0, y - 4.2), said, _TEXT, width=wide - 6.0, least=LEAST)
    return y - 6.4


def _legs(draft: Draft) -> str:
    """Return what each leg then carries, and what that proves."""
    legs = legs_on_trial(draft.support, draft.verdict.made)
    each = ", ".join(f"{leg.panel} {DUMMY * leg.load:.2f} N" for leg in legs)
    carries = f"Of it: {each}. " if each else ""
    if draft.verdict.refused:
        return (
            f"{carries}Write how it ended into the studio's table of trials: there it counts for "
            "others of its kind. This piece carries no book, whether it stood or not."
        )
    hour = math.ceil(100 * load_to_prove(60)) / 100  # never rounded against what it asks
    return (
        f"{carries}Stood for 24 h: this piece is proved, for this book and opening, below 30 °C. "
        f"For 1 h only {hour:.2f} × does that. Write it into the studio's table of trials, a "
        "collapse too: there it counts. A conservator decides what lies on a support."
    )


def _fields(page: Paper, box: Box) -> float:
    """Draw the table to fill in; return y below it."""
    wide, y = box.width / len(_FIELDS), box.top
    for i, head in enumerate(_FIELDS):
        page.text((box.left + i * wide + 1.0, y - 3.0), head, LEAST, grey=SOFT, width=wide - 1.5)
    lefts = [box.left + i * wide for i in range(len(_FIELDS) + 1)]
    return page.ruled(lefts, y - 4.4, _ROW, _TRIALS)
