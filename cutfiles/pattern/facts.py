"""What every file says of itself: number, unit, view, film, measures, program."""

import re
from collections.abc import Mapping
from dataclasses import replace

from cutfiles.bench.book import SIDES, Board, Known, Opening
from cutfiles.bench.choices import CHOSEN, Choices
from cutfiles.bench.film import MATERIAL
from cutfiles.bench.slip import Slip, slip_from
from cutfiles.support.standing import Support
from cutfiles.tables.value import write_value
from cutfiles.version import VERSION

STEEP = 45.0
"""Steeper slopes are taken as stated, degrees; flatter ones follow from the rise."""
SETTINGS = "settings"
"""The fact that tells what was set otherwise than usual."""
_KNOWN: dict[Known, str] = {"asked": "not measured", "guessed": "guessed"}
"""What is stated where the joints were not measured and probably are not level."""
PROGRAM = "made by"
"""The one fact that may differ when a file is checked at a later time."""


def facts_of(support: Support) -> tuple[tuple[str, str], ...]:
    """Return the facts, name and value, in order. Lengths in mm, angles in degrees."""
    book, opening = support.slip.book, support.slip.opening
    return (
        ("number", book.number),
        ("unit", "mm"),
        ("view", "book face up, head up"),
        ("material", MATERIAL),
        ("gauge", support.film.gauge_text),
        ("layers", str(support.film.layers)),
        ("height", _mm(book.height)),
        ("spine width", _mm(opening.spine_width)),
        *_board("left", opening.left),
        *_board("right", opening.right),
        *_joints(opening),
        *_settings(support.choices),
        (PROGRAM, f"cutfiles {VERSION}"),
    )


def slip_of_facts(facts: Mapping[str, str], source: str) -> Slip:
    """Return the slip that a file's own statements amount to, to the precision they are given in.

    Args:
        facts: name to value, as a file states them.
        source: how messages call it.

    Raises:
        SlipError: statements are missing or cannot be read.

    """
    names = {
        "number": "number",
        "height": "height",
        "spine width": "spine_width",
        "left width": "left_width",
        "right width": "right_width",
        "left joint": "left_joint",
        "right joint": "right_joint",
    }
    values: dict[str, object] = {
        field: facts[name] for name, field in names.items() if name in facts
    }
    for side in SIDES:
        slope, rise = facts.get(f"{side} slope", ""), facts.get(f"{side} rise", "")
        # a rise says little of a steep slope, a slope little of a flat one
        if re.fullmatch(r"\d{1,2}\.\d{1,2} deg", slope) and float(slope[:-4]) > STEEP:
            values[f"{side}_slope"] = slope
        elif rise:
            values[f"{side}_rise"] = rise
    settings = [part.split(" ", 1) for part in facts.get(SETTINGS, "").split("; ") if part]
    support = {part[0]: part[-1] for part in settings}
    if "gauge" in facts:
        support["gauge"] = facts["gauge"].partition("(")[0].strip()
    if "layers" in facts:
        support["layers"] = facts["layers"]
    slip = replace(slip_from({**values, "support": support}, source), settled=True)
    known = {said: known for known, said in _KNOWN.items()}.get(facts.get("joints", ""))
    if known is None:
        return slip
    return replace(slip, opening=replace(slip.opening, joints=known))


def _board(side: str, board: Board) -> tuple[tuple[str, str], ...]:
    return (
        (f"{side} width", _mm(board.width)),
        (f"{side} rise", _mm(board.rise)),
        (f"{side} slope", f"{board.slope:.2f} deg"),
    )


def _joints(opening: Opening) -> tuple[tuple[str, str], ...]:
    """Return where the joints stand, where they are not level, and how that is known."""
    found: tuple[tuple[str, str], ...] = ()
    if opening.step:
        found = (("left joint", _mm(opening.left.joint)), ("right joint", _mm(opening.right.joint)))
    known = _KNOWN.get(opening.joints)
    return (*found, ("joints", known)) if known else found


def _mm(length: float) -> str:
    return f"{length:.2f} mm"


def _settings(choices: Choices) -> tuple[tuple[str, str], ...]:
    """Return what was set otherwise than usual, so that the file can be checked by itself."""
    usual = Choices()
    said = [
        f"{one.name} {write_value(one, getattr(choices, one.name))}"
        for one in CHOSEN
        if getattr(choices, one.name) != getattr(usual, one.name)
    ]
    return ((SETTINGS, "; ".join(said)),) if said else ()
