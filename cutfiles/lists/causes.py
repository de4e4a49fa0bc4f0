"""Why rows of a list are refused, and what was read otherwise: each once, with all its rows."""

import itertools
from collections.abc import Callable, Iterable, Iterator

from cutfiles.dataclass import dataclass
from cutfiles.errors import Fault
from cutfiles.lists.cells import Change


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause, met in one row or in many.

    Attributes:
        faults: all of it, in the order of the list.

    """

    faults: tuple[Fault, ...]

    @property
    def fault(self) -> Fault:
        """As it is told of the first row that has it."""
        return self.faults[0]

    @property
    def rows(self) -> tuple[int, ...]:
        """Numbers of all rows that have it, as the file counts them."""
        return tuple(dict.fromkeys(fault.place.row for fault in self.faults))

    @property
    def columns(self) -> tuple[str, ...]:
        """Of all of them, by their headers or fields."""
        return tuple(dict.fromkeys(f.place.column or f.place.path for f in self.faults))

    @property
    def found(self) -> tuple[str, ...]:
        """What stands in the first of them, each text once."""
        return tuple(dict.fromkeys(fault.found for fault in self.faults))[:MOST_SHOWN]


MOST_SHOWN = 3
"""So many different texts show what a cause is."""


def causes_of(faults: Iterable[Fault]) -> tuple[Cause, ...]:
    """Return the causes of faults: one need with one remedy is one cause, in any column."""
    groups: dict[tuple[str, ...], list[Fault]] = {}
    for fault in faults:
        groups.setdefault(cause_key(fault), []).append(fault)
    return tuple(Cause(tuple(group)) for group in groups.values())


NOT_TOLD = frozenset(("unit-of-column", "column-not-used"))
"""Rules that are told with the columns."""


def changes_told(changes: Iterable[Change]) -> Iterator[tuple[Change, tuple[int, ...]]]:
    """Yield what was read otherwise, of many rows alike once, with the rows; 0 is the file."""
    alike: dict[Change, list[int]] = {}
    for change in changes:
        if change.rule not in NOT_TOLD:
            alike.setdefault(change._replace(row=0), []).append(change.row)
    for change, rows in alike.items():
        yield change, tuple(rows)


def cause_key(fault: Fault) -> tuple[str, ...]:
    """Return what faults of one cause have in common."""
    return fault.place.file, fault.key, fault.needed, fault.remedy


def cause_lines(cause: Cause, said: Callable[[Fault], Fault] = lambda fault: fault) -> list[str]:
    """Return a cause of one row as its message, one of many rows once with the rows.

    Args:
        cause: to be told.
        said: how a fault is worded.

    """
    fault = said(cause.fault)
    if len(cause.rows) == len(cause.columns) == 1:
        return [str(fault)]
    columns = "column " if len(cause.columns) == 1 else "columns "
    told = rows_told(cause.rows)
    rows = f"{len(cause.rows)} rows ({told})" if len(cause.rows) > 1 else f"row {told}"
    return [
        f"{fault.place.file}, {columns}{', '.join(cause.columns)}, {rows}: "
        f"{fault.needed}; {fault.remedy}",
        f"  found {', '.join(cause.found)}",
    ]


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
