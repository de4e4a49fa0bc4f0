"""Lengths and sentences as the bench reads them."""

import math

from cutfiles.bench.book import SIDES, Book
from cutfiles.bench.slip import Slip
from cutfiles.lengths import Lengths
from cutfiles.support.contacts import Tape
from cutfiles.support.profile import Panel, walk
from cutfiles.support.standing import Support, board_of

_LEVEL = 0.05
"""Less tilt than this is none, degrees."""


def heading_text(book: Book) -> str:
    """Return what stands over all that is made for a book: its number and its title."""
    return " · ".join(part for part in (book.number, book.title) if part)


def where_text(slip: Slip) -> str:
    """Return where a book is found and lies open: shelf mark and opening, as far as told."""
    return ", ".join(part for part in (slip.book.shelf_mark, slip.opening.label) if part)


def measures(slip: Slip) -> tuple[str, ...]:
    """Return what was measured, a line each for the book and its sides."""
    book, opening, says = slip.book, slip.opening, Lengths(slip.units)
    parts = [
        f"height {says.measured(book.height)}",
        f"spine width {says.measured(opening.spine_width)}",
    ]
    if book.thickness is not None:
        parts.append(f"closed thickness {says.measured(book.thickness)}")
    if book.weight is not None:
        parts.append(f"weight {book.weight:.0f} g")
    parts.append(f"opening {opening.opening_angle:.1f}°")
    lines = [" · ".join(parts)]
    for side in SIDES:
        board = board_of(slip, side)
        text = (
            f"{side} board {says.measured(board.width)} wide, rise {says.both(board.rise)}, "
            f"slope {board.slope:.1f}°"
        )
        if opening.step:
            text += f", joint {says.both(board.joint)} above the table"
        if board.side is not None:
            text += f", side {says.measured(board.side)} thick"
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


def stuck_to(tape: Tape, support: Support) -> str:
    """Return where a tape is stuck: ``to the spine panel's table face``, ``under the left one``."""
    to = support.panel(tape.to)
    if support.panel(tape.panel).part == to.part:
        return f"under the {to.side} one"
    # of three layers the flap that lies below shows its book face
    face = f"{tape.to_face} face" if support.film.layers == 1 else side_of(tape, support)
    return f"to the {panel_text(to)}'s {face}"


def side_of(tape: Tape, support: Support) -> str:
    """Return which side of the panel that a tape is stuck to meets it when all stands."""
    upright = math.cos(walk(support.profile).headings[support.profile.index(tape.to)]) > 0
    return "underside" if (tape.to_face == "table") == upright else "upper side"


def panel_text(panel: Panel) -> str:
    """Return a panel's name as it stands in a sentence, told from spine and board of the book.

    >>> panel_text(Panel("spine", None, 35.0)), panel_text(Panel("tab", "left", 12.0))
    ('spine panel', 'left tab')
    """
    return panels_text(panel.name)


def panels_text(names: str) -> str:
    """Return panels by their names, several with commas, as they stand in a sentence.

    >>> panels_text("left leg, left board")
    'left leg, left board panel'
    """
    told = (
        f"{one} panel" if one.endswith(("spine", "board")) else one for one in names.split(", ")
    )
    return ", ".join(told)


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
            return f"tabs lapped, {one.side} under {other.side}"
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
        one, other = support.panel(tape.panel), support.panel(tape.to)
        own = f"{one.side} one" if one.part == "tab" else panel_text(one)
        if tape.to != first.to:
            meets += f", the {own} the {panel_text(other)}"
        elif side_of(tape, support) != side_of(first, support):
            meets += f", the {one.name} the {panel_text(other)}'s {side_of(tape, support)}"
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
