"""Lengths and sentences as the bench reads them."""

import math

from cutfiles.bench.slip import SideName, Slip
from cutfiles.support.cradle import SIDES, Support
from cutfiles.support.fold_order import FoldStep
from cutfiles.units import MM_PER_INCH, Units


def both(mm: float, units: Units) -> str:
    """Return a length in mm, and in inches too if the slip is in inches.

    >>> both(65.48, "mm"), both(65.48, "in")
    ('65.5 mm', '65.5 mm (2.58 in)')
    """
    return f"{mm:.1f} mm ({mm / MM_PER_INCH:.2f} in)" if units == "in" else f"{mm:.1f} mm"


def short(mm: float, units: Units) -> str:
    """Return a length without its unit's name where it is mm.

    >>> short(65.48, "mm"), short(65.48, "in")
    ('65.5', '65.5 (2.58")')
    """
    return f'{mm:.1f} ({mm / MM_PER_INCH:.2f}")' if units == "in" else f"{mm:.1f}"


def as_measured(mm: float, units: Units) -> str:
    """Return a measured length, to 0.01 mm, idle zeros left out.

    >>> as_measured(203.0, "mm"), as_measured(196.85, "in")
    ('203 mm', '196.85 mm (7.75 in)')
    """
    text = f"{mm:.2f}".rstrip("0").rstrip(".") + " mm"
    return f"{text} ({round(mm / MM_PER_INCH, 3):g} in)" if units == "in" else text


def measures(slip: Slip) -> tuple[str, ...]:
    """Return what was measured, a line each for the book and its sides."""
    book, opening, units = slip.book, slip.opening, slip.units
    parts = [
        f"height {as_measured(book.height, units)}",
        f"spine width {as_measured(opening.spine_width, units)}",
    ]
    if book.thickness is not None:
        parts.append(f"closed thickness {as_measured(book.thickness, units)}")
    if book.weight is not None:
        parts.append(f"weight {book.weight:.0f} g")
    parts.append(f"opening {opening.opening_angle:.1f}°")
    lines = [" · ".join(parts)]
    for side in SIDES:
        board = opening.left if side == "left" else opening.right
        text = (
            f"{side} board {as_measured(board.width, units)} wide, rise {both(board.rise, units)}, "
            f"slope {board.slope:.1f}°"
        )
        if board.side is not None:
            text += f", side {as_measured(board.side, units)} thick"
        lines.append(text)
    return tuple(lines)


def step_sentence(step: FoldStep, support: Support) -> str:
    """Return what to do in one step, in one or two short sentences."""
    numbers = {fold.name: str(i + 1) for i, fold in enumerate(support.profile.folds)}
    at = " and ".join(numbers[f.crease] for f in step.folds if f.crease in numbers)
    left = [f"{180 - math.degrees(abs(f.angle)):.1f}°" for f in step.folds]
    angles = left[0] if len(set(left)) == 1 else " and ".join(left)
    several = len(step.folds) > 1
    match step.verb:
        case "Lay":
            return (
                f'the film with that face up on which "{support.slip.book.number}" reads, its '
                "head away from you."
            )
        case "Tuck":
            return "the inner flap under along A. Press the fold flat."
        case "Cover":
            return "it: turn the outer flap under along B, over the inner one. Press flat."
        case "Raise":
            by = [f"{math.degrees(f.angle):.1f}°" for f in step.folds]
            rise = by[0] if len(set(by)) == 1 else " and ".join(by)
            return f"the board{'s' if several else ''} at {at}, by {rise}."
        case "Bend":
            return f"the leg{'s' if several else ''} down at {at}. {angles} is left inside."
        case "Turn in":
            order = " then " if support.lapped and several else " and "
            at = at.replace(" and ", order)
            return f"the base{'s' if several else ''} under the support at {at}: square, 90°."
        case "Stick":
            return _stick_sentence(step.sides, support)
        case "Check":
            return "it on a level table: the three numbers below, no rocking, no twist."


def _stick_sentence(sides: tuple[SideName, ...], support: Support) -> str:
    if support.lapped:
        return (
            "the left tab to the spine panel's underside, then the right tab under the left one. "
            "Liner off one at a time."
        )
    tabs = "one tab, then the other," if len(sides) == 2 else "the tab"
    return f"{tabs} to the spine panel's underside. Liner off one at a time."


def do_nots(slip: Slip) -> tuple[str, ...]:
    """Return what this book does not bear, from its slip."""
    book = slip.book
    found = [
        f"Never open it further than {slip.opening.opening_angle:.0f}°; never press the spine "
        "or the boards down."
    ]
    if book.cover == "limp":
        found.append("Limp cover: never show it without its straps.")
    if book.note:
        found.append(f"From the slip: {book.note}")
    return tuple(found)
