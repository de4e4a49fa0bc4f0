"""The film: polyester (PET), its gauge and how many layers lie on one another."""

from dataclasses import dataclass
from typing import Literal

from cutfiles.units import MM_PER_MIL

Layers = Literal[1, 3]

MATERIAL = "polyester (PET) film"


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """A film and how often it lies on itself.

    Attributes:
        gauge: thickness of one film, mm (1 mil = 0.0254 mm).
        layers: 1, or 3 for a strip folded in three.

    """

    gauge: float = 0.127
    layers: Layers = 3

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
