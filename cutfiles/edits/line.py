"""What a drawing holds, whatever saved it: lines with what they are called and how they look."""

from dataclasses import field

from cutfiles.dataclass import dataclass
from cutfiles.plane.shapes import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a drawing, curves turned to lines and arcs.

    Attributes:
        path: where it runs, mm as the file states them, y up.
        names: what may tell its role, what counts most first: names of its groups or its layer, its
            own label and id, processing step, name of its ink.
        layer: the layer people see it on.
        colour: ``#RRGGBB``, of its stroke, else of its fill; empty where it has none.
        dashed: whether it is drawn with gaps.
        filled: whether it is an area without a stroke.
        hidden: whether it is switched off: such a line is not there for a machine.

    """

    path: Path
    names: tuple[str, ...] = ()
    layer: str = ""
    colour: str = ""
    dashed: bool = False
    filled: bool = False
    hidden: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftAlone:
    """Something that is no line: text, hatch, dimension, image.

    Attributes:
        what: it is, in a word.
        layer: people see it on.
        text: it holds.

    """

    what: str
    layer: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A drawing as it was opened.

    Attributes:
        form: ``SVG``, ``DXF`` or ``PDF``.
        lines: in the order of the file.
        left: what is left alone.
        facts: what the file states of itself.
        unit: how its size is known: ``mm``, ``none`` and so on, for people.

    """

    form: str
    lines: tuple[Line, ...]
    left: tuple[LeftAlone, ...] = ()
    facts: dict[str, str] = field(default_factory=dict)
    unit: str = "mm"


def facts_of_text(text: str) -> dict[str, str]:
    """Return the statements in lines of the form ``name: value``."""
    pairs = (line.partition(": ") for line in text.splitlines())
    return {name.strip(): value.strip() for name, colon, value in pairs if colon}
