"""The support laid flat, book face up, head up: strokes with roles, notes, panels and creases."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Literal

from cutfiles.dataclass import dataclass
from cutfiles.plane.shapes import Box, Path, Point
from cutfiles.support.profile import Direction, Fold, Panel, Root
from cutfiles.support.steps import CROSS_LETTERS


class Role(StrEnum):
    """What an entity is for; each role is one layer of a file.

    Roles stand in the order of work: what is marked and scored before what is cut, the outline
    last. Guides are for people and never machined.
    """

    GUIDE = "guide"
    REGISTRATION = "registration"
    LABEL = "label"
    VALLEY = "score-valley"
    MOUNTAIN = "score-mountain"
    HOLES = "cut-holes"
    OUTLINE = "cut-outline"


COLOURS: dict[Role, str] = {
    Role.GUIDE: "#999999",
    Role.REGISTRATION: "#CC79A7",
    Role.LABEL: "#009E73",
    Role.VALLEY: "#0072B2",
    Role.MOUNTAIN: "#D55E00",
    Role.HOLES: "#000000",
    Role.OUTLINE: "#000000",
}
"""Okabe and Ito's colour-blind safe palette (Color Universal Design, 2008; values from memory)."""


def by_role(strokes: Iterable["Stroke"]) -> tuple["Stroke", ...]:
    """Return strokes in the order of their roles, each role's in the order given."""
    order = {role: i for i, role in enumerate(Role)}
    return tuple(sorted(strokes, key=lambda stroke: order[stroke.role]))


def score_role(direction: Direction) -> Role:
    """Return the role of a score."""
    return Role.VALLEY if direction == "valley" else Role.MOUNTAIN


Use = Literal["", "tape", "slot", "mark", "pin"]
"""What a stroke is within its role: where tape goes, a strap's slot, a registration mark, a pin
hole."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """One line for the machine, or one guide line for people.

    Attributes:
        role: what it is for.
        name: which one it is: ``left apex, middle``; for messages only.
        path: where it runs, mm.
        use: what it is within its role, where that is asked.
        of: the crease, panel or end of a strap it belongs to, by its name.
        band: the band it lies on, by its name.
        face: of tape, the face it lies on.

    """

    role: Role
    name: str
    path: Path
    use: Use = ""
    of: str = ""
    band: str = ""
    face: str = ""

    def along(self, path: Path) -> "Stroke":
        """Return the stroke along another path; a quarter of what `replace` takes."""
        return Stroke(self.role, self.name, path, self.use, self.of, self.band, self.face)


@dataclass(frozen=True, slots=True)
class Note:
    """A text for people, on the guide layer.

    Attributes:
        text: what it says.
        at: left end of its baseline, mm.
        height: of its capitals, mm.
        upright: whether it reads from the bottom up instead of from left to right.

    """

    text: str
    at: Point
    height: float
    upright: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """One third of a strip folded in three, or the whole of a strip that is not.

    Attributes:
        name: ``middle``, ``inner flap`` or ``outer flap``.
        layer: how many films lie above it when folded: 0, 1 or 2.
        box: where it lies in the pattern, mm.

    """

    name: str
    layer: int
    box: Box


@dataclass(frozen=True, slots=True)
class Crease:
    """A crease across the middle band.

    Attributes:
        number: 1 upwards from the left.
        fold: what is folded there.
        position: from the left edge of the pattern, on the book face, mm.

    """

    number: int
    fold: Fold
    position: float

    @property
    def letter(self) -> str:
        """What it is called on every page."""
        return CROSS_LETTERS[self.number - 1]

    @property
    def name(self) -> str:
        """``left foot`` and so on."""
        return self.fold.name

    @property
    def angle(self) -> float:
        """Radians, valley positive."""
        return self.fold.angle

    @property
    def direction(self) -> Direction:
        """Valley or mountain, as seen from the book face."""
        return self.fold.direction


@dataclass(frozen=True, slots=True)
class FlangeFold:
    """The fold line of a hem or lip.

    Attributes:
        name: ``left board hem, head``.
        kind: what it is.
        panel: the first panel it runs along, by its name.
        angle: it is folded by, radians; all are mountains.
        path: where it runs in the pattern, mm.

    """

    name: str
    kind: Literal["hem", "lip"]
    panel: str
    angle: float
    path: Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A piece of a support laid flat: its strip, or one of its posts.

    Attributes:
        number: the support's number.
        name: of a piece that is not the strip: ``left post 1``.
        box: what it covers, its lower left corner at (0, 0), mm.
        panels: from the left end of the strip to the right one.
        root: the panel by which it stands when folded.
        bands: from tail to head.
        creases: across the middle band, from left to right.
        long_folds: heights of the long folds above the tail edge, mm, from tail to head.
        flanges: fold lines of hems and lips, from left to right.
        strokes: all lines, in the order of their roles.
        notes: texts for people.
        facts: what a file must state of it, name and value, in order.
        posts: further pieces, each laid flat by itself.

    """

    number: str
    name: str = ""
    box: Box
    panels: tuple[Panel, ...]
    root: Root
    bands: tuple[Band, ...]
    creases: tuple[Crease, ...]
    long_folds: tuple[float, ...]
    strokes: tuple[Stroke, ...]
    notes: tuple[Note, ...]
    facts: tuple[tuple[str, str], ...]
    flanges: tuple[FlangeFold, ...] = ()
    posts: tuple["Pattern", ...] = ()

    def band(self, name: str) -> Band:
        """Return the band of this name.

        Raises:
            KeyError: there is none.

        """
        for band in self.bands:
            if band.name == name:
                return band
        raise KeyError(name)

    def panel(self, name: str) -> Panel:
        """Return the panel of this name.

        Raises:
            KeyError: there is none.

        """
        for panel in self.panels:
            if panel.name == name:
                return panel
        raise KeyError(name)

    def span(self, panel: str) -> tuple[float, float]:
        """Return where a panel begins and ends in the pattern, left and right, mm.

        Raises:
            KeyError: there is none of this name.

        """
        left = self.band("middle").box.left
        for one in self.panels:
            if one.name == panel:
                return left, left + one.length
            left += one.length
        raise KeyError(panel)

    def of_role(self, role: Role) -> tuple[Stroke, ...]:
        """Return the strokes of one role, in order."""
        return tuple(stroke for stroke in self.strokes if stroke.role is role)
