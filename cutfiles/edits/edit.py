"""Edits: what a person changed in a drawing, where, and what follows from it."""

from collections.abc import Sequence
from typing import Literal, get_args

from cutfiles.dataclass import dataclass
from cutfiles.pattern.pattern import Role
from cutfiles.plane.shapes import Path, Point

State = Literal["harmless", "look at it", "breaks the support"]
"""From the best to the worst: nothing of the support changes; it does, within limits, or had to be
guessed; never to be cut."""
STATES: tuple[State, ...] = get_args(State)

Kind = Literal[
    "whole",
    "restyled",
    "layer renamed",
    "unknown layer",
    "left alone",
    "statements lost",
    "drawn double",
    "joined",
    "outline opened",
    "outline removed",
    "corner",
    "notch",
    "edge",
    "hole added",
    "hole moved",
    "hole resized",
    "hole removed",
    "slit added",
    "crease moved",
    "crease added",
    "crease removed",
    "crease shortened",
    "crease exchanged",
    "on another layer",
    "label moved",
    "label added",
    "label removed",
    "marks left out",
    "marks added",
    "guides left out",
    "guides added",
    "post changed",
    "film",
]

SUFFIX = ".edits.toml"
"""What the name of the file in which edits are kept has after the support's number."""
SAME = 0.035
"""A line is the same within this, mm: files round to 0.01 mm, 0.001 in or 720 to the inch."""


@dataclass(frozen=True, slots=True)
class Added:
    """Lines that are drawn besides the pattern's, mm in the pattern."""

    role: Role
    paths: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """Strokes of the pattern that lie elsewhere, mm."""

    role: Role
    name: str
    dx: float
    dy: float


@dataclass(frozen=True, slots=True)
class Removed:
    """Strokes of the pattern that are left out; `at` is the middle of one of several alike."""

    role: Role
    name: str
    at: Point | None = None


@dataclass(frozen=True, slots=True)
class Bent:
    """A stretch of the outline that runs otherwise, mm in the pattern.

    Attributes:
        path: the new stretch, open, from a place on the outline to another, counter-clockwise.

    """

    path: Path


Change = Added | Moved | Removed | Bent
"""What is done again when the support is made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """One thing a person did.

    Attributes:
        kind: what it is.
        name: of what: ``label left``, ``outline``, a layer.
        panel: it lies on, by its name; several with a comma; empty in the waste.
        band: it lies on, by its name.
        at: the middle of it, mm in the pattern; None for what concerns the whole drawing.
        size: width and height, mm.
        moved: by how much it lies elsewhere, mm.
        state: what follows.
        why: reasons and clearances, one sentence.
        changes: what is done again when the support is made; none for what is made as usual.
        paths: as drawn, for the picture, mm in the pattern.
        accepted: whether it was accepted before.

    """

    kind: Kind
    name: str = ""
    panel: str = ""
    band: str = ""
    at: Point | None = None
    size: tuple[float, float] = (0.0, 0.0)
    moved: tuple[float, float] = (0.0, 0.0)
    state: State = "harmless"
    why: str = ""
    changes: tuple[Change, ...] = ()
    paths: tuple[Path, ...] = ()
    accepted: bool = False


def worst(states: Sequence[State]) -> State:
    """Return the worst of some states; harmless where there is none.

    >>> worst(["harmless", "look at it"])
    'look at it'
    """
    return max(states, key=STATES.index, default="harmless")
