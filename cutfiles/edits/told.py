"""Edits in words: one sentence each, numbered alike in table, picture and data."""

from collections.abc import Sequence

from cutfiles.edits.edit import STATES, Edit
from cutfiles.words.bench import panels_text


def edit_text(edit: Edit) -> str:
    """Return an edit in one sentence: what, where, why, and what follows."""
    return f"{edit_told(edit)}: {state_told(edit)}"


def edit_told(edit: Edit) -> str:
    """Return an edit in words without its state: what, where and why."""
    if edit.kind == "whole":
        return f"the whole is {edit.why}"
    what = edit.kind if not edit.name else f"{edit.kind} ({edit.name})"
    moved = f" by {edit.moved[0]:.1f}, {edit.moved[1]:.1f} mm" if any(edit.moved) else ""
    where = f", on the {panels_text(edit.panel)}" if edit.panel else ""
    place = f" at ({edit.at.x:.1f}, {edit.at.y:.1f})" if edit.at and edit.panel else ""
    return f"{what}{moved}{where}{place}" + (f": {edit.why}" if edit.why else "")


def briefly_told(kind: str, panel: str) -> str:
    """Return an edit as it is told among others: its kind, and the panels it lies on by name."""
    return f"{kind} on the {panels_text(panel) or 'sheet'}"


def state_told(edit: Edit) -> str:
    """Return an edit's state in words; what was accepted says so."""
    if edit.accepted and edit.state != STATES[-1]:
        return f"{edit.state}, accepted"
    return edit.state


def numbered(edits: Sequence[Edit]) -> list[tuple[int, Edit]]:
    """Return edits with their numbers, the worst first."""
    order = sorted(edits, key=lambda edit: -STATES.index(edit.state))
    return list(enumerate(order, start=1))
