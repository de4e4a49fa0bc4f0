"""Registration marks in the waste: they show at once when a sheet is turned or shifted."""

from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.shapes import open_path

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
            strokes.append(Stroke(Role.REGISTRATION, f"cross {i}", path))
    return tuple(strokes)
