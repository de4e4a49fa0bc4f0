"""The fields of a cutter profile, in one table: the reader and the documentation share it."""

from typing import get_args

from cutfiles.bench.film import Machine
from cutfiles.machine.cutter import (
    RANGE,
    RANGE_LEAST,
    RANGE_MOST,
    Beam,
    Corner,
    Join,
    Shows,
    Tiles,
    Toward,
    Turn,
    Varied,
    WorkKind,
)
from cutfiles.machine.formats import drawn_formats
from cutfiles.machine.score import METHODS, SIDES
from cutfiles.pattern.pattern import Role
from cutfiles.tables.field import Field, KindName, Table
from cutfiles.tables.load import Wanted
from cutfiles.units import UNITS

LOOK = "look into the manual and correct it"
MACHINE = "machine"
"""Written for a length that the machine sees to itself."""


def _entry(
    section: str,
    name: str,
    kind: KindName,
    help: str,
    example: str,
    least: float,
    most: float,
    needed: bool = False,
    machine: bool = False,
) -> Field:
    return Field(
        name=name,
        kind=kind,
        help=help,
        example=example,
        least=least,
        most=most,
        table=section,
        needed=needed,
        instead=MACHINE if machine else "",
    )


def _choice(
    section: str, name: str, help: str, choices: tuple[str, ...], needed: bool = False
) -> Field:
    return Field(
        name=name,
        kind="choice",
        help=help,
        example=choices[0],
        choices=choices,
        table=section,
        needed=needed,
    )


def _roles() -> tuple[Field, ...]:
    """What a profile may say of each role: layer, colour and pen."""
    layer = "a layer's name is a letter, then up to 30 letters, digits, _ and -"
    return (
        *(
            Field(
                role.value,
                "word",
                layer,
                role.value.upper().replace("-", "_"),
                pattern="[A-Za-z][A-Za-z0-9_-]{0,30}",
                table="layers",
            )
            for role in Role
        ),
        *(
            Field(
                role.value,
                "word",
                "a colour is # and six hexadecimal digits",
                "#D55E00",
                pattern="#[0-9A-Fa-f]{6}",
                table="colours",
            )
            for role in Role
        ),
        *(
            Field(role.value, "whole", "a pen; 0 leaves the role out", "1", 0, 8, table="pens")
            for role in Role
        ),
    )


def _speeds() -> tuple[Field, ...]:
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


ENTRIES: tuple[Field, ...] = (
    _entry("", "name", "text", "what the profile is called", "desktop knife", 0.0, 60, needed=True),
    _entry("", "about", "text", "one line about the machine", "a small plotter", 0.0, 300),
    _choice("", "kind", "what cuts", get_args(Machine), needed=True),
    Field(
        name="formats",
        kind="choice",
        help="the formats the machine takes",
        example="dxf-r12",
        needed=True,
        many=True,
    ),
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
        get_args(Tiles),
    ),
    _choice("bed", "origin", "where the machine counts from", get_args(Corner)),
    _choice(
        "bed", "x_axis", "which way the machine's x runs, as the operator sees it", get_args(Toward)
    ),
    _choice("bed", "y_axis", "which way its y runs", ("up", "down", "left", "right")),
    _choice(
        "bed",
        "shows",
        "in what the machine shows where its tool stands, for marks that are measured with it",
        get_args(Shows),
    ),
    _entry(
        "bed",
        "range_least",
        "whole",
        "HP-GL: least coordinate the machine takes",
        "0",
        -RANGE_MOST - 1,
        0,
    ),
    _entry(
        "bed",
        "range_most",
        "whole",
        "HP-GL: largest coordinate the machine takes",
        str(RANGE),
        RANGE_LEAST,
        RANGE_MOST,
    ),
    _choice("score", "method", "how it scores", METHODS, needed=True),
    _choice("score", "side", "where the groove lies, if a coupon has shown it otherwise", SIDES),
    _choice("score", "turn", "how the sheet is turned over between two passes", get_args(Turn)),
    _entry("score", "dash", "length", "perforate: length of a cut", "3 mm", 0.3, 30),
    _entry("score", "land", "length", "perforate: least film left between cuts", "1 mm", 0.3, 30),
    _entry("tool", "kerf", "length", "width a laser burns away", "0.15 mm", 0, 2, machine=True),
    _choice("tool", "corners", "how a compensated outline goes round a corner", get_args(Join)),
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
        "tool", "bridges", "whole", "pieces of film that hold an outline in its sheet", "0", 0, 200
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
    _choice("laser", "beam", "G-code: the word that switches the beam on", get_args(Beam)),
    *_roles(),
)
"""All single fields; [[material]] and [[judged]] follow."""

WORKS: tuple[WorkKind, ...] = get_args(WorkKind)

_SETTINGS: tuple[tuple[str, KindName, str, str, float, float], ...] = (
    ("power", "number", "laser: per cent of full power", "30", 0.1, 100),
    ("speed", "number", "mm/s", "20", 0.1, 5000),
    ("force", "number", "knife: as the machine counts it", "80", 1, 5000),
    ("passes", "whole", "how often each line is worked", "1", 1, 20),
)

MATERIAL: tuple[Field, ...] = (
    _entry("", "film", "text", "what it is", "polyester (PET) film", 0.0, 120),
    _entry("", "gauge", "length", "its thickness", "5 mil", 0.012, 0.6, needed=True),
    *(
        _entry("", f"{work}_{name}", kind, help, example, least, most)
        for work in WORKS
        for name, kind, help, example, least, most in _SETTINGS
    ),
)
"""The fields of one [[material]]."""

JUDGED: tuple[Field, ...] = (
    _entry("", "lot", "text", "the film lot", "2026-03", 0.0, 60, needed=True),
    _entry("", "gauge", "length", "its thickness", "5 mil", 0.012, 0.6, needed=True),
    _entry("", "setting", "whole", "the number chosen on the coupon", "3", 1, 9),
    _choice("", "what", "what was varied", get_args(Varied), needed=True),
    _entry("", "value", "number", "the value chosen", "80", 0.01, 5000, needed=True),
)
"""The fields of one [[judged]], written when a coupon was judged."""

PROFILE = Table(
    "a profile",
    ENTRIES,
    (
        ("material", Table("[[material]]", MATERIAL, correct=LOOK)),
        ("judged", Table("[[judged]]", JUDGED, correct=LOOK)),
    ),
    correct=LOOK,
    see="take it out",
    noun="profile",
)
PROFILE_FILE = Wanted(
    "a profile",
    "a cutter profile",
    "check its name and folder, or begin with a copy of one that comes with the program",
    "put every text and every length in quotation marks",
    "cutter",
)


def profile_table() -> Table:
    """Return the table of a profile, its formats those that there are."""
    return PROFILE._replace(
        fields=tuple(
            one._replace(choices=drawn_formats()) if one.path == "formats" else one
            for one in PROFILE.fields
        )
    )
