"""Edits of the whole drawing: how it lies, its unit, its layers and colours, what is no line."""

import math
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from cutfiles.edits.edit import Edit, State
from cutfiles.edits.lie import SCALES, Lie
from cutfiles.edits.line import Opened
from cutfiles.edits.roles import Known, role_coloured
from cutfiles.edits.scene import Scene, edit_at, on_pattern, site_of
from cutfiles.pattern.pattern import Role
from cutfiles.words.scales import KNOWN_SCALES

_LITTLE = 0.05
"""A move of the whole by less is rounding, mm."""


def whole_edits(opened: Opened, lie: Lie) -> Iterator[Edit]:
    """Yield how the drawing lies, one sentence each."""
    known = next((k for k in SCALES if abs(lie.across / k - 1) < 1e-9), None)
    if abs(lie.across / lie.up - 1) > 2e-4:
        yield _edit(
            "look at it",
            f"stretched: {lie.across:.4g} times as long left to right, {lie.up:.4g} times tail to "
            "head; what is made has the size as designed",
        )
    elif known is None:
        yield _edit(
            "look at it", f"{lie.across:.4g} times as large; what is made has the size as designed"
        )
    elif known != 1.0:
        yield _edit("harmless", f"{lie.across:.4g} times as large ({KNOWN_SCALES[known]}): read so")
    if lie.mirrored:
        yield _edit(
            "look at it", "mirrored left to right; what is made has the book face up, as designed"
        )
    degrees = math.degrees(lie.turn)
    if abs(degrees) > 0.01:
        yield _edit("harmless", f"turned by {degrees:.4g}°: read so")
    elif not lie.mirrored and max(abs(lie.at.x), abs(lie.at.y)) > _LITTLE * max(lie.across, 1.0):
        told = f"moved by {lie.at.x:.2f}, {lie.at.y:.2f} mm"
        yield _edit("harmless", f"{told}: read so")
    if opened.unit.startswith("no ") and opened.form == "SVG":
        yield _edit("harmless", f"saved with {opened.unit}; read by its pattern, in mm")


def _edit(state: State, why: str) -> Edit:
    return Edit(kind="whole", name="whole drawing", state=state, why=why)


def statement_edits(opened: Opened, facts: Mapping[str, str]) -> Iterator[Edit]:
    """Yield what the file no longer states of itself, or states of another support."""
    number = opened.facts.get("number")
    if number is not None and number != facts.get("number"):
        yield Edit(
            kind="statements lost",
            name="number",
            state="look at it",
            why=f'it says it is "{number[:60]}", the slip is "{facts.get("number")}"',
        )
    elif number is None:
        yield Edit(
            kind="statements lost",
            name="number and measures",
            why="its program dropped them; what is made states them again",
        )


def look_edits(known: Sequence[Known], inks: Mapping[Role, frozenset[str]]) -> Iterator[Edit]:
    """Yield roles drawn in colours of their own, or with gaps."""
    for role in Role:
        own = [one for one in known if one.role is role and one.by == "name"]
        colours = Counter(one.line.colour for one in own if one.line.colour)
        new = [c for c in colours if c not in inks[role] and role_coloured(c) is not role]
        if new:
            yield Edit(
                kind="restyled", name=role.value, why=f"drawn in {', '.join(sorted(new)[:4])}"
            )
        if any(one.line.dashed for one in own):
            yield Edit(kind="restyled", name=role.value, why="drawn with gaps; made whole")


def layer_edits(scene: Scene) -> Iterator[Edit]:
    """Yield layers whose role had to be guessed, and layers that are none of ours."""
    guessed: dict[tuple[str, str, str], int] = {}
    unknown: dict[str, list[Known]] = {}
    for one in scene.lines:
        layer = one.line.layer or "no layer"
        if one.role is None:
            unknown.setdefault(layer, []).append(one)
        elif one.by != "name":
            key = (layer, one.role.value, one.by)
            guessed[key] = guessed.get(key, 0) + 1
    if guessed:
        told: dict[tuple[str, str], int] = {}
        for (_, role, by), count in guessed.items():
            told[role, by] = told.get((role, by), 0) + count
        parts = [f"{count} as {role} by {by}" for (role, by), count in told.items()]
        yield Edit(
            kind="layer renamed",
            name=", ".join(dict.fromkeys(layer for layer, *_ in guessed))[:80],
            state="look at it",
            why=f"no layer of ours; taken for what it is: {', '.join(parts)}: confirm",
        )
    for layer, lines in unknown.items():
        paths = [one.path for one in lines]
        yield edit_at(
            "unknown layer",
            layer[:60],
            site_of(scene.pattern, paths),
            on_pattern(paths),
            why="no machine works it; move it to label or cut-holes if it is to be drawn or cut"
            + (f" ({len(lines)} lines)" if len(lines) > 1 else ""),
            state="look at it",
        )


def alone_edits(
    opened: Opened, roles: Mapping[str, Role | None], notes: Collection[str]
) -> Iterator[Edit]:
    """Yield what is no line and was left alone: on machine layers it is to be looked at.

    Args:
        opened: the drawing.
        roles: of the layers on which something was left alone.
        notes: texts that the drawing has by itself.

    """
    seen: Counter[tuple[str, str]] = Counter(
        (one.what, one.layer)
        for one in opened.left
        if roles.get(one.layer) is not Role.GUIDE and one.text not in notes
    )
    for (what, layer), count in seen.items():
        machine = roles.get(layer) is not None
        where = f"on {layer}" if layer else "on no layer"
        yield Edit(
            kind="left alone",
            name=what if count == 1 else f"{count} × {what}",
            state="look at it" if machine else "harmless",
            why=f"{where}: no machine works it"
            + ("; turn it into lines there if it is to be drawn" if machine else ""),
        )
