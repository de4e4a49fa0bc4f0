"""How an exhibit stands now: what its last run left, and what hands have marked since."""

import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple, cast

from cutfiles.dataclass import dataclass
from cutfiles.disk.refusals import told
from cutfiles.disk.system import state, sum_of
from cutfiles.errors import FileError
from cutfiles.exhibit.changes import Before
from cutfiles.exhibit.entries import JOURNAL, RECORD
from cutfiles.exhibit.mark import lie_on, require_exhibit, sheets_of
from cutfiles.exhibit.stages import STAGES_FILE, Mark, Reached, Stages, reached, read_stages
from cutfiles.exhibit.state import load
from cutfiles.exhibit.tables import SUPPORTS_FILE
from cutfiles.support.states import State
from cutfiles.support.trials import Trial


class SupportNow(NamedTuple):
    """One support as it stands.

    Attributes:
        number: of the support.
        told: what the last run tells of it, as `tables.support_data`.
        sheets: on which its pieces lie.
        state: of its verdict.
        stage: how far it is.

    """

    number: str
    told: Mapping[str, Any]
    sheets: tuple[str, ...]
    state: State
    stage: Reached


class SheetNow(NamedTuple):
    """One sheet: whose pieces lie on it, and the mark that it is cut, None before it is."""

    number: str
    owners: tuple[str, ...]
    cut: Mark | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """An exhibit as it stands.

    Attributes:
        name: of the exhibit.
        supports: those that were made.
        refused: what the last run tells of the rows that were not.
        sheets: in the order they are cut.
        cut_off: whether its last run did not end: nothing is marked until the next has.
        base: checksum of all this; another one tells that something changed.

    """

    name: str
    supports: tuple[SupportNow, ...]
    refused: tuple[Mapping[str, Any], ...]
    sheets: tuple[SheetNow, ...]
    cut_off: bool
    base: str


def standing(folder: str | os.PathLike[str], trials: Sequence[Trial] = ()) -> Standing:
    """Return how the exhibit in a folder stands.

    Args:
        folder: of the exhibit.
        trials: the studio's; that a support is proved follows from them alone.

    Raises:
        FileError: there is no exhibit, or its record or table of supports is none of ours.
        StagesError: its marks have faults.

    """
    to = Path(folder)
    require_exhibit(to)
    with told(to):
        before, marks = load(to).before, read_stages(to)
        base = [state(to / name).digest for name in (RECORD, STAGES_FILE)]
        rows = _rows(to / SUPPORTS_FILE)
    cut = marks.cut
    return Standing(
        name=before.name,
        supports=tuple(_supports(rows, before, marks, trials)),
        refused=tuple(row for row in rows if row["number"] not in before.facts),
        sheets=tuple(
            SheetNow(number, owners, cut.get(number)) for number, owners in lie_on(before).items()
        ),
        cut_off=os.path.lexists(to / JOURNAL),
        base=sum_of("".join(base).encode()),
    )


def _rows(path: Path) -> list[dict[str, Any]]:
    try:
        rows = json.loads(path.read_text(encoding="utf-8"))
        if all(isinstance(row["number"], str) and row["list"].get for row in rows):
            return cast("list[dict[str, Any]]", rows)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        pass
    raise FileError(
        "no table of the exhibit's supports, or one that was changed",
        "it must be the one we wrote",
        "run the exhibit again",
        path.name,
    )


def _supports(
    rows: Iterable[Mapping[str, Any]], before: Before, marks: Stages, trials: Sequence[Trial]
) -> Iterator[SupportNow]:
    """Yield those of the rows that were made."""
    cut, lies = marks.cut, sheets_of(before)
    for row in rows:
        number = row["number"]
        facts = before.facts.get(number)
        if facts is None:
            continue
        sheets = lies[number]
        stood = [t for t in trials if (t.support, t.result) == (number, "stood")]
        stage = reached(
            marks.of(number, facts.piece),
            [cut[sheet] for sheet in sheets if sheet in cut],
            stood[-1] if stood and facts.state == "proved" else None,
            all_cut=bool(sheets) and not row.get("unplaced") and {*sheets} <= cut.keys(),
        )
        yield SupportNow(number, row, sheets, facts.state, stage)
