"""What writers are told beside the sheet: all that differs from cutter to cutter."""

from collections.abc import Mapping
from dataclasses import field, replace

from cutfiles.dataclass import dataclass
from cutfiles.machine.cutter import RANGE, RANGE_MOST, Beam, Cutter, Setting
from cutfiles.machine.passes import PENS
from cutfiles.machine.score import Method, Side
from cutfiles.support.contacts import Face

HPGL_PENS: Mapping[str, int] = PENS
"""Which pen works which role, unless told otherwise. Guides are never machined."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What may differ from cutter to cutter; a cutter profile says it, or the command line.

    Attributes:
        pens: HP-GL, roles to pens 1–8; a role without a pen is left out.
        hpgl_range: HP-GL, largest coordinate of the machine, units of 0.025 mm.
        bed: width and height the machine can work, mm, or None if it is not known.
        layers: SVG and DXF, roles to layer names of the machine's own.
        colours: SVG and DXF, roles to colours of its own, ``#RRGGBB``.
        method: how it scores; the processing steps of a PDF follow it.
        side: where the groove of a score lies.
        face: which face of the film is up in the file.
        settings: HP-GL and G-code, roles or names of strokes to how they are worked.
        power_range: G-code, what full power is.
        beam: G-code, the command that switches the beam on.

    """

    pens: Mapping[str, int] = field(default_factory=lambda: dict(HPGL_PENS))
    hpgl_range: int = RANGE
    bed: tuple[float, float] | None = None
    layers: Mapping[str, str] = field(default_factory=dict)
    colours: Mapping[str, str] = field(default_factory=dict)
    method: Method = "impress"
    side: Side = "by method"
    face: Face = "book"
    settings: Mapping[str, Setting] = field(default_factory=dict)
    power_range: float = 1000.0
    beam: Beam = "M4"


def drawing_options(cutter: Cutter) -> Options:
    """Return what the profile says of files: layers, colours, pens, method."""
    drawn = Options(
        pens={**HPGL_PENS, **cutter.pens},
        hpgl_range=RANGE_MOST,
        layers=cutter.layers,
        colours=cutter.colours,
        method=cutter.method,
        side=cutter.side,
    )
    if cutter.power_range is None or cutter.beam is None:
        return drawn  # such a profile takes no program that switches a beam
    return replace(drawn, power_range=cutter.power_range, beam=cutter.beam)
