"""What one cutter does with a sheet: passes, each in one go with one face up. Frozen; mm, s."""

import itertools
from collections.abc import Mapping
from typing import Any, NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.film.drawing import Drawing
from cutfiles.findings import Finding
from cutfiles.machine.cutter import Cutter, Setting, WorkKind
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import distance
from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Face

WORK: Mapping[Role, WorkKind] = {
    Role.REGISTRATION: "mark",
    Role.LABEL: "mark",
    Role.VALLEY: "score",
    Role.MOUNTAIN: "score",
    Role.HOLES: "cut",
    Role.OUTLINE: "cut",
}
"""What kind of work a role is; guides are none."""

PENS: Mapping[str, int] = {
    Role.OUTLINE: 1,
    Role.HOLES: 1,
    Role.MOUNTAIN: 2,
    Role.VALLEY: 3,
    Role.REGISTRATION: 4,
    Role.LABEL: 4,
}
"""Which tool works which role, unless the profile says otherwise."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A registration mark or pin hole, where the machine should find it in this pass.

    Attributes:
        name: which one.
        at: its centre on the pass's sheet, mm.

    """

    name: str
    at: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """What the machine does in one go.

    Attributes:
        key: ``a`` or ``b``; passes are worked in this order.
        face: which face is up.
        frame: which part of a sheet longer than the bed, 1 upwards.
        frames: how many parts there are.
        left: of the frame on the whole pass, mm.
        bottom: of the frame on the whole pass, mm.
        drawing: strokes in the order of work, as this face is seen on the bed.
        marks: where to find the marks after turning or feeding.
        seconds: estimate of the time it takes.
        travel: way with the tool up, mm.
        worked: way with the tool down, mm.

    """

    key: str
    face: Face
    frame: int = 1
    frames: int = 1
    left: float = 0.0
    bottom: float = 0.0
    drawing: Drawing
    marks: tuple[Mark, ...] = ()
    seconds: float = 0.0
    travel: float = 0.0
    worked: float = 0.0

    @property
    def name(self) -> str:
        """What its files are called, after the support's number: ``face-a`` or ``face-a.2``."""
        return f"face-{self.key}" + (f".{self.frame}" if self.frames > 1 else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """A sheet made ready for one cutter.

    Attributes:
        number: of the support or sheet.
        cutter: the machine.
        lot: the film lot it is for, or empty.
        drawing: all of it with its marks, book face up, for people.
        passes: in the order of work.
        settings: role, or name of a stroke, to how it is worked.
        findings: what is worth knowing.

    """

    number: str
    cutter: Cutter
    lot: str = ""
    drawing: Drawing
    passes: tuple[Pass, ...]
    settings: Mapping[str, Setting]
    findings: tuple[Finding, ...] = ()

    @property
    def seconds(self) -> float:
        """Estimate of the time all passes take."""
        return sum(one.seconds for one in self.passes)


def setting_of(stroke: Stroke, settings: Mapping[str, Setting]) -> Setting:
    """Return how a stroke is worked: by its name, else by its role, else as the machine is set."""
    return settings.get(stroke.name) or settings.get(stroke.role) or Setting()


class ScaleCheck(NamedTuple):
    """Two marks of a pass, and how far apart they should lie, mm."""

    first: str
    second: str
    apart: float

    @property
    def text(self) -> str:
        """The check in words."""
        return f"{self.first} to {self.second}, {self.apart:.1f} mm"

    @property
    def data(self) -> dict[str, Any]:
        """The check as data."""
        return {"from": self.first, "to": self.second, "mm": round(self.apart, 4)}


def scale_check(one: Pass) -> ScaleCheck | None:
    """Return the two marks furthest apart: a pass holds no line of known length for people.

    None where a pass has fewer than two marks.
    """
    pairs = itertools.combinations(one.marks, 2)
    found = [ScaleCheck(a.name, b.name, distance(a.at, b.at)) for a, b in pairs]
    return max(found, key=lambda check: check.apart, default=None)
