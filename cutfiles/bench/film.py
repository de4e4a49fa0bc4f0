"""The film: polyester (PET), its gauge and how many layers lie on one another."""

from typing import Literal

from cutfiles.dataclass import dataclass
from cutfiles.units import MM_PER_MIL

Layers = Literal[1, 3]
Coating = Literal["uncoated", "coated", "unknown"]

MATERIAL = "polyester (PET) film"
MODULUS = 4000.0
"""Modulus of PET film pulled for a short time, MPa; makers' tables give 4500 to 5000."""
THINNEST, THICKEST = 0.012, 0.6
"""Gauges allowed, mm."""
AS_GAUGE = 'a film is written as "5 mil" or "0.127 mm"'
"""What to say to who writes a gauge that is none."""


Machine = Literal["knife", "laser"]
"""What film is cut with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """A film and how often it lies on itself.

    Attributes:
        gauge: thickness of one film, mm (1 mil = 0.0254 mm).
        layers: 1, or 3 for a strip folded in three.
        modulus: of elasticity, short-term, MPa.
        coating: whether it has a coat; only film known to have none may be cut with a laser.
        name: in the table of films; empty where it was not chosen by name.

    """

    gauge: float = 0.127
    layers: Layers = 3
    modulus: float = MODULUS
    coating: Coating = "uncoated"
    name: str = ""

    @property
    def stack(self) -> float:
        """Thickness of all layers, mm: n · t."""
        return self.layers * self.gauge

    @property
    def gauge_text(self) -> str:
        """The gauge in both usual units.

        >>> Film().gauge_text
        '0.127 mm (5 mil)'
        """
        return f"{round(self.gauge, 4):g} mm ({round(self.gauge / MM_PER_MIL, 2):g} mil)"

    @property
    def short_gauge(self) -> str:
        """The gauge as said at the bench.

        >>> Film().short_gauge, Film(gauge=0.075).short_gauge
        ('5 mil', '0.075 mm')
        """
        mils = self.gauge / MM_PER_MIL
        whole = abs(mils - round(mils)) < 0.005
        return f"{round(mils)} mil" if whole else f"{round(self.gauge, 4):g} mm"

    @property
    def made_text(self) -> str:
        """Gauge and layers as said at the bench.

        >>> Film().made_text, Film(gauge=0.075, layers=1).made_text
        ('5 mil in three layers', '0.075 mm in one layer')
        """
        return f"{self.short_gauge} in {'one layer' if self.layers == 1 else 'three layers'}"
