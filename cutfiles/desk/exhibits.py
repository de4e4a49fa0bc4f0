"""Exhibits in the desk's folder: made, looked at, marked; all in processes of their own.

What makes them is loaded only there, when it is used: the server starts without it.
"""

import base64
import hashlib
import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutfiles.dataclass import dataclass
from cutfiles.desk.readings import Source, books_of
from cutfiles.desk.works import Tell
from cutfiles.disk.names import safe_name
from cutfiles.disk.system import state, sum_of
from cutfiles.errors import ChangedError, FileError
from cutfiles.support.trials import Trial

if TYPE_CHECKING:
    from cutfiles.exhibit.plan import ExhibitPlan
    from cutfiles.exhibit.stages import Marked

MEDIA = {
    ".html": "text/html; charset=utf-8",
    ".svg": "image/svg+xml",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".csv": "text/csv; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".json": "application/json",
}
"""What a browser shows by itself, by the ending of its name; all else is downloaded."""
_SCRIPT = re.compile(rb"<script>(.*?)</script>", re.DOTALL)
_QUIET = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src 'self' data:; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)
"""What a file of an exhibit may do: be seen. A page as we made it runs scripts, and ours alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is wanted of an exhibit beside its list and the order.

    Attributes:
        folder: the desk's.
        name: of the exhibit, and of its folder in the desk's.
        shelf: the table of film at hand in the desk's folder; empty for the workshop's film.
        spares: how many more of each support are cut.

    """

    folder: str
    name: str
    shelf: str = ""
    spares: int = 0


def make_list(tell: Tell, source: Source, plan: "ExhibitPlan", wish: Wish) -> dict[str, Any]:
    """Make all supports of a list, as the command line does; return how it ended.

    The plan is the workshop's, with its order as the page changes it. A table of film at hand is
    read when it is used: every exhibit made since the desk was begun has changed it.

    Keys: those of `exhibit_data`, and said: what is worth knowing beforehand.
    """
    from cutfiles.bench.films import read_films
    from cutfiles.exhibit.plan import left_out
    from cutfiles.exhibit.run import make_exhibit
    from cutfiles.exhibit.tables import exhibit_data
    from cutfiles.job.edits import kept_beside

    order, table = plan.order, os.path.join(wish.folder, wish.shelf) if wish.shelf else plan.table
    at_hand = plan.at_hand if table is None else read_films(table)
    tell(("reading", 0, 1))
    books = books_of(source._replace(films=order.films or at_hand.kinds))
    numbers = [row.number for row in books.rows if row.slip]
    plan = replace(
        plan,
        name=wish.name,
        order=replace(order, edits={**order.edits, **kept_beside(wish.folder, *numbers)}),
        at_hand=at_hand,
        table=table,
        spares=wish.spares,
    )
    done = make_exhibit(
        books,
        os.path.join(wish.folder, safe_name(wish.name)),
        plan,
        workers=os.cpu_count() or 1,
        progress=lambda *said: tell(said),
    )
    return exhibit_data(done) | {"said": left_out(plan)}


def put_round(source: Source, plan: Mapping[str, Any], folder: str) -> list[str]:
    """Put the measuring round of a list into a folder; return the names of its files.

    Args:
        source: the list.
        plan: fields of `RoundPlan`.
        folder: it is made if it is not there.

    Raises:
        FileError: the folder holds other files of these names, or it is no list.

    """
    from cutfiles.exhibit.rounds import RoundPlan, measuring_round
    from cutfiles.files.made import File
    from cutfiles.job.deliver_files import deliver_files

    files = measuring_round(books_of(source), RoundPlan(**plan))
    put = [File(name, "round", data, None) for name, data in files.items()]
    deliver_files(folder, "round", put)
    return list(files)


def exhibit_told(folder: str, trials: Sequence[Trial]) -> dict[str, Any]:
    """Return how an exhibit stands.

    Keys: name, base, cut_off, supports (number, title, case, verdict, state, unplaced, sheets,
    stage, since), refused (row, number, title, why), sheets (number, supports, since), files.
    """
    from cutfiles.exhibit.standing import standing

    now = standing(folder, trials)
    return {
        "name": now.name,
        "base": now.base,
        "cut_off": now.cut_off,
        "supports": [
            {
                "number": one.number,
                "title": one.told["list"].get("title", ""),
                "case": one.told["list"].get("case", ""),
                "verdict": one.told.get("verdict", one.state),
                "state": one.state,
                "unplaced": one.told.get("unplaced", ""),
                "sheets": one.sheets,
                "stage": one.stage.stage,
                "since": " ".join((one.stage.date, one.stage.initials)).strip(),
            }
            for one in now.supports
        ],
        "refused": [
            {
                "row": row.get("row", ""),
                "number": row["number"],
                "title": row["list"].get("title", ""),
                "why": [f"{one['found']}; {one['needed']}" for one in row.get("refused", ())],
            }
            for row in now.refused
        ],
        "sheets": [
            {
                "number": one.number,
                "supports": one.owners,
                "since": " ".join((one.cut.date, one.cut.initials)).strip() if one.cut else "",
                "cut": one.cut is not None,
            }
            for one in now.sheets
        ],
        "files": sorted(
            name
            for name in _files(Path(folder))
            if "/" not in name and os.path.exists(os.path.join(folder, name))
        ),
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a hand marks: how far sheets or supports are, when, and who says so."""

    stage: "Marked"
    names: tuple[str, ...]
    date: str
    initials: str
    note: str
    base: str


def mark_so(folder: str, trials: Sequence[Trial], said: Said) -> None:
    """Mark how far sheets and supports of an exhibit are.

    Raises:
        ChangedError: something changed since the page was shown.
        FileError: whatever `mark` refuses.

    """
    from cutfiles.exhibit.mark import mark
    from cutfiles.exhibit.standing import standing

    if standing(folder, trials).base != said.base:
        raise ChangedError(
            "an older state of this exhibit",
            "it was marked or made since, in another window or by another run",
            "go back to the exhibit as it is now, and mark there",
        )
    if not (said.date and said.initials):
        raise FileError(
            "a mark without its day or initials", "both stand with a mark", "fill them in"
        )
    if not said.names:
        raise FileError("nothing that is marked", "a sheet or a support", "tick at least one")
    mark(folder, said.stage, said.names, date=said.date, initials=said.initials, note=said.note)


# -- its files ---------------------------------------------------------------------------------


def _files(folder: Path) -> dict[str, frozenset[str]]:
    """Return the files of an exhibit, by their paths in its folder, and their checksums as made."""
    from cutfiles.exhibit.stages import STAGES_FILE
    from cutfiles.exhibit.state import FOLDERS, load

    found: dict[str, frozenset[str]] = {STAGES_FILE: frozenset()}
    for kind, _, files in load(folder).every():
        for file, sums in files.items():
            path = f"{FOLDERS[kind]}/{file}".lstrip("/")
            found[path] = found.get(path, frozenset()) | {*sums}
    return found


def exhibit_file(folder: str, path: str) -> tuple[bytes, str, str] | None:
    """Return a file of an exhibit, its media type (empty for one to download), and its policy.

    None where the exhibit has no such file, or something else stands in its place.

    Raises:
        FileError: the folder holds a record that is none of ours.

    """
    to = Path(folder)
    sums = _files(to).get(path)
    place = to / path
    if sums is None or place.parent.is_symlink() or state(place).kind != "file":
        return None
    data, ending = place.read_bytes(), place.suffix.lower()
    policy = _QUIET
    if ending == ".html" and sum_of(data) in sums:
        scripts = {hashlib.sha256(one).digest() for one in _SCRIPT.findall(data) if _is_own(one)}
        told = " ".join(f"'sha256-{base64.b64encode(one).decode()}'" for one in sorted(scripts))
        policy += f"; script-src {told}" if told else ""
    return data, MEDIA.get(ending, ""), policy


def _is_own(script: bytes) -> bool:
    """Whether a script is this program's: a folder that came from others may have others' in it."""
    from cutfiles.exhibit.page import SCRIPT
    from cutfiles.report.pages.folded_page import is_own_script

    text = script.decode("utf-8", "replace")
    return text == SCRIPT or is_own_script(text)
