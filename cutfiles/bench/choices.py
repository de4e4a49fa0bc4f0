"""What the maker of the support may choose; the defaults are common practice."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """Every default of the cradle's geometry, mm unless a field says otherwise.

    Attributes:
        spine_clearance: room added to the spine width for the spine panel.
        fore_inset: how far a board panel ends short of the fore edge.
        end_inset: how far the support ends short of the book at head and tail.
        tape_thickness: of the double-sided tape.
        deck_lift: height of the spine panel above the table; None computes it as
            layers · gauge + tape_thickness.
        tab_most: longest tab.
        tab_least: shorter tabs than this do not lie side by side but lapped.
        tab_gap: how far a tab ends short of the middle of the spine panel (of its far edge
            when lapped: twice this).
        least_rise: a side that rises less gets no wing.
        fold_gap: what keeps the inner flap short of the outer long fold.
        edge_gap: what keeps the outer flap short of the finished edge.
        nesting: factor on the shift of the cross creases on the flaps (1 as computed, 0 none).
        score_gap: how far cross scores stop short of a long fold.
        relief_diameter: of the holes where cross scores meet a long fold; 0 leaves them out.
        corner_radius: of the outline's free corners.
        tape_inset: how far the tape stays off every edge.
        stiff_board: thickness of a stiff board laid under a limp cover; 0 for none.
        opening_ceiling: wider openings are advised against, degrees.
        straps: what they are made of: bought polyethylene strap, or strips of the same film, which
            are then cut as extra pieces.
        strap_slots: whether the board panels get slots for the straps.

    """

    spine_clearance: float = 1.0
    fore_inset: float = 3.0
    end_inset: float = 1.0
    tape_thickness: float = 0.1
    deck_lift: float | None = None
    tab_most: float = 12.0
    tab_least: float = 6.0
    tab_gap: float = 1.0
    least_rise: float = 8.0
    fold_gap: float = 1.0
    edge_gap: float = 0.5
    nesting: float = 1.0
    score_gap: float = 1.0
    relief_diameter: float = 1.5
    corner_radius: float = 3.0
    tape_inset: float = 3.0
    stiff_board: float = 0.0
    opening_ceiling: float = 135.0
    straps: Literal["polyethylene", "film"] = "polyethylene"
    strap_slots: Literal["no", "yes"] = "no"
