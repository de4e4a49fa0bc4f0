"""Tape and straps in words: what kind, how much, where, and what becomes of it."""

from collections.abc import Iterable

from cutfiles.lengths import Lengths
from cutfiles.plane.shapes import Box
from cutfiles.support.constructions.posts import TAPE_WIDTH
from cutfiles.support.contacts import Tape
from cutfiles.support.standing import Support, initial
from cutfiles.support.straps import straps
from cutfiles.words.bench import panel_text, tape_sentence
from cutfiles.words.steps import listed

TAPE_KIND = (
    "Double-sided tape: polyester carrier, acrylic adhesive on both sides. Keep the roll bagged, "
    "not on the table."
)


def tape_lines(
    support: Support, places: Iterable[tuple[Tape, Box, float]], says: Lengths, *, refused: bool
) -> tuple[str, ...]:
    """Return what tape is wanted, where each piece goes, and when its liner comes off.

    Args:
        support: what is taped.
        places: each tape with its place in the pattern, and how far it stays off head and tail, mm.
        says: how lengths are written.
        refused: whether no book is fitted before the last tape sticks.

    """
    texts: dict[str, list[str]] = {}
    for tape, box, off in places:
        panel = support.panel(tape.panel)
        end = "outer" if panel.part.endswith("tab") else tape.end
        text = (
            f"{says.both(box.width)} wide, {says.both(box.height)} long; "
            f"{says.both(tape.clear)} from its {end} end, {says.both(off)} from its edges at head "
            "and tail."
        )
        texts.setdefault(text, []).append(f"the {panel_text(panel)}")
    lines = [TAPE_KIND, *(f"On {listed(who)}: {text}" for text, who in texts.items())]
    lines.append(tape_sentence(support))
    lines.append(
        "Each liner comes off at the step that sticks its tape"
        + ("." if refused else ", the last one after the fitting.")
    )
    if any(step.verb == "Post" for step in support.steps):
        lines.append(
            f"Posts: {TAPE_WIDTH:g} mm wide on the face with the label and on the outer face of "
            "the lap, 3 mm short of foot and head. Without tape a post carries next to nothing."
        )
    return tuple(lines)


def strap_lines(support: Support, says: Lengths) -> tuple[str, ...]:
    """Return which straps hold the leaves, how long, where, and where they are joined."""
    found = straps(support)
    slotted = support.choices.strap_slots == "yes"
    slots = ", through the slots in the board panel" if slotted else ""
    lines = [
        f"{initial(s.side)}: {s.kind} {says.measured(s.width)} wide, cut "
        f"{says.measured(s.cut_length)}, lap {says.measured(s.lap)}; head to tail round board and "
        f"leaves, {says.measured(s.from_fore_edge)} from the fore edge{slots}."
        for s in found
    ]
    if not all(s.measured for s in found):
        lines.append("Sides not measured: half the spine width was used; measure and trim.")
    lines.append(
        "Joined to itself under the board, out of sight; never to the book or the support. On "
        "blank margin; a slip of paper must slide under it. Leaves that stand up: a second one."
    )
    return tuple(lines)
