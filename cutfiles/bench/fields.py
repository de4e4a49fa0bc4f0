"""The fields of a slip, in one table: the reader, the blank slip and the command line share it."""

from cutfiles.tables.field import Field
from cutfiles.units import UNITS


def _text(name: str, help: str, example: str, most: int) -> Field:
    return Field(name=name, kind="text", help=help, example=example, most=most)


def _length(name: str, help: str, example: str, least: float, most: float) -> Field:
    return Field(name=name, kind="length", help=help, example=example, least=least, most=most)


def _angle(name: str, help: str, example: str, least: float, most: float) -> Field:
    return Field(name=name, kind="angle", help=help, example=example, least=least, most=most)


def _choice(name: str, help: str, choices: tuple[str, ...], support: bool = False) -> Field:
    return Field(
        name=name, kind="choice", help=help, choices=choices, support=support, example=choices[0]
    )


def _setting(name: str, help: str, example: str, least: float, most: float) -> Field:
    return Field(
        name=name, kind="length", help=help, example=example, least=least, most=most, support=True
    )


STEEPEST_SLOPE = 75.0
"""Steeper slopes are refused, degrees (design: common practice, no source)."""
LEAST_OPENING = 30.0
"""A narrower opening angle is refused, degrees."""

MEASURES: tuple[Field, ...] = (
    Field(
        name="number",
        kind="label",
        help="the support's number: drawn on the film, part of every file's name",
        example="A1",
        most=40,
    ),
    _text("title", "short title", "Garden calendar", 300),
    _text("opening", "the place it is open at", "p. 84-85", 120),
    _text("shelf_mark", "where the book belongs", "GC 12", 120),
    _choice("units", "what a number without a unit counts in", UNITS),
    _length("height", "head to tail of the boards", "203 mm", 15, 1000),
    _length("width", "joint to fore edge, outside, if both boards are alike", "133 mm", 10, 1000),
    _length("left_width", "the same of the left board, if they differ", "133 mm", 10, 1000),
    _length("right_width", "the same of the right board", "133 mm", 10, 1000),
    _length("spine_width", "joint to joint across the spine at this opening", "34 mm", 0.5, 300),
    _length("thickness", "of the closed book; used if there is no spine_width", "34 mm", 0.5, 300),
    _length("left_rise", "height of the left fore edge above its joint", "66 mm", 0, 1000),
    _length("right_rise", "height of the right fore edge above its joint", "66 mm", 0, 1000),
    _angle("left_slope", "angle of the left board, if there is no rise", "30", 0, STEEPEST_SLOPE),
    _angle("right_slope", "angle of the right board, if there is no rise", "30", 0, STEEPEST_SLOPE),
    _angle(
        "opening_angle",
        "between the boards, if there are neither rises nor slopes",
        "120",
        LEAST_OPENING,
        180,
    ),
    _length("left_side", "thickness of board and leaves on the left", "17 mm", 0, 300),
    _length("right_side", "thickness of board and leaves on the right", "16 mm", 0, 300),
    _angle(
        "page_angle", "between the open leaves, where they open less than the boards", "110", 5, 180
    ),
    Field(
        name="pages",
        kind="number",
        help="number of the last page or leaf",
        example="180",
        least=1,
        most=20000,
    ),
    Field(name="weight", kind="weight", help="of the book", example="641 g", least=1, most=50000),
    _choice("cover", "stiff boards or a limp cover", ("boards", "limp")),
    _text("binding", "kind of binding, in words", "cloth case, hollow back", 120),
    _text("note", "what else the bench should know", "easy opener", 1000),
    _length("case_depth", "free inside the case, front to back", "400 mm", 20, 10000),
    _length("case_width", "the same, left to right", "600 mm", 20, 10000),
    _length("case_height", "the same, from its floor up", "300 mm", 20, 10000),
)

SETTINGS: tuple[Field, ...] = (
    Field(
        name="film",
        kind="text",
        help="the film's name in the table of films, instead of a gauge",
        example="PET 5 mil",
        most=200,
        support=True,
    ),
    _choice(
        "coating",
        "of the film: only an uncoated one may be cut with a laser",
        ("uncoated", "coated", "unknown"),
        support=True,
    ),
    _setting("gauge", "thickness of one film", "5 mil", 0.012, 0.6),
    _choice(
        "layers",
        "films on one another: 1, or 3 for a strip folded in three",
        ("1", "3"),
        support=True,
    ),
    _setting("spine_clearance", "room added to the spine width", "1 mm", 0, 30),
    _setting("fore_inset", "how far a board panel ends short of the fore edge", "3 mm", 0, 50),
    _setting("end_inset", "how far the support ends short of head and tail", "1 mm", 0, 50),
    _setting("tape_thickness", "of the double-sided tape", "0.1 mm", 0, 2),
    _setting(
        "deck_lift",
        "height of the spine panel above the table, if not as computed",
        "0.48 mm",
        0,
        50,
    ),
    _setting("tab_most", "longest tab", "12 mm", 2, 60),
    _setting("tab_least", "shorter tabs are lapped", "6 mm", 2, 60),
    _setting("tab_gap", "how far a tab ends short of the spine panel's middle", "1 mm", 0, 10),
    _setting("least_rise", "a side that rises less gets no wing", "8 mm", 0.5, 60),
    _setting("fold_gap", "what keeps the inner flap short of the outer fold", "1 mm", 0, 10),
    _setting("edge_gap", "what keeps the outer flap short of the finished edge", "0.5 mm", 0, 10),
    Field(
        name="nesting",
        kind="number",
        help="factor on the shift of creases on the flaps",
        example="1",
        least=0,
        most=2,
        support=True,
    ),
    _setting("score_gap", "how far cross scores stop short of a long fold", "1 mm", 0, 10),
    _setting(
        "relief_diameter", "of the holes where creases cross; 0 leaves them out", "1.5 mm", 0, 6
    ),
    _setting("corner_radius", "of the free corners of the outline", "3 mm", 0, 20),
    _setting("tape_inset", "how far tape stays off every edge", "3 mm", 0, 20),
    _setting("stiff_board", "thickness of a stiff board laid under a limp cover", "2 mm", 0, 6),
    Field(
        name="opening_ceiling",
        kind="angle",
        help="wider openings are advised against",
        example="135",
        least=30,
        most=180,
        support=True,
    ),
    _choice(
        "straps",
        "bought strap, or strips of the same film, cut as extra pieces",
        ("polyethylene", "film"),
        support=True,
    ),
    _choice("strap_slots", "slots in the board panels for the straps", ("no", "yes"), support=True),
)

FIELDS: tuple[Field, ...] = MEASURES + SETTINGS
