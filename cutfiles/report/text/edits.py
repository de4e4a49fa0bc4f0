"""Edits for people, one sentence each, and as data for programs."""

import math
from collections.abc import Sequence
from typing import Any

from cutfiles.edits.edit import STATES, Edit
from cutfiles.edits.find import Found
from cutfiles.edits.told import edit_text, numbered

_MARKS = {"harmless": "·", "look at it": "?", "breaks the support": "!"}


def edits_table(name: str, found: Found, gone: Sequence[Edit] = ()) -> str:
    """Return all edits of a drawing, the worst first, numbered as in the picture."""
    lines = [f"{name}: {_summary(found) if found.edits else 'the same'}"]
    for number, edit in numbered(found.edits):
        lines.append(f"  {_MARKS[edit.state]} {number:>2}  {edit_text(edit)}")
    for edit in gone:
        lines.append(f"  -     {edit.kind} on the {edit.panel} was accepted, and is not in it")
    return "\n".join(lines)


def _summary(found: Found) -> str:
    counts = [(state, sum(e.state == state for e in found.edits)) for state in reversed(STATES)]
    return ", ".join(f"{count} {_plural(state, count)}" for state, count in counts if count)


def _plural(state: str, count: int) -> str:
    if state == "breaks the support":
        return "breaks the support" if count == 1 else "break the support"
    return "to look at" if state == "look at it" else state


def edits_data(name: str, found: Found, gone: Sequence[Edit] = ()) -> dict[str, Any]:
    """Return edits as data, lengths in mm, angles in degrees.

    Keys: file, format, state, lie {turned, mirrored, across, up, moved}, edits [{number, kind,
    name, panel, band, at, size, moved, state, accepted, why}], gone [{kind, panel, at}].
    """
    lie = found.lie
    return {
        "file": name,
        "format": found.form,
        "state": found.state,
        "lie": {
            "turned": round(math.degrees(lie.turn), 4) + 0.0,
            "mirrored": lie.mirrored,
            "across": round(lie.across, 6),
            "up": round(lie.up, 6),
            "moved": [round(v, 3) + 0.0 for v in lie.at],
        },
        "edits": [
            {
                "number": number,
                "kind": edit.kind,
                "name": edit.name,
                "panel": edit.panel,
                "band": edit.band,
                "at": _place(edit),
                "size": [round(v, 2) for v in edit.size],
                "moved": [round(v, 2) for v in edit.moved],
                "state": edit.state,
                "accepted": edit.accepted,
                "why": edit.why,
            }
            for number, edit in numbered(found.edits)
        ],
        "gone": [{"kind": e.kind, "panel": e.panel, "at": _place(e)} for e in gone],
    }


def _place(edit: Edit) -> list[float] | None:
    return None if edit.at is None else [round(v, 2) + 0.0 for v in edit.at]
