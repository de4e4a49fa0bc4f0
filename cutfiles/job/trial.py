"""A studio's trials: read, recorded, taken up by verdicts."""

import os
from collections.abc import Sequence

from cutfiles.disk.files import update, write_new
from cutfiles.draft import Draft
from cutfiles.errors import Place
from cutfiles.support.trial_rows import read_trials, write_trials
from cutfiles.support.trials import Result, Trial
from cutfiles.support.verdict import legs_on_trial
from cutfiles.tables.load import Wanted, read_summed

TRIALS_FILE = Wanted(
    "a table of trials",
    "a table of trials",
    "check its name and folder",
    "save it as CSV with commas, in UTF-8",
)


def trials_at(path: str | os.PathLike[str]) -> tuple[Trial, ...]:
    """Return the trials in a file.

    Raises:
        FileError: it cannot be read.
        TrialsError: it has faults; all of them are in it.

    """
    return _trials_read(path)[0]


def _trials_read(path: str | os.PathLike[str]) -> tuple[tuple[Trial, ...], str]:
    """Return the trials in a file, and the checksum it had when it was read."""
    name = f"trials {os.path.basename(os.fspath(path))}"
    text, checksum = read_summed(path, Place(file=name), TRIALS_FILE)
    return read_trials(text, name), checksum


def rows_for(
    draft: Draft,
    grams: float,
    minutes: float,
    result: Result,
    *,
    date: str = "",
    lot: str = "",
    note: str = "",
    gauge: float | None = None,
) -> tuple[Trial, ...]:
    """Return the rows that a dummy of this weight (g) on a support makes, one a leg.

    The dummy is shared between the boards as the book is.
    """
    share = grams / draft.verdict.weight
    return tuple(
        Trial(
            date=date,
            support=draft.slip.book.number,
            lot=lot,
            gauge=leg.gauge if gauge is None else gauge,
            layers=leg.layers,
            construction=leg.construction,
            leg=leg.leg,
            breadth=leg.breadth,
            face=leg.face,
            posts=leg.posts,
            load=share * leg.load,
            minutes=minutes,
            result=result,
            note=note,
        )
        for leg in legs_on_trial(draft.support, draft.verdict.made)
    )


def record(path: str | os.PathLike[str], rows: Sequence[Trial]) -> tuple[Trial, ...]:
    """Add rows to a table of trials, or begin one; return all its trials.

    Raises:
        FileError: it cannot be read or written, or was changed meanwhile.
        TrialsError: it has faults: nothing is added to a table that cannot be read.

    """
    if not os.path.lexists(path):
        write_new(path, write_trials(rows).encode(), "a new table of trials")
        return tuple(rows)
    before, checksum = _trials_read(path)
    kept = (*before, *rows)
    update(path, write_trials(kept).encode(), checksum)
    return kept
