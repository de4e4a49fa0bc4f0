"""The fields of a cutter profile, in one table: the reader and the documentation share it."""

from typing import NamedTuple

from cutfiles.machine.score import METHODS, SIDES
from cutfiles.tables.field import Field, KindName
from cutfiles.units import UNITS

KINDS = ("knife", "laser")
FORMAT_KEYS = ("svg", "svg-plain", "dxf-r12", "dxf-r2000", "pdf", "hpgl", "gcode")
CORNERS = ("lower-left", "lower-right", "upper-left", "upper-right", "centre")
DIRECTIONS = ("right", "left", "up", "down")
TURNS = ("left to right", "head to tail", "never")
TILES = ("none", "feed", "shift")
JOINS = ("mitred", "rounded")
MACHINE = "machine"
"""Written for a length that the machine sees to itself."""


class Entry(NamedTuple):
    """One field of a profile.

    Attributes:
        section: the table it stands in, empty for the top.
        field: its name, kind, help and limits.
        needed: whether a profile must have it.
        machine: whether it may be "machine": the machine does it itself.

    """

    section: str
    field: Field
    needed: bool = False
    machine: bool = False

    @property
    def path(self) -> str:
        """Where it stands: ``name`` or ``bed.width``."""
        return f"{self.section}.{self.field.name}" if self.section else self.field.name


def _entry(
    section: str,
    name: str,
    kind: KindName,
    help: str,
    example: str,
    least: float = 0.0,
    most: float = 0.0,
    needed: bool = False,
    machine: bool = False,
) -> Entry:
    return Entry(
        section,
        Field(name=name, kind=kind, help=help, example=example, least=least, most=most),
        needed,
        machine,
    )


def _choice(
    section: str, name: str, help: str, choices: tuple[str, ...], needed: bool = False
) -> Entry:
    return Entry(
        section,
        Field(name=name, kind="choice", help=help, example=choices[0], choices=choices),
        needed,
    )


def _speeds() -> tuple[Entry, ...]:
    works = {
        "cut": "cutting",
        "score": "scoring",
        "mark": "drawing marks and labels",
        "travel": "travelling with the tool up",
    }
    return (
        *(
            _entry("speed", name, "number", f"{what}, mm/s", "200", 0.5, 5000)
            for name, what in works.items()
        ),
        _entry("speed", "acceleration", "number", "mm/s²", "1000", 10, 100000),
        _entry("speed", "lift", "number", "seconds to lift or lower the tool", "0.1", 0, 30),
        _entry("speed", "tool_change", "number", "seconds to change the tool", "30", 0, 3600),
    )


ENTRIES: tuple[Entry, ...] = (
    _entry("", "name", "text", "what the profile is called", "desktop knife", most=60, needed=True),
    _entry("", "about", "text", "one line about the machine", "a small plotter", most=300),
    _choice("", "kind", "what cuts", KINDS, needed=True),
    _choice("", "units", "what a number without a unit counts in", UNITS),
    _entry(
        "bed",
        "width",
        "length",
        "left to right as the operator sees it",
        "300 mm",
        50,
        10000,
        needed=True,
    ),
    _entry(
        "bed",
        "length",
        "length",
        "front to back; with a feed, how far film may run in one go",
        "600 mm",
        50,
        50000,
        needed=True,
    ),
    _entry(
        "bed", "margin", "length", "strip at every edge the tool does not reach", "5 mm", 0, 200
    ),
    _choice(
        "bed",
        "tiles",
        "what is longer than the bed: refused, fed on by the machine, or "
        "shifted by hand to the marks",
        TILES,
    ),
    _choice("bed", "origin", "where the machine counts from", CORNERS),
    _choice("bed", "x_axis", "which way the machine's x runs, as the operator sees it", DIRECTIONS),
    _choice("bed", "y_axis", "which way its y runs", ("up", "down", "left", "right")),
    _entry(
        "bed",
        "range_least",
        "number",
        "HP-GL: least coordinate the machine takes",
        "0",
        -8388608,
        0,
    ),
    _entry(
        "bed",
        "range_most",
        "number",
        "HP-GL: largest coordinate the machine takes",
        "32767",
        1000,
        8388607,
    ),
    _choice("score", "method", "how it scores", METHODS, needed=True),
    _choice("score", "side", "where the groove lies, if a coupon has shown it otherwise", SIDES),
    _choice("score", "turn", "how the sheet is turned over between two passes", TURNS),
    _entry("score", "dash", "length", "perforate: length of a cut", "3 mm", 0.3, 30),
    _entry("score", "land", "length", "perforate: least film left between cuts", "1 mm", 0.3, 30),
    _entry("tool", "kerf", "length", "width a laser burns away", "0.15 mm", 0, 2, machine=True),
    _choice("tool", "corners", "how a compensated outline goes round a corner", JOINS),
    _entry(
        "tool",
        "knife_offset",
        "length",
        "from the knife's pivot to its tip",
        "0.3 mm",
        0,
        3,
        machine=True,
    ),
    _entry(
        "tool",
        "overcut",
        "length",
        "how far a cut runs on past its start",
        "0.3 mm",
        0,
        10,
        machine=True,
    ),
    _entry(
        "tool", "bridges", "number", "pieces of film that hold an outline in its sheet", "0", 0, 200
    ),
    _entry("tool", "bridge_width", "length", "width of one", "0.5 mm", 0.3, 1),
    _entry(
        "tool",
        "lead_in",
        "length",
        "how far off a cut the tool goes in, in the waste",
        "2 mm",
        0,
        20,
    ),
    *_speeds(),
    _entry("laser", "power_range", "number", "what full power is in G-code", "1000", 1, 100000),
    _choice("laser", "beam", "M4: power follows speed; M3: constant power", ("M4", "M3")),
)
"""All single fields; [layers], [colours], [pens], [[material]] and [[judged]] are read apart."""

WORKS = ("cut", "score", "mark")

MATERIAL: tuple[Entry, ...] = (
    _entry("material", "film", "text", "what it is", "polyester (PET) film", most=120),
    _entry("material", "gauge", "length", "its thickness", "5 mil", 0.012, 0.6, needed=True),
    *(
        _entry("material", f"{work}_{name}", "number", help, example, least, most)
        for work in WORKS
        for name, help, example, least, most in (
            ("power", "laser: per cent of full power", "30", 0.1, 100),
            ("speed", "mm/s", "20", 0.1, 5000),
            ("force", "knife: as the machine counts it", "80", 1, 5000),
            ("passes", "how often each line is worked", "1", 1, 20),
        )
    ),
)
"""The fields of one [[material]]."""

JUDGED: tuple[Entry, ...] = (
    _entry("judged", "lot", "text", "the film lot", "2026-03", most=60, needed=True),
    _entry("judged", "gauge", "length", "its thickness", "5 mil", 0.012, 0.6, needed=True),
    _entry("judged", "setting", "number", "the number chosen on the coupon", "3", 1, 9),
    _choice(
        "judged",
        "what",
        "what was varied",
        ("score_power", "score_force", "score_passes", "land"),
        needed=True,
    ),
    _entry("judged", "value", "number", "the value chosen", "80", 0.01, 5000, needed=True),
)
"""The fields of one [[judged]], written by `cutfiles coupon --judged`."""
