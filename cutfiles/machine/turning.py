"""Which face is worked when, and how the sheet then lies on the bed."""

from cutfiles.dataclass import dataclass
from cutfiles.errors import FormatError
from cutfiles.film.drawing import Drawing
from cutfiles.machine.cutter import Bed, Cutter, Toward, Turn
from cutfiles.machine.score import role_face
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.moves import mirror_head_tail, mirror_left_right, quarter_turn
from cutfiles.plane.shapes import Path
from cutfiles.support.contacts import Face


@dataclass(frozen=True, slots=True)
class Lie:
    """How a sheet lies on the bed.

    Attributes:
        face: which face is up.
        turn: how it was turned over to bring the table face up.
        quarter: whether it is turned a quarter to the left, to fit the bed.
        width: of the sheet as drawn, book face and head up, mm.
        height: of the sheet as drawn, mm.

    """

    face: Face
    turn: Turn
    quarter: bool
    width: float
    height: float

    @property
    def size(self) -> tuple[float, float]:
        """Width and height as it lies, mm."""
        return (self.height, self.width) if self.quarter else (self.width, self.height)

    @property
    def head(self) -> Toward:
        """Where the head of the sheet lies on the bed."""
        down = self.face == "table" and self.turn == "head to tail"
        if self.quarter:
            return "right" if down else "left"
        return "down" if down else "up"

    @property
    def view(self) -> str:
        """What is seen: ``table face up, head down``."""
        return f"{self.face} face up, head {'to the ' if self.quarter else ''}{self.head}"

    def lay(self, path: Path) -> Path:
        """Return a path as it lies."""
        if self.face == "table":
            if self.turn == "head to tail":
                path = mirror_head_tail(path, self.height / 2)
            else:
                path = mirror_left_right(path, self.width / 2)
        return quarter_turn(path, self.height) if self.quarter else path


def faces_needed(drawing: Drawing, cutter: Cutter) -> tuple[Face, ...]:
    """Return the faces worked, in the order of the passes.

    Raises:
        FormatError: two faces are needed, and the sheet may not be turned.

    """
    worked = {role_face(stroke.role, cutter.method, cutter.side) for stroke in _machined(drawing)}
    faces: list[Face] = [face for face in ("book", "table") if face in worked]
    if len(faces) > 1 and cutter.turn == "never":
        raise FormatError(
            f'scores and marks on two faces, and turn = "never" in the profile "{cutter.name}"',
            "a sheet that is not turned is worked from one face",
            'score with method = "perforate", or let the sheet be turned',
            dict(drawing.facts).get("number", ""),
        )
    return tuple(faces) or ("book",)


def strokes_of_pass(
    strokes: tuple[Stroke, ...], cutter: Cutter, face: Face, faces: tuple[Face, ...]
) -> tuple[Stroke, ...]:
    """Return what is worked in the pass with this face up.

    Pin holes are cut in the first pass, all other cuts in the last; scores that either face takes
    are made in the first. Each stroke is in exactly one pass.
    """
    return tuple(
        stroke for stroke in strokes if _face_of(stroke, cutter, faces) == face and _is_work(stroke)
    )


def _face_of(stroke: Stroke, cutter: Cutter, faces: tuple[Face, ...]) -> Face:
    worked = role_face(stroke.role, cutter.method, cutter.side)
    if worked != "either":
        return worked
    cut = stroke.role in (Role.HOLES, Role.OUTLINE) and stroke.use != "pin"
    return faces[-1] if cut else faces[0]


def _is_work(stroke: Stroke) -> bool:
    return stroke.role is not Role.GUIDE


def _machined(drawing: Drawing) -> tuple[Stroke, ...]:
    return tuple(stroke for stroke in drawing.strokes if _is_work(stroke))


def quarter_needed(drawing: Drawing, bed: Bed) -> bool:
    """Return whether the sheet is to be turned a quarter to fit, or to run along the feed.

    Raises:
        FormatError: it fits neither way, even in frames.

    """
    across, along = bed.reach
    width, height = drawing.width, drawing.height
    if width <= across and height <= along:
        return False
    if height <= across and width <= along:
        return True
    if bed.tiles != "none":
        if width <= across:
            return False
        if height <= across:
            return True
    raise FormatError(
        f"a sheet of {width:.1f} × {height:.1f} mm with its marks",
        f"the tool reaches {across:.1f} × {along:.1f} mm"
        + ("" if bed.tiles == "none" else ", and longer sheets in frames, but none broader"),
        "use a larger cutter, or make the support in fewer layers"
        if min(width, height) > across or bed.tiles != "none"
        else "use a larger cutter; or, if film can be fed or shifted on yours, write "
        'tiles = "feed" or "shift" in its profile',
        dict(drawing.facts).get("number", ""),
    )


def moved(strokes: tuple[Stroke, ...], lie: Lie) -> tuple[Stroke, ...]:
    """Return strokes as they lie on the bed."""
    return tuple(stroke.along(lie.lay(stroke.path)) for stroke in strokes)
