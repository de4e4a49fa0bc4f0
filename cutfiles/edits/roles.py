"""Roles known again: by name, by processing step, by ink, else by shape, else by colour.

Lines that look alike and lie on one layer have one role. A name of ours is taken at its word; where
a layer is called otherwise, what most of its lines run over tells; colour tells last.
"""

import re
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.edits.cover import Cover
from cutfiles.edits.line import Line
from cutfiles.pattern.pattern import COLOURS, Role
from cutfiles.plane.shapes import Path

By = Literal["name", "shape", "colour", "nothing"]

_ALSO = {"guide-tape": Role.GUIDE, "pin-holes": Role.HOLES}
_DXF_INKS = {
    "#00FF00": Role.LABEL,
    "#FF7F00": Role.MOUNTAIN,
    "#FF00FF": Role.REGISTRATION,
    "#808080": Role.GUIDE,
    "#0000FF": Role.VALLEY,
    "#000000": Role.OUTLINE,
}
_INKS = {ink: role for role, ink in COLOURS.items() if role is not Role.HOLES} | _DXF_INKS
_NEAR_INK = 48
"""Colours of levels no further apart than this, all three together, are one."""


@dataclass(frozen=True, slots=True)
class Known:
    """A line of which is known, or guessed, what it is for.

    Attributes:
        line: as it was opened.
        path: where it runs in the design, mm.
        role: what it is for; None where nothing tells.
        by: what told it.

    """

    line: Line
    path: Path
    role: Role | None
    by: By


class Guess(NamedTuple):
    """Lines of one layer that no name of ours told, and what they were taken for.

    Attributes:
        layer: people see them on; empty for none.
        role: they were taken for; None where nothing told one.
        by: what told it.
        lines: how many.

    """

    layer: str
    role: Role | None
    by: By
    lines: int


def guesses(known: Sequence[Known]) -> tuple[Guess, ...]:
    """Return what was guessed, layer by layer, in the order of the drawing."""
    counts = Counter((one.line.layer, one.role, one.by) for one in known if one.by != "name")
    return tuple(Guess(*what, lines) for what, lines in counts.items())


def role_named(name: str, layers: Mapping[str, str]) -> Role | None:
    """Return the role that a name tells, in any case, with a number or a copy's mark behind it.

    Args:
        name: of an object, a layer, an ink.
        layers: roles to names of layers, where a cutter calls them otherwise.

    >>> role_named("SCORE_VALLEY", {}), role_named("cut-outline-3", {}), role_named("Layer 1", {})
    (<Role.VALLEY: 'score-valley'>, <Role.OUTLINE: 'cut-outline'>, None)

    """
    plain = re.sub(r"[\s_]+", "-", name.strip().lower())
    for _ in range(3):
        for role in Role:
            if plain in (role.value, layers.get(role, "").lower() or None):
                return role
        if plain in _ALSO:
            return _ALSO[plain]
        shorter = re.sub(r"[-#.(]*(\d+|copy)\)?$", "", plain)
        if shorter == plain:
            break
        plain = shorter
    return None


def role_coloured(colour: str) -> Role | None:
    """Return the role whose colour this is, black for cuts; None where it is nobody's."""
    if not colour:
        return None

    def apart(ink: str) -> int:
        return sum(abs(int(ink[i : i + 2], 16) - int(colour[i : i + 2], 16)) for i in (1, 3, 5))

    best = min(_INKS, key=apart)
    return _INKS[best] if apart(best) <= _NEAR_INK else None


def known_lines(
    lines: Sequence[tuple[Line, Path]], covers: Mapping[Role, Cover], layers: Mapping[str, str]
) -> tuple[Known, ...]:
    """Return the lines with their roles.

    Args:
        lines: each with where it runs in the design, mm.
        covers: the design's lines by role.
        layers: roles to names of layers, where a cutter calls them otherwise.

    """
    named = [_by_names(line, layers) for line, _ in lines]
    groups: dict[tuple[str, str, bool], list[int]] = defaultdict(list)
    for i, (line, _) in enumerate(lines):
        if named[i] is None:
            groups[(line.layer, line.colour, line.dashed)].append(i)
    guessed: dict[int, tuple[Role | None, By]] = {}
    some = any(named)
    for members in groups.values():
        guessed |= _guess([lines[i] for i in members], members, covers, some)
    return tuple(
        Known(line, path, own, "name")
        if (own := named[i]) is not None
        else Known(line, path, *guessed[i])
        for i, (line, path) in enumerate(lines)
    )


def _by_names(line: Line, layers: Mapping[str, str]) -> Role | None:
    found = (role_named(name, layers) for name in line.names)
    return next((role for role in found if role is not None), None)


def _guess(
    lines: Sequence[tuple[Line, Path]],
    members: Sequence[int],
    covers: Mapping[Role, Cover],
    some: bool,
) -> dict[int, tuple[Role | None, By]]:
    """Return the roles of lines that look alike: by shape, the rest as most of them, or by ink.

    Args:
        lines: alike in layer, colour and dashes.
        members: their numbers.
        covers: the design's lines by role.
        some: whether other lines of the drawing are named by role.

    """
    own: list[Role | None] = [
        next((role for role in covers if covers[role].covers(path)), None) for _, path in lines
    ]
    hits = [role for role in own if role is not None]
    colour = role_coloured(lines[0][0].colour)
    common: Role | None = max(hits, key=hits.count) if hits else None
    rest: tuple[Role | None, By] = (None, "nothing")
    if common is not None and 2 * hits.count(common) >= len(lines):
        rest = (common, "shape")
    elif colour is not None and (not some or hits):
        rest = (colour, "colour")
    return {
        i: (role, "shape") if role is not None else rest
        for i, role in zip(members, own, strict=True)
    }
