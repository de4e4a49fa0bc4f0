"""`cutfiles check`: will it hold, does it fit, is it safe; writes nothing."""

import os
import sys
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli.common import REFUSED, indented, progress, sources_of
from cutfiles.cli.options import GroupedCommand, options, order_from, slip_fields
from cutfiles.cli.remedies import told, words_of
from cutfiles.cli.taken import print_data, units_here
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.bench.slip import Slip
    from cutfiles.draft import Draft
    from cutfiles.job.order import Order


@click.command("check", cls=GroupedCommand, no_args_is_help=True)
@click.argument("slips", nargs=-1, metavar="[SLIP]...", type=click.Path())
@options("--json", "--films", "--trials", "--strict", "--machine", "--cutter")
@slip_fields
def command(slips: tuple[str, ...], as_json: bool, **given: Any) -> None:
    """Tell whether film carries the books of slips, which film would, what to ask and beware of.

    Nothing is written. One slip is told in full, several as a table. Exit code 1 if a slip is
    refused, its film does not carry the book ("another support"), or the case has no room.

    \b
    cutfiles check A1.toml
    cutfiles check slips/*.toml --strict
    cutfiles check A1.toml --films our-films.toml --machine laser

    It is an engineering model without a load test behind it: prove every support empty, then with
    a dummy of 1.5 times the book's weight for 24 hours. A conservator decides how far a book opens.
    """
    order = order_from(given)
    sources = sources_of(slips, given, order.films, units_here())
    results: list[dict[str, Any]] = []
    rows: list[tuple[str, ...]] = []
    asked: list[str] = []
    bad = False
    names = [os.path.basename(path) for path in slips] or ["?"]
    for name, source in zip(names, progress(sources, "checking"), strict=True):
        slip = None
        try:
            slip = source()
            made = _draft(slip, order)
        except CutfilesError as error:
            bad = True
            _refused(slip, name, error, results, rows)
            continue
        bad = _told(made, order.kind, len(sources) > 1, as_json, results, rows, asked) or bad
    if as_json:
        print_data(results, several=len(sources) > 1)
    elif len(sources) > 1:
        from cutfiles.report.text.check import rows_table

        click.echo(rows_table(rows))
        for line in asked:
            click.echo(line)
    if bad:
        sys.exit(REFUSED)


def _draft(slip: "Slip", order: "Order") -> "Draft":
    from cutfiles.job.order import drafted

    return drafted(slip, order)


def _told(
    made: "Draft",
    machine: Any,
    several: bool,
    as_json: bool,
    results: list[dict[str, Any]],
    rows: list[tuple[str, ...]],
    asked: list[str],
) -> bool:
    """Add what is to be told of one support; return whether it is refused."""
    from cutfiles.report.text.check import check_data, check_row, check_table, refused

    if as_json:
        results.append(check_data(made, machine))
    elif several:
        rows.append(check_row(made))
        asked += [
            f"{made.slip.book.number}: question: {one.message}"
            for one in made.findings
            if one.severity == "ask"
        ]
    else:
        click.echo(check_table(made, machine), nl=False)
    return refused(made)


def _refused(
    slip: "Slip | None",
    name: str,
    error: CutfilesError,
    results: list[dict[str, Any]],
    rows: list[tuple[str, ...]],
) -> None:
    from cutfiles.report.text.check import refused_row

    results.append({"number": slip.book.number if slip else None, "refused": words_of(error)})
    number, title = (slip.book.number, slip.book.title) if slip else (name, "")
    rows.append(refused_row(number, title, error.faults[0].needed))
    click.echo(f"refused: {indented(told(error))}", err=True)
