"""The profile: panels end to end with fold angles between them, and the walk along them.

Lengths are measured on the book face, in mm; fold angles are in radians, valley (towards the book)
positive, mountain negative. The walk goes from the left end of the strip to the right one.
"""

import math
from collections.abc import Sequence
from dataclasses import field, replace
from itertools import accumulate, pairwise
from typing import Literal

from cutfiles.bench.book import SideName
from cutfiles.dataclass import dataclass
from cutfiles.plane.shapes import Point

Direction = Literal["valley", "mountain"]
_ENDS_OF_A_BASE = ("tab", "run-on", "spare")
"""Parts that lie in one flat piece with a base, and give way to its name."""


def name_of(part: str, side: SideName | None) -> str:
    """Return what people call a part of one side.

    >>> name_of("base", "left"), name_of("spine", None)
    ('left base', 'spine')
    """
    return f"{side} {part}" if side else part


@dataclass(frozen=True, slots=True)
class Panel:
    """A flat piece of the strip.

    Attributes:
        part: what it is: tab, base, leg, board, spine, and what other kinds have.
        side: of the board it serves; None where it serves both.
        length: along the strip, mm.
        name: ``left base``, ``spine`` and so on; no two panels of a strip share one. Kept, not
            put together anew: a draft asks ten times for each, which took a twenty-fifth of it.

    """

    part: str
    side: SideName | None
    length: float
    name: str = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "name", name_of(self.part, self.side))


@dataclass(frozen=True, slots=True)
class Fold:
    """A fold between two panels.

    Attributes:
        part: what its crease is: foot, apex, spine, and what other kinds have.
        side: of the board it serves; None where it serves both.
        after: how many panels lie to its left.
        angle: radians, valley positive.

    """

    part: str
    side: SideName | None
    after: int
    angle: float

    @property
    def name(self) -> str:
        """Of its crease: ``left foot``, ``right apex`` and so on."""
        return name_of(self.part, self.side)

    @property
    def direction(self) -> Direction:
        """Valley or mountain, as seen from the book face."""
        return "valley" if self.angle > 0 else "mountain"


@dataclass(frozen=True, slots=True)
class Root:
    """The panel by which a profile stands.

    Attributes:
        panel: its name.
        at: where its left end stands (left in the strip), x to the right, y above the table, mm.
        heading: of the panel from there, radians: 0 with the book face up, π with it down.

    """

    panel: str
    at: Point
    heading: float = 0.0


@dataclass(frozen=True, slots=True)
class Profile:
    """Panels from the left end of the strip to the right one, the folds between them, the root.

    Some panels have no fold between them: a tab is the end of its base panel.
    """

    panels: tuple[Panel, ...]
    folds: tuple[Fold, ...]
    root: Root

    @property
    def length(self) -> float:
        """Of the whole strip, mm."""
        return math.fsum(panel.length for panel in self.panels)

    @property
    def standing(self) -> int:
        """Which panel is the root."""
        return self.index(self.root.panel)

    def ends(self) -> tuple[float, ...]:
        """Return where panels begin and end, from the left end of the strip, mm."""
        return (0.0, *accumulate(panel.length for panel in self.panels))

    def position(self, fold: Fold) -> float:
        """Return a crease's place from the left end of the strip, on the book face, mm."""
        return self.ends()[fold.after]

    def index(self, name: str) -> int:
        """Return which panel has this name.

        Raises:
            KeyError: none has.

        """
        for i, panel in enumerate(self.panels):
            if panel.name == name:
                return i
        raise KeyError(name)

    def pieces(self) -> tuple[tuple[int, int], ...]:
        """Return the first panel of each flat piece, and the one after its last."""
        cuts = [0, *(fold.after for fold in self.folds), len(self.panels)]
        return tuple(pairwise(cuts))

    def piece(self, name: str) -> tuple[int, int]:
        """Return the flat piece in which the panel of this name lies.

        Raises:
            KeyError: there is no such panel.

        """
        at = self.index(name)
        return next((first, end) for first, end in self.pieces() if first <= at < end)


@dataclass(frozen=True, slots=True)
class Walk:
    """A profile standing: its corners and the heading of each panel.

    Attributes:
        corners: ends of the panels in order, x to the right, y up from the table, mm.
        headings: of each panel, radians, 0 to the right, counter-clockwise positive.

    """

    corners: tuple[Point, ...]
    headings: tuple[float, ...]


def walk(profile: Profile) -> Walk:
    """Return the profile standing on its root.

    >>> panels = (Panel("board", "left", 3), Panel("spine", None, 2))
    >>> folds = (Fold("spine", "left", 1, 0.5),)
    >>> walk(Profile(panels, folds, Root("spine", Point(-1.0, 1.0)))).corners[-1]
    Point(x=1.0, y=1.0)
    """
    root, at = profile.standing, profile.root
    turns = {fold.after: fold.angle for fold in profile.folds}
    headings = [0.0]
    for after in range(1, len(profile.panels)):
        headings.append(headings[-1] + turns.get(after, 0.0))
    headings = [heading - headings[root] + at.heading for heading in headings]
    corners = [Point(0.0, 0.0)]
    for panel, heading in zip(profile.panels, headings, strict=True):
        x, y = corners[-1]
        corners.append(
            Point(x + panel.length * math.cos(heading), y + panel.length * math.sin(heading))
        )
    dx, dy = at.at.x - corners[root].x, at.at.y - corners[root].y
    return Walk(tuple(Point(x + dx, y + dy) for x, y in corners), tuple(headings))


def leading(panels: Sequence[Panel], root: str) -> Panel:
    """Return the panel that a flat piece is named by: the root, else a base before its ends."""
    main = [panel for panel in panels if panel.part not in _ENDS_OF_A_BASE]
    return next((panel for panel in panels if panel.name == root), [*main, panels[0]][0])


def joined(profile: Profile) -> Profile:
    """Return the profile with panels that have no crease between them as one panel.

    >>> panels = (Panel("tab", "left", 2), Panel("base", "left", 3), Panel("spine", None, 4))
    >>> one = joined(Profile(panels, (), Root("spine", Point(-2.0, 0.0))))
    >>> one.panels, one.root.at
    ((Panel(part='spine', side=None, length=9),), Point(x=-7.0, y=0.0))
    """
    pieces, root = profile.pieces(), profile.root
    panels = tuple(_as_one(profile.panels[first:end], root.panel) for first, end in pieces)
    folds = tuple(
        fold if fold.after == i else replace(fold, after=i)
        for i, fold in enumerate(profile.folds, start=1)
    )
    first, _ = profile.piece(root.panel)
    before = sum(panel.length for panel in profile.panels[first : profile.standing])
    return Profile(panels, folds, shifted_root(root, before))


def _as_one(panels: Sequence[Panel], root: str) -> Panel:
    """Return the panel that panels without a crease between them are."""
    if len(panels) == 1:
        return panels[0]
    return replace(leading(panels, root), length=sum(panel.length for panel in panels))


def shifted_root(root: Root, before: float) -> Root:
    """Return the root of a piece that begins `before` mm to the left of its root panel."""
    x, y = root.at
    at = Point(x - before * math.cos(root.heading), y - before * math.sin(root.heading))
    return replace(root, at=at)
