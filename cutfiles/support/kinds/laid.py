"""A strip laid out for a book as it lies: what every kind of support has in common, but the slip.

Lengths in mm, angles in radians, x to the right, y up, the table y = 0; x = 0 lies midway between
the joints. Places are worked out by plane trigonometry, not by walking the strip: the walk is held
against them.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from cutfiles.bench.book import SIDES, SideName
from cutfiles.dataclass import dataclass
from cutfiles.findings import Finding
from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import WIDEST_TAPE, Contacts, Face, Rest, Tape, tape_place
from cutfiles.support.profile import Fold, Panel, Profile, Root
from cutfiles.support.standing import KindName
from cutfiles.support.steps import FoldStep, FoldTo, Verb

LEAST_RISE = 8.0
"""A side that rises less lies flat, unless a slip says otherwise, mm."""
LEAST_RISER = 4.0
"""A smaller step is laid level, mm: it is hardly more than two joints are measured to."""
NARROWEST_PANEL = 4.0
"""A narrower spine panel is left out, mm."""
QUARTER = math.pi / 2


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

    @property
    def reach(self) -> tuple[float, float]:
        """How far the board panel reaches outwards and upwards, mm."""
        return self.panel * math.cos(self.slope), self.panel * math.sin(self.slope)


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
        tape_inset: how far tape stays off every edge, mm.

    """

    left: BoardLie
    right: BoardLie
    spine: float
    step: float = 0.0
    stack: float = 0.127
    tape: float = 0.1
    deck_lift: float | None = None
    least_riser: float = LEAST_RISER
    least_rise: float = LEAST_RISE
    tab_most: float = 12.0
    tab_least: float = 9.0
    tab_gap: float = 1.0
    tape_inset: float = 3.0

    @property
    def taped(self) -> float:
        """Thickness of a stack and its tape, mm: how far apart two taped panels lie."""
        return self.stack + self.tape

    @property
    def panel(self) -> float:
        """Length of the spine panel that is made, mm: 0 where it is too narrow for one."""
        return self.spine if self.spine >= NARROWEST_PANEL else 0.0

    def lift(self, under: float) -> float:
        """Return how high the low joint lies with this much under it, mm, unless it is given."""
        return under if self.deck_lift is None else self.deck_lift

    def stands(self, side: SideName) -> bool:
        """Tell whether a side rises enough for a leg."""
        return (self.left if side == "left" else self.right).rise >= self.least_rise

    def mirrored(self) -> "Wanted":
        """Return the same book with left and right exchanged."""
        return replace(self, left=self.right, right=self.left, step=-self.step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A strip laid out.

    Attributes:
        kind: how it meets the table.
        profile: panels and folds from the left end of the strip to the right one, and the root.
        places: ends of the panels in order, standing.
        lift: height of the low joint above the table, mm.
        step: the left joint above the right one as made, mm.
        tilt: of the spine panel as made, radians, left joint higher positive.
        contacts: what touches what.
        steps: of folding, from flat film with its long folds made.
        told: what was decided on the way, for the bench to know.

    """

    kind: KindName
    profile: Profile
    places: tuple[Point, ...]
    lift: float
    step: float = 0.0
    tilt: float = 0.0
    contacts: Contacts
    steps: tuple[FoldStep, ...]
    told: tuple[Finding, ...] = ()


Part = tuple[str, float, Point]
"""A panel's name, its length and where it ends."""
Angles = Mapping[str, tuple[str, float]]
"""By the panel before it, each crease's name and fold angle."""


def chain(
    parts: Iterable[Part], start: Point, angles: Angles, root: str
) -> tuple[Profile, tuple[Point, ...]]:
    """Return the profile and the places of parts that follow one another.

    Args:
        parts: panels from the left end on.
        start: where the first one begins.
        angles: of the creases.
        root: the panel by which the profile stands.

    """
    parts = tuple(parts)
    folds = tuple(
        Fold(*_parted(angles[name][0]), after, angles[name][1])
        for after, (name, _, _) in enumerate(parts, 1)
        if name in angles
    )
    panels = tuple(Panel(*_parted(name), length) for name, length, _ in parts)
    places = (start, *(end for _, _, end in parts))
    return Profile(panels, folds, _root(panels, places, root)), places


def _root(panels: Sequence[Panel], places: Sequence[Point], name: str) -> Root:
    i = [panel.name for panel in panels].index(name)
    (x, y), (to_x, to_y) = places[i], places[i + 1]
    return Root(name, places[i], math.atan2(to_y - y, to_x - x))


@lru_cache(maxsize=64)  # names are few, and every stack of film is laid out with them
def _parted(name: str) -> tuple[str, SideName | None]:
    """Return part and side of a name.

    >>> _parted("left riser tab"), _parted("spine")
    (('riser tab', 'left'), ('spine', None))
    """
    side, _, part = name.partition(" ")
    return (part, side) if side in SIDES else (name, None)


def tape_on_tab(wanted: Wanted, tab: str, to: str, face: Face, room: float) -> Tape:
    """Return the tape on a tab at an end of the strip; all tape is laid on the table face.

    Args:
        wanted: what the strip is laid out for.
        tab: the tab.
        to: what it is stuck to.
        face: of that.
        room: how far the two lie on one another, from the tab's tip, mm.

    """
    side: SideName = "left" if tab.startswith("left ") else "right"
    clear, width = tape_place(room, wanted.tape_inset)
    return Tape(panel=tab, face="table", to=to, to_face=face, end=side, clear=clear, width=width)


def tape_in_middle(panel: Panel, to: str, wanted: Wanted) -> Tape:
    """Return the tape midway between two creases of a panel, as wide as there is room."""
    inset = min(wanted.tape_inset, max(0.0, (panel.length - WIDEST_TAPE / 2) / 2))
    width = min(WIDEST_TAPE, panel.length - 2 * inset)
    clear = (panel.length - width) / 2
    return Tape(
        panel=panel.name, face="table", to=to, to_face="book", end="left", clear=clear, width=width
    )


Act = tuple[Verb, tuple[str, ...], tuple[Tape, ...]]
"""A verb, the creases folded, and what is stuck after it."""


def steps_of(profile: Profile, acts: Iterable[Act]) -> tuple[FoldStep, ...]:
    """Return the steps of folding; what is stuck is a step of its own."""
    angles = {fold.name: fold.angle for fold in profile.folds}
    steps: list[FoldStep] = []
    for verb, names, taped in acts:
        folds = tuple(FoldTo(name, angles[name]) for name in names if name in angles)
        if folds:
            under_another = any(tape.to.endswith(" tab") for tape in taped)
            steps.append(FoldStep(verb, folds, in_turn=verb == "Roll" or under_another))
        if taped:
            steps.append(FoldStep("Stick", taped=taped))
    return tuple(steps)


def left_leads(wanted: Wanted) -> bool:
    """Tell whether tabs that lie over one another go as written, left first, and not mirrored.

    The longer board's side leads, of like boards the one that rises more, so that a mirrored book
    gets the mirrored strip; a book that is its own mirror image goes as written. Compared to the
    hundredth of a millimetre that files state.
    """
    left, right = ((round(one.panel, 2), round(one.rise, 2)) for one in (wanted.left, wanted.right))
    return left >= right


def mirrored(laid: Laid) -> Laid:
    """Return the strip with left and right exchanged: order reversed, angles as they are."""
    profile, contacts = laid.profile, laid.contacts
    count = len(profile.panels)
    panels = tuple(replace(p, side=_other(p.side)) for p in reversed(profile.panels))
    folds = tuple(
        replace(fold, side=_other(fold.side), after=count - fold.after)
        for fold in reversed(profile.folds)
    )
    places = tuple(_across(place) for place in reversed(laid.places))
    return replace(
        laid,
        profile=Profile(panels, folds, _root(panels, places, _swap(profile.root.panel))),
        places=places,
        step=0.0 - laid.step,  # a level one is not −0
        tilt=0.0 - laid.tilt,
        contacts=Contacts(
            tapes=tuple(map(_turned, contacts.tapes)),
            touching=tuple(frozenset(map(_swap, pair)) for pair in contacts.touching),
            table=tuple(map(_swap, reversed(contacts.table))),
            rests=tuple(
                Rest(_swap(rest.panel), _swap(rest.onto), _across(rest.place))
                for rest in contacts.rests
            ),
        ),
        steps=tuple(
            replace(
                step,
                folds=tuple(FoldTo(_swap(one.crease), one.angle) for one in step.folds),
                taped=tuple(map(_turned, step.taped)),
            )
            for step in laid.steps
        ),
        told=tuple(replace(one, place=_swap(one.place)) for one in laid.told),
    )


def _turned(tape: Tape) -> Tape:
    end: SideName = "right" if tape.end == "left" else "left"
    return replace(tape, panel=_swap(tape.panel), to=_swap(tape.to), end=end)


def _across(place: Point) -> Point:
    return Point(-place.x if place.x else 0.0, place.y)


def _other(side: SideName | None) -> SideName | None:
    return {"left": "right", "right": "left"}.get(side or "")  # type: ignore[return-value]


def _swap(name: str) -> str:
    part, side = _parted(name)
    return f"{_other(side)} {part}" if side else name
