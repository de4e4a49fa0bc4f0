"""What was measured of a book's lie at its opening, and what follows from it, as data.

Lengths in mm, angles in degrees. A joint is measured from the table, a fore edge from the table
too, a rise from its joint.
"""

import math
from typing import Literal, NamedTuple

from cutfiles.bench.book import Cover, SideName
from cutfiles.bench.guess import Guess
from cutfiles.dataclass import dataclass
from cutfiles.errors import Fault, Place
from cutfiles.findings import Finding
from cutfiles.lengths import Lengths
from cutfiles.units import Units


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """One side as measured; None is not measured.

    Attributes:
        width: joint to fore edge of the board, mm.
        joint: of the board above the table, mm.
        rise: of the fore edge above the joint, mm.
        fore_edge: above the table, mm.
        slope: of the board, degrees; used where neither rise nor fore edge is given.
        side: thickness of board and leaves, mm.

    """

    width: float
    joint: float | None = None
    rise: float | None = None
    fore_edge: float | None = None
    slope: float | None = None
    side: float | None = None

    @property
    def lift(self) -> float:
        """The fore edge above the joint, mm: measured, else from the fore edge, else the slope."""
        if self.rise is not None:
            return self.rise
        if self.fore_edge is not None:
            return self.fore_edge - (self.joint or 0.0)
        return self.width * math.sin(math.radians(self.slope or 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What was measured of a book propped at its opening.

    Attributes:
        left: its left side.
        right: its right side.
        spine_width: joint to joint across the spine, mm.
        spine_tilt: of the spine above the horizontal, degrees, left joint higher positive.
        span: fore edge to fore edge, level, mm.
        cover: stiff boards or a limp cover.
        units: those of the slip, for what is said about it.

    """

    left: Heights
    right: Heights
    spine_width: float
    spine_tilt: float | None = None
    span: float | None = None
    cover: Cover = "boards"
    units: Units = "mm"

    @property
    def has_joint(self) -> bool:
        """Whether a joint was measured."""
        return self.left.joint is not None or self.right.joint is not None

    @property
    def sides(self) -> tuple[tuple[SideName, Heights], tuple[SideName, Heights]]:
        """Both sides with their names."""
        return ("left", self.left), ("right", self.right)

    def said(self, length: float) -> str:
        """Return a length in the slip's units."""
        return Lengths(self.units).both(length)


class Doubt(NamedTuple):
    """Two measures that contradict each other, or one that cannot be.

    Attributes:
        rule: its name.
        path: the field asked about.
        found: what stands there.
        needed: what it contradicts.
        then: which of the two was used; what to do, where it is refused.
        measured: the number found, mm or degrees; None where there is none.
        limit: the number it is held against, or None.
        severity: ``ask`` or ``stop``.

    """

    rule: str
    path: str
    found: str
    needed: str
    then: str
    measured: float | None
    limit: float | None
    severity: Literal["ask", "stop"] = "ask"

    @property
    def finding(self) -> Finding:
        """The doubt as a finding."""
        message = f"{self.path}: is {self.found} right? {self.needed}; {self.then}"
        return Finding(self.rule, self.path, message, self.measured, self.limit, self.severity)

    def fault(self, source: Place) -> Fault:
        """Return the doubt as a fault of the slip that came from there."""
        return Fault(source.at(self.path), self.found, self.needed, self.then)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lie:
    """One side as it lies, set down on the table.

    Attributes:
        joint: above the table, mm; 0 on the low side.
        rise: of the fore edge above its joint, mm.
        slope: of the board, degrees.

    """

    joint: float
    rise: float
    slope: float

    @property
    def fore_edge(self) -> float:
        """Height of the fore edge above the table, mm."""
        return self.joint + self.rise


@dataclass(frozen=True, slots=True, kw_only=True)
class Joints:
    """The book's lie at its opening. Numbers of a refused one are only good for showing.

    Attributes:
        left: the left side.
        right: the right side.
        step: the left joint above the right one, mm.
        tilt: of the spine, degrees, left joint higher positive.
        measured: whether the step was measured, or follows from a measured tilt.
        lowered: by how much the book was set down, mm.
        guess: the step predicted from sides and slopes; None where a side is unknown.
        doubts: contradictions, in the order of the slip.
        told: what was taken for granted.

    """

    left: Lie
    right: Lie
    step: float
    tilt: float
    measured: bool
    lowered: float
    guess: Guess | None
    doubts: tuple[Doubt, ...] = ()
    told: tuple[Finding, ...] = ()

    @property
    def opening_angle(self) -> float:
        """Between the boards as they were found, degrees."""
        return 180.0 - self.left.slope - self.right.slope
