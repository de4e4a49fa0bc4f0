"""An edited drawing on the desk: read, its edits told and drawn, and accepted.

By the same functions as on the command line; works in a process of their own.
"""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.desk.books import Values, slip_text
from cutfiles.desk.looks import asked
from cutfiles.desk.sittings import Sitting
from cutfiles.disk.files import write_new
from cutfiles.disk.names import safe_name
from cutfiles.edits.told import briefly_told, edit_told, numbered, state_told
from cutfiles.errors import DifferenceError
from cutfiles.job.edits import EditedFile, as_kept, edited, keep, kept_beside, some_of
from cutfiles.job.order import Order
from cutfiles.pattern.pattern import Role

BREAKS = "breaks the support"


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What a drawing's page was given.

    Attributes:
        name: of the drawing's file.
        data: its bytes.
        values: of the slip it was made from.
        beside: folder in which its edits are kept: the slip's.
        slip_there: whether the slip lies in that folder itself.
        roles: what somebody said that the lines of a layer are.

    """

    name: str
    data: bytes
    values: Values
    beside: str
    slip_there: bool
    roles: Mapping[str, Role]


@dataclass(slots=True, kw_only=True)
class Drawing(Sitting):
    """One edited drawing on the desk.

    Attributes:
        given: the file, and the slip it was made from.
        seen: what was done to it, see `look_at`.
        said: what was done last, told once more on reload.
        done: what was made last, see `put_files`; None for nothing yet.
        folder: it was put into.

    """

    given: Given
    seen: dict[str, Any]
    said: str = ""
    done: dict[str, Any] | None = None
    folder: str = ""


def _read(given: Given, order: Order) -> tuple[Slip, EditedFile]:
    slip, order = asked(given.values, order, given.beside)
    return slip, edited(given.data, given.name, slip, order, given.roles)


def look_at(given: Given, order: Order) -> dict[str, Any]:
    """Return what was done to a drawing, as data and in words.

    Keys: number, title, form, state, settled, edits [{number, text, state, told, accepted,
    breaks}], gone [text], guessed [{layer, role, by, lines}], kept (whether any edits are kept),
    picture (SVG).

    Raises:
        CutfilesError: whatever `edited` refuses.

    """
    return _seen(given, *_read(given, order))


def _seen(given: Given, slip: Slip, file: EditedFile) -> dict[str, Any]:
    from cutfiles.report.pictures.edits import edits_picture

    found = file.found
    heading = f"{file.draft.drawing.title} · {file.name}"
    return {
        "number": slip.book.number,
        "title": file.draft.drawing.title,
        "form": found.form,
        "state": found.state,
        "settled": file.settled,
        "edits": [
            {
                "number": number,
                "text": edit_told(edit),
                "state": edit.state,
                "told": state_told(edit),
                "accepted": edit.accepted,
                "breaks": edit.state == BREAKS,
            }
            for number, edit in numbered(found.edits)
        ],
        "gone": [briefly_told(edit.kind, edit.panel) for edit in file.gone],
        "guessed": [
            {"layer": one.layer, "role": one.role or "", "by": one.by, "lines": one.lines}
            for one in found.guessed
        ],
        "kept": bool(kept_beside(given.beside, slip.book.number)),
        "picture": edits_picture(file.draft.pattern, found.edits, heading, listed=False),
    }


def accept(
    given: Given, order: Order, numbers: tuple[int, ...]
) -> tuple[list[str], dict[str, Any]]:
    """Keep some edits beside the slip; return the names of what was written, and the new look.

    Where the slip was sent, and not found in the folder, it is put there too: edits are done again
    by who finds both. Nothing is written where no edit changes what is made.

    Raises:
        DifferenceError: one of them breaks the support, or none was named.
        DesignError: without the others one is not safe any more.
        FileError: the disk refuses.

    """
    slip, file = _read(given, order)
    if not numbers and file.found.edits:
        raise DifferenceError(
            "no edit", "the edits to be accepted are ticked", "tick some of them", given.name
        )
    put = keep(some_of(file, numbers), given.beside)
    if put is None:
        return [], _seen(given, slip, file)
    written = [put.name]
    number = slip.book.number
    path = Path(given.beside) / f"{safe_name(number)}.toml"
    if not (given.slip_there or path.exists()):
        write_new(path, slip_text(given.values).encode(), "a slip")
        written.append(path.name)
    kept = kept_beside(given.beside, number)[number]
    fresh = tuple(replace(edit, accepted=False) for edit in file.found.edits)
    anew = replace(file, found=replace(file.found, edits=fresh), gone=())
    return written, _seen(given, slip, as_kept(anew, kept))
