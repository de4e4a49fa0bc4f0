"""What the commands share: options, slips from files or options, messages."""

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NoReturn

import click

from cutfiles.bench.fields import FIELDS
from cutfiles.cli.remedies import told
from cutfiles.errors import CutfilesError, Place

if TYPE_CHECKING:
    from cutfiles.bench.at_hand import FilmKind
    from cutfiles.bench.slip import Slip
    from cutfiles.job.order import Order
    from cutfiles.lists.headers import ColumnMapping
    from cutfiles.machine.cutter import Cutter
    from cutfiles.support.trials import Trial
    from cutfiles.units import Units

REFUSED = 1
"""Exit code of a refusal."""
INTERRUPTED = 130
"""Exit code of what somebody stopped."""


def films_at(path: str | None) -> "tuple[FilmKind, ...]":
    """Return the kinds in a table of films, or nothing where none is named: the usual ones."""
    if path is None:
        return ()
    from cutfiles.bench.films import read_films

    return read_films(path).kinds


def trials_from(path: str | None) -> "tuple[Trial, ...]":
    """Return the studio's trials, or none where no file is named."""
    if path is None:
        return ()
    from cutfiles.job.trial import trials_at

    return trials_at(path)


# -- arguments ------------------------------------------------------------------------------------


def cutter_of(name: str | None) -> "Cutter | None":
    """Return the profile named, or None where none is."""
    if name is None:
        return None
    from cutfiles.machine.profile.read import find_cutter

    return find_cutter(name)


def slip_of(
    path: str, films: "tuple[FilmKind, ...]" = (), units: "Units | None" = None
) -> Callable[[], "Slip"]:
    """Return a function that reads the slip in a file; what its bare numbers may count in."""

    def read() -> "Slip":
        from cutfiles.bench.slip import read_slip

        return read_slip(path, films, units)

    return read


def slip_with_edits(
    path: str, order: "Order", units: "Units | None" = None
) -> "tuple[Slip, Order]":
    """Return the slip in a file, and the order with the edits that are kept beside it."""
    slip = slip_of(path, order.films, units)()
    return slip, with_edits(order, path, slip.book.number)


def with_edits(order: "Order", path: str | None, *numbers: str) -> "Order":
    """Return an order with the edits of supports that are kept beside their slip or list."""
    import os
    from dataclasses import replace

    if path is None:
        return order
    folder = os.path.dirname(path)
    if not _may_hold_edits(folder):
        return order
    from cutfiles.job.edits import kept_beside

    return replace(order, edits={**order.edits, **kept_beside(folder, *numbers)})


def _may_hold_edits(folder: str) -> bool:
    """Whether any edits are kept in a folder: what reads them is loaded only then."""
    import os

    from cutfiles.edits.edit import SUFFIX

    try:
        return any(name.endswith(SUFFIX) for name in os.listdir(folder or "."))
    except OSError:
        return False


def slip_from_options(
    given: Mapping[str, str | None], films: "tuple[FilmKind, ...]" = ()
) -> "Slip":
    """Return the slip given as options."""
    from cutfiles.bench.slip import slip_from
    from cutfiles.tables.record import nested

    return slip_from(nested(by_path(given)), Place(option=True), films)


def sources_of(
    slips: tuple[str, ...],
    measures: Mapping[str, str | None],
    films: "tuple[FilmKind, ...]" = (),
    units: "Units | None" = None,
) -> list[Callable[[], "Slip"]]:
    """Return a function for each slip named, or for the one given as options."""
    given = {name: value for name, value in measures.items() if value is not None}
    if slips and given:
        option = "--" + next(iter(given)).removeprefix("support_").replace("_", "-")
        raise click.UsageError(
            f"{option} describes a book without a slip; write it into the slip, or give no slip"
        )
    if not slips and not given:
        raise click.UsageError("name a slip, or give the measures as options")
    counted = {"units": units, **given} if units else given
    return [slip_of(path, films, units) for path in slips] or [
        lambda: slip_from_options(counted, films)
    ]


def by_path(measures: Mapping[str, str | None]) -> dict[str, str]:
    """Return field paths to the texts given as options."""
    paths = {one.path.replace(".", "_"): one.path for one in FIELDS}
    return {paths[name]: text for name, text in measures.items() if text is not None}


def known_columns(mapping: str | None, units: str | None) -> "ColumnMapping":
    """Return what is known of the columns from options."""
    from dataclasses import replace

    from cutfiles.lists.headers import ColumnMapping
    from cutfiles.lists.mapping import read_mapping
    from cutfiles.units import UNITS

    known = read_mapping(mapping) if mapping else ColumnMapping()
    bare = next((unit for unit in UNITS if unit == units), known.bare)
    return replace(known, bare=bare)


# -- messages -------------------------------------------------------------------------------------


def progress(
    sources: list[Callable[[], "Slip"]], label: str = "making"
) -> Iterator[Callable[[], "Slip"]]:
    """Show a bar where there are many slips and somebody is looking."""
    if len(sources) < 4 or not sys.stderr.isatty():
        yield from sources
        return
    with click.progressbar(sources, label=label, file=sys.stderr, show_pos=True) as bar:
        yield from bar


def indented(text: str) -> str:
    """Return a message of several lines set in below its beginning."""
    lines = text.split("\n")
    return lines[0] if len(lines) == 1 else "\n  " + "\n  ".join(lines)


def refuse(error: CutfilesError) -> NoReturn:
    """Print a refusal and end with its exit code."""
    click.echo(f"refused: {indented(told(error))}", err=True)
    sys.exit(REFUSED)


def print_json(data: Any) -> None:
    """Print data as JSON."""
    import json

    click.echo(json.dumps(data, ensure_ascii=False, indent=2))


def tell_old(removed: Sequence[str], left: Sequence[str]) -> None:
    """Tell which files of an earlier run were removed, and which were changed since and stay."""
    for name in removed:
        click.echo(f"  removed    {name}, which held other measures")
    for name in left:
        click.echo(
            f"  left alone: {name} holds other measures, but was changed since it was made",
            err=True,
        )
