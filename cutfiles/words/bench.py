"""Lengths and sentences as the bench reads them."""

import math

from cutfiles.bench.book import SIDES
from cutfiles.bench.slip import Slip
from cutfiles.support.contacts import Tape
from cutfiles.support.profile import Panel, walk
from cutfiles.support.standing import Support, board_of
from cutfiles.support.steps import FoldStep
from cutfiles.units import MM_PER_INCH, Units

_LEVEL = 0.05
"""Less tilt than this is none, degrees."""


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
        board = board_of(slip, side)
        text = (
            f"{side} board {as_measured(board.width, units)} wide, rise {both(board.rise, units)}, "
            f"slope {board.slope:.1f}°"
        )
        if opening.step:
            text += f", joint {both(board.joint, units)} above the table"
        if board.side is not None:
            text += f", side {as_measured(board.side, units)} thick"
        lines.append(text)
    if opening.joints in ("asked", "guessed"):
        lines.append(
            "joints guessed, not measured: a trial at most"
            if opening.joints == "guessed"
            else "joints not measured, taken as level: a trial at most"
        )
    return tuple(lines)


def guessed_text(slip: Slip) -> str:
    """Return that the joints' heights are guessed, for every print; nothing where they are not."""
    return "joints guessed" if slip.opening.joints == "guessed" else ""


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
        case "Hem":
            return (
                "the edges: table face up, fold each flap at head and tail right under and press "
                "it flat."
            )
        case "Lip":
            return (
                "the legs: fold the flaps at head and tail in past square, then let them stand "
                "square: 85° at the least."
            )
        case "Post":
            return (
                f"{len(step.folds) // 3} hollow posts: three folds of 120° each, tape on face A, "
                "the lap down on it; the lap to the leg's table face, its foot on the foot crease, "
                "between the ticks."
            )
        case "Raise":
            by = [f"{math.degrees(abs(f.angle)):.1f}°" for f in step.folds]
            rise = by[0] if len(set(by)) == 1 else " and ".join(by)
            down = [numbers[f.crease] for f in step.folds if f.angle < 0 and f.crease in numbers]
            also = f" At {' and '.join(down)} it folds away from the book." if down else ""
            return f"the board{'s' if several else ''} at {at}, by {rise}.{also}"
        case "Bend":
            return f"the leg{'s' if several else ''} down at {at}. {angles} is left inside."
        case "Bend up":
            return f"the end of the strip at {at}. {angles} is left inside."
        case "Turn in":
            at = at.replace(" and ", " then ") if step.in_turn else at
            return f"the base{'s' if several else ''} under the support at {at}: square, 90°."
        case "Roll":
            each = ", ".join(
                f"{numbers[f.crease]} {_to(f.angle)} by {math.degrees(abs(f.angle)):.1f}°"
                for f in step.folds
            )
            return f"the end of the strip round: {each}."
        case "Fit":
            return "the book on it, liner on (page 2). Conservator's word first."
        case "Stick":
            return _stick_sentence(step.taped, support)
        case "Check":
            high = max(support.halves, key=lambda half: half.joint.y)
            joint = both(high.joint.y, support.slip.units)
            tilted = f", {high.side} joint {joint} high" if spine_tilt(support) else ""
            return f"it on a level table: the numbers below{tilted}; no rocking, no twist."


def _to(angle: float) -> str:
    return "towards the book" if angle > 0 else "away from it"


def _stick_sentence(tapes: tuple[Tape, ...], support: Support) -> str:
    if len({(tape.to, tape.to_face) for tape in tapes}) > 1:
        each = [f"the {tape.panel} {stuck_to(tape, support)}" for tape in tapes]
        return f"{', then '.join(each)}. Liner off one at a time."
    tabs = all(support.panel(tape.panel).part == "tab" for tape in tapes)
    alone = sum(support.panel(tape.panel).part == "tab" for tape in support.contacts.tapes) == 1
    one = "the tab" if tabs and alone else f"the {panel_text(support.panel(tapes[0].panel))}"
    what = "one tab, then the other," if len(tapes) == 2 and tabs else one
    return f"{what} {stuck_to(tapes[0], support)}. Liner off one at a time."


def stuck_to(tape: Tape, support: Support) -> str:
    """Return where a tape is stuck: ``to the spine panel's underside``, ``under the left one``."""
    to = support.panel(tape.to)
    if support.panel(tape.panel).part == to.part:
        return f"under the {to.side} one"
    return f"to the {panel_text(to)}'s {side_of(tape, support)}"


def side_of(tape: Tape, support: Support) -> str:
    """Return which side of the panel that a tape is stuck to meets it when all stands."""
    upright = math.cos(walk(support.profile).headings[support.profile.index(tape.to)]) > 0
    return "underside" if (tape.to_face == "table") == upright else "upper side"


def panel_text(panel: Panel) -> str:
    """Return a panel's name as it stands in a sentence, told from spine and board of the book.

    >>> panel_text(Panel("spine", None, 35.0)), panel_text(Panel("tab", "left", 12.0))
    ('spine panel', 'left tab')
    """
    return f"{panel.name} panel" if panel.part in ("spine", "board") else panel.name


def spine_tilt(support: Support) -> float:
    """Return how far the spine panel leans, degrees, positive; 0 where it is level or missing."""
    if not support.length("spine"):
        return 0.0
    (ax, ay), (bx, by) = support.ends_of("spine")
    tilt = math.degrees(math.atan2(abs(ay - by), bx - ax))
    return tilt if tilt > _LEVEL else 0.0


def tabs_text(support: Support) -> str:
    """Return in a few words how the support is taped."""
    tapes = support.contacts.tapes
    for tape in tapes:
        one, other = support.panel(tape.panel), support.panel(tape.to)
        if other.part == "tab":
            return f"tabs lapped, {one.side} on {other.side}"
    if len(tapes) == 1:
        return "one tab"
    return "tabs side by side" if len({tape.to for tape in tapes}) == 1 else f"{len(tapes)} tapes"


def tape_sentence(support: Support) -> str:
    """Return on which face all tape lies, and what it meets."""
    first, *more = support.contacts.tapes
    side = "underside" if first.face == "table" else "upper side"
    three = support.film.layers == 3
    turned = "book" if first.face == "table" else "table"
    film = f"there the outer flap's {turned} face" if three else f"the film's {first.face} face"
    meets = f"it meets the {side_of(first, support)} of the {panel_text(support.panel(first.to))}"
    for tape in more:
        if tape.to != first.to:
            one, other = support.panel(tape.panel), support.panel(tape.to)
            own = f"{one.side} one" if one.part == "tab" else panel_text(one)
            meets += f", the {own} the {panel_text(other)}"
    return (
        f"Double-sided, on the {side} of the folded piece ({film}): {meets}. Never on a face that "
        "meets the book or the table."
    )


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
