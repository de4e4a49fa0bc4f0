"""What stands, told by data: every kind of support is one `Support`, and nothing asks which.

x to the right, y up from the table, mm, seen from the tail; slopes in radians.
"""

from typing import Literal

from cutfiles.bench.book import SIDES, Board, SideName
from cutfiles.bench.choices import Choices
from cutfiles.bench.film import Film
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.findings import Finding
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Contacts, Tape
from cutfiles.support.profile import Panel, Profile
from cutfiles.support.steps import FoldStep

KindName = Literal["side by side", "lapped", "crossed", "one side flat", "riser"]
"""How a strip meets the table: what decides which constructions it can have."""


def initial(side: SideName | None) -> str:
    """Return how a side is marked: L or R; nothing for what has no side."""
    return {"left": "L", "right": "R", None: ""}[side]


@dataclass(frozen=True, slots=True, kw_only=True)
class Half:
    """The part of a support under one board: its board panel, and where the book lies on it.

    Attributes:
        side: of the book.
        slope: of the board panel, radians; 0 where it lies flat.
        joint: where the board panel begins, mm.
        apex: where it ends, under the fore edge, mm.
        book: where the joint of the book's board lies, mm.
        stands: whether a leg carries it; if not, the strip ends with its board panel.

    """

    side: SideName
    slope: float
    joint: Point
    apex: Point
    book: Point
    stands: bool

    @property
    def way(self) -> int:
        """Outwards: -1 to the left, 1 to the right."""
        return 1 if self.side == "right" else -1


@dataclass(frozen=True, slots=True)
class Bearing:
    """An upright panel that carries one end of a board.

    Attributes:
        panel: its name.
        side: of the board.
        at: which end of the board rests on it.

    """

    panel: str
    side: SideName
    at: Literal["fore edge", "joint"] = "fore edge"


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """A support as designed.

    Attributes:
        slip: what it was designed from.
        kind: in words for people: ``level, side by side``.
        breadth: finished, head to tail, mm.
        deck_lift: what lies under the lowest joint: its height above the table, mm.
        profile: panels and folds from the left end of the strip to the right one, and the root.
        places: where each panel ends, from the left end of the strip to the right one, by the
            kind's own trigonometry and not by the walk: the one is checked by the other.
        halves: the parts under one board, left before right.
        bearings: the upright panels and what rests on them, left before right.
        contacts: what touches what by design.
        steps: of folding.
        step: the left joint above the right one as made, mm.
        tilt: of the spine panel as made, radians, left joint higher positive.
        lone: the side whose cover lies alone, or nearly; its weight is not half the book's.
        told: what was decided in designing it, for the bench to know.

    """

    slip: Slip
    kind: str
    breadth: float
    deck_lift: float
    profile: Profile
    places: tuple[Point, ...]
    halves: tuple[Half, ...]
    bearings: tuple[Bearing, ...]
    contacts: Contacts
    steps: tuple[FoldStep, ...]
    step: float = 0.0
    tilt: float = 0.0
    lone: SideName | None = None
    told: tuple[Finding, ...] = ()

    @property
    def guessed(self) -> bool:
        """Whether it was cut from guessed heights of the joints: said on every print and label."""
        return self.slip.opening.joints == "guessed"

    @property
    def film(self) -> Film:
        """The film it is made of."""
        return self.slip.film

    @property
    def choices(self) -> Choices:
        """The settings it was made with."""
        return self.slip.choices

    @property
    def slopes(self) -> tuple[float, float]:
        """Of the left and the right board panel, radians; 0 where there is none."""
        left, right = (self.half(side) for side in SIDES)
        return (left.slope if left else 0.0, right.slope if right else 0.0)

    def half(self, side: SideName) -> Half | None:
        """Return what lies under one board, None where this support does not carry it."""
        return next((half for half in self.halves if half.side == side), None)

    def panel(self, name: str) -> Panel:
        """Return the panel of this name.

        Raises:
            KeyError: there is none.

        """
        return self.profile.panels[self.profile.index(name)]

    def length(self, part: str, side: SideName | None = None) -> float:
        """Return the length of a panel, mm; 0 where there is none."""
        found = (p.length for p in self.profile.panels if (p.part, p.side) == (part, side))
        return next(found, 0.0)

    def tape_on(self, panel: str) -> Tape | None:
        """Return the tape that lies on a panel, None where none does."""
        return next((tape for tape in self.contacts.tapes if tape.panel == panel), None)

    def held_by(self, tape: Tape) -> str:
        """Return the panel that a tape hangs on in the end: through the tab it is stuck to."""
        to = tape.to
        while (further := self.tape_on(to)) is not None:
            to = further.to
        return to

    def ends_of(self, panel: str) -> tuple[Point, Point]:
        """Return where a panel stands: its left end and its right end in the strip.

        Raises:
            KeyError: there is no such panel.

        """
        i = self.profile.index(panel)
        return self.places[i], self.places[i + 1]


def board_of(slip: Slip, side: SideName) -> Board:
    """Return one board of the book."""
    return slip.opening.left if side == "left" else slip.opening.right


def tape_middle(tape: Tape, ends: tuple[Point, Point]) -> Point:
    """Return where the middle of a tape stands, its panel standing from one end to the other.

    >>> tape = Tape(panel="tab", face="table", to="spine", to_face="table", end="left", clear=3.0,
    ...             width=6.0)
    >>> tape_middle(tape, (Point(0.0, 0.0), Point(12.0, 0.0)))
    Point(x=6.0, y=0.0)
    """
    (x, y), (other_x, other_y) = ends if tape.end == "left" else ends[::-1]
    share = (tape.clear + tape.width / 2) / distance(*ends)
    return Point(x + share * (other_x - x), y + share * (other_y - y))


def along(ends: tuple[Point, Point], place: Point) -> tuple[float, float]:
    """Return how far along a panel a place lies from its left end, and how far off it, mm.

    >>> along((Point(0.0, 0.0), Point(2.0, 0.0)), Point(0.5, 3.0))
    (0.5, 3.0)
    """
    (ax, ay), (bx, by) = ends
    dx, dy, length = bx - ax, by - ay, distance(*ends)
    x, y = place.x - ax, place.y - ay
    return (x * dx + y * dy) / length, (dx * y - dy * x) / length
