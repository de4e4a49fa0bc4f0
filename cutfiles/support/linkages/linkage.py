"""A strip as a linkage: panels and folds, what is taped to what, where it stands, how to fold it.

Lengths in mm, angles in radians, x to the right, y up, the table y = 0; x = 0 lies midway between
the joints. Places are worked out by plane trigonometry, not by walking the strip: the walk is held
against them.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from cutfiles.findings import Finding
from cutfiles.plane.shapes import Point

Face = Literal["book", "table"]
Kind = Literal["side by side", "lapped", "crossed", "one side flat", "riser"]

ROUNDING = 1e-6
"""Two places closer than this are one, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardLie:
    """One board as its panel has to carry it.

    Attributes:
        panel: length of the board panel, mm.
        slope: above the horizontal, radians.
        rise: of the fore edge above its joint, mm.

    """

    panel: float
    slope: float
    rise: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a strip is laid out for.

    Attributes:
        left: the left board.
        right: the right board.
        spine: length of the spine panel, mm.
        step: the left joint above the right one, mm.
        stack: thickness of all layers, mm.
        tape: thickness of the tape, mm.
        deck_lift: height of the low joint above the table, mm; None computes it.
        least_riser: a smaller step is laid level, mm.
        least_rise: a side that rises less lies flat, mm.
        tab_most: longest tab, mm.
        tab_least: shortest tab, mm: it takes 6 mm of tape 3 mm short of its tip.
        tab_gap: how far a tab ends short of what it must not reach, mm.

    """

    left: BoardLie
    right: BoardLie
    spine: float
    step: float = 0.0
    stack: float = 0.127
    tape: float = 0.1
    deck_lift: float | None = None
    least_riser: float = 4.0
    least_rise: float = 8.0
    tab_most: float = 12.0
    tab_least: float = 9.0
    tab_gap: float = 1.0

    @property
    def taped(self) -> float:
        """Thickness of a stack and its tape, mm: how far apart two taped panels lie."""
        return self.stack + self.tape

    def mirrored(self) -> "Wanted":
        """Return the same book with left and right exchanged."""
        return replace(self, left=self.right, right=self.left, step=-self.step)


class Panel(NamedTuple):
    """A flat piece of the strip: its name, and its length along it, mm."""

    name: str
    length: float


class Fold(NamedTuple):
    """A fold between two panels.

    Attributes:
        name: of its crease: ``left foot``, ``right apex`` and so on.
        after: how many panels lie to its left.
        angle: radians, valley positive.

    """

    name: str
    after: int
    angle: float


class Contact(NamedTuple):
    """Two panels taped to each other.

    Attributes:
        on: the panel the tape is laid on.
        face: the face it is laid on.
        onto: the panel it is stuck to.
        onto_face: the face it is stuck to.
        room: how far the two lie on one another, mm.

    """

    on: str
    face: Face
    onto: str
    onto_face: Face
    room: float


class Rest(NamedTuple):
    """A place where the book's weight keeps a panel down, with nothing taped.

    Attributes:
        panel: what lies there.
        onto: what it lies on.
        place: where.

    """

    panel: str
    onto: str
    place: Point


class Step(NamedTuple):
    """One step of folding: creases folded in this order, then contacts stuck.

    Attributes:
        folds: names of the creases.
        sticks: panels whose tape is then pressed down, as in `Contact.on`.

    """

    folds: tuple[str, ...]
    sticks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Linkage:
    """A strip as a linkage.

    Attributes:
        kind: how it meets the table.
        panels: from the left end of the strip to the right one; a tab is the end of its base.
        folds: between them.
        places: ends of the panels in order, standing.
        lift: height of the low joint above the table, mm.
        step: the left joint above the right one as made, mm.
        tilt: of the spine panel as made, radians, left joint higher positive.
        contacts: what is taped to what.
        rests: where weight alone keeps a panel down.
        steps: the order of folding.
        told: what was decided on the way, for the bench to know.

    """

    kind: Kind
    panels: tuple[Panel, ...]
    folds: tuple[Fold, ...]
    places: tuple[Point, ...]
    lift: float
    step: float
    tilt: float
    contacts: tuple[Contact, ...]
    rests: tuple[Rest, ...] = ()
    steps: tuple[Step, ...] = ()
    told: tuple[Finding, ...] = ()

    @property
    def length(self) -> float:
        """Of the whole strip, mm."""
        return math.fsum(panel.length for panel in self.panels)

    def index(self, name: str) -> int:
        """Return which panel has this name.

        Raises:
            ValueError: none has.

        """
        return [panel.name for panel in self.panels].index(name)

    def length_of(self, name: str) -> float:
        """Return a panel's length, mm.

        Raises:
            ValueError: there is none of this name.

        """
        return self.panels[self.index(name)].length

    def angle_of(self, name: str) -> float:
        """Return a crease's signed fold angle, radians; 0 where there is no such crease."""
        return next((fold.angle for fold in self.folds if fold.name == name), 0.0)


Part = tuple[str, float, Point]
"""A panel's name, its length and where it ends."""


class Chain(NamedTuple):
    """Panels that follow one another, with their folds and places."""

    panels: tuple[Panel, ...]
    folds: tuple[Fold, ...]
    places: tuple[Point, ...]


def chain(parts: Iterable[Part], start: Point, angles: dict[str, tuple[str, float]]) -> Chain:
    """Return panels, folds and places of parts that follow one another.

    Args:
        parts: panels from the left end on.
        start: where the first one begins.
        angles: for the panel before it, each crease's name and fold angle.

    """
    parts = tuple(parts)
    folds = tuple(
        Fold(angles[name][0], after, angles[name][1])
        for after, (name, _, _) in enumerate(parts, 1)
        if name in angles
    )
    panels = tuple(Panel(name, length) for name, length, _ in parts)
    return Chain(panels, folds, (start, *(end for _, _, end in parts)))


def mirrored(strip: Linkage) -> Linkage:
    """Return the strip with left and right exchanged: order reversed, angles as they are.

    >>> one = Linkage(kind="side by side", lift=0.2, step=3.0, tilt=0.1, contacts=(),
    ...             panels=(Panel("left board", 3), Panel("spine", 2)),
    ...             folds=(Fold("left spine", 1, 0.5),),
    ...             places=(Point(0, 1), Point(3, 0), Point(5, 0)))
    >>> mirrored(one).folds, mirrored(one).places[-1]
    ((Fold(name='right spine', after=1, angle=0.5),), Point(x=0, y=1))
    """
    count = len(strip.panels)
    return replace(
        strip,
        panels=tuple(Panel(_swap(name), length) for name, length in reversed(strip.panels)),
        folds=tuple(
            Fold(_swap(name), count - after, angle) for name, after, angle in reversed(strip.folds)
        ),
        places=tuple(_across(place) for place in reversed(strip.places)),
        step=-strip.step,
        tilt=-strip.tilt,
        contacts=tuple(c._replace(on=_swap(c.on), onto=_swap(c.onto)) for c in strip.contacts),
        rests=tuple(
            Rest(_swap(rest.panel), _swap(rest.onto), _across(rest.place)) for rest in strip.rests
        ),
        steps=tuple(
            Step(tuple(map(_swap, s.folds)), tuple(map(_swap, s.sticks))) for s in strip.steps
        ),
        told=tuple(replace(one, place=_swap(one.place)) for one in strip.told),
    )


def _across(place: Point) -> Point:
    return Point(-place.x if place.x else 0, place.y)


def _swap(name: str) -> str:
    if name.startswith("left "):
        return "right " + name.removeprefix("left ")
    if name.startswith("right "):
        return "left " + name.removeprefix("right ")
    return name


def misplaced(strip: Linkage, walked: Iterable[Point]) -> Iterator[tuple[str, float]]:
    """Yield panels whose walked ends are not where trigonometry puts them, and how far off, mm."""
    names = [panel.name for panel in strip.panels]
    for name, found, meant in zip(["", *names], walked, strip.places, strict=True):
        off = ((found.x - meant.x) ** 2 + (found.y - meant.y) ** 2) ** 0.5
        if off > ROUNDING:
            yield name or names[0], off
