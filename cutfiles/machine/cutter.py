"""The cutter profile: what one machine is, can and wants. Frozen; mm, mm/s, seconds."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import field
from typing import Any, Literal

from cutfiles.bench.film import Machine
from cutfiles.dataclass import dataclass
from cutfiles.machine.score import Method, Side

WorkKind = Literal["cut", "score", "mark"]
Turn = Literal["left to right", "head to tail", "never"]
Tiles = Literal["none", "feed", "shift"]
Corner = Literal["lower-left", "lower-right", "upper-left", "upper-right", "centre"]
Toward = Literal["right", "left", "up", "down"]
Join = Literal["mitred", "rounded"]
Shows = Literal["mm", "cm", "in", "0.025 mm"]
"""In what a machine shows where its tool stands; the last is the step of HP-GL."""
RANGE, RANGE_MOST = 32_767, 8_388_607
"""Largest coordinate of an HP-GL machine that counts in 16 bits, and in 24: the usual, the most."""
RANGE_LEAST = 1_000
"""A machine that takes less is none, or its manual was misread."""
Varied = Literal["score_power", "score_force", "score_passes", "land"]
"""What a coupon may vary."""
Beam = Literal["M4", "M3"]
"""The command that switches a beam on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bed:
    """Where the tool can go.

    Attributes:
        width: left to right, mm.
        length: front to back, mm.
        margin: strip at every edge that the tool does not reach, mm.
        tiles: what becomes of a sheet longer than the bed.
        origin: where the machine counts from.
        x_axis: which way its x runs, as the operator sees it.
        y_axis: which way its y runs.
        shows: in what it shows where its tool stands.
        range_least: least HP-GL coordinate, units of 0.025 mm.
        range_most: largest HP-GL coordinate.

    """

    width: float
    length: float
    margin: float = 0.0
    tiles: Tiles = "none"
    origin: Corner = "lower-left"
    x_axis: Toward = "right"
    y_axis: Toward = "up"
    shows: Shows = "mm"
    range_least: int = 0
    range_most: int = RANGE

    @property
    def reach(self) -> tuple[float, float]:
        """Width and length the tool reaches, mm."""
        return (self.width - 2 * self.margin, self.length - 2 * self.margin)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """What is done to a path so that the cut comes out where it should, mm.

    Attributes:
        kerf: width burnt away, or None where the machine sees to it itself.
        corners: how a compensated outline goes round a corner.
        knife_offset: from pivot to tip, or None where the machine sees to it itself.
        overcut: how far a closed cut runs on, or None where the machine sees to it.
        bridges: pieces of film that hold each outline.
        bridge_width: width of one.
        lead_in: how far off the cut the tool goes in.

    """

    kerf: float | None = None
    corners: Join = "mitred"
    knife_offset: float | None = None
    overcut: float | None = None
    bridges: int = 0
    bridge_width: float = 0.5
    lead_in: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Speed:
    """For the estimate of time: mm/s, mm/s², seconds. Usual values, no source."""

    cut: float = 100.0
    score: float = 100.0
    mark: float = 100.0
    travel: float = 200.0
    acceleration: float = 1000.0
    lift: float = 0.1
    tool_change: float = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How one kind of work is done; None is left to the machine.

    Attributes:
        power: laser, per cent of full power.
        speed: mm/s.
        force: knife, as the machine counts it.
        passes: how often each line is worked.

    """

    power: float | None = None
    speed: float | None = None
    force: float | None = None
    passes: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a cutter needs to know of one film.

    Attributes:
        film: what it is.
        gauge: thickness, mm.
        settings: for each kind of work.

    """

    film: str
    gauge: float
    settings: Mapping[WorkKind, Setting]


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What a coupon has shown for one film lot.

    Attributes:
        lot: the lot, as written on the roll.
        gauge: thickness, mm.
        what: which value was varied.
        value: the one chosen.

    """

    lot: str
    gauge: float
    what: Varied
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter:
    """One machine, as its profile describes it.

    Attributes:
        name: of the profile.
        kind: knife or laser.
        about: one line for people.
        source: where it came from, for messages.
        formats: keys of the table of formats it takes.
        bed: where the tool can go.
        method: how it scores.
        side: where the groove lies.
        turn: how the sheet is turned between two passes.
        dash: perforate: length of a cut, mm.
        land: perforate: least film between cuts, mm.
        tool: compensation, bridges, lead-in.
        speed: for the estimate of time.
        layers: role to the layer's name, where the machine wants its own.
        colours: role to colour, ``#rrggbb``.
        pens: role to HP-GL pen.
        power_range: what full power is in G-code; None where the profile does not say.
        beam: how G-code switches the beam on; None where the profile does not say.
        materials: what it knows of films.
        judged: what coupons have shown, the latest last.
        values: the profile as it was read.

    """

    name: str
    kind: Machine
    about: str = ""
    source: str = "cutter"
    formats: tuple[str, ...]
    bed: Bed
    method: Method
    side: Side = "by method"
    turn: Turn = "left to right"
    dash: float = 3.0
    land: float = 1.0
    tool: Tool = field(default_factory=Tool)
    speed: Speed = field(default_factory=Speed)
    layers: Mapping[str, str] = field(default_factory=dict)
    colours: Mapping[str, str] = field(default_factory=dict)
    pens: Mapping[str, int] = field(default_factory=dict)
    power_range: float | None = None
    beam: Beam | None = None
    materials: tuple[Material, ...] = ()
    judged: tuple[Judged, ...] = ()
    values: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)

    def material(self, gauge: float) -> Material | None:
        """Return what it knows of a film of this thickness (mm), or None."""
        return next((m for m in self.materials if abs(m.gauge - gauge) < 0.001), None)

    def judged_lot(self, lot: str, gauge: float) -> Judged | None:
        """Return the latest judgement of a film lot, or None."""
        for one in reversed(self.judged):
            if one.lot == lot and abs(one.gauge - gauge) < 0.001:
                return one
        return None


def profile_sha256(cutter: Cutter) -> str:
    """Return a checksum of all that a profile says."""
    text = json.dumps(dict(cutter.values), sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()
