"""Registration marks in the waste: they show at once when a sheet is turned or shifted."""

from cutfiles.errors import FormatError
from cutfiles.film.rules import PIN_CLEAR, PIN_DIAMETER
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import Box, Point, circle, open_path

ARM = 3.0
"""Half the length of a cross, mm."""


def crosses(width: float, height: float, margin: float) -> tuple[Stroke, ...]:
    """Return three crosses in the middle of the margin of a sheet (mm).

    Two stand in the lower corners, one above a quarter of the way from the left: no turn and no
    mirroring of the sheet brings them onto themselves.
    """
    near = margin / 2
    places = [(near, near), (width - near, near), (width / 4, height - near)]
    arm = min(ARM, near)
    strokes = []
    for i, (x, y) in enumerate(places, start=1):
        for path in (open_path((x - arm, y), (x + arm, y)), open_path((x, y - arm), (x, y + arm))):
            strokes.append(Stroke(Role.REGISTRATION, f"cross {i}", path, "mark"))
    return tuple(strokes)


_SURE = 0.01
"""Pieces are nested by their size in hundredths, so that waste may lack as much, mm."""


def pin_holes(
    width: float, height: float, strokes: tuple[Stroke, ...], diameter: float = PIN_DIAMETER
) -> tuple[Stroke, ...]:
    """Return three pin holes in the waste of a sheet (mm), by which it is laid after turning.

    One stands in the left margin, one in the right and one above, at shares of the sheet's size
    that no turn and no mirroring brings onto one another.

    Args:
        width: of the sheet.
        height: of the sheet.
        strokes: what else is on the sheet.
        diameter: of the pins.

    Raises:
        FormatError: there is no room in the waste.

    """
    machined = [stroke for stroke in strokes if stroke.role is not Role.GUIDE]
    pieces = box_of(s.path for s in machined if s.role is Role.OUTLINE)
    waste = (pieces.left, pieces.bottom, width - pieces.right, height - pieces.top)
    need = diameter + 2 * PIN_CLEAR
    if min(waste) < need - _SURE:
        raise FormatError(
            f"{min(waste):.1f} mm of waste around the pieces",
            f"pin holes of {diameter:g} mm need {need:g} mm all around",
            "lay the pieces further from the sheet's edges",
            "pin holes",
        )
    taken = [box_of([stroke.path]) for stroke in machined]
    left, _, right, top = waste
    # shares are moved by steps too small to make two of them alike
    sides = (
        [Point(left / 2, height * (0.28 + i / 100)) for i in range(9)],
        [Point(width - right / 2, height * (0.62 - i / 100)) for i in range(9)],
        [Point(width * (0.11 + i / 100), height - top / 2) for i in range(9)],
    )
    places = [_free(side, taken, diameter / 2 + PIN_CLEAR - _SURE) for side in sides]
    return tuple(
        Stroke(Role.HOLES, f"pin hole {i}", circle(place, diameter / 2), "pin")
        for i, place in enumerate(places, start=1)
    )


def _free(places: list[Point], taken: list[Box], clear: float) -> Point:
    for x, y in places:
        near = (Box(x - clear, y - clear, x + clear, y + clear), taken)
        if not any(_touch(near[0], box) for box in near[1]):
            return Point(x, y)
    raise FormatError(
        "marks or pieces where pin holes should go",
        "three pin holes stand in the waste",
        "leave the middle of the left, right and upper margin free",
        "pin holes",
    )


def _touch(a: Box, b: Box) -> bool:
    # a box that surrounds the place is an outline around it, not a line at it
    inside = b.left < a.left and b.right > a.right and b.bottom < a.bottom and b.top > a.top
    apart = a.left > b.right or a.right < b.left or a.bottom > b.top or a.top < b.bottom
    return not inside and not apart


def marks_of(strokes: tuple[Stroke, ...]) -> tuple[tuple[str, Point], ...]:
    """Return name and centre of each registration mark and pin hole, in order."""
    found: dict[str, list[Stroke]] = {}
    for stroke in strokes:
        if stroke.use in ("mark", "pin"):
            found.setdefault(stroke.name, []).append(stroke)
    return tuple((name, box_of(s.path for s in group).centre) for name, group in found.items())
