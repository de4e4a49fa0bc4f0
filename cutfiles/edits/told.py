"""Edits in words: one sentence each, numbered alike in table, picture and data."""

from collections.abc import Sequence

from cutfiles.edits.edit import STATES, Edit


def edit_text(edit: Edit) -> str:
    """Return an edit in one sentence: what, where, why, and what follows."""
    if edit.kind == "whole":
        said = f"the whole is {edit.why}"
    else:
        what = edit.kind if not edit.name else f"{edit.kind} ({edit.name})"
        moved = ""
        if any(edit.moved):
            moved = f" by {edit.moved[0]:.1f}, {edit.moved[1]:.1f} mm"
        where = f", on the {edit.panel}" if edit.panel else ""
        place = f" at ({edit.at.x:.1f}, {edit.at.y:.1f})" if edit.at and edit.panel else ""
        said = f"{what}{moved}{where}{place}" + (f": {edit.why}" if edit.why else "")
    return f"{said}: {state_told(edit)}"


def state_told(edit: Edit) -> str:
    """Return an edit's state in words; what was accepted says so."""
    if edit.accepted and edit.state != STATES[-1]:
        return f"{edit.state}, accepted"
    return edit.state


def numbered(edits: Sequence[Edit]) -> list[tuple[int, Edit]]:
    """Return edits with their numbers, the worst first."""
    order = sorted(edits, key=lambda edit: -STATES.index(edit.state))
    return list(enumerate(order, start=1))
