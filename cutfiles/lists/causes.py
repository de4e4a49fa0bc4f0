"""Why rows of a list are refused, each cause once with all its rows."""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass

from cutfiles.errors import Fault


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause, met in one row or in many.

    Attributes:
        fault: as it is told of the first row that has it.
        rows: numbers of all rows that have it, as the file counts them.
        columns: of all of them, by their headers or fields.
        found: what stands in the first of them, each text once.

    """

    fault: Fault
    rows: tuple[int, ...]
    columns: tuple[str, ...]
    found: tuple[str, ...]


MOST_SHOWN = 3
"""So many different texts show what a cause is."""


def causes_of(faults: Iterable[Fault]) -> tuple[Cause, ...]:
    """Return the causes of faults: one need with one remedy is one cause, in any column."""
    groups: dict[tuple[object, ...], list[Fault]] = {}
    for fault in faults:
        key = (fault.place.file, fault.key, fault.needed, fault.remedy)
        groups.setdefault(key, []).append(fault)
    return tuple(
        Cause(
            group[0],
            tuple(dict.fromkeys(fault.place.row for fault in group)),
            tuple(dict.fromkeys(f.place.column or f.place.path for f in group)),
            tuple(dict.fromkeys(fault.found for fault in group))[:MOST_SHOWN],
        )
        for group in groups.values()
    )


def rows_told(rows: tuple[int, ...]) -> str:
    """Return numbers of rows, runs of them as first to last.

    >>> rows_told((2, 3, 4, 7, 9, 10))
    '2-4, 7, 9, 10'
    """
    told: list[str] = []
    for _, group in itertools.groupby(enumerate(sorted(set(rows))), lambda pair: pair[1] - pair[0]):
        run = [row for _, row in group]
        told += [f"{run[0]}-{run[-1]}"] if len(run) > 2 else map(str, run)
    return ", ".join(told)
