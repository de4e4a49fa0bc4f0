"""What the maker of the support may choose: one row a setting, read, listed and stated from it.

A row is all there is to a setting: the reader of slips, the blank slip, the options of commands,
the columns of lists, and what a file states of itself and reads back, go over these rows.
"""

from dataclasses import field, fields
from typing import Any, Literal

from cutfiles.dataclass import dataclass
from cutfiles.tables.field import Field, KindName

SUPPORT = "support"
"""The table of a slip that settings stand in."""


def _setting(
    kind: KindName,
    help: str,
    usual: float | str | None,
    least: float = 0.0,
    most: float = 0.0,
    example: str = "",
    choices: tuple[str, ...] = (),
) -> Any:
    """Return a setting's place in `Choices`, its row beside it."""
    unit = " mm" if kind == "length" else ""
    written = f"{usual:g}{unit}" if isinstance(usual, int | float) else usual or ""
    row = Field(
        name="",
        kind=kind,
        help=help,
        example=example or written,
        least=least,
        most=most,
        choices=choices,
        table=SUPPORT,
        usual=written,
    )
    return field(default=usual, metadata={"row": row})


def _length(help: str, usual: float | None, least: float, most: float, example: str = "") -> Any:
    return _setting("length", help, usual, least, most, example)


def _choice(help: str, *choices: str) -> Any:
    return _setting("choice", help, choices[0], choices=choices)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """Every default of the cradle's geometry, mm unless a row says otherwise (common practice).

    A `deck_lift` of None is computed, for each kind: what lies under the lowest joint; a
    `stiff_board` of 0 is none. `nesting` stays 0 where long folds hold the layers: film that
    cannot slip bows, wherever its scores are drawn. Strips of film for `straps` are cut as extra
    pieces.
    """

    construction: Literal["chosen", "plain", "lips", "posts"] = _choice(
        "how the legs carry; chosen by what is sure, if not set", "chosen", "plain", "lips", "posts"
    )
    edges: Literal["folded", "cut", "any"] = _choice(
        "towards the book: folded (hemmed, or three layers), cut, or whichever is chosen",
        *("folded", "cut", "any"),
    )
    posts: int = _setting(
        "whole", "posts behind each leg; 0 for as few as are adequate", 0, 0, 8, "2"
    )
    prefer: Literal["folds", "film"] = _choice(
        "of what is adequate: the fewest folds, or the least film", "folds", "film"
    )
    spine_clearance: float = _length("room added to the spine width", 1.0, 0, 30)
    fore_inset: float = _length("how far a board panel ends short of the fore edge", 3.0, 0, 50)
    end_inset: float = _length("how far the support ends short of head and tail", 1.0, 0, 50)
    tape_thickness: float = _length("of the double-sided tape", 0.1, 0, 2)
    deck_lift: float | None = _length(
        "height of the lowest joint above the table, if not as computed", None, 0, 50, "0.48 mm"
    )
    tab_most: float = _length("longest tab; a heavy book's is longer, if not set", 12.0, 2, 60)
    tab_least: float = _length("shorter tabs are lapped or crossed", 9.0, 2, 60)
    tab_gap: float = _length("how far a tab ends short of the spine panel's middle", 1.0, 0.5, 10)
    least_rise: float = _length("a side that rises less gets no leg", 8.0, 0.5, 60)
    fold_gap: float = _length("what keeps the inner flap short of the outer fold", 1.0, 0, 10)
    edge_gap: float = _length("what keeps the outer flap short of the finished edge", 0.5, 0, 10)
    nesting: float = _setting("number", "factor on the shift of creases on the flaps", 0.0, 0, 2)
    score_gap: float = _length("how far cross scores stop short of a long fold", 1.0, 0, 10)
    relief_diameter: float = _length(
        "of the smallest holes where creases cross; 0 leaves holes out", 1.5, 0, 6
    )
    corner_radius: float = _length("of the free corners of the outline", 3.0, 0, 20)
    tape_inset: float = _length("how far tape stays off every edge", 3.0, 0, 20)
    stiff_board: float = _length(
        "thickness of a stiff board laid under a limp cover", 0.0, 0, 6, "2 mm"
    )
    opening_ceiling: float = _setting("angle", "wider openings are advised against", 135.0, 30, 180)
    straps: Literal["polyethylene", "film"] = _choice(
        "bought strap, or strips of the same film, cut as extra pieces", "polyethylene", "film"
    )
    strap_slots: Literal["no", "yes"] = _choice(
        "slots in the board panels for the straps", "no", "yes"
    )
    joints: Literal["measured", "guess"] = _choice(
        "cut from guessed heights of the joints where none was measured", "measured", "guess"
    )
    follow: Literal["leaves", "boards"] = _choice(
        "what the support follows where boards open wider than leaves", "leaves", "boards"
    )
    adjust: float = _length(
        "rise that can be changed at the bench, by ticks beside the foot; 0 for none",
        0.0,
        0,
        4,
        "4 mm",
    )


CHOSEN: tuple[Field, ...] = tuple(
    one.metadata["row"]._replace(name=one.name) for one in fields(Choices)
)
"""The row of each setting, in the order of `Choices`."""
