"""The steps at the bench in words: creases by letters, which way by valley or mountain, and faces.

Valley and mountain are as seen from the book face. While the piece lies turned over, table face up,
its flaps are folded up and right over: no film on a table is folded under.
"""

import math
from collections.abc import Iterable, Sequence
from itertools import groupby

from cutfiles.lengths import Lengths
from cutfiles.support.construct import POST_FOLDS, piece_of
from cutfiles.support.contacts import Tape
from cutfiles.support.landing import landing
from cutfiles.support.standing import Support
from cutfiles.support.steps import (
    INNER_FOLD,
    LONG_LETTERS,
    OUTER_FOLD,
    FoldStep,
    FoldTo,
    letters_of,
)
from cutfiles.words.bench import panel_text, spine_tilt, stuck_to

OVER = "up and right over, by 180°; press it flat"
"""How a flap or hem is folded on the piece turned over."""


def step_sentence(step: FoldStep, support: Support, *, refused: bool) -> str:
    """Return what to do in one step, after its verb, in one or two short sentences.

    Args:
        step: of the fold order.
        support: that is folded.
        refused: whether its verdict lets no book lie on it.

    """
    if refused and step.verb == "Fit":
        return "no book on it: this support is not to be used."
    said = _laid(step, support)
    return said if said else _folded(step, support)


def _laid(step: FoldStep, support: Support) -> str:
    """Return the sentence of a step before the cross creases, or of one that folds nothing."""
    match step.verb:
        case "Lay":
            number = support.slip.book.number
            return f'the film with that face up on which "{number}" reads, its head away from you.'
        case "Turn over":
            return "the film, head towards you: left stays left, the table face is up."
        case "Tuck":
            return f"in the inner flap: {LONG_LETTERS[INNER_FOLD]} {OVER}."
        case "Cover":
            return f"it with the outer flap: {LONG_LETTERS[OUTER_FOLD]} {OVER}."
        case "Hem":
            return f"{_hems(step, support)}: each flap {OVER}."
        case "Lip":
            legs = listed(dict.fromkeys(_panel_of(one, support) for one in step.folds))
            return (
                f"the {legs} at head and tail: each flap up past square, by 120°, then back to "
                "stand at 90° (85° at the least)."
            )
        case "Post":
            return _posts(step, support)
        case "Tape":
            panels = listed(f"the {panel_text(support.panel(t.panel))}" for t in step.taped)
            return f"{panels} on the face now up, as under Tape. The liner stays on."
        case "Turn back":
            return "the film, head away from you: the number reads again, the book face is up."
        case "Fit":
            return "the book on it, liner on (fitting page). Conservator's word first."
        case "Stick":
            return f"{_sticks(step.taped, support)}. Liner off one at a time."
        case "Check":
            high = max(support.halves, key=lambda half: half.joint.y)
            joint = Lengths(support.slip.units).both(high.joint.y)
            tilted = f", {high.side} joint {joint} high" if spine_tilt(support) else ""
            return f"it on a level table: the numbers under Check{tilted}; no rocking, no twist."
        case _:
            return ""


def _folded(step: FoldStep, support: Support) -> str:
    """Return the sentence of a step that folds cross creases."""
    folds = folds_text(step, support)
    several = "s" if len(step.folds) > 1 else ""
    match step.verb:
        case "Raise":
            return f"the board panel{several}: {folds}."
        case "Bend":
            return f"the leg{several} down: {folds}; {_inside(step.folds)} inside."
        case "Bend up":
            return f"the end of the strip: {folds}; {_inside(step.folds)} inside."
        case "Turn in":
            return f"the base{several} under the support: {folds}."
        case "Roll":
            return f"the end of the strip round: {folds}."
        case _:
            raise AssertionError(step.verb)


def folds_text(step: FoldStep, support: Support) -> str:
    """Return the creases of a step, by letter, which way and how far each is folded.

    >>> from cutfiles.bench.slip import slip_from
    >>> from cutfiles.support.design import design
    >>> made = design(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                          "spine_width": 34, "opening_angle": 120}))
    >>> folds_text(next(step for step in made.steps if step.verb == "Raise"), made)
    'C and D valley, by 30.0°'
    """
    letters = letters_of(support.profile)
    parts = []
    for (way, degrees), folds in groupby(step.folds, key=_way):
        names = [letters[fold.crease] for fold in folds]
        parts.append(f"{(' then ' if step.in_turn else ' and ').join(names)} {way}, by {degrees}")
    return (", then " if step.in_turn else "; ").join(parts)


def _way(fold: FoldTo) -> tuple[str, str]:
    way = "valley" if fold.angle > 0 else "mountain"
    return way, f"{math.degrees(abs(fold.angle)):.1f}°"


def _inside(folds: Iterable[FoldTo]) -> str:
    """Return the angles that are left inside folds: ``60.0°``, ``65.0° and 55.0°``."""
    left = dict.fromkeys(f"{180 - math.degrees(abs(fold.angle)):.1f}°" for fold in folds)
    return " and ".join(left)


def _panel_of(fold: FoldTo, support: Support) -> str:
    """Return the panel whose flap a fold makes: ``left board panel`` of its hem at the head."""
    return panel_text(support.panel(fold.crease.partition(", ")[0].rpartition(" ")[0]))


def _hems(step: FoldStep, support: Support) -> str:
    sides = [fold for fold in step.folds if not fold.crease.endswith(", end")]
    ends = [fold for fold in step.folds if fold.crease.endswith(", end")]
    said = []
    if sides:
        panels = listed(dict.fromkeys(_panel_of(fold, support) for fold in sides))
        said.append(f"the {panels} at head and tail")
    said += [f"the end of the {_panel_of(fold, support)}" for fold in ends]
    return " and ".join(said)


def listed(names: Iterable[str]) -> str:
    """Return names in a row: ``a, b and c``."""
    each = list(names)
    return f"{', '.join(each[:-1])} and {each[-1]}" if len(each) > 1 else each[0]


def _posts(step: FoldStep, support: Support) -> str:
    letters, piece = letters_of(support.profile), piece_of(support)
    legs = dict.fromkeys(piece.strip.panels[post.leg].name for post in piece.posts)
    feet = listed(f"{letters[leg.replace(' leg', ' foot')]} ({leg})" for leg in legs)
    count = len(step.folds) // len(POST_FOLDS)
    return (
        f"{count} hollow posts: three folds of 120° each, label outside; lap down on the tape of "
        f"the face with the label; then the lap to the leg as it lies, foot on {feet}, between "
        "the ticks."
    )


# -- tape ------------------------------------------------------------------------------------------


def _sticks(tapes: Sequence[Tape], support: Support) -> str:
    return ", then ".join(
        f"the {panel_text(support.panel(tape.panel))} {stuck_to(tape, support)}"
        f"{tick_text(tape, support)}"
        for tape in tapes
    )


def tick_text(tape: Tape, support: Support) -> str:
    """Return where the inner end of a taped tab comes to lie; nothing for a panel between creases.

    >>> from cutfiles.bench.slip import slip_from
    >>> from cutfiles.support.design import design
    >>> made = design(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                          "spine_width": 34, "opening_angle": 120}))
    >>> tick_text(made.contacts.tapes[0], made)
    ', its ticks at C'
    """
    found, letters = landing(tape, support), letters_of(support.profile)
    if found is None:
        return ""
    line = letters[found.own] if found.own else "its ticks"
    if found.at is not None:
        return f", {line} at {letters[found.at]}"
    return f", {line} on the ticks" if found.own else ""
