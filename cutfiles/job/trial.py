"""A studio's trials: read, recorded, taken up by verdicts."""

import os
from collections.abc import Sequence
from time import sleep
from typing import assert_never

from cutfiles.bench.book import SideName
from cutfiles.disk.files import update, write_new
from cutfiles.draft import Draft
from cutfiles.errors import ChangedError, Place
from cutfiles.support.coupons import coupon_trial
from cutfiles.support.loads import GRAVITY
from cutfiles.support.trial_rows import read_trials, write_trials
from cutfiles.support.trials import CouponName, Result, Trial
from cutfiles.support.verdict import legs_on_trial
from cutfiles.tables.load import Wanted, read_summed

_TRIES, _PAUSE = 100, 0.05
"""How often, and how far apart (s), a record is tried that another run gets in the way of."""
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
    initials: str = "",
    gauge: float | None = None,
    fell: SideName | None = None,
) -> tuple[Trial, ...]:
    """Return the rows that a dummy of this weight (g) on a support makes, one a leg.

    The dummy is shared between the boards as the book is. Of a collapse, `fell` is the leg that
    did; the other one stood. Without it both are told to have collapsed.
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
            result="stood" if fell not in (None, leg.side) else result,
            note=note,
            side=leg.side,
            initials=initials,
        )
        for leg in legs_on_trial(draft.support, draft.verdict.made)
    )


def coupon_row(
    name: CouponName,
    gauge: float,
    *,
    grams: float = 0.0,
    minutes: float = 1.0,
    result: Result = "read",
    arm: float = 0.0,
    turned: float = 0.0,
    bow: float = 0.0,
    **told: str,
) -> Trial:
    """Return the row of a coupon that was tried by hand.

    Args:
        name: which one.
        gauge: of its film, mm.
        grams: what was laid or pressed on it, g.
        minutes: it lay there; a post is pressed for a minute at most.
        result: what happened to a post.
        arm: of a crease coupon, from the crease to the weight, mm.
        turned: of a crease coupon, by how much the weight turned it, radians.
        bow: of a corner coupon, how far its inmost layer stood off, mm.
        told: date, lot, note, initials, as written.

    """
    row = coupon_trial(name, gauge, **told)._replace(load=grams * GRAVITY / 1000)
    match name:
        case "crease":
            return row._replace(leg=arm, turned=turned)
        case "post":
            return row._replace(minutes=minutes, result=result)
        case "corner":
            return row._replace(load=0.0, bow=bow)
        case _:
            assert_never(name)


def record(path: str | os.PathLike[str], rows: Sequence[Trial]) -> tuple[Trial, ...]:
    """Add rows to a table of trials, or begin one; return all its trials.

    Rows that another run added meanwhile are kept: the table is read again, and these put after.

    Raises:
        FileError: it cannot be read or written, or is changed again and again.
        TrialsError: it has faults, or a row has: nothing is added then, nothing lost.

    """
    read_trials(write_trials(rows), "what is to be recorded")
    for left in reversed(range(_TRIES)):
        try:
            return _recorded(path, rows)
        except ChangedError:
            if not left:
                raise
            sleep(_PAUSE)
    raise AssertionError("the last try returns or raises")


def _recorded(path: str | os.PathLike[str], rows: Sequence[Trial]) -> tuple[Trial, ...]:
    if not os.path.lexists(path):
        write_new(path, write_trials(rows).encode(), "a new table of trials")
        return tuple(rows)
    before, checksum = _trials_read(path)
    kept = (*before, *rows)
    update(path, write_trials(kept).encode(), checksum)
    return kept
